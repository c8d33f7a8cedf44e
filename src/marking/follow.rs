//! Following a candidate's own earlier answers.

use crate::problem::{Following, NumberKey, Problem};
use crate::quantity::Exact;

use super::diagnosis::accepted;
use super::entry::Item;
use super::open::Open;
use super::{Carry, Finding, FollowThrough, How, Note, Settings, Understood};

/// The most own numbers that are carried on in every combination; of more, the nearest are.
const MOST_CARRIED: usize = 8;

/// A number of the candidate's own that a later answer may have been worked out from.
#[derive(Clone, Copy, Debug)]
struct Own {
    /// The slot of the step it is for.
    slot: usize,
    /// The number in coherent units.
    number: Exact,
    /// Whether it was accepted.
    accepted: bool,
    /// Whether it was written down as a step of the working.
    is_step: bool,
}

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

/// Follows each answer from the candidate's own earlier numbers, along the same ways of rounding, and
/// adds what it finds to what the true values gave; the better of the two counts.
///
/// Whether a number is accepted decides, never what it earned. An answer that comes out of accepted
/// numbers is accepted itself: whoever answers 0.84 and goes on with it is as right as the key. When
/// it comes out of a wrong number, the method was right and the number was only carried on. Such an
/// answer has the marks that the settings give it, by default those for method (GCE physics and
/// National 5 physics credit the follow-on), and all its marks where a part has none for method
/// (International Baccalaureate, mathematics).
///
/// Each own number may have been used or not, since a candidate may work a later part from the stem
/// again; so every combination is tried. Nothing is followed from a wrong number that leaves an
/// answer without sense (a negative mass) or leaves nothing to work out, or that makes no difference.
pub(super) fn follow(problem: &Problem, entries: &mut [Open], settings: &Settings) {
    for index in 1..entries.len() {
        let (earlier, rest) = entries.split_at_mut(index);
        let Some(entry) = rest.first_mut() else { continue };
        let rests_on_wrong = entry.notes.iter().any(|it| matches!(it, Note::WorkingWrong { .. }));
        // The right number in a wrong unit is that and nothing else.
        if (entry.is_accepted() || entry.has_wrong_unit()) && !rests_on_wrong {
            continue;
        }
        let own = own_numbers(problem, earlier, entry.item);
        let (findings, note) = from_own(problem, entry.item, &entry.understood, &own, settings);
        entry.findings.extend(findings);
        entry.notes.extend(note);
    }
}

/// The own numbers that an item can have been worked out from, the nearest last.
fn own_numbers(problem: &Problem, earlier: &[Open], item: Item) -> Vec<Own> {
    let template = &problem.template;
    let answer = slot_of(problem, item);
    let read = match item {
        Item::Part(part) => template.parts.get(part).map(|part| part.wanted.reads()),
        Item::Step(_) => answer.map(|slot| vec![slot]),
    };
    let read = read.unwrap_or_default();
    let towards: Vec<usize> =
        read.into_iter().flat_map(|slot| problem.steps_towards(slot)).collect();
    let leads = |own: &Own| {
        let step = template.working.iter().position(|step| step.slot == own.slot);
        Some(own.slot) != answer && step.is_some_and(|step| towards.contains(&step))
    };
    let mut own: Vec<Own> =
        earlier.iter().filter_map(|entry| own_number(problem, entry)).filter(leads).collect();
    own.drain(..own.len().saturating_sub(MOST_CARRIED));
    own
}

/// The step that an entry is for and the number that the candidate gave for it.
fn own_number(problem: &Problem, entry: &Open) -> Option<Own> {
    let template = &problem.template;
    let slot = slot_of(problem, entry.item).filter(|slot| template.is_step(*slot))?;
    let unit = match entry.item {
        Item::Part(part) => template.parts.get(part)?.wanted.number()?.unit,
        Item::Step(_) => template.names.get(slot)?.unit,
    };
    // Whoever writes the right number in a wrong unit goes on with that number.
    let (number, accepted) = if entry.has_wrong_unit() {
        (entry.understood.typed()?.number, true)
    } else {
        (entry.understood.number()?, entry.is_accepted())
    };
    Some(Own {
        slot,
        number: unit.to_coherent(number).ok()?,
        accepted,
        is_step: matches!(entry.item, Item::Step(_)),
    })
}

/// The slot of the number that an item is for.
fn slot_of(problem: &Problem, item: Item) -> Option<usize> {
    let template = &problem.template;
    match item {
        Item::Part(part) => Some(template.parts.get(part)?.wanted.number()?.slot),
        Item::Step(step) => Some(template.working.get(step)?.slot),
    }
}

