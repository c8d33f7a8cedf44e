//! A template that has been read, checked and compiled: everything a draw needs, nothing to look up.

pub(super) mod combination;
pub(super) mod heading;
mod keys;
pub(super) mod objective;
pub(super) mod sentence;
pub(super) mod term;
pub(super) mod theory;
pub(super) mod verdict;

use std::collections::BTreeMap;

use crate::formula::{Formula, Program, Shape};
use crate::quantity::{Exact, Rounding, Unit};

pub(super) use objective::{Convention, Objective};
use sentence::Piece;
use theory::TheoryPlan;
use verdict::VerdictPlan;

/// What problems are drawn from.
#[derive(Debug)]
pub struct Template {
    /// The name of the template, unique in a bank, letters, digits and hyphens: `base-one-drug`.
    pub id: String,
    /// The title an instructor reads in lists.
    pub title: String,
    /// What it trains.
    pub objective: Objective,
    /// The finer subject within the objective: `one-drug`.
    pub topic: String,
    /// 1 for one idea, 2 for several steps, 3 for several ideas.
    pub level: u8,
    /// Which way round the displacement is told.
    pub convention: Convention,
    /// How long a candidate should need.
    pub minutes: u32,
    /// One or two sentences for the instructor.
    pub about: String,
    /// Every name a formula can use, by slot number.
    pub names: Vec<Name>,
    /// How each drawn value comes about, in an order in which each uses only earlier ones.
    pub values: Vec<Value>,
    /// What must hold of a draw.
    pub require: Vec<Requirement>,
    /// Pairs of picks that must be different rows, as indices into `values`.
    pub different: Vec<(usize, usize)>,
    /// The wordings of the stem, minijinja sources.
    pub stems: Vec<String>,
    /// The working, in an order in which each step uses only earlier ones.
    pub working: Vec<Step>,
    /// The legal ways of working, the working itself first; empty where there is only that.
    pub methods: Vec<Method>,
    /// Sentences that show the answer to be plausible.
    pub plausible: Vec<Plausible>,
    /// What is asked.
    pub parts: Vec<PartPlan>,
    /// Known wrong rules.
    pub slips: Vec<Slip>,
    /// Rows of the batch table of `work`.
    pub batch: Vec<BatchRow>,
    /// What the drawing in the worked solution shows; `None` for no drawing.
    pub drawing: Option<DrawingPlan>,
    /// The texts that do nothing but name values, taken apart, by names such as `say/base`; the others
    /// are filled in by minijinja.
    pub(crate) sentences: BTreeMap<String, Vec<Piece>>,
    /// The path of its file.
    pub file: String,
    /// First eight bytes of the SHA-256 of the file, in hex: changes whenever the text does.
    pub fingerprint: String,
}

/// A name of a formula: a value, a field of a pick (`drug.displacement_value`) or a step.
#[derive(Clone, Debug)]
pub struct Name {
    /// As written in formulas.
    pub name: String,
    /// As shown in worked solutions: `base displaced`.
    pub label: String,
    /// What the number is.
    pub shape: Shape,
    /// The unit it is shown in.
    pub unit: Unit,
}

/// How one value of a draw comes about.
#[derive(Debug)]
pub struct Value {
    /// The name in formulas and stems.
    pub name: String,
    /// The rule.
    pub rule: ValueRule,
}

