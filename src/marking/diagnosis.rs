//! What a number that is not accepted tells about how it came about.

use crate::problem::{NumberKey, SlipValue};
use crate::quantity::{Dimension, Exact, Typed};

use super::unit::Fit;
use super::{Cause, Finding, Lies};

/// How far a decimal point may have moved: mg for kg is six places.
const FURTHEST_POINT: i32 = 6;

/// How far the point may have moved besides a slip. Two faults at once explain so many numbers that
/// with a farther move the explanation is worth little.
const FURTHEST_POINT_OF_SLIP: i32 = 2;

/// How many figures a number needs to show two faults at once.
const TELLING_FIGURES: i32 = 3;

/// An answer that is not accepted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Suspect {
    /// The number in the unit asked for; `None` when the unit does not fit.
    pub number: Option<Exact>,
    /// The answer as written.
    pub typed: Typed,
    /// How its unit fits.
    pub fit: Fit,
}

/// Whether the number, in the unit of the key, is accepted.
pub(super) fn accepted(key: &NumberKey, number: Exact) -> bool {
    key.low <= number && number <= key.high
}

/// Everything that explains the number, the most telling first.
///
/// A right number in a wrong unit is that and nothing else. Otherwise every explanation that fits
/// is named, since one number can come about in several ways; slips off by a power of ten are
/// looked for only when nothing simpler fits.
pub(super) fn diagnose(key: &NumberKey, suspect: &Suspect) -> Finding {
    if let Some(causes) = wrong_unit(key, suspect) {
        return Finding::Known(causes);
    }
    let Some(number) = suspect.number else {
        let written = suspect.typed.unit.unwrap_or(key.unit);
        let dimension = Cause::WrongDimension { written, asked: key.unit };
        let slips = slips(key, suspect.typed.number);
        return Finding::Known(std::iter::once(dimension).chain(slips).collect());
    };
    let mut causes = Vec::new();
    causes.extend(power_of_ten(key, number));
    causes.extend(slips(key, number));
    causes.extend(rounding(key, suspect, number));
    if key.is_legal(number.neg()) {
        causes.push(Cause::Sign);
    }
    if causes.is_empty() {
        causes.extend(slips_and_power_of_ten(key, number));
    }
    if causes.is_empty() {
        return Finding::Unexplained(lies(key, number));
    }
    Finding::Known(causes)
}

/// The number is right, perhaps but for its rounding, and the unit is not.
fn wrong_unit(key: &NumberKey, suspect: &Suspect) -> Option<Vec<Cause>> {
    let written = suspect.typed.unit?;
    let size = match suspect.fit {
        Fit::Converted(number) => Some(number),
        Fit::Other => None,
        Fit::Same | Fit::Missing => return None,
    };
    let thousandfold = size.is_some_and(|number| {
        let number = number.abs();
        let typed = suspect.typed.number.abs();
        let times = |one: Exact, other: Exact| {
            one.times_ten_to(3).is_ok_and(|thousand| !one.is_zero() && thousand <= other)
        };
        times(number, typed) || times(typed, number)
    });
    let unit = Cause::WrongUnit { written, asked: key.unit, thousandfold };
    if accepted(key, suspect.typed.number) {
        return Some(vec![unit]);
    }
    let as_written = Suspect { fit: Fit::Same, ..*suspect };
    let rounding = rounding(key, &as_written, suspect.typed.number)?;
    Some(vec![unit, rounding])
}

/// The power of ten by which a legal answer was missed. A count has no decimal point to move.
fn power_of_ten(key: &NumberKey, number: Exact) -> Option<Cause> {
    if key.is_count() {
        return None;
    }
    let mut moved = moved_points(number, key.low, key.high, FURTHEST_POINT);
    let (power, _) = moved.find(|(_, moved)| key.is_legal(*moved))?;
    Some(Cause::PowerOfTen(power))
}

/// The powers of ten by which the number misses the range, the smallest first, and the number with
/// its point moved back. A smaller move is the likelier one.
fn moved_points(
    number: Exact,
    low: Exact,
    high: Exact,
    furthest: i32,
) -> impl Iterator<Item = (i32, Exact)> {
    // Comparing the places of the first digits spares nearly all of the arithmetic.
    let first = number.magnitude();
    let lowest = if low.is_positive() { low.magnitude() } else { None };
    let highest = if high.is_positive() { high.magnitude() } else { None };
    let can_reach = move |power: i32| {
        let moved = first.map(|first| first - power);
        moved.is_some_and(|moved| {
            lowest.is_none_or(|lowest| lowest <= moved)
                && highest.is_none_or(|highest| moved <= highest)
        })
    };
    (1..=furthest)
        .flat_map(|power| [power, -power])
        .filter(move |power| can_reach(*power))
        .filter_map(move |power| Some((power, number.times_ten_to(-power).ok()?)))
        .filter(move |(_, moved)| low <= *moved && *moved <= high)
}

