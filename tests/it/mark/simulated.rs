//! A class whose answers are made up so that their marks are known without marking them.

#![allow(clippy::float_arithmetic, reason = "statistics are compared within a small distance")]

use std::collections::{BTreeMap, BTreeSet};

use castmark::marking::mark;
use castmark::problem::{NumberKey, Problem, Response, letter};
use castmark::quantity::{Exact, Quantity};
use serde_json::Value;

use super::{ClassFolder, right};

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
      - template: overheated-theobroma-oil
";

/// Templates with fair problems enough for a class of thousands, and every kind of part among them.
const ROOMY: &str = "\
castmark: 1
id: roomy
title: Roomy
minutes: 120
sections:
  - title: Section A
    shuffle: true
    slots:
      - template: stray-unit
        count: 2
      - template: base-three-drugs
      - template: blended-base
      - template: capacity-by-difference
      - template: double-casting
      - template: mean-of-determinations
      - template: value-from-densities
      - template: uniformity-of-mass
  - title: Section B
    slots:
      - template: calibrate-and-explain
      - template: fault-and-remedy
      - template: ideal-base-list
      - template: ideal-base-options
      - template: judging-the-rules
      - template: uniformity-rules
      - template: melting-steps
      - template: methods-compared
      - template: name-of-the-thing
      - template: true-of-a-base
      - template: least-weighable
        same: true
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
    let full = |answer: String| Expected { answer, marks: of, standing: "correct" };
    let none = |answer: String, standing| Expected { answer, marks: 0, standing };
    let response = &problem.parts[part].response;
    match (way, response) {
        (Way::Blank, _) => none("  ".to_owned(), "blank"),
        (_, Response::Written(_)) => none(right(problem, part), "by-hand"),
        (Way::Rubbish, Response::Text(_)) => none("?!".to_owned(), "not-read"),
        (Way::Rubbish, _) => none("no idea, sorry".to_owned(), "not-read"),
        (Way::Rounded, Response::Number(key)) => {
            full(Quantity::new(key.legal_high.settled(), key.unit).to_string())
        }
        // A slip in a step that is not asked keeps the marks for the method; only others are simulated.
        (Way::Slip, Response::Number(key)) => match slip(key).filter(|value| {
            let answer = Quantity::new(*value, key.unit).to_string();
            mark(problem, part, &answer).marks() == 0
        }) {
            Some(value) => none(Quantity::new(value, key.unit).to_string(), "not-correct"),
            None => full(right(problem, part)),
        },
        (Way::MovedPoint, Response::Number(key)) => match moved(key) {
            Some(value) => Expected {
                answer: Quantity::new(value, key.unit).to_string(),
                marks: key.method_marks,
                standing: if key.method_marks > 0 { "partly-correct" } else { "not-correct" },
            },
            None => full(right(problem, part)),
        },
        (Way::Slip, Response::Choice(key)) => {
            let wrong = key.right.iter().position(|right| !right).unwrap();
            none(letter(wrong, 'A'), "not-correct")
        }
        (Way::Slip, Response::Judgement(key)) => none((!key.truth).to_string(), "not-correct"),
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
    // A count has no decimal point to move.
    if key.is_count() {
        return None;
    }
    let value = key.shown.mul(Exact::whole(100)).ok()?;
    let met = |low: Exact, high: Exact| low <= value && value <= high;
    let slip =
        key.slips.iter().any(|slip| met(slip.low, slip.high) || is_power_of_ten(slip.value, key));
    (!slip && value.is_positive()).then_some(value)
}

/// A class with its answers entered, and the marks that each must get.
struct Simulated {
    desk: ClassFolder,
    wanted: BTreeMap<(String, u64, String), (Way, Expected)>,
}

