//! The values of a problem as its texts and formulas show them.

use std::fmt::{self, Write};
use std::sync::Arc;

use minijinja::Value;
use minijinja::value::{Object, ObjectRepr};

use crate::bank::{Bank, Piece, Step, Template};
use crate::draw::Draw;
use crate::formula::{Slot, Words};
use crate::quantity::{Dimension, Exact, Quantity, Rounding, Unit};

use super::Block;
use super::block::TABLE;

/// The values of a problem as its texts and formulas show them. Cheap to clone.
#[derive(Clone, Debug)]
pub(super) struct Shown(Arc<Facts>);

#[derive(Debug)]
struct Facts {
    template: Arc<Template>,
    /// The numbers in the unit of their name, by slot, with the places they are shown with.
    numbers: Vec<Slot>,
    texts: Vec<(String, String)>,
    /// The method whose steps these are, by its index; the working itself without one.
    method: Option<usize>,
}

impl Facts {
    fn working(&self) -> &[Step] {
        let method = self.method.and_then(|method| self.template.methods.get(method));
        let own = method.map(|method| method.working.as_slice()).filter(|own| !own.is_empty());
        own.unwrap_or(&self.template.working)
    }
}

impl Shown {
    /// The values as drawn, and the steps rounded as they are shown.
    pub(super) fn new(template: &Arc<Template>, draw: &Draw, slots: &[Slot]) -> Self {
        Self::along(template, draw, slots, None)
    }

    /// The same with the steps of a method, by its index.
    pub(super) fn along(
        template: &Arc<Template>,
        draw: &Draw,
        slots: &[Slot],
        method: Option<usize>,
    ) -> Self {
        let (template, texts) = (Arc::clone(template), draw.texts.clone());
        let mut facts = Facts { template, numbers: draw.written.clone(), texts, method };
        let rounded: Vec<(usize, Exact)> = facts
            .working()
            .iter()
            .filter_map(|step| {
                let number = number_in_unit(&facts.template, slots, step.slot)?;
                Some((step.slot, step.rounding.of_result(number)))
            })
            .collect();
        for (slot, number) in rounded {
            facts.numbers[slot] = Slot::Number(number);
        }
        Self(Arc::new(facts))
    }

    /// The same with so many more places for the steps that need them.
    pub(super) fn finer(&self, slots: &[Slot], places: u32) -> Self {
        let Facts { template, numbers, texts, method } = &*self.0;
        let mut numbers = numbers.clone();
        for step in self.0.working() {
            let Some(number) = number_in_unit(template, slots, step.slot) else { continue };
            let finer = finer(step.rounding, places).of_result(number);
            if numbers[step.slot] != Slot::Number(finer) {
                numbers[step.slot] = Slot::Number(finer);
            }
        }
        let (template, texts) = (Arc::clone(template), texts.clone());
        Self(Arc::new(Facts { template, numbers, texts, method: *method }))
    }

    /// The shown numbers by slot, in coherent units: what somebody has who works with what he reads.
    pub(super) fn coherent(&self) -> Vec<Slot> {
        let convert = |(slot, number): (usize, &Slot)| {
            let unit = self.0.template.names[slot].unit;
            let convert = |number: &Exact| unit.to_coherent(*number).ok();
            match number {
                Slot::Number(number) => convert(number).map(Slot::Number),
                Slot::List(numbers) => {
                    numbers.iter().map(convert).collect::<Option<_>>().map(Slot::List)
                }
                Slot::Empty => None,
            }
        };
        self.0.numbers.iter().enumerate().map(|one| convert(one).unwrap_or_default()).collect()
    }

    /// The number of a slot with its unit, as shown; for a list, all of them.
    pub(super) fn texts(&self, slot: usize) -> Vec<String> {
        let each = |number: &Exact| self.quantity(slot, *number).to_string();
        match &self.0.numbers[slot] {
            Slot::Number(_) => vec![self.text(slot)],
            Slot::List(numbers) => numbers.iter().map(each).collect(),
            Slot::Empty => Vec::new(),
        }
    }

    /// The same in one line.
    pub(super) fn text(&self, slot: usize) -> String {
        let mut text = String::with_capacity(12);
        // A string takes whatever is written to it.
        let _ = self.write(&mut text, slot, false);
        text
    }

