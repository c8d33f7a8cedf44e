//! What is told about the marking of a class.

use std::path::Path;

use castmark::paper::{PaperMarks, PartMarks, PartStanding};
use castmark::problem::letter;

use super::super::outcome::Failure;
use super::super::table::{Side, Table};
use super::super::terminal::Terminal;
use super::folder::{BY_HAND, Kept};

/// How many places are named before the rest is only counted.
const MOST_NAMED: usize = 20;

/// Prints what the marks would be.
///
/// # Errors
/// When nothing can be printed.
pub(super) fn print_draft(
    papers: &[PaperMarks],
    kept: &Kept,
    to: &Path,
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    let mut table = Table::new(&[
        ("candidate", Side::Left),
        ("marks", Side::Right),
        ("of", Side::Right),
        ("before", Side::Right),
        ("by hand", Side::Right),
        ("not read", Side::Right),
        ("blank", Side::Right),
    ]);
    for paper in papers {
        let number = shown(&paper.candidate.number);
        if paper.absent {
            let [of, before, by_hand, not_read, blank] = [const { String::new() }; 5];
            table.row([number, "absent".to_owned(), of, before, by_hand, not_read, blank]);
            continue;
        }
        let before = kept.marks.iter().flatten();
        let before = before.into_iter().find(|(known, _)| *known == paper.candidate.number);
        let count = |standing| paper.count(standing).to_string();
        table.row([
            number,
            paper.marks().to_string(),
            paper.of().to_string(),
            before.map_or_else(|| "-".to_owned(), |(_, marks)| marks.to_string()),
            count(PartStanding::ByHand),
            count(PartStanding::Unread),
            count(PartStanding::Blank),
        ]);
    }
    terminal.print(table.set(terminal.width()))?;
    terminal.end_line()?;
    let line = format!("A draft: nothing was written to {}.", to.display());
    Ok(terminal.paragraph(0, &line)?)
}

/// Says what was written.
pub(super) fn tell_written(papers: &[PaperMarks], to: &Path, terminal: &mut Terminal) {
    let marked = papers.iter().filter(|paper| !paper.absent).count();
    let to = to.display();
    terminal.note(format_args!("marks of {} in {to}", counted(marked, "candidate")));
}

/// Says what somebody has to look at.
pub(super) fn tell(papers: &[PaperMarks], empty: usize, changed: &[&str], terminal: &mut Terminal) {
    let absent: Vec<String> = papers
        .iter()
        .filter(|paper| paper.absent)
        .map(|paper| shown(&paper.candidate.number))
        .collect();
    if !absent.is_empty() {
        terminal.note(format_args!(
            "{} without any answers: {}",
            counted(absent.len(), "candidate"),
            named(&absent)
        ));
    }
    let unread = places(papers, |part| part.standing == PartStanding::Unread);
    if !unread.is_empty() {
        terminal.note(format_args!(
            "{} could not be read, without marks until somebody looks ({BY_HAND}): {}",
            counted(unread.len(), "answer"),
            named(&unread)
        ));
    }
    let written = places(papers, |part| part.standing == PartStanding::ByHand);
    if !written.is_empty() {
        terminal.note(format_args!(
            "{} to be marked by hand: fill in {BY_HAND} and give it with --hand",
            counted(written.len(), "written answer")
        ));
    }
    let other = places(papers, |part| {
        part.hand.as_ref().is_some_and(|hand| hand.answer.trim() != part.answer)
    });
    if !other.is_empty() {
        terminal.note(format_args!(
            "{} changed since a mark was given by hand; look again: {}",
            counted(other.len(), "answer"),
            named(&other)
        ));
    }
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

/// Where such parts are: `0101 2 (a)`.
fn places(papers: &[PaperMarks], wanted: impl Fn(&PartMarks) -> bool) -> Vec<String> {
    let mut places = Vec::new();
    for paper in papers {
        for (number, question) in (1..).zip(&paper.questions) {
            for (place, _) in question.parts.iter().enumerate().filter(|(_, part)| wanted(part)) {
                let number_of = shown(&paper.candidate.number);
                places.push(format!("{number_of} {number} ({})", letter(place, 'a')));
            }
        }
    }
    places
}

fn named(places: &[String]) -> String {
    let first = places.iter().take(MOST_NAMED).cloned().collect::<Vec<_>>().join(", ");
    match places.len().checked_sub(MOST_NAMED) {
        Some(more) if more > 0 => format!("{first} and {more} more"),
        _ => first,
    }
}

fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// A number without characters that could move the cursor.
fn shown(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control()).collect()
}
