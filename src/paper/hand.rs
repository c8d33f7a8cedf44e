//! Marks given by hand.
//!
//! They come as a table, one row for each part, and are kept as JSON Lines beside the marks, so that
//! marking again does not lose them. An entry is never taken out of the record: a later one for the
//! same part replaces it, and one that withdraws gives the part back to the program.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::marks::Mark;
use crate::problem::letter;
use crate::words::{Complaints, quoted};

use super::answers::{AskedPart, LineBreaks, Misplaced, PartIndex, Rows, problem, shown, text_of};
use super::hand_columns::{Cells, Columns, is_day};
use super::{Answers, Asked, ListProblem};

/// The version of the record.
const VERSION: u32 = 1;

/// The word that takes a mark back.
const WITHDRAW: &str = "withdraw";

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
    /// The marks given; nothing where an earlier mark is withdrawn.
    pub marks: Option<Mark>,
    /// Who gave them.
    pub who: String,
    /// The marks of the second marker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub second: Option<Mark>,
    /// The second marker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub second_who: Option<String>,
    /// The marks that the two agreed on, where they differed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub agreed: Option<Mark>,
    /// Why; empty where nothing was said.
    pub why: String,
    /// On what day, as `2026-05-20`.
    pub when: String,
    /// The answer they were given for.
    pub answer: String,
}

impl HandMark {
    /// The marks that hold: those agreed on, or the first marker's; nothing where they are withdrawn.
    pub fn holds(&self) -> Option<Mark> {
        self.agreed.or(self.marks)
    }

    /// By how much the two markers differ; nothing where only one has marked.
    pub fn difference(&self) -> Option<Mark> {
        Some(self.marks?.difference(self.second?))
    }

    /// Whether the two markers differ and have not agreed.
    pub fn is_unsettled(&self) -> bool {
        self.agreed.is_none() && self.difference().is_some_and(|by| by > Mark::NONE)
    }
}

/// All marks given by hand, in the order in which they were entered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandMarks {
    entries: Vec<Entered>,
    /// The entries of each part.
    of_part: BTreeMap<Spot, Vec<usize>>,
}

/// A part of a paper of the set.
type Spot = (usize, PartIndex);

/// A mark with the part it is for.
type Entered = (Spot, HandMark);

impl HandMarks {
    /// Reads the record that is kept beside the marks.
    ///
    /// # Errors
    /// Every line that is no entry, or none of these papers.
    pub fn read_record(text: &str, asked: &Asked) -> Result<Self, Vec<ListProblem>> {
        let mut marks = Self::default();
        let mut problems = Complaints::new();
        for (line, text) in (1..).zip(text.lines()).filter(|(_, text)| !text.trim().is_empty()) {
            if problems.is_enough() {
                break;
            }
            match read_entry(text, asked) {
                Ok(entry) => marks.push(entry),
                Err(what) => problems.push(problem(line, None, what)),
            }
        }
        problems.finish(marks)
    }

    /// The text of the record.
    pub fn write(&self) -> String {
        let line = |(_, mark): &Entered| json!(mark).to_string() + "\n";
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
    pub(super) fn of_paper(&self, paper: usize) -> BTreeMap<PartIndex, &HandMark> {
        let mine = self.of_part.range((paper, (0, 0))..(paper + 1, (0, 0)));
        let last =
            mine.filter_map(|((_, spot), all)| Some((*spot, self.entries.get(*all.last()?)?)));
        last.map(|(spot, (_, mark))| (spot, mark)).collect()
    }

    /// Adds the marks of a table with commas: `candidate`, `question`, `part`, `marks`, `who`, `why`
    /// and `when`, in any order, and with a second marker `second`, `second_who` and `agreed`. Marks
    /// may be halves; the word `withdraw` takes an earlier mark back. Other columns are passed over, and
    /// so are rows without marks; the number of those is given back. An entry that is in the record
    /// already is not added again.
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
        let columns = Columns::of(rows.headings())?;
        let mut reading =
            Reading { asked, answers, seen: BTreeMap::new(), problems: Complaints::new() };
        let mut entries = Vec::new();
        let mut empty = 0;
        for row in rows {
            if reading.problems.is_enough() {
                break;
            }
            let (line, row) = match row {
                Ok(row) => row,
                Err(problem) => {
                    reading.problems.push(problem);
                    continue;
                }
            };
            let cells = columns.cells(&row);
            if [cells.marks, cells.second, cells.agreed].iter().all(|cell| cell.is_empty()) {
                empty += 1;
                continue;
            }
            entries.extend(reading.entry(line, &cells));
        }
        reading.problems.finish(())?;
        for entry in entries {
            if !self.knows(&entry) {
                self.push(entry);
            }
        }
        Ok(empty)
    }

