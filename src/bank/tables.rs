//! Checking facts tables and sources.

use crate::bank::facts::same::same;
use crate::bank::facts::sources::Sources;
use crate::bank::facts::{Bearing, Claim, Column, ColumnKind, Fact, Row, Source, Standing, Table};
use crate::bank::reading::desk::Desk;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::places::{Place, Placed};
use crate::bank::reading::words::{NameText, Text, number};
use crate::bank::reading::written::{Either, Key, List, Named};
use crate::bank::written::facts::{
    CellText, ClaimText, ColumnFields, ColumnText, ItemText, SourceText, TableText,
};

/// Checks a source.
pub(in crate::bank) fn source(desk: &mut Desk<'_>, id: &Key, text: &SourceText) -> Checked<Source> {
    id.expect_id(desk, "a source");
    if let Some(place) = text.found.as_ref().filter(|place| is_private(place)) {
        let what = format!("expected the address of the publisher or body, found `{place}`");
        let help =
            "cite author, title, chapter and year under `full`, and leave `where` out".to_owned();
        desk.value(place, what, "a private address", Some(help));
    }
    Ok(Source {
        id: id.to_string(),
        short: text.short.to_string(),
        full: text.full.to_string(),
        standing: text.standing.choice(desk)?,
        place: text.found.as_ref().map(ToString::to_string),
        short_on_sheets: text.sheets.as_ref().map(|sheets| sheets.choice(desk)).is_some(),
    })
}

/// Whether an address is that of a person: a mailbox, a home directory or a file of one's own.
fn is_private(place: &str) -> bool {
    place.contains('@') || place.contains("/~") || place.starts_with("file:")
}

/// Checks a facts table by the sources.
pub(in crate::bank) fn table(desk: &mut Desk<'_>, written: &TableText, sources: &Sources) -> Table {
    if written.table.is_name(desk, "a table") {
        written.table.expect_file_name(desk);
    }
    let mut columns = Vec::new();
    // Columns that are written but wrong: their cells cannot be checked.
    let mut unsound: Vec<&str> = Vec::new();
    for (name, text) in written.columns.iter() {
        name.is_name(desk, "a column");
        match column(desk, name, text, &written.columns) {
            Ok(column) => columns.push(column),
            Err(_) => unsound.push(name),
        }
    }
    let mut table = Table {
        name: written.table.to_string(),
        about: written.about.to_string(),
        columns,
        rows: Vec::new(),
    };
    for (id, cells) in written.rows.iter() {
        id.expect_id(desk, "a row");
        let mut row = Row { id: id.to_string(), cells: vec![Vec::new(); table.columns.len()] };
        for (name, cell) in cells.iter() {
            let Some(place) = table.column(name) else {
                if !unsound.contains(&name.as_str()) {
                    let known = table.columns.iter().map(|column| column.name.as_str());
                    desk.unknown_key(name, "a column of the table", name, known);
                }
                continue;
            };
            let claims = read_cell(desk, cell, table.columns[place].kind, sources);
            said_and_denied(desk, &claims);
            row.cells[place] = claims.into_iter().map(|(claim, _)| claim).collect();
        }
        judged_cells(desk, &table, &row, cells);
        table.rows.push(row);
    }
    table
}

/// Notes a text that one source says of a row and another denies, so that it is neither right nor wrong.
fn said_and_denied(desk: &mut Desk<'_>, claims: &[(Claim, Place)]) {
    let said = |text: &str| {
        let said = claims.iter().filter(|(claim, _)| claim.is_true());
        said.filter_map(|(claim, _)| claim.text()).any(|known| same(known, text))
    };
    for (claim, at) in claims.iter().filter(|(claim, _)| !claim.is_true()) {
        let Some(text) = claim.text().filter(|text| said(text)) else { continue };
        let what = format!("`{text}` is both said and denied of this row");
        let help =
            "remove one of the two; where sources differ, the text can be neither right nor wrong";
        desk.value(at, what, "said above", Some(help.to_owned()));
    }
}

/// Notes a statement whose verdict and source do not go together, a wrong line that a source is said to
/// say, and a reason without a source.
fn judged_cells(desk: &mut Desk<'_>, table: &Table, row: &Row, written: &Named<CellText>) {
    let cell = |name| table.column(name).and_then(|column| row.cells.get(column));
    let verdict = cell("verdict").and_then(|cell| cell.first()?.text());
    let is_false = match (verdict, cell("right")) {
        (Some(verdict), _) => verdict == "false",
        (None, Some(_)) => true,
        (None, None) => return,
    };
    for name in ["says", "wrong"] {
        let is_judged = table.column(name).is_some_and(|place| table.columns[place].judged);
        let Some((_, Either::Other(items))) = written.get(name).filter(|_| is_judged) else {
            continue;
        };
        for item in items.iter() {
            if let Either::Other(claim) = item {
                judged_claim(desk, name, claim, is_false);
            }
        }
    }
    let because = cell("because").into_iter().flatten().any(|claim| claim.source.is_empty());
    if let Some((key, _)) = written.get("because").filter(|_| because) {
        let what = "expected the reason as a claim with its source, found a bare text";
        let help = "write `because: [{ is: ..., source: ... }]`, or leave it out; a reason that earns a mark \
                    is a claim";
        desk.value(key, what, "no source", Some(help.to_owned()));
    }
}

