//! Checking the values of a template.

use crate::formula::{Scope, Shape, Slot};
use crate::quantity::{Dimension, Exact, Rounding, Unit};

use super::desk::{Desk, way};
use super::facts::{ColumnKind, Fact, Facts, Row, Table};
use super::template::{Name, PickOption, Rule, Value};
use super::written::{Named, Texts, ValueText, WordText};

/// The names of a template so far, by slot.
#[derive(Debug, Default)]
pub(super) struct Names(pub(super) Vec<Name>);

impl Scope for Names {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        self.0.iter().position(|known| known.name == name).map(|slot| (slot, self.0[slot].shape))
    }

    fn names(&self) -> Vec<&str> {
        self.0.iter().map(|known| known.name.as_str()).collect()
    }
}

impl Names {
    pub(super) fn add(
        &mut self,
        name: &str,
        label: Option<String>,
        shape: Shape,
        unit: Unit,
    ) -> usize {
        let label = label.unwrap_or_else(|| name.replace(['_', '.'], " "));
        self.0.push(Name { name: name.to_owned(), label, shape, unit });
        self.0.len() - 1
    }
}

/// The most possibilities a pick may have.
const MOST_OPTIONS: usize = 20_000;

/// Checks one value and adds its names.
pub(super) fn value(
    desk: &mut Desk<'_>,
    name: &String,
    text: &ValueText,
    names: &mut Names,
    facts: &Facts,
) -> Option<Value> {
    check_name(desk, name);
    let kinds = [
        text.from.is_some() || text.to.is_some() || text.step.is_some() && text.around.is_none(),
        text.choose.is_some(),
        text.fixed.is_some(),
        text.is.is_some(),
        text.around.is_some(),
        text.pick.is_some(),
        text.words.is_some(),
    ];
    if kinds.iter().filter(|given| **given).count() != 1 {
        desk.key(
            &way!["values", name],
            "expected exactly one way for the value to come about",
            "how is this drawn?",
            Some(
                "give `from`, `to` and `step`, or one of `choose`, `fixed`, `is`, `around`, `pick`, \
                 `words`"
                    .to_owned(),
            ),
        );
        add_anyway(name, text, names, facts);
        return None;
    }
    let rule = match text {
        ValueText { words: Some(words), .. } => word_rule(desk, name, words),
        ValueText { pick: Some(table), .. } => pick_rule(desk, name, table, text, names, facts),
        _ => number_rule(desk, name, text, names),
    };
    if rule.is_none() {
        add_anyway(name, text, names, facts);
    }
    Some(Value { name: name.clone(), rule: rule? })
}

