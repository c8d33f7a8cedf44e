//! One's own numbers in a template, as `castmark work` takes them.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::bank::{Template, ValueRule};
use crate::export::{Exporter, Html, Options, Sheet, readable};
use crate::formula::{Shape, Slot};
use crate::problem::{Given, GivenProblem, Problem};
use crate::quantity::Dimension;

use super::answer::unit_text;
use super::fault::{Fault, FaultKind, NumberProblem};
use super::talk::{Answered, Asked};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Which {
    template: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Numbers {
    template: String,
    #[serde(default)]
    values: BTreeMap<String, String>,
    #[serde(default)]
    rows: BTreeMap<String, String>,
}

#[derive(Serialize)]
struct Wanted {
    template: String,
    title: String,
    about: String,
    values: Vec<WantedValue>,
    rows: Vec<WantedRow>,
}

#[derive(Serialize)]
struct WantedValue {
    name: String,
    label: String,
    unit: String,
    several: bool,
    count: bool,
    /// The pick whose row fills it.
    row: Option<String>,
    example: String,
}

#[derive(Serialize)]
struct WantedRow {
    name: String,
    label: String,
    rows: Vec<RowName>,
}

#[derive(Serialize)]
struct RowName {
    id: String,
    title: String,
}

#[derive(Serialize)]
struct Worked {
    title: String,
    html: String,
    name: String,
}

/// The values that a template takes.
pub(super) fn values(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let Which { template } = asked.with()?;
    let template = find(asked, &template)?;
    let bank = &asked.page.bank;
    let example = Problem::draw(bank, template, 1)?;
    let wanted = Problem::wanted_values(bank, template);
    let value = |slot: &usize| {
        let name = template.names.get(*slot)?;
        let row = name.name.split_once('.').map(|(pick, _)| pick.to_owned());
        Some(WantedValue {
            name: name.name.clone(),
            label: readable(&name.label),
            unit: unit_text(name.unit),
            several: matches!(name.shape, Shape::List(_)),
            count: name.unit.dimension() == Dimension::COUNT,
            row: row.filter(|row| template.values.iter().any(|value| value.name == *row)),
            example: match example.draw.written.get(*slot) {
                Some(Slot::Number(number)) => number.to_string(),
                Some(Slot::List(numbers)) => {
                    numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
                }
                _ => String::new(),
            },
        })
    };
    asked.say(&Wanted {
        template: template.id.clone(),
        title: readable(&template.title),
        about: readable(&template.about),
        values: wanted.iter().filter_map(value).collect(),
        rows: rows(template),
    })
}

/// The rows of the facts that can stand for several values together.
fn rows(template: &Template) -> Vec<WantedRow> {
    let row = |value: &crate::bank::Value| match &value.rule {
        ValueRule::Pick { options, .. } => {
            let mut ids: Vec<&str> = options.iter().map(|option| option.row.as_str()).collect();
            ids.dedup();
            let name = |id: &&str| RowName {
                id: (*id).to_owned(),
                title: readable(&id.replace('-', " ")),
            };
            Some(WantedRow {
                name: value.name.clone(),
                label: value.name.replace('_', " "),
                rows: ids.iter().map(name).collect(),
            })
        }
        _ => None,
    };
    template.values.iter().filter_map(row).collect()
}

/// The working with one's own numbers.
pub(super) fn work(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let Numbers { template, values, rows } = asked.with()?;
    let template = find(asked, &template)?;
    let typed: Vec<(&str, &str)> = values
        .iter()
        .chain(&rows)
        .filter(|(_, text)| !text.trim().is_empty())
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    let given = Given::read(template, &typed).map_err(|problems| {
        numbers(
            problems.into_iter().map(|(name, why)| NumberProblem { name, text: why.to_string() }),
        )
    })?;
    let bank = &asked.page.bank;
    let problem = Problem::from_values(bank, template, &given)
        .map_err(|problems| numbers(problems.iter().map(number)))?;
    let sheet = Sheet::of_work(bank, &problem)?;
    let html = Html.export(&sheet, &Options::default()).map_err(Fault::failed)?;
    asked.say(&Worked {
        title: readable(&template.title),
        html: String::from_utf8_lossy(&html).into_owned(),
        name: format!("{}.html", template.id),
    })
}

fn number(problem: &GivenProblem) -> NumberProblem {
    let name = match problem {
        GivenProblem::Missing { name, .. }
        | GivenProblem::Unknown { name, .. }
        | GivenProblem::Twice(name)
        | GivenProblem::WrongUnit { name, .. }
        | GivenProblem::WrongCount { name, .. }
        | GivenProblem::Impossible { name, .. }
        | GivenProblem::UnknownRow { name, .. } => name.clone(),
        _ => String::new(),
    };
    NumberProblem { name, text: problem.to_string() }
}

pub(super) fn numbers(problems: impl Iterator<Item = NumberProblem>) -> Fault {
    let problems: Vec<NumberProblem> = problems.collect();
    let text = match problems.len() {
        1 => "One entry needs a correction.".to_owned(),
        count => format!("{} entries need a correction.", crate::words::number(count)),
    };
    Fault { problems, ..Fault::new(FaultKind::Numbers, text) }
}

fn find<'a>(asked: &Asked<'a>, id: &str) -> Result<&'a std::sync::Arc<Template>, Fault> {
    let found = asked.page.bank.find(id).filter(|template| !template.working.is_empty());
    found.ok_or_else(|| {
        let id = crate::words::quoted(id, 60);
        Fault::new(FaultKind::Nothing, format!("this page has no working `{id}`; choose another"))
    })
}
