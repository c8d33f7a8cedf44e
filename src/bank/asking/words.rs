//! Words, ranges and written answers.

use crate::bank::asking::asker::{Asker, Cell, Drawn};
use crate::bank::asking::pools::{askable, rights};
use crate::bank::facts::same::same;
use crate::bank::facts::{ColumnKind, Fact, Reliance, Row};
use crate::bank::reading::noted::Checked;
use crate::bank::template::theory::{Case, Point, RangeCase, TextCase, TheoryPlan, WrittenCase};
use crate::bank::written::parts::{PointText, RangeText, ShortText, WrittenText};

impl<'f> Asker<'_, '_, 'f> {
    pub(super) fn short_text(&mut self, text: &ShortText) -> Checked<TheoryPlan> {
        let is_text = |kind| kind == ColumnKind::Text;
        let cell = self.cell(&text.of, &text.of, ("texts", is_text), |_, claim| claim.text())?;
        let mut also = Vec::new();
        for name in text.also_column.iter().flat_map(|all| all.iter()) {
            let column = self.column(name, cell.table, name);
            also.push(column.and_then(|column| {
                self.expect_texts(name, cell.table, column)?;
                Ok(column)
            }));
        }
        let also = also.into_iter().collect::<Checked<Vec<usize>>>()?;
        let mut cases = Vec::new();
        for drawn in &cell.drawn {
            let (row, claim) = (drawn.row, drawn.claim);
            let words = |row: &'f Row, column: usize| {
                askable(self.facts, cell.table, row, column).flat_map(|claim| {
                    claim.text().into_iter().chain(claim.also.iter().map(String::as_str))
                })
            };
            // The drawn word stands first, since it is the one the key prints.
            let mut answers: Vec<&str> = vec![drawn.said];
            answers.extend(words(row, cell.column).filter(|word| *word != drawn.said));
            answers.extend(also.iter().flat_map(|column| words(row, *column)));
            // Rows of which the same is told answer as well: the question cannot tell them apart.
            let others = cell.table.rows.iter().filter(|other| other.id != row.id);
            let (alike, others): (Vec<&Row>, Vec<&Row>) =
                others.partition(|other| self.is_alike(&cell, drawn, other));
            answers.extend(alike.into_iter().flat_map(|row| words(row, cell.column)));
            let mut answers = distinct(answers.into_iter());
            answers.extend(self.by_second_names(&answers));
            let others = others.into_iter().flat_map(|row| words(row, cell.column));
            let others = others.filter(|other| !answers.iter().any(|answer| same(answer, other)));
            let others = distinct(others);
            let own = Some(&claim.source).filter(|source| !source.is_empty());
            let source = own.or(drawn.option.sources.first()).cloned().unwrap_or_default();
            cases.push(Case::Text(TextCase::new(answers, others, source)));
        }
        Ok(self.plan(vec![cell.value], cases))
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
    fn is_alike(&self, cell: &Cell<'_, &str>, drawn: &Drawn<'_, &str>, other: &Row) -> bool {
        let Some(pick) = self.values.get(cell.value) else { return false };
        let columns = cell.table.columns.iter().enumerate();
        let told: Vec<usize> = columns
            .filter(|(index, _)| *index != cell.column)
            .filter(|(_, column)| is_named(self.told, &format!("{}.{}", pick.name, column.name)))
            .map(|(index, _)| index)
            .collect();
        let is_said = |column: &usize| {
            let claim = drawn.option.claims.get(*column).copied().flatten();
            let said = claim.and_then(|claim| drawn.row.cells[*column].get(claim));
            said.is_some_and(|said| {
                other.cells[*column].iter().any(|claim| match (claim.text(), said.text()) {
                    (Some(one), Some(other)) => same(one, other),
                    _ => claim.fact == said.fact,
                })
            })
        };
        !told.is_empty() && told.iter().all(is_said)
    }

    pub(super) fn range(&mut self, text: &RangeText) -> Checked<TheoryPlan> {
        let tolerance = text.tolerance.meaning().and_then(|tolerance| {
            if !tolerance.is_negative() {
                return Ok(tolerance);
            }
            let what = format!("expected a tolerance of zero or more, found {tolerance}");
            Err(self.checker.value(&text.tolerance, what, "below zero", None))
        });
        let is_range = |kind| matches!(kind, ColumnKind::Range(_));
        let cell = self.cell(&text.of, &text.of, ("ranges", is_range), |kind, claim| {
            match (kind, &claim.fact) {
                (ColumnKind::Range(unit), Fact::Range(low, high)) => Some((*low, *high, unit)),
                _ => None,
            }
        })?;
        let tolerance = tolerance?;
        let mut cases = Vec::new();
        for drawn in &cell.drawn {
            let ((low, high, unit), claim) = (drawn.said, drawn.claim);
            let others = askable(self.facts, cell.table, drawn.row, cell.column);
            let published = others.filter(|other| other.source != claim.source);
            let published = published.filter_map(|other| match other.fact {
                Fact::Range(low, high) => Some((low, high, self.facts.short(other).to_owned())),
                _ => None,
            });
            cases.push(Case::Range(RangeCase {
                low,
                high,
                unit,
                tolerance,
                by: self.facts.short(claim).to_owned(),
                published: published.collect(),
                any_source: text.any_source.is_some_and(|any| any.is_true),
                source: claim.source.clone(),
            }));
        }
        Ok(self.plan(vec![cell.value], cases))
    }

    pub(super) fn written(&mut self, text: &WrittenText) -> Checked<TheoryPlan> {
        let lines = text.lines.meaning();
        let help = "add points, or give fewer marks";
        let (picks, points) = if let Some(of) = &text.of {
            let cell = self.texts(of, of)?;
            let points = |drawn: &Drawn<'_, &str>| -> Vec<Point> {
                let rights = rights(self.facts, cell.table, drawn.row, cell.column);
                rights.into_iter().map(|right| self.point(right.text, right.source)).collect()
            };
            let points: Vec<Vec<Point>> = cell.drawn.iter().map(points).collect();
            (vec![cell.value], points)
        } else {
            let points = text.points.iter().flat_map(|points| points.iter());
            let points: Vec<Checked<Point>> = points.map(|point| self.read_point(point)).collect();
            (Vec::new(), vec![points.into_iter().collect::<Checked<_>>()?])
        };
        let (marks, lines) = (self.marks? as usize, lines?);
        if let Some(few) = points.iter().find(|points| points.len() < marks) {
            let what = format!("expected at least {marks} points, one a mark, found {}", few.len());
            return Err(match (&text.of, &text.points) {
                (Some(of), _) => self.too_few(of, what, help),
                (None, Some(points)) => self.too_few(points, what, help),
                (None, None) => self.too_few(text, what, help),
            });
        }
        let case = |points| Case::Written(WrittenCase { points, lines });
        Ok(self.plan(picks, points.into_iter().map(case).collect()))
    }

    fn read_point(&mut self, PointText { is, source, .. }: &PointText) -> Checked<Point> {
        let Some(known) = self.facts.source(source) else {
            let known = self.facts.sources().iter().map(|source| source.id.as_str());
            return Err(self.checker.unknown(source, "a source of sources.yaml", source, known));
        };
        if known.standing == Reliance::Memory {
            let what = "expected a source to mark by, found one from memory";
            let help = "look the point up, or leave it out".to_owned();
            return Err(self.checker.value(
                source,
                what,
                "nothing is marked by memory",
                Some(help),
            ));
        }
        let said: Vec<&str> = is.all().iter().map(|text| text.as_str()).collect();
        Ok(self.point(said.join(", "), source.to_string()))
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
