//! The exact decimal number.

#![allow(clippy::disallowed_types, reason = "this is the one file that holds the wrapped decimal")]

use std::cmp::Ordering;
use std::fmt;

use rust_decimal::{Decimal, RoundingStrategy};

/// An exact decimal: up to 28 significant places, trailing zeros kept as written.
///
/// Two numbers are equal when their values are (`0.90 == 0.9`); [`Exact::places`] tells how each
/// was written. There is no negative zero, and no operation panics or wraps: one that would
/// overflow is an [`Arithmetic`] error.
#[derive(Clone, Copy, Default, PartialEq, Eq, Hash)]
pub struct Exact(Decimal);

/// Why an operation on exact numbers has no result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arithmetic {
    /// The result has more digits before the point than the number can hold.
    Overflow,
    /// The divisor is zero.
    DivisionByZero,
    /// The square root of a negative number was asked for.
    NegativeRoot,
    /// A list that must hold something is too short: a mean of nothing, a deviation of one value.
    TooFewValues,
    /// A name has no value of the kind that is wanted: it was not filled in.
    NoValue,
}

impl fmt::Display for Arithmetic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Overflow => "the result is too large to be held exactly",
            Self::DivisionByZero => "the divisor is zero",
            Self::NegativeRoot => "a negative number has no square root",
            Self::TooFewValues => "the list holds too few values",
            Self::NoValue => "a value is missing",
        })
    }
}

impl std::error::Error for Arithmetic {}

impl Exact {
    /// Zero.
    pub const ZERO: Self = Self(Decimal::ZERO);
    /// One.
    pub const ONE: Self = Self(Decimal::ONE);

    /// The number `mantissa / 10^places`; `None` when `places` is above 28 or the mantissa is
    /// above 96 bits.
    ///
    /// ```
    /// # use castmark::quantity::Exact;
    /// assert_eq!(Exact::new(90, 2).unwrap().to_string(), "0.90");
    /// ```
    pub fn new(mantissa: i128, places: u32) -> Option<Self> {
        Decimal::try_from_i128_with_scale(mantissa, places).ok().map(Self::clean)
    }

    /// A whole number.
    pub fn whole(number: i64) -> Self {
        Self(Decimal::from(number))
    }

