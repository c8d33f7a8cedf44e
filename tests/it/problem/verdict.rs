//! Verdicts that follow from the numbers: drawn in balance, solved, marked and followed.

use std::collections::BTreeMap;

use castmark::draw::{Seed, Space, Stream};
use castmark::marking::{Entry, Finding, Item, Settings, Standing, mark, mark_problem};
use castmark::problem::{AnswerSpace, Problem, Response, VerdictKey};

use super::bank::{bank, template};

/// A unit is off its mean by some per cent: up to 5 % it passes, up to 10 % it is outside the narrow
/// limits only, otherwise outside the wide ones.
const VERDICT: &str = include_str!("../../cases/bank/good/verdict.yaml");

fn verdict(problem: &Problem) -> &VerdictKey {
    problem.parts[1].response.verdict().unwrap()
}

/// A problem with that verdict.
fn problem(right: usize) -> Problem {
    let bank = bank(&[VERDICT]);
    let drawn = |number| Problem::draw(&bank, template(&bank), number).unwrap();
    (0..10_000).map(drawn).find(|problem| verdict(problem).right == right).unwrap()
}

#[test]
fn each_verdict_comes_as_often_as_the_others() {
    let bank = bank(&[VERDICT]);
    let mut counts = [0_u32; 3];
    for number in 0..600 {
        counts[verdict(&Problem::draw(&bank, template(&bank), number).unwrap()).right] += 1;
    }
    assert!(counts.iter().all(|count| (160..=240).contains(count)), "{counts:?}");
}

#[test]
fn the_verdict_is_that_of_the_first_condition_that_holds() {
    let bank = bank(&[VERDICT]);
    for number in 0..100 {
        let problem = Problem::draw(&bank, template(&bank), number).unwrap();
        let off = problem.parts[0].response.number().unwrap().exact;
        let [five, ten] = [5, 10].map(castmark::quantity::Exact::whole);
        let expected = if off <= five { 0 } else { 1 + usize::from(off > ten) };
        assert_eq!(verdict(&problem).right, expected, "{off}");
        assert_eq!(verdict(&problem).because.is_empty(), expected != 0);
    }
}

#[test]
fn no_verdict_hangs_on_legal_rounding() {
    let bank = bank(&[VERDICT]);
    let template = template(&bank);
    let space = Space::of(template).unwrap();
    let mut looks = Stream::new(&Seed::from_bytes([1; 32]));
    let mut refused: BTreeMap<String, u32> = BTreeMap::new();
    for place in 0..space.size {
        match Problem::solved(template, &space, place, &mut looks) {
            Ok(solved) => {
                let (_, response) = solved.responses().find(|(part, _)| *part == 1).unwrap();
                let key = response.verdict().unwrap();
                assert_eq!(key.legal, [key.right]);
            }
            Err(refusal) => *refused.entry(refusal.explain(template)).or_default() += 1,
        }
    }
    assert!(refused.contains_key("legal rounding changes the answer of part `verdict`"));
}

#[test]
fn a_draw_in_which_no_verdict_holds_is_refused() {
    let last = "answer: the unit is outside the wide limits";
    let up_to_twenty = format!("{last}\n        when: off <= 20 %");
    let bank = bank(&[&VERDICT.replace(last, &up_to_twenty)]);
    let template = template(&bank);
    let space = Space::of(template).unwrap();
    let mut looks = Stream::new(&Seed::from_bytes([1; 32]));
    let (mut held, mut refused) = (0, 0);
    for place in 0..space.size {
        match Problem::solved(template, &space, place, &mut looks) {
            Ok(_) => held += 1,
            Err(refusal) => {
                let why = refusal.explain(template);
                refused += u32::from(why == "no verdict of part `verdict` holds");
            }
        }
    }
    assert!(held > 100 && refused > 100, "{held} {refused}");
}

