//! A class whose answers are made up so that their marks are known without marking them.

use std::collections::BTreeMap;

use castmark::problem::{NumberKey, Problem, Response, letter};
use castmark::quantity::{Exact, Quantity};

use super::{Desk, right};

const PAPER: &str = "\
castmark: 1
id: simulated
title: Simulated
minutes: 90
sections:
  - title: Section A
    shuffle: true
    slots:
      - template: base-one-drug
        count: 2
      - template: value-from-factor
      - template: least-weighable
      - objective: calibration
        count: 2
      - objective: displacement
        count: 2
      - objective: base-quantity
        count: 2
  - title: Section B
    slots:
      - objective: theory
        count: 8
      - template: base-for-aspirin
";

/// What a candidate is made to write for one part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Right,
    Rounded,
    Slip,
    MovedPoint,
    Blank,
    Rubbish,
}

const WAYS: [Way; 6] =
    [Way::Right, Way::Rounded, Way::Slip, Way::MovedPoint, Way::Blank, Way::Rubbish];

/// The answer of a candidate and the marks it must get, with the word for how it stands.
struct Expected {
    answer: String,
    marks: u32,
    standing: &'static str,
}

fn expected(problem: &Problem, part: usize, way: Way) -> Expected {
    let of = problem.parts[part].marks;
    let full = |answer: String| Expected { answer, marks: of, standing: "right" };
    let none = |answer: String, standing| Expected { answer, marks: 0, standing };
    let response = &problem.parts[part].response;
    match (way, response) {
        (Way::Blank, _) => none("  ".to_owned(), "blank"),
        (_, Response::Written(_)) => none(right(problem, part), "by-hand"),
        (Way::Rubbish, Response::Text(_)) => none("?!".to_owned(), "unread"),
        (Way::Rubbish, _) => none("no idea, sorry".to_owned(), "unread"),
        (Way::Rounded, Response::Number(key)) => {
            full(Quantity::new(key.legal_high.settled(), key.unit).to_string())
        }
        (Way::Slip, Response::Number(key)) => match slip(key) {
            Some(value) => none(Quantity::new(value, key.unit).to_string(), "wrong"),
            None => full(right(problem, part)),
        },
        (Way::MovedPoint, Response::Number(key)) => match moved(key) {
            Some(value) => Expected {
                answer: Quantity::new(value, key.unit).to_string(),
                marks: key.method_marks,
                standing: if key.method_marks > 0 { "partly" } else { "wrong" },
            },
            None => full(right(problem, part)),
        },
        (Way::Slip, Response::Choice(key)) => {
            let wrong = key.right.iter().position(|right| !right).unwrap();
            none(letter(wrong, 'A'), "wrong")
        }
        (Way::Slip, Response::Judgement(key)) => none((!key.truth).to_string(), "wrong"),
        _ => full(right(problem, part)),
    }
}

/// The number of a slip as rounded in the answer, if it cannot be taken for anything milder.
fn slip(key: &NumberKey) -> Option<Exact> {
    let value = key.rounding.of_result(key.slips.first()?.value);
    let apart = value.is_positive() && !is_power_of_ten(value, key);
    apart.then_some(value)
}

/// Whether the number is near a power of ten times the right answer.
fn is_power_of_ten(value: Exact, key: &NumberKey) -> bool {
    let ten = Exact::whole(10);
    let mut scaled = value;
    for _ in 0..12 {
        scaled = scaled.div(ten).unwrap();
    }
    for _ in 0..24 {
        let span = key.high.sub(key.low).unwrap();
        let (low, high) = (key.low.sub(span).unwrap(), key.high.add(span).unwrap());
        if low <= scaled && scaled <= high {
            return true;
        }
        scaled = scaled.mul(ten).unwrap();
    }
    false
}

/// The right number times a hundred, if no slip leads near it.
fn moved(key: &NumberKey) -> Option<Exact> {
    let value = key.shown.mul(Exact::whole(100)).ok()?;
    let met = |low: Exact, high: Exact| low <= value && value <= high;
    let slip =
        key.slips.iter().any(|slip| met(slip.low, slip.high) || is_power_of_ten(slip.value, key));
    (!slip && value.is_positive()).then_some(value)
}

