//! The plan of a paper, as an instructor writes it and as it comes out with its templates chosen.

mod alikeness;
mod choosing;
mod clock;
mod cover;
mod grading;
mod layouts;
mod rules;

use std::sync::Arc;

use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::{Text, WholeText};
use crate::bank::reading::written::{List, Truth, file};
use crate::bank::written::blueprint::{BlueprintText, SectionText, SlotText};
use crate::bank::{Bank, Report, SourceText, Template};

pub use alikeness::Alikeness;
use choosing::{Choosing, marks_of};
pub use clock::Clock;
pub use cover::Cover;
pub use grading::{Grade, Grading, Threshold};
pub use rules::WrittenRules;

/// The plan of a paper, with a template chosen for every question.
#[derive(Clone, Debug)]
pub struct Blueprint {
    /// The short name, which enters into every draw of the papers.
    pub id: String,
    /// The heading of the papers.
    pub title: String,
    /// The course, as printed.
    pub course: Option<String>,
    /// The day, as printed.
    pub date: Option<String>,
    /// When the paper begins.
    pub starts: Option<Clock>,
    /// The time allowed.
    pub minutes: u32,
    /// What candidates are told at the head of the paper.
    pub instructions: Vec<String>,
    /// A line above the head of every document.
    pub letterhead: Option<String>,
    /// A line below every document.
    pub foot: Option<String>,
    /// The cover page of the questions.
    pub cover: Option<Cover>,
    /// The files of layouts of one's own, as written.
    pub layouts: Vec<String>,
    /// A caution beside the one that is always printed.
    pub caution: Option<String>,
    /// Whether the code of a paper is printed for a camera too.
    pub qr_code: bool,
    /// How alike the problems of a class are kept.
    pub difficulty: Alikeness,
    /// How many candidates to plan for.
    pub class: Option<u32>,
    /// The manifest of an earlier paper, as written: none of its problems may come again.
    pub avoid: Option<String>,
    /// The rules of marking that are not the usual ones.
    pub marking: WrittenRules,
    /// The pass mark and the boundaries of grades.
    pub grading: Grading,
    /// The sections in their order.
    pub sections: Vec<PaperSection>,
    /// The questions of all sections in the order of the blueprint.
    pub questions: Vec<PlannedQuestion>,
    /// The file, as it was read.
    pub source: Arc<SourceText>,
}

/// A section of a paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperSection {
    /// Its heading.
    pub title: String,
    /// What candidates are told under it.
    pub note: Option<String>,
    /// Whether the order of its questions differs between candidates.
    pub shuffle: bool,
}

/// One question of every paper: the same template, with other values for every candidate.
#[derive(Clone, Debug)]
pub struct PlannedQuestion {
    /// Its section, from 0.
    pub section: usize,
    /// The template.
    pub template: Arc<Template>,
    /// Whether all candidates get the same problem of it.
    pub same: bool,
}

impl PlannedQuestion {
    /// The marks of the question.
    pub fn marks(&self) -> u32 {
        marks_of(&self.template)
    }
}

impl Blueprint {
    /// The marks of the paper.
    pub fn marks(&self) -> u32 {
        self.questions.iter().map(PlannedQuestion::marks).sum()
    }

    /// Reads a blueprint and chooses a template for every question. The choice among several that
    /// fit depends on the id of the blueprint alone, so that it is the same every time.
    ///
    /// # Errors
    /// Everything that is wrong with it, all at once, each with its location.
    pub fn read(source: SourceText, bank: &Bank) -> Result<Self, Report> {
        let source = Arc::new(source.without_mark());
        let mut checker = Checker::new(&source);
        file::<BlueprintText>(&mut checker)
            .and_then(|written| checked(&mut checker, &written, bank))
            .map_err(|noted| checker.notes.report(noted))
    }
}

