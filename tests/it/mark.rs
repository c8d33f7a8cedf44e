//! Marking a class: every answer finds its place or is told, marks given by hand are kept, and the
//! same input gives the same bytes.

#[cfg(feature = "pdf")]
#[path = "mark/pages.rs"]
mod pages;
#[path = "mark/office.rs"]
mod office;
#[path = "mark/rules.rs"]
mod rules;
#[path = "mark/simulated.rs"]
mod simulated;

use std::collections::BTreeMap;
use std::fs;

use castmark::bank::{Bank, Blueprint, SourceText};
use castmark::paper::{Answers, Asked, ClassList, HandMarks, PaperSet, Secret};
use castmark::problem::{Problem, Response, letter};
use castmark::quantity::Quantity;
use proptest::prelude::*;
use serde_json::Value;

use super::program::{Folder, Ran, files};

const BLUEPRINT: &str = "\
castmark: 1
id: marked
title: Marked <paper>
minutes: 30
sections:
  - title: Section A
    slots:
      - template: base-one-drug
      - template: overheated-theobroma-oil
      - template: base-by-its-makeup
";

const CLASS: &str = "candidate,name\n0101,\"=cmd, <b>x\"\n0102,\n0103,\n-7/..,\n";

/// A folder with the manifest of a class, in which the program is run.
struct ClassFolder {
    folder: Folder,
    papers: Vec<Vec<Problem>>,
    /// For each question of each paper, which of the blueprint it is.
    planned: Vec<Vec<usize>>,
}

impl std::ops::Deref for ClassFolder {
    type Target = Folder;

    fn deref(&self) -> &Folder {
        &self.folder
    }
}

impl ClassFolder {
    fn new() -> Self {
        Self::with(BLUEPRINT, CLASS)
    }

    fn with(text: &str, class: &str) -> Self {
        let bank = Bank::bundled().unwrap();
        let source = SourceText::new("marked.yaml", text.to_owned());
        let blueprint = Blueprint::read(source, &bank).unwrap_or_else(|report| panic!("{report}"));
        let class = ClassList::read(class.as_bytes()).unwrap().candidates;
        let secret = Secret::new([7; 32]);
        let set = PaperSet::make(&bank, &blueprint, &secret, &class, None, 0, None).unwrap();
        let papers = set.papers.iter().map(|paper| paper.problems(&bank, &blueprint, "0").unwrap());
        let papers = papers.collect();
        let order =
            set.papers.iter().map(|paper| paper.questions.iter().map(|it| it.planned).collect());
        let planned = order.collect();
        let folder = Folder::with(&[("manifest.jsonl", &set.write())]);
        Self { folder, papers, planned }
    }

    fn run(&self, more: &str) -> Ran {
        self.folder.run(&format!("mark manifest.jsonl {more}"))
    }

    /// Marks and gives what was said on standard error.
    #[track_caller]
    fn mark(&self, more: &str) -> String {
        self.run(more).done().err
    }

    /// What was said by a run that could do nothing.
    #[track_caller]
    fn refused(&self, more: &str) -> String {
        self.run(more).refused()
    }

    /// The marks of all parts.
    fn lines(&self) -> Vec<Value> {
        let text = self.read("marks/marks.jsonl");
        text.lines().skip(1).map(|line| serde_json::from_str(line).unwrap()).collect()
    }

    /// The marks of one part.
    #[track_caller]
    fn line(&self, candidate: &str, question: u64, part: &str) -> Value {
        let mut lines = self.lines();
        lines.retain(|it| {
            it["candidate"] == candidate && it["question"] == question && it["part"] == part
        });
        assert_eq!(lines.len(), 1, "{candidate} {question} {part}");
        lines.remove(0)
    }
}

/// A right answer, as a careful candidate writes it.
fn right(problem: &Problem, part: usize) -> String {
    let letters = |places: &[usize]| {
        places.iter().map(|place| letter(*place, 'A')).collect::<Vec<_>>().join(" ")
    };
    match &problem.parts[part].response {
        Response::Number(key) => Quantity::new(key.shown, key.unit).to_string(),
        Response::Choice(key) => {
            letters(&(0..key.right.len()).filter(|it| key.right[*it]).collect::<Vec<_>>())
        }
        Response::Verdict(key) => letter(key.right, 'A'),
        Response::Judgement(key) => match key.right {
            Some(reason) => format!("{} {}", key.truth, letter(reason, 'A')),
            None => key.truth.to_string(),
        },
        Response::Matching(key) => letters(&key.answers),
        Response::Ordering(key) => letters(&key.order),
        Response::Text(key) => key.answers[0].clone(),
        Response::Range(key) => format!("{} to {} {}", key.low, key.high, key.unit.symbol()),
        Response::Written(_) => "a fatty base, because aspirin and water do not agree".to_owned(),
    }
}

/// A table with a row for each candidate, all answers right but those of the last, who is absent.
fn good_answers(desk: &ClassFolder) -> String {
    let mut table = "candidate,1a,1b,1c,2a,2b,3a,3b\n".to_owned();
    for (number, problems) in ["0101", "0102", "0103"].iter().zip(&desk.papers) {
        let mut row = vec![(*number).to_owned()];
        for problem in problems {
            row.extend(
                (0..problem.parts.len()).map(|part| format!("\"{}\"", right(problem, part))),
            );
        }
        table.push_str(&row.join(","));
        table.push('\n');
    }
    table
}

