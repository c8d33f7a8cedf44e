//! How many draws of a template make a fair problem.

use std::fmt;

use super::{Seed, Stream};

/// How many of the places of a space are accepted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Count {
    /// Every place was tried, and so many were accepted.
    Exact(u128),
    /// The space is too large for that, and places were tried at random.
    Estimated {
        /// How many were accepted.
        accepted: u64,
        /// How many were tried.
        tried: u64,
        /// How many places there are.
        of: u128,
    },
}

/// Spaces up to this size are tried place by place.
const MOST_COUNTED: u128 = 200_000;

/// How many places of a larger space are tried: the share is then known to about one in a hundred.
const SAMPLE: u64 = 10_000;

impl Count {
    /// Counts the places below `size` that are accepted: all of them up to 200,000, beyond that an
    /// estimate from 10,000 places that are always the same for the same name.
    pub fn of(name: &str, size: u128, mut accepts: impl FnMut(u128) -> bool) -> Self {
        if size <= MOST_COUNTED {
            return Self::Exact((0..size).filter(|place| accepts(*place)).count() as u128);
        }
        let mut places = Stream::new(&Seed::derive(b"castmark count", "castmark count 1", &[name]));
        let accepted = (0..SAMPLE).filter(|_| accepts(places.below_wide(size))).count() as u64;
        Self::Estimated { accepted, tried: SAMPLE, of: size }
    }

    /// The number, or the estimate of it.
    pub fn number(self) -> u128 {
        match self {
            Self::Exact(number) => number,
            Self::Estimated { accepted, tried, of } => {
                let (accepted, tried) = (u128::from(accepted), u128::from(tried).max(1));
                // Divided first: the product may be beyond 128 bits.
                (of / tried).saturating_mul(accepted) + of % tried * accepted / tried
            }
        }
    }
}

impl fmt::Display for Count {
    /// `7060`, or `about 3.0x10^8` for an estimate.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exact(number) => write!(f, "{number}"),
            Self::Estimated { .. } => write!(f, "about {}", two_figures(self.number())),
        }
    }
}

/// Two figures and how many noughts follow them, since an estimate knows no more.
fn two_figures(number: u128) -> String {
    let digits = number.checked_ilog10().unwrap_or(0);
    if digits < 6 {
        let step = 10_u128.pow(digits.saturating_sub(1));
        return (number / step * step).to_string();
    }
    let figures = number / 10_u128.pow(digits - 1);
    format!("{}.{}x10^{digits}", figures / 10, figures % 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_space_is_counted_place_by_place() {
        let count = Count::of("t", 200_000, |place| place % 3 == 0);
        assert_eq!(count, Count::Exact(66_667));
        assert_eq!(count.to_string(), "66667");
        assert_eq!(Count::of("t", 0, |_| true), Count::Exact(0));
    }

    #[test]
    fn a_large_space_is_sampled_and_says_so() {
        let count = Count::of("t", 4_000_000, |place| place % 4 == 0);
        let Count::Estimated { accepted, tried: 10_000, of: 4_000_000 } = count else {
            panic!("{count:?}")
        };
        assert!((2_350..2_650).contains(&accepted), "{accepted}");
        assert!(count.to_string().starts_with("about "), "{count}");
        assert_eq!(count, Count::of("t", 4_000_000, |place| place % 4 == 0));
    }

    #[test]
    fn the_largest_space_has_a_number_too() {
        assert_eq!(Count::of("t", u128::MAX, |_| true).number(), u128::MAX);
        assert_eq!(Count::of("t", u128::MAX, |_| false).number(), 0);
        let half = Count::Estimated { accepted: 1, tried: 2, of: 1_999_999 };
        assert_eq!(half.to_string(), "about 990000");
    }
    #[test]
    fn an_estimate_is_told_with_two_figures() {
        assert_eq!(two_figures(0), "0");
        assert_eq!(two_figures(7), "7");
        assert_eq!(two_figures(123_456), "120000");
        assert_eq!(two_figures(999_999), "990000");
        assert_eq!(two_figures(1_290_000), "1.2x10^6");
        assert_eq!(two_figures(306_000_000), "3.0x10^8");
        assert_eq!(two_figures(u128::MAX), "3.4x10^38");
    }
}
