//! Questions of theory: every promise about options, pairs and orders, on small facts made for it
//! and on the bundled bank.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::sync::{Arc, OnceLock};

use castmark::bank::{Bank, SourceText, Template};
use castmark::draw::{Seed, Space, Stream};
use castmark::marking::{Sharing, Standing, mark};
use castmark::problem::{Problem, Response, letter};
use proptest::prelude::*;
use serde_yaml::Value as Yaml;

use super::program::{Ran, castmark};

const CASES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/bank");

/// The small facts of these tests, and one template.
fn with_facts(path: &Path) -> Vec<SourceText> {
    let mut files: Vec<SourceText> = fs::read_dir(format!("{CASES}/theory-facts"))
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy();
            SourceText::new(format!("facts/{name}"), fs::read_to_string(&path).unwrap())
        })
        .collect();
    files.sort_by(|one, other| one.path.cmp(&other.path));
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    files.push(SourceText::new(name, fs::read_to_string(path).unwrap()));
    files
}

fn small() -> &'static (Bank, Arc<Template>) {
    static SMALL: OnceLock<(Bank, Arc<Template>)> = OnceLock::new();
    SMALL.get_or_init(|| {
        let files = with_facts(Path::new(&format!("{CASES}/good-theory/all-kinds.yaml")));
        let bank = Bank::load(&files).unwrap_or_else(|report| panic!("{}", report.plain()));
        let template = Arc::clone(&bank.templates()[0]);
        (bank, template)
    })
}

fn bundled() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

fn response<'a>(problem: &'a Problem, part: &str) -> &'a Response {
    &problem.parts.iter().find(|known| known.id == part).unwrap().response
}

#[test]
fn explains_what_is_wrong_with_a_part_of_theory() {
    insta::glob!("../cases/bank", "bad-theory/*.yaml", |path| {
        let report = Bank::load(&with_facts(path)).expect_err("a bad file must not be taken");
        insta::assert_snapshot!(report.plain());
    });
}

#[test]
fn what_one_source_says_is_never_wrong_by_another() {
    // From memory only, macrogol is waxy: so waxy is no wrong option for it, nor is macrogol for waxy.
    let (bank, template) = small();
    for number in 0..400 {
        let problem = Problem::draw(bank, template, number).unwrap();
        let text = |name: &str| {
            problem.draw.texts.iter().find(|(known, _)| known == name).unwrap().1.as_str()
        };
        let Response::Choice(class) = response(&problem, "class") else { panic!() };
        for (option, right) in class.options.iter().zip(&class.right) {
            assert_eq!(*right, option.text == text("base.class"));
            assert!(option.text != "waxy", "memory is not shown");
        }
        let Response::Choice(which) = response(&problem, "which") else { panic!() };
        for (option, right) in which.options.iter().zip(&which.right) {
            let fatty = ["theobroma oil", "hard fat"].contains(&option.text.as_str());
            assert_eq!(*right, fatty == (text("base.class") == "fatty"), "{which:?}");
        }
    }
}

#[test]
fn a_name_that_fits_as_well_is_taken_for_the_answer() {
    let (bank, template) = small();
    let part = template.parts.iter().position(|part| part.id == "named").unwrap();
    for number in 0..60 {
        let problem = Problem::draw(bank, template, number).unwrap();
        let fatty = problem.draw.texts.contains(&("base.class".to_owned(), "fatty".to_owned()));
        for (answer, is_fatty) in [
            ("hard fat", true),
            ("theobroma oil", true),
            ("cocoa buter", true),
            ("macrogol blend", false),
            ("glycerogelatin", false),
        ] {
            let right = mark(&problem, part, answer).is_right();
            // Glycero-gelatin is spelt with a hyphen, which is one slip of the pen.
            assert_eq!(right, is_fatty == fatty, "{answer}: {:?}", response(&problem, "named"));
        }
    }
}

