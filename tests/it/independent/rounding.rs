//! A second walk along the legal ways of rounding early, and the range of answers they lead to.

use num_rational::BigRational;

use super::formula::{Formula, Names, Value};
use super::sheet::{Sheet, rounded};
use super::unit::{coherent, counted_in};

/// The most ways of rounding that the template manual promises to follow one by one.
const MOST_WAYS: usize = 256;

/// The ways of rounding a working: for each step the place of its rounding, if it is rounded.
pub(super) struct Ways {
    /// Each way.
    pub(super) ways: Vec<Vec<Option<usize>>>,
    /// Whether these are all of them.
    pub(super) all: bool,
}

impl Ways {
    /// All ways of rounding the steps that others use; where they are too many, those that must be
    /// followed in any case: nothing rounded, everything as shown, and each rounding alone.
    pub(super) fn of(sheet: &Sheet) -> Self {
        let choices: Vec<usize> = sheet
            .steps
            .iter()
            .enumerate()
            .map(|(place, (name, _))| {
                let decides = |when: &Formula| when.uses(name);
                let mut verdicts = sheet.verdicts.iter().flat_map(|(_, all)| all.iter().flatten());
                let is_used = verdicts.any(decides)
                    || sheet.steps[place + 1..].iter().any(|(_, rule)| rule.uses(name));
                if is_used { sheet.roundings[name].len() } else { 0 }
            })
            .collect();
        let all = choices.iter().map(|count| count + 1).product::<usize>() <= MOST_WAYS;
        let none = vec![None; choices.len()];
        let mut ways = vec![none.clone()];
        for (place, count) in choices.iter().enumerate() {
            let before = if all { ways.clone() } else { vec![none.clone()] };
            for which in 0..*count {
                ways.extend(before.iter().cloned().map(|mut way| {
                    way[place] = Some(which);
                    way
                }));
            }
        }
        ways.push(choices.iter().map(|count| (*count > 0).then_some(0)).collect());
        Self { ways, all }
    }

    /// The lowest and highest of each value along these ways, in coherent units and in the order of
    /// the parts; each is taken before its own rounding.
    pub(super) fn hulls(&self, sheet: &Sheet, given: &Names) -> Vec<(BigRational, BigRational)> {
        let mut hulls: Vec<Option<(BigRational, BigRational)>> = vec![None; sheet.parts.len()];
        for way in &self.ways {
            let raw = walk(sheet, given, way);
            for (hull, part) in hulls.iter_mut().zip(&sheet.parts) {
                let Value::Number(value) = &raw[&part.answer] else { panic!("{}", part.id) };
                *hull = Some(match hull.take() {
                    None => (value.clone(), value.clone()),
                    Some((low, high)) => (low.min(value.clone()), high.max(value.clone())),
                });
            }
        }
        hulls.into_iter().flatten().collect()
    }
}

/// Every value and step along one way, each step before its own rounding.
fn walk(sheet: &Sheet, given: &Names, way: &[Option<usize>]) -> Names {
    let (mut used, mut raw) = (given.clone(), given.clone());
    for ((name, rule), which) in sheet.steps.iter().zip(way) {
        let value = rule.number(&used).expect("a drawn problem has a result on every legal way");
        let unit = &sheet.units[name];
        let carried = which.map_or_else(
            || value.clone(),
            |which| {
                let own = counted_in(unit, &value).unwrap();
                coherent(unit, &rounded(&own, &sheet.roundings[name][which]).unwrap()).unwrap()
            },
        );
        used.insert(name.clone(), Value::Number(carried));
        raw.insert(name.clone(), Value::Number(value));
    }
    raw
}
