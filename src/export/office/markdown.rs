//! A document of the office as Markdown.

use std::fmt::Write as _;

use super::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::export::CAUTION;
use crate::export::writing::escape;

/// The document.
pub(in crate::export) fn text(sheet: &OfficeSheet) -> String {
    let mut out = String::new();
    if let Some(letterhead) = &sheet.front.letterhead {
        let _ = writeln!(out, "{}\n", words(letterhead));
    }
    let _ = writeln!(out, "# {}", words(&sheet.title));
    for detail in &sheet.details {
        let _ = writeln!(out, "\n**{}:** {}", words(&detail.label), words(&detail.value));
    }
    for block in &sheet.blocks {
        out.push('\n');
        match block {
            OfficeBlock::Heading(text) => {
                let _ = writeln!(out, "## {}", words(text));
            }
            OfficeBlock::Words(text) => {
                let _ = writeln!(out, "{}", words(text));
            }
            OfficeBlock::Table { columns, rows } => table(&mut out, columns, rows),
            OfficeBlock::Boxes { across, boxes, .. } => {
                let columns = vec![OfficeColumn::short("\u{a0}"); (*across).max(1)];
                let rows: Vec<Vec<String>> = boxes
                    .chunks(columns.len())
                    .map(|row| row.iter().map(|lines| lines.join(", ")).collect())
                    .collect();
                table(&mut out, &columns, &rows);
            }
            OfficeBlock::NewPage => out.push_str("---\n"),
        }
    }
    if let Some(foot) = &sheet.front.foot {
        let _ = writeln!(out, "\n{}", words(foot));
    }
    let _ = writeln!(out, "\n> {}", words(CAUTION));
    out
}

fn words(text: &str) -> String {
    let mut out = String::new();
    escape::markdown(&mut out, &escape::plain(text).replace('\n', " "));
    out
}

fn table(out: &mut String, columns: &[OfficeColumn], rows: &[Vec<String>]) {
    let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    out.push_str(&line(columns.iter().map(|column| words(&column.heading)).collect()));
    out.push_str(&line(vec!["---".to_owned(); columns.len()]));
    for row in rows {
        let cell = |index: usize| words(row.get(index).map_or("", String::as_str));
        out.push_str(&line((0..columns.len()).map(cell).collect()));
    }
}
