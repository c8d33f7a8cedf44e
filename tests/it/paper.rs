//! Papers for a class: nobody has another's problems, who comes late changes nothing, and what was
//! made once can be made again.

#[path = "paper/class.rs"]
mod class_as_a_whole;
#[path = "paper/layouts.rs"]
mod layouts;
#[path = "paper/room.rs"]
mod room;
#[path = "paper/set.rs"]
mod set;
#[path = "paper/together.rs"]
mod together;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use castmark::bank::{Bank, Blueprint, SourceText};
use castmark::draw::{Space, Stream};
use castmark::export::{
    Document, DocumentKind, Options, PaperPress, Reader, Sheet, exporter, exporters_of,
};
use castmark::paper::{Bundle, Candidate, ClassList, Paper, PaperProblem, PaperSet, Plan, Secret};
use castmark::problem::Problem;
use proptest::prelude::*;

use super::program::{Folder, files};

const BLUEPRINT: &str = "\
castmark: 1
id: midterm
title: Midterm
minutes: 60
sections:
  - title: Section A
    shuffle: true
    slots:
      - template: base-one-drug
        count: 2
      - template: value-from-factor
      - objective: calibration
  - title: Section B
    slots:
      - template: least-weighable
        same: true
";

/// A blueprint of a template with few problems.
const SMALL: &str = "\
castmark: 1
id: small
title: Small
minutes: 20
sections:
  - title: Section A
    slots:
      - template: hand-rolled-percent
";

fn bank() -> Bank {
    Bank::bundled().expect("the bundled bank is as it should be")
}

fn blueprint(bank: &Bank, text: &str) -> Blueprint {
    let source = SourceText::new("midterm.yaml", text.to_owned());
    Blueprint::read(source, bank).unwrap_or_else(|report| panic!("{report}"))
}

fn class(numbers: std::ops::Range<u32>) -> Vec<Candidate> {
    let lines: String = numbers.map(|number| format!("{number:04}\n")).collect();
    ClassList::read(format!("candidate\n{lines}").as_bytes()).unwrap().candidates
}

fn make(numbers: std::ops::Range<u32>, earlier: Option<&PaperSet>) -> PaperSet {
    let bank = bank();
    let blueprint = blueprint(&bank, BLUEPRINT);
    let secret = Secret::new([7; 32]);
    PaperSet::make(&bank, &blueprint, &secret, &class(numbers), earlier, 0, None).unwrap()
}

#[test]
fn a_question_paper_in_any_format_holds_no_answer_and_names_its_code() {
    let (bank, set) = (bank(), make(0..2, None));
    let blueprint = blueprint(&bank, BLUEPRINT);
    let paper = &set.papers[0];
    let problems = paper.problems(&bank, &blueprint, &set.made_by).unwrap();
    for document in [Document::Questions, Document::Slip] {
        let sheet = Sheet::of_paper(&bank, &blueprint, paper, problems.clone(), document).unwrap();
        let keys =
            Sheet::of_paper(&bank, &blueprint, paper, problems.clone(), Document::Key).unwrap();
        let exporters = exporters_of(DocumentKind::Sheet);
        for exporter in exporters.filter(|exporter| exporter.is_text()) {
            let press = PaperPress::new(exporter, &Options::default()).unwrap();
            let bytes =
                String::from_utf8(press.print(&sheet, paper, Reader::Candidate).unwrap()).unwrap();
            assert!(bytes.contains(&paper.code.to_string()), "{}", exporter.name());
            assert!(bytes.contains("licensed pharmacist"), "{}", exporter.name());
            for title in keys.entries.iter().filter_map(|entry| entry.heading.as_ref()) {
                assert!(!bytes.contains(title.as_str()), "{}: {title}", exporter.name());
            }
            assert!(!bytes.contains("ccepted"), "{}", exporter.name());
        }
    }
}

