//! Texts with the values put in.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use minijinja::value::{Object, ObjectRepr};
use minijinja::{Environment, Error, Value};

use crate::bank::{Name, Template};
use crate::draw::Draw;
use crate::formula::{Slot, Words};
use crate::quantity::{Dimension, Exact, Quantity};

use super::Block;
use super::solve::round;

/// The values of a problem as its texts and formulas show them.
#[derive(Debug)]
pub(super) struct Shown<'a> {
    template: &'a Template,
    /// The numbers in the unit of their name, by slot, with the places they are shown with.
    numbers: Vec<Slot>,
}

impl<'a> Shown<'a> {
    /// The values as drawn, and the steps rounded as they are shown.
    pub(super) fn new(template: &'a Template, draw: &Draw, slots: &[Slot]) -> Self {
        let mut numbers = draw.written.clone();
        for step in &template.working {
            let Some(Slot::Number(value)) = slots.get(step.slot) else { continue };
            let unit = template.names[step.slot].unit;
            if let Ok(number) = unit.from_coherent(round(step, step.rounding, *value, template)) {
                numbers[step.slot] = Slot::Number(step.rounding.apply(number));
            }
        }
        Self { template, numbers }
    }

    /// A number with its unit, as shown; for a list, all of them.
    pub(super) fn texts(&self, slot: usize) -> Vec<String> {
        let name = &self.template.names[slot];
        match &self.numbers[slot] {
            Slot::Number(number) => vec![quantity(*number, name)],
            Slot::List(numbers) => numbers.iter().map(|number| quantity(*number, name)).collect(),
            Slot::Empty => Vec::new(),
        }
    }

    fn slot(&self, name: &str) -> Option<usize> {
        self.template.names.iter().position(|known| known.name == name)
    }

    /// What a text can name: every value and step, and every text of a pick or of words.
    pub(super) fn context(&self, draw: &Draw) -> Value {
        let mut flat: BTreeMap<&str, Value> = BTreeMap::new();
        let mut nested: BTreeMap<&str, BTreeMap<&str, Value>> = BTreeMap::new();
        let mut entries: Vec<(&str, Value)> = Vec::new();
        for (slot, name) in self.template.names.iter().enumerate() {
            entries.push((&name.name, self.value(slot)));
        }
        for (name, text) in &draw.texts {
            entries.push((name, Value::from(text.as_str())));
        }
        for (name, value) in entries {
            match name.split_once('.') {
                Some((value_of, field)) => {
                    nested.entry(value_of).or_default().insert(field, value);
                }
                None => {
                    flat.insert(name, value);
                }
            }
        }
        for (name, fields) in nested {
            flat.insert(name, Value::from(fields));
        }
        Value::from(flat)
    }

    fn value(&self, slot: usize) -> Value {
        let numbers = match &self.numbers[slot] {
            Slot::Number(number) => vec![*number],
            Slot::List(numbers) => numbers.clone(),
            Slot::Empty => Vec::new(),
        };
        Value::from_object(Spoken {
            slot,
            text: sentence(&self.texts(slot)),
            number: sentence(&numbers.iter().map(ToString::to_string).collect::<Vec<_>>()),
        })
    }
}

impl Words for Shown<'_> {
    fn label(&self, name: &str) -> String {
        self.slot(name)
            .map_or_else(|| name.replace('_', " "), |slot| self.template.names[slot].label.clone())
    }

    fn number(&self, name: &str) -> Vec<String> {
        self.slot(name).map(|slot| self.texts(slot)).unwrap_or_default()
    }
}

fn quantity(number: Exact, name: &Name) -> String {
    // A count prints as a bare number: the sentence says what is counted.
    if name.unit.dimension() == Dimension::COUNT {
        return number.to_string();
    }
    Quantity::new(number, name.unit).to_string()
}

