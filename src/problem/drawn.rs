//! The problem itself.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use crate::bank::{Bank, Template, Wanted};
use crate::draw::{Code, Draw, Seed, Space, Stream};
use crate::formula::Slot;

use super::key::keys;
use super::solve::{Rules, solve};
use super::text::{Shown, blocks, line, render};
use super::{Block, Part, Response};

/// How often a draw is tried again before the template is given up.
const MOST_TRIES: u64 = 2000;

/// One draw of a template, solved, with its key.
#[derive(Clone, Debug)]
pub struct Problem {
    /// The template.
    pub template: Arc<Template>,
    /// The code that rebuilds it, for practice problems.
    pub code: Option<Code>,
    /// The values drawn.
    pub draw: Draw,
    /// All values and steps by slot, in coherent units.
    pub slots: Vec<Slot>,
    /// What the student is told.
    pub stem: Vec<Block>,
    /// What is asked.
    pub parts: Vec<Part>,
}

/// Why a problem could not be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DrawProblem {
    /// The bank has no such template.
    NoTemplate(String),
    /// The template has more draws than can be numbered.
    TooLarge(String),
    /// Draw after draw was refused.
    NoDraw {
        /// The template.
        template: String,
        /// How many draws were tried.
        tries: u64,
        /// What refused the most of them, and how many.
        most: (Refusal, u64),
    },
    /// A text of the template cannot be filled in.
    Text {
        /// The template.
        template: String,
        /// What is wrong.
        what: String,
    },
}

/// Why a draw is not a fair problem.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Refusal {
    /// A requirement does not hold; its place in the template, from 0.
    Requirement(usize),
    /// Two picks that must differ are the same row.
    SameRow(usize, usize),
    /// A step has no result; its slot.
    NoResult(usize),
    /// The answer of a part is not above zero.
    Senseless(usize),
    /// A slip leads to a number that would be marked right; the slip and the part.
    ConfusedSlip(usize, usize),
}

impl fmt::Display for DrawProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoTemplate(id) => write!(
                f,
                "there is no template `{id}` in the bank; `castmark bank list` shows all of them"
            ),
            Self::TooLarge(id) => write!(
                f,
                "template `{id}` has more draws than can be numbered; give it fewer values"
            ),
            Self::NoDraw { template, tries, most: (refusal, times) } => write!(
                f,
                "template `{template}` gave no fair problem in {tries} draws; {times} of them were \
                 refused because {refusal}; widen its values"
            ),
            Self::Text { template, what } => {
                write!(f, "a text of template `{template}` cannot be filled in: {what}")
            }
        }
    }
}

impl std::error::Error for DrawProblem {}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Requirement(n) => write!(f, "requirement {} does not hold", n + 1),
            Self::SameRow(..) => f.write_str("two picks are the same row"),
            Self::NoResult(_) => f.write_str("a step has no result"),
            Self::Senseless(part) => write!(f, "the answer of part {} is not above zero", part + 1),
            Self::ConfusedSlip(slip, part) => write!(
                f,
                "slip {} cannot be told from a right answer of part {}",
                slip + 1,
                part + 1
            ),
        }
    }
}

impl Problem {
    /// The practice problem of a code.
    ///
    /// # Errors
    /// When the bank lacks the template or no fair problem is found.
    pub fn from_code(bank: &Bank, code: &Code) -> Result<Self, DrawProblem> {
        let template = bank
            .find(&code.template)
            .ok_or_else(|| DrawProblem::NoTemplate(code.template.clone()))?;
        let mut problem = Self::from_seed(bank, template, &code.seed())?;
        problem.code = Some(code.clone());
        Ok(problem)
    }

    /// The practice problem of a template for a number; the code is made from both.
    ///
    /// # Errors
    /// When no fair problem is found.
    pub fn draw(bank: &Bank, template: &Arc<Template>, number: u64) -> Result<Self, DrawProblem> {
        Self::from_code(bank, &Code::new(&template.id, number))
    }

    /// The problem of a seed: places are drawn until one is fair.
    ///
    /// # Errors
    /// When no fair problem is found.
    pub fn from_seed(
        bank: &Bank,
        template: &Arc<Template>,
        seed: &Seed,
    ) -> Result<Self, DrawProblem> {
        let space =
            Space::of(template).ok_or_else(|| DrawProblem::TooLarge(template.id.clone()))?;
        let mut places = Stream::new(seed);
        let mut refused: BTreeMap<Refusal, u64> = BTreeMap::new();
        for _ in 0..MOST_TRIES {
            let place = places.below_wide(space.size);
            match Self::solved(template, &space, place, &mut Stream::numbered(seed, 1)) {
                Ok(solved) => return solved.problem(bank, template),
                Err(refusal) => *refused.entry(refusal).or_default() += 1,
            }
        }
        let most = refused
            .into_iter()
            .max_by_key(|(_, times)| *times)
            .unwrap_or((Refusal::Requirement(0), 0));
        Err(DrawProblem::NoDraw { template: template.id.clone(), tries: MOST_TRIES, most })
    }

