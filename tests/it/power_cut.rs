//! The power fails while a folder is written: afterwards it is as it was before or as it was to be,
//! whatever had not been synced by then.
//!
//! A run is recorded by `strace`, and a model of the disk follows it call by call. For a power cut
//! after each call it drops what was not synced: all data of files, and of the changes of names in
//! folders the last few or any. What is found is compared with the old and the new folder, and a run
//! on it must find nothing in its way. It needs `strace`:
//! `cargo test --test it -- --ignored power_cut`.

#[path = "power_cut/disk.rs"]
mod disk;
#[path = "power_cut/trace.rs"]
mod trace;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::rc::Rc;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use disk::{Recorded, Tree, tree};
use trace::Step;

use super::program::{Folder, Ran, castmark};

const BLUEPRINT: &str = "\
castmark: 1
id: cut
title: Cut
minutes: 30
sections:
  - title: Section A
    slots:
      - template: base-one-drug
      - template: value-from-factor
";

const MAKE: &str = "paper make cut.yaml --class class.csv --to set --format text";
const MARK: &str = "mark set/manifest.jsonl answers.csv --to marks --hand hand.csv";

/// How many random choices of what is lost are tried after each call.
const CHOICES: usize = 6;

/// On how many of the disks that are found the program is run.
const RUNS: usize = 24;

/// A folder with what papers are made of, and with answers and a mark by hand.
fn folder() -> Folder {
    let folder = Folder::with(&[
        ("cut.yaml", BLUEPRINT),
        ("class.csv", "candidate\n0101\n0102\n"),
        ("answers.csv", "candidate,1a\n0101,3.6\n0102,x\n"),
    ]);
    give(&folder, "AB");
    folder
}

/// A table with a mark by hand of this marker.
fn give(folder: &Folder, who: &str) {
    let row = format!("0101,1,a,1,{who},a reason,2027-03-20");
    folder.put("hand.csv", &format!("candidate,question,part,marks,who,why,when\n{row}\n"));
}

/// Runs a command and records what it does to the disk.
fn record(folder: &Folder, line: &str) -> Recorded {
    let root = folder.root().canonicalize().unwrap();
    let record = tempfile::NamedTempFile::new().unwrap();
    let before = tree(&root);
    let folders: Vec<PathBuf> = folders(&root);
    let output = Command::new("strace")
        .args(["-f", "-y", "-xx", "-s", "100000000", "-e"])
        .arg(format!("trace={}", trace::CALLS))
        .arg("-o")
        .arg(record.path())
        .arg(env!("CARGO_BIN_EXE_castmark"))
        .args(line.split(' '))
        .current_dir(&root)
        .output()
        .expect("strace, which this test needs");
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let text = fs::read_to_string(record.path()).unwrap();
    let steps = trace::steps(&text, &root);
    let recorded = Recorded::new(&root, &before, &folders, &steps);
    // The model is one of this disk: at the end it holds what the disk holds.
    assert_eq!(recorded.end(&root), tree(&root));
    recorded
}

fn run(folder: &Path, line: &str) -> Ran {
    Ran::of(castmark(line.split(' ')).current_dir(folder))
}

fn folders(root: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut next = vec![root.to_owned()];
    while let Some(folder) = next.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                found.push(path.clone());
                next.push(path);
            }
        }
    }
    found
}

/// The part of a tree below a name, or the file of that name.
fn part(tree: &Tree, name: &str) -> Tree {
    let mine = tree.iter().filter(|(path, _)| path.starts_with(name));
    mine.map(|(path, bytes)| (path.clone(), bytes.clone())).collect()
}

/// All disks that may be found after a power cut during a run, each once.
fn found_after(root: &Path, recorded: &Recorded) -> BTreeSet<Tree> {
    let mut chance = ChaCha8Rng::seed_from_u64(13);
    let mut found = BTreeSet::new();
    for steps in 0..=recorded.length {
        let open = recorded.open(steps);
        // A disk with a journal loses the last changes of names.
        for kept in 0..=open.len() {
            let lost = open[kept..].iter().copied().collect();
            found.insert(recorded.after(root, steps, &lost));
        }
        // One without loses any of them.
        for _ in 0..CHOICES {
            let lost = open.iter().copied().filter(|_| chance.next_u64() % 2 == 0).collect();
            found.insert(recorded.after(root, steps, &lost));
        }
    }
    found
}

