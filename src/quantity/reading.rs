//! Reading what a person typed.

use std::fmt;

use super::{Exact, Unit};

/// The longest answer that is read, in bytes.
pub const LONGEST_ANSWER: usize = 80;

/// What a person typed, understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Typed {
    /// The number, with the places that were written.
    pub number: Exact,
    /// The unit, when one was written.
    pub unit: Option<Unit>,
}

/// Why what was typed is no number with a unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadProblem {
    /// Nothing was typed.
    Empty,
    /// More was typed than an answer can hold.
    TooLong,
    /// There is no digit.
    NoNumber(String),
    /// A comma could be a decimal comma or stand between thousands.
    AmbiguousComma {
        /// What was typed.
        written: String,
        /// The reading with a decimal comma.
        decimal: String,
        /// The reading with groups of thousands.
        grouped: String,
    },
    /// Commas and points do not stand where they can.
    BadNumber(String),
    /// There are more digits than can be held exactly.
    TooManyDigits(String),
    /// A sum, a fraction or a second number.
    SeveralNumbers(String),
    /// The words after the number are no unit.
    UnknownUnit(String),
}

impl fmt::Display for ReadProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => {
                f.write_str("expected a number, found nothing; type one, such as `3.2 g`")
            }
            Self::TooLong => write!(
                f,
                "expected at most {LONGEST_ANSWER} letters, found more; type the answer alone"
            ),
            Self::NoNumber(written) => write!(
                f,
                "expected a number, found `{written}`; type it in digits, such as `3.2 g`"
            ),
            Self::AmbiguousComma { written, decimal, grouped } => write!(
                f,
                "`{written}` can be read as {decimal} or as {grouped}; write `{decimal}` or `{grouped}`"
            ),
            Self::BadNumber(written) => write!(
                f,
                "expected a number, found `{written}`; write digits with one decimal point, such as \
                 `1234.5`"
            ),
            Self::TooManyDigits(written) => {
                write!(f, "expected at most 28 digits, found more in `{written}`; round the answer")
            }
            Self::SeveralNumbers(written) => write!(
                f,
                "expected one number, found more in `{written}`; work it out and type the result alone"
            ),
            Self::UnknownUnit(written) => write!(
                f,
                "expected a unit such as g, mg or mL after the number, found `{written}`; correct it \
                 or leave it out"
            ),
        }
    }
}

impl std::error::Error for ReadProblem {}

/// Reads a number with or without a unit, as a person types it.
///
/// Understood are `3.2 g`, `3.2g`, `.5 g`, `5. g`, `1,234.5 mg`, `0,75 g`, `-2`, the minus sign and
/// the middle dot of printed text, narrow and unbroken spaces, `3.2e5`, `3.2 x 10^5`, and an equals
/// sign before the number. A lone comma that can only be a decimal comma is one; where it could also
/// stand between thousands, as in `1,234`, both readings are named.
///
/// # Errors
/// Why it is no number, and what to type instead.
///
/// ```
/// # use castmark::quantity::read_quantity;
/// let typed = read_quantity("1,234.50 mg").unwrap();
/// assert_eq!(typed.number.to_string(), "1234.50");
/// assert_eq!(typed.unit.unwrap().to_string(), "mg");
/// ```
pub fn read_quantity(text: &str) -> Result<Typed, ReadProblem> {
    if text.len() > LONGEST_ANSWER {
        return Err(ReadProblem::TooLong);
    }
    let written = text.trim();
    if written.is_empty() {
        return Err(ReadProblem::Empty);
    }
    let body = written.trim_start_matches(['=', '≈']).trim_start();
    let (negative, digits_at) = sign(body);
    let rest = &body[digits_at..];
    let (digits, after) = split_digits(rest);
    if !digits.bytes().any(|byte| byte.is_ascii_digit()) {
        return Err(ReadProblem::NoNumber(written.to_owned()));
    }
    let mut number = digits_to_number(digits, written)?;
    let mut after = after;
    if let Some((power, rest)) = exponent(after, written)? {
        let moved = number.times_ten_to(power).ok();
        // What was typed is never rounded unasked: moving the point back must give it again.
        number = moved
            .filter(|moved| moved.times_ten_to(-power) == Ok(number))
            .ok_or_else(|| ReadProblem::TooManyDigits(written.to_owned()))?;
        after = rest;
    }
    if negative {
        number = number.neg();
    }
    let unit = after.trim();
    if unit.is_empty() {
        return Ok(Typed { number, unit: None });
    }
    if unit.starts_with(['+', '/', '*', '×', '÷', '−', '=', '^'])
        || unit.to_ascii_lowercase().replace("cm3", "").contains(|c: char| c.is_ascii_digit())
    {
        return Err(ReadProblem::SeveralNumbers(written.to_owned()));
    }
    match Unit::parse(unit.trim_end_matches('.')) {
        Ok(unit) => Ok(Typed { number, unit: Some(unit) }),
        Err(_) => Err(ReadProblem::UnknownUnit(unit.to_owned())),
    }
}

