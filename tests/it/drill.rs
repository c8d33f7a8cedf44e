//! Practice at the prompt, in a pipe, with templates made for it.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

use castmark::practice::{Attempt, Record, RecordError};
use tempfile::TempDir;

/// A folder with a record in it.
struct Desk {
    folder: TempDir,
    bank: &'static str,
}

impl Desk {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap(), bank: "tests/cases/cli/bank" }
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("record")
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_castmark"));
        command
            .args(["drill", "--bank", self.bank])
            .args(arguments)
            .env_clear()
            .env("COLUMNS", "80")
            .env("CASTMARK_RECORD", self.path())
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    /// Runs `drill` with these lines typed.
    fn run(&self, arguments: &[&str], typed: &str) -> Output {
        let mut child = self.command(arguments).spawn().unwrap();
        let mut input = child.stdin.take().unwrap();
        // A program that refuses its arguments does not read.
        let _ = input.write_all(typed.as_bytes());
        drop(input);
        child.wait_with_output().unwrap()
    }

    /// Practises the small template.
    fn drill(&self, arguments: &[&str], typed: &str) -> String {
        let all = [&["--template", "plain-batch", "--seed", "3"], arguments].concat();
        let output = self.run(&all, typed);
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    }

    fn attempts(&self) -> Vec<Attempt> {
        attempts(&self.path())
    }
}

fn attempts(path: &Path) -> Vec<Attempt> {
    let mut found = Vec::new();
    let record = Record::open(path).unwrap();
    record
        .each(|attempt| {
            found.push(attempt);
            Ok::<(), RecordError>(())
        })
        .unwrap();
    found
}

#[track_caller]
fn check_refused(output: &Output, message: &str) {
    assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), format!("castmark: {message}\n"));
}

/// The answers that were given feedback, as `(b) 1.5 g is not correct, ...` says.
fn answers_told(out: &str) -> Vec<&str> {
    let told = out.lines().filter(|line| line.starts_with('('));
    told.filter_map(|line| {
        let (_, rest) = line.split_once(") ")?;
        let end = [" is correct,", " is partly correct,", " is not correct,"]
            .into_iter()
            .find_map(|end| rest.find(end))?;
        Some(&rest[..end])
    })
    .collect()
}

#[test]
fn the_first_time_a_worked_example_is_shown_and_then_it_fades() {
    let desk = Desk::new();
    insta::assert_snapshot!(
        desk.drill(&["--count", "3"], "3.60 g\nhelp\nhint\nhint\nhint\n1 g\n1 g\nshow\n\nstop\n")
    );
}

#[test]
fn a_whole_problem_with_a_slip_hints_and_the_solution() {
    let desk = Desk::new();
    insta::assert_snapshot!(desk.drill(
        &["--no-examples"],
        "hint\nhint\nten\n4.80 g\n4.80 g\n\n21.0 g\n21.4 g\nshow\nagain\nskip\n=hint\nstop\n"
    ));
}

#[test]
fn problems_are_numbered_on_after_one_that_was_skipped() {
    let desk = Desk::new();
    let out = desk.drill(&["--no-examples"], "skip\nskip\nstop\n");
    let numbers: Vec<&str> =
        out.lines().filter_map(|line| line.strip_prefix("Problem ")?.split(':').next()).collect();
    assert_eq!(numbers, ["1", "2", "3"], "{out}");
    assert!(out.contains("You went through 0 problems"), "{out}");
}

#[test]
fn a_problem_left_is_gone_on_with_where_it_was_left() {
    let desk = Desk::new();
    let first = desk.drill(&["--no-examples"], "9 g\n");
    let code = first.lines().find_map(|line| line.strip_prefix("Code: ")).unwrap();
    let second = desk.drill(&["--no-examples"], "9 g\n9 g\nstop\n");
    assert!(second.contains("This is the problem you left unfinished."), "{second}");
    assert!(second.contains(&format!("Code: {code}\n")), "{second}");
    let parts: Vec<String> = desk.attempts().into_iter().map(|attempt| attempt.part).collect();
    assert_eq!(parts, ["drug_mass", "drug_mass", "base"]);
}

