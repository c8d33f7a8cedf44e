//! The key to a numeric part.

use crate::quantity::{Dimension, Exact, Quantity, Rounding, Unit};

use super::super::Fields;
use super::{AnswerSpace, Key};

/// The key to a numeric part. All numbers are in `unit`.
#[derive(Clone, Debug)]
pub struct NumberKey {
    /// The answer without rounding anywhere.
    pub exact: Exact,
    /// The answer rounded as asked.
    pub shown: Exact,
    /// The unit asked for.
    pub unit: Unit,
    /// The density in g/mL by which a volume is accepted for a mass, or a mass for a volume.
    pub density: Option<Exact>,
    /// The rounding asked for.
    pub rounding: Rounding,
    /// The lowest number accepted.
    pub low: Exact,
    /// The highest number accepted.
    pub high: Exact,
    /// The lowest number that legal early rounding leads to.
    pub legal_low: Exact,
    /// The highest number that legal early rounding leads to.
    pub legal_high: Exact,
    /// The known wrong answers.
    pub slips: Vec<SlipValue>,
    /// How many of the marks are for the method.
    pub method_marks: u32,
}

/// The number that a slip leads to.
#[derive(Clone, Debug)]
pub struct SlipValue {
    /// The slip, as an index into the slips of the template.
    pub slip: usize,
    /// The number without rounding.
    pub value: Exact,
    /// The lowest number that the slip and legal early rounding lead to.
    pub legal_low: Exact,
    /// The highest.
    pub legal_high: Exact,
    /// The lowest number that the slip and rounding as asked lead to; where it is near what is accepted,
    /// by any legal rounding on the way.
    pub low: Exact,
    /// The highest.
    pub high: Exact,
}

/// How many steps beyond the width of the accepted range a slip is near it.
const NEAR: i64 = 4;

/// The least distance between what is accepted and what a known wrong method leads to by any legal
/// rounding: half a step of the rounding asked for.
pub fn least_gap() -> Exact {
    Exact::new(5, 1).unwrap_or_default()
}

impl SlipValue {
    /// Whether the number is the slip's own or a legal rounding of it: as many places as asked for or
    /// more, and all of them the slip's.
    pub fn is(&self, number: Exact, asked: Rounding) -> bool {
        is_rounding_of(self.legal_low, self.legal_high, number, asked)
    }
}

/// Whether the number is a number between these two, rounded as asked or with more of its places.
/// Zeros at the end of the number show no places.
fn is_rounding_of(low: Exact, high: Exact, number: Exact, asked: Rounding) -> bool {
    let (low, high, number) = (low.settled(), high.settled(), number.settled());
    let places = number.trimmed().places();
    let rounded = |bound: Exact| {
        if places > asked.step_at(bound).places() {
            bound.to_places(places)
        } else {
            asked.apply(bound)
        }
    };
    rounded(low) <= number && number <= rounded(high)
}

impl NumberKey {
    /// Whether the number is a legal answer, rounded as asked or with more of its places.
    pub fn is_legal(&self, number: Exact) -> bool {
        is_rounding_of(self.legal_low, self.legal_high, number, self.rounding)
    }

    /// Whether the answer makes sense: above zero, or a count of zero or more.
    pub fn is_sensible(&self) -> bool {
        self.exact.is_positive() || self.exact.is_zero() && self.is_count()
    }

    /// Whether things are counted.
    pub fn is_count(&self) -> bool {
        self.unit.dimension() == Dimension::COUNT
    }

    /// Whether legal rounding leads to more than one whole number where only one can be right.
    pub fn is_undecided(&self) -> bool {
        let rounded = |number| self.rounding.of_result(number);
        self.is_count() && rounded(self.legal_low) != rounded(self.legal_high)
    }

    /// The distance between what is accepted and what a slip leads to, in steps of the rounding asked for;
    /// below zero where they overlap. `None` when it is too large for a number.
    pub fn gap(&self, slip: &SlipValue) -> Option<Exact> {
        self.distance(slip)?.div(self.rounding.step_at(self.exact)).ok()
    }

    /// The same in the unit asked for.
    fn distance(&self, slip: &SlipValue) -> Option<Exact> {
        let is_above = slip.value > self.exact;
        if is_above { slip.low.sub(self.high) } else { self.low.sub(slip.high) }.ok()
    }

    /// Whether a slip is so near that rounding on the way may decide whether it is accepted.
    pub(in crate::problem) fn is_near(&self, slip: &SlipValue) -> bool {
        let steps = self.rounding.step_at(self.exact).mul(Exact::whole(NEAR));
        let near = self.high.sub(self.low).and_then(|width| width.add(steps?));
        matches!((self.distance(slip), near), (Some(distance), Ok(near)) if distance < near)
    }

