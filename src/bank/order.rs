//! An order for the bench, as it was given: every value the text that was written.
//!
//! A file, the options of a command and a page all come to the same [`Order`], so that its values are
//! read and checked in one place, by whoever works the batch. A file keeps the location of each value, and
//! what is found to be wrong with one is told there.

use serde::{Deserialize, Serialize};

/// What is to be prepared. A value that was not given is `None`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Order {
    /// The heading of the sheet.
    pub title: Option<String>,
    /// What is cast: `suppository`.
    pub form: Option<String>,
    /// How many units are ordered.
    pub units: Option<String>,
    /// Units beyond those ordered.
    pub extra: Option<String>,
    /// A percentage on top of every mass.
    pub excess: Option<String>,
    /// The percentage of the batch that is lost.
    pub loss: Option<String>,
    /// What a cavity holds.
    pub mould: OrderedMould,
    /// The base.
    pub base: OrderedBase,
    /// The drugs.
    pub drugs: Vec<OrderedDrug>,
    /// Other ingredients that take up space.
    pub others: Vec<OrderedDrug>,
    /// What the balances show.
    pub balance: OrderedBalance,
    /// A direction for the label.
    pub directions: Option<String>,
}

/// What a cavity holds, as given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OrderedMould {
    /// The mass of base in a cavity.
    pub capacity: Option<String>,
    /// The mass of all blanks together.
    pub total: Option<String>,
    /// The mass of each blank.
    pub masses: Vec<String>,
    /// How many blanks were cast.
    pub blanks: Option<String>,
    /// The mass of the dish.
    pub dish: Option<String>,
    /// How many blanks were spoilt and left out of the weighing.
    pub spoilt: Option<String>,
    /// The base of the blanks.
    pub base: Option<String>,
    /// The size marked on the mould.
    pub nominal: Option<String>,
    /// How many cavities the mould has.
    pub cavities: Option<String>,
}

/// A base, as given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OrderedBase {
    /// Its name.
    pub name: Option<String>,
    /// The mass of it that fills the space of 1 g of the other base.
    pub ratio: Option<String>,
    /// The other base of the ratio.
    pub to: Option<String>,
    /// Its density.
    pub density: Option<String>,
    /// The density of the other base.
    pub to_density: Option<String>,
    /// Base added for each unit against losses.
    pub allowance: Option<String>,
    /// What it is made of.
    pub parts: Vec<OrderedPart>,
    /// How much is made.
    pub made: Option<String>,
}

/// A part of a base, as given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OrderedPart {
    /// Its name.
    pub name: Option<String>,
    /// Its percentage of the base.
    pub share: Option<String>,
}

/// A drug or another ingredient, as given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OrderedDrug {
    /// Its name.
    pub name: Option<String>,
    /// The amount in each unit.
    pub dose: Option<String>,
    /// The percentage by mass.
    pub strength: Option<String>,
    /// The mass in the whole batch.
    pub total: Option<String>,
    /// What the percentage refers to.
    pub of: Option<String>,
    /// The displacement value.
    pub value: Option<String>,
    /// The displacement factor.
    pub factor: Option<String>,
    /// The density.
    pub density: Option<String>,
    /// Units cast with a known amount of it.
    pub casts: Option<OrderedCasts>,
    /// What it displaces, in words.
    pub displaces: Option<String>,
    /// The source in the facts whose value is used.
    pub source: Option<String>,
    /// The base for which the value or factor holds.
    pub base: Option<String>,
    /// Its content.
    pub assay: Option<String>,
    /// Its loss on drying.
    pub water: Option<String>,
    /// Another form of the drug than the one ordered.
    pub salt: Option<OrderedSalt>,
    /// A factor by which the amount is multiplied.
    pub correction: Option<String>,
}

/// Medicated casts, as given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OrderedCasts {
    /// Their mass.
    pub mass: Option<String>,
    /// How many were weighed together.
    pub units: Option<String>,
    /// The amount in each.
    pub dose: Option<String>,
    /// The percentage of their mass.
    pub strength: Option<String>,
}

/// Two forms of a drug, as given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OrderedSalt {
    /// The molar mass of the form ordered.
    pub ordered: Option<String>,
    /// The molar mass of the form weighed.
    pub held: Option<String>,
    /// How many of the ordered molecules one of the weighed has.
    pub holds: Option<String>,
}

/// The balances, as given.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OrderedBalance {
    /// The smallest step of the balance for drugs.
    pub drug: Option<String>,
    /// The smallest step of the balance for the base.
    pub base: Option<String>,
    /// The error that is permitted.
    pub error: Option<String>,
}

/// What is wrong with a value of an order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OrderProblem {
    /// Which value, by the keys that lead to it: `units`, `drugs.0.dose`, `mould.masses.3`.
    pub path: String,
    /// What was expected and what was found.
    pub what: String,
    /// A few words to put beside the value.
    pub label: String,
    /// What to do.
    pub help: String,
}

/// The most ingredients, parts of a base or blanks that an order holds.
const MOST: usize = 500;

impl Order {
    /// Gives the value under these keys, such as `mould.capacity`, `mould.masses.2` or `drugs.0.dose`;
    /// ingredients, parts and blanks before it are added. Returns whether an order has such a value.
    pub fn set(&mut self, path: &str, text: &str) -> bool {
        let keys: Vec<&str> = path.split('.').collect();
        if let ["mould", "masses", index] = keys.as_slice() {
            let mass = grown(&mut self.mould.masses, index);
            return mass.map(|mass| text.clone_into(mass)).is_some();
        }
        self.field_mut(&keys).map(|field| *field = Some(text.to_owned())).is_some()
    }

