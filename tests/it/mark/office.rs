//! What the office does after marking: statuses, half marks, marks taken back, a second marker, and
//! results to post.

use serde_json::Value;
use std::fmt::Write as _;

use super::{BLUEPRINT, CLASS, ClassFolder, check_problems, good_answers};

/// The blueprint of the other tests in two sections, in another order for everybody, and graded.
fn graded() -> String {
    let two = BLUEPRINT.replace(
        "      - template: base-by-its-makeup",
        "  - title: \"Section B, =1+1\"\n    slots:\n      - template: base-by-its-makeup",
    );
    let shuffled =
        two.replace("  - title: Section A\n", "  - title: Section A\n    shuffle: true\n");
    shuffled.replace(
        "sections:",
        "grading:\n  pass: 60 %\n  grades:\n    - { grade: High, from: 12.5 marks }\n    \
         - { grade: Low, from: 60 % }\nsections:",
    )
}

const HAND: &str = "candidate,question,part,marks,who,why,when,second,second_who,agreed\n";

/// The answers of candidates by the questions of their own papers, in rows for each part.
fn answers(desk: &ClassFolder) -> String {
    let mut table = "candidate,question,part,answer\n".to_owned();
    for (number, problems) in ["0101", "0102", "0103"].iter().zip(&desk.papers) {
        for (question, problem) in (1..).zip(problems) {
            for part in 0..problem.parts.len() {
                let answer = super::right(problem, part);
                let letter = super::letter(part, 'a');
                writeln!(table, "{number},{question},{letter},\"{answer}\"").unwrap();
            }
        }
    }
    table
}

/// The rows of a table with the byte-order mark that spreadsheets need.
#[track_caller]
fn rows(desk: &ClassFolder, name: &str) -> Vec<Vec<String>> {
    let text = desk.read(name);
    let text = text.strip_prefix('\u{feff}').expect("a byte-order mark");
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// The number on a candidate's own paper of the question with written answers.
fn written(desk: &ClassFolder, candidate: usize) -> usize {
    let is_written =
        |problem: &castmark::problem::Problem| problem.template.id == "overheated-theobroma-oil";
    desk.papers[candidate].iter().position(is_written).unwrap() + 1
}

#[test]
fn the_table_is_in_the_order_of_the_blueprint_whatever_the_papers_order() {
    let desk = ClassFolder::with(&graded(), CLASS);
    desk.put("answers.csv", &answers(&desk));
    desk.mark("answers.csv --to marks");
    let rows = rows(&desk, "marks/marks.csv");
    assert_eq!(
        rows[0][17..],
        [
            "Section A /10",
            "Section B, =1+1 /3",
            "1. Base for one drug /4",
            "2. Overheated theobroma oil /6",
            "3. Bases by what they are made of /3"
        ]
    );
    for row in &rows[1..4] {
        assert_eq!(row[17..], ["6", "3", "4", "2", "3"], "{row:?}");
        assert_eq!(row[4..10], ["to be finished", "9", "13", "69.2", "", ""], "{row:?}");
    }
    let head: Value =
        serde_json::from_str(desk.read("marks/marks.jsonl").lines().next().unwrap()).unwrap();
    assert_eq!(head["questions"][1]["title"], "Overheated theobroma oil");
    assert_eq!(head["grading"]["pass"], "60 %");
    let planned: Vec<u64> = desk.lines().iter().filter_map(|it| it["planned"].as_u64()).collect();
    assert!(planned.iter().all(|planned| (1..=3).contains(planned)) && planned.len() == 21);
}

#[test]
fn half_marks_decide_a_grade_and_results_are_listed_by_number_without_names() {
    let desk = ClassFolder::with(&graded(), CLASS);
    desk.put("answers.csv", &answers(&desk));
    let places: Vec<usize> = (0..3).map(|candidate| written(&desk, candidate)).collect();
    desk.put(
        "hand.csv",
        &format!(
            "{HAND}0101,{},a,3.5,A,,2026-05-20,,,\n0102,{},a,3,A,,2026-05-20,,,\n\
             0103,{},a,\"0,5\",A,,2026-05-20,,,\n",
            places[0], places[1], places[2]
        ),
    );
    desk.mark("answers.csv --to marks --hand hand.csv");
    let rows_of = |desk: &ClassFolder| rows(desk, "marks/results.csv");
    assert_eq!(
        rows_of(&desk)[0],
        ["candidate", "status", "marks", "of", "per_cent", "result", "grade"]
    );
    assert_eq!(
        rows_of(&desk)[1..],
        [
            ["'-7/..", "absent", "", "", "", "", ""],
            ["0101", "marked", "12.5", "13", "96.2", "pass", "High"],
            ["0102", "marked", "12", "13", "92.3", "pass", "Low"],
            ["0103", "marked", "9.5", "13", "73.1", "pass", "Low"],
        ]
    );
    let text = desk.read("marks/results.csv");
    assert!(!text.contains("cmd"), "no names are posted: {text}");
    assert_eq!(desk.line("0101", places[0] as u64, "a")["marks"], serde_json::json!(3.5));
    let page = desk.read("marks/feedback/0001-0101.html");
    assert!(
        page.contains("Together 12.5 of 13 marks, 96.2\u{a0}%.") && page.contains("Grade: High.")
    );
    // Another pass mark is kept when the class is marked again without one.
    desk.mark("answers.csv --to marks --pass 75%");
    assert_eq!(rows_of(&desk)[4][5], "fail");
    desk.mark("answers.csv --to marks");
    assert_eq!(rows_of(&desk)[4][5], "fail");
}

#[test]
fn what_cannot_be_a_pass_mark_or_a_grade_is_refused() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    for (arguments, expected) in [
        ("--pass 50", "expected per cent or marks such as `50 %` or `40 marks`, found `50`"),
        ("--pass 101%", "expected at most 100 %, found 101 %"),
        ("--pass 14marks", "expected at most 13 marks, found 14 marks"),
        ("--grade Low=40% --grade High=60%", "expected grades from the highest to the lowest"),
        ("--grade Low=40% --grade Low=30%", "expected each grade once, found `Low` twice"),
        ("--grade 60%", "expected a grade such as `Distinction=75 %`, found `60%`"),
    ] {
        let said = desk.refused(&format!("answers.csv --to marks {arguments}"));
        assert!(said.contains(expected), "{arguments}: {said}");
    }
    assert!(!desk.path("marks").exists());
}

