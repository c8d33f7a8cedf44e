//! Proving what parts of theory promise: one right answer where one is asked, nothing twice, and no
//! clue by the look of an option.

use std::collections::BTreeMap;

use castmark::bank::{Choice, Term};
use castmark::problem::{ChoiceKey, Part, Response};

/// A clue is looked for from so many draws on.
const ENOUGH: u64 = 100;

/// In how many of a hundred draws the right option may be the longest, or the shortest: far from one
/// in four or five, but a guess by length must not be worth more than knowing.
const MOST_CLUES: u64 = 60;

/// How often the right option of each part stood out.
#[derive(Debug, Default)]
pub(super) struct Clues(BTreeMap<String, Lengths>);

#[derive(Debug, Default)]
struct Lengths {
    seen: u64,
    longest: u64,
    shortest: u64,
}

impl Clues {
    /// Looks at one part as drawn; gives what is wrong with it.
    pub(super) fn look_at(&mut self, part: &Part) -> Vec<String> {
        let Part { id, ask, response, .. } = part;
        let mut faults = Vec::new();
        match response {
            Response::Choice(key) => {
                faults.extend(alike(id, "option", &key.options));
                faults.extend(rights(id, key));
                if !key.several && !key.is_procedure {
                    let right = key.right.iter().position(|right| *right).unwrap_or_default();
                    self.count(id, &key.options, right);
                }
            }
            Response::Judgement(key) => {
                faults.extend(alike(id, "reason", &key.reasons));
                if let Some(right) = key.right {
                    self.count(id, &key.reasons, right);
                }
            }
            Response::Matching(key) => {
                faults.extend(repeated(id, "line", &key.left));
                faults.extend(repeated(id, "choice", &key.right));
            }
            Response::Ordering(key) => faults.extend(repeated(id, "line", &key.items)),
            Response::Text(key) => {
                let is_answer = |other: &Term| key.accepted().any(|(one, _)| one.is(other));
                let clash = key.wrong().find(|(other, _)| is_answer(other));
                let fault = |(_, term)| format!("part `{id}`: {term} is right and wrong");
                faults.extend(clash.map(fault));
            }
            Response::Written(key) => {
                let points: Vec<String> = key.points.iter().map(|one| one.text.clone()).collect();
                faults.extend(repeated(id, "point", &points));
            }
            Response::Verdict(key) => faults.extend(repeated(id, "verdict", &key.options)),
            Response::Number(_) | Response::Range(_) => {}
        }
        let ends_open = [" a", " an", " the"].iter().find(|end| ask.trim_end().ends_with(*end));
        if let Some(end) = ends_open {
            faults.push(format!(
                "part `{id}` ends in \"{}\", which only some answers fit",
                end.trim()
            ));
        }
        if !response.is_worked_out() && response.sources().is_empty() {
            faults.push(format!("part `{id}` has an answer without a source"));
        }
        faults
    }

    fn count(&mut self, id: &str, options: &[Choice], right: usize) {
        let length = |option: &Choice| option.text.chars().count();
        let Some(own) = options.get(right).map(length) else { return };
        let mut others = options.iter().enumerate().filter(|(n, _)| *n != right);
        let lengths = self.0.entry(id.to_owned()).or_default();
        lengths.seen += 1;
        lengths.longest += u64::from(others.clone().all(|(_, other)| length(other) < own));
        lengths.shortest += u64::from(others.all(|(_, other)| length(other) > own));
    }

    /// What only shows over many draws.
    pub(super) fn judge(&self) -> Vec<String> {
        let mut faults = Vec::new();
        for (id, lengths) in &self.0 {
            for (count, what) in [(lengths.longest, "longest"), (lengths.shortest, "shortest")] {
                let share = count.saturating_mul(100).checked_div(lengths.seen).unwrap_or(0);
                if lengths.seen >= ENOUGH && share > MOST_CLUES {
                    faults.push(format!(
                        "part `{id}`: the right one is the {what} in {share} of 100 draws; make the others as long"
                    ));
                }
            }
        }
        faults
    }
}

/// As many right options as the kind of question wants.
fn rights(id: &str, key: &ChoiceKey) -> Option<String> {
    let rights = key.right.iter().filter(|right| **right).count();
    let fits = if key.several { rights >= 1 && rights < key.right.len() } else { rights == 1 };
    (!fits).then(|| format!("part `{id}` has {rights} right of {} options", key.right.len()))
}

