//! `castmark analyse`: from a file of marks to a printed report.

#![allow(clippy::float_arithmetic, reason = "statistics are compared within a small distance")]

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use serde_json::{Value, json};

const HEAD: &str = r#"{"castmark_marks":1,"title":"Midterm"}"#;

struct Ran {
    code: i32,
    out: String,
    err: String,
}

/// A folder with a file of marks.
struct Folder(tempfile::TempDir);

impl Folder {
    fn with(marks: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("marks.jsonl"), marks).unwrap();
        Self(folder)
    }

    fn command(&self, arguments: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_castmark"));
        command.arg("analyse").args(arguments.split(' ').filter(|it| !it.is_empty()));
        command.current_dir(self.0.path()).env_remove("COLUMNS");
        command
    }

    fn run(&self, arguments: &str) -> Ran {
        let output = self.command(arguments).output().unwrap();
        Ran {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
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

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
}

fn line(candidate: &str, question: usize, marks: f64, of: f64) -> Value {
    let standing = if marks >= of {
        "right"
    } else if marks > 0.0 {
        "partly"
    } else {
        "wrong"
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
        let report = Folder::with(&file(&of_fixture(fixture))).json("");
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
    let text = Folder::with(&file(&of_fixture(&fixtures["published_10x10"]))).printed("");
    // 305/438 = 0.696, 899/1314 = 0.684 and 33/5 = 6.6; the others from the reference libraries.
    for row in [
        "mean total                     6.60 of 10 (66 %)",
        "standard deviation             2.55 marks",
        "alpha                          0.70 (95 % interval 0.31 to 0.91)",
        "KR-20                          0.70",
        "KR-21                          0.68",
        "standard error of measurement  1.40 marks",
        "1 item-1           0.67       0.71   0.14 to 0.93     0.61",
    ] {
        assert!(text.contains(row), "{row}\n{text}");
    }
}

/// The choices of the fixture, with the options of every candidate turned round by another number.
fn with_options(fixture: &Value) -> Vec<Value> {
    let key = numbers(&fixture["key"]);
    let choices: Vec<Vec<f64>> =
        fixture["choices"].as_array().unwrap().iter().map(numbers).collect();
    let mut lines = of_fixture(fixture);
    for (at, line) in lines.iter_mut().enumerate() {
        let (row, item) = (at / key.len(), at % key.len());
        let letter = |option: f64| {
            let place = (0..4).find(|place| (place + row) % 4 == option as usize).unwrap();
            ["A", "B", "C", "D"][place]
        };
        let texts: Vec<String> =
            (0..4).map(|place| format!("option {}", (place + row) % 4)).collect();
        line["options"] = json!(4);
        line["chosen"] = json!([letter(choices[row][item])]);
        line["right_options"] = json!([letter(key[item])]);
        line["option_texts"] = json!(texts);
    }
    lines
}

#[test]
fn shuffled_options_are_told_apart_by_what_they_say() {
    let fixtures = fixtures();
    let fixture = &fixtures["mcq_30x12"];
    let report = Folder::with(&file(&with_options(fixture))).json("");
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
fn letters_alone_tell_only_how_many_chose_wrong() {
    let fixtures = fixtures();
    let mut lines = with_options(&fixtures["mcq_30x12"]);
    lines.iter_mut().for_each(|line| {
        line.as_object_mut().unwrap().remove("option_texts");
    });
    let folder = Folder::with(&file(&lines));
    let first = &folder.json("")["options"][0];
    assert_eq!(first["options"], json!([]));
    assert_eq!(first["efficiency"]["why"], json!("the marks do not tell what the options said"));
    assert!((first["chose_wrong"].as_f64().unwrap() - 0.3).abs() < 1e-12, "{first}");
    assert!((first["wrong_offered"].as_f64().unwrap() - 0.75).abs() < 1e-12, "{first}");
    assert!(folder.printed("").contains("not which\nwrong option drew them"));
}
