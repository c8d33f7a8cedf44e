//! Numbers as patterns of what is typed.
//!
//! A platform compares numbers, but it does not know that `13,9` is 13.9, that 13900 mg is 13.9 g, or
//! that somebody wrote 14 and not 14.0. The standard's operator for patterns does: a pattern is a
//! regular expression of XML Schema (part 2, appendix F), and what is typed must match it as a whole.
//! So a range of numbers is written as the digits that numbers of it begin with.
//!
//! Only signs that mean the same in every dialect of regular expressions are used.

use crate::quantity::Exact;

/// How many digits may stand behind the point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::export::qti) enum Digits {
    /// As many as one likes.
    Any,
    /// So many, and noughts behind them.
    AtMost(u32),
}

impl Digits {
    /// Any digits that may stand from this place behind the point on; the first place is 0.
    fn rest(self, index: usize) -> String {
        let left = match self {
            Self::Any => return "[0-9]*".to_owned(),
            Self::AtMost(places) => (places as usize).saturating_sub(index),
        };
        match left {
            0 => "0*".to_owned(),
            1 => "[0-9]?0*".to_owned(),
            left => format!("[0-9]{{0,{left}}}0*"),
        }
    }
}

/// The numbers from one to another, both included; `None` when there are none, or the ends have too
/// many digits.
pub(in crate::export::qti) fn between(low: Exact, high: Exact, digits: Digits) -> Option<String> {
    if low > high {
        return None;
    }
    if high.is_negative() {
        return Some(format!("{MINUS}{}", above_zero(high.neg(), low.neg(), digits)?));
    }
    if low.is_negative() {
        let below = above_zero(Exact::ZERO, low.neg(), digits)?;
        let above = above_zero(Exact::ZERO, high, digits)?;
        return Some(format!("({MINUS}{below}|{above})"));
    }
    above_zero(low, high, digits)
}

/// A minus sign, of the keyboard or of print.
const MINUS: &str = "[−\\-] ?";

/// Numbers from one to another that are written with exactly so many places; `None` when there are
/// none, or more than anybody would list.
pub(in crate::export::qti) fn listed(low: Exact, high: Exact, places: u32) -> Option<String> {
    const MOST: i128 = 400;
    let power = i32::try_from(places).ok()?;
    let whole = |number: Exact| number.times_ten_to(power).ok().map(Exact::mantissa);
    let first = whole(low).filter(|_| !low.is_negative())?;
    let last = whole(high)?;
    if first > last || last - first > MOST {
        return None;
    }
    let numbers: Vec<String> = (first..=last)
        .filter_map(|number| Exact::new(number, places))
        .map(|number| match number.to_string().split_once('.') {
            Some((whole, part)) => format!("0*{whole}[.,]{part}"),
            None => format!("0*{number}[.,]?"),
        })
        .collect();
    Some(group(&numbers))
}

/// One of these patterns, each of which is written once.
pub(in crate::export::qti) fn group(patterns: &[String]) -> String {
    let mut once: Vec<&str> = Vec::with_capacity(patterns.len());
    for pattern in patterns {
        if !once.contains(&pattern.as_str()) {
            once.push(pattern);
        }
    }
    match once.as_slice() {
        [one] => (*one).to_owned(),
        _ => format!("({})", once.join("|")),
    }
}

/// Words as they are typed: in capitals or not where `any_case`, with any blanks between.
pub(in crate::export::qti) fn words(text: &str, any_case: bool) -> String {
    let mut pattern = String::new();
    for letter in text.chars() {
        match letter {
            ' ' => pattern.push_str("\\s+"),
            letter if any_case && letter.is_alphabetic() => {
                let (small, large) = (letter.to_lowercase(), letter.to_uppercase());
                if small.clone().eq(large.clone()) {
                    pattern.push(letter);
                } else {
                    pattern.push('[');
                    pattern.extend(small.chain(large));
                    pattern.push(']');
                }
            }
            '.' | '\\' | '?' | '*' | '+' | '{' | '}' | '(' | ')' | '[' | ']' | '|' | '^' | '$' => {
                pattern.push('\\');
                pattern.push(letter);
            }
            letter => pattern.push(letter),
        }
    }
    pattern
}

/// The digits of a number that is not below zero.
struct Split {
    whole: i128,
    part: Vec<u8>,
}

impl Split {
    fn of(number: Exact) -> Option<Self> {
        let text = number.trimmed().to_string();
        let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
        Some(Self {
            whole: whole.parse().ok()?,
            part: part.bytes().map(|byte| byte - b'0').collect(),
        })
    }
}

fn above_zero(low: Exact, high: Exact, digits: Digits) -> Option<String> {
    let (low, high) = (Split::of(low)?, Split::of(high)?);
    if low.whole == high.whole {
        return Some(number(&low.whole.to_string(), &within(&low.part, &high.part, digits, 0)));
    }
    let mut patterns = vec![number(&low.whole.to_string(), &from(&low.part, digits, 0))];
    let between = whole_between(low.whole + 1, high.whole - 1);
    patterns.extend(between.map(|whole| number(&whole, &from(&[], digits, 0))));
    patterns.push(number(&high.whole.to_string(), &up_to(&high.part, digits, 0)));
    Some(group(&patterns))
}

