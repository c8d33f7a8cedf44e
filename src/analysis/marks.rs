//! The marks of a class, as marking wrote them: JSON Lines.
//!
//! The first line is a head; then comes a line for every candidate and part, and one for every
//! candidate who was absent. Fields that are not
//! known are passed over, so that a later version may add some.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde_json::{Map, Value};

use crate::marking::Standing;

/// The version of the format.
const VERSION: u64 = 1;

/// The largest mark of a part and the largest number of a question, far above any paper.
const LARGEST: u64 = 100_000;

/// The marks of a class.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marks {
    /// The title of the paper.
    pub title: String,
    /// The lines, in the order of the file.
    pub lines: Vec<MarkLine>,
    /// The candidates who were absent, each with the line that says so.
    pub absent: Vec<(String, usize)>,
}

/// The mark of one candidate on one part.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkLine {
    /// The line of the file, from 1.
    pub line: usize,
    /// The candidate number.
    pub candidate: String,
    /// The number of the question on this candidate's paper, from 1.
    pub question: u64,
    /// The letter of the part; empty where a question has one.
    pub part: String,
    /// The template of the question.
    pub template: String,
    /// Which problem of the template.
    pub place: String,
    /// The marks given; nothing while the answer waits to be marked by hand.
    pub marks: Option<f64>,
    /// The marks that could be had.
    pub of: f64,
    /// How the answer stood.
    pub standing: Standing,
    /// The slips that lead to the answer, by their ids in the template.
    pub slips: Vec<String>,
    /// The letters of the options chosen.
    pub chosen: Vec<String>,
    /// How many options there were.
    pub options: u64,
    /// The letters of the right options.
    pub right_options: Vec<String>,
    /// What the options said, in the order of their letters; empty where it is not told.
    pub option_texts: Vec<String>,
    /// The objective of the template.
    pub objective: String,
    /// The topic of the template.
    pub topic: String,
}

/// One thing wrong with a file of marks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MarksProblem {
    /// The line, from 1.
    pub line: usize,
    /// What was expected, what was found, and what to do.
    pub what: String,
}

impl fmt::Display for MarksProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

impl MarkLine {
    /// Whether it earned all marks.
    pub fn is_full(&self) -> bool {
        self.marks.is_some_and(|marks| marks >= self.of)
    }
}

impl Marks {
    /// Reads the text of a file of marks.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line.
    pub fn read(text: &str) -> Result<Self, Vec<MarksProblem>> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut lines = (1..).zip(text.lines());
        let (_, first) = lines.next().unwrap_or((1, ""));
        let title = head(first).map_err(|what| vec![MarksProblem { line: 1, what }])?;
        let mut marks = Self { title, ..Self::default() };
        let mut problems = Vec::new();
        for (line, text) in lines.filter(|(_, text)| !text.trim().is_empty()) {
            match read_line(line, text) {
                Ok(Line::Mark(mark)) => marks.lines.push(*mark),
                Ok(Line::Absent(candidate)) => marks.absent.push((candidate, line)),
                Err(whats) => {
                    problems.extend(whats.into_iter().map(|what| MarksProblem { line, what }));
                }
            }
        }
        problems.extend(marks.twice());
        problems.extend(marks.both());
        problems.sort_by_key(|problem| problem.line);
        if problems.is_empty() && marks.lines.is_empty() {
            let what = "expected a mark under the head, found none; mark a class first".to_owned();
            problems.push(MarksProblem { line: 1, what });
        }
        if problems.is_empty() { Ok(marks) } else { Err(problems) }
    }

    /// The candidates who are said to be absent and have marks, or are said so twice.
    fn both(&self) -> Vec<MarksProblem> {
        let marked: BTreeSet<&str> = self.lines.iter().map(|it| it.candidate.as_str()).collect();
        let mut seen = BTreeSet::new();
        let mut problems = Vec::new();
        for (candidate, line) in &self.absent {
            if marked.contains(candidate.as_str()) || !seen.insert(candidate.as_str()) {
                let what = format!(
                    "candidate {candidate} is said to be absent, and is on another line too; keep one \
                     of them"
                );
                problems.push(MarksProblem { line: *line, what });
            }
        }
        problems
    }

    /// The parts that one candidate was given marks for twice.
    fn twice(&self) -> Vec<MarksProblem> {
        let mut seen: BTreeMap<(&str, u64, &str), usize> = BTreeMap::new();
        let mut problems = Vec::new();
        for mark in &self.lines {
            let key = (mark.candidate.as_str(), mark.question, mark.part.as_str());
            match seen.get(&key) {
                None => {
                    seen.insert(key, mark.line);
                }
                Some(first) => problems.push(MarksProblem {
                    line: mark.line,
                    what: format!(
                        "candidate {} has marks for question {}{} already on line {first}; keep one \
                         of them",
                        mark.candidate, mark.question, mark.part
                    ),
                }),
            }
        }
        problems
    }
}

/// What a line tells.
enum Line {
    /// The mark of a part.
    Mark(Box<MarkLine>),
    /// That a candidate was absent.
    Absent(String),
}

