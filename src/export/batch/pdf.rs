//! A document for the bench in pages.

use crate::export::pages::{Column, Pages};
use crate::export::{ExportError, PaperSize, TypeSize};

use super::document::{BenchDocument, Piece};

/// The document as PDF.
///
/// # Errors
/// When the pages cannot be set, which no text of an order brings about.
pub(in crate::export) fn pdf(
    document: &BenchDocument,
    paper: PaperSize,
    type_size: TypeSize,
) -> Result<Vec<u8>, ExportError> {
    laid_out(document, paper, type_size).set(None)
}

fn laid_out(document: &BenchDocument, paper: PaperSize, type_size: TypeSize) -> Pages {
    let mut pages = Pages::new(&document.title, None, &[document.title.as_str()], paper, type_size);
    for piece in &document.pieces {
        write_piece(&mut pages, piece);
    }
    pages.cautioned();
    pages
}

fn write_piece(pages: &mut Pages, piece: &Piece) {
    match piece {
        Piece::Heading { words, new_page } => {
            if *new_page {
                pages.markup("#pagebreak(weak: true)\n");
            }
            pages.heading(2, words);
        }
        Piece::Paragraph(text) => pages.paragraph(text),
        Piece::Warning { what, advice } => pages.called("warned", &format!("{what} {advice}")),
        Piece::Blanks(what) => {
            pages.markup("#blanks(");
            for what in *what {
                pages.quoted(&format!("{what}:"));
                pages.markup(", ");
            }
            pages.markup(")\n");
        }
        Piece::Table { head, rows, blanks: [] } => {
            let mut columns = vec![Column::Words; head.len()];
            if let Some(last) = columns.last_mut() {
                *last = Column::Sentences;
            }
            let head: Vec<&str> = head.iter().map(String::as_str).collect();
            pages.table(&columns, &head, rows);
        }
        Piece::Table { head, rows, blanks } => {
            let names: Vec<&str> =
                head.iter().map(String::as_str).chain(blanks.iter().copied()).collect();
            let rows: Vec<Vec<String>> = rows
                .iter()
                .map(|row| {
                    row.iter().cloned().chain(blanks.iter().map(|_| String::new())).collect()
                })
                .collect();
            pages.with_blanks(head.len(), &names, &rows);
        }
        Piece::Numbered(lines) => {
            for (n, line) in (1..).zip(lines) {
                pages.called("numbered", &format!("{n}. {line}"));
            }
        }
        Piece::Boxed(lines) => {
            pages.markup("#boxed[\n");
            for line in lines {
                pages.paragraph(line);
            }
            pages.markup("]\n");
        }
        Piece::Working { title, steps } => {
            pages.markup("#kept[\n");
            pages.heading(3, title);
            for step in steps {
                pages.paragraph(&step.say);
                pages.called("sum", &step.line());
            }
            pages.markup("]\n");
        }
    }
}
