//! Tests of the record.

use rusqlite::Connection;

use super::schema::{APPLICATION, MIGRATIONS};
use super::{Record, RecordError};
use crate::practice::{Attempt, Mastery, Settings, Unfinished};

fn attempt(topic: &str, right: bool, at: i64) -> Attempt {
    Attempt {
        at,
        objective: "calibration".to_owned(),
        topic: topic.to_owned(),
        template: "mean-from-total".to_owned(),
        code: "mean-from-total.aaaa-aaaaa".to_owned(),
        part: "capacity".to_owned(),
        answer: "1.02 g".to_owned(),
        right,
        marks: u32::from(right),
        of: 1,
        slips: vec!["one".to_owned(), "two".to_owned()],
        hints: 0,
        missing: 3,
        steps: 3,
        solved: Some(right),
    }
}

fn all(record: &Record) -> Vec<Attempt> {
    let mut found = Vec::new();
    record
        .each(|attempt| {
            found.push(attempt);
            Ok::<(), RecordError>(())
        })
        .unwrap();
    found
}

#[test]
fn gives_back_what_was_added_in_order() {
    let mut record = Record::in_memory().unwrap();
    let attempts = [attempt("total", true, 10), attempt("listed", false, 20)];
    for attempt in &attempts {
        record.add(attempt, &Settings::default()).unwrap();
    }
    assert_eq!(all(&record), attempts);
    assert_eq!(record.last().unwrap().as_ref(), Some(&attempts[1]));
    assert_eq!(record.count().unwrap(), 2);
}

#[test]
fn progress_is_what_the_attempts_say() {
    let settings = Settings::default();
    let mut record = Record::in_memory().unwrap();
    record.progress(&settings).unwrap();
    for (right, day) in [(true, 0), (false, 1), (true, 2)] {
        record.add(&attempt("total", right, day * 86_400), &settings).unwrap();
    }
    let kept = record.progress(&settings).unwrap();
    assert_eq!(kept[0].attempts, 3);
    assert_eq!(kept[0].right, 2);
    assert_eq!(kept[0].box_number, 1);
    assert_eq!(kept[0].last_day, 2);
    let known = Mastery::after(&settings, [true, false, true]).chance();
    assert!((kept[0].known - known).abs() < 1e-15);
}

#[test]
fn progress_is_worked_out_again_when_the_settings_change() {
    let mut record = Record::in_memory().unwrap();
    record.add(&attempt("total", true, 0), &Settings::default()).unwrap();
    let other = Settings { lucky: 0.2, ..Settings::default() };
    let known = record.progress(&other).unwrap()[0].known;
    assert!((known - Mastery::after(&other, [true]).chance()).abs() < 1e-15);
}

#[test]
fn forgets_everything() {
    let mut record = Record::in_memory().unwrap();
    record.add(&attempt("total", true, 0), &Settings::default()).unwrap();
    record.forget().unwrap();
    assert_eq!(record.count().unwrap(), 0);
    assert_eq!(record.progress(&Settings::default()).unwrap(), []);
}

#[test]
fn leaves_a_damaged_or_foreign_file_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    let rubbish = "this is no record ".repeat(100);
    std::fs::write(&path, &rubbish).unwrap();
    assert!(matches!(Record::open(&path), Err(RecordError::Damaged(_))));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), rubbish);

    let foreign = folder.path().join("foreign");
    Connection::open(&foreign).unwrap().execute_batch("CREATE TABLE a (b);").unwrap();
    assert!(matches!(Record::open(&foreign), Err(RecordError::Damaged(_))));
}

#[test]
fn refuses_a_record_of_a_later_version() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    drop(Record::open(&path).unwrap());
    Connection::open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
    let error = Record::open(&path).unwrap_err().to_string();
    assert_eq!(
        error,
        "expected a record of version 3 or earlier, found version 99; use the newer program that \
         wrote it"
    );
}

#[test]
fn brings_a_record_of_the_first_version_up_to_date() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    let old = Connection::open(&path).unwrap();
    old.execute_batch(MIGRATIONS[0]).unwrap();
    old.pragma_update(None, "application_id", APPLICATION).unwrap();
    old.pragma_update(None, "user_version", 1).unwrap();
    old.execute_batch(
        "INSERT INTO attempts VALUES (1, 0, 'calibration', 'total', 't', 'c', 'p', '1', 1, 1, 1,
         '', 0, 0, 3);",
    )
    .unwrap();
    drop(old);
    let mut record = Record::open(&path).unwrap();
    assert_eq!(record.progress(&Settings::default()).unwrap()[0].attempts, 1);
    record.verify().unwrap();
}