    /// A table of the readings of a slot.
    pub(super) fn table(&self, slot: usize) -> Block {
        let name = self.0.template.names.get(slot);
        let texts = name.map(|_| self.texts(slot)).unwrap_or_default();
        let rows = texts.into_iter().enumerate();
        Block::Table {
            head: vec!["no.".to_owned(), name.map_or_else(String::new, |name| name.label.clone())],
            rows: rows.map(|(index, text)| vec![(index + 1).to_string(), text]).collect(),
        }
    }

    /// A text of the template with the values put in, by its name: `say/base`.
    ///
    /// # Errors
    /// What is wrong with the text.
    pub(super) fn fill_in(&self, bank: &Bank, name: &str) -> Result<String, String> {
        let template = &self.0.template;
        if let Some(text) = template.sentences.get(name).and_then(|pieces| self.joined(pieces)) {
            return Ok(text);
        }
        let names = Value::from_object(Names { shown: self.clone(), of: None });
        let text = bank.texts().get_template(&format!("{}#{name}", template.id));
        text.and_then(|text| text.render(names)).map_err(|error| error.to_string())
    }

    /// The pieces of a text put together; `None` where one of them was not drawn, or where they are
    /// more than a sentence can hold.
    fn joined(&self, pieces: &[Piece]) -> Option<String> {
        let mut text = String::with_capacity(160);
        for piece in pieces {
            if text.len() > MOST_BYTES {
                return None;
            }
            match piece {
                Piece::Plain(words) => text.push_str(words),
                Piece::Value(slot) => self.write(&mut text, *slot, false).ok()?,
                Piece::Number(slot) => self.write(&mut text, *slot, true).ok()?,
                Piece::Table(slot) => write!(text, "{TABLE}{slot}{TABLE}").ok()?,
                Piece::Drawn(name) => text.push_str(self.drawn(name)?),
            }
        }
        Some(text)
    }

    /// A text that was drawn, by its name.
    fn drawn(&self, name: &str) -> Option<&str> {
        let found = self.0.texts.iter().find(|(known, _)| known == name);
        found.map(|(_, text)| text.as_str())
    }

    /// Writes a value as texts print it: with its unit, or the number alone; a list as one.
    fn write<W: Write>(&self, to: &mut W, slot: usize, bare: bool) -> fmt::Result {
        let each = |to: &mut W, number: Exact| {
            if bare {
                write!(to, "{number}")
            } else {
                write!(to, "{}", self.quantity(slot, number))
            }
        };
        match &self.0.numbers[slot] {
            Slot::Number(number) => each(to, *number),
            Slot::List(numbers) => {
                for (index, number) in numbers.iter().enumerate() {
                    to.write_str(match index {
                        0 => "",
                        _ if index + 1 == numbers.len() => " and ",
                        _ => ", ",
                    })?;
                    each(to, *number)?;
                }
                Ok(())
            }
            // A value that somebody left out of his own numbers is named instead.
            Slot::Empty => to.write_str(&self.0.template.names[slot].label),
        }
    }

    fn slot(&self, name: &str) -> Option<usize> {
        self.0.template.slot(name)
    }

    /// A number of a slot as it prints: a count is a bare number, since the sentence around it says
    /// what is counted.
    fn quantity(&self, slot: usize, number: Exact) -> Quantity {
        let unit = self.0.template.names[slot].unit;
        if unit.dimension() == Dimension::COUNT {
            return Quantity::new(number, Unit::NUMBER);
        }
        Quantity::new(number, unit)
    }
}

impl Words for Shown {
    fn label(&self, name: &str) -> String {
        let slot = self.slot(name);
        slot.map_or_else(
            || name.replace('_', " "),
            |slot| self.0.template.names[slot].label.clone(),
        )
    }

    fn number(&self, name: &str) -> Vec<String> {
        self.slot(name).map(|slot| self.texts(slot)).unwrap_or_default()
    }
}

/// A number of a slot in the slot's unit.
fn number_in_unit(template: &Template, slots: &[Slot], slot: usize) -> Option<Exact> {
    match slots.get(slot) {
        Some(Slot::Number(number)) => template.names[slot].unit.from_coherent(*number).ok(),
        _ => None,
    }
}

