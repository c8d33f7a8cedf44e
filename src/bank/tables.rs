//! Checking facts tables and sources.

use crate::bank::claims::read_cell;
use crate::bank::facts::same::same;
use crate::bank::facts::sources::Sources;
use crate::bank::facts::{Claim, Column, ColumnKind, Row, Source, Table};
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::Location;
use crate::bank::reading::noted::{Checked, Unsound};
use crate::bank::reading::words::Text;
use crate::bank::reading::written::{Either, Key, Named};
use crate::bank::written::facts::{
    CellText, ClaimText, ColumnFields, ColumnText, SourceText, TableText,
};

/// Checks a source.
pub(in crate::bank) fn source(
    checker: &mut Checker<'_>,
    id: &Key,
    text: &SourceText,
) -> Checked<Source> {
    id.expect_id(checker, "a source");
    if let Some(found) = text.found.as_ref().filter(|found| is_private(found)) {
        let what = format!("expected the address of the publisher or body, found `{found}`");
        let help =
            "cite author, title, chapter and year under `full`, and leave `where` out".to_owned();
        checker.value(found, what, "a private address", Some(help));
    }
    Ok(Source {
        id: id.to_string(),
        short: text.short.to_string(),
        full: text.full.to_string(),
        standing: text.standing.meaning()?,
        found: text.found.as_ref().map(ToString::to_string),
        short_on_sheets: text.sheets.is_some(),
    })
}

/// Whether an address is that of a person: a mailbox, a home directory or a file of one's own.
fn is_private(address: &str) -> bool {
    address.contains('@') || address.contains("/~") || address.starts_with("file:")
}

/// Checks a facts table by the sources. Its columns and rows join those of a table that is there, unless
/// it is to stand alone; a row replaces the one of the same id.
pub(in crate::bank) fn table(
    checker: &mut Checker<'_>,
    written: &TableText,
    there: Option<&Table>,
    sources: &Sources,
) -> Table {
    if written.table.is_name(checker, "a table") {
        written.table.expect_file_name(checker);
    }
    let there = there.filter(|_| !written.alone.is_some_and(|alone| alone.is_true));
    let mut unsound = Unsound::default();
    if there.is_none() && written.columns.is_none() {
        let what = "expected `columns` in a facts table, found nothing";
        let help = "add `columns:`, what each column holds; only rows that join a table which comes with \
                    castmark need none";
        let noted = checker.key(written, what, "missing in this file", Some(help.to_owned()));
        unsound = Unsound::all(noted);
    }
    let mut table = Table {
        name: written.table.to_string(),
        about: written.about.to_string(),
        columns: there.map(|table| table.columns.clone()).unwrap_or_default(),
        rows: there.map(|table| table.rows.clone()).unwrap_or_default(),
    };
    unsound.join(&add_columns(checker, written, &mut table));
    for (id, cells) in written.rows.iter() {
        id.expect_id(checker, "a row");
        let mut row = Row { id: id.to_string(), cells: vec![Vec::new(); table.columns.len()] };
        for (name, cell) in cells.iter() {
            let Some(column) = table.column(name) else {
                if unsound.of(name).is_none() {
                    let known = table.columns.iter().map(|column| column.name.as_str());
                    checker.unknown_key(name, "a column of the table", name, known);
                }
                continue;
            };
            let claims = read_cell(checker, cell, table.columns[column].kind, sources);
            said_and_denied(checker, &claims);
            row.cells[column] = claims.into_iter().map(|(claim, _)| claim).collect();
        }
        judged_cells(checker, &table, &row, cells);
        match table.rows.iter_mut().find(|known| known.id == row.id) {
            Some(known) => *known = row,
            None => table.rows.push(row),
        }
    }
    table
}

/// Adds the columns of a file to those that are there; gives those that are written but wrong, whose
/// cells cannot be checked.
fn add_columns(checker: &mut Checker<'_>, written: &TableText, table: &mut Table) -> Unsound {
    let mut unsound = Unsound::default();
    let Some(columns) = &written.columns else { return unsound };
    unsound.join(&columns.unsound);
    for (name, text) in columns.iter() {
        name.is_name(checker, "a column");
        let known = |name: &str| columns.get(name).is_some() || table.column(name).is_some();
        let column = column(checker, name, text, known);
        let Some(column) = unsound.keep(name, column) else { continue };
        match table.column(name) {
            None => table.columns.push(column),
            Some(there) if table.columns[there] == column => {}
            Some(_) => {
                let what = format!(
                    "expected the column `{name}` as the table of this name that comes with castmark \
                     has it, found another"
                );
                let help = "take it away, since the table has it already; or write `alone: true` for a \
                            table in its place";
                let noted = checker.key(name, what, "another column", Some(help.to_owned()));
                unsound.add(name, noted);
            }
        }
    }
    for row in &mut table.rows {
        row.cells.resize(table.columns.len(), Vec::new());
    }
    unsound
}

