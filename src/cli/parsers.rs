//! Reading the values of options, with errors that tell what can be given.

use castmark::bank::Objective;
use castmark::practice::read_day;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser, ValueParser};

/// The name of an objective.
pub(super) fn objective() -> ValueParser {
    let values = Objective::ALL.into_iter().map(|each| PossibleValue::new(each.name()));
    let objective = |name: String| Objective::parse(&name).unwrap_or(Objective::Calibration);
    ValueParser::new(PossibleValuesParser::new(values).map(objective))
}

/// A day as `2026-12-14`.
pub(super) fn day(text: &str) -> Result<i64, String> {
    read_day(text).ok_or_else(|| "expected a day such as 2026-12-14".to_owned())
}

/// The level of a template.
pub(super) fn level() -> ValueParser {
    let level = |level: String| level.parse::<u8>().unwrap_or(1);
    ValueParser::new(PossibleValuesParser::new(["1", "2", "3"]).map(level))
}

/// A whole number from 1 to `most`.
pub(super) fn number_up_to(most: u64) -> ValueParser {
    ValueParser::from(move |text: &str| {
        text.parse::<u64>()
            .ok()
            .filter(|number| (1..=most).contains(number))
            .ok_or_else(|| format!("expected a whole number from 1 to {most}"))
    })
}

/// A seed.
pub(super) fn seed() -> ValueParser {
    ValueParser::from(|text: &str| {
        text.parse::<u64>().map_err(|_| format!("expected a whole number from 0 to {}", u64::MAX))
    })
}
