//! Letters that stand for options and lines.

use crate::problem::letter_index;

use super::words::{is_filler, runs};

/// The index of a text that is one letter.
pub(super) fn single(text: &str, count: usize) -> Option<usize> {
    let mut letters = text.chars();
    letters
        .next()
        .filter(|_| letters.next().is_none())
        .and_then(|letter| letter_index(letter, count))
}

/// Letters below `count` in the order written; they may stand apart or together, `C A B` or `CAB`, and
/// with words that say what they are, `options C and A`.
///
/// Nothing when there are none, or anything else among them.
pub(super) fn read_letters(answer: &str, count: usize) -> Option<Vec<usize>> {
    let words = runs(answer).filter(|word| !is_filler(word));
    let letters = words.flat_map(str::chars).map(|letter| letter_index(letter, count));
    letters.collect::<Option<Vec<usize>>>().filter(|indices| !indices.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_read_however_they_are_joined() {
        for answer in [
            "A C D",
            "a,c,d",
            "ACD",
            "a) c) d)",
            "A, C and D",
            " a/c/d ",
            "options A, C, D",
            "A+C+D",
        ] {
            assert_eq!(read_letters(answer, 5), Some(vec![0, 2, 3]), "{answer}");
        }
        for answer in ["option d", "line D", "D.", "(d)", "Answer: D", "the answer is D"] {
            assert_eq!(read_letters(answer, 4), Some(vec![3]), "{answer}");
        }
    }

    #[test]
    fn what_is_no_letter_of_the_question_is_not_passed_over() {
        for answer in ["", " - ", "A Z", "A1", "not A", "option", "É"] {
            assert_eq!(read_letters(answer, 5), None, "{answer}");
        }
    }
}
