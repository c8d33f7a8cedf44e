//! A formula with its names resolved and its dimensions checked, ready to run.

use std::borrow::Cow;
use std::ops::Range;

use crate::quantity::{Arithmetic, Dimension, Exact};

use super::tree::{Calculation, Comparison, Logic};

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
    pub(super) reads: Vec<usize>,
    pub(super) typed: Typed,
}

impl Program {
    /// What the formula gives.
    pub fn shape(&self) -> Shape {
        match self.typed {
            Typed::Number(_, dimension) => Shape::Number(dimension),
            Typed::List(_, dimension) => Shape::List(dimension),
            Typed::Truth(_) => Shape::Truth,
        }
    }

    /// The slots that the formula reads, each once, lowest first.
    pub fn reads(&self) -> &[usize] {
        &self.reads
    }

    /// The number the formula gives, in coherent units.
    ///
    /// # Errors
    /// When an operation has no result, a slot it reads is not filled, or it gives no number.
    pub fn run(&self, slots: &[Slot]) -> Result<Exact, Fault> {
        match &self.typed {
            Typed::Number(op, _) => number(op, slots),
            Typed::List(op, _) => Err(op.fault(Arithmetic::NoValue)),
            Typed::Truth(op) => Err(op.fault(Arithmetic::NoValue)),
        }
    }

    /// The number or list that the formula gives.
    ///
    /// # Errors
    /// As [`Program::run`].
    pub fn run_slot(&self, slots: &[Slot]) -> Result<Slot, Fault> {
        match &self.typed {
            Typed::List(op, _) => Ok(Slot::List(list(op, slots)?.into_owned())),
            _ => self.run(slots).map(Slot::Number),
        }
    }

    /// Whether the condition holds.
    ///
    /// # Errors
    /// When an operation has no result, a slot it reads is not filled, or it gives no condition.
    pub fn holds(&self, slots: &[Slot]) -> Result<bool, Fault> {
        match &self.typed {
            Typed::Truth(op) => truth(op, slots),
            Typed::Number(op, _) => Err(op.fault(Arithmetic::NoValue)),
            Typed::List(op, _) => Err(op.fault(Arithmetic::NoValue)),
        }
    }
}

/// What a formula does, by what it gives.
#[derive(Clone, Debug)]
pub(super) enum Typed {
    Number(Op<Numeric>, Dimension),
    List(Op<List>, Dimension),
    Truth(Op<Truth>),
}

/// One operation. Places are kept as `u16`: a formula is at most a thousand letters long.
#[derive(Clone, Debug)]
pub(super) struct Op<K> {
    pub(super) kind: K,
    pub(super) at: (u16, u16),
}

impl<K> Op<K> {
    fn fault(&self, cause: Arithmetic) -> Fault {
        Fault { cause, range: usize::from(self.at.0)..usize::from(self.at.1) }
    }
}

/// What gives a number.
#[derive(Clone, Debug)]
pub(super) enum Numeric {
    Written(Exact),
    Slot(usize),
    Minus(Box<Op<Self>>),
    Calculate(Calculation, Box<(Op<Self>, Op<Self>)>),
    OfList(fn(&[Exact]) -> Result<Exact, Arithmetic>, Box<Op<List>>),
    OfNumber(fn(Exact) -> Result<Exact, Arithmetic>, Box<Op<Self>>),
    OfTwo(fn(Exact, Exact) -> Exact, Box<(Op<Self>, Op<Self>)>),
    OfThree(fn(Exact, Exact, Exact) -> Exact, Box<(Op<Self>, Op<Self>, Op<Self>)>),
    ListAndNumber(fn(&[Exact], Exact) -> Result<Exact, Arithmetic>, Box<(Op<List>, Op<Self>)>),
    /// How many values lie between two, or outside them.
    HowMany {
        outside: bool,
        of: Box<(Op<List>, Op<Self>, Op<Self>)>,
    },
}

/// What gives a list.
#[derive(Clone, Debug)]
pub(super) enum List {
    Slot(usize),
    Without(Box<(Op<Self>, Op<Numeric>)>),
    Together(Box<(Op<Self>, Op<Self>)>),
}