/// Of 120 selections about theobroma oil only 8 are a question, since the others say two things on one
/// point; about hard fat each is one.
#[test]
fn a_row_with_few_fair_options_comes_as_often_as_one_with_many() {
    let path = format!("{CASES}/good-theory/all-kinds.yaml");
    let mut files = with_facts(Path::new(&path));
    let statement = |n: usize, subject: &str, point: &str, is_true: bool| {
        let by = if is_true { "source" } else { "invented: true, against" };
        format!(
            "  s{n}: {{ subject: {subject}, point: {point}, verdict: \"{is_true}\", \
             says: [{{ is: thing {n}, {by}: course-guide-2019 }}] }}\n"
        )
    };
    let mut rows = String::new();
    for n in 0..10 {
        rows += &statement(n, "hard fat", &format!("p{n}"), false);
        rows += &statement(10 + n, "theobroma oil", &format!("p{}", n.saturating_sub(7)), false);
    }
    rows += &statement(20, "hard fat", "other", true);
    rows += &statement(21, "theobroma oil", "other", true);
    let table = files.iter_mut().find(|file| file.path == "facts/statements.yaml").unwrap();
    let (head, _) = table.text.split_once("rows:\n").unwrap();
    table.text = format!("{head}rows:\n{rows}").into();
    let template = files.last_mut().unwrap();
    let (head, _) = template.text.split_once("values:\n").unwrap();
    template.text = format!(
        "{head}values:\n  base: {{ pick: bases, only: {{ name: [theobroma oil, hard fat] }} }}\n\
         stem:\n  - About {{{{ base.name }}}}.\n  - Of {{{{ base.name }}}}.\n\
         parts:\n  told: {{ ask: What is true?, marks: 1, \
         one_option: {{ statements: statements, about: base.name, show: 4 }} }}\n"
    )
    .into();
    let bank = Bank::load(&files).unwrap_or_else(|report| panic!("{}", report.plain()));
    let template = &bank.templates()[0];
    let is_fat = |number: &u64| {
        let problem = Problem::draw(&bank, template, *number).unwrap();
        problem.draw.texts.contains(&("base.name".to_owned(), "hard fat".to_owned()))
    };
    let fats = (0..200).filter(is_fat).count();
    assert!((70..=130).contains(&fats), "{fats}");
}

#[test]
fn every_place_of_a_space_shows_something_else() {
    let files = with_facts(Path::new(&format!("{CASES}/good-theory/all-kinds.yaml")));
    let mut few = files.clone();
    let text = few.last_mut().unwrap();
    // Few parts, so that the whole space can be walked.
    let keep = ["  uses:", "  tools:", "  ordered:"];
    let (head, parts) = text.text.split_once("parts:\n").unwrap();
    let parts: Vec<&str> =
        parts.lines().filter(|line| keep.iter().any(|kept| line.starts_with(kept))).collect();
    let unused = ["  base:", "  claim:", "  said:", "  fusion:", "  slip:"];
    let head: Vec<&str> =
        head.lines().filter(|line| !unused.iter().any(|unused| line.starts_with(unused))).collect();
    text.text = format!("{}\nparts:\n{}\n", head.join("\n"), parts.join("\n"))
        .replace("[melting, class, uses]", "[uses]")
        .into();
    let bank = Bank::load(&few).unwrap_or_else(|report| panic!("{}", report.plain()));
    let template = &bank.templates()[0];
    let space = Space::of(template).unwrap();
    let looks = Seed::from_bytes([3; 32]);
    let mut shown = BTreeSet::new();
    let mut fair = 0;
    for place in 0..space.size {
        let mut looks = Stream::new(&looks);
        let Ok(solved) = Problem::solved(template, &space, place, &mut looks) else { continue };
        fair += 1;
        let problem = solved.problem(&bank, template).unwrap();
        let parts = problem.parts.iter();
        let parts: Vec<String> =
            parts.map(|part| format!("{} {}", part.ask, content(&part.response))).collect();
        shown.insert(parts.join("\n"));
    }
    assert_eq!(shown.len(), fair);
    assert!(fair > 30, "{fair}");
}

/// What a response shows, whatever the order.
fn content(response: &Response) -> String {
    let mut texts: Vec<&str> = match response {
        Response::Choice(key) => key.options.iter().map(|option| option.text.as_str()).collect(),
        Response::Matching(key) => key.left.iter().chain(&key.right).map(String::as_str).collect(),
        Response::Ordering(key) => key.items.iter().map(String::as_str).collect(),
        _ => Vec::new(),
    };
    texts.sort_unstable();
    texts.join("|")
}

