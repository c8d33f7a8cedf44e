//! Answering the questions of a problem, and what follows its end.

use std::sync::Arc;

use super::shown::EndedShown;
use super::starting::{ask, exercise};
use super::{
    Event, HintShown, Phase, PointsShown, Room, Session, SessionProblem, Shown, VerdictShown,
};
use crate::practice::{
    Attempt, Ending, Exercise, Judged, Outcome, Stage, Subject, answer_in_words,
};

/// So many skipped topics are set aside; the one skipped first comes again then.
const MOST_SKIPPED: usize = 5;

impl Session {
    /// Takes an event while a problem is on the table.
    pub(super) fn during(
        &mut self,
        event: &Event,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let Some(left) = &self.current else { return Ok(Vec::new()) };
        let mut exercise = exercise(left, room)?;
        match (self.phase, event) {
            (_, Event::Question | Event::Start) => Ok(self.present(&exercise)),
            (_, Event::Solution) => {
                self.give_up(&mut exercise, room)?;
                let mut shown = vec![Shown::Solution];
                shown.extend(self.end(&exercise, Ending::NotSolved, room)?);
                Ok(shown)
            }
            (_, Event::Skip) => self.leave(exercise, None, room),
            (_, Event::NewNumbers) => {
                let template = Arc::clone(&exercise.problem.template);
                self.leave(exercise, Some(template), room)
            }
            (Phase::Reading, Event::GoOn) => {
                self.phase = Phase::Asking;
                Ok(ask(&exercise).into_iter().collect())
            }
            (Phase::Asking, Event::Hint) => self.hint(&mut exercise, room),
            (Phase::Asking | Phase::Points, Event::Pass) => self.pass(&mut exercise, room),
            (Phase::Asking, Event::Answer(answer)) => self.answer(exercise, answer, room),
            (Phase::Points, Event::Points(made)) => self.points(exercise, made, room),
            _ => Ok(Vec::new()),
        }
    }

    /// Takes an event after the end of a problem.
    pub(super) fn between(
        &mut self,
        event: &Event,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        match event {
            Event::GoOn | Event::Skip | Event::Pass => self.next_problem(None, room),
            Event::Solution => Ok(vec![Shown::Solution]),
            Event::NewNumbers => {
                let exercise = self.exercise(room.bank, room.rules);
                let template = exercise.map(|each| Arc::clone(&each.problem.template));
                self.next_problem(template, room)
            }
            Event::Question => Ok(self
                .exercise(room.bank, room.rules)
                .map(|each| self.present(&each))
                .unwrap_or_default()),
            Event::Start
            | Event::Open(_)
            | Event::Answer(_)
            | Event::Points(_)
            | Event::Hint
            | Event::Stop => Ok(Vec::new()),
        }
    }

    fn hint(
        &mut self,
        exercise: &mut Exercise,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let Some(hint) = exercise.hint(room.bank)? else { return Ok(vec![Shown::NoHint]) };
        exercise.read_hint(&hint);
        let number = exercise.hints();
        if let Some(left) = &mut self.current {
            room.record.note_hints(&left.code, number)?;
            left.hints = number;
        }
        Ok(vec![Shown::Hint(HintShown { number, text: hint.text, helps: hint.helps })])
    }

    /// Marks an answer, records it, and only then shows what it comes to.
    fn answer(
        &mut self,
        mut exercise: Exercise,
        answer: &str,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let same = |last: &str| last.trim().eq_ignore_ascii_case(answer.trim());
        if exercise.last_answer().is_some_and(same) {
            return Ok(vec![Shown::SameAnswer]);
        }
        let judged = exercise.judge(answer);
        match judged.marked.outcome {
            Outcome::NotRead => Ok(vec![verdict(&exercise, answer, &judged, room)]),
            Outcome::ForAPerson => {
                if let Some(left) = &mut self.current {
                    room.record.note_written(&left.code, answer)?;
                    left.written = Some(answer.to_owned());
                }
                self.phase = Phase::Points;
                Ok(vec![Shown::Points(points(&exercise, answer))])
            }
            _ => self.conclude(&mut exercise, answer, &judged, room),
        }
    }

    /// Takes the student's own marking of an answer.
    fn points(
        &mut self,
        mut exercise: Exercise,
        made: &[bool],
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let answer = exercise.written().unwrap_or_default().to_owned();
        let shown = points(&exercise, &answer);
        if made.len() != shown.points.len() {
            return Ok(vec![Shown::Points(shown)]);
        }
        let count = u32::try_from(made.iter().filter(|made| **made).count()).unwrap_or(0);
        // A word or two is right or not, whatever it is worth.
        let of = exercise.part().map_or(0, |part| part.marks);
        let judged =
            exercise.judge_by_points(&answer, if shown.is_model { count * of } else { count });
        self.conclude(&mut exercise, &answer, &judged, room)
    }

    /// Records a judged answer, then shows the verdict and what follows from it: a hint for the second
    /// try, the correct answer after the last, the next question or the end.
    fn conclude(
        &mut self,
        exercise: &mut Exercise,
        answer: &str,
        judged: &Judged,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let attempt = exercise.attempt(room.at, answer, judged);
        self.add(attempt, room)?;
        let mut shown = vec![verdict(exercise, answer, judged, room)];
        let question = exercise.question();
        exercise.take(answer, judged);
        if judged.again {
            if exercise.hints() == 0 {
                let hint = self.hint(exercise, room)?;
                shown.extend(hint.into_iter().filter(|hint| *hint != Shown::NoHint));
            }
            return Ok(shown);
        }
        // Who marked the answer has seen that of the key.
        let seen = self.phase == Phase::Points;
        self.phase = Phase::Asking;
        if let Some(question) = question.filter(|_| !judged.marked.is_correct() && !seen) {
            let lines =
                answer_in_words(&exercise.problem, question.part, question.step, room.bank)?;
            shown.push(Shown::Answer { lines });
            if judged.ended.is_none() {
                self.phase = Phase::Reading;
                return Ok(shown);
            }
        }
        match judged.ended {
            Some(ending) => shown.extend(self.end(exercise, ending, room)?),
            None => shown.extend(ask(exercise)),
        }
        Ok(shown)
    }

