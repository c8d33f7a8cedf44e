//! A second reading of a template: the rules that are worked by, from the YAML as it stands.

use std::collections::BTreeMap;

use num_rational::BigRational;
use num_traits::{Signed, Zero};
use serde_yaml::{Mapping, Value as Yaml};

use super::formula::{Formula, Names, Value, read};

/// What a template says about solving.
#[derive(Clone)]
pub(super) struct Sheet {
    /// The unit of each value and step of the template's own.
    pub(super) units: BTreeMap<String, String>,
    /// Values computed from earlier ones: name, rule, how it is rounded.
    pub(super) derived: Vec<(String, Formula, String)>,
    /// What must hold.
    pub(super) require: Vec<Formula>,
    /// The steps, in order.
    pub(super) steps: Vec<(String, Formula)>,
    /// How each step may be rounded before it is used.
    pub(super) roundings: BTreeMap<String, Vec<String>>,
    /// What is asked.
    pub(super) parts: Vec<Part>,
    /// The verdicts asked for, by the name of their part.
    pub(super) verdicts: Vec<(String, Verdicts)>,
    /// The wrong rules by what they stand in for, in the order of the slips.
    pub(super) slips: Vec<(String, Vec<(String, Formula)>)>,
}

/// Verdicts, each with its condition; the last may have none.
pub(super) type Verdicts = Vec<Option<Formula>>;

/// A part: the name, the value asked for, its unit, rounding and tolerance.
#[derive(Clone)]
pub(super) struct Part {
    pub(super) id: String,
    pub(super) answer: String,
    pub(super) unit: String,
    pub(super) round: String,
    pub(super) tolerance: String,
}

impl Sheet {
    /// Reads the text of a template.
    pub(super) fn read(text: &str) -> Self {
        let file: Yaml = serde_yaml::from_str(text).unwrap();
        let mut sheet = Self::of_file(&file);
        sheet.allow_the_rule();
        sheet
    }

    /// The same by each other method: with the steps that differ, and the new ones before them.
    pub(super) fn by_other_methods(text: &str) -> Vec<Self> {
        let file: Yaml = serde_yaml::from_str(text).unwrap();
        let methods = entries(&file["methods"]).skip(1);
        methods
            .map(|(_, method)| {
                let mut sheet = Self::of_file(&file);
                for (name, entry) in entries(&method["working"]) {
                    let step = (name.clone(), read(&word(&entry["is"])));
                    sheet.roundings.insert(name.clone(), roundings(entry));
                    sheet.units.insert(name.clone(), word(&entry["unit"]));
                    match sheet.steps.iter_mut().find(|(known, _)| *known == name) {
                        Some(known) => *known = step,
                        None => sheet.steps.push(step),
                    }
                }
                sheet.put_in_order();
                sheet.allow_the_rule();
                sheet
            })
            .collect()
    }

    fn of_file(file: &Yaml) -> Self {
        let rule = |name: &str, entry: &Yaml| (name.to_owned(), read(&word(&entry["is"])));
        let derived = entries(&file["values"]).filter(|(_, entry)| entry.get("is").is_some());
        let named = entries(&file["values"]).chain(entries(&file["working"]));
        Self {
            units: named
                .filter_map(|(name, entry)| Some((name, word(entry.get("unit")?))))
                .collect(),
            roundings: entries(&file["working"])
                .map(|(name, entry)| (name, roundings(entry)))
                .collect(),
            derived: derived
                .map(|(name, entry)| {
                    let (name, formula) = rule(&name, entry);
                    (name, formula, word(&entry["round"]))
                })
                .collect(),
            require: file["require"].as_sequence().map_or_else(Vec::new, |list| {
                list.iter().map(|entry| read(&word(&entry["that"]))).collect()
            }),
            steps: entries(&file["working"]).map(|(name, entry)| rule(&name, entry)).collect(),
            parts: entries(&file["parts"])
                // What is known rather than worked out has no unit.
                .filter(|(_, entry)| entry.get("unit").is_some())
                .map(|(id, entry)| Part {
                    answer: entry.get("answer").map_or_else(|| id.clone(), word),
                    unit: word(&entry["unit"]),
                    round: word(&entry["round"]),
                    tolerance: word(&entry["tolerance"]),
                    id,
                })
                .collect(),
            verdicts: entries(&file["parts"])
                .filter_map(|(id, entry)| {
                    let verdicts = entry.get("verdict")?.as_sequence()?.iter();
                    let when = |one: &Yaml| one.get("when").map(|when| read(&word(when)));
                    Some((id, verdicts.map(when).collect()))
                })
                .collect(),
            slips: entries(&file["slips"])
                .map(|(id, entry)| {
                    let instead = entries(&entry["instead"]);
                    (id, instead.map(|(name, rule)| (name, read(&word(rule)))).collect())
                })
                .collect(),
        }
    }

    /// Each step behind those it uses.
    fn put_in_order(&mut self) {
        let mut waiting = std::mem::take(&mut self.steps);
        while !waiting.is_empty() {
            let is_ready =
                |(_, rule): &(String, Formula)| waiting.iter().all(|(name, _)| !rule.uses(name));
            let ready = waiting.iter().position(is_ready).expect("no ring of steps");
            self.steps.push(waiting.remove(ready));
        }
    }

