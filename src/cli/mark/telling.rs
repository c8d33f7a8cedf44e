//! What is told about the marking of a class.

use std::collections::BTreeMap;
use std::fmt;
use std::path::Path;

use castmark::marking::Standing;
use castmark::paper::PaperMarks;
use castmark::problem::letter;
use castmark::words::{counted, printable};

use super::super::outcome::Failure;
use super::super::table::{Side, Table};
use super::super::terminal::Terminal;
use super::folder::{BY_HAND, Kept};

/// How many places are named before the rest is only counted.
const MOST_NAMED: usize = 20;

/// What is to be told, gathered while papers are marked, so that they need not all be kept.
#[derive(Debug, Default)]
pub(super) struct Told {
    marked: usize,
    absent: Places,
    unread: Places,
    written: Places,
    other: Places,
}

/// Places of which the first are named and the rest only counted.
#[derive(Debug, Default)]
struct Places {
    count: usize,
    first: Vec<String>,
}

/// The table of what the marks would be.
pub(super) struct DraftTable {
    table: Table,
    before: BTreeMap<String, u64>,
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
        if paper.absent {
            let [of, before, by_hand, not_read, blank] = [const { String::new() }; 5];
            self.table.row([number, "absent".to_owned(), of, before, by_hand, not_read, blank]);
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

impl Told {
    /// Looks through a marked paper.
    pub(super) fn add(&mut self, paper: &PaperMarks) {
        let candidate = printable(&paper.candidate.number);
        if paper.absent {
            self.absent.add(|| candidate);
            return;
        }
        self.marked += 1;
        for (number, question) in (1..).zip(&paper.questions) {
            for (place, part) in question.parts.iter().enumerate() {
                let name = || format!("{candidate} {number} ({})", letter(place, 'a'));
                match part.standing {
                    Standing::NotRead => self.unread.add(name),
                    Standing::ByHand => self.written.add(name),
                    _ => {}
                }
                if part.hand.as_ref().is_some_and(|hand| hand.answer.trim() != part.answer) {
                    self.other.add(name);
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
        let Self { absent, unread, written, other, .. } = self;
        if absent.count > 0 {
            terminal.note(format_args!(
                "{} without any answers: {absent}",
                counted(absent.count, "candidate")
            ));
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
        if other.count > 0 {
            terminal.note(format_args!(
                "{} changed since a mark was given by hand; look again: {other}",
                counted(other.count, "answer")
            ));
        }
        tell_aside(empty, changed, terminal);
    }
}

impl Places {
    fn add(&mut self, name: impl FnOnce() -> String) {
        self.count += 1;
        if self.first.len() < MOST_NAMED {
            self.first.push(name());
        }
    }
}

impl fmt::Display for Places {
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
