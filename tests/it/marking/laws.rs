//! The laws of marking, over every template, every rule and many draws: better is never worse, and a
//! milder count never costs more.

use castmark::formula::Slot;
use castmark::marking::{
    Cause, Cost, Counts, Finding, How, Item, Marked, Settings, mark, mark_paper, mark_problem,
};
use castmark::problem::{NumberKey, Problem, Response};
use castmark::quantity::Exact;
use proptest::prelude::*;

use super::properties::{answers, bank, cases, choices, entries, problem, settings, worked};

fn marked(problem: &Problem, answers: &[(Item, String)], settings: &Settings) -> Marked {
    mark_problem(problem, &entries(answers), settings)
}

/// The marks that answers lose which rest on an earlier answer of the candidate's own. When that one
/// is put right, they have nothing to follow from any more.
fn lost_by_followers(before: &Marked, after: &Marked) -> u32 {
    let rests = |finding: &Finding| {
        matches!(finding, Finding::Follows(_) | Finding::Accepted(How::FromOwn))
    };
    let followers = before.entries.iter().filter(|entry| rests(&entry.verdict.finding));
    let loses = followers.map(|entry| {
        let now = after.entries.iter().find(|other| other.item == entry.item);
        entry.verdict.marks().saturating_sub(now.map_or(0, |now| now.verdict.marks()))
    });
    loses.sum()
}

/// An answer with more of the true places than another that earns more.
fn more_places_that_cost(problem: &Problem, settings: &Settings) -> Option<String> {
    for (place, part) in problem.parts.iter().enumerate() {
        let Some(key) = part.response.number() else { continue };
        let mut most = 0;
        for places in 0..key.shown.places() + 3 {
            let answer = format!("{} {}", key.exact.to_places(places), key.unit.symbol());
            let marked = marked(problem, &[(Item::Part(place), answer.clone())], settings);
            let verdict = &marked.entries[0].verdict;
            // A coarse number that is a slip's as well shows no method.
            let is_slip = |cause: &Cause| matches!(cause, Cause::Slip { .. });
            let is_slip = verdict.finding.causes().iter().any(is_slip);
            if verdict.marks() < most && !is_slip {
                return Some(format!("{}: {answer}", part.id));
            }
            most = most.max(verdict.marks());
        }
    }
    None
}

/// A wrong number that is carried on may be rounded on the way like any other, also where that leads
/// farther than the tolerance reaches.
#[test]
fn what_follows_from_a_wrong_number_may_be_rounded_on_the_way() {
    let problems = bank().templates().iter().map(|it| Problem::draw(bank(), it, 3).unwrap());
    let farther = problems.map(|problem| {
        let pairs = (0..problem.parts.len())
            .flat_map(|first| (first + 1..problem.parts.len()).map(move |later| (first, later)));
        pairs.map(|(first, later)| followed_by_rounding(&problem, first, later)).sum::<u32>()
    });
    assert!(farther.sum::<u32>() > 0);
}

/// Answers a part with a tenth too much and a later one with what that leads to by rounding on the way,
/// where it leads anywhere; how many of these answers lie beyond the tolerance.
fn followed_by_rounding(problem: &Problem, first: usize, later: usize) -> u32 {
    let numeric = |part: usize| {
        let plan = problem.template.parts[part].wanted.number()?;
        Some((plan, problem.parts[part].response.number()?))
    };
    let (Some((of_first, key)), Some((plan, right))) = (numeric(first), numeric(later)) else {
        return 0;
    };
    let own = key.exact.mul(Exact::new(11, 1).unwrap()).unwrap();
    let own = key.rounding.of_result(own);
    let is_right = key.low <= own && own <= key.high;
    if is_right || !problem.template.is_step(of_first.slot) {
        return 0;
    }
    let carried = [(of_first.slot, key.unit.to_coherent(own).unwrap())];
    let Ok(following) = problem.following(&carried) else { return 0 };
    let Some(Ok(led)) = following.key(later) else { return 0 };
    if led.exact == right.exact || !following.is_sensible() || following.is_trivial(later) {
        return 0;
    }
    let ends = [led.legal_low, led.legal_high].map(|end| led.rounding.of_result(end));
    let wrong = ends.into_iter().filter(|answer| *answer < right.low || right.high < *answer);
    let is_farther = wrong.map(|answer| {
        let answers = [(Item::Part(first), own), (Item::Part(later), answer)];
        let answers = answers.map(|(item, number)| (item, number.to_string()));
        let marked = marked(problem, &answers, &Settings::default());
        let finding = &marked.entries[1].verdict.finding;
        let code = problem.code.as_ref().unwrap();
        assert!(
            matches!(finding, Finding::Follows(_)),
            "{code} {first} {later} {answer}: {finding:?}"
        );
        answer.sub(led.exact).unwrap().abs() > plan.tolerance.about(led.exact).unwrap()
    });
    is_farther.map(u32::from).sum()
}

