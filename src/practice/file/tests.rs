//! Tests of the record.

use rusqlite::Connection;

use super::RecordFile;
use super::schema::{APPLICATION, MIGRATIONS};
use crate::practice::progress::tests::attempt as ended;
use crate::practice::{Attempt, Ending, Progress, Record, RecordError, Settings, Unfinished};

fn attempt(topic: &str, right: bool, at: i64) -> Attempt {
    let ending = if right { Ending::Alone } else { Ending::NotSolved };
    Attempt { at, ..ended(topic, ending, 0) }
}

fn all(record: &RecordFile) -> Vec<Attempt> {
    let mut found = Vec::new();
    record.each(&mut |attempt| found.push(attempt)).unwrap();
    found
}

/// What the attempts come to, worked out without a file.
fn worked_out(attempts: &[Attempt], settings: &Settings) -> Progress {
    let numbered = (1..).zip(attempts);
    let after = numbered.fold(None, |before, (number, attempt)| {
        Some(Progress::after(before, attempt, number, settings))
    });
    after.unwrap()
}

#[test]
fn gives_back_what_was_added_in_order() {
    let mut record = RecordFile::in_memory().unwrap();
    let attempts = [attempt("total", true, 10), attempt("listed", false, 20)];
    for attempt in &attempts {
        record.add(attempt, &Settings::default()).unwrap();
    }
    assert_eq!(all(&record), attempts);
    assert_eq!(record.count().unwrap(), 2);
}

#[test]
fn progress_is_what_the_attempts_say() {
    let settings = Settings::default();
    let mut record = RecordFile::in_memory().unwrap();
    record.progress(&settings).unwrap();
    let attempts = [(true, 0), (false, 1), (true, 2)]
        .map(|(right, day)| attempt("total", right, day * 86_400));
    for attempt in &attempts {
        record.add(attempt, &settings).unwrap();
    }
    assert_eq!(record.progress(&settings).unwrap(), [worked_out(&attempts, &settings)]);
}

#[test]
fn progress_is_worked_out_again_when_the_settings_change() {
    let mut record = RecordFile::in_memory().unwrap();
    let attempts = [attempt("total", true, 0)];
    record.add(&attempts[0], &Settings::default()).unwrap();
    let other = Settings { careless: 0.05, ..Settings::default() };
    assert_eq!(record.progress(&other).unwrap(), [worked_out(&attempts, &other)]);
}

#[test]
fn the_attempts_of_another_record_are_joined_in_the_order_of_time() {
    let mut record = RecordFile::in_memory().unwrap();
    let [first, second, third] = [10, 20, 30].map(|at| attempt("total", true, at));
    for attempt in [&first, &third] {
        record.add(attempt, &Settings::default()).unwrap();
    }
    assert_eq!(record.join(vec![second.clone(), third.clone()]).unwrap(), 1);
    assert_eq!(all(&record), [first, second, third]);
    assert_eq!(record.progress(&Settings::default()).unwrap()[0].attempts, 3);
}

#[test]
fn a_record_that_cannot_be_written_can_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a record? 100 %");
    let mut record = RecordFile::open(&path).unwrap();
    record.add(&attempt("total", true, 0), &Settings::default()).unwrap();
    drop(record);
    let mut record = RecordFile::open_to_read(&path).unwrap();
    assert_eq!(record.count().unwrap(), 1);
    assert_eq!(record.progress(&Settings::default()).unwrap()[0].attempts, 1);
    assert!(matches!(
        record.add(&attempt("total", true, 0), &Settings::default()),
        Err(RecordError::Failed(_))
    ));
}

#[cfg(unix)]
#[test]
fn only_its_owner_can_read_a_record() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    drop(RecordFile::open(&path).unwrap());
    assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
}

