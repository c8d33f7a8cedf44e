//! A template as written.

use crate::bank::reading::group::form;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::words::{
    Choice, ChoiceText, FormulaText, NameText, RoundingText, Text, WholeText,
};
use crate::bank::reading::written::{List, Named};
use crate::bank::template::{Convention, Objective};
use crate::bank::written::parts::PartText;
use crate::bank::written::values::ValueText;
use crate::bank::written::working::{MethodText, PlausibleText, RequireText, StepText};

form! {
    /// A template.
    TemplateText is "a template" with version {
        id: NameText = "the name of the file without its ending";
        title: Text = "the title in lists of templates";
        objective: ChoiceText<Objective> = "what the template trains";
        topic: NameText = "a topic of topics.yaml";
        level: WholeText<1, 3> = "1 for one idea, 2 for several steps, 3 for more";
        minutes: WholeText<1, 240> = "how long a candidate should need";
        convention: ChoiceText<Convention> = "how the displacement is told";
        about: Text = "one or two sentences for the instructor";
        values: Option<Named<ValueText>> = "what is drawn";
        require: Option<List<RequireText, 0>> = "what must hold of a draw";
        different: Option<List<List<NameText>, 0>> = "picks that must be different rows";
        stem: List<Text, 2> = "the question, in at least two wordings";
        working: Option<Named<StepText>> = "the steps from the values to the answers";
        methods: Option<Named<MethodText>> = "the legal ways of working";
        plausible: Option<List<PlausibleText>> =
            "sentences that show the answer to be plausible";
        parts: Named<PartText> = "what is asked";
        slips: Option<Named<SlipText>> = "known wrong rules, with what a student is told";
        batch: Option<List<BatchText, 0>> = "the rows of the batch table";
        drawing: Option<DrawingText> = "the masses in the picture of the mould";
    }
}

form! {
    /// A known wrong rule.
    SlipText is "a slip" {
        instead: Named<FormulaText> = "a step or value with the wrong rule for it";
        say: Text = "what a student is told";
    }
}

form! {
    /// A row of the batch table.
    BatchText is "a row of the batch" {
        what: Text = "the ingredient";
        each: Option<NameText> = "the mass for one unit";
        all: NameText = "the mass for the batch";
        round: RoundingText = "how the masses are written";
    }
}

form! {
    /// The picture of the mould.
    DrawingText is "the drawing" {
        mould: NameText = "the mass of base that fills the mould";
        displaced: List<NameText> = "the base displaced by each drug";
        drugs: List<NameText> = "the mass of each drug, in the same order";
        base: NameText = "the base that is still needed";
    }
}

impl TemplateText {
    /// The location of a value of that name.
    pub(in crate::bank) fn value(&self, name: &str) -> Location {
        location(self.values.as_ref(), name)
    }

    /// The location of the columns under `with` of a pick of that name.
    pub(in crate::bank) fn columns(&self, pick: &str) -> Location {
        let value = self.values.as_ref().and_then(|values| values.get(pick));
        let with = value.and_then(|(_, value)| value.with.as_ref());
        with.map_or(self.value(pick), Located::location)
    }

    /// The location of the wrong rule that a slip has for a value or step.
    pub(in crate::bank) fn wrong_rule(&self, slip: &str, name: &str) -> Location {
        let slip = self.slips.as_ref().and_then(|slips| slips.get(slip));
        slip.map_or(Location::FILE, |(_, slip)| location(Some(&slip.instead), name))
    }

    /// The location of a step of that name.
    pub(in crate::bank) fn step(&self, name: &str) -> Location {
        location(self.working.as_ref(), name)
    }
}

fn location<T>(entries: Option<&Named<T>>, name: &str) -> Location {
    let entry = entries.and_then(|entries| entries.get(name));
    entry.map_or(Location::FILE, |(key, _)| key.location())
}

impl Choice for Objective {
    const WHAT: &'static str = "an objective";
    const WORDS: &'static [&'static str] =
        &["calibration", "displacement", "base-quantity", "product-checks", "theory"];

    fn of(word: &str) -> Option<Self> {
        Self::parse(word)
    }
}

impl Choice for Convention {
    const WHAT: &'static str = "a convention";
    const WORDS: &'static [&'static str] =
        &["displacement value", "displacement factor", "density factor", "none"];

    fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|convention| convention.name() == word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_form_are_the_words_that_are_understood() {
        assert_eq!(Objective::WORDS, Objective::ALL.map(Objective::name));
        assert_eq!(Convention::WORDS, Convention::ALL.map(Convention::name));
    }
}
