//! Damaged requests and states of the practice page.

use std::sync::LazyLock;

use castmark::bank::Bank;
use castmark::page::{Contents, Page};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use super::{Read, text, withstands};

/// A Saturday in November 2025.
const AT: i64 = 1_764_380_000;

/// How many letters of a hash stand before a state.
const LETTERS: usize = 16;

static PAGE: LazyLock<Page> = LazyLock::new(|| {
    let mut contents = Contents { form: Contents::FORM, seed: Some(7), ..Contents::default() };
    contents.files = Bank::bundled_files();
    let bank = Bank::bundled().unwrap();
    let kept = ["base-one-drug", "capacity-from-masses", "faults-and-causes", "order-of-fusion"];
    contents.keep(&bank, &kept.into());
    Page::open(&serde_json::to_string(&contents).unwrap()).unwrap()
});

fn request(ask: &str, with: &Value, state: &Value) -> String {
    json!({"version": 1, "ask": ask, "with": with, "at": AT, "state": state}).to_string()
}

/// The replies to requests that follow each other, the last one's last.
fn talk(requests: &[(&str, Value)]) -> Value {
    let mut state = Value::Null;
    let mut last = Value::Null;
    for (ask, with) in requests {
        last = serde_json::from_str(&PAGE.reply(&request(ask, with, &state))).unwrap();
        assert_eq!(last["error"], Value::Null, "{ask}: {last}");
        state = last["state"].clone();
    }
    last
}

/// A day on which one answer was given and a problem is on the table.
fn begun(template: &str, answer: &Value) -> Value {
    let record = json!({"attempts": [], "unfinished": []});
    talk(&[
        ("begin", json!({"record": record, "exam": null, "keep": true})),
        ("practise", json!({"template": template})),
        ("act", json!({"event": "answer", "answer": answer})),
    ])
}

/// The page has an answer to every request: what was asked for, or what is wrong.
fn reply(request: &str) -> Read {
    let reply: Value = serde_json::from_str(&PAGE.reply(request)).unwrap();
    assert_eq!(reply["version"], 1, "{reply}");
    if reply["error"].is_null() {
        assert!(reply["reply"].is_string() && reply["with"].is_object(), "{reply}");
        return Ok(());
    }
    assert!(reply["error"]["kind"].is_string(), "{reply}");
    Err(vec![reply["error"]["text"].as_str().unwrap().to_owned()])
}

#[test]
fn a_damaged_request_is_told_or_answered() {
    let record = json!({"attempts": [], "unfinished": []});
    let after = begun("base-one-drug", &json!({"text": "3.60 g"}));
    let state = &after["state"];
    let record = json!({"attempts": after["added"], "unfinished": record["unfinished"]});
    let nothing = json!({});
    let requests = [
        request("begin", &json!({"record": record, "exam": "2026-12-14", "keep": true}), state),
        request("act", &json!({"event": "answer", "answer": {"text": "24.52"}}), state),
        request("act", &json!({"event": "hint"}), state),
        request("report", &json!({"record": record, "exam": null}), state),
        request("import", &json!({"record": record, "text": record.to_string()}), state),
        request("sheet", &json!({"templates": ["base-one-drug"], "count": 1, "seed": 1}), state),
        request("values", &json!({"template": "base-one-drug"}), state),
        request("table", &nothing, state),
    ];
    for good in requests {
        withstands(&good, 12, |bytes| reply(&text(bytes)));
    }
}

#[test]
fn a_damaged_state_is_told_or_gone_on_with() {
    let answers = [
        ("base-one-drug", json!({"text": "3.60 g"})),
        ("faults-and-causes", json!({"pairs": [0, 1, 2, 3]})),
        ("order-of-fusion", json!({"order": [0, 1, 2, 3, 4]})),
    ];
    for (template, answer) in answers {
        let record = json!({"attempts": [], "unfinished": []});
        let after = talk(&[
            ("begin", json!({"record": record, "exam": null, "keep": true})),
            ("practise", json!({"template": template})),
        ]);
        let state = after["state"].as_str().unwrap();
        withstands(&state[LETTERS..], 12, |bytes| {
            // A state that is torn does not get in, so the damaged one is sealed like a sound one.
            let damaged = text(bytes);
            let hash = Sha256::digest(damaged.as_bytes());
            let mark: String =
                hash.iter().take(LETTERS / 2).map(|byte| format!("{byte:02x}")).collect();
            let state = Value::from(mark + &damaged);
            let table = reply(&request("table", &json!({}), &state));
            for with in [
                json!({"event": "answer", "answer": answer}),
                json!({"event": "hint"}),
                json!({"event": "pass"}),
                json!({"event": "go-on"}),
                json!({"event": "give-up"}),
            ] {
                // Whatever comes of it, there is a reply.
                let _ = reply(&request("act", &with, &state));
            }
            table
        });
    }
}
