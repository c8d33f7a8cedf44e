//! The number at the beginning of what a person typed.

use super::{Exact, ReadProblem};

/// Reads the sign, the digits and the power of ten that stand first, and gives what is left.
///
/// `written` is the whole answer, for the messages. Nothing is copied unless the number is refused.
pub(super) fn leading_number<'a>(
    text: &'a str,
    written: &str,
) -> Result<(Exact, &'a str), ReadProblem> {
    let (negative, text) = sign(text);
    let (digits, after) = split_digits(text);
    if !digits.bytes().any(|byte| byte.is_ascii_digit()) {
        return Err(ReadProblem::NoNumber(written.to_owned()));
    }
    let mut number = number_of(digits, written)?;
    let mut left = after;
    if let Some((power, rest)) = exponent(after, written)? {
        let moved = number.times_ten_to(power).ok();
        // What was typed is never rounded unasked: moving the point back must give it again.
        number = moved
            .filter(|moved| moved.times_ten_to(-power) == Ok(number))
            .ok_or_else(|| ReadProblem::TooManyDigits(written.to_owned()))?;
        left = rest;
    }
    Ok((if negative { number.neg() } else { number }, left))
}

/// Whether a minus stands first, and what is left behind the sign and its blanks.
fn sign(text: &str) -> (bool, &str) {
    match text.strip_prefix(['-', '−', '–']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').map_or(text, str::trim_start)),
    }
}

/// The longest beginning that is made of digits and what may stand between them, and what is left.
fn split_digits(text: &str) -> (&str, &str) {
    let mut end = 0;
    let mut letters = text.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        let next_is_digit = letters.peek().is_some_and(|(_, next)| next.is_ascii_digit());
        let belongs = matches!(letter, '0'..='9' | ',' | '.')
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

/// The blank of the keyboard, and the unbroken, figure, thin and narrow ones of printed text.
fn is_group_space(letter: char) -> bool {
    matches!(letter, ' ' | '\u{a0}' | '\u{2007}' | '\u{2009}' | '\u{202f}')
}

/// The number that digits, commas, points and blanks make.
fn number_of(digits: &str, written: &str) -> Result<Exact, ReadProblem> {
    let (mut commas, mut points, mut spaces) = (0, 0, 0);
    for letter in digits.chars() {
        match letter {
            '0'..='9' => {}
            ',' => commas += 1,
            '.' | '·' => points += 1,
            _ => spaces += 1,
        }
    }
    let decimal_comma = commas == 1 && points == 0;
    if decimal_comma && could_be_thousands(digits) {
        return Err(ReadProblem::AmbiguousComma {
            written: digits.to_owned(),
            decimal: digits.replace(',', "."),
            grouped: digits.replace(',', ""),
        });
    }
    let is_point = |letter| matches!(letter, '.' | '·') || (decimal_comma && letter == ',');
    let (whole, part) = digits.split_once(is_point).unwrap_or((digits, ""));
    let grouped = commas > 0 && !decimal_comma;
    if points > 1 || (grouped && !(in_threes(whole, |letter| letter == ',') && all_digits(part))) {
        return Err(ReadProblem::BadNumber(written.to_owned()));
    }
    if spaces > 0 && !(in_threes(whole, is_group_space) && all_digits(part)) {
        return Err(ReadProblem::SeveralNumbers(written.to_owned()));
    }
    exact(whole, part).ok_or_else(|| ReadProblem::TooManyDigits(written.to_owned()))
}

/// Whether a lone comma stands where one stands between thousands: `1,234`, but not `0,234`.
fn could_be_thousands(digits: &str) -> bool {
    digits.split_once(',').is_some_and(|(before, after)| {
        (1..=3).contains(&before.len()) && !before.starts_with('0') && after.len() == 3
    })
}

/// Whether the marks stand before every third digit, counted from the end.
fn in_threes(whole: &str, is_mark: impl Fn(char) -> bool) -> bool {
    let mut groups = whole.split(is_mark);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len())
        && all_digits(first)
        && groups.all(|group| group.len() == 3 && all_digits(group))
}

fn all_digits(text: &str) -> bool {
    text.bytes().all(|byte| byte.is_ascii_digit())
}

/// The number with the digits before and behind the point; other marks are passed over.
fn exact(whole: &str, part: &str) -> Option<Exact> {
    let mut mantissa: i128 = 0;
    for byte in whole.bytes().chain(part.bytes()).filter(u8::is_ascii_digit) {
        // Past 96 bits nothing is held, and leaving here keeps the product inside its type.
        if mantissa >> 96 != 0 {
            return None;
        }
        mantissa = mantissa * 10 + i128::from(byte - b'0');
    }
    Exact::new(mantissa, u32::try_from(part.len()).ok()?)
}

/// A power of ten behind the digits, `e5`, `x 10^5`, `× 10⁵` or `·10^-3`, and what is left.
fn exponent<'a>(text: &'a str, written: &str) -> Result<Option<(i32, &'a str)>, ReadProblem> {
    let text = text.trim_start();
    let letter = text.strip_prefix(['e', 'E']).filter(|rest| {
        rest.trim_start_matches(['-', '+', '−']).starts_with(|c: char| c.is_ascii_digit())
    });
    let times_ten = || {
        let rest = text.strip_prefix(['x', 'X', '×', '·', '*'])?.trim_start();
        if starts_power(rest) { rest.strip_prefix("10") } else { None }
    };
    let Some(rest) = letter.or_else(times_ten) else { return Ok(None) };
    power(rest).map(Some).ok_or_else(|| ReadProblem::BadNumber(written.to_owned()))
}

/// A whole power of at most 28, `5`, `^-5` or `⁻⁵`, and what is left.
fn power(text: &str) -> Option<(i32, &str)> {
    let (negative, text) = match text.strip_prefix(RAISED_MINUS) {
        Some(rest) => (true, rest),
        None => sign(text.strip_prefix('^').unwrap_or(text)),
    };
    let raised = text.starts_with(RAISED);
    let left = text.trim_start_matches(|letter: char| {
        if raised { RAISED.contains(&letter) } else { letter.is_ascii_digit() }
    });
    let digits = text.strip_suffix(left).filter(|digits| !digits.is_empty())?;
    let mut power = 0;
    for letter in digits.chars() {
        let index = RAISED.iter().position(|raised| *raised == letter);
        let digit = index.map_or_else(|| letter.to_digit(10), |index| u32::try_from(index).ok())?;
        power = power * 10 + i32::try_from(digit).ok()?;
        if power > 28 {
            return None;
        }
    }
    Some((if negative { -power } else { power }, left))
}

/// The letters of a raised power, each at the index of its value, and the raised minus.
const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
const RAISED_MINUS: char = '⁻';

/// Whether a power of ten stands first: `10^5`, `10⁵`.
fn starts_power(text: &str) -> bool {
    text.strip_prefix("10").is_some_and(|rest| {
        rest.starts_with('^') || rest.starts_with(RAISED_MINUS) || rest.starts_with(RAISED)
    })
}
