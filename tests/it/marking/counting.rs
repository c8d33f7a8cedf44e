//! What a wrong unit and a wrong rounding cost, and how often.

use castmark::bank::Bank;
use castmark::marking::Standing::{Correct, NotCorrect, PartlyCorrect};
use castmark::marking::{
    Cause, Cost, Counts, Fault, Finding, Marked, Rule, Settings, mark, mark_paper,
};
use castmark::problem::{Part, Problem};

use super::rules::{check, found, part, problem};

#[test]
fn a_wrong_unit_costs_marks_once_in_a_question() {
    let answers = [part(0, "3.60 mL"), part(1, "2.25 mL"), part(2, "50.55 mL")];
    let default = Settings::default();
    let marked = check(&answers, &default, &[(NotCorrect, 0), (Correct, 1), (Correct, 2)]);
    assert_eq!(marked.entries[0].verdict.award.rule, Rule::Unit);
    let forgiven = &marked.entries[2].verdict.award;
    assert_eq!(
        (forgiven.rule, forgiven.forgiven.as_slice()),
        (Rule::CountedOnce, &[Fault::Unit][..])
    );
    let each = Settings { unit_counts: Counts::Always, ..Settings::default() };
    check(&answers, &each, &[(NotCorrect, 0), (NotCorrect, 0), (PartlyCorrect, 1)]);
    let never = Settings { unit_counts: Counts::Never, ..Settings::default() };
    check(&answers, &never, &[(Correct, 1), (Correct, 1), (Correct, 2)]);
    let dear =
        Settings { unit_costs: Cost::All, unit_counts: Counts::Always, ..Settings::default() };
    check(&answers, &dear, &[(NotCorrect, 0), (NotCorrect, 0), (NotCorrect, 0)]);
}

#[test]
fn what_is_counted_once_is_counted_where_it_costs_the_most() {
    // Were it the first, whoever put the first right could lose more by it.
    let answers = [part(0, "3.60 mL"), part(1, "2.25 mL"), part(2, "50.55 mL")];
    let dear = Settings { unit_costs: Cost::All, ..Settings::default() };
    check(&answers, &dear, &[(Correct, 1), (Correct, 1), (NotCorrect, 0)]);
}

#[test]
fn a_unit_that_is_wrong_a_thousandfold_costs_marks_each_time() {
    let answers = [part(0, "3.60 mg"), part(1, "2.25 mg"), part(2, "50.55 mg")];
    let each = [(NotCorrect, 0), (NotCorrect, 0), (PartlyCorrect, 1)];
    check(&answers, &Settings::default(), &each);
    let mild = Settings { thousandfold_is_counted_once: true, ..Settings::default() };
    check(&answers, &mild, &[(NotCorrect, 0), (Correct, 1), (Correct, 2)]);
    // The rounding besides the unit hides neither.
    let marked = check(&[part(2, "51 kg")], &Settings::default(), &[(PartlyCorrect, 1)]);
    let kinds: Vec<&str> =
        marked.entries[0].verdict.finding.causes().iter().map(Cause::kind).collect();
    assert_eq!(kinds, ["wrong-unit", "too-coarse"]);
}

#[test]
fn a_unit_that_is_wrong_tenfold_is_counted_once_like_any_other() {
    let bank = Bank::bundled().unwrap();
    let template = bank.find("yield-and-loss").unwrap();
    let is_per_cent =
        |part: &Part| part.response.number().is_some_and(|key| key.unit.symbol() == "%");
    let problem = Problem::draw(&bank, template, 1).unwrap();
    let place = problem.parts.iter().position(is_per_cent).unwrap();
    let right = problem.parts[place].response.number().unwrap().shown;
    let found = |unit: &str| match mark(&problem, place, &format!("{right} {unit}")).finding {
        Finding::Known(causes) => causes,
        other => panic!("{other:?}"),
    };
    let wrong = |unit: &str| match found(unit)[..] {
        [Cause::WrongUnit { thousandfold, .. }] => thousandfold,
        ref other => panic!("{other:?}"),
    };
    assert!(!wrong("mg/g"));
    assert!(!wrong("mL"));
}

#[test]
fn a_rounding_that_changes_a_mass_by_more_than_two_per_cent_costs_marks_each_time() {
    // 4 g for 3.60 g and 2 g for 2.25 g are 11 % off, 51 g for 50.55 g less than 1 %.
    let answers = [part(0, "4 g"), part(1, "2 g"), part(2, "51 g")];
    let each = [(NotCorrect, 0), (NotCorrect, 0), (PartlyCorrect, 1)];
    check(&answers, &Settings::default(), &each);
    let mild = Settings { gross_rounding_is_counted_once: true, ..Settings::default() };
    check(&answers, &mild, &[(NotCorrect, 0), (Correct, 1), (Correct, 2)]);
}

