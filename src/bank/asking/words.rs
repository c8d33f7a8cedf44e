//! Words, ranges and written answers.

use crate::bank::asking::pools::{askable, rights};
use crate::bank::facts::same::same;
use crate::bank::facts::{ColumnKind, Fact, Row, Standing};
use crate::bank::reading::desk::way;
use crate::bank::template::PickOption;
use crate::bank::template::theory::{Case, Point, RangeCase, TextCase, TheoryPlan, WrittenCase};
use crate::bank::written_parts::{RangeText, ShortText, WrittenText};

use super::{Asker, Cell, options_of};

impl<'f> Asker<'_, '_, 'f> {
    pub(super) fn short_text(&mut self, text: &ShortText) -> Option<TheoryPlan> {
        let is_text = |kind| matches!(kind, ColumnKind::Text);
        let cell = self.drawn_cell("of", &text.of, "texts", is_text)?;
        let mut also = Vec::new();
        for name in &text.also_column {
            let column = self.column("also_column", cell.table, name)?;
            self.expect_texts("also_column", cell.table, column)?;
            also.push(column);
        }
        let mut cases = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let words = |row: &'f Row, column: usize| {
                askable(self.facts, cell.table, row, column).flat_map(|claim| {
                    claim.text().into_iter().chain(claim.also.iter().map(String::as_str))
                })
            };
            // The drawn word stands first, since it is the one the key prints.
            let mut answers: Vec<&str> = claim.text().into_iter().collect();
            answers.extend(words(row, cell.column).filter(|word| Some(*word) != claim.text()));
            answers.extend(also.iter().flat_map(|column| words(row, *column)));
            // Rows of which the same is told answer as well: the question cannot tell them apart.
            let others = cell.table.rows.iter().filter(|other| other.id != row.id);
            let (alike, others): (Vec<&Row>, Vec<&Row>) =
                others.partition(|other| self.is_alike(&cell, option, other));
            answers.extend(alike.into_iter().flat_map(|row| words(row, cell.column)));
            let mut answers = distinct(answers.into_iter());
            answers.extend(self.by_second_names(&answers));
            let others = others.into_iter().flat_map(|row| words(row, cell.column));
            let others = others.filter(|other| !answers.iter().any(|answer| same(answer, other)));
            let others = distinct(others);
            let own = Some(&claim.source).filter(|source| !source.is_empty());
            let source = own.or(option.sources.first()).cloned().unwrap_or_default();
            cases.push(Case::Text(TextCase::new(answers, others, source)));
        }
        let picks = vec![cell.value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    /// The same terms with the second names of what they are made of: cocoa butter for theobroma oil.
    fn by_second_names(&self, terms: &[String]) -> Vec<String> {
        let names = self.facts.second_names();
        let renamed = terms.iter().flat_map(|term| {
            let names = names.iter().filter(|(name, _)| term.contains(name));
            names.map(move |(name, second)| term.replace(name, second))
        });
        let known = |term: &String| terms.iter().any(|known| same(known, term));
        renamed.filter(|term| !known(term)).collect()
    }

    fn point(&self, text: String, source: String) -> Point {
        let by = self.facts.source(&source).map(|source| source.short.clone()).unwrap_or_default();
        Point { text, source, by }
    }

    /// Whether another row says the same in every column that the stem or the question tells.
    fn is_alike(&self, cell: &Cell<'_>, option: &PickOption, other: &Row) -> bool {
        let Some(pick) = self.values.get(cell.value) else { return false };
        let columns = cell.table.columns.iter().enumerate();
        let told: Vec<usize> = columns
            .filter(|(place, _)| *place != cell.column)
            .filter(|(_, column)| is_named(self.told, &format!("{}.{}", pick.name, column.name)))
            .map(|(place, _)| place)
            .collect();
        let is_said = |column: &usize| {
            let claim = option.claims.get(*column).copied().flatten();
            let said = cell.row(option).and_then(|row| row.cells[*column].get(claim?));
            said.is_some_and(|said| {
                other.cells[*column].iter().any(|claim| match (claim.text(), said.text()) {
                    (Some(one), Some(other)) => same(one, other),
                    _ => claim.fact == said.fact,
                })
            })
        };
        !told.is_empty() && told.iter().all(is_said)
    }

    pub(super) fn range(&mut self, text: &RangeText) -> Option<TheoryPlan> {
        let is_range = |kind| matches!(kind, ColumnKind::Range(_));
        let cell = self.drawn_cell("of", &text.of, "ranges", is_range)?;
        let at = self.at("tolerance");
        let tolerance = self.desk.number(&at, &text.tolerance).ok()?;
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
            let by = self.facts.short(claim).to_owned();
            let others = askable(self.facts, cell.table, cell.row(option)?, cell.column);
            let published = others.filter(|other| other.source != claim.source);
            let published = published.filter_map(|other| match other.fact {
                Fact::Range(low, high) => Some((low, high, self.facts.short(other).to_owned())),
                _ => None,
            });
            let (published, any_source) = (published.collect(), text.any_source);
            cases.push(Case::Range(RangeCase {
                low,
                high,
                unit,
                tolerance,
                by,
                published,
                any_source,
                source,
            }));
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
                let points = rights(self.facts, cell.table, cell.row(option)?, cell.column);
                let points = points.into_iter().map(|right| self.point(right.text, right.source));
                let points: Vec<Point> = points.collect();
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
                let source = self.facts.source(&claim.source);
                if source.is_some_and(|source| source.standing == Standing::Memory) {
                    let at = way!["parts", self.id, self.kind, "points", n, "source"];
                    let what = "expected a source to mark by, found one from memory";
                    let help = "look the point up, or leave it out".to_owned();
                    self.desk.value(&at, what, "nothing is marked by memory", Some(help));
                    return None;
                }
                points.push(self.point(claim.is.0.join(", "), claim.source.clone()));
            }
            few = few.or((points.len() < marks).then_some(points.len()));
            (Vec::new(), vec![Case::Written(WrittenCase { points, lines })])
        };
        if let Some(found) = few {
            let what = format!("expected at least {marks} points, one a mark, found {found}");
            let key = if text.of.is_some() { "of" } else { "points" };
            self.too_few(key, what, "add points, or give fewer marks");
            return None;
        }
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }
}

/// Texts, each once.
fn distinct<'t>(texts: impl Iterator<Item = &'t str>) -> Vec<String> {
    let mut once: Vec<String> = Vec::new();
    for text in texts {
        if !once.iter().any(|known| same(known, text)) {
            once.push(text.to_owned());
        }
    }
    once
}

/// Whether a text names a value, and not only one whose name begins alike.
fn is_named(text: &str, name: &str) -> bool {
    text.match_indices(name).any(|(at, _)| {
        let after = text[at + name.len()..].chars().next();
        after.is_none_or(|next| !next.is_alphanumeric() && next != '_')
    })
}