#[test]
fn a_large_class_can_be_marked_without_a_page_for_each_candidate() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to marks");
    let with_pages = desk.read("marks/marks.jsonl");
    desk.mark("answers.csv --to marks --no-pages");
    let names: Vec<String> = files(&desk.path("marks")).into_iter().map(|(name, _)| name).collect();
    assert_eq!(names, ["by-hand.csv", "marks.csv", "marks.jsonl", "results.csv"]);
    assert_eq!(desk.read("marks/marks.jsonl"), with_pages);
    let said = desk.refused("answers.csv --to marks --no-pages --solutions");
    assert!(said.contains("--no-pages") && said.contains("--solutions"), "{said}");
}

#[test]
fn a_class_is_marked_from_its_answers_to_the_pages_for_candidates() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    let said = desk.mark("answers.csv --to marks --solutions");
    assert_eq!(
        said,
        "castmark: marks of 3 candidates in marks\n\
         castmark: 1 candidate without any answers: -7/..\n\
         castmark: 3 written answers to be marked by hand: fill in by-hand.csv and give it with --hand\n"
    );
    let names: Vec<String> = files(&desk.path("marks")).into_iter().map(|(name, _)| name).collect();
    assert_eq!(
        names,
        [
            "by-hand.csv",
            "feedback/0001-0101.html",
            "feedback/0002-0102.html",
            "feedback/0003-0103.html",
            "marks.csv",
            "marks.jsonl",
            "results.csv",
            "results.html",
            "solutions/0001-0101.html",
            "solutions/0002-0102.html",
            "solutions/0003-0103.html",
        ]
    );
    let posted = desk.read("marks/results.html");
    for told in ["Candidate", "Per cent", "0101", castmark::export::CAUTION] {
        assert!(posted.contains(told), "the list to post lacks {told:?}");
    }
    assert!(!posted.contains("=cmd"), "no name stands on the list to post");
    let table = desk.read("marks/marks.csv");
    let rows: Vec<&str> = table.lines().collect();
    assert_eq!(
        rows[0],
        "\u{feff}candidate,name,group,paper,status,marks,of,per_cent,result,grade,method,accuracy,\
         follow_through,to_mark_by_hand,to_settle,unread,blank,1. Base for one drug /4,2. Overheated \
         theobroma oil /6,3. Bases by what they are made of /3"
    );
    assert!(rows[1].starts_with("0101,\"'=cmd, <b>x\",,"), "{}", rows[1]);
    assert!(rows[1].ends_with(",to be finished,9,13,69.2,,,1,3,0,1,0,0,0,4,2,3"), "{}", rows[1]);
    assert!(rows[4].starts_with("'-7/..,,,") && rows[4].contains(",absent,,"), "{}", rows[4]);
    let head: Value =
        serde_json::from_str(desk.read("marks/marks.jsonl").lines().next().unwrap()).unwrap();
    assert_eq!((&head["castmark_marks"], &head["title"]), (&1.into(), &"Marked <paper>".into()));
    let page = desk.read("marks/feedback/0001-0101.html");
    assert!(page.contains("Marked &lt;paper&gt;: candidate 0101") && page.contains("licensed"));
    assert!(page.contains("=cmd, &lt;b&gt;x") && !page.contains("<b>x"), "{page}");
    assert!(page.contains("../solutions/0001-0101.html"));
}

#[test]
fn the_lines_for_analysis_have_their_names() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to marks");
    let line = desk.line("0102", 2, "b");
    let names: Vec<&str> = line.as_object().unwrap().keys().map(String::as_str).collect();
    let expected = [
        "castmark_marks",
        "candidate",
        "paper",
        "question",
        "part",
        "template",
        "place",
        "marks",
        "of",
        "standing",
        "slips",
        "chosen",
        "options",
        "right_options",
        "objective",
        "topic",
        "by",
    ];
    assert_eq!(names[..expected.len()], expected);
    assert_eq!(line["standing"], "correct");
    assert_eq!(line["chosen"], line["right_options"]);
    assert_eq!(
        Some(line["option_texts"].as_array().unwrap().len()),
        line["options"].as_u64().and_then(|count| usize::try_from(count).ok())
    );
    assert_eq!(desk.line("0102", 2, "a")["standing"], "by-hand");
}

