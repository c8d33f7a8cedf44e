//! How the options of an item were chosen, when they differ between the papers.

use std::collections::BTreeMap;

use crate::marking::Standing;

use super::{ClassItem, MarkLine, Statistic, Undefined, distractors};

/// A wrong option works when at least this share of those who were shown it chose it.
const WORKING: f64 = 0.05;

/// A wrong option points at the key only when at least so many chose it: with fewer, the correlation is
/// that of one or two candidates.
const ENOUGH_TO_DOUBT: usize = 5;

/// How the options of one item were chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// The item's name.
    pub item: String,
    /// The title of the question.
    pub title: String,
    /// How many were shown the options.
    pub shown: usize,
    /// The share that chose a wrong option, alone or besides right ones.
    pub wrong: f64,
    /// The share that chose nothing.
    pub none: f64,
    /// The mean share of wrong options among those shown.
    pub wrong_offered: f64,
    /// The options by what they say, where the marks tell it; letters alone say nothing, because every
    /// paper has its own order.
    pub options: Vec<ChosenOption>,
    /// The share of wrong options that at least 5 % of those who were shown them chose; of the options
    /// that enough were shown.
    pub efficiency: Statistic,
}

/// One option, over all papers that have it.
#[derive(Clone, Debug, PartialEq)]
pub struct ChosenOption {
    /// What it says.
    pub text: String,
    /// Whether it is right.
    pub is_right: bool,
    /// How many were shown it.
    pub shown: usize,
    /// How many chose it.
    pub chosen: usize,
    /// Their share.
    pub share: f64,
    /// How many of the upper group chose it.
    pub upper: usize,
    /// How many of the lower group chose it.
    pub lower: usize,
    /// Correlation of choosing it with the total of the other items, among those who were shown it.
    pub choice_rest: Statistic,
    /// A wrong option that draws good candidates, and at least five of them: check the key.
    pub is_suspicious: bool,
}

/// How the options of an item were chosen; `None` for an item without options.
///
/// `rest` are the totals on the other items by candidate; the groups are in order. Nothing is said of an option that fewer than
/// `enough` were shown.
pub fn chosen(
    item: &ClassItem<'_>,
    rest: &[f64],
    (upper, lower): (&[usize], &[usize]),
    enough: usize,
) -> Option<Chosen> {
    let has_options = |line: MarkLine<'_>| line.options() > 0 && line.right_options().len() > 0;
    let lines: Vec<(usize, MarkLine<'_>)> =
        item.set().filter(|(_, line)| has_options(*line)).collect();
    if lines.is_empty() {
        return None;
    }
    let share = |count: usize| count as f64 / lines.len() as f64;
    let offered: f64 = lines
        .iter()
        .map(|(_, line)| 1.0 - line.right_options().len() as f64 / f64::from(line.options()))
        .sum();
    let options = options(&lines, rest, (upper, lower), enough);
    let wrong: Vec<&ChosenOption> =
        options.iter().filter(|option| !option.is_right && option.shown >= enough).collect();
    let working = wrong.iter().filter(|option| option.share >= WORKING).count();
    Some(Chosen {
        item: item.name.clone(),
        title: item.title.to_owned(),
        shown: lines.len(),
        wrong: share(lines.iter().filter(|(_, line)| chose_wrong(*line)).count()),
        none: share(lines.iter().filter(|(_, line)| chose_nothing(*line)).count()),
        wrong_offered: (offered / lines.len() as f64).max(0.0),
        efficiency: if options.is_empty() {
            Err(Undefined::OptionsUntold)
        } else if options.iter().all(|option| option.is_right) {
            Err(Undefined::NoDistractors)
        } else if wrong.is_empty() {
            Err(Undefined::FewShown)
        } else {
            Ok(working as f64 / wrong.len() as f64)
        },
        options,
    })
}

fn chose_wrong(line: MarkLine<'_>) -> bool {
    line.chosen().any(|letter| !line.right_options().any(|right| right == letter))
}

fn chose_nothing(line: MarkLine<'_>) -> bool {
    line.chosen().len() == 0 || line.standing() == Standing::Blank
}

/// The options by what they say. Empty unless every line tells it.
fn options(
    lines: &[(usize, MarkLine<'_>)],
    rest: &[f64],
    (upper, lower): (&[usize], &[usize]),
    enough: usize,
) -> Vec<ChosenOption> {
    let told = |line: MarkLine<'_>| line.option_texts().len() == line.options() as usize;
    if !lines.iter().all(|(_, line)| told(*line)) {
        return Vec::new();
    }
    // What is right of one base may be wrong of another, so the same words can be two options.
    let mut by_text: BTreeMap<(&str, bool), Vec<(usize, bool)>> = BTreeMap::new();
    for (row, line) in lines {
        for (letter, text) in ('A'..='Z').zip(line.option_texts()) {
            let is_letter = |it: &str| it.chars().eq([letter]);
            let key = (text, line.right_options().any(is_letter));
            by_text.entry(key).or_default().push((*row, line.chosen().any(is_letter)));
        }
    }
    let mut options: Vec<ChosenOption> = by_text
        .into_iter()
        .map(|((text, is_right), shown)| option(text, is_right, &shown, rest, upper, lower))
        .collect();
    let best = options.iter().filter(|option| option.is_right).map(|option| option.upper).max();
    let all_alike = options.iter().all(|option| option.shown == lines.len());
    for option in options.iter_mut().filter(|it| !it.is_right && it.shown >= enough) {
        let draws_the_stronger = option.choice_rest.is_ok_and(|r| r > 0.0)
            || all_alike && best.is_some_and(|best| option.upper > best);
        option.is_suspicious = draws_the_stronger && option.chosen >= ENOUGH_TO_DOUBT;
    }
    options.sort_by(|a, b| b.is_right.cmp(&a.is_right).then(b.share.total_cmp(&a.share)));
    options
}

/// One option; `shown` are the rows of those who were shown it, and whether they chose it.
fn option(
    text: &str,
    is_right: bool,
    shown: &[(usize, bool)],
    rest: &[f64],
    upper: &[usize],
    lower: &[usize],
) -> ChosenOption {
    let choices: Vec<Option<String>> =
        shown.iter().map(|(_, chose)| chose.then(|| text.to_owned())).collect();
    let rest: Vec<f64> = shown.iter().filter_map(|(row, _)| rest.get(*row).copied()).collect();
    let among = |group: &[usize]| -> Vec<usize> {
        (0..shown.len()).filter(|at| group.binary_search(&shown[*at].0).is_ok()).collect()
    };
    let (upper, lower) = (among(upper), among(lower));
    let counted = distractors(&[(text.to_owned(), is_right)], &choices, &rest, &upper, &lower);
    let count = counted.options.first();
    ChosenOption {
        text: text.to_owned(),
        is_right,
        shown: shown.len(),
        chosen: count.map_or(0, |count| count.chosen),
        share: count.map_or(0.0, |count| count.share),
        upper: count.map_or(0, |count| count.upper),
        lower: count.map_or(0, |count| count.lower),
        choice_rest: count.map_or(Err(Undefined::NoCandidates), |count| count.choice_rest),
        is_suspicious: false,
    }
}