/// Reads a number without a unit.
///
/// # Errors
/// As [`read_quantity`]; a unit is an unknown word here.
pub fn read_number(text: &str) -> Result<Exact, ReadProblem> {
    let typed = read_quantity(text)?;
    match typed.unit {
        None => Ok(typed.number),
        Some(unit) => Err(ReadProblem::UnknownUnit(unit.to_string())),
    }
}

/// Whether a minus stands first, and where the number begins behind the sign.
fn sign(text: &str) -> (bool, usize) {
    for (sign, negative) in [("-", true), ("−", true), ("–", true), ("+", false)] {
        if let Some(rest) = text.strip_prefix(sign) {
            return (negative, text.len() - rest.trim_start().len());
        }
    }
    (false, 0)
}

/// The longest beginning that is made of digits and what may stand between them, and what is left.
fn split_digits(text: &str) -> (&str, &str) {
    let mut end = 0;
    let mut letters = text.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        let next_is_digit = letters.peek().is_some_and(|(_, next)| next.is_ascii_digit());
        let belongs = letter.is_ascii_digit()
            || (matches!(letter, ',' | '.'))
            // The middle dot is a decimal point only between digits; behind it stands `10^5` else.
            || (letter == '·' && next_is_digit && !starts_power(&text[at + letter.len_utf8()..]))
            || (is_group_space(letter) && end > 0 && next_is_digit);
        if !belongs {
            break;
        }
        end = at + letter.len_utf8();
    }
    text.split_at(end)
}

fn is_group_space(letter: char) -> bool {
    matches!(letter, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}')
}

fn digits_to_number(digits: &str, written: &str) -> Result<Exact, ReadProblem> {
    let bad = || ReadProblem::BadNumber(written.to_owned());
    let mut plain = String::with_capacity(digits.len());
    let commas = digits.matches(',').count();
    let points = digits.matches(['.', '·']).count();
    if points > 1 || (commas > 1 && points > 0 && digits.rfind(',') > digits.find(['.', '·'])) {
        return Err(bad());
    }
    let decimal_comma = commas == 1 && points == 0;
    if decimal_comma && could_be_thousands(digits) {
        return Err(ReadProblem::AmbiguousComma {
            written: digits.to_owned(),
            decimal: digits.replace(',', "."),
            grouped: digits.replace(',', ""),
        });
    }
    if commas > 0 && !decimal_comma && !grouped_in_threes(digits, ',') {
        return Err(bad());
    }
    let spaced = digits.contains(is_group_space);
    let pointed = if decimal_comma { digits.replace(',', ".") } else { digits.to_owned() };
    if spaced && !grouped_in_threes(&pointed.replace(is_group_space, " "), ' ') {
        return Err(ReadProblem::SeveralNumbers(written.to_owned()));
    }
    for letter in digits.chars() {
        match letter {
            '0'..='9' => plain.push(letter),
            '.' | '·' => plain.push('.'),
            ',' if decimal_comma => plain.push('.'),
            _ => {}
        }
    }
    let plain = plain.strip_suffix('.').unwrap_or(&plain);
    Exact::parse(plain).ok_or_else(|| ReadProblem::TooManyDigits(written.to_owned()))
}

/// Whether a lone comma stands where one stands between thousands: `1,234`, but not `0,234`.
fn could_be_thousands(digits: &str) -> bool {
    digits.split_once(',').is_some_and(|(before, after)| {
        (1..=3).contains(&before.len()) && !before.starts_with('0') && after.len() == 3
    })
}

/// Whether the whole part is grouped in threes by the mark.
fn grouped_in_threes(digits: &str, mark: char) -> bool {
    let whole = digits.split(['.', '·']).next().unwrap_or_default();
    let mut groups = whole.split(mark);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len())
        && groups.all(|group| group.len() == 3)
        && !digits[whole.len()..].contains(mark)
}

/// A power of ten behind the digits, `e5`, `x 10^5`, `× 10⁵` or `·10^-3`, and what is left.
fn exponent<'a>(text: &'a str, written: &str) -> Result<Option<(i32, &'a str)>, ReadProblem> {
    let text = text.trim_start();
    let times_ten = ["x", "X", "×", "·", "*"].iter().find_map(|sign| {
        let rest = text.strip_prefix(sign)?.trim_start();
        if starts_power(rest) { rest.strip_prefix("10") } else { None }
    });
    if let Some(rest) = times_ten.filter(|rest| !rest.starts_with('^')) {
        return raised(rest, written).map(Some);
    }
    let times_ten = times_ten.and_then(|rest| rest.strip_prefix('^'));
    let letter = text.strip_prefix(['e', 'E']).filter(|rest| {
        rest.trim_start_matches(['-', '+', '−']).starts_with(|c: char| c.is_ascii_digit())
    });
    let Some(rest) = times_ten.or(letter) else { return Ok(None) };
    let (negative, at) = sign(rest);
    let digits =
        rest[at..].len() - rest[at..].trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let power: i32 = rest[at..at + digits]
        .parse()
        .ok()
        .filter(|power| *power <= 28)
        .ok_or_else(|| ReadProblem::BadNumber(written.to_owned()))?;
    Ok(Some((if negative { -power } else { power }, &rest[at + digits..])))
}

