//! Marks given by hand.
//!
//! They come as a table, one row for each part, and are kept as JSON Lines beside the marks, so that
//! marking again does not lose them. An entry is never taken out of the record: a later one for the
//! same part takes its place.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::problem::letter;

use super::answers::{LineBreaks, Misplaced, PartPlace, Rows, problem, shown, text_of};
use super::{Answers, Asked, ListProblem};

/// The version of the record.
const VERSION: u32 = 1;

/// The longest text about a mark, in characters.
const LONGEST: usize = 2_000;

/// A mark given by hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandMark {
    /// The version of the record, 1.
    pub castmark_hand: u32,
    /// The candidate.
    pub candidate: String,
    /// The code of the paper.
    pub paper: String,
    /// The question as printed, from 1.
    pub question: usize,
    /// The letter of the part.
    pub part: String,
    /// The marks given.
    pub marks: u32,
    /// Who gave them.
    pub who: String,
    /// Why; empty where nothing was said.
    pub why: String,
    /// On what day, as `2026-05-20`.
    pub when: String,
    /// The answer they were given for.
    pub answer: String,
}

/// All marks given by hand, in the order in which they were entered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandMarks {
    entries: Vec<Placed>,
    /// The entries of each part.
    of_part: BTreeMap<Spot, Vec<usize>>,
}

/// A part of a paper of the set.
type Spot = (usize, PartPlace);

/// A mark with the part it is for.
type Placed = (Spot, HandMark);

impl HandMarks {
    /// Reads the record that is kept beside the marks.
    ///
    /// # Errors
    /// Every line that is no entry, or none of these papers.
    pub fn read_record(text: &str, asked: &Asked) -> Result<Self, Vec<ListProblem>> {
        let mut marks = Self::default();
        let mut problems = Vec::new();
        for (line, text) in (1..).zip(text.lines()).filter(|(_, text)| !text.trim().is_empty()) {
            match read_entry(text, asked) {
                Ok(entry) => marks.push(entry),
                Err(what) => problems.push(problem(line, None, what)),
            }
        }
        if problems.is_empty() { Ok(marks) } else { Err(problems) }
    }

