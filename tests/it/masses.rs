//! The masses that a worked solution names: each of them is a value of the working for the batch that
//! is asked for.

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use castmark::bank::{Bank, Template, ValueRule};
use castmark::formula::Slot;
use castmark::problem::{Given, GivenProblem, GivenValue, Problem, Response};
use castmark::quantity::{Dimension, Exact, Typed, Unit};
use proptest::prelude::*;

fn bundled() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

/// The templates that ask for a number.
fn calculations() -> Vec<&'static Arc<Template>> {
    let asks = |template: &&Arc<Template>| {
        template.parts.iter().any(|part| part.wanted.number().is_some())
    };
    bundled().templates().iter().filter(asks).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn every_mass_in_a_worked_solution_is_a_value_of_the_working(number in 0..1_000_000_u64) {
        for template in calculations() {
            let problem = Problem::draw(bundled(), template, number).unwrap();
            let strange = strange_masses(&problem);
            prop_assert!(strange.is_empty(), "{} {number}: {strange:?}", template.id);
        }
    }

    /// The same numbers given by hand, and then seven more of whatever is counted, as at a bench with
    /// another mould.
    #[test]
    fn every_mass_of_ones_own_batch_is_a_value_of_its_working(number in 0..1_000_000_u64) {
        let mut worked = 0;
        for template in calculations() {
            let drawn = Problem::draw(bundled(), template, number).unwrap();
            for more in [0, 7] {
                let given = given_as_drawn(&drawn, more);
                let problem = match Problem::from_values(bundled(), template, &given) {
                    Ok(problem) => problem,
                    // Numbers that are out of proportion may have no result, but drawn ones have.
                    Err(problems) => {
                        prop_assert!(more > 0, "{} {number}: {problems:?}", template.id);
                        continue;
                    }
                };
                let strange = strange_masses(&problem);
                prop_assert!(strange.is_empty(), "{} {number} + {more}: {strange:?}", template.id);
                worked += 1;
            }
        }
        prop_assert!(worked > 3 * calculations().len() / 2, "{worked} worked");
    }
}

/// A batch table and a drawing show what is weighed, with the reserve: where a template weighs more than
/// the units contain, every one of their masses follows from how much more that is.
#[test]
fn tables_and_drawings_include_the_reserve() {
    let mut checked = 0;
    for template in calculations() {
        let is_reserve = |name: &str| ["excess", "extra"].contains(&name);
        let Some(reserve) = template.names.iter().position(|name| is_reserve(&name.name)) else {
            continue;
        };
        let drawn = template.drawing.iter().flat_map(|plan| {
            let ends = [plan.mould, plan.base];
            ends.into_iter().chain(plan.displaced.clone()).chain(plan.drugs.clone())
        });
        for slot in template.batch.iter().map(|row| row.all).chain(drawn) {
            let name = &template.names[slot].name;
            assert!(follows(template, slot, reserve), "{}: `{name}` is without it", template.id);
            checked += 1;
        }
    }
    assert!(checked >= 15, "{checked}");
}

/// Whether a step, or a value that is worked out from others, follows from a value.
fn follows(template: &Template, slot: usize, value: usize) -> bool {
    let step = template.working.iter().find(|step| step.slot == slot).map(|step| &step.program);
    let derived = template.values.iter().find_map(|one| match &one.rule {
        ValueRule::Derived { slot: of, program, .. } if *of == slot => Some(program),
        _ => None,
    });
    slot == value
        || step.or(derived).is_some_and(|program| {
            program.reads().iter().any(|read| follows(template, *read, value))
        })
}

