//! Marking what is chosen, matched, put in order or named.
//!
//! Part marks are those that `marking` gives for the same pieces; only what adds the pieces up is the
//! standard's.

use std::collections::BTreeMap;

use crate::bank::TextCase;
use crate::marking::{Concordance, Pieces, ReasonFound};
use crate::problem::{ChoiceKey, JudgementKey, MatchingKey, OrderingKey, Response, VerdictKey};

use super::super::answer::{FALSE, REASON, TRUE, line, option, partner};
use super::super::xml::{Element, qti};
use super::asked::{Asked, Scoring};
use super::number::FEEDBACK;
use super::pattern::words;
use super::processing::{
    FirstOf, any, float, integer, is_correct, is_like, is_mapped_to, is_same, named, note, set,
    sum, variable,
};

/// Marks a part of theory.
pub(in crate::export::qti) fn score(asked: &Asked<'_>, response: &Response, scoring: &mut Scoring) {
    match response {
        Response::Choice(key) if key.several => options(asked, key, scoring),
        Response::Choice(key) => {
            scoring.answers[0].correct = rights(key).map(option).collect();
            whole(asked, scoring);
        }
        Response::Verdict(key) => verdict(asked, key, scoring),
        Response::Judgement(key) => judgement(asked, key, scoring),
        Response::Matching(key) => matching(asked, key, scoring),
        Response::Ordering(key) => ordering(asked, key, scoring),
        Response::Text(key) => term(asked, key, scoring),
        Response::Number(_) | Response::Range(_) | Response::Written(_) => {}
    }
}

/// The rule that sets the score of a part.
fn marks(asked: &Asked<'_>, marks: u32) -> Element {
    set(&asked.score(), float(&marks.to_string()))
}

/// All marks for the correct answer, none for another.
fn whole(asked: &Asked<'_>, scoring: &mut Scoring) {
    let mut first = FirstOf::default();
    first.or_if(is_correct(&asked.answer("")), [marks(asked, asked.part.marks)]);
    scoring.rules.extend(first.rule());
}

fn rights(key: &ChoiceKey) -> impl Iterator<Item = usize> + '_ {
    (0..key.options.len()).filter(|index| key.right.get(*index) == Some(&true))
}

/// The rules for what a value earns: the least that is needed for each number of marks, the highest
/// first.
fn by_value(
    asked: &Asked<'_>,
    earned: impl IntoIterator<Item = (usize, u32)>,
    is_enough: impl Fn(usize) -> Element,
    scoring: &mut Scoring,
) {
    let mut least: BTreeMap<u32, usize> = BTreeMap::new();
    for (value, marks) in earned.into_iter().filter(|(_, marks)| *marks > 0) {
        let known = least.entry(marks).or_insert(value);
        *known = value.min(*known);
    }
    let mut first = FirstOf::default();
    for (earned, value) in least.into_iter().rev() {
        first.or_if(is_enough(value), [marks(asked, earned)]);
    }
    scoring.rules.extend(first.rule());
}

/// Each right option counts as many as there are wrong ones, and each wrong one as many as there are
/// right ones less, so that all of them together count nothing.
fn options(asked: &Asked<'_>, key: &ChoiceKey, scoring: &mut Scoring) {
    let of_right = rights(key).count();
    let of_wrong = key.options.len().saturating_sub(of_right);
    let unit = |count: usize| i64::try_from(count).unwrap_or_default();
    scoring.answers[0].correct = rights(key).map(option).collect();
    scoring.answers[0].counts = (0..key.options.len())
        .map(|index| {
            let is_right = key.right.get(index) == Some(&true);
            let counts = if is_right { unit(of_wrong.max(1)) } else { -unit(of_right) };
            (option(index), counts)
        })
        .collect();
    let mut earned = Vec::new();
    for (right, wrong) in (0..=of_right).flat_map(|right| (0..=of_wrong).map(move |it| (right, it)))
    {
        let pieces = Pieces::Options {
            right: (0..right).collect(),
            wrong: (0..wrong).collect(),
            rights: of_right,
            wrongs: of_wrong,
            several: true,
        };
        let value = (right * of_wrong.max(1)).checked_sub(wrong * of_right);
        earned.extend(value.map(|value| (value, pieces.marks(asked.part.marks))));
    }
    by_value(asked, earned, |value| is_mapped_to(&asked.answer(""), value), scoring);
}

/// A verdict; one that a single slip leads to shows that slip.
fn verdict(asked: &Asked<'_>, key: &VerdictKey, scoring: &mut Scoring) {
    let answer = asked.answer("");
    scoring.answers[0].correct = vec![option(key.right)];
    let mut first = FirstOf::default();
    first.or_if(is_correct(&answer), [marks(asked, asked.part.marks)]);
    for known in asked.slips.iter().filter(|_| asked.tells) {
        let Some(slip) = key.slips.iter().find(|slip| slip.slip == known.index) else { continue };
        let lead_there = key.slips.iter().filter(|other| other.option == slip.option).count();
        if lead_there == 1 && slip.option != key.right {
            let id = format!("SLIP_{}", known.index + 1);
            let chosen = is_same(variable(&answer), named(&option(slip.option)));
            first.or_if(chosen, [note(FEEDBACK, &id)]);
            scoring.said.push((id, known.say.clone()));
        }
    }
    scoring.rules.extend(first.rule());
}

