//! Rules of marking as written; what each means is the business of whoever marks.

use crate::bank::reading::checker::Checker;
use crate::bank::reading::form::{Field, Form, Kind, Words};
use crate::bank::reading::group::Group;
use crate::bank::reading::node::Node;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::Text;
use crate::bank::reading::written::Written;

/// A rule: its key with the word behind it.
type Entry = (&'static str, Text);

/// Rules inside another file.
#[derive(Debug)]
pub(in crate::bank) struct RulesText(pub(in crate::bank) Vec<Entry>);

/// A file of rules.
#[derive(Debug)]
pub(in crate::bank) struct RulesFile(pub(in crate::bank) Vec<Entry>);

const RULES: Form =
    Form { name: "the rules of marking", one_of: &[], fields: FIELDS.split_at(1).1 };

const FILE: Form = Form { name: "a file of marking rules", one_of: &[], fields: FIELDS };

impl Written for RulesText {
    const KIND: Kind = Kind::Form(&RULES);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        entries(checker, node, &RULES).map(Self)
    }
}

impl Written for RulesFile {
    const KIND: Kind = Kind::Form(&FILE);

    fn read(checker: &mut Checker<'_>, node: Node) -> Checked<Self> {
        entries(checker, node, &FILE).map(Self)
    }
}

/// The rules of a group, each one of the words that the form knows.
fn entries(checker: &mut Checker<'_>, node: Node, form: &'static Form) -> Checked<Vec<Entry>> {
    let mut group = Group::of(checker, node, form)?;
    let mut entries = Vec::new();
    for field in form.fields.iter().filter(|field| field.key != "castmark") {
        let Kind::Text(words) = field.kind else { continue };
        let known = match words {
            Words::OneOf(known) => known,
            _ => &["true", "false"],
        };
        let text = group.take::<Option<Text>>(checker, field.key);
        if let Ok(Some(text)) = &text {
            if !known.contains(&text.as_str()) {
                let expected = match words {
                    Words::Truth => "true or false".to_owned(),
                    _ => format!("a word that `{}` knows", field.key),
                };
                checker.unknown(text, &expected, text, known.iter().copied());
            }
        }
        entries.push(text.map(|text| text.map(|text| (field.key, text))));
    }
    group.finish()?;
    let entries: Vec<Option<Entry>> = entries.into_iter().collect::<Checked<_>>()?;
    Ok(entries.into_iter().flatten().collect())
}

/// The version, and behind it the rules.
const FIELDS: &[Field] = &[
    Field {
        key: "castmark",
        needed: true,
        kind: Kind::Text(Words::OneOf(&["1"])),
        about: "the version of the format, 1",
    },
    may(
        "right_answer_shows_method",
        TRUTH,
        "whether a right answer has all marks however it came about",
    ),
    may("accuracy_needs_method", TRUTH, "whether marks for accuracy need those for the method"),
    may(
        "follow_through",
        Kind::Text(Words::OneOf(&["never", "method", "all"])),
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

const TRUTH: Kind = Kind::Text(Words::Truth);
const COST: Kind = Kind::Text(Words::OneOf(&["nothing", "accuracy", "1", "2", "3", "all"]));
const ONCE: Kind = Kind::Text(Words::OneOf(&["never", "question", "paper", "always"]));

const fn may(key: &'static str, kind: Kind, about: &'static str) -> Field {
    Field { key, needed: false, kind, about }
}
