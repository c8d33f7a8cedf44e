//! Following a candidate's own earlier answers.

use crate::problem::{Following, NumberKey, Problem};
use crate::quantity::{Exact, Unit};

use super::conclusion::conclusion_follows;
use super::diagnosis::accepted;
use super::entry::{Item, MarkedEntry};
use super::unit::{Fit, fit};
use super::{FollowThrough, Reason, Settings, Standing, Verdict};

/// What comes of following.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Followed {
    /// The answer is not what the own numbers lead to.
    No,
    /// It is.
    Yes,
    /// It is, and they leave nothing to work out.
    Trivial,
    /// It is, and they leave some answer without sense.
    Senseless,
}

/// Follows each answer that is wrong by itself from the candidate's own earlier numbers, along the
/// same ways of rounding; `homes` has for each entry the part to which it belongs.
///
/// When the answer agrees with what they lead to, the way was right and a wrong number was only
/// carried on. Such an answer has the marks that the settings give it, by default those for method
/// (GCE physics and National 5 physics credit the follow-on), and all its marks where a part has none
/// for method (International Baccalaureate, mathematics).
///
/// Nothing is followed when no earlier number was wrong, when the carried number leaves an answer
/// without sense (a negative mass) or leaves nothing to work out, or when it makes no difference.
///
/// A step that was written down wrong is carried like an answer. It does not rescue its own part when
/// it comes of a known wrong rule: that the method is wrong shows in the step already.
pub(super) fn follow(
    problem: &Problem,
    entries: &mut [MarkedEntry],
    homes: &[usize],
    settings: &Settings,
) {
    if settings.follow_through == FollowThrough::Never {
        return;
    }
    let own: Vec<Option<(usize, Exact)>> =
        entries.iter().map(|entry| own_value(problem, entry)).collect();
    for index in 1..entries.len() {
        let verdict = &entries[index].verdict;
        // The right number in a wrong unit is that and nothing else.
        let is_settled = verdict.reasons.iter().any(|one| matches!(one, Reason::WrongUnit { .. }));
        if is_settled || !matches!(verdict.standing, Standing::Wrong | Standing::Partly) {
            continue;
        }
        let item = entries[index].item;
        let is_carried = |earlier: usize, steps: bool, right: bool| {
            let entry = &entries[earlier];
            let is_slip = entry.verdict.reasons.iter().any(|r| matches!(r, Reason::Slip { .. }));
            let is_step = matches!(entry.item, Item::Step(_));
            let is_own_method =
                is_slip && is_step && matches!(item, Item::Part(part) if homes[earlier] == part);
            (right || !entry.verdict.is_right()) && (steps || !is_step) && !is_own_method
        };
        let carried = |steps: bool, right: bool| -> Vec<(usize, Exact)> {
            let earlier = (0..index).filter(|earlier| is_carried(*earlier, steps, right));
            earlier.filter_map(|earlier| own[earlier]).collect()
        };
        // What is wrong first; then with all that was written, since a wrong number need not have
        // been used for every later one.
        let answers = carried(false, false);
        let wrong = carried(true, false);
        let all = if wrong.is_empty() { Vec::new() } else { carried(true, true) };
        let mut ways = vec![(&answers, Reason::Follows)];
        if wrong.len() > answers.len() {
            ways.push((&wrong, Reason::FollowsWorking));
        }
        if all.len() > wrong.len() {
            ways.push((
                &all,
                if answers.is_empty() { Reason::FollowsWorking } else { Reason::Follows },
            ));
        }
        let found =
            ways.into_iter().filter(|(own, _)| !own.is_empty()).find_map(|(own, reason)| {
                let followed = followed(problem, item, verdict, own, settings);
                (followed != Followed::No).then_some((followed, reason))
            });
        if let Some((followed, reason)) = found {
            settle(problem, &mut entries[index], followed, reason, settings);
        }
    }
}

