//! `castmark analyse`: from a file of marks to a printed report.

#![allow(clippy::float_arithmetic, reason = "statistics are compared within a small distance")]

#[path = "analyse/results.rs"]
mod results;

use std::fs;
use std::process::{Command, Stdio};

use castmark::analysis::{Marks, Report, ReportSettings};
use castmark::export::{Front, Options, exporter};
use serde_json::{Value, json};

use super::program::{Folder, Ran};

const HEAD: &str = r#"{"castmark_marks":1,"title":"Midterm"}"#;

/// A folder with a file of marks.
struct MarksFolder(Folder);

impl std::ops::Deref for MarksFolder {
    type Target = Folder;

    fn deref(&self) -> &Folder {
        &self.0
    }
}

impl MarksFolder {
    fn with(marks: &str) -> Self {
        Self(Folder::with(&[("marks.jsonl", marks)]))
    }

    fn command(&self, arguments: &str) -> Command {
        self.0.command(&format!("analyse {arguments}"))
    }

    fn run(&self, arguments: &str) -> Ran {
        Ran::of(&mut self.command(arguments))
    }

    #[track_caller]
    fn printed(&self, arguments: &str) -> String {
        let ran = self.run(&format!("marks.jsonl {arguments}"));
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
        ran.out
    }

    #[track_caller]
    fn json(&self, arguments: &str) -> Value {
        serde_json::from_str(&self.printed(&format!("{arguments} --format json"))).unwrap()
    }
}

fn line(candidate: &str, question: usize, marks: f64, of: f64) -> Value {
    let standing = if marks >= of {
        "correct"
    } else if marks > 0.0 {
        "partly-correct"
    } else {
        "not-correct"
    };
    json!({
        "castmark_marks": 1, "candidate": candidate, "paper": "75uy-9s45c", "question": question,
        "part": "a", "template": format!("item-{question}"), "place": "1", "marks": marks, "of": of,
        "standing": standing, "slips": [], "chosen": [], "options": 0, "right_options": [],
        "objective": "calibration", "topic": "plain", "by": "program",
    })
}

fn file(lines: &[Value]) -> String {
    let lines: Vec<String> = lines.iter().map(Value::to_string).collect();
    format!("{HEAD}\n{}\n", lines.join("\n"))
}

fn table(matrix: &[Vec<f64>], maxima: &[f64]) -> Vec<Value> {
    let mut lines = Vec::new();
    for (row, marks) in matrix.iter().enumerate() {
        for (n, (mark, of)) in marks.iter().zip(maxima).enumerate() {
            lines.push(line(&format!("{:04}", row + 1), n + 1, *mark, *of));
        }
    }
    lines
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect()
}

fn fixtures() -> Value {
    serde_json::from_str(include_str!("../reference/item-analysis.json")).unwrap()
}

fn of_fixture(fixture: &Value) -> Vec<Value> {
    let matrix: Vec<Vec<f64>> = fixture["matrix"].as_array().unwrap().iter().map(numbers).collect();
    let maxima = match fixture.get("max_marks") {
        Some(maxima) => numbers(maxima),
        None => vec![1.0; matrix[0].len()],
    };
    table(&matrix, &maxima)
}

#[track_caller]
fn near(found: &Value, expected: &Value) {
    let expected = expected.as_f64().or_else(|| expected["float"].as_f64());
    match (found["value"].as_f64(), expected) {
        (Some(found), Some(expected)) => {
            assert!((found - expected).abs() < 1e-12, "found {found}, expected {expected}");
        }
        (None, None) => assert!(found["why"].is_string(), "{found}"),
        (found, expected) => panic!("found {found:?}, expected {expected:?}"),
    }
}

