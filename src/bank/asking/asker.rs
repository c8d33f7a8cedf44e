//! What every kind of theory looks up: picks, cells, tables and columns.

use crate::bank::asking::pools::{StatementColumns, first_text};
use crate::bank::facts::{Claim, ColumnKind, Facts, Row, Table};
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::noted::{Checked, Noted, Unsound};
use crate::bank::reading::words::NameText;
use crate::bank::template::theory::{Case, TheoryPlan};
use crate::bank::template::{PickOption, Value, ValueRule};

/// A pick with its table and the rows that can be drawn.
pub(super) struct Picked<'f> {
    /// The pick, as an index into the values.
    pub(super) value: usize,
    pub(super) table: &'f Table,
    pub(super) rows: Vec<(&'f PickOption, &'f Row)>,
}

/// A pick and one of its columns.
pub(super) struct Cell<'f, T> {
    /// The pick, as an index into the values.
    pub(super) value: usize,
    pub(super) table: &'f Table,
    pub(super) column: usize,
    /// What the cell holds for each possibility of the pick.
    pub(super) drawn: Vec<Drawn<'f, T>>,
}

/// What a cell holds for one possibility of its pick.
pub(super) struct Drawn<'f, T> {
    pub(super) option: &'f PickOption,
    pub(super) row: &'f Row,
    pub(super) claim: &'f Claim,
    /// What the claim says, as the kind of question wants it.
    pub(super) said: T,
}

/// Checks one part.
pub(super) struct Asker<'d, 'a, 'f> {
    pub(super) checker: &'d mut Checker<'a>,
    pub(super) values: &'f [Value],
    /// The names of values that are written but wrong.
    pub(super) unsound: &'f Unsound,
    pub(super) facts: &'f Facts,
    pub(super) marks: Checked<u32>,
    pub(super) marks_at: Location,
    /// The stem and the question, as written.
    pub(super) told: &'f str,
}

impl<'f> Asker<'_, '_, 'f> {
    /// Notes that the tables do not hold enough.
    pub(super) fn too_few(&mut self, at: &impl Located, what: String, help: &str) -> Noted {
        self.checker.value(at, what, "too few", Some(help.to_owned()))
    }

    /// Notes that a row can be drawn of which nothing may be asked.
    pub(super) fn nothing_to_ask(&mut self, kind: &impl Located, row: &str) -> Noted {
        let what = format!(
            "expected a fact that may be asked in every row that is drawn, found row `{row}` without"
        );
        let help = "look at the cells and their sources: what stands as memory is never asked";
        self.checker.key(kind, what, "nothing to ask", Some(help.to_owned()))
    }

