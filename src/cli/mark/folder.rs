//! The folder of marks, as it is before a class is marked.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, BufRead};
use std::path::Path;

use castmark::bank::Grading;
use castmark::marks::{Line, Mark, MarksHead};
use castmark::paper::PaperSet;

use super::super::disk::{self, Limit, read_bytes};
use super::super::outcome::Failure;
use super::super::paper::file_name;

/// What is written there, for messages.
pub(super) const WHAT: &str = "marks";

/// The table for a spreadsheet.
pub(super) const TABLE: &str = "marks.csv";

/// Everything, as JSON Lines.
pub(super) const LINES: &str = "marks.jsonl";

/// What is to be marked by hand.
pub(super) const BY_HAND: &str = "by-hand.csv";

/// The record of marks given by hand.
pub(super) const HAND: &str = "hand.jsonl";

/// The list of results by number, to post.
pub(super) const RESULTS: &str = "results.csv";

/// The name of the same list as a page, before its ending.
pub(super) const RESULTS_STEM: &str = "results";

/// Where two markers differ.
pub(super) const DIFFERENCES: &str = "differences.csv";

/// The folder of the feedback for candidates.
pub(super) const FEEDBACK: &str = "feedback";

/// The folder of worked solutions.
pub(super) const SOLUTIONS: &str = "solutions";

/// How the files of feedback and solutions may end.
const ENDINGS: [&str; 4] = ["html", "pdf", "txt", "md"];

/// What earlier marking has left.
#[derive(Debug, Default)]
pub(super) struct Kept {
    /// The record of marks given by hand.
    pub hand: Option<String>,
    /// The tables in which people give marks, as they are now.
    pub to_fill_in: Vec<(&'static str, Vec<u8>)>,
    /// The marks of each candidate, for a draft.
    pub marks: Option<Vec<(String, Mark)>>,
    /// The grading of the earlier marks.
    pub grading: Grading,
    /// Whether there are worked solutions.
    pub solutions: bool,
    /// The endings of the files of feedback.
    pub endings: BTreeSet<String>,
}

impl Kept {
    /// Looks what is there. Where marks will be written, what an interrupted run left is put right.
    ///
    /// # Errors
    /// When something else than the marks of this set is there, or the place cannot be looked at.
    pub(super) fn look(path: &Path, set: &PaperSet, mend: bool) -> Result<Self, Failure> {
        let there = if mend { disk::find(path, WHAT)? } else { path.exists() };
        if !there {
            return Ok(Self::default());
        }
        let shown = path.display();
        let lines = path.join(LINES);
        if !path.is_dir() || !lines.exists() {
            return Err(Failure::unusable(format!(
                "`{shown}` already exists and does not hold castmark marks; choose another name"
            )));
        }
        let cannot = |error: io::Error| disk::cannot(path, WHAT, &error);
        let mut head = String::new();
        let mut reader = io::BufReader::new(fs::File::open(&lines).map_err(cannot)?);
        reader.read_line(&mut head).map_err(cannot)?;
        let head = MarksHead::read(&head).unwrap_or_default();
        if head.fingerprint != set.fingerprint() {
            return Err(Failure::unusable(format!(
                "`{shown}` holds the marks of another set of papers; give another name"
            )));
        }
        if let Some(first) = strangers(path, set).map_err(cannot)?.first() {
            return Err(Failure::unusable(format!(
                "`{shown}` would be written anew, but holds `{first}`, which castmark did not put \
                 there; move it to another place"
            )));
        }
        let read = |name: &str| {
            let path = path.join(name);
            path.exists().then(|| read_bytes(&path, Limit::Class)).transpose()
        };
        let there = |name| Ok(read(name)?.map(|bytes| (name, bytes)));
        let to_fill_in =
            [BY_HAND, DIFFERENCES].map(there).into_iter().collect::<Result<Vec<_>, Failure>>()?;
        let text = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).into_owned();
        Ok(Self {
            hand: read(HAND)?.map(text),
            to_fill_in: to_fill_in.into_iter().flatten().collect(),
            grading: head.grading,
            // Only a draft tells them, and those of a large class are long.
            marks: (!mend).then(|| totals(reader)).transpose().map_err(cannot)?,
            solutions: path.join(SOLUTIONS).is_dir(),
            endings: endings(&path.join(FEEDBACK)).map_err(cannot)?,
        })
    }
}

/// How the files in a folder end; nothing when there is no such folder.
fn endings(folder: &Path) -> io::Result<BTreeSet<String>> {
    if !folder.is_dir() {
        return Ok(BTreeSet::new());
    }
    let ending = |path: &Path| path.extension().map(|it| it.to_string_lossy().into_owned());
    let entries = fs::read_dir(folder)?.map(|entry| entry.map(|entry| ending(&entry.path())));
    entries.filter_map(io::Result::transpose).collect()
}

/// The marks of each candidate in earlier marks, read on behind their head.
fn totals(lines: impl BufRead) -> io::Result<Vec<(String, Mark)>> {
    let mut totals: Vec<(String, Mark)> = Vec::new();
    for line in lines.lines() {
        let Ok(Line::Mark(line)) = Line::read(0, &line?) else { continue };
        let marks = line.given().unwrap_or_default();
        match totals.last_mut().filter(|(last, _)| *last == line.candidate) {
            Some((_, total)) => *total = *total + marks,
            None => totals.push((line.candidate, marks)),
        }
    }
    Ok(totals)
}

/// What stands in the folder and is none of its files.
fn strangers(path: &Path, set: &PaperSet) -> io::Result<Vec<String>> {
    let papers = set.papers.iter().enumerate();
    let pages: BTreeSet<String> = papers
        .flat_map(|(place, paper)| {
            let name = file_name(place, &paper.candidate.number);
            ENDINGS.map(|ending| format!("{name}.{ending}"))
        })
        .collect();
    let tables = [TABLE, LINES, BY_HAND, HAND, RESULTS, DIFFERENCES];
    let lists = ENDINGS.map(|ending| format!("{RESULTS_STEM}.{ending}"));
    let mut strange = Vec::new();
    for entry in fs::read_dir(path)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_dir() && [FEEDBACK, SOLUTIONS].contains(&name.as_str()) {
            for inner in fs::read_dir(entry.path())? {
                let inner = inner?.file_name().to_string_lossy().into_owned();
                if !pages.contains(&inner) {
                    strange.push(format!("{name}/{inner}"));
                }
            }
        } else if !tables.contains(&name.as_str()) && !lists.contains(&name) {
            strange.push(name);
        }
    }
    strange.sort();
    Ok(strange)
}
