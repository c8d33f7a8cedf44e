//! The words of a formula.

use std::ops::Range;

use crate::quantity::{Exact, Unit};

use super::FormulaProblem;

/// One word, with its location in the text.
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
    /// A sign: `+`, `<=`, `(`, `and` and so on.
    Sign(&'static str),
    /// Something that is not of the language; it has been complained of.
    Wrong,
    /// The end of the text.
    End,
}

/// Two-letter signs stand before their one-letter beginnings.
const SIGNS: &[&str] = &["<=", ">=", "!=", "+", "-", "*", "/", "(", ")", ",", "<", ">", "="];

/// Names that are signs.
const WORDS: &[&str] = &["and", "or", "not"];

/// Signs of other notations, and those of this one that are meant.
const FOREIGN: &[(&str, &str)] = &[
    ("==", "="),
    ("=>", ">="),
    ("=<", "<="),
    ("<>", "!="),
    ("&&", "and"),
    ("||", "or"),
    ("!", "not"),
    ("×", "*"),
    ("·", "*"),
    ("÷", "/"),
    (":", "/"),
    ("−", "-"),
    ("–", "-"),
    ("≤", "<="),
    ("≥", ">="),
    ("≠", "!="),
    ("[", "("),
    ("]", ")"),
];

/// Signs that nothing here can stand for, and what to do instead.
const REFUSED: &[(&str, &str)] = &[
    ("{{", "names stand bare in a formula: leave the braces out"),
    ("}}", "names stand bare in a formula: leave the braces out"),
    ("\"", "names stand bare in a formula: leave the quotes out"),
    ("'", "names stand bare in a formula: leave the quotes out"),
    ("**", "write a power as a product: `x * x`"),
    ("^", "write a power as a product: `x * x`"),
    ("%", "a per cent follows a number, as in `10 %`"),
];

/// The longest unit looked for, in bytes.
const LONGEST_UNIT: usize = 40;

/// Splits a formula into words, the last of them the end, and notes what is no word.
pub(super) fn tokens(text: &str, problems: &mut Vec<FormulaProblem>) -> Vec<Token> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(letter) = text[at..].chars().next() {
        if letter.is_whitespace() {
            at += letter.len_utf8();
            continue;
        }
        let (kind, end) = word(text, at, letter, problems);
        found.push(Token { kind, range: at..end });
        at = end;
    }
    found.push(Token { kind: Kind::End, range: text.len()..text.len() });
    found
}

/// The word that begins here, and where it ends.
fn word(text: &str, at: usize, letter: char, problems: &mut Vec<FormulaProblem>) -> (Kind, usize) {
    let rest = &text[at..];
    if letter.is_ascii_digit() || letter == '.' {
        return number(text, at, problems);
    }
    if letter.is_ascii_alphabetic() || letter == '_' {
        let name = &rest[..length(rest, in_name)];
        let kind = WORDS.iter().find(|word| **word == name);
        let kind = kind.map_or_else(|| Kind::Name(name.to_owned()), |word| Kind::Sign(word));
        return (kind, at + name.len());
    }
    let own = SIGNS.iter().find(|sign| rest.starts_with(**sign));
    let foreign = FOREIGN.iter().find(|(written, _)| rest.starts_with(written));
    let refused = REFUSED.iter().find(|(written, _)| rest.starts_with(written));
    let others = foreign.or(refused).map_or(0, |(written, _)| written.len());
    // `==` begins with a sign of this notation but is none, and `!` begins `!=`.
    if let Some(sign) = own.filter(|sign| sign.len() >= others) {
        return (Kind::Sign(sign), at + sign.len());
    }
    let (kind, length, help) = match (foreign, refused) {
        (Some((written, sign)), _) => {
            (Kind::Sign(sign), written.len(), Some(format!("write `{sign}` instead")))
        }
        (_, Some((written, help))) => (Kind::Wrong, written.len(), Some((*help).to_owned())),
        _ => (Kind::Wrong, letter.len_utf8(), None),
    };
    problems.push(FormulaProblem {
        range: at..at + length,
        what: format!("expected a number, a name or a sign, found `{}`", &rest[..length]),
        label: "not part of a formula".to_owned(),
        help,
    });
    (kind, at + length)
}

