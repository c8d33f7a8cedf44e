//! Named ways of rounding, all half away from zero.

use std::fmt;

use super::{Arithmetic, Exact};

/// How a number is rounded. Ties go away from zero, as school and pharmacy texts do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To so many decimal places: `2 places`.
    Places(u32),
    /// To so many significant figures: `3 figures`.
    Figures(u32),
    /// To so many decimal places, or to so many significant figures where that is finer.
    AtLeast {
        /// The places.
        places: u32,
        /// The figures.
        figures: u32,
    },
    /// To the readability of a balance or another step: `nearest 0.05`.
    Nearest(Exact),
}

impl Rounding {
    /// Reads `2 places`, `1 place`, `3 figures`, `nearest 0.05`, or `whole`; `None` otherwise.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        if text == "whole" {
            return Some(Self::Places(0));
        }
        if let Some(step) = text.strip_prefix("nearest ") {
            return Exact::parse(step.trim()).filter(|step| step.is_positive()).map(Self::Nearest);
        }
        let (count, word) = text.split_once(' ')?;
        let count: u32 = count.parse().ok()?;
        match word.trim() {
            "place" | "places" if count <= 12 => Some(Self::Places(count)),
            "figure" | "figures" if (1..=12).contains(&count) => Some(Self::Figures(count)),
            _ => None,
        }
    }

    /// The rounded number, written with the places the rounding keeps.
    ///
    /// A number at the very end of what [`Exact`] holds stays as it is when it would have to be
    /// rounded past that end.
    pub fn apply(self, number: Exact) -> Exact {
        match self {
            Self::Places(places) => number.to_places(places),
            Self::Figures(figures) => round_figures(number, figures),
            Self::AtLeast { .. } => self.at(number).apply(number),
            Self::Nearest(step) => round_nearest(number, step),
        }
    }

    /// The same for a number that was worked out, in which a division may have left dust: 2.775 by way
    /// of a third is held as 2.77499…9, and is still a tie.
    pub fn of_result(self, number: Exact) -> Exact {
        self.apply(number.settled())
    }

    /// The distance between neighbouring rounded numbers near the given one.
    pub fn step_at(self, number: Exact) -> Exact {
        match self {
            Self::Places(places) => Exact::new(1, places.min(28)).unwrap_or_default(),
            Self::Figures(figures) => {
                let magnitude = round_figures(number, figures).magnitude().unwrap_or(0);
                let power = (magnitude - held(figures) + 1).max(-28);
                Exact::ONE.times_ten_to(power).unwrap_or_default()
            }
            Self::AtLeast { .. } => self.at(number).step_at(number),
            Self::Nearest(step) => step,
        }
    }

    /// The plain rounding that this is for a number.
    fn at(self, number: Exact) -> Self {
        let Self::AtLeast { places, figures } = self else { return self };
        let [by_places, by_figures] = [Self::Places(places), Self::Figures(figures)];
        if by_figures.step_at(number) < by_places.step_at(number) { by_figures } else { by_places }
    }
}

impl fmt::Display for Rounding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Places(0) => f.write_str("a whole number"),
            Self::Places(1) => f.write_str("1 decimal place"),
            Self::Places(places) => write!(f, "{places} decimal places"),
            Self::Figures(1) => f.write_str("1 significant figure"),
            Self::Figures(figures) => write!(f, "{figures} significant figures"),
            Self::AtLeast { places, figures } => {
                let (places, figures) = (Self::Places(*places), Self::Figures(*figures));
                write!(f, "{places}, and at least {figures}")
            }
            Self::Nearest(step) => write!(f, "the nearest {step}"),
        }
    }
}

/// The number of figures asked for, within what a number can hold.
fn held(figures: u32) -> i32 {
    i32::try_from(figures.clamp(1, 29)).unwrap_or(29)
}

fn round_figures(number: Exact, figures: u32) -> Exact {
    let Some(magnitude) = number.magnitude() else { return Exact::ZERO };
    let figures = held(figures);
    let rounded = round_at(number, magnitude - figures + 1);
    // 99.95 to three figures is 100, which gained a digit: 100.0 would show four.
    match rounded.magnitude() {
        Some(grown) if grown > magnitude => round_at(number, grown - figures + 1),
        _ => rounded,
    }
}

/// Rounds at the given power of ten.
fn round_at(number: Exact, power: i32) -> Exact {
    if power <= 0 {
        return number.to_places(power.unsigned_abs());
    }
    number
        .times_ten_to(-power)
        .and_then(|scaled| scaled.to_places(0).times_ten_to(power))
        .unwrap_or(number)
}

fn round_nearest(number: Exact, step: Exact) -> Exact {
    multiple_nearest(number, step).map_or(number, |rounded| rounded.to_places(step.places()))
}

/// The multiple of the step that is nearest. Taken from the remainder, which is exact: a quotient
/// without end could be rounded up to a tie that is none.
fn multiple_nearest(number: Exact, step: Exact) -> Result<Exact, Arithmetic> {
    let size = number.abs();
    let left = size.remainder(step)?;
    let below = size.sub(left)?;
    let rounded = if left >= step.sub(left)? { below.add(step)? } else { below };
    Ok(if number.is_negative() { rounded.neg() } else { rounded })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rounding_is_read_with_up_to_twelve_places_or_figures() {
        let read = Rounding::parse;
        assert_eq!((read("whole"), read("0 places")), (Some(Rounding::Places(0)), read("whole")));
        assert_eq!(read("12 places"), Some(Rounding::Places(12)));
        assert_eq!(read("1 figure"), Some(Rounding::Figures(1)));
        assert_eq!(read("12 figures"), Some(Rounding::Figures(12)));
        assert_eq!(read("nearest 0.05"), Exact::new(5, 2).map(Rounding::Nearest));
        for text in
            ["13 places", "0 figures", "13 figures", "-1 places", "2", "nearest 0", "places"]
        {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn a_result_is_rounded_without_the_dust_of_a_division() {
        let number = |text: &str| Exact::parse(text).unwrap();
        let tie = number("2.7749999999999999999999999999");
        let check = |rounding: Rounding, as_written: &str, as_result: &str| {
            assert_eq!(rounding.apply(tie), number(as_written), "{rounding}");
            assert_eq!(rounding.of_result(tie), number(as_result), "{rounding}");
        };
        check(Rounding::Places(2), "2.77", "2.78");
        check(Rounding::Figures(3), "2.77", "2.78");
        check(Rounding::Nearest(number("0.05")), "2.75", "2.80");
        assert_eq!(Rounding::Places(2).of_result(number("2.77499")), number("2.77"));
    }
}