#[test]
fn each_kind_of_question_says_how_to_type_its_answer_and_how_it_shares_its_marks() {
    let (bank, template) = small();
    let problem = Problem::draw(bank, template, 1).unwrap();
    let expected = [
        ("class", "B", Sharing::Whole),
        ("uses", "A C", Sharing::Options),
        ("judged", "true B", Sharing::Judgement),
        ("verdict", "true", Sharing::Whole),
        ("tools", "1b 2a 3c", Sharing::Lines),
        ("ordered", "B A C", Sharing::Order),
        ("named", "some words", Sharing::Whole),
        ("range", "20 to 25 °C", Sharing::Ends),
        ("note", "some words", Sharing::Points),
    ];
    for (id, example, sharing) in expected {
        let response = response(&problem, id);
        assert_eq!(
            (response.key().example().as_str(), Sharing::of(response)),
            (example, sharing),
            "{id}"
        );
    }
}

#[test]
fn the_source_of_a_wrong_line_or_statement_is_the_one_that_denies_it() {
    let (bank, template) = small();
    for number in 0..40 {
        let problem = Problem::draw(bank, template, number).unwrap();
        let denied = |part: &str| response(&problem, part).key().denied_by().len();
        assert_eq!((denied("error"), denied("class"), denied("tools")), (1, 0, 0));
        let Response::Judgement(key) = response(&problem, "judged") else { panic!() };
        assert_eq!(denied("judged"), usize::from(!key.truth));
    }
}

#[test]
fn an_order_is_never_shown_in_order() {
    let (bank, template) = small();
    let mut firsts = BTreeSet::new();
    for number in 0..200 {
        let problem = Problem::draw(bank, template, number).unwrap();
        let Response::Ordering(key) = response(&problem, "ordered") else { panic!() };
        assert!(!key.order.is_sorted(), "{key:?}");
        firsts.insert(key.order.clone());
        let right: Vec<&str> = key.order.iter().map(|place| key.items[*place].as_str()).collect();
        let all = ["melt the base", "add the drug", "pour", "trim"];
        let rolled = ["grate the base", "mix", "roll"];
        let place =
            |text: &&str| all.iter().chain(&rolled).position(|known| known == text).unwrap();
        assert!(right.iter().map(place).is_sorted(), "{right:?}");
    }
    assert_eq!(firsts.len(), 5, "all orders of three but one");
}

#[test]
fn the_wrong_line_stands_where_the_right_one_would() {
    let (bank, template) = small();
    let part = template.parts.iter().position(|part| part.id == "error").unwrap();
    let procedure = ["melt the base", "add the drug", "pour", "trim"];
    let faults = [("boil the base", "melt the base"), ("splash", "pour")];
    let mut places = BTreeSet::new();
    for number in 0..80 {
        let problem = Problem::draw(bank, template, number).unwrap();
        let Response::Choice(key) = response(&problem, "error") else { panic!() };
        let wrong = key.right.iter().position(|right| *right).unwrap();
        let mut lines: Vec<&str> = key.options.iter().map(|option| option.text.as_str()).collect();
        let fault = faults.iter().find(|(fault, _)| *fault == lines[wrong]).unwrap();
        assert!(!lines.contains(&fault.1), "{lines:?}");
        lines[wrong] = fault.1;
        let place = |line: &&str| procedure.iter().position(|known| known == line).unwrap();
        assert!(lines.iter().map(place).is_sorted(), "{lines:?}");
        places.insert(wrong);
        for option in 0..lines.len() {
            let right = mark(&problem, part, &letter(option, 'A')).is_right();
            assert_eq!(right, option == wrong);
        }
    }
    assert_eq!(places.len(), 3, "the wrong line stands at every place: {places:?}");
}

