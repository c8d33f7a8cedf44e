//! A second solver, written apart from the first and in fractions, that must agree with it.
//!
//! It shares nothing with the engine but the question bank: it has its own reading of the templates
//! and of formulas, its own units, and arithmetic that never rounds. What the engine wrote as given
//! is worked again, by the right rules and by every wrong one.

#[path = "independent/formula.rs"]
mod formula;
#[path = "independent/sheet.rs"]
mod sheet;
#[path = "independent/unit.rs"]
mod unit;

use castmark::bank::Bank;
use castmark::formula::Slot;
use castmark::problem::{Problem, Response};
use castmark::quantity::Exact;
use num_rational::BigRational;
use num_traits::Signed;

use formula::{Names, Value, decimal};
use sheet::{Sheet, rounded};
use unit::{coherent, counted_in};

/// How many draws of each template are worked again; `CASTMARK_DRAWS` asks for another number.
fn draws() -> u64 {
    std::env::var("CASTMARK_DRAWS").map_or(60, |number| number.parse().unwrap())
}

#[test]
fn a_second_solver_agrees_on_every_step_answer_and_slip() {
    let bank = Bank::bundled().unwrap();
    let files = Bank::bundled_files();
    for template in bank.templates() {
        let ending = format!("/{}.yaml", template.id);
        let file = files.iter().find(|file| file.path.ends_with(&ending)).unwrap();
        let sheet = Sheet::read(&file.text);
        for number in 0..draws() {
            let problem = Problem::draw(&bank, template, number).unwrap();
            let found = disagreements(&sheet, &problem);
            assert!(found.is_empty(), "{} {number}:\n{}", template.id, found.join("\n"));
        }
    }
}

#[test]
fn a_rule_that_differs_is_noticed() {
    let bank = Bank::bundled().unwrap();
    let files = Bank::bundled_files();
    let check = |rule: &str, other: &str, noticed: &[&str]| {
        let file = files.iter().find(|file| file.path.ends_with("/base-by-factor.yaml")).unwrap();
        assert!(file.text.contains(rule), "{rule}");
        let sheet = Sheet::read(&file.text.replace(rule, other));
        let problem = Problem::draw(&bank, bank.find("base-by-factor").unwrap(), 1).unwrap();
        let found = disagreements(&sheet, &problem).join("\n");
        for what in noticed {
            assert!(found.contains(what), "{what} is not in:\n{found}");
        }
    };
    check(
        "is: total - base_displaced",
        "is: total + base_displaced",
        &["step base:", "answer base:", "shown base:", "slip divided-by-the-factor in base:"],
    );
    check(
        "{ base: total - drug_mass }",
        "{ base: total + drug_mass }",
        &["slip whole-drug-subtracted in base:"],
    );
    check("drug.mould * (1 + departure)", "drug.mould * (2 + departure)", &["value capacity:"]);
}

/// Everything on which the two solvers differ.
fn disagreements(sheet: &Sheet, problem: &Problem) -> Vec<String> {
    let mut found = Vec::new();
    let mut check = |what: String, mine: Option<BigRational>, engine: Option<Exact>| {
        let agree = match (&mine, engine) {
            (Some(mine), Some(engine)) => is_close(&fraction_of(engine), mine),
            (None, None) => true,
            _ => false,
        };
        if !agree {
            found.push(format!("{what}: {mine:?} here, {engine:?} there"));
        }
    };
    let given = given(problem);
    for (name, formula, round) in &sheet.derived {
        let (slot, unit) = place(problem, name);
        let exact = formula.number(&given).and_then(|number| counted_in(&unit, &number));
        if let Some(mine) = exact.and_then(|number| rounded(&number, round)) {
            check(format!("value {name}"), Some(mine), number(&problem.draw.written[slot]));
        }
    }
    let names = sheet.work(&given, &[]).expect("a drawn problem has a result");
    for (name, _) in &sheet.steps {
        let (slot, _) = place(problem, name);
        check(format!("step {name}"), Some(of(&names, name)), number(&problem.slots[slot]));
    }
    for condition in &sheet.require {
        assert_eq!(condition.truth(&names), Some(true), "{} does not hold", problem.template.id);
    }
    let wrong: Vec<Option<Names>> =
        sheet.slips.iter().map(|(_, instead)| sheet.work(&given, instead)).collect();
    assert_eq!(sheet.parts.len(), problem.parts.len());
    for (plan, part) in sheet.parts.iter().zip(&problem.parts) {
        assert_eq!(plan.id, part.id);
        let Response::Number(key) = &part.response;
        let asked = |names: &Names| counted_in(&plan.unit, &of(names, &plan.answer));
        let answer = asked(&names).unwrap();
        check(format!("answer {}", plan.id), Some(answer.clone()), Some(key.exact));
        if let Some(shown) = rounded(&answer, &plan.round) {
            check(format!("shown {}", plan.id), Some(shown), Some(key.shown));
        }
        for (index, ((id, _), names)) in sheet.slips.iter().zip(&wrong).enumerate() {
            // A wrong rule that leads to the right number is no slip there.
            let mine = names.as_ref().and_then(asked).filter(|mine| !is_close(&answer, mine));
            let engine = key.slips.iter().find(|slip| slip.slip == index).map(|slip| slip.value);
            let engine = engine.filter(|value| !is_close(&answer, &fraction_of(*value)));
            check(format!("slip {id} in {}", plan.id), mine, engine);
        }
    }
    found
}

/// What the sheet gives, as written, in coherent units.
fn given(problem: &Problem) -> Names {
    let mut given = Names::new();
    for (name, slot) in problem.template.names.iter().zip(&problem.draw.written) {
        let unit = name.unit.to_string();
        let one = |number: &Exact| coherent(&unit, &fraction_of(*number)).unwrap();
        let value = match slot {
            Slot::Empty => continue,
            Slot::Number(number) => Value::Number(one(number)),
            Slot::List(list) => Value::List(list.iter().map(one).collect()),
        };
        given.insert(name.name.clone(), value);
    }
    given
}

/// The slot of a name and its unit.
fn place(problem: &Problem, name: &str) -> (usize, String) {
    let names = &problem.template.names;
    let slot = names.iter().position(|known| known.name == name).unwrap();
    (slot, names[slot].unit.to_string())
}

fn of(names: &Names, name: &str) -> BigRational {
    match &names[name] {
        Value::Number(number) => number.clone(),
        other => panic!("`{name}` is {other:?}"),
    }
}

fn number(slot: &Slot) -> Option<Exact> {
    match slot {
        Slot::Number(number) => Some(*number),
        _ => None,
    }
}

fn fraction_of(number: Exact) -> BigRational {
    decimal(&number.to_string())
}

/// Whether two numbers agree to 18 figures, or both are nothing to 24 places.
fn is_close(one: &BigRational, other: &BigRational) -> bool {
    let apart = (one - other).abs();
    apart <= other.abs() * decimal("0.000000000000000001")
        || apart <= decimal("0.000000000000000000000001")
}
