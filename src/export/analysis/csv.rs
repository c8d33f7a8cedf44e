//! The items as comma-separated values, safe to open in a spreadsheet.

use crate::analysis::{Interval, Report, ReportItem, Statistic, Undefined};
use crate::export::writing::escape;

use super::figures::{discrimination, facility, marks};

/// The headings; they do not change.
const HEADINGS: [&str; 21] = [
    "item",
    "template",
    "part",
    "objective",
    "topic",
    "marks",
    "candidates",
    "full",
    "blank",
    "waiting",
    "facility",
    "facility_error",
    "facility_low",
    "facility_high",
    "upper_lower",
    "item_rest",
    "item_rest_low",
    "item_rest_high",
    "alpha_without",
    "in_words",
    "title",
];

/// A row for every item, behind the mark by which spreadsheets know UTF-8. What is not defined is `n/a` with its reason, never nought.
pub(in crate::export) fn analysis_csv(report: &Report) -> String {
    let mut text = "\u{feff}".to_owned();
    line(&mut text, HEADINGS.map(str::to_owned));
    for row in &report.items {
        line(&mut text, cells(row));
    }
    text
}

fn cells(row: &ReportItem) -> [String; 21] {
    let item = &row.item;
    let low = |interval: Result<Interval, Undefined>| figure(interval.map(|it| it.low));
    let high = |interval: Result<Interval, Undefined>| figure(interval.map(|it| it.high));
    let words: Vec<&str> = row
        .facility_word
        .map(facility)
        .into_iter()
        .chain(row.discrimination_word.map(discrimination))
        .collect();
    [
        words_of(&item.name),
        words_of(&row.template),
        words_of(&row.part),
        words_of(&row.objective),
        words_of(&row.topic),
        marks(item.maximum),
        row.set.to_string(),
        row.full.to_string(),
        row.blank.to_string(),
        row.waiting.to_string(),
        figure(item.facility),
        figure(item.facility_error),
        low(row.facility_interval),
        high(row.facility_interval),
        figure(item.upper_lower),
        figure(item.item_rest),
        low(item.item_rest_interval),
        high(item.item_rest_interval),
        figure(item.alpha_without),
        words.join(", "),
        words_of(&row.title),
    ]
}

fn figure(value: Statistic) -> String {
    match value {
        Ok(value) => format!("{value:.6}"),
        Err(why) => format!("n/a: {why}"),
    }
}

/// Words that no spreadsheet takes for a formula.
fn words_of(text: &str) -> String {
    let text = escape::plain(text).replace('\n', " ");
    if text.trim_start().starts_with(['=', '+', '-', '@']) { format!("'{text}") } else { text }
}

fn line(text: &mut String, cells: [String; 21]) {
    let cells = cells.map(|cell| {
        if cell.contains(['"', ',', ';', '\n', '\r']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell
        }
    });
    text.push_str(&cells.join(","));
    text.push('\n');
}
