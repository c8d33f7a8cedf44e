//! Results in the analysis: who passed and who was near, groups, other sittings, and titles in the order
//! of the blueprint.

use castmark::analysis::{Interval, Undefined, chance_of, change, difference, quantile};
use serde_json::{Value, json};

use super::{MarksFolder, fixtures, line, numbers, of_fixture, refused, with_options};

/// Check values of group differences, from the libraries that the file names.
fn reference() -> Value {
    serde_json::from_str(include_str!("../../reference/group-differences.json")).unwrap()
}

fn groups(value: &Value) -> Vec<Vec<f64>> {
    value.as_array().unwrap().iter().map(numbers).collect()
}

#[track_caller]
fn near(found: f64, wanted: &Value) {
    let wanted = wanted.as_f64().unwrap();
    assert!((found - wanted).abs() < 1e-9, "found {found}, expected {wanted}");
}

#[track_caller]
fn interval(found: Result<Interval, Undefined>, wanted: &Value) {
    let found = found.unwrap();
    near(found.low, &wanted["low"]);
    near(found.high, &wanted["high"]);
}

#[test]
fn differences_of_groups_are_those_of_the_reference_libraries() {
    let reference = reference();
    let three = groups(&reference["groups"]);
    near(chance_of(&three).unwrap(), &reference["chance_of_all"]);
    let found = difference(&three[1], &three[0]).unwrap();
    interval(found.interval, &reference["second_less_first"]);
    let pairs: Vec<(f64, f64)> = three[0].iter().copied().zip(three[1].iter().copied()).collect();
    interval(change(&pairs).unwrap().interval, &reference["first_to_second_paired"]);
    let two = groups(&reference["two_groups"]);
    near(chance_of(&two).unwrap(), &reference["chance_of_two"]);
    let found = difference(&two[0], &two[1]).unwrap();
    interval(found.interval, &reference["first_less_second_of_two"]);
    for name in ["totals", "four"] {
        let values = numbers(&reference[name]);
        let wanted = reference[format!("quartiles_of_{name}")].as_array().unwrap();
        for (share, wanted) in [0.25, 0.5, 0.75].into_iter().zip(wanted) {
            near(quantile(&values, share).unwrap(), wanted);
        }
    }
}

#[test]
fn what_groups_cannot_tell_has_its_reason() {
    assert_eq!(chance_of(&[vec![1.0, 2.0]]), Err(Undefined::FewGroups));
    assert_eq!(chance_of(&[vec![1.0], vec![2.0, 3.0]]), Err(Undefined::FewGroups));
    assert_eq!(chance_of(&[vec![1.0, 1.0], vec![2.0, 2.0]]), Err(Undefined::SameMark));
    assert_eq!(quantile(&[], 0.5), Err(Undefined::NoCandidates));
    assert_eq!(difference(&[], &[1.0]), Err(Undefined::NoCandidates));
    assert_eq!(difference(&[1.0], &[1.0]).unwrap().interval, Err(Undefined::FewCandidates));
    assert_eq!(change(&[]), Err(Undefined::NoCandidates));
}

/// The head with titles and a pass mark.
fn head(pass: &str) -> String {
    let questions: Vec<Value> = (1..=10)
        .map(|n| json!({ "planned": n, "template": format!("item-{n}"), "title": format!("Title {n}"), "of": 1 }))
        .collect();
    let grades = json!([{ "grade": "High", "from": "80 %" }]);
    json!({ "castmark_marks": 1, "title": "Midterm", "questions": questions,
            "grading": { "pass": pass, "grades": grades } })
    .to_string()
}

/// The published table of ten candidates and ten items, every other candidate in another group.
fn published() -> Vec<Value> {
    let mut lines = of_fixture(&fixtures()["published_10x10"]);
    for (at, line) in lines.iter_mut().enumerate() {
        line["group"] = json!(if at / 10 % 2 == 0 { "Monday" } else { "" });
        line["planned"] = line["question"].clone();
        // Each paper has an order of its own.
        line["question"] = json!((line["question"].as_u64().unwrap() + at as u64 / 10) % 10 + 1);
    }
    lines
}

