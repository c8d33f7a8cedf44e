//! How fast a large class is made, marked and analysed, and in how much memory:
//! `cargo bench --bench class`.
//!
//! `CASTMARK_CLASS` is how many candidates, 1,000 without it; `CASTMARK_QUESTIONS` how many of the
//! questions below, all twenty without it; `CASTMARK_FORMAT` the format of the papers, `json` without
//! it. With `CASTMARK_SINGLE` every candidate has files of their own as well.

use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::{BufWriter, Write as _};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use castmark::bank::{Bank, Blueprint};
use castmark::paper::PaperSet;
use castmark::problem::{Response, letter};
use castmark::quantity::Quantity;
use serde_json::json;

/// Templates with more problems than any class, and then some that all candidates share.
const EACH: [&str; 12] = [
    "capacity-by-difference",
    "capacity-from-masses",
    "methods-compared",
    "capacity-from-total",
    "stray-unit",
    "mean-of-determinations",
    "uniformity-of-content",
    "uniformity-of-mass",
    "base-by-its-makeup",
    "calibrate-and-explain",
    "fault-and-remedy",
    "ideal-base-options",
];
const SHARED: [&str; 8] = [
    "base-one-drug",
    "value-from-percent",
    "base-excess-units",
    "order-of-cold-work",
    "lubricant-for-a-base",
    "judging-the-rules",
    "melting-range",
    "yield-and-loss",
];

fn main() {
    let number = |name: &str, usual: usize| {
        std::env::var(name).map_or(usual, |text| text.parse().expect("a whole number"))
    };
    let class = number("CASTMARK_CLASS", 1_000);
    let questions = number("CASTMARK_QUESTIONS", EACH.len() + SHARED.len());
    let format = std::env::var("CASTMARK_FORMAT").unwrap_or_else(|_| "json".to_owned());
    let single = std::env::var_os("CASTMARK_SINGLE").is_some();
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    fs::write(folder.join("class.csv"), class_list(class)).expect("the class list is written");
    fs::write(folder.join("large.yaml"), blueprint(questions)).expect("the blueprint is written");
    println!("{class} candidates, {questions} questions, {format}");
    let only = if single { &[][..] } else { &["--bound-only"] };
    let make =
        ["paper", "make", "large.yaml", "--class", "class.csv", "--to", "papers", "--format"];
    run("made", folder, &[&make[..], &[format.as_str()], only].concat());
    answer(folder);
    let pages = if single { &[][..] } else { &["--no-pages"] };
    let mark = ["mark", "papers/manifest.jsonl", "answers.jsonl", "--to", "marks"];
    run("marked", folder, &[&mark[..], pages].concat());
    let analyse = ["analyse", "marks/marks.jsonl", "--output", "analysis.html"];
    run("analysed", folder, &analyse);
}

fn class_list(class: usize) -> String {
    let mut list = "candidate\n".to_owned();
    for number in 0..class {
        writeln!(list, "{number:07}").expect("a line");
    }
    list
}

fn blueprint(questions: usize) -> String {
    let mut text = "castmark: 1\nid: large\ntitle: A large class\nminutes: 200\nsections:\n  - \
                    title: All questions\n    slots:\n"
        .to_owned();
    let each = EACH.iter().map(|id| (id, false));
    for (id, same) in each.chain(SHARED.iter().map(|id| (id, true))).take(questions) {
        writeln!(text, "      - {{ template: {id}, same: {same} }}").expect("a line");
    }
    text
}

/// The answers of the class: most numbers and choices right, the rest blank or one for all.
fn answer(folder: &Path) {
    let bank = Bank::bundled().expect("the bank is sound");
    let manifest = fs::read_to_string(folder.join("papers/manifest.jsonl")).expect("a manifest");
    let set = PaperSet::read(&manifest).expect("the manifest is sound");
    let blueprint = Blueprint::read(set.blueprint.clone(), &bank).expect("the blueprint is sound");
    let mut file = BufWriter::new(File::create(folder.join("answers.jsonl")).expect("a file"));
    for (place, paper) in set.papers.iter().enumerate() {
        let problems = paper.problems(&bank, &blueprint, &set.made_by).expect("as it was made");
        for (question, problem) in problems.iter().enumerate() {
            for (part, asked) in problem.parts.iter().enumerate() {
                let answer = match &asked.response {
                    _ if (place + question + part) % 7 == 0 => "12".to_owned(),
                    Response::Number(key) => Quantity::new(key.shown, key.unit).to_string(),
                    Response::Choice(key) => {
                        let right = (0..key.right.len()).filter(|it| key.right[*it]);
                        right.map(|it| letter(it, 'A')).collect::<Vec<_>>().join(" ")
                    }
                    _ => String::new(),
                };
                let line = json!({
                    "candidate": paper.candidate.number,
                    "question": question + 1,
                    "part": letter(part, 'a'),
                    "answer": answer,
                });
                writeln!(file, "{line}").expect("a line");
            }
        }
    }
    file.flush().expect("the answers are written");
}

/// Runs the program and prints how long it took and, on Linux, how much memory and processor time.
fn run(done: &str, folder: &Path, arguments: &[&str]) {
    let begun = Instant::now();
    let mut program = Command::new(env!("CARGO_BIN_EXE_castmark"))
        .args(arguments)
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let (mut peak, mut busy) = (None, None);
    let ended = loop {
        // What is known of a process goes with it, so it is looked at while it runs.
        peak = peak_of(program.id()).or(peak);
        busy = busy_of(program.id()).or(busy);
        if let Some(ended) = program.try_wait().expect("the program is waited for") {
            break ended;
        }
        thread::sleep(Duration::from_millis(5));
    };
    assert!(ended.success(), "castmark {} failed", arguments.join(" "));
    let known = |value: Option<String>| value.unwrap_or_else(|| "not known here".to_owned());
    println!(
        "{done:<9} in {:.1?}, processor time {}, peak memory {}",
        begun.elapsed(),
        known(busy.map(|time| format!("{time:.1?}"))),
        known(peak.map(|peak| format!("{} MB", peak / 1024)))
    );
}

/// The most memory a process has held so far, in kilobytes.
fn peak_of(process: u32) -> Option<u64> {
    let status = fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches("kB").trim().parse().ok()
}

/// The time all its threads have had, which the kernel counts in hundredths of a second.
fn busy_of(process: u32) -> Option<Duration> {
    let line = fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
    let mut fields = line.rsplit(')').next()?.split_whitespace().skip(11);
    let ticks: u64 = fields.next()?.parse::<u64>().ok()? + fields.next()?.parse::<u64>().ok()?;
    Some(Duration::from_millis(ticks * 10))
}
