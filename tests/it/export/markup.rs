//! A small reader of the HTML that sheets are made of: strict, so that it finds what is not closed.

/// One opening tag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Tag {
    /// The name of the element.
    pub(super) name: String,
    /// Names and values of its attributes, in order.
    pub(super) attributes: Vec<(String, String)>,
    /// How many elements are open around it.
    pub(super) depth: usize,
}

impl Tag {
    /// The value of an attribute.
    pub(super) fn get(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }
}

const VOID: &[&str] = &["meta", "br", "hr", "img", "link", "input"];

/// Reads a whole document; panics with the place where it is not well formed.
///
/// Every element but the few that are always empty must be closed in order, every attribute must
/// be quoted, and `<`, `>` and `&` may stand in texts only as references.
#[track_caller]
pub(super) fn read(document: &str) -> Vec<Tag> {
    let mut tags = Vec::new();
    let mut open: Vec<String> = Vec::new();
    let mut rest = document.strip_prefix("<!doctype html>").expect("begins with the doctype");
    while let Some(at) = rest.find('<') {
        let (text, tag) = rest.split_at(at);
        check_text(text, open.last());
        let end = tag.find('>').unwrap_or_else(|| panic!("`{tag:.60}` is not closed"));
        let inside = &tag[1..end];
        rest = &tag[end + 1..];
        if let Some(name) = inside.strip_prefix('/') {
            assert_eq!(
                open.pop().as_deref(),
                Some(name),
                "closing tag out of order near {rest:.80}"
            );
            continue;
        }
        let tag = opening(inside, open.len());
        let closed = inside.ends_with('/') || VOID.contains(&tag.name.as_str());
        if tag.name == "style" {
            let close = rest.find("</style>").expect("the style is closed");
            assert!(!rest[..close].contains('<'), "a tag in the style");
            rest = &rest[close + "</style>".len()..];
        } else if !closed {
            open.push(tag.name.clone());
        }
        tags.push(tag);
    }
    assert!(rest.trim().is_empty(), "text after the document");
    assert!(open.is_empty(), "not closed: {open:?}");
    tags
}

#[track_caller]
fn opening(inside: &str, depth: usize) -> Tag {
    let inside = inside.trim_end_matches('/');
    let (name, mut rest) = inside.split_once(' ').unwrap_or((inside, ""));
    assert!(name.chars().all(|c| c.is_ascii_alphanumeric()), "not the name of an element: {name}");
    let mut attributes = Vec::new();
    while !rest.trim().is_empty() {
        let (key, after) = rest.trim_start().split_once("=\"").expect("attributes are quoted");
        let (value, after) = after.split_once('"').expect("quotes are closed");
        check_text(value, None);
        attributes.push((key.to_owned(), value.to_owned()));
        rest = after;
    }
    Tag { name: name.to_owned(), attributes, depth }
}

#[track_caller]
fn check_text(text: &str, within: Option<&String>) {
    assert!(!text.contains('>'), "a bare > in {within:?}: {text}");
    for (at, _) in text.match_indices('&') {
        let reference = ["amp;", "lt;", "gt;", "quot;", "#39;"];
        let known = reference.iter().any(|known| text[at + 1..].starts_with(known));
        assert!(known, "a bare & in {within:?}: {text}");
    }
}
