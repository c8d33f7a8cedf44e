//! What is wrong with a file of one's own is told all at once, and each mistake once: laws over files
//! that come with castmark and are spoilt here.

use castmark::bank::{Bank, Blueprint, Report, SourceText};

/// The messages about a file that replaces the one of its name, in order.
fn told(bank: &Bank, path: &str, text: String) -> Vec<String> {
    let file = SourceText::new(format!("own/{path}"), text);
    let report = if path.ends_with("blueprint.yaml") {
        Blueprint::read(file, bank).err()
    } else {
        bank.with(vec![file]).err()
    };
    report.as_ref().map(messages).unwrap_or_default()
}

fn messages(report: &Report) -> Vec<String> {
    assert!(report.more.is_empty(), "{}", report.plain());
    let mut messages: Vec<String> =
        report.complaints.iter().map(|complaint| complaint.what.clone()).collect();
    messages.sort();
    messages
}

/// Each mistake is a text of the file and what stands in its place. Alone it is told once, and all
/// together give the same messages.
#[track_caller]
fn check(path: &str, text: &str, mistakes: &[(&str, &str)]) {
    let bank = Bank::bundled().unwrap();
    let mut all = text.to_owned();
    let mut expected = Vec::new();
    assert_eq!(told(&bank, path, all.clone()), Vec::<String>::new());
    for (right, wrong) in mistakes {
        assert_eq!(text.matches(right).count(), 1, "{right}");
        let alone = told(&bank, path, text.replace(right, wrong));
        assert_eq!(alone.len(), 1, "{right} -> {wrong}: {alone:#?}");
        expected.extend(alone);
        all = all.replace(right, wrong);
    }
    expected.sort();
    assert_eq!(told(&bank, path, all), expected);
}

#[track_caller]
fn bundled(path: &str) -> String {
    let files = Bank::bundled_files();
    files
        .into_iter()
        .find(|file| file.path == path)
        .expect("it comes with castmark")
        .text
        .into_owned()
}

#[test]
fn all_mistakes_of_a_template_with_numbers_are_told_at_once() {
    let path = "base-quantity/base-excess-units.yaml";
    let mistakes = [
        ("objective: base-quantity\n", "objective: base-quantities\n"),
        ("topic: excess\n", "topic: excesses\n"),
        ("level: 2\n", "level: 9\n"),
        ("minutes: 6\n", ""),
        ("    from: 6\n    to: 20\n    step: 1\n", "    from: 6\n    to: 20\n    step: 0\n"),
        ("choose: [2, 3]", "choose: [2, 3, 2]"),
        ("step: 1 }", "step: one }"),
        ("    round: 2 places\n\nrequire", "    round: 2 plces\n\nrequire"),
        ("    because: the marked size must differ from the real one\n", ""),
        ("You prepare {{ drug.many }} in", "You prepare {{ drug.mani }} in"),
        ("    is: ordered + extra\n", "    is: [ordered, extra]\n"),
        ("    is: number * drug.dose\n", "    is: number + drug.dose\n"),
        (
            "    is: number * capacity\n    unit: g\n",
            "    is: number * capacity\n    unit: kilos\n",
        ),
        ("        say: Multiply the base in one unit by the number of units.\n", ""),
        ("when: drug.displacement_value > 1", "when: drug.displacement_value + 1"),
        ("    tolerance: 0.005\n", "    tolerance: 0.001\n"),
        ("    marks: 1\n", "    marks: one\n"),
        ("    tolerance: 0.03\n    marks: 3\n", "    tolerance: -1\n    marks: 3\n"),
        ("instead: { number: ordered }", "instead: { numbr: ordered }"),
        ("instead: { base: total }\n    say: >", "instead: { base: total }\n    sai: >"),
        ("instead: { capacity: drug.mould }", "instead:"),
        ("all: base, round: 2 places }", "all: base, round: nearly }"),
        ("drugs: [drug_mass], base: base }", "drugs: [drug_mass] }"),
    ];
    check(path, &bundled(path), &mistakes);
}

