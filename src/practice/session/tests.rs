//! Properties of the state machine.

mod windows;

use std::sync::LazyLock;

use crate::practice::{AttemptList, Ending, Outcome, Record};
use crate::problem::Response;

use super::*;
use crate::practice::bundled;

/// The usual rules of marking.
static RULES: LazyLock<marking::Settings> = LazyLock::new(marking::Settings::default);

/// A student with a record in memory.
struct Student {
    bank: &'static Bank,
    settings: Settings,
    list: AttemptList,
    session: Session,
    at: i64,
}

impl Student {
    fn new(wish: Wish) -> Self {
        Self {
            bank: bundled(),
            settings: Settings::default(),
            list: AttemptList::default(),
            session: Session::new(wish),
            at: 0,
        }
    }

    fn of_template(id: &str) -> Self {
        let mut student = Self::new(Wish {
            template: Some(id.to_owned()),
            whole: true,
            seed: 5,
            ..Wish::default()
        });
        student.does(&Event::Start);
        student
    }

    fn does(&mut self, event: &Event) -> Vec<Shown> {
        self.at += 30;
        let mut room = Room {
            bank: self.bank,
            settings: &self.settings,
            rules: &RULES,
            record: &mut self.list,
            at: self.at,
        };
        self.session.take(event, &mut room).unwrap()
    }

    fn answers(&mut self, text: &str) -> Vec<Shown> {
        self.does(&Event::Answer(text.to_owned()))
    }

    /// The answer of the key to the question asked.
    fn key(&self) -> String {
        let exercise = self.session.exercise(self.bank, &RULES).unwrap();
        exercise.part().unwrap().response.answer()
    }

    /// Solves the problem on the table.
    fn solves(&mut self) {
        while self.session.phase() != Phase::Between {
            let exercise = self.session.exercise(self.bank, &RULES).unwrap();
            match exercise.points().map(<[_]>::len) {
                Some(points) => {
                    if self.session.phase() == Phase::Asking {
                        self.answers("the points");
                    }
                    self.does(&Event::Points(vec![true; points]));
                }
                None => {
                    let key = self.key();
                    self.answers(&key);
                }
            }
        }
    }
}

fn kinds(shown: &[Shown]) -> Vec<String> {
    let kind =
        |one: &Shown| serde_json::to_value(one).unwrap()["show"].as_str().unwrap().to_owned();
    shown.iter().map(kind).collect()
}

fn ended(shown: &[Shown]) -> Option<&EndedShown> {
    shown.iter().find_map(|one| if let Shown::Ended(ended) = one { Some(ended) } else { None })
}

#[test]
fn a_session_shows_what_there_is_to_do_and_then_the_first_problem() {
    let mut student = Student::new(Wish::default());
    let shown = student.does(&Event::Start);
    assert_eq!(kinds(&shown), ["today", "coming", "problem", "question"]);
    assert_eq!(student.session.phase(), Phase::Asking);
}

#[test]
fn a_wrong_answer_brings_a_hint_then_the_answer_with_its_reason() {
    let mut student = Student::of_template("base-one-drug");
    assert_eq!(kinds(&student.answers("0.0123 g")), ["verdict", "hint"]);
    assert_eq!(kinds(&student.answers("0.0123 g")), ["same-answer"]);
    let last = student.answers("0.0456 g");
    assert_eq!(kinds(&last), ["verdict", "answer"]);
    assert_eq!(student.session.phase(), Phase::Reading);
    let Shown::Answer { lines } = &last[1] else { panic!("{last:?}") };
    assert!(lines[0].starts_with("The correct answer is ") && lines.len() == 2, "{lines:?}");
    assert_eq!(kinds(&student.does(&Event::GoOn)), ["question"]);
}

#[test]
fn a_second_try_that_is_right_is_praised_and_counts_as_solved_with_help() {
    let mut student = Student::of_template("least-weighable");
    student.answers("0.0123 g");
    let key = student.key();
    let shown = student.answers(&key);
    let Shown::Verdict(verdict) = &shown[0] else { panic!("{shown:?}") };
    assert_eq!(verdict.heading(), "Correct at the second try");
    assert!(shown[0].sentences()[0].contains("corrected it yourself"));
    student.solves();
    assert_eq!(student.list.attempts.last().unwrap().ended, Some(Ending::Helped));
    assert_eq!(student.session.summary(), Summary { ended: 1, solved: 1, alone: 0 });
}

