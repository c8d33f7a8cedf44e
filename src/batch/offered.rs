//! What the facts offer for an order, for whoever fills one in.

use serde::Serialize;

use crate::bank::Facts;

use super::displacing::{Known, known, names};

/// What the facts offer for an order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Offered {
    /// The names of the bases.
    pub bases: Vec<String>,
    /// The drugs of which a source says what they displace.
    pub drugs: Vec<OfferedDrug>,
}

/// A drug that the facts know.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OfferedDrug {
    /// Its name.
    pub name: String,
    /// What sources say of it.
    pub values: Vec<OfferedValue>,
}

/// A value with its source.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OfferedValue {
    /// The id of the source, as an order names it.
    pub source: String,
    /// The value and where it comes from: `displacement value 4.7 (…)`.
    pub words: String,
}

impl Offered {
    /// What these facts offer; nothing from memory.
    pub fn of(facts: &Facts) -> Self {
        let bases = facts.table("bases").into_iter().flat_map(|table| {
            let column = table.column("name").unwrap_or_default();
            table.rows.iter().filter_map(move |row| row.cells.get(column)?.first()?.text())
        });
        let mut drugs: Vec<OfferedDrug> = Vec::new();
        for name in names(facts) {
            let value = |known: Known<'_>| OfferedValue {
                source: known.source.id.clone(),
                words: known.words(),
            };
            let values: Vec<OfferedValue> = known(facts, name).into_iter().map(value).collect();
            if !values.is_empty() && drugs.iter().all(|drug| drug.name != name) {
                drugs.push(OfferedDrug { name: name.to_owned(), values });
            }
        }
        drugs.sort_by(|one, other| one.name.cmp(&other.name));
        Self { bases: bases.map(str::to_owned).collect(), drugs }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::{Bank, Order, OrderedBase, OrderedDrug, OrderedMould};
    use crate::batch::solve;

    #[test]
    fn whatever_is_offered_can_be_ordered() {
        let bank = Bank::bundled().unwrap();
        let offered = Offered::of(bank.facts());
        assert!(offered.bases.len() > 3 && offered.drugs.len() > 10, "{offered:?}");
        for OfferedDrug { name, values } in offered.drugs {
            for OfferedValue { source, words } in values {
                let text = |text: &str| Some(text.to_owned());
                let drug = OrderedDrug {
                    name: Some(name.clone()),
                    dose: text("20 mg"),
                    source: Some(source.clone()),
                    ..OrderedDrug::default()
                };
                let order = Order {
                    units: text("12"),
                    mould: OrderedMould { capacity: text("2.02 g"), ..OrderedMould::default() },
                    base: OrderedBase { name: text("theobroma oil"), ..OrderedBase::default() },
                    drugs: vec![drug],
                    ..Order::default()
                };
                if let Err(problems) = solve(&order, bank.facts()) {
                    let of_source = problems.iter().any(|one| one.path.ends_with(".source"));
                    assert!(!of_source, "{name}, {words}: {problems:?}");
                }
            }
        }
    }
}
