//! One question as an item.

use crate::marking::Settings;
use crate::problem::Block;

use super::interaction;
use super::scoring::asked::{Asked, Scoring};
use super::scoring::number::FEEDBACK;
use super::scoring::processing::{named, set};
use super::scoring::scoring;
use super::scoring::theory::{own_outcomes, total};
use super::solution::{AFTER, SOLUTION, solution};
use super::version::Version;
use super::xml::{Element, paragraph, plain, qti};
use crate::export::{CAUTION, Contents, Entry, MarkKind, Picture};

/// An item, and the drawing that belongs to it.
#[derive(Debug)]
pub(super) struct Item {
    /// Its identifier, under which its files are named.
    pub identifier: String,
    /// The document.
    pub document: Vec<u8>,
    /// The drawing as SVG.
    pub drawing: Option<String>,
}

impl Item {
    /// The file of the item.
    pub(super) fn file(&self) -> String {
        format!("items/{}.xml", self.identifier)
    }

    /// The file of its drawing.
    pub(super) fn drawing_file(&self) -> String {
        format!("items/{}.svg", self.identifier)
    }

    /// A question as an item.
    pub(super) fn of(
        entry: &Entry,
        (identifier, title): (String, String),
        (contents, rules): (Contents, &Settings),
        version: Version,
    ) -> Self {
        let picture = entry.drawing.as_ref().filter(|_| contents.solutions).and_then(Picture::of);
        let writer = Writer { entry, contents, rules };
        let drawing_file = format!("{identifier}.svg");
        let root = writer.item(picture.as_ref().map(|picture| (drawing_file.as_str(), picture)));
        let root = root.with("identifier", &identifier).with("title", &title);
        let document = root.in_version(version).document(version);
        let drawing = picture.map(|picture| drawing(&picture));
        Self { identifier, document, drawing }
    }
}

impl Element {
    /// The same as the root of a document of a version.
    pub(super) fn in_version(self, version: Version) -> Self {
        let words = version.words();
        self.with("xmlns", words.namespace)
            .with("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance")
            .with("xsi:schemaLocation", format!("{} {}", words.namespace, words.schema))
            .with("toolName", "castmark")
            .with("toolVersion", env!("CARGO_PKG_VERSION"))
    }
}

/// The drawing as a file of its own.
fn drawing(picture: &Picture<'_>) -> String {
    let svg = picture.svg("drawing");
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
        crate::export::writing::escape::plain(&svg)
    )
}

/// Writes one item.
struct Writer<'a> {
    entry: &'a Entry,
    contents: Contents,
    rules: &'a Settings,
}

