//! What the class misunderstood.

use std::collections::{BTreeMap, BTreeSet};

use super::{MarkLine, Marks, Redrawn};

/// A slip, with how many made it.
#[derive(Clone, Debug, PartialEq)]
pub struct SlipCount {
    /// The template.
    pub template: String,
    /// The title of the question; the template where the marks do not tell it.
    pub title: String,
    /// The slip's id in the template.
    pub slip: String,
    /// How many candidates made it, or may have: a number can come about in several ways.
    pub candidates: usize,
    /// How many were set a question of the template.
    pub set: usize,
    /// What the template says of it to one of them; nothing where the bank does not know it.
    pub example: Option<SlipExample>,
}

/// What one candidate is told of a slip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlipExample {
    /// The candidate.
    pub candidate: String,
    /// The sentence, with the values of the candidate's own problem.
    pub says: String,
}

/// Who made a slip.
struct Made<'a> {
    /// The first line that shows it.
    first: MarkLine<'a>,
    /// The rows of the candidates.
    who: BTreeSet<usize>,
}

/// The slips of a class, the commonest first.
pub fn slips(marks: &Marks, redrawn: Option<&mut Redrawn<'_>>) -> Vec<SlipCount> {
    let mut set: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
    let mut made: BTreeMap<(&str, &str), Made<'_>> = BTreeMap::new();
    for line in marks.lines.iter() {
        set.entry(line.template()).or_default().insert(line.row());
        for slip in line.slips() {
            let made = made.entry((line.template(), slip));
            let made = made.or_insert_with(|| Made { first: line, who: BTreeSet::new() });
            made.who.insert(line.row());
        }
    }
    let mut redrawn = redrawn;
    let mut counts: Vec<SlipCount> = made
        .into_iter()
        .map(|((template, slip), Made { first, who })| {
            let mut example = || {
                let says = redrawn.as_mut()?.slip_says(template, first.place(), slip)?;
                Some(SlipExample { candidate: first.candidate().to_owned(), says })
            };
            SlipCount {
                template: template.to_owned(),
                title: marks.head.title_of(template).unwrap_or(template).to_owned(),
                slip: slip.to_owned(),
                candidates: who.len(),
                set: set.get(template).map_or(0, BTreeSet::len),
                example: example(),
            }
        })
        .collect();
    counts.sort_by_key(|count| std::cmp::Reverse(count.candidates));
    counts
}