#[test]
fn each_source_of_a_range_is_asked_by_its_name() {
    let (bank, template) = small();
    let mut asked = BTreeMap::new();
    for number in 0..200 {
        let problem = Problem::draw(bank, template, number).unwrap();
        let part = problem.parts.iter().find(|part| part.id == "range").unwrap();
        asked.insert(part.ask.clone(), part.response.answer());
    }
    let expected = [
        ("Between what temperatures melts hard fat, by the other guide?", "33 to 40 °C"),
        ("Between what temperatures melts theobroma oil, by the course guide 2019?", "30 to 36 °C"),
        ("Between what temperatures melts theobroma oil, by the other guide?", "31 to 34 °C"),
    ];
    let found: Vec<(&str, &str)> =
        asked.iter().map(|(ask, answer)| (ask.as_str(), answer.as_str())).collect();
    assert_eq!(found, expected);
}

#[test]
fn a_written_answer_waits_for_a_person() {
    let (bank, template) = small();
    let problem = Problem::draw(bank, template, 1).unwrap();
    let part = problem.parts.iter().position(|part| part.id == "note").unwrap();
    let verdict = mark(&problem, part, "It melts and sets again.");
    assert_eq!((verdict.standing(), verdict.marks(), verdict.of()), (Standing::ByHand, 0, 2));
}

/// A second reading of the facts, apart from the engine's: what any source says, by table, row and
/// column.
fn second_reading() -> BTreeMap<String, Yaml> {
    let files = Bank::bundled_files();
    let tables = files.iter().filter(|file| file.path.contains("facts/"));
    let read = |file: &SourceText| -> Yaml { serde_yaml::from_str(&file.text).unwrap() };
    tables
        .map(read)
        .filter_map(|file| Some((file.get("table")?.as_str()?.to_owned(), file)))
        .collect()
}

/// The texts that sources say in a cell, and other words for them; not what a source denies.
fn said(cell: &Yaml) -> Vec<String> {
    texts(cell, |claim| claim.get("against").is_none())
}

/// The texts of those claims of a cell, and other words for them.
fn texts(cell: &Yaml, wanted: fn(&Yaml) -> bool) -> Vec<String> {
    match cell {
        Yaml::String(text) => vec![text.clone()],
        Yaml::Sequence(claims) => claims
            .iter()
            .filter(|claim| wanted(claim))
            .flat_map(|claim| {
                let also = claim.get("also").and_then(Yaml::as_sequence).cloned();
                claim.get("is").cloned().into_iter().chain(also.unwrap_or_default())
            })
            .filter_map(|text| text.as_str().map(str::to_owned))
            .collect(),
        _ => Vec::new(),
    }
}

#[test]
fn no_option_of_the_bundled_bank_is_right_by_a_second_reading_of_the_facts() {
    let tables = second_reading();
    let files = Bank::bundled_files();
    let mut looked = [0; 3];
    for template in bundled().templates() {
        let ending = format!("/{}.yaml", template.id);
        let file = &files.iter().find(|file| file.path.ends_with(&ending)).unwrap().text;
        let file: Yaml = serde_yaml::from_str(file).unwrap();
        for (id, part) in file["parts"].as_mapping().unwrap() {
            let id = id.as_str().unwrap();
            if let Some(matching) = part.get("matching").or(part.get("grouping")) {
                for number in 0..20 {
                    let problem = Problem::draw(bundled(), template, number).unwrap();
                    check_pairs(&tables, matching, response(&problem, id), &template.id);
                }
                looked[2] += 1;
            }
            let one = part.get("one_option");
            let several = part.get("several_options");
            let Some(options) = one.or(several) else { continue };
            looked[usize::from(several.is_some())] += 1;
            for number in 0..40 {
                let problem = Problem::draw(bundled(), template, number).unwrap();
                let Response::Choice(key) = response(&problem, id) else {
                    panic!("{}", template.id)
                };
                check_options(&tables, &file, options, &problem, key);
            }
        }
    }
    assert!(looked.iter().all(|parts| *parts >= 8), "{looked:?}");
}

