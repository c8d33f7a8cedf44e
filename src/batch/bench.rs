//! The work at the bench: what is done in order, the label, and what the units are checked against.

use crate::bank::{Claim, Fact, Facts, Table};
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use super::base;
use super::displacing::capital;
use super::figures::Figures;
use super::ingredient::Amount;
use super::plan::Plan;
use super::sheet::Check;
use super::show;

/// The rule for the masses of single units (Ph. Eur. 2.9.5, suppositories and pessaries).
const RULE: &str = "Of 20 units weighed singly, no more than 2 may differ from their mean by more than \
                    5 %, and none by more than 10 % (Ph. Eur. 2.9.5, uniformity of mass).";

/// The heading of a sheet that was given none.
pub(super) fn title(plan: &Plan) -> String {
    let drugs: Vec<&str> =
        plan.ingredients.iter().filter(|it| it.is_drug).map(|it| it.name.as_str()).collect();
    let many = &plan.form.many;
    if drugs.is_empty() {
        return capital(&format!("plain {many}"));
    }
    capital(&format!("{} {many}", words::listed(&drugs, "and")))
}

/// What is prepared, in one sentence.
pub(super) fn summary(plan: &Plan, figures: &Figures) -> String {
    let ordered = show::number(plan.counting.ordered);
    let noun = if plan.counting.ordered == Exact::ONE { &plan.form.one } else { &plan.form.many };
    let amounts: Vec<String> = plan
        .ingredients
        .iter()
        .zip(&figures.ingredients)
        .map(|(it, found)| contained(&it.amount, &it.name, found.ordered_each))
        .collect();
    let with = match amounts.as_slice() {
        [] => String::new(),
        some => format!(", each with {}", words::listed(some, "and")),
    };
    let counted = if figures.counted == plan.counting.ordered {
        "with no excess".to_owned()
    } else {
        format!("weighed for {}", show::number(figures.counted))
    };
    format!("{ordered} {noun} in {}{with}, {counted}.", plan.base.name)
}

/// What a unit contains, as it was ordered: `200 mg of zinc oxide`, `5 % w/w of ichthammol`.
fn contained(amount: &Amount, name: &str, each: Exact) -> String {
    match amount {
        Amount::Dose { written, .. } => format!("{written} of {name}"),
        Amount::Strength(share) => format!("{} w/w of {name}", show::percent(*share)),
        Amount::OfVolume { share, .. } => format!("{} w/v of {name}", show::percent(*share)),
        Amount::OfPlain(_) | Amount::Total(_) => format!("{} of {name}", show::small(each)),
    }
}

/// What the finished units are checked against.
pub(super) fn checks(plan: &Plan, figures: &Figures) -> Result<Vec<Check>, Arithmetic> {
    let unit = figures.unit;
    let blank = figures.capacity;
    let against = match unit.settled().cmp(&blank.settled()) {
        std::cmp::Ordering::Greater => {
            "heavier than a blank, since the drugs weigh more than the base they displace"
        }
        std::cmp::Ordering::Less => {
            "lighter than a blank, since the drugs weigh less than the base they displace"
        }
        std::cmp::Ordering::Equal => "as heavy as a blank",
    };
    let around = |share: Exact| -> Result<String, Arithmetic> {
        let reach = unit.mul(share)?;
        Ok(format!("{} to {}", show::grams(unit.sub(reach)?), show::grams(unit.add(reach)?)))
    };
    let [narrow, wide] = [Exact::new(5, 2), Exact::new(10, 2)].map(Option::unwrap_or_default);
    let mut checks = vec![
        Check::new(
            "mass of one finished unit",
            show::grams(unit),
            &format!("A blank weighs {}; the unit is {against}.", show::grams(blank)),
        ),
        Check::new("masses of single units, 5 %", around(narrow)?, RULE),
        Check::new(
            "masses of single units, 10 %",
            around(wide)?,
            "Both ranges are calculated from the mass expected; in the test, from the mean of the units weighed.",
        ),
        Check::new(
            "everything weighed, together",
            show::grams(figures.total),
            "The melt weighs as much before it is poured.",
        ),
    ];
    for (ingredient, found) in plan.ingredients.iter().zip(&figures.ingredients) {
        let what = format!("{} in the finished unit", ingredient.name);
        let why = if ingredient.correction.is_given() {
            "The percentage is of the amount ordered, not of the powder weighed."
        } else {
            "The percentage of a drug is its mass in one unit divided by the mass of the unit."
        };
        checks.push(Check::new(&what, format!("{} w/w", show::percent(found.share)), why));
    }
    Ok(checks)
}

