//! The sources behind a problem.

use crate::bank::{Bank, Source};

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
