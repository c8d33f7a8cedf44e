//! An option or a line by its own words.

use crate::bank::Term;
use crate::formula::distance;

use super::letters::single;
use super::words::{runs, without_lead};

/// The index of the only text that these words name, or of a letter.
///
/// A text is named by all its words, with a letter before them or not, by words of it that no other
/// text has, and with a slip of spelling in words of five letters or more.
pub(super) fn index_named(words: &str, texts: &[&str]) -> Option<usize> {
    let words = words.trim();
    if let Some(index) = single(words.trim_end_matches(['.', ')']), texts.len()) {
        return Some(index);
    }
    let same = |text: &&str| ends_off(text).eq_ignore_ascii_case(ends_off(words));
    if let Some(index) = only(texts.iter().map(same)) {
        return Some(index);
    }
    if let Some(index) = by_letter_and_words(words, texts) {
        return Some(index);
    }
    // `A: ` says which is meant, so other words than those of A contradict it.
    let lettered =
        |mark: char| words.find(mark).is_some_and(|at| single(&words[..at], 26).is_some());
    if lettered(':') || lettered(')') {
        return None;
    }
    [words, without_lead(words)].into_iter().find_map(|words| by_words(words, texts))
}

/// The index of the only text whose words, whole or in part, these are.
fn by_words(words: &str, texts: &[&str]) -> Option<usize> {
    let wanted = Term::of(words);
    if wanted.is_empty() {
        return None;
    }
    let terms: Vec<Term> = texts.iter().map(|text| Term::of(text)).collect();
    let whole = || terms.iter().map(|term| term.is(&wanted));
    // Two texts that read alike are told apart by nothing.
    if whole().any(|same| same) {
        return only(whole());
    }
    let tells = wanted.words().iter().any(|word| word.chars().count() > 2);
    // Part of a text that denies something does not name it without the denial: `complies` is not
    // meant for `does not comply`.
    let denies = |term: &Term| term.words().iter().any(|word| is_denial(word));
    let whole_sense = |term: &Term| denies(&wanted) || !denies(term);
    let in_part = || terms.iter().map(|term| tells && term.contains(&wanted) && whole_sense(term));
    if in_part().any(|same| same) {
        return only(in_part());
    }
    only(terms.iter().map(|term| is_slip(term.words(), wanted.words())))
}

fn is_denial(word: &str) -> bool {
    ["not", "no", "never", "cannot"].contains(&word)
}

/// The index of a letter, when the words behind it are those of the same text: `D: soft soap`.
fn by_letter_and_words(words: &str, texts: &[&str]) -> Option<usize> {
    let first = runs(words).next()?;
    let index = single(first, texts.len())?;
    let rest = words.trim_start_matches(|c: char| !c.is_alphanumeric()).get(first.len()..)?;
    (by_words(rest, texts)? == index).then_some(index)
}

/// The index of the only one that is true.
fn only(fits: impl Iterator<Item = bool>) -> Option<usize> {
    let mut indices = fits.enumerate().filter(|(_, fits)| *fits).map(|(index, _)| index);
    indices.next().filter(|_| indices.next().is_none())
}

/// Returns whether the words are the same but for slips of spelling.
fn is_slip(words: &[String], typed: &[String]) -> bool {
    words.len() == typed.len()
        && words.iter().zip(typed).all(|(word, typed)| word == typed || is_misspelt(word, typed))
}

/// Returns whether a word is another one of five letters or more, misspelt: the first letter is right,
/// no figure is changed and few letters are.
fn is_misspelt(word: &str, typed: &str) -> bool {
    let letters = word.chars().count();
    let allowed = if letters < 5 { 0 } else { 1 + usize::from(letters > 8) };
    word.chars().next() == typed.chars().next()
        && !word.contains(|c: char| c.is_ascii_digit())
        && distance(word, typed) <= allowed
}

fn ends_off(text: &str) -> &str {
    text.trim().trim_end_matches('.')
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXTS: &[&str] = &[
        "Soft soap in glycerol and alcohol",
        "It is soluble in water.",
        "It is insoluble in water.",
        "none",
        "liquid paraffin",
    ];

    #[test]
    fn a_text_is_named_by_its_words_or_by_some_that_are_its_alone() {
        for (words, index) in [
            ("soft soap in glycerol and alcohol.", Some(0)),
            ("soft soap", Some(0)),
            ("a) soft soap", Some(0)),
            ("A: Soft soap in glycerol", Some(0)),
            ("sof soap", None),
            ("Soft soap in glycerol and alcahol", Some(0)),
            ("b", Some(1)),
            ("It is soluble in water", Some(1)),
            ("soluble in water", Some(1)),
            ("because it is insoluble in water", Some(2)),
            ("liquid parafin", Some(4)),
            ("(e) liquid", Some(4)),
            ("- e liquid", Some(4)),
            ("None.", Some(3)),
            // What two texts have, what contradicts its letter, what denies, what none has.
            ("in water", None),
            ("B soft soap", None),
            ("B: soft soap", None),
            ("a) none", None),
            ("not soft soap", None),
            ("beeswax", None),
            ("in", None),
            ("", None),
        ] {
            assert_eq!(index_named(words, TEXTS), index, "{words}");
        }
    }

    #[test]
    fn texts_that_differ_in_a_word_are_not_taken_for_each_other() {
        let texts = ["the typical form", "the atypical form", "macrogol 400", "macrogol 4000"];
        assert_eq!(index_named("the typical form", &texts), Some(0));
        assert_eq!(index_named("the atypical form", &texts), Some(1));
        assert_eq!(index_named("macrogol 400", &texts), Some(2));
        assert_eq!(index_named("macrogol 40", &texts), None);
        assert_eq!(index_named("macrogol", &texts), None);
        // A letter more at the front may turn the meaning round.
        let texts = ["the typical form", "the brittle form"];
        assert_eq!(index_named("the typicl form", &texts), Some(0));
        assert_eq!(index_named("the atypical form", &texts), None);
        let texts = ["it complies", "it does not comply", "test twenty more units"];
        assert_eq!(index_named("complies", &texts), Some(0));
        assert_eq!(index_named("does not comply", &texts), Some(1));
        assert_eq!(index_named("comply", &texts), Some(0));
        assert_eq!(index_named("twenty more", &texts), Some(2));
        let texts = ["it does not dissolve in water", "it is white"];
        assert_eq!(index_named("does not dissolve", &texts), Some(0));
        assert_eq!(index_named("dissolve in water", &texts), None);
        // Five letters are enough for a slip of spelling, four are not.
        let texts = ["white", "hard"];
        assert_eq!(index_named("whte", &texts), Some(0));
        assert_eq!(index_named("hrd", &texts), None);
        // Up to eight letters one may be wrong, from nine on two.
        let texts = ["ointment", "excipient"];
        assert_eq!(index_named("ointmet", &texts), Some(0));
        assert_eq!(index_named("oitmet", &texts), None);
        assert_eq!(index_named("excipint", &texts), Some(1));
        assert_eq!(index_named("excpint", &texts), Some(1));
        assert_eq!(index_named("excpnt", &texts), None);
        // A word of two letters tells nothing.
        let texts = ["put it on ice", "melt the base"];
        assert_eq!(index_named("ice", &texts), Some(0));
        assert_eq!(index_named("it on", &texts), None);
    }
}
