//! The fields that a layout of a report reads, as `exports/layouts/README.md` lists them.

use minijinja::{Value, context};

use crate::analysis::Report;
use crate::export::fields::pieces::{optional, text, texts};
use crate::export::layout::format::Format;
use crate::export::writing::lines;
use crate::export::{CAUTION, Front, Options};

use super::columns::columns;
use super::plots::plot;
use super::section::{Grid, Section};
use super::sections::{opening, sections};

/// Letters in the longest cell of a column of words from which it is a column of sentences.
const SENTENCE: usize = 36;

/// Letters in a cell from which a row is so long that it may be broken.
const LONG_CELL: usize = 800;

/// The fields of a report for a layout of the format, and how many rows its tables have.
pub(in crate::export) fn report_fields(
    report: &Report,
    front: &Front,
    options: &Options,
    format: &Format,
) -> (Value, usize) {
    let width = options.width.max(lines::NARROWEST);
    let opening = opening(report).into_iter().map(|words| {
        context! { text => text(&words), warning => words.starts_with("Warning") }
    });
    let sections = sections(report);
    let rows = sections.iter().filter_map(|section| section.table.as_ref()).map(|it| it.rows.len());
    let rows = rows.sum();
    let sections = (1..).zip(&sections).map(|(number, section): (u32, _)| {
        let figure = plot(report, section.title);
        let figure = figure.map(|(drawn, caption)| {
            let figure = (format.plot)(&drawn.svg, &drawn.told);
            context! { drawn => figure, text => text(&drawn.told), caption => text(caption) }
        });
        fields(section, number, figure, width)
    });
    let fields = context! {
        title => text(&format!("Item analysis: {}", report.title)),
        letterhead => optional(front.letterhead.as_deref()),
        foot => optional(front.foot.as_deref()),
        opening => opening.collect::<Vec<_>>(),
        sections => sections.collect::<Vec<_>>(),
        caution => CAUTION,
        paper => options.paper.name(),
        points => options.type_size.points(),
        width,
    };
    (fields, rows)
}

fn fields(section: &Section, number: u32, figure: Option<Value>, width: usize) -> Value {
    context! {
        number,
        title => text(section.title),
        before => texts(&section.before),
        figure,
        table => section.table.as_ref().map(|grid| table(grid, width)),
        after => texts(&section.after),
    }
}

fn table(grid: &Grid, width: usize) -> Value {
    let letters = |cell: &String| cell.chars().count();
    let head = grid.head.iter().enumerate().map(|(n, (name, is_number))| {
        let cells = grid.rows.iter().filter_map(|row| row.get(n));
        let longest = cells.map(letters).max().unwrap_or_default();
        context! {
            text => text(name),
            numbers => is_number,
            sentences => !is_number && longest > SENTENCE,
        }
    });
    context! {
        // A first column without a name means that no heading is needed.
        named => grid.head.first().is_some_and(|(name, _)| !name.is_empty()),
        head => head.collect::<Vec<_>>(),
        rows => grid.rows.iter().map(|row| texts(row)).collect::<Vec<_>>(),
        tall => grid.rows.iter().flatten().any(|cell| letters(cell) >= LONG_CELL),
        lines => columns(grid, width).trim_end(),
    }
}
