//! The printed key and mark scheme say what the marking does.

use castmark::export::{Contents, Exporter, Json, Options, Sheet};
use castmark::marking::{Entry, Item, Settings, mark, mark_problem};
use castmark::problem::{Problem, Response};
use castmark::quantity::Exact;
use serde_json::Value;

use super::properties::bank;

/// Draws of each template; `CASTMARK_DRAWS` asks for another number.
fn draws() -> u64 {
    std::env::var("CASTMARK_DRAWS").map_or(4, |number| number.parse().unwrap())
}

/// Hands each part of some draws of every template, as a sheet prints it, to a check.
fn for_every_printed_part(check: impl Fn(&Problem, usize, &Value, &Value)) {
    for template in bank().templates() {
        for number in 0..draws() {
            let problem = Problem::draw(bank(), template, number).unwrap();
            let printed = printed(&problem);
            for place in 0..problem.parts.len() {
                check(&problem, place, &printed["parts"][place], &printed);
            }
        }
    }
}

/// The question as a sheet prints it, key and solutions among it.
fn printed(problem: &Problem) -> Value {
    let sheet = Sheet::of(bank(), [problem.clone()], "key", Contents::ALL).unwrap();
    let json = Json.export(&sheet, &Options::default()).unwrap();
    let mut sheet: Value = serde_json::from_slice(&json).unwrap();
    sheet["entries"][0].take()
}

/// The marks that a single answer earns.
fn earned(problem: &Problem, place: usize, answer: &str) -> u64 {
    let entry = Entry { item: Item::Part(place), answer };
    mark_problem(problem, &[entry], &Settings::default()).marks().into()
}

fn told(problem: &Problem, place: usize) -> String {
    format!("{} {}", problem.code.as_ref().unwrap(), problem.parts[place].id)
}

/// Whether a part is marked by a person.
fn is_written(problem: &Problem, place: usize) -> bool {
    matches!(problem.parts[place].response, Response::Written(_))
}

#[test]
fn the_printed_answer_earns_the_printed_marks() {
    for_every_printed_part(|problem, place, part, _| {
        if is_written(problem, place) {
            return;
        }
        let what = told(problem, place);
        let marks = part["marks"].as_u64().unwrap();
        let answer = part["key"]["answer"].as_str().unwrap();
        assert_eq!(earned(problem, place, answer), marks, "{what}: {answer}");
        let lines = part["key"]["scheme"].as_array().unwrap();
        let shared: u64 = lines.iter().map(|line| line["marks"].as_u64().unwrap()).sum();
        assert_eq!(shared, marks, "{what}: {lines:?}");
        // Ten times the answer shows the method and no more.
        if let (Response::Number(key), Some(range)) =
            (&problem.parts[place].response, part["key"]["accepted"].as_object())
        {
            let method = lines.iter().find(|line| line["kind"] == "method");
            let method = method.map_or(0, |line| line["marks"].as_u64().unwrap());
            let unit = range["unit"].as_str().unwrap();
            let moved = key.shown.times_ten_to(1).unwrap();
            if !key.is_count() {
                assert_eq!(earned(problem, place, &format!("{moved} {unit}")), method, "{what}");
            }
        }
    });
}

#[test]
fn the_printed_range_is_accepted_to_its_ends_and_no_further() {
    for_every_printed_part(|problem, place, part, _| {
        let Some(range) = part["key"]["accepted"].as_object() else { return };
        let what = told(problem, place);
        let all = part["marks"].as_u64().unwrap();
        let [low, high, unit] = ["low", "high", "unit"].map(|end| range[end].as_str().unwrap());
        for (end, beyond) in [(low, -1), (high, 1)] {
            let end = Exact::parse(end).unwrap();
            let answer = format!("{end} {unit}");
            assert!(mark(problem, place, &answer).is_right(), "{what}: {answer}");
            assert_eq!(earned(problem, place, &answer), all, "{what}: {answer}");
            let answer = end.add(Exact::new(beyond, end.places()).unwrap()).unwrap();
            let answer = format!("{answer} {unit}");
            assert!(!mark(problem, place, &answer).is_right(), "{what}: {answer}");
        }
    });
}

#[test]
fn the_printed_slips_are_named_and_earn_the_printed_marks() {
    for_every_printed_part(|problem, place, part, printed| {
        let slips = printed["slips"].as_array().unwrap();
        for slip in slips {
            let index = problem.template.slips.iter().position(|one| slip["id"] == *one.id);
            let index = index.unwrap();
            let answers = slip["answers"].as_array().unwrap();
            for answer in answers.iter().filter(|answer| answer["part"] == part["id"]) {
                let what = format!("{}: {answer} of {}", told(problem, place), slip["id"]);
                let written = answer["answer"].as_str().unwrap();
                let verdict = mark(problem, place, written);
                assert!(!verdict.is_right(), "{what}");
                if let Response::Number(_) = &problem.parts[place].response {
                    assert!(verdict.finding.slips().contains(&index), "{what}: {verdict:?}");
                }
                let marks = answer["marks"].as_u64().unwrap();
                assert_eq!(earned(problem, place, written), marks, "{what}: {verdict:?}");
            }
        }
    });
}
