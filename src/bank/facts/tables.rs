//! Checking facts tables and sources.

use crate::bank::facts::same::same;
use crate::bank::facts::{
    Bearing, Claim, Column, ColumnKind, Fact, Facts, Row, Source, Standing, Table,
};
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Checked;
use crate::bank::reading::yaml::Way;
use crate::bank::written::{
    CellText, ClaimText, ColumnText, ItemText, SourceEntry, SourcesText, TableText,
};

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
        let private = entry.place.as_ref().filter(|place| is_private(place));
        if let Some(place) = private {
            let what = format!("expected the address of the publisher or body, found `{place}`");
            let help = "cite author, title, chapter and year under `full`, and leave `where` out"
                .to_owned();
            desk.value(&way!["sources", &id, "where"], what, "a private address", Some(help));
        }
        let SourceEntry { short, full, place, sheets, .. } = entry;
        let short_on_sheets = sheets.is_some();
        sources.push(Source { id, short, full, standing: *standing, place, short_on_sheets });
    }
    sources
}

/// Whether an address is that of a person: a mailbox, a home directory or a file of one's own.
fn is_private(place: &str) -> bool {
    place.contains('@') || place.contains("/~") || place.starts_with("file:")
}

/// Checks a facts table; the sources are known by now.
pub(in crate::bank) fn table(desk: &mut Desk<'_>, written: TableText, facts: &Facts) -> Table {
    if desk.name(&way!["table"], "a table", &written.table) {
        desk.file_name("table", &written.table);
    }
    let mut columns = Vec::new();
    // Columns that are written but wrong: their cells cannot be checked.
    let mut unsound = Vec::new();
    let names: Vec<String> = written.columns.0.iter().map(|(name, _)| name.clone()).collect();
    for (name, column) in written.columns.0 {
        desk.name(&way!["columns", &name], "a column", &name);
        if let Ok(kind) = kind(desk, &name, &column) {
            let ColumnText { label, text, texts, sequence, invented, .. } = &column;
            let label = [label, text, texts, sequence, invented]
                .into_iter()
                .flatten()
                .find(|label| !label.is_empty())
                .cloned()
                .unwrap_or_else(|| name.replace('_', " "));
            if column.closed.as_ref().is_some_and(|why| matches!(why.as_str(), "true" | "false")) {
                let what = "expected why what another row says is false, found a bare word";
                let help = "write the reason, as in `closed: each base has one make-up`; silence proves \
                            nothing. Otherwise remove `closed` and write denials with `against`";
                let at = way!["columns", &name, "closed"];
                desk.value(&at, what, "not a reason", Some(help.to_owned()));
            }
            let judged = is_judged(&name, &names);
            columns.push(Column { name, label, kind, closed: column.closed, judged });
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
            let way = way!["rows", &id, &name];
            row.cells[place] = read_cell(desk, &way, cell, table.columns[place].kind, facts);
            said_and_denied(desk, &way, &row.cells[place]);
        }
        judged_cells(desk, &table, &row);
        table.rows.push(row);
    }
    table
}

/// Notes a text that one source says of a row and another denies, so that it is neither right nor wrong.
fn said_and_denied(desk: &mut Desk<'_>, way: &[Way], claims: &[Claim]) {
    let said = |text: &str| {
        claims.iter().any(|claim| claim.is_true() && claim.text().is_some_and(|it| same(it, text)))
    };
    let denied = claims.iter().enumerate().filter(|(_, claim)| !claim.is_true());
    for (place, claim) in denied {
        let Some(text) = claim.text().filter(|text| said(text)) else { continue };
        let what = format!("`{text}` is both said and denied of this row");
        let help =
            "remove one of the two; where sources differ, the text can be neither right nor wrong";
        let at = [way, &[Way::Item(place)]].concat();
        desk.value(&at, what, "said above", Some(help.to_owned()));
    }
}