#[test]
fn a_candidate_without_answers_has_the_status_that_the_office_gives() {
    let desk = ClassFolder::new();
    let table = good_answers(&desk).replace("candidate,", "status,candidate,");
    let mut rows_in: Vec<String> = table.lines().map(str::to_owned).collect();
    for row in &mut rows_in[1..] {
        row.insert(0, ',');
    }
    rows_in[2] = "excused,0102,,,,,,,".to_owned();
    rows_in[3] = "Withdrawn,0103,,,,,,,".to_owned();
    desk.put("answers.csv", &(rows_in.join("\n") + "\n"));
    let said = desk.mark("answers.csv --to marks");
    for told in
        ["without any answers: -7/..", "1 candidate excused: 0102", "1 candidate withdrawn: 0103"]
    {
        assert!(said.contains(told), "{said}");
    }
    let statuses: Vec<String> =
        rows(&desk, "marks/marks.csv")[1..].iter().map(|row| row[4].clone()).collect();
    assert_eq!(statuses, ["to be finished", "excused", "withdrawn", "absent"]);
    let lines = desk.lines();
    let status = |number: &str| {
        lines.iter().find(|it| it["candidate"] == number && it["absent"] == true).unwrap()["status"]
            .clone()
    };
    assert_eq!(
        [status("0102"), status("0103"), status("-7/..")],
        ["excused", "withdrawn", "absent"]
    );
    desk.put("answers.csv", "candidate,status,1a\n0101,ill,\n0102,excused,1 g\n0103,,\n");
    check_problems(
        &desk.refused("answers.csv --to other"),
        &[
            "line 2, column `status`: expected `absent`, `excused`, `withdrawn`, `blank` or nothing, found \
             `ill`; write one of these",
            "line 3, column `status`: candidate 0102 is said to be excused, and has answers in the same \
             row; remove one of the two",
            "line 4: candidate 0103 has a row but no answer; write `absent`, `excused`, `withdrawn` or \
             `blank` in it, or remove the row",
        ],
    );
}

