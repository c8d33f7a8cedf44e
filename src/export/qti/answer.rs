//! What a candidate's answer to a part is kept in.

use crate::problem::{AnswerSpace, letter};

use super::identifier::answer;
use super::xml::{Element, qti};

/// A variable that holds an answer, or a part of one.
#[derive(Clone, Debug)]
pub(super) struct Answer {
    /// Its identifier.
    pub identifier: String,
    cardinality: &'static str,
    base: &'static str,
    /// The correct values; none where they are not told.
    pub correct: Vec<String>,
    /// What each value counts; none where values are not counted one by one.
    pub counts: Vec<(String, i64)>,
}

/// The endings of the identifiers of a part with several answers.
pub(super) const TEXT: &str = "_TEXT";
pub(super) const LOW: &str = "_LOW";
pub(super) const HIGH: &str = "_HIGH";
pub(super) const REASON: &str = "_REASON";

/// The identifiers of true and false.
pub(super) const TRUE: &str = "TRUE";
pub(super) const FALSE: &str = "FALSE";

impl Answer {
    /// The answers that a part has room for.
    pub(super) fn of(space: &AnswerSpace, part: usize) -> Vec<Self> {
        let one = |ending: &str, cardinality, base| Self {
            identifier: answer(part, ending),
            cardinality,
            base,
            correct: Vec::new(),
            counts: Vec::new(),
        };
        match space {
            // A platform that reads no number, as in `13,9 g`, still hands over what was typed.
            AnswerSpace::Number { .. } => {
                vec![one("", "single", "float"), one(TEXT, "single", "string")]
            }
            AnswerSpace::Range { .. } => [LOW, HIGH]
                .into_iter()
                .flat_map(|end| {
                    let text = format!("{end}{TEXT}");
                    [one(end, "single", "float"), one(&text, "single", "string")]
                })
                .collect(),
            AnswerSpace::Options { multiple: false, .. } => vec![one("", "single", "identifier")],
            AnswerSpace::Options { multiple: true, .. } => vec![one("", "multiple", "identifier")],
            AnswerSpace::Judgement { with_reason, .. } => {
                let mut both = vec![one("", "single", "identifier")];
                both.extend(with_reason.then(|| one(REASON, "single", "identifier")));
                both
            }
            AnswerSpace::Match { .. } => vec![one("", "multiple", "directedPair")],
            AnswerSpace::Order { .. } => vec![one("", "ordered", "identifier")],
            AnswerSpace::Lines { .. } | AnswerSpace::Text => vec![one("", "single", "string")],
        }
    }

    /// The declaration.
    pub(super) fn declaration(&self) -> Element {
        let mut declaration = qti("responseDeclaration")
            .with("identifier", &self.identifier)
            .with("cardinality", self.cardinality)
            .with("baseType", self.base);
        if !self.correct.is_empty() {
            let values = self.correct.iter().map(|value| qti("value").text(value));
            declaration = declaration.child(qti("correctResponse").children(values));
        }
        if !self.counts.is_empty() {
            let entries = self.counts.iter().map(|(value, count)| {
                let entry =
                    qti("mapEntry").with("mapKey", value).with("mappedValue", count.to_string());
                // Only what is typed can be in other letters.
                if self.base == "string" { entry.with("caseSensitive", "false") } else { entry }
            });
            let mapping = qti("mapping").with("defaultValue", "0").children(entries);
            declaration = declaration.child(mapping);
        }
        declaration
    }
}

/// The identifier of a lettered option: `C`.
pub(super) fn option(index: usize) -> String {
    letter(index, 'A')
}

/// The identifier of a numbered line: `L3`.
pub(super) fn line(index: usize) -> String {
    format!("L{}", index + 1)
}

/// The identifier of what a line may go with: `RC`.
pub(super) fn partner(index: usize) -> String {
    format!("R{}", letter(index, 'A'))
}