/// A working that rounds on the way lets 12 g of water in where 11.93 g is exact.
#[test]
fn more_places_cost_nothing_where_rounding_on_the_way_lets_few_in() {
    let settings = Settings { rounding_costs: Cost::All, ..Settings::default() };
    let id = "glycero-gelatin-masses";
    let template = bank().templates().iter().find(|template| template.id == id).unwrap();
    for number in (0..400).chain([595_252_414_549]) {
        let problem = Problem::draw(bank(), template, number).unwrap();
        assert_eq!(more_places_that_cost(&problem, &settings), None, "draw {number}");
    }
}

/// Half-way between a right answer and what a wrong earlier one leads to, where these lie far apart.
fn between(problem: &Problem, wrong: usize, asked: usize) -> Option<[(Item, String); 2]> {
    let plan = problem.template.parts[wrong].wanted.number()?;
    let [own, right] = [wrong, asked].map(|part| problem.parts[part].response.number());
    let (own, right) = (own?, right?);
    let number = own.shown.times_ten_to(1).ok()?.half().ok()?.half().ok()?;
    let carried = [(plan.slot, plan.unit.to_coherent(number).ok()?)];
    let followed = problem.following(&carried).ok()?;
    let key = followed.key(asked)?.ok()?;
    let gap = right.exact.sub(key.exact).ok()?.abs();
    let width = right.high.sub(right.low).ok()?.max(key.high.sub(key.low).ok()?);
    let half = right.exact.add(key.exact).ok()?.half().ok()?;
    let half = half.to_places(right.shown.places() + 2);
    (gap > width.times_ten_to(1).ok()?).then(|| {
        let answer = |number: Exact, key: &NumberKey| format!("{number} {}", key.unit.symbol());
        [(Item::Part(wrong), answer(number, own)), (Item::Part(asked), answer(half, right))]
    })
}