/// `a`, `a and b`, `a, b and c`.
fn sentence(texts: &[String]) -> String {
    match texts.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((only, _)) => only.clone(),
        None => String::new(),
    }
}

/// A value as texts print it: itself with its unit, `.number` alone, or a list as a `.table`.
#[derive(Debug)]
struct Spoken {
    slot: usize,
    text: String,
    number: String,
}

impl Object for Spoken {
    fn repr(self: &Arc<Self>) -> ObjectRepr {
        ObjectRepr::Plain
    }

    fn get_value(self: &Arc<Self>, key: &Value) -> Option<Value> {
        match key.as_str()? {
            "number" => Some(Value::from(self.number.as_str())),
            "table" => Some(Value::from(format!("{TABLE}{}{TABLE}", self.slot))),
            _ => None,
        }
    }

    fn render(self: &Arc<Self>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// Stands around the slot of a list where its table is to be; no text can hold it.
const TABLE: char = '\u{e000}';

/// A text of the bank with the values put in, its white space folded.
pub(super) fn render(
    environment: &Environment<'static>,
    name: &str,
    context: &Value,
) -> Result<String, Error> {
    environment.get_template(name)?.render(context.clone())
}

/// One line of running text.
pub(super) fn line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The blocks of a stem: paragraphs apart by blank lines, lists of lines that begin with a hyphen,
/// and tables of readings.
pub(super) fn blocks(text: &str, shown: &Shown<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    for chunk in text.split("\n\n") {
        let mut prose: Vec<&str> = Vec::new();
        let mut items: Vec<String> = Vec::new();
        for part in chunk.lines().map(str::trim) {
            let table = part.strip_prefix(TABLE).and_then(|rest| rest.strip_suffix(TABLE));
            if let Some(slot) = table.and_then(|slot| slot.parse().ok()) {
                flush(&mut prose, &mut items, &mut blocks);
                blocks.push(shown.table(slot));
            } else if let Some(item) = part.strip_prefix("- ") {
                if !prose.is_empty() {
                    flush(&mut prose, &mut items, &mut blocks);
                }
                items.push(line(item));
            } else if let Some(item) = items.last_mut().filter(|_| !part.is_empty()) {
                item.push(' ');
                item.push_str(part);
            } else if !part.is_empty() {
                // A table asked for inside a paragraph gets a place of its own behind it.
                inline_tables(part, shown, &mut prose, &mut items, &mut blocks);
            }
        }
        flush(&mut prose, &mut items, &mut blocks);
    }
    blocks
}

fn inline_tables<'t>(
    part: &'t str,
    shown: &Shown<'_>,
    prose: &mut Vec<&'t str>,
    items: &mut Vec<String>,
    blocks: &mut Vec<Block>,
) {
    for (place, piece) in part.split(TABLE).enumerate() {
        match piece.parse() {
            Ok(slot) if place % 2 == 1 => {
                flush(prose, items, blocks);
                blocks.push(shown.table(slot));
            }
            _ if piece.trim().is_empty() => {}
            _ => prose.push(piece.trim()),
        }
    }
}

fn flush(prose: &mut Vec<&str>, items: &mut Vec<String>, blocks: &mut Vec<Block>) {
    if !prose.is_empty() {
        blocks.push(Block::Paragraph(line(&prose.join(" "))));
        prose.clear();
    }
    if !items.is_empty() {
        blocks.push(Block::List(std::mem::take(items)));
    }
}

impl Shown<'_> {
    fn table(&self, slot: usize) -> Block {
        let label = self.template.names.get(slot).map_or("", |name| name.label.as_str());
        let rows = self
            .template
            .names
            .get(slot)
            .map(|_| self.texts(slot))
            .unwrap_or_default()
            .into_iter()
            .enumerate()
            .map(|(n, text)| vec![(n + 1).to_string(), text])
            .collect();
        Block::Table { head: vec!["no.".to_owned(), label.to_owned()], rows }
    }
}
