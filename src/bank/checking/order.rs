//! Putting values and steps in an order in which each follows from earlier ones.

use std::collections::{BTreeMap, BTreeSet};

use crate::bank::checking::values::Names;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Noted;
use crate::bank::written::Named;

/// Entries by name.
type Entries<T> = Vec<(String, T)>;

/// Entries put in order.
pub(in crate::bank) struct Ordered<T> {
    /// Each of them names only earlier ones.
    pub(in crate::bank) entries: Entries<T>,
    /// Those that wait for each other in a ring, or for one of these, with the proof that it was noted.
    pub(in crate::bank) ring: Option<(Entries<T>, Noted)>,
}

/// The entries in an order in which each names only earlier ones, as near to the order written as
/// that allows.
pub(in crate::bank) fn in_order<T>(
    desk: &mut Desk<'_>,
    group: &str,
    entries: Named<T>,
    known: &Names,
    formulas: impl Fn(&T) -> Vec<&str>,
) -> Ordered<T> {
    let mut awaited = awaited(&entries.0, known, formulas);
    let mut awaiting: Vec<Vec<usize>> = vec![Vec::new(); entries.0.len()];
    for (place, others) in awaited.iter().enumerate() {
        for other in others {
            awaiting[*other].push(place);
        }
    }
    let mut waiting: Vec<Option<(String, T)>> = entries.0.into_iter().map(Some).collect();
    let is_ready = |place: &usize| awaited[*place].is_empty();
    let mut ready: BTreeSet<usize> = (0..waiting.len()).filter(is_ready).collect();
    let mut done = Vec::new();
    while let Some(place) = ready.pop_first() {
        done.extend(waiting[place].take());
        for other in &awaiting[place] {
            awaited[*other].remove(&place);
            ready.extend(awaited[*other].is_empty().then_some(*other));
        }
    }
    let ring = ring(&awaited).map(|ring| note_ring(desk, group, &waiting, &ring));
    Ordered {
        entries: done,
        ring: ring.map(|noted| (waiting.into_iter().flatten().collect(), noted)),
    }
}

/// For each entry, the others that it names. A name that is known already is a mistake of its own,
/// and nothing waits for it.
fn awaited<T>(
    entries: &[(String, T)],
    known: &Names,
    formulas: impl Fn(&T) -> Vec<&str>,
) -> Vec<BTreeSet<usize>> {
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    for (place, (name, _)) in entries.iter().enumerate().filter(|(_, (name, _))| known.is_new(name))
    {
        places.entry(name).or_insert(place);
    }
    let named = |entry: &T| {
        let words = formulas(entry).into_iter().flat_map(words);
        words.filter_map(|word| places.get(word).copied()).collect()
    };
    entries.iter().map(|(_, entry)| named(entry)).collect()
}

/// A ring among entries that wait for others, by their places.
fn ring(awaited: &[BTreeSet<usize>]) -> Option<Vec<usize>> {
    let mut walk = vec![awaited.iter().position(|others| !others.is_empty())?];
    let mut met: BTreeMap<usize, usize> = walk.iter().map(|place| (*place, 0)).collect();
    loop {
        // Whoever is left waits for somebody who is left, so the walk ends where it was before.
        let next = *awaited[*walk.last()?].first()?;
        if let Some(begin) = met.insert(next, walk.len()) {
            return Some(walk.split_off(begin));
        }
        walk.push(next);
    }
}

/// Notes a ring among entries each of which waits for another.
fn note_ring<T>(
    desk: &mut Desk<'_>,
    group: &str,
    waiting: &[Option<(String, T)>],
    ring: &[usize],
) -> Noted {
    let around = ring.iter().chain(ring.first());
    let names: Vec<&str> = around
        .filter_map(|place| waiting[*place].as_ref().map(|(name, _)| name.as_str()))
        .collect();
    let steps: Vec<String> =
        names.windows(2).map(|pair| format!("`{}` follows from `{}`", pair[0], pair[1])).collect();
    desk.key(
        &way![group, names.first().copied().unwrap_or_default()],
        format!("expected a beginning, found a ring: {}", steps.join(", ")),
        "in a ring",
        Some("let one of them be drawn, or follow from something else".to_owned()),
    )
}

/// The names in a formula's text, without reading it; of `drug.dose` the part before the point.
fn words(formula: &str) -> impl Iterator<Item = &str> {
    formula
        .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '.'))
        .map(|word| word.split('.').next().unwrap_or_default())
        .filter(|word| word.starts_with(|c: char| c.is_ascii_alphabetic()))
}
