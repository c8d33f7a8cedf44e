//! Packages of the open standard QTI: that they are whole, that they mark as the program does, and that
//! no text breaks them.
//!
//! The published standard: IMS Question and Test Interoperability, versions 2.2 (1 September 2015) and
//! 3.0 (1 May 2022), 1EdTech. With `CASTMARK_QTI_SCHEMAS` naming a folder that holds its schemas
//! `imsqti_v2p2.xsd` and `imscp_v1p1.xsd`, and a `catalog.xml` for what they import, every document is
//! checked by `xmllint` as well.

#[path = "qti/answers.rs"]
mod answers;
#[path = "qti/hostile.rs"]
mod hostile;
#[path = "qti/interpreter.rs"]
mod interpreter;
#[path = "qti/package.rs"]
mod package;
#[path = "qti/program.rs"]
mod program;
#[path = "qti/schemas.rs"]
mod schemas;
#[path = "qti/whole.rs"]
mod whole;

use std::collections::BTreeMap;

use castmark::bank::Bank;
use castmark::export::{Contents, Qti, Sheet};
use castmark::marking::{Cause, Cost, Entry, Finding, Item, Settings, mark, mark_problem};
use castmark::problem::{Problem, Response, letter};
use regex::Regex;

use answers::{Given, answers};
use interpreter::{Interpreter, Value};
use package::{Element, Package};

/// How many draws of each template are tried; `CASTMARK_DRAWS` asks for others.
fn draws() -> u64 {
    std::env::var("CASTMARK_DRAWS").ok().and_then(|draws| draws.parse().ok()).unwrap_or(2)
}

/// Draws of every template, each template's together.
fn drawn(bank: &Bank, draws: u64) -> impl Iterator<Item = Vec<Problem>> + '_ {
    bank.templates().iter().map(move |template| {
        (0..draws).map(|number| Problem::draw(bank, template, number).unwrap()).collect()
    })
}

fn sheet(bank: &Bank, problems: &[Problem]) -> Sheet {
    Sheet::of(bank, problems.iter().cloned(), "Practice", Contents::ALL).unwrap()
}

/// The score of a part for an answer.
fn score(
    item: &Element,
    part: usize,
    values: &[(String, Value)],
    patterns: &mut BTreeMap<String, Regex>,
) -> Value {
    let outcomes = Interpreter::run(item, values, patterns);
    let score = outcomes[&format!("SCORE_{}", letter(part, 'A'))].clone();
    assert_eq!(outcomes["SCORE"], score, "one answered part is the whole score");
    score
}

/// The answers that the manual says are marked otherwise than by the program.
fn is_marked_otherwise(problem: &Problem, part: usize, given: &Given) -> bool {
    let verdict = mark(problem, part, &given.typed);
    match &problem.parts[part].response {
        // Slips and roundings are looked for in the unit asked for alone.
        Response::Number(key) => {
            let unit = verdict.understood.typed().and_then(|typed| typed.unit);
            let asked = [key.unit, key.unit.without_divisor()];
            let elsewhere = unit.is_some_and(|unit| !asked.contains(&unit));
            let causes = verdict.finding.causes();
            let is_unit = causes.len() == 1 && matches!(causes[0], Cause::WrongUnit { .. });
            elsewhere && !causes.is_empty() && !is_unit && verdict.marks() > 0
        }
        // A term that is not known by its letters waits for a person, or is taken for a misspelling.
        Response::Text(_) => {
            !matches!(verdict.finding, Finding::Accepted(_)) && verdict.marks() > 0
        }
        _ => false,
    }
}

#[test]
fn packages_give_the_marks_that_marking_gives() {
    let bank = Bank::bundled().unwrap();
    let (mut wrong, mut compared) = (Vec::new(), 0);
    for problems in drawn(&bank, draws()) {
        let mut patterns = BTreeMap::new();
        let package = Package::of(Qti::V3, &sheet(&bank, &problems));
        for (problem, item) in problems.iter().zip(package.items()) {
            for (place, part) in problem.parts.iter().enumerate() {
                for given in answers(part, place) {
                    if is_marked_otherwise(problem, place, &given) {
                        continue;
                    }
                    compared += 1;
                    let verdict = mark(problem, place, &given.typed);
                    let found = score(&item, place, &given.values, &mut patterns);
                    if found != Value::Number(verdict.marks().into()) {
                        wrong.push(format!(
                            "{} {}: `{}` has {found:?}, not {} ({:?})",
                            problem.code.as_ref().unwrap(),
                            part.id,
                            given.typed,
                            verdict.marks(),
                            verdict.finding,
                        ));
                    }
                }
            }
        }
    }
    let first: Vec<&String> = wrong.iter().take(60).collect();
    assert!(wrong.is_empty(), "{} of {compared} differ:\n{first:#?}", wrong.len());
    assert!(compared > 10_000, "only {compared} answers were compared");
}

