//! A second solver, written apart from the first and in fractions, that must agree with it.
//!
//! It shares nothing with the engine but the question bank: it has its own reading of the templates
//! and of formulas, its own units, and arithmetic that never rounds. What the engine wrote as given
//! is worked again, by the right rules, by every wrong one, and along the legal ways of rounding.

#[path = "independent/formula.rs"]
mod formula;
#[path = "independent/offer.rs"]
mod offer;
#[path = "independent/rounding.rs"]
mod rounding;
#[path = "independent/sheet.rs"]
mod sheet;
#[path = "independent/unit.rs"]
mod unit;

use std::collections::BTreeMap;
use std::num::NonZero;
use std::sync::Arc;
use std::thread;

use castmark::bank::{Bank, SourceText, Template};
use castmark::formula::Slot;
use castmark::problem::{NumberKey, Problem};
use castmark::quantity::Exact;
use num_rational::BigRational;
use num_traits::Signed;

use formula::{Formula, Names, Value, decimal};
use offer::{Facts, Offer};
use rounding::Ways;
use sheet::{Part, Sheet, rounded};
use unit::{coherent, counted_in};

/// How many draws of each template are worked again; `CASTMARK_DRAWS` asks for another number.
fn draws() -> u64 {
    std::env::var("CASTMARK_DRAWS").map_or(25, |number| number.parse().unwrap())
}

/// Every so many draws the ways of rounding are walked too, which takes far longer.
const WALKED: u64 = 20;

#[test]
fn a_second_solver_agrees_on_every_draw() {
    let bank = Bank::bundled().unwrap();
    let files = Bank::bundled_files();
    let threads = thread::available_parallelism().map_or(1, NonZero::get);
    thread::scope(|scope| {
        for first in 0..threads {
            let own = bank.templates().iter().skip(first).step_by(threads);
            let (bank, files) = (&bank, &files);
            scope.spawn(move || own.for_each(|template| agree(bank, files, template)));
        }
    });
}

/// Works the draws of one template again.
fn agree(bank: &Bank, files: &[SourceText], template: &Arc<Template>) {
    let solver = Solver::of(files, file(files, &template.id));
    for number in 0..draws() {
        let problem = Problem::draw(bank, template, number).unwrap();
        let mut found = solver.disagreements(&problem);
        if number % WALKED == 0 {
            found.extend(solver.disagreements_on_rounding(&problem));
        }
        assert!(found.is_empty(), "{} {number}:\n{}", template.id, found.join("\n"));
    }
}

#[test]
fn a_rule_that_differs_is_noticed() {
    let bank = Bank::bundled().unwrap();
    let files = Bank::bundled_files();
    let check = |rule: &str, other: &str, noticed: &[&str]| {
        let text = file(&files, "base-by-factor");
        assert!(text.contains(rule), "{rule}");
        let solver = Solver::of(&files, &text.replacen(rule, other, 1));
        let problem = Problem::draw(&bank, bank.find("base-by-factor").unwrap(), 1).unwrap();
        let mut found = solver.disagreements(&problem);
        found.extend(solver.disagreements_on_rounding(&problem));
        let found = found.join("\n");
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
    check("from: -4, to: 11", "from: 40, to: 50", &["`departure` is not what its rule gives"]);
    check(
        "pick: factors",
        "pick: factors\n    where: factor > 9",
        &["`drug` is not what its rule gives"],
    );
    check("tolerance: 0.0", "tolerance: 0.9", &["lowest right"]);
    check("show: 3 places", "show: whole", &["lowest legal"]);
}

/// The text of a template.
fn file<'a>(files: &'a [SourceText], id: &str) -> &'a str {
    let ending = format!("/{id}.yaml");
    &files.iter().find(|file| file.path.ends_with(&ending)).unwrap().text
}

/// The second solver of one template.
struct Solver {
    facts: Facts,
    sheet: Sheet,
    offers: Vec<Offer>,
    /// The unit of every value and step.
    units: BTreeMap<String, String>,
    ways: Ways,
    /// The sheet by each other method, with its ways of rounding.
    others: Vec<(Sheet, Ways)>,
}

/// What the two solvers differ on.
#[derive(Default)]
struct Differences(Vec<String>);

