//! The words of a formula.

use std::ops::Range;

use crate::quantity::{Exact, Unit};

use super::FormulaProblem;

/// One word, with its place in the text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Token {
    pub(super) kind: Kind,
    pub(super) range: Range<usize>,
}

/// What a word is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    /// A number, with the unit written after it.
    Number(Exact, Unit),
    /// A name, dots included: `drug.dose`.
    Name(String),
    /// A sign: `+`, `<=`, `(` and so on.
    Sign(&'static str),
    /// The end of the text.
    End,
}

/// Two-letter signs stand before their one-letter beginnings.
const SIGNS: &[&str] = &["<=", ">=", "!=", "+", "-", "*", "/", "(", ")", ",", "<", ">", "="];

/// Splits a formula into words; the last is always the end.
pub(super) fn tokens(text: &str) -> Result<Vec<Token>, FormulaProblem> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(letter) = text[at..].chars().next() {
        let rest = &text[at..];
        if letter.is_whitespace() {
            at += letter.len_utf8();
        } else if letter.is_ascii_digit() || letter == '.' {
            let (token, end) = number(text, at)?;
            found.push(token);
            at = end;
        } else if letter.is_ascii_alphabetic() || letter == '_' {
            let end = at + length(rest, |c| c.is_ascii_alphanumeric() || c == '_' || c == '.');
            found.push(Token { kind: Kind::Name(text[at..end].to_owned()), range: at..end });
            at = end;
        } else if let Some(sign) = SIGNS.iter().find(|sign| rest.starts_with(**sign)) {
            found.push(Token { kind: Kind::Sign(sign), range: at..at + sign.len() });
            at += sign.len();
        } else {
            return Err(unknown(letter, at));
        }
    }
    found.push(Token { kind: Kind::End, range: text.len()..text.len() });
    Ok(found)
}

/// Reads a number and, directly behind it, a unit.
fn number(text: &str, at: usize) -> Result<(Token, usize), FormulaProblem> {
    let digits = at + length(&text[at..], |c| c.is_ascii_digit() || c == '.');
    let Some(value) = Exact::parse(&text[at..digits]) else {
        return Err(FormulaProblem {
            range: at..digits,
            what: format!("expected a number, found `{}`", &text[at..digits]),
            label: "not a number".to_owned(),
            help: Some("write digits with one decimal point, such as `0.90`".to_owned()),
        });
    };
    let (unit, end) = unit(text, digits);
    Ok((Token { kind: Kind::Number(value, unit), range: at..end }, end))
}

/// The longest unit that stands behind a number, and where it ends.
///
/// A quotient such as `g/mL` is one unit only when nothing but the stroke stands between its two
/// symbols; `2 g / x` is two grams, divided.
fn unit(text: &str, digits: usize) -> (Unit, usize) {
    let start = digits + length(&text[digits..], char::is_whitespace);
    let rest = &text[start..];
    let letters = |c: char| c.is_alphabetic() || matches!(c, '%' | '°' | 'µ');
    if let Some(percent) = ["% w/w", "% w/v", "% v/v"].into_iter().find(|p| rest.starts_with(p)) {
        return (Unit::parse(percent).unwrap_or_default(), start + percent.len());
    }
    let top = length(rest, letters);
    if rest[top..].starts_with('/') {
        let bottom = length(&rest[top + 1..], letters);
        let end = top + 1 + bottom;
        if top > 0
            && bottom > 0
            && let Ok(unit) = Unit::parse(&rest[..end])
        {
            return (unit, start + end);
        }
    }
    // `and`, `or` and names are letters too: only a symbol of the table is a unit.
    match rest.get(..top).map(Unit::parse) {
        Some(Ok(unit)) if top > 0 && !continues_as_name(rest, top) => (unit, start + top),
        _ => (Unit::NUMBER, digits),
    }
}

fn continues_as_name(rest: &str, end: usize) -> bool {
    rest[end..].starts_with(|c: char| c.is_ascii_alphanumeric() || c == '_' || c == '.')
}

fn length(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

fn unknown(letter: char, at: usize) -> FormulaProblem {
    let instead = match letter {
        '×' | '·' => Some("*"),
        '÷' | ':' => Some("/"),
        '−' | '–' => Some("-"),
        '≤' => Some("<="),
        '≥' => Some(">="),
        '≠' => Some("!="),
        '[' | '{' => Some("("),
        ']' | '}' => Some(")"),
        _ => None,
    };
    FormulaProblem {
        range: at..at + letter.len_utf8(),
        what: format!("expected a number, a name or a sign, found `{letter}`"),
        label: "not part of a formula".to_owned(),
        help: instead.map(|sign| format!("write `{sign}` instead")),
    }
}