#[test]
fn the_check_values_come_out_of_the_whole_command() {
    let fixtures = fixtures();
    for name in [
        "published_10x10",
        "mcq_30x12",
        "part_credit_12x5",
        "perfectly_parallel_4x2",
        "negative_alpha_4x2",
    ] {
        let fixture = &fixtures[name];
        let report = MarksFolder::with(&file(&of_fixture(fixture))).json("");
        let whole = &report["whole"];
        near(&whole["alpha"], &fixture["alpha_exact"]);
        near(&whole["alpha_by_question"], &fixture["alpha_exact"]);
        near(&whole["mean"], &fixture["mean_total"]);
        near(&whole["deviation"], &fixture["sd_total_sample"]);
        near(&whole["error_of_measurement"], &fixture["sem_sample_sd"]);
        near(&whole["kr20"], &fixture["kr20_population_variance"]);
        near(&whole["kr21"], &fixture["kr21_population_variance"]);
        for (end, expected) in ["low", "high"].iter().zip(numbers(&fixture["alpha_ci95_feldt"])) {
            let found = whole["alpha_interval"][end].as_f64().unwrap();
            assert!(
                (found - expected).abs() / expected.abs().max(1.0) < 1e-8,
                "{found} {expected}"
            );
        }
        let expected = fixture["items"].as_array().unwrap();
        for (item, expected) in report["items"].as_array().unwrap().iter().zip(expected) {
            near(&item["item_rest"], &expected["corrected_item_rest_r"]);
            if expected.get("facility").is_some() {
                near(&item["facility"], &expected["facility"]);
                near(&item["upper_lower"], &expected["D_upper_lower_27"]);
            }
            if expected.get("alpha_if_deleted").is_some() {
                near(&item["alpha_without"], &expected["alpha_if_deleted"]);
            }
        }
    }
}

#[test]
fn the_printed_values_are_those_of_the_published_table() {
    let fixtures = fixtures();
    let text = MarksFolder::with(&file(&of_fixture(&fixtures["published_10x10"]))).printed("");
    // 305/438 = 0.696, 899/1314 = 0.684 and 33/5 = 6.6; the others from the reference libraries.
    for row in [
        "mean total                     6.60 of 10 (66 %)",
        "standard deviation             2.55 marks",
        "alpha                          0.70 (95 % interval 0.31 to 0.91)",
        "KR-20                          0.70",
        "KR-21                          0.68",
        "standard error of measurement  1.40 marks",
        "1 item-1 0.67 0.71 0.14 to 0.92 0.61",
    ] {
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words(&text).contains(&words(row)), "{row}\n{text}");
    }
}

/// The choices of the fixture, with the options of every candidate turned round by another number.
fn with_options(fixture: &Value) -> Vec<Value> {
    let key = fixture["key"].as_array().unwrap();
    let mut lines = of_fixture(fixture);
    for (at, line) in lines.iter_mut().enumerate() {
        let (row, item) = (at / key.len(), at % key.len());
        let option = |place: usize| (place + row) % 4;
        let letter = |wanted: &Value| {
            let place = (0..4).find(|place| json!(option(*place)) == *wanted).unwrap();
            ["A", "B", "C", "D"][place]
        };
        line["options"] = json!(4);
        line["chosen"] = json!([letter(&fixture["choices"][row][item])]);
        line["right_options"] = json!([letter(&key[item])]);
        let texts: Vec<String> = (0..4).map(|place| format!("option {}", option(place))).collect();
        line["option_texts"] = json!(texts);
    }
    lines
}

#[test]
fn shuffled_options_are_told_apart_by_what_they_say() {
    let fixtures = fixtures();
    let fixture = &fixtures["mcq_30x12"];
    let report = MarksFolder::with(&file(&with_options(fixture))).json("");
    let expected = fixture["distractors"].as_array().unwrap();
    for (found, expected) in report["options"].as_array().unwrap().iter().zip(expected) {
        let efficiency = found["efficiency"]["value"].as_f64().unwrap() * 100.0;
        let wanted = expected["distractor_efficiency_percent"].as_f64().unwrap();
        assert!((efficiency - wanted).abs() < 1e-9, "{found}");
        for option in expected["options"].as_array().unwrap() {
            let text = format!("option {}", option["option"]);
            let options = found["options"].as_array().unwrap();
            let found = options.iter().find(|it| it["text"] == json!(text)).unwrap();
            assert_eq!(found["is_right"], option["is_key"]);
            for (name, wanted) in [("chosen", "count"), ("upper", "upper"), ("lower", "lower")] {
                assert_eq!(found[name], option[wanted], "{text}");
            }
            near(&found["choice_rest"], &option["choice_rest_r"]);
        }
    }
}

