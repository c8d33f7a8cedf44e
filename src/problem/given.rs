//! Problems made from one's own numbers.

use std::fmt;
use std::sync::Arc;

use crate::bank::{Bank, PickOption, Rule, Template, Value};
use crate::draw::Draw;
use crate::formula::{Shape, Slot, nearest};
use crate::quantity::{Arithmetic, Exact, Quantity, Typed, Unit};

use super::drawn::Solved;
use super::solve::{Rules, solve};
use super::{DrawProblem, Problem};

/// One's own numbers for a template.
#[derive(Clone, Debug, Default)]
pub struct Given {
    /// Numbers by the name of the value: `capacity`, `drug.displacement_value`.
    pub values: Vec<(String, GivenValue)>,
    /// Rows by the name of the pick: `drug` and `zinc-oxide`.
    pub rows: Vec<(String, String)>,
}

/// A number or a list of numbers, as typed.
#[derive(Clone, Debug)]
pub enum GivenValue {
    /// One number.
    One(Typed),
    /// A list, for measured masses.
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
    /// The table has no such row.
    UnknownRow {
        /// The pick.
        name: String,
        /// What was written.
        row: String,
        /// The nearest row.
        near: Option<String>,
    },
    /// A step of the working has no result for these numbers.
    NoResult {
        /// The label of the step.
        step: String,
        /// Why.
        cause: Arithmetic,
    },
    /// A text of the template cannot be filled in.
    Text(DrawProblem),
}

impl fmt::Display for GivenProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing { name, label, unit, list } => {
                let example = match (unit.symbol().as_str(), list) {
                    ("", false) => format!("{name}=12"),
                    (symbol, false) => format!("\"{name}=1.02 {symbol}\""),
                    (symbol, true) => format!("\"{name}=1.02, 1.04, 1.03 {symbol}\""),
                };
                write!(
                    f,
                    "`{name}` ({label}) is missing; give it, such as {}",
                    example.replace(" \"", "\"")
                )
            }
            Self::Unknown { name, near } => {
                write!(f, "the template has no value `{name}`")?;
                match near {
                    Some(near) => write!(f, "; did you mean `{near}`?"),
                    None => f.write_str("; leave it out"),
                }
            }
            Self::WrongUnit { name, unit, found } => write!(
                f,
                "expected {} for `{name}`, found {}; give it in {unit}",
                unit.dimension(),
                found.dimension()
            ),
            Self::WrongCount { name, list: true } => write!(
                f,
                "expected several readings for `{name}`, found one number; separate them by commas and blanks"
            ),
            Self::WrongCount { name, list: false } => {
                write!(f, "expected one number for `{name}`, found several; give one")
            }
            Self::UnknownRow { name, row, near } => {
                write!(f, "there is no `{row}` to take for `{name}`")?;
                match near {
                    Some(near) => write!(f, "; did you mean `{near}`?"),
                    None => write!(f, "; give its numbers instead, such as {name}.name or a value"),
                }
            }
            Self::NoResult { step, cause } => {
                write!(
                    f,
                    "the step `{step}` has no result for these numbers: {cause}; look at them again"
                )
            }
            Self::Text(problem) => problem.fmt(f),
        }
    }
}

impl std::error::Error for GivenProblem {}

