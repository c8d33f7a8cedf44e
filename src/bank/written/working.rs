//! The description of how a template is worked.

use crate::bank::reading::form::Kind::{self, List, Names};
use crate::bank::reading::form::{Form, may, must};

use super::description::{ANY, FORMULA, ROUNDING, UNIT};

pub(super) static REQUIREMENT: Kind = Kind::Form(&Form {
    name: "a requirement",
    one_of: &[],
    fields: &[
        must("that", FORMULA, "the condition, as in `base > 1 g`"),
        must("because", ANY, "why, for the instructor"),
    ],
});

pub(super) static STEP: Kind = Kind::Form(&Form {
    name: "a step",
    one_of: &[],
    fields: &[
        may("label", ANY, "how the name reads in worked solutions"),
        must("say", ANY, "one sentence on what is done and why"),
        must("is", FORMULA, "the formula"),
        must("unit", UNIT, "the unit of the result"),
        must("show", ROUNDING, "how the result is written, such as `2 places`"),
        may("also", List(&ROUNDING, 0), "further roundings a student may use on the way"),
    ],
});

pub(super) static METHOD: Kind = Kind::Form(&Form {
    name: "a method",
    one_of: &[],
    fields: &[
        must("title", ANY, "the heading over its solution, as in `By the cavity`"),
        may("working", Names(&STEP), "the steps that differ; none for the first method"),
    ],
});

pub(super) static PLAUSIBLE: Kind = Kind::Form(&Form {
    name: "a sentence of plausibility",
    one_of: &[],
    fields: &[
        must("say", ANY, "the sentence that ends the worked solution"),
        must("that", FORMULA, "what it says as a condition, which must hold"),
        may("when", FORMULA, "the draws it is said of"),
    ],
});
