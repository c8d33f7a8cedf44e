//! Several runs and several groups: no two write a folder at once, and no two share a problem.

use std::collections::BTreeSet;
use std::process::Child;
use std::thread::sleep;
use std::time::Duration;

use super::*;

fn set(desk: &Folder, folder: &str) -> PaperSet {
    let text = fs::read_to_string(desk.path(folder).join("manifest.jsonl")).unwrap();
    PaperSet::read(&text).unwrap()
}

fn problems(set: &PaperSet) -> BTreeSet<String> {
    let questions = set.papers.iter().flat_map(|paper| &paper.questions);
    let named = questions.map(|it| format!("{} {}", set.templates[it.planned].0, it.place));
    let codes = set.papers.iter().map(|paper| paper.code.to_string());
    named.chain(codes).collect()
}

#[test]
fn an_old_secret_repeats_no_papers_unless_asked_and_then_draws_others() {
    let desk = folder("candidate\n0101\n0102\n");
    make_in(&desk, ",json");
    let first = set(&desk, "set");
    fs::write(desk.path("class.csv"), "candidate\n0201\n0202\n").unwrap();
    let again = "paper make midterm.yaml --class class.csv --to wednesday --secret set.secret";
    let said = desk.refused(again);
    assert!(said.contains("2 papers of `midterm` have been drawn under the secret"), "{said}");
    assert!(!desk.path("wednesday").exists());
    let further = desk.run(&format!("{again} --further"));
    assert!(further.code == 0, "{further:?}");
    // A late candidate of the first group comes behind the second group.
    fs::write(desk.path("class.csv"), "candidate\n0101\n0102\n0103\n").unwrap();
    make_in(&desk, ",json");
    let (tuesday, wednesday) = (set(&desk, "set"), set(&desk, "wednesday"));
    assert_eq!(tuesday.papers[..2], first.papers[..]);
    let both: Vec<_> = problems(&tuesday).intersection(&problems(&wednesday)).cloned().collect();
    assert!(both.is_empty(), "{both:?}");
}

#[test]
fn of_two_runs_on_one_folder_each_acknowledged_candidate_is_kept() {
    let desk = folder("candidate\n0101\n");
    make_in(&desk, " --bound-only");
    let rounds = std::env::var("CASTMARK_RUNS").ok().and_then(|it| it.parse().ok()).unwrap_or(4);
    for round in 0..rounds {
        let numbers = [2 * round + 1000, 2 * round + 1001];
        let runs: Vec<Child> = numbers
            .iter()
            .map(|number| {
                let class = format!("class-{number}.csv");
                fs::write(desk.path(&class), format!("candidate\n0101\n{number}\n")).unwrap();
                let line = format!(
                    "paper make midterm.yaml --class {class} --to set --format text --bound-only"
                );
                let mut command = desk.command(&line);
                let run = command.stderr(std::process::Stdio::null()).spawn().unwrap();
                sleep(Duration::from_millis(round * 37 % 400));
                run
            })
            .collect();
        let acknowledged = runs
            .into_iter()
            .zip(numbers)
            .filter_map(|(mut run, number)| run.wait().unwrap().success().then_some(number));
        let acknowledged: Vec<u64> = acknowledged.collect();
        let set = set(&desk, "set");
        for number in acknowledged {
            assert!(set.paper(&number.to_string()).is_ok(), "{number} was acknowledged");
        }
    }
    let left = files(desk.root());
    assert!(left.iter().all(|(name, _)| !name.contains(".castmark")), "a lock or draft is left");
}

#[test]
fn a_run_that_was_killed_leaves_nothing_in_the_way_of_the_next() {
    let desk = folder("candidate\n0101\n0102\n0103\n");
    for wait in [5, 60, 150, 300] {
        let line = "paper make midterm.yaml --class class.csv --to set --format text";
        let mut command = desk.command(line);
        let mut run = command.stderr(std::process::Stdio::null()).spawn().unwrap();
        sleep(Duration::from_millis(wait));
        run.kill().unwrap();
        run.wait().unwrap();
    }
    // Killed between keeping the secret and putting the folder there, a run has used up its papers.
    let more = if desk.path("set").exists() { "" } else { " --further" };
    make_in(&desk, more);
    assert_eq!(set(&desk, "set").papers.len(), 3);
    let left = files(desk.root());
    assert!(left.iter().all(|(name, _)| !name.contains(".castmark")), "a lock or draft is left");
}

#[test]
fn tables_that_lost_a_quotation_mark_are_refused_with_the_line() {
    let desk = folder("candidate,name\n0101,\"Quill, A.\n0102,Reed\n0103,Sedge\n");
    let said = desk.refused("paper make midterm.yaml --class class.csv --to set");
    assert!(
        said.contains(
            "line 2: expected a second quotation mark that ends the field, found the end of the line"
        ),
        "{said}"
    );
    assert!(!desk.path("set").exists());
}

#[test]
fn tables_as_spreadsheets_write_them_are_understood() {
    for list in [
        "sep=;\ncandidate;name\n0101;Quill\n",
        "candidate\tname\n0101\tQuill, A.\n",
        "\u{feff}candidate;name\r\n0101;\"Quill; A.\"\r\n",
    ] {
        let list = ClassList::read(list.as_bytes()).unwrap();
        assert_eq!(list.candidates[0].number, "0101");
    }
}

#[test]
fn numbers_that_look_alike_or_hide_something_are_refused() {
    let said = |list: &str| ClassList::read(list.as_bytes()).unwrap_err()[0].to_string();
    assert_eq!(
        said("candidate\n01\u{202e}02\n"),
        "line 2, column `candidate`: expected characters that can be seen, found U+202E in the \
         number; type the number again"
    );
    assert_eq!(
        said("candidate\n\u{e9}1\ne\u{301}1\n"),
        "line 3, column `candidate`: candidate e\u{301}1 is already on line 2; remove one of the two \
         lines"
    );
    assert_eq!(
        said("candidate\n01\0\n"),
        "line 2: expected text, found a zero byte; save the file again as UTF-8 text"
    );
    let bytes = b"\xff\xfec\0a\0";
    assert_eq!(
        ClassList::read(bytes).unwrap_err()[0].to_string(),
        "line 1: expected text in UTF-8, found UTF-16; save the file again as UTF-8"
    );
}
