//! The rules of marking: what is carried on, and steps written down on the way.

use castmark::bank::Bank;
use castmark::draw::Code;
use castmark::formula::Slot;
use castmark::marking::{
    Account, AccountLine, Carry, Cost, Counts, Entry, Finding, FollowThrough, How, Item, Lies,
    Marked, Note, Rule, Settings, Standing, explain, mark, mark_problem,
};
use castmark::problem::{Part, Problem};
use castmark::quantity::{Exact, Unit};

/// 12 pessaries of 4.40 g (marked 4 g) with 300 mg of boric acid, displacement value 1.6: drug 3.60 g,
/// displaced 2.25 g, total 52.80 g, base 50.55 g, for 1, 1 and 2 marks. The steps of the working are
/// drug, displaced, total, base.
pub(super) fn problem() -> Problem {
    let bank = Bank::bundled().unwrap();
    Problem::from_code(&bank, &Code::parse("base-one-drug.aaaa-aaaaa").unwrap()).unwrap()
}

pub(super) fn part(part: usize, answer: &str) -> Entry<'_> {
    Entry { item: Item::Part(part), answer }
}

pub(super) fn step(step: usize, answer: &str) -> Entry<'_> {
    Entry { item: Item::Step(step), answer }
}

pub(super) fn found(marked: &Marked) -> Vec<(Standing, u32)> {
    marked.entries.iter().map(|entry| (entry.verdict.standing(), entry.verdict.marks())).collect()
}

