//! What marking finds, as plain data.

use crate::quantity::{Exact, ReadProblem, Rounding, Typed, Unit};

use super::Fault;

/// The marks of one answer and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// How the answer stands.
    pub standing: Standing,
    /// The marks it has.
    pub marks: u32,
    /// The marks it could have.
    pub of: u32,
    /// The number that was understood; `None` when none could be read, and for theory, whose reasons
    /// hold what was understood.
    pub typed: Option<Typed>,
    /// Why, the most telling reason first. Never empty.
    pub reasons: Vec<Reason>,
}

/// How an answer stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Standing {
    /// It has all marks.
    Right,
    /// It is wrong and keeps some marks.
    Partly,
    /// It has no marks.
    Wrong,
    /// It could not be read, so it was not marked.
    Unread,
    /// It is a written answer and waits for whoever marks it.
    ByHand,
}

/// One thing that was found out about an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// It is the answer, with the places asked for or with more of its true places.
    Exactly,
    /// It is what comes out when results are rounded on the way, as the steps show them.
    LegalRounding,
    /// It lies within the tolerance around the legal answers.
    WithinTolerance,
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
    /// It is right with fewer places than were asked for.
    FewPlaces {
        /// The rounding asked for.
        asked: Rounding,
    },
    /// The number is right but the unit is not.
    WrongUnit {
        /// The unit written.
        written: Unit,
        /// The unit asked for.
        asked: Unit,
    },
    /// The unit measures something else than was asked for, and the number does not fit either.
    WrongDimension {
        /// The unit written.
        written: Unit,
        /// The unit asked for.
        asked: Unit,
    },
    /// It is an accepted answer times ten to this power.
    PowerOfTen(i32),
    /// It is an accepted answer rounded further than was asked for.
    TooCoarse {
        /// The rounding asked for.
        asked: Rounding,
    },
    /// It is a legal answer with digits cut off where they should have been rounded.
    CutShort {
        /// The rounding asked for.
        asked: Rounding,
    },
    /// It is an accepted answer with the sign turned.
    Sign,
    /// It is what a known wrong rule leads to.
    Slip {
        /// The slip, as an index into the slips of the template.
        slip: usize,
        /// The power of ten by which the answer is off besides; 0 when it is not.
        power: i32,
    },
    /// It is what two known wrong rules together lead to.
    TwoSlips {
        /// The slips, as indices into the slips of the template.
        slips: [usize; 2],
    },
    /// It follows rightly from the candidate's own wrong answer to an earlier part.
    Follows,
    /// It follows rightly from a wrong step that the candidate wrote down.
    FollowsWorking,
    /// It follows from an own wrong number, but that leaves nothing to work out.
    FollowsTrivially,
    /// It follows from an own wrong number, but that leaves some answer without sense.
    FollowsSenselessly,
    /// A step of the working that was written down for it is wrong.
    WorkingWrong {
        /// The place of the step.
        step: usize,
    },
    /// A mistake of this kind has cost marks in this question already.
    CountedInQuestion(Fault),
    /// A mistake of this kind has cost marks in this paper already.
    CountedInPaper(Fault),
    /// Nothing known leads to it.
    Unexplained {
        /// Whether it lies above the accepted answers.
        above: bool,
        /// Whether it lies close to them.
        near: bool,
    },
    /// It is too large or too small to be compared in the unit asked for.
    OutOfRange {
        /// The unit asked for.
        asked: Unit,
    },
    /// These options are right.
    RightOptions {
        /// Their letters.
        letters: Vec<String>,
        /// Why; empty while others are missing or wrong.
        because: String,
    },
    /// This option is wrong.
    WrongOption {
        /// Its letter.
        letter: String,
        /// Why; may be empty.
        because: String,
    },
    /// So many right options were not chosen.
    Missed(usize),
    /// What was said of the truth of a statement.
    Judged {
        /// Whether it is right.
        right: bool,
    },
    /// The reason given with a right verdict.
    ReasonGiven {
        /// Whether it is right.
        right: bool,
    },
    /// No reason was given with a right verdict.
    NoReasonGiven,
    /// Lines that were given letters.
    Pairs {
        /// How many are right.
        right: usize,
        /// How many there are.
        of: usize,
        /// The numbers of those that are wrong.
        wrong: Vec<usize>,
        /// The numbers of those without a letter.
        empty: Vec<usize>,
    },
    /// Lines that stand straight after the one they follow.
    Neighbours {
        /// How many do.
        right: usize,
        /// How many should.
        of: usize,
    },
    /// It is the term asked for.
    RightTerm {
        /// The term.
        term: String,
    },
    /// It was taken for the term asked for, although it is spelt otherwise.
    Spelling {
        /// The term.
        term: String,
    },
    /// It is another term of the subject.
    OtherTerm {
        /// That term.
        term: String,
    },
    /// It is no term of the subject that is known here.
    NotTheTerm {
        /// What was written.
        answer: String,
    },
    /// The two ends of a range.
    Ends {
        /// Whether the lower is right.
        lower: bool,
        /// Whether the upper is right.
        upper: bool,
    },
    /// The two numbers are what a source says.
    PublishedRange {
        /// The short name of the source.
        by: String,
        /// Whether it is accepted; otherwise the question follows another source.
        accepted: bool,
    },
    /// It is marked by hand against the points of the key.
    ByHand,
    /// It could not be read as the kind of answer wanted.
    NotReadAs {
        /// What is wanted.
        expected: String,
    },
    /// It could not be read as a number with a unit.
    NotRead(ReadProblem),
    /// The problem has no such part.
    NoSuchPart,
}