    /// The single value under these keys.
    pub fn field_mut(&mut self, keys: &[&str]) -> Option<&mut Option<String>> {
        let Self { mould, base, balance, .. } = self;
        Some(match keys {
            ["title"] => &mut self.title,
            ["form"] => &mut self.form,
            ["units"] => &mut self.units,
            ["extra"] => &mut self.extra,
            ["excess"] => &mut self.excess,
            ["loss"] => &mut self.loss,
            ["mould", "capacity"] => &mut mould.capacity,
            ["mould", "total"] => &mut mould.total,
            ["mould", "blanks"] => &mut mould.blanks,
            ["mould", "dish"] => &mut mould.dish,
            ["mould", "spoilt"] => &mut mould.spoilt,
            ["mould", "base"] => &mut mould.base,
            ["mould", "nominal"] => &mut mould.nominal,
            ["mould", "cavities"] => &mut mould.cavities,
            ["base", "name"] => &mut base.name,
            ["base", "ratio"] => &mut base.ratio,
            ["base", "to"] => &mut base.to,
            ["base", "density"] => &mut base.density,
            ["base", "to_density"] => &mut base.to_density,
            ["base", "allowance"] => &mut base.allowance,
            ["base", "made"] => &mut base.made,
            ["base", "parts", index, "name"] => &mut grown(&mut base.parts, index)?.name,
            ["base", "parts", index, "share"] => &mut grown(&mut base.parts, index)?.share,
            ["drugs", index, keys @ ..] => grown(&mut self.drugs, index)?.path_mut(keys)?,
            ["others", index, keys @ ..] => grown(&mut self.others, index)?.path_mut(keys)?,
            ["balance", "drug"] => &mut balance.drug,
            ["balance", "base"] => &mut balance.base,
            ["balance", "error"] => &mut balance.error,
            ["directions"] => &mut self.directions,
            _ => return None,
        })
    }
}

/// The thing at that index of a list, which grows to hold it.
fn grown<'l, T: Clone + Default>(list: &'l mut Vec<T>, index: &str) -> Option<&'l mut T> {
    let index: usize = index.parse().ok().filter(|index| *index < MOST)?;
    if index >= list.len() {
        list.resize(index + 1, T::default());
    }
    list.get_mut(index)
}

impl OrderedDrug {
    /// The single value under these keys, such as `dose` or `casts`, `mass`.
    pub fn path_mut(&mut self, keys: &[&str]) -> Option<&mut Option<String>> {
        Some(match keys {
            [key] => return self.field_mut(key),
            ["casts", key] => {
                let casts = self.casts.get_or_insert_with(OrderedCasts::default);
                match *key {
                    "mass" => &mut casts.mass,
                    "units" => &mut casts.units,
                    "dose" => &mut casts.dose,
                    "strength" => &mut casts.strength,
                    _ => return None,
                }
            }
            ["salt", key] => {
                let salt = self.salt.get_or_insert_with(OrderedSalt::default);
                match *key {
                    "ordered" => &mut salt.ordered,
                    "held" => &mut salt.held,
                    "holds" => &mut salt.holds,
                    _ => return None,
                }
            }
            _ => return None,
        })
    }

    /// The keys that hold a single text.
    pub const KEYS: [&'static str; 14] = [
        "name",
        "dose",
        "strength",
        "total",
        "of",
        "value",
        "factor",
        "density",
        "displaces",
        "source",
        "base",
        "assay",
        "water",
        "correction",
    ];

    /// The value of a key that holds a single text.
    pub fn field_mut(&mut self, key: &str) -> Option<&mut Option<String>> {
        Some(match key {
            "name" => &mut self.name,
            "dose" => &mut self.dose,
            "strength" => &mut self.strength,
            "total" => &mut self.total,
            "of" => &mut self.of,
            "value" => &mut self.value,
            "factor" => &mut self.factor,
            "density" => &mut self.density,
            "displaces" => &mut self.displaces,
            "source" => &mut self.source,
            "base" => &mut self.base,
            "assay" => &mut self.assay,
            "water" => &mut self.water,
            "correction" => &mut self.correction,
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_given_by_the_keys_that_lead_to_them() {
        let mut order = Order::default();
        for path in
            ["units", "mould.masses.2", "base.parts.1.share", "drugs.1.casts.mass", "others.0.name"]
        {
            assert!(order.set(path, "7"), "{path}");
        }
        assert_eq!(order.units.as_deref(), Some("7"));
        assert_eq!(order.mould.masses, ["", "", "7"]);
        assert_eq!(order.base.parts[1].share.as_deref(), Some("7"));
        assert_eq!((order.drugs.len(), order.others.len()), (2, 1));
        assert_eq!(order.drugs[1].casts.as_ref().unwrap().mass.as_deref(), Some("7"));
        for path in [
            "unit",
            "mould",
            "mould.masses",
            "drugs.0",
            "drugs.x.name",
            "drugs.500.name",
            "casts.mass",
            "",
        ] {
            assert!(!order.set(path, "7"), "{path}");
        }
    }
}
