//! The numbers that legal rounding leads to, as ranges that can be written as patterns.

use crate::problem::NumberKey;
use crate::quantity::{Exact, Rounding};

use super::pattern::{Digits, between, listed};
use crate::export::sheet::compose::inwards;

/// Numbers from one to another, with only so many places.
#[derive(Clone, Copy, Debug)]
pub(in crate::export::qti) struct Span {
    /// The lowest.
    pub low: Exact,
    /// The highest.
    pub high: Exact,
    digits: Digits,
}

impl Span {
    /// The pattern of its numbers; none where it has none.
    pub(in crate::export::qti) fn pattern(&self) -> Option<String> {
        between(self.low, self.high, self.digits)
    }

    /// The same numbers times ten to a power.
    pub(in crate::export::qti) fn moved(&self, power: i32) -> Option<Self> {
        let digits = match self.digits {
            Digits::Any => Digits::Any,
            Digits::AtMost(places) => {
                let places = i32::try_from(places).ok()?.checked_sub(power)?;
                Digits::AtMost(u32::try_from(places).unwrap_or(0))
            }
        };
        let (low, high) = (self.low.times_ten_to(power).ok()?, self.high.times_ten_to(power).ok()?);
        Some(Self { low, high, digits })
    }
}

/// The numbers between two, rounded as asked or with more of their places, that lie from `least` to
/// `most`, where there are such ends.
///
/// Beyond one place more than asked for, rounding makes no difference that anybody would type.
pub(in crate::export::qti) fn legal(
    key: &NumberKey,
    low: Exact,
    high: Exact,
    least: Option<Exact>,
    most: Option<Exact>,
) -> Vec<Span> {
    let (low, high) = (low.settled(), high.settled());
    let places = places_asked(key.rounding, low, high);
    let span = |low: Exact, high: Exact, places: u32, digits| {
        let low = least.map_or(low, |least| low.max(inwards(least, places, true)));
        let high = most.map_or(high, |most| high.min(inwards(most, places, false)));
        (low <= high).then_some(Span { low, high, digits })
    };
    let asked = key.rounding;
    let rounded = span(asked.apply(low), asked.apply(high), places, Digits::AtMost(places));
    let more = places + 1;
    let finer = span(low.to_places(more), high.to_places(more), more, Digits::Any);
    rounded.into_iter().chain(finer).collect()
}

/// The places that the rounding asks for.
fn places_asked(rounding: Rounding, low: Exact, high: Exact) -> u32 {
    rounding.step_at(low).places().max(rounding.step_at(high).places())
}

/// The exact answer with more places than a rounding of it that is accepted, where it is not accepted
/// for being near: it says more and is no worse.
pub(in crate::export::qti) fn finer_than_accepted(key: &NumberKey) -> Vec<Exact> {
    const MORE: u32 = 6;
    let is_accepted = |number: &Exact| key.low <= *number && *number <= key.high;
    let rounded = (0..=key.shown.places() + MORE).map(|places| key.exact.to_places(places));
    rounded
        .skip_while(|number| !is_accepted(number))
        .filter(|number| !is_accepted(number))
        .collect()
}

/// The answers that are rounded too far or cut off, as they are written.
pub(in crate::export::qti) fn listed_roundings(key: &NumberKey) -> Vec<String> {
    let asked = key.shown.places();
    let mut patterns: Vec<String> = Vec::new();
    let mut add = |low: Exact, high: Exact, places: u32| {
        // Nothing at all is no rounding of an answer.
        let least = Exact::new(1, places).unwrap_or_default();
        let pattern = listed(low.max(least), high, places);
        patterns.extend(pattern.into_iter().filter(|it| !it.is_empty()));
    };
    for places in 0..=asked {
        if places < asked {
            add(key.legal_low.to_places(places), key.legal_high.to_places(places), places);
        }
        let cut = |number: Exact| {
            let power = i32::try_from(places).unwrap_or(0);
            let scaled = number.times_ten_to(power).map(Exact::floor);
            scaled.and_then(|whole| whole.times_ten_to(-power)).map(|it| it.to_places(places)).ok()
        };
        if let (Some(low), Some(high)) = (cut(key.legal_low), cut(key.legal_high)) {
            add(low, high, places);
        }
    }
    patterns.dedup();
    patterns
}
