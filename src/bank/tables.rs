//! Checking facts tables and sources.

use super::desk::{Desk, way};
use super::facts::{Claim, Column, ColumnKind, Fact, Facts, Row, Source, Standing, Table};
use super::reading::Way;
use super::written::{CellText, ClaimText, ColumnText, SourcesText, TableText};

/// Checks a file of sources and adds them.
pub(super) fn add_sources(desk: &mut Desk<'_>, written: SourcesText, facts: &mut Facts) {
    desk.version(&written.castmark);
    for (id, entry) in written.sources.0 {
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
        if facts.source(&id).is_some() {
            let what = format!("source `{id}` stands in another file already");
            let help = Some("keep one of the two".to_owned());
            desk.key(&way!["sources", &id], what, "again", help);
            continue;
        }
        facts.sources.push(Source {
            id,
            short: entry.short,
            full: entry.full,
            standing: *standing,
            place: entry.place,
        });
    }
}

/// Checks a facts table; the sources are known by now.
pub(super) fn table(desk: &mut Desk<'_>, written: TableText, facts: &Facts) -> Table {
    desk.version(&written.castmark);
    let mut columns = Vec::new();
    for (name, column) in written.columns.0 {
        if let Some(kind) = kind(desk, &name, &column) {
            let label = [&column.label, &column.text, &column.texts, &column.sequence]
                .into_iter()
                .flatten()
                .find(|label| !label.is_empty())
                .cloned()
                .unwrap_or_else(|| name.replace('_', " "));
            columns.push(Column { name, label, kind, closed: column.closed });
        }
    }
    let mut table = Table { name: written.table, about: written.about, columns, rows: Vec::new() };
    for (id, cells) in written.rows.0 {
        let mut row = Row { id: id.clone(), cells: vec![Vec::new(); table.columns.len()] };
        for (name, cell) in cells.0 {
            let Some(place) = table.column(&name) else {
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
    let kinds = [
        column.text.is_some(),
        column.texts.is_some(),
        column.number.is_some(),
        column.range.is_some(),
        column.sequence.is_some(),
    ];
    if kinds.iter().filter(|given| **given).count() != 1 {
        desk.key(
            &way!["columns", name],
            "expected one of `text`, `texts`, `number`, `range` or `sequence`",
            "what does this column hold?",
            Some("write `text`, or `{ number: g/mL, label: density }` and the like".to_owned()),
        );
        return None;
    }
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
    if claim.source.is_empty() {
        let help = Some("add `source:` and an id of sources.yaml".to_owned());
        desk.value(way, "expected a source, found none", "who says so?", help);
    } else if facts.source(&claim.source).is_none() {
        let known = facts.sources.iter().map(|source| source.id.as_str());
        desk.unknown(&below("source"), "a source of sources.yaml", &claim.source, known);
    }
    let fact = match (kind, claim.is, claim.from, claim.to, claim.lines) {
        (ColumnKind::Text | ColumnKind::Texts, Some(text), None, None, None) => Fact::Text(text),
        (ColumnKind::Number(_), Some(text), None, None, None) => {
            Fact::Number(desk.number(&below("is"), &text)?)
        }
        (ColumnKind::Range(_), None, Some(from), Some(to), None) => {
            let (low, high) =
                (desk.number(&below("from"), &from)?, desk.number(&below("to"), &to)?);
            if low > high {
                let help = Some(format!("write `from: {high}, to: {low}`"));
                desk.value(&below("from"), "expected the lower number first", "the higher", help);
            }
            Fact::Range(low, high)
        }
        (ColumnKind::Sequence, None, None, None, Some(lines)) => Fact::Sequence(lines),
        _ => {
            let help = match kind {
                ColumnKind::Range(_) => "write `- { from: 30, to: 36, source: ... }`",
                ColumnKind::Sequence => "write `- lines:` with a list, and `source:`",
                _ => "write `- { is: ..., source: ... }`",
            };
            desk.value(way, "the claim does not fit its column", "here", Some(help.to_owned()));
            return None;
        }
    };
    Some(Claim { fact, source: claim.source, note: claim.note, also: claim.also })
}
