//! Marking with the problems of the bundled bank.

#[path = "marking/properties.rs"]
mod properties;

#[path = "marking/laws.rs"]
mod laws;

#[path = "marking/diagnosis.rs"]
mod diagnosis;

#[path = "marking/printed.rs"]
mod printed;

#[path = "marking/counting.rs"]
mod counting;

#[path = "marking/rules.rs"]
mod rules;

#[path = "marking/sentences.rs"]
mod sentences;

#[path = "marking/slips.rs"]
mod slips;

use castmark::bank::Bank;
use castmark::marking::{
    Cause, Finding, Item, Note, Pieces, Settings, Standing, Why, explain, mark,
};
use castmark::problem::{NumberKey, Problem};
use castmark::quantity::{Dimension, Exact, Unit};

/// Draws of each template.
const DRAWS: u64 = 2;

/// Hands every numeric part of some draws of every template to a check.
fn for_every_part(check: impl Fn(&Bank, &Problem, usize, &NumberKey)) {
    let bank = Bank::bundled().unwrap();
    for template in bank.templates() {
        for number in 0..DRAWS {
            let problem = Problem::draw(&bank, template, number).unwrap();
            for (place, part) in problem.parts.iter().enumerate() {
                let Some(key) = part.response.number() else { continue };
                check(&bank, &problem, place, key);
            }
        }
    }
}

fn name(problem: &Problem, place: usize) -> String {
    format!("{} {}", problem.code.as_ref().unwrap(), problem.parts[place].id)
}

#[test]
fn the_answer_of_the_key_is_right_however_it_is_written() {
    for_every_part(|_, problem, place, key| {
        let symbol = key.unit.symbol();
        for answer in [
            format!("{}", key.shown),
            format!("{} {symbol}", key.shown),
            format!("{}{symbol}", key.shown),
            format!("= {} {symbol}", key.shown),
            format!("{} {symbol}", key.low),
            format!("{} {symbol}", key.high),
        ] {
            let verdict = mark(problem, place, &answer);
            let all = problem.parts[place].marks;
            assert_eq!(
                (verdict.standing(), verdict.marks()),
                (Standing::Correct, all),
                "{}: {answer}",
                name(problem, place)
            );
        }
    });
}

#[test]
fn a_mass_in_milligrams_is_converted() {
    for_every_part(|_, problem, place, key| {
        if key.unit == Unit::parse("g").unwrap() {
            let answer = format!("{} mg", key.shown.times_ten_to(3).unwrap());
            let verdict = mark(problem, place, &answer);
            assert!(verdict.is_right(), "{}: {answer}: {verdict:?}", name(problem, place));
            assert!(verdict.notes.iter().any(|note| matches!(note, Note::Converted { .. })));
        }
    });
}

#[test]
fn a_moved_point_is_found_and_keeps_the_method() {
    for_every_part(|_, problem, place, key| {
        if key.unit.dimension() == Dimension::COUNT || key.shown.is_zero() {
            return;
        }
        for power in [-3, -1, 1, 3] {
            let answer = key.shown.times_ten_to(power).unwrap().to_string();
            let verdict = mark(problem, place, &answer);
            assert!(
                verdict.finding.causes().contains(&Cause::PowerOfTen(power)),
                "{}: {answer}: {verdict:?}",
                name(problem, place)
            );
            assert_eq!(verdict.marks(), key.method_marks.min(verdict.of()));
        }
    });
}

#[test]
fn every_slip_is_wrong_named_and_explained() {
    for_every_part(|bank, problem, place, key| {
        for slip in &key.slips {
            let verdict = mark(problem, place, &slip.value.to_string());
            assert!(!verdict.is_right(), "{}: {}", name(problem, place), slip.value);
            assert!(
                verdict.finding.slips().contains(&slip.slip),
                "{}: {verdict:?}",
                name(problem, place)
            );
            let says = explain(problem, bank, Item::Part(place), &verdict, &Settings::default());
            assert!(says.iter().all(|each| each.text.ends_with(['.', '?', '!'])), "{says:?}");
        }
    });
}

#[test]
fn no_explanation_gives_the_answer_away() {
    for_every_part(|bank, problem, place, key| {
        // A number far from everything known.
        let answer = key.high.add(key.high).and_then(|twice| twice.add(Exact::whole(37))).unwrap();
        let verdict = mark(problem, place, &answer.to_string());
        if matches!(verdict.finding, Finding::Unexplained(_)) {
            let says = explain(problem, bank, Item::Part(place), &verdict, &Settings::default());
            let shown = key.shown.to_string();
            let given = |text: &str| text.split_whitespace().any(|word| word == shown);
            assert!(says.iter().all(|each| !given(&each.text)), "{says:?}");
        }
    });
}

#[test]
fn a_part_that_is_not_there_is_not_marked() {
    let bank = Bank::bundled().unwrap();
    let problem = Problem::draw(&bank, &bank.templates()[0], 1).unwrap();
    let verdict = mark(&problem, 99, "1 g");
    assert_eq!((verdict.standing(), verdict.marks(), verdict.of()), (Standing::NotRead, 0, 0));
    assert_eq!(verdict.finding, Finding::Unread(Why::NoSuchPart));
}

#[test]
fn points_are_all_right_from_as_many_as_are_wanted() {
    for (made, all) in [(0, false), (3, false), (4, true), (5, true)] {
        assert_eq!(Pieces::Points { made, wanted: 4 }.all_right(), all, "{made}");
    }
}
