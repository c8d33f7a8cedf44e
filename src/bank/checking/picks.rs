//! Checking the picks of a template: which rows and claims of a facts table can be drawn.

use std::collections::BTreeSet;

use crate::formula::{Program, Scope, Shape, Slot};

use crate::bank::checking::names::Names;
use crate::bank::facts::{Claim, ColumnKind, Fact, Facts, Row, Table};
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::{Checked, Unsound};
use crate::bank::reading::words::{FormulaText, NameText, Texts};
use crate::bank::reading::written::{Key, List, Named};
use crate::bank::template::{PickOption, ValueRule};
use crate::bank::written::values::ValueText;

/// The most possibilities a pick may have.
const MOST_OPTIONS: usize = 20_000;

/// Checks a pick, counts out its possibilities and adds its names.
pub(super) fn pick_rule(
    checker: &mut Checker<'_>,
    (name, text): (&Key, &ValueText),
    table: &NameText,
    names: &mut Names,
    (facts, whole): (&Facts, &BTreeSet<String>),
) -> Checked<ValueRule> {
    let table = facts.named(checker, table)?;
    let all_read = text.with.as_ref().map_or(Ok(()), List::check);
    let with = text.with.iter().flat_map(|with| with.iter());
    let with: Vec<Checked<usize>> = with.map(|column| column_of(checker, table, column)).collect();
    let filter = text.filter.as_ref().map(|filter| filter_of(checker, filter, table)).transpose();
    let only = only_columns(checker, text.only.as_ref(), table);
    let with = with.into_iter().collect::<Checked<Vec<usize>>>()?;
    let (filter, only) = (filter?, only?);
    all_read?;
    let is_whole = |column: &&usize| {
        let column = &table.columns[**column];
        matches!(column.kind, ColumnKind::Texts | ColumnKind::Range(_))
            && whole.contains(&format!("{name}.{}", column.name))
    };
    let whole: Vec<usize> = with.iter().filter(is_whole).copied().collect();
    let mut maker = OptionMaker { table, facts, with: &with, whole: &whole, options: Vec::new() };
    for row in table.rows.iter().filter(|row| holds_only(row, &only)) {
        maker.add_row(row, filter.as_ref());
    }
    let options = maker.options;
    if options.is_empty() || options.len() > MOST_OPTIONS {
        let what =
            format!("expected from 1 to {MOST_OPTIONS} possibilities, found {}", options.len());
        let help = "look at `with`, `where` and `only`; claims from memory are never picked";
        return Err(checker.key(name, what, "nothing to pick", Some(help.to_owned())));
    }
    let mut slots = Vec::new();
    for column in with.iter().map(|column| &table.columns[*column]) {
        if let ColumnKind::Number(unit) = column.kind {
            let (field, label) = (format!("{}.{}", name, column.name), column.label.clone());
            slots.push(names.add(&field, Some(label), Shape::Number(unit.dimension()), unit));
        }
    }
    let fields = fields(table, &with);
    Ok(ValueRule::Pick { table: table.name.clone(), options, slots, fields })
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

/// The condition of a pick on the columns of its rows.
fn filter_of(checker: &mut Checker<'_>, text: &FormulaText, table: &Table) -> Checked<Program> {
    let (_, program) = text.compile(checker, &Columns(table), &Unsound::default())?;
    if program.shape() != Shape::Truth {
        let help = Some("compare a column with a number".to_owned());
        return Err(checker.value(text, "expected a condition", "this is a number", help));
    }
    Ok(program)
}

fn column_of(checker: &mut Checker<'_>, table: &Table, column: &NameText) -> Checked<usize> {
    table.column(column).ok_or_else(|| {
        let known = table.columns.iter().map(|column| column.name.as_str());
        checker.unknown(column, "a column of the table", column, known)
    })
}

/// The conditions under `only`: a column, and the texts one of which its cell must hold.
fn only_columns(
    checker: &mut Checker<'_>,
    only: Option<&Named<Texts>>,
    table: &Table,
) -> Checked<Vec<(usize, Vec<String>)>> {
    let mut conditions = Vec::new();
    let all_read = only.map_or(Ok(()), |only| only.unsound.check());
    for (column, texts) in only.into_iter().flat_map(|only| only.iter()) {
        let Some(index) = table.column(column) else {
            let known = table.columns.iter().map(|column| column.name.as_str());
            conditions.push(Err(checker.unknown_key(
                column,
                "a column of the table",
                column,
                known,
            )));
            continue;
        };
        let held = table.rows.iter().filter_map(|row| row.cells.get(index)).flatten();
        let held: BTreeSet<&str> = held.filter_map(Claim::text).collect();
        for text in texts.all().iter().filter(|text| !held.contains(text.as_str())) {
            let held = held.iter().copied();
            conditions.push(Err(checker.unknown(text, "a text of the column", text, held)));
        }
        let wanted = texts.all().iter().map(ToString::to_string).collect();
        conditions.push(texts.check().map(|()| (index, wanted)));
    }
    all_read?;
    conditions.into_iter().collect()
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
    for (index, column) in table.columns.iter().enumerate() {
        if matches!(column.kind, ColumnKind::Text | ColumnKind::Texts) {
            fields.push(column.name.clone());
        }
        if with.contains(&index) {
            fields.push(format!("{}_source", column.name));
            fields.push(format!("{}_by_source", column.name));
        }
    }
    fields
}

/// Counts out the possibilities of a pick: a row, and one claim for each column under `with`.
struct OptionMaker<'a> {
    table: &'a Table,
    facts: &'a Facts,
    with: &'a [usize],
    /// Those of them whose texts are taken together, so that the first stands for all.
    whole: &'a [usize],
    options: Vec<PickOption>,
}