impl Simulated {
    fn new(paper: &str, class: usize) -> Self {
        let candidates: Vec<String> = (0..class).map(|number| format!("{number:04}")).collect();
        let desk = ClassFolder::with(paper, &format!("candidate\n{}\n", candidates.join("\n")));
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
                    let key = (candidate.clone(), question as u64 + 1, letter);
                    wanted.insert(key, (way, expected));
                }
            }
        }
        desk.put("answers.csv", std::str::from_utf8(&table.into_inner().unwrap()).unwrap());
        desk.mark("answers.csv --to marks");
        Self { desk, wanted }
    }

    /// Every part has the marks its answer was made for, and the table adds up to them.
    fn check_marks(&self) {
        let mut met: BTreeMap<&str, usize> = BTreeMap::new();
        let mut totals: BTreeMap<String, (u64, u64)> = BTreeMap::new();
        let text = self.desk.read("marks/marks.jsonl");
        assert_eq!(text.lines().count(), self.wanted.len() + 1);
        for line in text.lines().skip(1) {
            let line: Value = serde_json::from_str(line).unwrap();
            let key = (
                line["candidate"].as_str().unwrap().to_owned(),
                line["question"].as_u64().unwrap(),
                line["part"].as_str().unwrap().to_owned(),
            );
            let (way, expected) = &self.wanted[&key];
            assert_eq!(
                (line["marks"].as_u64(), line["standing"].as_str()),
                (Some(u64::from(expected.marks)), Some(expected.standing)),
                "{way:?} `{}`: {line}",
                expected.answer
            );
            *met.entry(expected.standing).or_default() += 1;
            let total = totals.entry(key.0).or_default();
            total.0 += u64::from(expected.marks);
            total.1 += line["of"].as_u64().unwrap();
        }
        for standing in ["correct", "partly-correct", "not-correct", "not-read", "by-hand", "blank"]
        {
            assert!(met.get(standing).is_some_and(|count| *count > 10), "{met:?}");
        }
        let table = self.desk.read("marks/marks.csv");
        let mut rows = 0;
        for row in csv::Reader::from_reader(table.as_bytes()).records() {
            let row = row.unwrap();
            let (marks, of) = totals[&row[0]];
            assert_eq!((&row[5], &row[6]), (marks.to_string().as_str(), of.to_string().as_str()));
            rows += 1;
        }
        assert_eq!(rows, totals.len());
    }

    /// The marks of each item by candidate, with what they are out of; nothing where a person must
    /// mark first.
    fn items(&self) -> BTreeMap<Item, (u32, Vec<Option<u32>>)> {
        let mut items: BTreeMap<Item, (u32, Vec<Option<u32>>)> = BTreeMap::new();
        for (place, problems) in self.desk.papers.iter().enumerate() {
            let mut times: BTreeMap<&str, usize> = BTreeMap::new();
            // Of several questions of a template, the first is the first of the blueprint.
            let mut order: Vec<usize> = (0..problems.len()).collect();
            order.sort_by_key(|question| self.desk.planned[place][*question]);
            for question in order {
                let problem = &problems[question];
                let nth = times.entry(&problem.template.id).or_default();
                *nth += 1;
                for (part, asked) in problem.parts.iter().enumerate() {
                    let part = letter(part, 'a');
                    let key = (format!("{place:04}"), question as u64 + 1, part.clone());
                    let expected = &self.wanted[&key].1;
                    let marks = (expected.standing != "by-hand").then_some(expected.marks);
                    let item = (problem.template.id.clone(), part, *nth);
                    items.entry(item).or_insert((asked.marks, Vec::new())).1.push(marks);
                }
            }
        }
        items
    }

    /// What `castmark analyse` reports.
    fn analysis(&self) -> Value {
        let ran = self.desk.folder.run("analyse marks/marks.jsonl --format json").done();
        serde_json::from_str(&ran.out).unwrap()
    }

    /// The statistics are those of the marks the answers were made for, worked out here in whole
    /// numbers from their definitions.
    fn check_analysis(&self) {
        let found = self.analysis();
        let items = self.items();
        let class = self.desk.papers.len();
        let mut facilities: BTreeMap<(&str, &str), Vec<f64>> = BTreeMap::new();
        let mut columns: Vec<Vec<i128>> = Vec::new();
        let (mut of_all, mut waiting) = (0, 0);
        for ((template, part, _), (of, marks)) in &items {
            let known: Vec<i128> = marks.iter().flatten().map(|mark| (*mark).into()).collect();
            waiting += class - known.len();
            // Without all marks, the facility is that of the marks there are.
            if !known.is_empty() {
                let most = i128::from(*of) * known.len() as i128;
                let facility = share(known.iter().sum(), most);
                facilities.entry((template, part)).or_default().push(facility);
            }
            if known.len() < class {
                continue;
            }
            of_all += of;
            columns.push(known);
        }
        assert_eq!(found["candidates"], class);
        assert_eq!(found["waiting"], waiting);
        let unread = self.wanted.values().filter(|(_, it)| it.standing == "not-read").count();
        assert_eq!(found["unread"], unread);
        let mut told: BTreeMap<(&str, &str), Vec<f64>> = BTreeMap::new();
        for item in found["items"].as_array().unwrap() {
            if let Some(facility) = item["facility"]["value"].as_f64() {
                let key = (item["template"].as_str().unwrap(), item["part"].as_str().unwrap());
                told.entry(key).or_default().push(facility);
            }
        }
        assert!(told.keys().eq(facilities.keys()), "{told:?} {facilities:?}");
        for (key, mut wanted) in facilities {
            let told = told.get_mut(&key).unwrap();
            told.sort_by(f64::total_cmp);
            wanted.sort_by(f64::total_cmp);
            assert_eq!(told.len(), wanted.len());
            for (told, wanted) in told.iter().zip(wanted) {
                near(*told, wanted, &format!("{key:?}"));
            }
        }
        let totals: Vec<i128> =
            (0..class).map(|row| columns.iter().map(|marks| marks[row]).sum()).collect();
        let whole = &found["whole"];
        assert_eq!(whole["marks"].as_f64(), Some(of_all.into()));
        let value = |name: &str| whole[name]["value"].as_f64().unwrap();
        near(value("mean"), share(totals.iter().sum(), class as i128), "mean");
        let spread_of_items: i128 = columns.iter().map(|marks| spread(marks)).sum();
        let (k, spread_of_totals) = (columns.len() as i128, spread(&totals));
        let alpha = share(k * (spread_of_totals - spread_of_items), (k - 1) * spread_of_totals);
        near(value("alpha"), alpha, "alpha");
        let mut bars = [0; 10];
        for total in totals {
            bars[usize::try_from(total * 10 / i128::from(of_all)).unwrap().min(9)] += 1;
        }
        assert_eq!(whole["distribution"], serde_json::json!(bars));
    }
}

