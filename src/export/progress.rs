//! The page that shows how far a student is.

use std::fmt::Write;

use crate::practice::{ObjectiveRow, Overview, SubjectRow};

use super::{CAUTION, Plot, PlotBar, escape};

/// The look of the page: it prints well, is readable in grey and at any width.
const STYLE: &str = "body{font:1rem/1.5 sans-serif;max-width:50rem;margin:2rem auto;padding:0 1rem;\
     color:#111;background:#fff}h1{line-height:1.2}table{border-collapse:collapse;margin:1rem 0}\
     caption{text-align:left;font-weight:bold;padding:.4rem 0}th,td{border:1px solid #767676;\
     padding:.25rem .6rem;text-align:left;vertical-align:top}td.number{text-align:right}\
     th.number{text-align:right}.wide{overflow-x:auto}svg{width:100%;height:auto}\
     .caution{border:2px solid;padding:.5rem .8rem}@media print{body{margin:0;max-width:none}}";

/// One page of HTML, with everything in it and no scripts.
pub fn progress_page(overview: &Overview) -> String {
    let mut page = String::with_capacity(16 * 1024);
    let _ = write!(
        page,
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>Progress in practice</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n\
         <h1>Progress in practice</h1>\n"
    );
    paragraph(&mut page, &summary(overview));
    if !overview.subjects.is_empty() {
        page.push_str("<figure>\n");
        page.push_str(&plot(overview).svg("progress"));
        page.push_str("\n<figcaption>");
        words(&mut page, &figure(overview));
        page.push_str("</figcaption>\n</figure>\n");
    }
    objectives(&mut page, overview);
    if !overview.subjects.is_empty() {
        subjects(&mut page, overview);
    }
    page.push_str("<p class=\"caution\">");
    words(&mut page, CAUTION);
    page.push_str("</p>\n</main>\n</body>\n</html>\n");
    page
}

/// The whole of it in two sentences.
fn summary(overview: &Overview) -> String {
    let all = |count: fn(&ObjectiveRow) -> usize| -> usize {
        overview.objectives.iter().map(count).sum()
    };
    let (known, begun, new) = (all(|row| row.known), all(|row| row.begun), all(|row| row.new));
    let answers: u64 = overview.objectives.iter().map(|row| row.answers).sum();
    let right: u64 = overview.objectives.iter().map(|row| row.right).sum();
    format!(
        "Of {} subjects {known} are known, {begun} are begun and {new} are new. Of {answers} answers \
         {right} were right.",
        known + begun + new
    )
}

fn figure(overview: &Overview) -> String {
    format!(
        "The chance that a subject is known, worked out from whole problems solved alone. From {} % \
         on it counts as known; its bar is then filled, and hatched before.",
        overview.known_from
    )
}

fn plot(overview: &Overview) -> Plot {
    let told: Vec<String> = overview
        .subjects
        .iter()
        .map(|row| format!("{}: {} %", subject(row), row.percent))
        .collect();
    let bar = |row: &SubjectRow| PlotBar { label: subject(row), percent: row.percent };
    Plot {
        title: "The chance that each subject tried is known".to_owned(),
        description: format!("{}.", told.join("; ")),
        line: format!("known from {} %", overview.known_from),
        line_at: overview.known_from,
        bars: overview.subjects.iter().map(bar).collect(),
    }
}

fn objectives(page: &mut String, overview: &Overview) {
    let rows = overview.objectives.iter().map(|row| {
        let numbers = [row.known, row.begun, row.new].map(|count| count.to_string());
        let answers = [row.answers, row.right].map(|count| count.to_string());
        std::iter::once(spaced(row.objective.name())).chain(numbers).chain(answers).collect()
    });
    let head = ["Objective", "Known", "Begun", "New", "Answers", "Right"];
    table(page, "Subjects by objective", &head, 5, rows);
}

fn subjects(page: &mut String, overview: &Overview) {
    let rows = overview.subjects.iter().map(|row| {
        vec![
            subject(row),
            row.answers.to_string(),
            row.right.to_string(),
            format!("{} %", row.percent),
            row.review(),
        ]
    });
    let head = ["Subject", "Answers", "Right", "Chance known", "Review"];
    table(page, "Subjects tried", &head, 3, rows);
}

/// A table whose first column names the rows and whose next `numbers` columns hold numbers.
fn table(
    page: &mut String,
    caption: &str,
    head: &[&str],
    numbers: usize,
    rows: impl Iterator<Item = Vec<String>>,
) {
    let class = |n: usize| if (1..=numbers).contains(&n) { " class=\"number\"" } else { "" };
    let _ = write!(page, "<div class=\"wide\"><table>\n<caption>{caption}</caption>\n<thead><tr>");
    for (n, cell) in head.iter().enumerate() {
        let _ = write!(page, "<th scope=\"col\"{}>{cell}</th>", class(n));
    }
    page.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        page.push_str("<tr>");
        for (n, cell) in row.iter().enumerate() {
            let (open, close) = if n == 0 { ("th scope=\"row\"", "th") } else { ("td", "td") };
            let _ = write!(page, "<{open}{}>", class(n));
            words(page, cell);
            let _ = write!(page, "</{close}>");
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody>\n</table></div>\n");
}

fn paragraph(page: &mut String, text: &str) {
    page.push_str("<p>");
    words(page, text);
    page.push_str("</p>\n");
}

fn words(page: &mut String, text: &str) {
    escape::html(page, &escape::plain(text));
}

/// `base quantity, one drug`.
fn subject(row: &SubjectRow) -> String {
    format!("{}, {}", spaced(&row.objective), spaced(&row.topic))
}

/// A name as words: `one drug`.
fn spaced(name: &str) -> String {
    name.replace('-', " ")
}
