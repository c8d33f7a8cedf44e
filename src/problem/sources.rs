//! The sources behind a problem.

use std::collections::BTreeSet;

use crate::bank::{Bank, Source};
use crate::formula::Slot;

use super::{Block, Problem};

impl Problem {
    /// The sources behind the values and answers, each once, in the order in which they are met.
    pub fn sources<'b>(&self, bank: &'b Bank) -> Vec<&'b Source> {
        let picked = self.draw.picked.iter().flat_map(|(name, option)| {
            let sources =
                self.template.option(name, *option).map(|option| option.sources.as_slice());
            sources.unwrap_or_default().iter().map(String::as_str)
        });
        let answers = self.parts.iter().flat_map(|part| part.response.sources());
        let mut once: Vec<&Source> = Vec::new();
        for source in picked.chain(answers).filter_map(|id| bank.facts().source(id)) {
            if !once.iter().any(|known| known.id == source.id) {
                once.push(source);
            }
        }
        once
    }

    /// The ids of the sources that deny what the answers call false.
    pub fn denied_by(&self) -> impl Iterator<Item = &str> {
        self.parts.iter().flat_map(|part| part.response.key().denied_by())
    }

    /// The numbers that the stem gives, each with its label, in the order of the template.
    pub fn numbers_told(&self, bank: &Bank) -> Vec<(String, String)> {
        let stem = format!("{}#stem/{}", self.template.id, self.draw.wording);
        let stem = bank.texts().get_template(&stem);
        let named: BTreeSet<String> = stem
            .map(|stem| stem.undeclared_variables(true).into_iter().collect())
            .unwrap_or_default();
        let is_told = |(slot, name): (usize, &crate::bank::Name)| {
            let is_number = matches!(self.draw.written.get(slot), Some(Slot::Number(_)));
            let is_named = named.iter().any(|one| {
                one.strip_prefix(name.name.as_str())
                    .is_some_and(|rest| matches!(rest, "" | ".number"))
            });
            (is_number && is_named).then(|| (name.label.clone(), self.shown.text(slot)))
        };
        self.template.names.iter().enumerate().filter_map(is_told).collect()
    }

    /// All words a candidate reads before answering.
    pub fn told(&self) -> String {
        let mut told = String::new();
        for text in self.stem.iter().flat_map(Block::texts) {
            told.push_str(text);
            told.push(' ');
        }
        for part in &self.parts {
            for text in [part.ask.as_str()].into_iter().chain(part.response.key().texts()) {
                told.push_str(text);
                told.push(' ');
            }
        }
        told
    }
}