#[test]
fn the_lines_for_analysis_name_the_slip_made_and_the_options_chosen() {
    let desk = ClassFolder::new();
    let (base, oil) = (&desk.papers[0][0], &desk.papers[0][1]);
    let whole_drug = base.template.slips.iter().position(|it| it.id == "whole-drug-subtracted");
    let slips = &base.parts[2].response.number().unwrap().slips;
    let slip = slips.iter().find(|it| Some(it.slip) == whole_drug).unwrap();
    let Response::Choice(key) = &oil.parts[1].response else { panic!() };
    let wrong = key.right.iter().position(|right| !right).unwrap();
    let (number, chosen) = (&slip.value, letter(wrong, 'A'));
    desk.put("answers.csv", &format!("candidate,1c,2b\n0101,{number} g,{chosen}\n"));
    desk.mark("answers.csv --to marks");
    let names = |line: &Value, field: &str| -> Vec<String> {
        let all = line[field].as_array().unwrap().iter();
        all.map(|name| name.as_str().unwrap().to_owned()).collect()
    };
    let line = desk.line("0101", 1, "c");
    assert!(names(&line, "slips").contains(&"whole-drug-subtracted".to_owned()), "{line}");
    let line = desk.line("0101", 2, "b");
    assert_eq!(names(&line, "chosen"), [chosen]);
    let rights = right(oil, 1);
    assert_eq!(names(&line, "right_options"), rights.split(' ').collect::<Vec<_>>());
    let texts: Vec<&str> = key.options.iter().map(|option| option.text.as_str()).collect();
    assert_eq!(names(&line, "option_texts"), texts);
}

#[test]
fn rows_for_each_part_and_rows_for_each_candidate_are_marked_alike_in_either_format() {
    let desk = ClassFolder::new();
    let wide = good_answers(&desk);
    desk.put("answers.csv", &wide);
    desk.mark("answers.csv --to marks");
    let first = files(&desk.path("marks"));
    let mut reader = csv::Reader::from_reader(wide.as_bytes());
    let headings = reader.headers().unwrap().clone();
    let (mut long, mut lines, mut objects) = (vec![], String::new(), String::new());
    for row in reader.records() {
        let row = row.unwrap();
        let mut object = serde_json::Map::new();
        object.insert("candidate".to_owned(), row[0].into());
        for (heading, answer) in headings.iter().zip(&row).skip(1) {
            let (question, part) = heading.split_at(1);
            long.push(format!("\"{answer}\",{part},,{question},{}\r\n", &row[0]));
            let line = serde_json::json!({ "answer": answer, "candidate": row[0],
                "question": question.parse::<u32>().unwrap(), "part": part });
            lines.extend([line.to_string(), "\n".to_owned()]);
            object.insert(heading.to_owned(), answer.into());
        }
        objects.extend([Value::Object(object).to_string(), "\n\n".to_owned()]);
    }
    // The order of rows and columns does not matter.
    long.reverse();
    let long = format!("\u{feff}Answer,Part,group,QUESTION,candidate\r\n{}", long.concat());
    for (name, text) in [("long.csv", long), ("lines.jsonl", lines), ("objects.jsonl", objects)] {
        desk.put(name, &text);
        desk.mark(&format!("{name} --to marks"));
        assert_eq!(files(&desk.path("marks")), first, "{name}");
    }
}

#[test]
fn semicolons_stand_for_commas_where_a_comma_is_the_decimal_sign() {
    let desk = ClassFolder::new();
    let answer = right(&desk.papers[0][0], 0).replace('.', ",");
    desk.put("answers.csv", &format!("candidate;question;part;answer\r\n0101;1;a;{answer}\r\n"));
    desk.put(
        "hand.csv",
        "candidate;question;part;marks;who;why;when\n0101;2;a;1;A, B;;2026-05-20\n",
    );
    desk.mark("answers.csv --to marks --hand hand.csv");
    assert_eq!(desk.line("0101", 1, "a")["standing"], "correct");
    assert_eq!(desk.line("0101", 2, "a")["hand"]["who"], "A, B");
    desk.put("answers.csv", "candidate;question;part;answer\n0101;1;a;1;2\n");
    check_problems(
        &desk.refused("answers.csv --to marks"),
        &[
            "line 2: expected 4 fields, found 5; put a field that holds a semicolon in double quotes",
        ],
    );
}

#[test]
fn who_has_the_paper_in_large_print_has_the_feedback_in_large_print() {
    let desk = ClassFolder::with(BLUEPRINT, "candidate,needs\n1,large print\n2,\n");
    desk.put("answers.csv", "candidate,1a\n1,x\n2,x\n");
    desk.mark("answers.csv --to marks");
    assert!(desk.read("marks/feedback/0001-1.html").contains("<body class=\"large\">"));
    assert!(desk.read("marks/feedback/0002-2.html").contains("<body>"));
}

#[cfg(not(feature = "pdf"))]
#[test]
fn pages_that_are_there_are_not_dropped_by_a_program_without_pdf() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to marks");
    desk.put("marks/feedback/0001-0101.pdf", "pages");
    let said = desk.refused("answers.csv --to marks");
    assert!(
        said.contains("are there end in .pdf, which this castmark was built without"),
        "{said}"
    );
    assert_eq!(desk.read("marks/feedback/0001-0101.pdf"), "pages");
    desk.mark("answers.csv --to marks --format html");
    assert!(!desk.path("marks/feedback/0001-0101.pdf").exists());
}

