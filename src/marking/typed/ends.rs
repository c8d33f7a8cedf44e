//! The two ends of a range.

use crate::quantity::{Exact, Typed, read_quantity};

use super::words::{after_word, tidy};

/// A range as it was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::marking) struct TypedRange {
    /// The lower end.
    pub(in crate::marking) low: Typed,
    /// The upper end; nothing where one number was typed alone.
    pub(in crate::marking) high: Option<Typed>,
}

/// What may stand between the ends, before what else it could be: a minus sign comes last.
const BETWEEN: &[&str] =
    &[" to ", " and ", " until ", "...", "..", "–", "—", " - ", "~", ";", "/", "−", ", "];

/// What stands before a number that is meant both ways.
const EITHER_WAY: &[&str] = &["+/-", "+ / -", "+-", "±", "plus or minus", "plus/minus"];

/// Reads `30-36 °C`, `30 to 36`, `between 30 and 36`, `60/75`, `60;75`, `±15`, `100 ± 15`, or a number
/// alone.
///
/// A unit beside one number is meant for both. The ends may stand either way round.
pub(in crate::marking) fn read_range(answer: &str) -> Option<TypedRange> {
    let answer = tidy(answer);
    let answer = ["between", "from", "about", "range", "range:"]
        .iter()
        .find_map(|word| after_word(&answer, word))
        .map_or(answer.as_str(), |rest| &answer[answer.len() - rest.len()..]);
    if let Some(range) = either_way(answer) {
        return Some(range);
    }
    if let Ok(one) = read_quantity(answer) {
        return Some(TypedRange { low: one, high: None });
    }
    let small = answer.to_ascii_lowercase();
    let parted = BETWEEN.iter().find_map(|between| {
        let at = small.find(between)?;
        ends(&answer[..at], &answer[at + between.len()..])
    });
    parted
        .or_else(|| {
            // A minus sign at the beginning belongs to the number.
            let (at, _) = answer.char_indices().skip(1).find(|(_, c)| *c == '-')?;
            ends(&answer[..at], &answer[at + 1..])
        })
        .or_else(|| {
            // Two numbers with no more than a blank between them.
            answer.match_indices(' ').find_map(|(at, _)| ends(&answer[..at], &answer[at..]))
        })
}

/// `±15`, or `100 ± 15`.
fn either_way(answer: &str) -> Option<TypedRange> {
    let (at, sign) = EITHER_WAY.iter().find_map(|sign| answer.find(sign).map(|at| (at, *sign)))?;
    let (middle, apart) = (answer[..at].trim(), answer[at + sign.len()..].trim());
    let apart = read_quantity(apart).ok()?;
    let middle = if middle.is_empty() {
        Typed { number: Exact::ZERO, unit: apart.unit }
    } else {
        read_quantity(middle).ok()?
    };
    let unit = middle.unit.or(apart.unit);
    let end = |number: Exact| Typed { number, unit };
    let low = middle.number.sub(apart.number).ok()?;
    let high = middle.number.add(apart.number).ok()?;
    Some(in_order(end(low), end(high)))
}

fn ends(low: &str, high: &str) -> Option<TypedRange> {
    let (low, high) = (read_quantity(low).ok()?, read_quantity(high).ok()?);
    let unit = low.unit.or(high.unit);
    let (low, high) =
        (Typed { unit: low.unit.or(unit), ..low }, Typed { unit: high.unit.or(unit), ..high });
    Some(in_order(low, high))
}

/// The range with its ends as they stand: in one unit the lesser is the lower one.
fn in_order(one: Typed, other: Typed) -> TypedRange {
    let turned = one.unit == other.unit && one.number > other.number;
    let (low, high) = if turned { (other, one) } else { (one, other) };
    TypedRange { low, high: Some(high) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(answer: &str) -> Option<(String, String, String)> {
        let range = read_range(answer)?;
        let unit = range.low.unit.map(|unit| unit.to_string()).unwrap_or_default();
        let high = range.high.map(|high| high.number.to_string()).unwrap_or_default();
        Some((range.low.number.to_string(), high, unit))
    }

    #[track_caller]
    fn reads(answer: &str, low: &str, high: &str, unit: &str) {
        let expected = Some((low.to_owned(), high.to_owned(), unit.to_owned()));
        assert_eq!(read(answer), expected, "{answer}");
    }

    #[test]
    fn the_ends_of_a_range_may_be_joined_in_several_ways() {
        for answer in [
            "30-36",
            "30 to 36",
            "between 30 and 36",
            "30–36",
            " 30 - 36 ",
            "from 30 to 36",
            "30/36",
            "30;36",
            "30; 36",
            "30, 36",
            "30..36",
            "30 36",
            "36 to 30",
            "30 ~ 36",
            "30−36",
            "３０-３６",
            "range: 30-36",
        ] {
            reads(answer, "30", "36", "");
        }
        for answer in
            ["31-34 °C", "31-34 degrees", "31 °C to 34 °C", "31 to 34 C", "31-34 degrees Celsius"]
        {
            reads(answer, "31", "34", "°C");
        }
        reads("-5-10 °C", "-5", "10", "°C");
        reads("-5 to -10", "-10", "-5", "");
        reads("0.5-1.5 g", "0.5", "1.5", "g");
        reads("0,5 - 1,5", "0.5", "1.5", "");
    }

    #[test]
    fn a_number_meant_both_ways_is_a_range_about_nothing_or_about_another() {
        for answer in ["+/-15", "±15", "+/- 15 ", "plus or minus 15", "+-15"] {
            reads(answer, "-15", "15", "");
        }
        reads("±15 %", "-15", "15", "%");
        reads("100 ± 15 %", "85", "115", "%");
    }

    #[test]
    fn one_number_alone_is_read_as_one() {
        reads("30 °C", "30", "", "°C");
        reads("60,75", "60.75", "", "");
    }

    #[test]
    fn what_is_no_range_is_not_read() {
        for answer in ["", "warm", "30-", "-", "to", "30 to 36 to 40", "more than 30", "30 to warm"]
        {
            assert_eq!(read(answer), None, "{answer}");
        }
    }
}
