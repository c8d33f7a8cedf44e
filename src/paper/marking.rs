//! Marking the answers of a class.

use std::sync::Arc;

use crate::bank::{Bank, Blueprint, Template, parallel};
use crate::marking::{
    Account, AccountLine, Entry, Explanation, Finding, Item, Marked, Rule, Settings, Standing,
    Verdict, mark_paper,
};
use crate::marks::{Mark, Status};
use crate::problem::{Part, Problem, Response, letter};

use super::answers::PartIndex;
use super::{
    Answers, Candidate, HandMark, HandMarks, Paper, PaperAnswers, PaperCode, PaperProblem,
    PaperSet, StepMarks,
};

/// Marks papers against the set they belong to.
#[derive(Clone, Copy, Debug)]
pub struct ClassMarking<'a> {
    /// The bank.
    pub bank: &'a Bank,
    /// The blueprint with the templates of the set.
    pub blueprint: &'a Blueprint,
    /// The papers.
    pub set: &'a PaperSet,
    /// The rules of marking.
    pub settings: &'a Settings,
    /// The answers.
    pub answers: &'a Answers,
    /// The marks given by hand.
    pub hand: &'a HandMarks,
}

/// A marked paper.
#[derive(Clone, Debug)]
pub struct PaperMarks {
    /// Whose it is.
    pub candidate: Candidate,
    /// The code of the paper.
    pub code: PaperCode,
    /// Why there are no answers, if there are none; then there are no questions.
    pub status: Option<Status>,
    /// The questions as printed.
    pub questions: Vec<QuestionMarks>,
}

/// A marked question.
#[derive(Clone, Debug)]
pub struct QuestionMarks {
    /// Which of the questions of the blueprint, from 0.
    pub planned: usize,
    /// The template.
    pub template: Arc<Template>,
    /// Which problem of it.
    pub place: u128,
    /// The problem as the candidate had it.
    pub problem: Problem,
    /// The parts.
    pub parts: Vec<PartMarks>,
}

/// A marked part.
#[derive(Clone, Debug)]
pub struct PartMarks {
    /// The name of the part in its template.
    pub id: String,
    /// The question.
    pub ask: String,
    /// What was written; empty when nothing was.
    pub answer: String,
    /// How it stands.
    pub standing: Standing,
    /// The marks it has.
    pub marks: Mark,
    /// The marks it could have.
    pub of: u32,
    /// The marks the program gave; `None` for a written answer.
    pub by_program: Option<Mark>,
    /// How many of the marks of a numeric part are for method; `None` for a part of theory.
    pub method_of: Option<u32>,
    /// Whether it follows from an own wrong number.
    pub follows: bool,
    /// The rule that decided, with its words.
    pub rule: Option<(Rule, String)>,
    /// Whether that rule took marks or gave some back.
    pub rule_matters: bool,
    /// Why, in words.
    pub reasons: Vec<Explanation>,
    /// The steps of the working that were entered for it; they earn no marks of their own.
    pub steps: Vec<StepMarks>,
    /// The ids of the slips it shows.
    pub slips: Vec<String>,
    /// The options, where there are any.
    pub options: Option<Chosen>,
    /// The answer of the key, for whoever marks it; empty for a written answer.
    pub key: String,
    /// The points of a written answer, for whoever marks it.
    pub points: Vec<String>,
    /// The mark given by hand that holds.
    pub hand: Option<HandMark>,
}

/// The options of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// The letters chosen.
    pub chosen: Vec<String>,
    /// The texts of all options, in the order of their letters.
    pub texts: Vec<String>,
    /// The letters of the right ones.
    pub right: Vec<String>,
}

impl PaperMarks {
    /// All parts, in the order in which they are printed.
    pub fn parts(&self) -> impl Iterator<Item = &PartMarks> {
        self.questions.iter().flat_map(|question| &question.parts)
    }

    /// The marks of the paper so far.
    pub fn marks(&self) -> Mark {
        self.parts().map(|part| part.marks).sum()
    }

    /// The marks it could have.
    pub fn of(&self) -> u32 {
        self.parts().map(|part| part.of).sum()
    }

    /// How many parts stand like this.
    pub fn count(&self, standing: Standing) -> usize {
        self.parts().filter(|part| part.standing == standing).count()
    }
}

impl PartMarks {
    /// The marks for method and those for accuracy; `None` for a part of theory.
    pub fn method_and_accuracy(&self) -> Option<(Mark, Mark)> {
        let method = self.marks.min(Mark::whole(self.method_of?));
        Some((method, self.marks.difference(method)))
    }

    /// Whether somebody has to look at it: nobody has marked it yet, or it could not be read.
    pub fn waits(&self) -> bool {
        matches!(self.standing, Standing::ByHand | Standing::NotRead)
    }

    /// Whether two markers differ and nobody has settled it.
    pub fn is_unsettled(&self) -> bool {
        self.hand.as_ref().is_some_and(HandMark::is_unsettled)
    }
}

impl QuestionMarks {
    /// The marks of the question so far.
    pub fn marks(&self) -> Mark {
        self.parts.iter().map(|part| part.marks).sum()
    }

    /// The marks it could have.
    pub fn of(&self) -> u32 {
        self.parts.iter().map(|part| part.of).sum()
    }
}

