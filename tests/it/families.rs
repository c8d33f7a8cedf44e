//! Published examples of product checks, put through the question bank and marked as answers.

use castmark::bank::Bank;
use castmark::formula::Slot;
use castmark::marking::{Standing, mark};
use castmark::problem::{Given, GivenValue, Problem};
use castmark::quantity::{Exact, read_quantity};

#[track_caller]
fn check(template: &str, given: &[(&str, &str)], part: &str, answer: &str) {
    let bank = Bank::bundled().unwrap();
    let one = |(name, text): &(&str, &str)| {
        ((*name).to_owned(), GivenValue::One(read_quantity(text).unwrap()))
    };
    let given = Given { values: given.iter().map(one).collect(), ..Given::default() };
    let problem = Problem::from_values(&bank, bank.find(template).unwrap(), &given)
        .unwrap_or_else(|problems| panic!("{template}: {problems:?}"));
    let place = problem.parts.iter().position(|known| known.id == part).unwrap();
    let verdict = mark(&problem, place, answer);
    assert_eq!(verdict.standing(), Standing::Correct, "{:?}", verdict.finding);
}

/// USP, frequently asked questions on <905>: mean 105.9, s 5.0, ten units, acceptance value 16.4
/// (<https://www.usp.org/frequently-asked-questions/uniformity-dosage-units>).
#[test]
fn the_published_acceptance_value_is_right() {
    let given = [("average", "105.9 %"), ("spread", "5.0 %")];
    check("acceptance-value", &given, "reference", "101.5 %");
    check("acceptance-value", &given, "acceptance", "16.4 %");
}

/// A balance of 6 mg sensitivity: 120 mg at 5 % and 600 mg at 1 %
/// (<https://basicmedicalkey.com/accurate-weighing-for-prescriptions>).
#[test]
fn the_published_least_weighable_quantities_are_right() {
    for (permitted, least) in [("5 %", "120 mg"), ("1 %", "600 mg")] {
        let given = [("sensitivity", "6 mg"), ("permitted", permitted), ("wanted", "50 mg")];
        check("least-weighable", &given, "least", least);
        check("least-weighable", &given, "error", "12.0 %");
    }
}

/// A drawing shows the batch that is weighed, excess included: its base and its drugs are asked for or
/// are masses of the batch table, and its parts fill the mould.
#[test]
fn a_drawing_shows_the_masses_that_are_weighed() {
    let bank = Bank::bundled().unwrap();
    let drawn = bank.templates().iter().filter_map(|template| {
        let plan = template.drawing.as_ref()?;
        Some((template, plan))
    });
    for (template, plan) in drawn {
        let weighed: Vec<usize> = template.batch.iter().map(|row| row.all).collect();
        for shown in plan.drugs.iter().chain([&plan.base]) {
            let name = &template.names[*shown].name;
            let asked = template.parts.iter().any(|part| part.id == *name);
            assert!(asked || weighed.contains(shown), "{}: `{name}` is not weighed", template.id);
        }
        for number in 0..20 {
            let problem = Problem::draw(&bank, template, number).unwrap();
            let mass = |slot: usize| match &problem.slots[slot] {
                Slot::Number(number) => *number,
                other => panic!("{}: {other:?}", template.id),
            };
            let displaced = plan.displaced.iter().map(|slot| mass(*slot));
            let filled = displaced.fold(mass(plan.base), |sum, part| sum.add(part).unwrap());
            let apart = filled.sub(mass(plan.mould)).unwrap().abs();
            assert!(apart < Exact::parse("0.000000000001").unwrap(), "{} {number}", template.id);
        }
    }
}
