//! Whole formulas: reading, checking, running, showing.

use super::*;
use crate::quantity::{Dimension, Exact};

/// A bench with one name of each kind.
struct Bench;

const NAMES: &[(&str, Shape)] = &[
    ("number", Shape::Number(Dimension::COUNT)),
    ("capacity", Shape::Number(Dimension::MASS_PER_UNIT)),
    ("drug_mass", Shape::Number(Dimension::MASS)),
    ("dv", Shape::Number(Dimension::NUMBER)),
    ("volume", Shape::Number(Dimension::VOLUME)),
    ("masses", Shape::List(Dimension::MASS_PER_UNIT)),
];

impl Scope for Bench {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        NAMES.iter().position(|(known, _)| *known == name).map(|slot| (slot, NAMES[slot].1))
    }

    fn names(&self) -> Vec<&str> {
        NAMES.iter().map(|(name, _)| *name).collect()
    }
}

impl Words for Bench {
    fn label(&self, name: &str) -> String {
        name.replace('_', " ")
    }

    fn number(&self, name: &str) -> Vec<String> {
        let texts: &[&str] = match name {
            "number" => &["12"],
            "capacity" => &["1.02 g"],
            "drug_mass" => &["0.60 g"],
            "dv" => &["1.5"],
            "masses" => &["1.01 g", "1.03 g", "0.80 g"],
            _ => &["5 mL"],
        };
        texts.iter().map(|text| (*text).to_owned()).collect()
    }
}

fn slots() -> Vec<Slot> {
    let number = |text: &str| Slot::Number(Exact::parse(text).unwrap());
    let masses = ["1.01", "1.03", "0.80"].map(|text| Exact::parse(text).unwrap()).to_vec();
    vec![
        number("12"),
        number("1.02"),
        number("0.60"),
        number("1.5"),
        number("5"),
        Slot::List(masses),
    ]
}

#[track_caller]
fn gives(text: &str, expected: &str) {
    let program = Formula::parse(text).unwrap().compile(&Bench).unwrap();
    assert_eq!(program.run(&slots()).unwrap().trimmed().to_string(), expected);
}

#[track_caller]
fn holds(text: &str, expected: bool) {
    let program = Formula::parse(text).unwrap().compile(&Bench).unwrap();
    assert_eq!(program.holds(&slots()), Ok(expected));
}

#[track_caller]
fn refuses(text: &str, expected: &[(&str, &str, Option<&str>)]) {
    let problems = match Formula::parse(text) {
        Err(problems) => problems,
        Ok(formula) => formula.compile(&Bench).unwrap_err(),
    };
    let found: Vec<(&str, &str, Option<&str>)> = problems
        .iter()
        .map(|p| (&text[p.range.clone()], p.what.as_str(), p.help.as_deref()))
        .collect();
    assert_eq!(found, expected);
}

#[track_caller]
fn shows(text: &str, named: &str, numbered: &str) {
    let formula = Formula::parse(text).unwrap();
    assert_eq!(formula.with_names(&Bench).text(), named);
    assert_eq!(formula.with_numbers(&Bench).text(), numbered);
}

#[test]
fn follows_the_order_of_arithmetic() {
    gives("number * capacity - drug_mass / dv", "11.84");
    gives("2 + 3 * 4 - 10 / 5", "12");
    gives("(2 + 3) * 4", "20");
    gives("10 - 3 - 2", "5");
    gives("16 / 4 / 2", "2");
    gives("-2 * 3 + 1", "-5");
}

#[test]
fn a_number_carries_its_unit_and_units_mix_exactly() {
    gives("500 mg + 0.25 g", "0.75");
    gives("10 % * 2 g", "0.2");
    gives("5 mL * 1.2 g/mL", "6");
    gives("(number + 2 unit) * capacity", "14.28");
    gives("2 g / dv", "1.3333333333333333333333333333");
}

#[test]
fn lists_have_their_functions() {
    gives("sum(masses)", "2.84");
    gives("count(masses)", "3");
    gives("smallest(masses)", "0.8");
    gives("largest(masses)", "1.03");
    gives("furthest(masses, capacity)", "0.8");
    gives("mean(without(masses, furthest(masses, capacity)))", "1.02");
    gives("how_many(masses, 1 g/unit, 2 g/unit)", "2");
    gives("outside(masses, 1 g/unit, 2 g/unit)", "1");
    gives("outside(masses, 0.8 g/unit, 1.03 g/unit)", "0");
    gives("count(together(masses, masses))", "6");
    gives("mean(together(masses, without(masses, 0.8 g/unit)))", "0.976");
    gives("round_up(2.1 unit)", "3");
    gives("round_down(2.9 unit)", "2");
    gives("limit(7, 1, 5)", "5");
    gives("root(2.25)", "1.5");
    gives(
        "deviation(without(masses, 1.03 g/unit)) * deviation(without(masses, 1.03 g/unit))",
        "0.02205",
    );
}

