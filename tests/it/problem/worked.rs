//! Worked solutions, batch tables and drawings.

use castmark::bank::Bank;
use castmark::problem::Problem;

use super::bank::{MENTHOL, PICKED, bank, exact, template};

/// The first problem of a template, with a bank of it alone.
fn drawn(text: &str) -> (Bank, Problem) {
    let bank = bank(&[text]);
    let problem = Problem::draw(&bank, template(&bank), 1).unwrap();
    (bank, problem)
}

#[track_caller]
fn check(text: &str, lines: &[&str]) {
    let (bank, problem) = drawn(text);
    let working = problem.working(&bank).unwrap();
    let found: Vec<String> = working.iter().map(|step| step.equation().text()).collect();
    assert_eq!(found, lines);
}

#[test]
fn a_line_is_exact_or_says_that_it_is_rounded() {
    check(
        MENTHOL,
        &[
            "mass of drug = number cast × dose = 15 × 50 mg = 0.75 g",
            "base displaced = mass of drug ÷ displacement value = 0.75 g ÷ 0.7 ≈ 1.07 g",
            "total = number cast × capacity = 15 × 1.00 g = 15.00 g",
            "mass of base = total − base displaced = 15.00 g − 1.07 g = 13.93 g",
        ],
    );
}

#[test]
fn a_number_gets_more_places_where_the_line_would_not_come_out() {
    // 15.00 g less 1.1 g is not 13.93 g.
    for rounding in ["1 place", "2 figures", "nearest 0.1"] {
        let text =
            MENTHOL.replace("show: 2 places\n    also: [1 place]", &format!("show: {rounding}"));
        check(
            &text,
            &[
                "mass of drug = number cast × dose = 15 × 50 mg = 0.75 g",
                "base displaced = mass of drug ÷ displacement value = 0.75 g ÷ 0.7 ≈ 1.1 g",
                "total = number cast × capacity = 15 × 1.00 g = 15.00 g",
                "mass of base = total − base displaced = 15.00 g − 1.07 g = 13.93 g",
            ],
        );
    }
}

#[test]
fn a_result_that_is_the_number_before_it_is_said_once() {
    let text = MENTHOL
        .replace("stem:", "  filled: { label: mass filled, unit: g, fixed: 15.00 }\nstem:")
        .replace("Cast {{ number }} units", "With {{ filled }} cast {{ number }} units")
        .replace("is: number * capacity, ", "is: filled, ")
        .replace(
            "instead: { capacity: 2 * capacity }",
            "instead: { total: number * capacity * 2 }",
        );
    let (bank, problem) = drawn(&text);
    let working = problem.working(&bank).unwrap();
    assert_eq!(working[2].equation().text(), "total = mass filled = 15.00 g");
}

#[test]
fn a_sentence_of_plausibility_is_said_only_where_its_condition_holds() {
    let text = MENTHOL.replace(
        "\nparts:",
        "\nplausible:\n  - { say: \"Many, in {{ base }}.\", that: total > base, when: number > 20 unit }\n  \
         - { say: \"Less than {{ total }}.\", that: total > base }\nparts:",
    );
    let (bank, problem) = drawn(&text);
    assert_eq!(problem.plausible(&bank).unwrap().as_deref(), Some("Less than 15.00 g."));
}

#[test]
fn a_text_with_a_condition_prints_its_values_as_one_without_does() {
    let plain = PICKED.replace("marked {{ nominal }}.", "marked {{ nominal.number }} g.");
    let tagged = plain.replace("Cast {{ number }}", "{% if true %}Cast{% endif %} {{ number }}");
    let [plain, tagged] = [plain, tagged].map(|text| bank(&[&text]));
    for number in 0..20 {
        let stem = |bank| Problem::draw(bank, template(bank), number).unwrap().stem;
        assert_eq!(stem(&tagged), stem(&plain));
    }
}

#[test]
fn a_side_that_would_be_said_twice_is_said_once() {
    let text = MENTHOL.replace("is: number * capacity, ", "is: 15 g, ").replace(
        "instead: { capacity: 2 * capacity }",
        "instead: { total: number * capacity * 2 }",
    );
    let (bank, problem) = drawn(&text);
    let working = problem.working(&bank).unwrap();
    assert_eq!(working[2].equation().text(), "total = 15 g = 15.00 g");
}

#[test]
fn the_sentences_name_steps_as_shown() {
    let (bank, problem) = drawn(MENTHOL);
    let working = problem.working(&bank).unwrap();
    assert_eq!(working[1].say, "Find the base that 0.75 g displaces.");
    assert_eq!((working[1].result.as_str(), working[1].rounded), ("1.07 g", true));
    assert_eq!((working[3].result.as_str(), working[3].rounded), ("13.93 g", false));
}

#[test]
fn a_batch_table_has_what_is_weighed() {
    let (bank, problem) = drawn(MENTHOL);
    let lines = problem.batch(&bank).unwrap();
    let lines: Vec<(&str, Option<&str>, &str)> = lines
        .iter()
        .map(|line| (line.what.as_str(), line.each.as_deref(), line.all.as_str()))
        .collect();
    assert_eq!(lines, [("menthol", Some("50 mg"), "0.75 g"), ("base", None, "13.93 g")]);
}

#[test]
fn a_drawing_has_the_masses_without_rounding() {
    let drawing = drawn(MENTHOL).1.drawing().unwrap();
    assert_eq!(drawing.mould, exact("15"));
    assert_eq!(drawing.drugs, [("mass of drug".to_owned(), exact("0.75"))]);
    let displaced = drawing.displaced.first().unwrap().1;
    assert_eq!(displaced.add(drawing.base).unwrap().to_places(20), exact("15"));
}
