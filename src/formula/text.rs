//! Mathematics as a line of plain text.

use super::math::{Math, Relation, Sign};

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
        Math::Number(text) | Math::Label(text) => out.push_str(text),
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
            out.push_str(words);
            for (index, thing) in about.iter().enumerate() {
                out.push_str(if index == 0 { " " } else { ", " });
                side(thing, 7, out);
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
    let strength = match math {
        Math::Pair(_, Sign::Times, _) | Math::Fraction(..) => 6,
        Math::Said(..) | Math::Pair(_, Sign::Without | Sign::From, _) => 7,
        Math::Pair(..) | Math::Minus(_) | Math::Chain(..) => 5,
        _ => 9,
    };
    if strength < weakest {
        out.push('(');
        write(math, out);
        out.push(')');
    } else {
        write(math, out);
    }
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
            Self::Without => "without",
            Self::From => "from",
        }
    }
}