#[test]
fn options_that_few_were_shown_are_counted_but_not_judged() {
    let fixtures = fixtures();
    let mut lines = with_options(&fixtures["mcq_30x12"]);
    for line in &mut lines {
        // Every third candidate has options of their own wording.
        let number: u32 = line["candidate"].as_str().unwrap().parse().unwrap();
        for text in line["option_texts"].as_array_mut().unwrap() {
            *text = json!(format!("{}, {}", text.as_str().unwrap(), number % 3));
        }
    }
    let folder = MarksFolder::with(&file(&lines));
    let report = folder.json("");
    for item in report["options"].as_array().unwrap() {
        assert_eq!(item["efficiency"]["why"], json!("every wrong option was shown to too few"));
        for option in item["options"].as_array().unwrap() {
            assert_eq!((&option["shown"], &option["is_suspicious"]), (&json!(10), &json!(false)));
        }
    }
    let text = folder.printed("");
    let rows = text.split("Options one by one").nth(1).unwrap();
    let rows = rows.split("Whole questions").next().unwrap();
    assert!(
        rows.contains("wrong") && !rows.contains("right   ") && !rows.contains("wrong?"),
        "{rows}"
    );
}

#[test]
fn letters_alone_tell_only_how_many_chose_wrong() {
    let fixtures = fixtures();
    let mut lines = with_options(&fixtures["mcq_30x12"]);
    for line in &mut lines {
        line.as_object_mut().unwrap().remove("option_texts");
    }
    let folder = MarksFolder::with(&file(&lines));
    let first = &folder.json("")["options"][0];
    assert_eq!(first["options"], json!([]));
    assert_eq!(first["efficiency"]["why"], json!("the marks do not tell what the options said"));
    assert!((first["chose_wrong"].as_f64().unwrap() - 0.3).abs() < 1e-12, "{first}");
    assert!((first["wrong_offered"].as_f64().unwrap() - 0.75).abs() < 1e-12, "{first}");
    assert!(folder.printed("").contains("not which\nwrong option drew them"));
}

/// Four candidates, three questions: one in two parts, one everybody gets, one with a slip.
fn small_class() -> String {
    let mut lines = Vec::new();
    for (candidate, marks) in [
        ("0101", [2.0, 3.0, 1.0, 2.0]),
        ("0102", [2.0, 1.0, 1.0, 0.0]),
        ("0103", [1.0, 0.0, 1.0, 0.0]),
        ("0104", [0.0, 0.0, 1.0, 1.0]),
    ] {
        let items = [(1, "a", 2.0), (1, "b", 3.0), (2, "a", 1.0), (3, "a", 2.0)];
        for ((question, part, of), marks) in items.into_iter().zip(marks) {
            let mut line = line(candidate, question, marks, of);
            line["part"] = json!(part);
            line["topic"] = json!(if question == 1 { "plain" } else { "readings" });
            lines.push(line);
        }
    }
    lines[7]["slips"] = json!(["forgot-the-dish"]);
    lines[11]["slips"] = json!(["forgot-the-dish"]);
    file(&lines)
}

#[test]
fn a_small_class_is_printed_with_a_warning_and_reasons() {
    let text = MarksFolder::with(&small_class()).printed("");
    insta::assert_snapshot!(text);
}

#[test]
fn the_rows_of_a_table_open_safely_in_a_spreadsheet() {
    let mut hostile = line("0101", 1, 1.0, 1.0);
    hostile["template"] = json!("=cmd|'/c calc'!A1");
    hostile["topic"] = json!("a \"b\", c\tand\rd");
    hostile["objective"] = json!("\t@sum");
    let text = MarksFolder::with(&file(&[hostile])).printed("--format csv");
    let text = text.strip_prefix('\u{feff}').unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(headings[..6], ["item", "template", "part", "objective", "topic", "marks"]);
    let row = reader.records().next().unwrap().unwrap();
    assert_eq!(&row[1], "'=cmd|'/c calc'!A1");
    assert_eq!((&row[3], &row[4]), ("'@sum", "a \"b\", c andd"));
    assert_eq!(&row[10], "1.000000");
    assert_eq!(&row[14], "n/a: the class is too small for two groups");
}