fn checked(checker: &mut Checker<'_>, written: &BlueprintText, bank: &Bank) -> Checked<Blueprint> {
    written.id.is_id(checker, "a blueprint");
    let minutes = written.minutes.meaning();
    let starts = written.starts.as_ref().map(|text| Clock::read(checker, text)).transpose();
    let class = written.class.as_ref().map(WholeText::meaning).transpose();
    let difficulty = Alikeness::read(written.difficulty.as_ref());
    let mut choosing = Choosing::new(checker, written, bank);
    nothing_in(checker, &written.sections, "section");
    for section in written.sections.iter() {
        nothing_in(checker, &section.slots, "slot");
    }
    let slots: Vec<(usize, usize, &SlotText)> = written
        .sections
        .iter()
        .enumerate()
        .flat_map(|(section, text)| {
            text.slots.iter().enumerate().map(move |(slot, text)| (section, slot, text))
        })
        .collect();
    // What is named is taken first, so that a free choice does not take it away.
    let mut chosen: Vec<Vec<Arc<Template>>> = vec![Vec::new(); slots.len()];
    let lists = written.sections.iter().map(|section| section.slots.check());
    let mut all_chosen = lists.fold(written.sections.check(), Checked::and);
    for named in [true, false] {
        for (index, (section, slot, text)) in slots.iter().enumerate() {
            if text.template.is_some() == named {
                match choosing.slot(checker, (*section, *slot), text) {
                    Ok(templates) => chosen[index] = templates,
                    Err(noted) => all_chosen = Err(noted),
                }
            }
        }
    }
    let questions = slots.iter().zip(chosen).flat_map(|((section, _, text), templates)| {
        let same = is_true(text.same);
        templates.into_iter().map(move |template| PlannedQuestion {
            section: *section,
            template,
            same,
        })
    });
    let questions: Vec<PlannedQuestion> = questions.collect();
    // Of how many marks the paper is shows only when nothing is missing on it.
    let of = all_chosen.map(|()| questions.iter().map(PlannedQuestion::marks).sum());
    let grading = Grading::read(checker, written.grading.as_ref(), of);
    let layouts = layouts::layouts(checker, written.layouts.as_ref());
    checker.finish(Blueprint {
        questions,
        grading: grading?,
        sections: written.sections.iter().map(section).collect(),
        id: written.id.clone(),
        title: written.title.clone(),
        course: string(written.course.as_ref()),
        date: string(written.date.as_ref()),
        starts: starts?,
        minutes: minutes?,
        instructions: strings(written.instructions.as_ref()),
        letterhead: string(written.letterhead.as_ref()),
        foot: string(written.foot.as_ref()),
        cover: written.cover.as_ref().map(Cover::of),
        layouts,
        caution: string(written.caution.as_ref()),
        qr_code: is_true(written.qr_code),
        difficulty: difficulty?,
        class: class?,
        marking: written
            .marking
            .as_ref()
            .map(|rules| WrittenRules::of(&rules.0))
            .unwrap_or_default(),
        avoid: string(written.avoid.as_ref()),
        source: Arc::clone(checker.file.source),
    })
}

fn strings(list: Option<&List<Text>>) -> Vec<String> {
    list.into_iter().flat_map(|all| all.iter()).map(ToString::to_string).collect()
}

fn section(text: &SectionText) -> PaperSection {
    PaperSection {
        title: text.title.clone(),
        note: string(text.instructions.as_ref()),
        shuffle: is_true(text.shuffle),
    }
}

/// Notes a list that holds nothing.
fn nothing_in<T>(checker: &mut Checker<'_>, list: &List<T>, what: &str) {
    if list.is_empty() {
        let help = Some(format!("write a {what} behind `- `"));
        checker.key(list, format!("expected at least one {what}, found none"), "empty", help);
    }
}

fn string(text: Option<&Text>) -> Option<String> {
    text.map(ToString::to_string)
}

fn is_true(text: Option<Truth>) -> bool {
    text.is_some_and(|text| text.is_true)
}
