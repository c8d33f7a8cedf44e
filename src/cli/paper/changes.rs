//! What was made, and what has changed since it was printed.

use std::collections::BTreeSet;
use std::path::Path;

use castmark::paper::{ClassList, PaperSet};
use castmark::words::{counted, is_or_are, printable};

use super::super::terminal::Terminal;
use super::folder::file_name;

/// How many are named before the rest is only counted.
const MOST_NAMED: usize = 20;

/// What has changed in a folder that was there already.
#[derive(Debug, Default)]
pub(super) struct Changes {
    /// Whether there was one.
    again: bool,
    /// The files of candidates to print, each with why.
    papers: Vec<String>,
    /// The other files.
    others: Vec<String>,
    /// What a format could not say.
    pub left_out: BTreeSet<String>,
}

impl Changes {
    /// The candidates who are new, or whose line in the class list has changed.
    pub(super) fn of(earlier: Option<&PaperSet>, set: &PaperSet) -> Self {
        let Some(earlier) = earlier else { return Self::default() };
        let mut papers = Vec::new();
        for (index, paper) in set.papers.iter().enumerate() {
            let why = match earlier.papers.get(index) {
                None => "new",
                Some(old) if old.candidate != paper.candidate => "changed in the class list",
                Some(_) => continue,
            };
            let stem = file_name(index, &paper.candidate.number);
            papers.push(format!("{stem} ({why})"));
        }
        Self { again: true, papers, ..Self::default() }
    }

    /// The files bound in a folder were made anew.
    pub(super) fn bound(&mut self, folder: &str) {
        if self.again && !self.papers.is_empty() && !folder.is_empty() {
            self.others.push(folder.trim_end_matches('/').to_owned());
        }
    }

    /// A file was written, which may be what it was.
    pub(super) fn written(&mut self, name: &str, before: Option<&[u8]>, now: &[u8]) {
        if self.again && before.is_some_and(|before| before != now) {
            self.others.push(name.to_owned());
        }
    }

    /// Says what to print again, and what a format could not say.
    pub(super) fn tell(&self, terminal: &mut Terminal) {
        for left in &self.left_out {
            terminal.note(left);
        }
        if !self.papers.is_empty() {
            terminal.note(format_args!("to print: {}", named(&self.papers)));
        }
        if !self.others.is_empty() {
            terminal.note(format_args!("changed as well: {}", named(&self.others)));
        }
    }
}

/// The first of them, and how many there are more.
fn named(all: &[String]) -> String {
    let first = all[..all.len().min(MOST_NAMED)].join(", ");
    match all.len().saturating_sub(MOST_NAMED) {
        0 => first,
        more => format!("{first} and {more} more"),
    }
}

/// Says what was made.
pub(super) fn tell(
    to: &Path,
    class: &ClassList,
    set: &PaperSet,
    earlier: Option<&PaperSet>,
    terminal: &mut Terminal,
) {
    let count = set.papers.len();
    let papers = if count == 1 { "paper" } else { "papers" };
    let to = printable(&to.display().to_string());
    terminal.note(match earlier.map(|earlier| count - earlier.papers.len()) {
        Some(new) => format!("{count} {papers} in {to}, {new} of them new"),
        None => format!("{count} {papers} in {to}"),
    });
    let listed: BTreeSet<&str> = class.candidates.iter().map(|it| it.number.as_str()).collect();
    let numbers = set.papers.iter().map(|paper| paper.candidate.number.as_str());
    let gone: Vec<String> =
        numbers.filter(|number| !listed.contains(number)).map(printable).collect();
    if !gone.is_empty() {
        terminal.note(format_args!(
            "{} {} not in the class list any more, but their papers are kept: {}",
            counted(gone.len(), "candidate"),
            is_or_are(gone.len()),
            named(&gone)
        ));
    }
}