#[test]
fn letters_and_words_are_read() {
    let problem = problem(1);
    assert_eq!(problem.parts[1].response.key().example(), "B");
    for answer in ["B", "b", "(b)", "The unit is outside the narrow limits only."] {
        assert!(mark(&problem, 1, answer).is_right(), "{answer}");
    }
    for answer in ["A", "the unit passes", "C", "A B", "5 %"] {
        assert_eq!(mark(&problem, 1, answer).marks(), 0, "{answer}");
    }
    for answer in ["D", ""] {
        assert_eq!(mark(&problem, 1, answer).standing(), Standing::NotRead, "{answer}");
    }
}

#[test]
fn the_slip_that_alone_leads_to_a_verdict_is_named() {
    // Half of more than 10 % is more than 5 %, and half of up to 20 % no more than 10 %.
    let bank = bank(&[VERDICT]);
    let wide = (0..10_000).map(|number| Problem::draw(&bank, template(&bank), number).unwrap());
    let problem = wide
        .filter(|problem| verdict(problem).right == 2)
        .find(|problem| verdict(problem).slips.iter().any(|slip| slip.option == 1))
        .unwrap();
    assert_eq!(mark(&problem, 1, "B").finding.slips(), [1]);
    assert!(matches!(mark(&problem, 1, "A").finding, Finding::Pieces(_)));
}

#[test]
fn a_verdict_follows_from_ones_own_number() {
    let problem = problem(2);
    let marks = |off: &str, verdict: &str| {
        let entries = [
            Entry { item: Item::Part(0), answer: off },
            Entry { item: Item::Part(1), answer: verdict },
        ];
        let marked = mark_problem(&problem, &entries, &Settings::default());
        marked.entries[1].verdict.marks()
    };
    // 7.1 % off would be outside the narrow limits only, and 3.1 % would pass.
    assert_eq!((marks("7.1 %", "B"), marks("7.1 %", "A"), marks("7.1 %", "C")), (1, 0, 1));
    assert_eq!((marks("3.1 %", "A"), marks("3.1 %", "B")), (1, 0));
}

#[test]
fn an_answer_is_worked_out_where_the_template_works_it_out_and_has_sources_elsewhere() {
    let banks = [castmark::bank::Bank::bundled().unwrap(), bank(&[VERDICT])];
    let mut seen = [0_u32; 3];
    for bank in &banks {
        for template in bank.templates() {
            for part in Problem::draw(bank, template, 1).unwrap().parts {
                let plan = template.parts.iter().find(|plan| plan.id == part.id).unwrap();
                let is_worked_out = part.response.is_worked_out();
                assert_eq!(is_worked_out, plan.wanted.is_worked_out(), "{}", template.id);
                let kind = match (plan.wanted.number(), plan.wanted.verdict()) {
                    (Some(_), _) => 0,
                    (_, Some(_)) => 1,
                    (None, None) => 2,
                };
                assert_eq!(is_worked_out, kind < 2, "{}: {}", template.id, part.id);
                let sources = part.response.sources();
                assert_eq!(sources.is_empty(), is_worked_out, "{}: {}", template.id, part.id);
                seen[kind] += 1;
            }
        }
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
}

#[test]
fn the_texts_of_a_question_are_those_that_are_printed_to_choose_from() {
    let banks = [castmark::bank::Bank::bundled().unwrap(), bank(&[VERDICT])];
    let templates = banks.iter().flat_map(|bank| bank.templates().iter().map(move |it| (bank, it)));
    let mut seen = [0_u32; 3];
    for (bank, template) in templates {
        for part in Problem::draw(bank, template, 1).unwrap().parts {
            let printed = match (&part.response, part.response.key().space()) {
                (Response::Judgement(key), AnswerSpace::Judgement { mut reasons, .. }) => {
                    seen[0] += 1;
                    reasons.push(key.statement.clone());
                    reasons
                }
                (response, AnswerSpace::Options { options, .. }) => {
                    seen[if response.is_worked_out() { 1 } else { 2 }] += 1;
                    options
                }
                _ => continue,
            };
            assert_eq!(part.response.key().texts(), printed, "{}", template.id);
        }
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
}
