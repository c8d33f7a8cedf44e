//! What a drug displaces: a displacement value, a factor, a density or casts of one's own, or what the
//! facts have.

use crate::bank::{ColumnKind, Fact, OrderedDrug, Row, Source, Table};
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use super::base::{Base, Ratio, USUAL, is_fatty, key};
use super::desk::{Checked, Desk, Least, Measure, Noted};
use super::sheet::{Remark, ValueUsed, WorkingStep};
use super::show;

/// How much base a drug displaces.
#[derive(Clone, Debug)]
pub(super) struct Displacing {
    pub(super) way: Way,
    /// The base for which the value holds, and how it compares with that of the batch.
    ratio: Option<Ratio>,
    /// The source in the facts; `None` for a value that was given.
    source: Option<String>,
    /// What the facts have, in words.
    pub(super) listed: Vec<String>,
    /// What the facts have, as grams of base displaced by 1 g.
    known: Vec<Exact>,
    /// Whether no base was named with a value of one's own.
    unnamed_base: bool,
}

/// The way in which it is known.
#[derive(Clone, Copy, Debug)]
pub(super) enum Way {
    /// The grams of drug that displace 1 g of base.
    Value(Exact),
    /// The grams of base that 1 g of drug displaces.
    Factor(Exact),
    /// Two densities, in g/mL.
    Densities { drug: Exact, base: Exact },
    /// The mean mass of a cast unit, and the drug in it.
    Casts { mean: Exact, drug: CastDrug },
    /// It is left out of account.
    Nothing,
    /// Each gram displaces a gram.
    OwnMass,
}

/// How much drug is in a cast unit.
#[derive(Clone, Copy, Debug)]
pub(super) enum CastDrug {
    /// So many grams.
    Dose(Exact),
    /// This fraction of its mass.
    Share(Exact),
}

/// The values of an ingredient that say what it displaces.
const WAYS: [&str; 5] = ["value", "factor", "density", "casts", "displaces"];

/// A value of the facts.
struct Known<'a> {
    is_value: bool,
    number: Exact,
    base: String,
    source: &'a Source,
    note: Option<&'a str>,
}

impl Displacing {
    pub(super) fn read(
        desk: &mut Desk<'_>,
        (path, drug, name): (&str, &OrderedDrug, &str),
        base: &Base,
        is_volume: bool,
    ) -> Checked<Self> {
        let known = known(desk, name);
        let listed: Vec<String> = known.iter().map(Known::words).collect();
        let per_gram: Vec<Exact> = known.iter().map(Known::per_gram).collect();
        // The density of a liquid given by volume says what it weighs; it may also say what it displaces.
        let density_counts = !is_volume
            || [&drug.value, &drug.factor, &drug.displaces].iter().all(|text| text.is_none())
                && drug.casts.is_none();
        let has = [
            drug.value.is_some(),
            drug.factor.is_some(),
            drug.density.is_some() && density_counts,
            drug.casts.is_some(),
            drug.displaces.is_some(),
        ];
        let given: Vec<&str> =
            WAYS.iter().zip(has).filter(|(_, is)| *is).map(|(key, _)| *key).collect();
        if given.len() > 1 {
            let what = format!(
                "expected one way to know what {name} displaces, found {}",
                words::listed(&given, "and")
            );
            return Err(desk.note(
                format!("{path}.{}", given[1]),
                what,
                "a second way",
                "keep one of them",
            ));
        }
        let mut source = None;
        let mut of = drug.base.clone();
        let mut unnamed_base = false;
        let way = match given.first() {
            None => {
                let chosen = choose(desk, (path, drug, name), &known)?;
                source = Some(chosen.source.short.clone());
                of = of.or_else(|| Some(chosen.base.clone()));
                if chosen.is_value { Way::Value(chosen.number) } else { Way::Factor(chosen.number) }
            }
            Some(_) if drug.source.is_some() => {
                let what =
                    format!("expected a value of your own or a source for {name}, found both");
                let help = "keep one of them: a source stands for the value of the facts";
                return Err(desk.note(format!("{path}.source"), what, "a second way", help));
            }
            Some(way) => {
                unnamed_base = of.is_none() && matches!(*way, "value" | "factor");
                own_way(desk, (path, drug, name), way, base)?
            }
        };
        let ratio = match way {
            Way::Value(_) | Way::Factor(_) => {
                let other = of.unwrap_or_else(|| base.name.clone());
                let at = format!("{path}.base");
                Some(base.ratio(desk, &at, &other)?)
            }
            _ => None,
        };
        Ok(Self { way, ratio, source, listed, known: per_gram, unnamed_base })
    }