/// Makes the names of a value known although its rule is wrong, so that one mistake is told once.
fn add_anyway(name: &str, text: &ValueText, names: &mut Names, facts: &Facts) {
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

/// Names are lower-case letters, digits and underscores.
pub(super) fn check_name(desk: &mut Desk<'_>, name: &String) {
    let good = name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
    if !good {
        desk.key(
            &way!["values", name],
            format!(
                "expected a name of lower-case letters, digits and underscores, found `{name}`"
            ),
            "not a name",
            None,
        );
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
        let (formula, program) = desk.formula(&at("is"), formula, names)?;
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
pub(super) fn expect_dimension(
    desk: &mut Desk<'_>,
    way: &[super::reading::Way],
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
    base: &[super::reading::Way],
    from: Option<&str>,
    to: Option<&str>,
    step: Option<&str>,
) -> Option<(Exact, Exact, u64)> {
    let at = |key: &str| {
        let mut way = base.to_vec();
        way.push(super::reading::Way::Key(key.to_owned()));
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
        desk.unknown(&at("around"), "an earlier value", around, names.names());
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

/// The columns of a table as names of a filter.
struct Columns<'a>(&'a Table);

impl Scope for Columns<'_> {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        let column = self.0.column(name)?;
        match self.0.columns[column].kind {
            ColumnKind::Number(unit) => Some((column, Shape::Number(unit.dimension()))),
            _ => None,
        }
    }

    fn names(&self) -> Vec<&str> {
        let numbers =
            self.0.columns.iter().filter(|column| matches!(column.kind, ColumnKind::Number(_)));
        numbers.map(|column| column.name.as_str()).collect()
    }
}

fn pick_rule(
    desk: &mut Desk<'_>,
    name: &String,
    table: &str,
    text: &ValueText,
    names: &mut Names,
    facts: &Facts,
) -> Option<Rule> {
    let at = |key: &str| way!["values", name, key];
    let Some(table) = facts.table(table) else {
        let known = facts.tables.iter().map(|table| table.name.as_str());
        desk.unknown(&at("pick"), "a facts table", table, known);
        return None;
    };
    let mut with = Vec::new();
    for (index, column) in text.with.iter().flatten().enumerate() {
        match table.column(column) {
            Some(place) => with.push(place),
            None => {
                let known = table.columns.iter().map(|column| column.name.as_str());
                desk.unknown(
                    &way!["values", name, "with", index],
                    "a column of the table",
                    column,
                    known,
                );
                return None;
            }
        }
    }
    let filter = match &text.filter {
        None => None,
        Some(filter) => {
            let (_, program) = desk.formula(&at("where"), filter, &Columns(table))?;
            if program.shape() != Shape::Truth {
                let help = Some("compare a column with a number".to_owned());
                desk.value(&at("where"), "expected a condition", "this is a number", help);
                return None;
            }
            Some(program)
        }
    };
    let only = only_columns(desk, name, text.only.as_ref(), table)?;
    let numeric: Vec<usize> = with
        .iter()
        .copied()
        .filter(|column| matches!(table.columns[*column].kind, ColumnKind::Number(_)))
        .collect();
    let mut maker = OptionMaker { table, facts, with: &with, options: Vec::new() };
    for row in table.rows.iter().filter(|row| holds_only(row, &only)) {
        maker.add_row(row, filter.as_ref());
    }
    let options = maker.options;
    if options.is_empty() || options.len() > MOST_OPTIONS {
        desk.key(
            &way!["values", name],
            format!("expected from 1 to {MOST_OPTIONS} possibilities, found {}", options.len()),
            "nothing to pick",
            Some(
                "look at `with`, `where` and `only`; claims from memory are never picked"
                    .to_owned(),
            ),
        );
        return None;
    }
    let slots = numeric
        .iter()
        .map(|column| {
            let column = &table.columns[*column];
            let ColumnKind::Number(unit) = column.kind else { return 0 };
            let shape = Shape::Number(unit.dimension());
            names.add(&format!("{name}.{}", column.name), Some(column.label.clone()), shape, unit)
        })
        .collect();
    Some(Rule::Pick { options, slots, fields: fields(table, &with) })
}

/// The conditions under `only`: a column, and the texts one of which its cell must hold.
fn only_columns(
    desk: &mut Desk<'_>,
    name: &String,
    only: Option<&Named<Texts>>,
    table: &Table,
) -> Option<Vec<(usize, Vec<String>)>> {
    let mut conditions = Vec::new();
    for (column, texts) in only.into_iter().flat_map(|only| &only.0) {
        let Some(place) = table.column(column) else {
            let known = table.columns.iter().map(|column| column.name.as_str());
            desk.unknown(
                &way!["values", name, "only", column],
                "a column of the table",
                column,
                known,
            );
            return None;
        };
        conditions.push((place, texts.0.clone()));
    }
    Some(conditions)
}

fn holds_only(row: &Row, only: &[(usize, Vec<String>)]) -> bool {
    only.iter().all(|(column, texts)| {
        row.cells[*column]
            .iter()
            .any(|claim| claim.text().is_some_and(|text| texts.iter().any(|wanted| wanted == text)))
    })
}

/// The names of the texts of a pick, in the order of [`PickOption::texts`].
fn fields(table: &Table, with: &[usize]) -> Vec<String> {
    let mut fields = vec!["row".to_owned()];
    for (place, column) in table.columns.iter().enumerate() {
        if matches!(column.kind, ColumnKind::Text | ColumnKind::Texts) {
            fields.push(column.name.clone());
        }
        if with.contains(&place) {
            fields.push(format!("{}_source", column.name));
        }
    }
    fields
}

/// Counts out the possibilities of a pick: a row, and one claim for each column under `with`.
struct OptionMaker<'a> {
    table: &'a Table,
    facts: &'a Facts,
    with: &'a [usize],
    options: Vec<PickOption>,
}

impl OptionMaker<'_> {
    fn add_row(&mut self, row: &Row, filter: Option<&crate::formula::Program>) {
        // Which claim of each column under `with`, counted like the digits of a number.
        let choices: Vec<Vec<usize>> = self
            .with
            .iter()
            .map(|column| {
                let claims = row.cells[*column].iter().enumerate();
                claims.filter(|(_, claim)| self.facts.may_ask(claim)).map(|(n, _)| n).collect()
            })
            .collect();
        let total: usize = choices.iter().map(Vec::len).product();
        for mut digits in 0..total.min(MOST_OPTIONS + 1) {
            let mut chosen = vec![None; self.table.columns.len()];
            for (column, choices) in self.with.iter().zip(&choices) {
                chosen[*column] = choices.get(digits % choices.len()).copied();
                digits /= choices.len();
            }
            if filter.is_none_or(|filter| self.passes(row, &chosen, filter)) {
                self.options.push(self.option(row, &chosen));
            }
        }
    }

    fn passes(
        &self,
        row: &Row,
        chosen: &[Option<usize>],
        filter: &crate::formula::Program,
    ) -> bool {
        let slots: Vec<Slot> = (0..self.table.columns.len())
            .map(|column| {
                let ColumnKind::Number(unit) = self.table.columns[column].kind else {
                    return Slot::Empty;
                };
                match self.claim(row, column, chosen).map(|claim| &claim.fact) {
                    Some(Fact::Number(number)) => {
                        unit.to_coherent(*number).map_or(Slot::Empty, Slot::Number)
                    }
                    _ => Slot::Empty,
                }
            })
            .collect();
        filter.holds(&slots) == Ok(true)
    }

    /// The claim chosen for a column, or its first that may be asked.
    fn claim<'r>(
        &self,
        row: &'r Row,
        column: usize,
        chosen: &[Option<usize>],
    ) -> Option<&'r super::facts::Claim> {
        let claims = &row.cells[column];
        match chosen[column] {
            Some(claim) => claims.get(claim),
            None => claims.iter().find(|claim| self.facts.may_ask(claim)),
        }
    }

    fn option(&self, row: &Row, chosen: &[Option<usize>]) -> PickOption {
        let mut numbers = Vec::new();
        for column in self.with {
            if let Some(Fact::Number(number)) = self.claim(row, *column, chosen).map(|c| &c.fact) {
                numbers.push(*number);
            }
        }
        let mut texts = vec![row.id.clone()];
        for (place, column) in self.table.columns.iter().enumerate() {
            let claim = self.claim(row, place, chosen);
            if matches!(column.kind, ColumnKind::Text | ColumnKind::Texts) {
                texts.push(claim.and_then(|claim| claim.text()).unwrap_or_default().to_owned());
            }
            if self.with.contains(&place) {
                texts.push(claim.map_or("", |claim| self.facts.short(claim)).to_owned());
            }
        }
        PickOption { row: row.id.clone(), numbers, texts }
    }
}

/// The smallest distance that a tolerance must cover: half a step of the rounding.
pub(super) fn half_a_step(rounding: Rounding) -> Option<Exact> {
    match rounding {
        Rounding::Figures(_) => None,
        rounding => rounding.step_at(Exact::ONE).div(Exact::whole(2)).ok(),
    }
}

/// Whether a unit counts things.
pub(super) fn is_count(unit: Unit) -> bool {
    unit.dimension() == Dimension::COUNT
}