#[test]
fn what_an_interrupted_run_left_is_put_right() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.put("hand.csv", "candidate,question,part,marks,who,why,when\n0101,2,a,1,A,,2026-01-31\n");
    desk.mark("answers.csv --to marks --hand hand.csv");
    let marks = files(&desk.path("marks"));
    // Stopped between the two renames, with a draft half written: the marks by hand are not lost.
    fs::create_dir_all(desk.path(".marks.draft-4000000.castmark/feedback")).unwrap();
    fs::rename(desk.path("marks"), desk.path(".marks.replaced.castmark")).unwrap();
    desk.mark("answers.csv --to marks");
    assert_eq!(files(&desk.path("marks")), marks);
    let left = fs::read_dir(desk.root()).unwrap().count();
    assert_eq!(left, 4, "manifest, answers, marks by hand and marks");
}

#[test]
fn marking_again_gives_the_same_bytes() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to marks --solutions");
    let first = files(&desk.path("marks"));
    desk.mark("answers.csv --to marks --solutions");
    assert_eq!(files(&desk.path("marks")), first);
    let left = fs::read_dir(desk.root()).unwrap().count();
    assert_eq!(left, 3, "manifest, answers and marks");
}

#[test]
fn a_draft_changes_nothing_and_tells_what_would_be() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    let output = desk.run("answers.csv --to marks --draft");
    assert_eq!(output.code, 0, "{output:?}");
    assert_eq!(
        output.out,
        "candidate   marks  of  before  by hand  not read  blank\n\
         0101            9  13       -        1         0      0\n\
         0102            9  13       -        1         0      0\n\
         0103            9  13       -        1         0      0\n\
         -7/..      absent\n\
         \n\
         A draft: nothing was written to marks.\n"
    );
    assert!(!desk.path("marks").exists());
    desk.mark("answers.csv --to marks");
    let before = files(desk.root());
    desk.put("other.csv", "candidate,1a\n0101,wrong\n");
    let output = desk.run("other.csv --to marks --draft");
    let said = output.out;
    assert!(said.contains("0101            0  13       9        0         1      6\n"), "{said}");
    fs::remove_file(desk.path("other.csv")).unwrap();
    assert_eq!(files(desk.root()), before);
}

/// What is said of answers or marks by hand, without what is said of the file.
#[track_caller]
fn check_problems(said: &str, expected: &[&str]) {
    let lines: Vec<&str> = said.lines().filter_map(|line| line.strip_prefix("  ")).collect();
    assert_eq!(lines, expected, "{said}");
    assert!(said.ends_with("nothing was marked\n"), "{said}");
}

#[test]
fn everything_wrong_with_a_table_for_each_candidate_is_told_at_once() {
    let desk = ClassFolder::new();
    desk.put(
        "answers.csv",
        "\u{feff}1a,candidate,1d,2,9a,paper,3A\r\n1,101,,,,,\r\n\r\n1,0101,2,3,4,aaaa-aaaaa,x\r\n\
         ,0101,,,,,\r\n1,2\r\n1,,,,,,\r\n,0102,,,,,\r\n",
    );
    let said = desk.refused("answers.csv --to marks");
    let code = desk.read("manifest.jsonl");
    let paper: Value = serde_json::from_str(code.lines().nth(1).unwrap()).unwrap();
    let wrong_code = format!(
        "line 4, column `paper`: expected {}, the code of the paper of candidate 0101, found \
         `aaaa-aaaaa`; find out whose answers these are",
        paper["paper"].as_str().unwrap()
    );
    check_problems(
        &said,
        &[
            "line 2, column `candidate`: there is no candidate `101`, but there is `0101`; has a \
             spreadsheet taken the zeros away?",
            &wrong_code,
            "line 4, column `1d`: question 1 of candidate 0101 has the parts a, b and c, found `d`; \
             look at the part",
            "line 4, column `2`: question 2 of candidate 0101 has the parts a and b, found a blank; \
             look at the part",
            "line 4, column `9a`: expected a question from 1 to 3, found `9`; look at the number",
            "line 5, column `candidate`: candidate 0101 is already on line 4; remove one of the \
             two lines",
            "line 6: expected 7 fields, found 2; put a field that holds a comma in double quotes",
            "line 7, column `candidate`: expected a candidate number, found a blank; give one",
            "line 8: candidate 0102 has a row but no answer; write `absent`, `excused`, `withdrawn` or \
             `blank` in it, or remove the row",
        ],
    );
    assert!(!desk.path("marks").exists());
}

#[test]
fn everything_wrong_with_a_table_for_each_part_is_told_at_once() {
    let desk = ClassFolder::new();
    desk.put(
        "answers.csv",
        "candidate,question,part,answer\n0101,1,a,1 g\n0101,q1,(A),2 g\n0101,0,a,x\n0101,2,,x\n\
         9999,1,a,x\n0101,one,a,x\n0102,1,drug_mass,x\n0102,1,nothing,x\n",
    );
    check_problems(
        &desk.refused("answers.csv --to marks"),
        &[
            "line 3, column `answer`: question 1 (a) of candidate 0101 is answered already on line \
             2; remove one of the two",
            "line 4, column `question`: expected a question from 1 to 3, found `0`; look at the \
             number",
            "line 5, column `part`: question 2 of candidate 0101 has the parts a and b, found a \
             blank; look at the part",
            "line 6, column `candidate`: there is no candidate `9999` in the manifest; look at the \
             number, or at the manifest",
            "line 7, column `question`: expected a question from 1 to 3, found `one`; look at the \
             number",
            "line 9, column `part`: question 1 of candidate 0102 has the parts a, b and c, found \
             `nothing`; look at the part",
        ],
    );
}

