//! How far blind guessing gets.

use crate::problem::{ChoiceKey, MatchingKey, OrderingKey, Problem, Response};

use super::Settings;

/// A student who marks a written answer himself may be too kind: as lucky as the cap for guessing in
/// the literature on knowledge tracing allows (0.3). That it applies here is a judgement.
const SELF_MARKED: f64 = 0.3;

/// The chance, in a thousand, that blind guessing solves the problem at the first try.
///
/// It follows from the kind of answer: one of five options is guessed once in five times, true or
/// false with one of four reasons once in eight, an order of six once in 720. A problem of several
/// parts is solved when all of them are. Nothing counts as less lucky than a typed number or word,
/// whose chance is the setting `lucky`.
pub fn luck(problem: &Problem, settings: &Settings) -> u32 {
    let chance: f64 =
        problem.parts.iter().map(|part| guessed(&part.response, settings.lucky)).product();
    in_a_thousand(chance.max(settings.lucky))
}

/// The chance that one part is guessed.
fn guessed(response: &Response, lucky: f64) -> f64 {
    match response {
        Response::Number(_) | Response::Text(_) | Response::Range(_) => lucky,
        Response::Choice(key) => one_of(selections(key)),
        Response::Verdict(key) => one_of(count(key.options.len())),
        Response::Judgement(key) => one_of(2.0 * count(key.reasons.len().max(1))),
        Response::Matching(key) => one_of(pairings(key)),
        Response::Ordering(key) => one_of(orders(key)),
        Response::Written(_) => SELF_MARKED,
    }
}

/// How many selections there are of as many options as are right.
fn selections(key: &ChoiceKey) -> f64 {
    let rights = key.right.iter().filter(|right| **right).count();
    let taken = |index: usize| count(key.options.len() - index) / count(index + 1);
    (0..rights.min(key.options.len())).map(taken).product()
}

fn pairings(key: &MatchingKey) -> f64 {
    let choices = |line: usize| {
        let left = if key.shared { key.right.len() } else { key.right.len().saturating_sub(line) };
        count(left.max(1))
    };
    (0..key.left.len()).map(choices).product()
}

fn orders(key: &OrderingKey) -> f64 {
    (1..=key.items.len()).map(count).product()
}

fn one_of(ways: f64) -> f64 {
    1.0 / ways.max(1.0)
}

fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}

fn in_a_thousand(chance: f64) -> u32 {
    (1..=1000).rev().find(|n| chance * 1000.0 + 1e-9 >= f64::from(*n)).unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Choice;
    use crate::practice::bundled;
    use crate::problem::JudgementKey;

    fn choices(count: usize) -> Vec<Choice> {
        let choice = Choice {
            text: String::new(),
            because: String::new(),
            source: String::new(),
            point: String::new(),
        };
        vec![choice; count]
    }

    #[test]
    fn luck_follows_the_kind_of_answer() {
        let judgement = JudgementKey {
            statement: String::new(),
            truth: true,
            source: String::new(),
            because: String::new(),
            reasons: choices(4),
            right: Some(0),
        };
        let ordering = OrderingKey {
            items: vec![String::new(); 6],
            order: (0..6).collect(),
            before: Vec::new(),
            source: String::new(),
        };
        let matching = |shared| MatchingKey {
            left: vec![String::new(); 2],
            right: vec![String::new(); 3],
            answers: vec![0, 1],
            sources: Vec::new(),
            shared,
        };
        for (response, ways) in [
            (Response::Judgement(judgement), 8.0),
            (Response::Ordering(ordering), 720.0),
            (Response::Matching(matching(false)), 6.0),
            (Response::Matching(matching(true)), 9.0),
        ] {
            assert!((guessed(&response, 0.05) * ways - 1.0).abs() < 1e-9, "{response:?}");
        }
    }

    #[test]
    fn nothing_is_less_lucky_than_a_typed_number() {
        let bank = bundled();
        for template in ["base-one-drug", "order-of-fusion"] {
            let problem = Problem::draw(bank, bank.find(template).unwrap(), 7).unwrap();
            assert_eq!(luck(&problem, &Settings::default()), 50);
        }
    }

    #[test]
    fn selections_are_counted_as_a_lottery_counts_them() {
        // 2 of 5 are 10, 3 of 6 are 20: binomial coefficients.
        let key = |options: usize, rights: usize| ChoiceKey {
            options: choices(options),
            right: (0..options).map(|index| index < rights).collect(),
            several: true,
            is_procedure: false,
        };
        for (options, rights, ways) in [(5, 1, 5.0), (5, 2, 10.0), (6, 3, 20.0), (4, 4, 1.0)] {
            assert!((selections(&key(options, rights)) - ways).abs() < 1e-9);
        }
    }
}