#[test]
fn a_platform_that_hands_over_numbers_alone_knows_what_is_right_and_what_is_not() {
    let bank = Bank::bundled().unwrap();
    let mut compared = 0;
    for problems in drawn(&bank, 1) {
        let mut patterns = BTreeMap::new();
        let sheet = sheet(&bank, &problems);
        let package = Package::of(Qti::V2, &sheet);
        for (number, item) in package.items().iter().enumerate() {
            let problem = &problems[number];
            for (place, part) in problem.parts.iter().enumerate() {
                if part.response.number().is_none() {
                    continue;
                }
                // A slip is known by its range, in which there are numbers that show none.
                let marking = sheet.entries[number].parts[place].marking.as_ref().unwrap();
                let only_right = !marking.kept.is_empty();
                for given in answers(part, place) {
                    let numbers: Vec<(String, Value)> = given
                        .values
                        .into_iter()
                        .filter(|(name, _)| !name.ends_with("_TEXT"))
                        .collect();
                    let verdict = mark(problem, place, &given.typed);
                    let is_known = verdict.is_right() || verdict.marks() == 0 && !only_right;
                    if numbers[0].1 == Value::Null || !is_known {
                        continue;
                    }
                    compared += 1;
                    let found = score(item, place, &numbers, &mut patterns);
                    let code = problem.code.as_ref().unwrap();
                    let expected = Value::Number(verdict.marks().into());
                    assert_eq!(found, expected, "{code} {}: {}", part.id, given.typed);
                }
            }
        }
    }
    assert!(compared > 2000, "only {compared} answers were compared");
}

#[test]
fn a_known_slip_is_told_in_its_own_words_and_nothing_is_told_of_a_right_answer() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, bank.find("base-one-drug").unwrap(), 1).unwrap();
    let sheet = sheet(&bank, std::slice::from_ref(&problem));
    let items = Package::of(Qti::V3, &sheet).items();
    let told = |typed: &str, part: usize| -> Vec<String> {
        let values =
            [(format!("ANSWER_{}_TEXT", letter(part, 'A')), Value::Text(typed.to_owned()))];
        let outcomes = Interpreter::run(&items[0], &values, &mut BTreeMap::new());
        let Value::Several(noted) = &outcomes["FEEDBACK"] else { return Vec::new() };
        let feedback = items[0].named("modalFeedback");
        let said =
            feedback.iter().filter(|it| noted.contains(&Value::Text(it.have("identifier").into())));
        said.map(|it| it.words().trim().replace('\u{a0}', " ")).collect()
    };
    let mut slips = 0;
    for (place, part) in problem.parts.iter().enumerate() {
        let Response::Number(key) = &part.response else { continue };
        assert_eq!(told(&part.response.answer(), place), Vec::<String>::new());
        for slip in &key.slips {
            let typed = key.rounding.of_result(slip.value).to_string();
            let alone = mark(&problem, place, &typed).finding.slips() == [slip.slip];
            if alone && mark(&problem, place, &typed).finding.causes().len() == 1 {
                assert_eq!(told(&typed, place), [problem.slip_says(&bank, slip.slip)], "{typed}");
                slips += 1;
            }
        }
    }
    assert!(slips > 0, "the problem shows no slip");
}

#[test]
fn rules_of_a_paper_are_kept_where_the_standard_can() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, bank.find("base-one-drug").unwrap(), 1).unwrap();
    let place = problem.parts.iter().position(|part| part.marks > 1).unwrap();
    let key = problem.parts[place].response.number().unwrap();
    let ruled = |set: fn(&mut Settings)| {
        let mut rules = Settings::default();
        set(&mut rules);
        rules
    };
    for rules in [
        ruled(|_| {}),
        ruled(|rules| rules.unit_must_be_written = true),
        ruled(|rules| rules.unit_costs = Cost::All),
        ruled(|rules| rules.rounding_costs = Cost::Nothing),
        ruled(|rules| rules.moved_point_costs = Cost::Marks(1)),
    ] {
        let rules_of = rules.clone();
        let sheet = Sheet { rules: rules_of, ..sheet(&bank, std::slice::from_ref(&problem)) };
        let items = Package::of(Qti::V3, &sheet).items();
        let coarse = key.exact.to_places(key.shown.places() - 1);
        let moved = key.shown.times_ten_to(1).unwrap();
        for typed in [
            format!("{}", key.shown),
            format!("{} g", key.shown),
            format!("{} mL", key.shown),
            format!("{} mg", key.shown),
            format!("{coarse} g"),
            format!("{moved} g"),
        ] {
            let entry = Entry { item: Item::Part(place), answer: &typed };
            let marked = mark_problem(&problem, &[entry], &rules);
            let text = format!("ANSWER_{}_TEXT", letter(place, 'A'));
            let values = [(text, Value::Text(typed.clone()))];
            let found = score(&items[0], place, &values, &mut BTreeMap::new());
            let expected = Value::Number(marked.entries[0].verdict.marks().into());
            assert_eq!(found, expected, "{typed} by {rules:?}");
        }
    }
}