#[test]
fn everything_wrong_with_json_lines_is_told_at_once() {
    let desk = ClassFolder::new();
    desk.put(
        "answers.jsonl",
        "{\"candidate\":\"0101\",\"question\":1,\"part\":\"a\",\"answer\":0.50}\n\
         {\"candidate\":\"0101\",\"1a\":\"x\",\"1a\":\"y\"}\n[1]\n{\"candidate\":\"0101\",\n\
         {\"candidate\":\"0101\",\"question\":\"1\",\"part\":\"a\",\"answer\":\"x\"}\n\
         {\"candidate\":\"0101\",\"1a\":\"z\"}\n{\"candidate\":\"0102\",\"1a\":null,\"score\":\"3\"}\n\
         {\"candidate\":\"0102\",\"question\":1,\"part\":\"a\",\"answer\":3}\n\
         {\"candidate\":\"0102\",\"question\":1.0,\"part\":\"a\",\"answer\":\"3\"}\n",
    );
    let object = "expected an object such as {\"candidate\":\"0101\",\"question\":\"1\",\
                  \"part\":\"a\",\"answer\":\"3.2 g\"}, found something else";
    check_problems(
        &desk.refused("answers.jsonl --to marks"),
        &[
            "line 1, column `answer`: expected a text in double quotes, found something else; write \
             \"0.90\", so that it stays as it was written",
            "line 2, column `1a`: expected the heading once, found it twice; remove or rename one",
            &format!("line 3: {object} (invalid type: sequence, expected an object)"),
            &format!("line 4: {object} (EOF while parsing a value)"),
            "line 6, column `1a`: question 1 (a) of candidate 0101 is answered already on line 5; \
             remove one of the two",
            "line 7, column `score`: expected `candidate`, `paper`, `question`, `part`, `answer`, \
             `name`, `group`, or a question with its part such as `1a`, found another heading; \
             rename or remove the column",
            "line 8, column `answer`: expected a text in double quotes, found something else; write \
             \"0.90\", so that it stays as it was written",
            "line 9, column `question`: expected a text in double quotes, found something else; write \
             \"0.90\", so that it stays as it was written",
        ],
    );
}

#[test]
fn an_answer_of_more_than_twenty_thousand_letters_is_refused() {
    let desk = ClassFolder::new();
    let with = |letters: usize| {
        let answer = "x".repeat(letters);
        desk.put("answers.csv", &format!("candidate,question,part,answer\n0101,1,a,{answer}\n"));
    };
    with(20_000);
    let _ = desk.run("answers.csv --to marks").done();
    with(20_001);
    check_problems(
        &desk.refused("answers.csv --to more"),
        &[
            "line 2, column `answer`: expected at most 20000 characters, found more; is a quotation mark \
           missing?",
        ],
    );
}

#[test]
fn json_lines_are_known_by_the_first_that_is_not_blank_and_read_up_to_one_that_is_no_text() {
    let desk = ClassFolder::new();
    let said = |bytes: &[u8]| {
        fs::write(desk.path("answers.jsonl"), bytes).unwrap();
        desk.refused("answers.jsonl --to marks")
    };
    let other_bytes = "expected text in UTF-8, found other bytes; save the file again as UTF-8";
    let zero = "expected text, found a zero byte; save the file again as UTF-8 text";
    let line = |candidate| format!("{{\"candidate\":\"{candidate}\",\"1a\":\"x\"}}\r\n");
    let nobody = "line 4, column `candidate`: there is no candidate `9` in the manifest; look at the \
                  number, or at the manifest";
    let said_of_nobody =
        said(&[b"\xef\xbb\xbf\r\n \n", line("0101").as_bytes(), line("9").as_bytes()].concat());
    check_problems(&said_of_nobody, &[nobody]);
    let spoiled = [line("9").as_bytes(), b"{\"candidate\":\"\xff\n", line("8").as_bytes()].concat();
    let told = said(&spoiled);
    assert!(told.contains(&format!("\n  line 2: {other_bytes}\n")), "{told}");
    assert!(told.contains("line 1, column `candidate`") && !told.contains("line 3"), "{told}");
    check_problems(&said(b"{\0}"), &[&format!("line 1: {zero}")]);
}

