//! Why papers cannot be made.

use std::fmt;

use crate::problem::DrawProblem;

/// Why papers cannot be made, or not be made again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaperProblem {
    /// A template has fewer different problems than are needed.
    TooFew {
        /// The template.
        template: String,
        /// How many problems are needed.
        needed: u128,
        /// How many there are.
        found: u128,
        /// How many of them an earlier paper used.
        avoided: usize,
    },
    /// A template gives hardly any fair problem.
    HardlyAny {
        /// The template.
        template: String,
        /// How many draws in a row were refused.
        tries: u128,
    },
    /// A problem cannot be drawn.
    Draw(DrawProblem),
    /// The papers were made with another secret.
    OtherSecret,
    /// The papers were made from another blueprint.
    OtherBlueprint,
    /// The papers use a template that the bank does not have.
    NoTemplate(String),
    /// A template has changed since the papers were made.
    TemplateChanged {
        /// The template.
        template: String,
        /// What was made with the old one.
        papers: &'static str,
    },
    /// A question would come out differently now.
    Different {
        /// The candidate.
        candidate: String,
        /// The question on the paper, from 1.
        question: usize,
        /// Its template.
        template: String,
        /// The version of the program that made it.
        made_by: String,
    },
    /// There is no such candidate.
    NoCandidate(String),
    /// A paper has no place for a problem: an error of the program.
    NoPlace {
        /// The template.
        template: String,
        /// The number of the paper.
        number: u64,
    },
    /// There are more papers than codes, which no class can come to.
    NoCode {
        /// The number of the paper.
        number: u64,
    },
}

impl fmt::Display for PaperProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPlace { template, number } => write!(
                f,
                "internal error: paper {number} has no place for a problem of `{template}`; please \
                 report it"
            ),
            Self::NoCode { number } => {
                write!(f, "internal error: there is no code for paper {number}; please report it")
            }
            Self::TooFew { template, needed, found, avoided } => {
                write!(
                    f,
                    "template `{template}`: expected {needed} different problems for the class, \
                     found {found}"
                )?;
                if *avoided > 0 {
                    write!(f, " beside the {avoided} of the earlier paper")?;
                }
                f.write_str("; choose another template, widen its values, or widen `difficulty`")
            }
            Self::HardlyAny { template, tries } => write!(
                f,
                "template `{template}`: {tries} draws in a row gave no new fair problem; choose \
                 another template, loosen what it requires, or widen `difficulty` in the blueprint"
            ),
            Self::Draw(problem) => problem.fmt(f),
            Self::OtherSecret => f.write_str(
                "these papers were made with another secret; give the secret they were made with, \
                 or make the papers in another folder",
            ),
            Self::OtherBlueprint => f.write_str(
                "the blueprint has changed since these papers were made, so that further papers \
                 would not be like them; put it back, or make the papers in another folder",
            ),
            Self::NoTemplate(template) => write!(
                f,
                "the papers use the template `{template}`, which the bank does not have; use the \
                 bank they were made with"
            ),
            Self::TemplateChanged { template, papers } => write!(
                f,
                "template `{template}` has changed since {papers} made; use the bank as it was then"
            ),
            Self::Different { candidate, question, template, made_by } => write!(
                f,
                "candidate {candidate}, question {question} (`{template}`) would be another problem \
                 now than when the paper was made; use the bank as it was then, and castmark {made_by}"
            ),
            Self::NoCandidate(candidate) => write!(
                f,
                "there is no paper of candidate `{candidate}`; look at the number, or at the class \
                 list"
            ),
        }
    }
}

impl std::error::Error for PaperProblem {}

impl From<DrawProblem> for PaperProblem {
    fn from(problem: DrawProblem) -> Self {
        Self::Draw(problem)
    }
}
