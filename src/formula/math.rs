//! A formula as it is shown, before anybody decides how it is drawn.

use super::function::{Function, Rule};
use super::tree::{Node, NodeKind, Operator};

/// How the names and numbers of a formula are shown.
pub trait Words {
    /// The words for a name: `base displaced`.
    fn label(&self, name: &str) -> String;
    /// The number of a name with its unit, `1.02 g`; one text for each value of a list.
    fn number(&self, name: &str) -> Vec<String>;
}

/// A piece of mathematics as it is shown: what things are, not how they are drawn.
///
/// [`Math::text`], [`Math::mathml`] and [`Math::typst`] draw it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Math {
    /// A number with its unit: `1.02 g`.
    Number(String),
    /// The words of a name: `base displaced`.
    Label(String),
    /// Two things and the sign between them.
    Pair(Box<Math>, Sign, Box<Math>),
    /// A sign before a thing.
    Minus(Box<Math>),
    /// One thing over another.
    Fraction(Box<Math>, Box<Math>),
    /// A square root.
    Root(Box<Math>),
    /// A thing in brackets.
    Group(Box<Math>),
    /// Words and the things they are about: `mean of masses`.
    Said(String, Vec<Math>),
    /// Things that follow from one another, each with the relation before it.
    Chain(Box<Math>, Vec<(Relation, Math)>),
}

/// The sign between two things.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Plus.
    Plus,
    /// Minus.
    Minus,
    /// Times.
    Times,
    /// Less than.
    Less,
    /// At most.
    AtMost,
    /// More than.
    More,
    /// At least.
    AtLeast,
    /// Equal to.
    Equal,
    /// Other than.
    Different,
    /// And.
    And,
    /// Or.
    Or,
    /// A list, and what is left out of it.
    Without,
    /// A list, and what one of its values is furthest from.
    From,
}

/// How one thing of a chain follows from the one before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// Exactly.
    Equals,
    /// After rounding.
    About,
}

/// Lists up to this length are written out.
const WRITTEN_OUT: usize = 12;

impl Math {
    /// A chain of things that are equal: `base = total - displaced = 13.9 g`.
    pub fn equation(left: Self, rights: Vec<(Relation, Self)>) -> Self {
        Self::Chain(Box::new(left), rights)
    }

    fn pair(left: Self, sign: Sign, right: Self) -> Self {
        Self::Pair(Box::new(left), sign, Box::new(right))
    }

    /// How tightly the outermost sign binds, for the setting of brackets.
    fn strength(&self) -> u8 {
        match self {
            Self::Pair(_, Sign::Or, _) => 1,
            Self::Pair(_, Sign::And, _) => 2,
            Self::Pair(_, Sign::Plus | Sign::Minus, _) | Self::Minus(_) => 5,
            Self::Pair(_, Sign::Times, _) => 6,
            Self::Pair(_, Sign::Without | Sign::From, _) => 9,
            Self::Pair(..) => 4,
            Self::Chain(..) => 0,
            _ => 9,
        }
    }

    fn grouped(self, weakest: u8) -> Self {
        if self.strength() < weakest { Self::Group(Box::new(self)) } else { self }
    }
}

