//! A class whose answers are made up so that their marks are known without marking them.

#![allow(clippy::float_arithmetic, reason = "statistics are compared within a small distance")]

use std::collections::{BTreeMap, HashSet};
use std::mem::discriminant;
use std::process::Command;

use castmark::problem::{NumberKey, Problem, Response, letter};
use castmark::quantity::{Exact, Quantity};
use serde_json::Value;

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

/// A paper whose templates have enough problems for a class of 5,000, with parts of every kind.
const ROOMY: &str = "\
castmark: 1
id: roomy
title: Roomy
minutes: 120
sections:
  - title: Section A
    shuffle: true
    slots:
      - template: base-one-drug
      - template: value-from-factor
      - template: capacity-from-masses
      - template: value-from-percent
      - template: base-excess-units
      - template: uniformity-of-content
      - template: least-weighable
        same: true
  - title: Section B
    slots:
      - template: order-of-cold-work
      - template: lubricant-for-a-base
      - template: faults-and-causes
      - template: judging-the-rules
      - template: name-of-the-thing
      - template: melting-range
      - template: limits-written
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

/// A class that was marked, and the marks it must have by candidate, question and part.
struct Simulated {
    desk: Desk,
    lines: Vec<Value>,
    wanted: BTreeMap<(String, u64, String), (Way, Expected)>,
}

/// Makes a class, lets it answer, and marks it; every mark must be the one the answer was made for.
fn simulated(paper: &str, class: usize) -> Simulated {
    let candidates: Vec<String> = (0..class).map(|number| format!("{number:04}")).collect();
    let desk = Desk::with(paper, &format!("candidate\n{}\n", candidates.join("\n")));
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
    }
    Simulated { desk, lines, wanted }
}

impl Simulated {
    /// Every way an answer can stand was met more than a few times.
    fn meets_everything(&self) {
        let mut met: BTreeMap<&str, usize> = BTreeMap::new();
        for (_, expected) in self.wanted.values() {
            *met.entry(expected.standing).or_default() += 1;
        }
        for standing in ["right", "partly", "wrong", "unread", "by-hand", "blank"] {
            assert!(met.get(standing).is_some_and(|count| *count > 10), "{met:?}");
        }
    }

    /// The table for a spreadsheet adds up to the lines.
    fn adds_up(&self) {
        let mut totals: BTreeMap<&str, (u64, u64)> = BTreeMap::new();
        for line in &self.lines {
            let total = totals.entry(line["candidate"].as_str().unwrap()).or_default();
            total.0 += line["marks"].as_u64().unwrap();
            total.1 += line["of"].as_u64().unwrap();
        }
        let table = self.desk.read("marks/marks.csv");
        for row in csv::Reader::from_reader(table.as_bytes()).records() {
            let row = row.unwrap();
            let (marks, of) = totals[&row[0]];
            assert_eq!((&row[5], &row[6]), (marks.to_string().as_str(), of.to_string().as_str()));
        }
    }
}

/// How large a class is: `CASTMARK_CLASS`, which may ask for 5,000.
fn class_size() -> usize {
    std::env::var("CASTMARK_CLASS").map_or(36, |number| number.parse().unwrap())
}

#[test]
fn the_marks_of_a_class_are_those_its_answers_were_made_for() {
    let simulated = simulated(PAPER, 36);
    simulated.meets_everything();
    simulated.adds_up();
}

#[test]
fn the_marks_and_the_analysis_of_a_large_class_are_those_of_the_simulation() {
    let class = class_size();
    let simulated = simulated(ROOMY, class);
    simulated.meets_everything();
    simulated.adds_up();
    let parts = simulated.desk.papers[0].iter().flat_map(|problem| &problem.parts);
    let kinds: HashSet<_> = parts.map(|part| discriminant(&part.response)).collect();
    assert_eq!(kinds.len(), 8, "parts of every kind");
    let output = Command::new(env!("CARGO_BIN_EXE_castmark"))
        .args(["analyse", "marks/marks.jsonl", "--format", "json"])
        .current_dir(simulated.desk.folder.path())
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(found["candidates"].as_u64(), Some(class as u64));
    // The marks by template and part, in the order of the candidates; what waits has none.
    let mut items: BTreeMap<(&str, &str), (f64, Column)> = BTreeMap::new();
    for ((candidate, question, part), (_, expected)) in &simulated.wanted {
        let place: usize = candidate.parse().unwrap();
        let question = usize::try_from(*question).unwrap() - 1;
        let problem = &simulated.desk.papers[place][question];
        let at = problem.parts.iter().enumerate().position(|(at, _)| letter(at, 'a') == *part);
        let of = f64::from(problem.parts[at.unwrap()].marks);
        let marks = (expected.standing != "by-hand").then(|| f64::from(expected.marks));
        items.entry((&problem.template.id, part)).or_insert((of, Vec::new())).1.push(marks);
    }
    let listed = found["items"].as_array().unwrap();
    assert_eq!(listed.len(), items.len());
    let close = |found: &Value, wanted: f64| {
        assert!(
            (found.as_f64().expect("a number") - wanted).abs() < 1e-9,
            "{found} is not {wanted}"
        );
    };
    let mut told = 0;
    for item in listed {
        let key = (item["template"].as_str().unwrap(), item["part"].as_str().unwrap());
        let (of, marks) = &items[&key];
        close(&item["marks"], *of);
        if let Some(marks) = marks.iter().copied().collect::<Option<Vec<f64>>>() {
            close(&item["facility"]["value"], mean(&marks) / of);
            told += 1;
        }
    }
    assert!(told > 20, "{told}");
    // Totals and alpha rest on what is marked for all.
    let columns: Vec<Vec<f64>> =
        items.values().filter_map(|(_, marks)| marks.iter().copied().collect()).collect();
    let totals: Vec<f64> =
        (0..class).map(|row| columns.iter().map(|column| column[row]).sum()).collect();
    close(&found["whole"]["mean"]["value"], mean(&totals));
    #[expect(clippy::cast_precision_loss, reason = "a count of parts is small")]
    let k = columns.len() as f64;
    let variances: f64 = columns.iter().map(|column| variance(column)).sum();
    close(&found["whole"]["alpha"]["value"], k / (k - 1.0) * (1.0 - variances / variance(&totals)));
}

/// The marks of one part, candidate by candidate.
type Column = Vec<Option<f64>>;

#[expect(clippy::cast_precision_loss, reason = "no class has so many candidates")]
fn mean(marks: &[f64]) -> f64 {
    marks.iter().sum::<f64>() / marks.len() as f64
}

fn variance(marks: &[f64]) -> f64 {
    let mean_of = mean(marks);
    mean(&marks.iter().map(|mark| (mark - mean_of).powi(2)).collect::<Vec<_>>())
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
