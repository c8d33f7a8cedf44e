//! Units, told once more: what one of each is in g, mL, cm, units, kelvin and seconds.
//!
//! Factors: International System of Units, 9th edition of the SI Brochure, tables 4, 7 and 8.

use num_rational::BigRational;

/// A number of this unit in coherent units; `None` for an unknown unit.
pub(super) fn coherent(unit: &str, number: &BigRational) -> Option<BigRational> {
    match unit {
        "°C" => Some(number + fraction(27_315, 100)),
        _ => Some(number * factor(unit)?),
    }
}

/// A number of coherent units in this unit.
pub(super) fn counted_in(unit: &str, number: &BigRational) -> Option<BigRational> {
    match unit {
        "°C" => Some(number - fraction(27_315, 100)),
        _ => Some(number / factor(unit)?),
    }
}

/// A small fraction.
pub(super) fn fraction(top: i64, bottom: i64) -> BigRational {
    BigRational::new(top.into(), bottom.into())
}

fn factor(unit: &str) -> Option<BigRational> {
    if let Some(factor) = one(unit) {
        return Some(factor);
    }
    let (top, bottom) = unit.split_once('/')?;
    Some(one(top)? / one(bottom)?)
}

fn one(unit: &str) -> Option<BigRational> {
    Some(match unit {
        "1" | "g" | "mL" | "cm" | "unit" | "K" | "s" => fraction(1, 1),
        "kg" | "L" => fraction(1000, 1),
        "mg" => fraction(1, 1000),
        "mcg" => fraction(1, 1_000_000),
        "mm" => fraction(1, 10),
        "m" => fraction(100, 1),
        // Grams in 100 mL for the mass in volume.
        "%" | "% w/w" | "% w/v" | "% v/v" => fraction(1, 100),
        "min" => fraction(60, 1),
        "h" => fraction(3600, 1),
        _ => return None,
    })
}