/// Reads a number and, directly behind it, a unit.
fn number(text: &str, at: usize, problems: &mut Vec<FormulaProblem>) -> (Kind, usize) {
    let digits = at + length(&text[at..], |c| c.is_ascii_digit() || c == '.');
    let power = power_of_ten(&text[digits..]);
    let written = &text[at..digits + power];
    let value = Exact::parse(written);
    if value.is_none() {
        let is_well_formed = !written.ends_with('.') && written.matches('.').count() < 2;
        let (wanted, help) = if power > 0 {
            ("a number in full", "write all its digits, such as `1500` for `1.5e3`")
        } else if is_well_formed {
            ("a number of at most 28 digits", "leave out digits that nobody can measure")
        } else {
            ("a number", "write digits with one decimal point, such as `0.90`")
        };
        problems.push(FormulaProblem {
            range: at..at + written.len(),
            what: format!("expected {wanted}, found `{written}`"),
            label: "not a number".to_owned(),
            help: Some(help.to_owned()),
        });
    }
    let (unit, end) = unit(text, digits + power);
    (Kind::Number(value.unwrap_or_default(), unit), end)
}

/// The length of an `e3` or `E-3` behind the digits of a number, 0 when there is none.
fn power_of_ten(rest: &str) -> usize {
    let Some(power) = rest.strip_prefix(['e', 'E']) else { return 0 };
    let digits = power.strip_prefix(['+', '-']).unwrap_or(power);
    let count = length(digits, |c| c.is_ascii_digit());
    if count == 0 { 0 } else { rest.len() - digits.len() + count }
}

/// The longest unit that stands behind a number, and where it ends.
///
/// A quotient such as `g/mL` is one unit only when nothing but the stroke stands between its two
/// symbols; `2 g / x` is two grams, divided.
fn unit(text: &str, digits: usize) -> (Unit, usize) {
    let start = digits + length(&text[digits..], char::is_whitespace);
    let rest = &text[start..];
    let mut found = (Unit::NUMBER, digits);
    let mut before = ' ';
    for (at, letter) in rest.char_indices().chain([(rest.len(), ' ')]) {
        let spaced =
            (letter == '/' && before.is_whitespace()) || (before == '/' && letter.is_whitespace());
        if at > LONGEST_UNIT || spaced || (at == 0 && !can_begin_unit(letter)) {
            break;
        }
        let ends = !matches!(before, '/' | ' ') && (before == '%' || !in_name(letter));
        // `and`, `or` and names are letters too: only what the table knows is a unit.
        if ends {
            if let Ok(unit) = Unit::parse(&rest[..at]) {
                found = (unit, start + at);
            }
        }
        if !in_unit(letter) {
            break;
        }
        before = letter;
    }
    found
}

fn can_begin_unit(letter: char) -> bool {
    letter.is_alphabetic() || matches!(letter, '%' | '°' | 'º')
}

fn in_unit(letter: char) -> bool {
    can_begin_unit(letter) || letter.is_numeric() || matches!(letter, '/' | ' ')
}

fn in_name(letter: char) -> bool {
    letter.is_ascii_alphanumeric() || matches!(letter, '_' | '.')
}

fn length(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The number, the unit and what is left.
    #[track_caller]
    fn check(text: &str, expected: (&str, &str, &str)) {
        let mut problems = Vec::new();
        let (kind, end) = number(text, 0, &mut problems);
        let Kind::Number(value, unit) = kind else { panic!("not a number") };
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!((&*value.to_string(), &*unit.to_string(), &text[end..]), expected);
    }

    #[test]
    fn a_unit_is_the_longest_that_stands_behind_the_number() {
        check("0.05 g", ("0.05", "g", ""));
        check("10%", ("10", "%", ""));
        check("10 % * 2", ("10", "%", " * 2"));
        check("5 % w/w", ("5", "% w/w", ""));
        check("5 %w/v", ("5", "% w/v", ""));
        check("5 % m/m + 1", ("5", "% w/w", " + 1"));
        check("10 per cent", ("10", "%", ""));
        check("2 cm3", ("2", "mL", ""));
        check("2 cm³)", ("2", "mL", ")"));
        check("3 µg/mL", ("3", "mcg/mL", ""));
        check("3 g per unit", ("3", "g/unit", ""));
        check("20 °C", ("20", "°C", ""));
        check("2 units", ("2", "unit", ""));
    }

    #[test]
    fn a_quotient_of_units_has_no_blanks_and_ends_where_a_name_goes_on() {
        check("1 g/mL", ("1", "g/mL", ""));
        check("1 g/mL/unit", ("1", "g/mL", "/unit"));
        check("2 g / mL", ("2", "g", " / mL"));
        check("2 g/ mL", ("2", "g", "/ mL"));
        check("2 g /mL", ("2", "g", " /mL"));
        check("2 g/unit_mass", ("2", "g", "/unit_mass"));
        check("2 g/unit.mass", ("2", "g", "/unit.mass"));
        check("2 g/dv", ("2", "g", "/dv"));
    }

    #[test]
    fn words_and_names_are_not_units() {
        check("2 and", ("2", "1", " and"));
        check("2 grammar", ("2", "1", " grammar"));
        check("2 g_total", ("2", "1", " g_total"));
        check("2 * g", ("2", "1", " * g"));
        check("2", ("2", "1", ""));
    }
}
