//! A diagnosis is a claim: it is made only when it is true.

#![allow(clippy::float_arithmetic, reason = "arbitrary answers are spread on a scale of ratios")]

use castmark::bank::Bank;
use castmark::marking::{Cause, Finding, Verdict, mark, mark_together};
use castmark::problem::{NumberKey, Problem};
use castmark::quantity::Exact;

use super::properties::cases;

/// Every numeric part of so many draws of each template.
fn numeric_parts(draws: u64, mut check: impl FnMut(&Problem, usize, &NumberKey)) {
    let bank = Bank::bundled().unwrap();
    for template in bank.templates() {
        if !template.parts.iter().any(|part| part.wanted.number().is_some()) {
            continue;
        }
        for number in 0..draws {
            let problem = Problem::draw(&bank, template, 7000 + number).unwrap();
            for (place, part) in problem.parts.iter().enumerate() {
                if let Some(key) = part.response.number() {
                    check(&problem, place, key);
                }
            }
        }
    }
}

/// Evenly spread numbers from 0 to 1: the fractional parts of multiples of the golden ratio.
fn spread(count: u32) -> impl Iterator<Item = f64> {
    (0..count).map(|n| (f64::from(n) * 0.618_033_988_749_895).fract())
}

fn is_within_a_slip(key: &NumberKey, number: Exact) -> bool {
    key.slips.iter().any(|slip| slip.low <= number && number <= slip.high)
}

/// The bar is 2 %: of answers anywhere between a fifth and five times the right one, spread evenly on
/// a scale of ratios and given with the places asked for, no more are given a cause, beyond those that
/// lie within the rounding of a slip's own value.
#[test]
fn arbitrary_wrong_answers_are_seldom_given_a_cause() {
    let (mut wrong, mut diagnosed) = (0_u32, 0_u32);
    let mut examples = Vec::new();
    let each = cases(4000).div_ceil(100);
    numeric_parts(1, |problem, place, key| {
        let places = key.shown.places();
        let shown: f64 = key.exact.to_string().parse().unwrap();
        for part in spread(each) {
            let answer = format!("{:.*}", places as usize, shown * 5_f64.powf(2.0 * part - 1.0));
            let Verdict { finding, .. } = mark(problem, place, &answer);
            if finding.is_right() {
                continue;
            }
            wrong += 1;
            let number = Exact::parse(&answer).unwrap();
            if matches!(finding, Finding::Known(_)) && !is_within_a_slip(key, number) {
                diagnosed += 1;
                examples.push(format!("{} {place} {answer}: {finding:?}", problem.template.id));
            }
        }
    });
    assert!(wrong > 1000);
    assert!(diagnosed * 50 <= wrong, "{diagnosed} of {wrong}:\n{}", examples.join("\n"));
}

#[test]
fn near_misses_are_called_close_and_given_no_slip() {
    numeric_parts(3, |problem, place, key| {
        let step = key.rounding.step_at(key.exact);
        let outside = |bound: Exact, step: Exact| {
            let number = key.rounding.of_result(bound.add(step).unwrap());
            (number < key.low || key.high < number).then_some(number)
        };
        for number in [outside(key.high, step), outside(key.low, step.neg())].into_iter().flatten()
        {
            let verdict = mark(problem, place, &number.to_string());
            let gap = |other: Exact| number.sub(other).unwrap().abs();
            for cause in verdict.finding.causes() {
                let is_true = match cause {
                    Cause::Slip { slip, power: 0, .. } => {
                        let slip = key.slips.iter().find(|known| known.slip == *slip).unwrap();
                        gap(slip.value) <= gap(key.exact)
                    }
                    Cause::Slip { .. } | Cause::TwoSlips(_) | Cause::PowerOfTen(_) => false,
                    _ => true,
                };
                assert!(is_true, "{} {place} {number}: {cause:?}", problem.template.id);
            }
        }
    });
}

