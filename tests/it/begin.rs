//! `castmark begin`: starters are complete, pass their checks at once, and write over nothing.

use std::fs;

use super::program::{Folder, Ran};

/// What was printed and said by a run that did what was asked.
#[track_caller]
fn done(folder: &Folder, arguments: &str) -> String {
    let ran = Ran::of(folder.command(arguments).env("COLUMNS", "100")).done();
    ran.err + &ran.out
}

#[test]
fn a_paper_is_made_from_what_was_begun() {
    let folder = Folder::new();
    let said = done(&folder, "begin blueprint first.yaml");
    assert!(
        said.contains("begun in first.yaml; change it, then: castmark paper plan first.yaml"),
        "{said}"
    );
    assert!(folder.read("first.yaml").contains("id: first\n"));
    done(&folder, "begin class class.csv");
    done(&folder, "paper plan first.yaml --class class.csv");
    done(&folder, "paper make first.yaml --class class.csv --to first --format text");
    let sheet = folder.read("first/room/invigilator.txt");
    // 45 minutes from 9:30, and a quarter more, rounded up: 57.
    assert!(
        sheet.contains("10:15") && sheet.contains("10:27") && sheet.contains("a reader"),
        "{sheet}"
    );
}

#[test]
fn a_template_and_a_table_that_were_begun_are_in_order() {
    let folder = Folder::new();
    done(&folder, "begin template own/base-with-extra.yaml");
    done(&folder, "begin facts own/facts/own_drugs.yaml");
    let checked = done(&folder, "bank check --bank own base-with-extra");
    assert!(checked.contains("no fault"), "{checked}");
    let problem = done(&folder, "problem --bank own --template base-with-extra --seed 1");
    assert!(problem.contains("plain suppositories of theobroma oil"), "{problem}");
    assert!(
        folder
            .read("own/base-with-extra.yaml")
            .contains("castmark bank check --bank own base-with-extra")
    );
    assert!(folder.read("own/facts/own_drugs.yaml").contains("table: own_drugs\n"));
}

#[test]
fn nothing_is_written_over_and_a_name_that_cannot_be_used_is_told() {
    let folder = Folder::new();
    fs::write(folder.path("class.csv"), "mine\n").unwrap();
    for (arguments, expected) in [
        ("begin class class.csv", "`class.csv` already exists; choose another name"),
        ("begin class class.txt", "expected a file that ends in .csv, found `class.txt`"),
        ("begin blueprint plan", "expected a file that ends in .yaml, found `plan`"),
        ("begin template Own_Question.yaml", "the file cannot be begun under that name"),
        ("begin facts own-drugs.yaml", "the file cannot be begun under that name"),
        ("begin blueprint A.yaml", "the file cannot be begun under that name"),
        ("begin posters a.yaml", "invalid value 'posters'"),
    ] {
        let said = folder.refused(arguments);
        assert!(said.contains(expected), "{arguments}: {said}");
    }
    assert_eq!(folder.read("class.csv"), "mine\n");
    assert_eq!(fs::read_dir(folder.root()).unwrap().count(), 1);
}
