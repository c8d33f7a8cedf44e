//! A document for the bench as one web page without scripts, made to be printed.

use crate::export::CAUTION;
use crate::export::writing::escape::{html_text, plain};
use crate::export::{PaperSize, TypeSize};

use super::document::{BenchDocument, Piece};

const STYLE: &str = "body{font:1rem/1.4 sans-serif;max-width:50rem;margin:1.5rem auto;padding:0 1rem;\
     color:#111;background:#fff}h1{font-size:1.5em;margin:0 0 .4rem}h2{font-size:1.15em;margin:1.2rem 0 .4rem;\
     break-after:avoid}h3{font-size:1em;margin:.8rem 0 .2rem;break-after:avoid}p{margin:.3rem 0}\
     table{border-collapse:collapse;width:100%;margin:.4rem 0}thead{display:table-header-group}\
     tr{break-inside:avoid}td,th{border:1px solid #777;padding:.25rem .4rem;text-align:left;\
     vertical-align:top}th{font-weight:600;background:#eee}td.to-write{min-width:3.2rem}\
     tr.to-write td{height:1.5rem}main{padding-right:1px}ol{margin:.3rem 0;padding-left:1.8rem}li{margin:.15rem 0}\
     .warning{border-left:.35rem solid #111;padding:.1rem .6rem;margin:.4rem 0;break-inside:avoid}\
     .warning strong::before{content:\"! \"}.blanks{display:flex;flex-wrap:wrap;gap:.4rem 1.5rem;margin:.8rem 0}\
     .blanks span{flex:1 1 9rem;border-bottom:1px solid #777;min-height:1.4rem}.label{border:2px solid #111;\
     padding:.4rem .8rem;max-width:28rem;break-inside:avoid}.label p{margin:.1rem 0}\
     .sum{padding-left:1.2rem;font-variant-numeric:tabular-nums}.working{break-inside:avoid}\
     footer{border-top:1px solid #777;margin-top:1.5rem;padding-top:.4rem;font-size:.85em}\
     @media print{body{max-width:none;margin:0;padding:0}h2.new-page{break-before:page}th{background:none}}";

/// The document as a page; `paper` and `type_size` are for printing it.
pub(in crate::export) fn page(
    document: &BenchDocument,
    paper: PaperSize,
    type_size: TypeSize,
) -> String {
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n");
    out.push_str("<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    element(&mut out, "title", "", &document.title);
    let points = type_size.points();
    let printed = format!(
        "@page{{size:{};margin:15mm}}@media print{{html{{font-size:{points}pt}}}}",
        paper.name()
    );
    out.extend(["<style>", STYLE, &printed, "</style>\n</head>\n<body>\n<main>\n"]);
    element(&mut out, "h1", "", &document.title);
    for piece in &document.pieces {
        write_piece(&mut out, piece);
    }
    out.push_str("</main>\n<footer>\n");
    element(&mut out, "p", "", CAUTION);
    out.push_str("</footer>\n</body>\n</html>\n");
    out
}

fn write_piece(out: &mut String, piece: &Piece) {
    match piece {
        Piece::Heading { words, new_page } => {
            let class = if *new_page { " class=\"new-page\"" } else { "" };
            element(out, "h2", class, words);
        }
        Piece::Paragraph(text) => element(out, "p", "", text),
        Piece::Warning { what, advice } => {
            out.push_str("<div class=\"warning\">\n<p><strong>");
            html_text(out, &plain(what));
            out.push_str("</strong> ");
            html_text(out, &plain(advice));
            out.push_str("</p>\n</div>\n");
        }
        Piece::Blanks(what) => {
            out.push_str("<div class=\"blanks\">\n");
            for what in *what {
                element(out, "span", "", &format!("{what}:"));
            }
            out.push_str("</div>\n");
        }
        Piece::Table { head, rows, blanks } => table(out, (head, rows), blanks),
        Piece::Numbered(lines) => {
            out.push_str("<ol>\n");
            for line in lines {
                element(out, "li", "", line);
            }
            out.push_str("</ol>\n");
        }
        Piece::Boxed(lines) => {
            out.push_str("<div class=\"label\">\n");
            for line in lines {
                element(out, "p", "", line);
            }
            out.push_str("</div>\n");
        }
        Piece::Working { title, steps } => {
            out.push_str("<section class=\"working\">\n");
            element(out, "h3", "", title);
            for step in steps {
                element(out, "p", "", &step.say);
                element(out, "p", " class=\"sum\"", &step.line());
            }
            out.push_str("</section>\n");
        }
    }
}

fn table(out: &mut String, (head, rows): (&[String], &[Vec<String>]), blanks: &[&str]) {
    out.push_str("<table>\n<thead>\n<tr>");
    for name in head.iter().map(String::as_str).chain(blanks.iter().copied()) {
        cell(out, "th", " scope=\"col\"", name);
    }
    out.push_str("</tr>\n</thead>\n<tbody>\n");
    let row = if blanks.is_empty() { "<tr>" } else { "<tr class=\"to-write\">" };
    for cells in rows {
        out.push_str(row);
        for text in cells {
            cell(out, "td", "", text);
        }
        for _ in blanks {
            cell(out, "td", " class=\"to-write\"", "");
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n");
}

fn cell(out: &mut String, name: &str, attributes: &str, text: &str) {
    out.extend(["<", name, attributes, ">"]);
    html_text(out, &plain(text));
    out.extend(["</", name, ">"]);
}

fn element(out: &mut String, name: &str, attributes: &str, text: &str) {
    cell(out, name, attributes, text);
    out.push('\n');
}
