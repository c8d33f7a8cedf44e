//! A drug or another ingredient of the order.

use crate::bank::{OrderProblem, OrderedDrug};
use crate::quantity::{Dimension, Exact, Quantity, Unit, read_quantity};
use crate::words;

use super::base::Base;
use super::correction::Correction;
use super::displacing::Displacing;
use super::order_reader::{Checked, Least, Measure, OrderReader};
use super::sheet::ValueUsed;
use super::show;

/// An ingredient beside the base.
#[derive(Clone, Debug)]
pub(super) struct Ingredient {
    pub(super) path: String,
    pub(super) name: String,
    pub(super) is_drug: bool,
    pub(super) amount: Amount,
    pub(super) correction: Correction,
    pub(super) displacing: Displacing,
}

/// How much is ordered.
#[derive(Clone, Debug)]
pub(super) enum Amount {
    /// So many grams in each unit.
    Dose { mass: Exact, written: String, volume: Option<[Exact; 2]> },
    /// A fraction of the finished unit.
    Strength(Exact),
    /// A fraction of the capacity of a cavity.
    OfPlain(Exact),
    /// So many grams in each millilitre of a cavity, with the density of the base, in g/mL, and the source
    /// it was taken from.
    OfVolume { share: Exact, density: Exact, source: Option<String> },
    /// So many grams in the batch.
    Total(Exact),
}

impl Ingredient {
    pub(super) fn read(
        reader: &mut OrderReader<'_>,
        (path, drug, is_drug): (&str, &OrderedDrug, bool),
        base: Checked<&Base>,
    ) -> Checked<Self> {
        let name = match drug.name.as_deref().map(str::trim).filter(|name| !name.is_empty()) {
            Some(name) => Ok(words::printable(name)),
            None => Err(reader.missing(
                &format!("{path}.name"),
                "the name of the ingredient",
                "name it, such as `zinc oxide`",
            )),
        };
        let called = name.clone().unwrap_or_else(|_| "it".to_owned());
        let amount = amount(reader, (path, drug, &called), base);
        let correction = Correction::read(reader, path, drug);
        let is_volume = matches!(&amount, Ok(Amount::Dose { volume: Some(_), .. }));
        let name = name?;
        let displacing = Displacing::read(reader, (path, drug, &name), base?, is_volume);
        Ok(Self {
            path: path.to_owned(),
            name,
            is_drug,
            amount: amount?,
            correction: correction?,
            displacing: displacing?,
        })
    }

    /// The values, each with where it comes from.
    pub(super) fn values(&self, base: &str) -> Vec<ValueUsed> {
        let name = &self.name;
        let amount = match &self.amount {
            Amount::Dose { written, .. } => {
                ValueUsed::yours(&format!("{name} in each unit"), written)
            }
            Amount::Strength(share) => ValueUsed::yours(
                &format!("strength of {name}, of the finished unit"),
                &show::percent(*share),
            ),
            Amount::OfPlain(share) => ValueUsed::yours(
                &format!("strength of {name}, of the plain unit"),
                &show::percent(*share),
            ),
            Amount::OfVolume { share, .. } => ValueUsed::yours(
                &format!("strength of {name}, by volume"),
                &format!("{} w/v", show::percent(*share)),
            ),
            Amount::Total(mass) => {
                ValueUsed::yours(&format!("{name} in the batch"), &show::grams(*mass))
            }
        };
        let mut values = vec![amount];
        if let Amount::OfVolume { density, source, .. } = &self.amount {
            let what = format!("density of {base}");
            let density = format!("{} g/mL", density.trimmed());
            values.push(match source {
                Some(source) => ValueUsed::taken(&what, &density, source),
                None => ValueUsed::yours(&what, &density),
            });
        }
        values.extend(self.correction.values(name));
        values.extend(self.displacing.values(name, base));
        values
    }
}

/// Notes names that two ingredients share: the sheet could not tell them apart.
pub(super) fn alike(ingredients: &[Ingredient], base: &str) -> Vec<OrderProblem> {
    let mut problems = Vec::new();
    for (n, one) in ingredients.iter().enumerate() {
        let is_again =
            ingredients[..n].iter().any(|other| other.name.eq_ignore_ascii_case(&one.name));
        if is_again || one.name.eq_ignore_ascii_case(base) {
            problems.push(OrderProblem {
                path: format!("{}.name", one.path),
                what: format!("expected a name for each ingredient, found `{}` again", one.name),
                label: "again".to_owned(),
                help: "add the amounts, or give one of them another name".to_owned(),
            });
        }
    }
    problems
}