/// Tells for each option shown, by the tables alone, whether it must be right.
fn check_options(
    tables: &BTreeMap<String, Yaml>,
    file: &Yaml,
    options: &Yaml,
    problem: &Problem,
    key: &castmark::problem::ChoiceKey,
) {
    let word = |key: &str| options.get(key).and_then(Yaml::as_str);
    let drawn = |name: &str| {
        let found = problem.draw.texts.iter().find(|(known, _)| known == name);
        found.map(|(_, text)| text.clone()).unwrap_or_default()
    };
    let of_pick = |cell: &str| {
        let (pick, column) = cell.split_once('.').unwrap();
        let table = &tables[file["values"][pick]["pick"].as_str().unwrap()];
        (pick.to_owned(), column.to_owned(), &table["rows"])
    };
    let same = |one: &str, other: &str| one.eq_ignore_ascii_case(other);
    for (option, right) in key.options.iter().zip(&key.right) {
        let expected = if let Some(cell) = word("of") {
            let (pick, column, rows) = of_pick(cell);
            let row = &rows[drawn(&format!("{pick}.row")).as_str()];
            let by_any = said(&row[column.as_str()]).iter().any(|text| same(text, &option.text));
            assert_eq!(by_any, *right, "{}: {}", problem.template.id, option.text);
            !key.several && same(&drawn(cell), &option.text) || key.several && by_any
        } else if let (Some(which), Some(has)) = (word("which"), word("has")) {
            let (_, naming, rows) = of_pick(which);
            let (_, column, _) = of_pick(has);
            let wanted = drawn(has);
            let mut named = rows.as_mapping().unwrap().iter().filter(|(_, row)| {
                said(&row[naming.as_str()]).iter().any(|name| same(name, &option.text))
            });
            named.any(|(_, row)| said(&row[column.as_str()]).iter().any(|text| same(text, &wanted)))
        } else {
            let table = &tables[word("statements").unwrap()];
            let mut rows = table["rows"].as_mapping().unwrap().iter();
            let row = rows
                .find(|(_, row)| texts(&row["says"], |_| true).contains(&option.text))
                .unwrap()
                .1;
            row["verdict"].as_str() == Some("true")
        };
        assert_eq!(expected, *right, "{}: {}", problem.template.id, option.text);
    }
}

