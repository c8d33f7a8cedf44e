//! The small arithmetic language of templates.
//!
//! # The language
//!
//! A formula is plain arithmetic on named quantities, on one line:
//!
//! * numbers, with a unit when they have one: `2`, `0.05 g`, `10 %`, `2 unit`, `1.2 g/mL`
//! * names of values and steps: `drug_mass`; a column of a picked row: `drug.displacement_value`
//! * `+ - * /` and brackets
//! * functions, listed in [`FUNCTIONS`]: `mean(masses)`, `limit(x, low, high)`
//! * conditions, for constraints: `< <= > >= = !=`, joined by `and`, `or`, `not`
//!
//! Products come before sums, sums before comparisons, then `not`, `and`, `or`; equals are taken from
//! left to right, and a minus before a thing comes after its products: `-2 * 3` is `-(2 * 3)`. Two
//! comparisons are joined by `and`, never written in a row. There are no powers: write `x * x`.
//!
//! Every formula is read once, its names are looked up and its dimensions checked, and only then is
//! it run, on numbers in coherent units (g, mL, cm, unit, K, s).
//!
//! ```
//! use castmark::formula::{Formula, Scope, Shape, Slot};
//! use castmark::quantity::{Dimension, Exact};
//!
//! struct Names;
//! impl Scope for Names {
//!     fn find(&self, name: &str) -> Option<(usize, Shape)> {
//!         match name {
//!             "number" => Some((0, Shape::Number(Dimension::COUNT))),
//!             "capacity" => Some((1, Shape::Number(Dimension::MASS_PER_UNIT))),
//!             "masses" => Some((2, Shape::List(Dimension::MASS))),
//!             _ => None,
//!         }
//!     }
//!     fn names(&self) -> Vec<&str> {
//!         vec!["number", "capacity", "masses"]
//!     }
//! }
//! let number = |text| Exact::parse(text).unwrap();
//! let masses = vec![number("2.10"), number("2.14"), number("2.06")];
//! let slots = [Slot::Number(number("12")), Slot::Number(number("1.02")), Slot::List(masses)];
//!
//! let total = Formula::parse("number * capacity").unwrap().compile(&Names).unwrap();
//! assert_eq!(total.shape(), Shape::Number(Dimension::MASS));
//! assert_eq!(total.run(&slots).unwrap().to_string(), "12.24");
//!
//! let light = Formula::parse("how_many(masses, 0 g, 2.09 g) <= 1 unit and mean(masses) > 2 g");
//! assert!(light.unwrap().compile(&Names).unwrap().holds(&slots).unwrap());
//! ```
//!
//! # Dimensions
//!
//! A mass cannot be added to a volume, nor the mass of one unit to the mass of a batch: a count of
//! units is a dimension of its own, so `number + 2` is refused and `number + 2 unit` is right. A bare
//! `0` goes with anything, so that `base > 0` needs no unit. Per cents are plain numbers: `10 %` is
//! 0.1 and cannot be added to a mass, but `10 % * total` can. Degrees Celsius are compared and
//! subtracted; nothing else is done with them, as their zero is not nothing.
//!
//! ```
//! # use castmark::formula::{Formula, Scope, Shape};
//! # use castmark::quantity::Dimension;
//! # struct Names;
//! # impl Scope for Names {
//! #     fn find(&self, name: &str) -> Option<(usize, Shape)> {
//! #         (name == "number").then_some((0, Shape::Number(Dimension::COUNT)))
//! #     }
//! #     fn names(&self) -> Vec<&str> {
//! #         vec!["number"]
//! #     }
//! # }
//! let wrong = Formula::parse("number + 2").unwrap().compile(&Names).unwrap_err();
//! assert_eq!(wrong[0].what, "a count of units and a plain number cannot be added");
//! assert_eq!(wrong[0].help.as_deref(), Some("write `2 unit`"));
//!
//! let misspelt = Formula::parse("numbre > 0").unwrap().compile(&Names).unwrap_err();
//! assert_eq!(misspelt[0].help.as_deref(), Some("did you mean `number`?"));
//! ```
//!
//! # Units
//!
//! A unit stands right behind its number, in any spelling that [`Unit::parse`] knows, and is shown by
//! its usual symbol. A name that is also a unit is a unit there: `2 h` is two hours. A quotient is one
//! unit only without blanks about its stroke: `2 g/mL` is a density, and `2 g / x` is two grams
//! divided by `x`.
//!
//! # How it is shown
//!
//! The same tree is shown in names and in numbers, as a line of text, as MathML and for Typst, with
//! no more brackets than are needed. A short list under `sum` or `mean` is written out, and a factor
//! of `1 unit`, which only sets the dimension right, is left away.
//!
//! ```
//! use castmark::formula::{Formula, Words};
//!
//! struct Shown;
//! impl Words for Shown {
//!     fn label(&self, name: &str) -> String {
//!         name.replace('_', " ")
//!     }
//!     fn number(&self, name: &str) -> Vec<String> {
//!         match name {
//!             "masses" => vec!["2.10 g".to_owned(), "2.14 g".to_owned()],
//!             _ => vec!["12".to_owned()],
//!         }
//!     }
//! }
//!
//! let each = Formula::parse("mean(masses) * (number_cast + 2 unit)").unwrap();
//! assert_eq!(each.with_names(&Shown).text(), "mean of masses × (number cast + 2)");
//! assert_eq!(each.with_numbers(&Shown).text(), "(2.10 g + 2.14 g) ÷ 2 × (12 + 2)");
//! ```
//!
//! # Limits
//!
//! A formula has at most 1000 letters, 100 signs and 40 levels of brackets. At most a dozen problems
//! are told of one formula.
//!
//! Numbers carry 28 digits. Comparisons, `round_up` and `round_down` look at 20 places and 26 figures,
//! so that `10 / 3 * 3` is 10 there.
//!
//! The files in reading order: words, the tree they make, the functions, the reading of a tree, its
//! checking and running, and its showing as text, MathML and Typst.
//!
//! [`Unit::parse`]: crate::quantity::Unit::parse

