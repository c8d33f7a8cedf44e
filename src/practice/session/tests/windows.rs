//! Two sessions on one record, as in two windows or at two prompts.

use super::*;

/// Lets two students at one record take turns.
struct Two {
    first: Student,
    second: Student,
}

impl Two {
    /// The first has a whole problem of a template on the table, and the second has just begun.
    fn at(template: &str) -> Self {
        let first = Student::of_template(template);
        let mut two = Self { second: Student::new(first.session.wish.clone()), first };
        two.second.session.wish.seed = 6;
        two.does(false, &Event::Start);
        two
    }

    fn does(&mut self, is_first: bool, event: &Event) -> Vec<Shown> {
        let (here, there) = if is_first {
            (&mut self.first, &mut self.second)
        } else {
            (&mut self.second, &mut self.first)
        };
        here.list = there.list.clone();
        here.at = there.at;
        let shown = here.does(event);
        there.list = here.list.clone();
        there.at = here.at;
        shown
    }

    fn answers(&mut self, is_first: bool, text: &str) -> Vec<Shown> {
        self.does(is_first, &Event::Answer(text.to_owned()))
    }

    fn attempts(&self) -> usize {
        self.first.list.attempts.len()
    }
}

#[test]
fn a_try_made_in_one_window_is_there_in_the_other() {
    let mut two = Two::at("base-one-drug");
    assert_eq!(two.first.session.left().unwrap().code, two.second.session.left().unwrap().code);
    two.answers(true, "987654 g");
    let shown = two.answers(false, "987655 g");
    assert_eq!(kinds(&shown), ["elsewhere", "problem", "question"]);
    assert_eq!(two.attempts(), 1, "what was typed beside the newer state is no try");
    assert_eq!(two.second.session.left(), two.first.session.left());
    let shown = two.answers(false, "987655 g");
    assert_eq!(kinds(&shown)[..2], ["verdict", "answer"]);
    assert_eq!(two.attempts(), 2);
    // The first goes on where the second is.
    let key = two.second.key();
    assert_eq!(kinds(&two.answers(true, "1 g")), ["elsewhere", "problem", "question"]);
    assert_eq!(two.first.key(), key);
}

#[test]
fn a_problem_ended_in_one_window_is_not_ended_again_in_the_other() {
    let mut two = Two::at("base-one-drug");
    two.does(true, &Event::Solution);
    let shown = two.answers(false, "1 g");
    assert_eq!(kinds(&shown), ["elsewhere", "coming", "problem", "question"]);
    let Shown::Elsewhere { ended } = shown[0] else { panic!("{shown:?}") };
    assert!(ended);
    assert_eq!(two.attempts(), 1);
    let progress = two.first.list.progress(&two.first.settings).unwrap();
    assert_eq!(progress[0].attempts, 1);
}

#[test]
fn a_hint_read_in_one_window_counts_in_the_other() {
    let mut two = Two::at("base-one-drug");
    two.does(true, &Event::Hint);
    let key = two.second.key();
    two.answers(false, &key);
    assert_eq!(two.second.list.attempts[0].hints, 1);
}

#[test]
fn a_written_answer_waits_for_its_points_in_both_windows() {
    let mut two = Two::at("label-written");
    two.answers(true, "words of my own");
    assert_eq!(kinds(&two.answers(false, "other words")), ["elsewhere", "problem", "points"]);
    assert_eq!(two.second.session.phase(), Phase::Points);
    assert_eq!(two.second.session.left().unwrap().written.as_deref(), Some("words of my own"));
}

#[test]
fn two_problems_begun_are_both_gone_on_with() {
    let mut two = Two::at("base-one-drug");
    two.answers(true, "987654 g");
    let first = two.first.session.left().unwrap().clone();
    let other = Code::new("faults-and-causes", 3).to_string();
    two.does(false, &Event::Open(other.clone()));
    assert_eq!(two.first.list.unfinished.len(), 2);

    // Opened again by its code, the older one has its try.
    let shown = two.does(false, &Event::Open(first.code.clone()));
    assert_eq!(kinds(&shown), ["resumed", "problem", "question"]);
    assert_eq!(two.second.session.left(), Some(&first));

    // Somebody who does not want the newer one is given the older.
    two.second.session = Session::new(two.first.session.wish.clone());
    assert_eq!(kinds(&two.does(false, &Event::Start))[..2], ["today", "resumed"]);
    assert_eq!(two.second.session.left(), Some(&first));
    assert_eq!(two.first.list.unfinished.len(), 2);
    two.does(false, &Event::Solution);
    assert_eq!(two.first.list.unfinished.len(), 1);
}

#[test]
fn windows_with_one_seed_are_given_different_problems() {
    let mut two = Two::at("base-one-drug");
    two.does(true, &Event::NewNumbers);
    two.second.session = Session { phase: Phase::Between, ..two.first.session.clone() };
    two.second.session.drawn -= 1;
    two.does(false, &Event::NewNumbers);
    assert_ne!(two.second.session.left(), two.first.session.left());
    assert_eq!(two.first.list.unfinished.len(), 2);
}
