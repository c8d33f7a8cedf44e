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

/// The slips of a class, the commonest first.
pub fn slips(marks: &Marks, redrawn: Option<&mut Redrawn<'_>>) -> Vec<SlipCount> {
    let mut set: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    let mut made: BTreeMap<(&str, &str), Vec<&MarkLine>> = BTreeMap::new();
    for line in &marks.lines {
        set.entry(&line.template).or_default().insert(&line.candidate);
        for slip in &line.slips {
            made.entry((&line.template, slip)).or_default().push(line);
        }
    }
    let mut redrawn = redrawn;
    let mut counts: Vec<SlipCount> = made
        .into_iter()
        .map(|((template, slip), lines)| {
            let who: BTreeSet<&str> = lines.iter().map(|line| line.candidate.as_str()).collect();
            let example = lines.first().and_then(|line| {
                let says = redrawn.as_mut()?.slip_says(template, &line.place, slip)?;
                Some(SlipExample { candidate: line.candidate.clone(), says })
            });
            SlipCount {
                template: template.to_owned(),
                title: marks.head.title_of(template).unwrap_or(template).to_owned(),
                slip: slip.to_owned(),
                candidates: who.len(),
                set: set.get(template).map_or(0, BTreeSet::len),
                example,
            }
        })
        .collect();
    counts.sort_by_key(|count| std::cmp::Reverse(count.candidates));
    counts
}
