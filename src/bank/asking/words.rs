//! Words, ranges and written answers.

use crate::bank::desk::way;
use crate::bank::facts::{Claim, ColumnKind, Fact, Row};
use crate::bank::pools::{rights, same};
use crate::bank::template::{PickOption, Rule, Value};
use crate::bank::theory::{Case, Choice, RangeCase, TextCase, TheoryPlan, WrittenCase};
use crate::bank::written_parts::{RangeText, ShortText, WrittenText};

use super::{Asker, Cell, options_of};

impl<'f> Asker<'_, '_, 'f> {
    pub(super) fn short_text(&mut self, text: &ShortText) -> Option<TheoryPlan> {
        let is_text = |kind| matches!(kind, ColumnKind::Text);
        let cell = self.drawn_cell("of", &text.of, "texts", is_text)?;
        let mut cases = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let words = |claim: &'f Claim| {
                claim.text().into_iter().chain(claim.also.iter().map(String::as_str))
            };
            let mut answers: Vec<&str> = words(claim).collect();
            // Rows of which the same is said answer as well: the question cannot tell them apart.
            let (alike, others): (Vec<&Row>, Vec<&Row>) = cell
                .table
                .rows
                .iter()
                .filter(|other| other.id != row.id)
                .partition(|other| self.is_alike(&cell, option, other));
            let words_of = |row: &'f Row| row.cells[cell.column].iter().flat_map(words);
            answers.extend(alike.into_iter().flat_map(words_of));
            let others = others.into_iter().flat_map(words_of);
            let others = others.filter(|other| !answers.iter().any(|answer| same(answer, other)));
            let others = others.map(str::to_owned).collect();
            let own = Some(&claim.source).filter(|source| !source.is_empty());
            let source = own.or(option.sources.first()).cloned().unwrap_or_default();
            let answers = answers.into_iter().map(str::to_owned).collect();
            cases.push(Case::Text(TextCase { answers, others, source }));
        }
        let picks = vec![cell.value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    /// The short name of a source.
    fn by(&self, source: &str) -> String {
        self.facts.source(source).map(|source| source.short.clone()).unwrap_or_default()
    }

    /// Whether another row says the same in every column that is drawn, apart from the one asked for.
    fn is_alike(&self, cell: &Cell<'_>, option: &PickOption, other: &Row) -> bool {
        let Some(Value { rule: Rule::Pick { fields, .. }, .. }) = self.values.get(cell.value)
        else {
            return false;
        };
        let drawn: Vec<usize> = fields
            .iter()
            .filter_map(|field| cell.table.column(field.strip_suffix("_source")?))
            .filter(|column| *column != cell.column)
            .collect();
        let is_said = |column: &usize| {
            let claim = option.claims.get(*column).copied().flatten();
            let said = cell.row(option).and_then(|row| row.cells[*column].get(claim?));
            said.is_some_and(|said| {
                other.cells[*column].iter().any(|claim| claim.fact == said.fact)
            })
        };
        !drawn.is_empty() && drawn.iter().all(is_said)
    }

    pub(super) fn range(&mut self, text: &RangeText) -> Option<TheoryPlan> {
        let is_range = |kind| matches!(kind, ColumnKind::Range(_));
        let cell = self.drawn_cell("of", &text.of, "ranges", is_range)?;
        let at = self.at("tolerance");
        let tolerance = self.desk.number(&at, &text.tolerance)?;
        if tolerance.is_negative() {
            let what = format!("expected a tolerance of zero or more, found {tolerance}");
            self.desk.value(&at, what, "below zero", None);
            return None;
        }
        let ColumnKind::Range(unit) = cell.table.columns[cell.column].kind else { return None };
        let mut cases = Vec::new();
        for option in cell.options {
            let claim = cell.claim(option)?;
            let Fact::Range(low, high) = claim.fact else { return None };
            let source = claim.source.clone();
            cases.push(Case::Range(RangeCase { low, high, unit, tolerance, source }));
        }
        let picks = vec![cell.value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    pub(super) fn written(&mut self, text: &WrittenText) -> Option<TheoryPlan> {
        let lines = u32::try_from(self.whole("lines", &text.lines, 1, 40)?).ok()?;
        let marks = self.marks as usize;
        let mut few = None;
        let (picks, cases) = if let Some(of) = &text.of {
            let is_text = |kind| matches!(kind, ColumnKind::Text | ColumnKind::Texts);
            let cell = self.drawn_cell("of", of, "texts", is_text)?;
            let mut cases = Vec::new();
            for option in cell.options {
                let mut points = rights(self.facts, cell.table, cell.row(option)?, cell.column);
                for point in &mut points {
                    point.because = self.by(&point.source);
                }
                few = few.or((points.len() < marks).then_some(points.len()));
                cases.push(Case::Written(WrittenCase { points, lines }));
            }
            (vec![cell.value], cases)
        } else {
            let mut points = Vec::new();
            for (n, claim) in text.points.iter().flatten().enumerate() {
                if self.facts.source(&claim.source).is_none() {
                    let at = way!["parts", self.id, self.kind, "points", n, "source"];
                    let known = self.facts.sources.iter().map(|source| source.id.as_str());
                    self.desk.unknown(&at, "a source of sources.yaml", &claim.source, known);
                    return None;
                }
                let because = self.by(&claim.source);
                let text = claim.is.0.join(", ");
                points.push(Choice { text, because, source: claim.source.clone() });
            }
            few = few.or((points.len() < marks).then_some(points.len()));
            (Vec::new(), vec![Case::Written(WrittenCase { points, lines })])
        };
        if let Some(found) = few {
            let what = format!("expected at least {marks} points, one a mark, found {found}");
            return self.too_few("lines", what, "add points, or give fewer marks");
        }
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }
}
