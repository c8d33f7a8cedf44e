//! Checking the values of a template.

use std::collections::{BTreeMap, BTreeSet};

use crate::formula::{Scope, Shape};
use crate::quantity::{Exact, Unit};

use crate::bank::checking::picks::pick_rule;
use crate::bank::facts::{ColumnKind, Facts};
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::{Checked, Noted, Unsound};
use crate::bank::reading::yaml::Way;
use crate::bank::template::{Name, Rule, Value};
use crate::bank::written::{ValueText, WordText};

/// The names of a template so far.
#[derive(Debug, Default)]
pub(in crate::bank) struct Names {
    /// The names, by slot.
    pub(in crate::bank) all: Vec<Name>,
    /// The slot of each name, the first where a name is there twice.
    slots: BTreeMap<String, usize>,
    /// Values and steps that are written but wrong, so that what goes with them is not known.
    pub(in crate::bank) unsound: Unsound,
}

impl Scope for Names {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        let slot = *self.slots.get(name)?;
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
        let slot = self.all.len();
        self.all.push(Name { name: name.to_owned(), label, shape, unit });
        self.slots.entry(name.to_owned()).or_insert(slot);
        slot
    }

    pub(in crate::bank) fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether a name is not known yet.
    pub(in crate::bank) fn is_new(&self, name: &str) -> bool {
        !self.slots.contains_key(name)
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
) -> Checked<Value> {
    desk.name(&way!["values", name], "a value", name);
    let rule = match text {
        ValueText { words: Some(words), .. } => word_rule(desk, name, words),
        ValueText { pick: Some(table), .. } => {
            pick_rule(desk, name, (table, text), names, (facts, whole))
        }
        _ => number_rule(desk, name, text, names),
    };
    let rule = rule.inspect_err(|noted| add_anyway(name, text, names, facts, *noted))?;
    Ok(Value { name: name.clone(), rule })
}