#[track_caller]
pub(super) fn check(
    entries: &[Entry<'_>],
    settings: &Settings,
    expected: &[(Standing, u32)],
) -> Marked {
    let marked = mark_problem(&problem(), entries, settings);
    assert_eq!(found(&marked), expected, "{marked:#?}");
    marked
}

use Standing::{Correct, NotCorrect, PartlyCorrect};

#[test]
fn what_follows_earns_what_the_rules_say() {
    // 4.80 / 1.6 = 3.00 g displaced, 52.80 - 3.00 = 49.80 g of base.
    let answers = [part(0, "4.80 g"), part(1, "3.00 g"), part(2, "49.80 g")];
    let with = |follow_through| Settings { follow_through, ..Settings::default() };
    check(
        &answers,
        &with(FollowThrough::Never),
        &[(NotCorrect, 0), (NotCorrect, 0), (NotCorrect, 0)],
    );
    check(
        &answers,
        &with(FollowThrough::Method),
        &[(NotCorrect, 0), (Correct, 1), (PartlyCorrect, 1)],
    );
    let all = [(NotCorrect, 0), (Correct, 1), (Correct, 2)];
    let marked = check(&answers, &with(FollowThrough::All), &all);
    for entry in &marked.entries[1..] {
        assert_eq!(entry.verdict.finding, Finding::Follows(Carry::Answer));
    }
    let bank = Bank::bundled().unwrap();
    let account = Account::of(&problem(), &bank, &marked, &with(FollowThrough::All));
    let words: Vec<&str> = account.lines.iter().map(AccountLine::standing_words).collect();
    let follows = "correct for your earlier answer";
    assert_eq!(words, ["not correct", follows, follows]);
}

#[test]
fn a_right_step_beside_a_wrong_answer_is_not_what_was_carried_on() {
    let answers = [part(0, "4.80 g"), step(2, "52.80 g"), part(2, "49.80 g")];
    let marked =
        check(&answers, &Settings::default(), &[(NotCorrect, 0), (Correct, 0), (PartlyCorrect, 1)]);
    assert_eq!(marked.entries[2].verdict.finding, Finding::Follows(Carry::Answer));
}

#[test]
fn a_later_part_may_use_some_of_the_own_numbers_and_not_others() {
    // The drug is wrong, what it displaces is right, and the base is worked out from that with 0.60 g
    // too little: nothing follows. From a wrong displaced mass it does, although the drug is right.
    check(
        &[part(0, "3.60 g"), part(1, "3.00 g"), part(2, "49.80 g")],
        &Settings::default(),
        &[(Correct, 1), (NotCorrect, 0), (PartlyCorrect, 1)],
    );
}

#[test]
fn a_number_that_leaves_nothing_to_work_out_is_not_followed() {
    // 26.40 g displaced leaves 26.40 g: whoever copies the number has it as well.
    let answers = [part(1, "26.40 g"), part(2, "26.40 g")];
    let marked = check(&answers, &Settings::default(), &[(NotCorrect, 0), (NotCorrect, 0)]);
    let verdict = &marked.entries[1].verdict;
    assert!(verdict.notes.contains(&Note::FollowsTrivially));
    assert_eq!((verdict.marks(), verdict.award.rule), (0, Rule::NotFollowed));
    let mild = Settings { follow_trivial: true, ..Settings::default() };
    check(&answers, &mild, &[(NotCorrect, 0), (PartlyCorrect, 1)]);
    // With 0 g displaced the base is what the cavities hold, which stands there already.
    let answers = [step(1, "0 g"), part(2, "52.80 g")];
    let marked = check(&answers, &Settings::default(), &[(NotCorrect, 0), (NotCorrect, 0)]);
    assert_eq!(marked.entries[1].verdict.finding.slips().len(), 1);
}

#[test]
fn a_wrong_step_carried_on_rightly_rescues_the_method() {
    // 52.80 g written as 50.00 g; 50.00 - 2.25 = 47.75 g.
    let alone = [part(2, "47.75 g")];
    check(&alone, &Settings::default(), &[(NotCorrect, 0)]);
    let shown = [step(2, "50.00 g"), part(2, "47.75 g")];
    let marked = check(&shown, &Settings::default(), &[(NotCorrect, 0), (PartlyCorrect, 1)]);
    assert_eq!(marked.entries[1].verdict.finding, Finding::Follows(Carry::Step));
    assert_eq!((marked.marks(), marked.of()), (1, 2));
}

#[test]
fn an_answer_is_judged_from_accepted_answers_of_ones_own_too() {
    let bank = Bank::bundled().unwrap();
    let template = bank.find("value-from-dose").unwrap();
    let slot = |part: usize| template.parts[part].wanted.number().unwrap().slot;
    let mut from_own = 0;
    for number in 0..20 {
        let problem = Problem::draw(&bank, template, number).unwrap();
        let [first, second] = [0, 1].map(|part| problem.parts[part].response.number().unwrap());
        // The lowest and the highest first answer with the places asked for that is accepted.
        let step = Exact::new(1, first.shown.places()).unwrap();
        let own = [step.neg(), Exact::ZERO, step].map(|step| first.shown.add(step).unwrap());
        for own in own.into_iter().filter(|own| first.low <= *own && *own <= first.high) {
            let carried = [(slot(0), first.unit.to_coherent(own).unwrap())];
            let following = problem.following(&carried).unwrap();
            let follows = second.rounding.of_result(following.exact(1).unwrap());
            let answers = [own, follows].map(|number| number.to_string());
            let entries = [part(0, &answers[0]), part(1, &answers[1])];
            let marked = mark_problem(&problem, &entries, &Settings::default());
            let code = problem.code.as_ref().unwrap();
            assert_eq!((marked.marks(), marked.of()), (3, 3), "{code} {answers:?}");
            let finding = &marked.entries[1].verdict.finding;
            from_own += usize::from(*finding == Finding::Accepted(How::FromOwn));
        }
    }
    assert!(from_own > 0);
}

#[test]
fn following_goes_by_the_number_and_never_by_the_marks() {
    // The total of 46.30 g is wrong, 41.35 g is accepted and follows from it as well.
    let bank = Bank::bundled().unwrap();
    let code = Code::parse("base-factor-two-drugs.aaaa-aaaaa").unwrap();
    let problem = Problem::from_code(&bank, &code).unwrap();
    let total = Item::of_step(&problem.template, "total").unwrap();
    let answers = |base| [Entry { item: total, answer: "46.30g" }, part(0, base), part(1, "3.36g")];
    let strict = |unit_counts| Settings {
        right_answer_shows_method: false,
        unit_must_be_written: true,
        unit_costs: Cost::Marks(1),
        unit_counts,
        ..Settings::default()
    };
    let rising = [Counts::Always, Counts::Question, Counts::Paper, Counts::Never];
    let marks =
        rising.map(|counts| mark_problem(&problem, &answers("41.35"), &strict(counts)).marks());
    assert!(marks.is_sorted(), "{marks:?}");
    let with_unit = mark_problem(&problem, &answers("41.35 g"), &strict(Counts::Always)).marks();
    assert!(with_unit >= marks[0], "{with_unit}");
}

#[test]
fn steps_are_marked_by_themselves_and_earn_nothing() {
    let steps = [step(0, "3.6 g"), step(1, "2.25 g"), step(2, "52.8"), step(3, "50.55 g")];
    let marked = check(
        &steps,
        &Settings::default(),
        &[(Correct, 0), (Correct, 0), (Correct, 0), (Correct, 0)],
    );
    assert_eq!(marked.of(), 0);
    assert!(marked.entries.iter().all(|entry| entry.verdict.award.rule == Rule::Step));
    // A step follows from an own step before it: 4.80 / 1.6 = 3.00 g.
    let marked = check(
        &[step(0, "4.80 g"), step(1, "3.00 g")],
        &Settings::default(),
        &[(NotCorrect, 0), (PartlyCorrect, 0)],
    );
    assert_eq!(marked.entries[1].verdict.finding, Finding::Follows(Carry::Step));
}

#[test]
fn a_right_answer_from_wrong_working_has_all_marks_unless_the_rules_ask_for_the_method() {
    let answers = [step(2, "48.00 g"), part(2, "50.55 g")];
    check(&answers, &Settings::default(), &[(NotCorrect, 0), (Correct, 2)]);
    let strict = Settings { right_answer_shows_method: false, ..Settings::default() };
    let marked = check(&answers, &strict, &[(NotCorrect, 0), (NotCorrect, 0)]);
    assert!(marked.entries[1].verdict.notes.contains(&Note::WorkingWrong { step: 2 }));
    let mild = Settings { accuracy_needs_method: false, ..strict };
    check(&answers, &mild, &[(NotCorrect, 0), (PartlyCorrect, 1)]);
}

#[test]
fn wrong_working_is_told_only_where_it_costs_marks() {
    let (bank, problem) = (Bank::bundled().unwrap(), problem());
    let strict = Settings { right_answer_shows_method: false, ..Settings::default() };
    for (answer, costs) in [("50.55 g", true), ("77.77 g", false)] {
        let marked = mark_problem(&problem, &[step(2, "48.00 g"), part(2, answer)], &strict);
        let verdict = &marked.entries[1].verdict;
        assert!(verdict.notes.contains(&Note::WorkingWrong { step: 2 }), "{verdict:?}");
        let said = explain(&problem, &bank, Item::Part(2), verdict, &strict);
        let is_told = said.iter().any(|one| one.text.contains("rests on a number that is wrong"));
        assert_eq!(is_told, costs, "{said:?}");
    }
}

#[test]
fn a_full_mark_owns_up_to_what_it_passes_over() {
    let (bank, problem) = (Bank::bundled().unwrap(), problem());
    let words = |answers: &[Entry<'_>], settings: &Settings| {
        let marked = mark_problem(&problem, answers, settings);
        let account = Account::of(&problem, &bank, &marked, settings);
        account.lines.iter().map(AccountLine::standing_words).collect::<Vec<_>>()
    };
    let default = Settings::default();
    // A fault is counted at the last answer, where it costs the most.
    let units = [part(0, "3.60 mL"), part(2, "50.55 mL")];
    let dear = Settings { unit_costs: Cost::All, ..Settings::default() };
    assert_eq!(words(&units, &dear), ["correct except for the unit", "not correct"]);
    let roundings = [part(0, "3.6 g"), part(1, "2 g"), part(2, "51 g")];
    let mild = Settings { gross_rounding_is_counted_once: true, ..Settings::default() };
    assert_eq!(words(&roundings, &mild), ["correct", "not correct", "accepted"]);
    assert_eq!(words(&[part(2, "50.55 g")], &default), ["correct"]);
}

#[test]
fn an_answer_below_zero_is_told_what_cannot_be_below_zero() {
    let bank = Bank::bundled().unwrap();
    let said = |problem: &Problem, place: usize| {
        let verdict = mark(problem, place, "-7.31");
        assert_eq!(verdict.finding, Finding::Unexplained(Lies::Negative));
        let said = explain(problem, &bank, Item::Part(place), &verdict, &Settings::default());
        said[0].text.clone()
    };
    let says = |what: &str| {
        format!(
            "\u{2212}7.31 is below zero, and {what} is not. Check what you subtracted from what."
        )
    };
    assert_eq!(said(&problem(), 2), says("a mass"));
    // A displacement value has no dimension that would name it.
    let template = bank.find("value-from-densities").unwrap();
    let problem = Problem::draw(&bank, template, 1).unwrap();
    let is_plain = |part: &Part| part.response.number().is_some_and(|key| key.unit == Unit::NUMBER);
    let place = problem.parts.iter().position(is_plain).unwrap();
    assert_eq!(said(&problem, place), says("the answer"));
}

#[test]
fn two_faults_of_one_answer_are_not_two_ways_to_come_to_it() {
    let (bank, problem) = (Bank::bundled().unwrap(), problem());
    let verdict = mark(&problem, 2, "50.6 mL");
    let said = explain(&problem, &bank, Item::Part(2), &verdict, &Settings::default());
    let said: Vec<&str> = said.iter().map(|one| one.text.as_str()).collect();
    assert_eq!(
        said,
        [
            "The number in 50.6 mL is correct, but the unit is not: you gave an answer in mL (volume); \
             the question asks for an answer in g (mass).",
            "50.6 mL is rounded too far: the question asks for 2 decimal places.",
        ]
    );
}

#[test]
fn places_that_must_be_written_and_cost_nothing_leave_the_answer_right() {
    let settings = Settings {
        places_must_be_written: true,
        rounding_costs: Cost::Nothing,
        ..Settings::default()
    };
    let marked = check(&[part(0, "3.6 g")], &settings, &[(Correct, 1)]);
    assert_eq!(marked.entries[0].verdict.award.rule, Rule::RightAnswer);
}

#[test]
fn a_unit_that_must_be_written_and_costs_nothing_leaves_the_answer_right() {
    let settings =
        Settings { unit_must_be_written: true, unit_costs: Cost::Nothing, ..Settings::default() };
    let marked = check(&[part(0, "3.60")], &settings, &[(Correct, 1)]);
    assert_eq!(marked.entries[0].verdict.award.rule, Rule::RightAnswer);
}

#[test]
fn a_step_is_known_by_its_name_or_label_in_any_dress_and_a_step_that_is_asked_is_its_part() {
    let template = &problem().template;
    for name in ["total", "TOTAL", "total capacity", "Total_Capacity"] {
        assert_eq!(Item::of_step(template, name), Some(Item::Step(2)), "{name}");
    }
    assert_eq!(Item::of_step(template, "Base Displaced"), Some(Item::Part(1)));
    assert_eq!(Item::of_step(template, "totals"), None);
}

#[test]
fn marks_that_wait_for_a_person_are_told_apart() {
    let (bank, settings) = (Bank::bundled().unwrap(), Settings::default());
    let template = bank.find("classes-of-base").unwrap();
    let problem = Problem::draw(&bank, template, 1).unwrap();
    let right = problem.parts[1].response.answer();
    let entries = [part(0, "fatty bases"), part(1, &right)];
    let together = |entries: &[Entry<'_>]| {
        let marked = mark_problem(&problem, entries, &settings);
        Account::of(&problem, &bank, &marked, &settings).together()
    };
    assert_eq!(together(&entries), "Together 1 of 1 mark; 5 more to be marked by hand.");
    assert_eq!(together(&entries[..1]), "5 marks to be marked by hand.");
    assert_eq!(together(&entries[1..]), "Together 1 of 1 mark.");
}

#[test]
fn an_account_keeps_what_was_written_but_for_letters_that_no_paper_shows() {
    let (bank, settings) = (Bank::bundled().unwrap(), Settings::default());
    let template = bank.find("classes-of-base").unwrap();
    let problem = Problem::draw(&bank, template, 1).unwrap();
    let marked =
        mark_problem(&problem, &[part(0, " fatty\u{7} bases,\u{1b}[1m 3 °C\n")], &settings);
    let account = Account::of(&problem, &bank, &marked, &settings);
    let line = account.lines.iter().find(|line| !line.answer.is_empty()).unwrap();
    assert_eq!(line.answer, "fatty bases,[1m 3 °C");
    assert_eq!(line.quoted, "fatty bases,[1m 3 °C");
}

#[test]
fn an_own_number_is_followed_along_every_method_it_goes_through() {
    let bank = Bank::bundled().unwrap();
    let template = bank.find("bougie-medicated").unwrap();
    let problem = Problem::draw(&bank, template, 2).unwrap();
    let slot = template.parts[0].wanted.number().unwrap().slot;
    let Slot::Number(right) = problem.slots[slot] else { panic!() };
    let own = right.add(right.mul(Exact::new(1, 1).unwrap()).unwrap()).unwrap();
    let key = problem.following(&[(slot, own)]).unwrap().key(2).unwrap().unwrap();
    // Each unit rounded to four places by the second method; the batch alone leads to 15.58 g.
    assert_eq!((key.low.to_string(), key.high.to_string()), ("15.52".into(), "15.63".into()));
}

#[test]
fn a_percentage_is_asked_for_by_its_sign_alone() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, bank.find("wrong-value-dose").unwrap(), 1).unwrap();
    let is_share = |part: &Part| part.response.number().is_some_and(|key| key.unit.symbol() == "%");
    let part = problem.parts.iter().position(is_share).unwrap();
    let verdict = mark(&problem, part, "5 g");
    let said = explain(&problem, &bank, Item::Part(part), &verdict, &Settings::default());
    let asked = "You gave an answer in g (mass); the question asks for an answer in %.";
    assert_eq!(said[0].text, asked);
}
