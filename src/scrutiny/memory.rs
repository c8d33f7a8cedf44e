//! How much of a draw was seen in the draws before it.

use std::collections::BTreeSet;

use crate::problem::{Problem, Response};

/// How many draws come before the one that is compared with them.
const EARLIER: usize = 3;

/// Draws one after the other, in groups of four: three that are remembered, and one that is compared.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    seen: BTreeSet<String>,
    drawn: usize,
    /// Of the fourth draws: how many points there were, and how many of them were known.
    points: u64,
    known: u64,
}

impl Memory {
    /// Takes the next draw.
    pub fn take(&mut self, problem: &Problem) {
        let points: BTreeSet<String> =
            problem.parts.iter().flat_map(|part| points(&part.response)).collect();
        if self.drawn < EARLIER {
            self.drawn += 1;
            self.seen.extend(points);
            return;
        }
        self.points += points.len() as u64;
        self.known += points.intersection(&self.seen).count() as u64;
        *self = Self { points: self.points, known: self.known, ..Self::default() };
    }

    /// The share of a fourth draw that is known after three, in per cent; `None` where nothing but
    /// numbers is asked, or before the first fourth draw.
    pub fn known(&self) -> Option<u64> {
        (self.known * 100).checked_div(self.points)
    }
}

/// What a candidate can know again: answers, options, pairs and lines.
fn points(response: &Response) -> Vec<String> {
    match response {
        Response::Number(_) | Response::Verdict(_) => Vec::new(),
        Response::Matching(key) => key
            .left
            .iter()
            .zip(&key.answers)
            .map(|(left, answer)| {
                format!("{left} = {}", key.right.get(*answer).map_or("", String::as_str))
            })
            .collect(),
        Response::Ordering(key) => key.items.clone(),
        Response::Text(_) | Response::Range(_) => vec![response.answer()],
        Response::Written(key) => key.points.iter().map(|point| point.text.clone()).collect(),
        Response::Choice(_) | Response::Judgement(_) => {
            response.key().texts().into_iter().map(str::to_owned).collect()
        }
    }
}
