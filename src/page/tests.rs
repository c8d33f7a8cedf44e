//! The talk, from the first request to the last.

mod windows;

use std::sync::LazyLock;

use serde_json::{Value, json};

use super::{Contents, Page};
use crate::bank::{Bank, SourceText};
use crate::draw::Code;
use crate::problem::{Problem, Response};

/// A Saturday in November 2025.
const AT: i64 = 1_764_380_000;

fn contents() -> Contents {
    Contents {
        form: Contents::FORM,
        title: "Moulded dosage forms".to_owned(),
        seed: Some(7),
        files: Bank::bundled_files(),
        cited: vec!["course-guide-2019".to_owned()],
        ..Contents::default()
    }
}

/// A page with the whole bundled bank.
static PAGE: LazyLock<Page> =
    LazyLock::new(|| Page::open(&serde_json::to_string(&contents()).unwrap()).unwrap());

/// A student with a page: the record and the state between two requests.
struct Student {
    state: Value,
    record: Value,
    at: i64,
}

impl Student {
    fn new() -> Self {
        let record = json!({"attempts": [], "unfinished": []});
        let mut student = Self { state: Value::Null, record, at: AT };
        student.begin(&Value::Null);
        student
    }

    fn begin(&mut self, exam: &Value) -> Value {
        let with = json!({"record": self.record, "exam": exam, "keep": true});
        self.ask("begin", &with)
    }

    fn ask(&mut self, ask: &str, with: &Value) -> Value {
        let reply = self.reply(ask, with);
        assert_eq!(reply["error"], Value::Null, "{ask} {with}: {reply}");
        self.state = reply["state"].clone();
        let attempts = self.record["attempts"].as_array_mut().unwrap();
        attempts.extend(reply["added"].as_array().unwrap().iter().cloned());
        if !reply["unfinished"].is_null() {
            self.record["unfinished"] = reply["unfinished"].clone();
        }
        reply["with"].clone()
    }

    fn reply(&self, ask: &str, with: &Value) -> Value {
        let request =
            json!({"version": 1, "ask": ask, "with": with, "at": self.at, "state": self.state});
        serde_json::from_str(&PAGE.reply(&request.to_string())).unwrap()
    }

    fn act(&mut self, event: &str) -> Value {
        self.ask("act", &json!({"event": event}))
    }

    fn answer(&mut self, answer: &Value) -> Value {
        self.ask("act", &json!({"event": "answer", "answer": answer}))
    }

    fn refused(&self, ask: &str, with: &Value) -> (String, String) {
        let error = &self.reply(ask, with)["error"];
        let text = |name: &str| error[name].as_str().unwrap_or_default().to_owned();
        (text("kind"), text("text"))
    }
}

/// The correct answer to a part, as a page gives it.
fn correct(response: &Response) -> Value {
    match response {
        Response::Number(_) | Response::Text(_) => json!({"text": response.answer()}),
        Response::Written(key) => json!({"text": key.points[0].text}),
        Response::Verdict(key) => json!({"chosen": [key.right]}),
        Response::Choice(key) => {
            let chosen = |(place, right): (usize, &bool)| right.then_some(place);
            json!({"chosen": key.right.iter().enumerate().filter_map(chosen).collect::<Vec<_>>()})
        }
        Response::Judgement(key) => {
            json!({"truth": key.truth, "chosen": key.right.into_iter().collect::<Vec<_>>()})
        }
        Response::Matching(key) => json!({"pairs": key.answers}),
        Response::Ordering(key) => json!({"order": key.order}),
        Response::Range(key) => json!({"ends": [key.low.to_string(), key.high.to_string()]}),
    }
}

/// The first problem of a template, put on the table.
fn opened(student: &mut Student, template: &str) -> (Problem, Value) {
    let code = Code::new(template, 5);
    let problem = Problem::from_code(&PAGE.bank, &code).unwrap();
    let reply = student.ask("open", &json!({"code": code.to_string()}));
    (problem, reply["table"].clone())
}