/// Notes a text that one source says of a row and another denies, so that it is neither right nor wrong.
fn said_and_denied(checker: &mut Checker<'_>, claims: &[(Claim, Location)]) {
    let said = |text: &str| {
        let said = claims.iter().filter(|(claim, _)| claim.is_true());
        said.filter_map(|(claim, _)| claim.text()).any(|known| same(known, text))
    };
    for (claim, at) in claims.iter().filter(|(claim, _)| !claim.is_true()) {
        let Some(text) = claim.text().filter(|text| said(text)) else { continue };
        let what = format!("`{text}` is both said and denied of this row");
        let help =
            "remove one of the two; where sources differ, the text can be neither right nor wrong";
        checker.value(at, what, "said above", Some(help.to_owned()));
    }
}

/// Notes a statement whose verdict and source do not go together, a wrong line that a source is said to
/// say, and a reason without a source.
fn judged_cells(checker: &mut Checker<'_>, table: &Table, row: &Row, written: &Named<CellText>) {
    let cell = |name| table.column(name).and_then(|column| row.cells.get(column));
    let verdict = cell("verdict").and_then(|cell| cell.first()?.text());
    let is_false = match (verdict, cell("right")) {
        (Some(verdict), _) => verdict == "false",
        (None, Some(_)) => true,
        (None, None) => return,
    };
    for name in ["says", "wrong"] {
        let is_judged = table.column(name).is_some_and(|column| table.columns[column].judged);
        let Some((_, Either::Other(items))) = written.get(name).filter(|_| is_judged) else {
            continue;
        };
        for item in items.iter() {
            if let Either::Other(claim) = item {
                judged_claim(checker, name, claim, is_false);
            }
        }
    }
    let because = cell("because").into_iter().flatten().any(|claim| claim.source.is_empty());
    if let Some((key, _)) = written.get("because").filter(|_| because) {
        let what = "expected the reason as a claim with its source, found a bare text";
        let help = "write `because: [{ is: ..., source: ... }]`, or leave it out; a reason that earns a mark \
                    is a claim";
        checker.value(key, what, "no source", Some(help.to_owned()));
    }
}

/// Notes a claim that its source cannot make, since the text is false, or deny, since it is true.
fn judged_claim(checker: &mut Checker<'_>, column: &str, claim: &ClaimText, is_false: bool) {
    match (&claim.source, &claim.against) {
        (Some(source), _) if is_false => {
            let what = if column == "says" {
                format!("the verdict is false, but `{source}` is named as what says so")
            } else {
                format!("a wrong line is false, but `{source}` is named as what says so")
            };
            let help = "write `against:` instead of `source:`, and what the source says under `denied`, or \
                        `invented: true`";
            checker.key(source, what, "says this?", Some(help.to_owned()));
        }
        (None, Some(source)) if !is_false => {
            let what = format!("the verdict is true, but `{source}` is named as what denies it");
            let help = "write `source:` instead of `against:`, or the verdict \"false\"".to_owned();
            checker.key(source, what, "denies this?", Some(help));
        }
        _ => {}
    }
}

/// Whether a column holds texts that are true or false: statements with a verdict, and the wrong lines
/// of procedures.
fn is_judged(name: &str, is_column: impl Fn(&str) -> bool) -> bool {
    [("says", "verdict"), ("wrong", "right")]
        .iter()
        .any(|(judged, other)| name == *judged && is_column(other))
}

fn column(
    checker: &mut Checker<'_>,
    name: &Key,
    text: &ColumnText,
    is_column: impl Fn(&str) -> bool,
) -> Checked<Column> {
    let (kind, label, closed) = match text {
        Either::One(kind) => (kind.meaning()?, None, None),
        Either::Other(fields) => {
            let (kind, label) = kind(fields)?;
            let is_bare = |why: &&Text| matches!(why.as_str(), "true" | "false");
            if let Some(why) = fields.closed.as_ref().filter(is_bare) {
                let what = "expected why what another row says is false, found a bare word";
                let help = "write the reason, as in `closed: each base has one make-up`; silence proves \
                            nothing. Otherwise remove `closed` and write denials with `against`";
                checker.value(why, what, "not a reason", Some(help.to_owned()));
            }
            (kind, fields.label.as_ref().or(label), fields.closed.as_ref())
        }
    };
    Ok(Column {
        name: name.to_string(),
        label: label.map_or_else(|| name.replace('_', " "), ToString::to_string),
        kind,
        closed: closed.map(ToString::to_string),
        judged: is_judged(name, is_column),
    })
}

/// What a column holds, and the label behind the word for it.
fn kind(fields: &ColumnFields) -> Checked<(ColumnKind, Option<&Text>)> {
    if let Some(unit) = &fields.number {
        return unit.meaning().map(|unit| (ColumnKind::Number(unit), None));
    }
    if let Some(unit) = &fields.range {
        return unit.meaning().map(|unit| (ColumnKind::Range(unit), None));
    }
    Ok(match (&fields.text, &fields.texts, &fields.invented) {
        (Some(label), ..) => (ColumnKind::Text, Some(label)),
        (_, Some(label), _) => (ColumnKind::Texts, Some(label)),
        (.., Some(label)) => (ColumnKind::Invented, Some(label)),
        _ => (ColumnKind::Sequence, fields.sequence.as_ref()),
    })
}
