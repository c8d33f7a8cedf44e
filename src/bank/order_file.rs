//! A file with an order: its texts, each with its location.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::bank::SourceText;
use crate::bank::order::{
    Order, OrderProblem, OrderedBalance, OrderedBase, OrderedCasts, OrderedDrug, OrderedMould,
    OrderedPart, OrderedSalt,
};
use crate::bank::reading::Report;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::words::Text;
use crate::bank::reading::written::{Either, file};
use crate::bank::written::order::{BaseText, DrugText, OrderText};

/// An order that was read from a file, with the location of each value.
#[derive(Clone, Debug)]
pub struct OrderFile {
    /// The order.
    pub order: Order,
    source: Arc<SourceText>,
    locations: BTreeMap<String, Location>,
}

impl OrderFile {
    /// Reads a file. Its values are texts still; only its keys are checked.
    ///
    /// # Errors
    /// Everything that is wrong with the keys, each with its location.
    pub fn read(source: SourceText) -> Result<Self, Report> {
        let source = Arc::new(source.without_mark());
        let mut checker = Checker::new(&source);
        let read = file::<OrderText>(&mut checker).and_then(|written| checker.finish(written));
        let written = match read {
            Ok(written) => written,
            Err(noted) => return Err(checker.notes.report(noted)),
        };
        let mut reading = Reading::default();
        let order = reading.order(&written);
        Ok(Self { order, source, locations: reading.locations })
    }

    /// Whether the file gives a value, or the group that it belongs in.
    pub fn gives(&self, path: &str) -> bool {
        self.locations.contains_key(path)
    }

    /// What is wrong with the values, each at its location: what is missing, at the group that it belongs
    /// in. `None` when nothing is wrong.
    pub fn report(&self, problems: &[OrderProblem]) -> Option<Report> {
        let mut checker = Checker::new(&self.source);
        let mut last = None;
        for problem in problems {
            let OrderProblem { path, what, label, help } = problem;
            let help = Some(help.clone());
            last = Some(match self.locations.get(path) {
                Some(location) => checker.value(location, what, label, help),
                None => checker.key(&self.near(path), what, label, help),
            });
        }
        last.map(|noted| checker.notes.report(noted))
    }

    /// The location of the group that a value belongs in.
    fn near(&self, path: &str) -> Location {
        let mut rest = path;
        while let Some((before, _)) = rest.rsplit_once('.') {
            if let Some(location) = self.locations.get(before) {
                return *location;
            }
            rest = before;
        }
        Location::FILE
    }
}

/// The locations of an order that is being read.
#[derive(Default)]
struct Reading {
    locations: BTreeMap<String, Location>,
}

impl Reading {
    fn text(&mut self, path: &str, text: Option<&Text>) -> Option<String> {
        let text = text?;
        self.locations.insert(path.to_owned(), text.location());
        Some(text.to_string())
    }

    fn order(&mut self, written: &OrderText) -> Order {
        let mut mould = OrderedMould::default();
        if let Some(text) = &written.mould {
            self.locations.insert("mould".to_owned(), text.location());
            let masses = text.masses.iter().flat_map(|all| all.iter()).enumerate();
            mould = OrderedMould {
                capacity: self.text("mould.capacity", text.capacity.as_ref()),
                total: self.text("mould.total", text.total.as_ref()),
                masses: masses
                    .filter_map(|(n, mass)| self.text(&format!("mould.masses.{n}"), Some(mass)))
                    .collect(),
                blanks: self.text("mould.blanks", text.blanks.as_ref()),
                dish: self.text("mould.dish", text.dish.as_ref()),
                spoilt: self.text("mould.spoilt", text.spoilt.as_ref()),
                base: self.text("mould.base", text.base.as_ref()),
                nominal: self.text("mould.nominal", text.nominal.as_ref()),
                cavities: self.text("mould.cavities", text.cavities.as_ref()),
            };
            if let Some(masses) = &text.masses {
                self.locations.insert("mould.masses".to_owned(), masses.location());
            }
        }
        let drugs = written.drugs.iter().flat_map(|all| all.iter()).enumerate();
        let drugs = drugs.map(|(n, text)| self.drug(&format!("drugs.{n}"), text)).collect();
        let others = written.others.iter().flat_map(|all| all.iter()).enumerate();
        let others = others.map(|(n, text)| self.drug(&format!("others.{n}"), text)).collect();
        let mut balance = OrderedBalance::default();
        if let Some(text) = &written.balance {
            self.locations.insert("balance".to_owned(), text.location());
            balance = OrderedBalance {
                drug: self.text("balance.drug", text.drug.as_ref()),
                base: self.text("balance.base", text.base.as_ref()),
                error: self.text("balance.error", text.error.as_ref()),
            };
        }
        Order {
            title: self.text("title", written.title.as_ref()),
            form: self.text("form", written.form.as_ref()),
            units: self.text("units", written.units.as_ref()),
            extra: self.text("extra", written.extra.as_ref()),
            excess: self.text("excess", written.excess.as_ref()),
            loss: self.text("loss", written.loss.as_ref()),
            base: written.base.as_ref().map(|text| self.base(text)).unwrap_or_default(),
            mould,
            drugs,
            others,
            balance,
            directions: self.text("directions", written.directions.as_ref()),
        }
    }

