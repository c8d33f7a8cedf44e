//! Laying out one's own numbers as a draw.

use std::collections::{BTreeMap, BTreeSet};

use crate::bank::{Bank, PickOption, Template, Value, ValueRule};
use crate::draw::{Draw, NoValue};
use crate::formula::{Shape, Slot, nearest};
use crate::quantity::{Arithmetic, Dimension, Exact, Quantity, Typed};

use super::{Given, GivenProblem, GivenValue, NumberUsed, Origin, Problem};

/// What stands for the source of a number that comes from no table.
const OWN_SOURCE: &str = "your own value";

/// One's own numbers while they are laid out as a draw.
#[derive(Debug)]
pub(super) struct OwnNumbers<'a> {
    template: &'a Template,
    draw: Draw,
    /// The slots that are needed.
    needed: BTreeSet<usize>,
    /// Where the number of a slot comes from.
    origins: BTreeMap<usize, Origin>,
    problems: Vec<GivenProblem>,
}

impl<'a> OwnNumbers<'a> {
    /// The draw of the given numbers, with what follows from them and what is always the same; and
    /// where each number comes from.
    ///
    /// # Errors
    /// Everything that is missing or wrong.
    pub(super) fn lay_out(
        bank: &Bank,
        template: &'a Template,
        given: &Given,
    ) -> Result<(Draw, Vec<NumberUsed>), Vec<GivenProblem>> {
        let wanted = Problem::wanted_values(bank, template);
        let mut own = Self {
            template,
            draw: Draw::empty(template),
            needed: wanted.iter().copied().collect(),
            origins: BTreeMap::new(),
            problems: Vec::new(),
        };
        own.refuse_doubles(given);
        for (name, text) in &given.texts {
            own.draw.texts.push((name.clone(), text.clone()));
        }
        for (name, value) in &given.values {
            own.fill_value(name, value);
        }
        own.need_what_others_follow_from();
        for (name, row) in &given.rows {
            own.fill_row(name, row);
        }
        own.fill_rest();
        own.name_own_sources();
        own.find_missing(&wanted, given);
        if own.problems.is_empty() { Ok(own.finish()) } else { Err(own.problems) }
    }

    /// The draw, and every number that is needed with where it comes from.
    fn finish(self) -> (Draw, Vec<NumberUsed>) {
        let mut used = Vec::new();
        for (slot, name) in self.template.names.iter().enumerate() {
            let Some(origin) = self.origins.get(&slot).filter(|_| self.needed.contains(&slot))
            else {
                continue;
            };
            let shown = |number: &Exact| Quantity::new(*number, name.unit).to_string();
            let number = match &self.draw.written[slot] {
                Slot::Number(number) => shown(number),
                Slot::List(numbers) => numbers.iter().map(shown).collect::<Vec<_>>().join(", "),
                Slot::Empty => continue,
            };
            used.push(NumberUsed { label: self.label(slot), number, origin: origin.clone() });
        }
        (self.draw, used)
    }

    /// The label of a number, with the name of the drug it belongs to.
    fn label(&self, slot: usize) -> String {
        let name = &self.template.names[slot];
        let of = name.name.split_once('.').and_then(|(value, _)| {
            let field = format!("{value}.name");
            let text = self.draw.texts.iter().find(|(known, _)| *known == field);
            text.map(|(_, text)| text.as_str())
        });
        match of {
            Some(of) if of != "drug" && !name.label.contains(of) => {
                format!("{} of {of}", name.label)
            }
            _ => name.label.clone(),
        }
    }

    /// Adds the columns of rows that a needed value follows from, where everything else that it follows
    /// from is known.
    fn need_what_others_follow_from(&mut self) {
        let template = self.template;
        let of_rows: BTreeSet<usize> = template
            .values
            .iter()
            .filter_map(|value| match &value.rule {
                ValueRule::Pick { slots, .. } => Some(slots),
                _ => None,
            })
            .flatten()
            .copied()
            .collect();
        let fixed = |slot: usize| {
            let mut rules = template.values.iter().map(|value| &value.rule);
            rules.any(|rule| matches!(rule, ValueRule::Fixed { slot: of, .. } if *of == slot))
        };
        // Later values may follow from earlier ones.
        for value in template.values.iter().rev() {
            let ValueRule::Derived { slot, program, .. } = &value.rule else { continue };
            if !self.needed.contains(slot) || self.origins.contains_key(slot) {
                continue;
            }
            let reads = program.reads();
            let is_known = |slot: &usize| {
                of_rows.contains(slot) || self.origins.contains_key(slot) || fixed(*slot)
            };
            if reads.iter().all(is_known) {
                self.needed.extend(reads.iter().copied());
            }
        }
    }

    fn refuse_doubles(&mut self, given: &Given) {
        let values = given.values.iter().map(|(name, _)| name);
        let mut seen = BTreeSet::new();
        let texts = given.texts.iter().map(|(name, _)| name);
        for name in values.chain(given.rows.iter().map(|(name, _)| name)).chain(texts) {
            if !seen.insert(name) {
                self.problems.push(GivenProblem::Twice(name.clone()));
            }
        }
    }

