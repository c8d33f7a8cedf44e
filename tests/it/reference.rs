//! Published worked examples, put through the question bank and marked as answers.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use castmark::bank::Bank;
use castmark::marking::{Cause, Standing, mark};
use castmark::problem::{Given, GivenValue, Problem};
use castmark::quantity::{Exact, read_quantity};
use proptest::prelude::*;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Collection {
    examples: Vec<Example>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Example {
    id: String,
    source: String,
    template: String,
    given: BTreeMap<String, String>,
    answers: BTreeMap<String, String>,
    #[serde(default)]
    refused: BTreeMap<String, Refused>,
}

/// A number printed as the classic error.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Refused {
    number: String,
    slip: String,
}

fn examples() -> Vec<Example> {
    let text = include_str!("../reference/worked-examples.yaml");
    serde_yaml::from_str::<Collection>(text).unwrap().examples
}

fn bundled() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

/// The problem of a template for these numbers.
#[track_caller]
fn problem<'a>(template: &str, given: impl IntoIterator<Item = (&'a str, &'a str)>) -> Problem {
    let one = |(name, text): (&str, &str)| {
        (name.to_owned(), GivenValue::One(read_quantity(text).unwrap()))
    };
    let given = Given { values: given.into_iter().map(one).collect(), ..Given::default() };
    let found = bundled().find(template).unwrap_or_else(|| panic!("no template {template}"));
    Problem::from_values(bundled(), found, &given)
        .unwrap_or_else(|problems| panic!("{template}: {problems:?}"))
}

#[track_caller]
fn place(problem: &Problem, part: &str) -> usize {
    let found = problem.parts.iter().position(|known| known.id == part);
    found.unwrap_or_else(|| panic!("{} has no part {part}", problem.template.id))
}

fn exact(problem: &Problem, part: &str) -> Exact {
    problem.parts[place(problem, part)].response.number().unwrap().exact
}

#[test]
fn printed_answers_of_published_examples_have_full_marks() {
    for Example { id, template, given, answers, .. } in examples() {
        let given = given.iter().map(|(name, text)| (name.as_str(), text.as_str()));
        let problem = problem(&template, given);
        for (part, answer) in &answers {
            let verdict = mark(&problem, place(&problem, part), answer);
            assert_eq!(
                verdict.standing(),
                Standing::Correct,
                "{id}, {part}: {:?}",
                verdict.finding
            );
        }
    }
}

#[test]
fn printed_errors_of_published_examples_are_told_by_their_slip() {
    for Example { id, template, given, refused, .. } in examples() {
        let given = given.iter().map(|(name, text)| (name.as_str(), text.as_str()));
        let problem = problem(&template, given);
        for (part, Refused { number, slip }) in &refused {
            let verdict = mark(&problem, place(&problem, part), number);
            let told = verdict.finding.causes().iter().any(|cause| {
                matches!(cause, Cause::Slip { slip: told, power: 0, .. }
                    if problem.template.slips[*told].id == *slip)
            });
            assert!(told && !verdict.is_right(), "{id}, {part}: {:?}", verdict.finding);
        }
    }
}

#[test]
fn every_example_names_its_source_and_has_a_name_of_its_own() {
    let examples = examples();
    assert!(examples.len() >= 14);
    for (index, Example { id, source, answers, .. }) in examples.iter().enumerate() {
        // Who printed it, and what it prints.
        assert!(source.trim().len() > 30 && !answers.is_empty(), "{id}");
        assert!(examples[..index].iter().all(|earlier| earlier.id != *id), "{id} is there twice");
    }
}

/// The published inverse convention read as the usual one gives another number: 2 - 0.5 / 1.5.
#[test]
fn a_factor_taken_for_a_value_is_not_right() {
    let given =
        [("number", "1"), ("capacity", "2 g"), ("drug.dose", "0.5 g"), ("drug.factor", "1.5")];
    let problem = problem("base-by-factor", given);
    let verdict = mark(&problem, place(&problem, "base"), "1.67 g");
    assert_ne!(verdict.standing(), Standing::Correct);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// For the same casts the factor f = 100 (E - G) / (G X) + 1 of German-language teaching and the
    /// displacement value of British teaching are each other's inverse.
    #[test]
    fn the_factor_from_casts_is_the_inverse_of_the_value(
        blank in 900..4500_i64, number in 4..20_i64, strength in 5..45_i64, true_factor in 20..95_i64,
    ) {
        // E in mg; G as the casts would weigh, to the milligram.
        let medicated = blank * 10_000 / (10_000 - strength * (100 - true_factor));
        let batch = (number * medicated).to_string() + " mg";
        let (each, blank_mass) = (format!("{medicated} mg"), format!("{blank} mg"));
        let (number, percent) = (number.to_string(), format!("{strength} %"));
        let by_factor = problem(
            "factor-from-casts",
            [("blank", blank_mass.as_str()), ("percent", percent.as_str()), ("medicated", each.as_str())],
        );
        let by_value = problem("value-from-percent", [
            ("number", number.as_str()),
            ("capacity", blank_mass.as_str()),
            ("percent", percent.as_str()),
            ("medicated", batch.as_str()),
        ]);
        let whole = Exact::whole;
        let formula = whole(100 * (blank - medicated)).div(whole(medicated * strength)).unwrap();
        let formula = formula.add(Exact::ONE).unwrap();
        let factor = exact(&by_factor, "factor");
        let value = exact(&by_value, "value");
        let hair = Exact::parse("0.00000000000000000001").unwrap();
        prop_assert!(factor.sub(formula).unwrap().abs() < hair, "{factor} {formula}");
        prop_assert!(Exact::ONE.div(value).unwrap().sub(factor).unwrap().abs() < hair);
    }
}
