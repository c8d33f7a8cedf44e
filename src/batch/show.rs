//! Numbers as the sheet shows them.

use crate::quantity::{Arithmetic, Exact, Rounding};

/// Intermediate masses: a milligram, and at least three figures.
const MASSES: Rounding = Rounding::AtLeast { places: 3, figures: 3 };

/// Plain numbers, such as factors.
const NUMBERS: Rounding = Rounding::AtLeast { places: 3, figures: 4 };

/// A mass in grams: `1.071 g`, and `12.48 g` where it comes out even.
pub(super) fn grams(mass: Exact) -> String {
    format!("{} g", shown(mass, MASSES, 2))
}

/// A plain number: `0.72`.
pub(super) fn number(number: Exact) -> String {
    shown(number, NUMBERS, 0)
}

/// A fraction as a percentage: `16.7 %`.
pub(super) fn percent(fraction: Exact) -> String {
    let hundredfold = fraction.times_ten_to(2).unwrap_or(fraction);
    let rounding = Rounding::AtLeast { places: 1, figures: 3 };
    format!("{} %", shown(hundredfold, rounding, 0))
}

/// A mass as it is weighed out, to the step of a balance: `13.93 g`.
pub(super) fn weighed(mass: Exact, step: Exact) -> String {
    format!("{} g", Rounding::Nearest(step).of_result(mass))
}

/// A mass in milligrams where it is less than a gram.
pub(super) fn small(mass: Exact) -> String {
    if mass.abs() >= Exact::ONE {
        return grams(mass);
    }
    match mass.times_ten_to(3) {
        Ok(milligrams) => {
            let rounding = Rounding::AtLeast { places: 0, figures: 3 };
            format!("{} mg", shown(milligrams, rounding, 0))
        }
        Err(_) => grams(mass),
    }
}

/// Whether a mass is shown as it is, or rounded: the sign between a sum and its result.
pub(super) fn sign(mass: Exact) -> &'static str {
    if MASSES.of_result(mass) == mass.settled() { "=" } else { "≈" }
}

/// The same for a plain number.
pub(super) fn number_sign(number: Exact) -> &'static str {
    if NUMBERS.of_result(number) == number.settled() { "=" } else { "≈" }
}

/// The rounded number; one that comes out even is written without the zeros that rounding adds, but
/// with the fewest places asked for.
fn shown(number: Exact, rounding: Rounding, fewest: u32) -> String {
    let rounded = rounding.of_result(number);
    if rounded != number.settled() {
        return rounded.to_string();
    }
    let even = rounded.trimmed();
    if even.places() < fewest { even.to_places(fewest).to_string() } else { even.to_string() }
}

/// The sum of numbers.
pub(super) fn sum(numbers: impl IntoIterator<Item = Exact>) -> Result<Exact, Arithmetic> {
    numbers.into_iter().try_fold(Exact::ZERO, Exact::add)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    #[test]
    fn a_number_that_comes_out_even_has_no_zeros_behind_it() {
        assert_eq!(grams(exact("12.4800")), "12.48 g");
        assert_eq!(grams(exact("15")), "15.00 g");
        assert_eq!(grams(exact("0.75").div(exact("0.7")).unwrap()), "1.071 g");
        assert_eq!(grams(exact("0.0002345")), "0.000235 g");
        assert_eq!(percent(exact("0.05")), "5 %");
        assert_eq!(small(exact("0.2")), "200 mg");
        assert_eq!(weighed(exact("13.9286"), exact("0.01")), "13.93 g");
    }
}
