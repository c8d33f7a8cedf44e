//! The description of the files an instructor writes: templates, topics and rules of marking.
//!
//! What each key means at length, with examples, stands in `question-templates/README.md`.

use crate::bank::reading::form::Kind::{self, Either, List, Names, Text};
use crate::bank::reading::form::{Field, Form, Words, may, must};

use super::values::{BATCH, DRAWING, VALUE};
use super::working::{METHOD, PLAUSIBLE, REQUIREMENT, STEP};

pub(super) const ANY: Kind = Text(Words::Any);
pub(super) const NAME: Kind = Text(Words::Name);
pub(super) const NUMBER: Kind = Text(Words::Number);
pub(super) const FORMULA: Kind = Text(Words::Formula);
pub(super) const UNIT: Kind = Text(Words::Unit);
pub(super) const ROUNDING: Kind = Text(Words::Rounding);
pub(super) const VERSION: Kind = Text(Words::OneOf(&["1"]));
pub(super) const TEXTS: Kind = List(&ANY, 1);
pub(super) const NAME_LIST: Kind = List(&NAME, 1);
pub(super) const TEXT_OR_TEXTS: Kind = Either(&[ANY, TEXTS]);

/// A template.
pub(in crate::bank) static TEMPLATE: Kind = Kind::Form(&Form {
    name: "a template",
    one_of: &[],
    fields: &[
        must("castmark", VERSION, "the version of the format, 1"),
        must("id", NAME, "the name of the file without its ending"),
        must("title", ANY, "the title in lists of templates"),
        must("objective", Text(Words::OneOf(OBJECTIVES)), "what the template trains"),
        must("topic", NAME, "a topic of topics.yaml"),
        must("level", Text(Words::Whole(1, 3)), "1 for one idea, 2 for several steps, 3 for more"),
        must("minutes", Text(Words::Whole(1, 240)), "how long a candidate should need"),
        must("convention", Text(Words::OneOf(CONVENTIONS)), "how the displacement is told"),
        must("about", ANY, "one or two sentences for the instructor"),
        may("values", Names(&VALUE), "what is drawn"),
        may("require", List(&REQUIREMENT, 0), "what must hold of a draw"),
        may("different", List(&NAME_LIST, 0), "picks that must be different rows"),
        must("stem", List(&ANY, 2), "the question, in at least two wordings"),
        may("working", Names(&STEP), "the steps from the values to the answers"),
        may("methods", Names(&METHOD), "the legal ways of working"),
        may("plausible", List(&PLAUSIBLE, 1), "sentences that show the answer to be plausible"),
        must("parts", Names(&PART), "what is asked"),
        may("slips", Names(&SLIP), "known wrong rules, with what a student is told"),
        may("batch", List(&BATCH, 0), "the rows of the batch table"),
        may("drawing", DRAWING, "the masses in the picture of the mould"),
    ],
});

pub(in crate::bank) const OBJECTIVES: &[&str] =
    &["calibration", "displacement", "base-quantity", "product-checks", "theory"];

const CONVENTIONS: &[&str] =
    &["displacement value", "displacement factor", "density factor", "none"];

static PART: Kind = Kind::Form(&Form {
    name: "a part",
    one_of: &[],
    fields: &[
        must("ask", ANY, "the question"),
        may("answer", NAME, "the step or value that is the answer"),
        may("unit", UNIT, "the unit asked for"),
        may("round", ROUNDING, "the rounding asked for"),
        may(
            "tolerance",
            Text(Words::Tolerance),
            "how far off an answer may be, in the unit or in %",
        ),
        may(
            "density",
            ANY,
            "by which a volume is accepted for a mass, or a mass for a volume: `1 g/mL`",
        ),
        must("marks", Text(Words::Whole(1, 50)), "the marks for the part"),
        may("method_marks", Text(Words::Whole(0, 50)), "how many of the marks are for the method"),
        may("verdict", List(&VERDICT, 2), "verdicts of which one follows from the numbers"),
        may("one_option", OPTIONS, "options of which one is right"),
        may("several_options", OPTIONS, "options of which several may be right"),
        may("true_or_false", JUDGEMENT, "a statement that is true or false, with the reason"),
        may("matching", MATCHING, "things to match"),
        may("grouping", GROUPING, "things to put into groups"),
        may("ordering", ORDERING, "lines to put in order"),
        may("find_error", FIND_ERROR, "a procedure with one wrong line"),
        may("short_text", SHORT_TEXT, "a word or two"),
        may("range", RANGE, "two numbers"),
        may("written", WRITTEN, "a written answer with its points"),
    ],
});

