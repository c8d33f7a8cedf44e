//! Options of which some are right, and statements that are true or false.

use crate::bank::asking::pools::{
    StatementColumns, askable, first_text, rights, row_name, rows_without, says, sentence,
    statements, wrongs,
};
use crate::bank::facts::same::same;
use crate::bank::facts::{ColumnKind, Row, Table};
use crate::bank::reading::desk::way;
use crate::bank::template::theory::{Case, Choice, ChoiceCase, JudgementCase, TheoryPlan};
use crate::bank::written_parts::{JudgementText, OptionsText};

use super::{Asker, options_of};

/// The picks on which options depend, and for each of their possibilities its name, what is right
/// and what is wrong.
type Pools = (Vec<usize>, Vec<(String, (Vec<Choice>, Vec<Choice>))>);

impl Asker<'_, '_, '_> {
    pub(super) fn options(&mut self, text: &OptionsText, several: bool) -> Option<TheoryPlan> {
        let show = self.whole("show", &text.show, 2, 12)?;
        let mut bounds = Vec::new();
        for (place, bound) in text.right.iter().enumerate() {
            let at = way!["parts", self.id, self.kind, "right", place];
            bounds.push(self.desk.whole(&at, bound, 1_usize, 11).ok()?);
        }
        let (least, most) = match (several, bounds.as_slice()) {
            (false, []) => (1, 1),
            (true, [only]) if *only < show => (*only, *only),
            (true, [least, most]) if least <= most && *most < show => (*least, *most),
            (true, _) => {
                let what = "expected the least and the greatest number of right options";
                let help = "write `right: [2, 3]`, fewer than are shown".to_owned();
                let at = way!["parts", self.id, self.kind];
                self.desk.key(&at, what, "how many are right?", Some(help));
                return None;
            }
            (false, _) => {
                let what = "expected no `right`, since one option is right";
                let at = way!["parts", self.id, self.kind, "right"];
                self.desk.key(&at, what, "here", Some("remove it".to_owned()));
                return None;
            }
        };
        let (picks, pools) = match text {
            OptionsText { of: Some(of), .. } => self.texts_of(of, several)?,
            OptionsText { which: Some(which), .. } => {
                let has = self.beside("which", "has", text.has.as_deref())?;
                self.names_with(which, has)?
            }
            OptionsText { statements: Some(table), .. } => {
                let about = self.beside("statements", "about", text.about.as_deref())?;
                self.statements_about(table, about)?
            }
            _ => return None,
        };
        let mut cases = Vec::with_capacity(pools.len());
        for (name, (rights, wrongs)) in pools {
            if rights.len() < least || wrongs.len() + most.min(rights.len()) < show {
                let what = format!(
                    "expected {show} options, {} of them right, found {} right and {} wrong ones for {name}",
                    if least == most { least.to_string() } else { format!("{least} to {most}") },
                    rights.len(),
                    wrongs.len()
                );
                self.too_few("show", what, "show fewer, or add rows to the table");
                return None;
            }
            let most = most.min(rights.len());
            let least = least.max(show.saturating_sub(wrongs.len()));
            cases.push(Case::Choice(ChoiceCase {
                rights,
                wrongs,
                show,
                least,
                most,
                several,
                exclusive: text.statements.is_some(),
                lines: None,
            }));
        }
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    /// The key that goes with another, which is noted when it is missing.
    fn beside<'t>(&mut self, one: &str, other: &str, text: Option<&'t str>) -> Option<&'t str> {
        if text.is_none() {
            let what = format!("expected `{other}` beside `{one}`, found nothing");
            let at = way!["parts", self.id, self.kind];
            let help = format!("add `{other}:`, as the manual says");
            self.desk.key(&at, what, "missing here", Some(help));
        }
        text
    }

    /// `of`: the texts of the drawn row against those of the others.
    fn texts_of(&mut self, of: &str, several: bool) -> Option<Pools> {
        let is_text = |kind| matches!(kind, ColumnKind::Text | ColumnKind::Texts);
        let cell = self.drawn_cell("of", of, "texts", is_text)?;
        self.expect_wrong("of", cell.table, cell.column)?;
        let mut pools = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let mut true_ones = rights(self.facts, cell.table, row, cell.column);
            if !several {
                true_ones.retain(|right| claim.text().is_some_and(|text| same(text, &right.text)));
                let label = &cell.table.columns[cell.column].label;
                for right in &mut true_ones {
                    right.source.clone_from(&claim.source);
                    right.because = says(self.facts, label, row_name(cell.table, row), claim);
                }
            }
            let false_ones = wrongs(self.facts, cell.table, row, cell.column);
            pools.push((row_name(cell.table, row).to_owned(), (true_ones, false_ones)));
        }
        Some((vec![cell.value], pools))
    }

    /// `which` and `has`: the name of the drawn row against those of rows that do not have its text.
    fn names_with(&mut self, which: &str, has: &str) -> Option<Pools> {
        let is_text = |kind| matches!(kind, ColumnKind::Text | ColumnKind::Texts);
        let naming = self.drawn_cell("which", which, "texts", is_text)?;
        let cell = self.drawn_cell("has", has, "texts", is_text)?;
        if cell.value != naming.value {
            let at = self.at("has");
            let what = format!("expected a column of the same pick as `{which}`, found `{has}`");
            self.desk.value(&at, what, "another pick", None);
            return None;
        }
        self.expect_wrong("has", cell.table, cell.column)?;
        let mut pools = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let (name, text) = (first_text(row, naming.column)?, claim.text()?);
            let label = &cell.table.columns[cell.column].label;
            let because = says(self.facts, label, name, claim);
            let (own, source) = (name.to_owned(), claim.source.clone());
            let right = Choice { text: own, because, source, ..Choice::default() };
            let others =
                rows_without(self.facts, cell.table, row, naming.column, cell.column, text);
            pools.push((name.to_owned(), (vec![right], others)));
        }
        Some((vec![cell.value], pools))
    }

    /// `statements` and `about`: what is true of a subject against what is false of it.
    fn statements_about(&mut self, table: &str, about: &str) -> Option<Pools> {
        let table = self.table("statements", table)?;
        let columns = self.statement_columns("statements", table)?;
        let subjects = table.rows.iter().filter_map(|row| first_text(row, columns.subject));
        let subjects: Vec<&str> = subjects.collect();
        let is_subject = |text: &str| subjects.iter().any(|subject| same(subject, text));
        let pick = about.split_once('.').map(|(pick, _)| pick);
        let is_pick = pick.is_some_and(|pick| self.values.iter().any(|v| v.name == pick));
        if !is_pick {
            if !is_subject(about) {
                let at = self.at("about");
                self.desk.unknown(&at, "a subject of the statements", about, subjects);
                return None;
            }
            let pool = statements(self.facts, table, columns, about);
            return Some((Vec::new(), vec![(about.to_owned(), pool)]));
        }
        let cell = self.drawn_cell("about", about, "texts", |kind| kind == ColumnKind::Text)?;
        let mut pools = Vec::new();
        for option in cell.options {
            let subject = cell.claim(option)?.text()?;
            pools.push((subject.to_owned(), statements(self.facts, table, columns, subject)));
        }
        Some((vec![cell.value], pools))
    }

    pub(super) fn judgement(&mut self, text: &JudgementText) -> Option<TheoryPlan> {
        let show = match &text.reasons {
            Some(reasons) => self.whole("reasons", reasons, 2, 8)?,
            None => 0,
        };
        let (value, table, options) = self.pick("statement", &text.statement)?;
        let columns = self.statement_columns("statement", table)?;
        let (fits, what) = match show {
            0 => (self.marks == 1, "expected 1 mark, since only the verdict is asked for"),
            _ => (
                self.marks > 1,
                "expected at least 2 marks: one for the verdict, the others for the reason",
            ),
        };
        if !fits {
            let help = if show == 0 {
                "write `marks: 1`, or ask for `reasons`"
            } else {
                "write `marks: 2`"
            };
            let label = if show == 0 { "too many" } else { "too few" };
            let at = way!["parts", self.id, "marks"];
            self.desk.value(&at, what, label, Some(help.to_owned()));
            return None;
        }
        let mut cases = Vec::new();
        for option in options {
            let row = table.row(&option.row)?;
            let claim = askable(self.facts, table, row, columns.says).next()?;
            let (reason, others) = match show {
                0 => (None, Vec::new()),
                _ => self.reasons(table, columns, row, show)?,
            };
            cases.push(Case::Judgement(JudgementCase {
                statement: claim.text()?.to_owned(),
                truth: columns.is_true(row)?,
                source: claim.source.clone(),
                reason,
                others,
                show,
            }));
        }
        let picks = vec![value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    /// The reason of a statement and the wrong reasons on the same point; what is lacking is noted.
    fn reasons(
        &mut self,
        table: &Table,
        columns: StatementColumns,
        row: &Row,
        show: usize,
    ) -> Option<(Option<Choice>, Vec<Choice>)> {
        let Some(claim) = columns.reason(self.facts, row) else {
            let what = format!("row `{}` of `{}` has no reason with a source", row.id, table.name);
            let help = "name `because` under `with` of the pick, so that only rows with a reason are \
                        drawn; or leave out `reasons`";
            let at = self.at("reasons");
            self.desk.value(&at, what, "no reason", Some(help.to_owned()));
            return None;
        };
        let reason = |text: &str, source: &str| Choice {
            text: sentence(text),
            source: source.to_owned(),
            ..Choice::default()
        };
        let own = reason(claim.text()?, &claim.source);
        let others: Vec<Choice> =
            columns.wrong_reasons(row).into_iter().map(|text| reason(text, "")).collect();
        if others.len() + 1 < show {
            let what = format!(
                "expected {show} reasons, found {} for row `{}` of `{}`",
                others.len() + 1,
                row.id,
                table.name
            );
            self.too_few("reasons", what, "show fewer, or write more `wrong_reasons`");
            return None;
        }
        Some((Some(own), others))
    }
}
