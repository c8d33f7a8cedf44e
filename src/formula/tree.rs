//! The tree of a formula.

use std::ops::Range;

use crate::quantity::{Exact, Unit};

use super::Function;

/// A part of a formula, with its location in the text.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) kind: NodeKind,
    pub(super) range: Range<usize>,
}

/// What a part of a formula is.
#[derive(Clone, Debug)]
pub(super) enum NodeKind {
    Number(Exact, Unit),
    Name(String),
    Minus(Box<Node>),
    Not(Box<Node>),
    Pair(Operator, Box<Node>, Box<Node>),
    Call(&'static Function, Vec<Node>),
}

/// A sign between two parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Operator {
    /// Between two conditions.
    Logic(Logic),
    /// Between two numbers, for a condition.
    Compare(Comparison),
    /// Between two numbers, for a number.
    Calculate(Calculation),
}

/// A sign between two conditions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Logic {
    Or,
    And,
}

/// A sign that compares two numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Comparison {
    Less,
    AtMost,
    More,
    AtLeast,
    Equal,
    Different,
}

/// A sign of arithmetic.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Calculation {
    Plus,
    Minus,
    Times,
    Over,
}

impl Operator {
    /// All operators with their signs.
    const TABLE: &'static [(Self, &'static str)] = &[
        (Self::Logic(Logic::Or), "or"),
        (Self::Logic(Logic::And), "and"),
        (Self::Compare(Comparison::Less), "<"),
        (Self::Compare(Comparison::AtMost), "<="),
        (Self::Compare(Comparison::More), ">"),
        (Self::Compare(Comparison::AtLeast), ">="),
        (Self::Compare(Comparison::Equal), "="),
        (Self::Compare(Comparison::Different), "!="),
        (Self::Calculate(Calculation::Plus), "+"),
        (Self::Calculate(Calculation::Minus), "-"),
        (Self::Calculate(Calculation::Times), "*"),
        (Self::Calculate(Calculation::Over), "/"),
    ];

    /// The operator of a sign, and how tightly it binds.
    pub(super) fn of(sign: &str) -> Option<(Self, u8)> {
        Self::TABLE.iter().find(|(_, s)| *s == sign).map(|(op, _)| (*op, op.strength()))
    }

    /// How tightly the operator binds; the strength of `not` is 3.
    pub(super) fn strength(self) -> u8 {
        match self {
            Self::Logic(Logic::Or) => 1,
            Self::Logic(Logic::And) => 2,
            Self::Compare(_) => 4,
            Self::Calculate(Calculation::Plus | Calculation::Minus) => 5,
            Self::Calculate(Calculation::Times | Calculation::Over) => 6,
        }
    }
}

impl Node {
    /// Calls the function on this part and every part of it.
    pub(super) fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Self)) {
        visit(self);
        match &self.kind {
            NodeKind::Number(..) | NodeKind::Name(_) => {}
            NodeKind::Minus(inner) | NodeKind::Not(inner) => inner.walk(visit),
            NodeKind::Pair(_, left, right) => {
                left.walk(visit);
                right.walk(visit);
            }
            NodeKind::Call(_, given) => given.iter().for_each(|node| node.walk(visit)),
        }
    }
}
