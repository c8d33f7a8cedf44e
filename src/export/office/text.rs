//! A document of the office as plain text.

use textwrap::core::display_width;

use super::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::export::CAUTION;
use crate::export::writing::{escape, lines};

/// The least width of a column to write in.
const TO_WRITE: usize = 14;

/// The document in lines of that width.
pub(in crate::export) fn text(sheet: &OfficeSheet, width: usize) -> String {
    let mut out = String::new();
    if let Some(letterhead) = &sheet.front.letterhead {
        paragraph(&mut out, letterhead, width);
        out.push('\n');
    }
    paragraph(&mut out, &sheet.title, width);
    for detail in &sheet.details {
        paragraph(&mut out, &format!("{}: {}", detail.label, detail.value), width);
    }
    for block in &sheet.blocks {
        match block {
            OfficeBlock::Heading(words) => {
                out.push('\n');
                paragraph(&mut out, words, width);
                out.push_str(&"-".repeat(display_width(words).min(width)));
                out.push('\n');
            }
            OfficeBlock::Words(words) => {
                out.push('\n');
                paragraph(&mut out, words, width);
            }
            OfficeBlock::Table { columns, rows } => table(&mut out, columns, rows, width),
            OfficeBlock::Boxes { boxes, .. } => {
                for lines in boxes {
                    out.push('\n');
                    paragraph(&mut out, &lines.join("  "), width);
                }
            }
            // A form feed, at which printers begin a page.
            OfficeBlock::NewPage => out.push('\u{c}'),
        }
    }
    for words in sheet.front.foot.as_deref().into_iter().chain([CAUTION]) {
        out.push('\n');
        paragraph(&mut out, words, width);
    }
    out
}

fn paragraph(out: &mut String, words: &str, width: usize) {
    out.push_str(&lines::hang(&escape::plain(words), width, "", ""));
    out.push('\n');
}

/// The table in columns with a line to write on where something is to be filled in.
fn table(out: &mut String, columns: &[OfficeColumn], rows: &[Vec<String>], width: usize) {
    let head: Vec<String> = columns.iter().map(|column| column.heading.clone()).collect();
    let filled = |row: &Vec<String>| -> Vec<String> {
        let cells = columns.iter().enumerate().map(|(index, column)| {
            let cell = row.get(index).map_or("", String::as_str);
            let cell = escape::plain(cell).replace('\n', " ");
            let write = column.is_blank && cell.is_empty();
            if write { "_".repeat(TO_WRITE) } else { cell }
        });
        cells.collect()
    };
    let rows: Vec<Vec<String>> = rows.iter().map(filled).collect();
    out.push('\n');
    out.push_str(&lines::columns(&head, &rows, width, ""));
    out.push('\n');
}
