//! Exact numbers, units, rounding and reading, against outside check values and by laws.
//!
//! `tests/reference/rounding.csv` comes from Python's decimal module, `tests/reference/units.csv`
//! from the Python package pint; `tests/reference/units.md` says how they were made.

use castmark::quantity::{
    Arithmetic, Dimension, Exact, Quantity, Rounding, UNITS, Unit, read_number, read_quantity,
};
use proptest::prelude::*;

fn exact(text: &str) -> Exact {
    Exact::parse(text).unwrap_or_else(|| panic!("`{text}` is no number"))
}

fn unit(text: &str) -> Unit {
    Unit::parse(text).unwrap_or_else(|problem| panic!("{problem}"))
}

/// The rows of a check file below its heading, each cut at the commas.
fn rows(file: &str) -> impl Iterator<Item = Vec<&str>> {
    file.lines().skip(1).map(|line| line.split(',').collect())
}

#[test]
fn rounds_as_the_decimal_module_of_python_does() {
    let mut cases = 0;
    for row in rows(include_str!("../reference/rounding.csv")) {
        let [number, name, rounded] = row[..] else { panic!("{row:?}") };
        let rounding = Rounding::parse(name).unwrap_or_else(|| panic!("`{name}`"));
        assert_eq!(rounding.apply(exact(number)).to_string(), rounded, "{number} to {name}");
        cases += 1;
    }
    assert!(cases >= 400, "{cases} cases");
}

#[test]
fn converts_as_pint_does() {
    let mut cases = 0;
    for row in rows(include_str!("../reference/units.csv")) {
        let [number, from, converted, to] = row[..] else { panic!("{row:?}") };
        let found = Quantity::new(exact(number), unit(from)).convert(unit(to)).unwrap().unwrap();
        // A quotient without end is given to 20 places in the file.
        let found = found.number.to_places(20).trimmed().to_string();
        assert_eq!(found, exact(converted).trimmed().to_string(), "{number} {from} in {to}");
        cases += 1;
    }
    assert!(cases >= 60, "{cases} cases");
}

/// SI Brochure, 9th edition (2019): the table stands beside each row.
#[test]
fn factors_are_those_of_the_si_brochure() {
    for (written, coherent, table) in [
        ("1 kg", "1000", "table 7: kilo is ten to the 3"),
        ("1 mg", "0.001", "table 7: milli is ten to the -3"),
        ("1 mcg", "0.000001", "table 7: micro is ten to the -6"),
        ("1 mm", "0.1", "table 7: milli against centi, ten to the -2"),
        ("1 m", "100", "table 7: centi is ten to the -2"),
        ("1 L", "1000", "table 8: 1 L is 1 dm3, which is ten to the 3 cm3"),
        ("1 mL", "1", "tables 7 and 8: 1 mL is 1 cm3"),
        ("1 min", "60", "table 8: 1 min is 60 s"),
        ("1 h", "3600", "table 8: 1 h is 60 min, 3600 s"),
        ("0 °C", "273.15", "table 4 and section 2.3.1: t/°C = T/K - 273.15"),
        ("-273.15 °C", "0.00", "table 4 and section 2.3.1"),
        ("1 %", "0.01", "section 5.4.7: the symbol % stands for the number 0.01"),
    ] {
        let typed = read_quantity(written).unwrap();
        let found = typed.unit.unwrap().to_coherent(typed.number).unwrap();
        assert_eq!(found.to_string(), coherent, "{written}: {table}");
    }
}

#[test]
fn a_conversion_keeps_the_figures_as_written() {
    for (number, from, to, converted) in [
        ("0.90", "kg", "g", "900"),
        ("0.9005", "kg", "g", "900.5"),
        ("900", "g", "kg", "0.900"),
        ("1.50", "L", "mL", "1500"),
        ("1500", "mL", "L", "1.500"),
    ] {
        let found = Quantity::new(exact(number), unit(from)).convert(unit(to)).unwrap().unwrap();
        assert_eq!(found.number.to_string(), converted, "{number} {from} in {to}");
    }
}

#[test]
fn a_quotient_without_end_can_be_converted() {
    let third = exact("100").div(exact("3")).unwrap();
    let found = Quantity::new(third, unit("mg")).convert(unit("g")).unwrap().unwrap();
    assert_eq!(found.number.to_string(), "0.0333333333333333333333333333");
    let low = exact("-0.0000000000000000000000000015").times_ten_to(-1).unwrap();
    assert_eq!(low.to_string(), "-0.0000000000000000000000000002");
    assert_eq!(exact("5").times_ten_to(-60), Ok(Exact::ZERO));
}

