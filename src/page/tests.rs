//! The talk, from the first request to the last.

use std::sync::LazyLock;

use serde_json::{Value, json};

use super::{Contents, Page};
use crate::bank::Bank;

/// A page with the whole bundled bank.
static PAGE: LazyLock<Page> = LazyLock::new(|| {
    let contents = Contents {
        form: Contents::FORM,
        title: "Moulded dosage forms".to_owned(),
        seed: Some(7),
        files: Bank::bundled_files(),
        ..Contents::default()
    };
    Page::open(&serde_json::to_string(&contents).unwrap()).unwrap()
});

#[test]
fn try_it() {
    let reply = |request: Value| -> Value {
        serde_json::from_str(&PAGE.reply(&request.to_string())).unwrap()
    };
    let at = 1_764_380_000;
    let begun = reply(json!({"version": 1, "ask": "begin", "with": {"record": {"attempts": [], "unfinished": []}, "exam": "2025-12-14"}, "at": at}));
    println!("{begun:#}");
    let begun = reply(json!({"version": 1, "ask": "practise", "with": {}, "at": at, "state": begun["state"]}));
    println!("{begun:#}");
    let begun = reply(json!({"version": 1, "ask": "act", "with": {"event": "answer", "answer": {"text": "24,520"}}, "at": at, "state": begun["state"]}));
    println!("{:#}", begun["with"]["news"]);
    let begun = reply(json!({"version": 1, "ask": "act", "with": {"event": "answer", "answer": {"text": "3 g"}}, "at": at, "state": begun["state"]}));
    println!("{begun:#}");
    panic!();
}