/// Records a command and looks at every disk that a power cut may leave: each thing of these names is
/// as before or as after. Then runs it again on some of them.
#[track_caller]
fn survives(desk: &Folder, line: &str, things: &[&str], again: impl Fn(&Path, &Tree)) {
    let root = desk.root().canonicalize().unwrap();
    let old = tree(&root);
    let recorded = record(desk, line);
    let new = tree(&root);
    let found = found_after(&root, &recorded);
    for tree in &found {
        for thing in things {
            let there = part(tree, thing);
            let is_old = there == part(&old, thing);
            let is_new = there == part(&new, thing);
            let names: Vec<_> = there.iter().map(|(path, bytes)| (path, bytes.len())).collect();
            assert!(is_old || is_new, "`{thing}` is torn after a power cut: {names:?}");
        }
        // Of several things each is there before the one that needs it.
        for pair in things.windows(2) {
            let is_new = |thing: &str| part(tree, thing) == part(&new, thing);
            assert!(!is_new(pair[1]) || is_new(pair[0]), "{} without {}", pair[1], pair[0]);
        }
    }
    let every = found.len().div_ceil(RUNS);
    let mut runs = 0;
    for tree in found.iter().step_by(every) {
        let place = tempfile::tempdir().unwrap();
        for (path, bytes) in tree {
            let path = place.path().join(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, bytes.as_slice()).unwrap();
        }
        again(place.path(), tree);
        let left = fs::read_dir(place.path()).unwrap();
        let left = left.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let left: Vec<String> = left.filter(|name| name.ends_with(".castmark")).collect();
        assert_eq!(left, Vec::<String>::new());
        runs += 1;
    }
    eprintln!("{line}: {} calls, {} disks, {runs} runs on them", recorded.length, found.len());
}

/// Runs a command on what a power cut has left.
#[track_caller]
fn goes_on(folder: &Path, line: &str) {
    let output = run(folder, line);
    assert_eq!(output.code, 0, "{output:?}");
}

#[test]
fn the_model_loses_what_was_not_synced() {
    let root = Path::new("/papers");
    let (draft, paper) = (root.join("draft"), root.join("paper"));
    let old = Tree::from([("paper".into(), Rc::new(b"old".to_vec()))]);
    let contents = |synced: bool| -> BTreeSet<Option<String>> {
        let mut steps = vec![
            Step::Open { path: draft.clone(), emptied: false },
            Step::Write(draft.clone(), b"new".to_vec()),
            Step::Rename(draft.clone(), paper.clone()),
        ];
        if synced {
            steps.insert(2, Step::Sync(draft.clone()));
        }
        let found = found_after(root, &Recorded::new(root, &old, &[], &steps));
        let text = |tree: &Tree| tree.get(Path::new("paper")).map(|it| (**it).clone());
        found.iter().map(|tree| text(tree).map(|it| String::from_utf8(it).unwrap())).collect()
    };
    assert_eq!(contents(true), ["old", "new"].map(|it| Some(it.to_owned())).into());
    assert_eq!(contents(false), ["old", ""].map(|it| Some(it.to_owned())).into());
}

#[test]
#[ignore = "needs strace"]
fn papers_are_all_there_or_none_is() {
    let desk = folder();
    let new_folder = |folder: &Path, tree: &Tree| {
        // The secret lasts first, so papers may be drawn that nobody has seen.
        let used_up = part(tree, "set").is_empty() && !part(tree, "set.secret").is_empty();
        goes_on(folder, &format!("{MAKE}{}", if used_up { " --further" } else { "" }));
    };
    survives(&desk, MAKE, &["set.secret", "set"], new_folder);
    desk.put("class.csv", "candidate\n0101\n0102\n0103\n");
    survives(&desk, MAKE, &["set.secret", "set"], |folder, _| goes_on(folder, MAKE));
}

#[test]
#[ignore = "needs strace"]
fn marks_are_the_old_or_the_new() {
    let desk = folder();
    desk.done(MAKE);
    survives(&desk, MARK, &["marks"], |folder, _| goes_on(folder, MARK));
    give(&desk, "CD");
    survives(&desk, MARK, &["marks"], |folder, _| goes_on(folder, MARK));
}

#[test]
#[ignore = "needs strace"]
fn a_sheet_is_the_old_or_the_new() {
    let desk = folder();
    desk.put("sheet.txt", "an old sheet");
    let line = "problem --seed 1 --output sheet.txt";
    survives(&desk, line, &["sheet.txt"], |folder, _| goes_on(folder, line));
}
