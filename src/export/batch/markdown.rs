//! A document for the bench as Markdown.

use std::fmt::Write;

use crate::export::writing::escape;
use crate::export::writing::escape::plain;
use crate::export::writing::markdown::{block, cautioned};

use super::document::{BenchDocument, Piece};

/// The document as Markdown with tables.
pub(in crate::export) fn markdown(document: &BenchDocument) -> String {
    let mut out = String::new();
    block(&mut out, "# ", &document.title);
    for piece in &document.pieces {
        write_piece(&mut out, piece);
    }
    cautioned(out)
}

fn write_piece(out: &mut String, piece: &Piece) {
    match piece {
        Piece::Heading { words, .. } => block(out, "## ", words),
        Piece::Paragraph(text) => block(out, "", text),
        Piece::Warning { what, advice } => {
            out.push_str("> **");
            escape::markdown(out, &plain(what));
            out.push_str("** ");
            escape::markdown(out, &plain(advice));
            out.push_str("\n\n");
        }
        Piece::Blanks(what) => {
            let rooms: Vec<String> = what.iter().map(|what| format!("{what}: ........")).collect();
            block(out, "", &rooms.join(", "));
        }
        Piece::Table { head, rows, blanks } => {
            let names = head.iter().map(String::as_str).chain(blanks.iter().copied());
            row(out, names);
            let count = head.len() + blanks.len();
            out.push_str(&"| --- ".repeat(count));
            out.push_str("|\n");
            for cells in rows {
                row(out, cells.iter().map(String::as_str).chain(blanks.iter().map(|_| "")));
            }
            out.push('\n');
        }
        Piece::Numbered(lines) => {
            for (n, text) in (1..).zip(lines) {
                let _ = write!(out, "{n}. ");
                escape::markdown(out, &plain(text));
                out.push('\n');
            }
            out.push('\n');
        }
        Piece::Boxed(lines) => {
            for text in lines {
                out.push_str("> ");
                escape::markdown(out, &plain(text));
                out.push_str("  \n");
            }
            out.push('\n');
        }
        Piece::Working { title, steps } => {
            block(out, "### ", title);
            for step in steps {
                out.push_str("- ");
                escape::markdown(out, &plain(&step.say));
                out.push_str("  \n  ");
                escape::markdown(out, &plain(&step.line()));
                out.push('\n');
            }
            out.push('\n');
        }
    }
}

fn row<'a>(out: &mut String, cells: impl Iterator<Item = &'a str>) {
    for cell in cells {
        out.push_str("| ");
        escape::markdown(out, &plain(cell));
        out.push(' ');
    }
    out.push_str("|\n");
}
