//! From the amount ordered to the powder that is weighed: assay, water, and another salt or hydrate.
//!
//! The factor is 1 / (content × (1 − water)) when the content is that of the dried substance, and the
//! ratio of the molar masses for another form; factors multiply (PTA-Forum, weight correction of
//! betamethasone dipropionate, p. 2).

use crate::bank::{OrderedDrug, OrderedSalt};
use crate::quantity::{Arithmetic, Exact};

use super::order_reader::{Checked, Least, Measure, OrderReader};
use super::sheet::{Remark, ValueUsed};
use super::show;

/// By what the amount ordered is multiplied.
#[derive(Clone, Debug, Default)]
pub(super) struct Correction {
    assay: Option<Exact>,
    water: Option<Exact>,
    /// Molar masses: ordered, held, and how many of the first are in the second.
    salt: Option<[Exact; 3]>,
    own: Option<Exact>,
}

impl Correction {
    pub(super) fn read(
        reader: &mut OrderReader<'_>,
        path: &str,
        drug: &OrderedDrug,
    ) -> Checked<Self> {
        let at = |key: &str| format!("{path}.{key}");
        let assay =
            reader.maybe(&at("assay"), drug.assay.as_ref(), Measure::Share, Least::AboveZero);
        let water = reader.maybe(&at("water"), drug.water.as_ref(), Measure::Share, Least::Zero);
        let own = reader.maybe(
            &at("correction"),
            drug.correction.as_ref(),
            Measure::Number,
            Least::AboveZero,
        );
        let salt = drug.salt.as_ref().map(|salt| read_salt(reader, &at("salt"), salt)).transpose();
        let water = water?;
        if water.is_some_and(|water| water >= Exact::ONE) {
            let what = "expected less than 100 % of water";
            return Err(reader.note(at("water"), what, "nothing would be left", "check it"));
        }
        Ok(Self { assay: assay?, water, salt: salt?, own: own? })
    }

    /// The factor.
    pub(super) fn factor(&self) -> Result<Exact, Arithmetic> {
        // All products first and one quotient last, so that it comes out even where it can.
        let mut above = self.own.unwrap_or(Exact::ONE);
        let mut below = self.assay.unwrap_or(Exact::ONE);
        if let Some(water) = self.water {
            below = below.mul(Exact::ONE.sub(water)?)?;
        }
        if let Some([ordered, held, holds]) = self.salt {
            above = above.mul(held)?;
            below = below.mul(ordered)?.mul(holds)?;
        }
        above.div(below)
    }

    /// Whether anything changes by it.
    pub(super) fn is_given(&self) -> bool {
        self.assay.is_some() || self.water.is_some() || self.salt.is_some() || self.own.is_some()
    }

    /// The factor as a sum.
    pub(super) fn sum(&self) -> String {
        let mut above = Vec::new();
        let mut below = Vec::new();
        if let Some(own) = self.own {
            above.push(show::number(own));
        }
        if let Some([ordered, held, holds]) = self.salt {
            above.push(show::number(held));
            below.push(show::number(ordered));
            if holds != Exact::ONE {
                below.push(show::number(holds));
            }
        }
        below.extend(self.assay.map(show::percent));
        if let Some(water) = self.water {
            below.push(format!("(1 − {})", show::percent(water)));
        }
        let above = if above.is_empty() { "1".to_owned() } else { above.join(" × ") };
        match below.as_slice() {
            [] => above,
            [one] => format!("{above} ÷ {one}"),
            several => format!("{above} ÷ ({})", several.join(" × ")),
        }
    }

    /// The values that were given.
    pub(super) fn values(&self, name: &str) -> Vec<ValueUsed> {
        let rows = [
            ("assay of", self.assay.map(show::percent)),
            ("water in", self.water.map(show::percent)),
            ("correction of", self.own.map(show::number)),
            (
                "molar mass of the form ordered of",
                self.salt.map(|[ordered, ..]| show::number(ordered)),
            ),
            ("molar mass of the form weighed of", self.salt.map(|[_, held, _]| show::number(held))),
        ];
        let rows = rows.into_iter().filter_map(|(what, value)| Some((what, value?)));
        rows.map(|(what, value)| ValueUsed::yours(&format!("{what} {name}"), &value)).collect()
    }

    /// What is implausible about it.
    pub(super) fn remarks(&self, name: &str) -> Result<Vec<Remark>, Arithmetic> {
        let mut remarks = Vec::new();
        if self.assay.is_some_and(|assay| assay > Exact::ONE) {
            remarks.push(Remark::new(
                &format!("The assay of {name} is above 100 %."),
                "If that is not plausible, count it as 100 % (PTA-Forum, weight correction of \
                 betamethasone dipropionate, p. 2).",
            ));
        }
        let [half, twice] = [Exact::new(5, 1), Exact::new(2, 0)].map(Option::unwrap_or_default);
        let factor = self.factor()?;
        if factor < half || factor > twice {
            remarks.push(Remark::new(
                &format!(
                    "The amount of {name} is multiplied by {} before weighing.",
                    show::number(factor)
                ),
                "Check the assay and the molar masses, and which of the two forms is ordered.",
            ));
        }
        Ok(remarks)
    }
}

fn read_salt(reader: &mut OrderReader<'_>, path: &str, salt: &OrderedSalt) -> Checked<[Exact; 3]> {
    let mut molar = |key: &str, text: &Option<String>, what: &str| match text {
        Some(text) => {
            reader.number(&format!("{path}.{key}"), text, Measure::Number, Least::AboveZero)
        }
        None => {
            let help = "give it, such as `322`";
            Err(reader.missing(&format!("{path}.{key}"), what, help))
        }
    };
    let ordered = molar("ordered", &salt.ordered, "the molar mass of the form ordered");
    let held = molar("held", &salt.held, "the molar mass of the form weighed");
    let holds = reader.maybe(
        &format!("{path}.holds"),
        salt.holds.as_ref(),
        Measure::Count,
        Least::AboveZero,
    );
    Ok([ordered?, held?, holds?.unwrap_or(Exact::ONE)])
}
