//! A class and the items it was set.

use std::collections::{BTreeMap, BTreeSet};

use super::{MarkLine, Marks, MarksProblem, Scores};

/// A class: who sat, and what was set.
#[derive(Clone, Debug)]
pub struct Class<'a> {
    /// The candidate numbers, in the order of the marks.
    pub candidates: Vec<&'a str>,
    /// The group of each candidate.
    pub groups: Vec<Option<&'a str>>,
    /// The items, in the order of the blueprint; where it is not known, in the order in which they
    /// come first.
    pub items: Vec<ClassItem<'a>>,
}

/// One part of a question, the same for the whole class but for its values.
#[derive(Clone, Debug)]
pub struct ClassItem<'a> {
    /// `2a` where every item has the same number for all, otherwise template and part.
    pub name: String,
    /// The title of the question; its template where the marks do not tell it.
    pub title: &'a str,
    /// The template.
    pub template: &'a str,
    /// Which of the questions from this template, from 1.
    pub nth: usize,
    /// The letter of the part.
    pub part: &'a str,
    /// The marks that could be had.
    pub of: f64,
    /// The line of each candidate; nothing for one who was not set the item.
    pub lines: Vec<Option<&'a MarkLine>>,
}

/// Template, which of its questions, and the part.
type Key<'a> = (&'a str, usize, &'a str);

impl<'a> Class<'a> {
    /// The class that the marks are of.
    ///
    /// # Errors
    /// Items that are not worth the same for all.
    pub fn of(marks: &'a Marks) -> Result<Self, Vec<MarksProblem>> {
        let mut candidates: Vec<&str> = Vec::new();
        let mut groups: Vec<Option<&str>> = Vec::new();
        let mut rows: BTreeMap<&str, usize> = BTreeMap::new();
        let mut questions: BTreeMap<(&str, &str), Vec<u64>> = BTreeMap::new();
        for mark in &marks.lines {
            rows.entry(&mark.candidate).or_insert_with(|| {
                candidates.push(&mark.candidate);
                groups.push(mark.group.as_deref());
                candidates.len() - 1
            });
            let of_template = questions.entry((&mark.candidate, &mark.template)).or_default();
            if let Err(at) = of_template.binary_search(&mark.question) {
                of_template.insert(at, mark.question);
            }
        }
        let mut items: Vec<ClassItem<'a>> = Vec::new();
        let mut places: BTreeMap<Key<'a>, usize> = BTreeMap::new();
        let mut problems = Vec::new();
        for mark in &marks.lines {
            let nth = questions
                .get(&(mark.candidate.as_str(), mark.template.as_str()))
                .and_then(|of_template| of_template.binary_search(&mark.question).ok())
                .map_or(1, |at| at + 1);
            let key: Key<'a> = (&mark.template, nth, &mark.part);
            let place = *places.entry(key).or_insert_with(|| {
                items.push(ClassItem {
                    name: String::new(),
                    title: marks
                        .head
                        .question(mark.question)
                        .filter(|_| mark.is_planned)
                        .map_or(mark.template.as_str(), |question| question.title.as_str()),
                    template: &mark.template,
                    nth,
                    part: &mark.part,
                    of: mark.of,
                    lines: vec![None; candidates.len()],
                });
                items.len() - 1
            });
            let item = &mut items[place];
            if (item.of - mark.of).abs() > f64::EPSILON {
                problems.push(MarksProblem {
                    line: mark.line,
                    what: format!(
                        "expected {} marks for this part of `{}` as for the candidates before, found \
                         {}; mark the class by one scheme",
                        item.of, mark.template, mark.of
                    ),
                });
            }
            if let Some(row) = rows.get(mark.candidate.as_str()) {
                item.lines[*row] = Some(mark);
            }
        }
        if marks.lines.iter().all(|line| line.is_planned) {
            items.sort_by_key(|item| item.first().map(|line| (line.question, line.part.clone())));
        }
        name(&mut items);
        if problems.is_empty() { Ok(Self { candidates, groups, items }) } else { Err(problems) }
    }

    /// The marks on the items that every candidate was set and that are all marked, with the places
    /// of these items.
    pub fn scores(&self) -> (Scores, Vec<usize>) {
        let whole: Vec<usize> = (0..self.items.len())
            .filter(|item| self.items[*item].lines.iter().all(|line| marks_of(*line).is_some()))
            .collect();
        let names = whole.iter().map(|item| (self.items[*item].name.clone(), self.items[*item].of));
        let rows = (0..self.candidates.len())
            .map(|row| {
                whole.iter().filter_map(|item| marks_of(self.items[*item].lines[row])).collect()
            })
            .collect();
        // What was read is in range, so there is always a table.
        let scores = Scores::new(names.collect(), rows);
        (scores.unwrap_or_else(|_| Scores::none()), whole)
    }
}

impl<'a> ClassItem<'a> {
    /// The lines of those who were set the item, with their rows.
    pub fn set(&self) -> impl Iterator<Item = (usize, &'a MarkLine)> {
        self.lines.iter().enumerate().filter_map(|(row, line)| Some((row, (*line)?)))
    }

    /// The first line of the item.
    pub fn first(&self) -> Option<&'a MarkLine> {
        self.set().next().map(|(_, line)| line)
    }
}

fn marks_of(line: Option<&MarkLine>) -> Option<f64> {
    line.and_then(|line| line.marks)
}

/// Gives the items their names: where they stand, if every item stands at one place in all papers and
/// no two at the same; otherwise their template. A sole part has no letter.
fn name(items: &mut [ClassItem<'_>]) {
    let mut parts: BTreeMap<(&str, usize), usize> = BTreeMap::new();
    for item in items.iter() {
        *parts.entry((item.template, item.nth)).or_default() += 1;
    }
    let letter = |item: &ClassItem<'_>| {
        let several = parts.get(&(item.template, item.nth)).is_some_and(|parts| *parts > 1);
        if several { item.part.to_owned() } else { String::new() }
    };
    let stands = |item: &ClassItem<'_>| {
        let mut numbers = item.set().map(|(_, line)| line.question);
        let first = numbers.next().unwrap_or_default();
        numbers.all(|number| number == first).then(|| format!("{first}{}", letter(item)))
    };
    let places: Option<Vec<String>> = items.iter().map(stands).collect();
    let places =
        places.filter(|places| places.iter().collect::<BTreeSet<_>>().len() == places.len());
    let names = places.unwrap_or_else(|| {
        let by_template = |item: &ClassItem<'_>| {
            let nth = if item.nth > 1 { format!(" {}", item.nth) } else { String::new() };
            format!("{}{nth} {}", item.template, letter(item)).trim_end().to_owned()
        };
        items.iter().map(by_template).collect()
    });
    for (item, name) in items.iter_mut().zip(names) {
        item.name = name;
    }
}