/// What is found of an answer when some of the own numbers are carried on: whether it comes out of
/// accepted ones, and whether out of a wrong one. Either may earn more, by the settings.
fn from_own(
    problem: &Problem,
    item: Item,
    answer: &Understood,
    own: &[Own],
    settings: &Settings,
) -> (Vec<Finding>, Option<Note>) {
    let (mut accepted, mut carry, mut note) = (false, None, None);
    for chosen in 1..1_u32 << own.len() {
        let is_chosen = |index: &usize| chosen & 1 << index != 0;
        let carried: Vec<Own> = own
            .iter()
            .enumerate()
            .filter(|(index, _)| is_chosen(index))
            .map(|(_, own)| *own)
            .collect();
        let all_accepted = carried.iter().all(|own| own.accepted);
        if !all_accepted && settings.follow_through == FollowThrough::Never {
            continue;
        }
        let numbers: Vec<(usize, Exact)> =
            carried.iter().map(|own| (own.slot, own.number)).collect();
        match followed(problem, item, answer, &numbers, settings) {
            Followed::No => {}
            Followed::Yes if all_accepted => accepted = true,
            Followed::Yes => {
                let step = carried.iter().any(|own| own.is_step && !own.accepted);
                if carry != Some(Carry::Answer) {
                    carry = Some(if step { Carry::Step } else { Carry::Answer });
                }
            }
            Followed::Trivial => note = Some(Note::FollowsTrivially),
            Followed::Senseless => note = note.or(Some(Note::FollowsSenselessly)),
        }
    }
    let accepted = accepted.then_some(Finding::Accepted(How::FromOwn));
    let findings: Vec<Finding> = accepted.into_iter().chain(carry.map(Finding::Follows)).collect();
    let note = note.filter(|_| findings.is_empty());
    (findings, note)
}