impl OptionMaker<'_> {
    fn add_row(&mut self, row: &Row, filter: Option<&Program>) {
        // Which claim of each column under `with`, counted like the digits of a number.
        let choices: Vec<Vec<usize>> =
            self.with.iter().map(|column| self.choices(row, *column)).collect();
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

    /// The claims of a cell that can be drawn. Two sources that say the same make one possibility,
    /// under the first of them: otherwise two problems of different numbers could be the same.
    fn choices(&self, row: &Row, column: usize) -> Vec<usize> {
        let claims = &row.cells[column];
        let is_first = |n: &usize| {
            let mut earlier = claims.iter().take(*n);
            !earlier.any(|claim| claim.fact == claims[*n].fact && self.may_ask(column, claim))
        };
        let may_ask = (0..claims.len()).filter(|n| self.may_ask(column, &claims[*n]));
        let most = if self.whole.contains(&column) { 1 } else { usize::MAX };
        may_ask.filter(is_first).take(most).collect()
    }

    fn passes(&self, row: &Row, chosen: &[Option<usize>], filter: &Program) -> bool {
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
    ) -> Option<&'r Claim> {
        let claims = &row.cells[column];
        match chosen[column] {
            Some(claim) => claims.get(claim),
            None => claims.iter().find(|claim| self.may_ask(column, claim)),
        }
    }

    fn may_ask(&self, column: usize, claim: &Claim) -> bool {
        self.table.columns[column].says(claim) && self.facts.may_ask(claim)
    }

    /// What every source says of a cell, as a list with a line for each.
    fn by_source(&self, row: &Row, index: usize) -> String {
        let column = &self.table.columns[index];
        let claims = row.cells[index].iter().filter(|claim| self.may_ask(index, claim));
        let lines = claims
            .filter(|claim| !claim.source.is_empty())
            .map(|claim| format!("- {}: {}", self.facts.short(claim), column.told(claim)));
        lines.collect::<Vec<_>>().join("\n")
    }

    fn option(&self, row: &Row, chosen: &[Option<usize>]) -> PickOption {
        let mut numbers = Vec::new();
        for column in self.with {
            if let Some(Fact::Number(number)) = self.claim(row, *column, chosen).map(|c| &c.fact) {
                numbers.push(*number);
            }
        }
        let mut texts = vec![row.id.clone()];
        for (index, column) in self.table.columns.iter().enumerate() {
            let claim = self.claim(row, index, chosen);
            if matches!(column.kind, ColumnKind::Text | ColumnKind::Texts) {
                texts.push(claim.and_then(|claim| claim.text()).unwrap_or_default().to_owned());
            }
            if self.with.contains(&index) {
                texts.push(claim.map_or("", |claim| self.facts.short(claim)).to_owned());
                texts.push(self.by_source(row, index));
            }
        }
        let claims = (0..self.table.columns.len()).map(|column| {
            let claims = &row.cells[column];
            chosen[column].or_else(|| claims.iter().position(|claim| self.may_ask(column, claim)))
        });
        let mut sources: Vec<String> = Vec::new();
        for column in self.with {
            let source = self.claim(row, *column, chosen).map(|claim| claim.source.clone());
            sources.extend(source.filter(|id| !id.is_empty() && !sources.contains(id)));
        }
        PickOption { row: row.id.clone(), numbers, texts, claims: claims.collect(), sources }
    }
}
