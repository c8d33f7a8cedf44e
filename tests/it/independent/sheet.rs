//! A second reading of a template: the rules that are worked by, from the YAML as it stands.

use std::collections::BTreeMap;

use num_rational::BigRational;
use serde_yaml::{Mapping, Value as Yaml};

use super::formula::{Formula, Names, Value, read};

/// What a template says about solving.
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
    /// The parts that ask for a verdict: for each verdict its condition, if it has one.
    pub(super) verdicts: Vec<(String, Vec<Option<Formula>>)>,
    /// The wrong rules by what they stand in for, in the order of the slips.
    pub(super) slips: Vec<(String, Vec<(String, Formula)>)>,
}

/// A part: the name, the value asked for, its unit, rounding and tolerance.
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
        let rule = |name: &str, entry: &Yaml| (name.to_owned(), read(&word(&entry["is"])));
        let derived = entries(&file["values"]).filter(|(_, entry)| entry.get("is").is_some());
        let named = entries(&file["values"]).chain(entries(&file["working"]));
        Self {
            units: named
                .filter_map(|(name, entry)| Some((name, word(entry.get("unit")?))))
                .collect(),
            roundings: entries(&file["working"])
                .map(|(name, entry)| {
                    let others = entry["also"].as_sequence().into_iter().flatten();
                    (name, std::iter::once(&entry["show"]).chain(others).map(word).collect())
                })
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
                    let list = entry.get("verdict")?.as_sequence()?.iter();
                    Some((
                        id,
                        list.map(|one| one.get("when").map(|when| read(&word(when)))).collect(),
                    ))
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
        _ if how == "whole" => super::unit::fraction(1, 1),
        _ => return None,
    };
    // The fraction's own rounding takes ties away from zero too.
    Some((number / &step).round() * step)
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