/// Digits behind the point: a pattern, and whether there may be none of them, which it then matches.
struct Part {
    pattern: String,
    can_be_empty: bool,
}

/// A whole number and what may stand behind the point.
fn number(whole: &str, part: &Part) -> String {
    if part.can_be_empty {
        format!("0*{whole}([.,]{})?", part.pattern)
    } else if whole == "0" {
        // `.5` is a half as well.
        format!("0*[.,]{}", part.pattern)
    } else {
        format!("0*{whole}[.,]{}", part.pattern)
    }
}

/// Digits that are no less than these.
fn from(low: &[u8], digits: Digits, index: usize) -> Part {
    let Some((first, rest)) = low.split_first().filter(|_| low.iter().any(|digit| *digit > 0))
    else {
        return Part { pattern: digits.rest(index), can_be_empty: true };
    };
    let mut ways = vec![format!("{first}{}", from(rest, digits, index + 1).pattern)];
    ways.extend(class(first + 1, 9).map(|class| class + &digits.rest(index + 1)));
    Part { pattern: group(&ways), can_be_empty: false }
}

/// Digits that are no more than these.
fn up_to(high: &[u8], digits: Digits, index: usize) -> Part {
    let Some((first, rest)) = high.split_first().filter(|_| high.iter().any(|digit| *digit > 0))
    else {
        return Part { pattern: "0*".to_owned(), can_be_empty: true };
    };
    let mut ways = vec![format!("{first}{}", up_to(rest, digits, index + 1).pattern)];
    if let Some(class) = first.checked_sub(1).and_then(|below| class(0, below)) {
        ways.push(class + &digits.rest(index + 1));
    }
    Part { pattern: format!("({})?", ways.join("|")), can_be_empty: true }
}

/// Digits from the one to the other.
fn within(low: &[u8], high: &[u8], digits: Digits, index: usize) -> Part {
    if low.iter().all(|digit| *digit == 0) {
        return up_to(high, digits, index);
    }
    let (Some((least, low)), Some((most, high))) = (low.split_first(), high.split_first()) else {
        // The upper end has run out of digits, so the lower one is all there is.
        return from(low, digits, index);
    };
    if least == most {
        let rest = within(low, high, digits, index + 1);
        return Part { pattern: format!("{least}{}", rest.pattern), can_be_empty: false };
    }
    let mut ways = vec![format!("{least}{}", from(low, digits, index + 1).pattern)];
    ways.extend(class(least + 1, most - 1).map(|class| class + &digits.rest(index + 1)));
    ways.push(format!("{most}{}", up_to(high, digits, index + 1).pattern));
    Part { pattern: group(&ways), can_be_empty: false }
}

/// A digit from one to another.
fn class(from: u8, to: u8) -> Option<String> {
    match to.checked_sub(from)? {
        0 => Some(from.to_string()),
        _ => Some(format!("[{from}-{to}]")),
    }
}

/// Whole numbers from one to another, length by length.
fn whole_between(low: i128, high: i128) -> Option<String> {
    if low > high {
        return None;
    }
    let mut ways = Vec::new();
    let mut start = low;
    while start <= high {
        let length = start.to_string().len();
        let longest = 10_i128.checked_pow(u32::try_from(length).ok()?)? - 1;
        let end = high.min(longest);
        let of = |number: i128| number.to_string().bytes().map(|b| b - b'0').collect::<Vec<u8>>();
        ways.push(same_length(&of(start), &of(end)));
        start = end + 1;
    }
    Some(group(&ways))
}

/// Whole numbers between two of the same length.
fn same_length(low: &[u8], high: &[u8]) -> String {
    let any = |length: usize| match length {
        0 => String::new(),
        1 => "[0-9]".to_owned(),
        _ => format!("[0-9]{{{length}}}"),
    };
    let (Some((least, low)), Some((most, high))) = (low.split_first(), high.split_first()) else {
        return String::new();
    };
    if least == most {
        return format!("{least}{}", same_length(low, high));
    }
    let (all_least, all_most) =
        (low.iter().all(|digit| *digit == 0), high.iter().all(|digit| *digit == 9));
    let mut ways = Vec::new();
    if !all_least {
        ways.push(format!("{least}{}", same_length(low, &vec![9; low.len()])));
    }
    let first = if all_least { *least } else { least + 1 };
    let last = if all_most { Some(*most) } else { most.checked_sub(1) };
    ways.extend(last.and_then(|last| class(first, last)).map(|class| class + &any(low.len())));
    if !all_most {
        ways.push(format!("{most}{}", same_length(&vec![0; high.len()], high)));
    }
    group(&ways)
}
