//! The base, and how it compares with the base for which a value holds.

use crate::bank::{Claim, Fact, Facts, Order, Row, Source};
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use super::order_reader::{Checked, Least, Measure, OrderReader};
use super::sheet::{Remark, ValueUsed, WorkingStep};
use super::show;

/// The base that tables of displacement values are made for.
pub(super) const USUAL: &str = "theobroma oil";

/// The base of the batch.
#[derive(Clone, Debug)]
pub(super) struct Base {
    pub(super) name: String,
    /// A ratio to another base that was given.
    ratio: Option<GivenRatio>,
    pub(super) density: Option<Exact>,
    /// Base added for each unit, in grams.
    pub(super) allowance: Option<Exact>,
    /// What it is made of, with the fraction of each.
    pub(super) parts: Vec<(String, Exact)>,
    /// How much is made, in grams.
    pub(super) made: Option<Exact>,
}

#[derive(Clone, Debug)]
struct GivenRatio {
    number: Exact,
    to: String,
    densities: Option<[Exact; 2]>,
}

/// How much of the base of the batch fills the space of 1 g of another.
#[derive(Clone, Debug)]
pub(super) struct Ratio {
    pub(super) number: Exact,
    /// The other base.
    pub(super) to: String,
    why: Why,
}

#[derive(Clone, Debug)]
enum Why {
    /// It is the same base.
    Same,
    /// Both are fats, whose densities are taken as equal.
    BothFatty,
    /// It was given.
    Given(Option<[Exact; 2]>),
    /// A source says it.
    Taken(String),
}

impl Base {
    pub(super) fn read(reader: &mut OrderReader<'_>, order: &Order) -> Checked<Self> {
        let base = &order.base;
        let name = match base.name.as_deref().map(str::trim).filter(|name| !name.is_empty()) {
            Some(name) => Ok(words::printable(name)),
            None => Err(reader.missing(
                "base.name",
                "the name of the base",
                "name it, such as `theobroma oil`",
            )),
        };
        let mut read = |path, text, measure| reader.maybe(path, text, measure, Least::AboveZero);
        let ratio = read("base.ratio", base.ratio.as_ref(), Measure::Number);
        let density = read("base.density", base.density.as_ref(), Measure::Density);
        let to_density = read("base.to_density", base.to_density.as_ref(), Measure::Density);
        let made = read("base.made", base.made.as_ref(), Measure::Mass);
        let allowance =
            reader.maybe("base.allowance", base.allowance.as_ref(), Measure::Mass, Least::Zero);
        let parts = parts(reader, order);
        let (ratio, density, to_density) = (ratio?, density?, to_density?);
        let to = base.to.as_deref().map_or_else(|| USUAL.to_owned(), words::printable);
        let ratio = match (ratio, density, to_density) {
            (Some(_), _, Some(_)) => {
                let what = "expected a ratio or two densities, found both";
                return Err(reader.note(
                    "base.to_density",
                    what,
                    "a second way",
                    "keep one of them",
                ));
            }
            (None, None, Some(_)) => {
                let help = "give `density` as well, the density of the base itself";
                return Err(reader.missing("base.density", "the density of the base", help));
            }
            (None, Some(own), Some(other)) => {
                let number = own.div(other).unwrap_or(Exact::ONE);
                Some(GivenRatio { number, to, densities: Some([own, other]) })
            }
            (Some(number), ..) => Some(GivenRatio { number, to, densities: None }),
            _ => None,
        };
        Ok(Self {
            name: name?,
            ratio,
            density,
            allowance: allowance?.filter(|allowance| !allowance.is_zero()),
            parts: parts?,
            made: made?,
        })
    }

