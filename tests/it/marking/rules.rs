//! The rules of marking: what is carried on, what is counted once, and steps written down on the way.

use castmark::bank::Bank;
use castmark::draw::Code;
use castmark::marking::{
    Cost, Counts, Entry, Fault, FollowThrough, Item, Marked, Reason, Settings, Standing, explain,
    mark, mark_paper, mark_problem,
};
use castmark::problem::Problem;

/// 12 pessaries of 4.40 g (marked 4 g) with 300 mg of boric acid, displacement value 1.6: drug 3.60 g,
/// displaced 2.25 g, total 52.80 g, base 50.55 g, for 1, 1 and 2 marks. The steps of the working are
/// drug, displaced, total, base.
fn problem() -> Problem {
    let bank = Bank::bundled().unwrap();
    Problem::from_code(&bank, &Code::parse("base-one-drug.aaaa-aaaaa").unwrap()).unwrap()
}

fn part(part: usize, answer: &str) -> Entry<'_> {
    Entry { item: Item::Part(part), answer }
}

fn step(step: usize, answer: &str) -> Entry<'_> {
    Entry { item: Item::Step(step), answer }
}

fn found(marked: &Marked) -> Vec<(Standing, u32)> {
    marked.entries.iter().map(|entry| (entry.verdict.standing, entry.verdict.marks)).collect()
}

