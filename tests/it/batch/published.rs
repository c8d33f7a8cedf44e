//! Worked examples as published: the printed inputs give the printed answer. A printed figure that was
//! rounded on the way is compared to the places that are printed, with that rounding named.

use castmark::quantity::Exact;
use serde_json::{Value, json};

use super::worked;

/// Compares a figure with the printed one, to as many places as are printed.
#[track_caller]
fn printed(figure: Exact, answer: &str) {
    let answer = Exact::parse(answer).unwrap();
    assert_eq!(figure.settled().to_places(answer.places()), answer);
}

#[allow(clippy::needless_pass_by_value, reason = "each list of drugs is written where it is used")]
fn fats(units: &str, capacity: &str, drugs: Value) -> Value {
    json!({ "units": units, "mould": { "capacity": capacity }, "base": { "name": "theobroma oil" }, "drugs": drugs })
}

/// Introduction to Pharmaceutical Calculations, 4th edition, chapter 9, p. 154.
#[test]
fn menthol_in_fifteen_suppositories() {
    let drug = json!([{ "name": "menthol", "total": "0.75 g", "value": "0.7" }]);
    let figures = worked(fats("15", "1 g", drug)).figures;
    printed(figures.ingredients[0].displaced, "1.1");
    printed(figures.base, "13.9");
    printed(figures.unit, "0.98");
}

/// Sagyndykova and Anabaeva, textbook of pharmaceutical technology, Shymkent 2018, pp. 341-342.
#[test]
fn boric_acid_and_bismuth_subgallate_by_factors_and_by_values() {
    let order = |one: [&str; 2], other: [&str; 2]| {
        let mut drugs = json!([
            { "name": "boric acid", "dose": "0.2 g" },
            { "name": "bismuth subgallate", "dose": "0.3 g" },
        ]);
        drugs[0][one[0]] = json!(one[1]);
        drugs[1][other[0]] = json!(other[1]);
        let mut order = fats("10", "3 g", drugs);
        order["base"]["name"] = json!("a fatty base");
        order
    };
    let figures = worked(order(["factor", "0.625"], ["factor", "0.4"])).figures;
    printed(figures.ingredients[0].displaced, "1.25");
    printed(figures.ingredients[1].displaced, "1.2");
    printed(figures.base, "27.55");
    let figures = worked(order(["value", "1.6"], ["value", "2.6"])).figures;
    printed(figures.base, "27.6");
    printed(figures.total, "32.6");
    printed(figures.unit, "3.26");
}

/// PTA-Forum, Rezeptur gegen den Mangel, p. 2: eight units, M = 8 × (1.11 − 0.09) g. The factor is that of
/// the facts, which is taken from the same page.
#[test]
fn paracetamol_in_hard_fat() {
    let batch = worked(json!({
        "units": "6", "extra": "2", "mould": { "capacity": "1.11 g" }, "base": { "name": "hard fat" },
        "drugs": [{ "name": "paracetamol", "dose": "125 mg" }],
    }));
    printed(batch.figures.base, "8.16");
    let taken: Vec<_> = batch.sheet.values.iter().filter(|it| it.what.contains("factor")).collect();
    assert_eq!(taken[0].from, "taken from German pharmacy journal, not given by you");
}

/// J. E. Thompson, A pratica farmaceutica na manipulacao de medicamentos, 3rd edition, p. 542: a blank batch
/// of 13.76 g; eight units are ours, the batch is the same.
#[test]
fn aspirin_by_its_density_factor() {
    let batch = worked(json!({
        "units": "8", "mould": { "total": "13.76 g", "blanks": "8", "spoilt": "0", "dish": "0 g" },
        "base": { "name": "theobroma oil" },
        "drugs": [{ "name": "aspirin", "total": "0.8 g", "value": "1.2" }],
    }));
    printed(batch.figures.ingredients[0].displaced, "0.667");
    printed(batch.figures.base, "13.093");
}