/// The rule of one value.
#[derive(Debug)]
pub enum ValueRule {
    /// One of `count` numbers `from + k * step`, in `unit`.
    Grid {
        /// Slot filled.
        slot: usize,
        /// First number.
        from: Exact,
        /// Distance of neighbours.
        step: Exact,
        /// How many numbers there are.
        count: u64,
    },
    /// One of the numbers listed.
    Choice {
        /// Slot filled.
        slot: usize,
        /// The numbers, as written.
        numbers: Vec<Exact>,
    },
    /// Always the same number.
    Fixed {
        /// Slot filled.
        slot: usize,
        /// The number, as written.
        number: Exact,
    },
    /// Computed from earlier values and rounded as an instrument shows it.
    Derived {
        /// Slot filled.
        slot: usize,
        /// The rule.
        formula: Formula,
        /// The rule, compiled.
        program: Program,
        /// How the number is written.
        rounding: Rounding,
    },
    /// Several readings around an earlier value.
    Scatter {
        /// Slot filled with a list.
        slot: usize,
        /// The slot of the true value.
        around: usize,
        /// How many readings.
        count: usize,
        /// Readings differ from the true value by `-reach..=reach` steps.
        reach: u64,
        /// The readability, in the unit of the slot.
        step: Exact,
        /// One reading that is off by a further amount: first, step, count.
        stray: Option<(Exact, Exact, u64)>,
    },
    /// One row of a facts table with one source chosen for each column used.
    Pick {
        /// The table.
        table: String,
        /// All possibilities, counted at load.
        options: Vec<PickOption>,
        /// The slots of the numeric columns, in the order of [`PickOption::numbers`].
        slots: Vec<usize>,
        /// The names of the text fields, in the order of [`PickOption::texts`].
        fields: Vec<String>,
    },
    /// One of several words or groups of words; changes the look, not the problem.
    Words {
        /// Field names (empty for a bare word).
        fields: Vec<String>,
        /// One entry a possibility, texts in the order of `fields`.
        options: Vec<Vec<String>>,
    },
}

/// One possibility of a pick.
#[derive(Clone, Debug)]
pub struct PickOption {
    /// The id of the row.
    pub row: String,
    /// Numbers by slot, as written in the table, in the unit of the slot.
    pub numbers: Vec<Exact>,
    /// Texts by field: columns of text, and `<column>_source` for the short name of the source of
    /// each column that is used.
    pub texts: Vec<String>,
    /// The claim taken in each column of the table, where there is one.
    pub claims: Vec<Option<usize>>,
    /// The sources of the columns that are used, by id.
    pub sources: Vec<String>,
}

/// What must hold of a draw.
#[derive(Debug)]
pub struct Requirement {
    /// The condition as parsed.
    pub formula: Formula,
    /// The condition compiled.
    pub program: Program,
    /// Why, for the instructor.
    pub because: String,
    /// Whether it uses only values, not steps, and can be tested before solving.
    pub early: bool,
}

/// A legal way of working.
#[derive(Debug)]
pub struct Method {
    /// Its name: `by-the-cavity`.
    pub id: String,
    /// The heading over its solution: `By the cavity`.
    pub title: String,
    /// All its steps in their order; empty for the first method, which is the working itself.
    pub working: Vec<Step>,
}

/// A sentence that shows the answer to be plausible.
#[derive(Debug)]
pub struct Plausible {
    /// The sentence, a minijinja source.
    pub say: String,
    /// What it says as a condition, which must hold of the exact numbers and of those shown.
    pub that: Program,
    /// The draws it is said of; `None` for all.
    pub when: Option<Program>,
}

/// One step of the working.
#[derive(Clone, Debug)]
pub struct Step {
    /// Slot filled.
    pub slot: usize,
    /// One sentence: what is done and why. A minijinja source.
    pub say: String,
    /// The rule as parsed, for typesetting.
    pub formula: Formula,
    /// The rule compiled.
    pub program: Program,
    /// How the result is shown, and may legally be rounded before it is used.
    pub rounding: Rounding,
    /// Further legal roundings of the result before it is used (textbooks differ).
    pub also: Vec<Rounding>,
}

/// One thing asked.
#[derive(Debug)]
pub struct PartPlan {
    /// The name of the part: `base`.
    pub id: String,
    /// The question, a minijinja source.
    pub ask: String,
    /// Marks for this part.
    pub marks: u32,
    /// What kind of answer is wanted.
    pub wanted: Wanted,
}

/// What kind of answer a part wants.
#[derive(Debug)]
pub enum Wanted {
    /// A number with a unit.
    Number(NumberPlan),
    /// A verdict that follows from the numbers.
    Verdict(VerdictPlan),
    /// Something known rather than worked out.
    Theory(TheoryPlan),
}

/// How far the accepted range may reach to either side of the answer, in per cent of it, unless the part
/// says why.
pub const WIDEST_RANGE: u32 = 2;