static VERDICT: Kind = Kind::Form(&Form {
    name: "a verdict",
    one_of: &[],
    fields: &[
        must("answer", ANY, "the words of the verdict"),
        may("when", FORMULA, "the condition under which it is right, as in `outside <= 1 unit`"),
        may("because", ANY, "one sentence on why it is then right"),
    ],
});

const FEW: Kind = Text(Words::Whole(1, 40));

static OPTIONS: Kind = Kind::Form(&Form {
    name: "the options",
    one_of: &["of", "which", "statements"],
    fields: &[
        may("of", NAME, "a pick and its column, as in `base.lubricant`: what is right"),
        may("which", NAME, "a pick and the column that names its rows, as in `base.name`"),
        may("has", NAME, "with `which`: a pick and the column that the named row holds"),
        may("statements", NAME, "a table of statements"),
        may("about", ANY, "with `statements`: their subject, or a pick and its column"),
        must("show", FEW, "how many options are shown"),
        may("right", List(&FEW, 1), "the least and the greatest number of right ones"),
    ],
});

static JUDGEMENT: Kind = Kind::Form(&Form {
    name: "the statement",
    one_of: &[],
    fields: &[
        must("statement", NAME, "a pick of a table of statements"),
        may("reasons", FEW, "how many reasons are shown; without it, only true or false is asked"),
    ],
});

static MATCHING: Kind = Kind::Form(&Form {
    name: "the pairs",
    one_of: &[],
    fields: &[
        must("rows", NAME, "the facts table"),
        must("left", NAME, "the column that names the things"),
        must("right", NAME, "the column of what goes with them"),
        must("pairs", FEW, "how many things are shown"),
        may("extra", Text(Words::Whole(0, 10)), "how many that go with none of them are shown"),
    ],
});

static GROUPING: Kind = Kind::Form(&Form {
    name: "the groups",
    one_of: &[],
    fields: &[
        must("rows", NAME, "the facts table"),
        must("item", NAME, "the column that names the things"),
        must("group", NAME, "the column of their groups"),
        may("among", TEXTS, "the groups that are used"),
        must("items", FEW, "how many things are shown"),
    ],
});

static ORDERING: Kind = Kind::Form(&Form {
    name: "the order",
    one_of: &[],
    fields: &[
        must("steps", NAME, "a pick and its column of lines, as in `method.steps`"),
        must("show", FEW, "how many lines are shown"),
    ],
});

static FIND_ERROR: Kind = Kind::Form(&Form {
    name: "the error",
    one_of: &[],
    fields: &[
        must("lines", NAME, "a pick and its column of lines, as in `method.steps`"),
        must("fault", NAME, "a pick with the columns `right`, `wrong` and `because`"),
        must("show", FEW, "how many lines are shown"),
    ],
});

static SHORT_TEXT: Kind = Kind::Form(&Form {
    name: "the word",
    one_of: &[],
    fields: &[
        must("of", NAME, "a pick and its column, as in `base.name`"),
        may("also_column", NAME_LIST, "columns of the same table whose texts are accepted too"),
    ],
});

static RANGE: Kind = Kind::Form(&Form {
    name: "the range",
    one_of: &[],
    fields: &[
        must("of", NAME, "a pick and its column of ranges, as in `base.melting`"),
        must("tolerance", NUMBER, "how far off each of the two numbers may be"),
        may("any_source", TRUTH, "whether what any source of the cell says is accepted"),
    ],
});