#[test]
fn every_page_of_a_web_page_tells_the_code() {
    let (bank, set) = (bank(), make(0..1, None));
    let blueprint = blueprint(&bank, BLUEPRINT);
    let paper = &set.papers[0];
    let problems = paper.problems(&bank, &blueprint, &set.made_by).unwrap();
    let sheet =
        Sheet::of_paper(&bank, &blueprint, paper, problems.clone(), Document::Questions).unwrap();
    let press = PaperPress::new(exporter("html").unwrap(), &Options::default()).unwrap();
    let page = String::from_utf8(press.print(&sheet, paper, Reader::Candidate).unwrap()).unwrap();
    let code = paper.code.to_string().replace('-', "\\2d ");
    let footer = format!("@bottom-center {{ content: \"Paper {code}\"");
    assert!(page.contains(&footer), "{page}");
}

#[test]
fn explains_what_is_wrong_with_a_blueprint() {
    let bank = bank();
    insta::glob!("../cases/blueprint", "bad/*.yaml", |path| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let source = SourceText::new(name, fs::read_to_string(path).unwrap());
        let report = Blueprint::read(source, &bank).expect_err("a bad blueprint is not taken");
        insta::assert_snapshot!(report.plain());
    });
}

/// A folder with a blueprint and this class list.
fn folder(list: &str) -> Folder {
    Folder::with(&[("midterm.yaml", BLUEPRINT), ("class.csv", list)])
}

/// Makes the papers of the class in a folder; what was said.
#[track_caller]
fn make_in(desk: &Folder, more: &str) -> String {
    let line = "paper make midterm.yaml --class class.csv --to set --format text";
    desk.done(&format!("{line}{more}"))
}

#[test]
fn a_class_gets_papers_keys_schemes_and_slips_and_the_same_again() {
    let desk = folder("candidate\n0101\n0102\n");
    let said = make_in(&desk, "");
    assert!(said.contains("2 papers in set"), "{said}");
    let first = files(&desk.path("set"));
    let names: Vec<&str> = first.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(
        names,
        [
            "answers.csv",
            "key-table.csv",
            "key-table.txt",
            "keys.txt",
            "keys/0001-0101.txt",
            "keys/0002-0102.txt",
            "manifest.jsonl",
            "moderation.txt",
            "papers.txt",
            "papers/0001-0101.txt",
            "papers/0002-0102.txt",
            "room/attendance.txt",
            "room/invigilator.txt",
            "room/labels.txt",
            "room/seats.txt",
            "schemes.txt",
            "schemes/0001-0101.txt",
            "schemes/0002-0102.txt",
            "slips.txt",
            "slips/0001-0101.txt",
            "slips/0002-0102.txt",
        ]
    );
    make_in(&desk, "");
    assert_eq!(files(&desk.path("set")), first);
    for (show, folder) in [("paper", "papers"), ("key", "keys"), ("slip", "slips")] {
        let again = desk.run(&format!(
            "paper again set/manifest.jsonl --candidate 0102 --show {show} --format text"
        ));
        assert_eq!(again.out, desk.read(&format!("set/{folder}/0002-0102.txt")));
    }
}

#[test]
fn who_is_added_to_the_list_is_added_to_the_folder() {
    let desk = folder("candidate\n0101\n0102\n");
    make_in(&desk, "");
    let before = files(&desk.path("set/papers"));
    fs::write(desk.path("class.csv"), "candidate\n0100\n0102\n").unwrap();
    // Without a format, what is there already is made again.
    let output = desk.run("paper make midterm.yaml --class class.csv --to set");
    let said = output.err;
    assert!(said.contains("3 papers in set, 1 of them new"), "{said}");
    assert!(said.contains("1 candidate is not in the class list any more"), "{said}");
    let after = files(&desk.path("set/papers"));
    assert_eq!(after[..2], before);
    assert_eq!(after[2].0, "0003-0100.txt");
}