impl Problem {
    /// The problem of a template for one's own numbers; it has no stem and no code.
    ///
    /// Wanted are the values that the working reads. A value computed from others when drawn may be
    /// given itself; a pick may be given as a row, as single numbers, or both, the numbers first.
    ///
    /// # Errors
    /// Everything that is missing or wrong, all at once.
    pub fn from_values(
        bank: &Bank,
        template: &Arc<Template>,
        given: &Given,
    ) -> Result<Self, Vec<GivenProblem>> {
        let mut desk = Desk::new(template);
        desk.fill_rows(given);
        desk.fill_values(given);
        desk.fill_rest();
        desk.find_missing();
        if !desk.problems.is_empty() {
            return Err(desk.problems);
        }
        let draw = desk.draw;
        let mut slots = draw.slots.clone();
        let no_result = |slot: usize, cause| {
            vec![GivenProblem::NoResult { step: template.names[slot].label.clone(), cause }]
        };
        solve(Rules::of(template), &mut slots)
            .map_err(|(slot, fault)| no_result(slot, fault.cause))?;
        let last = template.working.last().map_or(0, |step| step.slot);
        let solved = Solved::new(template, draw, slots)
            .ok_or_else(|| no_result(last, Arithmetic::Overflow))?;
        let mut problem =
            solved.problem(bank, template).map_err(|problem| vec![GivenProblem::Text(problem)])?;
        problem.stem.clear();
        Ok(problem)
    }

    /// The values that the working of a template reads, by slot: what one's own numbers must tell.
    pub fn wanted_values(template: &Template) -> Vec<usize> {
        let steps: Vec<usize> = template.working.iter().map(|step| step.slot).collect();
        let mut wanted: Vec<usize> = template
            .working
            .iter()
            .flat_map(|step| step.program.reads().iter().copied())
            .filter(|slot| !steps.contains(slot))
            .collect();
        wanted.sort_unstable();
        wanted.dedup();
        wanted
    }
}

/// Where one's own numbers are laid out.
struct Desk<'a> {
    template: &'a Template,
    draw: Draw,
    problems: Vec<GivenProblem>,
}

impl<'a> Desk<'a> {
    fn new(template: &'a Template) -> Self {
        let empty = vec![Slot::Empty; template.names.len()];
        let draw =
            Draw { place: 0, slots: empty.clone(), written: empty, texts: Vec::new(), wording: 0 };
        Self { template, draw, problems: Vec::new() }
    }

    fn fill_rows(&mut self, given: &Given) {
        for (name, row) in &given.rows {
            let pick = self.template.values.iter().find(|value| value.name == *name);
            let Some(Value { rule: Rule::Pick { options, slots, fields }, .. }) = pick else {
                let near = self.nearest_name(name);
                self.problems.push(GivenProblem::Unknown { name: name.clone(), near });
                continue;
            };
            match options.iter().find(|option| option.row == *row) {
                Some(option) => self.fill_row(name, option, slots, fields),
                None => {
                    let rows = options.iter().map(|option| option.row.as_str());
                    let near = nearest(row, rows).map(str::to_owned);
                    let (name, row) = (name.clone(), row.clone());
                    self.problems.push(GivenProblem::UnknownRow { name, row, near });
                }
            }
        }
    }

    fn fill_row(&mut self, name: &str, option: &PickOption, slots: &[usize], fields: &[String]) {
        for (slot, number) in slots.iter().zip(&option.numbers) {
            self.put(*slot, *number);
        }
        for (field, text) in fields.iter().zip(&option.texts) {
            self.draw.texts.push((format!("{name}.{field}"), text.clone()));
        }
    }

    fn fill_values(&mut self, given: &Given) {
        for (name, value) in &given.values {
            let slot = self.template.names.iter().position(|known| known.name == *name);
            let Some(slot) = slot else {
                let near = self.nearest_name(name);
                self.problems.push(GivenProblem::Unknown { name: name.clone(), near });
                continue;
            };
            let list = matches!(self.template.names[slot].shape, Shape::List(_));
            match value {
                GivenValue::One(typed) if !list => {
                    if let Some(number) = self.in_unit(slot, *typed) {
                        self.put(slot, number);
                    }
                }
                GivenValue::Several(typed) if list => self.put_list(slot, typed),
                _ => self.problems.push(GivenProblem::WrongCount { name: name.clone(), list }),
            }
        }
    }

