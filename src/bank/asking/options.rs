//! Options of which some are right, and statements that are true or false.

use crate::bank::asking::asker::{Asker, Picked};
use crate::bank::asking::pools::{
    StatementColumns, askable, first_text, rights, row_name, rows_without, says, sentence,
    statements, wrongs,
};
use crate::bank::facts::same::same;
use crate::bank::facts::{ColumnKind, Row, Table};
use crate::bank::reading::locations::Located;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::{NameText, Says, Text, WholeText, Word};
use crate::bank::template::theory::{Case, Choice, ChoiceCase, JudgementCase, TheoryPlan};
use crate::bank::written::parts::{JudgementText, OptionsText};

/// The picks on which options depend, and for each of their possibilities its name, what is right
/// and what is wrong.
type Pools = (Vec<usize>, Vec<(String, (Vec<Choice>, Vec<Choice>))>);

impl Asker<'_, '_, '_> {
    pub(super) fn options(&mut self, text: &OptionsText, several: bool) -> Checked<TheoryPlan> {
        let show = text.show.count();
        let bounds = show.and_then(|show| self.bounds(text, several, show));
        let (picks, pools) = self.pools(text, several)?;
        let (show, (least, most)) = (show?, bounds?);
        let mut cases = Vec::with_capacity(pools.len());
        for (name, (rights, wrongs)) in pools {
            if rights.len() < least || wrongs.len() + most.min(rights.len()) < show {
                let what = format!(
                    "expected {show} options, {} of them right, found {} right and {} wrong ones for {name}",
                    if least == most { least.to_string() } else { format!("{least} to {most}") },
                    rights.len(),
                    wrongs.len()
                );
                let help = "show fewer, or add rows to the table";
                return Err(self.too_few(&text.show, what, help));
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
        Ok(self.plan(picks, cases))
    }

    /// The options from which those that are shown are drawn.
    fn pools(&mut self, text: &OptionsText, several: bool) -> Checked<Pools> {
        if let Some(of) = &text.of {
            return self.texts_of(of, several);
        }
        if let Some(which) = &text.which {
            let has = self.beside(text, ("which", "has"), text.has.as_ref())?;
            return self.names_with(which, has);
        }
        let table = self.beside(text, ("show", "statements"), text.statements.as_ref())?;
        let about = self.beside(text, ("statements", "about"), text.about.as_ref())?;
        self.statements_about(table, about)
    }

    /// The least and the greatest number of right options.
    fn bounds(
        &mut self,
        text: &OptionsText,
        several: bool,
        show: usize,
    ) -> Checked<(usize, usize)> {
        let right = text.right.iter().flat_map(|right| right.iter());
        let bounds: Vec<usize> = right.map(WholeText::count).collect::<Checked<_>>()?;
        match (several, bounds.as_slice(), &text.right) {
            (false, [], None) => Ok((1, 1)),
            (false, _, Some(right)) => {
                let what = "expected no `right`, since one option is right";
                Err(self.checker.key(right, what, "here", Some("remove it".to_owned())))
            }
            (true, [only], _) if *only < show => Ok((*only, *only)),
            (true, [least, most], _) if least <= most && *most < show => Ok((*least, *most)),
            _ => {
                let what = "expected the least and the greatest number of right options";
                let help = "write `right: [2, 3]`, fewer than are shown".to_owned();
                Err(self.checker.key(text, what, "how many are right?", Some(help)))
            }
        }
    }

    /// The key that goes with another, which is noted when it is missing.
    fn beside<'t, S: Says>(
        &mut self,
        group: &impl Located,
        (one, other): (&str, &str),
        text: Option<&'t Word<S>>,
    ) -> Checked<&'t Word<S>> {
        text.ok_or_else(|| {
            let what = format!("expected `{other}` beside `{one}`, found nothing");
            let help = format!("add `{other}:`, as the manual says");
            self.checker.key(group, what, "missing here", Some(help))
        })
    }

    /// `of`: the texts of the drawn row against those of the others.
    fn texts_of(&mut self, of: &NameText, several: bool) -> Checked<Pools> {
        let cell = self.texts(of, of)?;
        let (table, column) = (cell.table, cell.column);
        self.expect_wrong(of, table, column)?;
        let mut pools = Vec::new();
        for drawn in &cell.drawn {
            let mut true_ones = rights(self.facts, table, drawn.row, column);
            if !several {
                true_ones.retain(|right| same(drawn.said, &right.text));
                let label = &table.columns[column].label;
                for right in &mut true_ones {
                    right.source.clone_from(&drawn.claim.source);
                    let name = row_name(table, drawn.row);
                    right.because = says(self.facts, label, name, drawn.claim);
                }
            }
            let false_ones = wrongs(self.facts, table, drawn.row, column);
            pools.push((row_name(table, drawn.row).to_owned(), (true_ones, false_ones)));
        }
        Ok((vec![cell.value], pools))
    }

    /// `which` and `has`: the name of the drawn row against those of rows that do not have its text.
    fn names_with(&mut self, which: &NameText, has: &NameText) -> Checked<Pools> {
        let (naming, cell) = (self.texts(which, which), self.texts(has, has));
        let (naming, cell) = (naming?, cell?);
        if cell.value != naming.value {
            let what = format!("expected a column of the same pick as `{which}`, found `{has}`");
            return Err(self.checker.value(has, what, "another pick", None));
        }
        let (table, column) = (cell.table, cell.column);
        self.expect_wrong(has, table, column)?;
        let mut pools = Vec::new();
        for drawn in &cell.drawn {
            let Some(name) = first_text(drawn.row, naming.column) else {
                return Err(self.nothing_to_ask(which, &drawn.row.id));
            };
            let because = says(self.facts, &table.columns[column].label, name, drawn.claim);
            let (own, source) = (name.to_owned(), drawn.claim.source.clone());
            let right = Choice { text: own, because, source, ..Choice::default() };
            let others =
                rows_without(self.facts, table, drawn.row, naming.column, column, drawn.said);
            pools.push((name.to_owned(), (vec![right], others)));
        }
        Ok((vec![cell.value], pools))
    }

    /// `statements` and `about`: what is true of a subject against what is false of it.
    fn statements_about(&mut self, table: &NameText, about: &Text) -> Checked<Pools> {
        let columns_at = table;
        let table = self.table(table)?;
        let columns = self.statement_columns(columns_at, table)?;
        let pick = about.split_once('.').map(|(pick, _)| pick);
        let is_pick = pick.is_some_and(|pick| self.values.iter().any(|v| v.name == pick));
        if is_pick {
            let is_text = |kind| kind == ColumnKind::Text;
            let cell = self.cell(about, about, ("texts", is_text), |_, claim| claim.text())?;
            let pool = |subject: &str| statements(self.facts, table, columns, subject);
            let pools = cell.drawn.iter().map(|it| (it.said.to_owned(), pool(it.said)));
            return Ok((vec![cell.value], pools.collect()));
        }
        if let Some(noted) = pick.and_then(|pick| self.unsound.of(pick)) {
            return Err(noted);
        }
        let subjects = table.rows.iter().filter_map(|row| first_text(row, columns.subject));
        let subjects: Vec<&str> = subjects.collect();
        if !subjects.iter().any(|subject| same(subject, about)) {
            return Err(self.checker.unknown(
                about,
                "a subject of the statements",
                about,
                subjects,
            ));
        }
        let pool = statements(self.facts, table, columns, about);
        Ok((Vec::new(), vec![(about.to_string(), pool)]))
    }

    pub(super) fn judgement(&mut self, text: &JudgementText) -> Checked<TheoryPlan> {
        let reasons = text.reasons.as_ref();
        let show = reasons.map(WholeText::count).transpose();
        let marks = self.enough_marks(reasons.is_some());
        let Picked { value, table, rows } = self.pick(&text.statement, &text.statement)?;
        let columns = self.statement_columns(&text.statement, table)?;
        let show = show?;
        marks?;
        let mut cases = Vec::new();
        for (_, row) in rows {
            let claim = askable(self.facts, table, row, columns.says).next();
            let statement =
                claim.and_then(|claim| Some((claim, claim.text()?, columns.is_true(row)?)));
            let Some((claim, statement, truth)) = statement else {
                return Err(self.nothing_to_ask(text, &row.id));
            };
            let (reason, others) = match (show, reasons) {
                (Some(show), Some(at)) => {
                    let (reason, others) = self.reasons(at, table, columns, row, show)?;
                    (Some(reason), others)
                }
                _ => (None, Vec::new()),
            };
            cases.push(Case::Judgement(JudgementCase {
                statement: statement.to_owned(),
                truth,
                source: claim.source.clone(),
                because: StatementColumns::verdict_because(self.facts, claim),
                reason,
                others,
                show: show.unwrap_or(0),
            }));
        }
        Ok(self.plan(vec![value], cases))
    }

    /// Notes marks that do not go with what a judgement asks for.
    fn enough_marks(&mut self, with_reason: bool) -> Checked<()> {
        let (what, label, help) = match (self.marks?, with_reason) {
            (1, false) | (2.., true) => return Ok(()),
            (_, false) => (
                "expected 1 mark, since only the verdict is asked for",
                "too many",
                "write `marks: 1`, or ask for `reasons`",
            ),
            (_, true) => (
                "expected at least 2 marks: one for the verdict, the others for the reason",
                "too few",
                "write `marks: 2`",
            ),
        };
        Err(self.checker.value(&self.marks_at, what, label, Some(help.to_owned())))
    }

    /// The reason of a statement and the wrong reasons on the same point; what is lacking is noted.
    fn reasons(
        &mut self,
        at: &impl Located,
        table: &Table,
        columns: StatementColumns,
        row: &Row,
        show: usize,
    ) -> Checked<(Choice, Vec<Choice>)> {
        let claim = columns.reason(self.facts, row);
        let Some((claim, own)) = claim.and_then(|claim| Some((claim, claim.text()?))) else {
            let what = format!("row `{}` of `{}` has no reason with a source", row.id, table.name);
            let help = "name `because` under `with` of the pick, so that only rows with a reason are \
                        drawn; or leave out `reasons`";
            return Err(self.checker.value(at, what, "no reason", Some(help.to_owned())));
        };
        let reason = |text: &str, source: &str| Choice {
            text: sentence(text),
            source: source.to_owned(),
            ..Choice::default()
        };
        let mut own = reason(own, &claim.source);
        own.because = format!("The reason ({}).", self.facts.short(claim));
        let others: Vec<Choice> =
            columns.wrong_reasons(row).into_iter().map(|text| reason(text, "")).collect();
        if others.len() + 1 < show {
            let what = format!(
                "expected {show} reasons, found {} for row `{}` of `{}`",
                others.len() + 1,
                row.id,
                table.name
            );
            return Err(self.too_few(at, what, "show fewer, or write more `wrong_reasons`"));
        }
        Ok((own, others))
    }
}
