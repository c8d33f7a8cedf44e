//! What a drug displaces, in steps, sentences and remarks.

use crate::batch::base::USUAL;
use crate::batch::sheet::{Remark, ValueUsed, WorkingStep};
use crate::batch::show;
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use super::{Basis, Displacing, capital};

impl Displacing {
    /// The steps from the mass of an ingredient to the base it displaces.
    pub(in crate::batch) fn steps(
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
        let displaced = match self.basis {
            Basis::Value(value) => {
                let displaced = mass.div(value)?;
                let say = format!("Divide the mass of {name} by its displacement value.");
                steps.push(step(say, format!("{grams} ÷ {}", show::number(value)), displaced));
                displaced
            }
            Basis::Factor(factor) => {
                let displaced = mass.mul(factor)?;
                let say = format!("Multiply the mass of {name} by its displacement factor.");
                steps.push(step(say, format!("{grams} × {}", show::number(factor)), displaced));
                displaced
            }
            Basis::Densities { drug, base: of_base } => {
                let displaced = mass.mul(of_base)?.div(drug)?;
                let say = format!(
                    "Multiply the mass of {name} by the density of {base} and divide it by its own."
                );
                let sum = format!("{grams} × {} ÷ {}", of_base.trimmed(), drug.trimmed());
                steps.push(step(say, sum, displaced));
                displaced
            }
            Basis::Casts { mean, drug } => {
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
            Basis::Nothing => {
                let say = format!("Leave the base displaced by {name} out of account.");
                steps.push(step(say, format!("{grams} × 0"), Exact::ZERO));
                Exact::ZERO
            }
            Basis::OwnMass => {
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
    pub(in crate::batch) fn sentence(&self, name: &str, base: &str) -> String {
        let of = self.ratio.as_ref().map_or(base, |ratio| ratio.to.as_str());
        let whose = self.source.as_deref().unwrap_or("your value");
        match self.basis {
            Basis::Value(value) => {
                let value = show::number(value);
                format!(
                    "The displacement value of {name} in {of} is {value} ({whose}): {value} g of {name} \
                     displaces 1 g of {of}."
                )
            }
            Basis::Factor(factor) => {
                let factor = show::number(factor);
                format!(
                    "The displacement factor f of {name} in {of} is {factor} ({whose}): each gram of \
                     {name} displaces {factor} g of {of}."
                )
            }
            Basis::Densities { drug, base: of_base } => format!(
                "The density of {name} is {} g/mL and that of {base} {} g/mL: {name} displaces as much \
                 base as has its volume.",
                drug.trimmed(),
                of_base.trimmed()
            ),
            Basis::Casts { .. } => {
                format!("What {name} displaces was found from units cast with it in {base}.")
            }
            Basis::Nothing => format!("The base displaced by {name} is left out of account."),
            Basis::OwnMass => {
                format!("{} is taken to displace its own mass of base.", capital(name))
            }
        }
    }

    /// The values, each with where it comes from.
    pub(in crate::batch) fn values(&self, name: &str, base: &str) -> Vec<ValueUsed> {
        let of = self.ratio.as_ref().map_or(base, |ratio| ratio.to.as_str());
        let one = |what: String, value: String| match &self.source {
            None => ValueUsed::yours(&what, &value),
            Some(source) => ValueUsed::taken(&what, &value, source),
        };
        let mut values = match self.basis {
            Basis::Value(value) => {
                vec![one(format!("displacement value of {name} in {of}"), show::number(value))]
            }
            Basis::Factor(factor) => {
                vec![one(format!("displacement factor of {name} in {of}"), show::number(factor))]
            }
            Basis::Densities { drug, base: of_base } => {
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
            Basis::Casts { mean, drug } => vec![
                ValueUsed::yours(
                    &format!("mean mass of a unit cast with {name}"),
                    &show::grams(mean),
                ),
                ValueUsed::yours(&format!("{name} in it"), &drug.words()),
            ],
            Basis::Nothing => vec![one(format!("base displaced by {name}"), "left out".to_owned())],
            Basis::OwnMass => {
                vec![one(format!("base displaced by {name}"), "its own mass".to_owned())]
            }
        };
        values.extend(self.ratio.as_ref().and_then(|ratio| ratio.value(base)));
        values
    }

    /// What is implausible about the value.
    pub(in crate::batch) fn remarks(
        &self,
        (name, share): (&str, Exact),
        (capacity, base): (Exact, &str),
        fatty: bool,
    ) -> Result<Vec<Remark>, Arithmetic> {
        let mut remarks = Vec::new();
        let ratio = self.ratio.as_ref();
        let what = match self.basis {
            Basis::Value(_) => format!("The displacement value of {name}"),
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
        let counts = !matches!(self.basis, Basis::Nothing | Basis::OwnMass);
        if counts && (factor < least || factor > most) {
            let words = if factor.is_positive() {
                format!(
                    "each gram displaces {} g of base, a displacement value of {}",
                    show::number(factor),
                    show::number(Exact::ONE.div(factor)?)
                )
            } else {
                "the units with drug hold more base than those without".to_owned()
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
        if matches!(self.basis, Basis::Nothing) && share > small {
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
