//! The units in which an answer may be typed.

use crate::marking::number_in;
use crate::problem::NumberKey;
use crate::quantity::{Dimension, Exact, Typed, UNITS, Unit, UnitRow};

use super::pattern::{group, words};

/// A unit that fits, and how numbers in it are brought into the unit asked for.
#[derive(Debug)]
pub(in crate::export::qti) struct Fitting {
    /// The pattern of its spellings; with nothing at all where none need be written.
    pub pattern: String,
    /// What a number of the unit is multiplied by, and what is added then.
    factor: Exact,
    offset: Exact,
}

impl Fitting {
    /// A number in the unit asked for as a number of this unit.
    pub(in crate::export::qti) fn number(&self, asked: Exact) -> Option<Exact> {
        asked.sub(self.offset).and_then(|number| number.div(self.factor)).ok().map(Exact::settled)
    }

    /// Returns whether numbers in it need no change.
    pub(in crate::export::qti) fn is_asked(&self) -> bool {
        self.factor == Exact::ONE && self.offset.is_zero()
    }
}

/// The units that fit, those of one size together: the unit asked for, also left out, comes first.
pub(in crate::export::qti) fn fitting(
    asked: Unit,
    density: Option<Exact>,
    must_be_written: bool,
) -> Vec<Fitting> {
    let mut found: Vec<(Exact, Exact, Vec<String>)> = Vec::new();
    for (unit, spellings) in written(asked, density) {
        let number = |number: Exact| number_in(asked, density, Typed { number, unit: Some(unit) });
        let (Some(zero), Some(one)) = (number(Exact::ZERO), number(Exact::ONE)) else { continue };
        let Ok(factor) = one.sub(zero) else { continue };
        match found.iter_mut().find(|(known, offset, _)| (*known, *offset) == (factor, zero)) {
            Some((.., known)) => known.extend(spellings),
            None => found.push((factor, zero, spellings)),
        }
    }
    let is_asked = |(factor, offset, _): &(Exact, Exact, Vec<String>)| {
        *factor == Exact::ONE && offset.is_zero()
    };
    if !found.iter().any(is_asked) {
        found.push((Exact::ONE, Exact::ZERO, Vec::new()));
    }
    found.sort_by_key(|one| !is_asked(one));
    let fitting = |(factor, offset, spellings): (Exact, Exact, Vec<String>)| {
        let may_miss = factor == Exact::ONE && offset.is_zero() && !must_be_written;
        let pattern = match (spellings.is_empty(), may_miss) {
            (true, _) => String::new(),
            (false, true) => format!("({})?", spellings.join("|")),
            (false, false) => group(&spellings),
        };
        Fitting { pattern, factor, offset }
    };
    found.into_iter().map(fitting).collect()
}

/// The spellings of every unit of one word that does not fit the number as it stands.
pub(in crate::export::qti) fn others(key: &NumberKey) -> String {
    let spellings: Vec<String> = UNITS
        .iter()
        .filter(|row| {
            let unit = Unit::parse(row.symbol).unwrap_or(Unit::NUMBER);
            let typed = Typed { number: Exact::ONE, unit: Some(unit) };
            number_in(key.unit, key.density, typed) != Some(Exact::ONE)
        })
        .flat_map(spellings)
        .collect();
    group(&spellings)
}

/// The units that could fit, with their spellings.
fn written(asked: Unit, density: Option<Exact>) -> Vec<(Unit, Vec<String>)> {
    let mut units: Vec<(Unit, Vec<String>)> = Vec::new();
    for row in UNITS {
        if let Ok(unit) = Unit::parse(row.symbol) {
            units.push((unit, spellings(row)));
        }
    }
    // A plain number may be written as a quotient of any two like units, which nobody does.
    let is_quotient = ![Dimension::NUMBER, Dimension::COUNT].contains(&asked.dimension())
        && (asked.is_per_unit() || asked.dimension() == Dimension::DENSITY);
    if is_quotient && density.is_none() {
        for (top, bottom) in UNITS.iter().flat_map(|top| UNITS.iter().map(move |row| (top, row))) {
            let unit = Unit::parse(&format!("{}/{}", top.symbol, bottom.symbol));
            if let Some(unit) = unit.ok().filter(|unit| unit.dimension() == asked.dimension()) {
                let (top, bottom) = (group(&spellings(top)), group(&spellings(bottom)));
                let each = if unit.is_per_unit() { "|\\s+each" } else { "" };
                units.push((unit, vec![format!("{top}(\\s*(/|per\\s)\\s*{bottom}{each})")]));
            }
        }
    }
    units
}

fn spellings(row: &UnitRow) -> Vec<String> {
    let mut spellings: Vec<String> = Vec::new();
    for text in [row.symbol].iter().chain(row.spellings) {
        // A single letter is matched to the letter.
        let pattern = words(text, text.len() > 1);
        let one =
            pattern.strip_suffix("[sS]").and_then(|one| spellings.iter().position(|it| it == one));
        match one {
            // The plural of a word that is there.
            Some(index) => spellings[index].push_str("[sS]?"),
            None if spellings.contains(&pattern) => {}
            None => spellings.push(pattern),
        }
    }
    spellings
}