#[test]
fn units_of_different_things_do_not_convert() {
    for (from, to) in [("g", "mL"), ("g/unit", "g"), ("%", "% w/v"), ("K", "s"), ("m", "mL")] {
        assert!(Quantity::new(Exact::ONE, unit(from)).convert(unit(to)).is_none(), "{from} {to}");
    }
}

#[test]
fn a_quantity_measures_what_its_unit_does() {
    assert_eq!(Quantity::new(exact("3"), unit("mg")).dimension(), Dimension::MASS);
    assert_eq!(Quantity::new(exact("3"), unit("mL")).dimension(), Dimension::VOLUME);
}

/// As the documentation of `std::fmt` has it for numbers: to the right of the width, the sign where it
/// is asked for, so many places.
#[test]
fn a_number_keeps_to_the_width_the_sign_and_the_places_it_is_printed_with() {
    let number = exact("1.50");
    assert_eq!(format!("{number}"), "1.50");
    assert_eq!(format!("{number:6}"), "  1.50");
    assert_eq!(format!("{number:+}"), "+1.50");
    assert_eq!(format!("{number:.3}"), "1.500");
    assert_eq!(format!("{number:+8.1}"), "    +1.5");
}

#[test]
fn single_letters_are_read_to_the_letter() {
    for (written, shown) in [("m", "m"), ("G", "g"), ("l", "L"), ("C", "°C"), ("Mg", "mg")] {
        assert_eq!(unit(written).to_string(), shown);
    }
    for written in ["M", "k", "H", "S", "c", "", "/", "g/", "/mL", "g//mL", "1/1", "g/mL/s"] {
        let message = Unit::parse(written).unwrap_err().to_string();
        assert_eq!(message, format!("`{written}` is not a unit known here"));
    }
}

#[test]
fn every_quotient_of_two_units_is_read_back_as_shown() {
    for top in UNITS {
        for bottom in UNITS {
            let made = unit(&format!("{} per {}", top.symbol, bottom.symbol));
            assert_eq!(Unit::parse(&made.to_string()), Ok(made));
        }
    }
}

#[test]
fn numbers_at_the_end_of_the_range_are_rounded_without_a_panic() {
    let huge = exact("79228162514264337593543950335");
    let tiny = exact("0.0000000000000000000000000001");
    for rounding in [
        Rounding::Places(0),
        Rounding::Places(28),
        Rounding::Places(u32::MAX),
        Rounding::Figures(0),
        Rounding::Figures(1),
        Rounding::Figures(29),
        Rounding::Figures(u32::MAX),
        Rounding::Nearest(huge),
        Rounding::Nearest(tiny),
        Rounding::Nearest(Exact::ZERO),
    ] {
        for number in [huge, huge.neg(), tiny, tiny.neg(), Exact::ZERO, Exact::ONE] {
            assert_eq!(rounding.apply(number.neg()), rounding.apply(number).neg());
            rounding.step_at(number);
        }
    }
    assert_eq!(Rounding::Places(2).apply(huge), huge);
    assert_eq!(Rounding::Figures(1).apply(huge), huge, "8 and 28 zeros cannot be held");
    assert_eq!(huge.add(Exact::ONE), Err(Arithmetic::Overflow));
}

#[test]
fn roots_of_squares_are_exact() {
    for (number, root) in [
        ("0", "0"),
        ("1", "1"),
        ("4", "2"),
        ("9", "3"),
        ("2.25", "1.5"),
        ("0.0001", "0.01"),
        ("1522756", "1234"),
        ("152.2756", "12.34"),
        ("0.0000000000000000000000000001", "0.00000000000001"),
        ("10000000000000000000000000000", "100000000000000"),
    ] {
        assert_eq!(
            exact(number).sqrt().map(|root| root.trimmed().to_string()).as_deref(),
            Ok(root)
        );
    }
    // Largest number held: the root to 28 figures, from Python's decimal module.
    let huge = exact("79228162514264337593543950335").sqrt().unwrap();
    assert_eq!(huge.to_places(10).to_string(), "281474976710656.0000000000");
    assert_eq!(exact("2").sqrt().unwrap().to_places(20).to_string(), "1.41421356237309504880");
}

