//! A word or two held against the terms that are known.

use crate::bank::{Term, TextCase};
use crate::formula::distance;

use super::words::{pieces, tidy};

/// What a typed term was found to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::marking) enum TermFound {
    /// A term that is accepted.
    Accepted {
        /// The term, as the key writes it.
        term: String,
        /// How like it the answer is.
        likeness: Likeness,
    },
    /// Another term of the subject.
    Other {
        /// That term.
        term: String,
    },
    /// Neither: whether it is right is for a person to say.
    Unknown,
}

/// How like an accepted term an answer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::marking) enum Likeness {
    /// It is the term.
    Same,
    /// It is the term with words before it that say which: `analytical balance`.
    Qualified,
    /// It is spelt otherwise.
    Misspelt,
}

/// Words that turn a term into its contrary.
const DENIALS: &[&str] = &["no", "not", "non", "without", "never", "anti", "un", "in", "pseudo"];

/// Finds what an answer names; nothing when it holds no word at all.
///
/// Several terms in one answer are accepted when each is by itself.
pub(in crate::marking) fn find_term(answer: &str, key: &TextCase) -> Option<TermFound> {
    let answer = tidy(answer);
    let known = Known(key);
    let whole = Term::of(&answer);
    if whole.is_empty() {
        return None;
    }
    if let Some(found) = known.same(&whole) {
        return Some(found);
    }
    let listed = [" or ", " and ", "/", ","]
        .iter()
        .fold(answer.clone(), |text, between| text.replace(between, ";"));
    let found: Vec<TermFound> = pieces(&listed).map(|piece| known.find(&Term::of(piece))).collect();
    let accepted = |found: &TermFound| matches!(found, TermFound::Accepted { .. });
    if let [first, _, ..] = found.as_slice() {
        let all = found.iter().all(accepted);
        return Some(if all { first.clone() } else { TermFound::Unknown });
    }
    let outside = outside_brackets(&answer).map(|outside| known.find(&Term::of(&outside)));
    Some(outside.filter(accepted).unwrap_or_else(|| known.find(&whole)))
}

/// The terms of a key.
struct Known<'a>(&'a TextCase);

impl Known<'_> {
    fn find(&self, typed: &Term) -> TermFound {
        let misspelt = || {
            let term = self.misspelt(typed)?;
            Some(TermFound::Accepted { term, likeness: Likeness::Misspelt })
        };
        let found = self.same(typed).or_else(|| self.qualified(typed)).or_else(misspelt);
        found.unwrap_or(TermFound::Unknown)
    }

    /// The term that the answer is, wherever its words are parted.
    fn same(&self, typed: &Term) -> Option<TermFound> {
        let accepted = self.0.accepted().find(|(term, _)| term.is(typed)).map(|(_, text)| {
            TermFound::Accepted { term: text.to_owned(), likeness: Likeness::Same }
        });
        let other = || {
            let found = self.0.wrong().find(|(term, _)| term.is(typed));
            found.map(|(_, text)| TermFound::Other { term: text.to_owned() })
        };
        accepted.or_else(other)
    }

    /// The term that the answer ends in: of accepted and other ones the longest decides.
    fn qualified(&self, typed: &Term) -> Option<TermFound> {
        let ends = |(term, _): &(&Term, &str)| {
            typed.words().len() > term.words().len() && typed.words().ends_with(term.words())
        };
        let length = |(term, text): (&Term, &str)| (term.words().len(), text.to_owned());
        let accepted = self.0.accepted().filter(ends).map(length).max_by_key(|(length, _)| *length);
        let other = self.0.wrong().filter(ends).map(length).max_by_key(|(length, _)| *length);
        let (length, term) = match (accepted, other) {
            (Some(accepted), Some(other)) if accepted.0 <= other.0 => {
                return Some(TermFound::Other { term: other.1 });
            }
            (Some(accepted), _) => accepted,
            (None, _) => return None,
        };
        let before = &typed.words()[..typed.words().len() - length];
        // Words before the term that deny it or name another one leave open what is meant.
        let denies = before.iter().any(|word| DENIALS.contains(&word.as_str()));
        let names_another = self.0.wrong().any(|(other, _)| {
            let words = other.words();
            !words.is_empty() && before.windows(words.len()).any(|run| run == words)
        });
        Some(if denies || names_another {
            TermFound::Unknown
        } else {
            TermFound::Accepted { term, likeness: Likeness::Qualified }
        })
    }

    /// The accepted term that the answer misspells, when no other known term is as near.
    fn misspelt(&self, typed: &Term) -> Option<String> {
        let letters = typed.joined();
        let (apart, term, text) = nearest(letters, self.0.accepted())?;
        let spelt = term.joined();
        let fits = apart <= slips_allowed(spelt)
            && letters.chars().next() == spelt.chars().next()
            && figures(letters) == figures(spelt)
            && nearest(letters, self.0.wrong()).is_none_or(|(others, ..)| others > apart);
        fits.then(|| text.to_owned())
    }
}

