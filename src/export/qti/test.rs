//! The test: its sections, and which of their questions a candidate gets.

use crate::draw::Code;

use super::item::{Item, outcome};
use super::scoring::processing::set;
use super::version::Version;
use super::xml::{Element, paragraph, qti};
use crate::export::{CAUTION, Entry, Sheet};

/// Questions that stand together, and how many of them a candidate gets.
#[derive(Debug)]
pub(super) struct Group {
    title: String,
    note: Option<String>,
    /// Places of questions on the sheet.
    pub questions: Vec<usize>,
    /// How many of them each candidate gets.
    pub select: usize,
}

/// The sections of a sheet.
///
/// On a paper they are its own, and each question is asked. Practice problems of one template are
/// variants of one question: they make a section of which each candidate gets one.
pub(super) fn groups(sheet: &Sheet) -> Vec<Group> {
    let mut groups: Vec<(Option<String>, Group)> = Vec::new();
    for (index, entry) in sheet.entries.iter().enumerate() {
        let template = template(entry);
        let known = groups.iter().position(|(known, _)| template.is_some() && *known == template);
        let open = groups.len().checked_sub(1).filter(|_| template.is_none());
        let open = open.filter(|last| entry.section.is_none() && groups[*last].0.is_none());
        if let Some(group) = known.or(open) {
            groups[group].1.questions.push(index);
            continue;
        }
        let section = entry.section.as_ref();
        let title = section.map(|section| section.title.clone());
        let title = title.or(entry.heading.clone()).unwrap_or_else(|| sheet.title.clone());
        let note = section.and_then(|section| section.note.clone());
        groups.push((template, Group { title, note, questions: vec![index], select: 1 }));
    }
    let selected = groups.into_iter().map(|(template, group)| {
        let select = if template.is_some() { 1 } else { group.questions.len() };
        Group { select, ..group }
    });
    selected.collect()
}

/// The template of a practice problem.
fn template(entry: &Entry) -> Option<String> {
    Code::parse(entry.code.as_deref()?).ok().map(|code| code.template)
}

/// The test as a document.
pub(super) fn test(sheet: &Sheet, identifier: &str, items: &[Item], version: Version) -> Vec<u8> {
    let groups = groups(sheet);
    let marks: u32 = groups
        .iter()
        .map(|group| {
            let marks = group.questions.iter().filter_map(|index| sheet.entries.get(*index));
            let marks: u32 = marks.map(|entry| entry.marks()).sum();
            // Variants of one question have the same marks.
            let variants = u32::try_from(group.questions.len() / group.select.max(1)).unwrap_or(1);
            marks.checked_div(variants).unwrap_or_default()
        })
        .sum();
    let control = qti("itemSessionControl")
        .with("maxAttempts", "1")
        .with("showFeedback", "true")
        .with("allowReview", "true")
        .with("showSolution", "true");
    // A paper is handed in as a whole; practice is marked question by question.
    let is_paper = sheet.minutes.is_some();
    let part = qti("testPart")
        .with("identifier", "PART_1")
        .with("navigationMode", "nonlinear")
        .with("submissionMode", if is_paper { "simultaneous" } else { "individual" })
        .child(control)
        .children(sections(sheet, groups, items));
    let seconds = sheet.minutes.map(|minutes| u64::from(minutes) * 60);
    let limit = seconds.map(|seconds| qti("timeLimits").with("maxTime", seconds.to_string()));
    let scores = qti("sum").child(qti("testVariables").with("variableIdentifier", "SCORE"));
    qti("assessmentTest")
        .with("identifier", identifier)
        .with("title", &sheet.title)
        .in_version(version)
        .child(outcome("SCORE", marks, false))
        .children(limit)
        .child(part)
        .child(qti("outcomeProcessing").child(set("SCORE", scores)))
        .document(version)
}

fn sections<'a>(
    sheet: &'a Sheet,
    groups: Vec<Group>,
    items: &'a [Item],
) -> impl Iterator<Item = Element> + 'a {
    groups.into_iter().enumerate().map(move |(number, group)| {
        let mut section = qti("assessmentSection")
            .with("identifier", format!("SECTION_{}", number + 1))
            .with("title", &group.title)
            .with("visible", "true")
            .child(qti("selection").with("select", group.select.to_string()));
        let notes = sheet.note.iter().filter(|_| number == 0).chain(&group.note);
        let notes = notes.map(String::as_str).chain((number == 0).then_some(CAUTION));
        let notes: Vec<Element> = notes.map(paragraph).collect();
        if !notes.is_empty() {
            section = section.child(qti("rubricBlock").with("view", "candidate").children(notes));
        }
        section.children(group.questions.iter().filter_map(|index| items.get(*index)).map(|item| {
            qti("assessmentItemRef").with("identifier", &item.identifier).with("href", item.file())
        }))
    })
}