#[test]
fn progress_kept_by_an_older_rule_is_worked_out_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    let old = Connection::open(&path).unwrap();
    old.execute_batch(&MIGRATIONS[..2].concat()).unwrap();
    old.pragma_update(None, "application_id", APPLICATION).unwrap();
    old.pragma_update(None, "user_version", 2).unwrap();
    old.execute_batch(
        "INSERT INTO attempts VALUES (1, 0, 'calibration', 'total', 't', 'c', 'p', '1', 1, 1, 1,
         '', 0, 3, 3);
         INSERT INTO progress VALUES ('calibration', 'total', 9, 9, 0.99, 4, 0, 3);",
    )
    .unwrap();
    let settings = Settings::default();
    let kept = format!("{settings:?}");
    old.execute("INSERT INTO kept VALUES ('settings', ?)", [kept]).unwrap();
    drop(old);
    let progress = Record::open(&path).unwrap().progress(&settings).unwrap().remove(0);
    assert_eq!((progress.attempts, progress.box_number), (1, 1));
    assert!((progress.known - Mastery::after(&settings, [true]).chance()).abs() < 1e-15);
}

#[test]
fn two_openings_of_one_record_take_turns() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    drop(Record::open(&path).unwrap());
    let writers: Vec<_> = ["total", "listed"]
        .into_iter()
        .map(|topic| {
            let path = path.clone();
            std::thread::spawn(move || {
                let mut record = Record::open(&path).unwrap();
                for at in 0..25 {
                    record.add(&attempt(topic, true, at), &Settings::default()).unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    let mut record = Record::open(&path).unwrap();
    assert_eq!(record.count().unwrap(), 50);
    let progress = record.progress(&Settings::default()).unwrap();
    assert!(progress.iter().all(|topic| topic.attempts == 25));
}

#[test]
fn only_the_attempt_that_ends_a_whole_problem_tells_of_mastery() {
    let settings = Settings::default();
    let mut record = Record::in_memory().unwrap();
    let start = Mastery::start(&settings).chance();
    let going_on = Attempt { solved: None, ..attempt("total", true, 0) };
    let example = Attempt { missing: 1, ..attempt("total", true, 0) };
    for (each, missing) in [(going_on, 0), (example, 2)] {
        let progress = record.add(&each, &settings).unwrap();
        assert!((progress.known - start).abs() < 1e-15, "{each:?}");
        assert_eq!((progress.box_number, progress.missing), (0, missing));
    }
    let progress = record.add(&attempt("total", true, 0), &settings).unwrap();
    assert!(progress.known > start);
    assert_eq!((progress.attempts, progress.box_number, progress.missing), (3, 1, 3));
}

#[test]
fn a_problem_begun_is_unfinished_until_an_attempt_ends_it() {
    let settings = Settings::default();
    let mut record = Record::in_memory().unwrap();
    record.add(&attempt("total", true, 0), &settings).unwrap();
    assert_eq!(record.unfinished().unwrap(), None);

    let going_on = Attempt { solved: None, ..attempt("total", false, 1) };
    record.begin(&going_on.code, 2).unwrap();
    record.note_hints(&going_on.code, 1).unwrap();
    record.note_written(&going_on.code, "words").unwrap();
    let begun = Unfinished {
        code: going_on.code.clone(),
        missing: 2,
        hints: 1,
        written: Some("words".to_owned()),
        attempts: Vec::new(),
    };
    assert_eq!(record.unfinished().unwrap(), Some(begun.clone()));
    record.add(&going_on, &settings).unwrap();
    let answered = Unfinished { hints: 0, written: None, attempts: vec![going_on], ..begun };
    assert_eq!(record.unfinished().unwrap(), Some(answered));

    record.add(&attempt("total", true, 2), &settings).unwrap();
    assert_eq!(record.unfinished().unwrap(), None);
}

#[test]
fn several_may_begin_one_record_at_the_same_moment() {
    for _ in 0..20 {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("record");
        let start = std::sync::Barrier::new(4);
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    start.wait();
                    let mut record = Record::open(&path).unwrap();
                    record.add(&attempt("total", true, 0), &Settings::default()).unwrap();
                });
            }
        });
        assert_eq!(Record::open(&path).unwrap().count().unwrap(), 4);
    }
}
