//! A line of a file of marks: the mark of a candidate on a part, or why a candidate has none.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::marking::Standing;

use super::{Mark, Status, VERSION};
use crate::words::quoted;

/// The largest number of a question, far above any paper.
const LARGEST: u64 = 100_000;

/// A line below the head.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// The mark of a part.
    Mark(Box<MarkLine>),
    /// A candidate without answers.
    Status(StatusLine),
}

/// A record of the file: the type, its reader and its writer by serde, and what each field should hold,
/// for whoever has changed it.
macro_rules! record {
    ($(#[$about:meta])* $name:ident {
        $($(#[$field_about:meta])* $field:ident: $type:ty = $what:expr;)*
    }) => {
        $(#[$about])*
        #[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
        #[serde(default)]
        pub struct $name {
            /// The line of the file, from 1; nothing before it is in one.
            #[serde(skip)]
            pub line: usize,
            $($(#[$field_about])* pub $field: $type,)*
        }

        impl $name {
            /// The fields of an object that hold something else than they should.
            fn faults(object: &Map<String, Value>) -> Vec<String> {
                let mut faults = Vec::new();
                $(
                    let found = object.get(stringify!($field)).filter(|found| !found.is_null());
                    let sound = |found: &Value| <$type>::deserialize(found).is_ok();
                    if found.is_some_and(|found| !sound(found)) {
                        faults.push(wrong(object, stringify!($field), $what));
                    }
                )*
                faults
            }
        }
    };
}

record! {
    /// The mark of one candidate on one part.
    MarkLine {
        /// The version of the names, 1.
        castmark_marks: u32 = "a version";
        /// The candidate number.
        candidate: String = TEXT;
        /// The code of the paper.
        paper: String = TEXT;
        /// The number of the question on this candidate's paper, from 1.
        question: u64 = NUMBER;
        /// The letter of the part; empty where a question has one.
        part: String = TEXT;
        /// The template of the question.
        template: String = TEXT;
        /// Which problem of the template.
        place: String = TEXT;
        /// The marks given.
        marks: Option<Mark> = MARKS;
        /// The marks that could be had.
        of: Mark = MARKS;
        /// How the answer stands.
        standing: Option<Standing> = STANDINGS;
        /// The slips that lead to the answer, by their ids in the template.
        slips: Vec<String> = LIST;
        /// The letters of the options chosen.
        chosen: Vec<String> = LIST;
        /// How many options there were.
        options: u64 = "a whole number";
        /// The letters of the right options.
        right_options: Vec<String> = LIST;
        /// The objective of the template.
        objective: String = TEXT;
        /// The topic of the template.
        topic: String = TEXT;
        /// Whose mark it is.
        by: By = "`program` or `hand`";
        /// What the options said, in the order of their letters.
        option_texts: Vec<String> = LIST;
        /// The answer as written.
        answer: String = TEXT;
        /// The marks for method; nothing for theory.
        method: Option<Mark> = MARKS;
        /// The marks for accuracy; nothing for theory.
        accuracy: Option<Mark> = MARKS;
        /// Whether the answer follows from an earlier wrong one.
        follows: bool = "true or false";
        /// The rule that decided.
        rule: Option<String> = TEXT;
        /// Why, in words.
        reasons: Vec<Reason> = "a list of reasons";
        /// The steps of the working that were entered for the part.
        steps: Vec<StepNote> = "a list of steps";
        /// The marks before any were given by hand; nothing for a written answer.
        by_program: Option<Mark> = MARKS;
        /// The mark given by hand that holds.
        hand: Option<HandNote> = "who, why and when";
        /// The number of the question in the blueprint, from 1.
        planned: Option<u64> = NUMBER;
        /// The group of the candidate.
        #[serde(skip_serializing_if = "Option::is_none")]
        group: Option<String> = TEXT;
    }
}

record! {
    /// A candidate without answers, who is in none of the numbers.
    StatusLine {
        /// The version of the names, 1.
        castmark_marks: u32 = "a version";
        /// The candidate number.
        candidate: String = TEXT;
        /// The code of the paper.
        paper: String = TEXT;
        /// Always true: there are no marks.
        absent: bool = "true";
        /// Why; without it, the candidate was absent.
        status: Option<Status> = "`absent`, `excused` or `withdrawn`";
        /// The group of the candidate.
        #[serde(skip_serializing_if = "Option::is_none")]
        group: Option<String> = TEXT;
    }
}

/// Whose mark it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum By {
    /// The program's.
    #[default]
    Program,
    /// A person's.
    Hand,
}

/// A reason of a verdict.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Reason {
    /// Its kind.
    pub kind: String,
    /// The words.
    pub words: String,
}

/// A step of the working that was entered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepNote {
    /// Its name in the template.
    pub step: String,
    /// What was written.
    pub answer: String,
    /// How it stands.
    pub standing: Standing,
    /// Why, in words.
    pub reasons: Vec<Reason>,
}

/// A mark given by hand.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct HandNote {
    /// Who gave it.
    pub who: String,
    /// Why.
    pub why: String,
    /// On what day.
    pub when: String,
    /// The mark of the second marker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second: Option<Mark>,
    /// The second marker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second_who: Option<String>,
}

const TEXT: &str = "a text";
const LIST: &str = "a list of texts";
const NUMBER: &str = "a whole number from 1";
const MARKS: &str = "a number from 0, whole or a half,";
const STANDINGS: &str = "one of correct, partly-correct, not-correct, not-read, by-hand, blank";

impl MarkLine {
    /// The marks; nothing while the answer waits to be marked by hand, whatever stands in their place.
    pub fn given(&self) -> Option<Mark> {
        let waits = self.standing == Some(Standing::ByHand) && self.by == By::Program;
        self.marks.filter(|_| !waits)
    }

    /// The number of the question in the blueprint, or on the paper where that is not known.
    pub fn number(&self) -> u64 {
        self.planned.unwrap_or(self.question)
    }

    /// Everything that a line must say and this one does not.
    fn missing(&self, object: &Map<String, Value>) -> Vec<String> {
        let mut faults = Vec::new();
        let mut need = |there: bool, name: &str, what: &str| {
            if !there {
                faults.push(wrong(object, name, what));
            }
        };
        need(!self.candidate.trim().is_empty(), "candidate", TEXT);
        need((1..=LARGEST).contains(&self.question), "question", NUMBER);
        need(!self.template.trim().is_empty(), "template", TEXT);
        need(self.standing.is_some(), "standing", STANDINGS);
        let may_wait = self.standing.is_none_or(|standing| standing == Standing::ByHand);
        need(self.marks.is_some() || may_wait, "marks", MARKS);
        if self.of == Mark::NONE {
            faults.push("expected `of` above zero, found 0; correct it".to_owned());
        } else if let Some(marks) = self.given().filter(|marks| *marks > self.of) {
            let of = self.of;
            faults.push(format!("expected `marks` from 0 to {of}, found {marks}; correct them"));
        }
        faults
    }
}

/// The longest line, in bytes: many times what the longest answer takes.
const LONGEST: usize = 1_000_000;

impl Line {
    /// The line, ended.
    pub fn write(&self) -> String {
        let json = match self {
            Self::Mark(mark) => serde_json::to_string(mark),
            Self::Status(status) => serde_json::to_string(status),
        };
        json.unwrap_or_default() + "\n"
    }

    /// Reads a line; `line` is its number.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(line: usize, text: &str) -> Result<Self, Vec<String>> {
        if text.len() > LONGEST {
            return Err(vec![format!(
                "expected a mark in at most {LONGEST} bytes, found {}; use the file as it was written",
                text.len()
            )]);
        }
        let value: Value = serde_json::from_str(text).map_err(|error| {
            let error = quoted(&error.to_string(), 200);
            vec![format!(
                "expected a mark as JSON, found a mistake ({error}); use the file as it was written"
            )]
        })?;
        let Value::Object(mut object) = value else {
            return Err(vec![format!(
                "expected a mark in braces, found {}; use the file as it was written",
                quoted(&value.to_string(), 40)
            )]);
        };
        let absent = object.get("absent").is_some_and(|absent| *absent == Value::Bool(true));
        let mut faults =
            if absent { StatusLine::faults(&object) } else { MarkLine::faults(&object) };
        if faults.is_empty() {
            let written = object.clone();
            object.retain(|_, value| !value.is_null());
            let object = Value::Object(object);
            let unread = |error: serde_json::Error| vec![quoted(&error.to_string(), 200)];
            if absent {
                let status: StatusLine = serde_json::from_value(object).map_err(unread)?;
                if !status.candidate.trim().is_empty() {
                    return Ok(Self::Status(StatusLine { line, ..status }));
                }
                faults.push(wrong(&written, "candidate", TEXT));
            } else {
                let mark: MarkLine = serde_json::from_value(object).map_err(unread)?;
                faults = mark.missing(&written);
                if faults.is_empty() {
                    return Ok(Self::Mark(Box::new(MarkLine { line, ..mark })));
                }
            }
        }
        Err(faults)
    }
}

