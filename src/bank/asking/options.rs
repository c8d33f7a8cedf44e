//! Options of which some are right, and statements that are true or false.

use crate::bank::asking::pools::{
    askable, first_text, rights, row_name, rows_without, same, says, statements, wrongs,
};
use crate::bank::facts::{ColumnKind, Row};
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
            bounds.push(self.desk.whole(&at, bound, 1, 11)? as usize);
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
        self.expect_closed("of", cell.table, cell.column)?;
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
        self.expect_closed("has", cell.table, cell.column)?;
        let mut pools = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let (name, text) = (first_text(row, naming.column)?, claim.text()?);
            let label = &cell.table.columns[cell.column].label;
            let because = says(self.facts, label, name, claim);
            let right = Choice { text: name.to_owned(), because, source: claim.source.clone() };
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
        let show = self.whole("reasons", &text.reasons, 2, 8)?;
        let (value, table, options) = self.pick("statement", &text.statement)?;
        let columns = self.statement_columns("statement", table)?;
        if self.marks < 2 {
            let what = "expected at least 2 marks: one for the verdict, the others for the reason";
            self.desk.value(&way!["parts", self.id, "marks"], what, "too few", None);
            return None;
        }
        let mut cases = Vec::new();
        for option in options {
            let row = table.row(&option.row)?;
            let subject = first_text(row, columns.subject)?;
            let claim = askable(self.facts, row, columns.says).next()?;
            let reason = |row: &Row, source: &str| Choice {
                text: first_text(row, columns.because).unwrap_or_default().to_owned(),
                because: String::new(),
                source: source.to_owned(),
            };
            let own = reason(row, &claim.source);
            let mut others: Vec<Choice> = Vec::new();
            for other in table.rows.iter().filter(|other| other.id != row.id) {
                let Some(said) = askable(self.facts, other, columns.says).next() else { continue };
                let other_reason = reason(other, &said.source);
                let is_known = others.iter().any(|known| same(&known.text, &other_reason.text));
                if first_text(other, columns.subject) == Some(subject)
                    && !is_known
                    && !same(&other_reason.text, &own.text)
                {
                    others.push(other_reason);
                }
            }
            if others.len() + 1 < show {
                let what =
                    format!("expected {show} reasons about {subject}, found {}", others.len() + 1);
                self.too_few("reasons", what, "show fewer, or add statements");
                return None;
            }
            cases.push(Case::Judgement(JudgementCase {
                statement: claim.text()?.to_owned(),
                truth: columns.is_true(row)?,
                reason: own,
                others,
                show,
            }));
        }
        let picks = vec![value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }
}