#[test]
fn conditions_hold_or_not() {
    holds("drug_mass > 0 and capacity < 2 g/unit", true);
    holds("not (drug_mass > 0) or dv = 1.50", true);
    holds("dv != 1.5", false);
    for (sign, less, equal, more) in [
        ("<", true, false, false),
        ("<=", true, true, false),
        (">", false, false, true),
        (">=", false, true, true),
        ("=", false, true, false),
        ("!=", true, false, true),
    ] {
        holds(&format!("1.4 {sign} dv"), less);
        holds(&format!("1.5 {sign} dv"), equal);
        holds(&format!("1.6 {sign} dv"), more);
    }
}

#[test]
fn a_division_that_does_not_come_out_leaves_no_dust() {
    holds("10 / 3 * 3 = 10", true);
    holds("10 / 3 * 3 >= 10", true);
    holds("dv / 0.9 * 0.9 < dv", false);
    gives("round_down(10 / 3 * 3)", "10");
    gives("round_up(2.21 / 0.9 * 0.9 * 100 / 13)", "17");
    gives("how_many(masses, 0.8 g/unit / 3 * 3, 1.03 g/unit)", "3");
}

#[test]
fn refuses_dimensions_that_do_not_go_together_and_says_what_to_do() {
    refuses(
        "number + 2",
        &[(
            "number + 2",
            "a count of units and a plain number cannot be added",
            Some("write `2 unit`"),
        )],
    );
    refuses(
        "capacity - drug_mass",
        &[(
            "capacity - drug_mass",
            "mass per unit and mass cannot be subtracted from one another",
            Some("multiply the mass per unit by a number of units"),
        )],
    );
    refuses(
        "volume + drug_mass",
        &[(
            "volume + drug_mass",
            "volume and mass cannot be added",
            Some("multiply the volume by a density"),
        )],
    );
    refuses("root(drug_mass)", &[("root(drug_mass)", "mass has no square root", None)]);
}

#[test]
fn finds_several_problems_at_once_and_suggests_names() {
    refuses(
        "drug_mas + capcity",
        &[
            (
                "drug_mas",
                "expected a known name, found `drug_mas`",
                Some("did you mean `drug_mass`?"),
            ),
            ("capcity", "expected a known name, found `capcity`", Some("did you mean `capacity`?")),
        ],
    );
    refuses(
        "maen(masses) + limit(dv)",
        &[
            ("maen", "expected a function, found `maen`", Some("did you mean `mean`?")),
            ("limit(dv)", "expected three things for `limit`, found 1", None),
        ],
    );
}

#[test]
fn refuses_what_is_no_formula() {
    refuses(
        "",
        &[("", "expected a number, a name or a bracket, found the end of the formula", None)],
    );
    refuses("(dv + 1", &[("(", "expected `)`, found the end of the formula", None)]);
    refuses(
        "dv dv",
        &[(
            "dv",
            "expected the end of the formula or a sign, found `dv`",
            Some("to multiply, write `dv * dv`"),
        )],
    );
    refuses(
        "dv × 2",
        &[("×", "expected a number, a name or a sign, found `×`", Some("write `*` instead"))],
    );
    refuses(
        "1.2.3",
        &[(
            "1.2.3",
            "expected a number, found `1.2.3`",
            Some("write digits with one decimal point, such as `0.90`"),
        )],
    );
    refuses(
        "1 < dv < 3",
        &[(
            "1 < dv",
            "expected one comparison, found two in a row",
            Some("join two comparisons with `and`: `a < b and b < c`"),
        )],
    );
    refuses(
        "masses + 1 g/unit",
        &[(
            "masses",
            "expected a number, found a list",
            Some("take its `mean`, `sum` or another function of a list"),
        )],
    );
}

#[test]
fn a_decimal_comma_is_told_only_where_digits_touch_it() {
    let expected = "expected the end of the formula or a sign, found `,`";
    refuses("0,5 * dv", &[(",", expected, Some("write a decimal point: `0.5`"))]);
    for text in ["0 ,5 * dv", "0, 5 * dv", "0 , 5 * dv"] {
        refuses(text, &[(",", expected, None)]);
    }
}

#[test]
fn what_is_not_expected_is_told_once_and_a_number_by_its_value() {
    let expected = "expected the end of the formula or a sign, found the number 2.5";
    refuses("dv 2.5", &[("2.5", expected, Some("to multiply, write `dv * 2.5`"))]);
    for text in [
        "dv +",
        "dv + (",
        "mean(",
        "mean(masses,",
        "limit(1, , 2)",
        "limit(,)",
        "* *",
        "dv * / 2",
        ")",
        "( )",
        "not",
        "1 < <",
        "2 2 2",
        "mean masses)",
        "(((",
        "-",
        "dv, dv",
        "mean(masses",
        "(dv dv",
    ] {
        let problems = Formula::parse(text).unwrap_err();
        let mut ranges: Vec<_> = problems.iter().map(|it| (it.range.start, it.range.end)).collect();
        ranges.sort_unstable();
        ranges.dedup();
        assert_eq!(ranges.len(), problems.len(), "{text}: {problems:?}");
    }
}