/// The masses of the worked solution that are no value of the working, each with where it is said.
fn strange_masses(problem: &Problem) -> Vec<String> {
    let bank = bundled();
    let mut said: Vec<(String, String)> = Vec::new();
    let mut results = BTreeSet::new();
    let methods = problem.methods(bank).unwrap().into_iter().flat_map(|method| method.steps);
    for step in problem.working(bank).unwrap().into_iter().chain(methods) {
        results.extend(masses_in(&step.result));
        said.push((format!("step {}", step.name), step.say));
    }
    said.extend(problem.plausible(bank).unwrap().map(|text| ("plausible".to_owned(), text)));
    for part in &problem.parts {
        if let Response::Verdict(key) = &part.response {
            said.push((format!("verdict of {}", part.id), key.because.clone()));
        }
    }
    for row in problem.batch(bank).unwrap() {
        let masses = format!("{} and {}", row.each.unwrap_or_default(), row.all);
        said.push((format!("batch, {}", row.what), masses));
    }
    let mut strange = Vec::new();
    for (place, text) in said {
        for mass in masses_in(&text) {
            if !results.contains(&mass) && !is_value(problem, &mass) {
                strange.push(format!("{} {} ({place})", mass.0, mass.1));
            }
        }
    }
    if let Some(drawing) = problem.drawing() {
        let mut shown = vec![drawing.mould, drawing.base];
        shown.extend(drawing.displaced.iter().chain(&drawing.drugs).map(|(_, mass)| *mass));
        let is_known = |mass: &Exact| {
            problem.slots.iter().any(|slot| matches!(slot, Slot::Number(known) if known == mass))
        };
        strange.extend(
            shown.iter().filter(|mass| !is_known(mass)).map(|mass| format!("{mass} drawn")),
        );
    }
    strange
}

/// The numbers of a text that have a unit of mass behind them, as written. What stands for a unit of
/// measure, as in "1 g of the mixture", is none.
fn masses_in(text: &str) -> Vec<(String, String)> {
    let words: Vec<&str> =
        text.split(|sign: char| sign.is_whitespace() || "()/".contains(sign)).collect();
    let masses = words.windows(2).filter_map(|pair| {
        let unit = pair[1].trim_end_matches(['.', ',', ';', ':', '?']);
        let number = pair[0].replace('−', "-");
        let is_mass = ["g", "mg", "kg"].contains(&unit) && Exact::parse(&number).is_some();
        (is_mass && (number.as_str(), unit) != ("1", "g")).then(|| (number, unit.to_owned()))
    });
    masses.collect()
}

/// Whether a mass as written is a value of the working, rounded as far as it is written.
fn is_value(problem: &Problem, (written, unit): &(String, String)) -> bool {
    let (written, unit) = (Exact::parse(written).unwrap(), Unit::parse(unit).unwrap());
    let mut numbers = problem.template.names.iter().zip(&problem.slots).flat_map(|(name, slot)| {
        let dimension = name.unit.dimension();
        let is_mass =
            dimension == Dimension::MASS || dimension == Unit::parse("g/unit").unwrap().dimension();
        match slot {
            Slot::Number(number) if is_mass => vec![*number],
            Slot::List(list) if is_mass => list.clone(),
            _ => Vec::new(),
        }
    });
    numbers.any(|number| {
        let number = unit.from_coherent(number).unwrap();
        // A number is shown with fewer places where it is whole, so the written one decides.
        number.to_places(written.places()) == written
    })
}

/// What `work` needs, with the numbers of a draw and so many more of whatever is counted.
fn given_as_drawn(drawn: &Problem, more: i64) -> Given {
    let template = &drawn.template;
    let Err(problems) = Problem::from_values(bundled(), template, &Given::default()) else {
        return Given::default();
    };
    let mut given = Given::default();
    for problem in problems {
        let GivenProblem::Missing { name, unit, .. } = problem else { panic!("{problem}") };
        let slot = template.names.iter().position(|known| known.name == name).unwrap();
        let is_count = unit.dimension() == Dimension::COUNT;
        let typed = |number: &Exact| Typed {
            number: if is_count { number.add(Exact::whole(more)).unwrap() } else { *number },
            unit: None,
        };
        let value = match &drawn.draw.written[slot] {
            Slot::Number(number) => GivenValue::One(typed(number)),
            Slot::List(list) => GivenValue::Several(list.iter().map(typed).collect()),
            Slot::Empty => panic!("{name} was not drawn"),
        };
        given.values.push((name, value));
    }
    given
}
