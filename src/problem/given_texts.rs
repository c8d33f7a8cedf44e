//! One's own numbers as they are typed.

use crate::bank::{Template, ValueRule};
use crate::formula::Shape;
use crate::quantity::{ReadProblem, Typed, read_quantity, split_readings};
use crate::words::printable;

use super::{Given, GivenValue};

impl Given {
    /// Reads numbers by the names of their values, and the names of rows by those of picks.
    ///
    /// # Errors
    /// Every one that cannot be read, with the reason.
    pub fn read(
        template: &Template,
        typed: &[(&str, &str)],
    ) -> Result<Self, Vec<(String, ReadProblem)>> {
        let mut given = Self::default();
        let mut problems = Vec::new();
        for (name, text) in typed {
            let is_pick = template
                .values
                .iter()
                .any(|value| value.name == *name && matches!(value.rule, ValueRule::Pick { .. }));
            if is_pick {
                let row = text.trim().to_ascii_lowercase().replace(' ', "-");
                given.rows.push(((*name).to_owned(), row));
                continue;
            }
            if is_text(template, name) {
                given.texts.push(((*name).to_owned(), printable(text.trim())));
                continue;
            }
            let is_list = template
                .names
                .iter()
                .any(|known| known.name == *name && matches!(known.shape, Shape::List(_)));
            let read = if is_list {
                read_list(text).map(GivenValue::Several)
            } else {
                read_quantity(text).map(GivenValue::One)
            };
            match read {
                Ok(value) => given.values.push(((*name).to_owned(), value)),
                Err(problem) => problems.push(((*name).to_owned(), problem)),
            }
        }
        if problems.is_empty() { Ok(given) } else { Err(problems) }
    }
}

/// Whether a name stands for a text of a row, such as `drug.name`, or for a word.
fn is_text(template: &Template, name: &str) -> bool {
    let (value, field) = name.split_once('.').unwrap_or((name, ""));
    template.values.iter().filter(|known| known.name == value).any(|known| match &known.rule {
        ValueRule::Pick { fields, .. } | ValueRule::Words { fields, .. } => {
            field != "row"
                && !field.ends_with("_source")
                && fields.iter().any(|known| known == field)
        }
        _ => false,
    })
}

/// Reads readings with semicolons or commas between them. A unit after the last is the unit of all.
fn read_list(text: &str) -> Result<Vec<Typed>, ReadProblem> {
    let mut readings: Vec<Typed> =
        split_readings(text)?.into_iter().map(read_quantity).collect::<Result<_, _>>()?;
    let unit = readings.last().and_then(|last| last.unit);
    for reading in &mut readings {
        reading.unit = reading.unit.or(unit);
    }
    Ok(readings)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::quantity::{Quantity, Unit};

    #[track_caller]
    fn check_list(text: &str, expected: &[&str]) {
        let readings = read_list(text).unwrap();
        let shown: Vec<String> = readings
            .iter()
            .map(|typed| {
                Quantity::new(typed.number, typed.unit.unwrap_or(Unit::NUMBER)).to_string()
            })
            .collect();
        assert_eq!(shown, expected);
    }

    #[test]
    fn each_name_is_read_as_what_the_template_has_under_it() {
        let bank = Bank::bundled().unwrap();
        let read = |template: &str, typed: &[(&str, &str)]| {
            Given::read(bank.find(template).unwrap(), typed).unwrap()
        };
        let pair = |name: &str, text: &str| (name.to_owned(), text.to_owned());
        let given = read(
            "base-one-drug",
            &[
                ("drug", " Zinc Oxide "),
                ("drug.name", " zinc oxide, fine\n"),
                ("number", "12"),
                ("drug.displacement_value", "4.7"),
            ],
        );
        assert_eq!(given.rows, [pair("drug", "zinc-oxide")]);
        assert_eq!(given.texts, [pair("drug.name", "zinc oxide, fine")]);
        let names: Vec<&str> = given.values.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["number", "drug.displacement_value"]);
        assert!(given.values.iter().all(|(_, value)| matches!(value, GivenValue::One(_))));
        let given = read("capacity-from-masses", &[("masses", "1.02; 1.04 g"), ("places", "12")]);
        assert!(matches!(given.values[0].1, GivenValue::Several(_)));
        assert!(matches!(given.values[1].1, GivenValue::One(_)));
    }

    #[test]
    fn only_texts_of_a_row_are_texts() {
        let bank = Bank::bundled().unwrap();
        let template = bank.find("base-one-drug").unwrap();
        assert!(is_text(template, "drug.name"));
        for name in [
            "drug",
            "drug.row",
            "drug.displacement_value_source",
            "drug.unknown",
            "number.name",
            "name",
        ] {
            assert!(!is_text(template, name), "{name}");
        }
    }

    #[test]
    fn readings_share_the_unit_of_the_last() {
        check_list("1.02, 1.04, 1.03 g", &["1.02 g", "1.04 g", "1.03 g"]);
        check_list("1.02 g,1.04 g", &["1.02 g", "1.04 g"]);
        check_list("1.02,1.04", &["1.02", "1.04"]);
    }

    #[test]
    fn decimal_commas_go_with_semicolons() {
        check_list("1,02; 1,04 g", &["1.02 g", "1.04 g"]);
    }

    #[test]
    fn a_reading_that_is_none_is_refused() {
        assert!(read_list("1.02, heavy").is_err());
        assert!(read_list("1.02,,1.04").is_err());
    }
}