#[test]
fn a_written_answer_is_kept_and_then_marked_point_by_point() {
    let desk = Desk { bank: "tests/cases/drill", ..Desk::new() };
    let run = |typed: &str| {
        let output = desk.run(&["--template", "in-words", "--seed", "3"], typed);
        String::from_utf8(output.stdout).unwrap()
    };
    // Stopped after the first point: the answer is there the next time, and its points come again.
    run("opened too early\ny\n");
    assert_eq!(desk.attempts(), []);
    insta::assert_snapshot!(run("y\nperhaps\nn\nYES\nstop\n"));
    let attempts = desk.attempts();
    assert_eq!(attempts.len(), 1);
    assert_eq!((attempts[0].answer.as_str(), attempts[0].marks), ("opened too early", 2));
    assert_eq!(attempts[0].solved, Some(true));
}

#[test]
fn a_problem_solved_moves_on_and_counts() {
    let desk = Desk::new();
    let out = desk.drill(&["--no-examples", "--count", "1"], "3.60 g\n22.2 g\n");
    let attempts = desk.attempts();
    let solved: Vec<Option<bool>> = attempts.iter().map(|attempt| attempt.solved).collect();
    assert!(out.contains("You went through 1 problem and solved 1 alone."), "{out}");
    assert_eq!(solved, [None, Some(true)]);
}

#[test]
fn no_answer_that_got_feedback_is_lost_when_the_program_is_killed() {
    let desk = Desk::new();
    let mut told: Vec<String> = Vec::new();
    for run in 0..30 {
        let mut child = desk.command(&["--template", "plain-batch"]).spawn().unwrap();
        let mut input = child.stdin.take().unwrap();
        let lines: String = (0..200).map(|n| format!("{run}.{n:03}7 g\n\n")).collect();
        let writer = std::thread::spawn(move || {
            let _ = input.write_all(lines.as_bytes());
        });
        let seen = read_until_killed(&mut child, 1 + run % 7);
        writer.join().unwrap();
        told.extend(answers_told(&seen).into_iter().map(str::to_owned));
    }
    let record = Record::open(&desk.path()).unwrap();
    record.verify().unwrap();
    let kept: Vec<String> = desk.attempts().into_iter().map(|attempt| attempt.answer).collect();
    assert!(told.len() >= 30, "{told:?}");
    let lost: Vec<&String> = told.iter().filter(|answer| !kept.contains(answer)).collect();
    assert_eq!(lost, Vec::<&String>::new());
}

/// Reads until so many answers were judged, kills the program at once, and gives all it printed.
fn read_until_killed(child: &mut Child, verdicts: usize) -> String {
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut seen = String::new();
    while answers_told(&seen).len() < verdicts && out.read_line(&mut seen).unwrap() > 0 {}
    child.kill().unwrap();
    while out.read_line(&mut seen).unwrap() > 0 {}
    child.wait().unwrap();
    seen
}

#[test]
fn two_at_once_keep_every_answer() {
    let desk = Desk::new();
    let children: Vec<Child> = (0..2)
        .map(|one| {
            let arguments = ["--template", "plain-batch", "--no-examples", "--seed"];
            let seed = one.to_string();
            let mut child = desk.command(&[&arguments[..], &[&seed]].concat()).spawn().unwrap();
            let lines: String = (0..20).map(|n| format!("{one}.{n:03}7 g\n\n")).collect();
            child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
            child
        })
        .collect();
    let mut told = Vec::new();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{output:?}");
        let out = String::from_utf8(output.stdout).unwrap();
        told.extend(answers_told(&out).into_iter().map(str::to_owned));
    }
    let mut kept: Vec<String> = desk.attempts().into_iter().map(|each| each.answer).collect();
    kept.retain(|answer| !answer.is_empty());
    told.sort();
    kept.sort();
    assert!(told.len() >= 30);
    assert_eq!(told, kept);
}

#[test]
fn a_damaged_record_is_told_and_left_as_it_is() {
    let desk = Desk::new();
    let rubbish = "no record at all ".repeat(99);
    fs::write(desk.path(), &rubbish).unwrap();
    let shown = desk.path().display().to_string();
    for arguments in [&[][..], &["--report"], &["--export", "csv"], &["--forget", "--yes"]] {
        check_refused(
            &desk.run(arguments, "1 g\n"),
            &format!(
                "`{shown}`: expected a record of attempts, found a damaged or foreign file (file is \
                 not a database); it was left as it is: move it away to begin a new record, or \
                 bring back a copy of it"
            ),
        );
    }
    assert_eq!(fs::read_to_string(desk.path()).unwrap(), rubbish);
}

