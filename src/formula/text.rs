//! Mathematics as a line of plain text.

use super::math::{Math, Piece, Relation, Sign};

impl Math {
    /// One line of text: `number cast × dose ÷ displacement value`.
    ///
    /// It reads aloud as it stands, and is the alternative text of the drawn forms.
    pub fn text(&self) -> String {
        let mut out = String::new();
        write(self, &mut out);
        out
    }
}

fn write(math: &Math, out: &mut String) {
    match math {
        Math::Label(text) => out.push_str(text),
        Math::Number(text) => {
            let (minus, digits) = signed(text);
            out.push_str(minus);
            out.push_str(digits);
        }
        Math::Pair(left, sign, right) => {
            write(left, out);
            out.push(' ');
            out.push_str(sign.text());
            out.push(' ');
            write(right, out);
        }
        Math::Minus(inner) => {
            out.push('−');
            write(inner, out);
        }
        Math::Fraction(top, bottom) => {
            side(top, 6, out);
            out.push_str(" ÷ ");
            side(bottom, 7, out);
        }
        Math::Root(inner) => {
            out.push('√');
            side(inner, 9, out);
        }
        Math::Group(inner) => {
            out.push('(');
            write(inner, out);
            out.push(')');
        }
        Math::Said(words, about) => {
            for piece in Math::pieces(words, about) {
                match piece {
                    Piece::Words(words) => out.push_str(words),
                    Piece::Thing(thing @ Math::Fraction(..)) => side(thing, 7, out),
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

/// One side of a stroke or root, in brackets where a line of text needs them.
fn side(math: &Math, weakest: u8, out: &mut String) {
    // On a line a stroke no longer holds its two sides together.
    let strength = if matches!(math, Math::Fraction(..)) { 6 } else { math.strength() };
    if strength < weakest {
        out.push('(');
        write(math, out);
        out.push(')');
    } else {
        write(math, out);
    }
}

/// The minus of a number as it is printed, and the rest.
pub(super) fn signed(number: &str) -> (&'static str, &str) {
    number.strip_prefix('-').map_or(("", number), |digits| ("−", digits))
}

impl Sign {
    /// The sign as printed.
    pub fn text(self) -> &'static str {
        match self {
            Self::Plus => "+",
            Self::Minus => "−",
            Self::Times => "×",
            Self::Less => "<",
            Self::AtMost => "≤",
            Self::More => ">",
            Self::AtLeast => "≥",
            Self::Equal => "=",
            Self::Different => "≠",
            Self::And => "and",
            Self::Or => "or",
        }
    }
}