#[test]
fn headings_that_make_no_table_of_answers_are_told() {
    let desk = ClassFolder::new();
    let said = |text: &str| {
        desk.put("answers.csv", text);
        desk.refused("answers.csv --to marks")
    };
    let wanted = "the headings are `candidate,question,part,answer`, or `candidate,1a,1b,2` with a \
                  column for each part";
    check_problems(
        &said("name,1a\nx,y\n"),
        &[&format!("line 1: expected the headings `candidate`, found none; {wanted}")],
    );
    check_problems(
        &said("candidate,answer\n0101,y\n"),
        &[&format!("line 1: expected the headings `question`, found none; {wanted}")],
    );
    check_problems(
        &said("candidate,question,answer,1a\n"),
        &[
            "line 1: expected `question`, `part` and `answer`, or a column for each part such as `1a`, \
           found both; keep one of the two",
        ],
    );
    for blank in ["", "\n", " \r\n\n", "\u{feff}\n"] {
        let told = said(blank);
        assert!(told.contains("line 1: expected the headings"), "{told}");
    }
    check_problems(
        &said("candidate,1a\n\n"),
        &["line 1: expected at least one row of answers, found none; add one a line"],
    );
    fs::write(desk.path("answers.csv"), b"candidate,1a\n0101,\xff\n").unwrap();
    check_problems(
        &desk.refused("answers.csv --to marks"),
        &["line 2: expected text in UTF-8, found other bytes; save the file again as UTF-8"],
    );
}

#[test]
fn an_answer_that_cannot_be_read_waits_for_somebody_and_is_not_dropped() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", "candidate,1a,3a\n0101,=HYPERLINK(1),\"Q, or so\"\n");
    let said = desk.mark("answers.csv --to marks");
    assert!(
        said.contains(
            "2 answers could not be read, without marks until somebody looks (by-hand.csv): 0101 1 \
             (a), 0101 3 (a)"
        ),
        "{said}"
    );
    let list = desk.read("marks/by-hand.csv");
    assert!(list.contains(",'=HYPERLINK(1),"), "{list}");
    assert!(list.contains(",\"Q, or so\","), "{list}");
    assert_eq!(desk.line("0101", 1, "a")["standing"], "not-read");
    assert_eq!(desk.line("0101", 1, "b")["standing"], "blank");
}

/// Fills in the list of what is to be marked by hand.
fn filled(list: &str, marks: &[u32], who: &str, why: &str, when: &str) -> String {
    let mut rows = list.lines();
    let mut text = format!("{}\n", rows.next().unwrap());
    for (row, marks) in rows.zip(marks) {
        let row = row.strip_suffix(",,,,,,,").unwrap();
        text.extend([format!("{row},{marks},{who},,,,{why},{when}\n")]);
    }
    text
}

#[test]
fn marks_given_by_hand_survive_marking_again_and_can_be_changed() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to marks");
    let list = desk.read("marks/by-hand.csv");
    desk.put("first.csv", &filled(&list, &[4, 2], "'=A. M.", "", "2026-05-20"));
    let said = desk.mark("answers.csv --to marks --hand first.csv");
    assert!(said.contains("1 written answer to be marked by hand"), "{said}");
    let line = desk.line("0102", 2, "a");
    assert_eq!(
        (&line["marks"], &line["standing"], &line["by"]),
        (&2.into(), &"partly-correct".into(), &"hand".into())
    );
    assert_eq!(line["hand"], serde_json::json!({"who": "=A. M.", "why": "", "when": "2026-05-20"}));
    assert_eq!(desk.read("marks/by-hand.csv").lines().count(), 2);
    let page = desk.read("marks/feedback/0002-0102.html");
    assert!(page.contains("Marked by hand by =A. M. on 2026-05-20"), "{page}");
    let first = files(&desk.path("marks"));
    // Marked again without the table, and with it once more: all is kept and nothing comes twice.
    desk.mark("answers.csv --to marks");
    assert_eq!(files(&desk.path("marks")), first);
    desk.mark("answers.csv --to marks --hand first.csv");
    assert_eq!(files(&desk.path("marks")), first);
    // A later mark takes the place of the earlier, which stays in the record.
    let change = "when,why,who,marks,part,question,candidate\n\
                  2026-05-28,second marking,B. N.,3,a,2,0102\n\
                  2026-05-28,\"unit, misread\",B. N.,0,a,1,0102\n";
    desk.put("second.csv", change);
    desk.mark("answers.csv --to marks --hand second.csv");
    assert_eq!(desk.line("0102", 2, "a")["marks"], 3);
    let line = desk.line("0102", 1, "a");
    assert_eq!(
        (&line["marks"], &line["by_program"], &line["by"]),
        (&0.into(), &1.into(), &"hand".into())
    );
    assert_eq!(desk.read("marks/hand.jsonl").lines().count(), 4);
    // The old table does not bring the old mark back.
    desk.mark("answers.csv --to marks --hand first.csv");
    assert_eq!(desk.line("0102", 2, "a")["marks"], 3);
}

#[test]
fn a_mark_by_hand_for_an_answer_that_has_changed_is_kept_and_told() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", "candidate,2a\n0101,one\n");
    desk.put("hand.csv", "candidate,question,part,marks,who,why,when\n0101,2,a,1,A,,2026-01-31\n");
    desk.mark("answers.csv --to marks --hand hand.csv");
    desk.put("answers.csv", "candidate,2a\n0101,two\n");
    let said = desk.mark("answers.csv --to marks");
    assert!(
        said.contains("1 answer changed since a mark was given by hand; look again: 0101 2 (a)")
    );
    assert_eq!(desk.line("0101", 2, "a")["marks"], 1);
}