    /// The text of the record.
    pub fn write(&self) -> String {
        let line = |(_, mark): &Placed| json!(mark).to_string() + "\n";
        self.entries.iter().map(line).collect()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Whether the candidate of that paper has any.
    pub fn has(&self, paper: usize) -> bool {
        self.of_part.range((paper, (0, 0))..(paper + 1, (0, 0))).next().is_some()
    }

    /// How many entries of these are not among the others.
    pub fn missing_from(&self, others: &Self) -> usize {
        self.entries.iter().filter(|entry| !others.knows(entry)).count()
    }

    /// The marks of a paper that hold: for each part the one entered last.
    pub(super) fn of_paper(&self, paper: usize) -> BTreeMap<PartPlace, &HandMark> {
        let mine = self.of_part.range((paper, (0, 0))..(paper + 1, (0, 0)));
        let last =
            mine.filter_map(|((_, place), all)| Some((*place, self.entries.get(*all.last()?)?)));
        last.map(|(place, (_, mark))| (place, mark)).collect()
    }

    /// Adds the marks of a table with commas: `candidate`, `question`, `part`, `marks`, `who`, `why`
    /// and `when`, in any order. Other columns are passed over, and so are rows without marks; the
    /// number of those is given back. An entry that is in the record already is not added again.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line and column; then nothing is added.
    pub fn add_table(
        &mut self,
        bytes: &[u8],
        asked: &Asked,
        answers: &Answers,
    ) -> Result<usize, Vec<ListProblem>> {
        let text = text_of(bytes)?;
        // The answers that are listed there may have several lines.
        let rows = Rows::of(text, LineBreaks::Quoted)?;
        let columns = columns(rows.headings())?;
        let mut reading = Reading { asked, answers, seen: BTreeMap::new(), problems: Vec::new() };
        let mut entries = Vec::new();
        let mut empty = 0;
        for row in rows {
            let (line, row) = match row {
                Ok(row) => row,
                Err(problem) => {
                    reading.problems.push(problem);
                    continue;
                }
            };
            let cells = columns.map(|column| row.get(column).unwrap_or_default());
            if cells[3].is_empty() {
                empty += 1;
                continue;
            }
            entries.extend(reading.entry(line, cells));
        }
        if !reading.problems.is_empty() {
            return Err(reading.problems);
        }
        for entry in entries {
            if !self.knows(&entry) {
                self.push(entry);
            }
        }
        Ok(empty)
    }

    fn push(&mut self, entry: Placed) {
        self.of_part.entry(entry.0).or_default().push(self.entries.len());
        self.entries.push(entry);
    }

    /// Whether an entry is in the record, whatever the answer was then.
    fn knows(&self, (spot, mark): &Placed) -> bool {
        let same = |known: &HandMark| {
            (known.marks, &known.who, &known.why, &known.when)
                == (mark.marks, &mark.who, &mark.why, &mark.when)
        };
        let mine = self.of_part.get(spot).into_iter().flatten();
        mine.filter_map(|place| self.entries.get(*place)).any(|(_, known)| same(known))
    }
}

/// The headings that must be there.
const COLUMNS: [&str; 7] = ["candidate", "question", "part", "marks", "who", "why", "when"];

fn columns(headings: &csv::StringRecord) -> Result<[usize; 7], Vec<ListProblem>> {
    let mut problems = Vec::new();
    let places = COLUMNS.map(|wanted| {
        let mut found =
            headings.iter().enumerate().filter(|(_, text)| text.eq_ignore_ascii_case(wanted));
        let place = found.next().map(|(place, _)| place);
        if place.is_none() {
            let what = format!("expected a heading `{wanted}`, found none; add the column");
            problems.push(problem(1, None, what));
        }
        if found.next().is_some() {
            let what = "expected the heading once, found it twice; remove or rename one";
            problems.push(problem(1, Some(wanted), what));
        }
        place.unwrap_or_default()
    });
    if problems.is_empty() { Ok(places) } else { Err(problems) }
}

/// Reading a table of marks.
struct Reading<'a> {
    asked: &'a Asked,
    answers: &'a Answers,
    seen: BTreeMap<Spot, u64>,
    problems: Vec<ListProblem>,
}

impl Reading<'_> {
    fn entry(&mut self, line: u64, cells: [&str; 7]) -> Option<Placed> {
        let before = self.problems.len();
        let [candidate, question, part, marks, who, why, when] = cells;
        let number = unescaped(candidate);
        let paper = match self.asked.paper(number) {
            Ok(paper) => paper,
            Err(what) => {
                self.problems.push(problem(line, Some("candidate"), what));
                return None;
            }
        };
        let place = match self.asked.part(paper, question, part) {
            Ok(place) => place,
            Err(Misplaced { part, what }) => {
                let column = if part { "part" } else { "question" };
                self.problems.push(problem(line, Some(column), what));
                return None;
            }
        };
        let asked = self.asked.at(paper, place)?;
        if let Some(first) = self.seen.insert((paper, place), line) {
            let what =
                format!("this part has marks already on line {first}; remove one of the two");
            self.problems.push(problem(line, Some("marks"), what));
        }
        let given = marks.parse().ok().filter(|given| *given <= asked.marks);
        if given.is_none() {
            let what = format!(
                "expected a whole number from 0 to {}, found `{}`; look at the marks",
                asked.marks,
                shown(marks)
            );
            self.problems.push(problem(line, Some("marks"), what));
        }
        if who.is_empty() {
            let what = "expected who gave the marks, found a blank; give initials or a name";
            self.problems.push(problem(line, Some("who"), what));
        }
        if why.is_empty() && !asked.written {
            let what = "expected why the mark is changed, found a blank; say it in a few words";
            self.problems.push(problem(line, Some("why"), what));
        }
        for (column, text) in [("who", who), ("why", why)] {
            if text.chars().count() > LONGEST {
                let what = format!("expected at most {LONGEST} characters, found more; shorten it");
                self.problems.push(problem(line, Some(column), what));
            }
        }
        if !is_day(when) {
            let what = format!(
                "expected a day such as 2026-05-20, found `{}`; give the day of the mark",
                shown(when)
            );
            self.problems.push(problem(line, Some("when"), what));
        }
        let given = given.filter(|_| self.problems.len() == before)?;
        let answer = self.answers.papers.get(paper).and_then(Option::as_ref);
        let answer = answer.and_then(|it| it.questions.get(place.0)?.get(place.1)).cloned();
        let mark = HandMark {
            castmark_hand: VERSION,
            candidate: number.to_owned(),
            paper: self.asked.code(paper)?.to_string(),
            question: place.0 + 1,
            part: letter(place.1, 'a'),
            marks: given,
            who: unescaped(who).to_owned(),
            why: unescaped(why).to_owned(),
            when: when.to_owned(),
            answer: answer.unwrap_or_default(),
        };
        Some(((paper, place), mark))
    }
}

