//! The reader of an order: texts become numbers, and what is wrong is noted.

use crate::bank::{Facts, OrderProblem};
use crate::formula::nearest;
use crate::quantity::{Dimension, Exact, Typed, Unit, read_quantity};
use crate::words;

/// The proof that something wrong was noted; only [`OrderReader::note`] makes one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Noted(());

/// What was read, or the proof that what is wrong with it was noted.
pub(super) type Checked<T> = Result<T, Noted>;

/// Letters of a value that a message repeats.
const QUOTED: usize = 60;

/// The largest number that an order may hold, so that no sum of the working can overflow.
const LARGEST: i64 = 1_000_000;

/// What a value measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Measure {
    /// A mass, or the mass of one unit.
    Mass,
    /// A density.
    Density,
    /// A percentage by mass; read as a fraction.
    Share,
    /// A plain number.
    Number,
    /// A whole number of units.
    Count,
}

/// An order that is being read.
#[derive(Debug)]
pub(super) struct OrderReader<'a> {
    pub(super) facts: &'a Facts,
    pub(super) problems: Vec<OrderProblem>,
}

impl<'a> OrderReader<'a> {
    pub(super) fn new(facts: &'a Facts) -> Self {
        Self { facts, problems: Vec::new() }
    }

    /// Notes what is wrong with a value.
    pub(super) fn note(
        &mut self,
        path: impl Into<String>,
        what: impl Into<String>,
        label: &str,
        help: impl Into<String>,
    ) -> Noted {
        let (path, what, help) = (path.into(), what.into(), help.into());
        self.problems.push(OrderProblem { path, what, label: label.to_owned(), help });
        Noted(())
    }

    /// Notes a value that is not there.
    pub(super) fn missing(&mut self, path: &str, what: &str, help: &str) -> Noted {
        self.note(path, format!("expected {what}, found nothing"), "missing", help)
    }

    /// Reads a value that may be left out.
    pub(super) fn maybe(
        &mut self,
        path: &str,
        text: Option<&String>,
        measure: Measure,
        least: Least,
    ) -> Checked<Option<Exact>> {
        text.map(|text| self.number(path, text, measure, least)).transpose()
    }

    /// Reads a number in coherent units.
    pub(super) fn number(
        &mut self,
        path: &str,
        text: &str,
        measure: Measure,
        least: Least,
    ) -> Checked<Exact> {
        let typed = self.typed(path, text, measure)?;
        let number = match typed.unit {
            Some(unit) => unit.to_coherent(typed.number),
            None => Ok(typed.number),
        };
        let largest = Exact::whole(LARGEST);
        let found = words::quoted(text, QUOTED);
        let number = number.ok().filter(|number| number.abs() <= largest).ok_or_else(|| {
            let what = format!("expected {}, found `{found}`", measure.words());
            self.note(path, what, "far too large", "check the number and its unit")
        })?;
        let fits = match least {
            Least::AboveZero => number.is_positive(),
            Least::Zero => !number.is_negative(),
        };
        if !fits {
            let what = format!("expected {} {}, found `{found}`", measure.words(), least.words());
            return Err(self.note(path, what, "too small", "check the number"));
        }
        if measure == Measure::Count && !number.is_whole() {
            let what = format!("expected a whole number, found `{found}`");
            return Err(self.note(path, what, "not whole", "write a whole number, such as `12`"));
        }
        Ok(number)
    }

    /// Reads a mass or a volume; for a volume, with the word for it.
    pub(super) fn typed(&mut self, path: &str, text: &str, measure: Measure) -> Checked<Typed> {
        let typed = read_quantity(text).map_err(|problem| {
            let told = problem.to_string();
            let (what, help) = told.rsplit_once("; ").unwrap_or((&told, "correct it"));
            self.note(path, what, "not read", help)
        })?;
        if let Err(help) = measure.fits(typed.unit) {
            let found = words::quoted(text, QUOTED);
            let what = format!("expected {}, found `{found}`", measure.words());
            let label = if typed.unit.is_none() { "no unit" } else { "another unit" };
            return Err(self.note(path, what, label, help));
        }
        Ok(typed)
    }

    /// Notes a word that is not among the known ones.
    pub(super) fn unknown(
        &mut self,
        path: &str,
        kind: &str,
        found: &str,
        known: &[&str],
        otherwise: &str,
    ) -> Noted {
        let help = match nearest(found, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None if known.is_empty() => otherwise.to_owned(),
            None => format!("write {}", words::listed(known, "or")),
        };
        let what = format!("expected {kind}, found `{}`", words::quoted(found, QUOTED));
        self.note(path, what, "not known", help)
    }

    /// What was read, unless something was noted.
    pub(super) fn finish<T>(self, checked: Checked<T>) -> Result<T, Vec<OrderProblem>> {
        match checked {
            Ok(read) if self.problems.is_empty() => Ok(read),
            _ => Err(self.problems),
        }
    }
}

/// The least that a number may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Least {
    /// More than zero.
    AboveZero,
    /// Zero, which says that there was none.
    Zero,
}

impl Least {
    fn words(self) -> &'static str {
        match self {
            Self::AboveZero => "above zero",
            Self::Zero => "of zero or more",
        }
    }
}

impl Measure {
    /// What is expected, in words.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Mass => "a mass",
            Self::Density => "a density",
            Self::Share => "a percentage",
            Self::Number => "a plain number",
            Self::Count => "a number of units",
        }
    }

    /// Whether a unit fits; if not, what to do.
    fn fits(self, unit: Option<Unit>) -> Result<(), &'static str> {
        let dimension = unit.map(Unit::dimension);
        // A percentage of volume is a plain number by its dimension, and another thing.
        let is_volume = unit.is_some_and(|unit| unit.to_string() == "% v/v");
        let is_percent = unit.is_some_and(|unit| unit.to_string().starts_with('%'));
        let (fits, help) = match self {
            Self::Mass => (
                matches!(dimension, Some(Dimension::MASS | Dimension::MASS_PER_UNIT)),
                "write it in grams or milligrams, as in `1.04 g` or `200 mg`",
            ),
            Self::Density => (
                dimension == Some(Dimension::DENSITY),
                "write it in grams for each millilitre, as in `1.2 g/mL`",
            ),
            Self::Share => (
                is_percent && dimension == Some(Dimension::NUMBER) && !is_volume,
                "write it in per cent by mass, as in `5 %`",
            ),
            Self::Number => (unit.is_none(), "write it without a unit, as in `1.2`"),
            Self::Count => (
                unit.is_none() || dimension == Some(Dimension::COUNT),
                "write how many there are, as in `12`",
            ),
        };
        if fits { Ok(()) } else { Err(help) }
    }
}