#[test]
fn nothing_is_shown_of_an_answer_before_it_is_recorded() {
    struct Full(Vec<Unfinished>);
    impl Record for Full {
        fn add(
            &mut self,
            _: &crate::practice::Attempt,
            _: &Settings,
        ) -> Result<crate::practice::Progress, RecordError> {
            Err(RecordError::Failed("the disk is full".to_owned()))
        }
        fn progress(
            &mut self,
            _: &Settings,
        ) -> Result<Vec<crate::practice::Progress>, RecordError> {
            Ok(Vec::new())
        }
        fn count(&self) -> Result<u64, RecordError> {
            Ok(0)
        }
        fn each(&self, _: &mut dyn FnMut(crate::practice::Attempt)) -> Result<(), RecordError> {
            Ok(())
        }
        fn unfinished(&self) -> Result<Vec<Unfinished>, RecordError> {
            Ok(self.0.clone())
        }
        fn begin(&mut self, _: &str, _: u32) -> Result<(), RecordError> {
            Ok(())
        }
        fn note_hints(&mut self, _: &str, _: u32) -> Result<(), RecordError> {
            Ok(())
        }
        fn note_written(&mut self, _: &str, _: &str) -> Result<(), RecordError> {
            Ok(())
        }
        fn leave(&mut self, _: &str) -> Result<(), RecordError> {
            Ok(())
        }
    }
    let bank = bundled();
    let settings = Settings::default();
    let mut session = Session::new(Wish::default());
    let mut record = Full(Vec::new());
    let mut room = Room { bank, settings: &settings, rules: &RULES, record: &mut record, at: 0 };
    session.take(&Event::Start, &mut room).unwrap();
    let before = session.clone();
    let mut record = Full(session.left().cloned().into_iter().collect());
    let mut room = Room { record: &mut record, ..room };
    let refused = session.take(&Event::Answer("1 g".to_owned()), &mut room);
    assert!(matches!(refused, Err(SessionProblem::Record(_))));
    assert_eq!(session, before);
}

#[test]
fn a_session_kept_as_json_goes_on_as_if_it_had_not_been() {
    let mut student = Student::new(Wish { seed: 9, ..Wish::default() });
    let mut copy = Student::new(Wish { seed: 9, ..Wish::default() });
    let events = [
        Event::Start,
        Event::Hint,
        Event::Answer("1 g".to_owned()),
        Event::Answer("2 g".to_owned()),
        Event::GoOn,
        Event::Skip,
        Event::Answer("A".to_owned()),
        Event::NewNumbers,
        Event::Solution,
        Event::GoOn,
        Event::Pass,
    ];
    for event in events {
        let shown = student.does(&event);
        let text = serde_json::to_string(&copy.session).unwrap();
        copy.session = serde_json::from_str(&text).unwrap();
        assert_eq!(copy.does(&event), shown, "{event:?}");
    }
    assert_eq!(student.list, copy.list);
}

#[test]
fn every_template_can_be_solved_alone_by_its_key() {
    let bank = bundled();
    for template in bank.templates() {
        let mut student = Student::of_template(&template.id);
        student.solves();
        let last = student.list.attempts.last().unwrap();
        assert_eq!(last.ended, Some(Ending::Alone), "{}", template.id);
        assert_eq!(student.list.unfinished, []);
    }
}

#[test]
fn every_template_answers_in_words_after_the_last_try_and_ends() {
    let bank = bundled();
    let wrong =
        ["7.77 g", "8.88 g", "A", "B C", "true A", "false B", "1a", "ten", "1 to 2", "C B A D E F"];
    let mut failed = 0;
    for template in bank.templates() {
        let mut student = Student::of_template(&template.id);
        let mut told = 0;
        for index in 0..200 {
            match student.session.phase() {
                Phase::Between => break,
                Phase::Reading => drop(student.does(&Event::GoOn)),
                Phase::Points => {
                    let count = match student.session.exercise(bank, &RULES).unwrap().points() {
                        Some(points) => points.len(),
                        None => 1,
                    };
                    student.does(&Event::Points(vec![false; count]));
                }
                _ if index > 60 => drop(student.does(&Event::Pass)),
                _ => {
                    let shown = student.answers(wrong[index % wrong.len()]);
                    let wrong = shown.iter().any(|one| {
                        matches!(one, Shown::Verdict(verdict)
                            if verdict.outcome == Outcome::NotCorrect && !verdict.again)
                    });
                    let answer = shown.iter().any(|one| matches!(one, Shown::Answer { .. }));
                    assert!(!wrong || answer, "{}: {shown:?}", template.id);
                    told += usize::from(answer);
                }
            }
        }
        assert_eq!(student.session.phase(), Phase::Between, "{}", template.id);
        failed += usize::from(told > 0);
    }
    // A few are guessed by these answers.
    assert!(failed * 4 > bank.templates().len() * 3, "only {failed} were told");
}