    fn fill_row(&mut self, name: &str, row: &str) {
        let template = self.template;
        let pick = template.values.iter().find(|value| value.name == *name);
        let Some(Value { rule: ValueRule::Pick { options, slots, fields, .. }, .. }) = pick else {
            return self.unknown(name);
        };
        let matching: Vec<&PickOption> =
            options.iter().filter(|option| option.row == *row).collect();
        let Some(first) = matching.first() else {
            let rows = options.iter().map(|option| option.row.as_str());
            let near = nearest(row, rows).map(str::to_owned);
            let (name, row) = (name.to_owned(), row.to_owned());
            return self.problems.push(GivenProblem::UnknownRow { name, row, near });
        };
        for (n, slot) in slots.iter().enumerate() {
            if self.needed.contains(slot) && !self.origins.contains_key(slot) {
                self.take(*slot, n, &matching, fields);
            }
        }
        for (field, text) in fields.iter().zip(&first.texts) {
            self.text(name, field, text);
        }
    }

    /// Takes a number of a row where its sources agree; where they differ, that is noted.
    fn take(&mut self, slot: usize, n: usize, options: &[&PickOption], fields: &[String]) {
        let template = self.template;
        let name = &template.names[slot];
        let (value, column) = name.name.split_once('.').unwrap_or((&name.name, ""));
        let source = fields.iter().position(|field| *field == format!("{column}_source"));
        let mut values: Vec<(Exact, String)> = Vec::new();
        for option in options {
            let source =
                source.and_then(|index| option.texts.get(index)).cloned().unwrap_or_default();
            if let Some(number) = option.numbers.get(n) {
                if values.iter().all(|(known, _)| known != number) {
                    values.push((*number, source));
                }
            }
        }
        match values.as_slice() {
            [(number, source)] => {
                let set = self.draw.set(template, slot, *number);
                self.note(set);
                self.text(value, &format!("{column}_source"), source);
                self.origins.insert(slot, Origin::Taken(source.clone()));
            }
            [] => {}
            several => self.problems.push(GivenProblem::Differ {
                name: name.name.clone(),
                label: name.label.clone(),
                values: several
                    .iter()
                    .map(|(number, source)| (Quantity::new(*number, name.unit), source.clone()))
                    .collect(),
            }),
        }
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
        self.origins.insert(slot, Origin::Given);
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
                ValueRule::Fixed { slot, number } if self.draw.slots[*slot] == Slot::Empty => {
                    let set = self.draw.set(template, *slot, *number);
                    self.note(set);
                    self.origins.insert(*slot, Origin::Fixed);
                }
                ValueRule::Derived { slot, program, rounding, .. }
                    if self.draw.slots[*slot] == Slot::Empty =>
                {
                    let unit = template.names[*slot].unit;
                    // What it follows from may be missing; then it is missing itself if it is needed.
                    let worked = program.run(&self.draw.slots);
                    if let Ok(Ok(number)) = worked.map(|number| unit.from_coherent(number)) {
                        let set = self.draw.set(template, *slot, rounding.of_result(number));
                        self.note(set);
                        self.origins.insert(*slot, Origin::Follows);
                    }
                }
                ValueRule::Pick { table, fields, .. } => {
                    let called = called(table, &value.name);
                    for field in fields {
                        let text = if field.ends_with("_source") { OWN_SOURCE } else { &called };
                        self.text(&value.name, field, text);
                    }
                }
                ValueRule::Words { fields, options } => {
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
            let column = name.strip_suffix("_by_source").or_else(|| name.strip_suffix("_source"));
            let slot = column.and_then(|column| self.template.slot(column));
            if slot.is_some_and(|slot| self.origins.get(&slot) == Some(&Origin::Given)) {
                OWN_SOURCE.clone_into(text);
            }
        }
    }

    fn find_missing(&mut self, wanted: &[usize], given: &Given) {
        for slot in wanted {
            let name = &self.template.names[*slot];
            // A value that was given but could not be read is complained about already.
            let is_given = given.values.iter().any(|(known, _)| *known == name.name);
            let is_noted = self.problems.iter().any(
                |problem| matches!(problem, GivenProblem::Differ { name: of, .. } if *of == name.name),
            );
            if self.draw.slots[*slot] == Slot::Empty && !is_given && !is_noted {
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

/// What a row is called of which only numbers were given: never by the name of a row of the facts.
fn called(table: &str, value: &str) -> String {
    let name = value.replace('_', " ");
    let kind = match table {
        "drugs" | "factors" => "drug",
        "bases" => "base",
        _ => return name,
    };
    if name.contains(kind) { name } else { format!("{name} {kind}") }
}

/// What a value can be, when this number is not among it.
fn impossible(template: &Template, slot: usize, number: Exact) -> Option<&'static str> {
    let dimension = template.names[slot].unit.dimension();
    if dimension == Dimension::COUNT {
        // None spoilt or none extra is a count as well; what divides by zero has no result.
        let fits = number.is_whole() && !number.is_negative();
        return (!fits).then_some("a whole number of zero or more");
    }
    // A departure from a nominal value goes either way, and so does the Celsius scale.
    let goes_below = template.values.iter().any(|value| match &value.rule {
        ValueRule::Grid { slot: of, from, .. } => *of == slot && from.is_negative(),
        ValueRule::Choice { slot: of, numbers } => {
            *of == slot && numbers.iter().any(|number| number.is_negative())
        }
        ValueRule::Fixed { slot: of, number } => *of == slot && number.is_negative(),
        _ => false,
    });
    let fits = !number.is_negative() || goes_below || dimension == Dimension::TEMPERATURE;
    (!fits).then_some("a number of zero or more")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_of_numbers_alone_is_called_by_its_kind_and_its_name() {
        for (table, value, name) in [
            ("drugs", "drug", "drug"),
            ("drugs", "first", "first drug"),
            ("factors", "second_drug", "second drug"),
            ("bases", "first", "first base"),
            ("bases", "base", "base"),
            ("moulds", "small_mould", "small mould"),
        ] {
            assert_eq!(called(table, value), name);
        }
    }
}
