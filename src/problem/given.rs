//! Problems made from one's own numbers.

use std::fmt;
use std::sync::Arc;

use crate::bank::{Bank, Template};
use crate::draw::NoValue;
use crate::quantity::{Arithmetic, Dimension, Exact, Quantity, Typed, Unit};

use super::drawn::Solved;
use super::own_numbers::OwnNumbers;
use super::solve::{Rules, solve};
use super::{DrawProblem, Problem, Response};

/// One's own numbers for a template.
#[derive(Clone, Debug, Default)]
pub struct Given {
    /// Numbers by the name of the value: `capacity`, `drug.displacement_value`. A number without a
    /// unit is in the unit of the value.
    pub values: Vec<(String, GivenValue)>,
    /// Rows by the name of the pick: `drug` and `zinc-oxide`.
    pub rows: Vec<(String, String)>,
    /// Texts by the name of the field: `drug.name` and `paracetamol`.
    pub texts: Vec<(String, String)>,
}

/// A number of a problem from one's own numbers, and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NumberUsed {
    /// What it is, with the drug it belongs to: `displacement value of zinc oxide`.
    pub label: String,
    /// The number with its unit.
    pub number: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// Where a number comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// It was given.
    Given,
    /// It was taken from the facts, by the short name of the source.
    Taken(String),
    /// It is always the same in the template.
    Fixed,
    /// It follows from the others.
    Follows,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Given => f.write_str("given by you"),
            Self::Taken(source) => write!(f, "taken from {source}, not given by you"),
            Self::Fixed => f.write_str("always so in this template"),
            Self::Follows => f.write_str("follows from the others"),
        }
    }
}

/// A number or a list of numbers, as typed.
#[derive(Clone, Debug)]
pub enum GivenValue {
    /// One number.
    One(Typed),
    /// A list, for readings.
    Several(Vec<Typed>),
}

/// What is wrong with one's own numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GivenProblem {
    /// A value that the working needs was not given.
    Missing {
        /// Its name.
        name: String,
        /// Its label.
        label: String,
        /// Its unit.
        unit: Unit,
        /// Whether several readings are wanted.
        list: bool,
    },
    /// The template has no such value.
    Unknown {
        /// What was written.
        name: String,
        /// The nearest name.
        near: Option<String>,
    },
    /// A value was given more than once.
    Twice(String),
    /// The unit does not measure what the value is.
    WrongUnit {
        /// The value.
        name: String,
        /// Its unit.
        unit: Unit,
        /// What was written.
        found: Unit,
    },
    /// One number where a list is wanted, or the other way round.
    WrongCount {
        /// The value.
        name: String,
        /// Whether a list is wanted.
        list: bool,
    },
    /// The number cannot be what the value is.
    Impossible {
        /// The value.
        name: String,
        /// What it can be.
        expected: &'static str,
        /// What was written.
        found: Exact,
    },
    /// A value was not given, and sources differ on it.
    Differ {
        /// Its name.
        name: String,
        /// Its label.
        label: String,
        /// The values with their sources.
        values: Vec<(Quantity, String)>,
    },
    /// The table has no such row.
    UnknownRow {
        /// The pick.
        name: String,
        /// What was written.
        row: String,
        /// The nearest row.
        near: Option<String>,
    },
    /// A value or step has no result for these numbers.
    NoResult {
        /// Its label.
        label: String,
        /// Why.
        cause: Arithmetic,
    },
    /// An answer comes out below zero, or as nothing.
    Senseless {
        /// The label of the answer.
        label: String,
        /// What comes out.
        answer: Quantity,
    },
    /// A text of the template cannot be filled in.
    Text(DrawProblem),
}