    /// The grams of the base of the batch that 1 g displaces. `capacity` is that of a cavity.
    pub(super) fn per_gram(&self, capacity: Exact) -> Result<Exact, Arithmetic> {
        let plain = match self.way {
            Way::Value(value) => Exact::ONE.div(value)?,
            Way::Factor(factor) => factor,
            Way::Densities { drug, base } => base.div(drug)?,
            Way::Casts { mean, drug } => {
                let drug = drug.grams(mean)?;
                capacity.sub(mean)?.div(drug)?.add(Exact::ONE)?
            }
            Way::Nothing => Exact::ZERO,
            Way::OwnMass => Exact::ONE,
        };
        self.ratio.as_ref().map_or(Ok(plain), |ratio| plain.mul(ratio.number))
    }

    /// The base that a mass of it displaces. The quotient by a displacement value is taken at once, so
    /// that it comes out even where it can.
    pub(super) fn displaced(&self, mass: Exact, capacity: Exact) -> Result<Exact, Arithmetic> {
        let displaced = match self.way {
            Way::Value(value) => mass.div(value)?,
            Way::Densities { drug, base } => mass.mul(base)?.div(drug)?,
            _ => return mass.mul(self.per_gram(capacity)?),
        };
        self.ratio.as_ref().map_or(Ok(displaced), |ratio| displaced.mul(ratio.number))
    }

    /// The steps from the mass of an ingredient to the base it displaces.
    pub(super) fn steps(
        &self,
        name: &str,
        mass: Exact,
        capacity: Exact,
        base: &str,
    ) -> Result<Vec<WorkingStep>, Arithmetic> {
        let grams = show::grams(mass);
        let step = |say: String, sum: String, result: Exact| {
            WorkingStep::new(&say, &sum, show::sign(result), &show::grams(result))
        };
        let mut steps = Vec::new();
        let displaced = match self.way {
            Way::Value(value) => {
                let displaced = mass.div(value)?;
                let say = format!("Divide the mass of {name} by its displacement value.");
                steps.push(step(say, format!("{grams} ÷ {}", show::number(value)), displaced));
                displaced
            }
            Way::Factor(factor) => {
                let displaced = mass.mul(factor)?;
                let say = format!("Multiply the mass of {name} by its displacement factor.");
                steps.push(step(say, format!("{grams} × {}", show::number(factor)), displaced));
                displaced
            }
            Way::Densities { drug, base: of_base } => {
                let displaced = mass.mul(of_base)?.div(drug)?;
                let say = format!(
                    "Multiply the mass of {name} by the density of {base} and divide it by its own."
                );
                let sum = format!("{grams} × {} ÷ {}", of_base.trimmed(), drug.trimmed());
                steps.push(step(say, sum, displaced));
                displaced
            }
            Way::Casts { mean, drug } => {
                let [dose, mean_shown, blank] =
                    [drug.grams(mean)?, mean, capacity].map(show::grams);
                let factor = self.per_gram(capacity)?;
                steps.push(WorkingStep::new(
                    &format!("Find from the casts how much base each gram of {name} displaces."),
                    &format!("({blank} − {mean_shown} + {dose}) ÷ {dose}"),
                    show::number_sign(factor),
                    &show::number(factor),
                ));
                let displaced = mass.mul(factor)?;
                let say = format!("Multiply the mass of {name} by that.");
                steps.push(step(say, format!("{grams} × {}", show::number(factor)), displaced));
                displaced
            }
            Way::Nothing => {
                let say = format!("Leave the base displaced by {name} out of account.");
                steps.push(step(say, format!("{grams} × 0"), Exact::ZERO));
                Exact::ZERO
            }
            Way::OwnMass => {
                let say = format!("Take {name} to displace its own mass of base.");
                steps.push(step(say, format!("{grams} × 1"), mass));
                mass
            }
        };
        if let Some(ratio) = self.ratio.as_ref().filter(|ratio| ratio.changes()) {
            steps.push(ratio.step(displaced, base)?);
        }
        Ok(steps)
    }

