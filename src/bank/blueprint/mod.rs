//! The plan of a paper, as an instructor writes it and as it comes out with its templates chosen.

mod alikeness;
mod rules;

use std::collections::BTreeSet;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::file;
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::yaml::Way;
use crate::bank::written::blueprint::{
    BLUEPRINT, BlueprintText, KINDS, LARGEST_CLASS, LONGEST_PAPER, MOST_OF_A_SLOT, SlotText,
};
use crate::bank::{Bank, Objective, Report, SourceText, Template};

pub use alikeness::Alikeness;
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
    /// The time allowed.
    pub minutes: u32,
    /// What candidates are told at the head of the paper.
    pub instructions: Vec<String>,
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
    /// Reads a blueprint and chooses a template for every question. The choice among several that
    /// fit depends on the id of the blueprint alone, so that it is the same every time.
    ///
    /// # Errors
    /// Everything that is wrong with it, all at once, each with its place.
    pub fn read(source: SourceText, bank: &Bank) -> Result<Self, Report> {
        let source = Arc::new(source);
        let mut desk = Desk::new(&source);
        let written = file::written::<BlueprintText>(&mut desk, &BLUEPRINT);
        written
            .and_then(|written| checked(&mut desk, written, bank))
            .map_err(|noted| desk.notes.report(noted))
    }
}

fn checked(desk: &mut Desk<'_>, written: BlueprintText, bank: &Bank) -> Checked<Blueprint> {
    desk.id(&way!["id"], "a blueprint", &written.id);
    let minutes = desk.whole(&way!["minutes"], &written.minutes, 1, LONGEST_PAPER);
    let class = written.class.map(|class| desk.whole(&way!["class"], &class, 1, LARGEST_CLASS));
    let difficulty = Alikeness::read(desk, written.difficulty.as_ref());
    let marking = WrittenRules::checked(desk, Some("marking"), written.marking.into_iter());
    let enemies = enemies(desk, &written.enemies, bank);
    let mut choosing = Choosing { bank, id: &written.id, enemies, taken: BTreeSet::new() };
    let slots: Vec<(usize, usize, &SlotText)> = written
        .sections
        .iter()
        .enumerate()
        .flat_map(|(section, text)| {
            text.slots.iter().enumerate().map(move |(slot, text)| (section, slot, text))
        })
        .collect();
    nothing_in(desk, &way!["sections"], written.sections.is_empty(), "section");
    for (n, section) in written.sections.iter().enumerate() {
        nothing_in(desk, &way!["sections", n, "slots"], section.slots.is_empty(), "slot");
    }
    // What is named is taken first, so that a free choice does not take it away.
    let mut chosen: Vec<Vec<Arc<Template>>> = vec![Vec::new(); slots.len()];
    for named in [true, false] {
        for (place, (section, slot, text)) in slots.iter().enumerate() {
            if text.template.is_some() == named {
                chosen[place] = choosing.slot(desk, (*section, *slot), text).unwrap_or_default();
            }
        }
    }
    let questions = slots.iter().zip(chosen).flat_map(|((section, _, text), templates)| {
        let planned = |template| PlannedQuestion { section: *section, template, same: text.same };
        templates.into_iter().map(planned)
    });
    desk.finish(Blueprint {
        questions: questions.collect(),
        sections: written
            .sections
            .iter()
            .map(|section| PaperSection {
                title: section.title.clone(),
                note: section.instructions.clone(),
                shuffle: section.shuffle,
            })
            .collect(),
        id: written.id,
        title: written.title,
        course: written.course,
        date: written.date,
        minutes: minutes?,
        instructions: written.instructions,
        caution: written.caution,
        qr_code: written.qr_code,
        difficulty: difficulty?,
        class: class.transpose()?,
        marking: marking?,
        avoid: written.avoid,
        source: Arc::clone(desk.source),
    })
}

/// Notes a list that holds nothing.
fn nothing_in(desk: &mut Desk<'_>, way: &[Way], is_empty: bool, what: &str) {
    if is_empty {
        let help = Some(format!("write a {what} behind `- `"));
        desk.key(way, format!("expected at least one {what}, found none"), "empty", help);
    }
}

