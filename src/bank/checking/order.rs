//! Putting values and steps in an order in which each follows from earlier ones.

use std::collections::{BTreeMap, BTreeSet};

use crate::bank::checking::names::Names;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::noted::Noted;
use crate::bank::reading::written::Key;

/// Entries put in order.
pub(super) struct Ordered<'t, T> {
    /// Each of them names only earlier ones.
    pub(super) entries: Vec<&'t (Key, T)>,
    /// Those that wait for each other in a ring, or for one of these, with the proof that it was noted.
    pub(super) ring: Option<(Vec<&'t (Key, T)>, Noted)>,
}

/// The entries in an order in which each names only earlier ones, as near to the order written as
/// that allows.
pub(super) fn in_order<'t, T>(
    checker: &mut Checker<'_>,
    entries: &'t [(Key, T)],
    known: &Names,
    formulas: impl Fn(&T) -> Vec<&str>,
) -> Ordered<'t, T> {
    let mut awaited = awaited(entries, known, formulas);
    let mut awaiting: Vec<Vec<usize>> = vec![Vec::new(); entries.len()];
    for (index, others) in awaited.iter().enumerate() {
        for other in others {
            awaiting[*other].push(index);
        }
    }
    let is_ready = |index: &usize| awaited[*index].is_empty();
    let mut ready: BTreeSet<usize> = (0..entries.len()).filter(is_ready).collect();
    let mut done = Vec::new();
    while let Some(index) = ready.pop_first() {
        done.push(&entries[index]);
        for other in &awaiting[index] {
            awaited[*other].remove(&index);
            ready.extend(awaited[*other].is_empty().then_some(*other));
        }
    }
    let ring = ring(&awaited).map(|ring| {
        let ring: Vec<&Key> = ring.iter().map(|index| &entries[*index].0).collect();
        let waiting = entries.iter().zip(&awaited).filter(|(_, awaited)| !awaited.is_empty());
        (waiting.map(|(entry, _)| entry).collect(), note_ring(checker, &ring))
    });
    Ordered { entries: done, ring }
}

/// For each entry, the others that it names. A name that is known already is a mistake of its own,
/// and nothing waits for it.
fn awaited<T>(
    entries: &[(Key, T)],
    known: &Names,
    formulas: impl Fn(&T) -> Vec<&str>,
) -> Vec<BTreeSet<usize>> {
    let indices: BTreeMap<&str, usize> = entries
        .iter()
        .enumerate()
        .filter(|(_, (name, _))| known.is_new(name))
        .map(|(index, (name, _))| (name.as_str(), index))
        .collect();
    let named = |entry: &T| {
        let words = formulas(entry).into_iter().flat_map(words);
        words.filter_map(|word| indices.get(word).copied()).collect()
    };
    entries.iter().map(|(_, entry)| named(entry)).collect()
}

/// A ring among entries that wait for others, by their indices.
fn ring(awaited: &[BTreeSet<usize>]) -> Option<Vec<usize>> {
    let mut path = vec![awaited.iter().position(|others| !others.is_empty())?];
    let mut met: BTreeMap<usize, usize> = path.iter().map(|index| (*index, 0)).collect();
    loop {
        // Whoever is left waits for somebody who is left, so the path ends where it was before.
        let next = *awaited[*path.last()?].first()?;
        if let Some(begin) = met.insert(next, path.len()) {
            return Some(path.split_off(begin));
        }
        path.push(next);
    }
}

/// Notes a ring of entries each of which waits for the next.
fn note_ring(checker: &mut Checker<'_>, ring: &[&Key]) -> Noted {
    let around: Vec<&&Key> = ring.iter().chain(ring.first()).collect();
    let steps = around.windows(2);
    let steps: Vec<String> =
        steps.map(|pair| format!("`{}` follows from `{}`", pair[0], pair[1])).collect();
    let at = ring.first().map_or(Location::FILE, |first| first.location());
    let what = format!("expected a beginning, found a ring: {}", steps.join(", "));
    let help = "let one of them be drawn, or follow from something else".to_owned();
    checker.key(&at, what, "in a ring", Some(help))
}

/// The names in a formula's text, without reading it; of `drug.dose` the part before the point. What
/// stands before a bracket is a function, which may have the name of a step.
fn words(formula: &str) -> impl Iterator<Item = &str> {
    let is_letter = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '.';
    let mut rest = formula;
    std::iter::from_fn(move || {
        rest = rest.trim_start_matches(|c| !is_letter(c));
        let end = rest.find(|c| !is_letter(c)).unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        rest = after;
        (!word.is_empty()).then_some((word, after.trim_start().starts_with('(')))
    })
    .filter(|(_, is_function)| !is_function)
    .map(|(word, _)| word.split('.').next().unwrap_or_default())
    .filter(|word| word.starts_with(|c: char| c.is_ascii_alphabetic()))
}
