//! Lines to match, to group and to put in order, and the line with the error.

use crate::bank::asking::asker::{Asker, Cell, Picked};
use crate::bank::asking::pools::{askable, first_text, is_said, sentence};
use crate::bank::facts::same::same;
use crate::bank::facts::{Claim, ColumnKind, Fact, Row, Table};
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::{NameText, WholeText};
use crate::bank::reading::written::List;
use crate::bank::template::theory::{
    Case, Choice, ChoiceCase, MatchingCase, OrderingCase, TheoryPlan,
};
use crate::bank::written::parts::{FindErrorText, GroupingText, MatchingText, OrderingText};

impl<'f> Asker<'_, '_, 'f> {
    pub(super) fn matching(&mut self, text: &MatchingText) -> Checked<TheoryPlan> {
        let table = self.table(&text.rows)?;
        let left = self.column(&text.left, table, &text.left);
        let right = self.column(&text.right, table, &text.right);
        let pairs = text.pairs.count();
        let extra = text.extra.as_ref();
        let extra = extra.map_or(Ok(0), WholeText::count);
        let (right, left) = (self.expect_one_each(&text.right, table, right)?, left?);
        let (pairs, extra) = (pairs?, extra?);
        let (mut rows, mut rights) = (Vec::new(), Vec::new());
        for row in &table.rows {
            let Some(claim) = askable(self.facts, table, row, right).next() else { continue };
            let (Some(name), Some(text)) = (first_text(row, left), claim.text()) else { continue };
            let is_shared =
                table.rows.iter().any(|other| other.id != row.id && is_said(other, right, text));
            if !is_shared {
                rows.push((name.to_owned(), rights.len(), claim.source.clone()));
                rights.push(text.to_owned());
            }
        }
        if rows.len() < pairs + extra {
            let what = format!(
                "expected {} rows whose text is theirs alone, found {}",
                pairs + extra,
                rows.len()
            );
            return Err(self.too_few(&text.pairs, what, "show fewer, or add rows to the table"));
        }
        let case = Case::Matching(MatchingCase { rows, rights, pairs, extra, shared: false });
        Ok(self.plan(Vec::new(), vec![case]))
    }

    pub(super) fn grouping(&mut self, text: &GroupingText) -> Checked<TheoryPlan> {
        let table = self.table(&text.rows)?;
        let item = self.column(&text.item, table, &text.item);
        let group = self.column(&text.group, table, &text.group);
        let pairs = text.items.count();
        let among = text.among.as_ref().map_or(Ok(()), List::check);
        let (group, item) = (self.expect_one_each(&text.group, table, group)?, item?);
        let pairs = pairs?;
        among?;
        let all: Vec<&str> = table.rows.iter().filter_map(|row| first_text(row, group)).collect();
        let mut rights: Vec<String> = Vec::new();
        for wanted in text.among.iter().flat_map(|among| among.iter()) {
            if rights.iter().any(|earlier| same(earlier, wanted)) {
                let what = format!("`{wanted}` stands twice in the list");
                return Err(self.checker.value(wanted, what, "again", None));
            }
            if !all.iter().any(|known| same(known, wanted)) {
                let known = all.iter().copied();
                return Err(self.checker.unknown(wanted, "a group of the table", wanted, known));
            }
            rights.push(wanted.to_string());
        }
        let mut rows = Vec::new();
        for row in &table.rows {
            // What may belong to several groups has no single answer.
            let said: Vec<&Claim> =
                row.cells[group].iter().filter(|claim| claim.is_true()).collect();
            let [claim] = said.as_slice() else { continue };
            let (Some(name), Some(said)) = (first_text(row, item), claim.text()) else { continue };
            if !self.facts.may_ask(claim) {
                continue;
            }
            let known = rights.iter().position(|known| same(known, said));
            let index = match known {
                Some(index) => index,
                None if text.among.is_none() => {
                    rights.push(said.to_owned());
                    rights.len() - 1
                }
                None => continue,
            };
            rows.push((name.to_owned(), index, claim.source.clone()));
        }
        if rows.len() < pairs || rights.len() < 2 || rights.len() > 8 {
            let what = format!(
                "expected {pairs} things in 2 to 8 groups, found {} things in {} groups",
                rows.len(),
                rights.len()
            );
            let help = "show fewer, name groups under `among`, or add rows";
            return Err(self.too_few(&text.items, what, help));
        }
        let case = Case::Matching(MatchingCase { rows, rights, pairs, extra: 0, shared: true });
        Ok(self.plan(Vec::new(), vec![case]))
    }

    /// The column of what goes with things, of which only one can be right for each.
    fn expect_one_each(
        &mut self,
        at: &NameText,
        table: &Table,
        column: Checked<usize>,
    ) -> Checked<usize> {
        let column = column?;
        self.expect_closed(at, table, column)?;
        self.expect_texts(at, table, column)?;
        Ok(column)
    }

