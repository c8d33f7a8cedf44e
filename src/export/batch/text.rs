//! A document for the bench as plain text.

use crate::export::CAUTION;
use crate::export::escape::plain;
use crate::export::lines::{columns, hang};

use super::document::{BenchDocument, Piece};

/// Letters of a place to write in.
const LINE: &str = "__________";

/// The document in lines of `width`.
pub(in crate::export) fn text(document: &BenchDocument, width: usize) -> String {
    let mut out = hang(&plain(&document.title), width, "", "");
    out.push('\n');
    for piece in &document.pieces {
        out.push('\n');
        write_piece(&mut out, piece, width);
    }
    out.push('\n');
    line(&mut out, CAUTION, width, ["", ""]);
    out
}

fn line(out: &mut String, text: &str, width: usize, [first, rest]: [&str; 2]) {
    out.push_str(&hang(&plain(text), width, first, rest));
    out.push('\n');
}

fn write_piece(out: &mut String, piece: &Piece, width: usize) {
    match piece {
        Piece::Heading { words, .. } => {
            line(out, words, width, ["", ""]);
            out.push_str(&"-".repeat(words.chars().count()));
            out.push('\n');
        }
        Piece::Paragraph(text) => line(out, text, width, ["", ""]),
        Piece::Warning { what, advice } => {
            line(out, &format!("{what} {advice}"), width, ["! ", "  "]);
        }
        Piece::Blanks(what) => {
            let places: Vec<String> = what.iter().map(|what| format!("{what}: {LINE}")).collect();
            line(out, &places.join("   "), width, ["", ""]);
        }
        Piece::Table { head, rows, blanks } if blanks.is_empty() => {
            out.push_str(&columns(head, &plainly(rows), width, ""));
            out.push('\n');
        }
        Piece::Table { head, rows, blanks } => written_in(out, (head, rows), blanks, width),
        Piece::Numbered(lines) => {
            for (n, text) in (1..).zip(lines) {
                line(out, text, width, [&format!("{n:>2}. "), "    "]);
            }
        }
        Piece::Boxed(lines) => {
            for text in lines {
                line(out, text, width, ["| ", "| "]);
            }
        }
        Piece::Working { title, steps } => {
            line(out, title, width, ["", ""]);
            for step in steps {
                line(out, &step.say, width, ["  ", "  "]);
                line(out, &step.line(), width, ["    ", "      "]);
            }
        }
    }
}

fn plainly(rows: &[Vec<String>]) -> Vec<Vec<String>> {
    rows.iter().map(|row| row.iter().map(|cell| plain(cell).replace('\n', " ")).collect()).collect()
}

/// A table to write in: under every row the places for what is written, which no line is wide enough for.
fn written_in(
    out: &mut String,
    (head, rows): (&[String], &[Vec<String>]),
    blanks: &[&str],
    width: usize,
) {
    let set = columns(head, &plainly(rows), width, "");
    let places: Vec<String> = blanks.iter().map(|what| format!("{what} ______")).collect();
    // Where the columns do not fit, a row is set in several lines, and its places come after them all.
    let in_columns = set.lines().count() == rows.len() + 1;
    for (n, text) in set.lines().enumerate() {
        out.push_str(text);
        out.push('\n');
        if in_columns && n > 0 {
            line(out, &places.join("  "), width, ["    ", "    "]);
        }
    }
    if !in_columns {
        line(out, &places.join("  "), width, ["    ", "    "]);
    }
}
