//! `castmark begin`: starters are complete, pass their checks at once, and write over nothing.

use std::fs;
use std::process::{Command, Output};

struct Desk(tempfile::TempDir);

impl Desk {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn run(&self, arguments: &str) -> Output {
        Command::new(env!("CARGO_BIN_EXE_castmark"))
            .args(arguments.split(' '))
            .current_dir(self.0.path())
            .env("COLUMNS", "100")
            .output()
            .unwrap()
    }

    #[track_caller]
    fn done(&self, arguments: &str) -> String {
        let output = self.run(arguments);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(0), "{arguments}: {said}");
        said + &String::from_utf8(output.stdout).unwrap()
    }

    #[track_caller]
    fn refused(&self, arguments: &str) -> String {
        let output = self.run(arguments);
        assert_eq!(output.status.code(), Some(2), "{output:?}");
        String::from_utf8(output.stderr).unwrap()
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.path().join(name)).unwrap()
    }
}

#[test]
fn a_paper_is_made_from_what_was_begun() {
    let desk = Desk::new();
    let said = desk.done("begin blueprint first.yaml");
    assert!(
        said.contains("begun in first.yaml; change it, then: castmark paper plan first.yaml"),
        "{said}"
    );
    assert!(desk.read("first.yaml").contains("id: first\n"));
    desk.done("begin class class.csv");
    desk.done("paper plan first.yaml --class class.csv");
    desk.done("paper make first.yaml --class class.csv --to first --format text");
    let sheet = desk.read("first/room/invigilator.txt");
    // 45 minutes from 9:30, and a quarter more, rounded up: 57.
    assert!(
        sheet.contains("10:15") && sheet.contains("10:27") && sheet.contains("a reader"),
        "{sheet}"
    );
}

#[test]
fn a_template_and_a_table_that_were_begun_are_in_order() {
    let desk = Desk::new();
    desk.done("begin template own/base-with-extra.yaml");
    desk.done("begin facts own/facts/own_drugs.yaml");
    let checked = desk.done("bank check --bank own base-with-extra");
    assert!(checked.contains("no fault"), "{checked}");
    let problem = desk.done("problem --bank own --template base-with-extra --seed 1");
    assert!(problem.contains("plain suppositories of theobroma oil"), "{problem}");
    assert!(
        desk.read("own/base-with-extra.yaml")
            .contains("castmark bank check --bank own base-with-extra")
    );
    assert!(desk.read("own/facts/own_drugs.yaml").contains("table: own_drugs\n"));
}

#[test]
fn nothing_is_written_over_and_a_name_that_cannot_be_used_is_told() {
    let desk = Desk::new();
    fs::write(desk.0.path().join("class.csv"), "mine\n").unwrap();
    for (arguments, expected) in [
        ("begin class class.csv", "`class.csv` already exists; choose another name"),
        ("begin class class.txt", "expected a file that ends in .csv, found `class.txt`"),
        ("begin blueprint plan", "expected a file that ends in .yaml, found `plan`"),
        ("begin template Own_Question.yaml", "the file cannot be begun under that name"),
        ("begin facts own-drugs.yaml", "the file cannot be begun under that name"),
        ("begin blueprint A.yaml", "the file cannot be begun under that name"),
        ("begin posters a.yaml", "invalid value 'posters'"),
    ] {
        let said = desk.refused(arguments);
        assert!(said.contains(expected), "{arguments}: {said}");
    }
    assert_eq!(desk.read("class.csv"), "mine\n");
    assert_eq!(fs::read_dir(desk.0.path()).unwrap().count(), 1);
}
