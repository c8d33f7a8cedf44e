//! The headings of a table of readings.

use crate::formula::nearest;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Heading {
    /// Who made the readings.
    Who,
    /// A name, which is not read.
    Name,
    /// The mass of the blanks together.
    BlankTotal,
    /// How many blanks were weighed.
    BlankUnits,
    /// The dish in the mass of the blanks.
    Dish,
    /// The mass of the finished units together.
    MedicatedTotal,
    /// How many finished units were weighed.
    MedicatedUnits,
    /// The mass of base that was weighed out.
    Base,
    /// The mass of an ingredient that was weighed out, by its index in the order.
    Ingredient(usize),
}

/// The fixed headings, each under the names it may have.
const FIXED: [(&str, Heading); 13] = [
    ("candidate", Heading::Who),
    ("bench", Heading::Who),
    ("number", Heading::Who),
    ("student", Heading::Who),
    ("group", Heading::Who),
    ("name", Heading::Name),
    ("blank total", Heading::BlankTotal),
    ("blank units", Heading::BlankUnits),
    ("dish", Heading::Dish),
    ("medicated total", Heading::MedicatedTotal),
    ("medicated units", Heading::MedicatedUnits),
    ("base weighed", Heading::Base),
    ("drug weighed", Heading::Ingredient(0)),
];

impl Heading {
    /// The column of a heading as written, for a batch with these ingredients.
    ///
    /// # Errors
    /// The nearest heading, when there is none of that name.
    pub(super) fn read(written: &str, ingredients: &[String]) -> Result<Self, Option<String>> {
        let name = plain(written);
        if let Some((_, heading)) = FIXED.iter().find(|(known, _)| *known == name) {
            return Ok(*heading);
        }
        let own = |n: usize| plain(&format!("{} weighed", ingredients[n]));
        if let Some(n) = (0..ingredients.len()).find(|n| own(*n) == name) {
            return Ok(Self::Ingredient(n));
        }
        let own: Vec<String> = (0..ingredients.len()).map(own).collect();
        let known = FIXED.iter().map(|(known, _)| *known).chain(own.iter().map(String::as_str));
        Err(nearest(&name, known).map(|near| near.replace(' ', "_")))
    }

    /// Whether its cells are masses.
    pub(super) fn is_mass(self) -> bool {
        !matches!(self, Self::Who | Self::Name | Self::BlankUnits | Self::MedicatedUnits)
    }
}

/// Small letters, blanks for joining marks, and no unit in brackets.
fn plain(written: &str) -> String {
    let small = written.trim().to_lowercase();
    let small = ["(g)", "[g]", " in g", "/g"]
        .iter()
        .find_map(|unit| small.strip_suffix(unit))
        .unwrap_or(&small);
    small.split(['_', '-', ' ']).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_is_known_however_it_is_joined() {
        let drugs = ["zinc oxide".to_owned()];
        assert_eq!(Heading::read("Blank_Total (g)", &drugs), Ok(Heading::BlankTotal));
        assert_eq!(Heading::read("zinc-oxide weighed", &drugs), Ok(Heading::Ingredient(0)));
        assert_eq!(Heading::read("blank totl", &drugs), Err(Some("blank_total".to_owned())));
        assert_eq!(Heading::read("weather", &drugs), Err(None));
    }
}
