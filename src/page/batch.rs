//! An order for the bench, as `castmark batch` works it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::bank::{Order, OrderProblem};
use crate::batch::{Offered, solve};
use crate::export::{BenchDocument, Exporter, Html, Options, readable};

use super::bench::numbers;
use super::fault::{Fault, NumberProblem};
use super::talk::{Answered, Asked};

/// The values of an order by the keys that lead to them.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct With {
    order: BTreeMap<String, String>,
}

#[derive(Serialize)]
struct Sheet {
    title: String,
    html: String,
    name: &'static str,
}

/// The bases, and the drugs with their values, that the facts offer for an order.
pub(super) fn offered(asked: &Asked<'_>) -> Result<Answered, Fault> {
    asked.say(&Offered::of(asked.page.bank.facts()))
}

/// The sheet for the bench of an order.
pub(super) fn batch(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let With { order: values } = asked.with()?;
    let mut order = Order::default();
    for (path, text) in &values {
        if !order.set(path, text) {
            let path = crate::words::quoted(path, 60);
            return Err(asked.wrong(&format!("an order has no `{path}`")));
        }
    }
    let batch = solve(&order, asked.page.bank.facts())
        .map_err(|problems| numbers(problems.into_iter().map(told)))?;
    let document = BenchDocument::of_sheet(&batch.sheet);
    let html = Html.export_bench(&document, &Options::default()).map_err(Fault::failed)?;
    asked.say(&Sheet {
        title: readable(&document.title),
        html: String::from_utf8_lossy(&html).into_owned(),
        name: "batch.html",
    })
}

/// What is wrong with a value, as a sentence; `name` is the keys that lead to it.
fn told(problem: OrderProblem) -> NumberProblem {
    let OrderProblem { path, what, help, .. } = problem;
    let mut letters = what.chars();
    let first = letters.next().map(|first| first.to_uppercase().collect::<String>());
    let what = format!("{}{}", first.unwrap_or_default(), letters.as_str());
    NumberProblem { name: path, text: readable(&format!("{what}; {help}.")) }
}
