//! Sets of numbers worked by hand in exact fractions, put through the question bank.
//!
//! They are not published: they pin the arithmetic of the engine where no printed example was found.
//! What a limit or a rule is comes from the source that its template names.

use std::sync::OnceLock;

use castmark::bank::Bank;
use castmark::formula::Slot;
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
    close(part, exact, expected);
}

/// Checks a number to the places that are written.
#[track_caller]
fn close(what: &str, found: Exact, expected: &str) {
    let places = expected.split_once('.').map_or(0, |(_, places)| places.len());
    let half = Exact::parse(&format!("0.{}5", "0".repeat(places))).unwrap();
    let apart = found.sub(Exact::parse(expected).unwrap()).unwrap().abs();
    assert!(apart <= half, "{what}: {found}, expected {expected}");
}

/// Checks the result of a step to the places that are written.
#[track_caller]
fn step(problem: &Problem, name: &str, expected: &str) {
    let place = problem.template.names.iter().position(|known| known.name == name).unwrap();
    let Slot::Number(found) = problem.slots[place] else { panic!("{name} has no number") };
    let found = problem.template.names[place].unit.from_coherent(found).unwrap();
    close(name, found, expected);
}

/// Checks the number that a slip leads to in a part.
#[track_caller]
fn slip(problem: &Problem, part: &str, slip: &str, expected: &str) {
    let found = problem.parts.iter().find(|known| known.id == part).unwrap();
    let place = problem.template.slips.iter().position(|known| known.id == slip).unwrap();
    let mut slips = found.response.number().unwrap().slips.iter();
    close(slip, slips.find(|known| known.slip == place).unwrap().value, expected);
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

/// The mean loss of 0.05 g for each unit, and the same without it.
#[test]
fn an_allowance_for_each_unit() {
    let given = [
        ("number", "20"),
        ("capacity", "1.9 g"),
        ("drug.dose", "0.2 g"),
        ("drug.factor", "0.4"),
        ("loss.each", "0.05 g"),
    ];
    let problem = problem("loss-per-unit", &given);
    check(&problem, "base", "37.40");
    slip(&problem, "base", "allowance-forgotten", "36.40");
}

/// What is weighed so that 30 g is left, and the smaller mass that the same percentage in excess gives.
#[test]
fn a_loss_is_not_an_excess() {
    for (needed, loss, weighed, added) in [
        ("30 g", "10 %", "33.333", "33.000"),
        ("30 g", "5 %", "31.579", "31.500"),
        ("53.70 g", "10 %", "59.667", "59.070"),
    ] {
        let given = [("drug_needed", "2 g"), ("base_needed", needed), ("loss", loss)];
        let problem = problem("loss-allowed-for", &given);
        check(&problem, "base", weighed);
        slip(&problem, "base", "loss-added", added);
    }
}

/// Ten per cent more outlasts a loss of 9 %, but not one of 9.5 %.
#[test]
fn an_excess_against_a_loss() {
    for (loss, left, verdict) in [("9 %", "60.060", 0), ("9.5 %", "59.730", 1)] {
        let given = [("number", "20"), ("unit_mass", "3.00 g"), ("excess", "10 %"), ("loss", loss)];
        let problem = problem("loss-and-excess", &given);
        check(&problem, "left", left);
        judged(&problem, verdict);
    }
}

#[test]
fn strengths_of_one_in_five_hundred() {
    for (mass, dose) in [("2 g", "4"), ("8 g", "16")] {
        let given = [("ratio", "500"), ("unit_mass", mass), ("number", "10")];
        let problem = problem("ratio-strength", &given);
        check(&problem, "strength", "0.2");
        check(&problem, "dose", dose);
    }
}

#[test]
fn a_drug_in_per_cent_beside_one_in_milligrams() {
    let given = [
        ("number", "1"),
        ("capacity", "2 g"),
        ("first.strength", "10 %"),
        ("first.displacement_value", "5"),
        ("second.mixed_dose", "50 mg"),
        ("second.displacement_value", "1.5"),
    ];
    let problem = problem("percent-and-second-drug", &given);
    check(&problem, "unit_mass", "2.19203");
    check(&problem, "first_mass", "0.21920");
    check(&problem, "base", "1.92283");
}

/// An extract of 5 % w/v: 40 mg in 0.8 mL.
#[test]
fn an_extract_by_volume() {
    let given = [
        ("number", "10"),
        ("capacity", "9.6 g"),
        ("volume", "0.8 mL"),
        ("content", "5 % w/v"),
        ("density", "1.02 g/mL"),
        ("base.density", "1.15 g/mL"),
    ];
    let problem = problem("extract-pessaries", &given);
    check(&problem, "active", "40");
    // 96 g less 8 mL x 1.15 g/mL; then 8 mL x 1.02 g/mL more.
    check(&problem, "base_mass", "86.80");
    check(&problem, "batch_mass", "94.96");
}

/// A cavity of 1.9 g at 0.95 g/mL holds 2.40 g at 1.2 and 2.20 g at 1.1; a value of 1.5 becomes 1.1875
/// and 1.29545.
#[test]
fn macrogol_bases_by_density() {
    for (density, total, value, base) in
        [("1.2 g/mL", "24.00", "1.1875", "21.4737"), ("1.1 g/mL", "22.00", "1.29545", "19.6842")]
    {
        let given = [
            ("number", "10"),
            ("dose", "0.3 g"),
            ("value", "1.5"),
            ("capacity", "1.9 g"),
            ("oil", "0.95 g/mL"),
            ("density", density),
        ];
        let problem = problem("macrogol-drug", &given);
        step(&problem, "total", total);
        step(&problem, "value_there", value);
        check(&problem, "base", base);
    }
}

/// Three macrogols as 60, 10 and the rest in 24 g of base, a tenth of it water.
#[test]
fn a_blend_of_three_macrogols() {
    let given = [
        ("number", "10"),
        ("capacity", "1.9 g"),
        ("oil", "0.95 g/mL"),
        ("density", "1.2 g/mL"),
        ("water_share", "10 %"),
        ("blend.low_share", "60 %"),
        ("blend.high_share", "10 %"),
    ];
    let problem = problem("macrogol-blend", &given);
    for (part, mass) in
        [("mass", "24"), ("water", "2.40"), ("low", "12.96"), ("middle", "6.48"), ("high", "2.16")]
    {
        check(&problem, part, mass);
    }
}

/// The usual formula, 14 : 70 : 16, in 100 g with glycerol of 85 %.
#[test]
fn diluted_glycerol_brings_water() {
    let given = [
        ("number", "10"),
        ("capacity", "10 g"),
        ("base.ratio", "1"),
        ("formula.gelatin", "14 %"),
        ("formula.glycerol", "70 %"),
        ("stock", "85 %"),
    ];
    let made = problem("glycerol-85", &given);
    check(&made, "stock_mass", "82.353");
    check(&made, "water", "3.647");
    // 20 : 70 : 10 cannot be made with it: 12.353 g of water for 10 g.
    for (gelatin, verdict) in [("14 %", 0), ("20 %", 1)] {
        let given =
            [("gelatin", gelatin), ("glycerol", "70 %"), ("stock", "85 %"), ("mass", "100 g")];
        let problem = problem("glycerol-too-dilute", &given);
        check(&problem, "brought", "12.353");
        judged(&problem, verdict);
    }
}

/// Twelve units of 28.8 g of base in all; 70 g of glycerol is 55.556 mL.
#[test]
fn glycerol_by_its_volume() {
    for (number, capacity, ratio, gelatin, masses) in [
        ("12", "2 g", "1.2", "14 %", ("4.032", "16.0", "4.608")),
        ("12", "2 g", "1.2", "20 %", ("5.76", "16.0", "2.88")),
        ("10", "10 g", "1", "14 %", ("14", "55.556", "16")),
    ] {
        let given = [
            ("number", number),
            ("capacity", capacity),
            ("base.ratio", ratio),
            ("formula.gelatin", gelatin),
            ("formula.glycerol", "70 %"),
            ("liquid.density", "1.26 g/mL"),
        ];
        let problem = problem("glycerol-by-volume", &given);
        check(&problem, "gelatin", masses.0);
        check(&problem, "glycerol", masses.1);
        check(&problem, "water", masses.2);
    }
}

/// The formula of 1898 for ten, made for 24: 144 g, 7.2 g and 12 g.
#[test]
fn a_soap_formula_scaled() {
    let given = [
        ("wanted", "22"),
        ("extra", "2"),
        ("formula.glycerol", "60 g"),
        ("formula.carbonate", "3 g"),
        ("formula.acid", "5 g"),
        ("formula.makes", "10"),
    ];
    let problem = problem("soap-glycerol-scaled", &given);
    check(&problem, "glycerol", "144");
    check(&problem, "carbonate", "7.2");
    check(&problem, "acid", "12");
    check(&problem, "share", "88.2");
}

/// Six units of 1 g with 40 % weigh 8.80 g in a published example; 0.01 g more moves the value by
/// 0.955 %.
#[test]
fn an_error_of_weighing_in_a_value() {
    let given = [
        ("number", "6"),
        ("capacity", "1 g"),
        ("percent", "40 %"),
        ("medicated", "8.80 g"),
        ("error", "0.01 g"),
    ];
    let problem = problem("value-with-error", &given);
    check(&problem, "value", "4.889");
    check(&problem, "other_value", "4.9356");
}

/// One unit of 2 g and an error of 0.01 g: 14.75, 7.25, 2.75 and 1.62 % for 5, 10, 25 and 40 % of a drug
/// of value 1.5, and 48, 23, 8 and 4.25 % at a value of 5. Masses to the microgram.
#[test]
fn errors_by_the_share_of_drug() {
    for (first, second, shares, errors) in [
        ("2.033898 g", "2.181818 g", ("5 %", "25 %"), ("14.75", "2.75")),
        ("2.068966 g", "2.307692 g", ("10 %", "40 %"), ("7.25", "1.62")),
        ("2.083333 g", "2.500000 g", ("5 %", "25 %"), ("48.0", "8.0")),
        ("2.173913 g", "2.941176 g", ("10 %", "40 %"), ("23.0", "4.25")),
    ] {
        let given = [
            ("number", "1"),
            ("capacity", "2 g"),
            ("first_share", shares.0),
            ("second_share", shares.1),
            ("first", first),
            ("second", second),
            ("error", "0.01 g"),
        ];
        let problem = problem("castings-compared", &given);
        check(&problem, "first_error", errors.0);
        check(&problem, "second_error", errors.1);
        judged(&problem, 1);
    }
}

/// Cavities of 1, 3 and 1.5 mL: 0.95, 2.85 and 1.425 g of fat, and in glycero-gelatin 1.15, 3.45 and
/// 1.725 g.
#[test]
fn three_moulds_by_their_volume() {
    for (density, pessary, all) in
        [("0.95 g/mL", "2.85", "24.225"), ("1.15 g/mL", "3.45", "29.325")]
    {
        let given = [
            ("rectal", "6"),
            ("rectal_volume", "1.0 mL"),
            ("vaginal", "5"),
            ("vaginal_volume", "3.0 mL"),
            ("urethral", "3"),
            ("urethral_volume", "1.5 mL"),
            ("base.density", density),
        ];
        let problem = problem("moulds-together", &given);
        check(&problem, "pessary", pessary);
        check(&problem, "all", all);
    }
}

/// Plain capacity 12 + 16 + 6 = 34 g; with a tenth of a drug of value 4 the melt weighs 34 / 0.925.
#[test]
fn one_melt_for_three_moulds() {
    let given = [
        ("rectal", "6"),
        ("rectal_capacity", "2 g"),
        ("vaginal", "4"),
        ("vaginal_capacity", "4 g"),
        ("urethral", "4"),
        ("urethral_capacity", "1.5 g"),
        ("strength", "10 %"),
        ("value", "4"),
    ];
    let problem = problem("one-melt-three-products", &given);
    check(&problem, "drug_mass", "3.67568");
    check(&problem, "base", "33.08108");
    check(&problem, "pessary_dose", "432.432");
}

/// The atropine capsules of a casting laboratory need 6 mg, from 120 mg in 2400 mg of trituration; here
/// 120 mg of it is diluted once more.
#[test]
fn a_serial_dilution() {
    let given = [
        ("needed", "3 mg"),
        ("weighed", "120 mg"),
        ("first_total", "2400 mg"),
        ("taken", "120 mg"),
        ("second_total", "1200 mg"),
    ];
    let problem = problem("serial-dilution", &given);
    check(&problem, "drug_taken", "6");
    check(&problem, "diluent", "1080");
    check(&problem, "portion", "600");
}

/// Ten units of 2 g with 10 mg of drug as 1 in 10: 20 - 0.1 x 0.8 - 0.9 x 0.6.
#[test]
fn a_diluent_displaces_base_too() {
    let given = [
        ("number", "10"),
        ("dose", "10 mg"),
        ("ratio", "10"),
        ("drug_factor", "0.8"),
        ("diluent_factor", "0.6"),
        ("capacity", "2 g"),
    ];
    let problem = problem("trituration-displaces", &given);
    check(&problem, "powder", "1");
    check(&problem, "base", "19.38");
}
