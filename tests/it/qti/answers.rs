//! Answers to a part: right, rounded, wrong, of a known slip and absurd ones, each as it is typed for
//! the program and as a platform hands it over.

use castmark::problem::{NumberKey, Part, Response, letter};
use castmark::quantity::{Exact, Quantity, Unit};

use super::interpreter::Value;

/// An answer.
#[derive(Clone, Debug)]
pub(super) struct Given {
    /// As it is typed for the program.
    pub(super) typed: String,
    /// The variables that a platform sets.
    pub(super) values: Vec<(String, Value)>,
}

/// The answers to a part, by its place.
pub(super) fn answers(part: &Part, place: usize) -> Vec<Given> {
    let name = format!("ANSWER_{}", letter(place, 'A'));
    match &part.response {
        Response::Number(key) => {
            numbers(key).into_iter().map(|typed| number(&name, &typed)).collect()
        }
        Response::Verdict(key) => {
            (0..key.options.len()).map(|it| chosen(&name, &[it], false)).collect()
        }
        Response::Choice(key) => {
            let options = key.options.len();
            if !key.several {
                return (0..options).map(|it| chosen(&name, &[it], false)).collect();
            }
            let subsets = 1..1_u32 << options;
            let places = |subset: u32| (0..options).filter(move |it| subset & (1 << it) != 0);
            subsets.map(|it| chosen(&name, &places(it).collect::<Vec<_>>(), true)).collect()
        }
        Response::Judgement(key) => judgements(&name, key.reasons.len(), key.right.is_some()),
        Response::Matching(key) => matchings(&name, &key.answers, key.right.len(), key.shared),
        Response::Ordering(key) => orders(&name, &key.order),
        Response::Text(key) => {
            let known = key.answers.iter().chain(&key.others);
            let known =
                known.flat_map(|term| [term.clone(), term.to_uppercase(), format!(" {term} ")]);
            let right = &key.answers[0];
            let spelt = [format!("the {right}"), right.replace(' ', "-"), format!("{right}.")];
            known.chain(spelt).map(|typed| word(&name, &typed)).collect()
        }
        Response::Range(key) => {
            let mut ends = vec![(key.low, key.high)];
            ends.extend(key.published.iter().map(|(low, high, _)| (*low, *high)));
            let step = Exact::new(1, 4).unwrap();
            let near = [key.tolerance, key.tolerance.neg()];
            let far = [key.tolerance.add(step).unwrap(), key.tolerance.add(step).unwrap().neg()];
            for apart in near.into_iter().chain(far) {
                ends.push((key.low.add(apart).unwrap(), key.high));
                ends.push((key.low, key.high.add(apart).unwrap()));
                ends.push((key.low.add(apart).unwrap(), key.high.add(apart).unwrap()));
            }
            ends.retain(|(low, high)| low < high);
            ends.into_iter().map(|(low, high)| range(&name, low, high, key.unit)).collect()
        }
        Response::Written(_) => vec![word(&name, "It sets from the wall inwards.")],
    }
}

fn text(value: &str) -> Value {
    Value::Text(value.to_owned())
}

/// A number as a platform reads it: nothing unless it is one through and through.
fn read(typed: &str) -> Value {
    typed.trim().parse().map_or(Value::Null, Value::Number)
}

fn number(name: &str, typed: &str) -> Given {
    let values = vec![(name.to_owned(), read(typed)), (format!("{name}_TEXT"), text(typed))];
    Given { typed: typed.to_owned(), values }
}

fn range(name: &str, low: Exact, high: Exact, unit: Unit) -> Given {
    let end = |ending: &str, number: Exact| {
        let name = format!("{name}_{ending}");
        let typed = number.to_string();
        [(name.clone(), read(&typed)), (format!("{name}_TEXT"), text(&typed))]
    };
    let values = end("LOW", low).into_iter().chain(end("HIGH", high)).collect();
    Given { typed: format!("{low} to {high} {}", unit.symbol()), values }
}

fn word(name: &str, typed: &str) -> Given {
    Given { typed: typed.to_owned(), values: vec![(name.to_owned(), text(typed))] }
}

fn chosen(name: &str, places: &[usize], several: bool) -> Given {
    let letters: Vec<String> = places.iter().map(|place| letter(*place, 'A')).collect();
    let values: Vec<Value> = letters.iter().map(|it| text(it)).collect();
    let value = if several { Value::Several(values) } else { values[0].clone() };
    Given { typed: letters.join(" "), values: vec![(name.to_owned(), value)] }
}

fn judgements(name: &str, reasons: usize, with_reason: bool) -> Vec<Given> {
    let mut given = Vec::new();
    for truth in ["true", "false"] {
        let judged = (name.to_owned(), text(&truth.to_uppercase()));
        given.push(Given { typed: truth.to_owned(), values: vec![judged.clone()] });
        for reason in (0..reasons).filter(|_| with_reason).map(|it| letter(it, 'A')) {
            let chosen = (format!("{name}_REASON"), text(&reason));
            let values = vec![judged.clone(), chosen];
            given.push(Given { typed: format!("{truth} {reason}"), values });
        }
    }
    given
}

