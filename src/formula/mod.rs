//! The small arithmetic language of templates.
//!
//! # The language
//!
//! A formula is plain arithmetic on named quantities:
//!
//! * numbers, with a unit when they have one: `2`, `0.05 g`, `10 %`, `2 unit`, `1.2 g/mL`
//! * names of values and steps: `drug_mass`; a column of a picked row: `drug.displacement_value`
//! * `+ - * /` and brackets
//! * functions, listed in [`FUNCTIONS`]: `mean(masses)`, `limit(x, low, high)`
//! * conditions, for constraints: `< <= > >= = !=`, joined by `and`, `or`, `not`
//!
//! Every formula is read once, its names are looked up and its dimensions checked, and only then is
//! it run, on numbers in coherent units (g, mL, cm, unit, K, s). A mass cannot be added to a volume,
//! nor the mass of one unit to the mass of a batch; a bare `0` goes with anything.
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
//!             _ => None,
//!         }
//!     }
//!     fn names(&self) -> Vec<&str> {
//!         vec!["number", "capacity"]
//!     }
//! }
//!
//! let total = Formula::parse("number * capacity").unwrap().compile(&Names).unwrap();
//! assert_eq!(total.shape(), Shape::Number(Dimension::MASS));
//! let slots = ["12", "1.02"].map(|text| Slot::Number(Exact::parse(text).unwrap()));
//! assert_eq!(total.run(&slots).unwrap().to_string(), "12.24");
//!
//! let wrong = Formula::parse("number + 2").unwrap().compile(&Names).unwrap_err();
//! assert_eq!(wrong[0].what, "a count of units and a plain number cannot be added");
//! assert_eq!(wrong[0].help.as_deref(), Some("write `2 unit`"));
//! ```
//!
//! The files in reading order: words, the tree they make, the functions, the reading of a tree, its
//! checking and running, and its showing as text, MathML and Typst.

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
pub use suggestion::nearest;

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
            if let NodeKind::Name(name) = &node.kind
                && !names.contains(&name.as_str())
            {
                names.push(name.as_str());
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
