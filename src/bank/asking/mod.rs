//! Checking the parts that want no number worked out, and gathering what they can show.
//!
//! What is common to all kinds stands here; the kinds themselves in [`options`], [`lines`] and
//! [`words`].

mod pools;
mod options;
mod lines;
mod words;

use crate::bank::asking::pools::{StatementColumns, first_text};
use crate::bank::facts::{Claim, ColumnKind, Facts, Row, Table};
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Checked;
use crate::bank::reading::yaml::Way;
use crate::bank::template::theory::TheoryPlan;
use crate::bank::template::{PickOption, Rule, Value};
use crate::bank::written_parts::PartText;

/// The keys of a part that say what kind of answer it wants; none for a number.
pub(super) fn kinds(text: &PartText) -> Vec<&'static str> {
    let kinds = [
        ("verdict", text.verdict.is_some()),
        ("one_option", text.one_option.is_some()),
        ("several_options", text.several_options.is_some()),
        ("true_or_false", text.true_or_false.is_some()),
        ("matching", text.matching.is_some()),
        ("grouping", text.grouping.is_some()),
        ("ordering", text.ordering.is_some()),
        ("find_error", text.find_error.is_some()),
        ("short_text", text.short_text.is_some()),
        ("range", text.range.is_some()),
        ("written", text.written.is_some()),
    ];
    kinds.into_iter().filter(|(_, given)| *given).map(|(key, _)| key).collect()
}

/// The one kind of answer of these [`kinds`]; several, and keys that go with numbers, are noted.
pub(super) fn only_kind(
    desk: &mut Desk<'_>,
    id: &String,
    text: &PartText,
    kinds: &[&'static str],
) -> Checked<&'static str> {
    let [kind] = *kinds else {
        let what = format!("expected one kind of answer, found `{}`", kinds.join("` and `"));
        let help = Some("keep one, and ask the other in a part of its own".to_owned());
        return Err(desk.key(&way!["parts", id], what, "which kind?", help));
    };
    let numeric = [
        ("answer", &text.answer),
        ("unit", &text.unit),
        ("round", &text.round),
        ("tolerance", &text.tolerance),
        ("density", &text.density),
        ("method_marks", &text.method_marks),
    ];
    if let Some((key, _)) = numeric.iter().find(|(_, value)| value.is_some()) {
        let what = format!("expected no `{key}` in a part with `{kind}`");
        let help = Some("remove the line, or ask for the number in a part of its own".to_owned());
        return Err(desk.key(&way!["parts", id, *key], what, "goes with numbers", help));
    }
    Ok(kind)
}

/// Checks a part of theory of this kind and gathers what it can show; what is wrong is noted.
/// `told` are the texts a candidate reads before answering.
pub(super) fn theory_part(
    desk: &mut Desk<'_>,
    (id, text): (&String, &PartText),
    kind: &'static str,
    marks: u32,
    values: &[Value],
    facts: &Facts,
    told: &str,
) -> Checked<TheoryPlan> {
    let mut asker = Asker { desk, id, kind, values, facts, marks, told };
    let plan = match text {
        PartText { one_option: Some(text), .. } => asker.options(text, false),
        PartText { several_options: Some(text), .. } => asker.options(text, true),
        PartText { true_or_false: Some(text), .. } => asker.judgement(text),
        PartText { matching: Some(text), .. } => asker.matching(text),
        PartText { grouping: Some(text), .. } => asker.grouping(text),
        PartText { ordering: Some(text), .. } => asker.ordering(text),
        PartText { find_error: Some(text), .. } => asker.find_error(text),
        PartText { short_text: Some(text), .. } => asker.short_text(text),
        PartText { range: Some(text), .. } => asker.range(text),
        PartText { written: Some(text), .. } => asker.written(text),
        _ => None,
    };
    plan.ok_or_else(|| {
        if let Err(noted) = desk.finish(()) {
            return noted;
        }
        let what =
            "expected a fact that may be asked in every row that is drawn, found a row without";
        let help = "look at the cells and their sources: what stands as memory is never asked";
        desk.key(&way!["parts", id, kind], what, "nothing to ask", Some(help.to_owned()))
    })
}

