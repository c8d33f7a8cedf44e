//! What the sheet says, in every format.

use castmark::bank::{OrderFile, SourceText};
use castmark::batch::solve;
use castmark::export::{BenchDocument, CAUTION, Options, exporter};
use serde_json::json;

use super::{bundled, worked};

/// The example of the manual.
fn example() -> BenchDocument {
    let text = include_str!("../../../exports/bench/order.yaml");
    let file = OrderFile::read(SourceText::new("order.yaml", text.to_owned())).unwrap();
    let batch = solve(&file.order, bundled().facts()).unwrap_or_else(|it| panic!("{it:#?}"));
    BenchDocument::of_sheet(&batch.sheet)
}

fn written(document: &BenchDocument, format: &str) -> String {
    let bytes = exporter(format).unwrap().export_bench(document, &Options::default()).unwrap();
    String::from_utf8(bytes).unwrap()
}

#[test]
fn the_sheet_of_the_manual_in_every_text_format() {
    let document = example();
    insta::assert_snapshot!("sheet_text", written(&document, "text"));
    insta::assert_snapshot!("sheet_markdown", written(&document, "markdown"));
    insta::assert_snapshot!("sheet_html", written(&document, "html"));
    insta::assert_snapshot!("sheet_json", written(&document, "json"));
}

#[test]
fn every_format_carries_the_caution_and_no_marks() {
    let document = example();
    for name in ["text", "markdown", "html", "json"] {
        let text = written(&document, name).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(CAUTION), "{name}");
        for word in ["Question", " marks", "accepted"] {
            assert!(!text.contains(word), "{name}: {word}");
        }
    }
}

#[test]
fn what_a_user_types_is_never_markup() {
    let name = "<b>*zinc*</b> | $x$ \u{1b}[31m";
    let batch = worked(json!({
        "title": name, "units": "2", "mould": { "capacity": "1 g" }, "base": { "name": name.replace("zinc", "fat") },
        "drugs": [{ "name": name, "dose": "10 mg", "value": "1.5" }],
    }));
    let document = BenchDocument::of_sheet(&batch.sheet);
    assert!(!written(&document, "html").contains("<b>"));
    assert!(!written(&document, "markdown").contains("<b>*"));
    assert!(!written(&document, "text").contains('\u{1b}'));
}

#[test]
fn a_value_that_was_not_given_is_said_to_be_taken() {
    let batch = worked(json!({
        "units": "6", "mould": { "capacity": "2 g", "base": "theobroma oil" },
        "base": { "name": "glycero-gelatin" },
        "drugs": [{ "name": "resorcinol", "dose": "90 mg" }],
    }));
    let taken: Vec<String> = batch
        .sheet
        .values
        .iter()
        .filter(|it| it.from.starts_with("taken"))
        .map(|it| format!("{} {}: {}", it.what, it.value, it.from))
        .collect();
    assert_eq!(
        taken,
        [
            "ratio of glycero-gelatin to theobroma oil 1.2: taken from compounding corner answers, not given by you",
            "displacement value of resorcinol in theobroma oil 1.5: taken from course guide 2019, not given by you",
        ]
    );
    // 6 × 2 g × 1.2, less 1.2 × 0.54 g ÷ 1.5 (identity: both capacity and value scale with the density).
    assert_eq!(batch.figures.base.trimmed().to_string(), "13.968");
}

#[test]
fn implausible_orders_are_worked_with_a_warning() {
    let remarks = |dose: &str, value: &str, capacity: &str| {
        let batch = worked(json!({
            "units": "6", "extra": "1", "mould": { "capacity": capacity, "nominal": "2 g" },
            "base": { "name": "theobroma oil" },
            "drugs": [{ "name": "drug", "dose": dose, "value": value }],
        }));
        batch.sheet.remarks.into_iter().map(|it| it.what).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(remarks("200 mg", "1.5", "2.04 g"), "");
    assert!(remarks("2 g", "3", "2.04 g").contains("mostly drug"));
    assert!(remarks("200 mg", "0.2", "2.04 g").contains("Published values run from 0.7 to 5"));
    assert!(remarks("200 mg", "1.5", "2 g").contains("exactly the size marked"));
    assert!(remarks("200 mg", "1.5", "4.1 g").contains("away from the size marked"));
    assert!(remarks("1 mg", "1.5", "2.04 g").contains("less than the balance can weigh"));
}

#[test]
fn a_layout_is_not_taken() {
    let text = exporter("text").unwrap();
    let layout = text.layout("own", "{{ title }}").unwrap();
    let options = Options { layout: Some(layout), ..Options::default() };
    let refused = text.export_bench(&example(), &options).unwrap_err();
    assert_eq!(refused.to_string(), "a sheet as text takes no layout; leave the layout out");
}

#[test]
fn a_drug_and_a_base_that_do_not_suit_each_other_are_told_with_the_source() {
    let remarks = |drug: &str, base: &str| {
        let batch = worked(json!({
            "units": "6", "extra": "1", "mould": { "capacity": "2 g" }, "base": { "name": base },
            "drugs": [{ "name": drug, "dose": "90 mg", "value": "1.5", "base": base }],
        }));
        let told = |it: &castmark::batch::Remark| format!("{} {}", it.what, it.advice);
        batch.sheet.remarks.iter().map(told).collect::<Vec<_>>().join("\n")
    };
    let fat = remarks("Resorcinol", "cocoa butter");
    assert!(
        fat.contains(
            "Resorcinol and cocoa butter do not suit each other: the melting point of the fat falls \
             (Martindale, 24th ed.). Stiffen the fat with a little beeswax (Martindale, 24th ed.)."
        ),
        "{fat}"
    );
    let jelly = remarks("tannic acid", "Glycero-gelatin");
    assert!(jelly.contains("an insoluble precipitate forms (BP 2025, tannic acid)"), "{jelly}");
    for (drug, base) in [("tannic acid", "theobroma oil"), ("zinc oxide", "glycero-gelatin")] {
        assert!(!remarks(drug, base).contains("do not suit"), "{drug} in {base}");
    }
}

#[test]
fn every_pair_that_does_not_suit_is_found_by_its_names() {
    let facts = bundled().facts();
    let table = facts.table("unsuited").unwrap();
    let cell = |row: &castmark::bank::Row, column| {
        row.cells[table.column(column).unwrap()][0].text().unwrap().to_owned()
    };
    for row in &table.rows {
        let (drug, base) = (cell(row, "substance"), cell(row, "base"));
        let batch = worked(json!({
            "units": "6", "mould": { "capacity": "2 g" }, "base": { "name": base },
            "drugs": [{ "name": drug, "dose": "90 mg", "displaces": "its own mass" }],
        }));
        let remarks = &batch.sheet.remarks;
        assert!(remarks.iter().any(|it| it.what.contains(&cell(row, "effect"))), "{}", row.id);
    }
}
