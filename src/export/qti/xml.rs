//! A tree of XML, and its text in the words of either version.
//!
//! Elements of the standard are built under their names in 2.2; the writer alone knows those of 3.0.
//! Elements of HTML and MathML are called the same in both.

use super::version::Version;
use crate::export::writing::escape;

/// An element.
#[derive(Clone, Debug)]
pub(super) struct Element {
    name: &'static str,
    /// Whether the name is one of the standard, so that it depends on the version.
    is_of_standard: bool,
    attributes: Vec<(&'static str, String)>,
    children: Vec<Node>,
}

/// What stands in an element.
#[derive(Clone, Debug)]
enum Node {
    Element(Element),
    Text(String),
    /// Mathematics, which is markup already.
    Math(String),
}

/// An element of the standard, by its name in 2.2.
pub(super) fn qti(name: &'static str) -> Element {
    Element { name, is_of_standard: true, attributes: Vec::new(), children: Vec::new() }
}

/// An element that is called the same in both versions.
pub(super) fn plain(name: &'static str) -> Element {
    Element { is_of_standard: false, ..qti(name) }
}

/// A paragraph.
pub(super) fn paragraph(text: &str) -> Element {
    plain("p").text(text)
}

impl Element {
    /// The same with an attribute, which is called as in 2.2.
    pub(super) fn with(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.attributes.push((name, value.into()));
        self
    }

    /// The same with some text behind what it holds.
    pub(super) fn text(mut self, text: &str) -> Self {
        self.children.push(Node::Text(text.to_owned()));
        self
    }

    /// The same with an element behind what it holds.
    pub(super) fn child(mut self, child: Element) -> Self {
        self.children.push(Node::Element(child));
        self
    }

    /// The same with elements behind what it holds.
    pub(super) fn children(mut self, children: impl IntoIterator<Item = Element>) -> Self {
        self.children.extend(children.into_iter().map(Node::Element));
        self
    }

    /// The same with a `math` element behind what it holds.
    pub(super) fn math(mut self, mathml: &str) -> Self {
        self.children.push(Node::Math(mathml.to_owned()));
        self
    }

    /// Returns whether it holds nothing.
    pub(super) fn is_empty(&self) -> bool {
        self.children.is_empty()
    }

    /// A whole document with this element as its root.
    pub(super) fn document(&self, version: Version) -> Vec<u8> {
        let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
        self.write(version, &mut out);
        out.push('\n');
        out.into_bytes()
    }

    fn write(&self, version: Version, out: &mut String) {
        let name =
            if self.is_of_standard { version.element(self.name) } else { self.name.to_owned() };
        out.push('<');
        out.push_str(&name);
        for (attribute, value) in &self.attributes {
            let attribute = if self.is_of_standard {
                version.attribute(attribute)
            } else {
                (*attribute).to_owned()
            };
            out.push(' ');
            out.push_str(&attribute);
            out.push_str("=\"");
            escape::html(out, &escape::plain(value));
            out.push('"');
        }
        if self.children.is_empty() {
            out.push_str("/>");
            return;
        }
        out.push('>');
        let wrapped = self.is_of_standard && version.wraps(self.name);
        if wrapped {
            out.push_str("<qti-content-body>");
        }
        // Only elements of the standard hold no text of their own, so blanks do no harm there.
        let lines = self.is_of_standard
            && self.children.iter().all(|child| matches!(child, Node::Element(_)));
        for child in &self.children {
            if lines {
                out.push('\n');
            }
            match child {
                Node::Element(element) => element.write(version, out),
                Node::Text(text) => escape::html_text(out, &escape::plain(text)),
                Node::Math(mathml) => math(mathml, out),
            }
        }
        if lines {
            out.push('\n');
        }
        if wrapped {
            out.push_str("</qti-content-body>");
        }
        out.push_str("</");
        out.push_str(&name);
        out.push('>');
    }
}

/// Mathematics under its name space.
fn math(mathml: &str, out: &mut String) {
    const NAMESPACE: &str = " xmlns=\"http://www.w3.org/1998/Math/MathML\"";
    let mathml = escape::plain(mathml);
    match mathml.strip_prefix("<math") {
        Some(rest) => {
            out.push_str("<math");
            out.push_str(NAMESPACE);
            out.push_str(rest);
        }
        None => escape::html(out, &mathml),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(element: &Element, version: Version) -> String {
        let document = String::from_utf8(element.document(version)).unwrap();
        document.lines().skip(1).collect()
    }

    #[test]
    fn one_tree_is_written_in_the_words_of_both_versions() {
        let tree = qti("rubricBlock").with("view", "candidate").child(
            plain("p").text("see ").child(qti("textEntryInteraction").with("expectedLength", "8")),
        );
        assert_eq!(
            written(&tree, Version::V2),
            "<rubricBlock view=\"candidate\"><p>see <textEntryInteraction expectedLength=\"8\"/></p>\
             </rubricBlock>"
        );
        assert_eq!(
            written(&tree, Version::V3),
            "<qti-rubric-block view=\"candidate\"><qti-content-body><p>see \
             <qti-text-entry-interaction expected-length=\"8\"/></p></qti-content-body>\
             </qti-rubric-block>"
        );
    }

    #[test]
    fn no_text_ends_what_it_stands_in() {
        let text = "]]> <!-- </p> &amp; &#0; \" ' \0\u{b}\u{1b}\u{fffe}\u{feff}";
        let tree = plain("p").with("title", text).text(text);
        let harmless = "]]&gt; &lt;!-- &lt;/p&gt; &amp;amp; &amp;#0; &quot; &#39; \u{feff}";
        assert_eq!(written(&tree, Version::V2), format!("<p title=\"{harmless}\">{harmless}</p>"));
    }

    #[test]
    fn mathematics_that_is_none_is_text() {
        let tree = plain("p").math("<math alttext=\"x\u{1}\"><mi>x</mi></math>").math("<script/>");
        assert_eq!(
            written(&tree, Version::V3),
            "<p><math xmlns=\"http://www.w3.org/1998/Math/MathML\" alttext=\"x\"><mi>x</mi></math>\
             &lt;script/&gt;</p>"
        );
    }
}
