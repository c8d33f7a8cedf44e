//! A second reading of what may be given: the ranges of a template's values and the claims of the
//! facts tables.

use std::collections::BTreeMap;

use num_rational::BigRational;
use num_traits::Signed;
use serde_yaml::Value as Yaml;

use super::formula::{Names, Value, decimal, read};
use super::sheet::{entries, rounded, word};
use super::unit::{coherent, counted_in, fraction};

/// The facts tables by name, and the sources.
pub(super) struct Facts {
    tables: BTreeMap<String, Yaml>,
    sources: Yaml,
}

/// What a template offers for one value.
pub(super) struct Offer {
    name: String,
    entry: Yaml,
}

impl Facts {
    /// Reads the tables among these files.
    pub(super) fn read<'a>(files: impl Iterator<Item = &'a str>) -> Self {
        let mut facts = Self { tables: BTreeMap::new(), sources: Yaml::Null };
        for text in files {
            let file: Yaml = serde_yaml::from_str(text).unwrap();
            if let Some(table) = file.get("table") {
                facts.tables.insert(word(table), file.clone());
            } else if let Some(sources) = file.get("sources") {
                facts.sources = sources.clone();
            }
        }
        facts
    }

    fn unit(&self, table: &str, column: &str) -> String {
        word(&self.tables[table]["columns"][column]["number"])
    }

    /// Whether a column holds numbers; of texts there is nothing to work.
    fn is_of_numbers(&self, table: &str, column: &str) -> bool {
        self.tables[table]["columns"][column].get("number").is_some()
    }

    /// Whether a row makes this claim by a source that was not only remembered.
    fn claims(&self, row: &Yaml, column: &str, number: &BigRational) -> bool {
        row[column].as_sequence().into_iter().flatten().any(|claim| {
            let standing = word(&self.sources[word(&claim["source"]).as_str()]["standing"]);
            standing != "memory" && decimal(&word(&claim["is"])) == *number
        })
    }
}

impl Offer {
    /// The offers of a template.
    pub(super) fn all(text: &str) -> Vec<Self> {
        let file: Yaml = serde_yaml::from_str(text).unwrap();
        entries(&file["values"]).map(|(name, entry)| Self { name, entry: entry.clone() }).collect()
    }

    /// The names it fills and their units.
    pub(super) fn units(&self, facts: &Facts) -> Vec<(String, String)> {
        if let Some(table) = self.entry.get("pick").map(word) {
            self.columns(facts, &table)
                .map(|column| (format!("{}.{column}", self.name), facts.unit(&table, &column)))
                .collect()
        } else {
            self.entry.get("unit").map(|unit| (self.name.clone(), word(unit))).into_iter().collect()
        }
    }

    /// The columns of numbers that are drawn.
    fn columns(&self, facts: &Facts, table: &str) -> impl Iterator<Item = String> {
        let named = self.entry["with"].as_sequence().into_iter().flatten().map(word);
        named.filter(|column| facts.is_of_numbers(table, column))
    }

    /// Why this is not what the template offers; the given values are in coherent units.
    pub(super) fn refuses(&self, given: &Names, facts: &Facts) -> Option<String> {
        let fits = if let Some(table) = self.entry.get("pick").map(word) {
            self.fits_a_row(given, facts, &table)
        } else if self.entry.get("around").is_some() {
            self.fits_readings(given)
        } else if self.entry.get("words").is_some() || self.entry.get("is").is_some() {
            true
        } else {
            self.fits_a_range(&self.own(given, &self.name))
        };
        (!fits).then(|| format!("`{}` is not what its rule gives: {given:?}", self.name))
    }

    /// The number of a name in the unit of this value.
    fn own(&self, given: &Names, name: &str) -> BigRational {
        let Value::Number(number) = &given[name] else { panic!("`{name}` is no number") };
        counted_in(&word(&self.entry["unit"]), number).unwrap()
    }

    fn number(&self, key: &str) -> BigRational {
        decimal(&word(&self.entry[key]))
    }

    fn fits_a_range(&self, number: &BigRational) -> bool {
        if let Some(choices) = self.entry["choose"].as_sequence() {
            choices.iter().any(|choice| decimal(&word(choice)) == *number)
        } else if self.entry.get("fixed").is_some() {
            self.number("fixed") == *number
        } else {
            let (from, to, step) = (self.number("from"), self.number("to"), self.number("step"));
            from <= *number && *number <= to && ((number - from) / step).is_integer()
        }
    }