/// Tells for each line by the tables alone which letter it must have, and that no other fits.
fn check_pairs(tables: &BTreeMap<String, Yaml>, plan: &Yaml, response: &Response, id: &str) {
    let Response::Matching(key) = response else { panic!("{id}") };
    let word = |key: &str| plan.get(key).and_then(Yaml::as_str);
    let left = word("left").or(word("item")).unwrap();
    let right = word("right").or(word("group")).unwrap();
    let rows = tables[word("rows").unwrap()]["rows"].as_mapping().unwrap();
    for (line, answer) in key.left.iter().zip(&key.answers) {
        let row = rows.iter().find(|(_, row)| said(&row[left]).contains(line)).unwrap().1;
        let fits: Vec<usize> = (0..key.right.len())
            .filter(|place| said(&row[right]).contains(&key.right[*place]))
            .collect();
        assert_eq!(fits, [*answer], "{id}: {line}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_answer_to_theory_has_more_marks_than_the_part_or_stops_the_program(
        which in 0_usize..1000,
        number in 0_u64..5000,
        answer in "[A-Fa-f0-9 ,.\\-]{0,14}|true [A-D]|false [A-D]|\\PC{0,20}",
    ) {
        let theory: Vec<_> = bundled()
            .templates()
            .iter()
            .filter(|template| template.parts.iter().any(|part| part.wanted.number().is_none()))
            .collect();
        let problem = Problem::draw(bundled(), theory[which % theory.len()], number).unwrap();
        for (place, part) in problem.parts.iter().enumerate() {
            let verdict = mark(&problem, place, &answer);
            prop_assert!(verdict.marks() <= part.marks);
            prop_assert_eq!(verdict.of(), part.marks);
            match verdict.standing() {
                Standing::Correct => prop_assert_eq!(verdict.marks(), part.marks),
                Standing::PartlyCorrect => prop_assert!(verdict.marks() > 0),
                _ => prop_assert_eq!(verdict.marks(), 0),
            }
        }
    }

    #[test]
    fn every_set_of_letters_but_the_right_one_loses_marks(number in 0_u64..5000, chosen in 1_u32..32) {
        let (bank, template) = small();
        let problem = Problem::draw(bank, template, number).unwrap();
        for part in ["uses", "truths"] {
            let place = template.parts.iter().position(|known| known.id == part).unwrap();
            let Response::Choice(key) = response(&problem, part) else { panic!() };
            let letters: Vec<usize> =
                (0..key.options.len()).filter(|option| chosen >> option & 1 == 1).collect();
            if letters.is_empty() {
                continue;
            }
            let answer: String = letters.iter().map(|place| letter(*place, 'A')).collect();
            let exact = (0..key.options.len()).all(|place| key.right[place] == letters.contains(&place));
            prop_assert_eq!(mark(&problem, place, &answer).is_right(), exact);
        }
    }
}

/// A problem of `tests/cases/cli/theory` with a part of every kind but grouping.
const CODE: &str = "try-theory.aaaa-aaaaa";

/// What the program prints with the templates of that folder, and its exit code.
fn program(arguments: &[&str]) -> (i32, String) {
    let bank = ["--bank", "tests/cases/cli/theory"];
    let ran = Ran::of(castmark([arguments, &bank].concat()).env("COLUMNS", "80"));
    assert_eq!(ran.err, "");
    (ran.code, ran.out)
}

#[test]
fn a_sheet_of_theory_has_room_for_every_kind_of_answer() {
    for format in ["text", "markdown", "html", "json"] {
        let (code, sheet) = program(&[
            "problem",
            "--show",
            "questions,key,solutions",
            "--code",
            CODE,
            "--format",
            format,
        ]);
        assert_eq!(code, 0);
        insta::assert_snapshot!(format!("theory_as_{format}"), sheet);
    }
}

#[test]
fn wrong_answers_to_theory_are_explained_and_right_ones_taken() {
    let wrong = ["A", "A", "false A", "1a 2a", "ABCD", "pale lardin", "30-35", "many things"];
    let (code, said) = program(&[&["check", CODE], &wrong[..]].concat());
    assert_eq!(code, 1);
    insta::assert_snapshot!("theory_wrong", said);
    let right = ["c", "a, d", "F c", "1=a 2=b 3=c", "C B D A", "lardine", "31 to 34 °C"];
    let (code, said) = program(&[&["check", CODE], &right[..]].concat());
    assert_eq!(code, 0);
    assert!(said.contains("Together 14 of 14 marks.\n"), "{said}");
    let (code, said) = program(&["check", CODE, "E", "x y", "C", "4a", "AB", "?", "warm"]);
    assert_eq!(code, 2);
    insta::assert_snapshot!("theory_unread", said);
}

#[test]
fn words_without_quotation_marks_are_put_together_where_only_that_can_be_meant() {
    for (answers, marks) in [
        (&["range=31", "to", "34", "°C"][..], "2 of 2"),
        (&["range=31", "to", "34", "degrees", "named=lardine"], "3 of 3"),
        (&["uses=a", "d", "named=lardine"], "3 of 3"),
        (&["pairs=1a", "2b", "3c", "ordered=C", "B", "D", "A", "range=31", "to", "34"], "8 of 8"),
        (&["c", "a d", "F c", "1a 2b 3c", "CBDA", "lardine", "31-34 °C"], "14 of 14"),
    ] {
        let (_, said) = program(&[&["check", CODE], answers].concat());
        assert!(said.contains(&format!("{marks} mark")), "{answers:?}: {said}");
    }
    for answers in
        [&["uses=a", "d"][..], &["c", "a", "d", "F", "c", "1a", "2b", "3c", "C", "B", "D", "A"]]
    {
        let bank = ["--bank", "tests/cases/cli/theory"];
        let said = Ran::of(&mut castmark([&["check", CODE], answers, &bank].concat())).refused();
        assert!(said.contains("put quotation marks around every answer"), "{said}");
    }
}

#[test]
fn sources_are_shown_with_what_they_say_and_where_they_differ() {
    let (code, said) = program(&["sources", "lardine"]);
    assert_eq!(code, 0);
    insta::assert_snapshot!("sources_of_a_row", said);
    let (code, said) = program(&["sources", "try_bases", "--disputed"]);
    assert_eq!(code, 0);
    insta::assert_snapshot!("sources_that_differ", said);
    let (code, said) = program(&["sources", "lardine", "no such thing"]);
    assert_eq!(code, 1);
    assert!(said.starts_with("No fact has to do with `lardine no such thing`."), "{said}");
    let (code, said) = program(&["sources"]);
    assert_eq!(code, 0);
    assert!(said.contains("course-guide-2019"), "{said}");
}