/// The pairs that may not meet; notes those that are no pairs of templates.
fn enemies(desk: &mut Desk<'_>, written: &[Vec<String>], bank: &Bank) -> Vec<[String; 2]> {
    let mut enemies = Vec::new();
    for (n, pair) in written.iter().enumerate() {
        for (place, id) in pair.iter().enumerate() {
            if bank.find(id).is_none() {
                unknown_template(desk, &way!["enemies", n, place], id, bank);
            }
        }
        match pair.as_slice() {
            [one, other] if one != other => enemies.push([one.clone(), other.clone()]),
            _ => {
                let found = match pair.len() {
                    2 => "the same twice".to_owned(),
                    others => others.to_string(),
                };
                let what = format!("expected two different templates, found {found}");
                let help = Some("write each pair on its own, as in `- [one, other]`".to_owned());
                desk.key(&way!["enemies", n], what, "not a pair", help);
            }
        }
    }
    enemies
}

fn unknown_template(desk: &mut Desk<'_>, way: &[Way], id: &str, bank: &Bank) -> Noted {
    let known = bank.templates().iter().map(|template| template.id.as_str());
    desk.unknown(way, "a template of the bank", id, known)
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
        desk: &mut Desk<'_>,
        (section, slot): (usize, usize),
        text: &SlotText,
    ) -> Checked<Vec<Arc<Template>>> {
        let at = way!["sections", section, "slots", slot];
        let under = |key: &str| {
            let mut way = at.to_vec();
            way.push(Way::Key(key.to_owned()));
            way
        };
        let mut whole = |key: &str, text: &Option<String>, most: u32| {
            text.as_ref().map(|text| desk.whole(&under(key), text, 1, most)).transpose()
        };
        let count = whole("count", &text.count, MOST_OF_A_SLOT);
        let marks = whole("marks", &text.marks, 500);
        let level = whole("level", &text.level, 3);
        let (count, marks, level) = (count?.unwrap_or(1), marks?, level?);
        if let Some(id) = &text.template {
            let Some(template) = self.bank.find(id).cloned() else {
                return Err(unknown_template(desk, &under("template"), id, self.bank));
            };
            self.named(desk, &under, text, &template, marks);
            self.taken.insert(id.clone());
            return Ok(vec![template; count as usize]);
        }
        let found = text.objective.as_deref().unwrap_or_default();
        let Some(objective) = Objective::parse(found) else {
            let known = Objective::ALL.map(Objective::name);
            return Err(desk.unknown(&under("objective"), "an objective", found, known));
        };
        if let Some(kind) = text.kind.as_ref().filter(|kind| !KINDS.contains(&kind.as_str())) {
            return Err(desk.unknown(&under("kind"), "a kind", kind, KINDS.iter().copied()));
        }
        let fits = |template: &&Arc<Template>| {
            template.objective == objective
                && level.is_none_or(|level| u32::from(template.level) == level)
                && text.topic.as_ref().is_none_or(|topic| *topic == template.topic)
                && text.kind.as_ref().is_none_or(|wanted| kind(template) == *wanted)
                && marks.is_none_or(|marks| marks_of(template) == marks)
        };
        let mut fitting: Vec<&Arc<Template>> = self.bank.templates().iter().filter(fits).collect();
        fitting.sort_by_cached_key(|template| self.rank((section, slot), &template.id));
        let there = fitting.len();
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
            return Err(desk.key(&at, what, "too few fit", Some(help.to_owned())));
        }
        Ok(chosen)
    }

    /// Notes what is wrong with naming this template.
    fn named(
        &self,
        desk: &mut Desk<'_>,
        under: &dyn Fn(&str) -> Vec<Way>,
        text: &SlotText,
        template: &Template,
        marks: Option<u32>,
    ) {
        let limits = [("level", &text.level), ("topic", &text.topic), ("kind", &text.kind)];
        for (key, _) in limits.iter().filter(|(_, text)| text.is_some()) {
            desk.key(
                &under(key),
                format!("expected no `{key}` beside `template`, found one"),
                "chooses nothing",
                Some("remove it, or give `objective` in place of `template`".to_owned()),
            );
        }
        if let Some(marks) = marks.filter(|marks| *marks != marks_of(template)) {
            let given = marks_of(template);
            desk.value(
                &under("marks"),
                format!("expected the marks of `{}`, {given}, found {marks}", template.id),
                "not its marks",
                Some(format!("write {given}, or change the marks in the template")),
            );
        }
        if !self.is_free_of_enemies(&template.id) {
            desk.value(
                &under("template"),
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

/// What the answers of a template are, in the words of a blueprint.
fn kind(template: &Template) -> &'static str {
    let calculates = template.parts.iter().all(|part| part.wanted.is_worked_out());
    if calculates { KINDS[0] } else { KINDS[1] }
}