#[test]
fn the_names_of_the_data_do_not_change() {
    let report = MarksFolder::with(&small_class()).json("");
    let names =
        |value: &Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>().join(" ");
    assert_eq!(
        names(&report),
        "castmark_analysis title candidates absent excused withdrawn all_blank waiting unread is_small group bands \
         whole results groups sittings items options templates slips objectives caution"
    );
    assert_eq!(
        names(&report["items"][0]),
        "item template part title objective topic marks candidates full blank waiting facility facility_error \
         facility_interval upper_lower item_rest item_rest_interval alpha_without facility_in_words \
         discrimination_in_words"
    );
    assert_eq!(
        names(&report["slips"][0]),
        "template slip title candidates set says example_candidate"
    );
    assert_eq!(report["castmark_analysis"], json!(1));
    // Everybody has the mark of question 2: not nought, but not defined.
    assert_eq!(
        report["items"][2]["item_rest"],
        json!({ "value": null, "why": "everybody has the same mark" })
    );
}

#[test]
fn a_page_has_plots_that_are_told_in_words_and_nothing_from_outside() {
    let folder = MarksFolder::with(&small_class());
    let ran = folder.run("marks.jsonl --output report.html");
    assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (0, "", ""));
    let page = fs::read_to_string(folder.path("report.html")).unwrap();
    assert_eq!(page.matches("<svg").count(), 3);
    assert_eq!(page.matches("role=\"img\"").count(), 3);
    assert!(
        page.contains("<desc id=\"totals-desc\">20 to 30 %: 2 candidates; 50 to 60 %: 1 candidate")
    );
    assert!(page.contains("For teaching and self-assessment only"));
    assert!(page.contains("class=\"warning\""));
    for outside in ["<script", "<link", "src=", "url(http", "@import"] {
        assert!(!page.contains(outside), "{outside}");
    }
    let titled = small_class().replace("Midterm", "<img src=x onerror=alert(1)>");
    let page = MarksFolder::with(&titled).printed("--format html");
    assert!(!page.contains("<img") && page.contains("&lt;img"));
}

/// The bytes of the report as PDF.
#[cfg(feature = "pdf")]
#[track_caller]
fn pages(folder: &MarksFolder, arguments: &str) -> Vec<u8> {
    let ran = folder.run(&format!("marks.jsonl --output report.pdf {arguments}"));
    assert_eq!((ran.code, ran.out.as_str(), ran.err.as_str()), (0, "", ""));
    crate::unpacked::unpacked(&fs::read(folder.path("report.pdf")).unwrap())
}

#[cfg(feature = "pdf")]
fn count(bytes: &[u8], piece: &str) -> usize {
    bytes.windows(piece.len()).filter(|window| *window == piece.as_bytes()).count()
}

#[cfg(feature = "pdf")]
#[test]
fn pages_have_every_section_and_plot_of_the_web_page() {
    let folder = MarksFolder::with(&file(&with_options(&fixtures()["mcq_30x12"])));
    let made = pages(&folder, "--paper letter");
    assert!(made.starts_with(b"%PDF-1.7"));
    let page = folder.printed("--format html");
    let headings: Vec<&str> = page
        .split("<h2 id=\"section-")
        .skip(1)
        .map(|piece| piece.split(['>', '<']).nth(1).unwrap())
        .collect();
    assert!(headings.contains(&"Options one by one") && headings.contains(&"Objectives"));
    for heading in headings {
        assert!(count(&made, &format!("/Title({heading})")) > 0, "{heading} is missing");
    }
    for told in ["How many candidates had", "Facility and discrimination", "Facility by objective"]
    {
        assert_eq!(count(&made, &format!("/Alt({told}")), 1, "{told}");
    }
    for piece in
        ["<pdfuaid:part>1</pdfuaid:part>", "licensed pharmacist", "/MediaBox[0 0 612 792]", "/TH"]
    {
        assert!(count(&made, piece) > 0, "{piece} is missing");
    }
    assert!(made == pages(&folder, "--paper letter"), "the same marks give the same bytes");
}