/// A numeric part.
#[derive(Clone, Debug)]
pub struct NumberPlan {
    /// The slot of the answer.
    pub slot: usize,
    /// The unit asked for.
    pub unit: Unit,
    /// The rounding asked for.
    pub rounding: Rounding,
    /// How far from a legal answer an answer may lie.
    pub tolerance: Tolerance,
    /// The density in g/mL by which a volume is accepted for a mass, or a mass for a volume; `None` where
    /// only what was asked for is.
    pub density: Option<Exact>,
    /// Why the accepted range may reach further than [`WIDEST_RANGE`] from the answer.
    pub wide: Option<String>,
    /// Of the part's marks, how many are for the method; the others are for accuracy.
    pub method_marks: u32,
}

/// How far from a legal answer an answer may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tolerance {
    /// So much either way, in the unit of the part.
    Amount(Exact),
    /// So many per cent of the answer either way.
    Percent(Exact),
}

/// A named wrong rule.
#[derive(Debug)]
pub struct Slip {
    /// Its name: `whole-drug-subtracted`.
    pub id: String,
    /// What replaces what: the slot of a value or step, the wrong rule as parsed and compiled.
    pub instead: Vec<(usize, Formula, Program)>,
    /// What a student is told; a minijinja source.
    pub say: String,
}

/// One row of the batch table.
#[derive(Debug)]
pub struct BatchRow {
    /// The ingredient, a minijinja source.
    pub what: String,
    /// The slot of the mass for one unit, where it is told.
    pub each: Option<usize>,
    /// The slot of the mass for the batch.
    pub all: usize,
    /// How the masses are written.
    pub rounding: Rounding,
}

/// What the drawing in a worked solution shows, as slots of masses for the batch or for one unit.
#[derive(Clone, Debug)]
pub struct DrawingPlan {
    /// What the mould holds of plain base.
    pub mould: usize,
    /// The base displaced, one per drug.
    pub displaced: Vec<usize>,
    /// The drug, one per drug, in the same order.
    pub drugs: Vec<usize>,
    /// The base still to weigh.
    pub base: usize,
}

impl ValueRule {
    /// How many possibilities the value has; words, which change the look only, count as one.
    /// `None` when there are more than 128 bits can number.
    pub fn possibilities(&self) -> Option<u128> {
        Some(match self {
            Self::Grid { count, .. } => u128::from(*count),
            Self::Choice { numbers, .. } => numbers.len() as u128,
            Self::Fixed { .. } | Self::Derived { .. } | Self::Words { .. } => 1,
            Self::Scatter { count, reach, stray, .. } => {
                let one = u128::from(*reach).checked_mul(2)?.checked_add(1)?;
                let count = u32::try_from(*count).ok()?;
                match stray {
                    None => one.checked_pow(count)?,
                    Some((_, _, offs)) => one
                        .checked_pow(count.saturating_sub(1))?
                        .checked_mul(u128::from(count))?
                        .checked_mul(u128::from(*offs))?,
                }
            }
            Self::Pick { options, .. } => options.len() as u128,
        })
    }
}

impl Wanted {
    /// In how many ways the part can be shown for the same values; `None` beyond 128 bits.
    pub fn ways(&self) -> Option<u128> {
        match self {
            Self::Number(_) | Self::Verdict(_) => Some(1),
            Self::Theory(plan) => plan.ways(),
        }
    }

    /// The plan of a numeric part.
    pub fn number(&self) -> Option<&NumberPlan> {
        match self {
            Self::Number(plan) => Some(plan),
            Self::Verdict(_) | Self::Theory(_) => None,
        }
    }

    /// The plan of a part that asks for a verdict.
    pub fn verdict(&self) -> Option<&VerdictPlan> {
        match self {
            Self::Verdict(plan) => Some(plan),
            Self::Number(_) | Self::Theory(_) => None,
        }
    }

    /// Whether the answer is worked out from the values and not known by heart.
    pub fn is_worked_out(&self) -> bool {
        !matches!(self, Self::Theory(_))
    }

    /// The slots from which the answer follows; none where it is known by heart.
    pub fn reads(&self) -> Vec<usize> {
        match self {
            Self::Number(plan) => vec![plan.slot],
            Self::Verdict(plan) => plan.reads(),
            Self::Theory(_) => Vec::new(),
        }
    }
}
