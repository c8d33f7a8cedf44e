//! Sets of numbers worked by hand in exact fractions, put through the question bank.
//!
//! They are not published: they pin the arithmetic of the engine where no printed example was found.
//! What a limit or a rule is comes from the source that its template names.

use std::sync::OnceLock;

use castmark::bank::Bank;
use castmark::problem::{Given, GivenValue, Problem};
use castmark::quantity::{Exact, read_quantity};

fn bundled() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

/// The problem of a template for these numbers, each as written; several are readings, in one unit.
#[track_caller]
fn problem(template: &str, given: &[(&str, &str)]) -> Problem {
    let read = |text: &str| read_quantity(text).unwrap();
    let value = |text: &str| match text.split_once(" of ") {
        None => GivenValue::One(read(text)),
        Some((unit, list)) => {
            let typed = list.split(' ').map(|number| read(&format!("{number} {unit}")));
            GivenValue::Several(typed.collect())
        }
    };
    let values = given.iter().map(|(name, text)| ((*name).to_owned(), value(text))).collect();
    let given = Given { values, ..Given::default() };
    Problem::from_values(bundled(), bundled().find(template).unwrap(), &given)
        .unwrap_or_else(|problems| panic!("{template}: {problems:?}"))
}

/// Checks the exact result of a part to the places that are written.
#[track_caller]
fn check(problem: &Problem, part: &str, expected: &str) {
    let found = problem.parts.iter().find(|known| known.id == part).unwrap();
    let exact = found.response.number().unwrap().exact;
    let places = expected.split_once('.').map_or(0, |(_, places)| places.len());
    let half = Exact::parse(&format!("0.{}5", "0".repeat(places))).unwrap();
    let apart = exact.sub(Exact::parse(expected).unwrap()).unwrap().abs();
    assert!(apart <= half, "{part}: {exact}, expected {expected}");
}

/// Checks which verdict is right, counted from 0.
#[track_caller]
fn judged(problem: &Problem, expected: usize) {
    let found = problem.parts.iter().find_map(|part| part.response.verdict()).unwrap();
    assert_eq!(found.right, expected);
}

const SPREAD: &str = "% of 88.0 105.5 92.4 101.0 110.2 96.3 99.8 87.5 104.1 93.2";

#[test]
fn acceptance_values_of_ten_contents() {
    for (contents, mean, deviation, acceptance, verdict) in [
        (
            "% of 99.2 101.4 98.7 100.5 102.3 97.9 100.1 99.6 101.0 99.3",
            "100.00",
            "1.32916",
            "3.1900",
            0,
        ),
        ("% of 96.1 97.4 95.2 98.0 94.6 99.3 96.8 97.1 95.5 98.0", "96.80", "1.45907", "5.2018", 0),
        (SPREAD, "97.80", "7.61344", "18.9723", 1),
    ] {
        let problem = problem("acceptance-from-contents", &[("contents", contents)]);
        check(&problem, "average", mean);
        check(&problem, "spread", deviation);
        check(&problem, "acceptance", acceptance);
        judged(&problem, verdict);
    }
}

/// Mean and deviation of thirty as printed with four places and more.
#[test]
fn acceptance_values_of_thirty() {
    for (mean, deviation, smallest, largest, acceptance, verdict) in [
        ("98.6667 %", "4.58636 %", "87.5 %", "110.2 %", "9.1727", 2),
        ("98.2633 %", "10.37043 %", "84.0 %", "113.0 %", "20.9776", 0),
        ("98.6667 %", "4.58636 %", "73.9 %", "110.2 %", "9.1727", 1),
        ("98.6667 %", "4.58636 %", "87.5 %", "123.4 %", "9.1727", 1),
    ] {
        let given = [
            ("average", mean),
            ("spread", deviation),
            ("smallest_content", smallest),
            ("largest_content", largest),
        ];
        let problem = problem("acceptance-second-stage", &given);
        check(&problem, "acceptance", acceptance);
        judged(&problem, verdict);
    }
}

/// A unit exactly at a limit is inside it: the text says "by more than".
#[test]
fn uniformity_of_mass_at_its_limits() {
    let twenty = |rest: &str| format!("g of {}{rest}", "2.000 ".repeat(18));
    for (masses, outside, far, verdict) in [
        (twenty("2.100 1.900"), "0", "0", 0),
        (twenty("2.200 1.800"), "2", "0", 0),
        (twenty("2.201 1.799"), "2", "2", 1),
        (
            "g of 2.02 1.98 2.05 1.97 2.01 1.99 2.03 2.00 1.96 2.04 2.12 1.88 2.00 2.01 1.99 2.02 1.98 \
             2.00 1.97 1.98"
                .to_owned(),
            "2",
            "0",
            0,
        ),
    ] {
        let problem = problem("uniformity-of-mass", &[("masses", masses.as_str())]);
        check(&problem, "outside", outside);
        check(&problem, "far_outside", far);
        judged(&problem, verdict);
    }
}