mod token;
mod tree;
mod function;
mod parse;
mod program;
mod compile;
mod mend;
mod math;
mod text;
mod mathml;
mod typst;
mod suggestion;

use std::fmt;
use std::ops::Range;

pub use function::{FUNCTIONS, Function};
pub use math::{Math, Relation, Sign, Words};
pub use program::{Fault, Program, Scope, Shape, Slot};
pub use suggestion::{distance, nearest};

use tree::{Node, NodeKind};

/// A formula that has been read.
#[derive(Clone, Debug)]
pub struct Formula {
    text: String,
    tree: Node,
}

/// One thing wrong with a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormulaProblem {
    /// The part to blame, in bytes of the formula's text.
    pub range: Range<usize>,
    /// What was expected and what was found.
    pub what: String,
    /// A few words to stand at the part.
    pub label: String,
    /// What to do, where that is known.
    pub help: Option<String>,
}

impl fmt::Display for FormulaProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)
    }
}

impl Formula {
    /// Reads a formula.
    ///
    /// # Errors
    /// Everything that is wrong with its form, at least one problem.
    pub fn parse(text: &str) -> Result<Self, Vec<FormulaProblem>> {
        let tree = parse::parse(text)?;
        Ok(Self { text: text.to_owned(), tree })
    }

    /// The formula as written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The names used, each once, in the order of their first use.
    pub fn names(&self) -> Vec<&str> {
        let mut names = Vec::new();
        self.tree.walk(&mut |node| {
            if let NodeKind::Name(name) = &node.kind {
                if !names.contains(&name.as_str()) {
                    names.push(name.as_str());
                }
            }
        });
        names
    }

    /// Looks up the names and checks the dimensions.
    ///
    /// # Errors
    /// Every unknown name and every pair of dimensions that do not go together.
    pub fn compile(&self, scope: &dyn Scope) -> Result<Program, Vec<FormulaProblem>> {
        compile::compile(&self.tree, scope)
    }

    /// The formula in words: `number cast × dose`.
    pub fn with_names(&self, words: &dyn Words) -> Math {
        math::show(&self.tree, words, false)
    }

    /// The formula with its numbers put in: `12 × 50 mg`.
    pub fn with_numbers(&self, words: &dyn Words) -> Math {
        math::show(&self.tree, words, true)
    }
}

#[cfg(test)]
mod tests;
