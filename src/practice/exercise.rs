//! One problem being practised.

use crate::bank::Point;
use crate::marking;
use crate::problem::{Part, Problem, Response};

use super::question::{Question, questions};
use super::{Attempt, Ending, Fade, Hint, Marked, Outcome, Unfinished};

/// How often one question may be answered.
const MOST_TRIES: u32 = 2;

/// One problem being practised: which of its questions are asked, and how far the student is.
///
/// Nothing here reads or writes; whoever leads the student through it has an answer judged, records
/// the [`Attempt`], and only then takes it on and shows the verdict.
#[derive(Clone, Debug)]
pub struct Exercise {
    /// The problem.
    pub problem: Problem,
    luck: u32,
    steps: usize,
    missing: usize,
    questions: Vec<Question>,
    at: usize,
    tries: u32,
    hints: u32,
    /// The better marks of the tries at the question that is next.
    best: u32,
    /// What was wrong in the last try at it.
    wrong_options: Vec<usize>,
    answers: Vec<(usize, String)>,
    written: Option<String>,
    given: u32,
    ending: Ending,
    rules: marking::Settings,
}

/// An answer that was judged and not yet taken on.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What was found of it.
    pub marked: Marked,
    /// Whether the same question may be answered once more.
    pub again: bool,
    /// How the problem ended, if this ends it.
    pub ended: Option<Ending>,
}

impl Exercise {
    /// An exercise on a problem with as much of the working shown as the fade says. A fade of `None`
    /// shows nothing.
    pub fn new(problem: Problem, fade: Option<Fade>) -> Self {
        let steps = problem.template.working.len();
        let missing = fade.map_or(steps, |fade| fade.missing().min(steps));
        let number = problem.code.as_ref().map_or(0, |code| code.number);
        let questions = questions(&problem.template, missing, number);
        // Where no part is answered by a step, there is no example to be made of the working.
        let missing =
            if questions.iter().all(|each| each.step.is_none()) { steps } else { missing };
        Self {
            problem,
            luck: 0,
            steps,
            missing,
            questions,
            at: 0,
            tries: 0,
            hints: 0,
            best: 0,
            wrong_options: Vec::new(),
            answers: Vec::new(),
            written: None,
            given: 0,
            ending: Ending::Alone,
            rules: marking::Settings::default(),
        }
    }

    /// The same with answers marked by these rules.
    #[must_use]
    pub fn with_rules(self, rules: &marking::Settings) -> Self {
        Self { rules: rules.clone(), ..self }
    }

    /// The same with the chance, in a thousand, that blind guessing solves the problem.
    #[must_use]
    pub fn with_luck(self, luck: u32) -> Self {
        Self { luck, ..self }
    }

    /// Goes on with an exercise that was left.
    pub fn resume_by(problem: Problem, left: &Unfinished, rules: &marking::Settings) -> Self {
        let fade = Fade::with_missing(left.missing as usize);
        let mut exercise = Self::new(problem, Some(fade)).with_rules(rules);
        for attempt in &left.attempts {
            // Of two processes that worked at one problem, each is followed as far as it fits.
            if exercise.part().is_none_or(|part| part.id != attempt.part) {
                continue;
            }
            exercise.set_hints(attempt.hints);
            if attempt.answer.is_empty() {
                exercise.pass();
            } else {
                let judged = match exercise.judge(&attempt.answer) {
                    judged if judged.marked.outcome == Outcome::ForAPerson => {
                        exercise.judge_by_points(&attempt.answer, attempt.marks)
                    }
                    judged => judged,
                };
                exercise.take(&attempt.answer, &judged);
            }
        }
        exercise.set_hints(exercise.hints.max(left.hints));
        exercise.written.clone_from(&left.written);
        exercise
    }

    /// How many steps at the end of the working the student has to do.
    pub fn missing(&self) -> usize {
        self.missing
    }

    /// How many steps of the working are shown before the first question.
    pub fn shown(&self) -> usize {
        if self.is_whole() { 0 } else { self.questions.first().map_or(0, |first| first.from) }
    }