/// International Pharmaceutical Students' Federation, answers of the February Compounding Corner.
#[test]
fn ichthammol_pessaries_in_glycero_gelatin() {
    let batch = worked(json!({
        "units": "3", "extra": "2", "form": "pessary",
        "mould": { "capacity": "8 g", "base": "theobroma oil" },
        "base": {
            "name": "glycero-gelatin", "ratio": "1.2", "made": "50 g",
            "parts": [
                { "name": "gelatin", "share": "14 %" },
                { "name": "glycerol", "share": "70 %" },
                { "name": "water", "share": "16 %" },
            ],
        },
        "drugs": [{ "name": "ichthammol", "strength": "5 %", "displaces": "nothing" }],
    }));
    printed(batch.figures.base, "48");
    printed(batch.figures.ingredients[0].batch, "2.5");
    let masses: Vec<&str> = batch.sheet.ingredients.iter().map(|it| it.batch.as_str()).collect();
    assert_eq!(masses, ["2.526 g", "7.00 g", "35.00 g", "8.00 g"]);
}

/// Pharmacy lecture notes on the web (displacement value of suppositories): ten of 1 g with 500 mg.
#[test]
fn zinc_oxide_in_ten_suppositories() {
    let drug = json!([{ "name": "zinc oxide", "dose": "500 mg", "value": "5" }]);
    printed(worked(fats("10", "1 g", drug)).figures.base, "9");
}

/// The inverse convention: lecture notes on the web, a 2 g unit, 0.5 g of drug, 1.5 g of base displaced by
/// each gram of drug.
#[test]
fn the_inverse_convention_is_a_factor() {
    let drug = json!([{ "name": "drug", "dose": "0.5 g", "factor": "1.5" }]);
    printed(worked(fats("1", "2 g", drug)).figures.base, "1.25");
}

/// Displacement values from casts: questions with worked answers on the web (six units of 2 g with 500 mg weigh
/// 14 g, value 3; ten of 1 g with 40 % weigh 15 g, value 6) and, printed as 4.9, six of 1 g with 40 % that weigh
/// 8.8 g.
#[test]
fn a_value_is_found_from_medicated_casts() {
    for (units, capacity, casts, value) in [
        ("6", "2 g", json!({ "mass": "14 g", "units": "6", "dose": "500 mg" }), "3"),
        ("10", "1 g", json!({ "mass": "15 g", "units": "10", "strength": "40 %" }), "6"),
        ("6", "1 g", json!({ "mass": "8.8 g", "units": "6", "strength": "40 %" }), "4.9"),
    ] {
        let drug = json!([{ "name": "drug", "dose": "100 mg", "casts": casts }]);
        let figures = worked(fats(units, capacity, drug)).figures;
        let it = &figures.ingredients[0];
        printed(it.batch.div(it.displaced).unwrap(), value);
    }
}

/// Indonesian laboratory appendix: five of 3 g with 10 mg of bisacodyl, exchange value 0.7; base 14.965 g, and
/// with 10 % of 3 g of base for each unit 16.465 g.
#[test]
fn bisacodyl_with_base_allowed_for_losses() {
    let drug = json!([{ "name": "bisacodyl", "dose": "10 mg", "factor": "0.7" }]);
    let mut order = fats("5", "3 g", drug);
    printed(worked(order.clone()).figures.base, "14.965");
    order["base"]["allowance"] = json!("0.3 g");
    printed(worked(order).figures.base, "16.465");
}

/// French tutorial (Corrigé-type TD: Les suppositoires): twenty units of 3.00 g, 60.0 g without loss.
#[test]
fn a_batch_of_twenty_weighs_sixty_grams_without_loss() {
    let drug = json!([{ "name": "aspirin", "dose": "0.5 g", "displaces": "its own mass" }]);
    printed(worked(fats("20", "3 g", drug)).figures.total, "60.0");
}

