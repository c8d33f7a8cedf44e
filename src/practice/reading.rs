//! What practice needs to know of a verdict of marking; the only place here that reads one.

use crate::bank::Bank;
use crate::marking::{Entry, Item, Settings, Standing, Understood, Verdict, explain, mark_problem};
use crate::problem::{Problem, Response};

/// How an answer is, as far as practice is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// It earns all marks.
    Correct,
    /// It earns some of them.
    PartlyCorrect,
    /// It earns none.
    NotCorrect,
    /// It could not be read, so it counts as not given.
    NotRead,
    /// A person has to decide: the student, in practice.
    ForAPerson,
}

/// An answer that was marked.
#[derive(Clone, Debug)]
pub struct Marked {
    /// How it is.
    pub outcome: Outcome,
    /// The marks it earns.
    pub marks: u32,
    /// The marks it could earn.
    pub of: u32,
    /// The slips that fit it, as indices into the slips of the template.
    pub slips: Vec<usize>,
    /// The options that were chosen and are wrong, by index.
    pub wrong_options: Vec<usize>,
    /// The verdict and the part it is on; none for what the student marked.
    verdict: Option<(usize, Verdict)>,
    /// The rules it was marked by.
    rules: Settings,
}

impl Marked {
    /// Marks the last of the answers, each with the part it belongs to, with those before it.
    pub(super) fn mark(problem: &Problem, answers: &[(usize, &str)], rules: &Settings) -> Self {
        let part = answers.last().map_or(usize::MAX, |(part, _)| *part);
        let entries: Vec<Entry<'_>> = answers
            .iter()
            .map(|(part, answer)| Entry { item: Item::Part(*part), answer })
            .collect();
        let mut marked = mark_problem(problem, &entries, rules).entries.into_iter();
        let verdict = marked.rfind(|entry| entry.item == Item::Part(part));
        let marked = verdict.map(|entry| Self::of(entry.verdict, problem, part));
        Self { rules: rules.clone(), ..marked.unwrap_or_else(Self::nothing) }
    }

    /// What follows from so many points that the student found in an answer.
    pub(super) fn by_points(problem: &Problem, part: usize, answer: &str, points: u32) -> Self {
        let of = problem.parts.get(part).map_or(0, |part| part.marks);
        Self::of(Verdict::of_points(answer, points, of), problem, part)
    }

    fn nothing() -> Self {
        Self {
            outcome: Outcome::NotRead,
            marks: 0,
            of: 0,
            slips: Vec::new(),
            wrong_options: Vec::new(),
            verdict: None,
            rules: Settings::default(),
        }
    }

    fn of(verdict: Verdict, problem: &Problem, part: usize) -> Self {
        let outcome = match verdict.standing() {
            Standing::Correct => Outcome::Correct,
            Standing::PartlyCorrect => Outcome::PartlyCorrect,
            Standing::NotCorrect => Outcome::NotCorrect,
            Standing::NotRead | Standing::Blank => Outcome::NotRead,
            Standing::ByHand => Outcome::ForAPerson,
        };
        let response = problem.parts.get(part).map(|part| &part.response);
        let wrong_options = match (response, &verdict.understood) {
            (Some(Response::Choice(key)), Understood::Options(chosen)) => {
                let wrong = |index: &&usize| key.right.get(**index) == Some(&false);
                chosen.iter().filter(wrong).copied().collect()
            }
            _ => Vec::new(),
        };
        Self {
            outcome,
            marks: verdict.marks(),
            of: verdict.of(),
            slips: verdict.finding.slips(),
            wrong_options,
            verdict: Some((part, verdict)),
            rules: Settings::default(),
        }
    }

    /// The verdict of marking; for points that the student marked, the verdict made of them.
    pub fn verdict(&self) -> Option<&Verdict> {
        self.verdict.as_ref().map(|(_, verdict)| verdict)
    }

    /// Whether it earns all marks.
    pub fn is_correct(&self) -> bool {
        self.outcome == Outcome::Correct
    }

    /// Why, in sentences for the student. Of a correct answer only what goes beyond that is said.
    pub fn sentences(&self, problem: &Problem, bank: &Bank) -> Vec<String> {
        let Some((part, verdict)) = &self.verdict else { return Vec::new() };
        let said = explain(problem, bank, Item::Part(*part), verdict, &self.rules);
        let wanted = said.into_iter().filter(|one| one.adds || !self.is_correct());
        wanted.map(|one| one.text).collect()
    }
}