    /// A cell that holds lines in their order.
    fn lines(&mut self, at: &NameText) -> Checked<Cell<'f, &'f [String]>> {
        let is_lines = |kind| kind == ColumnKind::Sequence;
        self.cell(at, at, ("lines", is_lines), |_, claim| match &claim.fact {
            Fact::Sequence(lines) => Some(lines.as_slice()),
            _ => None,
        })
    }

    pub(super) fn ordering(&mut self, text: &OrderingText) -> Checked<TheoryPlan> {
        let show = text.show.count();
        let cell = self.lines(&text.steps)?;
        let show = show?;
        let mut cases = Vec::new();
        for drawn in &cell.drawn {
            let (lines, row) = (drawn.said, &drawn.row.id);
            if lines.len() < show {
                let what = format!("expected {show} lines in `{row}`, found {}", lines.len());
                return Err(self.too_few(&text.show, what, "show fewer, or pick other rows"));
            }
            cases.push(Case::Ordering(OrderingCase {
                lines: lines.to_vec(),
                either_way: drawn.claim.either_way.clone(),
                show,
                source: drawn.claim.source.clone(),
            }));
        }
        Ok(self.plan(vec![cell.value], cases))
    }

    pub(super) fn find_error(&mut self, text: &FindErrorText) -> Checked<TheoryPlan> {
        let show = text.show.count();
        let (cell, fault) = (self.lines(&text.lines), self.pick(&text.fault, &text.fault));
        let Picked { value: fault, table, rows } = fault?;
        let right = self.column(&text.fault, table, "right")?;
        let wrong = self.column(&text.fault, table, "wrong")?;
        let because = self.column(&text.fault, table, "because")?;
        let (show, cell) = (show?, cell?);
        // A fault that names its procedure is not looked for in the others.
        let names = table.column("method").zip(cell.table.column("name"));
        let is_of_another = |fault: &Row, procedure: &Row| {
            names.is_some_and(|(method, name)| {
                first_text(fault, method) != first_text(procedure, name)
            })
        };
        let several = cell.drawn.len() > 1;
        let mut cases = Vec::new();
        for (_, row) in rows {
            let claim = askable(self.facts, table, row, wrong).next();
            let texts =
                claim.and_then(|claim| Some((claim, claim.text()?, first_text(row, right)?)));
            let Some((claim, wrong, right)) = texts else {
                return Err(self.nothing_to_ask(text, &row.id));
            };
            let because = first_text(row, because).unwrap_or_default().to_owned();
            for drawn in &cell.drawn {
                let (lines, procedure) = (drawn.said, &drawn.row.id);
                if several && is_of_another(row, drawn.row) {
                    cases.push(Case::Choice(nothing_to_find(show)));
                    continue;
                }
                let Some(index) = lines.iter().position(|line| line == right) else {
                    let what = format!(
                        "the line `{right}` of row `{}` does not stand in `{procedure}`",
                        row.id
                    );
                    let help = "pick only faults of this procedure, or write the line as it stands";
                    let help = Some(help.to_owned());
                    return Err(self.checker.value(&text.fault, what, "which line?", help));
                };
                if lines.len() < show {
                    let what =
                        format!("expected {show} lines in `{procedure}`, found {}", lines.len());
                    return Err(self.too_few(&text.show, what, "show fewer, or pick other rows"));
                }
                let source = claim.source.clone();
                let because = format!(
                    "{} It should read: {}.",
                    sentence(&because),
                    right.trim_end_matches('.')
                );
                let mut indices = vec![index];
                indices.extend((0..lines.len()).filter(|other| *other != index));
                let wrongs = indices.iter().skip(1).map(|index| Choice {
                    text: lines[*index].clone(),
                    source: source.clone(),
                    ..Choice::default()
                });
                cases.push(Case::Choice(ChoiceCase {
                    wrongs: wrongs.collect(),
                    rights: vec![Choice {
                        text: wrong.to_owned(),
                        because,
                        source: source.clone(),
                        ..Choice::default()
                    }],
                    show,
                    least: 1,
                    most: 1,
                    several: false,
                    exclusive: false,
                    lines: Some(indices),
                }));
            }
        }
        Ok(self.plan(vec![cell.value, fault], cases))
    }
}

/// The case of a fault and a procedure that do not go together: it cannot be shown.
fn nothing_to_find(show: usize) -> ChoiceCase {
    ChoiceCase {
        rights: Vec::new(),
        wrongs: Vec::new(),
        show,
        least: 1,
        most: 1,
        several: false,
        exclusive: false,
        lines: Some(Vec::new()),
    }
}
