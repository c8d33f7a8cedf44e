//! The documents of a class bound into one file.

use serde_json::Value;

use crate::export::ExportError;
#[cfg(feature = "pdf")]
use crate::export::volume::Volume;

/// Binds documents of one format into one file, each beginning a page of its own.
///
/// Pieces come in the order of the file, so that a large class need not be held at once.
#[derive(Debug)]
pub struct Binder {
    format: &'static str,
    bound: usize,
    #[cfg(feature = "pdf")]
    volume: Option<Volume>,
}

impl Binder {
    /// A binder for the format of that name; nothing for a format whose documents cannot be put behind
    /// one another. For printing on `both_sides`, a PDF has an empty page behind documents of an odd
    /// number of pages.
    #[cfg_attr(not(feature = "pdf"), allow(unused_variables, reason = "only PDF knows pages"))]
    pub fn new(format: &'static str, both_sides: bool) -> Option<Self> {
        let binds = ["html", "markdown", "text", "json", "pdf"].contains(&format);
        binds.then_some(Self {
            format,
            bound: 0,
            #[cfg(feature = "pdf")]
            volume: (format == "pdf").then(|| Volume::new(both_sides)),
        })
    }

    /// The ending of the file's name, when it is not that of the single documents.
    pub fn extension(&self) -> Option<&'static str> {
        (self.format == "json").then_some("jsonl")
    }

    /// The piece of the file for the next document. Its name, as that of the candidate, is told where
    /// the format has a place for it.
    ///
    /// # Errors
    /// When the document is not of the format.
    pub fn add(&mut self, name: &str, document: &[u8]) -> Result<Vec<u8>, ExportError> {
        self.piece(name, document).ok_or(ExportError::NotBound(self.format))
    }

    #[cfg_attr(not(feature = "pdf"), allow(unused_variables, reason = "only PDF tells the name"))]
    fn piece(&mut self, name: &str, document: &[u8]) -> Option<Vec<u8>> {
        #[cfg(feature = "pdf")]
        if let Some(volume) = &mut self.volume {
            return volume.add(name, document);
        }
        let text = String::from_utf8_lossy(document);
        let number = self.bound;
        self.bound += 1;
        let piece = match self.format {
            "html" => html(&text, number),
            // One document a line.
            "json" => format!("{}\n", serde_json::from_slice::<Value>(document).ok()?),
            "markdown" if number > 0 => format!("\n\n---\n\n{text}"),
            // A form feed, at which printers begin a page.
            "text" if number > 0 => format!("\u{c}{text}"),
            _ => text.into_owned(),
        };
        Some(piece.into_bytes())
    }

    /// The end of the file.
    ///
    /// # Errors
    /// When a font that the documents share cannot be written.
    pub fn end(self) -> Result<Vec<u8>, ExportError> {
        #[cfg(feature = "pdf")]
        if let Some(volume) = self.volume {
            return volume.end().ok_or(ExportError::NotBound(self.format));
        }
        let html = self.format == "html" && self.bound > 0;
        Ok(if html { b"</body>\n</html>\n".to_vec() } else { Vec::new() })
    }
}

/// The body of a page, and before the first the head of all.
///
/// The page rules of each document become those of a page of its own name, so that every page still
/// tells the candidate and the code. Ids get the document's number, since they may stand only once.
fn html(text: &str, number: usize) -> String {
    let (head, rest) = text.split_once("<body>").unwrap_or(("", text));
    let body = rest.rsplit_once("</body>").map_or(rest, |(body, _)| body);
    let mut piece = String::with_capacity(text.len());
    if number == 0 {
        piece.push_str(head);
        piece.push_str("<body>\n");
    }
    piece.push_str("<style>\n");
    for rule in page_rules(head) {
        piece.push_str(&rule.replacen("@page", &format!("@page of-{number}"), 1));
        piece.push('\n');
    }
    // Pages are counted through the whole file, which would mislead on a paper.
    let own_page = [
        format!("@page of-{number} {{ @bottom-right {{ content: \"\"; }} }}\n"),
        format!(".of-{number} {{ page: of-{number}; break-before: page; }}\n</style>\n"),
        format!("<div class=\"of-{number}\">"),
    ];
    piece.extend(own_page);
    let own = format!("of-{number}-");
    let body = ["id=\"", "href=\"#", "aria-labelledby=\"", "aria-describedby=\"", "url(#"]
        .iter()
        .fold(body.to_owned(), |body, mark| number_ids(&body, mark, &own));
    piece.push_str(&body);
    piece.push_str("</div>\n");
    piece
}