impl Writer<'_> {
    fn asked(&self) -> impl Iterator<Item = Asked<'_>> {
        let parts = self.entry.parts.iter().enumerate();
        parts.map(|(index, part)| Asked {
            index,
            part,
            rules: self.rules,
            slips: &self.entry.slips,
            tells: self.contents.solutions,
        })
    }

    fn item(&self, drawing: Option<(&str, &Picture<'_>)>) -> Element {
        let with_key = self.contents.answers();
        let scorings: Vec<(Asked<'_>, Scoring)> =
            self.asked().map(|asked| (asked, scoring(&asked, with_key))).collect();
        let answers = scorings.iter().flat_map(|(_, scoring)| &scoring.answers);
        let mut said: Vec<&(String, String)> = Vec::new();
        for one in scorings.iter().flat_map(|(_, scoring)| &scoring.said) {
            if !said.iter().any(|(known, _)| *known == one.0) {
                said.push(one);
            }
        }
        let item = qti("assessmentItem")
            .with("adaptive", "false")
            .with("timeDependent", "false")
            .with("xml:lang", "en-GB")
            .children(answers.map(super::answer::Answer::declaration))
            .children(self.outcomes(&scorings, !said.is_empty()))
            .child(self.body(drawing));
        let processing = with_key.then(|| self.processing(scorings.iter()));
        item.children(processing).children(said.into_iter().map(|(id, words)| {
            qti("modalFeedback")
                .with("outcomeIdentifier", FEEDBACK)
                .with("identifier", id)
                .with("showHide", "show")
                .child(paragraph(words))
        }))
    }

    fn outcomes(&self, scorings: &[(Asked<'_>, Scoring)], says: bool) -> Vec<Element> {
        let by_hand = scorings.iter().any(|(_, scoring)| scoring.by_hand);
        let mut outcomes = vec![outcome("SCORE", self.entry.marks(), by_hand)];
        let whole = outcome("MAXSCORE", self.entry.marks(), false);
        outcomes.push(whole);
        for (asked, scoring) in scorings {
            outcomes.push(outcome(&asked.score(), asked.part.marks, scoring.by_hand));
            outcomes.extend(own_outcomes(asked).iter().filter(|_| !scoring.by_hand).map(|name| {
                qti("outcomeDeclaration")
                    .with("identifier", name)
                    .with("cardinality", "single")
                    .with("baseType", "integer")
                    .child(default("0"))
            }));
        }
        let named = |name: &str, cardinality: &str| {
            qti("outcomeDeclaration")
                .with("identifier", name)
                .with("cardinality", cardinality)
                .with("baseType", "identifier")
        };
        outcomes.extend(says.then(|| named(FEEDBACK, "multiple")));
        outcomes.extend(self.contents.solutions.then(|| named(SOLUTION, "single")));
        outcomes
    }

    /// The rules of the parts, then the sum.
    fn processing<'s>(&self, scorings: impl Iterator<Item = &'s (Asked<'s>, Scoring)>) -> Element {
        let mut scores = Vec::new();
        let mut processing = qti("responseProcessing");
        for (asked, scoring) in scorings {
            scores.push(asked.score());
            processing = processing.children(scoring.rules.iter().cloned());
        }
        if !scores.is_empty() {
            processing = processing.child(total(&scores));
        }
        let after = self.contents.solutions.then(|| set(SOLUTION, named(AFTER)));
        processing.children(after)
    }

    fn body(&self, drawing: Option<(&str, &Picture<'_>)>) -> Element {
        let entry = self.entry;
        let parts = entry.parts.iter().enumerate();
        let mut body = qti("itemBody").children(entry.stem.iter().map(block));
        body = body.children(
            parts.map(|(index, part)| interaction::part(part, index, &entry.part_letter(index))),
        );
        let mut rubric = qti("rubricBlock").with("view", "candidate").child(paragraph(CAUTION));
        if self.contents.solutions {
            rubric = rubric.child(plain("div").child(solution(entry, drawing)));
        }
        body.child(rubric).children(self.for_scorers())
    }

    /// What a person needs who marks written answers.
    fn for_scorers(&self) -> Option<Element> {
        if !self.contents.answers() {
            return None;
        }
        let lines: Vec<Element> = self
            .asked()
            .filter(|asked| scoring(asked, true).by_hand)
            .flat_map(|asked| &asked.part.key.scheme)
            .filter(|line| line.kind == MarkKind::Point)
            .map(|line| plain("li").text(&line.what))
            .collect();
        (!lines.is_empty()).then(|| {
            qti("rubricBlock")
                .with("view", "scorer")
                .child(paragraph("One mark for each of these points, up to the marks of the part:"))
                .child(plain("ul").children(lines))
        })
    }
}

/// A score, which is nothing at first.
pub(super) fn outcome(name: &str, most: u32, by_hand: bool) -> Element {
    let start = if name == "MAXSCORE" { most } else { 0 };
    let mut outcome = qti("outcomeDeclaration")
        .with("identifier", name)
        .with("cardinality", "single")
        .with("baseType", "float")
        .with("normalMaximum", most.to_string());
    if by_hand {
        outcome = outcome.with("externalScored", "human");
    }
    outcome.child(default(&start.to_string()))
}

fn default(value: &str) -> Element {
    qti("defaultValue").child(qti("value").text(value))
}

/// A block of the stem.
fn block(block: &Block) -> Element {
    match block {
        Block::Paragraph(text) => paragraph(text),
        Block::List(points) => {
            plain("ul").children(points.iter().map(|point| plain("li").text(point)))
        }
        Block::Table { head, rows } => {
            let cells = |name: &'static str, row: &[String]| {
                plain("tr")
                    .children(row.iter().map(|cell| plain(name).text(cell)).collect::<Vec<_>>())
            };
            plain("table")
                .child(plain("thead").child(cells("th", head)))
                .child(plain("tbody").children(rows.iter().map(|row| cells("td", row))))
        }
    }
}
