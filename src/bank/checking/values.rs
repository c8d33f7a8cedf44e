//! Checking the values of a template.

use std::collections::BTreeSet;

use crate::formula::{Scope, Shape};
use crate::quantity::{Exact, Unit};

use crate::bank::checking::picks::pick_rule;
use crate::bank::facts::{ColumnKind, Facts};
use crate::bank::reading::desk::{Desk, way};
use crate::bank::template::{Name, Rule, Value};
use crate::bank::written::{ValueText, WordText};

/// The names of a template so far.
#[derive(Debug, Default)]
pub(in crate::bank) struct Names {
    /// The names, by slot.
    pub(in crate::bank) all: Vec<Name>,
    /// Values and steps that are written but wrong, so that what goes with them is not known.
    pub(in crate::bank) unsound: BTreeSet<String>,
}

impl Scope for Names {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        let slot = self.all.iter().position(|known| known.name == name)?;
        self.all.get(slot).map(|known| (slot, known.shape))
    }

    fn names(&self) -> Vec<&str> {
        self.all.iter().map(|known| known.name.as_str()).collect()
    }
}

impl Names {
    pub(in crate::bank) fn add(
        &mut self,
        name: &str,
        label: Option<String>,
        shape: Shape,
        unit: Unit,
    ) -> usize {
        let label = label.unwrap_or_else(|| name.replace(['_', '.'], " "));
        self.all.push(Name { name: name.to_owned(), label, shape, unit });
        self.all.len() - 1
    }

    pub(in crate::bank) fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether a name is not known yet.
    pub(in crate::bank) fn is_new(&self, name: &str) -> bool {
        self.find(name).is_none()
    }

    /// The unit of a slot.
    pub(in crate::bank) fn unit(&self, slot: usize) -> Unit {
        self.all.get(slot).map(|name| name.unit).unwrap_or_default()
    }
}

/// Checks one value and adds its names; of a cell that is `whole` only one draw is made.
pub(in crate::bank) fn value(
    desk: &mut Desk<'_>,
    name: &String,
    text: &ValueText,
    names: &mut Names,
    (facts, whole): (&Facts, &BTreeSet<String>),
) -> Option<Value> {
    desk.name(&way!["values", name], "a value", name);
    let rule = match text {
        ValueText { words: Some(words), .. } => word_rule(desk, name, words),
        ValueText { pick: Some(table), .. } => {
            pick_rule(desk, name, (table, text), names, (facts, whole))
        }
        _ => number_rule(desk, name, text, names),
    };
    if rule.is_none() {
        add_anyway(name, text, names, facts);
    }
    Some(Value { name: name.clone(), rule: rule? })
}

/// Makes the names of a value known although its rule is wrong, so that one mistake is told once.
pub(in crate::bank) fn add_anyway(name: &str, text: &ValueText, names: &mut Names, facts: &Facts) {
    names.unsound.insert(name.to_owned());
    let table = text.pick.as_deref().and_then(|table| facts.table(table));
    for column in text.with.iter().flatten() {
        let kind =
            table.and_then(|table| table.column(column).map(|place| table.columns[place].kind));
        let field = format!("{name}.{column}");
        if let Some(ColumnKind::Number(unit)) = kind
            && names.find(&field).is_none()
        {
            names.add(&field, None, Shape::Number(unit.dimension()), unit);
        }
    }
    let unit = text.unit.as_deref().and_then(|unit| Unit::parse(unit).ok());
    if let Some(unit) = unit
        && names.find(name).is_none()
    {
        let dimension = unit.dimension();
        let list = text.around.is_some();
        let shape = if list { Shape::List(dimension) } else { Shape::Number(dimension) };
        names.add(name, None, shape, unit);
    }
}

