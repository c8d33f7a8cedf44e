//! The pieces of an answer in words.

/// Words that say what a letter is, or only join letters.
const FILLERS: &[&str] = &[
    "and",
    "or",
    "then",
    "option",
    "options",
    "answer",
    "answers",
    "ans",
    "choice",
    "choices",
    "letter",
    "letters",
    "line",
    "lines",
    "item",
    "items",
    "step",
    "steps",
    "reason",
    "reasons",
    "statement",
    "is",
    "are",
    "the",
    "it",
];

/// Words before an answer in words that are no part of it.
const LEADS: &[&str] = &[
    "because",
    "since",
    "as",
    "for",
    "it is",
    "it's",
    "they are",
    "the answer is",
    "answer:",
    "i think",
    "the reason is",
    "reason:",
    "option",
    "answer",
    "that",
];

/// The answer with the letters and digits of other keyboards (full width, joined) as plain ones.
pub(super) fn tidy(answer: &str) -> String {
    crate::words::plain_letters(answer).trim().to_owned()
}

/// The runs of letters and digits: `A, b and (C)` is `A`, `b`, `and`, `C`.
pub(super) fn runs(answer: &str) -> impl Iterator<Item = &str> {
    answer.split(|c: char| !c.is_alphanumeric()).filter(|run| !run.is_empty())
}

/// Returns whether a word only joins letters or says what they are.
pub(super) fn is_filler(word: &str) -> bool {
    FILLERS.iter().any(|filler| filler.eq_ignore_ascii_case(word))
}

/// The answer without words such as `because` or `it is` before it.
pub(super) fn without_lead(answer: &str) -> &str {
    let mut rest = answer.trim_start_matches(|c: char| !c.is_alphanumeric());
    while let Some(after) = LEADS.iter().find_map(|lead| after_word(rest, lead)) {
        rest = after;
    }
    rest
}

/// What follows a word at the beginning of a text, when something does.
pub(super) fn after_word<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let first = text.get(..word.len())?;
    let rest = text.get(word.len()..)?;
    let parted = word.ends_with(':') || !rest.starts_with(char::is_alphanumeric);
    let rest = rest.trim_start_matches(|c: char| !c.is_alphanumeric());
    (first.eq_ignore_ascii_case(word) && parted && !rest.is_empty()).then_some(rest)
}

/// The pieces of a list, none of them empty: between them semicolons or ends of lines, or commas where
/// no line has one.
pub(super) fn pieces(answer: &str) -> impl Iterator<Item = &str> {
    let apart: &[char] = if answer.contains([';', '\n']) { &[';', '\n'] } else { &[','] };
    let bullets = |c: char| c.is_whitespace() || matches!(c, '-' | '•' | '*' | '–');
    answer
        .split(apart)
        .map(move |piece| piece.trim_start_matches(bullets).trim_end())
        .filter(|piece| !piece.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn other_keyboards_type_the_same_letters_and_digits() {
        assert_eq!(tidy(" Ａ　１５ "), "A 15");
        assert_eq!(tidy("ﬁne"), "fine");
    }

    #[test]
    fn words_before_an_answer_are_passed_over() {
        assert_eq!(without_lead("because it is oily"), "oily");
        assert_eq!(without_lead(", as the gelatin holds water"), "the gelatin holds water");
        assert_eq!(without_lead("assay first"), "assay first");
        assert_eq!(without_lead("because"), "because");
        assert_eq!(without_lead("Reason:oily"), "oily");
    }
}
