//! The manifest: a set of papers as JSON Lines.
//!
//! The first line tells the version of the format, the program, the blueprint and the templates; then
//! comes a line for every paper. Whoever has the manifest and the bank has the answers, so it stays
//! with the instructor.

use std::fmt;

use serde::Deserialize;
use serde_json::{Value, json};

use crate::bank::SourceText;
use crate::draw::Seed;
use crate::marks::FileText;
use crate::words::{Complaint, Complaints, quoted};

use super::{Candidate, Need, Paper, PaperCode, PaperQuestion, PaperSet};

/// The version of the format.
const VERSION: u64 = 1;

/// The largest number of questions of a line, far above any paper.
const MOST_QUESTIONS: usize = 100_000;

/// The largest number of a paper, far above any class.
const MOST_PAPERS: u64 = 100_000_000;

/// One thing wrong with a manifest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ManifestProblem {
    /// The line, from 1.
    pub line: usize,
    /// What was expected, what was found, and what to do.
    pub what: String,
}

impl fmt::Display for ManifestProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

impl Complaint for ManifestProblem {
    fn saying(self, what: String) -> Self {
        Self { what, ..self }
    }
}

impl PaperSet {
    /// The text of the manifest.
    pub fn write(&self) -> String {
        let templates: Vec<Value> = self
            .templates
            .iter()
            .map(|(id, fingerprint)| json!({ "template": id, "fingerprint": fingerprint }))
            .collect();
        let mut head = json!({
            "castmark_manifest": VERSION,
            "made_by": self.made_by,
            "blueprint": FileText::from(self.blueprint.clone()),
            "questions": templates,
            "secret_known_by": self.secret,
            "first": self.first,
            "paper_size": self.paper_size,
            "pressed": self.pressed,
        });
        if !self.layouts.is_empty() {
            let layouts = self.layouts.iter().cloned().map(FileText::from);
            head["layouts"] = json!(layouts.collect::<Vec<_>>());
        }
        let mut text = format!("{head}\n");
        for paper in &self.papers {
            text.push_str(&self.line(paper).to_string());
            text.push('\n');
        }
        text
    }

    fn line(&self, paper: &Paper) -> Value {
        let questions: Vec<Value> = paper
            .questions
            .iter()
            .map(|question| {
                json!({
                    "question": question.planned + 1,
                    "template": self.templates.get(question.planned).map(|(id, _)| id),
                    "place": question.place.to_string(),
                    "check": format!("{:016x}", question.check),
                })
            })
            .collect();
        let candidate = &paper.candidate;
        json!({
            "candidate": candidate.number,
            "number": paper.number,
            "name": candidate.name,
            "group": candidate.group,
            "room": candidate.room,
            "seat": candidate.seat,
            "needs": candidate.needs.iter().map(Need::to_string).collect::<Vec<_>>(),
            "paper": paper.code.to_string(),
            "looks": paper.presentation.bytes().iter().map(|byte| format!("{byte:02x}")).collect::<String>(),
            "questions": questions,
        })
    }

    /// Reads the text of a manifest.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line.
    pub fn read(text: &str) -> Result<Self, Vec<ManifestProblem>> {
        Self::read_lines(text.lines())
    }

    /// Reads the lines of a manifest one after the other, so that the text of a large class need not be
    /// held beside its papers.
    ///
    /// # Errors
    /// Everything that is wrong, all at once, each with its line.
    pub fn read_lines<T: AsRef<str>>(
        lines: impl IntoIterator<Item = T>,
    ) -> Result<Self, Vec<ManifestProblem>> {
        let mut lines = (1..).zip(lines);
        let first = lines.next().map(|(_, first)| first);
        let first = first.as_ref().map_or("", AsRef::as_ref);
        let set = head(first.strip_prefix('\u{feff}').unwrap_or(first));
        let mut set = set.map_err(|what| vec![ManifestProblem { line: 1, what }])?;
        let mut problems = Complaints::new();
        for (line, text) in lines {
            let text = text.as_ref();
            if text.trim().is_empty() {
                continue;
            }
            if problems.is_enough() {
                break;
            }
            match set.read_paper(text) {
                Ok(paper) => set.papers.push(paper),
                Err(what) => problems.push(ManifestProblem { line, what }),
            }
        }
        let mut numbers: Vec<&str> =
            set.papers.iter().map(|paper| paper.candidate.number.as_str()).collect();
        numbers.sort_unstable();
        if let Some([twice, ..]) = numbers.windows(2).find(|pair| pair[0] == pair[1]) {
            let what =
                format!("candidate {twice} has two papers; use the manifest as it was written");
            problems.push(ManifestProblem { line: 1, what });
        }
        let mut numbers: Vec<u64> = set.papers.iter().map(|paper| paper.number).collect();
        numbers.sort_unstable();
        if numbers.windows(2).any(|pair| pair[0] == pair[1]) || numbers.last() > Some(&MOST_PAPERS)
        {
            let what = "the numbers of the papers are damaged; use the manifest as it was written";
            problems.push(ManifestProblem { line: 1, what: what.to_owned() });
        }
        problems.finish(set)
    }