/// The right pairs, with ever more lines given the next partner, and with ever more left out.
fn matchings(name: &str, answers: &[usize], partners: usize, shared: bool) -> Vec<Given> {
    let mut given = Vec::new();
    let pairs = |pairs: &[(usize, usize)]| {
        let typed = pairs.iter().map(|(line, it)| format!("{}{}", line + 1, letter(*it, 'a')));
        let value =
            pairs.iter().map(|(line, it)| text(&format!("L{} R{}", line + 1, letter(*it, 'A'))));
        let typed: Vec<String> = typed.collect();
        let values = vec![(name.to_owned(), Value::Several(value.collect()))];
        Given { typed: typed.join(" "), values }
    };
    let right: Vec<(usize, usize)> = answers.iter().copied().enumerate().collect();
    for turned in 0..=right.len() {
        let mut wrong = right.clone();
        for pair in wrong.iter_mut().take(turned) {
            pair.1 = (pair.1 + 1) % partners;
        }
        given.push(pairs(&wrong));
        if turned > 0 && !shared {
            wrong[..turned].rotate_left(1);
        }
        given.push(pairs(&right[..turned.max(1)]));
    }
    given
}

/// The right order, each pair of neighbours swapped, each line moved to the end, and reversed.
fn orders(name: &str, order: &[usize]) -> Vec<Given> {
    let mut all = vec![order.to_vec(), order.iter().rev().copied().collect()];
    for at in 1..order.len() {
        let mut swapped = order.to_vec();
        swapped.swap(at - 1, at);
        all.push(swapped);
        let mut moved = order.to_vec();
        let line = moved.remove(at - 1);
        moved.push(line);
        all.push(moved);
    }
    all.iter()
        .map(|order| {
            let letters: Vec<String> = order.iter().map(|place| letter(*place, 'A')).collect();
            let value = Value::Several(letters.iter().map(|it| text(it)).collect());
            Given { typed: letters.join(" "), values: vec![(name.to_owned(), value)] }
        })
        .collect()
}

/// Numbers as they are typed.
fn numbers(key: &NumberKey) -> Vec<String> {
    let places = key.shown.places();
    let asked = |number: Exact| key.rounding.of_result(number);
    let mut bare: Vec<Exact> = vec![key.shown];
    // Right, with more places, and rounded early.
    bare.extend((1..=3).map(|more| key.exact.to_places(places + more)));
    bare.extend([asked(key.legal_low), asked(key.legal_high)]);
    // The ends of what is accepted, and what lies next to them.
    let step = Exact::new(1, places + 3).unwrap();
    for end in [key.low, key.high] {
        for apart in [step, step.neg(), Exact::ZERO] {
            bare.push(end.add(apart).unwrap().to_places(places + 4));
        }
    }
    // Rounded too far, and cut off.
    for kept in 0..places {
        bare.push(key.exact.to_places(kept));
        let power = i32::try_from(kept).unwrap();
        let cut = key.exact.times_ten_to(power).unwrap().floor().times_ten_to(-power).unwrap();
        bare.push(cut.to_places(kept));
    }
    // Slips, as they would be written and with one more place.
    for slip in &key.slips {
        bare.push(asked(slip.value));
        bare.push(slip.value.to_places(places + 1));
        bare.push(asked(slip.legal_low));
        bare.push(asked(slip.legal_high));
    }
    // A moved point.
    for power in [-6, -3, -2, -1, 1, 2, 3, 6] {
        bare.push(key.shown.times_ten_to(power).unwrap());
        bare.push(key.exact.to_places(places + 1).times_ten_to(power).unwrap());
    }
    // Wrong and absurd.
    bare.push(Exact::ZERO);
    bare.push(key.shown.neg());
    for factor in ["1.03", "0.97", "1.5", "2", "137", "0.0041"] {
        bare.push(asked(key.exact.mul(Exact::parse(factor).unwrap()).unwrap()));
    }
    bare.push(Exact::parse("987654321").unwrap());
    let mut typed: Vec<String> = bare.iter().map(ToString::to_string).collect();
    let unit = key.unit.symbol();
    for number in [key.shown, key.exact.to_places(places + 2)] {
        typed.push(format!("{number} {unit}").trim_end().to_owned());
        typed.push(format!("{number}{unit}"));
        typed.push(number.to_string().replace('.', ","));
        typed.push(format!("= {number} {unit}").trim_end().to_owned());
        typed.push(format!("00{number}"));
        for other in ["mg", "kg", "mL", "L", "%", "mm", "cm", "°C", "min", "h", "units", "g"] {
            typed.push(format!("{number} {other}"));
        }
        typed.extend(in_other_units(key, number));
    }
    for number in key.slips.iter().map(|slip| asked(slip.value)) {
        typed.push(Quantity::new(number, key.unit).to_string());
        typed.push(number.to_string().replace('.', ","));
    }
    typed.extend(["about right", "x", "-", "12 g 3", "1.2.3"].map(str::to_owned));
    typed
}

/// The number in the other units that measure the same.
fn in_other_units(key: &NumberKey, number: Exact) -> Vec<String> {
    let Ok(coherent) = key.unit.to_coherent(number) else { return Vec::new() };
    let units =
        ["g", "mg", "kg", "mcg", "mL", "L", "mm", "cm", "s", "min", "h", "g/mL", "kg/L", "mg/mL"];
    let units = units.iter().filter_map(|unit| Unit::parse(unit).ok());
    units
        .filter(|unit| unit.dimension() == key.unit.dimension())
        .filter_map(|unit| Some(format!("{} {unit}", unit.from_coherent(coherent).ok()?)))
        .collect()
}
