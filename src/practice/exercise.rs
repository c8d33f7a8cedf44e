//! One problem being practised.

use crate::bank::{Point, Template};
use crate::marking::{Standing, Verdict, mark_together};
use crate::problem::{Part, Problem, Response};

use super::{Attempt, Fade, Unfinished};

/// How often one question may be answered.
const MOST_TRIES: u32 = 2;

/// From this hint on a number of the working is given away.
const FIRST_TELLING_HINT: u32 = 2;

/// One problem being practised: which of its questions are asked, and how far the student is.
///
/// Nothing here reads or writes; whoever leads the student through it judges an answer, records the
/// [`Attempt`], and only then takes it on and tells the verdict.
#[derive(Clone, Debug)]
pub struct Exercise {
    /// The problem.
    pub problem: Problem,
    steps: usize,
    missing: usize,
    questions: Vec<Question>,
    at: usize,
    tries: u32,
    hints: u32,
    alone: bool,
    answers: Vec<(usize, String)>,
    written: Option<String>,
    given: u32,
}

/// One question of an exercise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// The part of the problem.
    pub part: usize,
    /// The step of the working that answers it, where it is one.
    pub step: Option<usize>,
    /// From which step on the working was not shown yet when this question is asked.
    pub from: usize,
}

/// An answer that was judged and not yet taken on.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What is to be said of it.
    pub verdict: Verdict,
    /// Whether the same question may be answered once more.
    pub again: bool,
    /// Whether the student solved the problem alone, when this ends it.
    pub solved: Option<bool>,
}