fn text(head: &str, lines: &[Value]) -> String {
    let lines: Vec<String> = lines.iter().map(Value::to_string).collect();
    format!("{head}\n{}\n", lines.join("\n"))
}

#[test]
fn items_have_titles_in_the_order_of_the_blueprint_whatever_the_order_of_papers() {
    let mut lines = published();
    lines.reverse();
    let folder = MarksFolder::with(&text(&head("50 %"), &lines));
    let report = folder.json("");
    let items = report["items"].as_array().unwrap();
    let names: Vec<String> = items
        .iter()
        .map(|it| format!("{}: {}", it["item"], it["title"]).replace('"', ""))
        .collect();
    let wanted: Vec<String> = (1..=10).map(|n| format!("{n}: Title {n}")).collect();
    assert_eq!(names, wanted);
    let printed = folder.printed("");
    assert!(printed.contains("3 Title 3") && !printed.contains("item-3"), "{printed}");
}

#[test]
fn those_within_one_standard_error_of_the_pass_mark_are_listed() {
    // Totals 8 7 7 2 2 9 8 9 7 7 and a standard error of 1.40, of the published table.
    let folder = MarksFolder::with(&text(&head("80 %"), &published()));
    let report = folder.json("");
    let results = &report["results"];
    assert_eq!((&results["pass_mark"], &results["passed"]), (&json!("80 %"), &json!(4)));
    let near: Vec<(String, bool)> = results["near_the_pass_mark"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| (it["candidate"].as_str().unwrap().to_owned(), it["passed"].as_bool().unwrap()))
        .collect();
    let failed = ["0002", "0003", "0009", "0010"].map(|it| (it.to_owned(), false));
    let passed = ["0001", "0007", "0006", "0008"].map(|it| (it.to_owned(), true));
    assert_eq!(near, [failed, passed].concat());
    assert_eq!(
        results["grades"],
        json!([{ "grade": "High", "candidates": 4 }, { "grade": "none", "candidates": 6 }])
    );
    let words = folder.printed("").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains(
            "The pass mark is 80 %. Of 10 candidates with a final total, 4 passed (40 %)."
        ),
        "{words}"
    );
    assert_eq!(folder.json("--pass 20%")["results"]["passed"], json!(10));
    assert_eq!(
        folder.json("--pass 20%")["results"]["near_the_pass_mark"].as_array().unwrap().len(),
        2
    );
    refused(
        &text(&head("80 %"), &published()),
        "marks.jsonl --pass 11marks",
        "the pass mark cannot be used: expected at most 10 marks, found 11 marks",
    );
}

#[test]
fn groups_are_compared_and_those_without_one_are_a_group() {
    let folder = MarksFolder::with(&text(&head("80 %"), &published()));
    let report = folder.json("");
    let rows = report["groups"]["groups"].as_array().unwrap();
    let told: Vec<(&str, u64)> = rows
        .iter()
        .map(|row| (row["name"].as_str().unwrap(), row["candidates"].as_u64().unwrap()))
        .collect();
    assert_eq!(told, [("", 5), ("Monday", 5)]);
    // Monday: 8 7 2 8 7 of 10; the others: 7 2 9 9 7.
    assert_eq!(rows[1]["mean"]["value"], json!(0.64));
    assert_eq!(rows[1]["median"]["value"], json!(0.7));
    assert_eq!(rows[0]["passed"]["value"], json!(0.4));
    let printed = folder.printed("");
    assert!(printed.contains("no group") && printed.contains("64.0 %"), "{printed}");
    let plain = MarksFolder::with(&super::file(&of_fixture(&fixtures()["published_10x10"])));
    assert_eq!(plain.json("")["groups"], Value::Null);
}

