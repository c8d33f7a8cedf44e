//! The description of facts tables and of their sources.

use crate::bank::reading::form::Kind::{self, Either, List, Names, Text};
use crate::bank::reading::form::{Form, Words, may, must};

use super::description::{ANY, NAME, TEXT_OR_TEXTS, TEXTS, TRUTH, UNIT, VERSION};

/// A facts table.
pub(in crate::bank) static TABLE: Kind = Kind::Form(&Form {
    name: "a facts table",
    one_of: &[],
    fields: &[
        must("castmark", VERSION, "the version of the format, 1"),
        must("table", NAME, "the name of the file without its ending"),
        must("about", ANY, "one or two sentences for the instructor"),
        must("columns", Names(&COLUMN), "what the columns hold"),
        must("rows", Names(&Names(&CELL)), "the rows, each with its cells"),
    ],
});

pub(super) static COLUMN: Kind = Either(&[
    Text(Words::OneOf(&["text", "texts", "invented"])),
    Kind::Form(&Form {
        name: "a column",
        one_of: &["text", "texts", "number", "range", "sequence", "invented"],
        fields: &[
            may("text", ANY, "one text in each cell; behind it the column's label"),
            may("texts", ANY, "several texts in each cell, all true; behind it the column's label"),
            may("number", UNIT, "numbers of this unit"),
            may("range", UNIT, "two numbers of this unit"),
            may("sequence", ANY, "lines in their order; behind it the column's label"),
            may("invented", ANY, "wrong texts that were made up; behind it the column's label"),
            may("label", ANY, "the column's name in running text"),
            may("closed", ANY, "why what another row says is false of this one, in words"),
        ],
    }),
]);

static CELL: Kind = Either(&[ANY, List(&ITEM, 1)]);

static ITEM: Kind = Either(&[ANY, CLAIM]);

pub(super) const CLAIM: Kind = Kind::Form(&Form {
    name: "a claim",
    one_of: &["source", "against"],
    fields: &[
        must("is", TEXT_OR_TEXTS, "what is claimed"),
        may("source", NAME, "the source that says it, an id of sources.yaml"),
        may("against", NAME, "the source that denies it, an id of sources.yaml"),
        may("denied", ANY, "with `against`: what the source says instead, in words of your own"),
        may("invented", TRUTH, "with `against`: whether the text was made up"),
        may("either_way", List(&TEXTS, 1), "groups of lines that may be in either order"),
        may("note", ANY, "under what conditions"),
        may("also", TEXTS, "other words for a text, accepted as answers"),
    ],
});

/// A file of sources.
pub(in crate::bank) static SOURCES: Kind = Kind::Form(&Form {
    name: "a file of sources",
    one_of: &[],
    fields: &[
        must("castmark", VERSION, "the version of the format, 1"),
        must("sources", Names(&SOURCE), "the sources, each under its id"),
    ],
});

pub(super) static SOURCE: Kind = Kind::Form(&Form {
    name: "a source",
    one_of: &[],
    fields: &[
        must("short", ANY, "its name in questions"),
        must("full", ANY, "the full reference"),
        must("standing", Text(Words::OneOf(STANDINGS)), "how far it can be relied on"),
        may("where", ANY, "where it can be found"),
        may(
            "sheets",
            Text(Words::OneOf(&["short"])),
            "what sheets print: the short name alone, not the full reference",
        ),
    ],
});

pub(super) const STANDINGS: &[&str] =
    &["read", "second-hand", "common-practice", "chosen", "reviewed", "memory"];
