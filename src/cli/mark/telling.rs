//! What is told about the marking of a class.

use std::collections::BTreeMap;
use std::fmt;
use std::path::Path;

use castmark::marking::Standing;
use castmark::marks::{Mark, Status};
use castmark::paper::PaperMarks;
use castmark::problem::letter;
use castmark::words::{counted, printable};

use super::super::outcome::Failure;
use super::super::table::{Side, Table};
use super::super::terminal::Terminal;
use super::folder::{BY_HAND, DIFFERENCES, Kept};

/// How many places are named before the rest is only counted.
const MOST_NAMED: usize = 20;

/// What is to be told, gathered while papers are marked, so that they need not all be kept.
#[derive(Debug, Default)]
pub(super) struct Summary {
    marked: usize,
    absent: Listed,
    excused: Listed,
    withdrawn: Listed,
    unsettled: Listed,
    twice: Twice,
    unread: Listed,
    written: Listed,
    other: Listed,
}

/// Places of which the first are named and the rest only counted.
#[derive(Debug, Default)]
struct Listed {
    count: usize,
    first: Vec<String>,
}

/// What two markers have marked.
#[derive(Debug, Default)]
struct Twice {
    parts: usize,
    alike: usize,
    widest: Mark,
}

/// The table of what the marks would be.
pub(super) struct DraftTable {
    table: Table,
    before: BTreeMap<String, Mark>,
}

impl DraftTable {
    /// A table without rows.
    pub(super) fn new(kept: &Kept) -> Self {
        let table = Table::new(&[
            ("candidate", Side::Left),
            ("marks", Side::Right),
            ("of", Side::Right),
            ("before", Side::Right),
            ("by hand", Side::Right),
            ("not read", Side::Right),
            ("blank", Side::Right),
        ]);
        Self { table, before: kept.marks.iter().flatten().cloned().collect() }
    }

    /// Adds the row of a paper.
    pub(super) fn add(&mut self, paper: &PaperMarks) {
        let number = printable(&paper.candidate.number);
        if let Some(status) = paper.status {
            let [of, before, by_hand, not_read, blank] = [const { String::new() }; 5];
            self.table.row([number, status.to_string(), of, before, by_hand, not_read, blank]);
            return;
        }
        let before = self.before.get(&paper.candidate.number);
        let count = |standing| paper.count(standing).to_string();
        self.table.row([
            number,
            paper.marks().to_string(),
            paper.of().to_string(),
            before.map_or_else(|| "-".to_owned(), ToString::to_string),
            count(Standing::ByHand),
            count(Standing::NotRead),
            count(Standing::Blank),
        ]);
    }

    /// Prints the table.
    ///
    /// # Errors
    /// When nothing can be printed.
    pub(super) fn print(self, to: &Path, terminal: &mut Terminal) -> Result<(), Failure> {
        terminal.print(self.table.set(terminal.width()))?;
        terminal.end_line()?;
        let line = format!("A draft: nothing was written to {}.", to.display());
        Ok(terminal.paragraph(0, &line)?)
    }
}

impl Summary {
    /// Looks through a marked paper.
    pub(super) fn add(&mut self, paper: &PaperMarks) {
        let candidate = printable(&paper.candidate.number);
        if let Some(status) = paper.status {
            let listed = match status {
                Status::Absent => &mut self.absent,
                Status::Excused => &mut self.excused,
                Status::Withdrawn => &mut self.withdrawn,
            };
            listed.add(|| candidate);
            return;
        }
        self.marked += 1;
        for (number, question) in (1..).zip(&paper.questions) {
            for (index, part) in question.parts.iter().enumerate() {
                let name = || format!("{candidate} {number} ({})", letter(index, 'a'));
                match part.standing {
                    Standing::NotRead => self.unread.add(name),
                    Standing::ByHand => self.written.add(name),
                    _ => {}
                }
                let Some(hand) = &part.hand else { continue };
                if hand.answer.trim() != part.answer {
                    self.other.add(name);
                }
                if let Some(by) = hand.difference() {
                    self.twice.add(by);
                }
                if hand.is_unsettled() {
                    self.unsettled.add(name);
                }
            }
        }
    }

    /// Says what was written.
    pub(super) fn tell_written(&self, to: &Path, terminal: &mut Terminal) {
        let to = to.display();
        terminal.note(format_args!("marks of {} in {to}", counted(self.marked, "candidate")));
    }

    /// Says what somebody has to look at.
    pub(super) fn tell(&self, empty: usize, changed: &[&str], terminal: &mut Terminal) {
        let Self { absent, unread, written, other, unsettled, .. } = self;
        if absent.count > 0 {
            terminal.note(format_args!(
                "{} without any answers: {absent}",
                counted(absent.count, "candidate")
            ));
        }
        for (listed, word) in [(&self.excused, "excused"), (&self.withdrawn, "withdrawn")] {
            if listed.count > 0 {
                terminal
                    .note(format_args!("{} {word}: {listed}", counted(listed.count, "candidate")));
            }
        }
        if unread.count > 0 {
            terminal.note(format_args!(
                "{} could not be read, without marks until somebody looks ({BY_HAND}): {unread}",
                counted(unread.count, "answer")
            ));
        }
        if written.count > 0 {
            terminal.note(format_args!(
                "{} to be marked by hand: fill in {BY_HAND} and give it with --hand",
                counted(written.count, "written answer")
            ));
        }
        self.twice.tell(terminal);
        if unsettled.count > 0 {
            terminal.note(format_args!(
                "{} to be settled between two markers: write what they agree on into {DIFFERENCES} and \
                 give it with --hand: {unsettled}",
                counted(unsettled.count, "answer")
            ));
        }
        if other.count > 0 {
            terminal.note(format_args!(
                "{} changed since a mark was given by hand; look again: {other}",
                counted(other.count, "answer")
            ));
        }
        tell_aside(empty, changed, terminal);
    }
}

impl Twice {
    fn add(&mut self, by: Mark) {
        self.parts += 1;
        self.alike += usize::from(by == Mark::NONE);
        self.widest = self.widest.max(by);
    }

    fn tell(&self, terminal: &mut Terminal) {
        let Self { parts, alike, widest } = self;
        if *parts > 0 {
            terminal.note(format_args!(
                "{} marked by two: {alike} alike, the widest difference {widest}",
                counted(*parts, "answer")
            ));
        }
    }
}

impl Listed {
    fn add(&mut self, name: impl FnOnce() -> String) {
        self.count += 1;
        if self.first.len() < MOST_NAMED {
            self.first.push(name());
        }
    }
}

impl fmt::Display for Listed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.first.join(", "))?;
        match self.count.saturating_sub(MOST_NAMED) {
            0 => Ok(()),
            more => write!(f, " and {more} more"),
        }
    }
}

/// Says what is not about the papers themselves.
fn tell_aside(empty: usize, changed: &[&str], terminal: &mut Terminal) {
    if empty > 0 {
        terminal.note(format_args!(
            "{} of the table of marks by hand without marks, passed over",
            counted(empty, "row")
        ));
    }
    for id in changed {
        terminal.note(format_args!(
            "template `{id}` has changed since the papers were made, but gives the same problems"
        ));
    }
}
