//! Where sources disagree, names are two, or a source is cited by its short name alone.

use std::sync::{Arc, OnceLock};

use castmark::bank::{Bank, SourceText};
use castmark::export::{Contents, Exporter, Options, Sheet, Text};
use castmark::marking::mark;
use castmark::problem::Problem;

const SOURCES: &str = "
castmark: 1
sources:
  old-book: { short: old book, full: \"An old book, p. 3\", standing: read }
  new-notes: { short: new notes, full: \"Notes of a teacher, unprinted\", standing: read, sheets: short }
  recalled: { short: recalled, full: Nobody has looked this up, standing: memory }
";

const FATS: &str = "
castmark: 1
table: fats
about: Fats of a made-up shelf.
columns:
  name: text
  melting: { range: \"°C\", label: melting range }
  look: { text: look, closed: each fat has one look }
rows:
  theobroma:
    name: [{ is: theobroma oil, source: old-book }]
    melting:
      - { is: [30, 36], source: old-book }
      - { is: [31, 34], source: new-notes }
      - { is: [20, 60], source: recalled }
    look: [{ is: yellowish, source: new-notes }]
";

const SECOND: &str = "
castmark: 1
table: second_names
about: Second names.
columns: { name: text, second: text }
rows:
  theobroma: { name: theobroma oil, second: cocoa butter }
";

const TOPICS: &str = "
castmark: 1
topics:
  fats: { title: Fats, objective: theory }
";

/// A template with two ways to ask for the range: of any source, and of the one named.
const TEMPLATE: &str = "
castmark: 1
id: disputed
title: A dispute
objective: theory
topic: fats
level: 1
minutes: 3
convention: none
about: Asks for what sources disagree on.
values:
  fat: { pick: fats, with: [melting, look] }
stem:
  - |
    Sources differ:

    {{ fat.melting_by_source }}
  - |
    Compare these:

    {{ fat.melting_by_source }}
parts:
  any:
    ask: \"Between which temperatures does {{ fat.name }} melt, by any of the sources?\"
    marks: 2
    range: { of: fat.melting, tolerance: 0.4, any_source: true }
  one:
    ask: \"Between which temperatures does it melt by the {{ fat.melting_source }}?\"
    marks: 2
    range: { of: fat.melting, tolerance: 0.4 }
  name:
    ask: \"Which fat is {{ fat.look }}?\"
    marks: 1
    short_text: { of: fat.name }
";

fn bank() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| {
        let file = |path: &str, text: &str| SourceText::new(path, text.to_owned());
        let files = [
            file("facts/fats.yaml", FATS),
            file("facts/second_names.yaml", SECOND),
            file("facts/sources.yaml", SOURCES),
            file("topics.yaml", TOPICS),
            file("disputed.yaml", TEMPLATE),
        ];
        Bank::load(&files).unwrap_or_else(|report| panic!("{}", report.plain()))
    })
}

/// A draw whose second part follows the source of that short name.
fn drawn(source: &str) -> Problem {
    let template = Arc::clone(&bank().templates()[0]);
    let mut draws = (0..200).map(|number| Problem::draw(bank(), &template, number).unwrap());
    draws.find(|problem| problem.parts[1].ask.contains(source)).expect("every source is drawn")
}

#[track_caller]
fn marks(problem: &Problem, part: usize, answer: &str) -> u32 {
    mark(problem, part, answer).marks()
}

#[test]
fn the_range_of_any_source_is_accepted_where_any_is_asked() {
    for source in ["old book", "new notes"] {
        let problem = drawn(source);
        for (answer, expected) in
            [("30 to 36", 2), ("31-34 °C", 2), ("20 to 60", 0), ("10 to 15", 0)]
        {
            assert_eq!(marks(&problem, 0, answer), expected, "{source}: {answer}");
        }
    }
}

#[test]
fn the_range_of_another_source_is_not_taken_for_the_one_named() {
    let problem = drawn("old book");
    assert_eq!(marks(&problem, 1, "30 to 36"), 2);
    assert_eq!(marks(&problem, 1, "31 to 34"), 0);
    let problem = drawn("new notes");
    assert_eq!(marks(&problem, 1, "31 to 34"), 2);
    assert_eq!(marks(&problem, 1, "30 to 36"), 0);
}

#[test]
fn a_question_can_print_what_each_source_says_but_nothing_from_memory() {
    let problem = drawn("old book");
    let told = problem.told();
    assert!(told.contains("old book") && told.contains("30 to 36"), "{told}");
    assert!(told.contains("new notes") && told.contains("31 to 34"), "{told}");
    assert!(!told.contains("recalled") && !told.contains("60"), "{told}");
}

#[test]
fn a_second_name_is_given_on_the_sheet_and_accepted_in_answers() {
    let problem = drawn("old book");
    for answer in ["theobroma oil", "cocoa butter", "Cocoa Butter"] {
        assert_eq!(marks(&problem, 2, answer), 1, "{answer}");
    }
    assert_eq!(marks(&problem, 2, "shea butter"), 0);
    assert!(sheet(&problem).contains("theobroma oil (cocoa butter)"), "{}", sheet(&problem));
}

#[test]
fn a_source_can_be_printed_by_its_short_name_alone() {
    let printed = sheet(&drawn("new notes"));
    assert!(printed.contains("new notes"), "{printed}");
    assert!(!printed.contains("Notes of a teacher"), "{printed}");
    assert!(sheet(&drawn("old book")).contains("An old book, p. 3"));
}

fn sheet(problem: &Problem) -> String {
    let sheet = Sheet::of(bank(), [problem.clone()], "Disputes", Contents::ALL).unwrap();
    String::from_utf8(Text.export(&sheet, &Options::default()).unwrap()).unwrap()
}
