//! Orders that cannot be worked: everything wrong is told together, each value with what to do.

use castmark::bank::{OrderFile, SourceText};
use castmark::batch::solve;
use serde_json::{Value, json};

use super::{bundled, refused};

fn order(change: impl FnOnce(&mut Value)) -> Value {
    let mut order = json!({
        "units": "12", "mould": { "capacity": "1.04 g" }, "base": { "name": "theobroma oil" },
        "drugs": [{ "name": "zinc oxide", "dose": "200 mg", "value": "4.7" }],
    });
    change(&mut order);
    order
}

/// Expects one problem, at a value, with words in it.
#[track_caller]
fn check(change: impl FnOnce(&mut Value), path: &str, words: &str) {
    let problems = refused(order(change));
    let told: Vec<String> =
        problems.iter().map(|it| format!("{}: {}; {}", it.path, it.what, it.help)).collect();
    assert_eq!(problems.len(), 1, "{told:#?}");
    assert_eq!(problems[0].path, path, "{told:#?}");
    assert!(told[0].contains(words), "{told:#?}");
}

#[test]
fn an_empty_order_is_told_everything_that_is_missing() {
    let problems = refused(json!({}));
    let paths: Vec<&str> = problems.iter().map(|it| it.path.as_str()).collect();
    assert_eq!(paths, ["units", "base.name", "mould.capacity"]);
}

#[test]
fn numbers_that_cannot_be_are_refused() {
    check(|it| it["units"] = json!("a dozen"), "units", "type it in digits");
    check(|it| it["units"] = json!("12.5"), "units", "whole number");
    check(|it| it["units"] = json!("0"), "units", "above zero");
    check(|it| it["mould"]["capacity"] = json!("1.04"), "mould.capacity", "write it in grams");
    check(|it| it["mould"]["capacity"] = json!("1.04 mL"), "mould.capacity", "expected a mass");
    check(|it| it["mould"]["capacity"] = json!("-1 g"), "mould.capacity", "above zero");
    check(|it| it["drugs"][0]["dose"] = json!("200"), "drugs.0.dose", "200 mg");
    check(|it| it["drugs"][0]["value"] = json!("4.7 g"), "drugs.0.value", "without a unit");
    check(|it| it["drugs"][0]["value"] = json!("0"), "drugs.0.value", "above zero");
    check(|it| it["excess"] = json!("10"), "excess", "per cent");
    check(|it| it["loss"] = json!("100 %"), "loss", "below 100 %");
}

#[test]
fn a_strength_by_volume_needs_the_density_of_the_base() {
    let by_volume = |strength: &'static str, base: Value| {
        move |it: &mut Value| {
            it["base"] = base;
            it["drugs"] = json!([{ "name": "a drug", "strength": strength, "value": "2" }]);
        }
    };
    let plain = json!({ "name": "a base of ours" });
    check(by_volume("4 % w/v", plain.clone()), "base.density", "such as `0.95 g/mL`");
    let fat = json!({ "name": "theobroma oil" });
    check(by_volume("4 % w/v", fat), "base.density", "sources that differ");
    let dense = json!({ "name": "a base of ours", "density": "0.95 g/mL" });
    check(by_volume("100 % w/v", dense.clone()), "drugs.0.strength", "below 100 % w/v");
    check(
        |it| {
            by_volume("4 % w/v", dense)(it);
            it["drugs"][0]["of"] = json!("plain unit");
        },
        "drugs.0.of",
        "volume of the cavity",
    );
}

#[test]
fn two_ways_for_one_thing_are_refused() {
    check(
        |it| (it["extra"], it["excess"]) = (json!("2"), json!("10 %")),
        "excess",
        "extra and excess",
    );
    check(|it| it["drugs"][0]["factor"] = json!("0.2"), "drugs.0.factor", "value and factor");
    check(|it| it["drugs"][0]["strength"] = json!("5 %"), "drugs.0.strength", "dose and strength");
    for ratio in ["0 in 8", "1 in 0", "8 in 8", "1 g in 8 g"] {
        let strength = json!([{ "name": "a", "strength": ratio, "displaces": "nothing" }]);
        check(|it| it["drugs"] = strength.clone(), "drugs.0.strength", "expected");
    }
    check(|it| it["mould"]["total"] = json!("20 g"), "mould.total", "capacity and total");
    check(|it| it["drugs"][0]["source"] = json!("course-guide-2019"), "drugs.0.source", "keep one");
}

