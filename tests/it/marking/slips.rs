//! Slips: which of them keep the method, along which working they are found, and two at once.

use std::fmt::Write as _;

use castmark::bank::{Bank, SourceText};
use castmark::marking::Standing::{NotCorrect, PartlyCorrect};
use castmark::marking::{Cause, Finding, Item, Lies, Rule, Settings, explain, mark, mark_problem};
use castmark::problem::Problem;
use castmark::quantity::Exact;

use super::rules::{check, found, part, problem, step};

/// A problem of a template with these values, working, parts and slips.
fn made(text: &str) -> Problem {
    let head = "\
castmark: 1
id: two-masses
title: Two masses
objective: base-quantity
topic: plain
level: 1
minutes: 3
convention: none
about: Two masses are worked with.
";
    let source = SourceText::new("two-masses.yaml", format!("{head}{text}"));
    let bank = Bank::load(&[source]).unwrap_or_else(|report| panic!("{report}"));
    Problem::draw(&bank, bank.find("two-masses").unwrap(), 1).unwrap()
}

#[test]
fn one_slip_in_a_step_that_is_not_asked_keeps_the_marks_for_method() {
    // 12 of the marked 4 g are 48.00 g; 48.00 - 2.25 = 45.75 g: all but the capacity is right.
    let marked = check(&[part(2, "45.75 g")], &Settings::default(), &[(PartlyCorrect, 1)]);
    assert_eq!(marked.entries[0].verdict.award.rule, Rule::OneSlip);
    // Writing the step down as well changes nothing.
    let shown = [step(2, "48.00 g"), part(2, "45.75 g")];
    check(&shown, &Settings::default(), &[(NotCorrect, 0), (PartlyCorrect, 1)]);
    // The whole drug taken off, 52.80 - 3.60 = 49.20 g, is a wrong rule in the step that is asked.
    check(&[part(2, "49.20 g")], &Settings::default(), &[(NotCorrect, 0)]);
}

/// Of two slips the method is kept for one, and that is the one for which it is worth more.
#[test]
fn the_method_is_kept_for_the_slip_that_would_cost_more() {
    let text = "\
values:
  one: { unit: g, choose: [20.25, 25.25] }
  other: { unit: g, choose: [30.50, 40.50] }
stem: ['Double {{ one }} and {{ other }}.', 'There are {{ one }} and {{ other }}.']
working:
  first: { say: Take one., is: one * 1, unit: g, show: 2 places }
  twice: { say: Double it., is: first * 2, unit: g, show: 2 places }
  second: { say: Take the other., is: other * 1, unit: g, show: 2 places }
  double: { say: Double it., is: second * 2, unit: g, show: 2 places }
parts:
  twice: { ask: How much is twice the first?, unit: g, round: 2 places, tolerance: 0.01, marks: 2 }
  double: { ask: How much is twice the other?, unit: g, round: 2 places, tolerance: 0.01, marks: 4 }
slips:
  first-off: { instead: { first: one + 1 g }, say: You took one too much of the first. }
  second-off: { instead: { second: other + 3 g }, say: You took three too much of the other. }
";
    let problem = made(text);
    let key = |part: usize| problem.parts[part].response.number().unwrap();
    let off = |part: usize, by: i64| key(part).exact.add(Exact::whole(by)).unwrap().to_string();
    let answers = [off(0, 2), off(1, 6)];
    let entries = [part(0, &answers[0]), part(1, &answers[1])];
    let marked = mark_problem(&problem, &entries, &Settings::default());
    let method = key(1).method_marks;
    assert!(key(0).method_marks < method);
    assert_eq!(found(&marked), [(NotCorrect, 0), (PartlyCorrect, method)]);
}