impl ClassMarking<'_> {
    /// Marks these papers of the set, several at once. Each paper is made again first, and must come
    /// out as it was.
    ///
    /// # Errors
    /// For each paper that would be another now.
    pub fn mark(&self, papers: &[usize]) -> Vec<Result<PaperMarks, PaperProblem>> {
        parallel::each(papers, |index| self.paper(*index))
    }

    /// The ids of the templates that have changed since the papers were made. As long as the papers
    /// come out as they were, they can be marked.
    pub fn changed_templates(&self) -> Vec<&str> {
        let changed = |(id, fingerprint): &&(String, String)| {
            self.bank.find(id).is_none_or(|template| template.fingerprint != *fingerprint)
        };
        let mut ids: Vec<&str> =
            self.set.templates.iter().filter(changed).map(|(id, _)| id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        ids
    }

    fn paper(&self, index: usize) -> Result<PaperMarks, PaperProblem> {
        let paper = self.set.papers.get(index);
        let paper = paper.ok_or_else(|| PaperProblem::NoCandidate(index.to_string()))?;
        let problems = paper.problems(self.bank, self.blueprint, &self.set.made_by)?;
        let nothing = PaperAnswers::default();
        let answers = self.answers.papers.get(index).and_then(Option::as_ref);
        let said = self.answers.statuses.get(&index).copied();
        let none = answers.is_none() && !self.hand.has(index);
        let status = said.or_else(|| none.then_some(Status::Absent));
        let questions = if status.is_some() {
            Vec::new()
        } else {
            self.questions(index, paper, problems, answers.unwrap_or(&nothing))
        };
        Ok(PaperMarks { candidate: paper.candidate.clone(), code: paper.code, status, questions })
    }

    fn questions(
        &self,
        index: usize,
        paper: &Paper,
        problems: Vec<Problem>,
        answers: &PaperAnswers,
    ) -> Vec<QuestionMarks> {
        let entries: Vec<Vec<Entry<'_>>> = (0..problems.len())
            .map(|question| {
                let written = answers.of_question(question);
                let written = written.filter(|(_, answer)| !answer.trim().is_empty());
                written.map(|(item, answer)| Entry { item, answer }).collect()
            })
            .collect();
        let pairs: Vec<(&Problem, &[Entry<'_>])> =
            problems.iter().zip(entries.iter().map(Vec::as_slice)).collect();
        let marked = mark_paper(&pairs, self.settings);
        let hand = self.hand.of_paper(index);
        let given = |at: PartIndex| hand.get(&at).map(|mark| (*mark).clone());
        let mut questions = Vec::with_capacity(problems.len());
        for (number, (problem, marked)) in problems.into_iter().zip(&marked).enumerate() {
            let account = Account::of(&problem, self.bank, marked, self.settings);
            let parts = problem.parts.iter().enumerate().map(|(part, asked)| {
                let mut marks = part_marks(&problem, asked, part, marked, &account);
                if let Some(hand) = given((number, part)) {
                    if let Some(given) = hand.holds() {
                        marks.marks = given;
                        marks.standing = Standing::of_marks(given.halves(), 2 * marks.of);
                        marks.hand = Some(hand);
                    }
                }
                marks
            });
            let parts = parts.collect();
            questions.push(QuestionMarks {
                planned: paper.questions[number].planned,
                template: problem.template.clone(),
                place: paper.questions[number].place,
                problem,
                parts,
            });
        }
        questions
    }
}

/// A part as the program marks it.
fn part_marks(
    problem: &Problem,
    asked: &Part,
    index: usize,
    marked: &Marked,
    account: &Account,
) -> PartMarks {
    let mine = |item: Item| item == Item::Part(index);
    let verdict = marked.entries.iter().find(|entry| mine(entry.item)).map(|it| &it.verdict);
    let answer = marked.entries.iter().find(|entry| mine(entry.item)).map(|it| it.answer.trim());
    let line: Option<&AccountLine> = account.lines.iter().find(|line| mine(line.item));
    let marks = Mark::whole(verdict.map_or(0, Verdict::marks));
    let standing = verdict.map_or(Standing::Blank, Verdict::standing);
    let (method_of, points) = match &asked.response {
        Response::Number(key) => (Some(key.method_marks), Vec::new()),
        Response::Written(case) => {
            (None, case.points.iter().map(|point| point.text.clone()).collect())
        }
        _ => (None, Vec::new()),
    };
    let finding = verdict.map(|verdict| &verdict.finding);
    PartMarks {
        id: asked.id.clone(),
        ask: asked.ask.clone(),
        answer: answer.unwrap_or_default().to_owned(),
        standing,
        marks,
        of: asked.marks,
        by_program: (standing != Standing::ByHand).then_some(marks),
        method_of,
        follows: matches!(finding, Some(Finding::Follows(_))),
        rule: line.map(|line| (line.verdict.award.rule, line.rule_words.clone())),
        rule_matters: line.is_some_and(|line| line.rule_matters),
        reasons: line.map(|line| line.reasons.clone()).unwrap_or_default(),
        steps: StepMarks::of_part(problem, index, account),
        slips: finding.map(|finding| slips(problem, finding)).unwrap_or_default(),
        options: chosen(&asked.response, verdict),
        key: asked.response.answer(),
        points,
        hand: None,
    }
}

/// The ids of the slips that lead to an answer.
fn slips(problem: &Problem, finding: &Finding) -> Vec<String> {
    let slips = finding.slips().into_iter();
    slips.filter_map(|slip| problem.template.slips.get(slip)).map(|slip| slip.id.clone()).collect()
}

/// The options of a part and those that were chosen.
fn chosen(response: &Response, verdict: Option<&Verdict>) -> Option<Chosen> {
    let Response::Choice(key) = response else { return None };
    let right = key.right.iter().enumerate().filter(|(_, right)| **right);
    Some(Chosen {
        chosen: verdict.map(|verdict| verdict.understood.letters()).unwrap_or_default(),
        texts: key.options.iter().map(|option| option.text.clone()).collect(),
        right: right.map(|(index, _)| letter(index, 'A')).collect(),
    })
}