/// The title in the head.
fn head(text: &str) -> Result<String, String> {
    let value: Option<Value> = serde_json::from_str(text).ok();
    let head = value.as_ref().and_then(Value::as_object);
    match head.map(|head| (head, head.get("castmark_marks"))) {
        Some((head, Some(version))) if !head.contains_key("candidate") => {
            if version.as_u64() != Some(VERSION) {
                return Err(format!(
                    "expected marks of version {VERSION}, found {version}; use the castmark that wrote \
                     them, or a later one"
                ));
            }
            let title = head.get("title").and_then(Value::as_str);
            Ok(title.filter(|title| !title.trim().is_empty()).unwrap_or("marked class").to_owned())
        }
        _ => Err("expected the head of a file of marks, found something else; give the \
                  `marks.jsonl` that was written when the class was marked"
            .to_owned()),
    }
}

fn read_line(line: usize, text: &str) -> Result<Line, Vec<String>> {
    let value: Value = serde_json::from_str(text).map_err(|error| {
        vec![format!(
            "expected a mark as JSON, found a mistake ({error}); use the file as it was written"
        )]
    })?;
    let Some(object) = value.as_object() else {
        return Err(vec![format!(
            "expected a mark in braces, found {value}; use the file as it was written"
        )]);
    };
    let mut fields = Fields { object, problems: Vec::new() };
    if object.get("absent").and_then(Value::as_bool) == Some(true) {
        let candidate = fields.text("candidate");
        let sound = fields.problems.is_empty();
        return if sound { Ok(Line::Absent(candidate)) } else { Err(fields.problems) };
    }
    let of = fields.number("of").filter(|of| *of > 0.0);
    if of.is_none() && fields.problems.is_empty() {
        fields.problems.push("expected `of` above zero, found 0; correct it".to_owned());
    }
    let standing = fields.standing();
    let marks = match object.get("marks") {
        None | Some(Value::Null) if standing == Some(Standing::ByHand) => None,
        // Nobody has looked at it yet, whatever stands in the place of the marks.
        _ if standing == Some(Standing::ByHand)
            && object.get("by").and_then(Value::as_str) == Some("program") =>
        {
            None
        }
        _ => fields.number("marks"),
    };
    if let Some((marks, of)) = marks.zip(of).filter(|(marks, of)| marks > of) {
        fields
            .problems
            .push(format!("expected `marks` from 0 to {of}, found {marks}; correct them"));
    }
    let mark = MarkLine {
        line,
        candidate: fields.text("candidate"),
        question: fields.whole("question"),
        part: fields.text_or_none("part"),
        template: fields.text("template"),
        place: fields.text_or_none("place"),
        marks,
        of: of.unwrap_or(1.0),
        standing: standing.unwrap_or(Standing::Blank),
        slips: fields.list("slips"),
        chosen: fields.list("chosen"),
        options: object.get("options").and_then(Value::as_u64).unwrap_or(0),
        right_options: fields.list("right_options"),
        option_texts: fields.list("option_texts"),
        objective: fields.text_or_none("objective"),
        topic: fields.text_or_none("topic"),
    };
    if fields.problems.is_empty() { Ok(Line::Mark(Box::new(mark))) } else { Err(fields.problems) }
}

/// The fields of one line, with what is wrong with them.
struct Fields<'a> {
    object: &'a Map<String, Value>,
    problems: Vec<String>,
}

impl Fields<'_> {
    fn wrong(&mut self, name: &str, wanted: &str) {
        let found = self.object.get(name).map_or("nothing".to_owned(), Value::to_string);
        let found: String = found.chars().take(60).collect();
        self.problems.push(format!("expected {wanted} under `{name}`, found {found}; correct it"));
    }

    fn number(&mut self, name: &str) -> Option<f64> {
        let number = self.object.get(name).and_then(Value::as_f64);
        let number = number.filter(|number| (0.0..=100_000.0).contains(number));
        if number.is_none() {
            self.wrong(name, "a number from 0");
        }
        number
    }

    fn whole(&mut self, name: &str) -> u64 {
        let number = self.object.get(name).and_then(Value::as_u64);
        match number.filter(|number| (1..=LARGEST).contains(number)) {
            Some(number) => number,
            None => {
                self.wrong(name, "a whole number from 1");
                0
            }
        }
    }

    fn text(&mut self, name: &str) -> String {
        let text = self.object.get(name).and_then(Value::as_str).map(str::trim);
        match text.filter(|text| !text.is_empty()) {
            Some(text) => text.to_owned(),
            None => {
                self.wrong(name, "a text");
                String::new()
            }
        }
    }

    fn text_or_none(&mut self, name: &str) -> String {
        match self.object.get(name) {
            None | Some(Value::Null) => String::new(),
            Some(Value::String(text)) => text.trim().to_owned(),
            Some(_) => {
                self.wrong(name, "a text");
                String::new()
            }
        }
    }

    fn list(&mut self, name: &str) -> Vec<String> {
        let texts = match self.object.get(name) {
            None | Some(Value::Null) => Some(Vec::new()),
            Some(Value::Array(texts)) => {
                texts.iter().map(|text| text.as_str().map(str::to_owned)).collect()
            }
            Some(_) => None,
        };
        texts.unwrap_or_else(|| {
            self.wrong(name, "a list of texts");
            Vec::new()
        })
    }

    fn standing(&mut self) -> Option<Standing> {
        let word = self.object.get("standing").and_then(Value::as_str);
        let standing = Standing::ALL.into_iter().find(|standing| Some(standing.name()) == word);
        if standing.is_none() {
            let names: Vec<&str> = Standing::ALL.map(Standing::name).to_vec();
            self.wrong("standing", &format!("one of {}", names.join(", ")));
        }
        standing
    }
}
