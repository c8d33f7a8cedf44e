//! Mathematics in the notation of Typst.

use super::math::{Math, Piece, Relation};
use super::text::signed;

impl Math {
    /// The inside of a Typst equation, without the dollar signs.
    ///
    /// Every word and number is a quoted string, so nothing in a template can be taken for a
    /// command. The alternative text of the equation is [`Math::text`].
    pub fn typst(&self) -> String {
        let mut out = String::new();
        write(self, &mut out);
        out
    }
}

fn write(math: &Math, out: &mut String) {
    match math {
        Math::Label(text) => quoted(text, out),
        Math::Number(text) => {
            let (minus, digits) = signed(text);
            out.push_str(minus);
            quoted(digits, out);
        }
        Math::Pair(left, sign, right) => {
            write(left, out);
            match sign.text() {
                word @ ("and" | "or") => quoted(&format!(" {word} "), out),
                sign => {
                    out.push(' ');
                    out.push_str(sign);
                    out.push(' ');
                }
            }
            write(right, out);
        }
        Math::Minus(inner) => {
            out.push('−');
            write(inner, out);
        }
        Math::Fraction(top, bottom) => {
            out.push_str("frac(");
            write(top, out);
            out.push_str(", ");
            write(bottom, out);
            out.push(')');
        }
        Math::Root(inner) => {
            out.push_str("sqrt(");
            write(inner, out);
            out.push(')');
        }
        Math::Group(inner) => {
            out.push('(');
            write(inner, out);
            out.push(')');
        }
        Math::Said(words, about) => {
            for piece in Math::pieces(words, about) {
                match piece {
                    Piece::Words(words) => quoted(words, out),
                    Piece::Thing(thing) => write(thing, out),
                }
            }
        }
        Math::Chain(first, rest) => {
            write(first, out);
            for (relation, thing) in rest {
                out.push_str(match relation {
                    Relation::Equals => " = ",
                    Relation::About => " ≈ ",
                });
                write(thing, out);
            }
        }
    }
}

fn quoted(text: &str, out: &mut String) {
    out.push('"');
    for letter in text.chars() {
        if matches!(letter, '"' | '\\') {
            out.push('\\');
        }
        out.push(letter);
    }
    out.push('"');
}