impl StatusLine {
    /// A candidate without answers.
    pub fn new(candidate: String, paper: String, status: Status, group: Option<String>) -> Self {
        Self {
            line: 0,
            castmark_marks: VERSION,
            candidate,
            paper,
            absent: true,
            status: Some(status),
            group,
        }
    }

    /// Why there are no answers.
    pub fn status(&self) -> Status {
        self.status.unwrap_or(Status::Absent)
    }
}

/// What a field should hold, and what it holds.
fn wrong(object: &Map<String, Value>, name: &str, wanted: &str) -> String {
    let found = object.get(name).map_or("nothing".to_owned(), Value::to_string);
    let found: String = found.chars().take(60).collect();
    format!("expected {wanted} under `{name}`, found {found}; correct it")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_read_as_it_was_written() {
        let mark = MarkLine {
            castmark_marks: VERSION,
            candidate: "0101".to_owned(),
            question: 2,
            template: "base-one-drug".to_owned(),
            marks: Mark::parse("1.5"),
            of: Mark::whole(2),
            standing: Some(Standing::PartlyCorrect),
            by: By::Hand,
            hand: Some(HandNote {
                who: "A".to_owned(),
                second: Mark::parse("2"),
                ..HandNote::default()
            }),
            steps: vec![StepNote {
                step: "total".to_owned(),
                answer: "1 g".to_owned(),
                standing: Standing::Blank,
                reasons: vec![Reason::default()],
            }],
            planned: Some(4),
            ..MarkLine::default()
        };
        let line = Line::Mark(Box::new(mark));
        assert_eq!(Line::read(0, &line.write()), Ok(line));
        let line = Line::Status(StatusLine::new("1".into(), "x".into(), Status::Excused, None));
        assert_eq!(Line::read(0, &line.write()), Ok(line));
    }

    #[test]
    fn a_line_of_more_than_a_million_bytes_is_not_read() {
        let status = StatusLine::new("1".into(), "x".into(), Status::Excused, None);
        let line = Line::Status(status);
        let written = line.write();
        let wide = |bytes: usize| format!("{written}{}", " ".repeat(bytes - written.len()));
        assert_eq!(Line::read(0, &wide(1_000_000)), Ok(line.clone()));
        let faults = Line::read(0, &wide(1_000_001)).unwrap_err();
        assert!(faults[0].starts_with("expected a mark in at most 1000000 bytes"), "{faults:?}");
    }

    #[test]
    fn what_a_line_must_say_is_asked_for_all_at_once() {
        let faults = Line::read(1, "{\"of\": 2, \"marks\": 2.3}").unwrap_err();
        assert_eq!(faults.len(), 1, "{faults:?}");
        let faults = Line::read(1, "{\"of\": 2, \"marks\": 2}").unwrap_err();
        let expected = [
            "a text under `candidate`",
            "under `question`",
            "under `template`",
            "under `standing`",
        ];
        assert_eq!(faults.len(), expected.len(), "{faults:?}");
        for (fault, expected) in faults.iter().zip(expected) {
            assert!(fault.contains(expected), "{fault}");
        }
        let faults = Line::read(1, "{\"absent\": true, \"status\": \"ill\"}").unwrap_err();
        assert!(
            faults[0].contains("`absent`, `excused` or `withdrawn` under `status`"),
            "{faults:?}"
        );
    }
}
