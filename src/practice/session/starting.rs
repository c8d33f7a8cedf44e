//! Beginning a session, and choosing and drawing its problems.

use std::sync::Arc;

use crate::bank::{Heading, Template};
use crate::draw::{Code, Seed, Stream};
use crate::practice::{
    Exercise, Fade, Plan, Progress, Situation, Stage, Subject, USUAL_PACE, Unfinished, Why, choose,
    luck, pace,
};
use crate::problem::Problem;

use super::{
    Coming, Phase, ProblemShown, QuestionShown, Room, Session, SessionProblem, Shown, Today,
    problem_of,
};

/// How often other numbers than the last ones are tried.
const TRIES_FOR_ANOTHER: u64 = 20;

impl Session {
    /// Shows what there is to do, then the problem that was left or the first one.
    pub(super) fn start(&mut self, room: &mut Room<'_>) -> Result<Vec<Shown>, SessionProblem> {
        self.answered = room.record.count()?;
        if self.wish.exam.is_some() {
            self.pace = pace(room.record, room.day())?.unwrap_or(USUAL_PACE);
        }
        let mut shown = vec![Shown::Today(self.today(room)?)];
        // The one begun last of those that are wanted; another stays where it is, and so does one of
        // which this bank has no template, which may be another page's.
        for left in room.record.unfinished()?.into_iter().rev() {
            let problem = problem_of(room.bank, &left.code);
            let wanted = problem.filter(|problem| self.wants(&Heading::of(&problem.template)));
            if wanted.is_some_and(|problem| is_open(problem, &left, room)) {
                self.number += 1;
                shown.extend(self.resume(left, room)?);
                return Ok(shown);
            }
        }
        shown.extend(self.next_problem(None, room)?);
        Ok(shown)
    }

    /// Opens the problem of a code; one that was left, as far as it was answered.
    pub(super) fn open(
        &mut self,
        code: &str,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        if self.phase == Phase::Fresh {
            self.answered = room.record.count()?;
        }
        let code = Code::parse(code)?;
        let exercise = Exercise::new(Problem::from_code(room.bank, &code)?, None);
        let code = code.to_string();
        self.number += 1;
        match begun(&code, room)?.filter(|left| is_open(exercise.problem.clone(), left, room)) {
            Some(left) => self.resume(left, room),
            None => self.begin(code, &exercise, room),
        }
    }

    /// Puts a problem on the table as far as it was answered.
    fn resume(&mut self, left: Unfinished, room: &Room<'_>) -> Result<Vec<Shown>, SessionProblem> {
        let exercise = self.take_up(left, room)?;
        let mut shown = vec![Shown::Resumed { tries: exercise.tries() }];
        shown.extend(self.present(&exercise));
        Ok(shown)
    }

    fn take_up(&mut self, left: Unfinished, room: &Room<'_>) -> Result<Exercise, SessionProblem> {
        let exercise = exercise(&left, room)?;
        self.current = Some(left);
        self.phase = if exercise.written().is_some() { Phase::Points } else { Phase::Asking };
        Ok(exercise)
    }

    /// What another session on this record has made of the problem on the table since the last event;
    /// `None` when it is as it was.
    pub(super) fn overtaken(
        &mut self,
        room: &mut Room<'_>,
    ) -> Result<Option<Vec<Shown>>, SessionProblem> {
        let Some(here) = &mut self.current else { return Ok(None) };
        let Some(there) = begun(&here.code, room)? else {
            let mut shown = vec![Shown::Elsewhere { ended: true }];
            shown.extend(self.next_problem(None, room)?);
            return Ok(Some(shown));
        };
        if there.attempts.len() == here.attempts.len() && there.written == here.written {
            here.hints = there.hints;
            return Ok(None);
        }
        let exercise = self.take_up(there, room)?;
        let mut shown = vec![Shown::Elsewhere { ended: false }];
        shown.extend(self.present(&exercise));
        Ok(Some(shown))
    }

    /// Puts a fresh problem on the table.
    fn begin(
        &mut self,
        code: String,
        exercise: &Exercise,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let missing = u32::try_from(exercise.missing()).unwrap_or(u32::MAX);
        room.record.begin(&code, missing)?;
        self.current =
            Some(Unfinished { code, missing, hints: 0, written: None, attempts: Vec::new() });
        self.phase = Phase::Asking;
        Ok(self.present(exercise))
    }

    /// Draws a problem, of the given template or of what comes next, and shows it.
    pub(super) fn next_problem(
        &mut self,
        same: Option<Arc<Template>>,
        room: &mut Room<'_>,
    ) -> Result<Vec<Shown>, SessionProblem> {
        let progress = room.record.progress(room.settings)?;
        let subjects = self.subjects(room.bank);
        let (template, why) = match same {
            Some(template) => (template, None),
            None => {
                let plan = self.plan(&subjects, &progress, room);
                let situation = Situation {
                    settings: room.settings,
                    subjects: &subjects,
                    progress: &progress,
                    day: room.day(),
                    plan: plan.as_ref(),
                    since_new: self.since_new,
                    skipped: &self.skipped,
                };
                let choice = choose(&situation).ok_or(SessionProblem::NothingToPractise)?;
                let subject =
                    subjects.get(choice.subject).ok_or(SessionProblem::NothingToPractise)?;
                let template = subject.next_template(subject.progress(&progress));
                let template = template.and_then(|heading| room.bank.find(&heading.id));
                let template = template.ok_or(SessionProblem::NothingToPractise)?;
                (Arc::clone(template), Some(choice.why))
            }
        };
        self.since_new = if why == Some(Why::New) { 0 } else { self.since_new.saturating_add(1) };
        let problem = self.draw(&template, room)?;
        let exercise = Exercise::new(problem, self.fade(&template, &progress));
        let code = exercise.problem.code.as_ref().map(ToString::to_string).unwrap_or_default();
        self.number += 1;
        let topic = room.bank.topic(&template.topic);
        let mut shown = vec![Shown::Coming(Coming {
            topic: template.topic.clone(),
            title: topic.map(|topic| topic.title.clone()).unwrap_or_default(),
            objective: template.objective.name().to_owned(),
            why,
        })];
        shown.extend(match begun(&code, room)? {
            Some(left) => self.resume(left, room)?,
            None => self.begin(code, &exercise, room)?,
        });
        Ok(shown)
    }

