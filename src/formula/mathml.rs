//! Mathematics as MathML Core.

use super::math::{Math, Relation};

impl Math {
    /// A `math` element of MathML Core, with its line of text as `alttext`.
    ///
    /// Only elements that browsers draw are used: `mrow`, `mn`, `mo`, `mi`, `mtext`, `mfrac`, `msqrt`.
    pub fn mathml(&self) -> String {
        let mut out = String::from("<math alttext=\"");
        escape(&self.text(), &mut out);
        out.push_str("\">");
        write(self, &mut out);
        out.push_str("</math>");
        out
    }
}

fn write(math: &Math, out: &mut String) {
    match math {
        Math::Number(text) => match text.split_once(' ') {
            Some((number, unit)) => {
                out.push_str("<mrow>");
                element("mn", number, out);
                element("mtext", &format!("\u{a0}{unit}"), out);
                out.push_str("</mrow>");
            }
            None => element("mn", text, out),
        },
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
                word @ ("and" | "or" | "without" | "from") => {
                    element("mtext", &format!("\u{a0}{word}\u{a0}"), out);
                }
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
        Math::Said(words, about) => {
            out.push_str("<mrow>");
            element("mtext", &format!("{words}\u{a0}"), out);
            for (index, thing) in about.iter().enumerate() {
                if index > 0 {
                    out.push_str("<mo>,</mo>");
                }
                write(thing, out);
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
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            letter => out.push(letter),
        }
    }
}