/// What is done, in order, and the source of the procedure.
pub(super) fn steps(
    plan: &Plan,
    figures: &Figures,
    facts: &Facts,
) -> Result<(Vec<String>, Option<String>), Arithmetic> {
    let balance = &plan.balance;
    let mut steps = Vec::new();
    for it in &figures.ingredients {
        let mass = show::weighed(it.batch, balance.drug);
        steps.push(format!("Weigh {mass} of {}. Have it checked.", it.name));
    }
    if plan.base.parts.is_empty() {
        let mass = show::weighed(figures.base, balance.base);
        steps.push(format!("Weigh {mass} of {}. Have it checked.", plan.base.name));
    } else {
        let made = plan.base.made.unwrap_or(figures.base);
        for (name, share) in &plan.base.parts {
            let mass = show::weighed(made.mul(*share)?, balance.base);
            steps.push(format!("Weigh {mass} of {name}. Have it checked."));
        }
        if plan.base.made.is_some() {
            let mass = show::weighed(figures.base, balance.base);
            steps.push(format!("Make the base, and take {mass} of it for the batch."));
        }
    }
    let (lines, source) = procedure(plan, facts);
    steps.extend(lines);
    let unit = show::grams(figures.unit);
    steps.push(format!("Weigh the {} singly; {unit} is expected of each.", plan.form.many));
    steps.push("Label the container.".to_owned());
    Ok((steps, source))
}

/// The lines of the facts for a base: how it is melted and poured, how glycero-gelatin is prepared, or
/// else the procedure of fusion.
fn procedure(plan: &Plan, facts: &Facts) -> (Vec<String>, Option<String>) {
    let key = base::key(facts, &plan.base.name);
    let of_base = facts.table("bases").and_then(|table| {
        let row = base::row(facts, &key)?;
        row.cells.get(table.column("melting_steps")?)?.first()
    });
    let of_methods = |id: &str| {
        let table = facts.table("methods")?;
        table.row(id)?.cells.get(table.column("steps")?)?.first()
    };
    let method = || of_methods(&key.replace(' ', "-")).or_else(|| of_methods("fusion"));
    let Some(claim) = of_base.or_else(method) else { return (Vec::new(), None) };
    let Fact::Sequence(lines) = &claim.fact else { return (Vec::new(), None) };
    // What is weighed and for how many was worked out already.
    let done = ["Calibrate the mould", "Calculate the base", "Weigh the drug", "Weigh the units"];
    let lines = lines.iter().filter(|line| !done.iter().any(|begin| line.starts_with(begin)));
    let source = source(facts, claim).map(|full| format!("Procedure: {full}."));
    (lines.cloned().collect(), source)
}

/// The lines of the label, and where they come from.
pub(super) fn label(plan: &Plan, figures: &Figures, facts: &Facts) -> (Vec<String>, Vec<String>) {
    let mut sources = Vec::new();
    let amounts: Vec<String> = plan
        .ingredients
        .iter()
        .zip(&figures.ingredients)
        .map(|(it, found)| contained(&it.amount, &it.name, found.ordered_each))
        .collect();
    let mut lines = vec![format!("{}.", title(plan)), {
        let noun =
            if plan.counting.ordered == Exact::ONE { &plan.form.one } else { &plan.form.many };
        format!("{} {noun}.", show::number(plan.counting.ordered))
    }];
    lines.push(match amounts.as_slice() {
        [] => format!("Each is made of {} alone.", plan.base.name),
        some => {
            format!("Each contains {} in {}.", words::listed(some, "and"), plan.base.name)
        }
    });
    let (kept, stored) = (model(plan, facts), storage(plan, facts));
    for (line, source) in kept {
        // The way of keeping that goes with the base comes from the table of storage, if it is there.
        let is_storage = line.starts_with("Store ") || line.starts_with("Keep the container");
        if is_storage && !stored.is_empty() {
            continue;
        }
        let line = match &plan.directions {
            Some(own) if line.starts_with("Insert ") => own.clone(),
            _ => line,
        };
        lines.push(line);
        sources.extend(source);
    }
    if let Some(own) = plan.directions.as_ref().filter(|own| !lines.contains(own)) {
        lines.push(own.clone());
    }
    // The date comes last.
    let index = lines.iter().position(|line| line.starts_with("Keep out of the sight"));
    let index = index.unwrap_or(lines.len());
    for (line, source) in stored.into_iter().rev() {
        lines.insert(index, line);
        sources.extend(source);
    }
    lines.push("For teaching only; not for use.".to_owned());
    (lines, sources)
}

