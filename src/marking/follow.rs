//! Following a candidate's own earlier answers.

use crate::problem::{NumberKey, Problem, Response};
use crate::quantity::Exact;

use super::diagnosis::accepted;
use super::unit::{Fit, fit};
use super::{Reason, Standing, Verdict, mark};

/// Marks the answers to one problem together, each with the place of its part.
///
/// A later part that is wrong by itself is worked again from the candidate's own earlier answers,
/// along the same ways of rounding; when the answer agrees with that, the way was right and the wrong
/// number was only carried on. Such an answer has the marks for method and not the one for accuracy
/// (GCE physics and National 5 physics credit the follow-on), and all its marks where a part has no
/// method marks (International Baccalaureate, mathematics).
///
/// Nothing is followed when no earlier answer was wrong, when the carried number leaves a later
/// answer without sense (a negative mass), or when it makes no difference to it.
///
/// The verdicts come in the order of the parts, whatever the order of the answers.
pub fn mark_together(problem: &Problem, answers: &[(usize, &str)]) -> Vec<(usize, Verdict)> {
    let mut verdicts: Vec<(usize, Verdict)> =
        answers.iter().map(|(part, answer)| (*part, mark(problem, *part, answer))).collect();
    verdicts.sort_by_key(|(part, _)| *part);
    for index in 0..verdicts.len() {
        let (part, verdict) = &verdicts[index];
        if !matches!(verdict.standing, Standing::Wrong | Standing::Partly) {
            continue;
        }
        let own: Vec<(usize, Exact)> = verdicts[..index]
            .iter()
            .filter(|(_, earlier)| !earlier.is_right())
            .filter_map(|(earlier, verdict)| own_value(problem, *earlier, verdict))
            .collect();
        if own.is_empty() || !follows(problem, *part, verdict, &own) {
            continue;
        }
        let Some(Response::Number(key)) = problem.parts.get(*part).map(|part| &part.response)
        else {
            continue;
        };
        let marks =
            if key.method_marks == 0 { verdict.of } else { key.method_marks.min(verdict.of) };
        let verdict = &mut verdicts[index].1;
        verdict.marks = verdict.marks.max(marks);
        verdict.standing = Standing::Partly;
        // What was puzzling by itself is explained now.
        verdict.reasons.retain(|reason| !matches!(reason, Reason::Unexplained { .. }));
        verdict.reasons.insert(0, Reason::Follows);
    }
    verdicts
}

/// The step that a part asks for and the coherent number that the candidate gave for it.
fn own_value(problem: &Problem, part: usize, verdict: &Verdict) -> Option<(usize, Exact)> {
    let plan = problem.template.parts.get(part)?.wanted.number()?;
    if !problem.template.is_step(plan.slot) {
        return None;
    }
    let number = in_unit_of(plan.unit, verdict)?;
    Some((plan.slot, plan.unit.to_coherent(number).ok()?))
}

/// Whether the answer is what the candidate's own numbers lead to.
fn follows(problem: &Problem, part: usize, verdict: &Verdict, own: &[(usize, Exact)]) -> bool {
    let Ok(keys) = problem.keys_following(own) else { return false };
    let Some(Response::Number(right)) = problem.parts.get(part).map(|part| &part.response) else {
        return false;
    };
    let Some((_, followed)) = keys.iter().find(|(place, _)| *place == part) else { return false };
    let differs = followed.exact != right.exact;
    // A carried number that spoils any later answer is not worth following.
    let sensible = keys.iter().all(|(_, key)| key.is_sensible());
    differs && sensible && agrees(followed, verdict)
}

fn agrees(key: &NumberKey, verdict: &Verdict) -> bool {
    in_unit_of(key.unit, verdict).is_some_and(|number| accepted(key, number))
}

/// The number of an answer in the unit of its part; nothing when the unit measures something else.
fn in_unit_of(unit: crate::quantity::Unit, verdict: &Verdict) -> Option<Exact> {
    let typed = verdict.typed?;
    match fit(&typed, unit).ok()? {
        Fit::Converted(number) => Some(number),
        Fit::Same | Fit::Missing => Some(typed.number),
        Fit::Other => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;

    /// 12 pessaries of 4.40 g with 300 mg of boric acid, displacement value 1.6: drug 3.60 g,
    /// displaced 2.25 g, base 52.80 - 2.25 = 50.55 g.
    fn problem() -> Problem {
        let bank = Bank::bundled().unwrap();
        Problem::from_code(&bank, &Code::parse("base-one-drug.aaaa-aaaaa").unwrap()).unwrap()
    }

    #[track_caller]
    fn check(answers: &[(usize, &str)], expected: &[(Standing, u32)]) {
        let found: Vec<(Standing, u32)> = mark_together(&problem(), answers)
            .into_iter()
            .map(|(_, verdict)| (verdict.standing, verdict.marks))
            .collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn a_wrong_number_carried_on_rightly_keeps_the_marks_for_method() {
        // Drug taken as 4.80 g: 4.80 / 1.6 = 3.00 g displaced, 52.80 - 3.00 = 49.80 g of base.
        check(
            &[(0, "4.80 g"), (1, "3.00 g"), (2, "49.80 g")],
            &[(Standing::Wrong, 0), (Standing::Partly, 1), (Standing::Partly, 1)],
        );
    }

    #[test]
    fn the_order_of_the_answers_does_not_matter() {
        check(
            &[(2, "49.80 g"), (0, "4.80 g"), (1, "3000 mg")],
            &[(Standing::Wrong, 0), (Standing::Partly, 1), (Standing::Partly, 1)],
        );
    }

    #[test]
    fn a_wrong_number_that_follows_from_nothing_has_no_marks() {
        check(&[(0, "4.80 g"), (2, "44.00 g")], &[(Standing::Wrong, 0), (Standing::Wrong, 0)]);
        check(&[(2, "49.80 g")], &[(Standing::Wrong, 0)]);
    }

    #[test]
    fn a_number_that_makes_nonsense_of_the_rest_is_not_followed() {
        // 90 g of drug would displace 56.25 g: more than the mould holds.
        check(
            &[(0, "90 g"), (1, "56.25 g"), (2, "-3.45 g")],
            &[(Standing::Wrong, 0), (Standing::Wrong, 0), (Standing::Wrong, 0)],
        );
    }

    #[test]
    fn right_answers_stay_right() {
        check(
            &[(0, "3.6 g"), (1, "2.25 g"), (2, "50.55 g")],
            &[(Standing::Right, 1), (Standing::Right, 1), (Standing::Right, 2)],
        );
    }
}