    fn push(&mut self, entry: Entered) {
        self.of_part.entry(entry.0).or_default().push(self.entries.len());
        self.entries.push(entry);
    }

    /// Whether an entry is in the record, whatever the answer was then.
    fn knows(&self, (spot, mark): &Entered) -> bool {
        let same = |known: &HandMark| {
            let given = |it: &HandMark| (it.marks, it.second, it.agreed);
            given(known) == given(mark)
                && (&known.who, &known.second_who) == (&mark.who, &mark.second_who)
                && (&known.why, &known.when) == (&mark.why, &mark.when)
        };
        let mine = self.of_part.get(spot).into_iter().flatten();
        mine.filter_map(|spot| self.entries.get(*spot)).any(|(_, known)| same(known))
    }
}

/// Reading a table of marks.
struct Reading<'a> {
    asked: &'a Asked,
    answers: &'a Answers,
    seen: BTreeMap<Spot, u64>,
    problems: Complaints<ListProblem>,
}

impl Reading<'_> {
    fn entry(&mut self, line: u64, cells: &Cells<'_>) -> Option<Entered> {
        let before = self.problems.count();
        let number = unescaped(cells.candidate);
        let paper = match self.asked.paper(number) {
            Ok(paper) => paper,
            Err(what) => {
                self.wrong(line, "candidate", what);
                return None;
            }
        };
        let spot = match self.asked.part(paper, cells.question, cells.part) {
            Ok(spot) => spot,
            Err(Misplaced { part, what }) => {
                self.wrong(line, if part { "part" } else { "question" }, what);
                return None;
            }
        };
        let asked = self.asked.at(paper, spot)?;
        if let Some(first) = self.seen.insert((paper, spot), line) {
            let what =
                format!("this part has marks already on line {first}; remove one of the two");
            self.wrong(line, "marks", what);
        }
        let withdrawn = cells.marks.eq_ignore_ascii_case(WITHDRAW);
        let marks = if withdrawn { None } else { self.mark(line, "marks", cells.marks, asked) };
        let second = self.mark(line, "second", cells.second, asked);
        let agreed = self.mark(line, "agreed", cells.agreed, asked);
        self.two_markers(line, cells, withdrawn);
        if cells.who.is_empty() {
            let what = "expected who gave the marks, found a blank; give initials or a name";
            self.wrong(line, "who", what);
        }
        if cells.why.is_empty() && (withdrawn || !asked.written) {
            let what = "expected why the mark is changed, found a blank; say it in a few words";
            self.wrong(line, "why", what);
        }
        for (column, text) in
            [("who", cells.who), ("why", cells.why), ("second_who", cells.second_who)]
        {
            if text.chars().count() > LONGEST {
                let what = format!("expected at most {LONGEST} characters, found more; shorten it");
                self.wrong(line, column, what);
            }
        }
        if !is_day(cells.when) {
            let what = format!(
                "expected a day such as 2026-05-20, found `{}`; give the day of the mark",
                shown(cells.when)
            );
            self.wrong(line, "when", what);
        }
        if self.problems.count() > before {
            return None;
        }
        let answer = self.answers.papers.get(paper).and_then(Option::as_ref);
        let answer = answer.and_then(|it| it.part(spot.0, spot.1));
        let mark = HandMark {
            castmark_hand: VERSION,
            candidate: number.to_owned(),
            paper: self.asked.code(paper)?.to_string(),
            question: spot.0 + 1,
            part: letter(spot.1, 'a'),
            marks,
            who: unescaped(cells.who).to_owned(),
            second,
            second_who: second.map(|_| unescaped(cells.second_who).to_owned()),
            agreed,
            why: unescaped(cells.why).to_owned(),
            when: cells.when.to_owned(),
            answer: answer.unwrap_or_default().to_owned(),
        };
        Some(((paper, spot), mark))
    }

    /// The mark of a cell; nothing where it is blank or wrong, which is noted.
    fn mark(&mut self, line: u64, column: &str, text: &str, asked: &AskedPart) -> Option<Mark> {
        if text.is_empty() {
            return None;
        }
        let given = Mark::parse(text).filter(|given| *given <= Mark::whole(asked.marks));
        if given.is_none() {
            let withdraw = if column == "marks" { ", or `withdraw`" } else { "" };
            let what = format!(
                "expected marks from 0 to {}, whole or half{withdraw}, found `{}`; check the marks",
                asked.marks,
                shown(text)
            );
            self.wrong(line, column, what);
        }
        given
    }

    /// What two markers must say besides their marks.
    fn two_markers(&mut self, line: u64, cells: &Cells<'_>, withdrawn: bool) {
        let has_second = !cells.second.is_empty();
        if cells.marks.is_empty() {
            let what = "expected the marks of the first marker, found a blank; give them too";
            self.wrong(line, "marks", what);
        }
        if withdrawn && (has_second || !cells.agreed.is_empty()) {
            let what = "expected nothing beside a mark that is withdrawn, found marks; remove them";
            self.wrong(line, if has_second { "second" } else { "agreed" }, what);
            return;
        }
        if !cells.agreed.is_empty() && !has_second {
            let what = "expected the marks of the second marker beside what was agreed, found a blank; \
                        give them, or write one mark under `marks`";
            self.wrong(line, "second", what);
        }
        if has_second && cells.second_who.is_empty() {
            let what = "expected who the second marker is, found a blank; give initials or a name";
            self.wrong(line, "second_who", what);
        } else if has_second && cells.second_who.eq_ignore_ascii_case(cells.who) {
            let what = format!(
                "expected another marker than the first, found `{}` again; give the other's initials",
                shown(cells.second_who)
            );
            self.wrong(line, "second_who", what);
        }
    }

    fn wrong(&mut self, line: u64, column: &str, what: impl Into<String>) {
        self.problems.push(problem(line, Some(column), what));
    }
}