/// Notes a statement whose verdict and source do not go together, a wrong line that a source is said to
/// say, and a reason without a source.
fn judged_cells(desk: &mut Desk<'_>, table: &Table, row: &Row) {
    let cell = |name| table.column(name).and_then(|column| row.cells.get(column));
    let verdict = cell("verdict").and_then(|cell| cell.first()?.text());
    let is_false = match (verdict, cell("right")) {
        (Some(verdict), _) => verdict == "false",
        (None, Some(_)) => true,
        (None, None) => return,
    };
    for (name, column) in [("says", cell("says")), ("wrong", cell("wrong"))] {
        let judged = table.column(name).is_some_and(|place| table.columns[place].judged);
        for (place, claim) in column.into_iter().flatten().enumerate().filter(|_| judged) {
            let source = &claim.source;
            let at = |key: &str| way!["rows", &row.id, name, place, key];
            if is_false && claim.is_true() {
                let what = if name == "says" {
                    format!("the verdict is false, but `{source}` is named as what says so")
                } else {
                    format!("a wrong line is false, but `{source}` is named as what says so")
                };
                let help = "write `against:` instead of `source:`, and what the source says under `denied`, \
                            or `invented: true`";
                desk.key(&at("source"), what, "says this?", Some(help.to_owned()));
            }
            if !is_false && !claim.is_true() {
                let what =
                    format!("the verdict is true, but `{source}` is named as what denies it");
                let help =
                    "write `source:` instead of `against:`, or the verdict \"false\"".to_owned();
                desk.key(&at("against"), what, "denies this?", Some(help));
            }
        }
    }
    let bare = cell("because").into_iter().flatten().any(|claim| claim.source.is_empty());
    if bare {
        let what = "expected the reason as a claim with its source, found a bare text";
        let help = "write `because: [{ is: ..., source: ... }]`, or leave it out; a reason that earns a mark \
                    is a claim";
        desk.value(&way!["rows", &row.id, "because"], what, "no source", Some(help.to_owned()));
    }
}

/// Whether a column holds texts that are true or false: statements with a verdict, and the wrong lines
/// of procedures.
fn is_judged(name: &str, columns: &[String]) -> bool {
    [("says", "verdict"), ("wrong", "right")]
        .iter()
        .any(|(judged, other)| name == *judged && columns.iter().any(|column| column == other))
}

fn kind(desk: &mut Desk<'_>, name: &String, column: &ColumnText) -> Checked<ColumnKind> {
    if let Some(unit) = &column.number {
        return desk.unit(&way!["columns", name, "number"], unit).map(ColumnKind::Number);
    }
    if let Some(unit) = &column.range {
        return desk.unit(&way!["columns", name, "range"], unit).map(ColumnKind::Range);
    }
    Ok(match (&column.text, &column.texts) {
        (Some(_), _) => ColumnKind::Text,
        (_, Some(_)) => ColumnKind::Texts,
        _ if column.invented.is_some() => ColumnKind::Invented,
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
    let items = match cell {
        CellText::Bare(text) => vec![ItemText::Bare(text)],
        CellText::Items(items) if kind != ColumnKind::Invented => {
            let at = |item| [way, &[Way::Item(item)]].concat();
            let items = items.into_iter().enumerate();
            let claims = items.filter_map(|(item, text)| match text {
                ItemText::Bare(text) => {
                    let what = "expected a claim with its source, found a bare text";
                    let help = format!("write `{{ is: \"{text}\", source: ... }}`");
                    desk.value(&at(item), what, "no source", Some(help));
                    None
                }
                ItemText::Claim(claim) => read_claim(desk, &at(item), claim, kind, facts).ok(),
            });
            return claims.collect();
        }
        CellText::Items(items) => items,
    };
    let mut claims = Vec::new();
    for (place, item) in items.into_iter().enumerate() {
        match (item, kind) {
            (ItemText::Bare(text), ColumnKind::Invented) => {
                let claim = Claim::of(Fact::Text(text), String::new());
                claims.push(Claim { invented: true, ..claim });
            }
            (ItemText::Bare(text), ColumnKind::Text | ColumnKind::Texts) => {
                claims.push(Claim::of(Fact::Text(text), String::new()));
            }
            (ItemText::Bare(_), _) => {
                let what = "expected a list of claims, each with its source, found a bare text";
                let help = "write `- { is: 1.5, source: ... }`".to_owned();
                desk.value(way, what, "no source", Some(help));
            }
            (ItemText::Claim(_), _) => {
                let what = "expected a text that was made up, found a claim with a source";
                let help = "write the text alone; what a source says belongs in another column";
                let at = [way, &[Way::Item(place)]].concat();
                desk.value(&at, what, "not made up", Some(help.to_owned()));
            }
        }
    }
    claims
}

fn read_claim(
    desk: &mut Desk<'_>,
    way: &[Way],
    claim: ClaimText,
    kind: ColumnKind,
    facts: &Facts,
) -> Checked<Claim> {
    let below = |key: &str| [way, &way![key]].concat();
    let (source, bearing) = bearing(desk, way, &claim, facts);
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
                ColumnKind::Text | ColumnKind::Texts | ColumnKind::Invented => {
                    ("one text", "is: oily")
                }
                ColumnKind::Number(_) => ("one number", "is: 1.5"),
                ColumnKind::Range(_) => ("two numbers", "is: [30, 36]"),
                ColumnKind::Sequence => ("a list of at least two lines", "is: [first, second]"),
            };
            let what = format!("expected {expected}, as the column says");
            let help = Some(format!("write `{help}`"));
            return Err(desk.value(&below("is"), what, "does not fit its column", help));
        }
    };
    let either_way = either_way(desk, &below("either_way"), &claim.either_way, &fact);
    let ClaimText { note, also, invented, .. } = claim;
    Ok(Claim { fact, source, note, also, bearing, invented, either_way })
}