#[test]
fn sources_that_differ_are_listed_and_one_is_asked_for() {
    let without = |it: &mut Value| drop(it["drugs"][0].as_object_mut().unwrap().remove("value"));
    check(without, "drugs.0.value", "5.0 (course guide 2019");
    check(without, "drugs.0.value", "choose one by its `source`");
    check(
        |it| {
            without(it);
            it["drugs"][0]["source"] = json!("course-guide-2018");
        },
        "drugs.0.source",
        "did you mean `course-guide-2019`?",
    );
}

#[test]
fn a_drug_that_the_facts_do_not_have_needs_a_value() {
    check(
        |it| it["drugs"] = json!([{ "name": "kaolin", "dose": "1 mg" }]),
        "drugs.0.value",
        "the facts have no value for it",
    );
    check(
        |it| it["drugs"] = json!([{ "name": "zinc oxid", "dose": "1 mg" }]),
        "drugs.0.value",
        "the facts have `zinc oxide`",
    );
}

#[test]
fn blanks_that_do_not_add_up_are_refused() {
    let mould = |mould: Value| move |it: &mut Value| it["mould"] = mould;
    check(mould(json!({ "total": "20 g" })), "mould.blanks", "number of blanks");
    check(
        mould(json!({ "total": "20 g", "blanks": "5", "spoilt": "5" })),
        "mould.spoilt",
        "fewer spoilt",
    );
    check(
        mould(json!({ "total": "20 g", "blanks": "5", "dish": "20 g" })),
        "mould.dish",
        "lighter",
    );
    check(
        mould(json!({ "masses": ["1.02 g", "1.04 g"], "blanks": "4", "spoilt": "1" })),
        "mould.masses",
        "3 masses for 4 blanks with 1 spoilt",
    );
    check(mould(json!({ "masses": ["1.02 g", "heavy"] })), "mould.masses.1", "expected a number");
}

#[test]
fn drugs_that_leave_no_space_for_base_are_refused() {
    check(|it| it["drugs"][0]["dose"] = json!("20 g"), "drugs", "larger mould");
    check(
        |it| {
            it["drugs"] = json!([{ "name": "a", "strength": "99 %", "displaces": "nothing" },
                                  { "name": "b", "strength": "99 %", "displaces": "nothing" }]);
        },
        "drugs",
        "no space",
    );
}

#[test]
fn a_value_for_another_base_needs_the_ratio_of_the_two() {
    check(
        |it| {
            it["base"]["name"] = json!("macrogol mixture");
            it["drugs"][0]["base"] = json!("theobroma oil");
        },
        "drugs.0.base",
        "as the ratio of the base",
    );
}

#[test]
fn two_ingredients_of_one_name_are_refused() {
    check(
        |it| {
            let again = it["drugs"][0].clone();
            it["others"] = json!([again]);
        },
        "others.0.name",
        "give one of them another name",
    );
}

#[test]
fn parts_of_a_base_make_the_whole() {
    check(
        |it| it["base"]["parts"] = json!([{ "name": "gelatin", "share": "14 %" }]),
        "base.parts",
        "found 14 %",
    );
}

#[test]
fn a_file_is_told_everything_at_its_places() {
    let text = include_str!("../../cases/batch/wrong.yaml");
    let file = OrderFile::read(SourceText::new("wrong.yaml", text.to_owned())).unwrap();
    let problems = solve(&file.order, bundled().facts()).map(|batch| batch.sheet).unwrap_err();
    insta::assert_snapshot!("wrong_order", file.report(&problems).unwrap().plain());
}

#[test]
fn a_key_that_an_order_does_not_know_is_told_and_never_passed_over() {
    let told = |text: &str| {
        let source = SourceText::new("order.yaml", format!("castmark: 1\n{text}\n"));
        let report = OrderFile::read(source).unwrap_err();
        let what: Vec<String> = report.complaints.iter().map(|it| it.what.clone()).collect();
        what.join("; ")
    };
    assert_eq!(told("units: 12\nextr: 2"), "expected a key of an order, found `extr`");
    assert_eq!(
        told("mould: { capacity: 1.04 g, cavity: 6 }\ndrug: zinc oxide"),
        "expected a key of a mould, found `cavity`; expected a key of an order, found `drug`; expected a \
         list, found a text"
    );
    assert_eq!(
        told("drugs: [{ name: zinc oxide, dos: 1 g }]"),
        "expected a key of an ingredient, found `dos`"
    );
}