/// Factors from the amount ordered to the powder weighed: PTA-Forum, weight correction of betamethasone
/// dipropionate, p. 2 (0.995 and 1.008); leaflet for pharmacy staff (sodium sulphate 2.27, morphine 1.039);
/// DAC/NRF tip 1/2026 (0.971); workshop text of a chamber of pharmacists 2011 (1.110).
#[test]
fn corrections_for_assay_water_and_salt() {
    for (keys, factor) in [
        (json!({ "assay": "101.3 %", "water": "0.8 %" }), "0.995"),
        (json!({ "assay": "100 %", "water": "0.8 %" }), "1.008"),
        (json!({ "salt": { "ordered": "142", "held": "322" } }), "2.27"),
        (json!({ "salt": { "ordered": "322", "held": "669", "holds": "2" } }), "1.039"),
        (json!({ "assay": "93.5 %", "water": "3.68 %" }), "1.110"),
        (json!({ "correction": "0.971" }), "0.971"),
    ] {
        let mut drug = json!({ "name": "drug", "dose": "100 mg", "value": "1.5" });
        for (key, value) in keys.as_object().unwrap() {
            drug[key] = value.clone();
        }
        let figures = worked(fats("10", "2 g", json!([drug]))).figures;
        let it = &figures.ingredients[0];
        printed(it.each.div(it.ordered_each).unwrap(), factor);
    }
}

/// British Pharmaceutical Codex 1911, Pessi: strengths of 8 g pessaries (zinc oxide 1 g is 12.5 %).
#[test]
fn a_strength_of_the_plain_unit() {
    let drug =
        json!([{ "name": "zinc oxide", "strength": "12.5 %", "of": "plain unit", "value": "4.7" }]);
    printed(worked(fats("1", "8 g", drug)).figures.ingredients[0].each, "1");
}

/// A ratio strength is the percentage it stands for: 1 part in 8 parts, as above.
#[test]
fn a_ratio_strength() {
    let strength = |written: &str| {
        let drug = json!([{ "name": "zinc oxide", "strength": written, "of": "plain unit", "value": "4.7" }]);
        worked(fats("1", "8 g", drug)).figures.ingredients[0].each
    };
    printed(strength("1 in 8"), "1");
    assert_eq!(strength("1 in 8"), strength("12.5 %"));
}

/// Least weighable quantity: US textbook chapter, accurate weighing (6 mg, 5 %: 120 mg).
#[test]
fn what_the_balance_cannot_weigh_is_told() {
    let drug = json!([{ "name": "drug", "dose": "2 mg", "value": "1.5" }]);
    let mut order = fats("10", "2 g", drug);
    order["balance"] = json!({ "drug": "6 mg", "error": "5 %" });
    let remarks = worked(order).sheet.remarks;
    let told = remarks.iter().find(|it| it.what.contains("less than the balance")).unwrap();
    assert!(told.what.ends_with("the least within 5 % is 120 mg."), "{}", told.what);
    assert!(told.advice.starts_with("Weigh 120 mg of it (6 times as much)"), "{}", told.advice);
}

/// `% w/v` is grams in 100 mL (tests/reference/units.md). The volume of a unit is that of its
/// cavity, so the check is an identity: drug over volume is the strength that was ordered.
#[test]
fn a_strength_by_volume_is_grams_in_the_volume_of_the_cavity() {
    let mut order =
        fats("10", "1.90 g", json!([{ "name": "a drug", "strength": "4 % w/v", "value": "2" }]));
    order["base"]["density"] = json!("0.95 g/mL");
    let batch = worked(order);
    let figures = &batch.figures;
    // A cavity of 1.90 g ÷ 0.95 g/mL = 2 mL holds 2 × 4 g ÷ 100.
    printed(figures.ingredients[0].each, "0.08");
    printed(figures.base, "18.6");
    let told = batch.sheet.values.iter().find(|it| it.what == "density of theobroma oil").unwrap();
    assert_eq!((told.value.as_str(), told.is_given()), ("0.95 g/mL", true));
    let lines: Vec<String> = batch
        .sheet
        .working
        .iter()
        .flat_map(|it| &it.steps)
        .map(castmark::batch::WorkingStep::line)
        .collect();
    assert!(lines.contains(&"1.90 g ÷ 0.95 g/mL = 2 mL".to_owned()), "{lines:#?}");
    assert!(lines.contains(&"4 g ÷ 100 mL × 2 mL = 0.08 g".to_owned()), "{lines:#?}");
}
