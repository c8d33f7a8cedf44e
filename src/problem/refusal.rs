//! Why a problem could not be drawn.

use std::fmt;

use crate::bank::Template;

/// Why a problem could not be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DrawProblem {
    /// The bank has no such template.
    NoTemplate(String),
    /// The template has more draws than can be numbered.
    TooLarge(String),
    /// Draw after draw was refused.
    NoDraw {
        /// The template.
        template: String,
        /// How many draws were tried.
        tries: u64,
        /// What refused the most of them, in words.
        because: String,
        /// How many it refused.
        times: u64,
    },
    /// A text of the template cannot be filled in.
    Text {
        /// The template.
        template: String,
        /// What is wrong.
        what: String,
    },
}

/// Why a draw is not a fair problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Refusal {
    /// A requirement does not hold; its index in the template, from 0.
    Requirement(usize),
    /// Two picks that must differ are the same row; their indices among the values.
    SameRow(usize, usize),
    /// A value or step has no result; its slot.
    NoResult(usize),
    /// The answer of a part is not above zero; the part.
    Senseless(usize),
    /// Legal rounding leads to another count or verdict; the part.
    Undecided(usize),
    /// No condition of a verdict holds; the part.
    NoVerdict(usize),
    /// Another verdict follows than is due; the part.
    OtherVerdict(usize),
    /// A sentence of plausibility is not true; its index in the template, from 0.
    Implausible(usize),
    /// A slip leads to a number that would be marked right; the slip and the part.
    ConfusedSlip(usize, usize),
    /// A part has nothing to show of the number drawn for it; the part.
    NothingToShow(usize),
}

impl Refusal {
    /// What is wrong with the draw, with the names of its template: ``slip `nominal-mould` cannot be
    /// told from a right answer of part `base` ``.
    pub fn explain(self, template: &Template) -> String {
        let name = |slot: usize| template.names.get(slot).map_or("", |name| name.name.as_str());
        let value = |index: usize| template.values.get(index).map_or("", |one| one.name.as_str());
        let part = |index: usize| template.parts.get(index).map_or("", |part| part.id.as_str());
        match self {
            Self::Requirement(index) => match template.require.get(index) {
                Some(one) => format!("`{}` does not hold ({})", one.formula.text(), one.because),
                None => "a requirement does not hold".to_owned(),
            },
            Self::SameRow(one, other) => {
                format!("`{}` and `{}` are the same row", value(one), value(other))
            }
            Self::NoResult(slot) => format!("`{}` has no result", name(slot)),
            Self::Senseless(index) => {
                format!("the answer of part `{}` is not above zero", part(index))
            }
            Self::Undecided(index) => {
                format!("legal rounding changes the answer of part `{}`", part(index))
            }
            Self::Implausible(index) => {
                format!("sentence {} of `plausible` is not true", index + 1)
            }
            Self::NoVerdict(index) => format!("no verdict of part `{}` holds", part(index)),
            Self::OtherVerdict(index) => {
                format!("part `{}` has another verdict than the one due", part(index))
            }
            Self::ConfusedSlip(slip, index) => {
                let slip = template.slips.get(slip).map_or("", |slip| slip.id.as_str());
                format!(
                    "slip `{slip}` cannot be told from a right answer of part `{}`",
                    part(index)
                )
            }
            Self::NothingToShow(index) => {
                format!("part `{}` has fewer things to show for some rows", part(index))
            }
        }
    }
}

impl fmt::Display for DrawProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoTemplate(id) => write!(
                f,
                "expected the name of a template of the bank, found `{id}`; `castmark bank list` \
                 shows all of them"
            ),
            Self::TooLarge(id) => write!(
                f,
                "template `{id}` has more draws than can be numbered; give its lists fewer readings \
                 or less reach"
            ),
            Self::NoDraw { template, tries, because, times } => write!(
                f,
                "template `{template}` gave no fair problem in {tries} draws: {times} of them failed \
                 because {because}; widen its values or loosen what it requires"
            ),
            Self::Text { template, what } => {
                write!(f, "a text of template `{template}` cannot be filled in: {what}")
            }
        }
    }
}

impl std::error::Error for DrawProblem {}
