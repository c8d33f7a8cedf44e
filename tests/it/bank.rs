//! Reading what an instructor writes: good files are taken, bad ones are explained, none stops the
//! program.

use std::fs;
use std::path::Path;

use castmark::bank::{Bank, FileKind, Objective, SourceText, Topic};
use castmark::formula::FUNCTIONS;
use proptest::prelude::*;
use serde_json::Value;

/// The small facts of these tests, and one template.
fn with_facts(path: &Path, text: String) -> Vec<SourceText> {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let file = |name: &str, text: &str| SourceText::new(format!("facts/{name}"), text.to_owned());
    vec![
        file("sources.yaml", include_str!("../cases/bank/facts/sources.yaml")),
        file("drugs.yaml", include_str!("../cases/bank/facts/drugs.yaml")),
        SourceText::new(name, text),
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

/// The sources of these tests, and one table.
fn with_sources(path: &Path, text: String) -> Vec<SourceText> {
    let mut files = with_facts(path, text);
    files.remove(1);
    if let Some(table) = files.last_mut() {
        table.path = format!("facts/{}", table.path);
    }
    files
}

#[test]
fn explains_what_is_wrong_with_a_table() {
    insta::glob!("../cases/bank", "bad-facts/*.yaml", |path| {
        let files = with_sources(path, fs::read_to_string(path).unwrap());
        let report = Bank::load(&files).expect_err("a bad table must not be taken");
        insta::assert_snapshot!(report.plain());
    });
}

#[test]
fn takes_a_table_with_columns_of_every_kind() {
    insta::glob!("../cases/bank", "good-facts/*.yaml", |path| {
        let files = with_sources(path, fs::read_to_string(path).unwrap());
        let bank = Bank::load(&files).unwrap_or_else(|report| panic!("{}", report.plain()));
        let tables: Vec<_> = bank.facts().tables().collect();
        let [table] = tables.as_slice() else { panic!("one table") };
        insta::assert_debug_snapshot!(table.rows);
    });
}

/// A template that draws these values.
fn drawing(values: &str) -> Vec<SourceText> {
    let plain = include_str!("../cases/bank/good/plain.yaml");
    let text = plain.replace("values:\n", &format!("values:\n{values}"));
    with_facts(Path::new("plain.yaml"), text)
}

#[test]
fn fifty_complaints_of_a_file_are_shown_and_the_others_counted() {
    let values: String = (0..1000).map(|n| format!("  v{n}: 1\n")).collect();
    let report = Bank::load(&drawing(&values)).unwrap_err();
    assert_eq!(report.complaints.len(), 50);
    let end = "\n\nand 950 more in plain.yaml\n\n1000 things to put right\n";
    assert!(report.plain().ends_with(end), "{}", report.plain());
}

#[test]
fn a_file_nested_without_end_is_refused() {
    let deep = [
        "about: ".to_owned() + &"[".repeat(100_000),
        "about: ".to_owned() + &"{a: ".repeat(60_000),
        "- ".repeat(100_000),
        (0..700).map(|n| " ".repeat(n) + "k:\n").collect(),
    ];
    for text in deep {
        let file = SourceText::new("deep.yaml", text);
        assert_eq!(Bank::load(&[file]).unwrap_err().complaints.len(), 1);
    }
}

#[test]
fn a_byte_order_mark_is_taken() {
    let mut files = drawing("");
    for file in &mut files {
        file.text.to_mut().insert(0, '\u{feff}');
    }
    assert!(Bank::load(&files).is_ok());
    files[2].text = files[2].text.replace("unit: g", "unit: gg").into();
    let report = Bank::load(&files).unwrap_err();
    assert!(report.complaints.iter().all(|complaint| complaint.what.contains("a unit")));
}

#[test]
fn a_later_template_of_the_same_id_is_refused() {
    let plain = include_str!("../cases/bank/good/plain.yaml");
    let mut files = with_facts(Path::new("plain.yaml"), plain.to_owned());
    files.push(SourceText::new("more/plain.yaml", plain.to_owned()));
    let report = Bank::load(&files).unwrap_err();
    let what: Vec<&str> = report.complaints.iter().map(|one| one.what.as_str()).collect();
    assert_eq!(what, ["`plain` stands in another file already: plain.yaml"]);
}

#[test]
fn a_template_read_when_it_is_asked_for_is_the_one_that_is_read_with_all() {
    let whole = Bank::load(&Bank::bundled_files()).unwrap_or_else(|it| panic!("{}", it.plain()));
    let late = Bank::bundled().unwrap();
    assert!(late.headings().eq(whole.headings()), "a heading is read off the lines as it is");
    assert_eq!(late.headings().count(), whole.templates().len());
    for template in whole.templates() {
        let found = late.find(&template.id).unwrap();
        assert_eq!(format!("{found:?}"), format!("{template:?}"));
        let stem = format!("{}#stem/0", template.id);
        let text = |bank: &Bank| bank.texts().get_template(&stem).unwrap().source().to_owned();
        assert_eq!(text(&late), text(&whole));
    }
    let tables = |bank: &Bank| format!("{:?}", bank.facts().tables().collect::<Vec<_>>());
    assert_eq!(tables(&late), tables(&whole));
    assert!(late.facts().names().eq(late.facts().tables().map(|table| table.name.as_str())));
}

#[test]
fn files_that_are_said_to_be_sound_and_are_not_give_no_template_and_no_panic() {
    let plain = include_str!("../cases/bank/good/plain.yaml");
    let torn = |text: String| {
        Bank::of_sound(with_facts(Path::new("plain.yaml"), text + "\nnonsense: ["), Vec::new())
    };
    let bank = torn(plain.to_owned()).unwrap();
    assert_eq!(bank.headings().count(), 1);
    assert!(bank.find("plain").is_none() && bank.templates().is_empty());
    // Without a heading in its lines, the file is read at once.
    assert!(torn(plain.replace("title:", "title: |\n ")).is_err());
    let mut without = Bank::bundled_files();
    without.retain(|file| file.path != "facts/drugs.yaml");
    let bank = Bank::of_sound(without, Vec::new()).unwrap();
    assert!(bank.find("base-one-drug").is_none() && bank.find("order-of-fusion").is_some());
}

#[test]
fn own_files_take_the_place_of_those_of_the_same_name() {
    let plain = include_str!("../cases/bank/good/plain.yaml");
    let own = |path: &str, text: String| SourceText::new(path, text);
    let table = Bank::bundled_files().into_iter().find(|file| file.path == "facts/drugs.yaml");
    let sources = "castmark: 1\nsources:\n  course-guide-2019: { short: own guide, full: Own guide, \
                   standing: read }\n";
    let topics = "castmark: 1
topics:
  plain: { title: Plain batches, objective: base-quantity }
  one-drug: { title: Ours, objective: base-quantity, builds_on: [plain] }
";
    let bank = Bank::with_own(vec![
        own("own/base-one-drug.yaml", plain.replace("id: plain", "id: base-one-drug")),
        own("own/plain.yaml", plain.to_owned()),
        own("own/topics.yaml", topics.to_owned()),
        own("own/facts/sources.yaml", sources.to_owned()),
        own("own/facts/drugs.yaml", table.unwrap().text.into_owned()),
    ])
    .unwrap_or_else(|report| panic!("{}", report.plain()));
    let bundled = Bank::bundled().unwrap();
    assert_eq!(bank.templates().len(), bundled.templates().len() + 1);
    assert_eq!(bank.find("base-one-drug").unwrap().title, "Mass of a batch");
    assert_eq!(bank.facts().source("course-guide-2019").unwrap().short, "own guide");
    assert_eq!(bank.topics().len(), bundled.topics().len() + 1);
    assert_eq!(bank.topic("one-drug").unwrap().title, "Ours");
    assert_eq!(bank.facts().tables().count(), bundled.facts().tables().count());
}

const OWN_ROWS: &str = "\
castmark: 1
table: drugs
about: One of our own.
columns:
  colour: text
rows:
  our-drug:
    name: our drug
    colour: red
    displacement_value:
      - { is: 1.3, source: course-guide-2019 }
  zinc-oxide:
    name: zinc oxide of ours
";

fn own_table(text: String) -> Vec<SourceText> {
    vec![SourceText::new("own/facts/drugs.yaml", text)]
}

#[test]
fn own_rows_of_facts_join_the_bundled_table_and_replace_those_of_the_same_id() {
    let bank = Bank::with_own(own_table(
        OWN_ROWS.replace("  zinc-oxide:\n    name: zinc oxide of ours\n", ""),
    ))
    .unwrap_or_else(|report| panic!("{report}"));
    let bundled = Bank::bundled().unwrap();
    let (joined, before) =
        (bank.facts().table("drugs").unwrap(), bundled.facts().table("drugs").unwrap());
    assert_eq!(joined.rows.len(), before.rows.len() + 1);
    assert_eq!(joined.columns.len(), before.columns.len() + 1);
    assert!(joined.rows.iter().all(|row| row.cells.len() == joined.columns.len()));
    let colour = joined.column("colour").unwrap();
    assert_eq!(joined.row("our-drug").unwrap().cells[colour][0].text(), Some("red"));
    assert_eq!(
        joined.row("zinc-oxide").unwrap().cells[0],
        before.row("zinc-oxide").unwrap().cells[0]
    );
    // A page reads the same files later, when they are asked for.
    let late = Bank::of_sound(Bank::bundled_files(), own_table(OWN_ROWS.to_owned())).unwrap();
    let late = late.facts().table("drugs").unwrap();
    let row = late.row("zinc-oxide").unwrap();
    assert_eq!(row.cells[late.column("name").unwrap()][0].text(), Some("zinc oxide of ours"));
    assert!(row.cells[late.column("dose").unwrap()].is_empty(), "a row is replaced as a whole");
}

#[test]
fn a_bundled_file_that_own_facts_make_unsound_is_told_with_the_cause() {
    let columns =
        "columns:\n  name: text\n  displacement_value: { number: \"1\" }\n  colour: text\n";
    let alone = OWN_ROWS.replace("about:", "alone: true\nabout:");
    let alone = alone.replace("columns:\n  colour: text\n", columns);
    let report = Bank::with_own(own_table(alone)).unwrap_err();
    let first = &report.complaints[0];
    assert_eq!(first.source.path, "own/facts/drugs.yaml");
    assert_eq!(first.location(), (2, 1));
    assert!(first.what.contains("because of `own/facts/drugs.yaml`"), "{}", first.what);
    assert!(first.help.as_ref().unwrap().starts_with("take `alone: true` away"));
    assert!((2..6).contains(&report.complaints.len()), "{report}");
    assert!(report.complaints[1..].iter().all(|it| !it.source.path.starts_with("own/")));
    // What is wrong with the own file itself is told, and not what follows from it.
    let other = OWN_ROWS.replace("colour: text", "dose: text").replace("colour: red", "dose: much");
    let report = Bank::with_own(own_table(other)).unwrap_err();
    assert!(report.complaints[0].what.starts_with("expected the column `dose` as the table"));
    let unknown = OWN_ROWS.replace("course-guide-2019", "our-handout");
    let report = Bank::with_own(own_table(unknown)).unwrap_err();
    assert_eq!(report.complaints[0].what, "expected a source of sources.yaml, found `our-handout`");
    let help = report.complaints[0].help.as_deref();
    assert_eq!(help, Some("add it to a file `facts/sources.yaml` in your folder"));
}

#[test]
fn a_table_that_stands_alone_needs_columns() {
    let text = OWN_ROWS.split("  zinc-oxide:").next().unwrap().replace("    colour: red\n", "");
    let text = text.replace("columns:\n  colour: text\n", "");
    assert!(Bank::with_own(own_table(text.clone())).is_ok());
    let files = vec![SourceText::new("facts/drugs.yaml", text)];
    let report = Bank::load(&files).unwrap_err();
    assert_eq!(report.complaints[0].what, "expected `columns` in a facts table, found nothing");
}

#[test]
fn one_template_is_read_against_a_bank_that_is_there() {
    let bundled = Bank::bundled().unwrap();
    let plain = include_str!("../cases/bank/good/plain.yaml");
    let plain = plain.replace("topic: plain", "topic: one-drug");
    let own = |text: String| vec![SourceText::new("own/plain.yaml", text)];
    let bank = bundled.with(own(plain.clone())).unwrap_or_else(|report| panic!("{report}"));
    let with_own = Bank::with_own(own(plain.clone())).unwrap();
    assert_eq!(format!("{:?}", bank.find("plain")), format!("{:?}", with_own.find("plain")));
    assert!(bank.headings().eq(with_own.headings()));
    // What was read in the one bank is there in the other.
    let (one, other) =
        (bundled.find("base-one-drug").unwrap(), bank.find("base-one-drug").unwrap());
    assert!(std::sync::Arc::ptr_eq(one, other));
    let report = bundled.with(own(plain.replace("unit: g", "unit: gg"))).unwrap_err();
    assert!(report.complaints.iter().all(|complaint| complaint.source.path == "own/plain.yaml"));
}

#[test]
fn explains_what_is_wrong_with_topics() {
    insta::glob!("../cases/bank", "bad-topics/*.yaml", |path| {
        let plain = include_str!("../cases/bank/good/plain.yaml").to_owned();
        let mut files = with_facts(Path::new("plain.yaml"), plain);
        let text = fs::read_to_string(path).unwrap();
        files.push(SourceText::new("topics.yaml", text));
        let report = Bank::load(&files).expect_err("bad topics must not be taken");
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
        _ if example.contains("\ntopics:\n") => "topics.yaml".to_owned(),
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
        .map(|example| SourceText::new(path_of(example), example.to_owned()))
        .collect();
    assert_eq!(examples.len(), 9, "four templates, three tables, topics and sources");
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

#[test]
fn the_schemas_beside_the_manual_are_those_of_the_program() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("question-templates");
    for kind in FileKind::ALL {
        let path = folder.join(format!("{}.schema.json", kind.name()));
        let schema = serde_json::to_string_pretty(&kind.schema()).unwrap() + "\n";
        if std::env::var_os("CASTMARK_REWRITE").is_some() {
            fs::write(&path, &schema).unwrap();
        }
        let written = fs::read_to_string(&path).unwrap_or_default();
        assert!(
            written == schema,
            "{} is out of date; run the tests once with CASTMARK_REWRITE=1",
            path.display()
        );
    }
}

/// What a schema has against a file, by the words of JSON Schema used here (draft 2020-12,
/// validation vocabulary, sections 6.1 to 6.5); patterns are left to editors.
fn against(schema: &Value, file: &Value, way: &str, found: &mut Vec<String>) {
    let kind = match file {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    };
    let fits = match &schema["type"] {
        Value::String(one) => one == kind || one == "integer" && file.is_u64(),
        Value::Array(several) => several.iter().any(|one| one == kind),
        _ => true,
    };
    let words = schema["enum"].as_array();
    if !fits || words.is_some_and(|words| !words.contains(file)) {
        found.push(format!("{way}: {file}"));
    }
    if let Some(ways) = schema["oneOf"].as_array() {
        let given = |way: &&Value| file.get(way["required"][0].as_str().unwrap()).is_some();
        if ways.iter().filter(given).count() != 1 {
            found.push(format!("{way}: not one of the ways"));
        }
    }
    if let Some(choices) = schema["anyOf"].as_array() {
        let fits = choices.iter().any(|choice| {
            let mut here = Vec::new();
            against(choice, file, way, &mut here);
            here.is_empty()
        });
        if !fits {
            found.push(format!("{way}: none of the choices"));
        }
    }
    for (n, item) in file.as_array().into_iter().flatten().enumerate() {
        against(&schema["items"], item, &format!("{way}/{n}"), found);
    }
    let Some(entries) = file.as_object() else { return };
    for key in schema["required"].as_array().into_iter().flatten() {
        if !entries.contains_key(key.as_str().unwrap()) {
            found.push(format!("{way}: lacks {key}"));
        }
    }
    for (key, value) in entries {
        let way = format!("{way}/{key}");
        match (schema["properties"].get(key), &schema["additionalProperties"]) {
            (Some(schema), _) => against(schema, value, &way, found),
            (None, Value::Bool(false)) => found.push(format!("{way}: unknown")),
            (None, others) => against(others, value, &way, found),
        }
    }
}

/// A student meets two easy templates first: those of the topics that build on nothing of their objective.
#[test]
fn every_objective_of_numbers_begins_with_two_easy_templates() {
    let bank = Bank::bundled().unwrap();
    for objective in Objective::ALL.into_iter().filter(|one| *one != Objective::Theory) {
        let own = |id: &String| bank.topic(id).is_some_and(|topic| topic.objective == objective);
        let first =
            |topic: &&Topic| topic.objective == objective && !topic.builds_on.iter().any(own);
        let first: Vec<&str> =
            bank.topics().iter().filter(first).map(|it| it.id.as_str()).collect();
        let easy = bank
            .templates()
            .iter()
            .filter(|template| template.level == 1 && first.contains(&template.topic.as_str()));
        let easy: Vec<&str> = easy.map(|template| template.id.as_str()).collect();
        assert!(easy.len() >= 2, "{objective}: {easy:?}");
    }
}

#[test]
fn every_bundled_file_keeps_to_its_schema() {
    let mut found = Vec::new();
    for file in Bank::bundled_files() {
        let kind = match &file.path {
            path if path.ends_with("sources.yaml") => FileKind::Sources,
            path if path == "topics.yaml" => FileKind::Topics,
            path if path.contains("facts/") => FileKind::Facts,
            _ => FileKind::Template,
        };
        let value: Value = serde_yaml::from_str(&file.text).unwrap();
        against(&kind.schema(), &value, &file.path, &mut found);
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// The good templates, to be spoiled.
fn good() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/bank/good");
    let mut paths: Vec<_> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.iter().map(|path| fs::read_to_string(path).unwrap()).collect()
}

/// Loads a text as a template, a file of topics, a table and a file of sources; only panics matter, and reports that
/// cannot be drawn.
fn survives(text: &str) {
    for path in ["plain.yaml", "topics.yaml", "facts/more.yaml", "facts/sources.yaml"] {
        let mut files = with_facts(Path::new("plain.yaml"), String::new());
        files.retain(|file| file.path.starts_with("facts/") && file.path != path);
        files.push(SourceText::new(path, text.to_owned()));
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

#[test]
fn a_private_address_is_no_place_of_a_source() {
    for place in ["mailto:one@example.org", "https://example.org/~one/notes", "file:///notes.pdf"] {
        let text = format!(
            "castmark: 1\nsources:\n  one:\n    short: one\n    full: One\n    standing: read\n    where: {place}\n"
        );
        let file = SourceText::new("facts/sources.yaml", text);
        let report = Bank::load(&[file]).expect_err("a private address must be refused");
        let plain = report.plain();
        let expected = format!("expected the address of the publisher or body, found `{place}`");
        assert!(plain.contains(&expected), "{plain}");
    }
}

#[test]
fn no_source_of_the_bundled_bank_is_cited_by_nothing() {
    let bank = Bank::bundled().unwrap();
    let cited = bank.cited();
    let sources = bank.facts().sources().iter().map(|source| source.id.as_str());
    let uncited: Vec<&str> = sources.filter(|id| !cited.contains(id)).collect();
    assert!(uncited.is_empty(), "{uncited:?}");
}