#[test]
fn a_wrong_rounding_costs_marks_once_in_a_paper_and_a_wrong_unit_anew_in_each_question() {
    let problem = problem();
    let answers = [part(0, "3.60 mL"), part(2, "51 g")];
    let paper = [(&problem, answers.as_slice()), (&problem, answers.as_slice())];
    let marked = mark_paper(&paper, &Settings::default());
    assert_eq!(found(&marked[0]), [(NotCorrect, 0), (PartlyCorrect, 1)]);
    assert_eq!(found(&marked[1]), [(NotCorrect, 0), (Correct, 2)]);
    assert_eq!(marked[1].entries[1].verdict.award.forgiven, [Fault::Rounding]);
    assert_eq!((marked[0].marks(), marked[0].of()), (1, 3));
}

#[test]
fn what_is_counted_once_in_a_paper_is_counted_in_the_question_where_it_costs_the_most() {
    let problem = problem();
    let of_one_mark = [part(0, "3.60 mL")];
    let of_two_marks = [part(2, "50.55 mL")];
    let settings =
        Settings { unit_costs: Cost::All, unit_counts: Counts::Paper, ..Settings::default() };
    for (first, second, expected) in [
        (&of_one_mark, &of_two_marks, [(Correct, 1), (NotCorrect, 0)]),
        (&of_two_marks, &of_one_mark, [(NotCorrect, 0), (Correct, 1)]),
        // Among equals the first time.
        (&of_one_mark, &of_one_mark, [(NotCorrect, 0), (Correct, 1)]),
    ] {
        let paper = [(&problem, first.as_slice()), (&problem, second.as_slice())];
        let marked = mark_paper(&paper, &settings);
        let found: Vec<_> = marked.iter().flat_map(found).collect();
        assert_eq!(found, expected);
    }
}

#[test]
fn a_unit_and_a_rounding_are_counted_once_each_in_a_paper_and_apart() {
    let problem = problem();
    let [coarse, in_litres, fine] =
        [[part(2, "51 g")], [part(2, "50.55 mL")], [part(2, "50.55 g")]];
    let settings = Settings { unit_counts: Counts::Paper, ..Settings::default() };
    let paper = [&coarse, &in_litres, &fine, &coarse, &in_litres]
        .map(|answers| (&problem, answers.as_slice()));
    let marks: Vec<u32> = mark_paper(&paper, &settings).iter().map(Marked::marks).collect();
    assert_eq!(marks, [1, 1, 2, 2, 2]);
}

#[test]
fn a_wrong_unit_and_a_wrong_rounding_of_one_answer_cost_what_each_of_them_costs() {
    // The marks for accuracy can be lost once only, others as often as there are faults.
    let cost =
        |unit_costs, rounding_costs| Settings { unit_costs, rounding_costs, ..Settings::default() };
    let one = Cost::Marks(1);
    for (settings, expected) in [
        (cost(Cost::Nothing, Cost::Nothing), (Correct, 2)),
        (cost(one, Cost::Nothing), (PartlyCorrect, 1)),
        (cost(Cost::Nothing, one), (PartlyCorrect, 1)),
        (cost(Cost::Accuracy, Cost::Accuracy), (PartlyCorrect, 1)),
        (cost(Cost::Accuracy, one), (NotCorrect, 0)),
        (cost(one, one), (NotCorrect, 0)),
    ] {
        check(&[part(2, "51 mL")], &settings, &[expected]);
    }
}

#[test]
fn a_missing_unit_costs_marks_only_where_the_rules_say_so() {
    let answers = [part(0, "3.60"), part(1, "2.25"), part(2, "50.55 g")];
    check(&answers, &Settings::default(), &[(Correct, 1), (Correct, 1), (Correct, 2)]);
    let strict = Settings { unit_must_be_written: true, ..Settings::default() };
    let marked = check(&answers, &strict, &[(NotCorrect, 0), (Correct, 1), (Correct, 2)]);
    let rules = marked.entries.iter().map(|entry| entry.verdict.award.rule);
    assert!(rules.eq([Rule::Unit, Rule::CountedOnce, Rule::RightAnswer]), "{marked:?}");
}

#[test]
fn missing_places_cost_marks_only_where_the_rules_say_so() {
    let answers = [part(0, "3.6 g")];
    check(&answers, &Settings::default(), &[(Correct, 1)]);
    let strict = Settings { places_must_be_written: true, ..Settings::default() };
    let marked = check(&answers, &strict, &[(NotCorrect, 0)]);
    assert_eq!(marked.entries[0].verdict.award.rule, Rule::Rounding);
}