    /// Whether the student has to do the whole problem.
    pub fn is_whole(&self) -> bool {
        self.missing >= self.steps
    }

    /// Whether the whole example is shown and one of its results asked for: the step.
    pub fn blank(&self) -> Option<usize> {
        let first = self.questions.first()?;
        if self.missing == 0 && !self.is_whole() { first.step } else { None }
    }

    /// The questions asked.
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    /// The question that is next; `None` when all were asked.
    pub fn question(&self) -> Option<Question> {
        self.questions.get(self.at).copied()
    }

    /// The part of the problem that is asked next.
    pub fn part(&self) -> Option<&Part> {
        self.problem.parts.get(self.question()?.part)
    }

    /// The points by which the student marks the next answer, if it is a written one.
    pub fn points(&self) -> Option<&[Point]> {
        match &self.part()?.response {
            Response::Written(key) => Some(&key.points),
            _ => None,
        }
    }

    /// The answer that was given and waits for the student to mark it.
    pub fn written(&self) -> Option<&str> {
        self.written.as_deref()
    }

    /// Keeps an answer until the student has marked it.
    pub fn write(&mut self, answer: &str) {
        self.written = Some(answer.to_owned());
    }

    /// Whether any question was answered or passed.
    pub fn is_begun(&self) -> bool {
        self.at > 0 || self.tries > 0
    }

    /// How often the question that is next was answered already.
    pub fn tries(&self) -> u32 {
        self.tries
    }

    /// The last answer to the question that is next.
    pub fn last_answer(&self) -> Option<&str> {
        let part = self.question()?.part;
        let last = self.answers.last().filter(|(other, _)| *other == part && self.tries > 0)?;
        Some(&last.1)
    }

    /// How many hints were read for the question that is next.
    pub fn hints(&self) -> u32 {
        self.hints
    }

    /// The options that the last try at the question chose and that are wrong.
    pub(super) fn wrong_options(&self) -> &[usize] {
        &self.wrong_options
    }

    /// The marks given so far, and those to be had.
    pub fn marks(&self) -> (u32, u32) {
        let parts = self.questions.iter().filter_map(|each| self.problem.parts.get(each.part));
        (self.given, parts.map(|part| part.marks).sum())
    }

    /// Counts a hint as read.
    pub fn read_hint(&mut self, hint: &Hint) {
        self.hints += 1;
        if hint.helps {
            self.ending = self.ending.min(Ending::Helped);
        }
    }

    /// Counts so many hints as read. The first hint towards a number gives nothing away.
    fn set_hints(&mut self, hints: u32) {
        self.hints = hints;
        let free = u32::from(self.question().is_some_and(|question| question.step.is_some()));
        if hints > free {
            self.ending = self.ending.min(Ending::Helped);
        }
    }

    /// Marks an answer to the question that is next, with the answers given before.
    pub fn judge(&self, answer: &str) -> Judged {
        let part = self.question().map_or(usize::MAX, |question| question.part);
        let mut answers: Vec<(usize, &str)> =
            self.answers.iter().map(|(part, answer)| (*part, answer.as_str())).collect();
        answers.retain(|(other, _)| *other != part);
        answers.push((part, answer));
        self.judged(Marked::mark(&self.problem, &answers, &self.rules), false)
    }

    /// What follows from so many points that the student found in the answer.
    pub fn judge_by_points(&self, answer: &str, points: u32) -> Judged {
        let part = self.question().map_or(usize::MAX, |question| question.part);
        self.judged(Marked::by_points(&self.problem, part, answer, points), true)
    }