#[test]
fn the_word_blank_alone_is_a_paper_left_blank_and_beside_an_answer_an_answer() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", "candidate,1a,1b\n0101,blank,2 g\n0102,Blank,\n0103,2 g,\n");
    desk.mark("answers.csv --to marks");
    let standing = |number: &str, part: &str| desk.line(number, 1, part)["standing"].clone();
    assert_eq!(standing("0101", "a"), "not-read");
    assert_eq!([standing("0102", "a"), standing("0102", "b")], ["blank", "blank"]);
    assert_eq!(desk.line("0103", 1, "a")["answer"], "2 g");
}

#[test]
fn a_paper_is_said_to_be_blank_in_either_table_and_never_beside_answers() {
    let desk = ClassFolder::new();
    let standings = |table: &str| {
        desk.put("answers.csv", table);
        desk.mark("answers.csv --to marks");
        ["0101", "0102"].map(|number| desk.line(number, 1, "a")["standing"].clone())
    };
    let wide = standings("candidate,status,1a\n0101,blank,\n0102,BLANK,blank\n0103,,2 g\n");
    assert_eq!(wide, ["blank", "blank"]);
    let long = "candidate,status,question,part,answer\n0101,blank,,,\n0102,,1,a,\n0103,,1,a,2 g\n";
    assert_eq!(standings(long), ["blank", "blank"]);
    let said = |table: &str, problems: &[&str]| {
        desk.put("answers.csv", table);
        check_problems(&desk.refused("answers.csv --to other"), problems);
    };
    said(
        "candidate,status,1a\n0101,blank,3 g\n0102,blank,absent\n",
        &[
            "line 2, column `status`: candidate 0101 is said to have left the paper blank, and has \
             answers in the same row; remove one of the two",
            "line 3, column `status`: candidate 0102 is said to have left the paper blank, and has \
             answers in the same row; remove one of the two",
        ],
    );
    said(
        "candidate,status,question,part,answer\n0101,blank,,,\n0101,,1,a,3 g\n0102,blank,,,\n\
         0102,absent,,,\n0103,,,a,3 g\n",
        &[
            "line 2: candidate 0101 is said to have left the paper blank on this line, and has answers \
             on another; remove one of the two",
            "line 5: candidate 0102 is already on line 4; remove one of the two lines",
            "line 6, column `question`: expected a question from 1 to 3, found a blank; look at the \
             number",
        ],
    );
}

#[test]
fn a_mark_by_hand_that_is_withdrawn_gives_the_part_back() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.put(
        "hand.csv",
        &format!("{HAND}0101,2,a,3,A,,2026-05-20,,,\n0101,1,a,0,A,unit,2026-05-20,,,\n"),
    );
    desk.mark("answers.csv --to marks --hand hand.csv");
    assert_eq!(desk.line("0101", 1, "a")["marks"], 0);
    desk.put(
        "back.csv",
        &format!(
            "{HAND}0101,2,a,withdraw,B,wrong script,2026-05-21,,,\n\
             0101,1,a,Withdraw,B,the unit was there,2026-05-21,,,\n"
        ),
    );
    desk.mark("answers.csv --to marks --hand back.csv");
    let line = desk.line("0101", 1, "a");
    assert_eq!(
        (&line["marks"], &line["by"], &line["hand"]),
        (&1.into(), &"program".into(), &Value::Null)
    );
    assert_eq!(desk.line("0101", 2, "a")["standing"], "by-hand");
    assert_eq!(desk.read("marks/hand.jsonl").lines().count(), 4);
    // Handed in again, neither table changes anything; a new mark holds again.
    desk.mark("answers.csv --to marks --hand hand.csv");
    assert_eq!(desk.line("0101", 1, "a")["by"], "program");
    desk.put("hand.csv", &format!("{HAND}0101,2,a,2,B,,2026-05-22,,,\n"));
    desk.mark("answers.csv --to marks --hand hand.csv");
    assert_eq!(desk.line("0101", 2, "a")["marks"], 2);
    desk.put("back.csv", &format!("{HAND}0101,2,a,withdraw,B,,2026-05-23,1,C,\n"));
    check_problems(
        &desk.refused("answers.csv --to marks --hand back.csv"),
        &[
            "line 2, column `second`: expected nothing beside a mark that is withdrawn, found marks; \
             remove them",
            "line 2, column `why`: expected why the mark is changed, found a blank; say it in a few words",
        ],
    );
}