    /// The pick of that name with its table and rows.
    pub(super) fn pick(&mut self, at: &impl Located, name: &str) -> Checked<Picked<'f>> {
        let found = self.values.iter().enumerate().find_map(|(value, known)| match &known.rule {
            ValueRule::Pick { table, options, .. } if known.name == name => {
                Some((value, self.facts.table(table)?, options))
            }
            _ => None,
        });
        let Some((value, table, options)) = found else {
            if let Some(noted) = self.unsound.of(name) {
                return Err(noted);
            }
            let picks = self.values.iter().filter(|v| matches!(v.rule, ValueRule::Pick { .. }));
            let known: Vec<&str> = picks.map(|value| value.name.as_str()).collect();
            return Err(self.checker.unknown(at, "a pick", name, known));
        };
        let rows = options.iter().filter_map(|option| Some((option, table.row(&option.row)?)));
        Ok(Picked { value, table, rows: rows.collect() })
    }

    /// The cell of a text such as `base.lubricant`, whose column must be of the wanted kind and drawn
    /// with its source.
    pub(super) fn cell<T>(
        &mut self,
        at: &impl Located,
        text: &str,
        (wanted, fits): (&str, fn(ColumnKind) -> bool),
        said: impl Fn(ColumnKind, &'f Claim) -> Option<T>,
    ) -> Checked<Cell<'f, T>> {
        let (pick, name) = text.split_once('.').unwrap_or((text, ""));
        let Picked { value, table, rows } = self.pick(at, pick)?;
        let Some(column) = table.column(name) else {
            let columns = table.columns.iter().map(|column| format!("{pick}.{}", column.name));
            let columns: Vec<String> = columns.collect();
            let known = columns.iter().map(String::as_str);
            return Err(self.checker.unknown(at, "a pick and its column", text, known));
        };
        let kind = table.columns[column].kind;
        if !fits(kind) {
            let what = format!("expected a column of {wanted}, found one of {}", holds(kind));
            let help = "name another column of the pick, or another kind of question".to_owned();
            return Err(self.checker.value(at, what, "another kind", Some(help)));
        }
        let mut drawn = Vec::new();
        for (option, row) in rows {
            let claim = option.claims.get(column).copied().flatten();
            let claim = claim.and_then(|claim| row.cells[column].get(claim));
            let Some((claim, said)) = claim.and_then(|claim| Some((claim, said(kind, claim)?)))
            else {
                let what = format!("rows without `{name}` can be drawn for `{pick}`");
                let help = Some(format!("name `{name}` under `with` of `{pick}`"));
                return Err(self.checker.value(at, what, "may be empty", help));
            };
            drawn.push(Drawn { option, row, claim, said });
        }
        Ok(Cell { value, table, column, drawn })
    }

    /// A cell that holds texts.
    pub(super) fn texts(&mut self, at: &impl Located, text: &str) -> Checked<Cell<'f, &'f str>> {
        let is_text = |kind| matches!(kind, ColumnKind::Text | ColumnKind::Texts);
        self.cell(at, text, ("texts", is_text), |_, claim| claim.text())
    }

    /// Notes a column of which nothing is known to be false.
    pub(super) fn expect_wrong(
        &mut self,
        at: &impl Located,
        table: &Table,
        column: usize,
    ) -> Checked<()> {
        let denies = |row: &Row| row.cells[column].iter().any(|claim| !claim.is_true());
        if table.columns[column].closed.is_some() || table.rows.iter().any(denies) {
            return Ok(());
        }
        let name = &table.columns[column].name;
        let what =
            format!("nothing is known to be false in the column `{name}` of `{}`", table.name);
        let help = "write what is false of a row as `{ is: ..., against: SOURCE }`, or say under `closed` \
                    of the column why what another row says is false";
        Err(self.checker.value(at, what, "what is false here?", Some(help.to_owned())))
    }

    /// Notes a column in which what another row says may be true as well.
    pub(super) fn expect_closed(
        &mut self,
        at: &impl Located,
        table: &Table,
        column: usize,
    ) -> Checked<()> {
        let column = &table.columns[column];
        if column.closed.is_some() {
            return Ok(());
        }
        let what = format!("the column `{}` of `{}` is not closed", column.name, table.name);
        let help = "say under `closed` of the column why what another row says is false, so that only \
                    one answer fits each line";
        Err(self.checker.value(at, what, "what is false here?", Some(help.to_owned())))
    }

    /// Notes a column that does not hold texts.
    pub(super) fn expect_texts(
        &mut self,
        at: &impl Located,
        table: &Table,
        column: usize,
    ) -> Checked<()> {
        let column = &table.columns[column];
        if matches!(column.kind, ColumnKind::Text | ColumnKind::Texts) {
            return Ok(());
        }
        let what = format!("expected a column of texts, found `{}`", column.name);
        Err(self.checker.value(at, what, "another kind", None))
    }

    pub(super) fn table(&mut self, name: &NameText) -> Checked<&'f Table> {
        self.facts.named(self.checker, name)
    }

    pub(super) fn column(
        &mut self,
        at: &impl Located,
        table: &Table,
        name: &str,
    ) -> Checked<usize> {
        table.column(name).ok_or_else(|| {
            let known = table.columns.iter().map(|column| column.name.as_str());
            self.checker.unknown(at, "a column of the table", name, known)
        })
    }

    pub(super) fn statement_columns(
        &mut self,
        at: &impl Located,
        table: &Table,
    ) -> Checked<StatementColumns> {
        let columns = StatementColumns::of(table).map_err(|lacking| {
            let names = StatementColumns::NAMES.join("`, `");
            let what = format!("the table `{}` has no column `{lacking}`", table.name);
            let help = format!("a table of statements has the columns `{names}`");
            self.checker.value(at, what, "no statements", Some(help))
        })?;
        let unclear = table.rows.iter().find(|row| columns.is_true(row).is_none());
        let Some(row) = unclear else { return Ok(columns) };
        let found = first_text(row, columns.verdict).unwrap_or("nothing");
        let what = format!(
            "expected `true` or `false` as the verdict of row `{}` of `{}`, found {found}",
            row.id, table.name
        );
        let help = "write `verdict: \"true\"`, in quotes".to_owned();
        Err(self.checker.value(at, what, "these statements", Some(help)))
    }

    /// The plan of cases that depend on these picks, or on none.
    pub(super) fn plan(&self, picks: Vec<usize>, cases: Vec<Case>) -> TheoryPlan {
        let count = |pick: &usize| match self.values.get(*pick).map(|value| &value.rule) {
            Some(ValueRule::Pick { options, .. }) => options.len(),
            _ => 1,
        };
        TheoryPlan { options: picks.iter().map(count).collect(), picks, cases }
    }
}

/// What the cells of a column hold, in words.
fn holds(kind: ColumnKind) -> &'static str {
    match kind {
        ColumnKind::Text | ColumnKind::Texts => "texts",
        ColumnKind::Number(_) => "numbers",
        ColumnKind::Range(_) => "ranges",
        ColumnKind::Sequence => "lines",
        ColumnKind::Invented => "texts that were made up",
    }
}