#[track_caller]
fn check(entries: &[Entry<'_>], settings: &Settings, expected: &[(Standing, u32)]) -> Marked {
    let marked = mark_problem(&problem(), entries, settings);
    assert_eq!(found(&marked), expected, "{marked:#?}");
    marked
}

use Standing::{Partly, Right, Wrong};

#[test]
fn a_wrong_unit_costs_marks_once_in_a_question() {
    let answers = [part(0, "3.60 mg"), part(1, "2.25 mg"), part(2, "50.55 mg")];
    let marked = check(&answers, &Settings::default(), &[(Wrong, 0), (Partly, 1), (Partly, 2)]);
    assert!(marked.entries[2].verdict.reasons.contains(&Reason::CountedInQuestion(Fault::Unit)));
    let each = Settings { unit_counts: Counts::Always, ..Settings::default() };
    check(&answers, &each, &[(Wrong, 0), (Wrong, 0), (Partly, 1)]);
    let never = Settings { unit_counts: Counts::Never, ..Settings::default() };
    check(&answers, &never, &[(Partly, 1), (Partly, 1), (Partly, 2)]);
    let dear =
        Settings { unit_costs: Cost::All, unit_counts: Counts::Always, ..Settings::default() };
    check(&answers, &dear, &[(Wrong, 0), (Wrong, 0), (Wrong, 0)]);
}

#[test]
fn a_wrong_rounding_costs_marks_once_in_a_paper_and_a_wrong_unit_anew_in_each_question() {
    let problem = problem();
    let answers = [part(0, "3.60 mg"), part(2, "51 g")];
    let paper = [(&problem, answers.as_slice()), (&problem, answers.as_slice())];
    let marked = mark_paper(&paper, &Settings::default());
    assert_eq!(found(&marked[0]), [(Wrong, 0), (Partly, 1)]);
    assert_eq!(found(&marked[1]), [(Wrong, 0), (Partly, 2)]);
    let reasons = &marked[1].entries[1].verdict.reasons;
    assert!(reasons.contains(&Reason::CountedInPaper(Fault::Rounding)), "{reasons:?}");
    assert_eq!((marked[0].marks(), marked[0].of()), (1, 3));
}

#[test]
fn a_missing_unit_costs_marks_only_where_the_rules_say_so() {
    let answers = [part(0, "3.60"), part(1, "2.25"), part(2, "50.55 g")];
    check(&answers, &Settings::default(), &[(Right, 1), (Right, 1), (Right, 2)]);
    let strict = Settings { unit_must_be_written: true, ..Settings::default() };
    check(&answers, &strict, &[(Wrong, 0), (Right, 1), (Right, 2)]);
}

#[test]
fn missing_places_cost_marks_only_where_the_rules_say_so() {
    let answers = [part(0, "3.6 g")];
    check(&answers, &Settings::default(), &[(Right, 1)]);
    let strict = Settings { places_must_be_written: true, ..Settings::default() };
    check(&answers, &strict, &[(Wrong, 0)]);
}

#[test]
fn what_follows_earns_what_the_rules_say() {
    // 4.80 / 1.6 = 3.00 g displaced, 52.80 - 3.00 = 49.80 g of base.
    let answers = [part(0, "4.80 g"), part(1, "3.00 g"), part(2, "49.80 g")];
    let with = |follow_through| Settings { follow_through, ..Settings::default() };
    check(&answers, &with(FollowThrough::Never), &[(Wrong, 0), (Wrong, 0), (Wrong, 0)]);
    check(&answers, &with(FollowThrough::Method), &[(Wrong, 0), (Partly, 1), (Partly, 1)]);
    check(&answers, &with(FollowThrough::All), &[(Wrong, 0), (Partly, 1), (Partly, 2)]);
}

#[test]
fn a_later_part_may_use_some_of_the_own_numbers_and_not_others() {
    // The drug is wrong, what it displaces is right, and the base is worked out from that with 0.60 g
    // too little: nothing follows. From a wrong displaced mass it does, although the drug is right.
    check(
        &[part(0, "3.60 g"), part(1, "3.00 g"), part(2, "49.80 g")],
        &Settings::default(),
        &[(Right, 1), (Wrong, 0), (Partly, 1)],
    );
}

#[test]
fn a_number_that_leaves_nothing_to_work_out_is_not_followed() {
    // 26.40 g displaced leaves 26.40 g: whoever copies the number has it as well.
    let answers = [part(1, "26.40 g"), part(2, "26.40 g")];
    let marked = check(&answers, &Settings::default(), &[(Wrong, 0), (Wrong, 0)]);
    assert!(marked.entries[1].verdict.reasons.contains(&Reason::FollowsTrivially));
    let mild = Settings { follow_trivial: true, ..Settings::default() };
    check(&answers, &mild, &[(Wrong, 0), (Partly, 1)]);
    // With 0 g displaced the base is what the cavities hold, which stands there already.
    let answers = [step(1, "0 g"), part(2, "52.80 g")];
    let marked = check(&answers, &Settings::default(), &[(Wrong, 0), (Wrong, 0)]);
    let reasons = &marked.entries[1].verdict.reasons;
    assert!(reasons.iter().any(|reason| reason.kind() == "slip"), "{reasons:?}");
}

#[test]
fn a_wrong_step_carried_on_rightly_rescues_the_method() {
    // 52.80 g written as 50.00 g; 50.00 - 2.25 = 47.75 g.
    let alone = [part(2, "47.75 g")];
    check(&alone, &Settings::default(), &[(Wrong, 0)]);
    let shown = [step(2, "50.00 g"), part(2, "47.75 g")];
    let marked = check(&shown, &Settings::default(), &[(Wrong, 0), (Partly, 1)]);
    assert_eq!(marked.entries[1].verdict.reasons[0], Reason::FollowsWorking);
    assert_eq!((marked.marks(), marked.of()), (1, 2));
}

#[test]
fn a_step_with_a_wrong_rule_does_not_rescue_its_own_part() {
    // 12 of the marked 4 g are 48.00 g; 48.00 - 2.25 = 45.75 g.
    let shown = [step(2, "48.00 g"), part(2, "45.75 g")];
    let marked = check(&shown, &Settings::default(), &[(Wrong, 0), (Wrong, 0)]);
    assert_eq!(marked.entries[0].verdict.reasons[0].kind(), "slip");
    assert_eq!(marked.entries[1].verdict.reasons[0].kind(), "slip");
}

#[test]
fn steps_are_marked_by_themselves_and_earn_nothing() {
    let steps = [step(0, "3.6 g"), step(1, "2.3 g"), step(2, "52.8"), step(3, "50.55 g")];
    let marked =
        check(&steps, &Settings::default(), &[(Right, 0), (Right, 0), (Right, 0), (Right, 0)]);
    assert_eq!(marked.of(), 0);
    // A step follows from an own step before it: 4.80 / 1.6 = 3.00 g.
    let marked = check(
        &[step(0, "4.80 g"), step(1, "3.00 g")],
        &Settings::default(),
        &[(Wrong, 0), (Partly, 0)],
    );
    assert_eq!(marked.entries[1].verdict.reasons, [Reason::FollowsWorking]);
}

#[test]
fn a_right_answer_from_wrong_working_has_all_marks_unless_the_rules_ask_for_the_method() {
    let answers = [step(2, "48.00 g"), part(2, "50.55 g")];
    check(&answers, &Settings::default(), &[(Wrong, 0), (Right, 2)]);
    let strict = Settings { right_answer_shows_method: false, ..Settings::default() };
    let marked = check(&answers, &strict, &[(Wrong, 0), (Wrong, 0)]);
    assert!(marked.entries[1].verdict.reasons.contains(&Reason::WorkingWrong { step: 2 }));
    let mild = Settings { accuracy_needs_method: false, ..strict };
    check(&answers, &mild, &[(Wrong, 0), (Partly, 1)]);
}

#[test]
fn two_slips_at_once_are_found_and_told() {
    // The marked size and the whole drug: 48.00 - 3.60 = 44.40 g.
    let problem = problem();
    let verdict = mark(&problem, 2, "44.40 g");
    assert_eq!((verdict.standing, verdict.marks), (Wrong, 0));
    let kinds: Vec<&str> = verdict.reasons.iter().map(Reason::kind).collect();
    assert_eq!(kinds, ["two-slips"]);
    let says = explain(&verdict, &problem, &Bank::bundled().unwrap());
    assert!(
        says[0].text.starts_with("44.40 g is what two slips together lead to. First: You "),
        "{says:?}"
    );
    assert!(says[0].text.contains("step 3 of the working, total capacity"), "{says:?}");
}
