//! What a drug displaces: a displacement value, a factor, a density or casts of one's own, or what the
//! facts have.

mod known;
mod telling;

use crate::bank::OrderedDrug;
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use known::choose;
pub(super) use known::{Known, known, names};

use crate::batch::base::{Base, Ratio, is_fatty, key};
use crate::batch::order_reader::{Checked, Least, Measure, OrderReader};
use crate::batch::show;

/// How much base a drug displaces.
#[derive(Clone, Debug)]
pub(super) struct Displacing {
    pub(super) basis: Basis,
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
pub(super) enum Basis {
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

impl Displacing {
    pub(super) fn read(
        reader: &mut OrderReader<'_>,
        (path, drug, name): (&str, &OrderedDrug, &str),
        base: &Base,
        is_volume: bool,
    ) -> Checked<Self> {
        let known = known(reader.facts, name);
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
            return Err(reader.note(
                format!("{path}.{}", given[1]),
                what,
                "a second way",
                "keep one of them",
            ));
        }
        let mut source = None;
        let mut of = drug.base.clone();
        let mut unnamed_base = false;
        let basis = match given.first() {
            None => {
                let chosen = choose(reader, (path, drug, name), &known)?;
                source = Some(chosen.source.short.clone());
                of = of.or_else(|| Some(chosen.base.clone()));
                if chosen.is_value {
                    Basis::Value(chosen.number)
                } else {
                    Basis::Factor(chosen.number)
                }
            }
            Some(_) if drug.source.is_some() => {
                let what =
                    format!("expected a value of your own or a source for {name}, found both");
                let help = "keep one of them: a source stands for the value of the facts";
                return Err(reader.note(format!("{path}.source"), what, "a second way", help));
            }
            Some(way) => {
                unnamed_base = of.is_none() && matches!(*way, "value" | "factor");
                own_basis(reader, (path, drug, name), way, base)?
            }
        };
        let ratio = match basis {
            Basis::Value(_) | Basis::Factor(_) => {
                let other = of.unwrap_or_else(|| base.name.clone());
                let at = format!("{path}.base");
                Some(base.ratio(reader, &at, &other)?)
            }
            _ => None,
        };
        Ok(Self { basis, ratio, source, listed, known: per_gram, unnamed_base })
    }

    /// The grams of the base of the batch that 1 g displaces. `capacity` is that of a cavity.
    pub(super) fn per_gram(&self, capacity: Exact) -> Result<Exact, Arithmetic> {
        let plain = match self.basis {
            Basis::Value(value) => Exact::ONE.div(value)?,
            Basis::Factor(factor) => factor,
            Basis::Densities { drug, base } => base.div(drug)?,
            Basis::Casts { mean, drug } => {
                let drug = drug.grams(mean)?;
                capacity.sub(mean)?.div(drug)?.add(Exact::ONE)?
            }
            Basis::Nothing => Exact::ZERO,
            Basis::OwnMass => Exact::ONE,
        };
        self.ratio.as_ref().map_or(Ok(plain), |ratio| plain.mul(ratio.number))
    }

    /// The base that a mass of it displaces. The quotient by a displacement value is taken at once, so
    /// that it comes out even where it can.
    pub(super) fn displaced(&self, mass: Exact, capacity: Exact) -> Result<Exact, Arithmetic> {
        let displaced = match self.basis {
            Basis::Value(value) => mass.div(value)?,
            Basis::Densities { drug, base } => mass.mul(base)?.div(drug)?,
            _ => return mass.mul(self.per_gram(capacity)?),
        };
        self.ratio.as_ref().map_or(Ok(displaced), |ratio| displaced.mul(ratio.number))
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

/// A way that was given.
fn own_basis(
    reader: &mut OrderReader<'_>,
    (path, drug, name): (&str, &OrderedDrug, &str),
    way: &str,
    base: &Base,
) -> Checked<Basis> {
    let at = format!("{path}.{way}");
    match (way, &drug.value, &drug.factor, &drug.density, &drug.displaces) {
        ("value", Some(text), ..) => {
            reader.number(&at, text, Measure::Number, Least::AboveZero).map(Basis::Value)
        }
        ("factor", _, Some(text), ..) => {
            reader.number(&at, text, Measure::Number, Least::Zero).map(Basis::Factor)
        }
        ("density", _, _, Some(text), _) => {
            let own = reader.number(&at, text, Measure::Density, Least::AboveZero);
            let of_base = base.density(reader, "base.density");
            Ok(Basis::Densities { drug: own?, base: of_base?.0 })
        }
        ("displaces", .., Some(text)) => match text.trim().to_lowercase().as_str() {
            "nothing" => Ok(Basis::Nothing),
            "its own mass" => Ok(Basis::OwnMass),
            _ => {
                let kind = format!("what {name} displaces");
                Err(reader.unknown(&at, &kind, text, &["nothing", "its own mass"], ""))
            }
        },
        _ => casts(reader, &at, drug),
    }
}

fn casts(reader: &mut OrderReader<'_>, path: &str, drug: &OrderedDrug) -> Checked<Basis> {
    let casts = drug.casts.clone().unwrap_or_default();
    let at = |key: &str| format!("{path}.{key}");
    let mass = match &casts.mass {
        Some(text) => reader.number(&at("mass"), text, Measure::Mass, Least::AboveZero),
        None => Err(reader.missing(
            &at("mass"),
            "the mass of the medicated casts",
            "give it, such as `14 g`",
        )),
    };
    let units = reader.maybe(&at("units"), casts.units.as_ref(), Measure::Count, Least::AboveZero);
    let dose = reader.maybe(&at("dose"), casts.dose.as_ref(), Measure::Mass, Least::AboveZero);
    let share =
        reader.maybe(&at("strength"), casts.strength.as_ref(), Measure::Share, Least::AboveZero);
    let (dose, share) = (dose?, share?);
    let amount = match (dose, share) {
        (Some(dose), None) => Ok(CastDrug::Dose(dose)),
        (None, Some(share)) => Ok(CastDrug::Share(share)),
        (found, _) => {
            let found = if found.is_some() { "both" } else { "neither" };
            let what = format!("expected the dose or the strength of the casts, found {found}");
            Err(reader.note(path, what, "which one?", "give `dose` or `strength`"))
        }
    };
    let (mass, amount) = (mass?, amount?);
    let mean = mass.div(units?.unwrap_or(Exact::ONE)).unwrap_or(mass);
    Ok(Basis::Casts { mean, drug: amount })
}

/// The text with a capital letter.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Whether values for fats may be used for a base as they are.
pub(super) fn takes_values_for_fats(reader: &OrderReader<'_>, base: &Base) -> bool {
    is_fatty(reader.facts, &key(reader.facts, &base.name))
}
