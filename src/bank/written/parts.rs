//! What a template asks, as written.

use crate::bank::reading::group::form;
use crate::bank::reading::words::{
    FormulaText, NameText, NumberText, RoundingText, Text, Texts, ToleranceText, UnitText,
    WholeText,
};
use crate::bank::reading::written::{List, Truth};

form! {
    /// One thing asked: a number, a verdict, or one of the kinds of theory.
    PartText is "a part" {
        ask: Text = "the question";
        answer: Option<NameText> = "the step or value that is the answer";
        unit: Option<UnitText> = "the unit asked for";
        round: Option<RoundingText> = "the rounding asked for";
        tolerance: Option<ToleranceText> = "how far off an answer may be, in the unit or in %";
        density: Option<Text> =
            "by which a volume is accepted for a mass, or a mass for a volume: `1 g/mL`";
        wide: Option<Text> = "why more than 2 % of the answer is accepted to either side of it";
        marks: WholeText<1, 50> = "the marks for the part";
        method_marks: Option<WholeText<0, 50>> = "how many of the marks are for the method";
        verdict: Option<List<VerdictText, 2>> = "verdicts of which one follows from the numbers";
        one_option: Option<OptionsText> = "options of which one is right";
        several_options: Option<OptionsText> = "options of which several may be right";
        true_or_false: Option<JudgementText> = "a statement that is true or false, with the reason";
        matching: Option<MatchingText> = "things to match";
        grouping: Option<GroupingText> = "things to put into groups";
        ordering: Option<OrderingText> = "lines to put in order";
        find_error: Option<FindErrorText> = "a procedure with one wrong line";
        short_text: Option<ShortText> = "a word or two";
        range: Option<RangeText> = "two numbers";
        written: Option<WrittenText> = "a written answer with its points";
    }
}

form! {
    /// One of the verdicts of a part.
    VerdictText is "a verdict" {
        answer: Text = "the words of the verdict";
        when: Option<FormulaText> =
            "the condition under which it is right, as in `outside <= 1 unit`";
        because: Option<Text> = "one sentence on why it is then right";
    }
}

form! {
    /// Options of which one or several are right.
    OptionsText is "the options" one of "of" "which" "statements" {
        of: Option<NameText> = "a pick and its column, as in `base.lubricant`: what is right";
        which: Option<NameText> = "a pick and the column that names its rows, as in `base.name`";
        has: Option<NameText> = "with `which`: a pick and the column that the named row holds";
        statements: Option<NameText> = "a table of statements";
        about: Option<Text> = "with `statements`: their subject, or a pick and its column";
        show: WholeText<2, 12> = "how many options are shown";
        right: Option<List<WholeText<1, 11>>> = "the least and the greatest number of right ones";
    }
}

form! {
    /// A statement to judge.
    JudgementText is "the statement" {
        statement: NameText = "a pick of a table of statements";
        reasons: Option<WholeText<2, 8>> =
            "how many reasons are shown; without it, only true or false is asked";
    }
}

form! {
    /// Pairs to match.
    MatchingText is "the pairs" {
        rows: NameText = "the facts table";
        left: NameText = "the column that names the things";
        right: NameText = "the column of what goes with them";
        pairs: WholeText<2, 12> = "how many things are shown";
        extra: Option<WholeText<0, 10>> = "how many that go with none of them are shown";
    }
}

form! {
    /// Groups to put things into.
    GroupingText is "the groups" {
        rows: NameText = "the facts table";
        item: NameText = "the column that names the things";
        group: NameText = "the column of their groups";
        among: Option<List<Text>> = "the groups that are used";
        items: WholeText<2, 12> = "how many things are shown";
    }
}

form! {
    /// Lines to put in order.
    OrderingText is "the order" {
        steps: NameText = "a pick and its column of lines, as in `method.steps`";
        show: WholeText<3, 12> = "how many lines are shown";
    }
}

form! {
    /// A procedure with one wrong line.
    FindErrorText is "the error" {
        lines: NameText = "a pick and its column of lines, as in `method.steps`";
        fault: NameText = "a pick with the columns `right`, `wrong` and `because`";
        show: WholeText<3, 12> = "how many lines are shown";
    }
}

form! {
    /// A word or two.
    ShortText is "the word" {
        of: NameText = "a pick and its column, as in `base.name`";
        also_column: Option<List<NameText>> =
            "columns of the same table whose texts are accepted too";
    }
}

form! {
    /// Two numbers.
    RangeText is "the range" {
        of: NameText = "a pick and its column of ranges, as in `base.melting`";
        tolerance: NumberText = "how far off each of the two numbers may be";
        any_source: Option<Truth> = "whether what any source of the cell says is accepted";
    }
}

form! {
    /// An answer in sentences.
    WrittenText is "the written answer" one of "points" "of" {
        points: Option<List<PointText>> = "the points for which marks are given, one each";
        of: Option<NameText> = "a pick and its column, each text of which is a point";
        lines: WholeText<1, 40> = "how many lines are ruled";
    }
}

form! {
    /// A point of a written answer.
    PointText is "a point" {
        is: Texts = "the point";
        source: NameText = "the source that makes it, an id of sources.yaml";
    }
}