/// Shows a tree, with the names or with the numbers.
pub(super) fn show(node: &Node, words: &dyn Words, numbers: bool) -> Math {
    let inner = |node: &Node| show(node, words, numbers);
    match &node.kind {
        NodeKind::Number(value, unit) => {
            let unit = if unit.dimension() == crate::quantity::Dimension::COUNT {
                String::new()
            } else {
                unit.symbol()
            };
            Math::Number(format!("{value} {unit}").trim_end().to_owned())
        }
        NodeKind::Name(name) => name_of(name, words, numbers),
        NodeKind::Minus(node) => Math::Minus(Box::new(inner(node).grouped(6))),
        NodeKind::Not(node) => Math::Said("not".to_owned(), vec![inner(node).grouped(4)]),
        NodeKind::Pair(Operator::Over, left, right) => {
            Math::Fraction(Box::new(inner(left)), Box::new(inner(right)))
        }
        NodeKind::Pair(operator, left, right) => {
            let (left, right) = (inner(left), inner(right));
            let sign = sign_of(*operator);
            let (left_weakest, right_weakest) = match sign {
                Sign::Times => (6, 6),
                Sign::Minus => (5, 6),
                Sign::And | Sign::Or => (3, 3),
                _ => (5, 5),
            };
            Math::pair(left.grouped(left_weakest), sign, right.grouped(right_weakest))
        }
        NodeKind::Call(function, given) => {
            let mut shown: Vec<Math> = given.iter().map(inner).collect();
            match (&function.rule, function.name, numbers) {
                (Rule::OfNumber(..), "root", _) => {
                    Math::Root(Box::new(shown.pop().unwrap_or_else(nothing)))
                }
                (Rule::OfList(..), name @ ("sum" | "mean"), true) => {
                    written_out(name, &given[0], words)
                        .unwrap_or_else(|| Math::Said(function.words.to_owned(), shown))
                }
                (Rule::OfList(..), "count", true) => {
                    let count = list_of(&given[0], words).len();
                    Math::Number(count.to_string())
                }
                (Rule::Without | Rule::ListAndNumber(_), ..) => about_a_list(function, shown),
                _ => Math::Said(function.words.to_owned(), shown),
            }
        }
    }
}

fn name_of(name: &str, words: &dyn Words, numbers: bool) -> Math {
    if !numbers {
        return Math::Label(words.label(name));
    }
    let mut values = words.number(name);
    match values.len() {
        1 => Math::Number(values.remove(0)),
        _ => Math::Label(words.label(name)),
    }
}

/// `masses without 0.78 g`, `furthest of masses from 1.02 g`.
fn about_a_list(function: &Function, mut shown: Vec<Math>) -> Math {
    let value = shown.pop().unwrap_or_else(nothing);
    let list = shown.pop().unwrap_or_else(nothing);
    match function.rule {
        Rule::Without => Math::pair(list, Sign::Without, value),
        _ => Math::Said(function.words.to_owned(), vec![Math::pair(list, Sign::From, value)]),
    }
}

/// A sum or a mean with every value of its list, when the list is short enough.
fn written_out(function: &str, list: &Node, words: &dyn Words) -> Option<Math> {
    let values = list_of(list, words);
    let count = values.len();
    if count == 0 || count > WRITTEN_OUT {
        return None;
    }
    let sum = values
        .into_iter()
        .map(Math::Number)
        .reduce(|sum, value| Math::pair(sum, Sign::Plus, value))?;
    Some(match function {
        "mean" => Math::Fraction(Box::new(sum), Box::new(Math::Number(count.to_string()))),
        _ => sum,
    })
}

/// The values of a list as shown; `without` takes its value out by its shown text.
fn list_of(node: &Node, words: &dyn Words) -> Vec<String> {
    match &node.kind {
        NodeKind::Name(name) => words.number(name),
        NodeKind::Call(_, given) => {
            let [from, out] = given.as_slice() else { return Vec::new() };
            let mut values = list_of(from, words);
            if let NodeKind::Name(name) = &out.kind
                && let Some(out) = words.number(name).first()
                && let Some(place) = values.iter().position(|value| value == out)
            {
                values.remove(place);
                return values;
            }
            Vec::new()
        }
        _ => Vec::new(),
    }
}

fn sign_of(operator: Operator) -> Sign {
    match operator {
        Operator::Or => Sign::Or,
        Operator::And => Sign::And,
        Operator::Less => Sign::Less,
        Operator::AtMost => Sign::AtMost,
        Operator::More => Sign::More,
        Operator::AtLeast => Sign::AtLeast,
        Operator::Equal => Sign::Equal,
        Operator::Different => Sign::Different,
        Operator::Plus => Sign::Plus,
        Operator::Minus => Sign::Minus,
        Operator::Times | Operator::Over => Sign::Times,
    }
}

fn nothing() -> Math {
    Math::Number(String::new())
}