/// Puts the document's own word before every id behind the mark. Text of a document holds no mark,
/// since quotes in it are escaped.
fn number_ids(body: &str, mark: &str, own: &str) -> String {
    let mut pieces = body.split(mark);
    let mut numbered = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        numbered.push_str(mark);
        let (ids, rest) = piece.split_at(piece.find(['"', ')']).unwrap_or(0));
        let ids: Vec<String> = ids.split(' ').map(|id| format!("{own}{id}")).collect();
        numbered.push_str(&ids.join(" "));
        numbered.push_str(rest);
    }
    numbered
}

/// The page rules in the head of a document, each whole.
fn page_rules(head: &str) -> Vec<String> {
    head.match_indices("@page {").map(|(at, _)| rule(&head[at..]).to_owned()).collect()
}

/// The rule at the beginning of a text, to the brace that closes it; braces in quotes do not count.
fn rule(text: &str) -> &str {
    let (mut depth, mut quoted, mut escaped) = (0_usize, false, false);
    for (at, letter) in text.char_indices() {
        match letter {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => quoted = !quoted,
            '{' if !quoted => depth += 1,
            '}' if !quoted => {
                depth = depth.saturating_sub(1);
                if depth == 0 {
                    return &text[..=at];
                }
            }
            _ => {}
        }
    }
    ""
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_rule_ends_where_it_closes() {
        let head = r#"a { } @page { size: A4; @bottom-left { content: "a } \" }"; } } b { }"#;
        assert_eq!(
            page_rules(head),
            [r#"@page { size: A4; @bottom-left { content: "a } \" }"; } }"#]
        );
    }

    #[test]
    fn no_id_stands_twice_in_a_bound_file() {
        let page = "<html><head><style>@page { }</style></head><body>\
                    <h2 id=\"key\"></h2><a href=\"#key\" aria-labelledby=\"key t\"></a></body></html>";
        let mut binder = Binder::new("html", false).unwrap();
        let mut bound = binder.add("0101", page.as_bytes()).unwrap();
        bound.extend(binder.add("0102", page.as_bytes()).unwrap());
        bound.extend(binder.end().unwrap());
        let bound = String::from_utf8(bound).unwrap();
        assert_eq!(bound.matches("<html>").count(), 1);
        assert_eq!(bound.matches("</html>").count(), 1);
        assert!(bound.contains("id=\"of-0-key\"") && bound.contains("id=\"of-1-key\""), "{bound}");
        assert!(bound.contains("aria-labelledby=\"of-1-key of-1-t\""), "{bound}");
        assert!(bound.contains("@page of-1 { }"), "{bound}");
    }

    #[test]
    fn papers_as_text_are_apart_by_form_feeds_and_as_json_by_lines() {
        let mut text = Binder::new("text", false).unwrap();
        let mut bound = text.add("0101", b"one\n").unwrap();
        bound.extend(text.add("0102", b"two\n").unwrap());
        assert_eq!(bound, b"one\n\x0ctwo\n");
        let mut json = Binder::new("json", false).unwrap();
        let mut bound = json.add("0101", b"{\n \"a\": 1 }").unwrap();
        bound.extend(json.add("0102", b"2").unwrap());
        assert_eq!(bound, b"{\"a\":1}\n2\n");
    }

    #[test]
    fn what_is_not_of_the_format_is_not_bound() {
        let refused = |format| Binder::new(format, false).unwrap().add("0101", b"%PDF-1.7 {");
        assert_eq!(refused("json"), Err(ExportError::NotBound("json")));
        #[cfg(feature = "pdf")]
        assert_eq!(refused("pdf"), Err(ExportError::NotBound("pdf")));
    }
}
