//! Statistics in figures, or the reason why there are none.

use crate::analysis::{Discrimination, Facility, Interval, Statistic, Undefined};

/// What stands in place of a statistic that is not defined.
const NONE: &str = "n/a";

/// Two places: `0.58`, or `n/a`.
pub(super) fn short(value: Statistic) -> String {
    value.map_or_else(|_| NONE.to_owned(), number)
}

/// Two places, or `n/a` with the reason: `n/a: everybody has the same mark`.
pub(super) fn told(value: Statistic) -> String {
    match value {
        Ok(value) => number(value),
        Err(why) => format!("{NONE}: {why}"),
    }
}

/// `0.45 to 0.71`, or `n/a`.
pub(super) fn interval(value: Result<Interval, Undefined>) -> String {
    match value {
        Ok(Interval { low, high }) => format!("{} to {}", number(low), number(high)),
        Err(_) => NONE.to_owned(),
    }
}

/// Two places, without a minus sign before nought.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}

/// Marks as they are counted: `20`, `1.5`.
pub(super) fn marks(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A share as whole per cent: `58 %`.
pub(super) fn percent(value: f64) -> String {
    format!("{:.0}\u{a0}%", value * 100.0)
}

/// A chance: `0.030`, `<0.001`, or `n/a`.
pub(super) fn chance(value: Statistic) -> String {
    match value {
        Ok(value) if value < 0.001 => "<0.001".to_owned(),
        Ok(value) => format!("{value:.3}"),
        Err(_) => NONE.to_owned(),
    }
}

/// Facility in a word.
pub(super) fn facility(word: Facility) -> &'static str {
    match word {
        Facility::Easy => "easy",
        Facility::Middling => "middling",
        Facility::Hard => "hard",
    }
}

/// Discrimination in a word: how the item tells the stronger from the weaker.
pub(super) fn discrimination(word: Discrimination) -> &'static str {
    match word {
        Discrimination::Good => "well",
        Discrimination::Fair => "fairly",
        Discrimination::Poor => "poorly",
        Discrimination::Reversed => "reversed",
    }
}

/// `1 candidate`, `2 candidates`.
pub(super) fn count(number: usize, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

/// A name as words: `base quantity`.
pub(super) fn spaced(name: &str) -> String {
    name.replace('-', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nought_has_no_sign_and_marks_have_no_idle_places() {
        assert_eq!(number(-0.001), "0.00");
        assert_eq!(number(-0.5), "-0.50");
        assert_eq!((marks(20.0), marks(1.5)), ("20".to_owned(), "1.5".to_owned()));
    }

    #[test]
    fn what_is_not_defined_is_not_nought() {
        assert_eq!(short(Err(Undefined::SameMark)), "n/a");
        assert_eq!(told(Err(Undefined::SameMark)), "n/a: everybody has the same mark");
    }
}
