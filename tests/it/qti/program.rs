//! Packages from the command line.

use std::fs;
use std::path::Path;

use super::super::program::Folder;
use super::package::{Element, Package};

#[track_caller]
fn refused(folder: &Folder, arguments: &str, message: &str) {
    let said = folder.refused(arguments);
    assert!(said.contains(message), "{said}");
}

fn package(path: &Path) -> Package {
    Package::read(&fs::read(path).unwrap())
}

#[test]
fn a_problem_becomes_a_package_and_what_it_cannot_say_is_listed() {
    let folder = Folder::new();
    let said = folder.done("problem --template base-one-drug --count 3 --seed 7 -o pool.qti3.zip");
    for left in ["follow-through", "two slips at once", "steps of the working", "variants"] {
        assert!(said.contains(left), "{left}: {said}");
    }
    assert_eq!(package(&folder.path("pool.qti3.zip")).items().len(), 3);
    folder.done("problem --template base-one-drug --count 3 --seed 7 --format qti3 -o again.bin");
    let [one, other] =
        ["pool.qti3.zip", "again.bin"].map(|name| fs::read(folder.path(name)).unwrap());
    assert_eq!(one, other);
}

#[cfg(unix)]
#[test]
fn a_new_package_can_be_read_by_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new();
    folder.done("problem --template base-one-drug --seed 7 -o one.qti2.zip");
    let mode = fs::metadata(folder.path("one.qti2.zip")).unwrap().permissions().mode();
    assert_eq!(mode & 0o077, 0, "{mode:o}");
}

#[test]
fn an_archive_of_no_version_is_refused_with_the_extensions_there_are() {
    let folder = Folder::new();
    refused(&folder, "problem --seed 7 -o one.zip", "end its name in .txt, .md, .html");
    refused(&folder, "problem --seed 7 -o one.zip", ".qti3.zip, .qti2.zip");
    assert!(!folder.path("one.zip").exists());
}

const BLUEPRINT: &str = "castmark: 1\nid: short\ntitle: Short\nminutes: 20\nsections:\n\
    \x20 - title: Section A\n    slots:\n      - template: value-from-factor\n\
    \x20 - title: Section B\n    slots:\n      - template: base-one-drug\n        count: 2\n";

fn class() -> Folder {
    let folder = Folder::new();
    fs::write(folder.path("short.yaml"), BLUEPRINT).unwrap();
    fs::write(folder.path("class.csv"), "candidate,needs\n0101,\n0102,extra time 25\n").unwrap();
    folder
}

#[test]
fn every_candidate_gets_a_package_with_the_sections_and_the_time_of_the_paper() {
    let folder = class();
    let said =
        folder.done("paper make short.yaml --class class.csv --to set --format qti3,qti2,text");
    assert_eq!(said.matches("follow-through").count(), 1, "told once for the class: {said}");
    let one = package(&folder.path("set/packages/0001-0101.qti3.zip"));
    let other = package(&folder.path("set/packages/0002-0102.qti3.zip"));
    assert!(folder.path("set/packages/0001-0101.qti2.zip").exists());
    assert!(folder.path("set/papers/0001-0101.txt").exists());
    assert!(!folder.path("set/papers/0001-0101.qti3.zip").exists());
    let [test, slower] = [&one, &other].map(|it| Element::read(it.text("test.xml")));
    let sections = test
        .named("assessmentSection")
        .into_iter()
        .map(|section| (section.have("title"), section.named("selection")[0].have("select")));
    assert_eq!(sections.collect::<Vec<_>>(), [("Section A", "1"), ("Section B", "2")]);
    let time = |test: &Element| test.named("timeLimits")[0].have("maxTime").to_owned();
    assert_eq!((time(&test), time(&slower)), ("1200".to_owned(), "1500".to_owned()));
    assert_eq!(test.named("testPart")[0].have("submissionMode"), "simultaneous");
    assert_ne!(one.items(), other.items());
    assert!(one.items().iter().all(|item| item.have("title").starts_with("Question ")));
}

#[test]
fn packages_are_made_again_byte_for_byte_and_stay_with_a_longer_class() {
    let folder = class();
    folder.done("paper make short.yaml --class class.csv --to set --format qti3");
    let first = fs::read(folder.path("set/packages/0002-0102.qti3.zip")).unwrap();
    folder.done("paper again set/manifest.jsonl --candidate 0102 -o again.qti3.zip");
    assert_eq!(fs::read(folder.path("again.qti3.zip")).unwrap(), first);
    fs::write(folder.path("class.csv"), "candidate,needs\n0101,\n0102,extra time 25\n0103,\n")
        .unwrap();
    folder.done("paper make short.yaml --class class.csv --to set");
    assert_eq!(fs::read(folder.path("set/packages/0002-0102.qti3.zip")).unwrap(), first);
    assert!(folder.path("set/packages/0003-0103.qti3.zip").exists());
    assert!(
        !folder.path("set/papers").exists(),
        "nothing is made in a format that nobody asked for"
    );
}

#[test]
fn what_a_package_is_not_for_is_refused_with_a_remedy() {
    let folder = class();
    let make = "paper make short.yaml --class class.csv --to set --format qti3";
    refused(&folder, &format!("{make} --bound-only"), "leave --bound-only out");
    assert!(!folder.path("set").exists());
    folder.done(make);
    let again =
        "paper again set/manifest.jsonl --candidate 0101 --format qti3 --show key -o key.zip";
    refused(&folder, again, "leave --show out");
    fs::write(folder.path("own.txt"), "{{ title }}").unwrap();
    refused(&folder, "problem --seed 1 --layout own.txt -o a.qti3.zip", "layout");
    assert!(!folder.path("a.qti3.zip").exists());
}