    /// The value with its convention, in a sentence.
    pub(super) fn sentence(&self, name: &str, base: &str) -> String {
        let of = self.ratio.as_ref().map_or(base, |ratio| ratio.to.as_str());
        let whose = self.source.as_deref().unwrap_or("your value");
        match self.way {
            Way::Value(value) => {
                let value = show::number(value);
                format!(
                    "The displacement value of {name} in {of} is {value} ({whose}): {value} g of {name} \
                     displaces 1 g of {of}."
                )
            }
            Way::Factor(factor) => {
                let factor = show::number(factor);
                format!(
                    "The displacement factor f of {name} in {of} is {factor} ({whose}): each gram of \
                     {name} displaces {factor} g of {of}."
                )
            }
            Way::Densities { drug, base: of_base } => format!(
                "The density of {name} is {} g/mL and that of {base} {} g/mL: {name} displaces as much \
                 base as has its volume.",
                drug.trimmed(),
                of_base.trimmed()
            ),
            Way::Casts { .. } => {
                format!("What {name} displaces was found from units cast with it in {base}.")
            }
            Way::Nothing => format!("The base displaced by {name} is left out of account."),
            Way::OwnMass => format!("{} is taken to displace its own mass of base.", capital(name)),
        }
    }

    /// The values, each with where it comes from.
    pub(super) fn values(&self, name: &str, base: &str) -> Vec<ValueUsed> {
        let of = self.ratio.as_ref().map_or(base, |ratio| ratio.to.as_str());
        let one = |what: String, value: String| match &self.source {
            None => ValueUsed::yours(&what, &value),
            Some(source) => ValueUsed::taken(&what, &value, source),
        };
        let mut values = match self.way {
            Way::Value(value) => {
                vec![one(format!("displacement value of {name} in {of}"), show::number(value))]
            }
            Way::Factor(factor) => {
                vec![one(format!("displacement factor of {name} in {of}"), show::number(factor))]
            }
            Way::Densities { drug, base: of_base } => {
                let own = format!("{} g/mL", drug.trimmed());
                let other = format!("{} g/mL", of_base.trimmed());
                let what = format!("density of {base}");
                vec![
                    ValueUsed::yours(&format!("density of {name}"), &own),
                    match &self.source {
                        None => ValueUsed::yours(&what, &other),
                        Some(source) => ValueUsed::taken(&what, &other, source),
                    },
                ]
            }
            Way::Casts { mean, drug } => vec![
                ValueUsed::yours(
                    &format!("mean mass of a unit cast with {name}"),
                    &show::grams(mean),
                ),
                ValueUsed::yours(&format!("{name} in it"), &drug.words()),
            ],
            Way::Nothing => vec![one(format!("base displaced by {name}"), "left out".to_owned())],
            Way::OwnMass => {
                vec![one(format!("base displaced by {name}"), "its own mass".to_owned())]
            }
        };
        values.extend(self.ratio.as_ref().and_then(|ratio| ratio.value(base)));
        values
    }

    /// What is implausible about the value.
    pub(super) fn remarks(
        &self,
        (name, share): (&str, Exact),
        (capacity, base): (Exact, &str),
        fatty: bool,
    ) -> Result<Vec<Remark>, Arithmetic> {
        let mut remarks = Vec::new();
        let ratio = self.ratio.as_ref();
        let what = match self.way {
            Way::Value(_) => format!("The displacement value of {name}"),
            _ => format!("The displacement factor of {name}"),
        };
        remarks.extend(ratio.and_then(|ratio| ratio.remark(&what, base)));
        if self.unnamed_base && !fatty {
            remarks.push(Remark::new(
                &format!("{what} is used as one for {base}, since no base was named with it."),
                &format!("Tables are made for {USUAL}; if yours is, name the base of the value."),
            ));
        }
        let plain = ratio.map_or(Ok(Exact::ONE), |ratio| Ok(ratio.number));
        let factor = self.per_gram(capacity)?.div(plain?)?;
        // The facts run from 0.7 to 5.0, which is f from 0.2 to 1.43.
        let [least, most] = [Exact::new(16, 2), Exact::new(2, 0)].map(Option::unwrap_or_default);
        let counts = !matches!(self.way, Way::Nothing | Way::OwnMass);
        if counts && (factor < least || factor > most) {
            let words = match factor.is_positive() {
                true => format!(
                    "each gram displaces {} g of base, a displacement value of {}",
                    show::number(factor),
                    show::number(Exact::ONE.div(factor)?)
                ),
                false => "the units with drug hold more base than those without".to_owned(),
            };
            remarks.push(Remark::new(
                &format!(
                    "What {name} displaces is unusual: {words}. Published values run from 0.7 to 5."
                ),
                "Check the number, and whether it is a displacement value or a factor; each is the \
                 reciprocal of the other.",
            ));
        }
        let tenth = Exact::new(1, 1).unwrap_or_default();
        let is_far = |known: &Exact| -> bool {
            factor
                .sub(*known)
                .and_then(|apart| apart.abs().div(*known))
                .is_ok_and(|apart| apart > tenth)
        };
        if counts
            && self.source.is_none()
            && !self.known.is_empty()
            && self.known.iter().all(is_far)
        {
            remarks.push(Remark::new(
                &format!("Your value for {name} is more than 10 % from every value of the facts."),
                &format!("The facts have {}.", words::listed(&self.listed, "and")),
            ));
        }
        let small = Exact::new(25, 3).unwrap_or_default();
        if matches!(self.way, Way::Nothing) && share > small {
            remarks.push(Remark::new(
                &format!(
                    "What {name} displaces is left out, although it is {} of a unit.",
                    show::percent(share)
                ),
                "The units hold less of it than they should; give a displacement value.",
            ));
        }
        Ok(remarks)
    }
}

