//! One session of practice as a state machine: an event goes in, and what to show comes out.
//!
//! The machine knows nothing of terminals or pages. Its state is plain data that the caller may keep
//! as JSON between two events, the attempts are in a [`Record`], and the moment is handed in. Each
//! face (the prompt, a page) passes the events on and shows what comes back.

mod event;
mod shown;
mod starting;
mod asking;
mod words;
#[cfg(test)]
mod tests;

pub use event::Event;
pub use shown::{
    Coming, End, EndedShown, HintShown, PointsShown, ProblemShown, QuestionShown, Shown, Summary,
    Today, VerdictShown,
};

pub use words::some_of;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::bank::{Bank, Heading, Objective};
use crate::draw::{Code, CodeProblem};
use crate::marking;
use crate::problem::{DrawProblem, Problem, WorkProblem};

use super::{Exercise, Record, RecordError, Settings, Subject, USUAL_PACE, Unfinished, day_of};

/// What a student wants to practise.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wish {
    /// The objective, by name; all of them without one.
    pub objective: Option<String>,
    /// The topic, by id.
    pub topic: Option<String>,
    /// The template, by id.
    pub template: Option<String>,
    /// Whether whole problems are asked from the start, without worked examples.
    pub whole: bool,
    /// The day of an exam, in days since 1970-01-01.
    pub exam: Option<i64>,
    /// A number that chooses the problems; the same number and record give the same problems.
    pub seed: u64,
}

/// The state of a session, as plain data.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Session {
    wish: Wish,
    /// How many attempts the record had when the session began.
    answered: u64,
    /// How many problems were drawn.
    drawn: u64,
    /// How many problems were shown.
    number: u64,
    /// How many problems there were since the last new topic.
    since_new: u32,
    /// The topics that were skipped, the last of them behind.
    skipped: Vec<String>,
    /// How many problems a day the student solves.
    pace: usize,
    /// How many problems ended, how many of these were solved, and how many were whole problems
    /// solved alone.
    counts: Summary,
    /// The problem that is on the table, and what was answered so far.
    current: Option<Unfinished>,
    phase: Phase,
}

/// What the session waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// The start.
    Fresh,
    /// An answer to the question asked.
    Asking,
    /// The student's own marking of the answer given.
    Points,
    /// A word to go on to the next question: the correct answer was shown.
    Reading,
    /// A word to go on to the next problem: this one has ended.
    Between,
    /// Nothing: the student has stopped.
    Over,
}

/// What a session works with besides its own state.
pub struct Room<'a> {
    /// The bank.
    pub bank: &'a Bank,
    /// The settings.
    pub settings: &'a Settings,
    /// The rules of marking.
    pub rules: &'a marking::Settings,
    /// The record.
    pub record: &'a mut dyn Record,
    /// The moment, in seconds since 1970-01-01 UTC.
    pub at: i64,
}

impl fmt::Debug for Room<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Room").field("at", &self.at).finish_non_exhaustive()
    }
}

impl Room<'_> {
    fn day(&self) -> i64 {
        day_of(self.at)
    }
}

/// Why an event led to nothing; the session is then as it was before.
#[derive(Debug)]
pub enum SessionProblem {
    /// The record could not be read or written.
    Record(RecordError),
    /// A text is no code of a problem.
    Code(CodeProblem),
    /// A problem could not be drawn.
    Draw(DrawProblem),
    /// A sentence of the template could not be filled in.
    Work(WorkProblem),
    /// The bank has nothing of what is wished for.
    NothingToPractise,
}

impl fmt::Display for SessionProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Record(problem) => problem.fmt(f),
            Self::Code(problem) => problem.fmt(f),
            Self::Draw(problem) => problem.fmt(f),
            Self::Work(problem) => problem.fmt(f),
            Self::NothingToPractise => f.write_str(
                "the bank has no template of what was asked for; `castmark bank list` shows all",
            ),
        }
    }
}

impl std::error::Error for SessionProblem {}

