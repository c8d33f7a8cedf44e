//! Laying out one's own numbers as a draw.

use std::collections::BTreeSet;

use crate::bank::{Bank, Rule, Template, Value};
use crate::draw::{Draw, NoValue};
use crate::formula::{Shape, Slot, nearest};
use crate::quantity::{Arithmetic, Dimension, Exact, Quantity, Typed};

use super::{Given, GivenProblem, GivenValue, Problem};

impl Problem {
    /// The slots that one's own numbers must fill: the values that the working, the answers and the
    /// sentences around them use.
    pub fn wanted_values(bank: &Bank, template: &Template) -> Vec<usize> {
        let mut wanted = read_by_working(template);
        wanted.extend(named_in_texts(bank, template));
        for step in template.workings().flatten() {
            wanted.remove(&step.slot);
        }
        wanted.into_iter().collect()
    }
}

fn read_by_working(template: &Template) -> BTreeSet<usize> {
    let steps = template.workings().flatten();
    let steps = steps.flat_map(|step| step.program.reads().iter().copied());
    let answers = template.parts.iter().flat_map(|part| part.wanted.reads());
    steps.chain(answers).chain(template.batch.iter().map(|row| row.all)).collect()
}

/// The numbers named in questions, in the sentences of the working and in the batch table. Stems are
/// not shown with one's own numbers, and what slips say can do without.
fn named_in_texts(bank: &Bank, template: &Template) -> BTreeSet<usize> {
    let asks = template.parts.iter().map(|part| format!("ask/{}", part.id));
    let says = template.working.iter().map(|step| &template.names[step.slot].name);
    let says = says.map(|name| format!("say/{name}"));
    let rows = (0..template.batch.len()).map(|row| format!("batch/{row}"));
    let verdicts = template.parts.iter().flat_map(|part| {
        let count = part.wanted.verdict().map_or(0, |plan| plan.choices.len());
        (0..count)
            .flat_map(|n| ["verdict", "because"].map(|what| format!("{what}/{}/{n}", part.id)))
    });
    let texts = asks.chain(says).chain(rows).chain(verdicts);
    let texts =
        texts.filter_map(|text| bank.texts().get_template(&format!("{}#{text}", template.id)).ok());
    let names: BTreeSet<String> = texts.flat_map(|text| text.undeclared_variables(true)).collect();
    let is_named = |slot: &usize| {
        let name = &template.names[*slot].name;
        // `capacity.number` names `capacity`.
        names.iter().any(|named| {
            named.strip_prefix(name.as_str()).is_some_and(|rest| matches!(rest, "" | ".number"))
        })
    };
    (0..template.names.len()).filter(is_named).collect()
}

/// What stands for the source of a number that comes from no table.
const OWN_SOURCE: &str = "your own value";

/// Where one's own numbers are laid out.
#[derive(Debug)]
pub(super) struct Desk<'a> {
    template: &'a Template,
    draw: Draw,
    /// The slots given one by one, which come before those of rows.
    own: Vec<usize>,
    problems: Vec<GivenProblem>,
}

