//! A class and the items it was set.

use std::collections::{BTreeMap, BTreeSet};

use super::{Lines, MarkLine, Marks, MarksProblem, Scores};

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
    all: &'a Lines,
    /// The index of each candidate's line; nothing for one who was not set the item.
    lines: Vec<Option<u32>>,
}

/// Template, which of its questions, and the part.
type Key<'a> = (&'a str, usize, &'a str);

impl<'a> Class<'a> {
    /// The class that the marks are of.
    ///
    /// # Errors
    /// Items that are not worth the same for all.
    pub fn of(marks: &'a Marks) -> Result<Self, Vec<MarksProblem>> {
        let (candidates, groups): (Vec<&str>, Vec<Option<&str>>) = marks.lines.candidates().unzip();
        let nth = nth(&marks.lines);
        let mut items: Vec<ClassItem<'a>> = Vec::new();
        let mut indices: BTreeMap<Key<'a>, usize> = BTreeMap::new();
        let mut problems = Vec::new();
        for (mark, nth) in marks.lines.iter().zip(nth) {
            let key: Key<'a> = (mark.template(), nth, mark.part());
            let index = *indices.entry(key).or_insert_with(|| {
                items.push(ClassItem {
                    name: String::new(),
                    title: marks
                        .head
                        .question(mark.question())
                        .filter(|_| mark.is_planned())
                        .map_or(mark.template(), |question| question.title.as_str()),
                    template: mark.template(),
                    nth,
                    part: mark.part(),
                    of: mark.of(),
                    all: &marks.lines,
                    lines: vec![None; candidates.len()],
                });
                items.len() - 1
            });
            let item = &mut items[index];
            if (item.of - mark.of()).abs() > f64::EPSILON {
                problems.push(MarksProblem {
                    line: mark.line(),
                    what: format!(
                        "expected {} marks for this part of `{}` as for the candidates before, found \
                         {}; mark the class by one scheme",
                        item.of,
                        mark.template(),
                        mark.of()
                    ),
                });
            }
            item.lines[mark.row()] = u32::try_from(mark.at()).ok();
        }
        if marks.lines.iter().all(MarkLine::is_planned) {
            items.sort_by_key(|item| item.first().map(|line| (line.question(), line.part())));
        }
        name(&mut items);
        if problems.is_empty() { Ok(Self { candidates, groups, items }) } else { Err(problems) }
    }

    /// The marks on the items that every candidate was set and that are all marked, with the indices
    /// of these items.
    pub fn scores(&self) -> (Scores, Vec<usize>) {
        let rows = || 0..self.candidates.len();
        let whole: Vec<usize> = (0..self.items.len())
            .filter(|item| rows().all(|row| self.items[*item].marks(row).is_some()))
            .collect();
        let names = whole.iter().map(|item| (self.items[*item].name.clone(), self.items[*item].of));
        let of_row = |row| whole.iter().filter_map(|item| self.items[*item].marks(row)).collect();
        // What was read is in range, so there is always a table.
        let scores = Scores::new(names.collect(), rows().map(of_row).collect());
        (scores.unwrap_or_else(|_| Scores::none()), whole)
    }
}

impl<'a> ClassItem<'a> {
    /// The line of a candidate who was set the item.
    pub fn line(&self, row: usize) -> Option<MarkLine<'a>> {
        self.all.get(self.lines.get(row).copied().flatten()? as usize)
    }

    /// The lines of those who were set the item, with their rows.
    pub fn set(&self) -> impl Iterator<Item = (usize, MarkLine<'a>)> {
        (0..self.lines.len()).filter_map(|row| Some((row, self.line(row)?)))
    }

    /// The first line of the item.
    pub fn first(&self) -> Option<MarkLine<'a>> {
        self.set().next().map(|(_, line)| line)
    }

    /// The marks of a candidate who was set the item and has them.
    fn marks(&self, row: usize) -> Option<f64> {
        self.line(row)?.marks()
    }
}

/// For each line which of the candidate's questions from its template it belongs to, from 1 in the
/// order of the questions.
fn nth(lines: &Lines) -> Vec<usize> {
    let mut nth = vec![1; lines.len()];
    let sorted = lines.sorted_by(|line| (line.row(), line.template(), line.question()));
    let sorted = sorted.iter().filter_map(|index| lines.get(*index as usize));
    let mut before: Option<MarkLine<'_>> = None;
    for line in sorted {
        let of_template =
            |it: &MarkLine<'_>| (it.row(), it.template()) == (line.row(), line.template());
        if let Some(before) = before.filter(of_template) {
            let next = usize::from(before.question() != line.question());
            nth[line.at()] = nth[before.at()] + next;
        }
        before = Some(line);
    }
    nth
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
        let mut numbers = item.set().map(|(_, line)| line.question());
        let first = numbers.next().unwrap_or_default();
        numbers.all(|number| number == first).then(|| format!("{first}{}", letter(item)))
    };
    let where_all_stand: Option<Vec<String>> = items.iter().map(stands).collect();
    let all_apart =
        where_all_stand.filter(|all| all.iter().collect::<BTreeSet<_>>().len() == all.len());
    let names = all_apart.unwrap_or_else(|| {
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
