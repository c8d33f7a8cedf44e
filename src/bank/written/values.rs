//! The description of what a template draws, and of what it shows of a batch.

use crate::bank::reading::form::Kind::{self, Either, List, Names, Text};
use crate::bank::reading::form::{Form, Words, may, must};

use super::description::{ANY, FORMULA, NAME, NAME_LIST, NUMBER, ROUNDING, TEXT_OR_TEXTS, UNIT};

pub(super) static VALUE: Kind = Kind::Form(&Form {
    name: "a value",
    one_of: &["from", "choose", "fixed", "is", "around", "pick", "words"],
    fields: &[
        may("label", ANY, "how the name reads in worked solutions"),
        may("unit", UNIT, "the unit, such as g, g/unit or \"1\" for a plain number"),
        may("from", NUMBER, "the first number of a range"),
        may("to", NUMBER, "the last number of a range"),
        may("step", NUMBER, "the distance of neighbours in a range, or of readings"),
        may("choose", List(&NUMBER, 1), "the numbers to choose from"),
        may("fixed", NUMBER, "the number that is always used"),
        may("is", FORMULA, "the formula from which the number follows"),
        may("round", ROUNDING, "how the number is written, such as `2 places`"),
        may("around", NAME, "the value about which readings scatter"),
        may("count", Text(Words::Whole(2, 40)), "how many readings there are"),
        may("reach", Text(Words::Whole(0, 100)), "how many steps a reading may be off"),
        may("stray", STRAY, "how far one of the readings is off"),
        may("pick", NAME, "the facts table of which a row is picked"),
        may("with", NAME_LIST, "the columns that are used, each with one of its sources"),
        may("where", FORMULA, "what must hold of the columns of the row"),
        may("only", Names(&TEXT_OR_TEXTS), "columns with the texts they must hold"),
        may("words", List(&WORD, 1), "words of which one is used"),
    ],
});

pub(super) static STRAY: Kind = Kind::Form(&Form {
    name: "a stray reading",
    one_of: &[],
    fields: &[
        must("from", NUMBER, "the least it is off"),
        must("to", NUMBER, "the most it is off"),
        must("step", NUMBER, "the distance of neighbours"),
    ],
});

static WORD: Kind = Either(&[ANY, Names(&ANY)]);

pub(super) static BATCH: Kind = Kind::Form(&Form {
    name: "a row of the batch",
    one_of: &[],
    fields: &[
        must("what", ANY, "the ingredient"),
        may("each", NAME, "the mass for one unit"),
        must("all", NAME, "the mass for the batch"),
        must("round", ROUNDING, "how the masses are written"),
    ],
});

pub(super) static DRAWING: Kind = Kind::Form(&Form {
    name: "the drawing",
    one_of: &[],
    fields: &[
        must("mould", NAME, "the mass of base that fills the mould"),
        must("displaced", NAME_LIST, "the base displaced by each drug"),
        must("drugs", NAME_LIST, "the mass of each drug, in the same order"),
        must("base", NAME, "the base that is still needed"),
    ],
});