impl<'a> Desk<'a> {
    /// The draw of the given numbers, with what follows from them and what is always the same.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub(super) fn lay_out(
        bank: &Bank,
        template: &'a Template,
        given: &Given,
    ) -> Result<Draw, Vec<GivenProblem>> {
        let mut desk =
            Self { template, draw: Draw::empty(template), own: Vec::new(), problems: Vec::new() };
        desk.refuse_doubles(given);
        for (name, row) in &given.rows {
            desk.fill_row(name, row);
        }
        for (name, value) in &given.values {
            desk.fill_value(name, value);
        }
        desk.fill_rest();
        desk.name_own_sources();
        desk.find_missing(&Problem::wanted_values(bank, template), given);
        if desk.problems.is_empty() { Ok(desk.draw) } else { Err(desk.problems) }
    }

    fn refuse_doubles(&mut self, given: &Given) {
        let values = given.values.iter().map(|(name, _)| name);
        let mut seen = BTreeSet::new();
        for name in values.chain(given.rows.iter().map(|(name, _)| name)) {
            if !seen.insert(name) {
                self.problems.push(GivenProblem::Twice(name.clone()));
            }
        }
    }

    fn fill_row(&mut self, name: &str, row: &str) {
        let template = self.template;
        let pick = template.values.iter().find(|value| value.name == *name);
        let Some(Value { rule: Rule::Pick { options, slots, fields, .. }, .. }) = pick else {
            return self.unknown(name);
        };
        let Some(option) = options.iter().find(|option| option.row == *row) else {
            let rows = options.iter().map(|option| option.row.as_str());
            let near = nearest(row, rows).map(str::to_owned);
            let (name, row) = (name.to_owned(), row.to_owned());
            return self.problems.push(GivenProblem::UnknownRow { name, row, near });
        };
        let set = self.draw.set_row(template, name, option, slots, fields);
        self.note(set);
    }

    fn fill_value(&mut self, name: &str, value: &GivenValue) {
        let template = self.template;
        let Some(slot) = template.slot(name) else {
            return self.unknown(name);
        };
        if template.is_step(slot) {
            return self.unknown(name);
        }
        let list = matches!(template.names[slot].shape, Shape::List(_));
        let numbers: Option<Vec<Exact>> = match value {
            GivenValue::One(typed) if !list => self.number(slot, *typed).map(|number| vec![number]),
            GivenValue::Several(typed) if list => {
                typed.iter().map(|typed| self.number(slot, *typed)).collect()
            }
            _ => {
                return self
                    .problems
                    .push(GivenProblem::WrongCount { name: name.to_owned(), list });
            }
        };
        let Some(numbers) = numbers else { return };
        self.own.push(slot);
        let set = match numbers.as_slice() {
            [number] if !list => self.draw.set(template, slot, *number),
            _ => self.draw.set_list(template, slot, numbers),
        };
        self.note(set);
    }

    /// The number in the unit of the slot; `None` when it cannot be, which is noted.
    fn number(&mut self, slot: usize, typed: Typed) -> Option<Exact> {
        let name = &self.template.names[slot];
        let number = match typed.unit {
            None => Ok(typed.number),
            // What one unit weighs is said in grams.
            Some(found) => [name.unit, name.unit.without_divisor()]
                .into_iter()
                .find_map(|unit| Quantity::new(typed.number, found).convert(unit))
                .unwrap_or(Err(Arithmetic::NoValue))
                .map(|quantity| quantity.number)
                .map_err(|cause| (found, cause)),
        };
        let problem = match number {
            Ok(number) => match impossible(self.template, slot, number) {
                None => return Some(number),
                Some(expected) => GivenProblem::Impossible {
                    name: name.name.clone(),
                    expected,
                    found: typed.number,
                },
            },
            Err((_, cause @ Arithmetic::Overflow)) => {
                GivenProblem::NoResult { label: name.label.clone(), cause }
            }
            Err((found, _)) => {
                GivenProblem::WrongUnit { name: name.name.clone(), unit: name.unit, found }
            }
        };
        self.problems.push(problem);
        None
    }

    /// Fixed values, values that follow from what was given, and texts that nobody gave.
    fn fill_rest(&mut self) {
        let template = self.template;
        for value in &template.values {
            match &value.rule {
                Rule::Fixed { slot, number } if self.draw.slots[*slot] == Slot::Empty => {
                    let set = self.draw.set(template, *slot, *number);
                    self.note(set);
                }
                Rule::Derived { slot, program, rounding, .. }
                    if self.draw.slots[*slot] == Slot::Empty =>
                {
                    let unit = template.names[*slot].unit;
                    // What it follows from may be missing; then it is missing itself if it is needed.
                    let worked = program.run(&self.draw.slots);
                    if let Ok(Ok(number)) = worked.map(|number| unit.from_coherent(number)) {
                        let set = self.draw.set(template, *slot, rounding.of_result(number));
                        self.note(set);
                    }
                }
                Rule::Pick { fields, .. } => {
                    for field in fields {
                        let text = value.name.replace('_', " ");
                        let text = if field.ends_with("_source") { OWN_SOURCE } else { &text };
                        self.text(&value.name, field, text);
                    }
                }
                Rule::Words { fields, options } => {
                    for (field, text) in fields.iter().zip(options.first().into_iter().flatten()) {
                        self.text(&value.name, field, text);
                    }
                }
                _ => {}
            }
        }
    }

    /// Sets a text that nobody set before.
    fn text(&mut self, value: &str, field: &str, text: &str) {
        let name = if field.is_empty() { value.to_owned() } else { format!("{value}.{field}") };
        if !self.draw.texts.iter().any(|(known, _)| *known == name) {
            self.draw.texts.push((name, text.to_owned()));
        }
    }

    /// A number of one's own has no source in the tables.
    fn name_own_sources(&mut self) {
        for (name, text) in &mut self.draw.texts {
            let Some(column) = name.strip_suffix("_source") else { continue };
            let slot = self.template.slot(column);
            if slot.is_some_and(|slot| self.own.contains(&slot)) {
                OWN_SOURCE.clone_into(text);
            }
        }
    }

    fn find_missing(&mut self, wanted: &[usize], given: &Given) {
        for slot in wanted {
            let name = &self.template.names[*slot];
            // A value that was given but could not be read is complained about already.
            let is_given = given.values.iter().any(|(known, _)| *known == name.name);
            if self.draw.slots[*slot] == Slot::Empty && !is_given {
                self.problems.push(GivenProblem::Missing {
                    name: name.name.clone(),
                    label: name.label.clone(),
                    unit: name.unit,
                    list: matches!(name.shape, Shape::List(_)),
                });
            }
        }
    }

    fn unknown(&mut self, name: &str) {
        let template = self.template;
        let steps: Vec<usize> = template.working.iter().map(|step| step.slot).collect();
        let names = template.names.iter().enumerate();
        let names = names.filter(|(slot, _)| !steps.contains(slot));
        let values = template.values.iter().map(|value| value.name.as_str());
        let near = nearest(name, names.map(|(_, known)| known.name.as_str()).chain(values));
        let near = near.map(str::to_owned);
        self.problems.push(GivenProblem::Unknown { name: name.to_owned(), near });
    }

    fn note(&mut self, set: Result<(), NoValue>) {
        if let Err(none) = set {
            let label = self.template.names[none.slot].label.clone();
            self.problems.push(GivenProblem::NoResult { label, cause: none.cause });
        }
    }
}

/// What a value can be, when this number is not among it.
fn impossible(template: &Template, slot: usize, number: Exact) -> Option<&'static str> {
    let dimension = template.names[slot].unit.dimension();
    if dimension == Dimension::COUNT {
        let fits = number.is_whole() && number.is_positive();
        return (!fits).then_some("a whole number above zero");
    }
    // A departure from a nominal value goes either way, and so does the Celsius scale.
    let goes_below = template.values.iter().any(|value| match &value.rule {
        Rule::Grid { slot: of, from, .. } => *of == slot && from.is_negative(),
        Rule::Choice { slot: of, numbers } => {
            *of == slot && numbers.iter().any(|number| number.is_negative())
        }
        Rule::Fixed { slot: of, number } => *of == slot && number.is_negative(),
        _ => false,
    });
    let fits = !number.is_negative() || goes_below || dimension == Dimension::TEMPERATURE;
    (!fits).then_some("a number of zero or more")
}
