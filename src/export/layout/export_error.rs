//! Why a file could not be made.

use std::fmt;

use crate::export::ComposeProblem;
use crate::export::layout::{DocumentKind, LayoutProblem};

/// Why a file could not be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExportError {
    /// The layout cannot be filled in.
    Layout(LayoutProblem),
    /// The working of a problem cannot be shown.
    Composed(ComposeProblem),
    /// The layout was compiled for another format.
    OtherFormat {
        /// What the layout is for.
        layout: &'static str,
        /// What was asked for.
        asked: &'static str,
    },
    /// The layout is of something else.
    OtherKind {
        /// What the layout is of.
        layout: DocumentKind,
        /// What was asked for.
        asked: DocumentKind,
    },
    /// The format makes no documents of that kind.
    NotMade {
        /// What was asked for.
        format: &'static str,
        /// What was to be made.
        kind: DocumentKind,
    },
    /// The format has no layouts.
    NoLayouts(&'static str),
    /// The format is for questions alone.
    QuestionsOnly(&'static str),
    /// A document is not of the format of the file that it is to be bound into.
    NotBound(&'static str),
}

impl fmt::Display for ExportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Layout(problem) => problem.fmt(f),
            Self::Composed(problem) => problem.fmt(f),
            Self::OtherFormat { layout, asked } => write!(
                f,
                "the layout is for {layout}, but the sheet is wanted as {asked}; give a layout \
                 made for {asked}"
            ),
            Self::OtherKind { layout, asked } => write!(
                f,
                "expected a layout for `{}`, found one for `{}`; give a layout made for that",
                asked.name(),
                layout.name()
            ),
            Self::NotMade { format, kind } => {
                let (what, choice) = match kind {
                    DocumentKind::Sheet => ("sheet", "text, markdown, html or json"),
                    DocumentKind::Account => ("account", "text, markdown, html or json"),
                    DocumentKind::Feedback => ("feedback", "text, markdown or html"),
                    DocumentKind::Report => ("report", "text, markdown, html, json or csv"),
                };
                write!(f, "no {what} can be made as {format}; choose {choice}")
            }
            Self::NoLayouts(format) => {
                write!(f, "a sheet as {format} takes no layout; leave the layout out")
            }
            Self::QuestionsOnly(format) => write!(
                f,
                "{format} is for questions, and there are none on a sheet for the bench; choose text, \
                 markdown, html or json"
            ),
            Self::NotBound(format) => write!(
                f,
                "expected a document as {format}, found another; bind what the exporter made"
            ),
        }
    }
}

impl std::error::Error for ExportError {}

impl From<ComposeProblem> for ExportError {
    fn from(problem: ComposeProblem) -> Self {
        Self::Composed(problem)
    }
}

impl From<LayoutProblem> for ExportError {
    fn from(problem: LayoutProblem) -> Self {
        Self::Layout(problem)
    }
}