impl CastDrug {
    fn grams(self, mean: Exact) -> Result<Exact, Arithmetic> {
        match self {
            Self::Dose(dose) => Ok(dose),
            Self::Share(share) => mean.mul(share),
        }
    }

    fn words(self) -> String {
        match self {
            Self::Dose(dose) => show::small(dose),
            Self::Share(share) => show::percent(share),
        }
    }
}

impl Known<'_> {
    fn per_gram(&self) -> Exact {
        if self.is_value { Exact::ONE.div(self.number).unwrap_or_default() } else { self.number }
    }

    /// Whether two say the same of the same 1 g: a value is the reciprocal of a factor.
    fn agrees(&self, other: &Self) -> bool {
        if self.is_value == other.is_value {
            return self.number == other.number;
        }
        self.number.mul(other.number).is_ok_and(|product| product == Exact::ONE)
    }

    fn words(&self) -> String {
        let what = if self.is_value { "displacement value" } else { "displacement factor" };
        let note = self.note.map(|note| format!(", {note}")).unwrap_or_default();
        format!("{what} {} ({}{note}; source: {})", self.number, self.source.short, self.source.id)
    }
}

/// What the facts have for a drug; nothing from memory.
fn known<'a>(desk: &Desk<'a>, name: &str) -> Vec<Known<'a>> {
    let facts = desk.facts;
    let wanted = name.trim().to_lowercase().replace('-', " ");
    let mut known = Vec::new();
    for (table, column, is_value) in
        [("drugs", "displacement_value", true), ("factors", "factor", false)]
    {
        let Some(table) = facts.table(table) else { continue };
        let is_named = |row: &&Row| {
            text(table, row, "name")
                .is_some_and(|name| name.replace('-', " ").to_lowercase() == wanted)
                || row.id.replace('-', " ") == wanted
        };
        let Some((row, place)) = table.rows.iter().find(is_named).zip(table.column(column)) else {
            continue;
        };
        let is_number = |column: usize| {
            table.columns.get(column).is_some_and(|it| matches!(it.kind, ColumnKind::Number(_)))
        };
        for claim in row.cells.get(place).into_iter().flatten().filter(|_| is_number(place)) {
            let source = facts.source(&claim.source).filter(|_| facts.may_ask(claim));
            if let (Fact::Number(number), Some(source), true) =
                (&claim.fact, source, claim.is_true())
            {
                let base = text(table, row, "base").unwrap_or(USUAL).to_owned();
                let note = claim.note.as_deref();
                known.push(Known { is_value, number: *number, base, source, note });
            }
        }
    }
    known
}

/// The text of a cell.
fn text<'a>(table: &'a Table, row: &'a Row, column: &str) -> Option<&'a str> {
    row.cells.get(table.column(column)?)?.first()?.text()
}

