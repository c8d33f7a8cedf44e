//! A bench of named values for formulas, one of each kind.

use castmark::formula::{Scope, Shape, Slot, Words};
use castmark::quantity::{Dimension, Exact};

/// Name, shape, and the values as shown; the numbers before the units are in coherent units.
const NAMES: &[(&str, Shape, &[&str])] = &[
    ("number", Shape::Number(Dimension::COUNT), &["12"]),
    ("capacity", Shape::Number(Dimension::MASS_PER_UNIT), &["1.02 g"]),
    ("nominal", Shape::Number(Dimension::MASS_PER_UNIT), &["1 g"]),
    ("surplus", Shape::Number(Dimension::MASS_PER_UNIT), &["-0.05 g"]),
    ("faulty", Shape::Number(Dimension::MASS_PER_UNIT), &["0.80 g"]),
    ("drug_mass", Shape::Number(Dimension::MASS), &["0.60 g"]),
    ("drug.dose", Shape::Number(Dimension::MASS_PER_UNIT), &["0.05 g"]),
    ("dv", Shape::Number(Dimension::NUMBER), &["1.5"]),
    ("volume", Shape::Number(Dimension::VOLUME), &["5 mL"]),
    ("volume_each", Shape::Number(EACH), &["1.2 mL"]),
    ("mould_length", Shape::Number(Dimension::LENGTH), &["0.8 cm"]),
    ("masses", Shape::List(Dimension::MASS_PER_UNIT), &["1.01 g", "1.03 g", "0.80 g"]),
    ("one_mass", Shape::List(Dimension::MASS_PER_UNIT), &["1.01 g"]),
    ("missing", Shape::Number(Dimension::NUMBER), &[]),
    ("missing_list", Shape::List(Dimension::NUMBER), &[]),
];

const EACH: Dimension = Dimension { mass: 0, length: 3, count: -1, temperature: 0, time: 0 };

pub(super) struct Bench;

impl Scope for Bench {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        NAMES.iter().position(|(known, ..)| *known == name).map(|slot| (slot, NAMES[slot].1))
    }

    fn names(&self) -> Vec<&str> {
        NAMES.iter().map(|(name, ..)| *name).collect()
    }
}

impl Words for Bench {
    fn label(&self, name: &str) -> String {
        name.replace(['_', '.'], " ")
    }

    fn number(&self, name: &str) -> Vec<String> {
        let found = NAMES.iter().find(|(known, ..)| *known == name);
        let texts = found.map(|(.., texts)| *texts).unwrap_or_default();
        texts.iter().map(|text| (*text).to_owned()).collect()
    }
}

/// The values of the bench in coherent units.
pub(super) fn slots() -> Vec<Slot> {
    let exact = |text: &&str| Exact::parse(text.split(' ').next().unwrap()).unwrap();
    NAMES
        .iter()
        .map(|(_, shape, texts)| match shape {
            _ if texts.is_empty() => Slot::Empty,
            Shape::List(_) => Slot::List(texts.iter().map(exact).collect()),
            _ => Slot::Number(exact(&texts[0])),
        })
        .collect()
}