/// A paper may be marked on the page, and nothing of it typed.
#[test]
fn whoever_has_marks_by_hand_alone_was_there() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", "candidate,2a\n0101,one\n");
    desk.put(
        "hand.csv",
        "candidate,question,part,marks,who,why,when\n0102,2,a,2,A,on the page,2026-01-31\n",
    );
    desk.mark("answers.csv --to marks --hand hand.csv");
    assert_eq!(desk.line("0102", 2, "a")["marks"], 2);
    let of = |candidate: &str| {
        let lines = desk.lines().into_iter();
        lines.filter(|line| line["candidate"] == candidate).collect::<Vec<_>>()
    };
    assert_eq!(of("0102").len(), of("0101").len());
    let [absent] = &of("0103")[..] else { panic!("{:?}", of("0103")) };
    assert_eq!(absent["absent"], true);
}

#[test]
fn full_marks_by_hand_are_correct_and_half_a_mark_less_is_partly_so() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", "candidate,1a,2a\n0101,0.01 g,one\n0102,0.01 g,one\n");
    let hand = "candidate,question,part,marks,who,why,when\n\
                0101,1,a,1,A,misread,2026-01-31\n0101,2,a,4,A,,2026-01-31\n\
                0102,1,a,0.5,A,misread,2026-01-31\n0102,2,a,3.5,A,,2026-01-31\n";
    desk.put("hand.csv", hand);
    desk.mark("answers.csv --to marks --hand hand.csv");
    for (candidate, standing) in [("0101", "correct"), ("0102", "partly-correct")] {
        for question in [1, 2] {
            assert_eq!(desk.line(candidate, question, "a")["standing"], standing, "{question}");
        }
    }
}

#[test]
fn a_list_that_was_filled_in_and_not_handed_back_is_not_written_over() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    desk.mark("answers.csv --to marks");
    let list = desk.read("marks/by-hand.csv");
    desk.put("marks/by-hand.csv", &filled(&list, &[4, 2, 0], "A", "", "2026-05-20"));
    let before = files(&desk.path("marks"));
    let said = desk.refused("answers.csv --to marks");
    assert!(said.contains("give it with --hand marks/by-hand.csv, or move it"), "{said}");
    assert_eq!(files(&desk.path("marks")), before);
    let said = desk.mark("answers.csv --to marks --hand marks/by-hand.csv");
    assert!(!said.contains("by hand"), "{said}");
    let table = desk.read("marks/marks.csv");
    assert!(
        table.lines().nth(1).unwrap().ends_with(",marked,13,13,100.0,,,1,3,0,0,0,0,0,4,6,3"),
        "{table}"
    );
}

#[test]
fn everything_wrong_with_marks_by_hand_is_told_at_once() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", "candidate,9a\n0101,x\n");
    desk.put(
        "hand.csv",
        "candidate,question,part,marks,who,why,when,note\n0101,2,a,5,A,,2026-05-20,\n\
         0101,2,a,1,,,20.5.26,\n0101,1,a,1,A,,2026-02-30,\n9,1,a,1,A,b,2026-05-20,\n\
         0102,2,c,1,A,b,2026-05-20,\n0102,2,a,,,,,\n0102,2,a,half,A,,2026-05-20,\n",
    );
    let said = desk.refused("answers.csv --to marks --hand hand.csv");
    check_problems(
        &said,
        &[
            "line 2, column `9a`: expected a question from 1 to 3, found `9`; look at the number",
            "line 2, column `marks`: expected marks from 0 to 4, whole or half, or `withdraw`, found \
             `5`; check the marks",
            "line 3, column `marks`: this part has marks already on line 2; remove one of the two",
            "line 3, column `who`: expected who gave the marks, found a blank; give initials or a \
             name",
            "line 3, column `when`: expected a day such as 2026-05-20, found `20.5.26`; give the day \
             of the mark",
            "line 4, column `why`: expected why the mark is changed, found a blank; say it in a few \
             words",
            "line 4, column `when`: expected a day such as 2026-05-20, found `2026-02-30`; give the \
             day of the mark",
            "line 5, column `candidate`: there is no candidate `9` in the manifest; look at the \
             number, or at the manifest",
            "line 6, column `part`: question 2 of candidate 0102 has the parts a and b, found `c`; \
             look at the part",
            "line 8, column `marks`: expected marks from 0 to 4, whole or half, or `withdraw`, found \
             `half`; check the marks",
        ],
    );
    assert!(said.contains("the answers `answers.csv` cannot be used"), "{said}");
    assert!(said.contains("the marks by hand `hand.csv` cannot be used"), "{said}");
    assert!(!desk.path("marks").exists());
}

#[test]
fn a_paper_that_would_be_another_now_is_not_marked() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    let manifest = desk.read("manifest.jsonl");
    let at = manifest.find("\"check\":\"").unwrap() + 9;
    let digit = if manifest[at..].starts_with('0') { "1" } else { "0" };
    desk.put("manifest.jsonl", &format!("{}{digit}{}", &manifest[..at], &manifest[at + 1..]));
    let said = desk.refused("answers.csv --to marks");
    assert!(
        said.starts_with("castmark: nothing was marked\n  candidate 0101, question 1"),
        "{said}"
    );
    assert!(!desk.path("marks").exists());
}