fn number_rule(
    desk: &mut Desk<'_>,
    name: &String,
    text: &ValueText,
    names: &mut Names,
) -> Option<Rule> {
    let at = |key: &str| way!["values", name, key];
    let Some(unit) = &text.unit else {
        let help =
            Some("add `unit:`, such as g, g/unit, unit or \"1\" for a plain number".to_owned());
        desk.key(&way!["values", name], "expected a unit, found none", "of what?", help);
        return None;
    };
    let unit = desk.unit(&at("unit"), unit)?;
    let shape = Shape::Number(unit.dimension());
    let add = |names: &mut Names, shape| names.add(name, text.label.clone(), shape, unit);
    if let Some(fixed) = &text.fixed {
        let number = desk.number(&at("fixed"), fixed)?;
        return Some(Rule::Fixed { slot: add(names, shape), number });
    }
    if let Some(choices) = &text.choose {
        let mut numbers = Vec::new();
        for (index, choice) in choices.iter().enumerate() {
            let number = desk.number(&way!["values", name, "choose", index], choice)?;
            if numbers.contains(&number) {
                let what = format!("`{choice}` stands twice in the list");
                desk.value(&way!["values", name, "choose", index], what, "again", None);
            }
            numbers.push(number);
        }
        if numbers.is_empty() {
            desk.value(&at("choose"), "expected at least one number, found none", "empty", None);
            return None;
        }
        return Some(Rule::Choice { slot: add(names, shape), numbers });
    }
    if let Some(formula) = &text.is {
        let (formula, program) = desk.formula(&at("is"), formula, names, &names.unsound)?;
        let Some(round) = &text.round else {
            let help = Some("add `round:`, such as `2 places`".to_owned());
            let what = "expected how the number is written, found nothing";
            desk.key(&way!["values", name], what, "to how many places?", help);
            return None;
        };
        let rounding = desk.rounding(&at("round"), round)?;
        expect_dimension(desk, &at("is"), program.shape(), unit)?;
        return Some(Rule::Derived { slot: add(names, shape), formula, program, rounding });
    }
    if let Some(around) = &text.around {
        let rule = scatter(desk, name, text, around, unit, names)?;
        let slot = names.add(name, text.label.clone(), Shape::List(unit.dimension()), unit);
        return Some(match rule {
            Rule::Scatter { around, count, reach, step, stray, .. } => {
                Rule::Scatter { slot, around, count, reach, step, stray }
            }
            other => other,
        });
    }
    let (from, step, count) = grid(
        desk,
        &way!["values", name],
        text.from.as_deref(),
        text.to.as_deref(),
        text.step.as_deref(),
    )?;
    Some(Rule::Grid { slot: add(names, shape), from, step, count })
}

/// Notes that a formula gives something other than the unit says.
pub(in crate::bank) fn expect_dimension(
    desk: &mut Desk<'_>,
    way: &[crate::bank::reading::yaml::Way],
    found: Shape,
    unit: Unit,
) -> Option<()> {
    match found {
        Shape::Number(dimension) if dimension == unit.dimension() => Some(()),
        Shape::Number(dimension) => {
            desk.value(
                way,
                format!("expected {} (the unit is {unit}), found {dimension}", unit.dimension()),
                format!("this is {dimension}"),
                Some("change the formula or the unit".to_owned()),
            );
            None
        }
        _ => {
            desk.value(way, "expected a number", "this is a list or a condition", None);
            None
        }
    }
}