#[test]
fn forgets_everything() {
    let mut record = RecordFile::in_memory().unwrap();
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
    assert!(matches!(RecordFile::open(&path), Err(RecordError::Damaged(_))));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), rubbish);

    let foreign = folder.path().join("foreign");
    Connection::open(&foreign).unwrap().execute_batch("CREATE TABLE a (b);").unwrap();
    assert!(matches!(RecordFile::open(&foreign), Err(RecordError::Damaged(_))));
}

#[test]
fn refuses_a_record_of_a_later_version() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    drop(RecordFile::open(&path).unwrap());
    Connection::open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
    let error = RecordFile::open(&path).unwrap_err().to_string();
    assert_eq!(
        error,
        "expected a record of version 4 or earlier, found version 99; use the newer program that \
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
    let mut record = RecordFile::open(&path).unwrap();
    assert_eq!(record.progress(&Settings::default()).unwrap()[0].attempts, 1);
    record.verify().unwrap();
}

#[test]
fn two_openings_of_one_record_take_turns() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("record");
    drop(RecordFile::open(&path).unwrap());
    let writers: Vec<_> = ["total", "listed"]
        .into_iter()
        .map(|topic| {
            let path = path.clone();
            std::thread::spawn(move || {
                let mut record = RecordFile::open(&path).unwrap();
                for at in 0..25 {
                    record.add(&attempt(topic, true, at), &Settings::default()).unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    let mut record = RecordFile::open(&path).unwrap();
    assert_eq!(record.count().unwrap(), 50);
    let progress = record.progress(&Settings::default()).unwrap();
    assert!(progress.iter().all(|topic| topic.attempts == 25));
}

#[test]
fn a_problem_begun_is_unfinished_until_an_attempt_ends_it() {
    let settings = Settings::default();
    let mut record = RecordFile::in_memory().unwrap();
    record.add(&attempt("total", true, 0), &settings).unwrap();
    assert_eq!(record.unfinished().unwrap(), []);

    let going_on = Attempt { ended: None, ..attempt("total", false, 1) };
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
    assert_eq!(record.unfinished().unwrap(), vec![begun.clone()]);
    record.add(&going_on, &settings).unwrap();
    let answered = Unfinished { hints: 0, written: None, attempts: vec![going_on], ..begun };
    assert_eq!(record.unfinished().unwrap(), [answered]);

    record.add(&attempt("total", true, 2), &settings).unwrap();
    assert_eq!(record.unfinished().unwrap(), []);
}

#[test]
fn joining_another_record_leaves_the_problems_begun_as_they_were() {
    let settings = Settings::default();
    let mut record = RecordFile::in_memory().unwrap();
    let at = |code: &str, day| {
        let code = code.to_owned();
        Attempt { code, ended: None, ..attempt("total", false, day) }
    };
    // A problem that was ended once and begun again, one with a hint alone, and one that waits for its
    // points.
    record.add(&Attempt { ended: Some(Ending::Alone), ..at("first", 1) }, &settings).unwrap();
    for (code, day) in [("first", 3), ("second", 4), ("third", 5)] {
        record.begin(code, 2).unwrap();
        if code != "second" {
            record.add(&at(code, day), &settings).unwrap();
            record
                .add(&Attempt { answer: "other".to_owned(), ..at(code, day) }, &settings)
                .unwrap();
        }
    }
    record.note_hints("second", 2).unwrap();
    record.note_written("third", "words").unwrap();
    let before = record.unfinished().unwrap();
    assert_eq!(before.iter().map(|one| one.attempts.len()).collect::<Vec<_>>(), [2, 0, 2]);
    assert_eq!(record.join(vec![at("other", 2), at("other", 9)]).unwrap(), 2);
    assert_eq!(record.unfinished().unwrap(), before);
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
                    let mut record = RecordFile::open(&path).unwrap();
                    record.add(&attempt("total", true, 0), &Settings::default()).unwrap();
                });
            }
        });
        assert_eq!(RecordFile::open(&path).unwrap().count().unwrap(), 4);
    }
}
