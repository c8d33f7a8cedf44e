//! Item analysis against check values computed in exact fractions and with numpy, scipy and
//! pingouin; where the tables come from stands in `tests/reference/item-analysis.json`.

#![allow(clippy::float_arithmetic, reason = "statistics are compared within a small distance")]

use castmark::analysis::{
    Scores, Statistic, Undefined, distractors, items, reliability, spearman_brown,
};
use serde_json::Value;

const NEAR: f64 = 1e-12;

fn fixtures() -> Value {
    serde_json::from_str(include_str!("../reference/item-analysis.json")).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect()
}

fn scores(table: &Value) -> Scores {
    let rows: Vec<Vec<f64>> = table["matrix"].as_array().unwrap().iter().map(numbers).collect();
    let maxima = match table.get("max_marks") {
        Some(maxima) => numbers(maxima),
        None => vec![1.0; rows[0].len()],
    };
    let items = maxima.into_iter().enumerate().map(|(n, max)| (format!("item {}", n + 1), max));
    Scores::new(items.collect(), rows).unwrap()
}

#[track_caller]
fn check(found: Statistic, expected: &Value) {
    let expected = expected.as_f64().or_else(|| expected["float"].as_f64());
    match (found, expected) {
        (Ok(found), Some(expected)) => {
            assert!((found - expected).abs() < NEAR, "found {found}, expected {expected}");
        }
        (Err(_), None) => {}
        (found, expected) => panic!("found {found:?}, expected {expected:?}"),
    }
}

const TABLES: [&str; 5] = [
    "published_10x10",
    "mcq_30x12",
    "part_credit_12x5",
    "perfectly_parallel_4x2",
    "negative_alpha_4x2",
];

#[test]
fn alpha_and_its_kin_agree_with_exact_fractions() {
    let fixtures = fixtures();
    for name in TABLES {
        let table = &fixtures[name];
        let found = reliability(&scores(table));
        check(found.alpha, &table["alpha_exact"]);
        check(found.mean, &table["mean_total"]);
        check(found.deviation, &table["sd_total_sample"]);
        check(found.error, &table["sem_sample_sd"]);
        if table.get("kr20_population_variance").is_some() {
            check(found.kr20, &table["kr20_population_variance"]);
            check(found.kr21, &table["kr21_population_variance"]);
        } else {
            assert_eq!(found.kr20, Err(Undefined::NotRightOrWrong));
        }
    }
}

#[test]
fn kr20_does_not_mix_in_the_sample_variance() {
    let fixtures = fixtures();
    let table = &fixtures["published_10x10"];
    let found = reliability(&scores(table)).kr20.unwrap();
    let mixed = table["kr20_sample_variance_mix"]["float"].as_f64().unwrap();
    assert!((found - 305.0 / 438.0).abs() < NEAR);
    assert!((found - mixed).abs() > 0.04);
}

#[test]
fn the_interval_of_alpha_agrees_with_scipy() {
    let fixtures = fixtures();
    for name in TABLES {
        let table = &fixtures[name];
        let found = reliability(&scores(table)).alpha_interval.unwrap();
        let expected = numbers(&table["alpha_ci95_feldt"]);
        for (found, expected) in [(found.low, expected[0]), (found.high, expected[1])] {
            let size = expected.abs().max(1.0);
            assert!((found - expected).abs() / size < 1e-8, "{name}: {found} {expected}");
        }
    }
}

#[test]
fn every_item_statistic_agrees_with_the_reference_libraries() {
    let fixtures = fixtures();
    for name in TABLES {
        let table = &fixtures[name];
        let scores = scores(table);
        for (item, expected) in items(&scores, 0.27).iter().zip(table["items"].as_array().unwrap())
        {
            let Some(mean) = expected["mean"].as_f64() else { panic!("{name} has no means") };
            let facility = item.facility.unwrap();
            assert!((facility - mean / item.maximum).abs() < NEAR);
            check(item.item_rest, &expected["corrected_item_rest_r"]);
            if let Some(upper_lower) = expected.get("D_upper_lower_27") {
                check(item.upper_lower, upper_lower);
            }
            if let Some(alpha) = expected.get("alpha_if_deleted") {
                check(item.alpha_without, alpha);
            }
        }
    }
}

