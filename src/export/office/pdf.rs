//! A document of the office as pages to print.

use super::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::export::pages::Pages;
use crate::export::{ExportError, Options};

/// The pages.
pub(in crate::export) fn pages(
    sheet: &OfficeSheet,
    options: &Options,
) -> Result<Vec<u8>, ExportError> {
    let foot: Vec<&str> =
        std::iter::once(&sheet.title).chain(&sheet.foot).map(String::as_str).collect();
    let above = sheet.front.letterhead.as_deref();
    let mut pages = Pages::new(&sheet.title, above, &foot, options.paper, options.type_size);
    if let Some(square) = &sheet.square {
        pages.markup("#square(");
        pages.quoted(&square.sentence());
        pages.markup(", ");
        pages.quoted(&square.svg(""));
        pages.markup(")\n");
    }
    let details: Vec<String> =
        sheet.details.iter().map(|it| format!("{}: {}", it.label, it.value)).collect();
    if !details.is_empty() {
        pages.paragraph(&details.join("; "));
    }
    // At the end it could take a page of its own.
    pages.cautioned();
    for block in &sheet.blocks {
        match block {
            OfficeBlock::Heading(text) => pages.heading(2, text),
            OfficeBlock::Words(text) => pages.paragraph(text),
            OfficeBlock::Table { columns, rows } => table(&mut pages, columns, rows),
            OfficeBlock::Boxes { across, boxes, cut } => {
                pages.markup(&format!("#boxes({}, {cut}, (\n", (*across).max(1)));
                for lines in boxes {
                    pages.markup("(");
                    for line in lines {
                        pages.markup("[");
                        pages.text(line);
                        pages.markup("], ");
                    }
                    pages.markup("),\n");
                }
                pages.markup("))\n");
            }
            OfficeBlock::NewPage => pages.markup("#pagebreak(weak: true)\n"),
        }
    }
    if let Some(foot) = &sheet.front.foot {
        pages.called("closing", foot);
    }
    pages.set(options.font.as_ref())
}

fn table(pages: &mut Pages, columns: &[OfficeColumn], rows: &[Vec<String>]) {
    let width = |column: &OfficeColumn| match (column.is_blank, column.is_long) {
        (true, _) | (_, true) => "1fr, ",
        _ => "auto, ",
    };
    let widths: String = columns.iter().map(width).collect();
    let high = OfficeBlock::is_to_fill_in(columns);
    pages.markup(&format!("#ruled(({widths}), {high}, ("));
    for column in columns {
        cell(pages, &column.heading);
    }
    pages.markup("), (\n");
    for row in rows {
        for index in 0..columns.len() {
            cell(pages, row.get(index).map_or("", String::as_str));
        }
        pages.markup("\n");
    }
    pages.markup("))\n");
}

fn cell(pages: &mut Pages, text: &str) {
    pages.markup("[");
    pages.text(text);
    pages.markup("], ");
}
