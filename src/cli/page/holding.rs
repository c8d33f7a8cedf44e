//! Which templates a page holds.

use std::collections::BTreeSet;

use castmark::bank::{Bank, Heading, Objective};
use castmark::formula::nearest;

use crate::cli::banks;
use crate::cli::outcome::Failure;

/// What was named on the command line; where nothing is, everything is held.
#[derive(Debug)]
pub(super) struct Wish<'a> {
    pub(super) objectives: &'a [Objective],
    pub(super) topics: &'a [String],
    pub(super) templates: &'a [String],
}

impl Wish<'_> {
    /// The ids of the templates.
    ///
    /// # Errors
    /// When the bank lacks something that is named, or has nothing of it.
    pub(super) fn templates<'b>(&self, bank: &'b Bank) -> Result<BTreeSet<&'b str>, Failure> {
        for id in self.templates {
            banks::template(bank, id)?;
        }
        if let Some(id) = self.topics.iter().find(|id| bank.topic(id).is_none()) {
            let known = bank.topics().iter().map(|topic| topic.id.as_str());
            let what_to_do = match nearest(id, known) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "`castmark bank list --topics` shows all of them".to_owned(),
            };
            return Err(Failure::unusable(format!("there is no topic `{id}`; {what_to_do}")));
        }
        let wanted: BTreeSet<&str> = bank
            .headings()
            .filter(|template| self.names(template))
            .map(|template| template.id.as_str())
            .collect();
        if wanted.is_empty() {
            return Err(Failure::unusable(
                "the bank has no template of what was named; `castmark bank list` shows what it has",
            ));
        }
        Ok(wanted)
    }

    fn names(&self, template: &Heading) -> bool {
        let nothing =
            self.objectives.is_empty() && self.topics.is_empty() && self.templates.is_empty();
        nothing
            || self.objectives.contains(&template.objective)
            || self.topics.contains(&template.topic)
            || self.templates.contains(&template.id)
    }
}
