//! Pages of headings, paragraphs and tables, set by Typst: lists of the office and sheets for the bench.
//!
//! Like a sheet, every file is PDF/UA-1. The functions that are called here stand in `pages.typ`, among
//! the layouts.

use std::fmt::Write;

use crate::export::typeset::setting::typeset;
use crate::export::writing::escape;
use crate::export::{CAUTION, ExportError, LayoutProblem, OwnFont, PaperSize, TypeSize};

/// The look of pages, which the layouts of feedback and reports have too.
pub(super) const LOOK: &str = include_str!("../../exports/layouts/pages.typ");

/// Letters in a cell from which a row is so long that it may be broken.
const LONG_CELL: usize = 800;

/// Rows of a table that is short enough to be kept on one page.
const SHORT_TABLE: usize = 15;

/// Pages in the making.
#[derive(Debug)]
pub(super) struct Pages {
    markup: String,
}

/// A column of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Column {
    /// As wide as its words.
    Words,
    /// Sentences, which have what is left of the line.
    Sentences,
}

impl Pages {
    /// Pages with a title and, if wanted, a line above it; `foot` stands at the foot of each: what they
    /// are, and whose.
    pub(super) fn new(
        title: &str,
        letterhead: Option<&str>,
        foot: &[&str],
        paper: PaperSize,
        type_size: TypeSize,
    ) -> Self {
        let paper = match paper {
            PaperSize::A4 => "a4",
            PaperSize::Letter => "us-letter",
        };
        let [title, caution] = [title, CAUTION].map(escape::typst_quoted);
        let foot: String = foot.iter().map(|it| escape::typst_quoted(it) + ", ").collect();
        let markup = format!(
            "#let (title, foot, caution) = ({title}, ({foot}), {caution})\n\
             #let (paper, points) = (\"{paper}\", {})\n{LOOK}",
            type_size.points()
        );
        let mut pages = Self { markup };
        if let Some(letterhead) = letterhead {
            pages.called("headed", letterhead);
        }
        pages.markup.push_str("#heading(level: 1, title)\n");
        pages
    }

    /// A heading.
    pub(super) fn heading(&mut self, level: u8, text: &str) {
        let _ = write!(self.markup, "#heading(level: {level})[");
        self.text(text);
        self.markup.push_str("]\n");
    }

    /// A paragraph.
    pub(super) fn paragraph(&mut self, text: &str) {
        self.called("par", text);
    }

    /// Text as the only argument of a function.
    pub(super) fn called(&mut self, function: &str, text: &str) {
        let _ = write!(self.markup, "#{function}[");
        self.text(text);
        self.markup.push_str("]\n");
    }

    /// Text.
    pub(super) fn text(&mut self, text: &str) {
        escape::typst_text(&mut self.markup, &escape::plain(text));
    }

    /// Markup of one's own.
    pub(super) fn markup(&mut self, markup: &str) {
        self.markup.push_str(markup);
    }

    /// A string as the argument of a function.
    pub(super) fn quoted(&mut self, text: &str) {
        self.markup.push_str(&escape::typst_quoted(text));
    }

    /// A table; without headings when there are none.
    pub(super) fn table(&mut self, columns: &[Column], head: &[&str], rows: &[Vec<String>]) {
        let widths = columns.iter().map(|column| match column {
            Column::Sentences => "1fr, ",
            Column::Words => "auto, ",
        });
        let (widths, sides): (String, String) = (widths.collect(), "left, ".repeat(columns.len()));
        let whole = rows.iter().flatten().all(|cell| cell.chars().count() < LONG_CELL);
        let short = rows.len() <= SHORT_TABLE;
        let _ = write!(self.markup, "#told(({widths}), ({sides}), {short}, {whole}, (");
        for cell in head {
            self.cell(cell);
        }
        self.markup.push_str("), (\n");
        for row in rows {
            for cell in row {
                self.cell(cell);
            }
            self.markup.push('\n');
        }
        self.markup.push_str("))\n");
    }

    /// A table of which only the first columns are filled; the others are to be written in.
    pub(super) fn with_blanks(&mut self, filled: usize, head: &[&str], rows: &[Vec<String>]) {
        let _ = write!(self.markup, "#to-write({filled}, (");
        for cell in head {
            self.cell(cell);
        }
        self.markup.push_str("), (\n");
        for row in rows {
            for cell in row {
                self.cell(cell);
            }
            self.markup.push('\n');
        }
        self.markup.push_str("))\n");
    }

    fn cell(&mut self, text: &str) {
        self.markup.push('[');
        self.text(text);
        self.markup.push_str("], ");
    }

    /// The caution.
    pub(super) fn cautioned(&mut self) {
        self.called("cautioned", CAUTION);
    }

    /// The bytes of the file; `font` is one beside those in the program.
    ///
    /// # Errors
    /// When the pages cannot be set, which tests rule out.
    pub(super) fn set(self, font: Option<&OwnFont>) -> Result<Vec<u8>, ExportError> {
        typeset(&self.markup, font).map_err(|problem| {
            ExportError::Layout(LayoutProblem::not_set("pages.typ", LOOK, &problem, &self.markup))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_and_letters_are_those_of_sheets() {
        let sheet = include_str!("../../exports/layouts/sheet.typ.jinja");
        for begin in ["#let (soft, rule,", "#let sans =", "#let running =", "  margin: ("] {
            let line = LOOK.lines().find(|line| line.starts_with(begin)).unwrap();
            assert!(sheet.contains(line), "{line}");
        }
    }

    #[test]
    fn text_can_neither_be_markup_nor_end_a_cell_or_a_string() {
        let hostile =
            "#panic() ]) } \" \\ $x$ \u{1f600} \u{5d0} e\u{301}\u{323} \u{1b}[31m\u{202e}\0\t";
        let mut pages =
            Pages::new(hostile, Some(hostile), &[hostile], PaperSize::A4, TypeSize::Normal);
        pages.heading(2, hostile);
        pages.paragraph(hostile);
        let long = "x".repeat(5_000);
        let columns = [Column::Words, Column::Words, Column::Sentences];
        let row = vec![hostile.to_owned(), "1".to_owned(), long];
        pages.table(&columns, &[hostile, "", "b"], &[row]);
        pages.table(&columns, &[], &[]);
        let problem = pages.set(None).err();
        assert!(problem.is_none(), "{problem:?}");
    }
}
