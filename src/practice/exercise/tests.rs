//! Tests of one problem being practised.

use super::*;
use crate::draw::Code;
use crate::practice::bundled;
use crate::problem::letter;

/// 12 pessaries of 4.40 g with 300 mg of boric acid, displacement value 1.6: drug 3.60 g,
/// displaced 2.25 g, total 52.80 g, base 50.55 g. Three parts, four steps.
fn exercise(fade: Option<usize>) -> Exercise {
    let bank = bundled();
    let code = Code::parse("base-one-drug.aaaa-aaaaa").unwrap();
    let problem = Problem::from_code(bank, &code).unwrap();
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
    assert_eq!(answer(&mut exercise, "3.60 g").ended, None);
    assert_eq!(answer(&mut exercise, "2.25 g").ended, None);
    assert_eq!(answer(&mut exercise, "50.55 g").ended, Some(Ending::Alone));
    assert_eq!((exercise.question(), exercise.marks()), (None, (4, 4)));
}

#[test]
fn a_wrong_answer_leaves_one_more_try_and_the_problem_unsolved() {
    let mut exercise = exercise(Some(1));
    assert_eq!(asked(&exercise), [2]);
    let first = answer(&mut exercise, "49.2 g");
    assert!(first.again && first.ended.is_none());
    let second = answer(&mut exercise, "50.55 g");
    assert!(!second.again);
    assert_eq!((second.ended, exercise.marks()), (Some(Ending::Helped), (2, 2)));
}

#[test]
fn a_right_verdict_with_a_wrong_reason_leaves_one_more_try_and_a_wrong_verdict_none() {
    let bank = bundled();
    let template = bank.find("statement-on-a-base").unwrap();
    let code = Code::parse(&format!("{}.aaaa-aaaaa", template.id)).unwrap();
    let problem = Problem::from_code(bank, &code).unwrap();
    let Response::Judgement(key) = &problem.parts[0].response else { panic!("a judgement") };
    let wrong = letter((key.right.unwrap() + 1) % key.reasons.len(), 'A');
    let (verdict, other) = (key.truth, !key.truth);
    let right = problem.parts[0].response.answer();
    let mut exercise = Exercise::new(problem, None);
    assert!(!exercise.judge(&format!("{other} {wrong}")).again);
    assert!(answer(&mut exercise, &format!("{verdict} {wrong}")).again);
    let second = answer(&mut exercise, &right);
    assert!(!second.again && second.marked.is_correct());
}

#[test]
fn an_answer_that_cannot_be_read_costs_no_try() {
    let mut exercise = exercise(Some(1));
    assert!(answer(&mut exercise, "about fifty").again);
    assert_eq!(answer(&mut exercise, "50.55 g").ended, Some(Ending::Alone));
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
    let bank = bundled();
    let mut exercise = exercise(None);
    answer(&mut exercise, "3.60 g");
    answer(&mut exercise, "2.25 g");
    let mut helps = Vec::new();
    while let Some(hint) = exercise.hint(bank).unwrap() {
        helps.push(hint.helps);
        exercise.read_hint(&hint);
    }
    assert_eq!(helps, [false, true, false, true]);
    assert_eq!(answer(&mut exercise, "50.55 g").ended, Some(Ending::Helped));
}

#[test]
fn a_hint_without_numbers_does_not_count_against_the_student() {
    let mut exercise = exercise(Some(1));
    let hint = exercise.hint(bundled()).unwrap().unwrap();
    exercise.read_hint(&hint);
    assert_eq!(answer(&mut exercise, "50.55 g").ended, Some(Ending::Alone));
}

#[test]
fn the_better_of_two_tries_counts() {
    let bank = bundled();
    let problem = Problem::draw(bank, bank.find("roles-sorted").unwrap(), 3).unwrap();
    let right = problem.parts[0].response.answer();
    let partly = right.replacen(|letter: char| letter.is_ascii_lowercase(), "z", 0);
    let pairs: Vec<&str> = partly.split(' ').collect();
    let mut exercise = Exercise::new(problem, None);
    answer(&mut exercise, &pairs[..pairs.len() - 1].join(" "));
    let best = exercise.judge(&pairs[..pairs.len() - 1].join(" ")).marked.marks;
    let second = answer(&mut exercise, pairs[0]);
    assert!(second.marked.marks < best);
    assert_eq!(exercise.marks().0, best);
}

#[test]
fn an_earlier_wrong_answer_is_followed() {
    let mut exercise = exercise(None);
    for _ in 0..MOST_TRIES {
        answer(&mut exercise, "4.80 g");
    }
    let judged = answer(&mut exercise, "3.00 g");
    let words = judged.marked.sentences(&exercise.problem, bundled());
    assert!(words[0].contains("follows"), "{words:?}");
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
    let left = Unfinished { code: String::new(), missing: 4, hints: 1, written: None, attempts };
    let resumed = Exercise::resume_by(first.problem.clone(), &left, &marking::Settings::default());
    assert_eq!((resumed.question(), resumed.tries()), (first.question(), 1));
    assert_eq!((resumed.hints(), resumed.marks()), (1, first.marks()));
}

#[test]
fn the_answers_of_the_key_solve_a_problem_of_every_template() {
    let bank = bundled();
    for template in bank.templates() {
        let mut exercise = Exercise::new(Problem::draw(bank, template, 1).unwrap(), None);
        let mut ended = None;
        while let Some(part) = exercise.part() {
            let (text, of) = (part.response.answer(), part.marks);
            let judged = match exercise.points() {
                Some(_) => exercise.judge_by_points(&text, of),
                None => exercise.judge(&text),
            };
            assert!(!judged.again, "{} {text}", template.id);
            exercise.take(&text, &judged);
            ended = judged.ended;
        }
        assert_eq!(ended, Some(Ending::Alone), "{}", template.id);
    }
}

#[test]
fn whatever_is_faded_and_answered_a_problem_comes_to_its_end() {
    let bank = bundled();
    for template in bank.templates() {
        let problem = Problem::draw(bank, template, 2).unwrap();
        for missing in 0..=template.working.len() {
            let fade = Some(Fade::with_missing(missing));
            let mut exercise = Exercise::new(problem.clone(), fade);
            let id = &template.id;
            assert!(!exercise.questions().is_empty(), "{id} {missing}");
            let early = |each: &Question| each.step.is_some_and(|step| step < each.from);
            assert!(!exercise.questions().iter().any(early), "{id} {missing}");
            for answer in ["7 g", "", "A", "true B", "1a 2b", "ten", "13 to 20 g"].iter().cycle() {
                let Some(of) = exercise.part().map(|part| part.marks) else { break };
                let judged = exercise.judge(answer);
                assert!(judged.marked.marks <= of, "{id} {answer}");
                if matches!(judged.marked.outcome, Outcome::NotRead | Outcome::ForAPerson) {
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