/// Options that say the same, or that stand out by a capital, a stop or by naming the others.
fn alike(id: &str, what: &str, options: &[Choice]) -> Vec<String> {
    let texts: Vec<String> = options.iter().map(|option| option.text.clone()).collect();
    let mut faults: Vec<String> = repeated(id, what, &texts).into_iter().collect();
    let stops = |text: &&String| text.ends_with('.');
    if let Some(text) = texts.iter().find(stops).filter(|_| !texts.iter().all(|text| stops(&text)))
    {
        faults.push(format!("part `{id}`: only some {what}s end in a stop, as \"{text}\" does"));
    }
    let begins_small = |text: &&String| text.chars().next().is_some_and(char::is_lowercase);
    let capitals = texts.iter().filter(|text| !begins_small(text)).count();
    let sentence = texts.iter().find(|text| is_sentence(text));
    if let Some(text) = sentence.filter(|_| capitals < texts.len()) {
        faults.push(format!(
            "part `{id}`: only some {what}s begin like a sentence, as \"{text}\" does"
        ));
    }
    let names_others = |text: &&String| {
        let text = text.to_lowercase();
        ["all of the above", "none of the above", "all of these", "none of these"]
            .iter()
            .any(|words| text.contains(words))
    };
    if let Some(text) = texts.iter().find(names_others) {
        faults.push(format!("part `{id}`: \"{text}\" names the other {what}s"));
    }
    faults
}

/// Whether a text begins with a capital that only a sentence gives it: not a name, not a figure.
fn is_sentence(text: &str) -> bool {
    let first = text.split_whitespace().next().unwrap_or_default();
    ["A", "An", "The", "It", "They", "This", "These", "No", "All"].contains(&first)
}

fn repeated(id: &str, what: &str, texts: &[String]) -> Option<String> {
    let plain = |text: &String| text.trim().to_lowercase();
    let again = texts
        .iter()
        .enumerate()
        .find(|(n, text)| texts[..*n].iter().any(|earlier| plain(earlier) == plain(text)));
    again.map(|(_, text)| format!("part `{id}` shows the {what} \"{text}\" twice"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn choices(texts: &[&str]) -> Vec<Choice> {
        let choice = |text: &&str| Choice {
            text: (*text).to_owned(),
            source: "s".to_owned(),
            ..Choice::default()
        };
        texts.iter().map(choice).collect()
    }

    fn part(id: &str, texts: &[&str], right: &[bool]) -> Part {
        let response = Response::Choice(ChoiceKey {
            options: choices(texts),
            right: right.to_vec(),
            several: false,
            is_procedure: false,
        });
        Part { id: id.to_owned(), ask: "Which?".to_owned(), marks: 1, response }
    }

    #[track_caller]
    fn check(texts: &[&str], right: &[bool], expected: &[&str]) {
        assert_eq!(Clues::default().look_at(&part("a", texts, right)), expected);
    }

    #[test]
    fn options_that_give_themselves_away_are_told() {
        check(&["oily", "dry"], &[true, false], &[]);
        check(&["oily", "Oily "], &[true, false], &["part `a` shows the option \"Oily \" twice"]);
        check(&["oily", "dry"], &[true, true], &["part `a` has 2 right of 2 options"]);
        check(
            &["oily", "dry."],
            &[true, false],
            &["part `a`: only some options end in a stop, as \"dry.\" does"],
        );
        check(
            &["oily", "None of the above"],
            &[true, false],
            &["part `a`: \"None of the above\" names the other options"],
        );
        check(
            &["It melts", "dry"],
            &[true, false],
            &["part `a`: only some options begin like a sentence, as \"It melts\" does"],
        );
        check(&["USP 35 glycerol", "dry"], &[true, false], &[]);
    }

    #[test]
    fn a_question_that_ends_in_an_article_is_told() {
        let mut asked = part("a", &["oily", "dry"], &[true, false]);
        "It is a".clone_into(&mut asked.ask);
        let found = Clues::default().look_at(&asked);
        assert_eq!(found, ["part `a` ends in \"a\", which only some answers fit"]);
    }

    #[test]
    fn a_right_option_that_is_mostly_the_longest_is_a_clue() {
        let mut clues = Clues::default();
        for _ in 0..ENOUGH {
            clues.look_at(&part("a", &["rather long", "dry"], &[true, false]));
            clues.look_at(&part("b", &["one", "two"], &[true, false]));
        }
        assert_eq!(
            clues.judge(),
            ["part `a`: the right one is the longest in 100 of 100 draws; make the others as long"]
        );
    }
}
