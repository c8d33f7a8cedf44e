//! A document of the office as a web page to print, in grey.

use std::fmt::Write;

use super::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::export::writing::escape;
use crate::export::{CAUTION, Options};

/// The look; nothing depends on colour.
const STYLE: &str = "body{font-family:\"Gill Sans\",Optima,Candara,\"Noto Sans\",\"Liberation Sans\",\
     sans-serif;line-height:1.35;color:#111;background:#fff;max-width:190mm;margin:8mm auto;\
     padding:0 1rem}h1{font-size:1.5em;font-weight:normal;margin:0 0 .3rem}\
     h2{font-size:1.15em;margin:1.2rem 0 .4rem;break-after:avoid}p{margin:.4rem 0}\
     header{display:flex;justify-content:space-between;gap:1rem}.square svg{width:22mm;height:22mm}\
     .details{margin:0 0 .8rem}.details span{margin-right:1.2em;white-space:nowrap}\
     table{border-collapse:collapse;width:100%;margin:.5rem 0}thead{display:table-header-group}\
     th,td{border:1px solid #767676;padding:.2rem .45rem;text-align:left;vertical-align:top;\
     overflow-wrap:anywhere}th{font-weight:bold}tr{break-inside:avoid}\
     table.whole{font-size:.86em;line-height:1.25}table.whole td{overflow-wrap:normal;padding:.1rem .4rem}td.short,th.short{white-space:nowrap;overflow-wrap:normal;width:1%}table.fill td{height:1.7em;\
     vertical-align:middle}th.blank{width:40%}.boxes{display:grid;gap:2mm;margin:.6rem 0}\
     .box{border:1px solid #767676;padding:1.5mm 2mm;min-height:14mm;overflow-wrap:anywhere;\
     break-inside:avoid}.box b{font-size:1.15em}.cut .box{border-style:dashed;min-height:36mm}\
     .box span{display:block}.new{break-before:page}\
     .caution{border-left:3px double #767676;margin:.2rem 0 .8rem;padding-left:.6rem;font-size:.8em}\
     .letterhead{border-bottom:1px solid #767676;padding-bottom:.3rem;font-size:.88em}\
     .foot{font-size:.85em;margin-top:1.5rem}@media print{body{margin:0;padding:0;max-width:none}}";

/// Bytes of a word from which a cell may have to break it.
const SHORT: usize = 20;

/// The page.
pub(in crate::export) fn page(sheet: &OfficeSheet, options: &Options) -> String {
    let mut out = String::with_capacity(16 * 1024);
    let title = words(&sheet.title);
    let foot: Vec<String> =
        std::iter::once(&sheet.title).chain(&sheet.foot).map(|text| escape::css(text)).collect();
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>@page {{ size: {}; margin: 15mm 16mm 17mm; @bottom-left {{ \
         content: \"{}\"; font: 8pt sans-serif; }} @bottom-right {{ content: \"page \" counter(page) \
         \" of \" counter(pages); font: 8pt sans-serif; }} }}\nbody{{font-size:{}pt}}{STYLE}</style>\n\
         </head>\n<body>\n<main>\n",
        options.paper.name(),
        foot.join("  /  "),
        options.type_size.points()
    );
    if let Some(letterhead) = &sheet.front.letterhead {
        let _ = writeln!(out, "<p class=\"letterhead\">{}</p>", words(letterhead));
    }
    let _ = writeln!(out, "<header><div><h1>{title}</h1>");
    if !sheet.details.is_empty() {
        out.push_str("<p class=\"details\">");
        for detail in &sheet.details {
            let (label, value) = (words(&detail.label), words(&detail.value));
            let _ = write!(out, "<span>{label}: <b>{value}</b></span> ");
        }
        out.push_str("</p>\n");
    }
    out.push_str("</div>");
    if let Some(square) = &sheet.square {
        let said = words(&square.sentence());
        let svg = square.svg(&format!(" role=\"img\" aria-label=\"{said}\""));
        let _ = write!(out, "<div class=\"square\">{svg}</div>");
    }
    // At the end it could take a page of its own.
    let _ = write!(out, "</header>\n<p class=\"caution\">{}</p>\n", words(CAUTION));
    let mut begins = "";
    for block in &sheet.blocks {
        match block {
            OfficeBlock::NewPage => {
                begins = " class=\"new\"";
                continue;
            }
            OfficeBlock::Heading(text) => {
                let _ = writeln!(out, "<h2{begins}>{}</h2>", words(text));
            }
            OfficeBlock::Words(text) => {
                let _ = writeln!(out, "<p{begins}>{}</p>", words(text));
            }
            OfficeBlock::Table { columns, rows } => table(&mut out, columns, rows),
            OfficeBlock::Boxes { across, boxes, cut } => {
                self::boxes(&mut out, *across, boxes, *cut);
            }
        }
        begins = "";
    }
    if let Some(foot) = &sheet.front.foot {
        let _ = writeln!(out, "<p class=\"foot\">{}</p>", words(foot));
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

fn words(text: &str) -> String {
    let mut out = String::new();
    escape::html_text(&mut out, &escape::plain(text));
    out
}

fn table(out: &mut String, columns: &[OfficeColumn], rows: &[Vec<String>]) {
    let fill = if OfficeBlock::is_to_fill_in(columns) {
        " class=\"fill\""
    } else if rows.iter().flatten().all(|cell| cell.split(' ').all(|word| word.len() < SHORT)) {
        " class=\"whole\""
    } else {
        ""
    };
    let class = |column: &OfficeColumn| match (column.is_blank, column.is_long) {
        (true, _) => " class=\"blank\"",
        (false, true) => "",
        (false, false) => " class=\"short\"",
    };
    let _ = write!(out, "<table{fill}>\n<thead><tr>");
    for column in columns {
        let heading = words(&column.heading);
        let _ = write!(out, "<th scope=\"col\"{}>{heading}</th>", class(column));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for (index, column) in columns.iter().enumerate() {
            let cell = words(row.get(index).map_or("", String::as_str));
            let _ = write!(out, "<td{}>{cell}</td>", class(column));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n");
}

fn boxes(out: &mut String, across: usize, boxes: &[Vec<String>], cut: bool) {
    let cut = if cut { " cut" } else { "" };
    let across = across.max(1);
    let _ = writeln!(
        out,
        "<div class=\"boxes{cut}\" style=\"grid-template-columns:repeat({across},minmax(0,1fr))\">"
    );
    for lines in boxes {
        out.push_str("<div class=\"box\">");
        for (index, line) in lines.iter().enumerate() {
            let line = words(line);
            let _ = if index == 0 {
                write!(out, "<span><b>{line}</b></span>")
            } else {
                write!(out, "<span>{line}</span>")
            };
        }
        out.push_str("</div>\n");
    }
    out.push_str("</div>\n");
}