/// A template, the letter of the part, and which question of that template on the paper.
type Item = (String, String, usize);

/// The variance of whole numbers times the square of how many they are, which is whole too.
fn spread(numbers: &[i128]) -> i128 {
    let squares: i128 = numbers.iter().map(|number| number * number).sum();
    let sum: i128 = numbers.iter().sum();
    squares * numbers.len() as i128 - sum * sum
}

#[allow(clippy::cast_precision_loss, reason = "marks of a class are far below 2^53")]
fn share(part: i128, of: i128) -> f64 {
    part as f64 / of as f64
}

#[track_caller]
fn near(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() < 1e-9, "{what}: {found}, wanted {wanted}");
}

#[test]
fn the_marks_of_a_class_are_those_its_answers_were_made_for() {
    let class = Simulated::new(PAPER, 36);
    class.check_marks();
    class.check_analysis();
}

#[test]
fn a_class_of_any_size_is_marked_and_analysed_as_it_was_made() {
    // `CASTMARK_CLASS` asks for a larger class, up to about 10,000.
    let class = std::env::var("CASTMARK_CLASS").map_or(24, |number| number.parse().unwrap());
    let class = Simulated::new(ROOMY, class);
    let kinds: BTreeSet<&str> =
        class.desk.papers[0].iter().flat_map(|it| &it.parts).map(|it| kind(&it.response)).collect();
    let all = [
        "choice",
        "judgement",
        "matching",
        "number",
        "ordering",
        "range",
        "several",
        "text",
        "verdict",
        "written",
    ];
    assert!(kinds.iter().copied().eq(all), "{kinds:?}");
    class.check_marks();
    class.check_analysis();
}

fn kind(response: &Response) -> &'static str {
    match response {
        Response::Number(_) => "number",
        Response::Verdict(_) => "verdict",
        Response::Choice(key) if key.right.iter().filter(|right| **right).count() > 1 => "several",
        Response::Choice(_) => "choice",
        Response::Judgement(_) => "judgement",
        Response::Matching(_) => "matching",
        Response::Ordering(_) => "ordering",
        Response::Text(_) => "text",
        Response::Range(_) => "range",
        Response::Written(_) => "written",
    }
}

#[test]
fn what_follows_from_an_own_wrong_number_keeps_the_marks_for_method() {
    let candidates: Vec<String> = (0..12).map(|number| format!("{number:04}")).collect();
    let desk = ClassFolder::with(
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