/// The slips whose value the number is, the nearest first.
fn slips(key: &NumberKey, number: Exact) -> Vec<Cause> {
    let mut found: Vec<(Exact, usize)> = key
        .slips
        .iter()
        .filter(|slip| is_told(key, slip, number))
        .filter_map(|slip| Some((number.sub(slip.value).ok()?.abs(), slip.slip)))
        .collect();
    found.sort_unstable();
    let slip = |(_, slip)| Cause::Slip { slip, power: 0, keeps_method: false };
    found.into_iter().map(slip).collect()
}

/// Whether it may be said that the number comes of a slip: it is the slip's value or a legal rounding
/// of it, and no nearer to the right answer.
pub(super) fn is_told(key: &NumberKey, slip: &SlipValue, number: Exact) -> bool {
    let gap = |other: Exact| number.sub(other).map(Exact::abs);
    slip.is(number, key.rounding)
        && matches!((gap(slip.value), gap(key.exact)), (Ok(to), Ok(from)) if to <= from)
}

/// Whether a number has so many figures that they are hardly met by chance.
pub(super) fn has_figures(number: Exact) -> bool {
    let number = number.trimmed();
    let magnitude = number.magnitude().unwrap_or_default();
    magnitude + i32::try_from(number.places()).unwrap_or(i32::MAX).saturating_add(1)
        >= TELLING_FIGURES
}

/// The slips whose own figures the number has, with the decimal point in another place; the smallest
/// move alone, since at most one factor is likely.
fn slips_and_power_of_ten(key: &NumberKey, number: Exact) -> Vec<Cause> {
    if key.is_count() || !has_figures(number) {
        return Vec::new();
    }
    let mut found: Vec<(u32, Exact, usize, i32)> = Vec::new();
    for slip in key.slips.iter().filter(|slip| !slip.value.is_zero()) {
        for (power, moved) in moved_points(number, slip.low, slip.high, FURTHEST_POINT_OF_SLIP) {
            if slip.is(moved, key.rounding) && has_figures(moved) {
                if let Ok(gap) = moved.sub(slip.value) {
                    found.push((power.unsigned_abs(), gap.abs(), slip.slip, power));
                }
            }
        }
    }
    found.sort_unstable();
    let smallest = found.first().map(|(size, ..)| *size);
    found.retain(|(size, ..)| Some(*size) == smallest);
    let slip = |(_, _, slip, power)| Cause::Slip { slip, power, keeps_method: false };
    found.into_iter().map(slip).collect()
}

/// Whether the number is a legal answer rounded too far or cut short.
///
/// The places of the answer as written tell how far: `14` was rounded to a whole number, `14.0`
/// was not. A converted answer does not tell, so any rounding that gives it counts.
fn rounding(key: &NumberKey, suspect: &Suspect, number: Exact) -> Option<Cause> {
    let asked = key.shown.places();
    let converted = matches!(suspect.fit, Fit::Converted(_));
    let number = if converted { number.trimmed() } else { number };
    if number.is_zero() {
        return None;
    }
    let first = number.places();
    let last = if converted { asked } else { first };
    let coarse = |places: u32| {
        let (low, high) = (key.legal_low.to_places(places), key.legal_high.to_places(places));
        places < asked && low <= number && number <= high
    };
    let cut = |places: u32| {
        let low = cut_off(key.legal_low, places);
        let high = cut_off(key.legal_high, places);
        places <= asked
            && low.is_some_and(|low| low <= number)
            && high.is_some_and(|high| number <= high)
    };
    if (first..=last).any(coarse) {
        return Some(Cause::TooCoarse { asked: key.rounding, gross: is_gross(key, number) });
    }
    (first..=last)
        .any(cut)
        .then(|| Cause::CutShort { asked: key.rounding, gross: is_gross(key, number) })
}

/// The number with all places beyond the given ones dropped.
fn cut_off(number: Exact, places: u32) -> Option<Exact> {
    let rounded = number.abs().to_places(places);
    let cut =
        if rounded > number.abs() { rounded.sub(Exact::new(1, places)?).ok()? } else { rounded };
    Some(if number.is_negative() { cut.neg() } else { cut })
}

/// Whether a number is so far from the answer that its rounding is no small matter: more than 2 % of
/// a mass to be weighed.
fn is_gross(key: &NumberKey, number: Exact) -> bool {
    let is_mass = key.unit.without_divisor().dimension() == Dimension::MASS;
    is_mass
        && number
            .sub(key.exact)
            .and_then(|gap| gap.abs().mul(Exact::whole(50)))
            .is_ok_and(|gap| gap > key.exact.abs())
}

