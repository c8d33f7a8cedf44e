//! What to show a student, as data: every face puts it in its own form.

use serde::{Deserialize, Serialize};

use crate::practice::{Ending, Outcome, Plan, Stage, Why};

/// One thing to show.
///
/// The stem, the options and the working are those of the problem on the table, which
/// [`Session::exercise`](super::Session::exercise) gives, or which its code rebuilds.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "show", content = "with", rename_all = "kebab-case")]
pub enum Shown {
    /// What there is to do today.
    Today(Today),
    /// The problem that was left unfinished is taken up again; so many tries at its question are used.
    Resumed {
        /// How many tries.
        tries: u32,
    },
    /// Another session on the record went on with the problem on the table, so that the event was not
    /// taken; what follows is the problem as it is there, or the next one where it is gone.
    Elsewhere {
        /// Whether it was ended or left there.
        ended: bool,
    },
    /// Which topic comes next and why.
    Coming(Coming),
    /// A problem: its stem, and the working as far as it is shown.
    Problem(ProblemShown),
    /// One question of it.
    Question(QuestionShown),
    /// A hint.
    Hint(HintShown),
    /// There is no further hint.
    NoHint,
    /// The answer is the same as the one before; no try was used.
    SameAnswer,
    /// What an answer comes to.
    Verdict(VerdictShown),
    /// The correct answer in words, with its reason.
    Answer {
        /// The lines.
        lines: Vec<String>,
    },
    /// The student is to mark the answer.
    Points(PointsShown),
    /// The steps of the example that follow the one asked, from one to before the other.
    Rest {
        /// The first step.
        from: usize,
        /// The step behind the last.
        to: usize,
    },
    /// The worked solution of the problem on the table.
    Solution,
    /// The problem has ended.
    Ended(EndedShown),
    /// The student stops.
    Over(End),
}

/// What there is to do today.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Today {
    /// The titles of the topics due for review.
    pub due: Vec<String>,
    /// The titles of the topics begun and not known.
    pub begun: Vec<String>,
    /// How many topics are known.
    pub known: usize,
    /// How many topics are new.
    pub new: usize,
    /// How many new topics were begun today.
    pub begun_today: usize,
    /// The plan for the exam.
    pub plan: Option<Plan>,
    /// The titles of the topics that the plan leaves out.
    pub left_out: Vec<String>,
}

/// Which topic comes next and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Coming {
    /// The id of the topic.
    pub topic: String,
    /// Its title.
    pub title: String,
    /// The name of its objective.
    pub objective: String,
    /// Why it was chosen; `None` where the student asked for it.
    pub why: Option<Why>,
}

/// A problem.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProblemShown {
    /// Its number in the session.
    pub number: u64,
    /// Its code.
    pub code: String,
    /// Its title.
    pub title: String,
    /// How many steps of the working are shown.
    pub shown: usize,
    /// The step among these whose result is left out for the student to find.
    pub blank: Option<usize>,
}

/// One question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct QuestionShown {
    /// The part of the problem.
    pub part: usize,
    /// How many parts the problem has.
    pub of: usize,
    /// How many tries at it are used.
    pub tries: u32,
}

/// A hint.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HintShown {
    /// Its number for this question.
    pub number: u32,
    /// The hint.
    pub text: String,
    /// Whether the problem counts as solved with help from now on.
    pub helps: bool,
}

/// What an answer comes to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct VerdictShown {
    /// The part answered.
    pub part: usize,
    /// The answer as typed.
    pub answer: String,
    /// How it is.
    pub outcome: Outcome,
    /// Which try it was.
    pub number: u32,
    /// The marks it earns.
    pub marks: u32,
    /// The marks it could earn.
    pub of: u32,
    /// Why.
    pub sentences: Vec<String>,
    /// Whether the same question may be answered once more.
    pub again: bool,
    /// Whether a later question may go on from the number.
    pub carries: bool,
}

/// What the student marks an answer by.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PointsShown {
    /// The answer.
    pub answer: String,
    /// The points, each worth a mark; for a word or two the answer of the key alone.
    pub points: Vec<String>,
    /// Whether the only point is the answer of the key, which says the same or not.
    pub is_model: bool,
}

/// How a problem ended.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct EndedShown {
    /// How.
    pub ending: Ending,
    /// Whether it was a whole problem and not an example with something left out.
    pub whole: bool,
    /// The marks of it.
    pub marks: u32,
    /// The marks it could have.
    pub of: u32,
    /// How far the student is with its topic now.
    #[serde(rename = "standing")]
    pub stage: Stage,
    /// The title of the topic.
    pub topic: String,
    /// In how many days it comes back; `None` while it is not known.
    pub review_in: Option<i64>,
    /// How many templates of the topic were not solved alone yet.
    pub templates_left: usize,
}

/// The end of a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct End {
    /// What was done.
    pub summary: Summary,
    /// Whether a problem was left that is kept for the next time.
    pub kept: bool,
}

/// What was done in a session.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// How many problems ended.
    pub ended: u64,
    /// How many of them were solved, alone or with help, examples among them.
    pub solved: u64,
    /// How many were whole problems solved alone.
    pub alone: u64,
}