/// An entry of the record, with its place on the papers.
fn read_entry(text: &str, asked: &Asked) -> Result<Placed, String> {
    let mark: HandMark = serde_json::from_str(text).map_err(|error| {
        format!("expected a mark, found something else ({error}); use the record as it was written")
    })?;
    if mark.castmark_hand != VERSION {
        return Err(format!(
            "expected version {VERSION}, found {}; use the castmark that wrote it, or a later one",
            mark.castmark_hand
        ));
    }
    let paper = asked.paper(&mark.candidate)?;
    let code = asked.code(paper).map(|code| code.to_string()).unwrap_or_default();
    if code != mark.paper {
        return Err(format!(
            "the mark was given for the paper {}, but candidate {} has {code}; mark another set in \
             another folder",
            shown(&mark.paper),
            mark.candidate
        ));
    }
    let place = asked.part(paper, &mark.question.to_string(), &mark.part);
    let place = place.map_err(|misplaced| misplaced.what)?;
    if asked.at(paper, place).is_none_or(|part| mark.marks > part.marks) {
        return Err(format!(
            "{} are more marks than the part has; use the record as it was written",
            mark.marks
        ));
    }
    Ok(((paper, place), mark))
}

/// A cell without the quotation mark that keeps a spreadsheet from taking it for a formula.
fn unescaped(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| rest.starts_with(['=', '+', '-', '@'])).unwrap_or(text)
}

/// Whether the text is a day: `2026-05-20`.
fn is_day(text: &str) -> bool {
    let fields: Vec<&str> = text.split('-').collect();
    let [year, month, day] = fields.as_slice() else { return false };
    let number = |text: &str, length: usize| {
        let digits = text.len() == length && text.bytes().all(|byte| byte.is_ascii_digit());
        digits.then(|| text.parse::<u32>().ok()).flatten()
    };
    let (Some(year), Some(month), Some(day)) = (number(year, 4), number(month, 2), number(day, 2))
    else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(leap),
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_one_of_the_calendar() {
        for day in ["2026-05-20", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert!(is_day(day), "{day}");
        }
        for day in
            ["", "20.5.2026", "2026-5-20", "2026-02-29", "1900-02-29", "2026-13-01", "2026-00-10"]
        {
            assert!(!is_day(day), "{day}");
        }
    }

    #[test]
    fn a_cell_that_was_kept_from_being_a_formula_is_read_as_it_was() {
        assert_eq!(unescaped("'=1"), "=1");
        assert_eq!(unescaped("'quoted"), "'quoted");
    }
}