/// Makes the names of a value known although its rule is wrong, so that one mistake is told once.
pub(in crate::bank) fn add_anyway(
    name: &str,
    text: &ValueText,
    names: &mut Names,
    facts: &Facts,
    noted: Noted,
) {
    names.unsound.add(name, noted);
    let table = text.pick.as_deref().and_then(|table| facts.table(table));
    for column in text.with.iter().flatten() {
        let kind =
            table.and_then(|table| table.column(column).map(|place| table.columns[place].kind));
        let field = format!("{name}.{column}");
        match kind {
            Some(ColumnKind::Number(unit)) if names.is_new(&field) => {
                names.add(&field, None, Shape::Number(unit.dimension()), unit);
            }
            _ => {}
        }
    }
    let unit = text.unit.as_deref().and_then(|unit| Unit::parse(unit).ok());
    if let Some(unit) = unit.filter(|_| names.is_new(name)) {
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
) -> Checked<Rule> {
    let at = |key: &str| way!["values", name, key];
    let Some(unit) = &text.unit else {
        let help =
            Some("add `unit:`, such as g, g/unit, unit or \"1\" for a plain number".to_owned());
        let at = way!["values", name];
        return Err(desk.key(&at, "expected a unit, found none", "of what?", help));
    };
    let unit = desk.unit(&at("unit"), unit)?;
    let shape = Shape::Number(unit.dimension());
    let add = |names: &mut Names, shape| names.add(name, text.label.clone(), shape, unit);
    if let Some(fixed) = &text.fixed {
        let number = desk.number(&at("fixed"), fixed)?;
        return Ok(Rule::Fixed { slot: add(names, shape), number });
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
            let what = "expected at least one number, found none";
            return Err(desk.value(&at("choose"), what, "empty", None));
        }
        return Ok(Rule::Choice { slot: add(names, shape), numbers });
    }
    if let Some(formula) = &text.is {
        let (formula, program) = desk.formula(&at("is"), formula, names, &names.unsound)?;
        let Some(round) = &text.round else {
            let help = Some("add `round:`, such as `2 places`".to_owned());
            let what = "expected how the number is written, found nothing";
            return Err(desk.key(&way!["values", name], what, "to how many places?", help));
        };
        let rounding = desk.rounding(&at("round"), round)?;
        expect_dimension(desk, &at("is"), program.shape(), unit)?;
        return Ok(Rule::Derived { slot: add(names, shape), formula, program, rounding });
    }
    if let Some(around) = &text.around {
        let rule = scatter(desk, name, text, around, unit, names)?;
        let slot = names.add(name, text.label.clone(), Shape::List(unit.dimension()), unit);
        return Ok(match rule {
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
    Ok(Rule::Grid { slot: add(names, shape), from, step, count })
}

/// Notes that a formula gives something other than the unit says.
pub(in crate::bank) fn expect_dimension(
    desk: &mut Desk<'_>,
    way: &[Way],
    found: Shape,
    unit: Unit,
) -> Checked<()> {
    match found {
        Shape::Number(dimension) if dimension == unit.dimension() => Ok(()),
        Shape::Number(dimension) => Err(desk.value(
            way,
            format!("expected {} (the unit is {unit}), found {dimension}", unit.dimension()),
            format!("this is {dimension}"),
            Some("change the formula or the unit".to_owned()),
        )),
        _ => Err(desk.value(way, "expected a number", "this is a list or a condition", None)),
    }
}

/// The numbers of a grid: the first, the distance of neighbours, and how many there are.
type Grid = (Exact, Exact, u64);

/// Reads first, last and step of a grid.
fn grid(
    desk: &mut Desk<'_>,
    base: &[Way],
    from: Option<&str>,
    to: Option<&str>,
    step: Option<&str>,
) -> Checked<Grid> {
    let at = |key: &str| [base, &way![key]].concat();
    let (Some(from), Some(to), Some(step)) = (from, to, step) else {
        let what = "expected `from`, `to` and `step` together";
        return Err(desk.key(base, what, "one is missing", None));
    };
    let low = desk.number(&at("from"), from);
    let high = desk.number(&at("to"), to);
    let distance = desk.number(&at("step"), step);
    let (low, high, distance) = (low?, high?, distance?);
    if !distance.is_positive() {
        let what = format!("expected a step above zero, found {step}");
        return Err(desk.value(&at("step"), what, "here", None));
    }
    if high < low {
        let what = format!("expected `to` above `from`, found {from} to {to}");
        return Err(desk.value(&at("to"), what, "the lower of the two", None));
    }
    let steps = high.sub(low).and_then(|width| width.div(distance));
    let count = match &steps {
        Ok(steps) if !steps.is_whole() => {
            let help = "choose `to` so that it is reached from `from` in whole steps".to_owned();
            let what = format!("{to} is not reached from {from} in steps of {step}");
            return Err(desk.value(&at("step"), what, "does not divide the range", Some(help)));
        }
        Ok(steps) => steps.trimmed().to_string().parse::<u64>().ok(),
        Err(_) => None,
    };
    // One more than the steps, since both ends can be drawn.
    let Some(count) = count.and_then(|steps| steps.checked_add(1)) else {
        let what = format!(
            "expected a range that can be counted, found {from} to {to} in steps of {step}"
        );
        let help = "draw from a narrower range, or take wider steps".to_owned();
        return Err(desk.value(&at("step"), what, "too many numbers", Some(help)));
    };
    // Written with as many places as either has, so that 0.9, 0.95, 1.00 come out alike.
    let places = low.places().max(distance.places()).max(high.places());
    Ok((low.to_places(places), distance.to_places(places), count))
}

fn scatter(
    desk: &mut Desk<'_>,
    name: &String,
    text: &ValueText,
    around: &str,
    unit: Unit,
    names: &Names,
) -> Checked<Rule> {
    let at = |key: &str| way!["values", name, key];
    let Some((centre, Shape::Number(dimension))) = names.find(around) else {
        return Err(names.unsound.of(around).unwrap_or_else(|| {
            desk.unknown(&at("around"), "an earlier value", around, names.names())
        }));
    };
    if dimension != unit.dimension() {
        let what = format!("expected {} to scatter about, found {dimension}", unit.dimension());
        return Err(desk.value(&at("around"), what, "another kind of thing", None));
    }
    let (Some(count), Some(reach), Some(step)) = (&text.count, &text.reach, &text.step) else {
        let what = "expected `count`, `reach` and `step` with `around`";
        return Err(desk.key(&way!["values", name], what, "one is missing", None));
    };
    let count = desk.whole(&at("count"), count, 2_usize, 40)?;
    let reach = desk.whole(&at("reach"), reach, 0_u64, 100)?;
    let step = desk.number(&at("step"), step)?;
    if !step.is_positive() {
        return Err(desk.value(&at("step"), "expected a step above zero", "here", None));
    }
    let stray = match &text.stray {
        None => None,
        Some(stray) => {
            Some(grid(desk, &at("stray"), Some(&stray.from), Some(&stray.to), Some(&stray.step))?)
        }
    };
    Ok(Rule::Scatter { slot: 0, around: centre, count, reach, step, stray })
}

fn word_rule(desk: &mut Desk<'_>, name: &String, words: &[WordText]) -> Checked<Rule> {
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
            let at = way!["values", name, "words", index];
            return Err(desk.value(&at, what, "other names", None));
        }
        options.push(match word {
            WordText::Bare(text) => vec![text.clone()],
            WordText::Fields(fields) => fields.0.iter().map(|(_, text)| text.clone()).collect(),
        });
    }
    if options.is_empty() {
        let at = way!["values", name, "words"];
        return Err(desk.value(&at, "expected at least one word, found none", "empty", None));
    }
    Ok(Rule::Words { fields, options })
}