/// What gives true or false.
#[derive(Clone, Debug)]
pub(super) enum Truth {
    Not(Box<Op<Self>>),
    Join(Logic, Box<(Op<Self>, Op<Self>)>),
    Compare(Comparison, Box<(Op<Numeric>, Op<Numeric>)>),
}

fn number(op: &Op<Numeric>, slots: &[Slot]) -> Result<Exact, Fault> {
    let fault = |cause| op.fault(cause);
    match &op.kind {
        Numeric::Written(value) => Ok(*value),
        Numeric::Slot(slot) => match slots.get(*slot) {
            Some(Slot::Number(value)) => Ok(*value),
            _ => Err(fault(Arithmetic::NoValue)),
        },
        Numeric::Minus(inner) => Ok(number(inner, slots)?.neg()),
        Numeric::Calculate(sign, sides) => {
            let (left, right) = (number(&sides.0, slots)?, number(&sides.1, slots)?);
            match sign {
                Calculation::Plus => left.add(right),
                Calculation::Minus => left.sub(right),
                Calculation::Times => left.mul(right),
                Calculation::Over => left.div(right),
            }
            .map_err(fault)
        }
        Numeric::OfList(run, of) => run(&list(of, slots)?).map_err(fault),
        Numeric::OfNumber(run, of) => run(number(of, slots)?).map_err(fault),
        Numeric::OfTwo(run, of) => Ok(run(number(&of.0, slots)?, number(&of.1, slots)?)),
        Numeric::OfThree(run, of) => {
            Ok(run(number(&of.0, slots)?, number(&of.1, slots)?, number(&of.2, slots)?))
        }
        Numeric::ListAndNumber(run, of) => {
            run(&list(&of.0, slots)?, number(&of.1, slots)?).map_err(fault)
        }
        Numeric::HowMany { outside, of } => {
            let (low, high) = (number(&of.1, slots)?.settled(), number(&of.2, slots)?.settled());
            let bounds = low..=high;
            let is_counted = |x: &&Exact| bounds.contains(&x.settled()) != *outside;
            let counted = list(&of.0, slots)?.iter().filter(is_counted).count();
            Ok(Exact::whole(i64::try_from(counted).map_err(|_| fault(Arithmetic::Overflow))?))
        }
    }
}

fn list<'a>(op: &Op<List>, slots: &'a [Slot]) -> Result<Cow<'a, [Exact]>, Fault> {
    match &op.kind {
        List::Slot(slot) => match slots.get(*slot) {
            Some(Slot::List(values)) => Ok(Cow::Borrowed(values)),
            _ => Err(op.fault(Arithmetic::NoValue)),
        },
        List::Together(of) => {
            let mut values = list(&of.0, slots)?.into_owned();
            values.extend_from_slice(&list(&of.1, slots)?);
            Ok(Cow::Owned(values))
        }
        List::Without(of) => {
            let out = number(&of.1, slots)?;
            let mut values = list(&of.0, slots)?.into_owned();
            if let Some(index) = values.iter().position(|value| *value == out) {
                values.remove(index);
            }
            Ok(Cow::Owned(values))
        }
    }
}

fn truth(op: &Op<Truth>, slots: &[Slot]) -> Result<bool, Fault> {
    match &op.kind {
        Truth::Not(inner) => Ok(!truth(inner, slots)?),
        Truth::Join(Logic::And, sides) => Ok(truth(&sides.0, slots)? && truth(&sides.1, slots)?),
        Truth::Join(Logic::Or, sides) => Ok(truth(&sides.0, slots)? || truth(&sides.1, slots)?),
        Truth::Compare(comparison, sides) => {
            // What comes back from a third is compared as the whole that it was.
            let side = |op| number(op, slots).map(Exact::settled);
            let (left, right) = (side(&sides.0)?, side(&sides.1)?);
            Ok(match comparison {
                Comparison::Less => left < right,
                Comparison::AtMost => left <= right,
                Comparison::More => left > right,
                Comparison::AtLeast => left >= right,
                Comparison::Equal => left == right,
                Comparison::Different => left != right,
            })
        }
    }
}