/// Notes a claim that its source cannot make, since the text is false, or deny, since it is true.
fn judged_claim(desk: &mut Desk<'_>, column: &str, claim: &ClaimText, is_false: bool) {
    match (&claim.source, &claim.against) {
        (Some(source), _) if is_false => {
            let what = if column == "says" {
                format!("the verdict is false, but `{source}` is named as what says so")
            } else {
                format!("a wrong line is false, but `{source}` is named as what says so")
            };
            let help = "write `against:` instead of `source:`, and what the source says under `denied`, or \
                        `invented: true`";
            desk.key(source, what, "says this?", Some(help.to_owned()));
        }
        (None, Some(source)) if !is_false => {
            let what = format!("the verdict is true, but `{source}` is named as what denies it");
            let help = "write `source:` instead of `against:`, or the verdict \"false\"".to_owned();
            desk.key(source, what, "denies this?", Some(help));
        }
        _ => {}
    }
}

/// Whether a column holds texts that are true or false: statements with a verdict, and the wrong lines
/// of procedures.
fn is_judged(name: &str, columns: &Named<ColumnText>) -> bool {
    [("says", "verdict"), ("wrong", "right")]
        .iter()
        .any(|(judged, other)| name == *judged && columns.get(other).is_some())
}

fn column(
    desk: &mut Desk<'_>,
    name: &Key,
    text: &ColumnText,
    columns: &Named<ColumnText>,
) -> Checked<Column> {
    let (kind, label, closed) = match text {
        Either::One(kind) => (kind.choice(desk)?, None, None),
        Either::Other(fields) => {
            let (kind, label) = kind(desk, fields)?;
            let is_bare = |why: &&Text| matches!(why.as_str(), "true" | "false");
            if let Some(why) = fields.closed.as_ref().filter(is_bare) {
                let what = "expected why what another row says is false, found a bare word";
                let help = "write the reason, as in `closed: each base has one make-up`; silence proves \
                            nothing. Otherwise remove `closed` and write denials with `against`";
                desk.value(why, what, "not a reason", Some(help.to_owned()));
            }
            (kind, fields.label.as_ref().or(label), fields.closed.as_ref())
        }
    };
    Ok(Column {
        name: name.to_string(),
        label: label.map_or_else(|| name.replace('_', " "), ToString::to_string),
        kind,
        closed: closed.map(ToString::to_string),
        judged: is_judged(name, columns),
    })
}

/// What a column holds, and the label behind the word for it.
fn kind<'t>(
    desk: &mut Desk<'_>,
    fields: &'t ColumnFields,
) -> Checked<(ColumnKind, Option<&'t Text>)> {
    if let Some(unit) = &fields.number {
        return unit.unit(desk).map(|unit| (ColumnKind::Number(unit), None));
    }
    if let Some(unit) = &fields.range {
        return unit.unit(desk).map(|unit| (ColumnKind::Range(unit), None));
    }
    Ok(match (&fields.text, &fields.texts, &fields.invented) {
        (Some(label), ..) => (ColumnKind::Text, Some(label)),
        (_, Some(label), _) => (ColumnKind::Texts, Some(label)),
        (.., Some(label)) => (ColumnKind::Invented, Some(label)),
        _ => (ColumnKind::Sequence, fields.sequence.as_ref()),
    })
}

/// The claims of a cell, each with its place.
fn read_cell(
    desk: &mut Desk<'_>,
    cell: &CellText,
    kind: ColumnKind,
    sources: &Sources,
) -> Vec<(Claim, Place)> {
    match cell {
        Either::One(text) => read_bare(desk, text, kind).into_iter().collect(),
        Either::Other(items) => {
            let read = |item: &ItemText| match (item, kind) {
                (Either::One(text), ColumnKind::Invented) => read_bare(desk, text, kind),
                (Either::Other(claim), ColumnKind::Invented) => {
                    let what = "expected a text that was made up, found a claim with a source";
                    let help = "write the text alone; what a source says belongs in another column";
                    Err(desk.value(claim, what, "not made up", Some(help.to_owned())))
                }
                (Either::One(text), _) => {
                    let what = "expected a claim with its source, found a bare text";
                    let help = format!("write `{{ is: \"{text}\", source: ... }}`");
                    Err(desk.value(text, what, "no source", Some(help)))
                }
                (Either::Other(claim), _) => read_claim(desk, claim, kind, sources),
            };
            items.iter().map(read).filter_map(Result::ok).collect()
        }
    }
}

