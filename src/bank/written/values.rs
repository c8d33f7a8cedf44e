//! What a template draws, as written.

use crate::bank::reading::group::form;
use crate::bank::reading::words::{
    FormulaText, NameText, NumberText, RoundingText, Text, Texts, UnitText, WholeText,
};
use crate::bank::reading::written::{Either, List, Named};

form! {
    /// One value: exactly one way of coming about.
    ValueText is "a value" one of "from" "choose" "fixed" "is" "around" "pick" "words" {
        label: Option<Text> = "how the name reads in worked solutions";
        unit: Option<UnitText> = "the unit, such as g, g/unit or \"1\" for a plain number";
        from: Option<NumberText> = "the first number of a range";
        to: Option<NumberText> = "the last number of a range";
        step: Option<NumberText> = "the distance of neighbours in a range, or of readings";
        choose: Option<List<NumberText>> = "the numbers to choose from";
        fixed: Option<NumberText> = "the number that is always used";
        is: Option<FormulaText> = "the formula from which the number follows";
        round: Option<RoundingText> = "how the number is written, such as `2 places`";
        around: Option<NameText> = "the value about which readings scatter";
        count: Option<WholeText<2, 40>> = "how many readings there are";
        reach: Option<WholeText<0, 100>> = "how many steps a reading may be off";
        stray: Option<StrayText> = "how far one of the readings is off";
        pick: Option<NameText> = "the facts table of which a row is picked";
        with: Option<List<NameText>> = "the columns that are used, each with one of its sources";
        filter as "where": Option<FormulaText> = "what must hold of the columns of the row";
        only: Option<Named<Texts>> = "columns with the texts they must hold";
        words: Option<List<WordText>> = "words of which one is used";
    }
}

form! {
    /// How far one of several readings is off.
    StrayText is "a stray reading" {
        from: NumberText = "the least it is off";
        to: NumberText = "the most it is off";
        step: NumberText = "the distance of neighbours";
    }
}

/// One entry of `words`: a bare word, or several under names.
pub(in crate::bank) type WordText = Either<Text, Named<Text>>;