#[cfg(feature = "pdf")]
#[test]
fn no_text_of_the_marks_breaks_the_pages() {
    let hostile =
        "#panic() ]) } \" \\ $x$ <l> </svg> \u{1f600} \u{5d0} e\u{301}\u{323} \u{1b}[31m\t";
    let mut lines = with_options(&fixtures()["mcq_30x12"]);
    for line in &mut lines {
        for name in ["template", "objective", "topic"] {
            let known = line[name].as_str().unwrap().to_owned();
            line[name] = json!(format!("{known} {hostile}"));
        }
        line["slips"] = json!([hostile]);
        for text in line["option_texts"].as_array_mut().unwrap() {
            *text =
                json!(format!("{} {hostile} {}", text.as_str().unwrap(), "long ".repeat(1_500)));
        }
    }
    let title = json!({ "castmark_marks": 1, "title": hostile }).to_string();
    let made = pages(&MarksFolder::with(&file(&lines).replacen(HEAD, &title, 1)), "");
    assert!(count(&made, "/MediaBox[0 0 595.276 841.89]") > 3);
}

#[cfg(not(feature = "pdf"))]
#[test]
fn a_program_without_pdf_says_so() {
    let folder = MarksFolder::with(&small_class());
    let refusal = "this castmark was built without PDF; build it anew with `cargo install --path . \
                   --features pdf`, or choose html, which prints from a browser";
    let ran = folder.run("marks.jsonl --output report.pdf");
    assert_eq!((ran.code, ran.err), (2, format!("castmark: {refusal}\n")));
    let ran = folder.run("marks.jsonl --format pdf --output report.pdf");
    assert_eq!(ran.code, 2);
    let begin = format!("castmark: invalid value 'pdf' for '--format <FORMAT>': {refusal}\n");
    assert!(ran.err.starts_with(&begin), "{}", ran.err);
    assert!(!folder.path("report.pdf").exists());
}

#[test]
fn the_same_marks_give_the_same_bytes_in_every_format() {
    let folder = MarksFolder::with(&small_class());
    for format in ["text", "csv", "json", "html"] {
        let arguments = format!("--format {format}");
        assert_eq!(folder.printed(&arguments), folder.printed(&arguments));
    }
}

#[test]
fn questions_in_another_order_are_the_same_items() {
    let fixtures = fixtures();
    let mut lines = of_fixture(&fixtures["published_10x10"]);
    let whole = MarksFolder::with(&file(&lines)).json("")["whole"].clone();
    for (row, line) in lines.iter_mut().enumerate() {
        let question = line["question"].as_u64().unwrap();
        line["question"] = json!((question + row as u64 / 10) % 10 + 1);
    }
    let report = MarksFolder::with(&file(&lines)).json("");
    assert_eq!(report["whole"], whole);
    assert_eq!(report["items"][0]["item"], json!("item-1"));
}

#[test]
fn what_waits_to_be_marked_by_hand_stays_out_of_the_totals() {
    let fixtures = fixtures();
    let mut lines = of_fixture(&fixtures["part_credit_12x5"]);
    let whole = MarksFolder::with(&file(&lines)).json("")["whole"].clone();
    for candidate in 1..=12 {
        let mut written = line(&format!("{candidate:04}"), 6, 0.0, 10.0);
        written["standing"] = json!("by-hand");
        written["marks"] = if candidate < 12 { json!(5) } else { Value::Null };
        written["by"] = json!("hand");
        lines.push(written);
    }
    let folder = MarksFolder::with(&file(&lines));
    let report = folder.json("");
    assert_eq!(report["whole"], whole);
    let item = &report["items"][5];
    assert_eq!((&item["waiting"], &item["facility"]["value"]), (&json!(1), &json!(0.5)));
    assert_eq!(item["item_rest"]["why"], json!("some answers wait to be marked by hand"));
    let words = folder.printed("").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("1 item is left out of the totals"), "{words}");
}

#[test]
fn an_item_that_not_all_were_set_has_only_a_facility() {
    let mut lines = of_fixture(&fixtures()["published_10x10"]);
    lines.push(line("0003", 11, 1.0, 4.0));
    let report = MarksFolder::with(&file(&lines)).json("");
    let item = &report["items"][10];
    assert_eq!(item["facility"]["value"], json!(0.25));
    assert_eq!(item["upper_lower"]["why"], json!("not every candidate was set it"));
    assert_eq!(report["whole"]["items"], json!(10));
}