#[test]
fn an_item_that_tells_nobody_apart_correlates_exactly_zero() {
    let fixtures = fixtures();
    let items = items(&scores(&fixtures["published_10x10"]), 0.27);
    assert_eq!(items[2].item_rest, Ok(0.0));
}

#[test]
fn the_groups_are_those_of_the_fixture() {
    let fixtures = fixtures();
    for name in TABLES {
        let table = &fixtures[name];
        let (upper, lower) = scores(table).groups(0.27);
        let rows = |key: &str| -> Vec<usize> {
            numbers(&table[key]).iter().map(|n| format!("{n}").parse().unwrap()).collect()
        };
        assert_eq!((upper, lower), (rows("upper_rows"), rows("lower_rows")), "{name}");
    }
}

#[test]
fn every_option_of_the_fixture_is_counted_alike() {
    let fixtures = fixtures();
    let table = &fixtures["mcq_30x12"];
    let scores = scores(table);
    let (upper, lower) = scores.groups(0.27);
    let choices: Vec<Vec<f64>> = table["choices"].as_array().unwrap().iter().map(numbers).collect();
    for (item, expected) in table["distractors"].as_array().unwrap().iter().enumerate() {
        let options: Vec<(String, bool)> = expected["options"]
            .as_array()
            .unwrap()
            .iter()
            .map(|option| (option["option"].to_string(), option["is_key"].as_bool().unwrap()))
            .collect();
        let chosen: Vec<Option<String>> =
            choices.iter().map(|row| Some(format!("{}", row[item]))).collect();
        let found = distractors(&options, &chosen, &scores.rest(item), &upper, &lower);
        for (found, expected) in found.options.iter().zip(expected["options"].as_array().unwrap()) {
            assert_eq!(found.chosen as u64, expected["count"].as_u64().unwrap());
            assert_eq!(found.upper as u64, expected["upper"].as_u64().unwrap());
            assert_eq!(found.lower as u64, expected["lower"].as_u64().unwrap());
            check(found.choice_rest, &expected["choice_rest_r"]);
        }
        let percent = expected["distractor_efficiency_percent"].as_f64().unwrap();
        assert!((found.efficiency.unwrap() * 100.0 - percent).abs() < NEAR);
    }
}

#[test]
fn a_paper_twice_as_long_is_as_reliable_as_the_formula_says() {
    let fixtures = fixtures();
    let case = &fixtures["spearman_brown_len"];
    let found = spearman_brown(case["r"].as_f64().unwrap(), case["factor"].as_f64().unwrap());
    assert!((found - case["result"].as_f64().unwrap()).abs() < NEAR);
}

#[test]
fn undefined_statistics_say_why() {
    let one = Scores::new(vec![("a".into(), 1.0)], vec![vec![1.0], vec![0.0]]).unwrap();
    assert_eq!(reliability(&one).alpha, Err(Undefined::FewItems));
    let same = Scores::new(
        vec![("a".into(), 1.0), ("b".into(), 1.0)],
        vec![vec![1.0, 0.0], vec![1.0, 0.0]],
    )
    .unwrap();
    assert_eq!(reliability(&same).alpha, Err(Undefined::SameTotal));
    assert_eq!(items(&same, 0.27)[0].item_rest, Err(Undefined::SameMark));
    let nobody = Scores::new(vec![("a".into(), 1.0)], vec![]).unwrap();
    assert_eq!(items(&nobody, 0.27)[0].facility, Err(Undefined::NoCandidates));
}

#[test]
fn refuses_ragged_rows_and_impossible_marks_all_at_once() {
    let problems = Scores::new(
        vec![("a".into(), 1.0), ("b".into(), 2.0)],
        vec![vec![1.0], vec![2.0, -1.0], vec![1.0, f64::NAN]],
    )
    .unwrap_err();
    let messages: Vec<String> = problems.iter().map(ToString::to_string).collect();
    assert_eq!(
        messages,
        [
            "row 1: expected 2 marks, found 1; give one an item",
            "row 2, item `a`: expected a mark from zero to the item's maximum; correct it",
            "row 2, item `b`: expected a mark from zero to the item's maximum; correct it",
            "row 3, item `b`: expected a mark from zero to the item's maximum; correct it",
        ]
    );
}