/// Whether the answer is what the own numbers lead to.
fn followed(
    problem: &Problem,
    item: Item,
    answer: &Understood,
    own: &[(usize, Exact)],
    settings: &Settings,
) -> Followed {
    let Ok(following) = problem.following(own) else { return Followed::No };
    let part = match item {
        Item::Part(part) => part,
        Item::Step(step) => {
            let key = || following.step_key(step);
            let agrees =
                answer.number().is_some_and(|it| key().is_some_and(|key| accepted(&key, it)));
            return if agrees { Followed::Yes } else { Followed::No };
        }
    };
    let follows = match answer {
        Understood::Options(indices) => following
            .verdicts(part)
            .is_some_and(|verdicts| indices.iter().all(|index| verdicts.contains(index))),
        answer => {
            answer.number().is_some_and(|number| number_follows(problem, part, number, &following))
        }
    };
    if !follows {
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

/// Whether the number of a part agrees with what follows, and that is another number than the right
/// one.
fn number_follows(
    problem: &Problem,
    part: usize,
    number: Exact,
    following: &Following<'_>,
) -> bool {
    let plan = problem.template.parts.get(part).and_then(|part| part.wanted.number());
    let right = problem.parts.get(part).and_then(|part| part.response.number());
    let (Some(plan), Some(right)) = (plan, right) else { return false };
    let Some(exact) = following.exact(part).filter(|exact| *exact != right.exact) else {
        return false;
    };
    let Ok(gap) = number.sub(exact.settled()).map(Exact::abs) else { return false };
    // The number without rounding lies among the legal ones, so what is near it need not be looked
    // for along every way of rounding, and what is far from it lies beyond all of them.
    let is_near = plan.tolerance.about(exact).is_ok_and(|tolerance| gap <= tolerance);
    let is_far = || {
        let half = plan.rounding.step_at(exact).add(exact.abs().times_ten_to(-1).unwrap_or(exact));
        half.is_ok_and(|half| gap > half)
    };
    let agrees = |key: NumberKey| accepted(&key, number);
    is_near || !is_far() && following.key(part).is_some_and(|key| key.is_ok_and(agrees))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;
    use crate::marking::{Entry, Standing, mark_problem, mark_together};

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
            .map(|(_, verdict)| (verdict.standing(), verdict.marks()))
            .collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn a_wrong_number_carried_on_rightly_keeps_the_marks_for_method() {
        // Drug taken as 4.80 g: 4.80 / 1.6 = 3.00 g displaced, 52.80 - 3.00 = 49.80 g of base.
        check(
            &[(0, "4.80 g"), (1, "3.00 g"), (2, "49.80 g")],
            &[(Standing::NotCorrect, 0), (Standing::Correct, 1), (Standing::PartlyCorrect, 1)],
        );
    }

    #[test]
    fn the_order_of_the_answers_does_not_matter() {
        check(
            &[(2, "49.80 g"), (0, "4.80 g"), (1, "3000 mg")],
            &[(Standing::NotCorrect, 0), (Standing::Correct, 1), (Standing::PartlyCorrect, 1)],
        );
    }

    #[test]
    fn a_wrong_number_that_follows_from_nothing_has_no_marks() {
        check(
            &[(0, "4.80 g"), (2, "44.00 g")],
            &[(Standing::NotCorrect, 0), (Standing::NotCorrect, 0)],
        );
        check(&[(2, "49.80 g")], &[(Standing::NotCorrect, 0)]);
    }

    #[test]
    fn a_number_that_makes_nonsense_of_the_rest_is_not_followed() {
        // 90 g of drug would displace 56.25 g: more than the mould holds.
        check(
            &[(0, "90 g"), (1, "56.25 g"), (2, "-3.45 g")],
            &[(Standing::NotCorrect, 0), (Standing::NotCorrect, 0), (Standing::NotCorrect, 0)],
        );
    }

    /// 16 suppositories of 2.00 g with 300 mg of a drug of density 2.80 g/mL in theobroma oil of 0.90 g/mL:
    /// 4.80 g of drug take the place of 1.543 g of base, and 32.00 - 1.543 = 30.46 g of base are needed.
    fn by_volume() -> Problem {
        let bank = Bank::bundled().unwrap();
        Problem::from_code(&bank, &Code::parse("base-occupied-volume.vnry-v3cqy").unwrap()).unwrap()
    }

    #[test]
    fn a_wrong_number_may_be_rounded_on_the_way_too() {
        // 5.50 / 2.80 = 1.964 mL, and 1.964 x 0.90 = 1.768 g; from 1.96 mL it is 1.764 g.
        for (displaced, standing) in [
            ("1.77 g", Standing::PartlyCorrect),
            ("1.76 g", Standing::PartlyCorrect),
            ("1.75 g", Standing::NotCorrect),
            ("1.78 g", Standing::NotCorrect),
        ] {
            let wrong = Entry { item: Item::Step(0), answer: "5.50 g" };
            let answer = Entry { item: Item::Part(0), answer: displaced };
            let marked = mark_problem(&by_volume(), &[wrong, answer], &Settings::default());
            assert_eq!(marked.entries[1].verdict.standing(), standing, "{displaced}");
        }
    }

    #[test]
    fn what_lies_between_two_methods_follows_from_nothing() {
        // Taken from the whole batch, 1.00 g displaced leaves 31.00 g. Unit by unit nobody needs the
        // base displaced by the batch, so that way still leads to 30.46 g, and no way to 30.80 g.
        for (base, standing) in [
            ("31.00 g", Standing::Correct),
            ("30.80 g", Standing::NotCorrect),
            ("30.55 g", Standing::NotCorrect),
            ("30.46 g", Standing::Correct),
        ] {
            let verdicts = mark_together(&by_volume(), &[(0, "1.00 g"), (1, base)]);
            assert_eq!(verdicts[1].1.standing(), standing, "{base}");
        }
    }

    #[test]
    fn a_right_step_between_takes_nothing_from_what_follows_from_a_wrong_one() {
        // 4.81 g of drug lead to 1.546 g displaced, which is accepted as well.
        let settings = Settings {
            right_answer_shows_method: false,
            follow_through: FollowThrough::All,
            ..Settings::default()
        };
        let wrong = Entry { item: Item::Step(0), answer: "4.81 g" };
        let right = Entry { item: Item::Step(1), answer: "1.714 mL" };
        let answer = Entry { item: Item::Part(0), answer: "1.55 g" };
        for entries in [vec![wrong, answer], vec![wrong, right, answer]] {
            let marked = mark_problem(&by_volume(), &entries, &settings);
            let verdict = &marked.entries.last().unwrap().verdict;
            assert_eq!((verdict.marks(), &verdict.finding), (2, &Finding::Follows(Carry::Step)));
        }
    }

    #[test]
    fn what_is_right_and_follows_too_is_called_right_where_both_earn_the_same() {
        let settings = Settings {
            right_answer_shows_method: false,
            accuracy_needs_method: false,
            ..Settings::default()
        };
        let wrong = Entry { item: Item::Step(0), answer: "4.81 g" };
        let answer = Entry { item: Item::Part(0), answer: "1.55 g" };
        let marked = mark_problem(&by_volume(), &[wrong, answer], &settings);
        let verdict = &marked.entries[1].verdict;
        assert_eq!(verdict.marks(), 1);
        assert!(matches!(verdict.finding, Finding::Accepted(_)), "{verdict:?}");
    }

    #[test]
    fn right_answers_stay_right() {
        check(
            &[(0, "3.6 g"), (1, "2.25 g"), (2, "50.55 g")],
            &[(Standing::Correct, 1), (Standing::Correct, 1), (Standing::Correct, 2)],
        );
    }
}