/// The lines behind the contents on the label of the facts that is nearest: of the same form and base, or
/// else of the same form, without what goes with its base.
fn model(plan: &Plan, facts: &Facts) -> Vec<(String, Option<String>)> {
    let Some(table) = facts.table("labels") else { return Vec::new() };
    let Some(column) = table.column("lines") else { return Vec::new() };
    let key = base::key(facts, &plan.base.name);
    let mut nearest: Option<(bool, &Claim, &[String])> = None;
    for row in &table.rows {
        let Some(claim) = row.cells.get(column).and_then(|cell| cell.first()) else { continue };
        let Fact::Sequence(lines) = &claim.fact else { continue };
        let has = |word: &str| lines.iter().take(3).any(|line| line.to_lowercase().contains(word));
        let same_base = has(&format!(" in {key}"));
        if has(&plan.form.many) && (nearest.is_none() || same_base) {
            nearest = Some((same_base, claim, lines));
        }
    }
    let Some((same_base, claim, lines)) = nearest else {
        return place_of_use(plan, facts).into_iter().map(|line| (line, None)).collect();
    };
    let source = source(facts, claim).map(|full| format!("Label: {full}."));
    let behind = lines.iter().position(|line| line.starts_with("Each contains"));
    let general = ["For ", "Insert ", "Keep out", "Discard ", "Keep the container", "Store "];
    lines
        .iter()
        .skip(behind.map_or(0, |at| at + 1))
        .filter(|line| same_base || general.iter().any(|begin| line.starts_with(begin)))
        .map(|line| (line.clone(), source.clone()))
        .collect()
}

/// Where a form is used, for one that no label of the facts is for.
fn place_of_use(plan: &Plan, facts: &Facts) -> Option<String> {
    let table = facts.table("forms")?;
    let fits = |row: &&crate::bank::Row| row.id.replace('-', " ").ends_with(&plan.form.one);
    let row = table.rows.iter().find(fits)?;
    let destination = row.cells.get(table.column("destination")?)?.first()?.text()?;
    Some(format!("For use in {destination} only."))
}

/// How units of the base are kept, from the table of storage.
fn storage(plan: &Plan, facts: &Facts) -> Vec<(String, Option<String>)> {
    let Some(table) = facts.table("storage") else { return Vec::new() };
    let key = base::key(facts, &plan.base.name);
    let id = key.replace(' ', "-");
    let row = table.rows.iter().find(|row| row.id == id || id.starts_with(&row.id));
    let Some(row) = row else { return Vec::new() };
    let cell = |table: &Table, column: &str| {
        table.column(column).and_then(|column| row.cells.get(column)?.first().cloned())
    };
    let line = |begin: &str, claim: Option<Claim>| {
        let claim = claim.filter(|claim| facts.may_ask(claim))?;
        let text = claim.text()?;
        Some((
            format!("{begin} {text}."),
            source(facts, &claim).map(|full| format!("Storage: {full}.")),
        ))
    };
    let stored =
        [line("Store", cell(table, "temperature")), line("Pack", cell(table, "container"))];
    stored.into_iter().flatten().collect()
}

/// The full reference of a claim's source.
fn source(facts: &Facts, claim: &Claim) -> Option<String> {
    facts.source(&claim.source).map(|source| source.full.trim_end_matches('.').to_owned())
}

/// The source of the limits.
pub(super) fn limits_source(facts: &Facts) -> Option<String> {
    let source = facts.source("uniformity-of-mass")?;
    Some(format!("Limits: {}.", source.full.trim_end_matches('.')))
}