#[test]
fn skipping_an_untouched_problem_leaves_no_trace_and_brings_another_topic() {
    let mut student = Student::new(Wish::default());
    student.does(&Event::Start);
    let mut topics = Vec::new();
    for _ in 0..4 {
        let shown = student.does(&Event::Skip);
        let Some(Shown::Coming(coming)) = shown.first() else { panic!("{shown:?}") };
        topics.push(coming.topic.clone());
    }
    topics.dedup();
    assert_eq!(topics.len(), 4, "{topics:?}");
    assert_eq!(student.list.attempts, []);
    assert_eq!(student.session.summary().ended, 0);
}

#[test]
fn new_numbers_are_other_numbers_of_the_same_template() {
    let mut student = Student::of_template("base-one-drug");
    let first = student.session.exercise(student.bank, &RULES).unwrap().problem.draw.place;
    student.does(&Event::NewNumbers);
    let exercise = student.session.exercise(student.bank, &RULES).unwrap();
    assert_eq!(exercise.problem.template.id, "base-one-drug");
    assert_ne!(exercise.problem.draw.place, first);
}

#[test]
fn a_session_that_is_begun_again_resumes_the_problem_and_says_that_a_try_is_used() {
    let mut student = Student::of_template("base-one-drug");
    student.answers("0.0123 g");
    let code = student.list.unfinished[0].code.clone();
    let wish = Wish { seed: 77, ..Wish::default() };
    student.session = Session::new(wish);
    let shown = student.does(&Event::Start);
    assert_eq!(kinds(&shown), ["today", "resumed", "problem", "question"]);
    assert_eq!(shown[1], Shown::Resumed { tries: 1 });
    assert!(shown[1].sentences()[0].contains("One try at this question is used."));
    let Shown::Problem(problem) = &shown[2] else { panic!("{shown:?}") };
    assert_eq!(problem.code, code);
}

#[test]
fn the_rest_of_an_example_is_shown_only_where_something_follows() {
    let mut rests = 0;
    for template in ["base-one-drug", "capacity-from-total", "factor-from-value"] {
        for seed in 0..4 {
            let wish = Wish { template: Some(template.to_owned()), seed, ..Wish::default() };
            let mut student = Student::new(wish);
            student.does(&Event::Start);
            let exercise = student.session.exercise(student.bank, &RULES).unwrap();
            let steps = exercise.problem.template.working.len();
            let blank = exercise.blank().unwrap();
            let key = student.key();
            let shown = student.answers(&key);
            let rest = shown.iter().any(|one| matches!(one, Shown::Rest { .. }));
            assert_eq!(rest, blank + 1 < steps, "{template}");
            assert!(!ended(&shown).unwrap().whole);
            rests += usize::from(rest);
        }
    }
    assert!(rests > 0);
}

#[test]
fn a_written_answer_is_kept_until_its_points_are_marked() {
    let mut student = Student::of_template("ideal-base-list");
    assert_eq!(kinds(&student.answers("some properties")), ["points"]);
    assert_eq!(student.session.phase(), Phase::Points);
    assert_eq!(student.list.attempts, []);
    let count =
        match &student.session.exercise(student.bank, &RULES).unwrap().part().unwrap().response {
            Response::Written(key) => key.points.len(),
            other => panic!("{other:?}"),
        };
    assert_eq!(kinds(&student.does(&Event::Points(vec![true]))), ["points"]);
    student.does(&Event::Points(vec![true; count]));
    assert_eq!(student.list.attempts[0].answer, "some properties");
}

#[test]
fn events_that_do_not_fit_show_nothing_and_change_nothing() {
    let mut student = Student::of_template("base-one-drug");
    let before = student.session.clone();
    for event in [Event::GoOn, Event::Points(vec![true])] {
        assert_eq!(student.does(&event), []);
        assert_eq!(student.session, before);
    }
    student.does(&Event::Stop);
    assert_eq!(student.does(&Event::Answer("1 g".to_owned())), []);
    assert_eq!(student.session.phase(), Phase::Over);
}

#[test]
fn a_topic_or_objective_is_kept_to() {
    for (wish, fits) in [
        (Wish { topic: Some("weighing".to_owned()), ..Wish::default() }, "weighing"),
        (Wish::objective(Objective::Theory), "theory"),
    ] {
        let mut student = Student::new(wish);
        let mut shown = student.does(&Event::Start);
        for _ in 0..8 {
            let coming = shown.iter().find_map(|one| match one {
                Shown::Coming(coming) => Some(coming.clone()),
                _ => None,
            });
            let coming = coming.unwrap();
            assert!(coming.topic == fits || coming.objective == fits, "{coming:?}");
            student.solves();
            shown = student.does(&Event::GoOn);
        }
    }
}
