//! An answer as a page gives it, and why it may not be readable.

use serde::{Deserialize, Serialize};

use crate::practice::VerdictShown;
use crate::problem::{Part, Response, letter};
use crate::quantity::{Dimension, ReadProblem, Unit};
use crate::words::{number, quoted};

/// An answer as a page gives it, by the kind of question.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Answer {
    /// A number, a word or two, or a written answer.
    #[serde(default)]
    text: Option<String>,
    /// The indices of the options or reasons chosen.
    #[serde(default)]
    chosen: Option<Vec<usize>>,
    /// Whether a statement is called true.
    #[serde(default)]
    truth: Option<bool>,
    /// For each line the index of what it goes with.
    #[serde(default)]
    pairs: Option<Vec<Option<usize>>>,
    /// The indices of the lines in their order.
    #[serde(default)]
    order: Option<Vec<Option<usize>>>,
    /// The two ends of a range.
    #[serde(default)]
    ends: Option<[String; 2]>,
}

/// Why an answer cannot be read, so that it costs nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub(super) struct Unread {
    #[serde(skip)]
    pub(super) said: String,
    /// Which of the fields or lines it is about.
    field: usize,
    /// What it can mean.
    readings: Vec<Reading>,
}

/// One thing that an answer can mean.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
struct Reading {
    text: String,
}

/// The longest written answer that is kept, in letters.
const LONGEST_WRITTEN: usize = 8_000;

/// So many letters of an answer are repeated.
const LETTERS: usize = 40;

impl Answer {
    /// The answer as it would be typed, or why it cannot be read.
    ///
    /// # Errors
    /// When the page gave another kind of answer than the part wants.
    pub(super) fn typed(&self, part: &Part) -> Result<Result<String, Unread>, String> {
        Ok(match &part.response {
            Response::Choice(key) => chosen(self.chosen()?, key.options.len())?,
            Response::Verdict(key) => chosen(self.chosen()?, key.options.len())?,
            Response::Judgement(key) => self.judged(key.reasons.len(), key.right.is_some())?,
            Response::Matching(key) => {
                let pairs = self.pairs.as_deref().ok_or("expected `pairs`, found none")?;
                paired(pairs, key.left.len(), key.right.len())?
            }
            Response::Ordering(key) => {
                let order = self.order.as_deref().ok_or("expected `order`, found none")?;
                ordered(order, key.items.len())?
            }
            Response::Range(_) => {
                let ends = self.ends.as_ref().ok_or("expected `ends`, found none")?;
                range(ends)
            }
            Response::Written(_) => written(self.text()?),
            Response::Number(key) => missing_or(self.text()?).map(|text| in_unit(text, key.unit)),
            Response::Text(_) => missing_or(self.text()?).map(str::to_owned),
        })
    }

    fn text(&self) -> Result<&str, String> {
        self.text.as_deref().ok_or_else(|| "expected `text`, found none".to_owned())
    }

    fn chosen(&self) -> Result<&[usize], String> {
        self.chosen.as_deref().ok_or_else(|| "expected `chosen`, found none".to_owned())
    }

    fn judged(&self, reasons: usize, with_reason: bool) -> Result<Result<String, Unread>, String> {
        let chosen = self.chosen.as_deref().unwrap_or_default();
        let Some(truth) = self.truth else {
            let what = "Neither true nor false is chosen. Choose one.";
            return Ok(Err(Unread::new(0, what)));
        };
        if !with_reason {
            return Ok(Ok(truth.to_string()));
        }
        if chosen.is_empty() {
            return Ok(Err(Unread::new(1, "The reason is missing. Choose one as well.")));
        }
        Ok(Ok(format!("{truth} {}", letters(chosen, reasons)?)))
    }
}

fn missing_or(text: &str) -> Result<&str, Unread> {
    match text.trim() {
        "" => Err(Unread::new(0, "The answer is missing. Write it.")),
        text => Ok(text),
    }
}

/// A number with the unit that stands beside its field, unless another was typed.
fn in_unit(text: &str, unit: Unit) -> String {
    let bare = crate::quantity::read_quantity(text).is_ok_and(|typed| typed.unit.is_none());
    match unit_text(unit) {
        unit if bare && !unit.is_empty() => format!("{text} {unit}"),
        _ => text.to_owned(),
    }
}

/// The unit as it stands beside a field; nothing beside a bare number or a number of units.
pub(super) fn unit_text(unit: Unit) -> String {
    let bare = unit == Unit::NUMBER || unit.dimension() == Dimension::COUNT;
    if bare { String::new() } else { unit.symbol() }
}

fn letters(indices: &[usize], count: usize) -> Result<String, String> {
    let mut letters = Vec::with_capacity(indices.len());
    for index in indices {
        if *index >= count {
            return Err(format!("expected places below {count}, found {index}"));
        }
        letters.push(letter(*index, 'A'));
    }
    Ok(letters.join(" "))
}

fn chosen(indices: &[usize], count: usize) -> Result<Result<String, Unread>, String> {
    if indices.is_empty() {
        return Ok(Err(Unread::new(0, "No option is chosen. Choose one.")));
    }
    letters(indices, count).map(Ok)
}