impl Differences {
    fn check(&mut self, what: &str, mine: Option<&BigRational>, engine: Option<Exact>) {
        let agree = match (mine, engine) {
            (Some(mine), Some(engine)) => is_close(&fraction_of(engine), mine),
            (None, None) => true,
            _ => false,
        };
        if !agree {
            self.0.push(format!("{what}: {mine:?} here, {engine:?} there"));
        }
    }
}

impl Solver {
    fn of(files: &[SourceText], template: &str) -> Self {
        let facts = Facts::read(files.iter().map(|file| &*file.text));
        let sheet = Sheet::read(template);
        let offers = Offer::all(template);
        let mut units = sheet.units.clone();
        units.extend(offers.iter().flat_map(|offer| offer.units(&facts)));
        let ways = Ways::of(&sheet);
        let others = Sheet::by_other_methods(template).into_iter();
        let others = others.map(|sheet| (sheet.clone(), Ways::of(&sheet))).collect();
        Self { facts, sheet, offers, units, ways, others }
    }

    /// Everything but rounding: what is given, the steps, the answers, the slips.
    fn disagreements(&self, problem: &Problem) -> Vec<String> {
        let mut found = Differences::default();
        let given = self.given(problem);
        found.0.extend(self.offers.iter().filter_map(|offer| offer.refuses(&given, &self.facts)));
        for (name, formula, round) in &self.sheet.derived {
            let exact = formula.number(&given).unwrap();
            let mine = rounded(&counted_in(&self.units[name], &exact).unwrap(), round);
            let slot = place(problem, name);
            found.check(
                &format!("value {name}"),
                mine.as_ref(),
                number(&problem.draw.written[slot]),
            );
        }
        let names = self.sheet.work(&given, &[]).expect("a drawn problem has a result");
        for (name, _) in &self.sheet.steps {
            let engine = number(&problem.slots[place(problem, name)]);
            found.check(&format!("step {name}"), Some(&of(&names, name)), engine);
        }
        for condition in &self.sheet.require {
            if condition.truth(&names) != Some(true) {
                found.0.push("a requirement does not hold".to_owned());
            }
        }
        let slips = &self.sheet.slips;
        let wrong: Vec<Option<Names>> =
            slips.iter().map(|(_, instead)| self.sheet.work(&given, instead)).collect();
        for (plan, key) in self.parts(problem) {
            let asked = |names: &Names| counted_in(&plan.unit, &of(names, &plan.answer));
            let answer = asked(&names).unwrap();
            found.check(&format!("answer {}", plan.id), Some(&answer), Some(key.exact));
            let shown = rounded(&answer, &plan.round);
            found.check(&format!("shown {}", plan.id), shown.as_ref(), Some(key.shown));
            for (index, ((id, _), names)) in slips.iter().zip(&wrong).enumerate() {
                // A wrong rule that leads to the right number is no slip there.
                let mine = names.as_ref().and_then(asked).filter(|mine| !is_close(&answer, mine));
                let engine = key.slips.iter().find(|slip| slip.slip == index);
                let engine = engine.map(|slip| slip.value);
                let engine = engine.filter(|value| !is_close(&answer, &fraction_of(*value)));
                found.check(&format!("slip {id} in {}", plan.id), mine.as_ref(), engine);
            }
        }
        found.0.extend(self.other_verdicts(problem, &names, &wrong));
        found.0
    }

    /// Verdicts on which the two solvers differ, of the right working and of each slip.
    fn other_verdicts(
        &self,
        problem: &Problem,
        names: &Names,
        wrong: &[Option<Names>],
    ) -> Vec<String> {
        let mut found = Vec::new();
        for (id, verdicts) in &self.sheet.verdicts {
            let part = problem.parts.iter().find(|part| part.id == *id).unwrap();
            let key = part.response.verdict().unwrap();
            let decide = |names: &Names| {
                let holds = |when: &Option<Formula>| {
                    when.as_ref().is_none_or(|when| when.truth(names) == Some(true))
                };
                verdicts.iter().position(holds)
            };
            if decide(names) != Some(key.right) {
                found.push(format!("verdict {id}: {:?} here, {} there", decide(names), key.right));
            }
            for (index, names) in wrong.iter().enumerate() {
                let mine = names.as_ref().and_then(decide).filter(|mine| *mine != key.right);
                let told =
                    |option| key.slips.iter().any(|it| it.slip == index && it.option == option);
                if mine.is_some_and(|mine| !told(mine)) {
                    found.push(format!("verdict {id}: slip {index} leads to {mine:?} here"));
                }
            }
        }
        found
    }

