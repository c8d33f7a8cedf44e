//! Batches for the bench: published examples, bad orders, sheets and the readings of a class.

#[path = "batch/published.rs"]
mod published;

#[path = "batch/refused.rs"]
mod refused;

#[path = "batch/sheets.rs"]
mod sheets;

#[path = "batch/readings.rs"]
mod readings;

use std::sync::OnceLock;

use castmark::bank::{Bank, Order, OrderProblem, OrderedDrug};
use castmark::batch::{Batch, solve};

fn bundled() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

/// An order as JSON, which is how a page gives it.
fn order(json: serde_json::Value) -> Order {
    serde_json::from_value(json).unwrap()
}

#[track_caller]
fn worked(json: serde_json::Value) -> Batch {
    solve(&order(json), bundled().facts()).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

fn refused(json: serde_json::Value) -> Vec<OrderProblem> {
    solve(&order(json), bundled().facts()).map(|batch| batch.sheet).unwrap_err()
}

#[test]
fn the_keys_of_an_ingredient_are_those_that_can_be_set() {
    let mut drug = OrderedDrug::default();
    for key in OrderedDrug::KEYS {
        assert!(drug.field_mut(key).is_some(), "{key}");
    }
    assert!(drug.field_mut("casts").is_none());
}