    /// Leaves a question; its correct answer is shown.
    fn pass(
        &mut self,
        exercise: &mut Exercise,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let Some(question) = exercise.question() else { return Ok(Vec::new()) };
        let attempt = exercise.passed(room.at, false);
        let ended = attempt.ended;
        self.add(attempt, room)?;
        exercise.pass();
        let lines = answer_in_words(&exercise.problem, question.part, question.step, room.bank)?;
        let mut shown = vec![Shown::Answer { lines }];
        match ended {
            Some(ending) => shown.extend(self.end(exercise, ending, room)?),
            None => self.phase = Phase::Reading,
        }
        Ok(shown)
    }

    /// Leaves the problem for another; one that was not begun says nothing of the student.
    fn leave(
        &mut self,
        mut exercise: Exercise,
        same: Option<Arc<crate::bank::Template>>,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        if exercise.is_begun() || exercise.written().is_some() {
            self.give_up(&mut exercise, room)?;
            self.count(&exercise, Ending::NotSolved);
        } else if let Some(left) = &self.current {
            room.record.leave(&left.code)?;
        }
        if same.is_none() {
            self.skipped.push(exercise.problem.template.topic.clone());
            let first = self.skipped.len().saturating_sub(MOST_SKIPPED);
            self.skipped.drain(..first);
        }
        self.next_problem(same, room)
    }

    fn give_up(
        &mut self,
        exercise: &mut Exercise,
        room: &mut Room<'_>,
    ) -> Result<(), SessionProblem> {
        let attempt = exercise.passed(room.at, true);
        self.add(attempt, room)?;
        exercise.give_up();
        Ok(())
    }

    fn add(&mut self, attempt: Attempt, room: &mut Room<'_>) -> Result<(), SessionProblem> {
        room.record.add(&attempt, room.settings)?;
        if let Some(left) = &mut self.current {
            left.hints = 0;
            left.written = None;
            left.attempts.push(attempt);
        }
        Ok(())
    }

    /// Ends the problem: the rest of the example, and what it changed.
    fn end(
        &mut self,
        exercise: &Exercise,
        ending: Ending,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        self.count(exercise, ending);
        self.phase = Phase::Between;
        let mut shown = Vec::new();
        let steps = exercise.problem.template.working.len();
        let rest =
            exercise.blank().filter(|blank| ending != Ending::NotSolved && blank + 1 < steps);
        if let Some(blank) = rest {
            shown.push(Shown::Rest { from: blank + 1, to: steps });
        }
        let progress = room.record.progress(room.settings)?;
        let topic = &exercise.problem.template.topic;
        let subjects = Subject::all(room.bank, |template| template.topic == *topic);
        let subject = subjects.first();
        let stage = subject.map_or(Stage::Begun, |subject| subject.stage(&progress, room.settings));
        let known = subject.and_then(|subject| subject.progress(&progress));
        let review = known.map(|known| known.boxed().due(room.settings) - room.day());
        let (marks, of) = exercise.marks();
        shown.push(Shown::Ended(EndedShown {
            ending,
            whole: exercise.is_whole(),
            marks,
            of,
            stage,
            topic: subject.map(|subject| subject.topic.title.clone()).unwrap_or_default(),
            review_in: review.filter(|_| stage == Stage::Known),
            templates_left: subject.map_or(0, |subject| subject.templates_left(&progress)),
        }));
        Ok(shown)
    }

    fn count(&mut self, exercise: &Exercise, ending: Ending) {
        self.counts.ended += 1;
        self.counts.solved += u64::from(ending != Ending::NotSolved);
        self.counts.alone += u64::from(ending == Ending::Alone && exercise.is_whole());
    }
}

/// What an answer comes to.
fn verdict(exercise: &Exercise, answer: &str, judged: &Judged, room: &Room<'_>) -> Shown {
    let marked = &judged.marked;
    let part = exercise.question().map_or(0, |question| question.part);
    let is_number = exercise.part().is_some_and(|part| part.response.number().is_some());
    Shown::Verdict(VerdictShown {
        part,
        answer: answer.to_owned(),
        outcome: marked.outcome,
        number: exercise.tries() + 1,
        marks: marked.marks,
        of: marked.of,
        sentences: marked.sentences(&exercise.problem, room.bank),
        again: judged.again,
        carries: is_number && judged.ended.is_none(),
    })
}

/// What the student marks an answer by.
pub(super) fn points(exercise: &Exercise, answer: &str) -> PointsShown {
    let answer = answer.to_owned();
    match (exercise.points(), exercise.part()) {
        (Some(points), _) => {
            let points = points.iter().map(|point| point.text.clone()).collect();
            PointsShown { answer, points, is_model: false }
        }
        (None, part) => {
            let model = part.map(|part| part.response.answer()).unwrap_or_default();
            PointsShown { answer, points: vec![model], is_model: true }
        }
    }
}