/// The term that is spelt most like these letters, and how many letters differ.
fn nearest<'a>(
    letters: &str,
    terms: impl Iterator<Item = (&'a Term, &'a str)>,
) -> Option<(usize, &'a Term, &'a str)> {
    let apart = |(term, text): (&'a Term, &'a str)| (distance(letters, term.joined()), term, text);
    terms.map(apart).min_by_key(|(apart, ..)| *apart)
}

/// How many letters of a term may be wrong: none of three, one from four on, two from nine on.
fn slips_allowed(term: &str) -> usize {
    match term.chars().count() {
        0..=3 => 0,
        4..=8 => 1,
        _ => 2,
    }
}

/// The figures in a term, which no slip of spelling changes: macrogol 400 is not macrogol 4000.
fn figures(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_ascii_digit()).filter(|run| !run.is_empty()).collect()
}

/// The text without what stands in brackets, when something does: `balance (analytical)`.
fn outside_brackets(text: &str) -> Option<String> {
    let (before, rest) = text.split_once('(')?;
    let (_, after) = rest.split_once(')').unwrap_or((rest, ""));
    Some(format!("{before} {after}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(answers: &[&str], others: &[&str]) -> TextCase {
        let texts = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
        TextCase::new(texts(answers), texts(others), String::new())
    }

    fn likeness(answer: &str, key: &TextCase) -> Option<Likeness> {
        match find_term(answer, key)? {
            TermFound::Accepted { likeness, .. } => Some(likeness),
            _ => None,
        }
    }

    #[test]
    fn an_accepted_term_may_be_plural_hyphenated_or_american() {
        let mould = key(&["metal mould"], &["water-bath", "grater"]);
        for answer in [
            "metal mould",
            "Metal molds.",
            "a metal-mould",
            "the metal mold",
            "it is a metal mould",
        ] {
            assert_eq!(likeness(answer, &mould), Some(Likeness::Same), "{answer}");
        }
    }

    #[test]
    fn a_term_may_have_words_before_it_that_say_which() {
        let balance = key(&["balance", "scales"], &["sieve", "water-bath", "spring balance"]);
        for answer in
            ["analytical balance", "weighing balance", "an electronic balance", "kitchen scales"]
        {
            assert_eq!(likeness(answer, &balance), Some(Likeness::Qualified), "{answer}");
        }
        let spring = Some(TermFound::Other { term: "spring balance".to_owned() });
        assert_eq!(find_term("spring balance", &balance), spring);
        assert_eq!(find_term("a small spring balance", &balance), spring);
        // The longer one decides, whichever it is.
        let long = key(&["spring balance"], &["balance"]);
        assert_eq!(likeness("a small spring balance", &long), Some(Likeness::Qualified));
        for answer in ["not a balance", "sieve balance", "balance sheet", "water bath and balance"]
        {
            assert_eq!(find_term(answer, &balance), Some(TermFound::Unknown), "{answer}");
        }
        assert_eq!(likeness("balance (analytical)", &balance), Some(Likeness::Same));
        assert_eq!(likeness("scale or balance", &balance), Some(Likeness::Same));
        for answer in ["balance or sieve", "spoon or balance", "balance and spoon"] {
            assert_eq!(find_term(answer, &balance), Some(TermFound::Unknown), "{answer}");
        }
    }

    #[test]
    fn short_words_may_be_misspelt_where_no_other_term_is_as_near() {
        let sieve = key(&["sieve"], &["grater", "balance"]);
        for answer in ["sive", "seive", "sieeve", "sieves"] {
            assert!(likeness(answer, &sieve).is_some(), "{answer}");
        }
        assert_eq!(likeness("sife", &sieve), None, "two letters of five");
        let base = key(&["base"], &["bath", "bass"]);
        assert_eq!(likeness("bas", &base), None, "as near to another");
        let thermometer = key(&["thermometer"], &["refrigerator"]);
        assert_eq!(likeness("themomter", &thermometer), Some(Likeness::Misspelt));
        let fat = key(&["fat"], &[]);
        assert_eq!(likeness("fet", &fat), None);
        let figures = key(&["macrogol 4000"], &[]);
        assert_eq!(likeness("macrogl 4000", &figures), Some(Likeness::Misspelt));
        assert_eq!(likeness("macrogol 400", &figures), None);
    }

    #[test]
    fn other_terms_are_wrong_and_unknown_ones_are_for_a_person() {
        let role = key(&["active ingredient", "drug"], &["base", "lubricant"]);
        assert_eq!(find_term("Base", &role), Some(TermFound::Other { term: "base".to_owned() }));
        for answer in ["astringent", "ingredient", "the thing that works"] {
            assert_eq!(find_term(answer, &role), Some(TermFound::Unknown), "{answer}");
        }
        assert_eq!(find_term(" - ", &role), None);
        let prime = key(&["beta prime"], &["beta", "alpha"]);
        assert_eq!(likeness("β′", &prime), Some(Likeness::Same));
        assert_eq!(find_term("β", &prime), Some(TermFound::Other { term: "beta".to_owned() }));
    }
}