#[test]
fn reads_what_people_type() {
    for (typed, number, unit) in [
        ("-0", "0", "none"),
        ("007.50", "7.50", "none"),
        ("+2.4", "2.4", "none"),
        ("- 3 g", "-3", "g"),
        ("\u{2212}3g", "-3", "g"),
        ("\u{2013}3g", "-3", "g"),
        (" 13.93\tg ", "13.93", "g"),
        ("13.93 grams", "13.93", "g"),
        ("13.93 gm.", "13.93", "g"),
        ("250 Mg", "250", "mg"),
        ("250 MG", "250", "mg"),
        ("250 \u{b5}g", "250", "mcg"),
        ("250 \u{3bc}g", "250", "mcg"),
        ("2 cm3", "2", "mL"),
        ("2 cm³", "2", "mL"),
        ("2 CM3", "2", "mL"),
        ("1.2 g / mL", "1.2", "g/mL"),
        ("1.2 g/cm3", "1.2", "g/mL"),
        ("1.2 g/suppository", "1.2", "g/unit"),
        ("5 % w/w per unit", "5", "% w/w/unit"),
        ("5%", "5", "%"),
        ("5 %w/v", "5", "% w/v"),
        ("37 °C", "37", "°C"),
        ("37 degrees c", "37", "°C"),
        ("12,50 g", "12.50", "g"),
        ("12,345,678.9", "12345678.9", "none"),
        ("12 345,5 mg", "12345.5", "mg"),
        ("1\u{a0}234\u{a0}mg", "1234", "mg"),
        ("1.5e3 mg", "1500", "mg"),
        ("1.5E-3 g", "0.0015", "g"),
        ("1.5 x 10^3 mg", "1500", "mg"),
        ("1.5 × 10³ mg", "1500", "mg"),
        ("1.5·10⁻³ g", "0.0015", "g"),
        ("2 * 10^2", "200", "none"),
        ("2·10", "2.10", "none"),
        ("≈ 7 pessaries", "7", "unit"),
        ("7 min", "7", "min"),
    ] {
        let read = read_quantity(typed).unwrap_or_else(|problem| panic!("{typed}: {problem}"));
        let found = read.unit.map_or("none".to_owned(), |unit| unit.to_string());
        assert_eq!((read.number.to_string().as_str(), found.as_str()), (number, unit), "{typed}");
    }
}

#[track_caller]
fn refuses(typed: &[&str], message: impl Fn(&str) -> String) {
    for typed in typed {
        assert_eq!(read_quantity(typed).unwrap_err().to_string(), message(typed));
    }
}

#[test]
fn refuses_what_is_no_answer_and_says_what_to_type() {
    refuses(&["", " ", "\t\u{a0}"], |_| {
        "expected a number, found nothing; type one, such as `3.2 g`".to_owned()
    });
    refuses(&["g", "-", "--5", ".", ",", "=", "twelve", "inf", "$5", "e5"], |typed| {
        format!("expected a number, found `{typed}`; type it in digits, such as `3.2 g`")
    });
    refuses(
        &[
            "1..2",
            "1.2.3 g",
            "1.234,5",
            "1,2,3",
            "1,,5",
            "12,34.5",
            "1234,567.8",
            "1e99",
            "1 x 10^",
            "1 x 10⁹⁹",
        ],
        |typed| {
            format!(
                "expected a number, found `{typed}`; write digits with one decimal point, such as \
                 `1234.5`"
            )
        },
    );
    refuses(
        &[
            "1/2",
            "1 + 2",
            "2 × 3",
            "2*3",
            "3^2",
            "5 g 3",
            "5 g or 6 g",
            "1 23",
            "1234 567",
            "5 = 5",
            "1e5e5",
        ],
        |typed| {
            format!(
                "expected one number, found more in `{typed}`; work it out and type the result alone"
            )
        },
    );
    refuses(&["1.5e-28", "99e28", "79228162514264337593543950336"], |typed| {
        format!("expected at most 28 digits, found more in `{typed}`; round the answer")
    });
}

#[test]
fn refuses_an_unknown_unit_by_its_own_words() {
    for (typed, found) in [
        ("5 stone", "stone"),
        ("5 M", "M"),
        ("5 g/", "g/"),
        ("5 g per", "g per"),
        ("5 eggs", "eggs"),
        ("5 ;", ";"),
        ("5 % w/x", "% w/x"),
    ] {
        assert_eq!(
            read_quantity(typed).unwrap_err().to_string(),
            format!(
                "expected a unit such as g, mg or mL after the number, found `{found}`; correct it \
                 or leave it out"
            )
        );
    }
    assert_eq!(
        read_number("5 g").unwrap_err().to_string(),
        "expected a unit such as g, mg or mL after the number, found `g`; correct it or leave it out"
    );
}

#[test]
fn refuses_a_comma_that_can_be_read_in_two_ways() {
    for (typed, comma, point, none) in [
        ("1,234", "1,234", "1.234", "1234"),
        ("-12,500 mg", "12,500", "12.500", "12500"),
        ("999,000e2", "999,000", "999.000", "999000"),
    ] {
        assert_eq!(
            read_quantity(typed).unwrap_err().to_string(),
            format!("`{comma}` can be read as {point} or as {none}; write `{point}` or `{none}`")
        );
    }
}

