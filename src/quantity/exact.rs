//! The exact decimal number.

#![allow(clippy::disallowed_types, reason = "this is the one file that holds the wrapped decimal")]

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};

use rust_decimal::Decimal;

/// An exact decimal: up to 28 significant places, trailing zeros kept as written.
///
/// Two numbers are equal when their values are (`0.90 == 0.9`); [`Exact::places`] tells how each
/// was written. There is no negative zero, and no operation panics or wraps: one that would
/// overflow is an [`Arithmetic`] error.
#[derive(Clone, Copy, Default)]
pub struct Exact(Decimal);

/// The powers of ten by which a number can be shifted.
const POWERS: [i128; 29] = {
    let mut powers = [1; 29];
    let mut index = 1;
    while index < powers.len() {
        powers[index] = 10 * powers[index - 1];
        index += 1;
    }
    powers
};

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

    /// Half of the number, exact unless its digits run past the 28th place; written as the library
    /// writes the quotient, 0.0050 for half of 0.01, since the check of a printed paper hangs on that.
    pub fn half(self) -> Result<Self, Arithmetic> {
        let (mantissa, places) = (self.mantissa(), self.places());
        let halved = match mantissa {
            0 => Some(Self::ZERO),
            even if even % 2 == 0 => Self::new(even / 2, places),
            odd => Self::new(odd * 50, places + 2),
        };
        halved.map_or_else(|| self.div(Self::whole(2)), Ok)
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
        if power == 0 {
            return Ok(self);
        }
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
        let Some(past) = self.places().checked_sub(places) else { return self.with_zeros(places) };
        if past == 0 {
            return self;
        }
        // At most 28 places are past, so the power is held, and a whole part never grows beyond 96 bits.
        let power = POWERS[past as usize].unsigned_abs();
        let mantissa = self.mantissa().unsigned_abs();
        let (kept, left) = (mantissa / power, mantissa % power);
        let rounded = i128::try_from(kept + u128::from(left >= power - left)).unwrap_or_default();
        Self::new(if self.is_negative() { -rounded } else { rounded }, places).unwrap_or(self)
    }

    /// The number written with more places than it has, as far as it can hold them.
    fn with_zeros(self, places: u32) -> Self {
        let grown = self.grown(places - self.places());
        grown.and_then(|mantissa| Self::new(mantissa, places)).unwrap_or_else(|| {
            let mut rescaled = self.0;
            rescaled.rescale(places);
            Self::clean(rescaled)
        })
    }

    /// The mantissa with so many zeros behind it, at most 28; `None` where that is too large.
    fn grown(self, zeros: u32) -> Option<i128> {
        match zeros {
            0 => Some(self.mantissa()),
            zeros => POWERS.get(zeros as usize)?.checked_mul(self.mantissa()),
        }
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
        // Numbers of as many places are in the order of their digits.
        let (ours, theirs) = (self.places(), other.places());
        let most = ours.max(theirs);
        match (self.grown(most - ours), other.grown(most - theirs)) {
            (Some(ours), Some(theirs)) => ours.cmp(&theirs),
            _ => self.0.cmp(&other.0),
        }
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Exact {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Exact {}

impl Hash for Exact {
    fn hash<H: Hasher>(&self, state: &mut H) {
        // The library gives equal numbers the same hash, however many places they are written with.
        self.0.hash(state);
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let is_plain = f.width().is_none() && f.precision().is_none() && !f.sign_plus();
        match u64::try_from(self.mantissa().unsigned_abs()) {
            Ok(mantissa) if is_plain => {
                // A sign, a nought, a point and 28 places are the most there can be.
                let mut text = [0; 31];
                let written = digits(mantissa, self.places(), self.is_negative(), &mut text);
                f.write_str(std::str::from_utf8(written).unwrap_or_default())
            }
            _ => fmt::Display::fmt(&self.0, f),
        }
    }
}

/// Writes a number from its last digit to its first, at the end of the room there is.
fn digits(mantissa: u64, places: u32, negative: bool, room: &mut [u8; 31]) -> &[u8] {
    let mut at = room.len();
    let mut put = |letter: u8| {
        at -= 1;
        room[at] = letter;
        at
    };
    let (mut left, mut written) = (mantissa, 0);
    let mut begin = 0;
    while left > 0 || written <= places {
        if written == places && places > 0 {
            put(b'.');
        }
        begin = put(b'0' + u8::try_from(left % 10).unwrap_or_default());
        (left, written) = (left / 10, written + 1);
    }
    if negative {
        begin = put(b'-');
    }
    &room[begin..]
}

impl fmt::Debug for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use rust_decimal::RoundingStrategy;

    use super::*;

    fn any_number() -> impl Strategy<Value = Exact> {
        let mantissa = prop_oneof![
            -1000_i128..1000,
            -(1_i128 << 66)..(1_i128 << 66),
            -(1_i128 << 95)..(1_i128 << 95)
        ];
        (mantissa, 0_u32..=28).prop_map(|(mantissa, places)| Exact::new(mantissa, places).unwrap())
    }

    /// Compared with roots to fifty digits from the decimal module of Python. The places are part of what
    /// the check of a printed paper is made of, so they must not change.
    #[test]
    fn a_root_is_right_but_for_the_last_place_and_always_written_alike() {
        for (of, root) in [
            ("0.6", "0.7745966692414833770358530800"),
            ("2", "1.4142135623730950488016887242"),
            ("4.37", "2.0904544960366872333964101860"),
        ] {
            assert_eq!(Exact::parse(of).unwrap().sqrt().unwrap().to_string(), root);
        }
    }

    proptest! {
        #[test]
        fn numbers_are_rounded_and_compared_as_the_library_does(
            one in any_number(),
            other in any_number(),
            places in 0_u32..30,
        ) {
            let away = RoundingStrategy::MidpointAwayFromZero;
            let mut library = one.0.round_dp_with_strategy(places.min(28), away);
            library.rescale(places.min(28));
            let rounded = one.to_places(places);
            prop_assert_eq!((rounded.0, rounded.places()), (library, library.scale()));
            prop_assert_eq!(one.cmp(&other), one.0.cmp(&other.0));
            prop_assert_eq!(one == other, one.0 == other.0);
            prop_assert_eq!(one.to_string(), one.0.to_string());
            prop_assert_eq!(rounded.to_string(), rounded.0.to_string());
        }

        #[test]
        fn half_of_a_number_is_the_number_divided_by_two(number in any_number()) {
            let (half, divided) = (number.half().unwrap(), number.div(Exact::whole(2)).unwrap());
            prop_assert_eq!(half, divided);
        }

        #[test]
        fn half_of_a_step_is_written_as_a_quotient(mantissa in 0_i128..100_000, places in 0_u32..=12) {
            let step = Exact::new(mantissa, places).unwrap();
            let (half, divided) = (step.half().unwrap(), step.div(Exact::whole(2)).unwrap());
            prop_assert_eq!(half.to_string(), divided.to_string());
        }
    }

    #[test]
    fn a_number_is_settled_to_twenty_places_or_to_twenty_six_figures() {
        for (number, settled) in [
            ("0.1234567890123456789012345678", "0.12345678901234567890"),
            ("1.2345678901234567890123456789", "1.23456789012345678901"),
            ("123456.1234567890123456789012", "123456.12345678901234567890"),
            ("1234567.123456789012345678901", "1234567.1234567890123456789"),
            ("123456789.1234567890123456789", "123456789.12345678901234568"),
            ("2.5", "2.5"),
        ] {
            let [number, settled] = [number, settled].map(|text| Exact::parse(text).unwrap());
            assert_eq!(number.settled().to_string(), settled.to_string());
        }
    }

    #[test]
    fn half_of_nothing_is_written_as_a_quotient_too() {
        for places in 0..=12 {
            let nothing = Exact::new(0, places).unwrap();
            let (half, divided) = (nothing.half().unwrap(), nothing.div(Exact::whole(2)).unwrap());
            assert_eq!(half.to_string(), divided.to_string(), "{places}");
        }
    }

    #[test]
    fn a_number_of_more_than_forty_digits_is_not_read() {
        let long = |digits: usize| format!("{}7", "0".repeat(digits - 1));
        assert_eq!(Exact::parse(&long(40)), Some(Exact::whole(7)));
        assert_eq!(Exact::parse(&long(41)), None);
        assert_eq!(Exact::parse(&format!("-{}", long(40))), Some(Exact::whole(-7)));
    }

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