#[test]
fn every_template_is_solved_alone_with_correct_answers() {
    for template in PAGE.bank.templates() {
        let mut student = Student::new();
        let (problem, mut table) = opened(&mut student, &template.id);
        for part in &problem.parts {
            assert!(table["question"]["ask"].is_string(), "{table}");
            let mut reply = student.answer(&correct(&part.response));
            if reply["table"]["phase"] == "points" {
                let points = reply["table"]["question"]["points"]["points"].as_array().unwrap();
                let made = vec![true; points.len()];
                reply = student.ask("act", &json!({"event": "points", "made": made}));
            }
            assert_eq!(reply["news"]["kind"], "verdict", "{}: {reply}", template.id);
            table = reply["table"].clone();
            let last = table["parts"].as_array().unwrap().last().unwrap();
            assert_eq!(last["tries"][0]["standing"], "correct", "{}: {last}", template.id);
            assert_eq!(last["earned"], part.marks, "{}", template.id);
        }
        assert_eq!(table["phase"], "ended", "{}", template.id);
        assert_eq!(table["ended"]["ending"], "alone", "{}: {table}", template.id);
        assert_eq!(student.record["unfinished"], json!([]));
        let attempts = student.record["attempts"].as_array().unwrap();
        assert_eq!(attempts.len(), problem.parts.len());
    }
}

#[test]
fn a_wrong_number_gets_a_hint_and_a_second_try_and_then_the_answer() {
    let mut student = Student::new();
    opened(&mut student, "base-one-drug");
    let first = student.answer(&json!({"text": "1 g"}));
    let question = &first["table"]["question"];
    assert_eq!(first["news"]["kind"], "verdict");
    assert_eq!(question["tries"][0]["said"], "First try: 1\u{a0}g");
    assert_eq!(
        (question["second"].as_bool(), question["tries_left"].as_u64()),
        (Some(true), Some(1))
    );
    assert_eq!(question["hints"][0]["name"], "Hint in words");
    assert_eq!(question["hints"][0]["before"], 2);
    assert_eq!(student.answer(&json!({"text": "1 g"}))["news"]["kind"], "same");
    let second = student.answer(&json!({"text": "2 g"}));
    let part = &second["table"]["parts"][0];
    assert_eq!(part["tries"][1]["heading"], "Not correct");
    let answer = part["answer"]["lines"][0].as_str().unwrap();
    assert!(answer.starts_with("The correct answer is "), "{answer}");
    assert_eq!(second["table"]["phase"], "reading");
    assert_eq!(second["table"]["question"], Value::Null);
    let next = student.act("go-on");
    assert_eq!(next["news"]["kind"], "question");
    assert_eq!(next["table"]["question"]["letter"], "b");
    assert_eq!(student.record["attempts"].as_array().unwrap().len(), 2);
}

#[test]
fn what_cannot_be_read_costs_nothing() {
    let mut student = Student::new();
    opened(&mut student, "base-one-drug");
    let before = (student.state.clone(), student.record.clone());
    let long = "7".repeat(4_000);
    for (typed, said) in [
        ("24,520", "This could not be read. 24,520 can mean 24.520 or 24520."),
        ("abc", "This could not be read. “abc” is not a number."),
        ("", "The answer is missing."),
        ("  ", "The answer is missing."),
        (long.as_str(), "This could not be read. “7777777777"),
        ("<b>\u{1b}[31m", "This could not be read. “<b>[31m”"),
    ] {
        let reply = student.answer(&json!({"text": typed}));
        let news = &reply["news"];
        let text = news["text"].as_str().unwrap();
        assert_eq!(news["kind"], "unread", "{typed}");
        assert!(text.starts_with(said) && text.ends_with("No try has been used."), "{text}");
        assert_eq!(reply["table"]["question"]["tries_left"], 2);
    }
    let news = student.answer(&json!({"text": "24,520"}))["news"].clone();
    assert_eq!(news["readings"], json!([{"text": "24.520"}, {"text": "24520"}]));
    assert_eq!((student.state, student.record), before);
}