    /// The problem at one place of a template's space.
    ///
    /// # Errors
    /// Why the draw there is not fair, or why a text cannot be filled in.
    pub fn at(
        bank: &Bank,
        template: &Arc<Template>,
        space: &Space,
        place: u128,
        looks: &mut Stream,
    ) -> Result<Result<Self, Refusal>, DrawProblem> {
        match Self::solved(template, space, place, looks) {
            Ok(solved) => solved.problem(bank, template).map(Ok),
            Err(refusal) => Ok(Err(refusal)),
        }
    }

    /// Draws and solves without filling in any text.
    ///
    /// # Errors
    /// Why the draw is not fair.
    pub fn solved(
        template: &Template,
        space: &Space,
        place: u128,
        looks: &mut Stream,
    ) -> Result<Solved, Refusal> {
        let draw =
            space.draw(template, place, looks).map_err(|none| Refusal::NoResult(none.slot))?;
        for (one, other) in &template.different {
            if row(template, *one, &draw) == row(template, *other, &draw) {
                return Err(Refusal::SameRow(*one, *other));
            }
        }
        let mut slots = draw.slots.clone();
        let holds = |early: bool, slots: &[Slot]| {
            let failed = template
                .require
                .iter()
                .position(|one| one.early == early && one.program.holds(slots) != Ok(true));
            failed.map_or(Ok(()), |n| Err(Refusal::Requirement(n)))
        };
        holds(true, &slots)?;
        solve(Rules::of(template), &mut slots).map_err(|(slot, _)| Refusal::NoResult(slot))?;
        holds(false, &slots)?;
        let solved = Solved::new(template, draw, slots).ok_or(Refusal::NoResult(0))?;
        for (part, response) in solved.responses.iter().enumerate() {
            let Response::Number(key) = response;
            if !key.is_sensible() {
                return Err(Refusal::Senseless(part));
            }
            if let Some(slip) = key.confused_slip() {
                return Err(Refusal::ConfusedSlip(slip, part));
            }
        }
        Ok(solved)
    }

    /// Marks for the whole problem.
    pub fn marks(&self) -> u32 {
        self.parts.iter().map(|part| part.marks).sum()
    }

    /// The values as texts show them.
    pub(super) fn shown(&self) -> Shown<'_> {
        Shown::new(&self.template, &self.draw, &self.slots)
    }
}

/// A draw that has been solved, before any text is filled in.
#[derive(Clone, Debug)]
pub struct Solved {
    draw: Draw,
    slots: Vec<Slot>,
    responses: Vec<Response>,
}

impl Solved {
    /// Makes the keys; `None` when a number grows too large.
    pub(super) fn new(template: &Template, draw: Draw, slots: Vec<Slot>) -> Option<Self> {
        let mut numbers = keys(template, &slots).ok()?.into_iter();
        let responses = template
            .parts
            .iter()
            .map(|part| match &part.wanted {
                Wanted::Number(_) => numbers.next().map(Response::Number),
            })
            .collect::<Option<_>>()?;
        Some(Self { draw, slots, responses })
    }

    /// The answers, with their keys.
    pub fn responses(&self) -> &[Response] {
        &self.responses
    }

    /// The values as drawn.
    pub fn draw(&self) -> &Draw {
        &self.draw
    }

    /// Fills in the texts.
    pub(super) fn problem(
        self,
        bank: &Bank,
        template: &Arc<Template>,
    ) -> Result<Problem, DrawProblem> {
        let shown = Shown::new(template, &self.draw, &self.slots);
        let context = shown.context(&self.draw);
        let id = &template.id;
        let text = |name: String| {
            render(bank.texts(), &name, &context).map_err(|error| DrawProblem::Text {
                template: id.clone(),
                what: error.to_string(),
            })
        };
        let stem = blocks(&text(format!("{id}#stem/{}", self.draw.wording))?, &shown);
        let mut parts = Vec::with_capacity(template.parts.len());
        for (plan, response) in template.parts.iter().zip(self.responses) {
            let ask = line(&text(format!("{id}#ask/{}", plan.id))?);
            parts.push(Part { id: plan.id.clone(), ask, marks: plan.marks, response });
        }
        Ok(Problem {
            template: Arc::clone(template),
            code: None,
            draw: self.draw,
            slots: self.slots,
            stem,
            parts,
        })
    }
}

/// The row that a pick drew.
fn row<'a>(template: &Template, value: usize, draw: &'a Draw) -> Option<&'a str> {
    let name = &template.values.get(value)?.name;
    draw.texts
        .iter()
        .find(|(field, _)| field.strip_prefix(name.as_str()) == Some(".row"))
        .map(|(_, text)| text.as_str())
}
