//! The page that shows how far a student is.

use std::fmt::Write;

use crate::practice::{MEANING, ObjectiveRow, Overview, SlipRow, TopicRow, day_text};

use crate::export::CAUTION;
use crate::export::writing::escape;
use crate::export::writing::plot::{Course, Shares};

/// The look of the page: it prints well, is readable in grey, in the dark and at any width.
const STYLE: &str = ":root{color-scheme:light dark}body{font:1rem/1.5 sans-serif;max-width:42rem;\
     margin:0 auto;padding:1rem;color:#111;background:#fff}h1,h2{line-height:1.2}\
     table{border-collapse:collapse}th,td{border-bottom:1px solid #767676;padding:.25rem .6rem .25rem \
     0;text-align:left}td{text-align:right}figure{margin:1rem 0}figcaption{padding-top:.4rem}\
     svg{display:block;width:100%;max-width:30rem;height:auto}li{margin:.3rem 0}\
     .caution{border:2px solid;padding:.5rem .8rem}summary{min-height:1.5rem;cursor:pointer}\
     @media(prefers-color-scheme:dark){body{color:#eee;background:#161616}}\
     @media print{body{max-width:none}}";

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
    for sentence in overview.summary() {
        paragraph(&mut page, &sentence);
    }
    heading(&mut page, "Ready, by objective");
    figure(
        &mut page,
        &shares(overview).svg("ready"),
        "Filled: ready. Hatched: shaky. Empty: not yet.",
    );
    if !overview.days.is_empty() {
        heading(&mut page, "Topics known, by day");
        days(&mut page, overview);
    }
    heading(&mut page, "Due for review today");
    list(&mut page, overview.due().map(|row| row.title.clone()), "Nothing is due.");
    heading(&mut page, "Your commonest slips");
    list(
        &mut page,
        overview.slips.iter().map(SlipRow::words),
        "No known slip was found in your answers.",
    );
    heading(&mut page, "All topics");
    for row in &overview.objectives {
        let _ = writeln!(page, "<h3>{}</h3>", row.title());
        let here = overview.topics.iter().filter(|topic| topic.objective == row.objective);
        list(&mut page, here.map(TopicRow::words), "");
    }
    paragraph(&mut page, MEANING);
    page.push_str("<p class=\"caution\">");
    words(&mut page, CAUTION);
    page.push_str("</p>\n</main>\n</body>\n</html>\n");
    page
}

fn shares(overview: &Overview) -> Shares {
    let bar = |row: &ObjectiveRow| (row.words(), [row.ready, row.shaky, row.not_yet]);
    Shares {
        title: "Topics ready, shaky and not yet, by objective".to_owned(),
        bars: overview.objectives.iter().map(bar).collect(),
    }
}

/// How many topics were known at the end of each day, and how many are expected at the exam.
pub fn days_plot(overview: &Overview) -> Course {
    let expected = overview.plan.as_ref().filter(|plan| plan.days > 0);
    Course {
        title: "How many topics were known at the end of each day".to_owned(),
        days: overview.days.iter().map(|row| (row.day, row.known)).collect(),
        expected: expected.and_then(|plan| Some((plan.exam, overview.forecast?))),
        most: overview.topics.len(),
        written: day_text,
    }
}

fn days(page: &mut String, overview: &Overview) {
    let course = days_plot(overview);
    let caption = match course.expected {
        Some(_) => "Line: so far. Dashes: at the same pace until the exam.",
        None => "A topic is known when each kind of problem was solved alone.",
    };
    figure(page, &course.svg("days"), caption);
    page.push_str("<details><summary>The same as a table</summary>\n<table>\n<thead><tr>");
    for head in ["Day", "Problems", "Correct answers", "Known"] {
        let _ = write!(page, "<th scope=\"col\">{head}</th>");
    }
    page.push_str("</tr></thead>\n<tbody>\n");
    for row in &overview.days {
        let _ = writeln!(
            page,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{} of {}</td><td>{}</td></tr>",
            day_text(row.day),
            row.problems,
            row.correct,
            row.answers,
            row.known
        );
    }
    page.push_str("</tbody>\n</table></details>\n");
}

fn heading(page: &mut String, text: &str) {
    let _ = writeln!(page, "<h2>{text}</h2>");
}

fn figure(page: &mut String, svg: &str, caption: &str) {
    let _ = writeln!(page, "<figure>\n{svg}\n<figcaption>{caption}</figcaption>\n</figure>");
}

/// A list, or the sentence that says that there is nothing.
fn list(page: &mut String, items: impl Iterator<Item = String>, nothing: &str) {
    let items: Vec<String> = items.collect();
    if items.is_empty() {
        paragraph(page, nothing);
        return;
    }
    page.push_str("<ul>\n");
    for item in items {
        page.push_str("<li>");
        words(page, &item);
        page.push_str("</li>\n");
    }
    page.push_str("</ul>\n");
}

fn paragraph(page: &mut String, text: &str) {
    page.push_str("<p>");
    words(page, text);
    page.push_str("</p>\n");
}

fn words(page: &mut String, text: &str) {
    escape::html(page, &escape::plain(text));
}