#[test]
fn all_mistakes_of_a_template_of_theory_are_told_at_once() {
    let path = "theory/base-by-its-makeup.yaml";
    let mistakes = [
        ("convention: none", "convention: nothing"),
        ("with: [makeup]", "with: [makeup, colour]"),
        ("theobroma oil, hard fat,", "theobroma oil, soft fat,"),
        ("    marks: 1\n", "    marks: 1\n    unit: g\n"),
        ("about: other.name, show: 5", "about: other.name, show: all"),
    ];
    check(path, &bundled(path), &mistakes);
}

#[test]
fn all_mistakes_of_a_table_are_told_at_once_and_not_in_the_templates_that_pick_from_it() {
    let path = "facts/losses.yaml";
    let mistakes = [
        ("table: losses\n", ""),
        ("  name: text\n", "  name: texts of it\n"),
        ("number: g/unit,", "number: gram,"),
    ];
    check(path, &bundled(path), &mistakes);
    let mistakes = [("is: 0.05,", "is: 0.05 g,"), ("about: Losses that", "abuot: Losses that")];
    check(path, &bundled(path), &mistakes);
}

#[test]
fn all_mistakes_of_a_file_of_topics_are_told_at_once() {
    let mistakes = [
        ("    title: Calibrating a mould\n", ""),
        (
            "title: Capacity for another base\n    objective: calibration\n",
            "title: Capacity for another base\n    objective: calibratoin\n",
        ),
        (
            "title: A faulty unit among the blanks\n    objective: calibration\n    builds_on: [mean-",
            "title: A faulty unit among the blanks\n    objective: calibration\n    builds_on: [main-",
        ),
    ];
    check("topics.yaml", &bundled("topics.yaml"), &mistakes);
}

#[test]
fn all_mistakes_of_a_blueprint_are_told_at_once() {
    let starter = include_str!("../../exports/starters/blueprint.yaml").replace("STEM", "first");
    let mistakes = [
        ("title: Moulded dosage forms, first paper\n", ""),
        ("starts: \"09:30\"", "starts: half past nine"),
        ("minutes: 45\n", "minutes: soon\n"),
        ("class: 40\n", "class: [40]\n"),
        ("grade: Pass, from: 50 % }", "grade: Pass, from: half }"),
        ("template: capacity-from-total\n", "template: capacity-from-totals\n"),
        ("objective: theory\n        level: 1\n", "objective: theroy\n        level: 1\n"),
        ("  - title: Section B, theory\n    slots:", "  - slots:"),
    ];
    check("first/blueprint.yaml", &starter, &mistakes);
}

/// The file with other words behind a key, in place of all that is there.
fn spoilt(lines: &[&str], n: usize, words: &str) -> Option<String> {
    let depth = |line: &str| line.len() - line.trim_start().len();
    let (key, _) = lines[n].split_once(':')?;
    let is_key =
        |key: &str| key.bytes().all(|it| it.is_ascii_alphanumeric() || b"_-".contains(&it));
    if !is_key(key.trim_start()) {
        return None;
    }
    let is_under = |line: &&&str| line.trim().is_empty() || depth(line) > depth(lines[n]);
    let after = n + 1 + lines[n + 1..].iter().take_while(is_under).count();
    let line = format!("{key}: {words}");
    Some([&lines[..n], &[line.as_str()], &lines[after..]].concat().join("\n"))
}

#[test]
fn a_piece_that_is_built_wrongly_is_told_once_and_nothing_that_follows_from_it() {
    let bank = Bank::bundled().unwrap();
    let files = Bank::bundled_files();
    let is_template =
        |file: &&SourceText| !file.path.starts_with("facts/") && file.path.contains('/');
    let mut tried = 0;
    for file in files.iter().filter(is_template).step_by(37) {
        let lines: Vec<&str> = file.text.lines().collect();
        // Of a list of lists, every list is looked at for itself.
        let may_be_tried = |n: &usize| !lines[*n].starts_with("different:");
        for n in (1..lines.len()).filter(may_be_tried) {
            let Some(text) = spoilt(&lines, n, "[[x]]") else { continue };
            let told = told(&bank, &file.path, text);
            assert!(told.len() <= 1, "{}:{}: {told:#?}", file.path, n + 1);
            // A line with a colon may belong to a text.
            tried += told.len();
        }
    }
    assert!(tried > 200, "{tried}");
}