/// Writes down what came of following.
fn settle(
    problem: &Problem,
    entry: &mut MarkedEntry,
    followed: Followed,
    reason: Reason,
    settings: &Settings,
) {
    let verdict = &mut entry.verdict;
    // What was puzzling by itself is explained now.
    verdict.reasons.retain(|reason| !matches!(reason, Reason::Unexplained { .. }));
    match followed {
        Followed::No => return,
        Followed::Trivial => return verdict.reasons.insert(0, Reason::FollowsTrivially),
        Followed::Senseless => return verdict.reasons.insert(0, Reason::FollowsSenselessly),
        Followed::Yes => verdict.reasons.insert(0, reason),
    }
    if let Item::Part(part) = entry.item {
        if problem.parts.get(part).is_some_and(|part| part.response.verdict().is_some()) {
            // The verdict itself is then well found.
            verdict.reasons.truncate(1);
        }
    }
    let key = match entry.item {
        Item::Part(part) => problem.parts.get(part).and_then(|part| part.response.number()),
        Item::Step(_) => None,
    };
    let method = key.map_or(0, |key| key.method_marks);
    let marks = match settings.follow_through {
        FollowThrough::Method if method > 0 => method.min(verdict.of),
        _ => verdict.of,
    };
    verdict.marks = verdict.marks.max(marks);
    verdict.standing = Standing::Partly;
}

/// The step that an entry is for and the coherent number that the candidate gave for it.
fn own_value(problem: &Problem, entry: &MarkedEntry) -> Option<(usize, Exact)> {
    let template = &problem.template;
    let (slot, unit) = match entry.item {
        Item::Part(part) => {
            let plan = template.parts.get(part)?.wanted.number()?;
            (plan.slot, plan.unit)
        }
        Item::Step(step) => {
            let slot = template.working.get(step)?.slot;
            (slot, template.names.get(slot)?.unit)
        }
    };
    if !template.is_step(slot) {
        return None;
    }
    let number = in_unit_of(unit, &entry.verdict)?;
    Some((slot, unit.to_coherent(number).ok()?))
}

/// Whether the answer is what the candidate's own numbers lead to.
fn followed(
    problem: &Problem,
    item: Item,
    verdict: &Verdict,
    own: &[(usize, Exact)],
    settings: &Settings,
) -> Followed {
    let Ok(following) = problem.following(own) else { return Followed::No };
    let part = match item {
        Item::Part(part) => part,
        Item::Step(step) => {
            let agrees = following.step_key(step).is_some_and(|key| agrees(&key, verdict));
            return if agrees { Followed::Yes } else { Followed::No };
        }
    };
    if !part_follows(problem, part, verdict, &following) {
        return Followed::No;
    }
    // A carried number that spoils any later answer is not worth following.
    if !following.is_sensible() {
        Followed::Senseless
    } else if !settings.follow_trivial && following.is_trivial(part) {
        Followed::Trivial
    } else {
        Followed::Yes
    }
}

/// Whether the answer to a part agrees with what follows, and that is another number than the right
/// one.
fn part_follows(
    problem: &Problem,
    part: usize,
    verdict: &Verdict,
    following: &Following<'_>,
) -> bool {
    if problem.parts.get(part).is_some_and(|part| part.response.verdict().is_some()) {
        return conclusion_follows(part, verdict, following);
    }
    let plan = problem.template.parts.get(part).and_then(|part| part.wanted.number());
    let right = problem.parts.get(part).and_then(|part| part.response.number());
    let (Some(plan), Some(right)) = (plan, right) else { return false };
    let Some(exact) = following.exact(part).filter(|exact| *exact != right.exact) else {
        return false;
    };
    let Some(number) = in_unit_of(plan.unit, verdict) else { return false };
    // The number without rounding lies among the legal ones, so what is near it need not be looked
    // for along every way of rounding.
    let is_near = plan
        .tolerance
        .about(exact)
        .is_ok_and(|tolerance| number.sub(exact.settled()).is_ok_and(|gap| gap.abs() <= tolerance));
    is_near || following.key(part).is_some_and(|key| key.is_ok_and(|key| agrees(&key, verdict)))
}

fn agrees(key: &NumberKey, verdict: &Verdict) -> bool {
    in_unit_of(key.unit, verdict).is_some_and(|number| accepted(key, number))
}

/// The number of an answer in a unit; nothing when its unit measures something else.
pub(super) fn in_unit_of(unit: Unit, verdict: &Verdict) -> Option<Exact> {
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
    use crate::marking::mark_together;

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
