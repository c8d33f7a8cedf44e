//! The readings of a class beside what is expected.

use castmark::batch::{Batch, ClassReadings};
use castmark::export::{BenchDocument, Options, exporter};
use serde_json::json;

use super::worked;

fn batch() -> Batch {
    worked(json!({
        "units": "12", "extra": "2", "mould": { "total": "6.24 g", "blanks": "6" },
        "base": { "name": "theobroma oil" },
        "drugs": [{ "name": "zinc oxide", "dose": "200 mg", "value": "4.7" }],
        "balance": { "error": "1 %" },
    }))
}

#[track_caller]
fn problems(table: &str, expected: &[&str]) {
    let told = ClassReadings::read(table, &batch()).unwrap_err();
    let told: Vec<String> = told.iter().map(ToString::to_string).collect();
    assert_eq!(told, expected);
}

#[test]
fn the_table_of_the_manual() {
    let table = include_str!("../../../exports/bench/readings.csv");
    let readings = ClassReadings::read(table, &batch()).unwrap();
    let document = BenchDocument::of_readings(&readings);
    let text = exporter("text").unwrap().export_bench(&document, &Options::default()).unwrap();
    insta::assert_snapshot!("readings_text", String::from_utf8(text).unwrap());
}

#[test]
fn a_slip_is_named_where_its_number_was_weighed() {
    let slip = |column: &str, mass: &str| {
        let table = format!("bench,{column}\n1,{mass}\n");
        let readings = ClassReadings::read(&table, &batch()).unwrap();
        readings.rows[0].cells[0].slip.as_ref().map(|slip| slip.say.clone()).unwrap_or_default()
    };
    assert_eq!(slip("base_weighed", "13.96"), "");
    assert_eq!(slip("base_weighed", "14.56"), "The base displaced was not subtracted.");
    assert_eq!(
        slip("base weighed (g)", "11.76 g"),
        "The whole mass of drug was subtracted in place of the base it displaces."
    );
    assert_eq!(slip("base_weighed", "139.6"), "The decimal point has moved by one place.");
    assert_eq!(slip("drug_weighed", "2.4"), "The excess was forgotten.");
    assert_eq!(slip("zinc oxide weighed", "0.2"), "The mass for one unit was weighed.");
    assert_eq!(slip("blank_total", "7.28"), "One blank more was weighed than counted.");
}

#[test]
fn a_table_may_have_semicolons_and_decimal_commas() {
    let readings =
        ClassReadings::read("\u{feff}candidate;name;base_weighed\n007;A;13,96\n", &batch())
            .unwrap();
    assert_eq!(readings.rows[0].who, "007");
    assert_eq!(readings.rows[0].cells[0].found.as_deref(), Some("13.96 g"));
    assert_eq!(readings.outside().count(), 0);
}

#[test]
fn what_is_wrong_with_a_table_is_told_with_its_line() {
    problems(
        "",
        &[
            "line 1: expected a table with headings, found nothing; begin with `candidate,blank_total`",
        ],
    );
    problems(
        "bench,base_weighed\n",
        &["line 1: expected at least one row of readings, found none"],
    );
    problems(
        "bench,base_wieghed\n1,2\n",
        &[
            "line 1: expected a heading of readings, found `base_wieghed`; did you mean `base_weighed`?",
            "line 1: expected readings, found none; give `blank_total`, `medicated_total`, `drug_weighed` or \
             `base_weighed`",
        ],
    );
    problems(
        "bench,base_weighed\n1,13.96\n1,heavy\n,3\n2,-3\n3,4 mL\n4\n",
        &[
            "line 3, `base_weighed`: expected a number, found `heavy`; type it in digits, such as `3.2 g`",
            "line 3: expected `1` once, found it again (first on line 2); keep one row",
            "line 4: expected who made the readings, found nothing; give the number",
            "line 5, `base_weighed`: expected a mass above zero, found `-3`; check it",
            "line 6, `base_weighed`: expected mass, found `4 mL`; correct the unit",
            "line 7: expected 2 fields, found 1; put a field that holds a comma in double quotes",
        ],
    );
    problems(
        "bench,base_weighed\n\"1,2\n",
        &["line 2: a quotation mark is not closed; close it, or remove it"],
    );
}