/// An entry of the record, with its place on the papers.
fn read_entry(text: &str, asked: &Asked) -> Result<Entered, String> {
    let mark: HandMark = serde_json::from_str(text).map_err(|error| {
        let error = quoted(&error.to_string(), 200);
        format!("expected a mark, found something else ({error}); use the record as it was written")
    })?;
    if mark.castmark_hand != VERSION {
        return Err(format!(
            "expected version {VERSION}, found {}; use the castmark that wrote it, or a later one",
            mark.castmark_hand
        ));
    }
    let paper = asked.paper(&mark.candidate)?;
    let code = asked.code(paper).map(|code| code.to_string()).ok_or_else(|| {
        format!("internal error: candidate {} has no paper; please report it", mark.candidate)
    })?;
    if code != mark.paper {
        return Err(format!(
            "the mark was given for the paper {}, but candidate {} has {code}; mark another set in \
             another folder",
            shown(&mark.paper),
            mark.candidate
        ));
    }
    let spot = asked.part(paper, &mark.question.to_string(), &mark.part);
    let spot = spot.map_err(|misplaced| misplaced.what)?;
    if asked.at(paper, spot).is_none_or(|part| {
        let given = [mark.marks, mark.second, mark.agreed];
        given.into_iter().flatten().any(|given| given > Mark::whole(part.marks))
    }) {
        let what = "expected no more marks than the part has, found more; use the record as it was \
                    written";
        return Err(what.to_owned());
    }
    Ok(((paper, spot), mark))
}

/// A cell without the quotation mark that keeps a spreadsheet from taking it for a formula.
fn unescaped(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| rest.starts_with(['=', '+', '-', '@'])).unwrap_or(text)
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