fn paired(
    pairs: &[Option<usize>],
    lines: usize,
    rights: usize,
) -> Result<Result<String, Unread>, String> {
    if pairs.len() != lines {
        return Err(format!("expected {lines} pairs, found {}", pairs.len()));
    }
    let empty = pairs.iter().filter(|pair| pair.is_none()).count();
    if let Some(first) = pairs.iter().position(Option::is_none) {
        let what = match empty {
            1 => "One line has no choice. Choose for every line.".to_owned(),
            empty => format!("{} lines have no choice. Choose for every line.", number(empty)),
        };
        return Ok(Err(Unread::new(first, &what)));
    }
    let mut typed = Vec::with_capacity(lines);
    for (line, index) in pairs.iter().enumerate() {
        let letter = letters(&index.iter().copied().collect::<Vec<_>>(), rights)?;
        typed.push(format!("{}{}", line + 1, letter.to_lowercase()));
    }
    Ok(Ok(typed.join(" ")))
}

fn ordered(order: &[Option<usize>], lines: usize) -> Result<Result<String, Unread>, String> {
    let indices: Vec<usize> = order.iter().flatten().copied().collect();
    let typed = letters(&indices, lines)?;
    let mut sorted = indices.clone();
    sorted.sort_unstable();
    sorted.dedup();
    if sorted.len() != indices.len() {
        return Err("expected each line once, found one twice".to_owned());
    }
    let missing = lines - sorted.len();
    if let Some(first) = (0..lines).find(|line| !sorted.contains(line)) {
        let what = match missing {
            1 => "One line has no number. Number every line.".to_owned(),
            missing => format!("{} lines have no number. Number every line.", number(missing)),
        };
        return Ok(Err(Unread::new(first, &what)));
    }
    Ok(Ok(typed))
}

fn range(ends: &[String; 2]) -> Result<String, Unread> {
    let [first, second] = ends.each_ref().map(|end| end.trim());
    for (field, end, missing) in [
        (0, first, "The first number is missing. Write it as well."),
        (1, second, "The second number is missing. Write it as well."),
    ] {
        if end.is_empty() {
            return Err(Unread::new(field, missing));
        }
        if let Err(problem) = crate::quantity::read_quantity(end) {
            return Err(Unread::number(field, end, &problem));
        }
    }
    Ok(format!("{first} to {second}"))
}

fn written(text: &str) -> Result<String, Unread> {
    let text = text.trim();
    let count = text.chars().count();
    if count == 0 {
        return Err(Unread::new(0, "Write something first, or choose “Show the answer”."));
    }
    if count > LONGEST_WRITTEN {
        let what =
            format!("The answer has {count} letters; {LONGEST_WRITTEN} are kept. Shorten it.");
        return Err(Unread::new(0, &what));
    }
    Ok(text.to_owned())
}

impl Unread {
    fn new(field: usize, what: &str) -> Self {
        Self { said: format!("{what} No try has been used."), field, readings: Vec::new() }
    }

    /// Why marking could not read an answer.
    pub(super) fn of(part: Option<&Part>, verdict: &VerdictShown) -> Self {
        let Some(part) = part else { return Self::new(0, "This could not be read.") };
        if part.response.number().is_some() {
            if let Err(problem) = crate::quantity::read_quantity(&verdict.answer) {
                return Self::number(0, &verdict.answer, &problem);
            }
        }
        let why = verdict.sentences.first();
        Self::new(0, why.map_or("This could not be read.", String::as_str))
    }

    fn number(field: usize, answer: &str, problem: &ReadProblem) -> Self {
        let answer = quoted(answer, LETTERS);
        let (why, readings) = match problem {
            ReadProblem::AmbiguousComma { decimal, grouped, .. } => (
                format!(
                    "{answer} can mean {decimal} or {grouped}. Choose one, or write the answer again."
                ),
                vec![decimal.clone(), grouped.clone()],
            ),
            problem => (told(problem, &answer), Vec::new()),
        };
        let readings = readings.into_iter().map(|text| Reading { text }).collect();
        Self { readings, ..Self::new(field, &format!("This could not be read. {why}")) }
    }
}

/// Why a text is no number, in a sentence for a student.
fn told(problem: &ReadProblem, answer: &str) -> String {
    match problem {
        ReadProblem::Empty => "The answer is missing. Write it.".to_owned(),
        ReadProblem::TooLong => format!("“{answer}” is too long. Write the number alone."),
        ReadProblem::NoNumber(_) => {
            format!("“{answer}” is not a number. Write it in figures, such as 3.2.")
        }
        ReadProblem::BadNumber(_) | ReadProblem::AmbiguousComma { .. } => {
            format!(
                "“{answer}” is not a number. Write figures with one decimal point, such as 1234.5."
            )
        }
        ReadProblem::TooManyDigits(_) => {
            format!("“{answer}” has too many figures. Round the answer.")
        }
        ReadProblem::SeveralNumbers(_) => {
            format!("“{answer}” holds more than one number. Write the result alone.")
        }
        ReadProblem::UnknownUnit(_) => format!(
            "The unit in “{answer}” is not known. Write one such as g, mg or mL, or leave it out."
        ),
    }
}
