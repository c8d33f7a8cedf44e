//! Reading what an instructor writes: good files are taken, bad ones are explained, none stops the
//! program.

use std::fs;
use std::path::Path;

use castmark::bank::{Bank, SourceText};
use castmark::formula::FUNCTIONS;
use proptest::prelude::*;

/// The small facts of these tests, and one template.
fn with_facts(path: &Path, text: String) -> Vec<SourceText> {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let file = |name: &str, text: &str| SourceText {
        path: format!("facts/{name}"),
        text: text.to_owned(),
    };
    vec![
        file("sources.yaml", include_str!("../cases/bank/facts/sources.yaml")),
        file("drugs.yaml", include_str!("../cases/bank/facts/drugs.yaml")),
        SourceText { path: name, text },
    ]
}

#[test]
fn explains_what_is_wrong_with_a_template() {
    insta::glob!("../cases/bank", "bad/*.yaml", |path| {
        let files = with_facts(path, fs::read_to_string(path).unwrap());
        let report = Bank::load(&files).expect_err("a bad file must not be taken");
        insta::assert_snapshot!(report.plain());
    });
}

#[test]
fn takes_a_template_that_is_as_it_should_be() {
    insta::glob!("../cases/bank", "good/*.yaml", |path| {
        let files = with_facts(path, fs::read_to_string(path).unwrap());
        if let Err(report) = Bank::load(&files) {
            panic!("{}", report.plain());
        }
    });
}

const MANUAL: &str = include_str!("../../question-templates/README.md");

/// The path under which an example of the manual would stand.
fn path_of(example: &str) -> String {
    let named = |key: &str| {
        example.lines().find_map(|line| line.strip_prefix(key)).map(|name| name.trim().to_owned())
    };
    match (named("id:"), named("table:")) {
        (Some(id), _) => format!("{id}.yaml"),
        (_, Some(table)) => format!("facts/{table}.yaml"),
        _ => "facts/sources.yaml".to_owned(),
    }
}

#[test]
fn takes_every_example_of_the_manual() {
    let examples: Vec<SourceText> = MANUAL
        .split("```yaml\n")
        .skip(1)
        .filter_map(|rest| rest.split_once("```").map(|(example, _)| example))
        .filter(|example| example.starts_with("castmark: 1"))
        .map(|example| SourceText { path: path_of(example), text: example.to_owned() })
        .collect();
    assert_eq!(examples.len(), 4, "two templates, a table and a file of sources");
    if let Err(report) = Bank::load(&examples) {
        panic!("{}", report.plain());
    }
}

#[test]
fn the_manual_lists_every_function() {
    for function in FUNCTIONS {
        let row = format!("| `{}` | {} |", function.form, function.about);
        assert!(MANUAL.contains(&row), "the manual lacks\n{row}");
    }
}

/// The good templates, to be spoiled.
fn good() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/bank/good");
    let mut paths: Vec<_> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.iter().map(|path| fs::read_to_string(path).unwrap()).collect()
}

/// Loads a text as a template, a table and a file of sources; only panics matter, and reports that
/// cannot be drawn.
fn survives(text: &str) {
    for path in ["plain.yaml", "facts/more.yaml", "facts/sources.yaml"] {
        let mut files = with_facts(Path::new("plain.yaml"), String::new());
        files.retain(|file| file.path.starts_with("facts/") && file.path != path);
        files.push(SourceText { path: path.to_owned(), text: text.to_owned() });
        if let Err(report) = Bank::load(&files) {
            assert!(!report.complaints.is_empty());
            assert!(report.plain().contains("to put right"));
        }
    }
}

/// Bits that are likely to upset the reading of a template.
const SPOILERS: &[&str] = &[
    "{{",
    "}}",
    "{%",
    ": ",
    "- ",
    "[",
    "]",
    "{",
    "}",
    "\"",
    "'",
    "\t",
    "\n",
    "&a ",
    "*a",
    "!x ",
    "|\n",
    ">\n",
    "---\n",
    "é",
    "\u{feff}",
    "99999999999999999999999999999",
    "-1",
    "0",
    "1e9",
    "/ 0",
    " * ",
    "(",
    ")",
    ".",
    "~",
    "null",
    "true",
    "%",
    "#",
    "? ",
    "<<: ",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        survives(&text);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        survives(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn a_spoiled_template_is_read_or_refused(
        which in any::<prop::sample::Index>(),
        spoils in prop::collection::vec(
            (any::<prop::sample::Index>(), 0_usize..12, prop::sample::select(SPOILERS)),
            1..4,
        ),
    ) {
        let templates = good();
        let mut letters: Vec<char> = which.get(&templates).chars().collect();
        for (place, taken, put) in spoils {
            let from = place.index(letters.len() + 1);
            let to = (from + taken).min(letters.len());
            letters.splice(from..to, put.chars());
        }
        survives(&letters.into_iter().collect::<String>());
    }
}
