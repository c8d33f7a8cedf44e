//! A formula with its names resolved and its dimensions checked, ready to run.

use std::borrow::Cow;
use std::ops::Range;

use crate::quantity::{Arithmetic, Dimension, Exact};

use super::Function;
use super::function::Rule;
use super::tree::Operator;

/// What a formula gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A number of this dimension.
    Number(Dimension),
    /// A list of numbers of this dimension.
    List(Dimension),
    /// True or false.
    Truth,
}

/// The value of a name while a problem is solved, in coherent units.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Slot {
    /// Not yet filled.
    #[default]
    Empty,
    /// A number.
    Number(Exact),
    /// A list of numbers.
    List(Vec<Exact>),
}

/// The names that a formula may use.
pub trait Scope {
    /// The slot and the shape of a name.
    fn find(&self, name: &str) -> Option<(usize, Shape)>;
    /// Every name, for the suggestion after a misspelt one.
    fn names(&self) -> Vec<&str>;
}

/// Why a formula has no value for the numbers it was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What went wrong.
    pub cause: Arithmetic,
    /// The part of the formula, in bytes of its text.
    pub range: Range<usize>,
}

/// A formula ready to run on slots of coherent numbers.
#[derive(Clone, Debug)]
pub struct Program {
    pub(super) shape: Shape,
    pub(super) reads: Vec<usize>,
    pub(super) op: Op,
}

impl Program {
    /// What the formula gives.
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// The slots that the formula reads, each once, lowest first.
    pub fn reads(&self) -> &[usize] {
        &self.reads
    }

    /// The number the formula gives, in coherent units.
    ///
    /// # Errors
    /// When an operation has no result, or a slot it reads is not filled.
    pub fn run(&self, slots: &[Slot]) -> Result<Exact, Fault> {
        number(&self.op, slots)
    }

    /// The number or list that the formula gives.
    ///
    /// # Errors
    /// As [`Program::run`].
    pub fn run_slot(&self, slots: &[Slot]) -> Result<Slot, Fault> {
        match self.shape {
            Shape::List(_) => Ok(Slot::List(list(&self.op, slots)?.into_owned())),
            _ => number(&self.op, slots).map(Slot::Number),
        }
    }

    /// Whether the condition holds.
    ///
    /// # Errors
    /// As [`Program::run`].
    pub fn holds(&self, slots: &[Slot]) -> Result<bool, Fault> {
        truth(&self.op, slots)
    }
}

/// One operation. Places are kept as `u16`: a formula is at most a thousand letters long.
#[derive(Clone, Debug)]
pub(super) struct Op {
    pub(super) kind: OpKind,
    pub(super) at: (u16, u16),
}

#[derive(Clone, Debug)]
pub(super) enum OpKind {
    Number(Exact),
    Slot(usize),
    Minus(Box<Op>),
    Not(Box<Op>),
    Pair(Operator, Box<(Op, Op)>),
    Call(&'static Function, Vec<Op>),
}

fn number(op: &Op, slots: &[Slot]) -> Result<Exact, Fault> {
    let fault = |cause| fault(op, cause);
    match &op.kind {
        OpKind::Number(value) => Ok(*value),
        OpKind::Slot(slot) => match slots.get(*slot) {
            Some(Slot::Number(value)) => Ok(*value),
            _ => Err(fault(Arithmetic::TooFewValues)),
        },
        OpKind::Minus(inner) => Ok(number(inner, slots)?.neg()),
        OpKind::Pair(operator, sides) => {
            let (left, right) = (number(&sides.0, slots)?, number(&sides.1, slots)?);
            match operator {
                Operator::Plus => left.add(right),
                Operator::Minus => left.sub(right),
                Operator::Times => left.mul(right),
                _ => left.div(right),
            }
            .map_err(fault)
        }
        OpKind::Call(function, given) => call(function, given, slots, &fault),
        OpKind::Not(_) => Err(fault(Arithmetic::TooFewValues)),
    }
}

fn call(
    function: &Function,
    given: &[Op],
    slots: &[Slot],
    fault: &dyn Fn(Arithmetic) -> Fault,
) -> Result<Exact, Fault> {
    match (&function.rule, given) {
        (Rule::OfList(_, run), [a]) => run(&list(a, slots)?).map_err(fault),
        (Rule::OfNumber(_, run), [a]) => run(number(a, slots)?).map_err(fault),
        (Rule::OfTwo(run), [a, b]) => Ok(run(number(a, slots)?, number(b, slots)?)),
        (Rule::OfThree(run), [a, b, c]) => {
            Ok(run(number(a, slots)?, number(b, slots)?, number(c, slots)?))
        }
        (Rule::ListAndNumber(run), [a, b]) => {
            run(&list(a, slots)?, number(b, slots)?).map_err(fault)
        }
        (Rule::HowMany { outside }, [a, b, c]) => {
            let (low, high) = (number(b, slots)?.settled(), number(c, slots)?.settled());
            let bounds = low..=high;
            let counted = list(a, slots)?
                .iter()
                .filter(|x| bounds.contains(&x.settled()) != *outside)
                .count();
            Ok(Exact::whole(i64::try_from(counted).unwrap_or(i64::MAX)))
        }
        _ => Err(fault(Arithmetic::TooFewValues)),
    }
}

fn list<'a>(op: &Op, slots: &'a [Slot]) -> Result<Cow<'a, [Exact]>, Fault> {
    match &op.kind {
        OpKind::Slot(slot) => match slots.get(*slot) {
            Some(Slot::List(values)) => Ok(Cow::Borrowed(values)),
            _ => Err(fault(op, Arithmetic::TooFewValues)),
        },
        OpKind::Call(Function { rule: Rule::Together, .. }, given) => {
            let mut values = Vec::new();
            for part in given {
                values.extend_from_slice(&list(part, slots)?);
            }
            Ok(Cow::Owned(values))
        }
        OpKind::Call(_, given) => {
            let [from, out] = given.as_slice() else {
                return Err(fault(op, Arithmetic::TooFewValues));
            };
            let out = number(out, slots)?;
            let mut values = list(from, slots)?.into_owned();
            if let Some(place) = values.iter().position(|value| *value == out) {
                values.remove(place);
            }
            Ok(Cow::Owned(values))
        }
        _ => Err(fault(op, Arithmetic::TooFewValues)),
    }
}

fn truth(op: &Op, slots: &[Slot]) -> Result<bool, Fault> {
    match &op.kind {
        OpKind::Not(inner) => Ok(!truth(inner, slots)?),
        OpKind::Pair(Operator::And, sides) => {
            Ok(truth(&sides.0, slots)? && truth(&sides.1, slots)?)
        }
        OpKind::Pair(Operator::Or, sides) => Ok(truth(&sides.0, slots)? || truth(&sides.1, slots)?),
        OpKind::Pair(operator, sides) => {
            // What comes back from a third is compared as the whole that it was.
            let side = |op| number(op, slots).map(Exact::settled);
            let (left, right) = (side(&sides.0)?, side(&sides.1)?);
            Ok(match operator {
                Operator::Less => left < right,
                Operator::AtMost => left <= right,
                Operator::More => left > right,
                Operator::AtLeast => left >= right,
                Operator::Different => left != right,
                _ => left == right,
            })
        }
        _ => Err(fault(op, Arithmetic::TooFewValues)),
    }
}

fn fault(op: &Op, cause: Arithmetic) -> Fault {
    Fault { cause, range: usize::from(op.at.0)..usize::from(op.at.1) }
}