    /// What follows from an answer; after `seen` the student has seen the answer of the key.
    fn judged(&self, marked: Marked, seen: bool) -> Judged {
        let waits = matches!(marked.outcome, Outcome::NotRead | Outcome::ForAPerson);
        // A second answer to one of two could only be the other one. The reason of a statement rightly
        // called true or false can still be found.
        let of_two = self.part().is_some_and(|part| match &part.response {
            Response::Judgement(_) => marked.outcome != Outcome::PartlyCorrect,
            Response::Verdict(key) => key.options.len() <= 2,
            Response::Choice(key) => key.options.len() <= 2,
            _ => false,
        });
        let once = seen || of_two;
        let again = waits || !once && !marked.is_correct() && self.tries + 1 < MOST_TRIES;
        let ends = !again && self.at + 1 >= self.questions.len();
        let ended = ends.then(|| self.ending_after(&marked));
        Judged { marked, again, ended }
    }

    /// How the problem ends if the question that is next ends with this.
    fn ending_after(&self, marked: &Marked) -> Ending {
        let this = match (marked.is_correct(), self.tries) {
            (false, _) => Ending::NotSolved,
            (true, 0) => Ending::Alone,
            (true, _) => Ending::Helped,
        };
        self.ending.min(this)
    }

    /// Takes an answer on. One that could not be read is as if it had not been given.
    pub fn take(&mut self, answer: &str, judged: &Judged) {
        let Some(question) = self.question() else { return };
        if matches!(judged.marked.outcome, Outcome::NotRead | Outcome::ForAPerson) {
            return;
        }
        self.answers.retain(|(part, _)| *part != question.part);
        self.answers.push((question.part, answer.to_owned()));
        self.best = self.best.max(judged.marked.marks);
        if judged.again {
            self.tries += 1;
            self.wrong_options.clone_from(&judged.marked.wrong_options);
        } else {
            self.ending = self.ending_after(&judged.marked);
            self.move_on();
        }
    }

    /// Leaves the question that is next without a correct answer.
    pub fn pass(&mut self) {
        self.ending = Ending::NotSolved;
        self.move_on();
    }

    /// Leaves all questions.
    pub fn give_up(&mut self) {
        self.ending = Ending::NotSolved;
        self.given += self.best;
        self.at = self.questions.len();
    }

    /// The attempt to be recorded for a judged answer.
    pub fn attempt(&self, at: i64, answer: &str, judged: &Judged) -> Attempt {
        let marked = &judged.marked;
        let slips = marked.slips.iter().filter_map(|slip| self.problem.template.slips.get(*slip));
        Attempt {
            right: marked.is_correct(),
            marks: marked.marks,
            slips: slips.map(|slip| slip.id.clone()).collect(),
            answer: answer.to_owned(),
            ended: judged.ended,
            ..self.passed(at, false)
        }
    }

    /// The attempt to be recorded for a question left without a correct answer, or for all that are
    /// left when the whole problem is given up.
    pub fn passed(&self, at: i64, whole: bool) -> Attempt {
        let template = &self.problem.template;
        let part = self.part();
        let ends = whole || self.at + 1 >= self.questions.len();
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Attempt {
            at,
            objective: template.objective.name().to_owned(),
            topic: template.topic.clone(),
            template: template.id.clone(),
            code: self.problem.code.as_ref().map(ToString::to_string).unwrap_or_default(),
            part: part.map(|part| part.id.clone()).unwrap_or_default(),
            answer: String::new(),
            right: false,
            marks: 0,
            of: part.map_or(0, |part| part.marks),
            slips: Vec::new(),
            hints: self.hints,
            missing: count(self.missing),
            steps: count(self.steps),
            luck: self.luck,
            ended: ends.then_some(Ending::NotSolved),
        }
    }

    fn move_on(&mut self) {
        let done = self.question().and_then(|question| question.step);
        self.at += 1;
        self.written = None;
        self.tries = 0;
        self.hints = 0;
        self.given += std::mem::take(&mut self.best);
        self.wrong_options.clear();
        // Hints go on behind the step that was just asked about.
        let next = self.questions.get_mut(self.at);
        if let (Some(done), Some(next)) = (done, next) {
            if next.step.is_some_and(|step| step > done) {
                next.from = next.from.max(done + 1);
            }
        }
    }
}

#[cfg(test)]
mod tests;
