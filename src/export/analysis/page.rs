//! The report as one page of HTML, with everything in it and no scripts.

use std::fmt::Write;

use crate::analysis::Report;
use crate::export::{CAUTION, escape};

use super::plots::plot;
use super::sections::{Grid, Section, opening, sections};

/// The look of the page: it prints well, is readable in grey and at any width.
const STYLE: &str = "body{font:1rem/1.5 sans-serif;max-width:56rem;margin:2rem auto;padding:0 1rem;\
     color:#111;background:#fff}h1,h2{line-height:1.2}h2{margin-top:2.5rem}\
     table{border-collapse:collapse;margin:1rem 0}th,td{border:1px solid #767676;\
     padding:.25rem .6rem;text-align:left;vertical-align:top;font-weight:normal}\
     thead th{font-weight:bold}td.number,th.number{text-align:right;white-space:nowrap}\
     .wide{overflow-x:auto}figure{margin:1rem 0;break-inside:avoid}svg{width:100%;max-width:45rem;\
     height:auto}figcaption{max-width:45rem}.caution,.warning{border:2px solid;padding:.5rem .8rem}\
     @media print{body{margin:0;max-width:none}tr{break-inside:avoid}h2{break-after:avoid}}";

/// The report as a page.
pub fn analysis_page(report: &Report) -> String {
    let mut page = String::with_capacity(64 * 1024);
    let mut title = String::new();
    words(&mut title, &format!("Item analysis: {}", report.title));
    let _ = write!(
        page,
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n"
    );
    for text in opening(report) {
        let class = if text.starts_with("Warning") { " class=\"warning\"" } else { "" };
        paragraph(&mut page, class, &text);
    }
    for (n, section) in sections(report).iter().enumerate() {
        let figure = plot(report, section.title).map_or_else(String::new, |(drawn, caption)| {
            let svg = drawn.svg;
            format!("<figure>\n{svg}\n<figcaption>{caption}</figcaption>\n</figure>\n")
        });
        put(&mut page, n, section, &figure);
    }
    paragraph(&mut page, " class=\"caution\"", CAUTION);
    page.push_str("</main>\n</body>\n</html>\n");
    page
}

fn put(page: &mut String, n: usize, section: &Section, figure: &str) {
    let _ = writeln!(
        page,
        "<section aria-labelledby=\"section-{n}\">\n<h2 id=\"section-{n}\">{}</h2>",
        section.title
    );
    for text in &section.before {
        paragraph(page, "", text);
    }
    page.push_str(figure);
    if let Some(grid) = &section.table {
        table(page, n, grid);
    }
    for text in &section.after {
        paragraph(page, "", text);
    }
    page.push_str("</section>\n");
}

/// A table whose first column names the rows.
fn table(page: &mut String, n: usize, grid: &Grid) {
    let class = |is_number: bool| if is_number { " class=\"number\"" } else { "" };
    let _ = writeln!(
        page,
        "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-labelledby=\"section-{n}\"><table>"
    );
    if grid.head.first().is_some_and(|(name, _)| !name.is_empty()) {
        page.push_str("<thead><tr>");
        for (cell, is_number) in &grid.head {
            let _ = write!(page, "<th scope=\"col\"{}>{cell}</th>", class(*is_number));
        }
        page.push_str("</tr></thead>\n");
    }
    page.push_str("<tbody>\n");
    for row in &grid.rows {
        page.push_str("<tr>");
        for (n, (cell, (_, is_number))) in row.iter().zip(&grid.head).enumerate() {
            let (open, close) = if n == 0 { ("th scope=\"row\"", "th") } else { ("td", "td") };
            let _ = write!(page, "<{open}{}>", class(*is_number));
            words(page, cell);
            let _ = write!(page, "</{close}>");
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody>\n</table></div>\n");
}

fn paragraph(page: &mut String, class: &str, text: &str) {
    let _ = write!(page, "<p{class}>");
    words(page, text);
    page.push_str("</p>\n");
}

fn words(page: &mut String, text: &str) {
    escape::html_text(page, &escape::plain(text));
}