/// A pick and one of its columns.
pub(super) struct Cell<'a> {
    /// The pick, as an index into the values.
    pub(super) value: usize,
    pub(super) table: &'a Table,
    pub(super) column: usize,
    pub(super) options: &'a [PickOption],
}

impl<'a> Cell<'a> {
    pub(super) fn row(&self, option: &PickOption) -> Option<&'a Row> {
        self.table.row(&option.row)
    }

    pub(super) fn claim(&self, option: &PickOption) -> Option<&'a Claim> {
        let claim = option.claims.get(self.column).copied().flatten()?;
        self.row(option)?.cells[self.column].get(claim)
    }
}

/// Checks one part.
pub(super) struct Asker<'d, 'a, 'f> {
    pub(super) desk: &'d mut Desk<'a>,
    pub(super) id: &'d String,
    pub(super) kind: &'static str,
    pub(super) values: &'f [Value],
    pub(super) facts: &'f Facts,
    pub(super) marks: u32,
    /// The stem and the question, as written.
    pub(super) told: &'f str,
}

impl<'f> Asker<'_, '_, 'f> {
    pub(super) fn at(&self, key: &str) -> Vec<Way> {
        way!["parts", self.id, self.kind, key].to_vec()
    }

    pub(super) fn whole(&mut self, key: &str, text: &str, low: u32, high: u32) -> Option<usize> {
        let at = self.at(key);
        self.desk.whole(&at, text, low, high).ok().and_then(|number| usize::try_from(number).ok())
    }

    /// Notes that the tables do not hold enough.
    pub(super) fn too_few(&mut self, key: &str, what: String, help: &str) {
        let at = self.at(key);
        self.desk.value(&at, what, "too few", Some(help.to_owned()));
    }

