//! Practice at the prompt, in a pipe, with templates made for it.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use castmark::practice::{Attempt, Ending, Record, RecordFile};

use super::program::{Folder, Ran, castmark};

/// A folder with a record in it.
struct RecordFolder {
    folder: Folder,
    bank: &'static str,
}

impl RecordFolder {
    fn new() -> Self {
        Self { folder: Folder::new(), bank: "tests/cases/cli/bank" }
    }

    fn path(&self) -> PathBuf {
        self.folder.path("record")
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let bank = ["practise", "--bank", self.bank];
        let mut command = castmark([&bank, arguments].concat());
        command
            .env("COLUMNS", "80")
            .env("CASTMARK_RECORD", self.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    /// Runs `practise` with these lines typed.
    fn run(&self, arguments: &[&str], typed: &str) -> Ran {
        let mut child = self.command(arguments).spawn().unwrap();
        let mut input = child.stdin.take().unwrap();
        // A program that refuses its arguments does not read.
        let _ = input.write_all(typed.as_bytes());
        drop(input);
        child.wait_with_output().unwrap().into()
    }

    /// Runs `practise` in a window of 40 columns.
    fn narrow(&self, arguments: &[&str], typed: &str) -> String {
        let mut command = self.command(arguments);
        let mut child = command.env("COLUMNS", "40").spawn().unwrap();
        let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// Practises the small template.
    fn practise(&self, arguments: &[&str], typed: &str) -> String {
        let all = [&["--template", "plain-batch", "--seed", "3"], arguments].concat();
        self.run(&all, typed).done().out
    }

    fn attempts(&self) -> Vec<Attempt> {
        attempts(&self.path())
    }
}

fn attempts(path: &Path) -> Vec<Attempt> {
    let mut found = Vec::new();
    RecordFile::open(path).unwrap().each(&mut |attempt| found.push(attempt)).unwrap();
    found
}

/// The answers that were given a verdict, as in `Not correct, 0 of 3 marks: 1.5 g`.
fn answers_told(out: &str) -> Vec<&str> {
    let heads = ["Correct", "Partly correct", "Not correct"];
    let told = out.lines().filter(|line| heads.iter().any(|head| line.starts_with(head)));
    told.filter_map(|line| {
        let (before, answer) = line.split_once(": ")?;
        before.contains(" mark").then_some(answer)
    })
    .collect()
}

#[test]
fn the_first_time_a_worked_example_is_shown_and_then_it_fades() {
    let desk = RecordFolder::new();
    insta::assert_snapshot!(desk.practise(
        &["--count", "3"],
        "2.00 g\n\nhelp\nhint\nhint\nhint\n1 g\n1.1 g\nsolution\n\nstop\n"
    ));
}

/// Wrong answers, hints, words, and the worked solution, at two widths.
const A_WHOLE_PROBLEM: &str = "hint\nhint\nten\n4.80 g\n4.80 g\n4.90 g\n\nquestion\n21.0 g\n21.4 g\n\
     solution\nanother\nskip\n=hint\nquit now\nquit\n";

#[test]
fn a_whole_problem_with_a_slip_hints_and_the_solution() {
    let desk = RecordFolder::new();
    insta::assert_snapshot!(desk.practise(&["--no-examples"], A_WHOLE_PROBLEM));
}

#[test]
fn the_same_fits_a_narrow_window() {
    let desk = RecordFolder::new();
    let out = desk
        .narrow(&["--template", "plain-batch", "--no-examples", "--seed", "3"], A_WHOLE_PROBLEM);
    assert!(out.lines().all(|line| line.chars().count() <= 40), "{out}");
    assert!(!out.contains('\u{1b}') && !out.contains('\r'), "{out}");
    insta::assert_snapshot!(out);
}

#[test]
fn theory_is_hinted_at_and_answered_in_words() {
    let desk = RecordFolder::new();
    for (template, typed) in [
        ("base-for-a-lubricant", "1a 2a 3a 4a\n1b 2a 3a 4a\n"),
        ("statement-on-a-base", "true A\nfalse B\n"),
        ("order-of-fusion", "A B C D E\nE D C B A\n"),
        ("roles-named", "water\noil\n"),
    ] {
        let out = desk.narrow(&["--template", template, "--seed", "4", "--count", "1"], typed);
        insta::assert_snapshot!(format!("theory {template}"), out);
    }
}

#[test]
fn problems_are_numbered_on_after_one_that_was_skipped() {
    let desk = RecordFolder::new();
    let out = desk.practise(&["--no-examples"], "skip\nskip\nstop\n");
    let numbers: Vec<&str> =
        out.lines().filter_map(|line| line.strip_prefix("Problem ")?.split(':').next()).collect();
    assert_eq!(numbers, ["1", "2", "3"], "{out}");
    assert!(out.contains("No problem was finished."), "{out}");
}

#[test]
fn a_problem_left_is_gone_on_with_where_it_was_left() {
    let desk = RecordFolder::new();
    let first = desk.practise(&["--no-examples"], "9 g\n");
    let code = first.lines().find_map(|line| line.strip_prefix("Code: ")).unwrap();
    let second = desk.practise(&["--no-examples"], "8 g\n\n9 g\nstop\n");
    assert!(second.contains("This is the problem you left unfinished."), "{second}");
    assert!(second.contains("One try at this question is used."), "{second}");
    assert!(second.contains(&format!("Code: {code}\n")), "{second}");
    let parts: Vec<String> = desk.attempts().into_iter().map(|attempt| attempt.part).collect();
    assert_eq!(parts, ["drug_mass", "drug_mass", "base"]);
}

#[test]
fn a_written_answer_is_kept_and_then_marked_point_by_point() {
    let desk = RecordFolder { bank: "tests/cases/practise", ..RecordFolder::new() };
    let run = |typed: &str| {
        let output = desk.run(&["--template", "in-words", "--seed", "3"], typed);
        output.out
    };
    // Stopped before the points were marked: the answer is there the next time.
    run("opened too early\n");
    assert_eq!(desk.attempts(), []);
    insta::assert_snapshot!(run("perhaps\nyn\nyny\nstop\n"));
    let attempts = desk.attempts();
    assert_eq!(attempts.len(), 1);
    assert_eq!((attempts[0].answer.as_str(), attempts[0].marks), ("opened too early", 2));
    assert_eq!(attempts[0].ended, Some(Ending::Alone));
}

#[test]
fn a_problem_solved_moves_on_and_counts() {
    let desk = RecordFolder::new();
    let out = desk.practise(&["--no-examples", "--count", "1"], "2.00 g\n19.2 g\n");
    let attempts = desk.attempts();
    let ended: Vec<Option<Ending>> = attempts.iter().map(|attempt| attempt.ended).collect();
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        out.contains("You finished 1 problem: 1 solved, 1 of them as a whole problem"),
        "{out}"
    );
    assert_eq!(ended, [None, Some(Ending::Alone)]);
}

#[test]
fn words_that_mean_leaving_are_never_marked() {
    for typed in ["quit\n", "exit\n", "q\n", "stop it\nstop\n", "?\n"] {
        let desk = RecordFolder::new();
        let out = desk.run(&["--template", "roles-named", "--seed", "3"], typed);
        assert_eq!(out.code, 0);
        assert_eq!(desk.attempts(), [], "{typed}");
    }
}

#[test]
fn a_wrong_wish_makes_no_record() {
    let desk = RecordFolder::new();
    for (arguments, message) in [
        (
            ["--template", "plain-btch"],
            "there is no template `plain-btch`; did you mean `plain-batch`?",
        ),
        (["--topic", "one-drog"], "there is no topic `one-drog`; did you mean `one-drug`?"),
    ] {
        desk.run(&arguments, "1 g\n").check_refused(message);
    }
    let wrong = desk.run(&["--exam", "14.12.2026"], "");
    assert_eq!(wrong.code, 2);
    assert!(!desk.path().exists());
}

#[test]
fn an_exam_is_planned_for_and_a_topic_kept_to() {
    let desk = RecordFolder::new();
    let out = desk.run(&["--exam", "2999-01-01", "--topic", "weighing", "--seed", "1"], "stop\n");
    let out = out.out;
    assert!(out.contains("Your exam is on 2999-01-01"), "{out}");
    assert!(out.contains("Weighing small masses (product checks): a new topic."), "{out}");
}

#[test]
fn the_answers_of_another_record_are_added_once() {
    let desk = RecordFolder::new();
    desk.practise(&["--no-examples", "--count", "1"], "2.00 g\n19.2 g\n");
    let listed = desk.folder.path("answers.json");
    fs::write(&listed, desk.run(&["--export", "json"], "").out).unwrap();
    let other = RecordFolder::new();
    let join = |desk: &RecordFolder| {
        let output = desk.run(&["--join", listed.to_str().unwrap()], "");
        assert_eq!(output.code, 0, "{output:?}");
        let told = output.out;
        told.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(
        join(&other),
        "The file held 2 answers: 0 were already here, 2 are new. Your record now holds 2 answers."
    );
    assert!(join(&desk).contains("2 were already here, 0 are new"));
    assert_eq!(other.attempts(), desk.attempts());
    fs::write(&listed, "{\"attempts\": 3}").unwrap();
    let refused = desk.run(&["--join", listed.to_str().unwrap()], "");
    assert_eq!(refused.code, 2);
}

#[cfg(unix)]
#[test]
fn report_and_export_work_where_nothing_can_be_written() {
    use std::os::unix::fs::PermissionsExt;
    let desk = RecordFolder::new();
    desk.practise(&["--no-examples", "--count", "1"], "2.00 g\n19.2 g\n");
    let mode = |mode| fs::Permissions::from_mode(mode);
    fs::set_permissions(desk.path(), mode(0o400)).unwrap();
    fs::set_permissions(desk.folder.root(), mode(0o500)).unwrap();
    let csv = desk.run(&["--export", "csv"], "");
    let report = desk.run(&["--report"], "");
    fs::set_permissions(desk.folder.root(), mode(0o700)).unwrap();
    assert!(csv.code == 0 && report.code == 0, "{csv:?} {report:?}");
    assert_eq!(csv.out.lines().count(), 3);
}

#[test]
fn no_answer_that_got_feedback_is_lost_when_the_program_is_killed() {
    let desk = RecordFolder::new();
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
    let record = RecordFile::open(&desk.path()).unwrap();
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
    let desk = RecordFolder::new();
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
        let out = Ran::from(child.wait_with_output().unwrap()).done().out;
        told.extend(answers_told(&out).into_iter().map(str::to_owned));
    }
    let mut kept: Vec<String> = desk.attempts().into_iter().map(|each| each.answer).collect();
    kept.retain(|answer| !answer.is_empty());
    told.sort();
    kept.sort();
    assert!(told.len() >= 30);
    assert_eq!(told, kept);
}

/// A prompt that waits for the next line.
struct Prompt {
    child: Child,
    input: std::process::ChildStdin,
    output: BufReader<std::process::ChildStdout>,
}

impl Prompt {
    fn at(desk: &RecordFolder) -> Self {
        let arguments = ["--template", "plain-batch", "--no-examples", "--seed", "3"];
        let mut child = desk.command(&arguments).spawn().unwrap();
        let input = child.stdin.take().unwrap();
        let output = BufReader::new(child.stdout.take().unwrap());
        Self { child, input, output }
    }

    /// Types a line and reads until one with these words.
    fn types(&mut self, line: &str, until: &str) -> String {
        self.input.write_all(line.as_bytes()).unwrap();
        let mut seen = String::new();
        while !seen.contains(until) {
            assert!(self.output.read_line(&mut seen).unwrap() > 0, "{until}: {seen}");
        }
        seen
    }
}

impl Drop for Prompt {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn two_prompts_at_one_problem_lose_no_try() {
    let desk = RecordFolder::new();
    let mut first = Prompt::at(&desk);
    let begun = first.types("", "Answer in g");
    let mut second = Prompt::at(&desk);
    let resumed = second.types("", "Answer in g");
    let code = |seen: &str| seen.lines().find(|line| line.starts_with("Code:")).unwrap().to_owned();
    assert_eq!(code(&begun), code(&resumed));

    first.types("987 g\n", "Not correct");
    let seen = second.types("988 g\n", "Answer in g");
    assert!(seen.contains("You went on with this problem in another window"), "{seen}");
    assert_eq!(desk.attempts().len(), 1);
    second.types("988 g\n", "Not correct");
    assert_eq!(desk.attempts().len(), 2);
    let seen = first.types("989 g\n", "Code:");
    assert!(seen.contains("another window"), "{seen}");
    assert_eq!(desk.attempts().len(), 2);
}

#[test]
fn a_damaged_record_is_told_and_left_as_it_is() {
    let desk = RecordFolder::new();
    let rubbish = "no record at all ".repeat(99);
    fs::write(desk.path(), &rubbish).unwrap();
    let shown = desk.path().display().to_string();
    for arguments in [&[][..], &["--report"], &["--export", "csv"], &["--forget", "--yes"]] {
        desk.run(arguments, "1 g\n").check_refused(&format!(
            "`{shown}`: expected a record of attempts, found a damaged or foreign file (file is \
                 not a database); it was left as it is: move it away to begin a new record, or \
                 bring back a copy of it"
        ));
    }
    assert_eq!(fs::read_to_string(desk.path()).unwrap(), rubbish);
}

#[test]
fn damage_in_the_middle_of_a_record_is_told_too() {
    let desk = RecordFolder::new();
    desk.practise(&["--no-examples"], &"9 g\n\n".repeat(40));
    // The size of the first page stays readable, and all pages behind it are overwritten.
    let mut bytes = fs::read(desk.path()).unwrap();
    bytes[4096..].fill(b'?');
    fs::write(desk.path(), &bytes).unwrap();
    for arguments in [&["--export", "csv"][..], &["--template", "plain-batch"]] {
        let output = desk.run(arguments, "1 g\n");
        let told = output.err;
        assert_eq!(output.code, 2, "{told}");
        assert!(told.contains("found a damaged or foreign file"), "{told}");
        assert!(told.contains("move it away to begin a new record"), "{told}");
    }
    assert_eq!(fs::read(desk.path()).unwrap(), bytes);
}

#[test]
fn the_answers_are_listed_for_spreadsheets_and_programs() {
    let desk = RecordFolder::new();
    desk.practise(&["--no-examples"], "9, or \"so\"\n9 g\n");
    let csv = desk.run(&["--export", "csv"], "").out;
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!(lines.len(), 2, "{csv}");
    assert!(lines[0].starts_with("at,objective,topic,template,code,part,answer,right,"), "{csv}");
    assert!(lines[1].contains("Z,base-quantity,one-drug,plain-batch,plain-batch."), "{csv}");
    let json = desk.run(&["--export", "json"], "").out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json[0]["answer"], "9 g");
    assert_eq!(json[0]["ended"], serde_json::Value::Null);
    assert!(json[0]["at"].as_str().unwrap().ends_with('Z'));
}

#[test]
fn without_a_record_the_list_is_empty_and_none_is_made() {
    let desk = RecordFolder::new();
    assert_eq!(desk.run(&["--export", "json"], "").out, "[\n]\n");
    let report = desk.run(&["--report"], "");
    assert!(report.out.contains(" topics, 0 are ready"));
    assert!(!desk.path().exists());
}

#[test]
fn everything_is_forgotten_but_only_when_that_is_said_twice() {
    let desk = RecordFolder::new();
    desk.practise(&["--no-examples"], "9 g\n");
    let shown = desk.path().display().to_string();
    desk.run(&["--forget"], "").check_refused(&format!(
        "this deletes all 1 answers in `{shown}` for good; give --yes as well if you want that"
    ));
    assert_eq!(desk.attempts().len(), 1);
    assert_eq!(desk.run(&["--forget", "--yes"], "").code, 0);
    assert_eq!(desk.attempts(), []);
    let bytes = fs::read(desk.path()).unwrap();
    let code = b"plain-batch.";
    assert!(!bytes.windows(code.len()).any(|window| window == code), "it is still in the file");
}

#[test]
fn the_report_is_text_and_a_page_with_plots() {
    let desk = RecordFolder::new();
    desk.practise(&["--no-examples", "--count", "2"], "2.00 g\n19.2 g\n");
    let page = desk.folder.path("page.html");
    let output = desk.run(&["--html", page.to_str().unwrap()], "");
    let out = output.out;
    assert!(out.contains("Base for one drug"), "{out}");
    assert!(out.contains("not for preparing or supplying"), "{out}");
    let page = fs::read_to_string(page).unwrap();
    assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en-GB\">"));
    for piece in ["<svg ", "role=\"img\"", "<details>", "not for preparing or supplying medicines"]
    {
        assert!(page.contains(piece), "{piece} is not in:\n{page}");
    }
    assert!(!page.contains("<script") && !page.contains("://cdn"));
}

#[test]
fn a_settings_file_out_of_range_is_refused_with_its_lines() {
    let desk = RecordFolder::new();
    let settings = desk.folder.path("settings");
    fs::write(&settings, "lucky: 0.5\ncareless: 0.2\n").unwrap();
    let shown = settings.display().to_string();
    desk.run(&["--settings", &shown], "").check_refused(
        &format!(
            "`{shown}`: line 1: `lucky`: expected a number from 0 to 0.3, found 0.5; give one in \
             that range\n`{shown}`: line 2: `careless`: expected a number from 0 to 0.1, found 0.2; \
             give one in that range"
        ),
    );
}