/// The reason counts only with the correct choice of true or false.
fn judgement(asked: &Asked<'_>, key: &JudgementKey, scoring: &mut Scoring) {
    let of = asked.part.marks;
    let truth = if key.truth { TRUE } else { FALSE };
    scoring.answers[0].correct = vec![truth.to_owned()];
    let mut first = FirstOf::default();
    let is_judged = is_correct(&asked.answer(""));
    if let Some(right) = key.right {
        scoring.answers[1].correct = vec![option(right)];
        let both = qti("and").child(is_judged.clone()).child(is_correct(&asked.answer(REASON)));
        first.or_if(both, [marks(asked, of)]);
        let half = Pieces::Judged { truth: true, reason: ReasonFound::Wrong }.marks(of);
        first.or_if(is_judged, [marks(asked, half)]);
    } else {
        first.or_if(is_judged, [marks(asked, of)]);
    }
    scoring.rules.extend(first.rule());
}

/// Each right pair counts one.
fn matching(asked: &Asked<'_>, key: &MatchingKey, scoring: &mut Scoring) {
    let pairs: Vec<String> = key
        .answers
        .iter()
        .enumerate()
        .map(|(index, right)| format!("{} {}", line(index), partner(*right)))
        .collect();
    scoring.answers[0].counts = pairs.iter().map(|pair| (pair.clone(), 1)).collect();
    scoring.answers[0].correct = pairs;
    let lines = key.left.len();
    let earned = (0..=lines).map(|right| {
        let wrong = (right..lines).map(|line| line + 1).collect();
        let pieces = Pieces::Lines { of: lines, wrong, empty: Vec::new() };
        (right, pieces.marks(asked.part.marks))
    });
    by_value(asked, earned, |value| is_mapped_to(&asked.answer(""), value), scoring);
}

/// The pairs of lines in the right order are counted: first the place of each line is found, then each
/// pair is compared.
fn ordering(asked: &Asked<'_>, key: &OrderingKey, scoring: &mut Scoring) {
    let answer = asked.answer("");
    let lines = key.items.len();
    scoring.answers[0].correct = key.order.iter().map(|index| option(*index)).collect();
    for item in 0..lines {
        let mut first = FirstOf::default();
        for nth in 1..=lines {
            let at = qti("index").with("n", nth.to_string()).child(variable(&answer));
            let rule = set(&place_of(asked, item), integer(nth));
            first.or_if(is_same(at, named(&option(item))), [rule]);
        }
        scoring.rules.extend(first.rule());
    }
    let counted = counted(asked);
    for (one, other) in &key.before {
        let mut first = FirstOf::default();
        let indices = [one, other].map(|item| variable(&place_of(asked, *item)));
        let more = qti("sum").child(variable(&counted)).child(integer(1));
        first.or_if(qti("lt").children(indices), [set(&counted, more)]);
        scoring.rules.extend(first.rule());
    }
    let pairs = key.before.len();
    let earned = (0..=pairs).map(|right| {
        let pairs = Concordance { right, wrong: pairs - right, of: pairs };
        (right, Pieces::Order { pairs, missing: 0 }.marks(asked.part.marks))
    });
    let is_enough = |right| qti("gte").child(variable(&counted)).child(integer(right));
    by_value(asked, earned, is_enough, scoring);
}

/// The outcomes that an order needs besides its score: the place of each line and the pairs counted.
pub(in crate::export::qti) fn own_outcomes(asked: &Asked<'_>) -> Vec<String> {
    let response = asked.part.marking.as_ref().map(|marking| &marking.response);
    let Some(Response::Ordering(key)) = response else { return Vec::new() };
    let indices = (0..key.items.len()).map(|item| place_of(asked, item));
    indices.chain([counted(asked)]).collect()
}

fn place_of(asked: &Asked<'_>, item: usize) -> String {
    format!("PLACE_{}_{}", option(asked.index), option(item))
}

fn counted(asked: &Asked<'_>) -> String {
    format!("PAIRS_{}", option(asked.index))
}

/// The accepted terms, wherever their words are parted and in letters of any size.
fn term(asked: &Asked<'_>, key: &TextCase, scoring: &mut Scoring) {
    let answer = asked.answer("");
    scoring.answers[0].correct = vec![key.answers[0].clone()];
    scoring.answers[0].counts = key.answers.iter().map(|term| (term.clone(), 1)).collect();
    let mut tests = vec![is_mapped_to(&answer, 1)];
    tests.extend(key.answers.iter().map(|term| is_like(&answer, &spelt(term))));
    let mut first = FirstOf::default();
    first.or_if(any(tests), [marks(asked, asked.part.marks)]);
    scoring.rules.extend(first.rule());
}

/// A term as it may be typed: after an article, with hyphens or blanks or neither, in the plural.
fn spelt(term: &str) -> String {
    let parted: Vec<String> = term
        .split([' ', '-'])
        .filter(|word| !word.is_empty())
        .map(|word| words(word, true))
        .collect();
    let plural = if term.ends_with('s') { "" } else { "[sS]?" };
    format!(
        "\\s*([aA]\\s+|[aA][nN]\\s+|[tT][hH][eE]\\s+)?{}{plural}\\s*[.]?\\s*",
        parted.join("[\\s\\-]*")
    )
}

/// The sum of the scores of parts, as the score of the item.
pub(in crate::export::qti) fn total(scores: &[String]) -> Element {
    set("SCORE", sum(scores))
}