/// A text without a source.
fn read_bare(desk: &mut Desk<'_>, text: &Text, kind: ColumnKind) -> Checked<(Claim, Place)> {
    let claim = Claim::of(Fact::Text(text.to_string()), String::new());
    match kind {
        ColumnKind::Invented => Ok((Claim { invented: true, ..claim }, text.place())),
        ColumnKind::Text | ColumnKind::Texts => Ok((claim, text.place())),
        _ => {
            let what = "expected a list of claims, each with its source, found a bare text";
            let help = "write `- { is: 1.5, source: ... }`".to_owned();
            Err(desk.value(text, what, "no source", Some(help)))
        }
    }
}

fn read_claim(
    desk: &mut Desk<'_>,
    claim: &ClaimText,
    kind: ColumnKind,
    sources: &Sources,
) -> Checked<(Claim, Place)> {
    let (source, bearing) = bearing(desk, claim, sources)?;
    let fact = match (kind, claim.is.all()) {
        (ColumnKind::Text | ColumnKind::Texts, [text]) => Fact::Text(text.to_string()),
        (ColumnKind::Number(_), [text]) => Fact::Number(number(desk, text, text)?),
        (ColumnKind::Range(_), [from, to]) => {
            let (low, high) = (number(desk, from, from), number(desk, to, to));
            let (low, high) = (low?, high?);
            if low > high {
                let help = Some(format!("write `[{high}, {low}]`"));
                desk.value(to, "expected the lower number first", "the lower", help);
            }
            Fact::Range(low, high)
        }
        (ColumnKind::Sequence, lines) if lines.len() > 1 => {
            Fact::Sequence(lines.iter().map(ToString::to_string).collect())
        }
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
            return Err(desk.value(&claim.is, what, "does not fit its column", help));
        }
    };
    let also = claim.also.iter().flat_map(|also| also.iter());
    let read = Claim {
        either_way: either_way(desk, claim.either_way.as_ref(), &fact),
        fact,
        source,
        note: claim.note.as_ref().map(ToString::to_string),
        also: also.map(ToString::to_string).collect(),
        bearing,
        invented: claim.invented.is_some_and(|invented| invented.is_true),
    };
    Ok((read, claim.place()))
}

/// The source of a claim, and whether it says or denies it.
fn bearing(
    desk: &mut Desk<'_>,
    claim: &ClaimText,
    sources: &Sources,
) -> Checked<(String, Bearing)> {
    let mut standing = |id: &NameText| {
        sources.find(id).map(|source| source.standing).ok_or_else(|| {
            let help = "add it to a file `facts/sources.yaml` in your folder";
            desk.unknown_or(id, "a source of sources.yaml", id, sources.ids(), help)
        })
    };
    let id = match (&claim.source, &claim.against) {
        (Some(id), _) => id,
        (None, Some(id)) => {
            standing(id)?;
            let denied = claim.denied.as_ref().map(ToString::to_string);
            return Ok((id.to_string(), Bearing::Denies(denied)));
        }
        (None, None) => {
            let what = "expected a claim with its source, found none";
            return Err(desk.key(claim, what, "no source", None));
        }
    };
    if standing(id)? == Standing::Reviewed {
        let what = format!("`{id}` says nothing: it stands for a review that found no source");
        let help = "name what says it, or write `against:` when it is false".to_owned();
        desk.value(id, what, "not a source of facts", Some(help));
    }
    let alone = [
        ("denied", claim.denied.as_ref().map(Placed::place)),
        ("invented", claim.invented.filter(|it| it.is_true).map(|it| it.place())),
    ];
    if let Some((other, at)) = alone.iter().find_map(|(key, at)| Some((key, (*at)?))) {
        let what = format!("expected no `{other}` beside `source`, since the source says it");
        let help = format!("write `against: {id}` when the text is false, or remove `{other}`");
        desk.key(&at, what, "goes with `against`", Some(help));
    }
    Ok((id.to_string(), Bearing::Says))
}

/// The pairs of lines that may be in either order, by place.
///
/// Whatever is shown of the lines must leave one order, apart from these pairs. So no two lines may be
/// free that a third one keeps apart: without it, nothing would say which of them comes first.
fn either_way(
    desk: &mut Desk<'_>,
    groups: Option<&List<List<Text>>>,
    fact: &Fact,
) -> Vec<(usize, usize)> {
    let Some(groups) = groups else { return Vec::new() };
    let Fact::Sequence(lines) = fact else {
        let what = "expected no `either_way`, since only lines have an order";
        desk.key(groups, what, "goes with a sequence", Some("remove it".to_owned()));
        return Vec::new();
    };
    let mut pairs = Vec::new();
    for group in groups.iter() {
        let mut places = Vec::new();
        for line in group.iter() {
            match lines.iter().position(|known| *known == **line) {
                Some(place) => places.push(place),
                None => {
                    let known = lines.iter().map(String::as_str);
                    desk.unknown(line, "a line of the list", line, known);
                }
            }
        }
        if group.len() < 2 {
            let what = "expected at least two lines that may be in either order, found one";
            desk.value(group, what, "and which other?", None);
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
        desk.key(groups, what, "not in either order", Some(help));
    }
    pairs
}
