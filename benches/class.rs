//! How fast is a class, and in how much memory: `cargo bench --bench class`.
//!
//! The program makes the papers of a class in a temporary folder, marks answers and analyses the
//! marks. `CASTMARK_CLASS` says how many candidates (1,000 without it), `CASTMARK_FORMAT` what is made
//! of each document (`html`), and `CASTMARK_QUESTIONS` how many of the twenty questions there are.
//! With `json`, nothing is written for each candidate, only the lines for the class.

use std::fs;
use std::io::{BufRead, BufReader, BufWriter, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use castmark::bank::{Bank, Blueprint};
use castmark::paper::PaperSet;
use castmark::problem::{Problem, letter};
use serde_json::json;

/// Templates with more fair problems than the class has candidates, or with one for all.
const QUESTIONS: [&str; 20] = [
    "template: stray-unit",
    "template: calibrate-and-explain",
    "template: mean-of-determinations",
    "template: fault-and-remedy",
    "template: capacity-by-difference",
    "template: base-by-its-makeup",
    "template: capacity-from-masses",
    "template: ideal-base-options",
    "template: capacity-from-total",
    "template: methods-compared",
    "template: uniformity-of-mass",
    "template: uniformity-of-content",
    "template: base-three-drugs\n        same: true",
    "template: blended-base\n        same: true",
    "template: double-casting\n        same: true",
    "template: judging-the-rules\n        same: true",
    "template: melting-range\n        same: true",
    "template: melting-steps\n        same: true",
    "template: name-of-the-thing\n        same: true",
    "template: true-of-a-base\n        same: true",
];

fn main() {
    let number = |name: &str, usual: usize| {
        std::env::var(name).map_or(usual, |text| text.parse().expect("a whole number"))
    };
    let class = number("CASTMARK_CLASS", 1_000);
    let questions = number("CASTMARK_QUESTIONS", QUESTIONS.len()).clamp(1, QUESTIONS.len());
    let format = std::env::var("CASTMARK_FORMAT").unwrap_or_else(|_| "html".to_owned());
    let folder = tempfile::tempdir().expect("a temporary folder");
    let folder = folder.path();
    let mut list = "candidate\n".to_owned();
    list.extend((1..=class).map(|number| format!("{number:06}\n")));
    fs::write(folder.join("class.csv"), list).expect("the class list is written");
    let mut blueprint = "castmark: 1\nid: large\ntitle: Large\nminutes: 120\nsections:\n  \
                         - title: Section A\n    slots:\n"
        .to_owned();
    blueprint.extend(QUESTIONS[..questions].iter().map(|slot| format!("      - {slot}\n")));
    fs::write(folder.join("large.yaml"), blueprint).expect("the blueprint is written");
    println!("{class} candidates, {questions} questions, {format}");
    let whole = if format == "json" { &["--bound-only"][..] } else { &[] };
    let make = ["paper", "make", "large.yaml", "--class", "class.csv", "--to", "large", "--format"];
    run(folder, "papers", &[&make[..], &[format.as_str()], whole].concat());
    let answering = Instant::now();
    answer(folder);
    println!("{:<9} {:>7.1} s (this program)", "answers", answering.elapsed().as_secs_f64());
    let whole = if format == "json" { &["--no-pages"][..] } else { &[] };
    let mark = ["mark", "large/manifest.jsonl", "answers.jsonl", "--to", "marks"];
    run(folder, "marks", &[&mark[..], whole].concat());
    let analyse = ["analyse", "marks/marks.jsonl", "--output", "analysis.json"];
    run(folder, "analysis", &analyse);
}

/// Runs the program, and prints how long it took and, on Linux, the most memory it held.
fn run(folder: &Path, what: &str, arguments: &[&str]) {
    let begun = Instant::now();
    let mut program = Command::new(env!("CARGO_BIN_EXE_castmark"))
        .args(arguments)
        .current_dir(folder)
        .stderr(Stdio::null())
        .spawn()
        .expect("the program is there");
    let status = format!("/proc/{}/status", program.id());
    let mut most = 0;
    let ended = loop {
        if let Some(ended) = program.try_wait().expect("the program can be waited for") {
            break ended;
        }
        most = peak(&status).unwrap_or(0).max(most);
        std::thread::sleep(Duration::from_millis(20));
    };
    assert!(ended.success(), "{arguments:?}");
    let seconds = begun.elapsed().as_secs_f64();
    println!("{what:<9} {seconds:>7.1} s {:>7} MB at most", most / 1024);
}

/// The most memory that a process has held so far, in KiB.
fn peak(status: &str) -> Option<u64> {
    let status = fs::read_to_string(status).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix(" kB")?.trim().parse().ok()
}

/// Writes answers as JSON Lines: one in four wrong, the others right.
fn answer(folder: &Path) {
    let bank = Bank::bundled().expect("the bank is sound");
    let manifest = fs::File::open(folder.join("large/manifest.jsonl")).expect("the manifest");
    let mut lines = BufReader::new(manifest).lines().map(|line| line.expect("a line"));
    let head = lines.next().expect("the head of the manifest");
    let file = fs::File::create(folder.join("answers.jsonl")).expect("a file for the answers");
    let mut file = BufWriter::new(file);
    let mut place = 0_usize;
    let set = PaperSet::read(&head).expect("the head is read");
    let blueprint = Blueprint::read(set.blueprint, &bank).expect("the blueprint is read");
    for line in lines {
        let one = PaperSet::read(&format!("{head}\n{line}\n")).expect("a line is read");
        let paper = &one.papers[0];
        let problems = paper.problems(&bank, &blueprint, &one.made_by).expect("the same problems");
        for (question, problem) in (1..).zip(&problems) {
            for part in 0..problem.parts.len() {
                place += 1;
                let answer = if place % 4 == 0 { "1 g".to_owned() } else { right(problem, part) };
                let row = json!({
                    "candidate": paper.candidate.number,
                    "question": question,
                    "part": letter(part, 'a'),
                    "answer": answer,
                });
                writeln!(file, "{row}").expect("an answer is written");
            }
        }
    }
}

/// A right answer.
fn right(problem: &Problem, part: usize) -> String {
    match problem.parts[part].response.answer() {
        written if written.is_empty() => "because water takes part".to_owned(),
        answer => answer,
    }
}