#[test]
fn what_is_missing_in_a_choice_is_asked_for() {
    let mut student = Student::new();
    for (template, answer, said, field) in [
        ("true-of-a-base", json!({"chosen": []}), "No option is chosen.", 0),
        ("statement-on-a-base", json!({"truth": false}), "The reason is missing.", 1),
        ("statement-on-a-base", json!({}), "Neither true nor false is chosen.", 0),
        ("order-of-fusion", json!({"order": [2, 0]}), "lines have no number.", 1),
        ("uniformity-rules", json!({"ends": ["4", ""]}), "The second number is missing.", 1),
    ] {
        opened(&mut student, template);
        let news = student.answer(&answer)["news"].clone();
        assert_eq!(news["kind"], "unread", "{template}: {news}");
        assert!(news["text"].as_str().unwrap().contains(said), "{news}");
        assert_eq!(news["field"], field, "{news}");
        assert_eq!(student.record["attempts"], json!([]));
    }
}

#[test]
fn a_second_try_keeps_the_lines_that_were_correct() {
    let mut student = Student::new();
    let (problem, _) = opened(&mut student, "faults-and-causes");
    let Response::Matching(key) = &problem.parts[0].response else { panic!() };
    let mut pairs = key.answers.clone();
    pairs.swap(0, 1);
    let question = student.answer(&json!({"pairs": pairs}))["table"]["question"].clone();
    let mut kept: Vec<Option<usize>> = key.answers.iter().copied().map(Some).collect();
    (kept[0], kept[1]) = (None, None);
    assert_eq!(question["kept"], json!(kept), "{question}");
    assert!(question["lines"][0]["words"].as_str().unwrap().ends_with("Not correct."));
    assert!(question["lines"][2]["words"].as_str().unwrap().ends_with("Correct."));
}

#[test]
fn a_record_brings_the_problem_back_at_the_place_where_it_was_left() {
    let mut student = Student::new();
    opened(&mut student, "base-one-drug");
    student.answer(&json!({"text": "1 g"}));
    let table = student.ask("table", &json!({}))["table"].clone();
    // The state is lost, the record is not.
    student.state = Value::Null;
    let today = student.begin(&Value::Null);
    assert_eq!(today["left"]["title"], table["title"]);
    let again = student.ask("practise", &json!({}));
    assert_eq!(again["news"]["kind"], "resumed");
    assert_eq!(again["table"]["question"], table["question"]);
    // With the state, the table is as it was, also after the end of a question.
    student.answer(&json!({"text": "2 g"}));
    let before = student.ask("table", &json!({}))["table"].clone();
    student.begin(&Value::Null);
    assert_eq!(student.ask("table", &json!({}))["table"], before);
}

#[test]
fn a_state_that_follows_the_record_is_that_of_the_record() {
    let mut student = Student::new();
    student.ask("practise", &json!({}));
    for _ in 0..6 {
        student.act("pass");
        student.act("go-on");
        student.at += 40_000;
    }
    let exam = json!("2025-12-14");
    let followed = student.begin(&exam);
    student.state = Value::Null;
    let mut read = student.begin(&exam);
    // Only the state knows the table.
    read["table"] = json!(true);
    assert_eq!(read, followed);
}

#[test]
fn an_answer_shown_is_not_solved_and_comes_again() {
    let mut student = Student::new();
    student.ask("practise", &json!({"topic": "ideal-base"}));
    let reply = student.act("give-up");
    let table = &reply["table"];
    assert_eq!(
        (&table["phase"], &table["ended"]["ending"]),
        (&json!("ended"), &json!("not-solved"))
    );
    let solution = student.ask("solution", &json!({"code": table["code"]}));
    assert!(solution["html"].as_str().unwrap().contains("<table class=\"scheme\">"), "{solution}");
    assert_eq!(student.act("stop")["news"]["kind"], "over");
}

