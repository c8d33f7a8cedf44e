//! How the options of a question were chosen.

use super::{Statistic, Undefined, moments};

/// How one option was chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct OptionCount {
    /// The option, as the key names it.
    pub option: String,
    /// Whether it is the right one.
    pub is_key: bool,
    /// How many chose it.
    pub chosen: usize,
    /// Their share of the class.
    pub share: f64,
    /// How many of the upper group chose it.
    pub upper: usize,
    /// How many of the lower group chose it.
    pub lower: usize,
    /// Correlation of choosing it with the total of the other items.
    pub choice_rest: Statistic,
}

/// How the options of one question worked.
#[derive(Clone, Debug, PartialEq)]
pub struct Distractor {
    /// Every option.
    pub options: Vec<OptionCount>,
    /// The share of wrong options that at least 5 % of the class chose.
    pub efficiency: Statistic,
    /// Wrong options that draw good candidates: their correlation is positive, or more of the upper
    /// group chose them than chose the key. The key of such a question should be looked at.
    pub suspicious: Vec<String>,
}

/// Counts how the options of one question were chosen.
///
/// `choices` are the options chosen by candidate (`None` for a blank), `rest` their totals on the
/// other items, `options` all options with whether each is right.
pub fn distractors(
    options: &[(String, bool)],
    choices: &[Option<String>],
    rest: &[f64],
    upper: &[usize],
    lower: &[usize],
) -> Distractor {
    let count_in = |rows: &[usize], option: &str| {
        rows.iter()
            .filter(|row| choices.get(**row).is_some_and(|c| c.as_deref() == Some(option)))
            .count()
    };
    let options: Vec<OptionCount> = options
        .iter()
        .map(|(option, is_key)| {
            let chose: Vec<f64> = choices
                .iter()
                .map(|choice| f64::from(u8::from(choice.as_deref() == Some(option))))
                .collect();
            let chosen = choices.iter().filter(|c| c.as_deref() == Some(option)).count();
            OptionCount {
                option: option.clone(),
                is_key: *is_key,
                chosen,
                share: if choices.is_empty() { 0.0 } else { chosen as f64 / choices.len() as f64 },
                upper: count_in(upper, option),
                lower: count_in(lower, option),
                choice_rest: moments::correlation(&chose, rest),
            }
        })
        .collect();
    let wrong: Vec<&OptionCount> = options.iter().filter(|option| !option.is_key).collect();
    let working = wrong.iter().filter(|option| option.share >= 0.05).count();
    let efficiency = if wrong.is_empty() {
        Err(Undefined::NoDistractors)
    } else {
        Ok(working as f64 / wrong.len() as f64)
    };
    let key_upper = options.iter().filter(|o| o.is_key).map(|o| o.upper).max().unwrap_or(0);
    let suspicious = wrong
        .iter()
        .filter(|option| option.choice_rest.is_ok_and(|r| r > 0.0) || option.upper > key_upper)
        .map(|option| option.option.clone())
        .collect();
    Distractor { options, efficiency, suspicious }
}