    /// The pick and column of a text such as `base.lubricant`.
    pub(super) fn cell(&mut self, key: &str, text: &str) -> Option<Cell<'f>> {
        let (pick, name) = text.split_once('.').unwrap_or((text, ""));
        let (value, table, options) = self.pick(key, pick)?;
        let Some(column) = table.column(name) else {
            let columns = table.columns.iter().map(|column| format!("{pick}.{}", column.name));
            let columns: Vec<String> = columns.collect();
            let at = self.at(key);
            let known = columns.iter().map(String::as_str);
            self.desk.unknown(&at, "a pick and its column", text, known);
            return None;
        };
        Some(Cell { value, table, column, options })
    }

    /// The pick of that name with its table and possibilities.
    pub(super) fn pick(
        &mut self,
        key: &str,
        name: &str,
    ) -> Option<(usize, &'f Table, &'f [PickOption])> {
        let found = self.values.iter().enumerate().find_map(|(place, value)| match &value.rule {
            Rule::Pick { table, options, .. } if value.name == name => {
                Some((place, self.facts.table(table)?, options.as_slice()))
            }
            _ => None,
        });
        if found.is_none() {
            let picks = self.values.iter().filter(|v| matches!(v.rule, Rule::Pick { .. }));
            let known: Vec<&str> = picks.map(|value| value.name.as_str()).collect();
            let at = self.at(key);
            self.desk.unknown(&at, "a pick", name, known);
        }
        found
    }

    /// A cell whose column is of the wanted kind and drawn with its source.
    pub(super) fn drawn_cell(
        &mut self,
        key: &str,
        text: &str,
        what: &str,
        fits: impl Fn(ColumnKind) -> bool,
    ) -> Option<Cell<'f>> {
        let cell = self.cell(key, text)?;
        let column = &cell.table.columns[cell.column];
        if !fits(column.kind) {
            let at = self.at(key);
            let found = match column.kind {
                ColumnKind::Text | ColumnKind::Texts => "texts",
                ColumnKind::Number(_) => "numbers",
                ColumnKind::Range(_) => "ranges",
                ColumnKind::Sequence => "lines",
                ColumnKind::Invented => "texts that were made up",
            };
            let what = format!("expected a column of {what}, found one of {found}");
            let help = "name another column of the pick, or another kind of question".to_owned();
            self.desk.value(&at, what, "another kind", Some(help));
            return None;
        }
        let lacks = |option: &PickOption| cell.claim(option).is_none();
        if cell.options.iter().any(lacks) {
            let (pick, name) = (&self.values[cell.value].name, &column.name);
            let what = format!("rows without `{name}` can be drawn for `{pick}`");
            let help = Some(format!("name `{name}` under `with` of `{pick}`"));
            let at = self.at(key);
            self.desk.value(&at, what, "may be empty", help);
            return None;
        }
        Some(cell)
    }

    /// Notes a column of which nothing is known to be false.
    pub(super) fn expect_wrong(&mut self, key: &str, table: &Table, column: usize) -> Option<()> {
        let denies = |row: &Row| row.cells[column].iter().any(|claim| !claim.is_true());
        if table.columns[column].closed.is_some() || table.rows.iter().any(denies) {
            return Some(());
        }
        let name = &table.columns[column].name;
        let what =
            format!("nothing is known to be false in the column `{name}` of `{}`", table.name);
        let help = "write what is false of a row as `{ is: ..., against: SOURCE }`, or say under `closed` \
                    of the column why what another row says is false";
        let at = self.at(key);
        self.desk.value(&at, what, "what is false here?", Some(help.to_owned()));
        None
    }

    /// Notes a column in which what another row says may be true as well.
    pub(super) fn expect_closed(&mut self, key: &str, table: &Table, column: usize) -> Option<()> {
        let column = &table.columns[column];
        if column.closed.is_some() {
            return Some(());
        }
        let what = format!("the column `{}` of `{}` is not closed", column.name, table.name);
        let help = "say under `closed` of the column why what another row says is false, so that only \
                    one answer fits each line";
        let at = self.at(key);
        self.desk.value(&at, what, "what is false here?", Some(help.to_owned()));
        None
    }

    /// Notes a column that does not hold texts.
    pub(super) fn expect_texts(&mut self, key: &str, table: &Table, column: usize) -> Option<()> {
        let column = &table.columns[column];
        if matches!(column.kind, ColumnKind::Text | ColumnKind::Texts) {
            return Some(());
        }
        let what = format!("expected a column of texts, found `{}`", column.name);
        let at = self.at(key);
        self.desk.value(&at, what, "another kind", None);
        None
    }

    pub(super) fn table(&mut self, key: &str, name: &str) -> Option<&'f Table> {
        let found = self.facts.table(name);
        if found.is_none() {
            let known = self.facts.tables.iter().map(|table| table.name.as_str());
            let at = self.at(key);
            self.desk.unknown(&at, "a facts table", name, known);
        }
        found
    }

    pub(super) fn column(&mut self, key: &str, table: &Table, name: &str) -> Option<usize> {
        let found = table.column(name);
        if found.is_none() {
            let known = table.columns.iter().map(|column| column.name.as_str());
            let at = self.at(key);
            self.desk.unknown(&at, "a column of the table", name, known);
        }
        found
    }

    pub(super) fn statement_columns(
        &mut self,
        key: &str,
        table: &Table,
    ) -> Option<StatementColumns> {
        match StatementColumns::of(table) {
            Ok(columns) => {
                let unclear = table.rows.iter().find(|row| columns.is_true(row).is_none());
                let Some(row) = unclear else { return Some(columns) };
                let found = first_text(row, columns.verdict).unwrap_or("nothing");
                let what = format!(
                    "expected `true` or `false` as the verdict of row `{}` of `{}`, found {found}",
                    row.id, table.name
                );
                let help = "write `verdict: \"true\"`, in quotes".to_owned();
                let at = self.at(key);
                self.desk.value(&at, what, "these statements", Some(help));
                None
            }
            Err(lacking) => {
                let names = StatementColumns::NAMES.join("`, `");
                let what = format!("the table `{}` has no column `{lacking}`", table.name);
                let help = format!("a table of statements has the columns `{names}`");
                let at = self.at(key);
                self.desk.value(&at, what, "no statements", Some(help));
                None
            }
        }
    }
}

/// How many possibilities the picks have.
pub(super) fn options_of(picks: &[usize], values: &[Value]) -> Vec<usize> {
    let count = |pick: &usize| match values.get(*pick).map(|value| &value.rule) {
        Some(Rule::Pick { options, .. }) => options.len(),
        _ => 1,
    };
    picks.iter().map(count).collect()
}