#[test]
fn a_sheet_is_the_one_that_the_program_prints() {
    use crate::export::{Contents as Shown, Exporter, Html, Options, Sheet};
    use crate::problem::{Selection, practice_title};

    let mut student = Student::new();
    let with = json!({"objectives": ["calibration"], "count": 3, "seed": 11, "key": true});
    let sheet = student.ask("sheet", &with);
    let selection = Selection {
        objectives: vec![crate::bank::Objective::Calibration],
        count: Some(3),
        ..Selection::default()
    };
    let problems = selection.draw(&PAGE.bank, 11).unwrap();
    let contents = Shown { key: true, ..Shown::QUESTIONS };
    let printed =
        Sheet::of(&PAGE.bank, problems.clone(), practice_title(&problems), contents).unwrap();
    let printed = Html.export(&printed, &Options::default()).unwrap();
    assert_eq!(sheet["html"].as_str().unwrap().as_bytes(), printed);
    let again = student.ask("sheet", &json!({"codes": sheet["codes"], "key": true}));
    assert_eq!(again["html"], sheet["html"]);
}

#[test]
fn a_record_is_saved_and_joined_without_doubling() {
    let mut student = Student::new();
    student.ask("practise", &json!({}));
    student.act("give-up");
    let saved = student.ask("export", &json!({"record": student.record}));
    assert_eq!(saved["name"], "castmark-record-2025-11-29.json");
    let with = json!({"record": student.record, "text": saved["text"]});
    let joined = student.ask("import", &with);
    assert_eq!(
        (&joined["new"], &joined["record"]["attempts"]),
        (&json!(0), &student.record["attempts"])
    );
    let empty = json!({"record": {"attempts": [], "unfinished": []}, "text": saved["text"]});
    assert_eq!(student.ask("import", &empty)["new"], 1);
    let (kind, text) =
        student.refused("import", &json!({"record": student.record, "text": "{\"a\": 1}"}));
    assert_eq!(kind, "record");
    assert!(text.contains("choose another file"), "{text}");
}

#[test]
fn own_numbers_are_worked_and_those_missing_are_named() {
    let mut student = Student::new();
    let wanted = student.ask("values", &json!({"template": "base-one-drug"}));
    let names: Vec<&str> = wanted["values"]
        .as_array()
        .unwrap()
        .iter()
        .map(|each| each["name"].as_str().unwrap())
        .collect();
    assert!(names.contains(&"capacity"), "{names:?}");
    let values = json!({
        "number": "12",
        "capacity": "2.04 g",
        "drug.displacement_value": "4.7",
        "drug.dose": "200 mg",
    });
    let rows = json!({"drug": "zinc-oxide"});
    let worked =
        student.ask("work", &json!({"template": "base-one-drug", "values": values, "rows": rows}));
    assert!(worked["html"].as_str().unwrap().contains("24.48\u{a0}g"), "{worked}");
    let reply =
        student.reply("work", &json!({"template": "base-one-drug", "values": {"number": "x"}}));
    assert_eq!(reply["error"]["problems"][0]["name"], "number");
    let few = json!({"number": "12"});
    let reply = student.reply("work", &json!({"template": "base-one-drug", "values": few}));
    assert_eq!(reply["error"]["kind"], "numbers");
    assert!(reply["error"]["problems"].as_array().unwrap().len() > 1, "{reply}");
}

