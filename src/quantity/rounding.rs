//! Named ways of rounding, all half away from zero.

use std::fmt;

use super::Exact;

/// How a number is rounded. Ties go away from zero, as school and pharmacy texts do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To so many decimal places: `2 places`.
    Places(u32),
    /// To so many significant figures: `3 figures`.
    Figures(u32),
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
    pub fn apply(self, number: Exact) -> Exact {
        match self {
            Self::Places(places) => number.to_places(places),
            Self::Figures(figures) => round_figures(number, figures),
            Self::Nearest(step) => round_nearest(number, step),
        }
    }

    /// The distance between neighbouring rounded numbers near the given one.
    pub fn step_at(self, number: Exact) -> Exact {
        match self {
            Self::Places(places) => Exact::new(1, places).unwrap_or_default(),
            Self::Figures(figures) => {
                let magnitude = round_figures(number, figures).magnitude().unwrap_or(0);
                let power = magnitude - i32::try_from(figures).unwrap_or(i32::MAX) + 1;
                Exact::ONE.times_ten_to(power).unwrap_or_default()
            }
            Self::Nearest(step) => step,
        }
    }
}

impl fmt::Display for Rounding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Places(0) => f.write_str("the nearest whole number"),
            Self::Places(1) => f.write_str("1 decimal place"),
            Self::Places(places) => write!(f, "{places} decimal places"),
            Self::Figures(1) => f.write_str("1 significant figure"),
            Self::Figures(figures) => write!(f, "{figures} significant figures"),
            Self::Nearest(step) => write!(f, "the nearest {step}"),
        }
    }
}

fn round_figures(number: Exact, figures: u32) -> Exact {
    let Some(magnitude) = number.magnitude() else { return Exact::ZERO };
    let Ok(figures) = i32::try_from(figures) else { return number };
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
    number
        .div(step)
        .and_then(|count| count.to_places(0).mul(step))
        .map_or(number, |rounded| rounded.to_places(step.trimmed().places().max(step.places())))
}
