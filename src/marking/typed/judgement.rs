//! True or false, with a reason.

use crate::problem::letter_index;

use super::letters::{read_letters, single};
use super::named::index_named;
use super::words::{after_word, is_filler, runs, tidy, without_lead};

/// What was said of a statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::marking) struct TypedJudgement {
    /// Whether it was called true.
    pub(in crate::marking) truth: bool,
    /// The reasons that were given, by letter or in words; none, one or more.
    pub(in crate::marking) reasons: Vec<usize>,
}

/// Words for a verdict. Those of two words stand before the words they end in.
const VERDICTS: &[(&str, bool)] = &[
    ("not true", false),
    ("not correct", false),
    ("not right", false),
    ("not false", true),
    ("not wrong", true),
    ("true", true),
    ("false", false),
    ("correct", true),
    ("incorrect", false),
    ("right", true),
    ("wrong", false),
    ("untrue", false),
    ("t", true),
    ("f", false),
];

/// A verdict and the letter or the words of a reason: `true B`, `D false`, `FD`, `false: it melts`.
pub(in crate::marking) fn read_judgement(answer: &str, reasons: &[&str]) -> Option<TypedJudgement> {
    let answer = tidy(answer);
    let (truth, rest) = leading(&answer)
        .or_else(|| trailing(&answer))
        .or_else(|| joined(&answer, reasons.len()))?;
    if runs(rest).next().is_none() {
        return Some(TypedJudgement { truth, reasons: Vec::new() });
    }
    // A second verdict leaves open which is meant.
    let left: Vec<&str> = runs(rest).filter(|word| !is_filler(word)).collect();
    let is_verdict =
        |word: &str| VERDICTS.iter().any(|(known, _)| known.eq_ignore_ascii_case(word));
    if matches!(left.as_slice(), [word] if is_verdict(word) && single(word, reasons.len()).is_none())
    {
        return None;
    }
    // Where no reason is asked for, what is given for one is passed over.
    if reasons.is_empty() {
        return Some(TypedJudgement { truth, reasons: Vec::new() });
    }
    let given = read_letters(rest, reasons.len())
        .or_else(|| index_named(rest, reasons).map(|index| vec![index]))
        .or_else(|| index_named(without_lead(rest), reasons).map(|index| vec![index]))?;
    Some(TypedJudgement { truth, reasons: given })
}

/// The verdict at the beginning, and what follows it.
fn leading(answer: &str) -> Option<(bool, &str)> {
    let begin = without_lead(answer);
    let begin = if begin.is_empty() { answer } else { begin };
    VERDICTS.iter().find_map(|(word, truth)| {
        if begin.trim_end_matches(|c: char| !c.is_alphanumeric()).eq_ignore_ascii_case(word) {
            return Some((*truth, ""));
        }
        after_word(begin, word).map(|rest| (*truth, rest))
    })
}

/// The verdict at the end, and what stands before it.
fn trailing(answer: &str) -> Option<(bool, &str)> {
    let end = answer.trim_end_matches(|c: char| !c.is_alphanumeric());
    VERDICTS.iter().find_map(|(word, truth)| {
        let at = end.len().checked_sub(word.len())?;
        let (before, last) = (end.get(..at)?, end.get(at..)?);
        let parted = !before.ends_with(char::is_alphanumeric) && !before.is_empty();
        (last.eq_ignore_ascii_case(word) && parted).then_some((*truth, before))
    })
}

/// A verdict and a reason as two letters without a blank, `FD`, or `DF` where no reason is called F.
fn joined(answer: &str, count: usize) -> Option<(bool, &str)> {
    let answer = answer.trim_end_matches('.');
    let mut letters = answer.chars();
    let (first, second) = (letters.next()?, letters.next()?);
    if letters.next().is_some() || !answer.is_ascii() {
        return None;
    }
    let truth = |letter: char| match letter.to_ascii_uppercase() {
        'T' => Some(true),
        'F' => Some(false),
        _ => None,
    };
    match (truth(first), truth(second)) {
        (Some(truth), _) => letter_index(second, count).map(|_| (truth, &answer[1..])),
        (None, Some(truth)) => letter_index(first, count).map(|_| (truth, &answer[..1])),
        (None, None) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const REASONS: &[&str] = &[
        "Gelatin is food for microbes.",
        "The jelly takes up water.",
        "It melts at body temperature.",
        "The right amount is weighed.",
    ];

    fn read(answer: &str) -> Option<(bool, Vec<usize>)> {
        read_judgement(answer, REASONS).map(|typed| (typed.truth, typed.reasons))
    }

    #[test]
    fn a_verdict_and_a_reason_stand_in_any_order_and_dress() {
        for answer in [
            "false D",
            "D false",
            "FD",
            "DF",
            "fd",
            "F D",
            "f-d",
            "F, d",
            "incorrect D",
            "wrong D",
            "not true D",
            "D, not true",
            "False. D.",
            "false, reason D",
            "false because D",
            "untrue (D)",
            "false the right amount is weighed",
            "False; the right amount",
            "It is false because the right \
             amount is weighed.",
            "ｆａｌｓｅ Ｄ",
            "false option d",
            "false D: the right amount is weighed",
        ] {
            assert_eq!(read(answer), Some((false, vec![3])), "{answer}");
        }
        for answer in
            ["true B", "TB", "correct b", "right, b", "B true", "T. the jelly takes up water"]
        {
            assert_eq!(read(answer), Some((true, vec![1])), "{answer}");
        }
    }

    #[test]
    fn a_reason_may_be_missing_or_one_of_two() {
        assert_eq!(read("false"), Some((false, vec![])));
        assert_eq!(read(" T. "), Some((true, vec![])));
        assert_eq!(read("true B C"), Some((true, vec![1, 2])));
        assert_eq!(read("true BC"), Some((true, vec![1, 2])));
    }

    #[test]
    fn what_has_no_verdict_or_two_is_not_read() {
        for answer in [
            "",
            "B",
            "yes B",
            "true E",
            "true false",
            "TF",
            "TBC",
            "false because I say so",
            "food",
        ] {
            assert_eq!(read(answer), None, "{answer}");
        }
    }

    #[test]
    fn a_verdict_alone_may_be_explained() {
        let read = |answer| read_judgement(answer, &[]).map(|typed| typed.truth);
        for answer in ["false", "F", "not true", "false, because it melts", "wrong."] {
            assert_eq!(read(answer), Some(false), "{answer}");
        }
        for answer in ["true or false", "A", "perhaps"] {
            assert_eq!(read(answer), None, "{answer}");
        }
    }

    #[test]
    fn f_is_a_reason_too_where_there_are_six() {
        let six = ["p", "q", "r", "s", "t", "u"];
        let read = |answer| read_judgement(answer, &six).map(|typed| (typed.truth, typed.reasons));
        assert_eq!(read("F F"), Some((false, vec![5])));
        assert_eq!(read("FF"), Some((false, vec![5])));
        assert_eq!(read("true F"), Some((true, vec![5])));
        assert_eq!(read("TF"), Some((true, vec![5])));
    }
}
