//! A document for the bench as plain text.

use crate::export::CAUTION;
use textwrap::core::display_width;

use crate::export::writing::escape::plain;
use crate::export::writing::lines::{columns, hang};

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
            let rooms: Vec<String> = what.iter().map(|what| format!("{what}: {LINE}")).collect();
            line(out, &rooms.join("   "), width, ["", ""]);
        }
        Piece::Table { head, rows, blanks } => {
            if blanks.is_empty() {
                out.push_str(&wrapped(head, &plainly(rows), width));
            } else {
                written_in(out, (head, rows), blanks, width);
            }
        }
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

/// The space between columns.
const GAP: usize = 2;

/// The least that a column is wrapped to.
const LEAST: usize = 16;

/// A table whose widest columns are wrapped until it fits the line; row by row where it cannot.
fn wrapped(head: &[String], rows: &[Vec<String>], width: usize) -> String {
    let all = || std::iter::once(head).chain(rows.iter().map(Vec::as_slice));
    let mut widths: Vec<usize> = (0..head.len())
        .map(|n| all().filter_map(|row| row.get(n)).map(|cell| display_width(cell)).max())
        .map(Option::unwrap_or_default)
        .collect();
    let gaps = GAP * head.len().saturating_sub(1);
    while widths.iter().sum::<usize>() + gaps > width {
        match widths.iter_mut().max().filter(|widest| **widest > LEAST) {
            Some(widest) => *widest -= 1,
            None => return columns(head, rows, width, "") + "\n",
        }
    }
    let mut out = String::new();
    for row in all() {
        let cells: Vec<Vec<String>> = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| {
                textwrap::wrap(cell, (*width).max(1)).into_iter().map(String::from).collect()
            })
            .collect();
        for n in 0..cells.iter().map(Vec::len).max().unwrap_or(1) {
            let mut line = String::new();
            for (cell, width) in cells.iter().zip(&widths) {
                let words = cell.get(n).map_or("", String::as_str);
                let blanks = (width + GAP).saturating_sub(display_width(words));
                line.push_str(words);
                line.push_str(&" ".repeat(blanks));
            }
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
    out
}

/// A table to write in: under every row the rooms for what is written, which no line is wide enough for.
fn written_in(
    out: &mut String,
    (head, rows): (&[String], &[Vec<String>]),
    blanks: &[&str],
    width: usize,
) {
    let set = columns(head, &plainly(rows), width, "");
    let rooms: Vec<String> = blanks.iter().map(|what| format!("{what} ____")).collect();
    // Where the columns do not fit, a row is set in several lines, and its rooms come after them all.
    let in_columns = set.lines().count() == rows.len() + 1;
    for (n, text) in set.lines().enumerate() {
        out.push_str(text);
        out.push('\n');
        if in_columns && n > 0 {
            line(out, &rooms.join("  "), width, ["  ", "  "]);
        }
    }
    if !in_columns {
        line(out, &rooms.join("  "), width, ["  ", "  "]);
    }
}
