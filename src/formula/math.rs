//! A formula as it is shown, before anybody decides how it is drawn.

use crate::quantity::{Dimension, Exact, Quantity};

use super::function::Signature;
use super::tree::{Calculation, Comparison, Logic, Node, NodeKind, Operator};

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
    /// Words about things, with `{}` where each thing stands: `mean of {}`, `{} rounded up`.
    Said(&'static str, Vec<Math>),
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
    pub(super) fn strength(&self) -> u8 {
        match self {
            Self::Pair(_, Sign::Or, _) => 1,
            Self::Pair(_, Sign::And, _) => 2,
            Self::Pair(_, Sign::Plus | Sign::Minus, _) | Self::Minus(_) => 5,
            Self::Number(text) if text.starts_with('-') => 5,
            Self::Pair(_, Sign::Times, _) => 6,
            Self::Pair(..) => 4,
            Self::Said(..) => {
                if self.is_closed() {
                    7
                } else {
                    3
                }
            }
            Self::Chain(..) => 0,
            _ => 9,
        }
    }

    fn grouped(self, weakest: u8) -> Self {
        if self.strength() < weakest { self.in_brackets() } else { self }
    }

    fn in_brackets(self) -> Self {
        Self::Group(Box::new(self))
    }

    /// Whether words leave no doubt where the last thing they are about ends: those of `mean of {}`
    /// do not, those of `{} rounded up` or `smaller of {} and {}` might swallow what stands beside them.
    pub(super) fn is_closed(&self) -> bool {
        match self {
            Self::Said(words, things) => things.len() == 1 && words.ends_with("{}"),
            _ => true,
        }
    }

    /// Whether the first thing printed is a minus.
    fn begins_with_minus(&self) -> bool {
        match self {
            Self::Minus(_) => true,
            Self::Number(text) => text.starts_with('-'),
            Self::Pair(left, ..) => left.begins_with_minus(),
            _ => false,
        }
    }

    /// The pieces of words about things, in the order in which they are printed.
    pub(super) fn pieces<'a>(
        words: &'a str,
        things: &'a [Self],
    ) -> impl Iterator<Item = Piece<'a>> {
        let mut things = things.iter();
        words.split("{}").enumerate().flat_map(move |(index, words)| {
            let thing = if index == 0 { None } else { things.next() };
            let words = (!words.is_empty()).then_some(Piece::Words(words));
            thing.map(Piece::Thing).into_iter().chain(words)
        })
    }
}

/// A piece of words about things.
#[derive(Clone, Copy, Debug)]
pub(super) enum Piece<'a> {
    Words(&'a str),
    Thing(&'a Math),
}

/// Shows a tree, with the names or with the numbers.
pub(super) fn show(node: &Node, words: &dyn Words, numbers: bool) -> Math {
    let inner = |node: &Node| show(node, words, numbers);
    match &node.kind {
        NodeKind::Number(value, unit) => Math::Number(Quantity::new(*value, *unit).to_string()),
        NodeKind::Name(name) => name_of(name, words, numbers),
        NodeKind::Minus(node) => Math::Minus(Box::new(inner(node).grouped(6))),
        NodeKind::Not(node) => said("not {}", vec![inner(node)]),
        // `* 1 unit` and `/ 1 unit` set the dimension right and change no number.
        NodeKind::Pair(Operator::Calculate(Calculation::Times), left, other)
        | NodeKind::Pair(Operator::Calculate(Calculation::Times), other, left)
            if is_one_unit(other) =>
        {
            inner(left)
        }
        NodeKind::Pair(Operator::Calculate(Calculation::Over), left, right)
            if is_one_unit(right) =>
        {
            inner(left)
        }
        NodeKind::Pair(Operator::Calculate(Calculation::Over), left, right) => {
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
            let right = match sign {
                Sign::Plus | Sign::Minus if right.begins_with_minus() => right.in_brackets(),
                _ => right.grouped(right_weakest),
            };
            Math::pair(left.grouped(left_weakest), sign, right)
        }
        NodeKind::Call(function, given) => {
            let mut shown: Vec<Math> = given.iter().map(inner).collect();
            match (&function.signature, function.name, numbers) {
                (Signature::OfNumber(..), "root", _) => {
                    Math::Root(Box::new(shown.pop().unwrap_or_else(nothing)))
                }
                (Signature::OfList(..), name @ ("sum" | "mean"), true) => given
                    .first()
                    .and_then(|list| written_out(name, list, words))
                    .unwrap_or_else(|| said(function.words, shown)),
                (Signature::OfList(..), "count", true) => {
                    match given.first().map(|list| list_of(list, words).len()) {
                        None | Some(0) => said(function.words, shown),
                        Some(count) => Math::Number(count.to_string()),
                    }
                }
                _ => said(function.words, shown),
            }
        }
    }
}

fn is_one_unit(node: &Node) -> bool {
    matches!(&node.kind, NodeKind::Number(value, unit)
        if *value == Exact::ONE && unit.dimension() == Dimension::COUNT)
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

/// Words about things, in brackets where it would be in doubt how far they reach: `size of (a − b)`,
/// but `mean of masses without 0.78 g`.
fn said(words: &'static str, things: Vec<Math>) -> Math {
    let is_plain = |thing: &Math| matches!(thing, Math::Number(_) | Math::Label(_));
    let in_doubt = |thing: &Math| match thing {
        Math::Pair(..) | Math::Minus(_) | Math::Chain(..) => true,
        Math::Said(_, inner) => !thing.is_closed() && !inner.iter().all(is_plain),
        _ => false,
    };
    let bracket = |thing: Math| if in_doubt(&thing) { thing.in_brackets() } else { thing };
    Math::Said(words, things.into_iter().map(bracket).collect())
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
        NodeKind::Call(function, given) => {
            let [from, out] = given.as_slice() else { return Vec::new() };
            let mut values = list_of(from, words);
            if function.name == "together" {
                let others = list_of(out, words);
                let both = [&values, &others].iter().all(|list| !list.is_empty());
                values.extend(others);
                return if both { values } else { Vec::new() };
            }
            let NodeKind::Name(name) = &out.kind else { return Vec::new() };
            let out = words.number(name).into_iter().next();
            let Some(index) = out.and_then(|out| values.iter().position(|value| *value == out))
            else {
                return Vec::new();
            };
            values.remove(index);
            values
        }
        _ => Vec::new(),
    }
}

fn sign_of(operator: Operator) -> Sign {
    match operator {
        Operator::Logic(Logic::Or) => Sign::Or,
        Operator::Logic(Logic::And) => Sign::And,
        Operator::Compare(Comparison::Less) => Sign::Less,
        Operator::Compare(Comparison::AtMost) => Sign::AtMost,
        Operator::Compare(Comparison::More) => Sign::More,
        Operator::Compare(Comparison::AtLeast) => Sign::AtLeast,
        Operator::Compare(Comparison::Equal) => Sign::Equal,
        Operator::Compare(Comparison::Different) => Sign::Different,
        Operator::Calculate(Calculation::Plus) => Sign::Plus,
        Operator::Calculate(Calculation::Minus) => Sign::Minus,
        Operator::Calculate(Calculation::Times | Calculation::Over) => Sign::Times,
    }
}

fn nothing() -> Math {
    Math::Number(String::new())
}