    fn put_list(&mut self, slot: usize, typed: &[Typed]) {
        let unit = self.template.names[slot].unit;
        let mut numbers = Vec::with_capacity(typed.len());
        for one in typed {
            let Some(number) = self.in_unit(slot, *one) else { return };
            numbers.push(number);
        }
        let coherent = numbers.iter().map(|number| unit.to_coherent(*number)).collect();
        if let Ok(coherent) = coherent {
            self.draw.slots[slot] = Slot::List(coherent);
            self.draw.written[slot] = Slot::List(numbers);
        }
    }

    /// The number in the unit of the slot; notes a unit that measures something else.
    fn in_unit(&mut self, slot: usize, typed: Typed) -> Option<Exact> {
        let name = &self.template.names[slot];
        let Some(found) = typed.unit else { return Some(typed.number) };
        let wanted = [name.unit, name.unit.without_divisor()];
        let fits = wanted.iter().find(|unit| unit.dimension() == found.dimension());
        let number = fits.and_then(|unit| Quantity::new(typed.number, found).convert(*unit));
        match number {
            Some(Ok(quantity)) => Some(quantity.number),
            _ => {
                let (name, unit) = (name.name.clone(), name.unit);
                self.problems.push(GivenProblem::WrongUnit { name, unit, found });
                None
            }
        }
    }

    fn put(&mut self, slot: usize, number: Exact) {
        if let Ok(coherent) = self.template.names[slot].unit.to_coherent(number) {
            self.draw.slots[slot] = Slot::Number(coherent);
            self.draw.written[slot] = Slot::Number(number);
        }
    }

    /// Fixed values, values that follow from what was given, and texts that nobody gave.
    fn fill_rest(&mut self) {
        for value in &self.template.values {
            match &value.rule {
                Rule::Fixed { slot, number } if self.draw.slots[*slot] == Slot::Empty => {
                    self.put(*slot, *number);
                }
                Rule::Derived { slot, program, rounding, .. }
                    if self.draw.slots[*slot] == Slot::Empty =>
                {
                    let unit = self.template.names[*slot].unit;
                    if let Ok(number) = program.run(&self.draw.slots)
                        && let Ok(number) = unit.from_coherent(number)
                    {
                        self.put(*slot, rounding.apply(number));
                    }
                }
                Rule::Pick { fields, .. } => {
                    for field in fields {
                        let name = format!("{}.{field}", value.name);
                        if !self.draw.texts.iter().any(|(known, _)| *known == name) {
                            let text = if field.ends_with("_source") {
                                "your own value".to_owned()
                            } else {
                                value.name.replace('_', " ")
                            };
                            self.draw.texts.push((name, text));
                        }
                    }
                }
                Rule::Words { fields, options } => {
                    for (field, text) in fields.iter().zip(options.first().into_iter().flatten()) {
                        let name = match field.as_str() {
                            "" => value.name.clone(),
                            field => format!("{}.{field}", value.name),
                        };
                        self.draw.texts.push((name, text.clone()));
                    }
                }
                _ => {}
            }
        }
    }

    fn find_missing(&mut self) {
        for slot in Problem::wanted_values(self.template) {
            if self.draw.slots[slot] == Slot::Empty {
                let name = &self.template.names[slot];
                // A value that was given with a wrong unit is complained about already.
                let known = self.problems.iter().any(|problem| match problem {
                    GivenProblem::WrongUnit { name: other, .. }
                    | GivenProblem::WrongCount { name: other, .. } => *other == name.name,
                    _ => false,
                });
                if !known {
                    self.problems.push(GivenProblem::Missing {
                        name: name.name.clone(),
                        label: name.label.clone(),
                        unit: name.unit,
                        list: matches!(name.shape, Shape::List(_)),
                    });
                }
            }
        }
    }

    fn nearest_name(&self, name: &str) -> Option<String> {
        let names = self.template.names.iter().map(|known| known.name.as_str());
        let values = self.template.values.iter().map(|value| value.name.as_str());
        nearest(name, names.chain(values)).map(str::to_owned)
    }
}