/// Where the number lies, when nothing explains it.
fn lies(key: &NumberKey, number: Exact) -> Lies {
    if number.is_negative() && !key.low.is_negative() {
        return Lies::Negative;
    }
    if number.is_zero() {
        return Lies::Zero;
    }
    if key.is_count() && key.shown.is_whole() && !number.is_whole() {
        return Lies::NotWhole;
    }
    let above = number > key.high;
    let bound = if above { key.high } else { key.low };
    // Two per cent is the usual size of an arithmetic slip in a late digit or of a result rounded
    // too early; it decides one sentence and no mark.
    let near = number
        .sub(bound)
        .and_then(|gap| gap.abs().mul(Exact::whole(50)))
        .is_ok_and(|gap| gap <= key.exact.abs());
    let hundred = |one: Exact, other: Exact| {
        one.abs().times_ten_to(2).is_ok_and(|hundred| hundred <= other.abs())
    };
    if near {
        Lies::Near { above }
    } else if hundred(key.exact, number) || hundred(number, key.exact) {
        Lies::Absurd { above }
    } else {
        Lies::Far { above }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;
    use crate::problem::Problem;
    use crate::quantity::Unit;

    /// The key of 50.55 g of base.
    fn key() -> NumberKey {
        let code = Code::parse("base-one-drug.aaaa-aaaaa").unwrap();
        let problem = Problem::from_code(&Bank::bundled().unwrap(), &code).unwrap();
        problem.parts[2].response.number().unwrap().clone()
    }

    fn number(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    #[test]
    fn of_two_slips_that_fit_the_nearer_is_told_first() {
        let mut key = key();
        let (low, high) = (number("45.70"), number("45.80"));
        let slip = |slip, value| {
            let value = number(value);
            SlipValue { slip, value, legal_low: low, legal_high: high, low, high }
        };
        key.slips = vec![slip(0, "45.70"), slip(1, "45.76"), slip(2, "45.79")];
        let order = |typed: &str| Finding::Known(slips(&key, number(typed))).slips();
        assert_eq!(order("45.75"), [1, 2, 0]);
        assert_eq!(order("45.71"), [0, 1, 2]);
        assert_eq!(order("45.80"), [2, 1, 0]);
    }

    #[test]
    fn digits_are_cut_off_towards_zero_and_none_where_there_are_none() {
        for (whole, cut) in
            [("2.50", "2.5"), ("2.51", "2.5"), ("2.59", "2.5"), ("-2.59", "-2.5"), ("0.04", "0")]
        {
            assert_eq!(cut_off(number(whole), 1), Some(number(cut)), "{whole}");
        }
    }

    /// The key of 50.55 g: 2 % of it are 1.011 g, a hundred times as much are 5055 g.
    #[test]
    fn how_far_off_a_number_lies_is_told_by_two_bounds() {
        let mut key = key();
        for (typed, gross) in
            [("51.561", false), ("51.562", true), ("49.539", false), ("49.538", true)]
        {
            assert_eq!(is_gross(&key, number(typed)), gross, "{typed}");
        }
        let (low, high) = (key.low, key.high);
        let off = |bound: Exact, by: &str| bound.add(number(by)).unwrap();
        for (number, expected) in [
            (off(high, "1.011"), Lies::Near { above: true }),
            (off(high, "1.012"), Lies::Far { above: true }),
            (off(low, "-1.011"), Lies::Near { above: false }),
            (off(low, "-1.012"), Lies::Far { above: false }),
            (number("5054.99"), Lies::Far { above: true }),
            (number("5055"), Lies::Absurd { above: true }),
            (number("0.506"), Lies::Far { above: false }),
            (number("0.5055"), Lies::Absurd { above: false }),
            (number("0"), Lies::Zero),
            (number("-50"), Lies::Negative),
            (number("57.5"), Lies::Far { above: true }),
        ] {
            assert_eq!(lies(&key, number), expected, "{number}");
        }
        key.unit = Unit::parse("unit").unwrap();
        key.shown = number("51");
        assert!(!is_gross(&key, number("60")), "a count is not weighed");
        assert_eq!(lies(&key, number("57.5")), Lies::NotWhole);
        assert_eq!(lies(&key, number("57")), Lies::Far { above: true });
        // Whoever asks for a mean number of units may be given a part of one.
        key.shown = number("50.55");
        assert_eq!(lies(&key, number("57.5")), Lies::Far { above: true });
    }

    #[test]
    fn the_point_of_a_slip_is_looked_for_elsewhere_only_where_there_is_a_point() {
        let mut key = key();
        let value = Exact::parse("45.76").unwrap();
        let (low, high) = (value, value);
        key.slips = vec![SlipValue { slip: 1, value, legal_low: low, legal_high: high, low, high }];
        let number = Exact::parse("457.6").unwrap();
        let slip = Cause::Slip { slip: 1, power: 1, keeps_method: false };
        assert_eq!(slips_and_power_of_ten(&key, number), [slip]);
        key.unit = Unit::parse("unit").unwrap();
        assert_eq!(slips_and_power_of_ten(&key, number), []);
    }
}