    fn read_paper(&self, text: &str) -> Result<Paper, String> {
        let line: PaperLine = parsed(text, "a paper")?;
        let needs =
            line.needs.iter().map(|need| Need::read(need).map_err(|_| damaged("a need", need)));
        let code =
            PaperCode::parse(&line.paper).map_err(|_| damaged("a paper's code", &line.paper))?;
        let questions: Vec<PaperQuestion> = line
            .questions
            .iter()
            .map(|question| self.question(question))
            .collect::<Result<_, _>>()?;
        let mut planned: Vec<usize> = questions.iter().map(|question| question.planned).collect();
        planned.sort_unstable();
        if !planned.iter().copied().eq(0..self.templates.len()) {
            return Err(format!(
                "expected each of the {} questions once, found others; use the manifest as it was \
                 written",
                self.templates.len()
            ));
        }
        Ok(Paper {
            candidate: Candidate {
                number: line.candidate,
                name: line.name,
                group: line.group,
                room: line.room,
                seat: line.seat,
                needs: needs.collect::<Result<_, _>>()?,
            },
            number: line.number,
            code,
            presentation: seed(&line.looks)
                .ok_or_else(|| damaged("64 hexadecimal digits", &line.looks))?,
            questions,
        })
    }

    fn question(&self, question: &QuestionLine) -> Result<PaperQuestion, String> {
        let planned = question.question.checked_sub(1).filter(|at| *at < self.templates.len());
        let planned =
            planned.ok_or_else(|| damaged("a question", &question.question.to_string()))?;
        if self.templates[planned].0 != question.template {
            return Err(damaged(&format!("`{}`", self.templates[planned].0), &question.template));
        }
        let place = question.place.parse().map_err(|_| damaged("a place", &question.place))?;
        let check = u64::from_str_radix(&question.check, 16)
            .map_err(|_| damaged("16 hexadecimal digits", &question.check))?;
        Ok(PaperQuestion { planned, place, check })
    }
}

/// The set of the first line, without papers.
fn head(text: &str) -> Result<PaperSet, String> {
    let version: Value = parsed(text, "the head of a manifest")?;
    match version.get("castmark_manifest") {
        Some(version) if version.as_u64() == Some(VERSION) => {}
        Some(version) => {
            return Err(format!(
                "expected manifest version {VERSION}, found {}; use the castmark that wrote it, \
                 or a later one",
                quoted(&version.to_string(), 40)
            ));
        }
        None => {
            return Err(
                "expected the head of a manifest, found something else; give the `manifest.jsonl` \
                 that was written with the papers"
                    .to_owned(),
            );
        }
    }
    let head: HeadLine = parsed(text, "the head of a manifest")?;
    if head.questions.len() > MOST_QUESTIONS {
        return Err(format!("expected at most {MOST_QUESTIONS} questions, found more"));
    }
    Ok(PaperSet {
        made_by: head.made_by,
        blueprint: head.blueprint.into(),
        templates: head.questions.into_iter().map(|it| (it.template, it.fingerprint)).collect(),
        secret: head.secret_known_by,
        first: head.first,
        paper_size: head.paper_size,
        pressed: head.pressed,
        layouts: head.layouts.into_iter().map(SourceText::from).collect(),
        papers: Vec::new(),
    })
}

#[derive(Deserialize)]
struct HeadLine {
    made_by: String,
    blueprint: FileText,
    questions: Vec<TemplateText>,
    secret_known_by: String,
    first: u64,
    paper_size: Option<String>,
    pressed: Option<String>,
    #[serde(default)]
    layouts: Vec<FileText>,
}

#[derive(Deserialize)]
struct TemplateText {
    template: String,
    fingerprint: String,
}

#[derive(Deserialize)]
struct PaperLine {
    candidate: String,
    number: u64,
    name: Option<String>,
    group: Option<String>,
    room: Option<String>,
    seat: Option<String>,
    needs: Vec<String>,
    paper: String,
    looks: String,
    questions: Vec<QuestionLine>,
}

#[derive(Deserialize)]
struct QuestionLine {
    question: usize,
    template: String,
    place: String,
    check: String,
}

fn parsed<'a, T: Deserialize<'a>>(text: &'a str, kind: &str) -> Result<T, String> {
    serde_json::from_str(text).map_err(|error| {
        let error = quoted(&error.to_string(), 200);
        format!(
            "expected {kind}, found something else ({error}); use the manifest as it was written"
        )
    })
}

fn damaged(expected: &str, found: &str) -> String {
    let found = quoted(found, 40);
    format!("expected {expected}, found `{found}`; use the manifest as it was written")
}

fn seed(text: &str) -> Option<Seed> {
    let mut bytes = [0; 32];
    if text.len() != 64 || !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return None;
    }
    for (n, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(text.get(2 * n..2 * n + 2)?, 16).ok()?;
    }
    Some(Seed::from_bytes(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_is_64_hexadecimal_digits_and_nothing_else() {
        let bytes: [u8; 32] = std::array::from_fn(|n| u8::try_from(7 * n).unwrap());
        let text: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(seed(&text), Some(Seed::from_bytes(bytes)));
        for text in [&text[1..], &format!("{text}0"), &"+1".repeat(32), &"é".repeat(32), ""] {
            assert_eq!(seed(text), None, "{text}");
        }
    }
}
