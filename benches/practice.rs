//! How fast practice begins with a long record behind it: `cargo bench --bench practice`.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use castmark::bank::Bank;
use castmark::practice::{
    Attempt, Ending, Record, RecordFile, Settings, Situation, Subject, choose,
};
use divan::Bencher;
use rusqlite::Connection;

/// More than anybody answers in a course.
const ATTEMPTS: u32 = 100_000;

fn main() {
    divan::main();
}

/// A record with so many attempts at the subjects of the bank, its progress worked out.
fn long_record(folder: &Path) -> PathBuf {
    let path = folder.join("record");
    let mut record = RecordFile::open(&path).expect("a record is made");
    let subjects = Subject::all(&Bank::bundled().expect("the bank is sound"), |_| true);
    for subject in &subjects {
        let attempt = Attempt {
            at: 0,
            objective: subject.topic.objective.name().to_owned(),
            topic: subject.topic.id.clone(),
            template: subject.templates[0].id.clone(),
            code: String::new(),
            part: "base".to_owned(),
            answer: "13.9 g".to_owned(),
            right: true,
            marks: 1,
            of: 1,
            slips: Vec::new(),
            hints: 0,
            missing: 3,
            steps: 3,
            luck: 50,
            ended: Some(Ending::Alone),
        };
        record.add(&attempt, &Settings::default()).expect("an attempt is added");
    }
    // The rest are copies, made in one step: syncing each would take minutes.
    let copies = format!(
        "WITH RECURSIVE round (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM round WHERE n < {})
         INSERT INTO attempts (at, objective, topic, template, code, part, answer, right, marks, of,
             slips, hints, missing, steps, solved, luck)
         SELECT n, objective, topic, template, code, part, answer, n % 3 > 0, marks, of, slips,
             hints, missing, steps, n % 3 > 0, luck
         FROM attempts, round",
        ATTEMPTS as usize / subjects.len()
    );
    Connection::open(&path).and_then(|file| file.execute_batch(&copies)).expect("copied");
    record.progress(&Settings::default()).expect("progress is worked out");
    path
}

/// From the start of the program to its end after the first question, nobody answering.
#[divan::bench]
fn from_the_start_to_the_first_question(bencher: Bencher<'_, '_>) {
    let folder = tempfile::tempdir().expect("a folder");
    let record = long_record(folder.path());
    bencher.bench_local(|| {
        let status = Command::new(env!("CARGO_BIN_EXE_castmark"))
            .args(["practise", "--record"])
            .arg(&record)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        assert!(status.is_ok_and(|status| status.success()));
    });
}

/// The record's own share of that: opened, and what comes next chosen.
#[divan::bench]
fn open_a_long_record_and_choose(bencher: Bencher<'_, '_>) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = long_record(folder.path());
    let settings = Settings::default();
    let subjects = Subject::all(&Bank::bundled().expect("the bank is sound"), |_| true);
    bencher.bench_local(|| {
        let mut record = RecordFile::open(&path).expect("opened");
        let progress = record.progress(&settings).expect("read");
        choose(&Situation {
            settings: &settings,
            subjects: &subjects,
            progress: &progress,
            day: 20_000,
            plan: None,
            since_new: 0,
            skipped: &[],
        })
    });
}

/// One answer written down so that it survives a power cut.
#[divan::bench]
fn add_an_attempt_to_a_long_record(bencher: Bencher<'_, '_>) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = long_record(folder.path());
    let mut record = RecordFile::open(&path).expect("opened");
    let mut attempt = None;
    record.each(&mut |each| attempt = Some(each)).expect("read");
    let attempt = attempt.expect("there is one");
    bencher.bench_local(|| record.add(&attempt, &Settings::default()).expect("added"));
}