/// The value of the facts that is taken: the one of a source that was named, or the only one.
fn choose<'k, 'a>(
    desk: &mut Desk<'_>,
    (path, drug, name): (&str, &OrderedDrug, &str),
    known: &'k [Known<'a>],
) -> Result<&'k Known<'a>, Noted> {
    let listed: Vec<String> = known.iter().map(Known::words).collect();
    if let Some(source) = &drug.source {
        let fits = |known: &&Known<'_>| {
            known.source.id == *source || known.source.short.eq_ignore_ascii_case(source)
        };
        let ids: Vec<&str> = known.iter().map(|known| known.source.id.as_str()).collect();
        return known.iter().find(fits).ok_or_else(|| {
            let kind = format!("a source with a value for {name}");
            let otherwise = "the facts have no value for it; give one of your own";
            desk.unknown(&format!("{path}.source"), &kind, source, &ids, otherwise)
        });
    }
    let ways = "`value`, `factor`, `density` or `casts`, or write `nothing` or `its own mass` under \
                `displaces`";
    match known {
        [] => {
            let what = format!("what {name} displaces");
            let near = near_drug(desk, name);
            let help = match near {
                Some(near) => format!("the facts have `{near}`; write that name, or give {ways}"),
                None => format!("the facts have no value for it; give {ways}"),
            };
            Err(desk.missing(&format!("{path}.value"), &what, &help))
        }
        [first, rest @ ..] if rest.iter().all(|other| other.agrees(first)) => Ok(first),
        _ => {
            let what = format!(
                "expected the value to use for {name}, found sources that differ: {}",
                words::listed(&listed, "and")
            );
            let help = format!(
                "choose one by its `source`, such as `{}`, or give {ways}",
                known[0].source.id
            );
            Err(desk.note(format!("{path}.value"), what, "sources differ", help))
        }
    }
}

/// The nearest name of a drug in the facts.
fn near_drug(desk: &Desk<'_>, name: &str) -> Option<String> {
    let names = ["drugs", "factors"].iter().filter_map(|table| desk.facts.table(table));
    let names: Vec<&str> = names
        .flat_map(|table| {
            let column = table.column("name").unwrap_or_default();
            table.rows.iter().filter_map(move |row| row.cells.get(column)?.first()?.text())
        })
        .collect();
    crate::formula::nearest(name, names).map(str::to_owned)
}

/// A way that was given.
fn own_way(
    desk: &mut Desk<'_>,
    (path, drug, name): (&str, &OrderedDrug, &str),
    way: &str,
    base: &Base,
) -> Checked<Way> {
    let at = format!("{path}.{way}");
    match (way, &drug.value, &drug.factor, &drug.density, &drug.displaces) {
        ("value", Some(text), ..) => {
            desk.number(&at, text, Measure::Number, Least::AboveZero).map(Way::Value)
        }
        ("factor", _, Some(text), ..) => {
            desk.number(&at, text, Measure::Number, Least::Zero).map(Way::Factor)
        }
        ("density", _, _, Some(text), _) => {
            let own = desk.number(&at, text, Measure::Density, Least::AboveZero);
            let of_base = base.density(desk, "base.density");
            Ok(Way::Densities { drug: own?, base: of_base?.0 })
        }
        ("displaces", .., Some(text)) => match text.trim().to_lowercase().as_str() {
            "nothing" => Ok(Way::Nothing),
            "its own mass" => Ok(Way::OwnMass),
            _ => {
                let kind = format!("what {name} displaces");
                Err(desk.unknown(&at, &kind, text, &["nothing", "its own mass"], ""))
            }
        },
        _ => casts(desk, &at, drug),
    }
}

fn casts(desk: &mut Desk<'_>, path: &str, drug: &OrderedDrug) -> Checked<Way> {
    let casts = drug.casts.clone().unwrap_or_default();
    let at = |key: &str| format!("{path}.{key}");
    let mass = match &casts.mass {
        Some(text) => desk.number(&at("mass"), text, Measure::Mass, Least::AboveZero),
        None => Err(desk.missing(
            &at("mass"),
            "the mass of the medicated casts",
            "give it, such as `14 g`",
        )),
    };
    let units = desk.maybe(&at("units"), casts.units.as_ref(), Measure::Count, Least::AboveZero);
    let dose = desk.maybe(&at("dose"), casts.dose.as_ref(), Measure::Mass, Least::AboveZero);
    let share =
        desk.maybe(&at("strength"), casts.strength.as_ref(), Measure::Share, Least::AboveZero);
    let (dose, share) = (dose?, share?);
    let amount = match (dose, share) {
        (Some(dose), None) => Ok(CastDrug::Dose(dose)),
        (None, Some(share)) => Ok(CastDrug::Share(share)),
        (found, _) => {
            let found = if found.is_some() { "both" } else { "neither" };
            let what = format!("expected the dose or the strength of the casts, found {found}");
            Err(desk.note(path, what, "which one?", "give `dose` or `strength`"))
        }
    };
    let (mass, amount) = (mass?, amount?);
    let mean = mass.div(units?.unwrap_or(Exact::ONE)).unwrap_or(mass);
    Ok(Way::Casts { mean, drug: amount })
}

/// The text with a capital letter.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Whether values for fats may be used for a base as they are.
pub(super) fn takes_values_for_fats(desk: &Desk<'_>, base: &Base) -> bool {
    is_fatty(desk.facts, &key(desk.facts, &base.name))
}
