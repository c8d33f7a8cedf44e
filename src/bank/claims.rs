//! Checking the cells of facts tables: what each claims, and the source that says or denies it.

use crate::bank::facts::sources::Sources;
use crate::bank::facts::{Bearing, Claim, ColumnKind, Fact, Reliance};
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::{NameText, Text, number};
use crate::bank::reading::written::{Either, List};
use crate::bank::written::facts::{CellText, ClaimText, ItemText};

/// The claims of a cell, each with its location.
pub(in crate::bank) fn read_cell(
    checker: &mut Checker<'_>,
    cell: &CellText,
    kind: ColumnKind,
    sources: &Sources,
) -> Vec<(Claim, Location)> {
    match cell {
        Either::One(text) => read_bare(checker, text, kind).into_iter().collect(),
        Either::Other(items) => {
            let read = |item: &ItemText| match (item, kind) {
                (Either::One(text), ColumnKind::Invented) => read_bare(checker, text, kind),
                (Either::Other(claim), ColumnKind::Invented) => {
                    let what = "expected a text that was made up, found a claim with a source";
                    let help = "write the text alone; what a source says belongs in another column";
                    Err(checker.value(claim, what, "not made up", Some(help.to_owned())))
                }
                (Either::One(text), _) => {
                    let what = "expected a claim with its source, found a bare text";
                    let help = format!("write `{{ is: \"{text}\", source: ... }}`");
                    Err(checker.value(text, what, "no source", Some(help)))
                }
                (Either::Other(claim), _) => read_claim(checker, claim, kind, sources),
            };
            items.iter().map(read).filter_map(Result::ok).collect()
        }
    }
}

/// A text without a source.
fn read_bare(
    checker: &mut Checker<'_>,
    text: &Text,
    kind: ColumnKind,
) -> Checked<(Claim, Location)> {
    let claim = Claim::of(Fact::Text(text.to_string()), String::new());
    match kind {
        ColumnKind::Invented => Ok((Claim { invented: true, ..claim }, text.location())),
        ColumnKind::Text | ColumnKind::Texts => Ok((claim, text.location())),
        _ => {
            let what = "expected a list of claims, each with its source, found a bare text";
            let help = "write `- { is: 1.5, source: ... }`".to_owned();
            Err(checker.value(text, what, "no source", Some(help)))
        }
    }
}

fn read_claim(
    checker: &mut Checker<'_>,
    claim: &ClaimText,
    kind: ColumnKind,
    sources: &Sources,
) -> Checked<(Claim, Location)> {
    let bearing = bearing(checker, claim, sources);
    let fact = match (kind, claim.is.all()) {
        (ColumnKind::Text | ColumnKind::Texts, [text]) => Fact::Text(text.to_string()),
        (ColumnKind::Number(_), [text]) => Fact::Number(number(checker, text, text)?),
        (ColumnKind::Range(_), [from, to]) => {
            let (low, high) = (number(checker, from, from), number(checker, to, to));
            let (low, high) = (low?, high?);
            if low > high {
                let help = Some(format!("write `[{high}, {low}]`"));
                checker.value(to, "expected the lower number first", "the lower", help);
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
            return Err(checker.value(&claim.is, what, "does not fit its column", help));
        }
    };
    let also = claim.also.iter().flat_map(|also| also.iter());
    let either_way = either_way(checker, claim.either_way.as_ref(), &fact);
    let (source, bearing) = bearing?;
    let read = Claim {
        either_way,
        fact,
        source,
        note: claim.note.as_ref().map(ToString::to_string),
        also: also.map(ToString::to_string).collect(),
        bearing,
        invented: claim.invented.is_some_and(|invented| invented.is_true),
    };
    Ok((read, claim.location()))
}

/// The source of a claim, and whether it says or denies it.
fn bearing(
    checker: &mut Checker<'_>,
    claim: &ClaimText,
    sources: &Sources,
) -> Checked<(String, Bearing)> {
    let mut standing = |id: &NameText| {
        let found = sources.find(id).map(|source| source.standing);
        found.ok_or_else(|| match sources.unsound.of(id) {
            Some(noted) => noted,
            None => {
                let help = "add it to a file `facts/sources.yaml` in your folder";
                checker.unknown_or(id, "a source of sources.yaml", id, sources.ids(), help)
            }
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
            return Err(checker.key(claim, what, "no source", None));
        }
    };
    if standing(id)? == Reliance::Reviewed {
        let what = format!("`{id}` says nothing: it stands for a review that found no source");
        let help = "name what says it, or write `against:` when it is false".to_owned();
        checker.value(id, what, "not a source of facts", Some(help));
    }
    let alone = [
        ("denied", claim.denied.as_ref().map(Located::location)),
        ("invented", claim.invented.filter(|it| it.is_true).map(|it| it.location())),
    ];
    if let Some((other, at)) = alone.iter().find_map(|(key, at)| Some((key, (*at)?))) {
        let what = format!("expected no `{other}` beside `source`, since the source says it");
        let help = format!("write `against: {id}` when the text is false, or remove `{other}`");
        checker.key(&at, what, "goes with `against`", Some(help));
    }
    Ok((id.to_string(), Bearing::Says))
}

/// The pairs of lines that may be in either order, by index.
///
/// Whatever is shown of the lines must leave one order, apart from these pairs. So no two lines may be
/// free that a third one keeps apart: without it, nothing would say which of them comes first.
fn either_way(
    checker: &mut Checker<'_>,
    groups: Option<&List<List<Text>>>,
    fact: &Fact,
) -> Vec<(usize, usize)> {
    let Some(groups) = groups else { return Vec::new() };
    let Fact::Sequence(lines) = fact else {
        let what = "expected no `either_way`, since only lines have an order";
        checker.key(groups, what, "goes with a sequence", Some("remove it".to_owned()));
        return Vec::new();
    };
    let mut pairs = Vec::new();
    for group in groups.iter() {
        let mut indices = Vec::new();
        for line in group.iter() {
            match lines.iter().position(|known| *known == **line) {
                Some(index) => indices.push(index),
                None => {
                    let known = lines.iter().map(String::as_str);
                    checker.unknown(line, "a line of the list", line, known);
                }
            }
        }
        if group.len() < 2 {
            let what = "expected at least two lines that may be in either order, found one";
            checker.value(group, what, "and which other?", None);
        }
        indices.sort_unstable();
        for (m, one) in indices.iter().enumerate() {
            pairs.extend(indices[m + 1..].iter().map(|other| (*one, *other)));
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
        checker.key(groups, what, "not in either order", Some(help));
    }
    pairs
}
