//! An account as a web page, without scripts.

use crate::export::sheet::theory::points_wanted;
use crate::marking::{Account, AccountLine, Item, Standing};

use crate::export::CAUTION;
use crate::export::writing::escape::html_text;
use crate::words::{out_of, worth};

const STYLE: &str = "body{font:1rem/1.5 serif;max-width:44rem;margin:2rem auto;padding:0 1rem;\
    color:#111;background:#fff}h1{font-size:1.4rem}h2{font-size:1.1rem;margin-bottom:.2rem}\
    section{border-left:.3rem solid #777;padding-left:1rem;margin:1.5rem 0;break-inside:avoid}\
    section.correct{border-color:#1a6b34}section.not-correct,section.not-read{border-color:#a3201d}\
    p{margin:.3rem 0}.rule{font-style:italic}.written{font-family:monospace}\
    footer{font-size:.85rem;margin-top:2rem}";

/// The page.
pub(in crate::export) fn account_html(account: &Account) -> String {
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n");
    out.push_str("<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let title = format!("{}: {}", account.code, account.title);
    element(&mut out, "title", "", &title);
    out.push_str("<style>");
    out.push_str(STYLE);
    out.push_str("</style>\n</head>\n<body>\n<main>\n");
    element(&mut out, "h1", "", &title);
    for line in &account.lines {
        section(&mut out, line);
    }
    element(&mut out, "p", "", &account.together());
    out.push_str("</main>\n<footer>\n");
    element(&mut out, "p", "", CAUTION);
    out.push_str("</footer>\n</body>\n</html>\n");
    out
}

fn section(out: &mut String, line: &AccountLine) {
    *out += &["<section class=\"", line.standing.name(), "\">\n"].concat();
    element(out, "h2", "", &line.label);
    if !line.ask.is_empty() {
        element(out, "p", "", &line.ask);
    }
    if line.standing == Standing::ByHand {
        element(out, "p", "", &format!("To be marked by hand, worth {}.", worth(line.of_marks())));
    } else {
        if line.quoted.is_empty() {
            out.push_str("<p>Nothing was written \u{2013} <strong>");
        } else {
            out.push_str("<p>Written: <span class=\"written\">");
            html_text(out, &line.quoted);
            out.push_str("</span> \u{2013} <strong>");
        }
        html_text(out, line.standing_words());
        out.push_str("</strong>");
        if matches!(line.item, Item::Part(_)) {
            html_text(out, &format!(", {}", out_of(line.marks(), line.of_marks())));
        }
        out.push_str("</p>\n");
    }
    for text in line.said() {
        element(out, "p", "", text);
    }
    if let Some(rule) = line.rule_said() {
        element(out, "p", " class=\"rule\"", &format!("Marking rule: {rule}"));
    }
    if !line.points.is_empty() {
        let wanted = points_wanted(line.points.len(), line.of_marks());
        element(out, "p", "", &format!("One mark each for {wanted}:"));
        out.push_str("<ul>\n");
        for point in &line.points {
            element(out, "li", "", point);
        }
        out.push_str("</ul>\n");
    }
    out.push_str("</section>\n");
}

fn element(out: &mut String, name: &str, attributes: &str, text: &str) {
    *out += &["<", name, attributes, ">"].concat();
    html_text(out, text);
    *out += &["</", name, ">\n"].concat();
}