/// A number small enough that sums and conversions of two are exact.
fn number() -> impl Strategy<Value = Exact> {
    (-999_999_999_999_i64..=999_999_999_999, 0_u32..=9)
        .prop_map(|(mantissa, places)| Exact::new(i128::from(mantissa), places).unwrap())
}

/// Any number that can be held, at its ends too.
fn any_number() -> impl Strategy<Value = Exact> {
    (any::<i128>(), 32_u32..=127, 0_u32..=28)
        .prop_map(|(mantissa, shift, places)| Exact::new(mantissa >> shift, places).unwrap())
}

fn rounding() -> impl Strategy<Value = Rounding> {
    prop_oneof![
        (0_u32..=12).prop_map(Rounding::Places),
        (1_u32..=12).prop_map(Rounding::Figures),
        (1_i128..=5000, 0_u32..=6)
            .prop_map(|(step, places)| Rounding::Nearest(Exact::new(step, places).unwrap())),
    ]
}

fn any_unit() -> impl Strategy<Value = Unit> {
    let rows = 0..UNITS.len();
    (rows.clone(), prop::option::of(rows)).prop_map(|(top, bottom)| match bottom {
        Some(bottom) => unit(&format!("{} per {}", UNITS[top].symbol, UNITS[bottom].symbol)),
        None => unit(UNITS[top].symbol),
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_added_can_be_taken_away(a in number(), b in number()) {
        prop_assert_eq!(a.add(b).unwrap().sub(b), Ok(a));
    }

    #[test]
    fn a_number_is_its_remainder_above_a_multiple(a in number(), step in number()) {
        prop_assume!(!step.is_zero());
        let left = a.remainder(step).unwrap();
        prop_assert!(left.abs() < step.abs());
        prop_assert!(a.sub(left).unwrap().div(step).unwrap().is_whole());
    }

    #[test]
    fn a_shown_number_is_read_back(a in any_number()) {
        let read = Exact::parse(&a.to_string()).unwrap();
        prop_assert_eq!((read.mantissa(), read.places()), (a.mantissa(), a.places()));
        prop_assert_eq!(read_number(&a.to_string()), Ok(a));
    }

    #[test]
    fn a_conversion_there_and_back_changes_nothing(a in number(), from in any_unit(), to in any_unit()) {
        let start = Quantity::new(a, from);
        if let Some(there) = start.convert(to) {
            let back = there.unwrap().convert(from).unwrap().unwrap();
            // Minutes and hours divide without end, so twelve places are compared.
            prop_assert_eq!(back.number.to_places(12), a.to_places(12));
        }
    }

    #[test]
    fn rounding_twice_is_rounding_once(a in any_number(), rounding in rounding()) {
        // A multiple of the step that needs more than 28 digits cannot be held, nor met again.
        let places = match rounding {
            Rounding::Nearest(step) => i32::try_from(step.places()).unwrap(),
            Rounding::Places(_) | Rounding::Figures(_) | Rounding::AtLeast { .. } => 0,
        };
        prop_assume!(a.magnitude().unwrap_or(0) + places < 27);
        let once = rounding.apply(a);
        let twice = rounding.apply(once);
        prop_assert_eq!((twice, twice.places()), (once, once.places()));
    }

    #[test]
    fn rounding_treats_both_signs_alike(a in any_number(), rounding in rounding()) {
        prop_assert_eq!(rounding.apply(a.neg()).to_string(), rounding.apply(a).neg().to_string());
    }

    #[test]
    fn rounding_moves_a_number_by_half_a_step_at_most(a in number(), rounding in rounding()) {
        let moved = rounding.apply(a).sub(a).unwrap().abs();
        prop_assert!(moved.add(moved).unwrap() <= rounding.step_at(a));
    }

    #[test]
    fn a_shown_quantity_is_read_back(a in number(), unit in any_unit()) {
        let shown = Quantity::new(a, unit).to_string();
        let typed = read_quantity(&shown).unwrap();
        prop_assert_eq!(typed.number, a);
        // A quantity per unit is shown without the divisor, and a count without a word.
        let expected = if unit.is_per_unit() { unit.without_divisor() } else { unit };
        match typed.unit {
            Some(found) => prop_assert_eq!(found, expected),
            None => prop_assert_eq!(expected.to_string(), "unit"),
        }
    }

    #[test]
    fn reading_never_panics(
        text in any::<String>(),
        answer in "[-+−=]?[0-9., ·\u{a0}]{0,12}[ex×·*]?[0-9 ^⁰³⁵⁻-]{0,5} ?[gmL%µ°C/ 3]{0,6}",
    ) {
        let _ = (read_quantity(&text), Unit::parse(&text), Rounding::parse(&text));
        let _ = read_quantity(&answer);
    }
}
