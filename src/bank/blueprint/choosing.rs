//! Choosing a template for every question.

use std::collections::BTreeSet;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::Located;
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::words::{NameText, WholeText, Word};
use crate::bank::reading::written::List;
use crate::bank::written::blueprint::{AnswerKind, BlueprintText, SlotText};
use crate::bank::{Bank, Template};

/// Templates chosen so far, and from what.
pub(super) struct Choosing<'a> {
    bank: &'a Bank,
    id: &'a str,
    enemies: Vec<[String; 2]>,
    taken: BTreeSet<String>,
}

impl<'a> Choosing<'a> {
    /// Begins for a blueprint; pairs under `enemies` that are none are noted.
    pub(super) fn new(
        checker: &mut Checker<'_>,
        written: &'a BlueprintText,
        bank: &'a Bank,
    ) -> Self {
        let enemies = enemies(checker, written.enemies.iter().flat_map(|all| all.iter()), bank);
        Self { bank, id: &written.id, enemies, taken: BTreeSet::new() }
    }

    /// The templates of a slot, one for each of its questions.
    pub(super) fn slot(
        &mut self,
        checker: &mut Checker<'_>,
        (section, slot): (usize, usize),
        text: &SlotText,
    ) -> Checked<Vec<Arc<Template>>> {
        let named = text.template.as_ref().map(|id| named(checker, id, self.bank)).transpose();
        let count = text.count.as_ref().map(WholeText::meaning).transpose();
        let marks = text.marks.as_ref().map(WholeText::meaning).transpose();
        let level = text.level.as_ref().map(WholeText::meaning).transpose();
        let kind = text.kind.as_ref().map(Word::meaning).transpose();
        let named = named?;
        let (count, marks, level) = (count?.unwrap_or(1), marks?, level?);
        let kind = kind?;
        if let Some((id, template)) = named {
            self.check_named(checker, text, (id, &template), marks);
            self.taken.insert(id.to_string());
            return Ok(vec![template; count as usize]);
        }
        let objective = text.objective.as_ref().map(Word::meaning).transpose()?;
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
    fn check_named(
        &self,
        checker: &mut Checker<'_>,
        text: &SlotText,
        (id, template): (&NameText, &Template),
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

/// The template that a slot names.
fn named<'t>(
    checker: &mut Checker<'_>,
    id: &'t NameText,
    bank: &Bank,
) -> Checked<(&'t NameText, Arc<Template>)> {
    let template = bank.find(id).cloned().ok_or_else(|| unknown_template(checker, id, bank))?;
    Ok((id, template))
}

fn unknown_template(checker: &mut Checker<'_>, id: &NameText, bank: &Bank) -> Noted {
    let known = bank.templates().iter().map(|template| template.id.as_str());
    checker.unknown(id, "a template of the bank", id, known)
}

/// The marks of a problem of a template.
pub(super) fn marks_of(template: &Template) -> u32 {
    template.parts.iter().map(|part| part.marks).sum()
}

fn kind_of(template: &Template) -> AnswerKind {
    let is_worked_out = template.parts.iter().all(|part| part.wanted.is_worked_out());
    if is_worked_out { AnswerKind::Calculation } else { AnswerKind::Theory }
}
