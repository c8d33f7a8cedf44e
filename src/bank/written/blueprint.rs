//! The description of a blueprint, and a blueprint as written.

use std::collections::BTreeMap;

use crate::bank::reading::form::Kind::{self, List, Text};
use crate::bank::reading::form::{Form, Words, may, must};
use crate::bank::written::description::{OBJECTIVES, RULES_OF_A_PAPER};

const ANY: Kind = Text(Words::Any);
const NAME: Kind = Text(Words::Name);
const TEXTS: Kind = List(&ANY, 1);
const PAIR: Kind = List(&NAME, 2);
const TRUTH: Kind = Text(Words::Truth);

/// The most problems of one slot.
pub(in crate::bank) const MOST_OF_A_SLOT: u32 = 50;
/// The longest paper, in minutes.
pub(in crate::bank) const LONGEST_PAPER: u32 = 600;
/// The largest class.
pub(in crate::bank) const LARGEST_CLASS: u32 = 1_000_000;

/// The widest band of difficulty, which leaves out nothing.
pub(in crate::bank) const WIDEST: u32 = 1000;

/// The words for what the answers of a template are.
pub(in crate::bank) const KINDS: &[&str] = &["calculation", "theory"];

/// A blueprint.
pub(in crate::bank) static BLUEPRINT: Kind = Kind::Form(&Form {
    name: "a blueprint",
    one_of: &[],
    fields: &[
        must("castmark", Text(Words::OneOf(&["1"])), "the version of the format, 1"),
        must("id", NAME, "a short name; the same name and secret give the same papers"),
        must("title", ANY, "the heading of the papers"),
        may("course", ANY, "the course, as printed"),
        may("date", ANY, "the day of the paper, as printed"),
        must("minutes", Text(Words::Whole(1, LONGEST_PAPER)), "the time allowed"),
        may("instructions", TEXTS, "what candidates are told at the head of the paper"),
        may("caution", ANY, "a caution of your own, beside the one that is always printed"),
        may("qr_code", TRUTH, "whether the code of each paper is printed as a QR code too"),
        may("class", Text(Words::Whole(1, LARGEST_CLASS)), "how many candidates to plan for"),
        may(
            "avoid",
            ANY,
            "the manifest of an earlier paper, none of whose problems may come again",
        ),
        may("difficulty", DIFFICULTY, "how alike the problems of the candidates are kept"),
        may("enemies", List(&PAIR, 1), "templates that may not meet on the paper, in pairs"),
        may("marking", RULES_OF_A_PAPER, "rules of marking that are not the usual ones"),
        must("sections", List(&SECTION, 1), "the sections in their order"),
    ],
});

const DIFFICULTY: Kind = Kind::Form(&Form {
    name: "a band of difficulty",
    one_of: &[],
    fields: &[
        may(
            "figures",
            Text(Words::Whole(0, WIDEST)),
            "how many figures to take over more or fewer than is usual for the template; 2 without it",
        ),
        may(
            "uneven",
            Text(Words::Whole(0, WIDEST)),
            "how many steps more or fewer may come out uneven; 1 without it",
        ),
    ],
});

pub(in crate::bank) static SECTION: Kind = Kind::Form(&Form {
    name: "a section",
    one_of: &[],
    fields: &[
        must("title", ANY, "the heading of the section"),
        may("instructions", ANY, "what candidates are told under the heading"),
        may("shuffle", TRUTH, "whether the order of the questions differs between candidates"),
        must("slots", List(&SLOT, 1), "what is asked"),
    ],
});

pub(in crate::bank) static SLOT: Kind = Kind::Form(&Form {
    name: "a slot",
    one_of: &["template", "objective"],
    fields: &[
        may("template", NAME, "the template, by its id"),
        may("objective", Text(Words::OneOf(OBJECTIVES)), "any template that trains this"),
        may("level", Text(Words::Whole(1, 3)), "only templates of this level"),
        may("topic", NAME, "only templates of this topic"),
        may("kind", Text(Words::OneOf(KINDS)), "only calculations, or only theory"),
        may("count", Text(Words::Whole(1, MOST_OF_A_SLOT)), "how many questions; 1 without it"),
        may(
            "same",
            TRUTH,
            "whether all candidates get the same problem; without it, all get others",
        ),
        may("marks", Text(Words::Whole(1, 500)), "the marks that each question must carry"),
    ],
});

/// A blueprint as written.
#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bank) struct BlueprintText {
    pub(in crate::bank) id: String,
    pub(in crate::bank) title: String,
    pub(in crate::bank) course: Option<String>,
    pub(in crate::bank) date: Option<String>,
    pub(in crate::bank) minutes: String,
    #[serde(default)]
    pub(in crate::bank) instructions: Vec<String>,
    pub(in crate::bank) caution: Option<String>,
    #[serde(default)]
    pub(in crate::bank) qr_code: bool,
    pub(in crate::bank) class: Option<String>,
    pub(in crate::bank) avoid: Option<String>,
    pub(in crate::bank) difficulty: Option<DifficultyText>,
    #[serde(default)]
    pub(in crate::bank) enemies: Vec<Vec<String>>,
    #[serde(default)]
    pub(in crate::bank) marking: BTreeMap<String, String>,
    pub(in crate::bank) sections: Vec<SectionText>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bank) struct DifficultyText {
    pub(in crate::bank) figures: Option<String>,
    pub(in crate::bank) uneven: Option<String>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bank) struct SectionText {
    pub(in crate::bank) title: String,
    pub(in crate::bank) instructions: Option<String>,
    #[serde(default)]
    pub(in crate::bank) shuffle: bool,
    pub(in crate::bank) slots: Vec<SlotText>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::bank) struct SlotText {
    pub(in crate::bank) template: Option<String>,
    pub(in crate::bank) objective: Option<String>,
    pub(in crate::bank) level: Option<String>,
    pub(in crate::bank) topic: Option<String>,
    pub(in crate::bank) kind: Option<String>,
    pub(in crate::bank) count: Option<String>,
    #[serde(default)]
    pub(in crate::bank) same: bool,
    pub(in crate::bank) marks: Option<String>,
}