static WRITTEN: Kind = Kind::Form(&Form {
    name: "the written answer",
    one_of: &["points", "of"],
    fields: &[
        may("points", List(&POINT, 1), "the points for which marks are given, one each"),
        may("of", NAME, "a pick and its column, each text of which is a point"),
        must("lines", FEW, "how many lines are ruled"),
    ],
});

static SLIP: Kind = Kind::Form(&Form {
    name: "a slip",
    one_of: &[],
    fields: &[
        must("instead", Names(&FORMULA), "a step or value with the wrong rule for it"),
        must("say", ANY, "what a student is told"),
    ],
});

static POINT: Kind = Kind::Form(&Form {
    name: "a point",
    one_of: &[],
    fields: &[
        must("is", TEXT_OR_TEXTS, "the point"),
        must("source", NAME, "the source that makes it, an id of sources.yaml"),
    ],
});

/// A file of topics.
pub(in crate::bank) static TOPICS: Kind = Kind::Form(&Form {
    name: "a file of topics",
    one_of: &[],
    fields: &[
        must("castmark", VERSION, "the version of the format, 1"),
        must("topics", Names(&TOPIC), "the topics in the order of teaching, each under its id"),
    ],
});

static TOPIC: Kind = Kind::Form(&Form {
    name: "a topic",
    one_of: &[],
    fields: &[
        must("title", ANY, "its title for students"),
        must("objective", Text(Words::OneOf(OBJECTIVES)), "the objective it belongs to"),
        may("builds_on", List(&NAME, 0), "the topics that come before it"),
    ],
});

/// A file of marking rules; what each rule means stands with the settings of marking.
pub(in crate::bank) static RULES: Kind =
    Kind::Form(&Form { name: "a file of marking rules", one_of: &[], fields: RULE_FIELDS });

/// The same rules inside another file, which has a version of its own.
pub(in crate::bank) static RULES_OF_A_PAPER: Kind = Kind::Form(&Form {
    name: "the rules of marking",
    one_of: &[],
    fields: RULE_FIELDS.split_at(1).1,
});

/// The version, and behind it the rules.
const RULE_FIELDS: &[Field] = &[
    must("castmark", VERSION, "the version of the format, 1"),
    may(
        "right_answer_shows_method",
        TRUTH,
        "whether a right answer has all marks however it came about",
    ),
    may("accuracy_needs_method", TRUTH, "whether marks for accuracy need those for the method"),
    may(
        "follow_through",
        Text(Words::OneOf(&["never", "method", "all"])),
        "the marks of what follows from an own earlier number",
    ),
    may(
        "follow_trivial",
        TRUTH,
        "whether a carried number is followed that leaves nothing to work out",
    ),
    may("moved_point_costs", COST, "what a moved decimal point costs"),
    may("unit_costs", COST, "what a wrong unit costs"),
    may("unit_counts", ONCE, "how often a wrong unit costs marks"),
    may("unit_must_be_written", TRUTH, "whether a missing unit is taken for a wrong one"),
    may(
        "thousandfold_is_counted_once",
        TRUTH,
        "whether a unit wrong a thousandfold, mg for g, is counted once like other wrong units",
    ),
    may("rounding_costs", COST, "what a wrong rounding costs"),
    may("rounding_counts", ONCE, "how often a wrong rounding costs marks"),
    may(
        "gross_rounding_is_counted_once",
        TRUTH,
        "whether a rounding that changes a mass by more than 2 % is counted once like others",
    ),
    may(
        "places_must_be_written",
        TRUTH,
        "whether missing places of a right number are taken for a wrong rounding",
    ),
];

pub(super) const TRUTH: Kind = Text(Words::Truth);
const COST: Kind = Text(Words::OneOf(&["nothing", "accuracy", "1", "2", "3", "all"]));
const ONCE: Kind = Text(Words::OneOf(&["never", "question", "paper", "always"]));

#[cfg(test)]
mod tests {
    use serde::Deserialize;

