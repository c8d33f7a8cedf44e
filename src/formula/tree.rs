//! The tree of a formula.

use std::ops::Range;

use crate::quantity::{Exact, Unit};

use super::Function;

/// A part of a formula, with its place in the text.
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
    Or,
    And,
    Less,
    AtMost,
    More,
    AtLeast,
    Equal,
    Different,
    Plus,
    Minus,
    Times,
    Over,
}

impl Operator {
    /// All operators with their signs and how tightly each binds.
    pub(super) const TABLE: &'static [(Self, &'static str, u8)] = &[
        (Self::Or, "or", 1),
        (Self::And, "and", 2),
        (Self::Less, "<", 4),
        (Self::AtMost, "<=", 4),
        (Self::More, ">", 4),
        (Self::AtLeast, ">=", 4),
        (Self::Equal, "=", 4),
        (Self::Different, "!=", 4),
        (Self::Plus, "+", 5),
        (Self::Minus, "-", 5),
        (Self::Times, "*", 6),
        (Self::Over, "/", 6),
    ];

    pub(super) fn of(sign: &str) -> Option<(Self, u8)> {
        Self::TABLE.iter().find(|(_, s, _)| *s == sign).map(|(op, _, strength)| (*op, *strength))
    }

    pub(super) fn strength(self) -> u8 {
        Self::TABLE.iter().find(|(op, ..)| *op == self).map_or(0, |(.., strength)| *strength)
    }

    pub(super) fn is_comparison(self) -> bool {
        self.strength() == 4
    }

    pub(super) fn is_logic(self) -> bool {
        matches!(self, Self::And | Self::Or)
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