    /// How much of this base fills the space of 1 g of the other; `path` is where the other was named.
    pub(super) fn ratio(
        &self,
        reader: &mut OrderReader<'_>,
        path: &str,
        other: &str,
    ) -> Checked<Ratio> {
        let facts = reader.facts;
        let (own_key, other_key) = (key(facts, &self.name), key(facts, other));
        let to = other.to_owned();
        if own_key == other_key {
            return Ok(Ratio { number: Exact::ONE, to, why: Why::Same });
        }
        if let Some(given) = self.ratio.as_ref().filter(|given| key(facts, &given.to) == other_key)
        {
            return Ok(Ratio { number: given.number, to, why: Why::Given(given.densities) });
        }
        if is_fatty(facts, &own_key) && is_fatty(facts, &other_key) {
            return Ok(Ratio { number: Exact::ONE, to, why: Why::BothFatty });
        }
        let ratios =
            if other_key == USUAL { numbers(facts, &own_key, "ratio") } else { Vec::new() };
        let mut different: Vec<(Exact, &Source)> = Vec::new();
        for (number, source) in ratios {
            if different.iter().all(|(known, _)| *known != number) {
                different.push((number, source));
            }
        }
        let help = format!(
            "give the mass of {} that fills the space of 1 g of {other} as the ratio of the base, or \
             name a value for {}",
            self.name, self.name
        );
        match different.as_slice() {
            [(number, source)] => {
                Ok(Ratio { number: *number, to, why: Why::Taken(source.short.clone()) })
            }
            [] => {
                let what = format!(
                    "expected to know how dense {} is against {other}, found no ratio",
                    self.name
                );
                Err(reader.note(path, what, "a value for another base", help))
            }
            several => {
                let each: Vec<String> = several
                    .iter()
                    .map(|(number, source)| format!("{} ({})", show::number(*number), source.short))
                    .collect();
                let what = format!(
                    "expected one ratio of {} to {other}, found sources that differ: {}",
                    self.name,
                    words::listed(&each, "and")
                );
                Err(reader.note(path, what, "sources differ", help))
            }
        }
    }

    /// The density, as given or as the facts have it.
    pub(super) fn density(
        &self,
        reader: &mut OrderReader<'_>,
        path: &str,
    ) -> Checked<(Exact, Option<String>)> {
        if let Some(density) = self.density {
            return Ok((density, None));
        }
        let key = key(reader.facts, &self.name);
        let known = numbers(reader.facts, &key, "density");
        let help = "give the density of the base, such as `0.95 g/mL`";
        match known.as_slice() {
            [(number, source)] => Ok((*number, Some(source.short.clone()))),
            [] => Err(reader.missing(path, &format!("the density of {}", self.name), help)),
            several => {
                let each: Vec<String> = several
                    .iter()
                    .map(|(number, source)| format!("{number} g/mL ({})", source.short))
                    .collect();
                let what = format!(
                    "expected the density of {}, found sources that differ: {}",
                    self.name,
                    words::listed(&each, "and")
                );
                Err(reader.note(path, what, "sources differ", help))
            }
        }
    }

    /// The values that were given with the base.
    pub(super) fn values(&self) -> Vec<ValueUsed> {
        let mut values = vec![ValueUsed::yours("base", &self.name)];
        if let Some(allowance) = self.allowance {
            values.push(ValueUsed::yours("base added for each unit", &show::grams(allowance)));
        }
        if let Some(made) = self.made {
            values.push(ValueUsed::yours("base made", &show::grams(made)));
        }
        values
    }
}

impl Ratio {
    /// Whether anything changes by it.
    pub(super) fn changes(&self) -> bool {
        !matches!(self.why, Why::Same | Why::BothFatty)
    }

    /// The value that was given or taken, if any.
    pub(super) fn value(&self, base: &str) -> Option<ValueUsed> {
        let what = format!("ratio of {base} to {}", self.to);
        let number = show::number(self.number);
        match &self.why {
            Why::Same | Why::BothFatty => None,
            Why::Given(None) => Some(ValueUsed::yours(&what, &number)),
            Why::Given(Some([own, other])) => {
                let number =
                    format!("{number} ({} g/mL ÷ {} g/mL)", own.trimmed(), other.trimmed());
                Some(ValueUsed::yours(&what, &number))
            }
            Why::Taken(source) => Some(ValueUsed::taken(&what, &number, source)),
        }
    }

    /// What is to be thought of when a value for another base is used.
    pub(super) fn remark(&self, what: &str, base: &str) -> Option<Remark> {
        let (to, number) = (&self.to, show::number(self.number));
        match &self.why {
            Why::Same => None,
            Why::BothFatty => Some(Remark::new(
                &format!("{what} is for {to}; the base is {base}."),
                "It is used as it is, since both are fats of about the same density. Use a value for this \
                 base if there is one.",
            )),
            Why::Given(_) | Why::Taken(_) => Some(Remark::new(
                &format!("{what} is for {to}; the base is {base}."),
                &format!("It is corrected: {number} g of {base} fills the space of 1 g of {to}."),
            )),
        }
    }

