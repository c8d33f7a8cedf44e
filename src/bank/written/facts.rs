//! Facts tables and their sources, as written.

use crate::bank::facts::{ColumnKind, Reliance};
use crate::bank::reading::group::form;
use crate::bank::reading::words::{Choice, ChoiceText, NameText, Text, Texts, UnitText};
use crate::bank::reading::written::{Either, List, Named, Truth};

form! {
    /// A facts table.
    TableText is "a facts table" with version {
        table: NameText = "the name of the file without its ending";
        alone: Option<Truth> =
            "true for a table in the place of that of the same name that comes with castmark, \
             whose rows it joins otherwise";
        about: Text = "one or two sentences for the instructor";
        columns: Option<Named<ColumnText>> =
            "what the columns hold; may be left out when the rows join a table that has them";
        rows: Named<Named<CellText>> = "the rows, each with its cells";
    }
}

/// A column: a bare word for what it holds, or that with a label.
pub(in crate::bank) type ColumnText = Either<ChoiceText<ColumnKind>, ColumnFields>;

form! {
    /// What a column holds.
    ColumnFields is "a column" one of "text" "texts" "number" "range" "sequence" "invented" {
        text: Option<Text> = "one text in each cell; behind it the column's label";
        texts: Option<Text> = "several texts in each cell, all true; behind it the column's label";
        number: Option<UnitText> = "numbers of this unit";
        range: Option<UnitText> = "two numbers of this unit";
        sequence: Option<Text> = "lines in their order; behind it the column's label";
        invented: Option<Text> = "wrong texts that were made up; behind it the column's label";
        label: Option<Text> = "the column's name in running text";
        closed: Option<Text> = "why what another row says is false of this one, in words";
    }
}

/// A cell: a bare text, or a list.
pub(in crate::bank) type CellText = Either<Text, List<ItemText>>;

/// An item of a cell: a text that was made up, or a claim.
pub(in crate::bank) type ItemText = Either<Text, ClaimText>;

form! {
    /// What a source says, or denies.
    ClaimText is "a claim" one of "source" "against" {
        is: Texts = "what is claimed";
        source: Option<NameText> = "the source that says it, an id of sources.yaml";
        against: Option<NameText> = "the source that denies it, an id of sources.yaml";
        denied: Option<Text> =
            "with `against`: what the source says instead, in words of your own";
        invented: Option<Truth> = "with `against`: whether the text was made up";
        either_way: Option<List<List<Text>>> = "groups of lines that may be in either order";
        note: Option<Text> = "under what conditions";
        also: Option<List<Text>> = "other words for a text, accepted as answers";
    }
}

form! {
    /// A file of sources.
    SourcesText is "a file of sources" with version {
        sources: Named<SourceText> = "the sources, each under its id";
    }
}

form! {
    /// A source.
    SourceText is "a source" {
        short: Text = "its name in questions";
        full: Text = "the full reference";
        standing: ChoiceText<Reliance> = "how far it can be relied on";
        found as "where": Option<Text> = "where it can be found";
        sheets: Option<ChoiceText<ShortOnSheets>> =
            "what sheets print: the short name alone, not the full reference";
    }
}

/// That sheets print the short name of a source alone.
#[derive(Clone, Copy, Debug)]
pub(in crate::bank) struct ShortOnSheets;

impl Choice for ShortOnSheets {
    const WHAT: &'static str = "what sheets print";
    const WORDS: &'static [&'static str] = &["short"];

    fn of(word: &str) -> Option<Self> {
        (word == "short").then_some(Self)
    }
}

impl Choice for ColumnKind {
    const WHAT: &'static str = "what a column holds";
    const WORDS: &'static [&'static str] = &["text", "texts", "invented"];

    fn of(word: &str) -> Option<Self> {
        match word {
            "text" => Some(Self::Text),
            "texts" => Some(Self::Texts),
            "invented" => Some(Self::Invented),
            _ => None,
        }
    }
}

impl Choice for Reliance {
    const WHAT: &'static str = "how far the source can be relied on";
    const WORDS: &'static [&'static str] =
        &["read", "second-hand", "common-practice", "chosen", "reviewed", "memory"];

    fn of(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, name)| *name == word).map(|(standing, _)| *standing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_form_are_the_words_that_are_understood() {
        assert_eq!(Reliance::WORDS, Reliance::ALL.map(|(_, name)| name));
        assert!(ColumnKind::WORDS.iter().all(|word| ColumnKind::of(word).is_some()));
    }
}