impl Verdict {
    /// Whether the answer has all marks.
    pub fn is_right(&self) -> bool {
        self.standing == Standing::Right
    }

    /// The verdict on an answer that was not marked.
    pub(crate) fn unread(of: u32, reason: Reason) -> Self {
        Self { standing: Standing::Unread, marks: 0, of, typed: None, reasons: vec![reason] }
    }
}

impl Standing {
    /// The word for it: `right`, `partly right`, `wrong`, `not read`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Partly => "partly right",
            Self::Wrong => "wrong",
            Self::Unread => "not read",
            Self::ByHand => "to be marked by hand",
        }
    }
}

impl Reason {
    /// The name of the kind of reason, for files and counts: `power-of-ten`.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Exactly => "exactly",
            Self::LegalRounding => "legal-rounding",
            Self::WithinTolerance => "within-tolerance",
            Self::Converted { .. } => "converted",
            Self::UnitMissing { .. } => "unit-missing",
            Self::FewPlaces { .. } => "few-places",
            Self::WrongUnit { .. } => "wrong-unit",
            Self::WrongDimension { .. } => "wrong-dimension",
            Self::PowerOfTen(_) => "power-of-ten",
            Self::TooCoarse { .. } => "too-coarse",
            Self::CutShort { .. } => "cut-short",
            Self::Sign => "sign",
            Self::Slip { .. } => "slip",
            Self::TwoSlips { .. } => "two-slips",
            Self::Follows => "follows",
            Self::FollowsWorking => "follows-working",
            Self::FollowsTrivially => "follows-trivially",
            Self::FollowsSenselessly => "follows-senselessly",
            Self::WorkingWrong { .. } => "working-wrong",
            Self::CountedInQuestion(_) => "counted-in-question",
            Self::CountedInPaper(_) => "counted-in-paper",
            Self::Unexplained { .. } => "unexplained",
            Self::OutOfRange { .. } => "out-of-range",
            Self::RightOptions { .. } => "right-options",
            Self::WrongOption { .. } => "wrong-option",
            Self::Missed(_) => "missed",
            Self::Judged { .. } => "judged",
            Self::ReasonGiven { .. } => "reason-given",
            Self::NoReasonGiven => "no-reason-given",
            Self::Pairs { .. } => "pairs",
            Self::Neighbours { .. } => "neighbours",
            Self::RightTerm { .. } => "right-term",
            Self::Spelling { .. } => "spelling",
            Self::OtherTerm { .. } => "other-term",
            Self::NotTheTerm { .. } => "not-the-term",
            Self::Ends { .. } => "ends",
            Self::PublishedRange { .. } => "published-range",
            Self::ByHand => "by-hand",
            Self::NotReadAs { .. } | Self::NotRead(_) => "not-read",
            Self::NoSuchPart => "no-such-part",
        }
    }
}