impl From<RecordError> for SessionProblem {
    fn from(problem: RecordError) -> Self {
        Self::Record(problem)
    }
}

impl From<CodeProblem> for SessionProblem {
    fn from(problem: CodeProblem) -> Self {
        Self::Code(problem)
    }
}

impl From<DrawProblem> for SessionProblem {
    fn from(problem: DrawProblem) -> Self {
        Self::Draw(problem)
    }
}

impl From<WorkProblem> for SessionProblem {
    fn from(problem: WorkProblem) -> Self {
        Self::Work(problem)
    }
}

impl Session {
    /// A session that has not begun; its first event is [`Event::Start`].
    pub fn new(wish: Wish) -> Self {
        Self {
            wish,
            answered: 0,
            drawn: 0,
            number: 0,
            since_new: 0,
            skipped: Vec::new(),
            pace: USUAL_PACE,
            counts: Summary::default(),
            current: None,
            phase: Phase::Fresh,
        }
    }

    /// Takes an event and returns what to show. An event that does not fit the phase shows nothing. One
    /// at a problem that was gone on with in another session on the record is not taken either; the
    /// problem is shown as it is there.
    ///
    /// Whatever is recorded is safe before anything is returned.
    ///
    /// # Errors
    /// Returns an error if the record cannot be used or nothing can be drawn; the session is then as
    /// it was, so that the event can be tried again.
    pub fn take(
        &mut self,
        event: &Event,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let mut next = self.clone();
        let shown = match (self.phase, event) {
            (Phase::Over, _) => Vec::new(),
            (_, Event::Open(code)) => next.open(code, room)?,
            (Phase::Fresh, _) => next.start(room)?,
            (_, Event::Stop) => vec![next.stop()],
            (Phase::Between, event) => next.between(event, room)?,
            (_, event) => match next.overtaken(room)? {
                Some(shown) => shown,
                None => next.during(event, room)?,
            },
        };
        *self = next;
        Ok(shown)
    }

    /// What the session waits for.
    pub fn phase(&self) -> Phase {
        self.phase
    }

    /// What has been done so far.
    pub fn summary(&self) -> Summary {
        self.counts
    }

    /// The problem on the table as it is kept; `None` before the first.
    pub fn left(&self) -> Option<&Unfinished> {
        self.current.as_ref()
    }

    /// How many problems were shown.
    pub fn number(&self) -> u64 {
        self.number
    }

    /// The problem on the table as far as it was answered; `None` between two problems and when the
    /// bank no longer has it.
    pub fn exercise(&self, bank: &Bank, rules: &marking::Settings) -> Option<Exercise> {
        let left = self.current.as_ref()?;
        let problem = problem_of(bank, &left.code)?;
        Some(Exercise::resume_by(problem, left, rules))
    }

    /// Whether a template is among what is practised.
    fn wants(&self, template: &Heading) -> bool {
        let fits = |wish: &Option<String>, found: &str| wish.as_ref().is_none_or(|id| id == found);
        fits(&self.wish.objective, template.objective.name())
            && fits(&self.wish.topic, &template.topic)
            && fits(&self.wish.template, &template.id)
    }

    fn subjects(&self, bank: &Bank) -> Vec<Subject> {
        Subject::all(bank, |template| self.wants(template))
    }

    fn stop(&mut self) -> Shown {
        let kept = matches!(self.phase, Phase::Asking | Phase::Points | Phase::Reading);
        self.phase = Phase::Over;
        Shown::Over(End { summary: self.counts, kept })
    }
}

/// The problem of a code; `None` when the bank has changed since.
fn problem_of(bank: &Bank, code: &str) -> Option<Problem> {
    let code = Code::parse(code).ok()?;
    Problem::from_code(bank, &code).ok()
}

impl Wish {
    /// The wish for one objective.
    pub fn objective(objective: Objective) -> Self {
        Self { objective: Some(objective.name().to_owned()), ..Self::default() }
    }
}