fn amount(
    reader: &mut OrderReader<'_>,
    (path, drug, name): (&str, &OrderedDrug, &str),
    base: Checked<&Base>,
) -> Checked<Amount> {
    let ways = [("dose", &drug.dose), ("strength", &drug.strength), ("total", &drug.total)];
    let given: Vec<&str> =
        ways.iter().filter(|(_, text)| text.is_some()).map(|(key, _)| *key).collect();
    if given.len() > 1 {
        let what = format!("expected one amount of {name}, found {}", words::listed(&given, "and"));
        let path = format!("{path}.{}", given[1]);
        return Err(reader.note(path, what, "a second amount", "keep one of them"));
    }
    if let (Some(_), None) = (&drug.of, &drug.strength) {
        let what = "expected no `of` without `strength`, found one";
        reader.note(format!("{path}.of"), what, "refers to nothing", "remove it");
    }
    match (&drug.dose, &drug.strength, &drug.total) {
        (Some(text), ..) => dose(reader, path, drug, text),
        (_, Some(text), _) => {
            let at = format!("{path}.strength");
            if let Some(strength) = by_volume(text) {
                return of_volume(reader, (path, drug), strength, base?);
            }
            let share = match ratio(text) {
                Some(share) => share,
                None => reader.number(&at, text, Measure::Share, Least::AboveZero)?,
            };
            if share >= Exact::ONE {
                let what =
                    format!("expected a strength below 100 %, found {}", show::percent(share));
                return Err(reader.note(at, what, "no room for base", "check it"));
            }
            let of = drug.of.as_deref().map_or("finished unit", str::trim);
            match of {
                "finished unit" => Ok(Amount::Strength(share)),
                "plain unit" => Ok(Amount::OfPlain(share)),
                _ => {
                    let at = format!("{path}.of");
                    let known = ["finished unit", "plain unit"];
                    Err(reader.unknown(&at, "what the percentage refers to", of, &known, ""))
                }
            }
        }
        (.., Some(text)) => {
            let at = format!("{path}.total");
            reader.number(&at, text, Measure::Mass, Least::AboveZero).map(Amount::Total)
        }
        _ => {
            let help = "give `dose`, the amount in each unit, `strength` in per cent, or `total`";
            Err(reader.missing(
                &format!("{path}.dose"),
                &format!("how much {name} is ordered"),
                help,
            ))
        }
    }
}

/// The number of a percentage by volume, `5 % w/v`; `None` for anything else.
fn by_volume(text: &str) -> Option<Exact> {
    let typed = read_quantity(text).ok()?;
    typed.unit.filter(|unit| unit.to_string() == "% w/v").map(|_| typed.number)
}

/// A percentage by volume, which is the mass in grams in 100 mL of a cavity.
fn of_volume(
    reader: &mut OrderReader<'_>,
    (path, drug): (&str, &OrderedDrug),
    strength: Exact,
    base: &Base,
) -> Checked<Amount> {
    let at = format!("{path}.strength");
    if drug.of.is_some() {
        let what = "expected no `of` beside a strength by volume, found one";
        let help = "remove it: % w/v refers to the volume of the cavity";
        return Err(reader.note(format!("{path}.of"), what, "a second way", help));
    }
    let share = strength.times_ten_to(-2).ok().filter(|share| share.is_positive());
    let Some(share) = share.filter(|share| *share < Exact::ONE) else {
        let what =
            format!("expected a strength above 0 and below 100 % w/v, found `{strength} % w/v`");
        return Err(reader.note(at, what, "no such strength", "check the number"));
    };
    let (density, source) = base.density(reader, "base.density")?;
    Ok(Amount::OfVolume { share, density, source })
}

/// A ratio strength, `1 in 20`, as a fraction; `None` for anything else.
fn ratio(text: &str) -> Option<Exact> {
    let (part, whole) = text.trim().split_once(" in ")?;
    let number = |text: &str| {
        let typed = read_quantity(text).ok().filter(|typed| typed.unit.is_none())?;
        Some(typed.number).filter(|number| number.is_positive())
    };
    number(part)?.div(number(whole)?).ok()
}

/// A dose by mass, or by volume with a density.
fn dose(
    reader: &mut OrderReader<'_>,
    path: &str,
    drug: &OrderedDrug,
    text: &str,
) -> Checked<Amount> {
    let at = format!("{path}.dose");
    let written = words::printable(text.trim());
    let volumes = [Dimension::VOLUME, Dimension::VOLUME.over(Dimension::COUNT)];
    let is_volume = |unit: Unit| volumes.contains(&unit.dimension());
    let volume = read_quantity(text).ok().filter(|typed| typed.unit.is_some_and(is_volume));
    let Some(volume) = volume else {
        let mass = reader.number(&at, text, Measure::Mass, Least::AboveZero)?;
        // `200mg` is shown as `200 mg`, with the places that were written.
        let typed = reader.typed(&at, text, Measure::Mass)?;
        let unit = typed.unit.unwrap_or(Unit::NUMBER);
        let written = Quantity::new(typed.number, unit).to_string();
        return Ok(Amount::Dose { mass, written, volume: None });
    };
    let Some(density) = &drug.density else {
        let help = "give the `density`, such as `1.26 g/mL`, or the dose by mass";
        return Err(reader.missing(
            &format!("{path}.density"),
            "the density of a dose by volume",
            help,
        ));
    };
    let density =
        reader.number(&format!("{path}.density"), density, Measure::Density, Least::AboveZero)?;
    let millilitres = volume.unit.map(|unit| unit.to_coherent(volume.number));
    let mass = millilitres.and_then(Result::ok).filter(|volume| volume.is_positive());
    let mass = mass.and_then(|volume| Some(([volume, density], volume.mul(density).ok()?)));
    let Some((volume, mass)) = mass else {
        let what = format!("expected a volume above zero, found `{written}`");
        return Err(reader.note(at, what, "not a dose", "check the number"));
    };
    Ok(Amount::Dose { mass, written, volume: Some(volume) })
}