    use super::super::facts_description::{CLAIM, COLUMN, SOURCE, SOURCES, STANDINGS, TABLE};
    use super::super::values::STRAY;
    use super::*;
    use crate::bank::Standing;
    use crate::bank::reading::node::Node;
    use crate::bank::template::{Convention, Objective};
    use crate::bank::written::blueprint::{
        BLUEPRINT, BlueprintText, SECTION, SLOT, SectionText, SlotText,
    };
    use crate::bank::written::{
        BatchText, ClaimText, ColumnFields, DrawingText, MethodText, PlausibleText, RequireText,
        SlipText, SourceEntry, SourcesText, StepText, StrayText, TableText, TemplateText,
        TopicEntry, TopicsText, ValueText,
    };
    use crate::bank::written_parts::{
        FindErrorText, GroupingText, JudgementText, MatchingText, OptionsText, OrderingText,
        PartText, PointText, RangeText, ShortText, VerdictText, WrittenText,
    };

    /// The keys of a group of the description, and of its written form, in their order.
    #[track_caller]
    fn check_keys<T: for<'de> Deserialize<'de> + std::fmt::Debug>(kind: &Kind) {
        let form = match kind {
            Kind::Form(form) => form,
            Either(kinds) => kinds
                .iter()
                .find_map(|kind| if let Kind::Form(form) = kind { Some(form) } else { None })
                .expect("a group of keys is one of the kinds"),
            _ => panic!("expected a group of keys, found {kind:?}"),
        };
        let mistake = Node::Group(vec![("mistake".to_owned(), Node::Text(String::new()))]);
        let said = T::deserialize(&mistake).expect_err("the key is unknown").to_string();
        let known: Vec<&str> = said.split('`').skip(3).step_by(2).collect();
        // The version is looked at before anything else and taken away.
        let described = form.fields.iter().map(|field| field.key);
        assert_eq!(described.filter(|key| *key != "castmark").collect::<Vec<_>>(), known);
    }

    #[test]
    fn every_key_that_is_described_is_read_and_no_other() {
        check_keys::<TemplateText>(&TEMPLATE);
        check_keys::<ValueText>(&VALUE);
        check_keys::<StrayText>(&STRAY);
        check_keys::<RequireText>(&REQUIREMENT);
        check_keys::<StepText>(&STEP);
        check_keys::<MethodText>(&METHOD);
        check_keys::<PlausibleText>(&PLAUSIBLE);
        check_keys::<PartText>(&PART);
        check_keys::<VerdictText>(&VERDICT);
        check_keys::<OptionsText>(&OPTIONS);
        check_keys::<JudgementText>(&JUDGEMENT);
        check_keys::<MatchingText>(&MATCHING);
        check_keys::<GroupingText>(&GROUPING);
        check_keys::<OrderingText>(&ORDERING);
        check_keys::<FindErrorText>(&FIND_ERROR);
        check_keys::<ShortText>(&SHORT_TEXT);
        check_keys::<RangeText>(&RANGE);
        check_keys::<WrittenText>(&WRITTEN);
        check_keys::<SlipText>(&SLIP);
        check_keys::<BatchText>(&BATCH);
        check_keys::<DrawingText>(&DRAWING);
        check_keys::<TableText>(&TABLE);
        check_keys::<TopicsText>(&TOPICS);
        check_keys::<TopicEntry>(&TOPIC);
        check_keys::<ColumnFields>(&COLUMN);
        check_keys::<ClaimText>(&CLAIM);
        check_keys::<PointText>(&POINT);
        check_keys::<SourcesText>(&SOURCES);
        check_keys::<SourceEntry>(&SOURCE);
        check_keys::<BlueprintText>(&BLUEPRINT);
        check_keys::<SectionText>(&SECTION);
        check_keys::<SlotText>(&SLOT);
    }

    #[test]
    fn the_words_described_are_the_words_that_are_understood() {
        assert_eq!(OBJECTIVES, Objective::ALL.map(Objective::name));
        assert_eq!(CONVENTIONS, Convention::ALL.map(Convention::name));
        assert_eq!(STANDINGS, Standing::ALL.map(|(_, name)| name));
    }
}