/// One hint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hint {
    /// What is done in this step.
    Way(usize),
    /// The numbers of this step with its result.
    Numbers(usize),
    /// The numbers of this step, which is the one asked, without its result.
    Begun(usize),
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
            steps,
            missing,
            questions,
            at: 0,
            tries: 0,
            hints: 0,
            alone: true,
            answers: Vec::new(),
            written: None,
            given: 0,
        }
    }

    /// Goes on with an exercise that was left.
    pub fn resume(problem: Problem, left: &Unfinished) -> Self {
        let mut exercise = Self::new(problem, Some(Fade::with_missing(left.missing as usize)));
        for attempt in &left.attempts {
            // Of two processes that worked at one problem, each is followed as far as it fits.
            if exercise.part().is_none_or(|part| part.id != attempt.part) {
                continue;
            }
            exercise.hints = attempt.hints;
            if attempt.answer.is_empty() {
                exercise.pass();
            } else if exercise.points().is_some() {
                let judged = exercise.self_marked(attempt.marks);
                exercise.take(&attempt.answer, &judged);
            } else {
                let judged = exercise.judge(&attempt.answer);
                exercise.take(&attempt.answer, &judged);
            }
        }
        exercise.hints = exercise.hints.max(left.hints);
        exercise.written.clone_from(&left.written);
        exercise.alone &= exercise.hints < FIRST_TELLING_HINT;
        exercise
    }

    /// How many steps at the end of the working are the student's own to do.
    pub fn missing(&self) -> usize {
        self.missing
    }

    /// How many steps of the working are shown before the first question.
    pub fn shown(&self) -> usize {
        if self.is_whole() { 0 } else { self.questions.first().map_or(0, |first| first.from) }
    }

    /// Whether the whole problem is the student's own.
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

    /// The points by which the student marks the next answer himself, when it is a written one.
    pub fn points(&self) -> Option<&[Point]> {
        match &self.part()?.response {
            Response::Written(key) => Some(&key.points),
            _ => None,
        }
    }

    /// The written answer that was given and waits to be marked point by point.
    pub fn written(&self) -> Option<&str> {
        self.written.as_deref()
    }

    /// Keeps a written answer until its points are gone through.
    pub fn write(&mut self, answer: &str) {
        self.written = Some(answer.to_owned());
    }

    /// What follows from so many points that the student found in the written answer.
    pub fn self_marked(&self, points: u32) -> Judged {
        let of = self.part().map_or(0, |part| part.marks);
        self.judged(Verdict::of_points(self.written().unwrap_or_default(), points, of))
    }

    /// Whether any question was answered or passed.
    pub fn is_begun(&self) -> bool {
        self.at > 0 || self.tries > 0
    }

    /// How often the question that is next was answered already.
    pub fn tries(&self) -> u32 {
        self.tries
    }

    /// How many hints were read for the question that is next.
    pub fn hints(&self) -> u32 {
        self.hints
    }

    /// The marks given so far, and those to be had.
    pub fn marks(&self) -> (u32, u32) {
        let parts = self.questions.iter().filter_map(|each| self.problem.parts.get(each.part));
        (self.given, parts.map(|part| part.marks).sum())
    }

    /// The hint that is next for this question; `None` when there is no more.
    pub fn hint(&self) -> Option<Hint> {
        let question = self.question()?;
        let last = question.step?;
        if self.blank().is_some() {
            // The example shows all there is to say.
            return None;
        }
        let step = question.from + (self.hints / 2) as usize;
        if step > last {
            return None;
        }
        Some(match self.hints % 2 {
            0 => Hint::Way(step),
            _ if step == last => Hint::Begun(step),
            _ => Hint::Numbers(step),
        })
    }

    /// Counts a hint as read.
    pub fn read_hint(&mut self) {
        self.hints += 1;
        self.alone &= self.hints < FIRST_TELLING_HINT;
    }

    /// Marks an answer to the question that is next, with the answers given before.
    pub fn judge(&self, answer: &str) -> Judged {
        let part = self.question().map_or(usize::MAX, |question| question.part);
        let mut answers: Vec<(usize, &str)> =
            self.answers.iter().map(|(part, answer)| (*part, answer.as_str())).collect();
        answers.retain(|(other, _)| *other != part);
        answers.push((part, answer));
        let verdicts = mark_together(&self.problem, &answers);
        let verdict = verdicts.into_iter().find(|(other, _)| *other == part);
        self.judged(verdict.map_or_else(Verdict::none, |(_, verdict)| verdict))
    }

    fn judged(&self, verdict: Verdict) -> Judged {
        let unread = verdict.standing() == Standing::NotRead;
        // A second verdict of true or false could only be the other one, though its reason can be
        // found, and a written answer is compared with its points.
        let once = self.part().is_some_and(|part| match part.response {
            Response::Judgement(_) => verdict.standing() != Standing::PartlyCorrect,
            Response::Written(_) => true,
            _ => false,
        });
        let again = unread || !once && !verdict.is_right() && self.tries + 1 < MOST_TRIES;
        let ends = !again && self.at + 1 >= self.questions.len();
        let solved = ends.then_some(self.alone && self.tries == 0 && verdict.is_right());
        Judged { verdict, again, solved }
    }

    /// Takes an answer on. One that could not be read is as if it had not been given.
    pub fn take(&mut self, answer: &str, judged: &Judged) {
        let Some(question) = self.question() else { return };
        if judged.verdict.standing() == Standing::NotRead {
            return;
        }
        self.alone &= judged.verdict.is_right() && self.hints < FIRST_TELLING_HINT;
        self.answers.retain(|(part, _)| *part != question.part);
        self.answers.push((question.part, answer.to_owned()));
        if judged.again {
            self.tries += 1;
        } else {
            self.given += judged.verdict.marks();
            self.move_on();
        }
    }

    /// Leaves the question that is next without a right answer.
    pub fn pass(&mut self) {
        self.alone = false;
        self.move_on();
    }

    /// Leaves all questions.
    pub fn give_up(&mut self) {
        self.alone = false;
        self.at = self.questions.len();
    }

    /// The attempt to be recorded for a judged answer.
    pub fn attempt(&self, at: i64, answer: &str, judged: &Judged) -> Attempt {
        let slips = judged.verdict.finding.slips().into_iter();
        let slips = slips.filter_map(|slip| self.problem.template.slips.get(slip));
        Attempt {
            right: judged.verdict.is_right(),
            marks: judged.verdict.marks(),
            slips: slips.map(|slip| slip.id.clone()).collect(),
            answer: answer.to_owned(),
            solved: judged.solved,
            ..self.passed(at, false)
        }
    }

    /// The attempt to be recorded for a question left without a right answer, or for all that are
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
            solved: ends.then_some(false),
        }
    }

    fn move_on(&mut self) {
        let done = self.question().and_then(|question| question.step);
        self.at += 1;
        self.written = None;
        self.tries = 0;
        self.hints = 0;
        // Hints go on behind the step that was just asked about.
        if let (Some(done), Some(next)) = (done, self.questions.get_mut(self.at))
            && next.step.is_some_and(|step| step > done)
        {
            next.from = next.from.max(done + 1);
        }
    }
}