/// A slip in a step of the second method alone is looked for along that method.
#[test]
fn a_slip_in_another_method_is_found_along_that_method() {
    let text = "\
values:
  one: { unit: g, choose: [20.25, 25.25] }
  other: { unit: g, choose: [30.50, 40.50] }
stem: ['Add {{ one }} and {{ other }}.', 'There are {{ one }} and {{ other }}.']
working:
  total: { say: Add them., is: one + other, unit: g, show: 2 places }
methods:
  at-once: { title: At once }
  by-the-mean:
    title: By the mean
    working:
      middle: { say: Take the mean., is: (one + other) / 2, unit: g, show: 3 places }
      total: { say: Double it., is: 2 * middle, unit: g, show: 2 places }
parts:
  total: { ask: How much is it?, unit: g, round: 2 places, tolerance: 0.01, marks: 2 }
slips:
  not-halved: { instead: { middle: one + other }, say: You did not halve the sum. }
";
    let problem = made(text);
    let doubled = problem.parts[0].response.number().unwrap().exact.mul(Exact::whole(2)).unwrap();
    let verdict = mark(&problem, 0, &doubled.to_string());
    assert_eq!(verdict.finding.slips(), [0]);
    assert_eq!(problem.first_wrong_step(&[0]), Some(0));
}

#[test]
fn two_slips_at_once_are_found_and_told() {
    // The marked size and the whole drug: 48.00 - 3.60 = 44.40 g.
    let problem = problem();
    let verdict = mark(&problem, 2, "44.40 g");
    assert_eq!((verdict.standing(), verdict.marks()), (NotCorrect, 0));
    let kinds: Vec<&str> = verdict.finding.causes().iter().map(Cause::kind).collect();
    assert_eq!(kinds, ["two-slips"]);
    let slips = verdict.finding.slips();
    let id = |slip: &usize| problem.template.slips[*slip].id.as_str();
    let mut ids: Vec<&str> = slips.iter().map(id).collect();
    ids.sort_unstable();
    assert_eq!(ids, ["marked-size", "whole-drug-subtracted"]);
    let says =
        explain(&problem, &Bank::bundled().unwrap(), Item::Part(2), &verdict, &Settings::default());
    assert!(
        says[0].text.starts_with("44.40 g is the result of two slips together. First: You "),
        "{says:?}"
    );
    assert!(says[0].text.contains("step 3, total capacity"), "{says:?}");
}

/// Two masses that are added, with so many slips for each; the slips of a pair make 10 g together.
fn many_slips(count: u32, masses: [&str; 2]) -> Problem {
    let [one, other] = masses;
    let mut text = "\
values:
  one: { unit: g, choose: [FIRST] }
  other: { unit: g, choose: [SECOND] }
stem: ['Add {{ one }} and {{ other }}.', 'There are {{ one }} and {{ other }}.']
working:
  first: { say: Take one., is: one * 1, unit: g, show: 2 places }
  second: { say: Take the other., is: other * 1, unit: g, show: 2 places }
  total: { say: Add them., is: first + second, unit: g, show: 2 places }
parts:
  total: { ask: How much is it?, unit: g, round: 2 places, tolerance: 0.01, marks: 2 }
slips:
"
    .replace("FIRST", one)
    .replace("SECOND", other);
    for more in 1..=count {
        let rest = 10 - more;
        writeln!(text, "  one-{more}: {{ instead: {{ first: one + {more} g }}, say: No. }}")
            .unwrap();
        writeln!(text, "  other-{more}: {{ instead: {{ second: other + {rest} g }}, say: No. }}")
            .unwrap();
    }
    made(&text)
}

#[test]
fn a_number_that_more_than_three_pairs_of_slips_fit_is_told_by_none() {
    let found = |count: u32, masses: [&str; 2]| {
        let problem = many_slips(count, masses);
        let key = problem.parts[0].response.number().unwrap();
        let off = key.exact.add(Exact::whole(10)).unwrap();
        mark(&problem, 0, &off.to_string()).finding
    };
    let fine = ["20.25, 25.25", "30.50, 40.50"];
    let kinds: Vec<&str> = found(3, fine).causes().iter().map(Cause::kind).collect();
    assert_eq!(kinds, ["two-slips"; 3]);
    let unexplained = Finding::Unexplained(Lies::Far { above: true });
    assert_eq!(found(4, fine), unexplained);
    // 50 g and 60 g are met by chance, with so few figures.
    assert_eq!(found(1, ["20", "20, 30"]), unexplained);
}
