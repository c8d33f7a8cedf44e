//! Mathematics as MathML Core.

use super::math::{Math, Piece, Relation};
use super::text::signed;
use crate::words::replaced;

impl Math {
    /// A `math` element of MathML Core, with its line of text as `alttext`.
    ///
    /// Only elements that browsers draw are used: `mrow`, `mn`, `mo`, `mi`, `mtext`, `mfrac`, `msqrt`.
    pub fn mathml(&self) -> String {
        self.mathml_beside(&self.text())
    }

    /// The same where the line of text is there already.
    pub(crate) fn mathml_beside(&self, text: &str) -> String {
        let mut out = String::with_capacity(8 * text.len() + 64);
        out.push_str("<math alttext=\"");
        escape(text, &mut out);
        out.push_str("\">");
        write(self, &mut out);
        out.push_str("</math>");
        out
    }
}

fn write(math: &Math, out: &mut String) {
    match math {
        Math::Number(text) => number(text, out),
        // Not `mtext`, which counts as a blank: a sign beside it would lose the room around it.
        Math::Label(text) if text.chars().count() > 1 => element("mi", text, out),
        // A single letter would be slanted like a variable.
        Math::Label(text) => {
            out.push_str("<mi mathvariant=\"normal\">");
            escape(text, out);
            out.push_str("</mi>");
        }
        Math::Pair(left, sign, right) => {
            out.push_str("<mrow>");
            write(left, out);
            match sign.text() {
                word @ ("and" | "or") => words(&format!(" {word} "), out),
                sign => element("mo", sign, out),
            }
            write(right, out);
            out.push_str("</mrow>");
        }
        Math::Minus(inner) => {
            out.push_str("<mrow><mo>−</mo>");
            write(inner, out);
            out.push_str("</mrow>");
        }
        Math::Fraction(top, bottom) => {
            out.push_str("<mfrac>");
            row(top, out);
            row(bottom, out);
            out.push_str("</mfrac>");
        }
        Math::Root(inner) => {
            out.push_str("<msqrt>");
            write(inner, out);
            out.push_str("</msqrt>");
        }
        Math::Group(inner) => {
            out.push_str("<mrow><mo>(</mo>");
            write(inner, out);
            out.push_str("<mo>)</mo></mrow>");
        }
        Math::Said(said, about) => {
            out.push_str("<mrow>");
            for piece in Math::pieces(said, about) {
                match piece {
                    Piece::Words(text) => words(text, out),
                    Piece::Thing(thing) => write(thing, out),
                }
            }
            out.push_str("</mrow>");
        }
        Math::Chain(first, rest) => {
            out.push_str("<mrow>");
            write(first, out);
            for (relation, thing) in rest {
                out.push_str(match relation {
                    Relation::Equals => "<mo>=</mo>",
                    Relation::About => "<mo>≈</mo>",
                });
                write(thing, out);
            }
            out.push_str("</mrow>");
        }
    }
}

/// Words beside a thing. Blanks at the ends of `mtext` are dropped; those that do not break are not.
fn words(text: &str, out: &mut String) {
    let blank = |is: bool| if is { "\u{a0}" } else { "" };
    let (before, behind) = (blank(text.starts_with(' ')), blank(text.ends_with(' ')));
    out.push_str("<mtext>");
    out.push_str(before);
    escape(text.trim(), out);
    out.push_str(behind);
    out.push_str("</mtext>");
}

/// A number, its minus a sign before it and its unit a word behind it.
fn number(text: &str, out: &mut String) {
    let (minus, text) = signed(text);
    let (number, unit) = text.split_once(' ').map_or((text, None), |(n, unit)| (n, Some(unit)));
    let is_row = !minus.is_empty() || unit.is_some();
    if is_row {
        out.push_str("<mrow>");
    }
    if !minus.is_empty() {
        element("mo", minus, out);
    }
    element("mn", number, out);
    if let Some(unit) = unit {
        out.push_str("<mtext>\u{a0}");
        escape(unit, out);
        out.push_str("</mtext>");
    }
    if is_row {
        out.push_str("</mrow>");
    }
}

/// A fraction takes exactly two children, so each side is one row.
fn row(math: &Math, out: &mut String) {
    out.push_str("<mrow>");
    write(math, out);
    out.push_str("</mrow>");
}

fn element(name: &str, text: &str, out: &mut String) {
    out.push('<');
    out.push_str(name);
    out.push('>');
    escape(text, out);
    out.push_str("</");
    out.push_str(name);
    out.push('>');
}

fn escape(text: &str, out: &mut String) {
    let sign = |_, byte| match byte {
        b'&' => Some("&amp;"),
        b'<' => Some("&lt;"),
        b'>' => Some("&gt;"),
        b'"' => Some("&quot;"),
        _ => None,
    };
    out.push_str(&replaced(text, sign));
}