/// A template may show several methods, and a wrong number be part of one alone.
#[test]
fn half_way_between_the_right_answer_and_the_one_that_follows_nothing_follows() {
    let mut tried = 0;
    for template in bank().templates() {
        for number in 0..4 {
            let problem = Problem::draw(bank(), template, number).unwrap();
            let parts = 0..problem.parts.len();
            for (wrong, asked) in parts.clone().flat_map(|it| (0..it).map(move |wrong| (wrong, it)))
            {
                let Some(answers) = between(&problem, wrong, asked) else { continue };
                let marked = marked(&problem, &answers, &Settings::default());
                let finding = &marked.entries[1].verdict.finding;
                let code = problem.code.as_ref().unwrap();
                assert!(!matches!(finding, Finding::Follows(_)), "{code}: {answers:?}");
                tried += 1;
            }
        }
    }
    assert!(tried > 100, "only {tried}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(100)))]

    #[test]
    fn putting_an_answer_right_never_costs_marks(
        problem in problem(), choices in choices(), settings in settings(),
    ) {
        let answers = answers(&problem, &choices);
        let before = marked(&problem, &answers, &settings);
        for (place, part) in problem.parts.iter().enumerate() {
            let mut better = answers.clone();
            better.retain(|(item, _)| *item != Item::Part(place));
            better.push((Item::Part(place), part.response.answer()));
            let after = marked(&problem, &better, &settings);
            prop_assert!(
                after.marks() + lost_by_followers(&before, &after) >= before.marks(),
                "{:?} part {place}: {answers:?}", problem.code
            );
        }
    }

    #[test]
    fn a_right_step_never_costs_marks_nor_any_step_where_it_need_not_be_right(
        (problem, _) in worked(), choices in choices(), settings in settings(),
        step in any::<prop::sample::Index>(), wrong in 1_u32..100_000,
    ) {
        let mut answers = answers(&problem, &choices);
        answers.truncate(6);
        let Some(place) = (!problem.template.working.is_empty())
            .then(|| step.index(problem.template.working.len())) else { return Ok(()) };
        answers.retain(|(item, _)| *item != Item::Step(place));
        let before = marked(&problem, &answers, &settings).marks();
        let Some(key) = problem.step_key(place) else { return Ok(()) };
        let mut with = answers.clone();
        with.push((Item::Step(place), format!("{} {}", key.shown, key.unit.symbol())));
        let right = marked(&problem, &with, &settings).marks();
        prop_assert!(right >= before, "{:?} step {place}: {answers:?}", problem.code);
        if settings.right_answer_shows_method {
            with.pop();
            with.push((Item::Step(place), format!("{wrong}")));
            let any = marked(&problem, &with, &settings).marks();
            prop_assert!(any >= before, "{:?} step {place} {wrong}: {answers:?}", problem.code);
        }
    }

    #[test]
    fn writing_the_unit_never_costs_marks(
        problem in problem(), choices in choices(), settings in settings(),
    ) {
        let answers = answers(&problem, &choices);
        let before = marked(&problem, &answers, &settings).marks();
        for (place, (item, answer)) in answers.iter().enumerate() {
            let Item::Part(part) = item else { continue };
            let Response::Number(key) = &problem.parts[*part].response else { continue };
            if answer.parse::<f64>().is_err() {
                continue;
            }
            let mut with = answers.clone();
            with[place].1 = format!("{answer} {}", key.unit.symbol());
            let after = marked(&problem, &with, &settings).marks();
            prop_assert!(after >= before, "{:?} part {part}: {answers:?}", problem.code);
        }
    }

    #[test]
    fn more_of_the_true_places_never_cost_marks((problem, _) in worked(), settings in settings()) {
        let costly = more_places_that_cost(&problem, &settings);
        prop_assert!(costly.is_none(), "{problem:?}: {costly:?}");
    }

    #[test]
    fn the_figure_that_is_shown_is_right_when_it_is_rounded_as_asked((problem, _) in worked()) {
        let template = &problem.template;
        for (place, part) in template.parts.iter().enumerate() {
            let Some(plan) = part.wanted.number() else { continue };
            let Some(step) = template.working.iter().find(|step| step.slot == plan.slot) else {
                continue;
            };
            let Slot::Number(value) = problem.slots[plan.slot] else { continue };
            let unit = template.names[plan.slot].unit;
            let shown = step.rounding.of_result(unit.from_coherent(value).unwrap());
            let asked = plan.unit.from_coherent(unit.to_coherent(shown).unwrap()).unwrap();
            let answer = plan.rounding.of_result(asked);
            let verdict = mark(&problem, place, &answer.to_string());
            let code = problem.code.as_ref().unwrap();
            prop_assert!(verdict.is_right(), "{code} {}: {shown}, {answer}", part.id);
        }
    }

    #[test]
    fn what_is_counted_more_seldom_never_costs_more(
        problem in problem(), other in problem(), choices in choices(), settings in settings(),
        kind in 0_u8..3,
    ) {
        let [here, there] = [&problem, &other].map(|problem| answers(problem, &choices));
        let [here, there] = [entries(&here), entries(&there)];
        let paper = [
            (&*problem, here.as_slice()),
            (&*other, there.as_slice()),
            (&*problem, here.as_slice()),
        ];
        let marks = |counts: Counts| -> u32 {
            let settings = match kind {
                0 => Settings { unit_counts: counts, ..settings.clone() },
                1 => Settings { rounding_counts: counts, ..settings.clone() },
                _ => Settings { unit_counts: counts, rounding_counts: counts, ..settings.clone() },
            };
            mark_paper(&paper, &settings).iter().map(Marked::marks).sum()
        };
        let rising = [Counts::Always, Counts::Question, Counts::Paper, Counts::Never];
        let found = rising.map(marks);
        prop_assert!(found.is_sorted(), "{found:?}");
    }
}
