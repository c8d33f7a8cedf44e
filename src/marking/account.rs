//! An account of the marking of a problem, as plain data for whoever prints it.

use crate::bank::Bank;
use crate::problem::{Problem, Response, letter};
use crate::words::{out_of, worth};

use super::entry::{Item, Marked, MarkedEntry};
use super::{Explanation, Fault, Finding, Settings, Standing, Verdict, explain};

/// What was answered to a problem, what marks it has and why: for the one who answered and for a
/// second marker.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The code of the problem; empty for one without.
    pub code: String,
    /// The id of the template.
    pub template: String,
    /// Its title.
    pub title: String,
    /// The answers in the order of the parts.
    pub lines: Vec<AccountLine>,
    /// The marks of all of them.
    pub marks: u32,
    /// The marks they could have.
    pub of: u32,
}

impl Account {
    /// The marks for all answers in words; those that wait for a person are named apart.
    pub fn together(&self) -> String {
        let waits = |line: &&AccountLine| line.standing == Standing::ByHand;
        let by_hand: u32 = self.lines.iter().filter(waits).map(AccountLine::of_marks).sum();
        let marked = out_of(self.marks, self.of.saturating_sub(by_hand));
        match by_hand {
            0 => format!("Together {marked}."),
            by_hand if by_hand == self.of => format!("{} to be marked by hand.", worth(by_hand)),
            by_hand => format!("Together {marked}; {by_hand} more to be marked by hand."),
        }
    }
}

/// How many letters of an answer are quoted.
const QUOTED: usize = 40;

/// A text cut to what can be quoted, without characters that have no place on paper.
pub(crate) fn shortened(text: &str) -> String {
    let text: String = text.trim().chars().filter(|letter| !letter.is_control()).collect();
    match text.char_indices().nth(QUOTED) {
        Some((end, _)) => format!("{}\u{2026}", text[..end].trim_end()),
        None => text,
    }
}

/// One answer and its verdict in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountLine {
    /// What it belongs to.
    pub item: Item,
    /// The name of the part or step in its template.
    pub id: String,
    /// `(b)`, `step 2, base displaced`.
    pub label: String,
    /// The question; empty for a step.
    pub ask: String,
    /// What was written, without characters that have no place on paper.
    pub answer: String,
    /// The answer as it is quoted: cut where it is long.
    pub quoted: String,
    /// How it stands.
    pub standing: Standing,
    /// The rule that decided, in words.
    pub rule_words: String,
    /// Whether that rule took marks or gave some back.
    pub rule_matters: bool,
    /// Why, the most telling first.
    pub reasons: Vec<Explanation>,
    /// The verdict itself.
    pub verdict: Verdict,
    /// The points of a written answer, for whoever marks it.
    pub points: Vec<String>,
}

impl Account {
    /// The account of answers that were marked by these settings.
    pub fn of(problem: &Problem, bank: &Bank, marked: &Marked, settings: &Settings) -> Self {
        let line = |entry: &MarkedEntry| AccountLine::of(problem, bank, entry, settings);
        Self {
            code: problem.code.as_ref().map(ToString::to_string).unwrap_or_default(),
            template: problem.template.id.clone(),
            title: problem.template.title.clone(),
            lines: marked.entries.iter().map(line).collect(),
            marks: marked.marks(),
            of: marked.of(),
        }
    }
}

impl AccountLine {
    /// The account of one answer.
    pub fn of(problem: &Problem, bank: &Bank, entry: &MarkedEntry, settings: &Settings) -> Self {
        let verdict = &entry.verdict;
        let (id, label, ask) = named(problem, entry.item);
        let points = match entry.item {
            Item::Part(part) => match problem.parts.get(part).map(|part| &part.response) {
                Some(Response::Written(key)) => {
                    key.points.iter().map(|point| point.text.clone()).collect()
                }
                _ => Vec::new(),
            },
            Item::Step(_) => Vec::new(),
        };
        let award = &verdict.award;
        Self {
            item: entry.item,
            id,
            label,
            ask,
            answer: entry.answer.trim().chars().filter(|letter| !letter.is_control()).collect(),
            quoted: shortened(&entry.answer),
            standing: verdict.standing(),
            rule_words: award.rule.words(settings),
            rule_matters: award.marks < award.of || !award.forgiven.is_empty(),
            reasons: explain(problem, bank, entry.item, verdict, settings),
            verdict: verdict.clone(),
            points,
        }
    }

    /// What is to be said of it beyond how it stands.
    pub fn said(&self) -> impl Iterator<Item = &str> {
        self.reasons.iter().filter(|reason| reason.adds).map(|reason| reason.text.as_str())
    }

    /// How it stands, in words that own up to what a full mark passes over.
    pub fn standing_words(&self) -> &'static str {
        let forgiven = &self.verdict.award.forgiven;
        match &self.verdict.finding {
            _ if self.standing != Standing::Correct => self.standing.words(),
            Finding::Follows(_) => "correct for your earlier answer",
            Finding::Known(_) if forgiven.contains(&Fault::Unit) => "correct except for the unit",
            Finding::Known(_) => "accepted",
            _ => self.standing.words(),
        }
    }

    /// The rule that decided, where it took marks or gave some back.
    pub fn rule_said(&self) -> Option<&str> {
        let is_marked = !matches!(self.standing, Standing::ByHand | Standing::NotRead);
        (self.rule_matters && is_marked).then_some(self.rule_words.as_str())
    }

    /// The marks it earns.
    pub fn marks(&self) -> u32 {
        self.verdict.award.marks
    }

    /// The marks it could earn.
    pub fn of_marks(&self) -> u32 {
        self.verdict.award.of
    }
}

/// The id, the label and the question.
fn named(problem: &Problem, item: Item) -> (String, String, String) {
    match item {
        Item::Part(part) => {
            let known = problem.parts.get(part);
            let id = known.map(|part| part.id.clone()).unwrap_or_default();
            let label = format!("({})", letter(part, 'a'));
            (id, label, known.map(|part| part.ask.clone()).unwrap_or_default())
        }
        Item::Step(step) => {
            let template = &problem.template;
            let known = template.working.get(step).and_then(|one| template.names.get(one.slot));
            let id = known.map(|name| name.name.clone()).unwrap_or_default();
            let label = known.map_or("", |name| name.label.as_str());
            (id, format!("step {}, {label}", step + 1), String::new())
        }
    }
}