    /// The first slip that is not far enough from a right answer, as an index into the slips of the
    /// template.
    pub fn confused_slip(&self) -> Option<usize> {
        let least = self.rounding.step_at(self.exact).mul(least_gap()).ok()?;
        let is_confused =
            |slip: &&SlipValue| self.distance(slip).is_some_and(|it| it.settled() < least);
        self.slips.iter().find(is_confused).map(|slip| slip.slip)
    }
}

impl Key for NumberKey {
    fn answer(&self) -> String {
        Quantity::new(self.shown, self.unit).to_string()
    }

    fn example(&self) -> String {
        format!("1.23 {}", self.unit.symbol()).trim_end().to_owned()
    }

    fn space(&self) -> AnswerSpace {
        AnswerSpace::Number { unit: self.unit.symbol(), rounding: self.rounding.to_string() }
    }

    fn seal(&self, into: &mut Fields) {
        into.put("number", &self.shown);
        into.put("unit", &self.unit.symbol());
        into.put("rounding", &self.rounding);
        into.all("accepted", [self.low, self.high]);
        into.all("legal", [self.legal_low, self.legal_high]);
        into.put("method", &self.method_marks);
        if let Some(density) = self.density {
            into.put("density", &density);
        }
        for slip in &self.slips {
            into.all("slip", [slip.value, slip.low, slip.high]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    /// A key of 14.0 g that accepts 13.9 to 14.1 g, with a slip between these numbers.
    fn key(low: &str, high: &str) -> NumberKey {
        let [low, high] = [low, high].map(exact);
        let slip = SlipValue { slip: 3, value: low, legal_low: low, legal_high: high, low, high };
        NumberKey {
            exact: exact("14"),
            shown: exact("14.0"),
            unit: Unit::parse("g").unwrap(),
            density: None,
            rounding: Rounding::Places(1),
            low: exact("13.9"),
            high: exact("14.1"),
            legal_low: exact("14"),
            legal_high: exact("14"),
            slips: vec![slip],
            method_marks: 1,
        }
    }

    #[track_caller]
    fn check(low: &str, high: &str, gap: &str, confused: bool, near: bool) {
        let key = key(low, high);
        assert_eq!(key.gap(&key.slips[0]), Some(exact(gap)), "{low} to {high}");
        assert_eq!(key.confused_slip().is_some(), confused, "{low} to {high}");
        assert_eq!(key.is_near(&key.slips[0]), near, "{low} to {high}");
    }

    #[test]
    fn a_slip_must_stay_half_a_step_away_from_what_is_accepted() {
        check("14.15", "14.25", "0.5", false, true);
        check("14.14", "14.24", "0.4", true, true);
        check("13.75", "13.85", "0.5", false, true);
        check("13.80", "13.89", "0.1", true, true);
        check("14.05", "14.2", "-0.5", true, true);
        // The range is two steps wide, and four more are near.
        check("14.7", "14.8", "6", false, false);
    }

    #[test]
    fn nothing_makes_sense_as_a_count_alone() {
        let sensible = |unit: &str, number: &str| {
            let unit = Unit::parse(unit).unwrap();
            NumberKey { unit, exact: exact(number), ..key("1", "2") }.is_sensible()
        };
        for (number, mass, count) in [("1", true, true), ("0", false, true), ("-1", false, false)] {
            assert_eq!(
                (sensible("g", number), sensible("unit", number)),
                (mass, count),
                "{number}"
            );
        }
    }

    #[test]
    fn what_is_read_off_a_scale_is_legal_at_its_marks_or_with_more_places_than_they_have() {
        let bound = exact("13.72");
        let nearest = Rounding::Nearest(exact("0.5"));
        let is = |number: &str| is_rounding_of(bound, bound, exact(number), nearest);
        assert!(is("13.5") && is("13.50") && is("13.72"));
        assert!(!is("13.7") && !is("13.73") && !is("14"));
    }

    #[test]
    fn a_count_is_undecided_where_legal_rounding_leads_to_two_whole_numbers_and_a_mass_never() {
        let undecided = |unit: &str, low: &str, high: &str| {
            let unit = Unit::parse(unit).unwrap();
            let (legal_low, legal_high) = (exact(low), exact(high));
            let rounding = Rounding::Places(0);
            NumberKey { unit, rounding, legal_low, legal_high, ..key("1", "2") }.is_undecided()
        };
        assert!(undecided("unit", "13.49", "13.5"));
        assert!(!undecided("unit", "13.5", "14.49"));
        assert!(!undecided("g", "13.49", "13.5"));
    }
}