#[test]
fn a_slip_is_named_from_its_value_and_from_every_rounding_of_it() {
    numeric_parts(3, |problem, place, key| {
        for slip in &key.slips {
            let asked = key.rounding.of_result(slip.value);
            let more = slip.value.to_places(asked.places() + 1);
            for number in [slip.value, asked, more, slip.legal_low, slip.legal_high] {
                let verdict = mark(problem, place, &number.to_string());
                let slips = verdict.finding.slips();
                let id = &problem.template.id;
                assert!(slips.contains(&slip.slip), "{id} {place} {number}: {verdict:?}");
            }
        }
    });
}

#[test]
fn a_count_has_no_decimal_point_to_move_and_zero_no_figures() {
    numeric_parts(2, |problem, place, key| {
        let answers = [1, 2, 3, -1, -2].map(|power| key.shown.times_ten_to(power).unwrap());
        for number in answers.into_iter().chain([Exact::ZERO]) {
            let verdict = mark(problem, place, &number.to_string());
            let moved = |cause: &Cause| match cause {
                Cause::PowerOfTen(_) => true,
                Cause::Slip { power, .. } => *power != 0,
                _ => false,
            };
            if key.is_count() || number.is_zero() {
                let id = &problem.template.id;
                assert!(!verdict.finding.causes().iter().any(moved), "{id} {number}: {verdict:?}");
            }
        }
    });
}

/// Whoever makes one slip everywhere is told that slip, and none that the other answers rule out: one
/// that would have changed an answer which is right.
#[test]
fn the_other_answers_choose_among_the_slips_that_fit() {
    let bank = Bank::bundled().unwrap();
    let (mut told, mut spared) = (0_u32, 0_u32);
    for template in bank.templates() {
        for number in 0..4 {
            let problem = Problem::draw(&bank, template, 9000 + number).unwrap();
            let keys: Vec<(usize, &NumberKey)> = problem
                .parts
                .iter()
                .enumerate()
                .filter_map(|(place, part)| Some((place, part.response.number()?)))
                .collect();
            for planted in 0..template.slips.len() {
                let of = |key: &NumberKey, slip: usize| {
                    key.slips.iter().find(|value| value.slip == slip).map(|value| value.value)
                };
                let texts: Vec<(usize, String)> = keys
                    .iter()
                    .map(|(place, key)| (*place, of(key, planted).unwrap_or(key.shown).to_string()))
                    .collect();
                let answers: Vec<(usize, &str)> =
                    texts.iter().map(|(place, text)| (*place, text.as_str())).collect();
                let verdicts = mark_together(&problem, &answers);
                let right: Vec<&NumberKey> = keys
                    .iter()
                    .filter(|(_, key)| of(key, planted).is_none())
                    .map(|(_, key)| *key)
                    .collect();
                for (place, verdict) in &verdicts {
                    let slips = verdict.finding.slips();
                    let is_planted =
                        keys.iter().any(|(part, key)| part == place && of(key, planted).is_some());
                    if !is_planted || slips.is_empty() {
                        continue;
                    }
                    let code = problem.code.as_ref().unwrap();
                    assert!(slips.contains(&planted), "{code} {place} slip {planted}: {slips:?}");
                    told += 1;
                    let text = texts.iter().find(|(part, _)| part == place).unwrap();
                    let alone = mark(&problem, *place, &text.1);
                    spared += u32::from(slips.len() < alone.finding.slips().len());
                    for other in slips.iter().filter(|other| **other != planted) {
                        let is_out = right.iter().any(|key| of(key, *other).is_some());
                        let keeps = verdict.finding.causes().iter().any(|cause| {
                            matches!(cause, Cause::Slip { slip, keeps_method: true, .. } if slip == other)
                        });
                        assert!(!is_out || keeps, "{code} {place}: {other} beside {planted}");
                    }
                }
            }
        }
    }
    assert!(told > 500 && spared > 0, "{told} told, {spared} with fewer slips than alone");
}
