//! The plan of a paper, as an instructor writes it and as it comes out with its templates chosen.

mod alikeness;
mod clock;
mod cover;
mod grading;
mod layouts;
mod rules;

use std::collections::BTreeSet;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::Located;
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::words::{NameText, Text, WholeText};
use crate::bank::reading::written::{List, Truth, file};
use crate::bank::written::blueprint::{AnswerKind, BlueprintText, SectionText, SlotText};
use crate::bank::{Bank, Report, SourceText, Template};

pub use alikeness::Alikeness;
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
    let minutes = written.minutes.whole(checker);
    let starts = written.starts.as_ref().map(|text| Clock::read(checker, text)).transpose();
    let class = whole(checker, written.class.as_ref());
    let difficulty = Alikeness::read(checker, written.difficulty.as_ref());
    let enemies = enemies(checker, written.enemies.iter().flat_map(|all| all.iter()), bank);
    let mut choosing = Choosing { bank, id: &written.id, enemies, taken: BTreeSet::new() };
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
    for named in [true, false] {
        for (index, (section, slot, text)) in slots.iter().enumerate() {
            if text.template.is_some() == named {
                let templates = choosing.slot(checker, (*section, *slot), text);
                chosen[index].extend(templates.into_iter().flatten());
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
    let of = questions.iter().map(PlannedQuestion::marks).sum();
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

/// The pairs that may not meet; notes those that are no pairs of templates.
fn enemies<'t>(
    checker: &mut Checker<'_>,
    written: impl Iterator<Item = &'t List<NameText, 2>>,
    bank: &Bank,
) -> Vec<[String; 2]> {
    let mut enemies = Vec::new();
    for pair in written {
        for id in pair.iter().filter(|id| bank.find(id).is_none()) {
            unknown_template(checker, id, bank);
        }
        match &pair[..] {
            [one, other] if **one != **other => enemies.push([one.to_string(), other.to_string()]),
            _ => {
                let found = match pair.len() {
                    2 => "the same twice".to_owned(),
                    others => others.to_string(),
                };
                let what = format!("expected two different templates, found {found}");
                let help = Some("write each pair on its own, as in `- [one, other]`".to_owned());
                checker.key(pair, what, "not a pair", help);
            }
        }
    }
    enemies
}

fn unknown_template(checker: &mut Checker<'_>, id: &NameText, bank: &Bank) -> Noted {
    let known = bank.templates().iter().map(|template| template.id.as_str());
    checker.unknown(id, "a template of the bank", id, known)
}

struct Choosing<'a> {
    bank: &'a Bank,
    id: &'a str,
    enemies: Vec<[String; 2]>,
    taken: BTreeSet<String>,
}

impl Choosing<'_> {
    /// The templates of a slot, one for each of its questions.
    fn slot(
        &mut self,
        checker: &mut Checker<'_>,
        (section, slot): (usize, usize),
        text: &SlotText,
    ) -> Checked<Vec<Arc<Template>>> {
        let count = whole(checker, text.count.as_ref());
        let marks = whole(checker, text.marks.as_ref());
        let level = whole(checker, text.level.as_ref());
        let kind = text.kind.as_ref().map(|kind| kind.choice(checker)).transpose();
        let (count, marks, level) = (count?.unwrap_or(1), marks?, level?);
        let kind = kind?;
        if let Some(id) = &text.template {
            let Some(template) = self.bank.find(id).cloned() else {
                return Err(unknown_template(checker, id, self.bank));
            };
            self.named(checker, text, id, &template, marks);
            self.taken.insert(id.to_string());
            return Ok(vec![template; count as usize]);
        }
        let objective =
            text.objective.as_ref().map(|objective| objective.choice(checker)).transpose()?;
        let fits = |template: &&Arc<Template>| {
            objective.is_none_or(|objective| template.objective == objective)
                && level.is_none_or(|level| u32::from(template.level) == level)
                && text.topic.as_ref().is_none_or(|topic| **topic == template.topic)
                && kind.is_none_or(|wanted| kind_of(template) == wanted)
                && marks.is_none_or(|marks| marks_of(template) == marks)
        };
        let mut fitting: Vec<&Arc<Template>> = self.bank.templates().iter().filter(fits).collect();
        let there = fitting.len();
        fitting.retain(|template| self.is_free(&template.id));
        fitting.sort_by_cached_key(|template| self.rank((section, slot), &template.id));
        let mut chosen = Vec::new();
        for template in fitting {
            if chosen.len() < count as usize && self.is_free(&template.id) {
                self.taken.insert(template.id.clone());
                chosen.push(Arc::clone(template));
            }
        }
        if chosen.len() < count as usize {
            let free = chosen.len();
            let found = match there - free {
                0 => format!("found {there}"),
                gone => format!("found {there}, {gone} of them on the paper already or an enemy"),
            };
            let expected = if count == 1 {
                "a template that fits this slot".to_owned()
            } else {
                format!("{count} different templates that fit this slot")
            };
            let help = "ask for fewer or limit less, or name one template with a `count`: it gives \
                        several problems";
            let what = format!("expected {expected}, {found}");
            return Err(checker.key(text, what, "too few fit", Some(help.to_owned())));
        }
        Ok(chosen)
    }

    /// Notes what is wrong with naming this template.
    fn named(
        &self,
        checker: &mut Checker<'_>,
        text: &SlotText,
        id: &NameText,
        template: &Template,
        marks: Option<u32>,
    ) {
        let limits = [
            ("level", text.level.as_ref().map(Located::location)),
            ("topic", text.topic.as_ref().map(Located::location)),
            ("kind", text.kind.as_ref().map(Located::location)),
        ];
        for (key, at) in limits.iter().filter_map(|(key, at)| Some((key, (*at)?))) {
            checker.key(
                &at,
                format!("expected no `{key}` beside `template`, found one"),
                "chooses nothing",
                Some("remove it, or give `objective` in place of `template`".to_owned()),
            );
        }
        let given = marks_of(template);
        if let (Some(written), Some(marks)) = (&text.marks, marks.filter(|marks| *marks != given)) {
            checker.value(
                written,
                format!("expected the marks of `{}`, {given}, found {marks}", template.id),
                "not its marks",
                Some(format!("write {given}, or change the marks in the template")),
            );
        }
        if !self.is_free_of_enemies(&template.id) {
            checker.value(
                id,
                format!("`{}` meets a template that it may not meet", template.id),
                "stands under `enemies`",
                Some("take one of the two away, or the pair under `enemies`".to_owned()),
            );
        }
    }

    fn is_free(&self, id: &str) -> bool {
        !self.taken.contains(id) && self.is_free_of_enemies(id)
    }

    fn is_free_of_enemies(&self, id: &str) -> bool {
        !self.enemies.iter().any(|[one, other]| {
            (one == id && self.taken.contains(other)) || (other == id && self.taken.contains(one))
        })
    }

    /// An order among templates that is the same every time, another for every slot, and in which a
    /// new template of the bank moves no others.
    fn rank(&self, (section, slot): (usize, usize), template: &str) -> [u8; 32] {
        let text = format!("castmark choice 1\n{}\n{section} {slot}\n{template}", self.id);
        Sha256::digest(text.as_bytes()).into()
    }
}

fn marks_of(template: &Template) -> u32 {
    template.parts.iter().map(|part| part.marks).sum()
}

fn kind_of(template: &Template) -> AnswerKind {
    let is_worked_out = template.parts.iter().all(|part| part.wanted.is_worked_out());
    if is_worked_out { AnswerKind::Calculation } else { AnswerKind::Theory }
}

/// A whole number that may be left out.
fn whole<const LOW: u32, const HIGH: u32>(
    checker: &mut Checker<'_>,
    text: Option<&WholeText<LOW, HIGH>>,
) -> Checked<Option<u32>> {
    text.map(|text| text.whole(checker)).transpose()
}

fn string(text: Option<&Text>) -> Option<String> {
    text.map(ToString::to_string)
}

fn is_true(text: Option<Truth>) -> bool {
    text.is_some_and(|text| text.is_true)
}