    /// Adds the rounding that the rule printed on sheets allows: amounts of the whole batch to the
    /// places of the answer, with two figures at least, everything else to three figures.
    fn allow_the_rule(&mut self) {
        for (place, (name, _)) in self.steps.iter().enumerate() {
            let unit = self.units[name].as_str();
            if ["unit", "°C", "K"].contains(&unit) {
                continue;
            }
            let mut reached = vec![name.as_str()];
            for (later, rule) in &self.steps[place + 1..] {
                if reached.iter().any(|known| rule.uses(known)) {
                    reached.push(later);
                }
            }
            let alike = |part: &&Part| reached.contains(&part.answer.as_str()) && part.unit == unit;
            let places =
                self.parts.iter().filter(alike).filter_map(|part| places(&part.round)).min();
            let is_amount = ["g", "mg", "kg", "mcg", "mL", "L"].contains(&unit);
            let ways = self.roundings.get_mut(name).unwrap();
            let shown = ways[0].clone();
            let (allowed, is_finer) = match places.filter(|_| is_amount) {
                Some(kept) => (
                    format!("{kept} places, 2 figures"),
                    self::places(&shown).is_some_and(|shown| kept >= shown),
                ),
                None => (
                    "3 figures".to_owned(),
                    shown.strip_suffix(" figures").is_some_and(|shown| shown <= "3"),
                ),
            };
            if !is_finer && !ways.contains(&allowed) {
                ways.push(allowed);
            }
        }
    }

    /// The values and the steps worked from them, with these wrong rules put in; `None` when a step
    /// has no result.
    ///
    /// A value that is mistaken is mistaken in the working only: what else is given stands.
    pub(super) fn work(&self, given: &Names, instead: &[(String, Formula)]) -> Option<Names> {
        let mut names = given.clone();
        for (name, formula) in instead.iter().filter(|(name, _)| given.contains_key(name)) {
            names.insert(name.clone(), formula.value(given)?);
        }
        for (name, formula) in &self.steps {
            let wrong = instead.iter().find(|(replaced, _)| replaced == name);
            let formula = wrong.map_or(formula, |(_, formula)| formula);
            let value = formula.number(&names)?;
            names.insert(name.clone(), Value::Number(value));
        }
        Some(names)
    }
}

/// A number rounded half away from zero: `2 places`, `whole`, `nearest 0.05`; `None` for figures.
pub(super) fn rounded(number: &BigRational, how: &str) -> Option<BigRational> {
    let step = match how.split_once(' ') {
        Some(("nearest", step)) => super::formula::decimal(step),
        Some((places, "place" | "places")) => {
            super::unit::fraction(1, 10_i64.pow(places.parse().unwrap()))
        }
        Some((figures, "figures")) => figure(number, figures.parse().unwrap()),
        // `1 place, 2 figures`: whichever is finer.
        Some(_) if how.contains(", ") => {
            let (places, figures) = how.split_once(", ").unwrap();
            let places = places.split_once(' ').unwrap().0.parse().unwrap();
            let figures = figures.split_once(' ').unwrap().0.parse().unwrap();
            super::unit::fraction(1, 10_i64.pow(places)).min(figure(number, figures))
        }
        _ if how == "whole" => super::unit::fraction(1, 1),
        _ => return None,
    };
    // The fraction's own rounding takes ties away from zero too.
    Some((number / &step).round() * step)
}

/// How a step may be rounded: as shown, and in the other ways it names.
fn roundings(entry: &Yaml) -> Vec<String> {
    let others = entry["also"].as_sequence().into_iter().flatten();
    std::iter::once(&entry["show"]).chain(others).map(word).collect()
}

/// The decimal places of a rounding, where it is to places.
fn places(how: &str) -> Option<u32> {
    match how.split_once(' ') {
        None if how == "whole" => Some(0),
        Some((places, "place" | "places")) => places.parse().ok(),
        _ => None,
    }
}

/// The value of one in the last of so many significant figures of a number.
fn figure(number: &BigRational, figures: u32) -> BigRational {
    let ten = super::unit::fraction(10, 1);
    let mut step = super::unit::fraction(1, 1);
    let below = super::unit::fraction(10_i64.pow(figures - 1), 1);
    let above = &below * &ten;
    let number = number.abs();
    if number.is_zero() {
        return step;
    }
    while &number / &step >= above {
        step *= &ten;
    }
    while &number / &step < below {
        step /= &ten;
    }
    step
}

/// A text or a number as text.
pub(super) fn word(value: &Yaml) -> String {
    match value {
        Yaml::String(text) => text.trim().to_owned(),
        Yaml::Number(number) => number.to_string(),
        other => panic!("expected a text or a number, found {other:?}"),
    }
}

/// The entries of a map, in order.
pub(super) fn entries(map: &Yaml) -> impl Iterator<Item = (String, &Yaml)> {
    map.as_mapping().into_iter().flat_map(Mapping::iter).map(|(name, entry)| (word(name), entry))
}