    /// Reads plain digits with an optional sign and decimal point, nothing else: `-12.50`, `.5`.
    ///
    /// `None` for exponents, grouping, blanks and more than 28 decimal places. What a person
    /// types goes through [`super::read_quantity`] instead, which explains what is wrong.
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let plain = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if digits.len() > 40 || whole.len() + part.len() == 0 || !plain(whole) || !plain(part) {
            return None;
        }
        if part.is_empty() && digits.ends_with('.') {
            return None;
        }
        let mut mantissa: i128 = 0;
        for byte in whole.bytes().chain(part.bytes()) {
            mantissa = mantissa.checked_mul(10)?.checked_add(i128::from(byte - b'0'))?;
        }
        if text.starts_with('-') {
            mantissa = -mantissa;
        }
        Self::new(mantissa, u32::try_from(part.len()).ok()?)
    }

    /// The sum, exact unless its digits run past the 28th place.
    pub fn add(self, other: Self) -> Result<Self, Arithmetic> {
        self.0.checked_add(other.0).map(Self::clean).ok_or(Arithmetic::Overflow)
    }

    /// The difference, exact unless its digits run past the 28th place.
    pub fn sub(self, other: Self) -> Result<Self, Arithmetic> {
        self.0.checked_sub(other.0).map(Self::clean).ok_or(Arithmetic::Overflow)
    }

    /// The product, exact unless its digits run past the 28th place, where it is rounded.
    pub fn mul(self, other: Self) -> Result<Self, Arithmetic> {
        self.0.checked_mul(other.0).map(Self::clean).ok_or(Arithmetic::Overflow)
    }

    /// The quotient, carried to 28 significant places.
    pub fn div(self, other: Self) -> Result<Self, Arithmetic> {
        if other.0.is_zero() {
            return Err(Arithmetic::DivisionByZero);
        }
        self.0.checked_div(other.0).map(Self::clean).ok_or(Arithmetic::Overflow)
    }

    /// What is left of the number after the divisor is taken away as often as it fits; it has the
    /// sign of the number, and is exact.
    pub fn remainder(self, divisor: Self) -> Result<Self, Arithmetic> {
        if divisor.0.is_zero() {
            return Err(Arithmetic::DivisionByZero);
        }
        self.0.checked_rem(divisor.0).map(Self::clean).ok_or(Arithmetic::Overflow)
    }

    /// The square root by Newton's method on decimals, to the last place but a few.
    pub fn sqrt(self) -> Result<Self, Arithmetic> {
        if self.0.is_sign_negative() {
            return Err(Arithmetic::NegativeRoot);
        }
        if self.0.is_zero() {
            return Ok(Self::ZERO);
        }
        let two = Self::whole(2);
        // Half of each, so that the sum holds for the largest number too.
        let mut guess = self.div(two)?.add(Self::ONE.div(two)?)?;
        // Quadratic from the arithmetic mean downwards: 200 rounds are far more than any
        // 96-bit number needs, and the loop leaves as soon as the guess stops falling.
        for _ in 0..200 {
            let next = guess.add(self.div(guess)?)?.div(two)?;
            if next >= guess {
                break;
            }
            guess = next;
        }
        Ok(guess)
    }

    /// The number with its sign turned.
    #[must_use]
    pub fn neg(self) -> Self {
        Self::clean(-self.0)
    }

    /// The number without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The number times ten to the given power. The point moves and the digits stay as written:
    /// 50 times ten to the -3 is 0.050. Digits that would stand past the 28th place are rounded,
    /// half away from zero.
    pub fn times_ten_to(self, power: i32) -> Result<Self, Arithmetic> {
        let places = i64::from(self.places()) - i64::from(power);
        if let Ok(places) = u32::try_from(places) {
            return Ok(Self::new(self.mantissa(), places).unwrap_or_else(|| {
                let past = 10_i128.checked_pow(places.saturating_sub(28));
                let kept = past.map_or(0, |past| {
                    // Ten to the 38th is more than twice any mantissa, so the sum holds.
                    let half = if self.is_negative() { -past / 2 } else { past / 2 };
                    (self.mantissa() + half) / past
                });
                Self::new(kept, 28).unwrap_or_default()
            }));
        }
        let zeros = u32::try_from(-places).ok().and_then(|zeros| 10_i128.checked_pow(zeros));
        zeros
            .and_then(|factor| self.mantissa().checked_mul(factor))
            .and_then(|mantissa| Self::new(mantissa, 0))
            .ok_or(Arithmetic::Overflow)
    }

    /// How many digits are written after the point, trailing zeros included.
    pub fn places(self) -> u32 {
        self.0.scale()
    }

    /// The digits of the number as a whole number: `12.50` has the mantissa 1250 and 2 places.
    pub fn mantissa(self) -> i128 {
        self.0.mantissa()
    }

    /// The power of ten of the first significant digit: 2 for 123, -2 for 0.05; `None` for zero.
    pub fn magnitude(self) -> Option<i32> {
        let mantissa = self.0.mantissa().unsigned_abs();
        let digits = i32::try_from(mantissa.checked_ilog10()?).ok()?;
        Some(digits - i32::try_from(self.0.scale()).ok()?)
    }

    /// Whether the number is zero.
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// Whether the number is above zero.
    pub fn is_positive(self) -> bool {
        self.0.is_sign_positive() && !self.0.is_zero()
    }

    /// Whether the number is below zero.
    pub fn is_negative(self) -> bool {
        self.0.is_sign_negative() && !self.0.is_zero()
    }

    /// Whether nothing but zeros stands after the point.
    pub fn is_whole(self) -> bool {
        self.0.is_integer()
    }

    /// Rounds half away from zero to the places, and writes that many places; 28 at most, and
    /// fewer when the number is so large that it cannot hold them all.
    #[must_use]
    pub fn to_places(self, places: u32) -> Self {
        let places = places.min(28);
        let mut rounded =
            self.0.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
        if rounded.scale() < places {
            rounded.rescale(places);
        }
        Self::clean(rounded)
    }

    /// The next whole number upwards: 12.1 and 13 both become 13.
    #[must_use]
    pub fn ceil(self) -> Self {
        Self::clean(self.0.ceil())
    }

    /// The next whole number downwards: 12.9 and 12 both become 12.
    #[must_use]
    pub fn floor(self) -> Self {
        Self::clean(self.0.floor())
    }

    /// The number without the dust of divisions that do not come out: beyond 20 places, or beyond 26
    /// figures where those end sooner, it is rounded.
    ///
    /// 2.775 that was reached by way of a third is held as 2.77499…9, and would be rounded down.
    #[must_use]
    pub fn settled(self) -> Self {
        if self.places() <= 20 && self.0.mantissa().unsigned_abs() < 10_u128.pow(26) {
            return self;
        }
        // Figures before the point; a number holds 28, of which a few divisions spoil the last.
        let before = self.magnitude().map_or(0, |magnitude| magnitude + 1);
        let places = u32::try_from(26 - before).unwrap_or(0).min(20);
        self.to_places(places.min(self.places()))
    }

    /// The same value without trailing zeros after the point.
    #[must_use]
    pub fn trimmed(self) -> Self {
        Self::clean(self.0.normalize())
    }

    fn clean(mut number: Decimal) -> Self {
        if number.is_zero() {
            number.set_sign_positive(true);
        }
        Self(number)
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.cmp(&other.0)
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

impl fmt::Debug for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tie_reached_by_way_of_a_division_is_rounded_as_a_tie() {
        let number = |text| Exact::parse(text).unwrap();
        let tie = number("2.21").div(number("0.9")).unwrap().mul(number("0.9")).unwrap();
        assert_eq!(tie.settled().to_places(20).trimmed(), number("2.21"));
        assert_eq!(number("2.7749999999999999999999999").settled().to_places(2), number("2.78"));
        let large = number("70000000000").div(number("3")).unwrap().mul(number("3")).unwrap();
        assert_eq!(large.settled().trimmed(), number("70000000000"));
    }
}
