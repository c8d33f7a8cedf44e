//! What a number that is not accepted tells about how it came about.

use crate::problem::NumberKey;
use crate::quantity::{Exact, Rounding, Typed};

use super::Reason;
use super::unit::Fit;

/// How far a decimal point may have moved: mg for kg is six places.
const FURTHEST_POINT: i32 = 6;

/// How far the point may have moved besides a slip. Beyond a mixed-up mg and g, two mistakes at
/// once explain so many numbers that the explanation is worth little.
const FURTHEST_POINT_OF_SLIP: i32 = 3;

/// An answer that is not accepted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Suspect {
    /// The number in the unit asked for; as written when the unit does not fit.
    pub number: Exact,
    /// The answer as written.
    pub typed: Typed,
    /// How its unit fits.
    pub fit: Fit,
}

/// Whether the number, in the unit of the key, is accepted.
pub(super) fn accepted(key: &NumberKey, number: Exact) -> bool {
    key.low <= number && number <= key.high
}

/// Everything that explains the number, the most telling first; never empty.
///
/// A right number in a wrong unit is that and nothing else. Otherwise every explanation that fits
/// is named, since one number can come about in several ways; slips off by a power of ten are
/// looked for only when nothing simpler fits.
pub(super) fn diagnose(key: &NumberKey, suspect: &Suspect) -> Vec<Reason> {
    let mut reasons = Vec::new();
    if let Some(written) = suspect.typed.unit
        && matches!(suspect.fit, Fit::Converted(_) | Fit::Other)
    {
        if accepted(key, suspect.typed.number) {
            return vec![Reason::WrongUnit { written, asked: key.unit }];
        }
        if suspect.fit == Fit::Other {
            reasons.push(Reason::WrongDimension { written, asked: key.unit });
            reasons.extend(slips(key, suspect.number));
            return reasons;
        }
    }
    let number = suspect.number;
    reasons.extend(power_of_ten(key, number));
    reasons.extend(slips(key, number));
    reasons.extend(rounding(key, suspect));
    if accepted(key, number.neg()) {
        reasons.push(Reason::Sign);
    }
    if reasons.is_empty() {
        reasons.extend(slips_and_power_of_ten(key, number));
    }
    if reasons.is_empty() {
        reasons.push(unexplained(key, number));
    }
    reasons
}

/// The power of ten by which an accepted number was missed.
fn power_of_ten(key: &NumberKey, number: Exact) -> Option<Reason> {
    let (power, _) = moved_points(number, key.low, key.high, FURTHEST_POINT).next()?;
    Some(Reason::PowerOfTen(power))
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
fn slips(key: &NumberKey, number: Exact) -> Vec<Reason> {
    let mut found: Vec<(Exact, usize)> = key
        .slips
        .iter()
        .filter(|slip| {
            slip.low <= number && number <= slip.high && is_near(key, number, slip.value)
        })
        .filter_map(|slip| Some((number.sub(slip.value).ok()?.abs(), slip.slip)))
        .collect();
    found.sort_unstable();
    found.into_iter().map(|(_, slip)| Reason::Slip { slip, power: 0 }).collect()
}

/// Whether the number is as near as its places tell to the value of a slip. Half a step about a whole
/// number reaches to the next: 16.7 is not the slip that leads to 17.
pub(super) fn is_near(key: &NumberKey, number: Exact, value: Exact) -> bool {
    key.rounding != Rounding::Places(0)
        || number.is_whole()
        || value.to_places(number.places()) == number
}

/// The slips whose value the number is but for its decimal point, the smallest move first.
fn slips_and_power_of_ten(key: &NumberKey, number: Exact) -> Vec<Reason> {
    let mut found: Vec<(u32, Exact, usize, i32)> = Vec::new();
    for slip in &key.slips {
        for (power, moved) in moved_points(number, slip.low, slip.high, FURTHEST_POINT_OF_SLIP) {
            if let Ok(gap) = moved.sub(slip.value) {
                found.push((power.unsigned_abs(), gap.abs(), slip.slip, power));
            }
        }
    }
    found.sort_unstable();
    found.into_iter().map(|(_, _, slip, power)| Reason::Slip { slip, power }).collect()
}

/// Whether the number is a legal answer rounded too far or cut short.
///
/// The places of the answer as written tell how far: `14` was rounded to a whole number, `14.0`
/// was not. A converted answer does not tell, so any rounding that gives it counts.
fn rounding(key: &NumberKey, suspect: &Suspect) -> Option<Reason> {
    let asked = key.shown.places();
    let converted = matches!(suspect.fit, Fit::Converted(_));
    let number = if converted { suspect.number.trimmed() } else { suspect.number };
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
        return Some(Reason::TooCoarse { asked: key.rounding });
    }
    (first..=last).any(cut).then_some(Reason::CutShort { asked: key.rounding })
}

/// The number with all places beyond the given ones dropped.
fn cut_off(number: Exact, places: u32) -> Option<Exact> {
    let rounded = number.abs().to_places(places);
    let cut =
        if rounded > number.abs() { rounded.sub(Exact::new(1, places)?).ok()? } else { rounded };
    Some(if number.is_negative() { cut.neg() } else { cut })
}

/// Where the number lies, when nothing explains it.
fn unexplained(key: &NumberKey, number: Exact) -> Reason {
    let above = number > key.high;
    let bound = if above { key.high } else { key.low };
    // Two per cent is the usual size of an arithmetic slip in a late digit or of a result rounded
    // too early; it decides one sentence and no mark.
    let near = number
        .sub(bound)
        .and_then(|gap| gap.abs().mul(Exact::whole(50)))
        .is_ok_and(|gap| gap <= key.exact.abs());
    Reason::Unexplained { above, near }
}