/// The source of a claim, and whether it says or denies it.
fn bearing(
    desk: &mut Desk<'_>,
    way: &[Way],
    claim: &ClaimText,
    facts: &Facts,
) -> (String, Bearing) {
    let below = |key: &str| [way, &way![key]].concat();
    let (key, id) = match (&claim.source, &claim.against) {
        (None, Some(id)) => ("against", id.clone()),
        (source, _) => ("source", source.clone().unwrap_or_default()),
    };
    match facts.source(&id).map(|source| source.standing) {
        None => {
            let known = facts.sources.iter().map(|source| source.id.as_str());
            desk.unknown(&below(key), "a source of sources.yaml", &id, known);
        }
        Some(Standing::Reviewed) if key == "source" => {
            let what = format!("`{id}` says nothing: it stands for a review that found no source");
            let help = "name what says it, or write `against:` when it is false".to_owned();
            desk.value(&below(key), what, "not a source of facts", Some(help));
        }
        Some(_) => {}
    }
    if key == "against" {
        return (id, Bearing::Denies(claim.denied.clone()));
    }
    let alone = [("denied", claim.denied.is_some()), ("invented", claim.invented)];
    if let Some((other, _)) = alone.iter().find(|(_, given)| *given) {
        let what = format!("expected no `{other}` beside `source`, since the source says it");
        let help = format!("write `against: {id}` when the text is false, or remove `{other}`");
        desk.key(&below(other), what, "goes with `against`", Some(help));
    }
    (id, Bearing::Says)
}

/// The pairs of lines that may be in either order, by place.
///
/// Whatever is shown of the lines must leave one order, apart from these pairs. So no two lines may be
/// free that a third one keeps apart: without it, nothing would say which of them comes first.
fn either_way(
    desk: &mut Desk<'_>,
    way: &[Way],
    groups: &[Vec<String>],
    fact: &Fact,
) -> Vec<(usize, usize)> {
    let Fact::Sequence(lines) = fact else {
        if !groups.is_empty() {
            let what = "expected no `either_way`, since only lines have an order";
            desk.key(way, what, "goes with a sequence", Some("remove it".to_owned()));
        }
        return Vec::new();
    };
    let mut pairs = Vec::new();
    for (n, group) in groups.iter().enumerate() {
        let mut places = Vec::new();
        for (m, line) in group.iter().enumerate() {
            match lines.iter().position(|known| known == line) {
                Some(place) => places.push(place),
                None => {
                    let at = [way, &way![n, m]].concat();
                    desk.unknown(&at, "a line of the list", line, lines.iter().map(String::as_str));
                }
            }
        }
        if group.len() < 2 {
            let what = "expected at least two lines that may be in either order, found one";
            desk.value(&[way, &way![n]].concat(), what, "and which other?", None);
        }
        places.sort_unstable();
        for (m, one) in places.iter().enumerate() {
            pairs.extend(places[m + 1..].iter().map(|other| (*one, *other)));
        }
    }
    let free = |one: usize, other: usize| pairs.contains(&(one, other));
    let apart = pairs.iter().find_map(|(one, other)| {
        let between = one + 1..*other;
        between
            .into_iter()
            .find(|line| !free(*one, *line) && !free(*line, *other))
            .map(|line| (*one, line, *other))
    });
    if let Some((one, between, other)) = apart {
        let what = format!(
            "`{}` comes before `{}`, and that before `{}`, so the first and the last have one order",
            lines[one], lines[between], lines[other]
        );
        let help =
            "name the line between them in the group as well, or take the pair out".to_owned();
        desk.key(way, what, "not in either order", Some(help));
    }
    pairs
}