    /// The step that turns a mass of the other base into one of this base.
    pub(super) fn step(&self, mass: Exact, base: &str) -> Result<WorkingStep, Arithmetic> {
        let result = mass.mul(self.number)?;
        Ok(WorkingStep::new(
            &format!(
                "Multiply by the ratio: {} g of {base} fills the space of 1 g of {}.",
                show::number(self.number),
                self.to
            ),
            &format!("{} × {}", show::grams(mass), show::number(self.number)),
            show::sign(result),
            &show::grams(result),
        ))
    }
}

fn parts(reader: &mut OrderReader<'_>, order: &Order) -> Checked<Vec<(String, Exact)>> {
    let mut parts = Vec::new();
    let mut noted = None;
    for (n, part) in order.base.parts.iter().enumerate() {
        let path = format!("base.parts.{n}");
        let name = match part.name.as_deref().map(str::trim).filter(|name| !name.is_empty()) {
            Some(name) => Ok(words::printable(name)),
            None => {
                let path = format!("{path}.name");
                Err(reader.missing(&path, "the name of the part", "name it, such as `gelatin`"))
            }
        };
        let path = format!("{path}.share");
        let share = match &part.share {
            Some(text) => reader.number(&path, text, Measure::Share, Least::AboveZero),
            None => {
                Err(reader.missing(&path, "its percentage of the base", "give it, such as `14 %`"))
            }
        };
        match (name, share) {
            (Ok(name), Ok(share)) => parts.push((name, share)),
            (Err(wrong), _) | (_, Err(wrong)) => noted = Some(wrong),
        }
    }
    if let Some(noted) = noted {
        return Err(noted);
    }
    let total = show::sum(parts.iter().map(|(_, share)| *share)).unwrap_or_default();
    if !parts.is_empty() && total != Exact::ONE {
        let what =
            format!("expected parts that make 100 % of the base, found {}", show::percent(total));
        return Err(reader.note("base.parts", what, "not the whole", "check the percentages"));
    }
    Ok(parts)
}

/// A name of a base by which two are compared: small letters, the first of two names.
pub(super) fn key(facts: &Facts, name: &str) -> String {
    let name = name.trim().to_lowercase().replace('-', " ");
    let name =
        ["a ", "the "].iter().find_map(|article| name.strip_prefix(article)).unwrap_or(&name);
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    let first = facts.second_names().into_iter().find(|(_, second)| *second == name);
    if let Some((first, _)) = first {
        return first.to_owned();
    }
    // `glycero-gelatin` has its hyphen in the tables.
    row(facts, &name).and_then(|row| row_name(facts, row)).unwrap_or(name)
}

fn row_name(facts: &Facts, row: &Row) -> Option<String> {
    let column = facts.table("bases")?.column("name")?;
    Some(row.cells.get(column)?.first()?.text()?.to_lowercase())
}

/// The row of a base by its name or id.
pub(super) fn row<'a>(facts: &'a Facts, name: &str) -> Option<&'a Row> {
    let table = facts.table("bases")?;
    let plain = name.replace('-', " ");
    let is_named = |row: &&Row| {
        let named = row_name(facts, row).is_some_and(|known| known.replace('-', " ") == plain);
        named || row.id.replace('-', " ") == plain
    };
    table.rows.iter().find(is_named)
}

/// The numbers of a column for a base, each with its source; none from memory.
fn numbers<'a>(facts: &'a Facts, name: &str, column: &str) -> Vec<(Exact, &'a Source)> {
    claims(facts, name, column)
        .filter_map(|claim| match claim.fact {
            Fact::Number(number) => Some((number, facts.source(&claim.source)?)),
            _ => None,
        })
        .collect()
}

fn claims<'a>(
    facts: &'a Facts,
    name: &str,
    column: &str,
) -> impl Iterator<Item = &'a Claim> + use<'a> {
    let column = facts.table("bases").and_then(|table| table.column(column));
    let cells = row(facts, name).zip(column).and_then(|(row, column)| row.cells.get(column));
    cells.into_iter().flatten().filter(|claim| claim.is_true() && facts.may_ask(claim))
}

/// Whether a base is a fat.
pub(super) fn is_fatty(facts: &Facts, name: &str) -> bool {
    name.ends_with("fatty base")
        || claims(facts, name, "class").any(|claim| claim.text() == Some("fatty"))
}