#[test]
fn uniformity_of_content_in_two_stages() {
    let first = "mg of 10.0 10.2 9.8 8.3 10.1 11.8 9.9 10.0 9.7 10.2";
    let stage = problem("uniformity-of-content", &[("middle", "10 mg"), ("contents", first)]);
    check(&stage, "outside", "2");
    judged(&stage, 1);
    for (third, mean, outside, verdict) in [("10.0", "9.95", "3", 0), ("8.3", "9.8933", "4", 1)] {
        let second = format!(
            "mg of 10.1 9.9 {third} 10.3 9.6 8.4 10.2 9.8 10.0 10.1 9.9 10.4 9.7 10.0 10.2 9.8 10.1 9.9 \
             10.3 9.8"
        );
        let given = [("middle", "10 mg"), ("first", first), ("second", second.as_str())];
        let problem = problem("content-second-stage", &given);
        check(&problem, "average", mean);
        check(&problem, "outside", outside);
        check(&problem, "far_outside", "0");
        judged(&problem, verdict);
    }
}

/// The relative standard deviation of the masses 2.2 and 1.8 beside eighteen of 2.0 is 3.244 %.
#[test]
fn relative_standard_deviations() {
    let masses = format!("g of {}2.200 1.800", "2.000 ".repeat(18));
    let problem = problem("relative-deviation", &[("masses", masses.as_str())]);
    check(&problem, "relative", "3.244");
    judged(&problem, 0);
}

/// With pi as 3.14; a circle of that pi is 0.05 % too small.
#[test]
fn sticks_by_their_size() {
    for (diameter, length, number, density, mass) in [
        ("0.5 cm", "5 cm", "10", "0.95 g/mL", "9.3219"),
        ("0.4 cm", "8 cm", "12", "0.95 g/mL", "11.4547"),
        ("0.3 cm", "14 cm", "6", "1.15 g/mL", "6.8248"),
    ] {
        let given = [
            ("diameter", diameter),
            ("length", length),
            ("number", number),
            ("base.density", density),
        ];
        check(&problem("bougie-mass", &given), "batch_mass", mass);
    }
}

#[test]
fn units_by_the_factor_and_back() {
    let given = [("blank", "1.11 g"), ("drug.factor", "0.72"), ("drug.dose", "125 mg")];
    check(&problem("unit-mass-by-factor", &given), "unit_mass", "1.145");
    let given = [("blank", "2.0 g"), ("drug.factor", "0.81"), ("strength", "5 %")];
    check(&problem("unit-mass-by-percent", &given), "unit_mass", "2.019182");
    let given = [("blank", "2.00 g"), ("medicated", "2.12 g"), ("drug.displacement_value", "5")];
    check(&problem("dose-from-masses", &given), "dose", "150");
}

#[test]
fn units_from_a_limited_drug() {
    let given = [("stock", "5 g"), ("dose", "300 mg"), ("extra", "2")];
    let problem = problem("units-from-drug", &given);
    check(&problem, "cast", "16");
    check(&problem, "supplied", "14");
}

/// Eight tablets that hold 4 g of drug weigh 4.447 g, as in the published example of
/// `worked-examples.yaml`; here 7 units of 60 mg and a factor of 1.2.
#[test]
fn powder_of_tablets_displaces_as_a_whole() {
    let given = [
        ("strength", "500 mg"),
        ("crushed", "8"),
        ("powder", "4.447 g"),
        ("number", "7"),
        ("dose", "60 mg"),
        ("factor", "1.2"),
        ("capacity", "1.1 g"),
    ];
    let problem = problem("tablets-in-suppositories", &given);
    check(&problem, "portion", "0.46694");
    // 7.7 g less 0.466935 g / 1.2.
    check(&problem, "base", "7.31089");
}

/// A pipe of 12 for six units gives pieces of 2 and wastes nothing: Sagyndykova and Anabaeva,
/// textbook of pharmaceutical technology, Shymkent 2018, rolling (12 divisions of the pill cutter, 6
/// units of 0.5 g chloral hydrate; centimetres here).
#[test]
fn a_pipe_is_cut_into_equal_parts() {
    let given = [("number", "6"), ("unit_mass", "3 g"), ("dose", "500 mg"), ("pipe", "12 cm")];
    let problem = problem("hand-rolled-batch", &given);
    check(&problem, "piece", "2");
    check(&problem, "base", "15");
}

/// Sodium sulphate, 142 anhydrous and 322 as decahydrate: factor 2.27; morphine hydrochloride 322
/// ordered and sulphate 669 with two morphines held: 1.039. Merkblatt Einwaagekorrekturfaktoren, a
/// leaflet for pharmacy staff.
#[test]
fn published_factors_of_molar_masses() {
    let given = [
        ("anhydrous", "142"),
        ("hydrate", "322"),
        ("waters", "10"),
        ("number", "10"),
        ("dose", "300 mg"),
    ];
    check(&problem("hydrate-weighed", &given), "factor", "2.27");
    let given =
        [("ordered_molar", "322"), ("held_molar", "669"), ("number", "10"), ("dose", "100 mg")];
    check(&problem("salt-for-base", &given), "factor", "1.039");
}