#[test]
fn a_large_class_can_have_bound_files_alone_and_be_added_to() {
    let names = |desk: &Folder| {
        let found = files(&desk.path("set")).into_iter();
        found.map(|(name, _)| name).collect::<Vec<_>>()
    };
    let all = folder("candidate\n0101\n0102\n");
    make_in(&all, ",json");
    let desk = folder("candidate\n0101\n0102\n");
    // The same secret, before any paper was drawn under it.
    let secret = fs::read_to_string(all.path("set.secret")).unwrap();
    let secret: Vec<&str> = secret.lines().take(2).collect();
    fs::write(desk.path("set.secret"), secret.join("\n")).unwrap();
    make_in(&desk, ",json --bound-only");
    let of_candidates = |name: &String| name.contains('/') && !name.starts_with("room/");
    assert!(!names(&desk).iter().any(of_candidates), "{:?}", names(&desk));
    for (name, bytes) in files(&desk.path("set")) {
        assert_eq!(bytes, fs::read(all.path(&format!("set/{name}"))).unwrap(), "{name}");
    }
    // Without a format, what is there already is made again.
    let before = names(&desk);
    fs::write(desk.path("class.csv"), "candidate\n0101\n0102\n0103\n").unwrap();
    desk.done("paper make midterm.yaml --class class.csv --to set --bound-only");
    assert_eq!(names(&desk), before);
    let lines = fs::read_to_string(desk.path("set/papers.jsonl")).unwrap().lines().count();
    assert_eq!(lines, 3);
}

#[test]
fn needs_that_change_after_the_papers_were_made_are_followed() {
    let desk = folder("candidate,needs\n0101,\n0102,large print\n");
    make_in(&desk, ",html");
    let page = || fs::read_to_string(desk.path("set/papers/0001-0101.html")).unwrap();
    let before = page();
    assert!(!before.contains("html { font: 18pt"), "{before}");
    fs::write(desk.path("class.csv"), "candidate,needs\n0101,large print\n0102,large print\n")
        .unwrap();
    make_in(&desk, ",html");
    assert!(page().contains("html { font: 18pt"));
}

#[cfg(unix)]
#[test]
fn nobody_else_can_read_the_secret_or_the_manifest() {
    use std::os::unix::fs::PermissionsExt;
    let desk = folder("candidate\n1\n");
    make_in(&desk, "");
    for name in ["set.secret", "set/manifest.jsonl"] {
        let mode = fs::metadata(desk.path(name)).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "{name}");
    }
    let mode = fs::metadata(desk.path("set")).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o700, "the keys in it");
    let secret = fs::read_to_string(desk.path("set.secret")).unwrap();
    let secret = secret.lines().nth(1).unwrap();
    for (name, bytes) in files(&desk.path("set")) {
        assert!(!String::from_utf8(bytes).unwrap().contains(secret), "{name}");
    }
}