#[test]
fn the_share_of_the_groups_is_a_setting() {
    let folder = MarksFolder::with(&file(&of_fixture(&fixtures()["published_10x10"])));
    assert_eq!(folder.json("")["group"], json!({ "per_cent": 27, "candidates": 3 }));
    assert_eq!(folder.json("--group 50")["group"], json!({ "per_cent": 50, "candidates": 5 }));
    assert_eq!(folder.run("marks.jsonl --group 51").code, 2);
}

#[test]
fn a_slip_is_told_in_the_words_of_the_bank_with_a_candidates_own_values() {
    let bank = castmark::bank::Bank::bundled().unwrap();
    let template = bank.find("base-one-drug").unwrap();
    let problem = castmark::problem::Problem::draw(&bank, template, 7).unwrap();
    let slip = &template.slips[1];
    let mut wrong = line("0101", 1, 0.0, 3.0);
    wrong["template"] = json!("base-one-drug");
    wrong["place"] = json!(problem.draw.place.to_string());
    wrong["slips"] = json!([slip.id]);
    let report = MarksFolder::with(&file(&[wrong])).json("");
    let says = report["slips"][0]["says"].as_str().unwrap().to_owned();
    let expected = problem.slip_says(&bank, 1);
    assert_eq!(says, expected.split_whitespace().collect::<Vec<_>>().join(" "));
    assert!(says.starts_with("You filled the cavities with base alone, "), "{says}");
}

#[track_caller]
fn refused(marks: &str, arguments: &str, expected: &str) {
    let folder = MarksFolder::with(marks);
    let ran = folder.run(arguments);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert_eq!(ran.err, format!("castmark: {expected}\n"));
}

#[test]
fn everything_wrong_with_the_marks_is_told_at_once_with_its_line() {
    let mut lines = vec![line("0101", 1, 1.0, 2.0); 9];
    for (n, line) in lines.iter_mut().enumerate() {
        line["candidate"] = json!(format!("010{n}"));
    }
    lines[1]["marks"] = json!(3);
    lines[2]["candidate"] = json!(102);
    lines[3]["standing"] = json!("fine");
    lines[4]["question"] = json!(0);
    lines[4]["template"] = Value::Null;
    lines[5] = lines[0].clone();
    lines[6]["slips"] = json!("none");
    lines[7]["marks"] = Value::Null;
    lines[8]["of"] = json!(0);
    refused(
        &format!("{}{{\n[1]\n", file(&lines)),
        "marks.jsonl",
        "the marks `marks.jsonl` cannot be used
  line 3: expected `marks` from 0 to 2, found 3; correct them
  line 4: expected a text under `candidate`, found 102; correct it
  line 5: expected one of correct, partly-correct, not-correct, not-read, by-hand, blank under `standing`, found \"fine\"; correct it
  line 6: expected a whole number from 1 under `question`, found 0; correct it
  line 6: expected a text under `template`, found null; correct it
  line 7: candidate 0100 has marks for question 1a already on line 2; keep one of them
  line 8: expected a list of texts under `slips`, found \"none\"; correct it
  line 9: expected a number from 0, whole or a half, under `marks`, found null; correct it
  line 10: expected `of` above zero, found 0; correct it
  line 11: expected a mark as JSON, found a mistake (EOF while parsing an object at line 1 column 1); use the file as it was written
  line 12: expected a mark in braces, found [1]; use the file as it was written",
    );
}

#[test]
fn the_absent_are_counted_apart_and_nobody_is_absent_and_marked() {
    let absent = |candidate: &str| json!({ "candidate": candidate, "absent": true });
    let marks = format!("{}{}\n{}\n", small_class(), absent("0105"), absent("0106"));
    let folder = MarksFolder::with(&marks);
    let text = folder.printed("");
    assert!(text.contains("2 candidates were absent and are in none of the numbers."), "{text}");
    let report = folder.json("");
    assert_eq!((&report["candidates"], &report["absent"]), (&json!(4), &json!(2)));
    let plain = MarksFolder::with(&small_class()).json("");
    assert_eq!(report["items"], plain["items"]);
    let lines = [line("0101", 1, 1.0, 2.0), absent("0101"), absent("0102"), absent("0102")];
    refused(
        &format!("{}{}\n", file(&lines), json!({ "absent": true })),
        "marks.jsonl",
        "the marks `marks.jsonl` cannot be used
  line 3: candidate 0101 is said to be absent, and is on another line too; keep one of them
  line 5: candidate 0102 is said to be absent, and is on another line too; keep one of them
  line 6: expected a text under `candidate`, found nothing; correct it",
    );
}

