//! The lines of a file of marks, kept in little room.

use crate::marking::Standing;
use crate::marks::{self, Mark};

use super::lists::Lists;
use super::pool::{Pool, Texts};

/// The lines of a file of marks, in its order.
///
/// A large class has millions of them. So a line is a few numbers; its texts, and what it says that
/// the lines of other candidates say as well, are kept once for all. A [`MarkLine`] puts together what
/// one line said.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lines {
    kept: Vec<Kept>,
    /// The candidates in the order in which they come first: their numbers are the rows of the class.
    candidates: Texts,
    /// The group of each candidate, among the texts.
    groups: Vec<Option<u32>>,
    texts: Texts,
    asked: Pool<Asked>,
    slips: Lists,
    chosen: Lists,
    right_options: Lists,
    option_texts: Lists,
}

/// What is kept of a line by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Kept {
    line: u32,
    row: u32,
    asked: u32,
    /// Among the texts.
    place: u32,
    options: u32,
    marks: Option<Mark>,
    standing: Standing,
}

/// What was asked: alike for all candidates of a paper. Texts are told by their numbers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Asked {
    template: u32,
    question: u64,
    is_planned: bool,
    part: u32,
    of: Mark,
    objective: u32,
    topic: u32,
}

/// The mark of one candidate on one part.
#[derive(Clone, Copy, Debug)]
pub struct MarkLine<'a> {
    lines: &'a Lines,
    asked: &'a Asked,
    kept: &'a Kept,
    at: usize,
}

impl Lines {
    /// Adds a line.
    pub(super) fn push(&mut self, line: &marks::MarkLine) {
        let row = self.candidates.text(line.candidate.trim());
        if row as usize == self.groups.len() {
            let group = line.group.as_deref().filter(|group| !group.trim().is_empty());
            self.groups.push(group.map(|group| self.texts.text(group)));
        }
        let texts = &mut self.texts;
        let asked = Asked {
            template: texts.text(line.template.trim()),
            question: line.number(),
            is_planned: line.planned.is_some(),
            part: texts.text(line.part.trim()),
            of: line.of,
            objective: texts.text(line.objective.trim()),
            topic: texts.text(line.topic.trim()),
        };
        self.kept.push(Kept {
            line: u32::try_from(line.line).unwrap_or(u32::MAX),
            row,
            asked: self.asked.number(&asked, Asked::clone),
            place: texts.text(line.place.trim()),
            options: u32::try_from(line.options).unwrap_or(u32::MAX),
            marks: line.given(),
            standing: line.standing.unwrap_or(Standing::Blank),
        });
        let mut list = |lists: &mut Lists, list: &[String]| {
            lists.push(list.iter().map(|text| texts.text(text)));
        };
        list(&mut self.slips, &line.slips);
        list(&mut self.chosen, &line.chosen);
        list(&mut self.right_options, &line.right_options);
        list(&mut self.option_texts, &line.option_texts);
    }

    /// How many lines there are.
    pub fn len(&self) -> usize {
        self.kept.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// All lines.
    pub fn iter(&self) -> impl Iterator<Item = MarkLine<'_>> {
        (0..self.kept.len()).filter_map(|at| self.get(at))
    }

    /// The line of that index, from 0.
    pub fn get(&self, at: usize) -> Option<MarkLine<'_>> {
        let kept = self.kept.get(at)?;
        Some(MarkLine { lines: self, asked: self.asked.get(kept.asked)?, kept, at })
    }

    /// The candidates, in the order in which they come first, each with the group of the first line.
    pub fn candidates(&self) -> impl Iterator<Item = (&str, Option<&str>)> {
        let groups = self.groups.iter().map(|group| group.map(|group| self.texts.of(group)));
        self.candidates.values().iter().map(|number| &**number).zip(groups)
    }

    /// Whether a candidate has a line.
    pub fn has(&self, candidate: &str) -> bool {
        self.candidates.has(candidate)
    }

    /// The indices of all lines in the order of a key; lines with one key stay as they were.
    pub(super) fn sorted_by<'a, K: Ord>(&'a self, key: impl Fn(MarkLine<'a>) -> K) -> Vec<u32> {
        let places = (0..).zip(&self.kept);
        let mut places: Vec<u32> = places.map(|(place, _)| place).collect();
        places.sort_by_key(|place| self.get(*place as usize).map(&key));
        places
    }
}

impl<'a> MarkLine<'a> {
    /// The line of the file, from 1.
    pub fn line(self) -> usize {
        self.kept.line as usize
    }

    /// The index among all lines, from 0.
    pub(super) fn at(self) -> usize {
        self.at
    }

    /// Which of the candidates it is, from 0.
    pub fn row(self) -> usize {
        self.kept.row as usize
    }