#[test]
fn a_resit_is_compared_with_the_first_sitting() {
    let folder = MarksFolder::with(&text(&head("50 %"), &published()));
    // Two who failed sit again, with one question more, and one newcomer.
    let mut again = Vec::new();
    for (candidate, marks) in [("0004", 1.0), ("0005", 0.5), ("0099", 1.0)] {
        for n in 1..=3 {
            let mut of = line(candidate, n, marks, 1.0);
            of["planned"] = json!(n);
            again.push(of);
        }
    }
    std::fs::write(folder.path("resit.jsonl"), text(&head("50 %"), &again)).unwrap();
    let report = folder.json("--compare resit.jsonl");
    let sittings = &report["sittings"];
    assert_eq!(sittings["sittings"][1]["candidates"], json!(3));
    assert_eq!(sittings["questions"].as_array().unwrap().len(), 3);
    let both = &sittings["both"][0];
    let numbers: Vec<&Value> = both["candidates"].as_array().unwrap().iter().collect();
    assert_eq!(numbers[0], &json!({ "candidate": "0004", "here": 0.2, "there": 1.0 }));
    assert_eq!(numbers.len(), 2);
    // 0.2 to 1.0 and 0.2 to 0.5: a mean change of 0.55.
    assert!((both["change"]["by"].as_f64().unwrap() - 0.55).abs() < 1e-12, "{both}");
    let printed = folder.printed("--compare resit.jsonl");
    assert!(printed.contains("Candidates who sat both") && printed.contains("80.0 %"), "{printed}");
    let ran = folder.run("marks.jsonl --compare none.jsonl");
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    std::fs::write(folder.path("bad.jsonl"), "{}\n").unwrap();
    let ran = folder.run("marks.jsonl --compare bad.jsonl");
    assert!(ran.err.contains("the marks `bad.jsonl` cannot be used"), "{}", ran.err);
}

#[test]
fn a_key_is_doubted_only_when_five_have_chosen_another_option() {
    let lines = with_options(&fixtures()["mcq_30x12"]);
    let report = MarksFolder::with(&super::file(&lines)).json("");
    let mut doubted = 0;
    for item in report["options"].as_array().unwrap() {
        let options = item["options"].as_array().unwrap();
        let key = options.iter().filter(|it| it["is_right"] == true);
        let best = key.map(|it| it["upper"].as_u64().unwrap()).max().unwrap();
        for option in options.iter().filter(|it| it["is_right"] == false) {
            let chosen = option["chosen"].as_u64().unwrap();
            let draws = option["choice_rest"]["value"].as_f64().is_some_and(|r| r > 0.0)
                || option["upper"].as_u64().unwrap() > best;
            assert_eq!(option["is_suspicious"], json!(draws && chosen >= 5), "{option}");
            doubted += usize::from(draws && chosen < 5);
        }
    }
    assert!(doubted > 0, "the class shows what the rule is for");
}

#[test]
fn statuses_are_counted_apart() {
    let status = |candidate: &str, status: &str| json!({ "candidate": candidate, "absent": true, "status": status });
    let mut lines = of_fixture(&fixtures()["published_10x10"]);
    lines.extend([status("91", "excused"), status("92", "withdrawn"), status("93", "absent")]);
    let folder = MarksFolder::with(&super::file(&lines));
    let report = folder.json("");
    assert_eq!(
        (&report["absent"], &report["excused"], &report["withdrawn"]),
        (&json!(1), &json!(1), &json!(1))
    );
    assert!(
        folder.printed("").contains("1 candidate has withdrawn and is in none of the numbers.")
    );
    lines.push(status("94", "ill"));
    refused(
        &super::file(&lines),
        "marks.jsonl",
        "the marks `marks.jsonl` cannot be used\n  line 105: expected `absent`, `excused` or `withdrawn` under \
         `status`, found \"ill\"; correct it",
    );
}

#[test]
fn half_marks_are_averaged_and_thirds_refused() {
    let mut lines = vec![line("1", 1, 1.5, 2.0), line("2", 1, 0.5, 2.0)];
    let report = MarksFolder::with(&super::file(&lines)).json("");
    assert_eq!(report["items"][0]["facility"]["value"], json!(0.5));
    lines[1]["marks"] = json!(0.33);
    refused(
        &super::file(&lines),
        "marks.jsonl",
        "the marks `marks.jsonl` cannot be used\n  line 3: expected a number from 0, whole or a half, under \
         `marks`, found 0.33; correct it",
    );
}