/// Reads first, last and step of a grid; gives the first, the step and how many numbers there are.
fn grid(
    desk: &mut Desk<'_>,
    base: &[crate::bank::reading::yaml::Way],
    from: Option<&str>,
    to: Option<&str>,
    step: Option<&str>,
) -> Option<(Exact, Exact, u64)> {
    let at = |key: &str| {
        let mut way = base.to_vec();
        way.push(crate::bank::reading::yaml::Way::Key(key.to_owned()));
        way
    };
    let (Some(from), Some(to), Some(step)) = (from, to, step) else {
        desk.key(base, "expected `from`, `to` and `step` together", "one is missing", None);
        return None;
    };
    let low = desk.number(&at("from"), from)?;
    let high = desk.number(&at("to"), to)?;
    let distance = desk.number(&at("step"), step)?;
    if !distance.is_positive() {
        desk.value(&at("step"), format!("expected a step above zero, found {step}"), "here", None);
        return None;
    }
    if high < low {
        let what = format!("expected `to` above `from`, found {from} to {to}");
        desk.value(&at("to"), what, "the lower of the two", None);
        return None;
    }
    let steps = high.sub(low).and_then(|width| width.div(distance)).ok()?;
    if !steps.is_whole() {
        let help = Some("choose `to` so that it is reached from `from` in whole steps".to_owned());
        let what = format!("{to} is not reached from {from} in steps of {step}");
        desk.value(&at("step"), what, "does not divide the range", help);
        return None;
    }
    let count: u64 = steps.trimmed().to_string().parse().ok()?;
    // Written with as many places as either has, so that 0.9, 0.95, 1.00 come out alike.
    let places = low.places().max(distance.places()).max(high.places());
    Some((low.to_places(places), distance.to_places(places), count.saturating_add(1)))
}

fn scatter(
    desk: &mut Desk<'_>,
    name: &String,
    text: &ValueText,
    around: &str,
    unit: Unit,
    names: &Names,
) -> Option<Rule> {
    let at = |key: &str| way!["values", name, key];
    let Some((centre, Shape::Number(dimension))) = names.find(around) else {
        if !names.unsound.contains(around) {
            desk.unknown(&at("around"), "an earlier value", around, names.names());
        }
        return None;
    };
    if dimension != unit.dimension() {
        let what = format!("expected {} to scatter about, found {dimension}", unit.dimension());
        desk.value(&at("around"), what, "another kind of thing", None);
        return None;
    }
    let (Some(count), Some(reach), Some(step)) = (&text.count, &text.reach, &text.step) else {
        let what = "expected `count`, `reach` and `step` with `around`";
        desk.key(&way!["values", name], what, "one is missing", None);
        return None;
    };
    let count = desk.whole(&at("count"), count, 2, 40)?;
    let reach = desk.whole(&at("reach"), reach, 0, 100)?;
    let step = desk.number(&at("step"), step)?;
    if !step.is_positive() {
        desk.value(&at("step"), "expected a step above zero", "here", None);
        return None;
    }
    let stray = match &text.stray {
        None => None,
        Some(stray) => {
            Some(grid(desk, &at("stray"), Some(&stray.from), Some(&stray.to), Some(&stray.step))?)
        }
    };
    Some(Rule::Scatter {
        slot: 0,
        around: centre,
        count: count as usize,
        reach: u64::from(reach),
        step,
        stray,
    })
}

fn word_rule(desk: &mut Desk<'_>, name: &String, words: &[WordText]) -> Option<Rule> {
    let fields_of = |word: &WordText| -> Vec<String> {
        match word {
            WordText::Bare(_) => vec![String::new()],
            WordText::Fields(fields) => fields.0.iter().map(|(field, _)| field.clone()).collect(),
        }
    };
    let fields = words.first().map(fields_of).unwrap_or_default();
    let mut options = Vec::new();
    for (index, word) in words.iter().enumerate() {
        if fields_of(word) != fields {
            let what = "expected the same names as in the first entry, in the same order";
            desk.value(&way!["values", name, "words", index], what, "other names", None);
            return None;
        }
        options.push(match word {
            WordText::Bare(text) => vec![text.clone()],
            WordText::Fields(fields) => fields.0.iter().map(|(_, text)| text.clone()).collect(),
        });
    }
    if options.is_empty() {
        let at = way!["values", name, "words"];
        desk.value(&at, "expected at least one word, found none", "empty", None);
        return None;
    }
    Some(Rule::Words { fields, options })
}
