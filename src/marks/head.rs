//! The first line of a file of marks.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::bank::Grading;

use super::{FileText, VERSION};
use crate::words::quoted;

/// What the head of the marks says.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct MarksHead {
    /// The version of the names, 1.
    pub castmark_marks: u32,
    /// The title of the paper.
    pub title: String,
    /// By which the set of papers is known again.
    pub fingerprint: String,
    /// The version of the program that marks.
    pub made_by: String,
    /// Whether the rules of marking are the usual ones: `default`, or `own`.
    pub rules: String,
    /// The questions in the order of the blueprint.
    pub questions: Vec<HeadQuestion>,
    /// The pass mark and the boundaries of grades.
    pub grading: Grading,
    /// The line above the head of every document.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub letterhead: Option<String>,
    /// The line below every document.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub foot: Option<String>,
    /// The layouts of one's own for the report.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub layouts: Vec<FileText>,
}

/// A question of the blueprint.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct HeadQuestion {
    /// Its number in the blueprint, from 1.
    pub planned: u64,
    /// Its template.
    pub template: String,
    /// The title of the template.
    pub title: String,
    /// The title of its section.
    pub section: String,
    /// The marks it could have.
    pub of: u32,
}

impl MarksHead {
    /// A head of this version.
    pub fn new(title: String, fingerprint: String, made_by: String, own_rules: bool) -> Self {
        Self {
            castmark_marks: VERSION,
            title,
            fingerprint,
            made_by,
            rules: if own_rules { "own" } else { "default" }.to_owned(),
            ..Self::default()
        }
    }

    /// The line, ended.
    pub fn write(&self) -> String {
        serde_json::to_string(self).unwrap_or_default() + "\n"
    }

    /// Reads the first line of a file.
    ///
    /// # Errors
    /// When it is no head, or of another version.
    pub fn read(text: &str) -> Result<Self, String> {
        const OTHER: &str = "expected the head of a file of marks, found something else; give the \
                             `marks.jsonl` that was written when the class was marked";
        let value: Value = serde_json::from_str(text).map_err(|_| OTHER)?;
        let object = value.as_object().filter(|head| !head.contains_key("candidate"));
        let version = object.and_then(|head| head.get("castmark_marks")).ok_or(OTHER)?;
        if version.as_u64() != Some(u64::from(VERSION)) {
            return Err(format!(
                "expected marks of version {VERSION}, found {}; use the castmark that wrote them, or \
                 a later one",
                quoted(&version.to_string(), 40)
            ));
        }
        serde_json::from_value(value).map_err(|error| {
            let error = quoted(&error.to_string(), 200);
            format!(
                "expected the head of a file of marks, found a mistake ({error}); use the file as it \
                 was written"
            )
        })
    }

    /// The title, or what stands for one.
    pub fn title(&self) -> &str {
        if self.title.trim().is_empty() { "marked class" } else { &self.title }
    }

    /// The title of a template.
    pub fn title_of(&self, template: &str) -> Option<&str> {
        let question = self.questions.iter().find(|question| question.template == template);
        question.map(|question| question.title.as_str()).filter(|title| !title.is_empty())
    }

    /// The question of that number in the blueprint.
    pub fn question(&self, planned: u64) -> Option<&HeadQuestion> {
        self.questions.iter().find(|question| question.planned == planned)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_title_of_a_template_is_that_of_its_question_where_it_has_one() {
        let question = |template: &str, title: &str| HeadQuestion {
            template: template.to_owned(),
            title: title.to_owned(),
            ..HeadQuestion::default()
        };
        let questions = vec![question("plain", "A plain batch"), question("bare", "")];
        let head = MarksHead { questions, ..MarksHead::default() };
        assert_eq!(head.title_of("plain"), Some("A plain batch"));
        assert_eq!(head.title_of("bare"), None);
        assert_eq!(head.title_of("unknown"), None);
    }
}