    /// The candidate number.
    pub fn candidate(self) -> &'a str {
        self.lines.candidates.of(self.kept.row)
    }

    /// The number of the question in the blueprint, or on this candidate's paper where that is not
    /// known, from 1.
    pub fn question(self) -> u64 {
        self.asked.question
    }

    /// Whether it is the number in the blueprint.
    pub fn is_planned(self) -> bool {
        self.asked.is_planned
    }

    /// The letter of the part; empty where a question has one.
    pub fn part(self) -> &'a str {
        self.lines.texts.of(self.asked.part)
    }

    /// The template of the question.
    pub fn template(self) -> &'a str {
        self.lines.texts.of(self.asked.template)
    }

    /// Which problem of the template.
    pub fn place(self) -> &'a str {
        self.lines.texts.of(self.kept.place)
    }

    /// The marks given; nothing while the answer waits to be marked by hand.
    pub fn marks(self) -> Option<f64> {
        self.kept.marks.map(number)
    }

    /// The marks that could be had.
    pub fn of(self) -> f64 {
        number(self.asked.of)
    }

    /// Whether it earned all marks.
    pub fn is_full(self) -> bool {
        self.kept.marks.is_some_and(|marks| marks >= self.asked.of)
    }

    /// How the answer stood.
    pub fn standing(self) -> Standing {
        self.kept.standing
    }

    /// The slips that lead to the answer, by their ids in the template.
    pub fn slips(self) -> impl ExactSizeIterator<Item = &'a str> {
        self.texts(&self.lines.slips)
    }

    /// The letters of the options chosen.
    pub fn chosen(self) -> impl ExactSizeIterator<Item = &'a str> {
        self.texts(&self.lines.chosen)
    }

    /// How many options there were.
    pub fn options(self) -> u32 {
        self.kept.options
    }

    /// The letters of the right options.
    pub fn right_options(self) -> impl ExactSizeIterator<Item = &'a str> {
        self.texts(&self.lines.right_options)
    }

    /// What the options said, in the order of their letters; empty where it is not told.
    pub fn option_texts(self) -> impl ExactSizeIterator<Item = &'a str> {
        self.texts(&self.lines.option_texts)
    }

    /// The objective of the template.
    pub fn objective(self) -> &'a str {
        self.lines.texts.of(self.asked.objective)
    }

    /// The topic of the template.
    pub fn topic(self) -> &'a str {
        self.lines.texts.of(self.asked.topic)
    }

    fn texts(self, lists: &'a Lists) -> impl ExactSizeIterator<Item = &'a str> {
        let texts = &self.lines.texts;
        lists.get(self.at).iter().map(|text| texts.of(*text))
    }
}

/// A mark as a number for statistics.
fn number(mark: Mark) -> f64 {
    f64::from(mark.halves()) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(candidate: &str, group: Option<&str>, question: u64) -> marks::MarkLine {
        marks::MarkLine {
            candidate: candidate.to_owned(),
            group: group.map(str::to_owned),
            question,
            template: "base-options".to_owned(),
            place: "7".to_owned(),
            marks: Mark::parse("1.5"),
            of: Mark::whole(2),
            standing: Some(Standing::PartlyCorrect),
            ..marks::MarkLine::default()
        }
    }

    #[test]
    fn a_line_comes_back_as_it_was_added() {
        let list = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
        let mut lines = Lines::default();
        lines.push(&line("0102", None, 2));
        lines.push(&marks::MarkLine {
            line: 3,
            part: " b ".to_owned(),
            planned: Some(4),
            slips: list(&["marked-size"]),
            chosen: list(&["C", "A"]),
            options: 3,
            right_options: list(&["A"]),
            option_texts: list(&["hard fat", "cocoa", "hard fat"]),
            objective: "theory".to_owned(),
            topic: "bases".to_owned(),
            ..line("0101", Some("morning"), 1)
        });
        let read = lines.get(1).unwrap();
        assert_eq!((read.line(), read.row(), read.candidate()), (3, 1, "0101"));
        assert_eq!((read.question(), read.is_planned(), read.part()), (4, true, "b"));
        assert_eq!((read.template(), read.place()), ("base-options", "7"));
        assert_eq!((read.marks(), read.of(), read.is_full()), (Some(1.5), 2.0, false));
        assert_eq!(read.standing(), Standing::PartlyCorrect);
        assert_eq!((read.objective(), read.topic(), read.options()), ("theory", "bases", 3));
        assert_eq!(read.slips().collect::<Vec<_>>(), ["marked-size"]);
        assert_eq!(read.chosen().collect::<Vec<_>>(), ["C", "A"]);
        assert_eq!(read.right_options().collect::<Vec<_>>(), ["A"]);
        assert_eq!(read.option_texts().collect::<Vec<_>>(), ["hard fat", "cocoa", "hard fat"]);
        assert_eq!(lines.get(0).unwrap().chosen().len(), 0);
        assert!(lines.get(2).is_none());
    }

    #[test]
    fn a_candidate_has_the_group_of_the_first_line() {
        let mut lines = Lines::default();
        lines.push(&line("0102", None, 1));
        lines.push(&line("0101", Some("morning"), 1));
        lines.push(&line(" 0102 ", Some("evening"), 2));
        let candidates: Vec<_> = lines.candidates().collect();
        assert_eq!(candidates, [("0102", None), ("0101", Some("morning"))]);
        assert!(lines.has("0102") && !lines.has(" 0102 "));
    }

    #[test]
    fn lines_with_one_key_stay_as_they_were() {
        let mut lines = Lines::default();
        for (candidate, question) in [("b", 2), ("a", 2), ("b", 1), ("b", 2)] {
            lines.push(&line(candidate, None, question));
        }
        assert_eq!(lines.sorted_by(|line| (line.row(), line.question())), [2, 0, 3, 1]);
    }
}
