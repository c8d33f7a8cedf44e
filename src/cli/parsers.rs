//! Reading the values of options, with errors that tell what can be given.

use castmark::bank::Objective;
use castmark::quantity::ReadProblem;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser, ValueParser};

/// The name of an objective.
pub(super) fn objective() -> ValueParser {
    let values = Objective::ALL.into_iter().map(|each| PossibleValue::new(each.name()));
    let objective = |name: String| Objective::parse(&name).unwrap_or(Objective::Calibration);
    ValueParser::new(PossibleValuesParser::new(values).map(objective))
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

/// Readings with semicolons or commas between them, each as written.
///
/// # Errors
/// When a comma could be a decimal comma as well: with these, semicolons stand between the readings.
pub(super) fn readings(text: &str) -> Result<Vec<&str>, ReadProblem> {
    let between = if text.contains(';') { ';' } else { ',' };
    // `1,02 g, 1,04 g` would come apart at every comma: a comma with a digit on either side cannot
    // be told from a decimal one, unless there are decimal points.
    let letters: Vec<char> = text.chars().collect();
    let digits =
        |pair: &[char]| pair[0].is_ascii_digit() && pair[1] == ',' && pair[2].is_ascii_digit();
    if between == ',' && !text.contains('.') && letters.windows(3).any(digits) {
        return Err(ReadProblem::BadNumber(text.to_owned()));
    }
    Ok(text.split(between).map(str::trim).collect())
}