    /// How much of the working is shown: as much as the progress in this template says.
    fn fade(&self, template: &Template, progress: &[Progress]) -> Option<Fade> {
        let topic = progress.iter().find(|each| each.topic == template.topic);
        let known = topic.and_then(|topic| topic.template(&template.id));
        let missing = known.map_or(0, |known| known.missing as usize);
        (!self.wish.whole).then_some(Fade::with_missing(missing))
    }

    /// A problem of the template with other numbers than the one before and than those that were begun
    /// elsewhere. A template that has no others gives the same again.
    fn draw(
        &mut self,
        template: &Arc<Template>,
        room: &Room<'_>,
    ) -> Result<Problem, SessionProblem> {
        let begun = room.record.unfinished()?;
        let left = self.current.iter().chain(&begun);
        let of_template = left.filter(|left| left.is_of(&template.id));
        let before: Vec<u128> = of_template
            .filter_map(|left| Some(problem_of(room.bank, &left.code)?.draw.place))
            .collect();
        let fields = [self.wish.seed, self.answered].map(|number| number.to_string());
        let seed =
            Seed::derive(b"castmark practice", "castmark practise 1", &[&fields[0], &fields[1]]);
        let mut found = None;
        for _ in 0..TRIES_FOR_ANOTHER {
            let mut numbers = Stream::numbered(&seed, self.drawn);
            self.drawn += 1;
            let problem = Problem::draw(room.bank, template, numbers.word())?;
            let is_other = !before.contains(&problem.draw.place);
            found = Some(problem);
            if is_other {
                break;
            }
        }
        found.ok_or(SessionProblem::NothingToPractise)
    }

    /// The problem and its question.
    pub(super) fn present(&self, exercise: &Exercise) -> Vec<Shown> {
        let blank = exercise.blank();
        let problem = ProblemShown {
            number: self.number,
            code: self.current.as_ref().map(|left| left.code.clone()).unwrap_or_default(),
            title: exercise.problem.template.title.clone(),
            shown: blank.map_or(exercise.shown(), |blank| blank + 1),
            blank,
        };
        let mut shown = vec![Shown::Problem(problem)];
        shown.extend(ask(exercise));
        shown
    }

    /// The plan for the exam, if there is one.
    fn plan(&self, subjects: &[Subject], progress: &[Progress], room: &Room<'_>) -> Option<Plan> {
        let exam = self.wish.exam?;
        Some(Plan::new(subjects, progress, room.settings, room.day(), exam, self.pace))
    }

    fn today(&self, room: &mut Room<'_>) -> Result<Today, SessionProblem> {
        let progress = room.record.progress(room.settings)?;
        let subjects = self.subjects(room.bank);
        let plan = self.plan(&subjects, &progress, room);
        let mut today = Today {
            due: Vec::new(),
            begun: Vec::new(),
            known: 0,
            new: 0,
            begun_today: progress.iter().filter(|each| each.first_day == room.day()).count(),
            left_out: Vec::new(),
            plan: None,
        };
        for subject in &subjects {
            let title = subject.topic.title.clone();
            if plan.as_ref().is_some_and(|plan| plan.left_out.contains(&subject.topic.id)) {
                today.left_out.push(title.clone());
            }
            match subject.stage(&progress, room.settings) {
                Stage::New => today.new += 1,
                Stage::Begun => today.begun.push(title),
                Stage::Known => {
                    today.known += 1;
                    let known = subject.progress(&progress);
                    let due = known.map(|known| {
                        let due = known.boxed().due(room.settings);
                        plan.as_ref().map_or(due, |plan| plan.review_day(known, due))
                    });
                    if due.is_some_and(|due| due <= room.day()) {
                        today.due.push(title);
                    }
                }
            }
        }
        today.plan = plan;
        Ok(today)
    }
}

/// The question that is next, or what the student is to mark.
pub(super) fn ask(exercise: &Exercise) -> Option<Shown> {
    let question = exercise.question()?;
    Some(match exercise.written() {
        Some(answer) => Shown::Points(super::asking::points(exercise, answer)),
        None => Shown::Question(QuestionShown {
            part: question.part,
            of: exercise.problem.parts.len(),
            tries: exercise.tries(),
        }),
    })
}

/// The problem of a code as far as it was answered, if it was begun and not ended.
fn begun(code: &str, room: &Room<'_>) -> Result<Option<Unfinished>, SessionProblem> {
    Ok(room.record.unfinished()?.into_iter().find(|left| left.code == code))
}

/// Whether there is a question left of a problem that was begun.
fn is_open(problem: Problem, left: &Unfinished, room: &Room<'_>) -> bool {
    Exercise::resume_by(problem, left, room.rules).question().is_some()
}

/// An exercise on the problem of a code, with what was answered so far and what guessing comes to.
pub(super) fn exercise(left: &Unfinished, room: &Room<'_>) -> Result<Exercise, SessionProblem> {
    let problem = problem_of(room.bank, &left.code).ok_or(SessionProblem::NothingToPractise)?;
    let luck = luck(&problem, room.settings);
    Ok(Exercise::resume_by(problem, left, room.rules).with_luck(luck))
}