/// Which questions are asked when so many steps at the end of the working are missing.
fn questions(template: &Template, missing: usize, number: u64) -> Vec<Question> {
    let steps = template.working.len();
    let whole = |from: usize| -> Vec<Question> {
        let question = |part| Question { part, step: step_of(template, part), from };
        (0..template.parts.len()).map(question).collect()
    };
    let answered: Vec<Question> =
        whole(0).into_iter().filter(|question| question.step.is_some()).collect();
    let Some(latest) = answered.iter().filter_map(|question| question.step).max() else {
        return whole(0);
    };
    if missing >= steps {
        return whole(0);
    }
    if missing == 0 {
        // The code chooses, so that the same problem asks the same again.
        let count = u64::try_from(answered.len()).unwrap_or(1).max(1);
        let chosen = usize::try_from(number % count).unwrap_or(0);
        let chosen = answered.get(chosen).or(answered.first()).copied();
        let from_itself = |each: Question| Question { from: each.step.unwrap_or(0), ..each };
        return chosen.map(from_itself).into_iter().collect();
    }
    // Something that is asked must be among what is missing.
    let shown = (steps - missing).min(latest);
    whole(shown).into_iter().filter(|each| each.step.is_none_or(|step| step >= shown)).collect()
}

/// The step of the working that answers a part.
fn step_of(template: &Template, part: usize) -> Option<usize> {
    let slot = template.parts.get(part)?.wanted.number()?.slot;
    template.working.iter().position(|step| step.slot == slot)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;
    use crate::marking::{Carry, Finding};
    use crate::problem::letter;

    /// 12 pessaries of 4.40 g with 300 mg of boric acid, displacement value 1.6: drug 3.60 g,
    /// displaced 2.25 g, total 52.80 g, base 50.55 g. Three parts, four steps.
    fn exercise(fade: Option<usize>) -> Exercise {
        let bank = Bank::bundled().unwrap();
        let code = Code::parse("base-one-drug.aaaa-aaaaa").unwrap();
        let problem = Problem::from_code(&bank, &code).unwrap();
        Exercise::new(problem, fade.map(Fade::with_missing))
    }

    fn answer(exercise: &mut Exercise, answer: &str) -> Judged {
        let judged = exercise.judge(answer);
        exercise.take(answer, &judged);
        judged
    }

    fn asked(exercise: &Exercise) -> Vec<usize> {
        exercise.questions().iter().map(|question| question.part).collect()
    }

    #[test]
    fn a_problem_right_at_the_first_try_is_solved() {
        let mut exercise = exercise(None);
        assert_eq!(asked(&exercise), [0, 1, 2]);
        assert_eq!(answer(&mut exercise, "3.60 g").solved, None);
        assert_eq!(answer(&mut exercise, "2.25 g").solved, None);
        assert_eq!(answer(&mut exercise, "50.55 g").solved, Some(true));
        assert_eq!((exercise.question(), exercise.marks()), (None, (4, 4)));
    }

    #[test]
    fn a_wrong_answer_leaves_one_more_try_and_the_problem_unsolved() {
        let mut exercise = exercise(Some(1));
        assert_eq!(asked(&exercise), [2]);
        let first = answer(&mut exercise, "49.2 g");
        assert!(first.again && first.solved.is_none());
        let second = answer(&mut exercise, "50.55 g");
        assert!(!second.again);
        assert_eq!((second.solved, exercise.marks()), (Some(false), (2, 2)));
    }

    #[test]
    fn a_right_verdict_with_a_wrong_reason_leaves_one_more_try_and_a_wrong_verdict_none() {
        let bank = Bank::bundled().unwrap();
        let template = bank.find("statement-on-a-base").unwrap();
        let code = Code::parse(&format!("{}.aaaa-aaaaa", template.id)).unwrap();
        let problem = Problem::from_code(&bank, &code).unwrap();
        let Response::Judgement(key) = &problem.parts[0].response else { panic!("a judgement") };
        let wrong = letter((key.right.unwrap() + 1) % key.reasons.len(), 'A');
        let (verdict, other) = (key.truth, !key.truth);
        let right = problem.parts[0].response.answer();
        let mut exercise = Exercise::new(problem, None);
        assert!(!exercise.judge(&format!("{other} {wrong}")).again);
        assert!(answer(&mut exercise, &format!("{verdict} {wrong}")).again);
        let second = answer(&mut exercise, &right);
        assert!(!second.again && second.verdict.is_right());
    }

    #[test]
    fn an_answer_that_cannot_be_read_costs_no_try() {
        let mut exercise = exercise(Some(1));
        assert!(answer(&mut exercise, "about fifty").again);
        assert_eq!(answer(&mut exercise, "50.55 g").solved, Some(true));
    }

    #[test]
    fn the_example_fades_from_the_end() {
        let whole = exercise(Some(0));
        assert_eq!((whole.questions().len(), whole.blank()), (1, whole.questions()[0].step));
        let shown: Vec<(usize, Vec<usize>)> = (1..=4)
            .map(|missing| exercise(Some(missing)))
            .map(|exercise| (exercise.shown(), asked(&exercise)))
            .collect();
        assert_eq!(shown, [(3, vec![2]), (2, vec![2]), (1, vec![1, 2]), (0, vec![0, 1, 2])]);
    }

    #[test]
    fn hints_go_through_the_working_up_to_the_step_asked() {
        let mut exercise = exercise(None);
        answer(&mut exercise, "3.60 g");
        answer(&mut exercise, "2.25 g");
        let mut hints = Vec::new();
        while let Some(hint) = exercise.hint() {
            hints.push(hint);
            exercise.read_hint();
        }
        assert_eq!(hints, [Hint::Way(2), Hint::Numbers(2), Hint::Way(3), Hint::Begun(3)]);
        assert_eq!(answer(&mut exercise, "50.55 g").solved, Some(false));
    }

    #[test]
    fn a_hint_without_numbers_does_not_count_against_the_student() {
        let mut exercise = exercise(Some(1));
        exercise.read_hint();
        assert_eq!(answer(&mut exercise, "50.55 g").solved, Some(true));
    }

    #[test]
    fn an_earlier_wrong_answer_is_followed() {
        let mut exercise = exercise(None);
        for _ in 0..MOST_TRIES {
            answer(&mut exercise, "4.80 g");
        }
        let judged = answer(&mut exercise, "3.00 g");
        assert_eq!(judged.verdict.finding, Finding::Follows(Carry::Answer));
    }

    #[test]
    fn what_was_left_is_gone_on_with_where_it_was_left() {
        let mut first = exercise(Some(4));
        let mut attempts = Vec::new();
        for text in ["3.60 g", "9 g"] {
            let judged = first.judge(text);
            attempts.push(first.attempt(0, text, &judged));
            first.take(text, &judged);
        }
        let left =
            Unfinished { code: String::new(), missing: 4, hints: 1, written: None, attempts };
        let resumed = Exercise::resume(first.problem.clone(), &left);
        assert_eq!((resumed.question(), resumed.tries()), (first.question(), 1));
        assert_eq!((resumed.hints(), resumed.marks()), (1, first.marks()));
    }

    #[test]
    fn the_answers_of_the_key_solve_a_problem_of_every_template() {
        let bank = Bank::bundled().unwrap();
        for template in bank.templates() {
            let mut exercise = Exercise::new(Problem::draw(&bank, template, 1).unwrap(), None);
            let mut solved = None;
            while let Some(part) = exercise.part() {
                let (text, of) = (part.response.answer(), part.marks);
                let judged = match exercise.points() {
                    Some(_) => exercise.self_marked(of),
                    None => exercise.judge(&text),
                };
                assert!(!judged.again, "{} {text}", template.id);
                exercise.take(&text, &judged);
                solved = judged.solved;
            }
            assert_eq!(solved, Some(true), "{}", template.id);
        }
    }

    #[test]
    fn whatever_is_faded_and_answered_a_problem_comes_to_its_end() {
        let bank = Bank::bundled().unwrap();
        for template in bank.templates() {
            let problem = Problem::draw(&bank, template, 2).unwrap();
            for missing in 0..=template.working.len() {
                let fade = Some(Fade::with_missing(missing));
                let mut exercise = Exercise::new(problem.clone(), fade);
                let id = &template.id;
                assert!(!exercise.questions().is_empty(), "{id} {missing}");
                let early = |each: &Question| each.step.is_some_and(|step| step < each.from);
                assert!(!exercise.questions().iter().any(early), "{id} {missing}");
                for answer in
                    ["7 g", "", "A", "true B", "1a 2b", "ten", "13 to 20 g"].iter().cycle()
                {
                    let Some(of) = exercise.part().map(|part| part.marks) else { break };
                    let judged = exercise.judge(answer);
                    assert!(judged.verdict.marks() <= of, "{id} {answer}");
                    if judged.verdict.standing() == Standing::NotRead {
                        exercise.pass();
                    } else {
                        exercise.take(answer, &judged);
                    }
                }
                let (given, of) = exercise.marks();
                assert!(given <= of, "{id} {missing}");
            }
        }
    }
}
