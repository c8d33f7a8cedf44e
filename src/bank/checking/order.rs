//! Putting values and steps in an order in which each follows from earlier ones.

use crate::bank::checking::values::Names;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::written::Named;

/// Entries by name.
type Entries<T> = Vec<(String, T)>;

/// The entries in an order in which each names only earlier ones, as near to the order written as
/// that allows; and those that wait for each other in a ring, which is noted.
pub(in crate::bank) fn in_order<T>(
    desk: &mut Desk<'_>,
    group: &str,
    entries: Named<T>,
    known: &Names,
    formulas: impl Fn(&T) -> Vec<&str>,
) -> (Entries<T>, Entries<T>) {
    let mut waiting: Entries<T> = entries.0;
    let mut done = Vec::new();
    // A name that is known already is a mistake of its own, and nothing waits for it.
    let awaits = |entry: &T, waiting: &Entries<T>| {
        formulas(entry).into_iter().flat_map(words).find_map(|word| {
            let at = waiting.iter().position(|(name, _)| name == word)?;
            known.is_new(word).then_some(at)
        })
    };
    while !waiting.is_empty() {
        let ready = waiting.iter().position(|(_, entry)| awaits(entry, &waiting).is_none());
        let Some(ready) = ready else {
            note_ring(desk, group, &waiting, |entry| awaits(entry, &waiting));
            break;
        };
        done.push(waiting.remove(ready));
    }
    (done, waiting)
}

/// Notes a ring among entries each of which waits for another.
fn note_ring<T>(
    desk: &mut Desk<'_>,
    group: &str,
    waiting: &Entries<T>,
    awaits: impl Fn(&T) -> Option<usize>,
) {
    let mut walk: Vec<usize> = vec![0];
    let ring = loop {
        let last = walk.last().and_then(|last| waiting.get(*last));
        let Some(next) = last.and_then(|(_, entry)| awaits(entry)) else { return };
        if let Some(begin) = walk.iter().position(|place| *place == next) {
            break walk.split_off(begin);
        }
        walk.push(next);
    };
    let names: Vec<&str> = ring
        .iter()
        .chain(ring.first())
        .filter_map(|place| waiting.get(*place).map(|(name, _)| name.as_str()))
        .collect();
    let Some(first) = names.first() else { return };
    let steps: Vec<String> =
        names.windows(2).map(|pair| format!("`{}` follows from `{}`", pair[0], pair[1])).collect();
    desk.key(
        &way![group, *first],
        format!("expected a beginning, found a ring: {}", steps.join(", ")),
        "in a ring",
        Some("let one of them be drawn, or follow from something else".to_owned()),
    );
}

/// The names in a formula's text, without reading it; of `drug.dose` the part before the point.
fn words(formula: &str) -> impl Iterator<Item = &str> {
    formula
        .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '.'))
        .map(|word| word.split('.').next().unwrap_or_default())
        .filter(|word| word.starts_with(|c: char| c.is_ascii_alphabetic()))
}
