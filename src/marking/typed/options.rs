//! Options of a question, by letters or by their words.

use crate::problem::letter_index;

use super::letters::read_letters;
use super::named::index_named;
use super::words::{pieces, runs, tidy};

/// The options that were chosen, each once, in the order of the question.
///
/// They are written as letters, `A C`, or in words with semicolons between them. Where several may be
/// right, `all` and `none` are read as well. Whether one may be chosen or several is not asked here.
pub(in crate::marking) fn read_options(
    answer: &str,
    texts: &[&str],
    several: bool,
) -> Option<Vec<usize>> {
    let answer = tidy(answer);
    let mut chosen = chosen(&answer, texts, several)?;
    chosen.sort_unstable();
    chosen.dedup();
    Some(chosen)
}

fn chosen(answer: &str, texts: &[&str], several: bool) -> Option<Vec<usize>> {
    let same = |text: &&str| text.trim().eq_ignore_ascii_case(answer);
    if let Some(index) = texts.iter().position(same) {
        return Some(vec![index]);
    }
    if several && is_span(answer, texts.len()) {
        return None;
    }
    if let Some(letters) = read_letters(answer, texts.len()) {
        return Some(letters);
    }
    if several {
        let words: Vec<String> = runs(answer).map(str::to_ascii_lowercase).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        match words.as_slice() {
            ["all"] | ["all", "of", "them" | "these" | "the", ..] => {
                return Some((0..texts.len()).collect());
            }
            ["none"] | ["none", "of", "them" | "these" | "the", ..] => return Some(Vec::new()),
            _ => {}
        }
    }
    let listed = || {
        let indices = pieces(answer).map(|piece| index_named(piece, texts));
        indices.collect::<Option<Vec<usize>>>().filter(|indices| !indices.is_empty())
    };
    // A comma may be one of the option's own; a semicolon parts two.
    if answer.contains([';', '\n']) {
        return listed();
    }
    index_named(answer, texts).map(|index| vec![index]).or_else(listed)
}

/// Returns whether an answer such as `A-D` could be the two letters or all from one to the other.
fn is_span(answer: &str, count: usize) -> bool {
    let Some((from, to)) = answer.split_once(['-', '–']) else { return false };
    let index = |text: &str| {
        let mut letters = text.trim().chars();
        letters
            .next()
            .filter(|_| letters.next().is_none())
            .and_then(|letter| letter_index(letter, count))
    };
    matches!((index(from), index(to)), (Some(from), Some(to)) if to > from + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXTS: &[&str] = &[
        "soft soap",
        "liquid paraffin",
        "a mortar, a tile and a knife",
        "ichthammol in fat",
        "none",
    ];

    #[test]
    fn one_option_is_read_in_any_dress() {
        for answer in
            ["D", "d.", "(d)", "option d", "line D", "ichthammol", "Ichthammol in fat.", "Ｄ"]
        {
            assert_eq!(read_options(answer, TEXTS, false), Some(vec![3]), "{answer}");
        }
        assert_eq!(read_options("a mortar, a tile and a knife", TEXTS, false), Some(vec![2]));
        assert_eq!(read_options("none", TEXTS, false), Some(vec![4]));
        assert_eq!(read_options("none", TEXTS, true), Some(vec![4]), "an option of that name");
    }

    #[test]
    fn several_options_are_read_by_letters_and_by_words() {
        for answer in [
            "A D",
            "d,a",
            "AD",
            "A and D",
            "options A & D",
            "soft soap; ichthammol",
            "A; D",
            "a; ichthammol",
            "- soft soap\n- ichthammol in fat",
            "soft soap, ichthammol in fat",
            "A, D, A",
        ] {
            assert_eq!(read_options(answer, TEXTS, true), Some(vec![0, 3]), "{answer}");
        }
        assert_eq!(read_options("all of them", TEXTS, true), Some(vec![0, 1, 2, 3, 4]));
        assert_eq!(read_options("none of these", TEXTS, true), Some(Vec::new()));
    }

    #[test]
    fn two_options_where_one_is_asked_are_read_as_two() {
        assert_eq!(read_options("A B", TEXTS, false), Some(vec![0, 1]));
        assert_eq!(read_options("A or B", TEXTS, false), Some(vec![0, 1]));
    }

    #[test]
    fn what_is_open_to_two_readings_is_not_read() {
        for answer in ["A-D", "A – C", "", "Z", "not A", "water", "soft soap; water"] {
            assert_eq!(read_options(answer, TEXTS, true), None, "{answer}");
        }
        assert_eq!(read_options("A-B", TEXTS, true), Some(vec![0, 1]));
    }
}