#[test]
fn damage_in_the_middle_of_a_record_is_told_too() {
    let desk = Desk::new();
    desk.drill(&["--no-examples"], &"9 g\n\n".repeat(40));
    // The size of the first page stays readable, and all pages behind it are overwritten.
    let mut bytes = fs::read(desk.path()).unwrap();
    bytes[4096..].fill(b'?');
    fs::write(desk.path(), &bytes).unwrap();
    for arguments in [&["--export", "csv"][..], &["--template", "plain-batch"]] {
        let output = desk.run(arguments, "1 g\n");
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(told.contains("found a damaged or foreign file"), "{told}");
        assert!(told.contains("move it away to begin a new record"), "{told}");
    }
    assert_eq!(fs::read(desk.path()).unwrap(), bytes);
}

#[test]
fn the_answers_are_listed_for_spreadsheets_and_programs() {
    let desk = Desk::new();
    desk.drill(&["--no-examples"], "9, or \"so\"\n9 g\n");
    let csv = String::from_utf8(desk.run(&["--export", "csv"], "").stdout).unwrap();
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!(lines.len(), 2, "{csv}");
    assert!(lines[0].starts_with("at,objective,topic,template,code,part,answer,right,"), "{csv}");
    assert!(lines[1].contains("Z,base-quantity,one-drug,plain-batch,plain-batch."), "{csv}");
    let json = desk.run(&["--export", "json"], "").stdout;
    let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
    assert_eq!(json[0]["answer"], "9 g");
    assert_eq!(json[0]["solved"], serde_json::Value::Null);
}

#[test]
fn without_a_record_the_list_is_empty_and_none_is_made() {
    let desk = Desk::new();
    assert_eq!(desk.run(&["--export", "json"], "").stdout, b"[\n]\n");
    let report = desk.run(&["--report"], "");
    assert!(String::from_utf8_lossy(&report.stdout).starts_with("Subjects by objective"));
    assert!(!desk.path().exists());
}

#[test]
fn everything_is_forgotten_but_only_when_that_is_said_twice() {
    let desk = Desk::new();
    desk.drill(&["--no-examples"], "9 g\n");
    let shown = desk.path().display().to_string();
    check_refused(
        &desk.run(&["--forget"], ""),
        &format!(
            "this deletes all 1 answers in `{shown}` for good; give --yes as well if you want that"
        ),
    );
    assert_eq!(desk.attempts().len(), 1);
    assert!(desk.run(&["--forget", "--yes"], "").status.success());
    assert_eq!(desk.attempts(), []);
    let bytes = fs::read(desk.path()).unwrap();
    let code = b"plain-batch.";
    assert!(!bytes.windows(code.len()).any(|window| window == code), "it is still in the file");
}

#[test]
fn the_report_is_a_table_and_a_page_with_a_plot() {
    let desk = Desk::new();
    desk.drill(&["--no-examples", "--count", "2"], "3.60 g\n22.2 g\n");
    let page = desk.folder.path().join("page.html");
    let output = desk.run(&["--report", "--html", page.to_str().unwrap()], "");
    let out = String::from_utf8(output.stdout).unwrap();
    assert!(out.contains("base quantity, one drug"), "{out}");
    let page = fs::read_to_string(page).unwrap();
    assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en-GB\">"));
    for piece in ["<svg ", "role=\"img\"", "<caption>", "not for preparing or supplying medicines"]
    {
        assert!(page.contains(piece), "{piece} is not in:\n{page}");
    }
    assert!(!page.contains("<script") && !page.contains("://cdn"));
}

#[test]
fn a_settings_file_out_of_range_is_refused_with_its_lines() {
    let desk = Desk::new();
    let settings = desk.folder.path().join("settings");
    fs::write(&settings, "lucky: 0.5\ncareless: 0.2\n").unwrap();
    let shown = settings.display().to_string();
    check_refused(
        &desk.run(&["--settings", &shown], ""),
        &format!(
            "`{shown}`: line 1: `lucky`: expected a number from 0 to 0.3, found 0.5; give one in \
             that range\n`{shown}`: line 2: `careless`: expected a number from 0 to 0.1, found 0.2; \
             give one in that range"
        ),
    );
}

#[test]
fn it_fits_a_narrow_window_and_shows_no_colour_in_a_pipe() {
    let desk = Desk::new();
    let mut command = desk.command(&["--template", "base-one-drug", "--seed", "1"]);
    let mut child = command.env("COLUMNS", "40").spawn().unwrap();
    child.stdin.take().unwrap().write_all(b"hint\n1 g\nshow\n\nstop\n").unwrap();
    let out = String::from_utf8(child.wait_with_output().unwrap().stdout).unwrap();
    assert!(out.lines().all(|line| line.chars().count() <= 40), "{out}");
    assert!(!out.contains('\u{1b}') && !out.contains('\r'), "{out}");
}