#[test]
fn two_markers_who_differ_are_listed_until_they_agree() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.put(
        "hand.csv",
        &format!(
            "{HAND}0101,2,a,3,A,,2026-05-20,3,B,\n0102,2,a,2.5,A,,2026-05-20,1,B,\n\
             0103,2,a,1,A,,2026-05-20,,,\n"
        ),
    );
    let said = desk.mark("answers.csv --to marks --hand hand.csv");
    assert!(said.contains("2 answers marked by two: 1 alike, the widest difference 1.5"), "{said}");
    assert!(said.contains("1 answer to be settled between two markers"), "{said}");
    let table = rows(&desk, "marks/differences.csv");
    assert_eq!(table.len(), 2);
    assert_eq!(
        table[0][7..],
        ["marks", "who", "second", "second_who", "difference", "agreed", "why", "when"]
    );
    assert_eq!(table[1][7..], ["2.5", "A", "1", "B", "1.5", "", "", "2026-05-20"]);
    assert_eq!(rows(&desk, "marks/marks.csv")[2][4], "to be finished");
    // What is filled in is not lost, and settles it when it is handed back.
    let filled =
        desk.read("marks/differences.csv").replace(",1.5,,,2026-05-20", ",1.5,2,agreed,2026-05-21");
    desk.put("marks/differences.csv", &filled);
    let said = desk.refused("answers.csv --to marks");
    assert!(said.contains("`marks/differences.csv` has been filled in"), "{said}");
    desk.mark("answers.csv --to marks --hand marks/differences.csv");
    assert_eq!(desk.line("0102", 2, "a")["marks"], 2);
    assert_eq!(desk.line("0102", 2, "a")["hand"]["second"], 1);
    assert_eq!(rows(&desk, "marks/marks.csv")[2][4], "marked");
    let page = desk.read("marks/feedback/0002-0102.html");
    assert!(page.contains("Marked by hand by A and B on 2026-05-21: agreed"), "{page}");
}

#[test]
fn what_a_second_marker_leaves_out_is_told() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.put(
        "hand.csv",
        &format!(
            "{HAND}0101,2,a,,A,,2026-05-20,3,B,\n0102,2,a,2,A,,2026-05-20,1,,\n\
             0103,2,a,1,A,,2026-05-20,2,a,\n0103,1,a,1,A,x,2026-05-20,,,1\n0102,1,a,1,A,x,2026-05-20,1.25,B,9\n"
        ),
    );
    check_problems(
        &desk.refused("answers.csv --to marks --hand hand.csv"),
        &[
            "line 2, column `marks`: expected the marks of the first marker, found a blank; give them too",
            "line 3, column `second_who`: expected who the second marker is, found a blank; give initials \
             or a name",
            "line 4, column `second_who`: expected another marker than the first, found `a` again; give \
             the other's initials",
            "line 5, column `second`: expected the marks of the second marker beside what was agreed, \
             found a blank; give them, or write one mark under `marks`",
            "line 6, column `second`: expected marks from 0 to 1, whole or half, found `1.25`; check the marks",
            "line 6, column `agreed`: expected marks from 0 to 1, whole or half, found `9`; check the marks",
        ],
    );
}

#[test]
fn feedback_repeats_the_question_and_the_right_answer_where_another_was_given() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", "candidate,1a,3a\n0101,99 g,A B C\n");
    desk.mark("answers.csv --to marks");
    let page = desk.read("marks/feedback/0001-0101.html");
    let words = |text: &str| text.replace('\u{a0}', " ");
    let page = words(&page);
    let problem = &desk.papers[0][0];
    let stem = problem.stem.iter().flat_map(|block| block.texts()).next().unwrap();
    let opening: String = stem.chars().take_while(|letter| *letter != '.').collect();
    assert!(page.contains(&words(&opening)), "{opening}\n{page}");
    assert!(page.contains(&format!("Right answer: {}", super::right(problem, 0))), "{page}");
    assert!(page.contains("A full answer makes these points:"), "{page}");
    assert!(page.contains("<ul class=\"lettered\">") && page.contains("<li>A. "), "{page}");
    assert!(page.contains("<th scope=\"row\">of</th><td>4</td>"), "{page}");
}