#[test]
fn a_folder_with_other_things_or_the_marks_of_another_set_is_left_alone() {
    let desk = ClassFolder::new();
    desk.put("answers.csv", &good_answers(&desk));
    fs::create_dir(desk.path("marks")).unwrap();
    desk.put("marks/notes.txt", "mine");
    let said = desk.refused("answers.csv --to marks");
    assert!(said.contains("does not hold castmark marks; choose another name"), "{said}");
    fs::remove_dir_all(desk.path("marks")).unwrap();
    desk.mark("answers.csv --to marks");
    desk.put("marks/feedback/notes.txt", "mine");
    let said = desk.refused("answers.csv --to marks");
    assert!(said.contains("`feedback/notes.txt`, which castmark did not put there"), "{said}");
    assert_eq!(desk.read("marks/feedback/notes.txt"), "mine");
    fs::remove_file(desk.path("marks/feedback/notes.txt")).unwrap();
    let other = ClassFolder::with(&BLUEPRINT.replace("id: marked", "id: other"), CLASS);
    other.put("answers.csv", &good_answers(&other));
    fs::create_dir(other.path("marks")).unwrap();
    other.put("marks/marks.jsonl", &desk.read("marks/marks.jsonl"));
    let said = other.refused("answers.csv --to marks");
    assert!(said.contains("holds the marks of another set of papers"), "{said}");
}

#[test]
fn rules_of_ones_own_are_followed() {
    let desk = ClassFolder::new();
    let Response::Number(key) = &desk.papers[0][0].parts[2].response else { panic!("a number") };
    let tenfold = key.shown.mul(castmark::quantity::Exact::whole(10)).unwrap();
    let answer = Quantity::new(tenfold, key.unit);
    desk.put("answers.csv", &format!("candidate,1c\n0101,{answer}\n"));
    desk.mark("answers.csv --to marks");
    assert_eq!(desk.line("0101", 1, "c")["marks"], key.method_marks);
    desk.put("rules.yaml", "castmark: 1\nmoved_point_costs: all\n");
    desk.mark("answers.csv --to marks --rules rules.yaml");
    assert_eq!(desk.line("0101", 1, "c")["marks"], 0);
    assert!(desk.read("marks/marks.jsonl").starts_with("{\"castmark_marks\":1,"));
    assert!(desk.read("marks/marks.jsonl").lines().next().unwrap().contains("\"rules\":\"own\""));
}

/// What the class of these tests is asked.
fn asked() -> &'static Asked {
    static ASKED: std::sync::OnceLock<Asked> = std::sync::OnceLock::new();
    ASKED.get_or_init(|| {
        let bank = Bank::bundled().unwrap();
        let source = SourceText::new("marked.yaml", BLUEPRINT);
        let blueprint = Blueprint::read(source, &bank).unwrap_or_else(|report| panic!("{report}"));
        let class = ClassList::read(CLASS.as_bytes()).unwrap().candidates;
        let secret = Secret::new([7; 32]);
        let set = PaperSet::make(&bank, &blueprint, &secret, &class, None, 0, None).unwrap();
        Asked::of(&set, &blueprint)
    })
}

/// A text with some of its bytes replaced.
fn spoiled(text: &str, at: prop::sample::Index, length: usize, put: &[u8]) -> Vec<u8> {
    let bytes = text.as_bytes();
    let at = at.index(bytes.len());
    let end = (at + length).min(bytes.len());
    [&bytes[..at], put, &bytes[end..]].concat()
}

const TABLES: [&str; 4] = [
    "candidate,question,part,answer\n0101,1,a,1 g\n0102,2,a,\"x, y\"\n0103,3,a,B\n",
    "\u{feff}candidate,1a,1b,3a\r\n0101,1,2,A\r\n0102,,\"\",B\r\n",
    "{\"candidate\":\"0101\",\"question\":1,\"part\":\"a\",\"answer\":\"1 g\"}\n",
    "candidate,question,part,marks,who,why,when\n0101,2,a,1,A,,2026-05-20\n",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn spoiled_answers_and_marks_are_read_whole_or_refused_with_reasons(
        table in 0_usize..TABLES.len(),
        at in any::<prop::sample::Index>(),
        length in 0_usize..6,
        put in prop::collection::vec(prop_oneof![Just(b','), Just(b'"'), Just(b'\n'), any::<u8>()], 0..6),
    ) {
        let bytes = spoiled(TABLES[table], at, length, &put);
        let answers = match Answers::read(&bytes, asked()) {
            Ok(answers) => {
                prop_assert!(answers.papers.iter().any(Option::is_some));
                answers
            }
            Err(problems) => {
                prop_assert!(!problems.is_empty());
                Answers { papers: Vec::new(), statuses: BTreeMap::new() }
            }
        };
        let mut hand = HandMarks::default();
        match hand.add_table(&bytes, asked(), &answers) {
            Ok(_) => {
                let again = HandMarks::read_record(&hand.write(), asked());
                prop_assert_eq!(again, Ok(hand));
            }
            Err(problems) => prop_assert!(!problems.is_empty() && hand.is_empty()),
        }
    }
}