    fn base(&mut self, text: &BaseText) -> OrderedBase {
        self.locations.insert("base".to_owned(), text.location());
        match text {
            Either::One(name) => {
                OrderedBase { name: self.text("base.name", Some(name)), ..OrderedBase::default() }
            }
            Either::Other(text) => {
                let parts = text.parts.iter().flat_map(|all| all.iter()).enumerate();
                let parts = parts.map(|(n, part)| {
                    let path = format!("base.parts.{n}");
                    self.locations.insert(path.clone(), part.location());
                    OrderedPart {
                        name: self.text(&format!("{path}.name"), part.name.as_ref()),
                        share: self.text(&format!("{path}.share"), part.share.as_ref()),
                    }
                });
                let parts = parts.collect();
                OrderedBase {
                    name: self.text("base.name", text.name.as_ref()),
                    ratio: self.text("base.ratio", text.ratio.as_ref()),
                    to: self.text("base.to", text.to.as_ref()),
                    density: self.text("base.density", text.density.as_ref()),
                    to_density: self.text("base.to_density", text.to_density.as_ref()),
                    allowance: self.text("base.allowance", text.allowance.as_ref()),
                    parts,
                    made: self.text("base.made", text.made.as_ref()),
                }
            }
        }
    }

    fn drug(&mut self, path: &str, written: &DrugText) -> OrderedDrug {
        self.locations.insert(path.to_owned(), written.location());
        let mut drug = OrderedDrug::default();
        for (key, text) in written.texts() {
            let text = self.text(&format!("{path}.{key}"), text.as_ref());
            if let (Some(field), Some(text)) = (drug.field_mut(key), text) {
                *field = Some(text);
            }
        }
        if let Some(casts) = &written.casts {
            let path = format!("{path}.casts");
            self.locations.insert(path.clone(), casts.location());
            drug.casts = Some(OrderedCasts {
                mass: self.text(&format!("{path}.mass"), casts.mass.as_ref()),
                units: self.text(&format!("{path}.units"), casts.units.as_ref()),
                dose: self.text(&format!("{path}.dose"), casts.dose.as_ref()),
                strength: self.text(&format!("{path}.strength"), casts.strength.as_ref()),
            });
        }
        if let Some(salt) = &written.salt {
            let path = format!("{path}.salt");
            self.locations.insert(path.clone(), salt.location());
            drug.salt = Some(OrderedSalt {
                ordered: self.text(&format!("{path}.ordered"), salt.ordered.as_ref()),
                held: self.text(&format!("{path}.held"), salt.held.as_ref()),
                holds: self.text(&format!("{path}.holds"), salt.holds.as_ref()),
            });
        }
        drug
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<OrderFile, Report> {
        OrderFile::read(SourceText::new("order.yaml", text.to_owned()))
    }

    #[test]
    fn a_file_becomes_the_texts_that_are_in_it() {
        let file = read(
            "castmark: 1\nunits: 12\nmould: { masses: [1.02 g, 1.040 g] }\nbase: hard fat\n\
             drugs:\n  - { name: menthol, dose: 50 mg, casts: { mass: 3 g } }\n",
        )
        .unwrap();
        assert_eq!(file.order.units.as_deref(), Some("12"));
        assert_eq!(file.order.mould.masses, ["1.02 g", "1.040 g"]);
        assert_eq!(file.order.base.name.as_deref(), Some("hard fat"));
        assert_eq!(file.order.drugs[0].dose.as_deref(), Some("50 mg"));
        assert_eq!(file.order.drugs[0].casts.as_ref().unwrap().mass.as_deref(), Some("3 g"));
        assert!(file.gives("drugs.0.dose") && !file.gives("drugs.0.value"));
    }

    #[test]
    fn what_is_wrong_with_a_value_is_told_at_its_place() {
        let file = read("castmark: 1\nunits: dozen\ndrugs:\n  - name: menthol\n").unwrap();
        let problem = |path: &str| OrderProblem {
            path: path.to_owned(),
            what: format!("wrong: {path}"),
            label: "here".to_owned(),
            help: "correct it".to_owned(),
        };
        assert!(file.report(&[]).is_none());
        let report = file.report(&[problem("units"), problem("drugs.0.dose")]).unwrap();
        let locations: Vec<_> =
            report.complaints.iter().map(crate::bank::Complaint::location).collect();
        assert_eq!(locations, [(2, 8), (4, 5)]);
    }

    #[test]
    fn a_key_that_an_order_does_not_have_is_told_with_the_nearest() {
        let report = read("castmark: 1\nunit: 12\nmold: 1 g\n").unwrap_err().plain();
        assert!(report.contains("did you mean `units`?"), "{report}");
        assert!(report.contains("did you mean `mould`?"), "{report}");
    }
}