#[test]
fn a_thousand_letters_are_the_most_that_are_read() {
    let wide = |letters: usize| format!("{:letters$}", 1);
    assert!(Formula::parse(&wide(1000)).is_ok());
    assert!(Formula::parse(&wide(1001)).is_err());
}

#[test]
fn a_list_of_a_dozen_is_written_out_and_a_longer_one_is_not() {
    struct Many(usize);
    impl Words for Many {
        fn label(&self, name: &str) -> String {
            name.to_owned()
        }

        fn number(&self, _: &str) -> Vec<String> {
            vec!["1".to_owned(); self.0]
        }
    }
    let shown = |count| Formula::parse("sum(m)").unwrap().with_numbers(&Many(count)).text();
    assert_eq!(shown(0), "sum of m");
    assert_eq!(shown(2), "1 + 1");
    assert_eq!(shown(12), ["1"; 12].join(" + "));
    assert_eq!(shown(13), "sum of m");
}

#[test]
fn a_temperature_below_zero_is_a_reading_of_a_scale_too() {
    let text = |of: &str| match Formula::parse(of).unwrap().compile(&Bench) {
        Err(problems) => problems[0].what.clone(),
        Ok(_) => String::new(),
    };
    assert!(!text("20 °C + 5 °C").is_empty());
    assert_eq!(text("-20 °C + 5 K"), text("20 °C + 5 °C"));
    assert_eq!(text("5 K + -20 °C"), text("20 °C + 5 °C"));
}

#[test]
fn a_division_by_zero_names_its_place() {
    let text = "1 + drug_mass / (dv - dv) * 2 g/g";
    let program = Formula::parse("drug_mass / (dv - dv)").unwrap().compile(&Bench).unwrap();
    let fault = program.run(&slots()).unwrap_err();
    assert_eq!(fault.cause, crate::quantity::Arithmetic::DivisionByZero);
    assert_eq!(fault.range, 0..21);
    assert!(Formula::parse(text).is_ok());
}

#[test]
fn shows_names_and_numbers() {
    shows(
        "number * capacity - drug_mass / dv",
        "number × capacity − drug mass ÷ dv",
        "12 × 1.02 g − 0.60 g ÷ 1.5",
    );
    shows(
        "number * (capacity - 0.05 g/unit)",
        "number × (capacity − 0.05 g)",
        "12 × (1.02 g − 0.05 g)",
    );
    shows("drug_mass / (1 - 1 / dv)", "drug mass ÷ (1 − 1 ÷ dv)", "0.60 g ÷ (1 − 1 ÷ 1.5)");
    shows("mean(masses)", "mean of masses", "(1.01 g + 1.03 g + 0.80 g) ÷ 3");
    shows(
        "furthest(masses, capacity)",
        "value in masses furthest from capacity",
        "value in masses furthest from 1.02 g",
    );
    shows(
        "mean(without(masses, capacity))",
        "mean of masses without capacity",
        "mean of masses without 1.02 g",
    );
    shows(
        "mean(together(masses, masses))",
        "mean of masses together with masses",
        "(1.01 g + 1.03 g + 0.80 g + 1.01 g + 1.03 g + 0.80 g) ÷ 6",
    );
    shows("(number + 2 unit) * capacity", "(number + 2) × capacity", "(12 + 2) × 1.02 g");
}

#[test]
fn draws_mathml_core_with_its_text() {
    let math = Formula::parse("drug_mass / dv").unwrap().with_numbers(&Bench);
    assert_eq!(
        math.mathml(),
        "<math alttext=\"0.60 g ÷ 1.5\"><mfrac><mrow><mrow><mn>0.60</mn><mtext>\u{a0}g</mtext></mrow>\
         </mrow><mrow><mn>1.5</mn></mrow></mfrac></math>"
    );
    assert_eq!(math.typst(), "frac(\"0.60 g\", \"1.5\")");
}

#[test]
fn a_number_behind_a_number_is_not_the_unit_of_it() {
    // `1` is how the unit of a plain number is written, and is none in a formula.
    assert!(Formula::parse("2 1").is_err());
    assert!(Formula::parse("2 g").is_ok());
}

#[test]
fn hostile_labels_stay_text() {
    let letter = Math::Label("p".to_owned());
    assert!(letter.mathml().contains("<mi mathvariant=\"normal\">p</mi>"));
    let two = Math::Label("pq".to_owned());
    assert!(two.mathml().contains("<mi>pq</mi>"));
    let math = Math::Label("<b>\"&\\#".to_owned());
    assert_eq!(math.typst(), "\"<b>\\\"&\\\\#\"");
    assert!(math.mathml().contains("<mi>&lt;b&gt;&quot;&amp;\\#</mi>"));
}