/// The rounding with so many more places.
fn finer(rounding: Rounding, places: u32) -> Rounding {
    match rounding {
        rounding if places == 0 => rounding,
        Rounding::Places(kept) => Rounding::Places(kept + places),
        Rounding::AtLeast { places: kept, figures } => {
            Rounding::AtLeast { places: kept + places, figures: figures + places }
        }
        Rounding::Figures(kept) => Rounding::Figures(kept + places),
        Rounding::Nearest(step) => Rounding::Places(step.places() + places),
    }
}

/// As long as a text may become; beyond, minijinja says that it is too long.
const MOST_BYTES: usize = 10_000;

/// One line of running text.
pub(super) fn line(text: &str) -> String {
    super::block::words(text)
}

/// The names that a text can use, or the fields of one of them: `drug` has the field `name`.
#[derive(Debug)]
struct Names {
    shown: Shown,
    of: Option<String>,
}

impl Object for Names {
    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        let field = key.as_str()?;
        let facts = &self.shown.0;
        let full = self.of.as_ref().map(|of| format!("{of}.{field}"));
        let name = full.as_deref().unwrap_or(field);
        if let Some(slot) = self.shown.slot(name) {
            return Some(Value::from_object(SlotText {
                shown: self.shown.clone(),
                slot,
                bare: false,
            }));
        }
        if let Some(text) = self.shown.drawn(name) {
            return Some(Value::from(text));
        }
        let is_field =
            |known: &str| known.strip_prefix(name).is_some_and(|rest| rest.starts_with('.'));
        let names = facts.template.names.iter().map(|known| known.name.as_str());
        let mut names = names.chain(facts.texts.iter().map(|(known, _)| known.as_str()));
        names.any(is_field).then(|| {
            Value::from_object(Self { shown: self.shown.clone(), of: Some(name.to_owned()) })
        })
    }
}

/// A value as texts print it: itself with its unit, its `.number` alone, or a list as a `.table`.
#[derive(Debug)]
struct SlotText {
    shown: Shown,
    slot: usize,
    bare: bool,
}

impl Object for SlotText {
    fn repr(self: &Arc<Self>) -> ObjectRepr {
        ObjectRepr::Plain
    }

    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        match key.as_str()? {
            "number" => Some(Value::from_object(Self {
                shown: self.shown.clone(),
                slot: self.slot,
                bare: true,
            })),
            "table" => Some(Value::from(format!("{TABLE}{}{TABLE}", self.slot))),
            _ => None,
        }
    }

    fn render(self: &Arc<Self>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.shown.write(f, self.slot, self.bare)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_written_with_and_before_its_last() {
        let bank = Bank::bundled().unwrap();
        let template = bank.find("capacity-from-masses").unwrap();
        let problem = crate::problem::Problem::draw(&bank, template, 1).unwrap();
        let slot = template.slot("masses").unwrap();
        let written = |masses: &[&str], bare: bool| {
            let mut draw = problem.draw.clone();
            let masses = masses.iter().map(|mass| Exact::parse(mass).unwrap()).collect();
            draw.written[slot] = Slot::List(masses);
            let mut text = String::new();
            Shown::new(template, &draw, &problem.slots).write(&mut text, slot, bare).unwrap();
            text
        };
        assert_eq!(written(&["1.02", "1.04", "1.03"], false), "1.02 g, 1.04 g and 1.03 g");
        assert_eq!(written(&["1.02", "1.04", "1.03", "1.00"], true), "1.02, 1.04, 1.03 and 1.00");
        assert_eq!(written(&["1.02", "1.04"], false), "1.02 g and 1.04 g");
        assert_eq!(written(&["1.02"], false), "1.02 g");
    }

    #[test]
    fn a_finer_rounding_keeps_so_many_more_places_and_figures() {
        let at_least = |places, figures| Rounding::AtLeast { places, figures };
        assert_eq!(finer(Rounding::Places(2), 1), Rounding::Places(3));
        assert_eq!(finer(Rounding::Figures(3), 2), Rounding::Figures(5));
        assert_eq!(finer(at_least(1, 2), 3), at_least(4, 5));
        // A step of 0.05 has two places, and three show what lies between its multiples.
        let step = Rounding::Nearest(Exact::parse("0.05").unwrap());
        assert_eq!(finer(step, 1), Rounding::Places(3));
        assert_eq!(finer(step, 0), step);
    }
}