impl Problem {
    /// The problem of a template for one's own numbers; it has no stem and no code.
    ///
    /// Wanted are the [`Problem::wanted_values`]. A value computed from others when drawn may be
    /// given itself; a pick may be given as a row, as single numbers, or both, where the numbers come
    /// before those of the row. A number of the row is taken only where its sources agree, and
    /// [`Problem::used`] says so. What the template requires of draws is not required here.
    ///
    /// # Errors
    /// Everything that is missing or wrong, all at once.
    pub fn from_values(
        bank: &Bank,
        template: &Arc<Template>,
        given: &Given,
    ) -> Result<Self, Vec<GivenProblem>> {
        let (draw, used) = OwnNumbers::lay_out(bank, template, given)?;
        let no_result = |none: NoValue| {
            let label = template.names[none.slot].label.clone();
            vec![GivenProblem::NoResult { label, cause: none.cause }]
        };
        let mut slots = draw.slots.clone();
        solve(Rules::of(template), &mut slots).map_err(no_result)?;
        let solved = Solved::new(template, draw, slots).map_err(no_result)?;
        let senseless: Vec<GivenProblem> = solved
            .responses()
            .filter_map(|(part, response)| match response {
                Response::Number(key) => {
                    let part = template.parts.get(part)?;
                    let label = || part.id.replace('_', " ");
                    let answer = Quantity::new(key.shown, key.unit);
                    let fits = key.is_sensible();
                    (!fits).then(|| GivenProblem::Senseless { label: label(), answer })
                }
                _ => None,
            })
            .collect();
        if !senseless.is_empty() {
            return Err(senseless);
        }
        let mut problem =
            solved.problem(bank, template).map_err(|problem| vec![GivenProblem::Text(problem)])?;
        problem.stem.clear();
        problem.used = used;
        Ok(problem)
    }
}

impl fmt::Display for GivenProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mean = |f: &mut fmt::Formatter<'_>, near: &Option<String>, otherwise: &str| match near {
            Some(near) => write!(f, "; did you mean `{near}`?"),
            None => f.write_str(otherwise),
        };
        match self {
            Self::Missing { name, label, unit, list } => {
                let numbers = match list {
                    true => "1.02, 1.04, 1.03",
                    false if unit.dimension() == Dimension::COUNT => "12",
                    false => "1.5",
                };
                let example = format!("{name}={numbers} {}", unit.symbol());
                write!(
                    f,
                    "expected `{name}` ({label}), found nothing; give it, as in `{}`",
                    example.trim_end()
                )
            }
            Self::Unknown { name, near } => {
                write!(f, "expected a value of the template, found `{name}`")?;
                mean(f, near, "; leave it out")
            }
            Self::Twice(name) => {
                write!(f, "expected `{name}` once, found it again; keep one of them")
            }
            Self::WrongUnit { name, unit, found } => write!(
                f,
                "expected {} for `{name}`, found {}; give it in {}",
                unit.dimension(),
                found.dimension(),
                if *unit == Unit::NUMBER { "no unit".to_owned() } else { unit.to_string() }
            ),
            Self::WrongCount { name, list: true } => write!(
                f,
                "expected several readings for `{name}`, found one number; put commas between them"
            ),
            Self::WrongCount { name, list: false } => {
                write!(f, "expected one number for `{name}`, found several; give one")
            }
            Self::Impossible { name, expected, found } => {
                write!(f, "expected {expected} for `{name}`, found {found}; look at it again")
            }
            Self::Differ { name, label, values } => {
                let each: Vec<String> =
                    values.iter().map(|(value, source)| format!("{value} ({source})")).collect();
                let example =
                    values.first().map(|(value, _)| value.to_string()).unwrap_or_default();
                let mark = if example.contains(' ') { "\"" } else { "" };
                write!(
                    f,
                    "expected `{name}` ({label}), found sources that differ: {}; give the one to use, \
                     as in {mark}{name}={example}{mark}",
                    crate::words::listed(&each, "and")
                )
            }
            Self::UnknownRow { name, row, near } => {
                write!(f, "expected a row that can be taken for `{name}`, found `{row}`")?;
                mean(f, near, "; give its numbers one by one instead")
            }
            Self::NoResult { label, cause } => {
                write!(f, "`{label}` has no result for these numbers: {cause}; look at them again")
            }
            Self::Senseless { label, answer } => write!(
                f,
                "`{label}` comes out as {answer}, which cannot be; look at the numbers again"
            ),
            Self::Text(problem) => problem.fmt(f),
        }
    }
}

impl std::error::Error for GivenProblem {}