#[test]
fn other_files_and_other_versions_are_met_with_what_to_give_instead() {
    let something_else = "the marks `marks.jsonl` cannot be used\n  line 1: expected the head of a file of \
                          marks, found something else; give the `marks.jsonl` that was written when the class \
                          was marked";
    refused("", "marks.jsonl", something_else);
    refused("candidate,marks\n", "marks.jsonl", something_else);
    refused("{\"castmark_manifest\":1}\n", "marks.jsonl", something_else);
    refused(
        "{\"castmark_marks\":2}\n",
        "marks.jsonl",
        "the marks `marks.jsonl` cannot be used\n  line 1: expected marks of version 1, found 2; use the \
         castmark that wrote them, or a later one",
    );
    refused(
        &format!("{HEAD}\n"),
        "marks.jsonl",
        "the marks `marks.jsonl` cannot be used\n  line 1: expected a mark under the head, found none; mark a \
         class first",
    );
    refused(
        HEAD,
        "none.jsonl",
        "`none.jsonl` cannot be read: there is no such file or folder; check the name",
    );
    refused(
        HEAD,
        "marks.jsonl --output report.doc",
        &format!(
            "a file ending in .doc could hold anything; end its name in .txt, .md, .html, {}.json, .csv, or \
             say which format with --format",
            if cfg!(feature = "pdf") { ".pdf, " } else { "" }
        ),
    );
    let mut other = line("0102", 1, 1.0, 3.0);
    other["part"] = json!("a");
    refused(
        &file(&[line("0101", 1, 1.0, 2.0), other]),
        "marks.jsonl",
        "the marks `marks.jsonl` cannot be used\n  line 3: expected 2 marks for this part of `item-1` as for \
         the candidates before, found 3; mark the class by one scheme",
    );
}

#[test]
fn a_reader_who_has_gone_is_no_fault() {
    let folder = MarksFolder::with(&small_class());
    let mut child = folder
        .command("marks.jsonl")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!((output.status.code(), output.stderr.as_slice()), (Some(0), &b""[..]));
}

#[test]
fn an_answer_that_could_not_be_read_counts_and_is_told() {
    let mut lines = of_fixture(&fixtures()["published_10x10"]);
    lines[6]["standing"] = json!("not-read");
    let text = MarksFolder::with(&file(&lines)).printed("");
    assert!(text.contains("1 answer could not be read and has no marks here."), "{text}");
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(2000))]

    #[test]
    fn spoilt_marks_are_refused_or_analysed_and_never_break(
        line in 1..41_usize, cut in 0..400_usize, put in "\\PC{0,3}|[0-9.eE-]{1,4}|null|\"|\\[|\\}",
    ) {
        let lines = of_fixture(&fixtures()["perfectly_parallel_4x2"]);
        let whole = file(&lines);
        let mut texts: Vec<String> = whole.lines().map(str::to_owned).collect();
        let at = line % texts.len();
        let text = &mut texts[at];
        let cut = (0..=cut.min(text.len())).rev().find(|n| text.is_char_boundary(*n)).unwrap();
        let end = (cut + put.len()).min(text.len());
        text.replace_range(cut..end, &put);
        if let Ok(marks) = Marks::read(&texts.join("\n")) {
            let report = Report::new(&marks, ReportSettings::default(), None);
            if let Ok(report) = report {
                for format in ["text", "markdown", "html"] {
                    let (exporter, options) = (exporter(format).unwrap(), Options::default());
                    let bytes = exporter.export_report(&report, &Front::default(), &options).unwrap();
                    proptest::prop_assert!(!String::from_utf8(bytes).unwrap().contains("NaN"));
                }
            }
        }
    }
}
