//! Checking facts tables and sources.

use crate::bank::facts::{Claim, Column, ColumnKind, Fact, Facts, Row, Source, Standing, Table};
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::yaml::Way;
use crate::bank::written::{CellText, ClaimText, ColumnText, SourceEntry, SourcesText, TableText};

/// Checks a file of sources.
pub(in crate::bank) fn sources(desk: &mut Desk<'_>, written: SourcesText) -> Vec<Source> {
    let mut sources = Vec::new();
    for (id, entry) in written.sources.0 {
        desk.id(&way!["sources", &id], "a source", &id);
        let standing = Standing::ALL.iter().find(|(_, name)| *name == entry.standing);
        let Some((standing, _)) = standing else {
            desk.unknown(
                &way!["sources", &id, "standing"],
                "how far the source can be relied on",
                &entry.standing,
                Standing::ALL.map(|(_, name)| name),
            );
            continue;
        };
        let SourceEntry { short, full, place, .. } = entry;
        sources.push(Source { id, short, full, standing: *standing, place });
    }
    sources
}

/// Checks a facts table; the sources are known by now.
pub(in crate::bank) fn table(desk: &mut Desk<'_>, written: TableText, facts: &Facts) -> Table {
    if desk.name(&way!["table"], "a table", &written.table) {
        desk.file_name("table", &written.table);
    }
    let mut columns = Vec::new();
    // Columns that are written but wrong: their cells cannot be checked.
    let mut unsound = Vec::new();
    for (name, column) in written.columns.0 {
        desk.name(&way!["columns", &name], "a column", &name);
        if let Some(kind) = kind(desk, &name, &column) {
            let label = [&column.label, &column.text, &column.texts, &column.sequence]
                .into_iter()
                .flatten()
                .find(|label| !label.is_empty())
                .cloned()
                .unwrap_or_else(|| name.replace('_', " "));
            columns.push(Column { name, label, kind, closed: column.closed });
        } else {
            unsound.push(name);
        }
    }
    let mut table = Table { name: written.table, about: written.about, columns, rows: Vec::new() };
    for (id, cells) in written.rows.0 {
        desk.id(&way!["rows", &id], "a row", &id);
        let mut row = Row { id: id.clone(), cells: vec![Vec::new(); table.columns.len()] };
        for (name, cell) in cells.0 {
            let Some(place) = table.column(&name) else {
                if unsound.contains(&name) {
                    continue;
                }
                let known = table.columns.iter().map(|column| column.name.as_str());
                let help = crate::formula::nearest(&name, known)
                    .map(|near| format!("did you mean `{near}`?"));
                let what = format!("expected a column of the table, found `{name}`");
                desk.key(&way!["rows", &id, &name], what, "not a column", help);
                continue;
            };
            let cell =
                read_cell(desk, &way!["rows", &id, &name], cell, table.columns[place].kind, facts);
            row.cells[place] = cell;
        }
        table.rows.push(row);
    }
    table
}

fn kind(desk: &mut Desk<'_>, name: &String, column: &ColumnText) -> Option<ColumnKind> {
    if let Some(unit) = &column.number {
        return desk.unit(&way!["columns", name, "number"], unit).map(ColumnKind::Number);
    }
    if let Some(unit) = &column.range {
        return desk.unit(&way!["columns", name, "range"], unit).map(ColumnKind::Range);
    }
    Some(match (&column.text, &column.texts) {
        (Some(_), _) => ColumnKind::Text,
        (_, Some(_)) => ColumnKind::Texts,
        _ => ColumnKind::Sequence,
    })
}

fn read_cell(
    desk: &mut Desk<'_>,
    way: &[Way],
    cell: CellText,
    kind: ColumnKind,
    facts: &Facts,
) -> Vec<Claim> {
    match cell {
        CellText::Bare(text) if matches!(kind, ColumnKind::Text | ColumnKind::Texts) => {
            let fact = Fact::Text(text);
            vec![Claim { fact, source: String::new(), note: None, also: Vec::new() }]
        }
        CellText::Bare(_) => {
            desk.value(
                way,
                "expected a list of claims, each with its source, found a bare text",
                "no source",
                Some("write `- { is: 1.5, source: ... }`".to_owned()),
            );
            Vec::new()
        }
        CellText::Claims(claims) => claims
            .into_iter()
            .enumerate()
            .filter_map(|(index, claim)| {
                let mut way = way.to_vec();
                way.push(Way::Item(index));
                read_claim(desk, &way, claim, kind, facts)
            })
            .collect(),
    }
}

fn read_claim(
    desk: &mut Desk<'_>,
    way: &[Way],
    claim: ClaimText,
    kind: ColumnKind,
    facts: &Facts,
) -> Option<Claim> {
    let below = |key: &str| {
        let mut way = way.to_vec();
        way.push(Way::Key(key.to_owned()));
        way
    };
    if facts.source(&claim.source).is_none() {
        let known = facts.sources.iter().map(|source| source.id.as_str());
        desk.unknown(&below("source"), "a source of sources.yaml", &claim.source, known);
    }
    let fact = match (kind, claim.is.0.as_slice()) {
        (ColumnKind::Text | ColumnKind::Texts, [text]) => Fact::Text(text.clone()),
        (ColumnKind::Number(_), [number]) => Fact::Number(desk.number(&below("is"), number)?),
        (ColumnKind::Range(_), [from, to]) => {
            let mut at = below("is");
            at.push(Way::Item(0));
            let low = desk.number(&at, from);
            at.pop();
            at.push(Way::Item(1));
            let (low, high) = (low?, desk.number(&at, to)?);
            if low > high {
                let help = Some(format!("write `[{high}, {low}]`"));
                desk.value(&at, "expected the lower number first", "the lower", help);
            }
            Fact::Range(low, high)
        }
        (ColumnKind::Sequence, lines) if lines.len() > 1 => Fact::Sequence(lines.to_vec()),
        (kind, _) => {
            let (expected, help) = match kind {
                ColumnKind::Text | ColumnKind::Texts => ("one text", "is: oily"),
                ColumnKind::Number(_) => ("one number", "is: 1.5"),
                ColumnKind::Range(_) => ("two numbers", "is: [30, 36]"),
                ColumnKind::Sequence => ("a list of at least two lines", "is: [first, second]"),
            };
            desk.value(
                &below("is"),
                format!("expected {expected}, as the column says"),
                "does not fit its column",
                Some(format!("write `{help}`")),
            );
            return None;
        }
    };
    Some(Claim { fact, source: claim.source, note: claim.note, also: claim.also })
}
