//! The report as pages to print.

use crate::analysis::Report;
use crate::export::pages::{Column, Pages};
use crate::export::{ExportError, PaperSize, TypeSize};

use super::drawing::Drawn;
use super::plots::plot;
use super::sections::{Grid, Section, opening, sections};

/// Letters in the longest cell of a column of words from which it is a column of sentences.
const SENTENCE: usize = 36;

/// The report as PDF, with the sections, tables and plots of the web page.
///
/// # Errors
/// When the pages cannot be set, which no text of the marks brings about.
pub fn analysis_pdf(report: &Report, paper: PaperSize) -> Result<Vec<u8>, ExportError> {
    let title = format!("Item analysis: {}", report.title);
    let mut pages = Pages::new(&title, &[&title], paper, TypeSize::Normal);
    for text in opening(report) {
        pages.called(if text.starts_with("Warning") { "warned" } else { "par" }, &text);
    }
    for section in sections(report) {
        put(&mut pages, &section, plot(report, section.title));
    }
    pages.set(None)
}

fn put(pages: &mut Pages, section: &Section, figure: Option<(Drawn, &str)>) {
    pages.heading(2, section.title);
    let lead = if figure.is_some() || section.table.is_some() { "lead" } else { "par" };
    for text in &section.before {
        pages.called(lead, text);
    }
    if let Some((drawn, caption)) = figure {
        pages.markup("#plot(");
        pages.quoted(&drawn.told);
        pages.markup(", ");
        // Words of a drawing know nothing of the letters around it.
        pages.quoted(&drawn.svg.replacen("<svg ", "<svg font-family=\"Noto Sans\" ", 1));
        pages.markup(", [");
        pages.text(caption);
        pages.markup("])\n");
    }
    if let Some(grid) = &section.table {
        table(pages, grid);
    }
    for text in &section.after {
        pages.paragraph(text);
    }
}

fn table(pages: &mut Pages, grid: &Grid) {
    let columns = grid.head.iter().enumerate().map(|(n, (_, is_number))| {
        let cells = grid.rows.iter().filter_map(|row| row.get(n));
        let longest = cells.map(|cell| cell.chars().count()).max().unwrap_or_default();
        match (is_number, longest > SENTENCE) {
            (true, _) => Column::Numbers,
            (false, true) => Column::Sentences,
            (false, false) => Column::Words,
        }
    });
    let columns: Vec<Column> = columns.collect();
    // As on the web page: a first column without a name means that no heading is needed.
    let named = grid.head.first().is_some_and(|(name, _)| !name.is_empty());
    let head: Vec<&str> = grid.head.iter().filter(|_| named).map(|(name, _)| *name).collect();
    pages.table(&columns, &head, &grid.rows);
}
