//! Objectives and topics by group of the class, the harder the darker.

use crate::analysis::Report;

use super::super::figures::short;
use super::super::subjects::objective_rows;
use super::drawing::{Anchor, Drawing, Drawn, WIDE};

const LABELS: f64 = 300.0;
const TOP: f64 = 34.0;
const ROW: f64 = 30.0;
const COLUMNS: [&str; 4] = ["all", "upper", "middle", "lower"];
const LETTERS_OF_A_LABEL: usize = 40;

/// A row for every objective and topic; `None` when there is none.
pub(super) fn heat(report: &Report) -> Option<Drawn> {
    if report.objectives.is_empty() {
        return None;
    }
    let rows = objective_rows(report).into_iter().map(|(label, is_topic, row)| {
        let [upper, middle, lower] = row.by_group;
        (label, is_topic, [row.facility, upper, middle, lower])
    });
    let told: Vec<String> = rows
        .clone()
        .map(|(label, _, cells)| {
            let cells: Vec<String> = COLUMNS
                .iter()
                .zip(cells)
                .map(|(column, cell)| format!("{column} {}", short(cell)))
                .collect();
            format!("{label}: {}", cells.join(", "))
        })
        .collect();
    let high = TOP + ROW * rows.len() as f64 + 10.0;
    let mut drawing = Drawing::new(
        "objectives",
        high,
        "Facility by objective and group of the class",
        &format!("{}.", told.join("; ")),
    );
    let wide = (WIDE - LABELS - 10.0) / COLUMNS.len() as f64;
    for (n, column) in COLUMNS.iter().enumerate() {
        let middle = LABELS + wide * (n as f64 + 0.5);
        drawing.words((middle, TOP - 10.0), Anchor::Middle, column);
    }
    for (n, (label, is_topic, cells)) in rows.enumerate() {
        let top = TOP + ROW * n as f64;
        let indent = if is_topic { 24.0 } else { 4.0 };
        let mut short_label: String = label.chars().take(LETTERS_OF_A_LABEL).collect();
        if short_label.len() < label.len() {
            short_label.push('…');
        }
        drawing.words((indent, top + 20.0), Anchor::Start, &short_label);
        for (column, cell) in cells.into_iter().enumerate() {
            let left = LABELS + wide * column as f64;
            drawing.shaded((left, top), (wide, ROW), cell.map_or(0.0, |value| 1.0 - value));
            drawing.words((left + wide / 2.0, top + 20.0), Anchor::Middle, &short(cell));
        }
    }
    Some(drawing.finish())
}
