//! The problem on the table gone through from its start: every question with the tries at it.

use crate::draw::Code;
use crate::practice::{
    Attempt, Exercise, Fade, Hint, Judged, Outcome, Phase, Question, Session, Unfinished,
};
use crate::problem::Problem;

use super::Page;
use super::fault::Fault;
use super::state::State;

/// The problem on the table, gone through from its start.
#[derive(Debug)]
pub(super) struct Replay {
    /// The exercise as far as it has come.
    pub(super) exercise: Exercise,
    /// The questions answered or passed so far.
    pub(super) done: Vec<Done>,
    /// What was tried and read at the question that is next.
    pub(super) open: Tried,
}

/// A question that is behind the student.
#[derive(Debug)]
pub(super) struct Done {
    /// The question.
    pub(super) question: Question,
    /// What was tried and read at it.
    pub(super) tried: Tried,
    /// The marks it earned.
    pub(super) earned: u32,
    /// Whether the student marked it by the key, and has so seen the answer.
    pub(super) by_points: bool,
}

/// The tries and hints at one question.
#[derive(Debug, Default)]
pub(super) struct Tried {
    /// The answers, each as it was judged.
    pub(super) answers: Vec<(String, Judged)>,
    /// The hints, each with the number of the try before which it was read, from 1.
    pub(super) hints: Vec<(Hint, usize)>,
    /// Whether the question was passed without a correct answer.
    pub(super) passed: bool,
}

impl Replay {
    /// The problem on the table; `None` when there is none, or the page no longer holds it.
    pub(super) fn of(page: &Page, state: &State) -> Result<Option<Self>, Fault> {
        let Some(session) = &state.session else { return Ok(None) };
        let Some(left) = session.left() else { return Ok(None) };
        let Ok(code) = Code::parse(&left.code) else { return Ok(None) };
        let Ok(problem) = Problem::from_code(&page.bank, &code) else { return Ok(None) };
        Self::through(page, session, left, problem).map(Some)
    }

    fn through(
        page: &Page,
        session: &Session,
        left: &Unfinished,
        problem: Problem,
    ) -> Result<Self, Fault> {
        let fade = Fade::with_missing(left.missing as usize);
        let mut replay = Self {
            exercise: Exercise::new(problem, Some(fade)).with_rules(&page.rules),
            done: Vec::new(),
            open: Tried::default(),
        };
        for attempt in &left.attempts {
            replay.attempt(page, attempt)?;
        }
        if let Some(written) = &left.written {
            replay.exercise.write(written);
        }
        if session.phase() != Phase::Between {
            replay.hints(page, left.hints)?;
        }
        Ok(replay)
    }

    fn attempt(&mut self, page: &Page, attempt: &Attempt) -> Result<(), Fault> {
        // Of two windows that worked at one problem, each is followed as far as it fits.
        if self.exercise.part().is_none_or(|part| part.id != attempt.part) {
            return Ok(());
        }
        self.hints(page, attempt.hints)?;
        let Some(question) = self.exercise.question() else { return Ok(()) };
        let marks = self.exercise.marks().0;
        let mut by_points = false;
        if attempt.answer.is_empty() {
            self.open.passed = true;
            self.exercise.pass();
        } else {
            let answer = attempt.answer.clone();
            let judged = match self.exercise.judge(&answer) {
                judged if judged.marked.outcome == Outcome::ForAPerson => {
                    by_points = true;
                    self.exercise.judge_by_points(&answer, attempt.marks)
                }
                judged => judged,
            };
            self.exercise.take(&answer, &judged);
            let again = judged.again;
            self.open.answers.push((answer, judged));
            if again {
                return Ok(());
            }
        }
        let tried = std::mem::take(&mut self.open);
        let earned = self.exercise.marks().0.saturating_sub(marks);
        self.done.push(Done { question, tried, earned, by_points });
        Ok(())
    }

    /// Reads hints until so many are read.
    fn hints(&mut self, page: &Page, count: u32) -> Result<(), Fault> {
        while self.exercise.hints() < count {
            let Some(hint) = self.exercise.hint(&page.bank)? else { break };
            self.exercise.read_hint(&hint);
            self.open.hints.push((hint, self.open.answers.len() + 1));
        }
        Ok(())
    }
}