/// The letters of a raised power, each at the place of its value, and the raised minus.
const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
const RAISED_MINUS: char = '⁻';

/// Whether a power of ten stands first: `10^5`, `10⁵`.
fn starts_power(text: &str) -> bool {
    text.strip_prefix("10").is_some_and(|rest| {
        rest.starts_with('^') || rest.starts_with(RAISED_MINUS) || rest.starts_with(RAISED)
    })
}

/// A raised power, `⁻⁵`, and what is left.
fn raised<'a>(text: &'a str, written: &str) -> Result<(i32, &'a str), ReadProblem> {
    let digits = text.strip_prefix(RAISED_MINUS).unwrap_or(text);
    let left = digits.trim_start_matches(RAISED);
    let mut plain = String::new();
    for letter in digits[..digits.len() - left.len()].chars() {
        let value = RAISED.iter().position(|raised| *raised == letter).unwrap_or_default();
        plain.push_str(&value.to_string());
    }
    let power: i32 = plain
        .parse()
        .ok()
        .filter(|power| *power <= 28)
        .ok_or_else(|| ReadProblem::BadNumber(written.to_owned()))?;
    Ok((if digits.len() < text.len() { -power } else { power }, left))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, number: &str, unit: Option<&str>) {
        let typed = read_quantity(text).unwrap_or_else(|problem| panic!("{text}: {problem}"));
        assert_eq!(typed.number.to_string(), number, "{text}");
        assert_eq!(typed.unit.map(|unit| unit.to_string()).as_deref(), unit, "{text}");
    }

    #[track_caller]
    fn refuses(text: &str, message: &str) {
        assert_eq!(read_quantity(text).unwrap_err().to_string(), message);
    }

    #[test]
    fn reads_numbers_with_and_without_units() {
        reads("3.2 g", "3.2", Some("g"));
        reads("3.2g", "3.2", Some("g"));
        reads("3200 mg", "3200", Some("mg"));
        reads(".5 g", "0.5", Some("g"));
        reads("5.", "5", None);
        reads("  0.90  ", "0.90", None);
        reads("12 suppositories", "12", Some("unit"));
        reads("1.02 g per unit", "1.02", Some("g/unit"));
        reads("5 % w/w", "5", Some("% w/w"));
        reads("1.2 g/mL", "1.2", Some("g/mL"));
        reads("250 mcg", "250", Some("mcg"));
        reads("250 µg", "250", Some("mcg"));
        reads("= 13.9 g.", "13.9", Some("g"));
    }

    #[test]
    fn reads_the_signs_of_printed_text() {
        reads("−0.5 g", "-0.5", Some("g"));
        reads("0·75\u{202f}g", "0.75", Some("g"));
        reads("1\u{2009}234.5 mg", "1234.5", Some("mg"));
        reads("3.2 × 10^3 mg", "3200", Some("mg"));
        reads("3.2·10^2", "320", None);
        reads("3.2e-2 g", "0.032", Some("g"));
        reads("1 234 mg", "1234", Some("mg"));
    }

    #[test]
    fn a_lone_comma_that_can_only_be_decimal_is_one() {
        reads("0,75 g", "0.75", Some("g"));
        reads("12,5", "12.5", None);
        reads("0,750", "0.750", None);
        reads("1,234.5 mg", "1234.5", Some("mg"));
        reads("1,234,567", "1234567", None);
    }

    #[test]
    fn refuses_an_ambiguous_comma_with_both_readings() {
        refuses("1,234 mg", "`1,234` can be read as 1.234 or as 1234; write `1.234` or `1234`");
    }

    #[test]
    fn refuses_what_is_no_single_number() {
        refuses("", "expected a number, found nothing; type one, such as `3.2 g`");
        refuses("base", "expected a number, found `base`; type it in digits, such as `3.2 g`");
        refuses("NaN", "expected a number, found `NaN`; type it in digits, such as `3.2 g`");
        refuses(
            "1.2.3",
            "expected a number, found `1.2.3`; write digits with one decimal point, such as `1234.5`",
        );
        refuses(
            "1,23,4",
            "expected a number, found `1,23,4`; write digits with one decimal point, such as `1234.5`",
        );
        refuses(
            "3/4",
            "expected one number, found more in `3/4`; work it out and type the result alone",
        );
        refuses(
            "13.9 or 14 g",
            "expected one number, found more in `13.9 or 14 g`; work it out and type the result alone",
        );
        refuses(
            "1 2",
            "expected one number, found more in `1 2`; work it out and type the result alone",
        );
        refuses(
            "3.2 stone",
            "expected a unit such as g, mg or mL after the number, found `stone`; correct it or leave \
             it out",
        );
        refuses(
            "0x1F",
            "expected one number, found more in `0x1F`; work it out and type the result alone",
        );
        refuses(
            &"9".repeat(40),
            &format!(
                "expected at most 28 digits, found more in `{}`; round the answer",
                "9".repeat(40)
            ),
        );
        refuses(&"9".repeat(81), "expected at most 80 letters, found more; type the answer alone");
    }
}