    /// Readings lie on the steps of the balance, near the true value but for one stray.
    fn fits_readings(&self, given: &Names) -> bool {
        let Value::List(readings) = &given[&self.name] else { return false };
        let unit = word(&self.entry["unit"]);
        let step = self.number("step");
        let reach = self.number("reach") * &step;
        let centre = self.own(given, &word(&self.entry["around"]));
        let centre = rounded(&centre, &format!("nearest {}", word(&self.entry["step"]))).unwrap();
        let off: Vec<BigRational> =
            readings.iter().map(|one| counted_in(&unit, one).unwrap() - &centre).collect();
        let strays: Vec<&BigRational> = off.iter().filter(|off| off.abs() > reach).collect();
        let stray = &self.entry["stray"];
        let bound = |key: &str| decimal(&word(&stray[key]));
        word(&self.entry["count"]) == readings.len().to_string()
            && off.iter().all(|off| (off / &step).is_integer())
            && match strays.as_slice() {
                [] => true,
                [one] if !stray.is_null() => {
                    bound("from") - &reach <= **one && **one <= bound("to") + &reach
                }
                _ => false,
            }
    }

    /// One row claims every number, and passes the filter with them.
    fn fits_a_row(&self, given: &Names, facts: &Facts, table: &str) -> bool {
        let drawn: Vec<(String, BigRational)> = self
            .columns(facts, table)
            .map(|column| {
                let Value::Number(number) = &given[&format!("{}.{column}", self.name)] else {
                    panic!("`{column}` is no number")
                };
                (column, number.clone())
            })
            .collect();
        let own = |column: &str, number: &BigRational| {
            counted_in(&facts.unit(table, column), number).unwrap()
        };
        let row_fits = |row: &Yaml| {
            drawn.iter().all(|(column, number)| facts.claims(row, column, &own(column, number)))
        };
        let names: Names = drawn
            .iter()
            .map(|(name, number)| (name.clone(), Value::Number(number.clone())))
            .collect();
        entries(&facts.tables[table]["rows"]).any(|(_, row)| row_fits(row))
            && self
                .entry
                .get("where")
                .is_none_or(|filter| read(&word(filter)).truth(&names) == Some(true))
    }
}

#[test]
fn what_a_template_does_not_offer_is_refused() {
    let facts = Facts::read(
        [
            "sources: { book: { standing: read }, recalled: { standing: memory } }",
            "table: drugs\ncolumns: { dose: { number: mg/unit } }\nrows:\n  one:\n    dose: \
             [{ is: 200, source: book }, { is: 300, source: recalled }]",
        ]
        .into_iter(),
    );
    let check = |rule: &str, number: &str, unit: &str, fits: bool| {
        let offers = Offer::all(&format!("values: {{ it: {rule} }}"));
        let numbers = number.split(' ').map(|one| coherent(unit, &decimal(one)).unwrap());
        let numbers: Vec<BigRational> = numbers.collect();
        let given = Names::from([
            ("it".to_owned(), Value::List(numbers.clone())),
            ("it.dose".to_owned(), Value::Number(numbers[0].clone())),
            ("centre".to_owned(), Value::Number(fraction(1, 1))),
        ]);
        let given = if numbers.len() == 1 && !rule.contains("around") {
            let mut given = given;
            given.insert("it".to_owned(), Value::Number(numbers[0].clone()));
            given
        } else {
            given
        };
        assert_eq!(offers[0].refuses(&given, &facts).is_none(), fits, "{rule}: {number}");
    };
    let grid = "{ unit: mg, from: 10, to: 20, step: 5 }";
    check(grid, "15", "mg", true);
    check(grid, "12", "mg", false);
    check(grid, "25", "mg", false);
    check("{ unit: g, choose: [1, 2] }", "2", "g", true);
    check("{ unit: g, choose: [1, 2] }", "3", "g", false);
    check("{ unit: g, fixed: 1 }", "3", "g", false);
    let readings = "{ unit: g, around: centre, count: 2, reach: 3, step: 0.01 }";
    check(readings, "1.03 0.97", "g", true);
    check(readings, "1.04 1.00", "g", false);
    check(readings, "1.005 1.00", "g", false);
    check(readings, "1.00 1.00 1.00", "g", false);
    let stray = "{ unit: g, around: centre, count: 2, reach: 3, step: 0.01, \
                 stray: { from: -0.3, to: -0.2, step: 0.01 } }";
    check(stray, "1.00 0.72", "g", true);
    check(stray, "1.00 0.60", "g", false);
    check(stray, "0.72 0.72", "g", false);
    check("{ pick: drugs, with: [dose] }", "200", "mg/unit", true);
    check("{ pick: drugs, with: [dose] }", "300", "mg/unit", false);
    check("{ pick: drugs, with: [dose], where: dose > 0.2 g/unit }", "200", "mg/unit", false);
}
