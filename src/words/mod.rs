//! Small pieces of English, written once: numbers of things, lists, and texts without characters that
//! cannot be seen.

mod complaints;
mod hidden;
mod letters;
mod replaced;

use std::fmt::Display;

pub(crate) use complaints::MOST as MOST_COMPLAINTS;
pub use complaints::{Complaint, Complaints};
pub use hidden::{is_hidden, printable};
pub use letters::plain_letters;
pub(crate) use replaced::replaced;

/// A number of things: `1 candidate`, `3 candidates`.
///
/// ```
/// assert_eq!(castmark::words::counted(1, "candidate"), "1 candidate");
/// assert_eq!(castmark::words::counted(3, "answer"), "3 answers");
/// ```
pub fn counted(count: usize, noun: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {noun}{s}")
}

/// What something is worth, in words: `1 mark`, `3 marks`.
///
/// ```
/// assert_eq!(castmark::words::worth(1), "1 mark");
/// ```
pub fn worth(marks: u32) -> String {
    counted(marks as usize, "mark")
}

/// Marks out of those there are: `1 of 2 marks`.
///
/// ```
/// assert_eq!(castmark::words::out_of(1, 2), "1 of 2 marks");
/// ```
pub fn out_of(marks: impl Display, of: u32) -> String {
    format!("{marks} of {}", worth(of))
}

/// The verb behind a number of things: `1 topic is`, `3 topics are`.
///
/// ```
/// assert_eq!(castmark::words::is_or_are(0), "are");
/// assert_eq!(castmark::words::is_or_are(1), "is");
/// ```
pub fn is_or_are(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

const NUMBERS: [&str; 10] =
    ["No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"];

/// A number at the beginning of a sentence; up to nine it is a word.
///
/// ```
/// assert_eq!(castmark::words::number(4), "Four");
/// assert_eq!(castmark::words::number(12), "12");
/// ```
pub fn number(count: usize) -> String {
    NUMBERS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

/// A list as one writes it, with a word before its last item: `A, B and C`.
///
/// ```
/// assert_eq!(castmark::words::listed(&["A", "B", "C"], "or"), "A, B or C");
/// ```
pub fn listed<T: Display>(items: &[T], joining: &str) -> String {
    match items {
        [] => String::new(),
        [only] => only.to_string(),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(T::to_string).collect();
            format!("{} {joining} {last}", first.join(", "))
        }
    }
}

/// The text of a number with a true minus sign in front, as people read it.
///
/// ```
/// assert_eq!(castmark::words::with_minus("-0.95 g".to_owned()), "−0.95 g");
/// ```
pub fn with_minus(text: String) -> String {
    match text.strip_prefix('-') {
        Some(digits) => format!("−{digits}"),
        None => text,
    }
}

/// What somebody wrote, for quoting in a message: trimmed, [printable], and cut after `most`
/// characters.
///
/// ```
/// assert_eq!(castmark::words::quoted(" twelve\u{1b}[31m ", 6), "twelve…");
/// assert_eq!(castmark::words::quoted(" twelve ", 6), "twelve");
/// ```
pub fn quoted(text: &str, most: usize) -> String {
    let plain = printable(text.trim());
    let mut short: String = plain.chars().take(most).collect();
    if plain.chars().count() > most {
        short.push('\u{2026}');
    }
    short
}