#[test]
fn the_marks_of_a_class_are_those_its_answers_were_made_for() {
    // `CASTMARK_CLASS` asks for a larger class.
    let class = std::env::var("CASTMARK_CLASS").map_or(36, |number| number.parse().unwrap());
    let candidates: Vec<String> = (0..class).map(|number| format!("{number:04}")).collect();
    let desk = Desk::with(PAPER, &format!("candidate\n{}\n", candidates.join("\n")));
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(["candidate", "question", "part", "answer"]).unwrap();
    let mut wanted = BTreeMap::new();
    for (place, (candidate, problems)) in candidates.iter().zip(&desk.papers).enumerate() {
        for (question, problem) in problems.iter().enumerate() {
            // One part of a question is out of the way, so that nothing follows from it.
            let odd = (place + question) % problem.parts.len();
            for part in 0..problem.parts.len() {
                let way = WAYS[(place * 5 + question + place / 6) % WAYS.len()];
                let way = if part == odd { way } else { Way::Right };
                let expected = expected(problem, part, way);
                let number = (question + 1).to_string();
                let letter = letter(part, 'a');
                table.write_record([candidate, &number, &letter, &expected.answer]).unwrap();
                wanted.insert((candidate.clone(), question as u64 + 1, letter), (way, expected));
            }
        }
    }
    desk.put("answers.csv", std::str::from_utf8(&table.into_inner().unwrap()).unwrap());
    desk.mark("answers.csv --to marks");
    let lines = desk.lines();
    assert_eq!(lines.len(), wanted.len());
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    for line in &lines {
        let key = (
            line["candidate"].as_str().unwrap().to_owned(),
            line["question"].as_u64().unwrap(),
            line["part"].as_str().unwrap().to_owned(),
        );
        let (way, expected) = &wanted[&key];
        assert_eq!(
            (line["marks"].as_u64(), line["standing"].as_str()),
            (Some(u64::from(expected.marks)), Some(expected.standing)),
            "{way:?} `{}`: {line}",
            expected.answer
        );
        *met.entry(expected.standing).or_default() += 1;
    }
    for standing in ["right", "partly", "wrong", "unread", "by-hand", "blank"] {
        assert!(met.get(standing).is_some_and(|count| *count > 10), "{met:?}");
    }
    // The table adds up to the lines.
    let table = desk.read("marks/marks.csv");
    for row in csv::Reader::from_reader(table.as_bytes()).records() {
        let row = row.unwrap();
        let mine = lines.iter().filter(|line| line["candidate"] == row[0]);
        let (marks, of) = mine.fold((0, 0), |(marks, of), line| {
            (marks + line["marks"].as_u64().unwrap(), of + line["of"].as_u64().unwrap())
        });
        assert_eq!((&row[5], &row[6]), (marks.to_string().as_str(), of.to_string().as_str()));
    }
}

#[test]
fn what_follows_from_an_own_wrong_number_keeps_the_marks_for_method() {
    let candidates: Vec<String> = (0..12).map(|number| format!("{number:04}")).collect();
    let desk = Desk::with(
        &PAPER.replace("        count: 2\n      - template: value", "      - template: value"),
        &format!("candidate\n{}\n", candidates.join("\n")),
    );
    let mut rows = "candidate,question,part,answer\n".to_owned();
    let mut wanted = Vec::new();
    for (candidate, problems) in candidates.iter().zip(&desk.papers) {
        let find = |problem: &&Problem| problem.template.id == "base-one-drug";
        let question = problems.iter().position(|problem| find(&problem)).unwrap();
        let keys = problems[question].parts.iter().map(|part| match &part.response {
            Response::Number(key) => key.clone(),
            _ => panic!("a number"),
        });
        let keys: Vec<NumberKey> = keys.collect();
        // The base is what the cavities hold less the base displaced: 0.37 g more of one is 0.37 g
        // less of the other.
        let off = Exact::parse("0.37").unwrap();
        let displaced = keys[1].shown.add(off).unwrap();
        let base = keys[2].rounding.of_result(keys[2].exact.sub(off).unwrap());
        let known = keys[1].slips.iter().any(|it| it.low <= displaced && displaced <= it.high)
            || keys[2].slips.iter().any(|it| it.low <= base && base <= it.high);
        if known || is_power_of_ten(displaced, &keys[1]) {
            continue;
        }
        let number = question + 1;
        rows.extend([format!("{candidate},{number},b,{displaced} g\n")]);
        rows.extend([format!("{candidate},{number},c,{base} g\n")]);
        wanted.push((candidate, number as u64, keys[2].method_marks));
    }
    assert!(wanted.len() > 6, "{}", wanted.len());
    desk.put("answers.csv", &rows);
    desk.mark("answers.csv --to marks");
    for (candidate, question, method) in wanted {
        assert_eq!(desk.line(candidate, question, "b")["marks"], 0);
        let line = desk.line(candidate, question, "c");
        assert_eq!((&line["marks"], &line["follows"]), (&method.into(), &true.into()), "{line}");
    }
}