    /// The answers that legal rounding leads to, and the range that is right.
    fn disagreements_on_rounding(&self, problem: &Problem) -> Vec<String> {
        let mut found = Differences::default();
        let given = self.given(problem);
        let mut hulls = self.ways.hulls(&self.sheet, &given);
        for (sheet, ways) in &self.others {
            for (hull, (low, high)) in hulls.iter_mut().zip(ways.hulls(sheet, &given)) {
                *hull = (hull.0.clone().min(low), hull.1.clone().max(high));
            }
        }
        let all = self.ways.all && self.others.iter().all(|(_, ways)| ways.all);
        for ((plan, key), (low, high)) in self.parts(problem).zip(hulls) {
            let id = &plan.id;
            let low = counted_in(&plan.unit, &low).unwrap();
            let high = counted_in(&plan.unit, &high).unwrap();
            let (engine_low, engine_high) =
                (fraction_of(key.legal_low), fraction_of(key.legal_high));
            if all {
                found.check(&format!("lowest legal {id}"), Some(&low), Some(key.legal_low));
                found.check(&format!("highest legal {id}"), Some(&high), Some(key.legal_high));
            } else if low < engine_low && !is_close(&low, &engine_low)
                || high > engine_high && !is_close(&high, &engine_high)
            {
                found.0.push(format!("a legal {id} is refused: {low} to {high}"));
            }
            let tolerance = match plan.tolerance.split_once('%') {
                Some((percent, _)) => {
                    fraction_of(key.exact).abs() * decimal(percent.trim()) / decimal("100")
                }
                None => decimal(&plan.tolerance),
            };
            // What a step shows, rounded as asked, is right as well: 3.846, shown as 3.85, is 3.9.
            let mut ends = (&engine_low - &tolerance, &engine_high + &tolerance);
            if let Some(ways) = self.sheet.roundings.get(&plan.answer) {
                let own = &self.units[&plan.answer];
                let twice = |end: &BigRational| {
                    let shown = counted_in(own, &coherent(&plan.unit, end)?)?;
                    let shown = coherent(own, &rounded(&shown, &ways[0])?)?;
                    rounded(&counted_in(&plan.unit, &shown)?, &plan.round)
                };
                let [low, high] = [&engine_low, &engine_high].map(twice);
                ends = (
                    low.map_or(ends.0.clone(), |low| low.min(ends.0.clone())),
                    high.map_or(ends.1.clone(), |high| high.max(ends.1.clone())),
                );
            }
            let once = [&engine_low, &engine_high].map(|end| rounded(end, &plan.round).unwrap());
            let (low, high) = (ends.0.min(once[0].clone()), ends.1.max(once[1].clone()));
            found.check(&format!("lowest right {id}"), Some(&low), Some(key.low));
            found.check(&format!("highest right {id}"), Some(&high), Some(key.high));
        }
        found.0
    }

    /// The parts of the two solvers side by side.
    fn parts<'a>(
        &'a self,
        problem: &'a Problem,
    ) -> impl Iterator<Item = (&'a Part, &'a NumberKey)> {
        let numeric = problem.parts.iter().filter(|part| part.response.number().is_some());
        assert_eq!(self.sheet.parts.len(), numeric.clone().count());
        self.sheet.parts.iter().zip(numeric).filter_map(|(plan, part)| {
            assert_eq!(plan.id, part.id);
            part.response.number().map(|key| (plan, key))
        })
    }

    /// What the problem gives, as written, in coherent units.
    fn given(&self, problem: &Problem) -> Names {
        let mut given = Names::new();
        for (name, slot) in problem.template.names.iter().zip(&problem.draw.written) {
            let one =
                |number: &Exact| coherent(&self.units[&name.name], &fraction_of(*number)).unwrap();
            let value = match slot {
                Slot::Empty => continue,
                Slot::Number(number) => Value::Number(one(number)),
                Slot::List(list) => Value::List(list.iter().map(one).collect()),
            };
            given.insert(name.name.clone(), value);
        }
        given
    }
}

/// The slot of a name.
fn place(problem: &Problem, name: &str) -> usize {
    problem.template.names.iter().position(|known| known.name == name).unwrap()
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
