//! The sheet for the bench as a document: first what is weighed and done, then why.

use serde_json::json;

use crate::batch::{BenchSheet, IngredientRow};
use crate::export::CAUTION;

use super::document::{BenchDocument, Piece};

/// The version of the field names.
const VERSION: u32 = 1;

/// What is written in at the head.
const HEAD: &[&str] = &["Date", "Group", "Prepared by", "Checked by"];

/// What is written in for every ingredient.
const WEIGHING: &[&str] = &["weighed", "balance", "by", "checked by", "lot", "expiry"];

/// What is written in for every check.
const FOUND: &[&str] = &["found", "by"];

impl BenchDocument {
    /// The sheet for the bench.
    pub fn of_sheet(sheet: &BenchSheet) -> Self {
        document(sheet)
    }
}

fn document(sheet: &BenchSheet) -> BenchDocument {
    let mut pieces = vec![Piece::Paragraph(sheet.summary.clone()), Piece::Blanks(HEAD)];
    if !sheet.remarks.is_empty() {
        pieces.push(heading("Before you weigh"));
        pieces.extend(sheet.remarks.iter().map(|remark| Piece::Warning {
            what: remark.what.clone(),
            advice: remark.advice.clone(),
        }));
    }
    pieces.push(heading("To weigh"));
    let row = |it: &IngredientRow| vec![it.name.clone(), it.each.clone(), it.batch.clone()];
    pieces.push(Piece::Table {
        head: texts(&["ingredient", "one unit", "batch"]),
        rows: sheet.ingredients.iter().chain([&sheet.total]).map(row).collect(),
        blanks: WEIGHING,
    });
    pieces.push(heading("Steps"));
    pieces.push(Piece::Numbered(sheet.steps.clone()));
    pieces.push(heading("Finished units"));
    pieces.push(Piece::Table {
        head: texts(&["check", "expected"]),
        rows: sheet.checks.iter().map(|it| vec![it.what.clone(), it.value.clone()]).collect(),
        blanks: FOUND,
    });
    let mut told: Vec<&str> = Vec::new();
    for check in &sheet.checks {
        // What holds of every drug is said once.
        if !told.contains(&check.why.as_str()) {
            told.push(&check.why);
        }
    }
    pieces.extend(told.into_iter().map(|why| Piece::Paragraph(why.to_owned())));
    pieces.push(heading("Label"));
    pieces.push(Piece::Boxed(sheet.label.clone()));
    pieces.push(Piece::Heading { words: "Values worked with", new_page: true });
    pieces.push(Piece::Table {
        head: texts(&["value", "number", "from"]),
        rows: sheet
            .values
            .iter()
            .map(|it| vec![it.what.clone(), it.value.clone(), it.from.clone()])
            .collect(),
        blanks: &[],
    });
    let told = sheet.conventions.iter().chain(&sheet.alternatives);
    pieces.extend(told.map(|words| Piece::Paragraph(words.clone())));
    pieces.push(heading("Working"));
    pieces.extend(sheet.working.iter().map(|section| Piece::Working {
        title: section.title.clone(),
        steps: section.steps.clone(),
    }));
    if !sheet.sources.is_empty() {
        pieces.push(heading("Sources"));
        pieces.extend(sheet.sources.iter().map(|source| Piece::Paragraph(source.clone())));
    }
    let data = json!({ "castmark_bench_sheet": VERSION, "caution": CAUTION, "sheet": sheet });
    BenchDocument { title: sheet.title.clone(), pieces, data }
}

fn heading(words: &'static str) -> Piece {
    Piece::Heading { words, new_page: false }
}

fn texts(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| (*text).to_owned()).collect()
}