#[test]
fn what_is_no_request_is_refused_with_a_reason() {
    let refused = |request: &str| -> Value {
        serde_json::from_str::<Value>(&PAGE.reply(request)).unwrap()["error"]["kind"].clone()
    };
    assert_eq!(refused(""), "not-json");
    assert_eq!(refused("{"), "not-json");
    assert_eq!(refused("[1]"), "request");
    assert_eq!(refused("{}"), "version");
    assert_eq!(refused(r#"{"version": 2, "ask": "today"}"#), "version");
    assert_eq!(refused(r#"{"version": 1}"#), "request");
    assert_eq!(refused(r#"{"version": 1, "ask": "dance"}"#), "unknown-ask");
    assert_eq!(refused(r#"{"version": 1, "ask": "today", "at": -5}"#), "request");
    assert_eq!(refused(r#"{"version": 1, "ask": "today"}"#), "state");
    assert_eq!(refused(r#"{"version": 1, "ask": "today", "state": "{}"}"#), "state");
    assert_eq!(refused(r#"{"version": 1, "ask": "begin", "with": {"record": 3}}"#), "request");
    // A chain of brackets does not overflow the stack.
    assert_eq!(refused(&"[".repeat(100_000)), "request");
    let chain = format!("{{\"version\": 1, \"ask\": \"begin\", \"with\": {}", "[".repeat(100_000));
    assert_eq!(refused(&chain), "not-json");
}

#[test]
fn a_state_that_was_changed_is_not_taken() {
    let mut student = Student::new();
    let state = student.state.as_str().unwrap().replace("\"count\":0", "\"count\":9");
    student.state = json!(state);
    assert_eq!(student.refused("today", &json!({})).0, "state");
    student.state = json!("é".repeat(40));
    assert_eq!(student.refused("today", &json!({})).0, "state");
}

#[test]
fn what_a_page_does_not_hold_is_refused() {
    let student = Student::new();
    let open = |code: &str| student.refused("open", &json!({"code": code}));
    let other = Code::new("lubricant-for-a-fish", 3).to_string();
    let (kind, text) = open(&other);
    assert_eq!(kind, "no-such-problem");
    assert!(
        text.starts_with("this page does not hold the problem `lubricant-for-a-fish`"),
        "{text}"
    );
    assert_eq!(open("base-one-drug.aaaa-aaaab").0, "code");
    assert_eq!(open("base-one-drug").0, "code");
    assert_eq!(student.refused("practise", &json!({"topic": "no-such"})).0, "nothing");
    assert_eq!(student.refused("sheet", &json!({"topics": ["no-such"]})).0, "nothing");
    assert_eq!(student.refused("sheet", &json!({"count": 100_000})).0, "request");
    assert_eq!(student.refused("sheet", &json!({"paper": "a9"})).0, "request");
    assert_eq!(student.refused("values", &json!({"template": "<script>"})).0, "nothing");
}

#[test]
fn an_answer_of_another_kind_is_refused() {
    let mut student = Student::new();
    let (_, _) = opened(&mut student, "order-of-fusion");
    for answer in [
        json!({"text": "A B"}),
        json!({"order": [0, 0, 1]}),
        json!({"order": [99]}),
        json!({"order": [-1]}),
        json!({"dance": 1}),
        json!(7),
    ] {
        let with = json!({"event": "answer", "answer": answer});
        assert_eq!(student.refused("act", &with).0, "request", "{answer}");
    }
    assert_eq!(student.refused("act", &json!({"event": "dance"})).0, "request");
}

#[test]
fn contents_that_cannot_be_used_are_refused() {
    let refused = |contents: &str| {
        let fault = Page::open(contents).unwrap_err();
        assert_eq!(serde_json::to_value(fault.kind).unwrap(), "contents");
        fault.text
    };
    refused("");
    refused("{}");
    let other = |change: fn(&mut Contents)| {
        let mut contents = contents();
        change(&mut contents);
        refused(&serde_json::to_string(&contents).unwrap())
    };
    assert!(other(|contents| contents.form = 9).contains("found form 9"));
    other(|contents| contents.exam = Some("soon".to_owned()));
    other(|contents| contents.settings = "lucky: 7".to_owned());
    let file = |path: &str, text: &str| SourceText::new(path, text.to_owned());
    let torn = file("mine/torn.yaml", "id: [");
    assert!(
        other(|contents| contents.own.push(SourceText::new("mine/torn.yaml", "id: [")))
            .contains(&torn.path)
    );
}

#[test]
fn an_order_is_worked_as_the_library_works_it() {
    let mut student = Student::new();
    let offered = student.ask("offered", &json!({}));
    let known = |drug: &Value| drug["name"] == "zinc oxide" && drug["values"][0]["source"] != "";
    assert!(offered["drugs"].as_array().unwrap().iter().any(known), "{offered}");
    let order = json!({
        "units": "12", "extra": "2", "mould.capacity": "2.02 g", "base.name": "theobroma oil",
        "drugs.0.name": "zinc oxide", "drugs.0.dose": "200 mg", "drugs.0.value": "4.7",
    });
    let html = student.ask("batch", &json!({"order": order}))["html"].as_str().unwrap().to_owned();
    let read: crate::bank::Order = serde_json::from_value(json!({
        "units": "12", "extra": "2", "mould": {"capacity": "2.02 g"}, "base": {"name": "theobroma oil"},
        "drugs": [{"name": "zinc oxide", "dose": "200 mg", "value": "4.7"}],
    }))
    .unwrap();
    let batch = crate::batch::solve(&read, PAGE.bank.facts()).unwrap();
    let document = crate::export::BenchDocument::of_sheet(&batch.sheet);
    let options = crate::export::Options::default();
    let own = crate::export::Exporter::export_bench(&crate::export::Html, &document, &options);
    assert_eq!(html.as_bytes(), own.unwrap());
    let refused = student.reply("batch", &json!({"order": {"units": "dozen", "drugs.0.name": ""}}));
    let names: Vec<&str> = refused["error"]["problems"]
        .as_array()
        .unwrap()
        .iter()
        .map(|problem| problem["name"].as_str().unwrap())
        .collect();
    for name in ["units", "mould.capacity", "base.name", "drugs.0.name"] {
        assert!(names.contains(&name), "{name}: {refused}");
    }
    assert_eq!(refused["error"]["kind"], "numbers");
    let unknown = student.reply("batch", &json!({"order": {"unit": "12"}}));
    assert_eq!(unknown["error"]["kind"], "request");
}

#[test]
fn a_bare_number_has_the_unit_beside_its_field() {
    let mut student = Student::new();
    student.ask("open", &json!({"code": Code::new("base-one-drug", 3).to_string()}));
    let reply = student.ask("act", &json!({"event": "answer", "answer": {"text": "9.1"}}));
    assert_eq!(student.record["attempts"][0]["answer"], "9.1 g");
    assert!(!reply.to_string().contains("no unit"), "{reply}");
    student.ask("act", &json!({"event": "answer", "answer": {"text": "8100 mg"}}));
    assert_eq!(student.record["attempts"][1]["answer"], "8100 mg");
}

#[test]
fn markup_in_a_bank_stays_text() {
    let hostile = "</script><img src=x onerror=alert(1)>";
    let mut contents = contents();
    contents.title = hostile.to_owned();
    let topic = contents.files.iter_mut().find(|file| file.path == "topics.yaml").unwrap();
    topic.text = topic.text.replace("Calibrating a mould", hostile).into();
    let template = contents
        .files
        .iter_mut()
        .find(|file| file.path.ends_with("capacity-from-total.yaml"))
        .unwrap();
    template.text = template.text.replace("After trimming,", hostile).into();
    let page = Page::open(&serde_json::to_string(&contents).unwrap()).unwrap();
    let ask = |ask: &str, with: Value, state: &Value| -> Value {
        let request = json!({"version": 1, "ask": ask, "with": with, "at": AT, "state": state});
        serde_json::from_str(&page.reply(&request.to_string())).unwrap()
    };
    let begun = ask("begin", json!({"record": {"attempts": [], "unfinished": []}}), &Value::Null);
    let reply = ask("practise", json!({"template": "capacity-from-total"}), &begun["state"]);
    let html = reply["with"]["table"]["stem_html"].as_str().unwrap();
    assert!(!html.contains("<img") && !html.contains("</script"), "{html}");
    assert_eq!(reply["with"]["table"]["topic"]["title"], hostile);
}
