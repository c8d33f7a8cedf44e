//! What marking finds out about an answer, as plain data.

use crate::quantity::{Exact, ReadProblem, Rounding, Unit};

use super::Pieces;

/// What was found out about an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Finding {
    /// It is accepted.
    Accepted(How),
    /// It is not accepted, and this is how it can have come about, the likeliest first. Never empty.
    Known(Vec<Cause>),
    /// It is not accepted by the true values, and follows correctly from the candidate's own.
    Follows(Carry),
    /// Pieces of it are right.
    Pieces(Pieces),
    /// It is not accepted, and nothing known leads to it.
    Unexplained(Lies),
    /// A person decides.
    ByHand(Wait),
    /// It could not be read.
    Unread(Why),
}

/// How an answer is accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum How {
    /// It is the answer, with the places asked for or with more of its true places.
    Exactly,
    /// It is what comes out when intermediate results are rounded, as the steps show them.
    LegalRounding,
    /// It lies within the tolerance around the legal answers.
    WithinTolerance,
    /// It comes out of the candidate's own accepted answer to an earlier part.
    FromOwn,
    /// It is this term.
    Term(String),
    /// It was taken for this term although it is spelt otherwise.
    Spelling(String),
    /// It is what the source of this name says.
    RangeOf(String),
}

/// One way in which an answer that is not accepted can have come about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// The number is right but the unit is not.
    WrongUnit {
        /// The unit written.
        written: Unit,
        /// The unit asked for.
        asked: Unit,
        /// Whether both measure the same and one is a thousand times the other or more: mg for g.
        thousandfold: bool,
    },
    /// The unit measures something else than was asked for, and the number does not fit either.
    WrongDimension {
        /// The unit written.
        written: Unit,
        /// The unit asked for.
        asked: Unit,
    },
    /// It is a legal answer times ten to this power.
    PowerOfTen(i32),
    /// It is an accepted answer rounded further than was asked for.
    TooCoarse {
        /// The rounding asked for.
        asked: Rounding,
        /// Whether it differs from the answer by more than repeats of such a fault are forgiven.
        gross: bool,
    },
    /// It is a legal answer with digits cut off where they should have been rounded.
    CutShort {
        /// The rounding asked for.
        asked: Rounding,
        /// As for a coarse rounding.
        gross: bool,
    },
    /// It is an accepted answer with the sign turned.
    Sign,
    /// It is what a known wrong rule leads to.
    Slip {
        /// The slip, as an index into the slips of the template.
        slip: usize,
        /// The power of ten by which the answer is off in addition; 0 when it is not.
        power: i32,
        /// Whether the rest of the method is proven and keeps its marks.
        keeps_method: bool,
    },
    /// It is what two known wrong rules together lead to.
    TwoSlips([usize; 2]),
    /// It is another term of the subject.
    OtherTerm(String),
    /// It is what another source says, the one of this name.
    RangeOf(String),
    /// It is too large or too small to be compared in the unit asked for.
    OutOfRange {
        /// The unit asked for.
        asked: Unit,
    },
}

/// What an answer follows from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carry {
    /// A wrong answer to an earlier part.
    Answer,
    /// A wrong step that the candidate wrote down.
    Step,
}

/// Where an answer that nothing explains lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Close to the accepted answers.
    Near {
        /// Whether above them.
        above: bool,
    },
    /// Farther off.
    Far {
        /// Whether above them.
        above: bool,
    },
    /// A hundred times too large or too small, or more.
    Absurd {
        /// Whether above them.
        above: bool,
    },
    /// Below zero, where nothing can be.
    Negative,
    /// At zero.
    Zero,
    /// Between whole numbers, where things are counted.
    NotWhole,
}

/// Why a person decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wait {
    /// A written answer is marked point by point against the key.
    Written,
    /// A term that is neither known to be right nor known to be another one.
    UnknownTerm,
}

/// Why an answer could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// It is not a number with a unit.
    Number(ReadProblem),
    /// It is not the kind of answer wanted: what is expected.
    Expected(String),
    /// The problem has no such part.
    NoSuchPart,
}

/// Something else that is true of an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Note {
    /// It was written in another unit and converted.
    Converted {
        /// The number in the unit asked for.
        number: Exact,
        /// The unit asked for.
        to: Unit,
    },
    /// It was written without a unit and taken in the unit asked for.
    UnitMissing {
        /// The unit asked for.
        asked: Unit,
    },
    /// It has fewer places than were asked for.
    FewPlaces {
        /// The rounding asked for.
        asked: Rounding,
    },
    /// A step of the working that was written down for it is wrong.
    WorkingWrong {
        /// The index of the step.
        step: usize,
    },
    /// It follows from the candidate's own wrong number, which leaves nothing to work out.
    FollowsTrivially,
    /// It follows from the candidate's own wrong number, which makes nonsense of some answer.
    FollowsSenselessly,
}

/// A fault that costs marks each time or once, as the rules say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A wrong unit.
    Unit,
    /// A wrong rounding.
    Rounding,
}

impl Finding {
    /// Whether the answer is right, whatever it earns.
    pub fn is_right(&self) -> bool {
        match self {
            Self::Accepted(_) => true,
            Self::Pieces(pieces) => pieces.all_right(),
            _ => false,
        }
    }

    /// The ways in which it can have come about.
    pub fn causes(&self) -> &[Cause] {
        match self {
            Self::Known(causes) => causes,
            _ => &[],
        }
    }

    /// The slips that lead to it, as indices into the slips of the template.
    pub fn slips(&self) -> Vec<usize> {
        let slips = self.causes().iter().flat_map(|cause| match cause {
            Cause::Slip { slip, .. } => vec![*slip],
            Cause::TwoSlips(slips) => slips.to_vec(),
            _ => Vec::new(),
        });
        slips.collect()
    }
}

impl How {
    /// The name in files: `legal-rounding`.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Exactly => "exactly",
            Self::LegalRounding => "legal-rounding",
            Self::WithinTolerance => "within-tolerance",
            Self::FromOwn => "from-own-answer",
            Self::Term(_) => "term",
            Self::Spelling(_) => "spelling",
            Self::RangeOf(_) => "range-of-source",
        }
    }
}

impl Cause {
    /// The name in files: `power-of-ten`.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::WrongUnit { .. } => "wrong-unit",
            Self::WrongDimension { .. } => "wrong-dimension",
            Self::PowerOfTen(_) => "power-of-ten",
            Self::TooCoarse { .. } => "too-coarse",
            Self::CutShort { .. } => "cut-short",
            Self::Sign => "sign",
            Self::Slip { .. } => "slip",
            Self::TwoSlips(_) => "two-slips",
            Self::OtherTerm(_) => "other-term",
            Self::RangeOf(_) => "range-of-another-source",
            Self::OutOfRange { .. } => "out-of-range",
        }
    }
}

impl Note {
    /// The name in files: `unit-missing`.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Converted { .. } => "converted",
            Self::UnitMissing { .. } => "unit-missing",
            Self::FewPlaces { .. } => "few-places",
            Self::WorkingWrong { .. } => "working-wrong",
            Self::FollowsTrivially => "follows-trivially",
            Self::FollowsSenselessly => "follows-senselessly",
        }
    }
}

impl Fault {
    /// Every kind.
    pub const ALL: [Self; 2] = [Self::Unit, Self::Rounding];
}
