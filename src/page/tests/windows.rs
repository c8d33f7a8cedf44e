//! Two windows at one record, and two problems begun.

use super::*;

#[test]
fn a_record_that_grew_elsewhere_leaves_the_problem_on_the_table() {
    let mut here = Student::new();
    let table = here.ask("open", &json!({"code": Code::new("base-one-drug", 3).to_string()}));
    here.ask("act", &json!({"event": "answer", "answer": {"text": "987654.3"}}));
    let mut there = Student::new();
    there.ask("open", &json!({"code": Code::new("faults-and-causes", 3).to_string()}));
    there.ask("act", &json!({"event": "give-up"}));
    let others = there.record["attempts"].as_array().unwrap().clone();
    assert!(!others.is_empty());
    here.record["attempts"].as_array_mut().unwrap().extend(others);
    let today = here.begin(&Value::Null);
    assert_eq!((&today["table"], &today["answers"]), (&json!(true), &json!(2)));
    let again = here.ask("table", &json!({}));
    assert_eq!(again["table"]["code"], table["table"]["code"]);
    assert_eq!(again["table"]["question"]["tries"].as_array().unwrap().len(), 1);
    // A problem that was ended elsewhere is not gone on with.
    here.record["unfinished"] = json!([]);
    assert_eq!(here.begin(&Value::Null)["table"], json!(false));
}

#[test]
fn a_problem_gone_on_with_in_another_window_is_shown_as_it_is_there() {
    let code = json!({"code": Code::new("base-one-drug", 3).to_string()});
    let mut here = Student::new();
    here.ask("open", &code);
    let mut there = Student::new();
    there.ask("open", &code);
    there.answer(&json!({"text": "987654.3"}));

    here.record = there.record.clone();
    let today = here.ask("reread", &json!({"record": here.record}));
    assert_eq!((&today["table"], &today["answers"]), (&json!(true), &json!(1)));
    let reply = here.answer(&json!({"text": "87654.3"}));
    assert_eq!(reply["news"]["kind"], "elsewhere");
    assert_eq!(reply["table"]["question"]["tries"].as_array().unwrap().len(), 1);
    assert_eq!(here.record, there.record, "the answer is no try");
    here.answer(&json!({"text": "87654.3"}));
    assert_eq!(here.record["attempts"].as_array().unwrap().len(), 2);

    // What was ended there is not on the table here.
    there.act("give-up");
    here.record = there.record.clone();
    here.ask("reread", &json!({"record": here.record}));
    let reply = here.act("go-on");
    assert_eq!(reply["news"]["kind"], "elsewhere");
    assert_ne!(reply["table"]["code"], code["code"]);
    assert_eq!(here.record["attempts"], there.record["attempts"]);
}

#[test]
fn of_two_problems_left_each_is_gone_on_with_by_its_code() {
    let mut student = Student::new();
    let codes = ["base-one-drug", "faults-and-causes"].map(|id| Code::new(id, 3).to_string());
    student.ask("open", &json!({"code": codes[0]}));
    student.answer(&json!({"text": "987654.3"}));
    student.ask("open", &json!({"code": codes[1]}));
    let reply = student.ask("open", &json!({"code": codes[0]}));
    assert_eq!(reply["table"]["question"]["tries"].as_array().unwrap().len(), 1);
    assert_eq!(student.record["unfinished"].as_array().unwrap().len(), 2);
}