#[test]
fn names_that_hold_anything_break_no_format() {
    let desk = folder(
        "candidate,name\n../../x,\"=cmd|'</style><script>x</script> | [a](b) `c`\"\n<i>7</i>,_b_\n",
    );
    let output = desk
        .run("paper make midterm.yaml --class class.csv --to set --format html,markdown,json,text");
    assert_eq!(output.code, 0, "{output:?}");
    let outside: Vec<String> = fs::read_dir(desk.root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(outside.len(), 4, "{outside:?}");
    let mut pages = 0;
    for (name, bytes) in files(&desk.path("set")) {
        let text = String::from_utf8(bytes).unwrap();
        let ending = Path::new(&name).extension().unwrap().to_str().unwrap();
        match ending {
            "html" => {
                assert!(!text.contains("<script>x") && !text.contains("<i>7"), "{name}");
                let (opened, closed) = (text.matches("<style>"), text.matches("</style>"));
                assert_eq!(opened.count(), closed.count(), "{name}");
                pages += 1;
            }
            "md" => assert!(!text.contains("<script>") && !text.contains(" [a](b)"), "{name}"),
            "json" => assert!(serde_json::from_str::<serde_json::Value>(&text).is_ok(), "{name}"),
            "jsonl" => {
                let sound = |line| serde_json::from_str::<serde_json::Value>(line).is_ok();
                assert!(text.lines().all(sound), "{name}");
            }
            _ => {}
        }
    }
    // Documents, bound files, the copy for moderation, the room's four and the table of keys.
    assert_eq!(pages, 2 * 4 + 4 + 1 + 4 + 1);
}

#[test]
fn a_run_that_cannot_finish_leaves_what_was_there() {
    let desk = folder("candidate\n1\n");
    make_in(&desk, "");
    let before = files(desk.root());
    fs::write(desk.path("class.csv"), "candidate\n1\n1\n").unwrap();
    desk.refused("paper make midterm.yaml --class class.csv --to set");
    fs::write(desk.path("class.csv"), "candidate\n1\n").unwrap();
    assert_eq!(files(desk.root()), before);
    let said = desk.refused("paper make midterm.yaml --class class.csv --to none/set");
    assert!(said.contains("cannot be written"), "{said}");
    assert_eq!(files(desk.root()), before);
}

#[test]
fn what_an_interrupted_run_left_is_put_right() {
    let desk = folder("candidate\n1\n");
    make_in(&desk, "");
    let papers = files(&desk.path("set"));
    // Stopped while writing: the draft is thrown away.
    fs::create_dir_all(desk.path(".set.draft-4000000.castmark/papers")).unwrap();
    // Stopped between the two renames: the old papers come back.
    fs::rename(desk.path("set"), desk.path(".set.replaced.castmark")).unwrap();
    make_in(&desk, "");
    assert_eq!(files(&desk.path("set")), papers);
    let left = fs::read_dir(desk.root()).unwrap().count();
    assert_eq!(left, 4, "blueprint, list, set and secret");
}

#[test]
fn a_folder_with_other_things_in_it_is_left_alone() {
    let desk = folder("candidate\n1\n");
    fs::create_dir(desk.path("set")).unwrap();
    fs::write(desk.path("set/notes.txt"), "mine").unwrap();
    let said = desk.refused("paper make midterm.yaml --class class.csv --to set");
    assert!(said.contains("does not hold castmark papers; choose another name"), "{said}");
    fs::remove_dir_all(desk.path("set")).unwrap();
    make_in(&desk, "");
    fs::write(desk.path("set/papers/notes.txt"), "mine").unwrap();
    let said = desk.refused("paper make midterm.yaml --class class.csv --to set");
    assert!(said.contains("`papers/notes.txt`, which castmark did not put there"), "{said}");
    assert_eq!(fs::read_to_string(desk.path("set/papers/notes.txt")).unwrap(), "mine");
}

#[test]
fn papers_are_not_added_without_their_secret() {
    let desk = folder("candidate\n1\n");
    make_in(&desk, "");
    fs::remove_file(desk.path("set.secret")).unwrap();
    let said = desk.refused("paper make midterm.yaml --class class.csv --to set");
    assert!(said.contains("give its file with --secret"), "{said}");
}

#[test]
fn a_file_that_holds_no_secret_is_met_with_what_it_should_hold() {
    let desk = folder("candidate\n1\n");
    fs::write(desk.path("other.secret"), "castmark secret 1\n0123\n").unwrap();
    let said = desk.refused(
        "paper make midterm.yaml --class class.csv --to set --secret other.secret --format text",
    );
    assert_eq!(
        said,
        "castmark: `other.secret`: expected `castmark secret 1` and then 64 hexadecimal digits, found \
         something else; use the file that was made with the papers\n"
    );
    assert!(!desk.path("set").exists());
}

#[test]
fn large_print_and_extra_time_are_given() {
    let desk = folder("candidate,needs\n1,\n2,large print; extra time 25\n");
    let output = desk.run("paper make midterm.yaml --class class.csv --to set --format html");
    assert_eq!(output.code, 0, "{output:?}");
    let read = |name: &str| fs::read_to_string(desk.path(name)).unwrap();
    let (plain, large) = (read("set/papers/0001-1.html"), read("set/papers/0002-2.html"));
    assert!(plain.contains("60 minutes") && large.contains("75 minutes"));
    assert!(large.contains("18pt") && !plain.contains("18pt"));
    assert!(!read("set/papers.html").contains("75 minutes"));
    assert!(read("set/papers-large-print.html").contains("75 minutes"));
}

#[test]
fn a_plan_tells_marks_time_and_whether_the_class_fits() {
    let list: String = (0..900).map(|number| format!("{number}\n")).collect();
    let desk = folder(&format!("candidate\n{list}"));
    fs::write(desk.path("small.yaml"), SMALL).unwrap();
    let output = desk.run("paper plan small.yaml --class class.csv");
    let said = output.out;
    assert_eq!(output.code, 1, "{said}");
    for words in ["base-quantity", "20 allowed", "a class of 900", "too few"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    fs::write(desk.path("class.csv"), "candidate\n1\n").unwrap();
    let output = desk.run("paper plan small.yaml --class class.csv");
    assert_eq!(output.code, 0, "{output:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_spoiled_blueprint_is_read_or_refused(
        at in any::<prop::sample::Index>(),
        length in 0_usize..12,
        put in "[\\PC\n]{0,12}",
    ) {
        let letters: Vec<char> = BLUEPRINT.chars().collect();
        let at = at.index(letters.len());
        let end = (at + length).min(letters.len());
        let text: String =
            letters[..at].iter().copied().chain(put.chars()).chain(letters[end..].iter().copied()).collect();
        let source = SourceText::new("midterm.yaml", text);
        match Blueprint::read(source, one_bank()) {
            Ok(blueprint) => prop_assert!(!blueprint.questions.is_empty()),
            Err(report) => prop_assert!(!report.complaints.is_empty()),
        }
    }

    #[test]
    fn a_spoiled_manifest_is_read_or_refused_and_never_makes_another_paper(
        at in any::<prop::sample::Index>(),
        put in "[0-9a-f\",:{}]{1,3}",
    ) {
        let (bank, set) = (one_bank(), set_of_two());
        let text = set.write();
        let letters: Vec<char> = text.chars().collect();
        let at = at.index(letters.len());
        let end = (at + put.len()).min(letters.len());
        let text: String =
            letters[..at].iter().copied().chain(put.chars()).chain(letters[end..].iter().copied()).collect();
        if let Ok(read) = PaperSet::read(&text) {
            let blueprint = blueprint(bank, BLUEPRINT);
            let told = |set: &PaperSet| -> Vec<_> {
                let papers = set.papers.iter();
                papers.map(|paper| paper.problems(bank, &blueprint, "0")).collect()
            };
            for (made, as_before) in told(&read).into_iter().zip(told(set)) {
                let Ok(made) = made else { continue };
                let stems = |problems: &[Problem]| -> Vec<String> {
                    let mut stems: Vec<_> =
                        problems.iter().map(|problem| format!("{:?}", problem.stem)).collect();
                    stems.sort();
                    stems
                };
                prop_assert_eq!(stems(&made), stems(&as_before.unwrap()));
            }
        }
    }
}

/// The bundled bank, loaded once.
fn one_bank() -> &'static Bank {
    static BANK: std::sync::OnceLock<Bank> = std::sync::OnceLock::new();
    BANK.get_or_init(bank)
}

/// Papers for two, made once.
fn set_of_two() -> &'static PaperSet {
    static SET: std::sync::OnceLock<PaperSet> = std::sync::OnceLock::new();
    SET.get_or_init(|| make(0..2, None))
}
