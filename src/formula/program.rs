//! A formula ready to run.
use crate::quantity::{Arithmetic, Dimension, Exact};
use std::ops::Range;
/// A parsed formula.
#[derive(Clone, Debug)]
pub struct Formula;
/// A compiled formula.
#[derive(Clone, Debug)]
pub struct Program;
/// What is wrong with a formula.
#[derive(Clone, Debug)]
pub struct FormulaProblem {
    /// Where.
    pub range: Range<usize>,
    /// What.
    pub what: String,
    /// At the caret.
    pub label: String,
    /// What to do.
    pub help: Option<String>,
}
/// What a formula gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A number.
    Number(Dimension),
    /// A list of numbers.
    List(Dimension),
    /// True or false.
    Truth,
}
/// The value of a name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Slot {
    /// Not filled yet.
    #[default]
    Empty,
    /// A number in coherent units.
    Number(Exact),
    /// A list.
    List(Vec<Exact>),
}
/// Why a formula has no value for some numbers.
#[derive(Clone, Debug)]
pub struct Fault {
    /// The cause.
    pub cause: Arithmetic,
    /// The operation.
    pub range: Range<usize>,
}
/// The names a formula may use.
pub trait Scope {
    /// Slot and shape of a name.
    fn find(&self, name: &str) -> Option<(usize, Shape)>;
    /// All names.
    fn names(&self) -> Vec<&str>;
}
/// How names and numbers are shown.
pub trait Words {
    /// The label of a name.
    fn label(&self, name: &str) -> String;
    /// The number of a name.
    fn number(&self, name: &str) -> Vec<String>;
}
