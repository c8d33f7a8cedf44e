//! The problem itself.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::bank::{Bank, Plausible, Template, Wanted};
use crate::draw::{Code, Count, Draw, NoValue, Seed, Space, Stream};
use crate::formula::Slot;

use super::balance::Balance;
use super::key::keys;
use super::shown::{Shown, line};
use super::solve::{Rules, round, solve};
use super::theory::{respond, sentences};
use super::{Block, DrawProblem, NumberKey, NumberUsed, Part, Refusal, Response};

/// How often a draw is tried again before the template is given up.
const MOST_TRIES: u64 = 20_000;

/// How often other options are tried for the same values.
const PATIENCE: u64 = 100;

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
    /// The numbers that were given or taken, for a problem from one's own numbers; none otherwise.
    pub used: Vec<NumberUsed>,
    /// The values as texts show them.
    pub(super) shown: Shown,
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
        let code = Code::new(&template.id, number);
        let mut problem = Self::from_seed(bank, template, &code.seed())?;
        problem.code = Some(code);
        Ok(problem)
    }

    /// The problem of a seed: stream 0 gives places until one is fair, stream 1 gives its presentation.
    ///
    /// # Errors
    /// When none of 20,000 places is fair, naming what refused most of them.
    pub fn from_seed(
        bank: &Bank,
        template: &Arc<Template>,
        seed: &Seed,
    ) -> Result<Self, DrawProblem> {
        let space =
            Space::of(template).ok_or_else(|| DrawProblem::TooLarge(template.id.clone()))?;
        let mut places = Stream::new(seed);
        let wanted = Balance::of(template).map(|balance| balance.next(&mut places));
        let mut refused: BTreeMap<Refusal, u64> = BTreeMap::new();
        let mut place = places.below_wide(space.size);
        for tries in 1..=MOST_TRIES {
            let mut presentation = Stream::numbered(seed, 1);
            match Self::solved_as(template, &space, place, &mut presentation, wanted) {
                Ok(solved) => return solved.problem(bank, template),
                Err(refusal) => {
                    *refused.entry(refusal).or_default() += 1;
                    place = match refusal {
                        // The values stay for a while, so that a row with few wrong options comes as
                        // often as one with many.
                        Refusal::NothingToShow(_) if tries % PATIENCE != 0 => {
                            space.with_other_selections(place, &mut places)
                        }
                        _ => places.below_wide(space.size),
                    };
                }
            }
        }
        let most = refused.into_iter().max_by_key(|(_, times)| *times);
        Err(DrawProblem::NoDraw {
            template: template.id.clone(),
            tries: MOST_TRIES,
            because: most.map(|(refusal, _)| refusal.explain(template)).unwrap_or_default(),
            times: most.map_or(0, |(_, times)| times),
        })
    }

    /// Draws and solves the place of a template's space without filling in any text.
    ///
    /// # Errors
    /// Why the draw is not fair.
    pub fn solved(
        template: &Template,
        space: &Space,
        place: u128,
        presentation: &mut Stream,
    ) -> Result<Solved, Refusal> {
        Self::solved_as(template, space, place, presentation, None)
    }

    /// The same; where a verdict is wanted, a draw with another is refused before its keys are made.
    ///
    /// # Errors
    /// As for [`solved`](Self::solved).
    pub fn solved_as(
        template: &Template,
        space: &Space,
        place: u128,
        presentation: &mut Stream,
        verdict: Option<usize>,
    ) -> Result<Solved, Refusal> {
        let no_result = |none: NoValue| Refusal::NoResult(none.slot);
        let draw = space.draw(template, place, presentation).map_err(no_result)?;
        for (one, other) in &template.different {
            if row(template, *one, &draw) == row(template, *other, &draw) {
                return Err(Refusal::SameRow(*one, *other));
            }
        }
        let mut slots = draw.slots.clone();
        hold(template, true, &slots)?;
        solve(Rules::of(template), &mut slots).map_err(no_result)?;
        hold(template, false, &slots)?;
        if let (Some(wanted), Some(balance)) = (verdict, Balance::of(template)) {
            if balance.verdict(&slots) != Some(wanted) {
                return Err(Refusal::OtherVerdict(balance.part()));
            }
        }
        plausible(template, &slots)?;
        let theory = theory(template, &draw, presentation)?;
        let mut solved = Solved::new(template, draw, slots).map_err(no_result)?;
        for (part, plan) in template.parts.iter().enumerate() {
            match solved.responses.get(part).and_then(Option::as_ref) {
                Some(Response::Number(key)) => fair_number(part, key)?,
                Some(Response::Verdict(key)) if key.is_undecided() => {
                    return Err(Refusal::Undecided(part));
                }
                None if plan.wanted.verdict().is_some() => return Err(Refusal::NoVerdict(part)),
                _ => {}
            }
        }
        for (part, response) in theory {
            solved.responses[part] = Some(response);
        }
        Ok(solved)
    }

    /// How many places of a template's space make a fair problem; `None` when the space is too large
    /// to be numbered.
    pub fn count(template: &Template) -> Option<Count> {
        Self::count_such(template, |_| true)
    }

    /// How many places make a fair problem that is such as is wanted; `None` as for
    /// [`count`](Self::count).
    pub fn count_such(template: &Template, wanted: impl Fn(&Solved) -> bool) -> Option<Count> {
        let space = Space::of(template)?;
        // Whether a place is fair does not depend on its presentation.
        let presentation = Seed::derive(b"castmark count", "castmark count 1", &["looks"]);
        Some(Count::of(&template.id, space.size, |place| {
            let solved = Self::solved(template, &space, place, &mut Stream::new(&presentation));
            solved.is_ok_and(|solved| wanted(&solved))
        }))
    }

    /// Marks for the whole problem.
    pub fn marks(&self) -> u32 {
        self.parts.iter().map(|part| part.marks).sum()
    }
}

/// A draw that has been solved, before any text is filled in.
#[derive(Clone, Debug)]
pub struct Solved {
    draw: Draw,
    slots: Vec<Slot>,
    /// One for each part of the template; none for what is not asked.
    responses: Vec<Option<Response>>,
}

impl Solved {
    /// Makes the keys of the parts that are worked out; the others are not asked yet.
    pub(super) fn new(template: &Template, draw: Draw, slots: Vec<Slot>) -> Result<Self, NoValue> {
        let mut responses = vec![None; template.parts.len()];
        for (part, key) in keys(Rules::of(template), &slots)? {
            responses[part] = Some(key);
        }
        Ok(Self { draw, slots, responses })
    }

    /// The answers with their keys, each with the place of its part in the template.
    pub fn responses(&self) -> impl Iterator<Item = (usize, &Response)> {
        let responses = self.responses.iter().enumerate();
        responses.filter_map(|(part, response)| Some((part, response.as_ref()?)))
    }

    /// The values as drawn.
    pub fn draw(&self) -> &Draw {
        &self.draw
    }

    /// All values and steps by slot, in coherent units.
    pub fn slots(&self) -> &[Slot] {
        &self.slots
    }

    /// Fills in the texts.
    ///
    /// # Errors
    /// When a text of the template cannot be filled in.
    pub fn problem(self, bank: &Bank, template: &Arc<Template>) -> Result<Problem, DrawProblem> {
        let shown = Shown::new(template, &self.draw, &self.slots);
        let text = |name: String| {
            let unfilled = |what| DrawProblem::Text { template: template.id.clone(), what };
            shown.fill_in(bank, &name).map_err(unfilled)
        };
        let stem = text(format!("stem/{}", self.draw.wording))?;
        let stem = Block::read(&stem, |slot| shown.table(slot));
        let mut parts = Vec::with_capacity(template.parts.len());
        for (plan, response) in template.parts.iter().zip(self.responses) {
            let Some(mut response) = response else { continue };
            if let Response::Verdict(key) = &mut response {
                let text = |what: &str, index: usize| {
                    text(format!("{what}/{}/{index}", plan.id)).map(|text| line(&text))
                };
                let count = plan.wanted.verdict().map_or(0, |plan| plan.choices.len());
                key.options =
                    (0..count).map(|index| text("verdict", index)).collect::<Result<_, _>>()?;
                key.because = text("because", key.right)?;
            }
            let ask = line(&text(format!("ask/{}", plan.id))?);
            parts.push(Part { id: plan.id.clone(), ask, marks: plan.marks, response });
        }
        Ok(Problem {
            template: Arc::clone(template),
            code: None,
            draw: self.draw,
            slots: self.slots,
            stem,
            parts,
            used: Vec::new(),
            shown,
        })
    }
}

/// Whether a number can be asked for: it makes sense, rounding decides nothing, and no wrong rule
/// leads to what is accepted.
fn fair_number(part: usize, key: &NumberKey) -> Result<(), Refusal> {
    if !key.is_sensible() {
        return Err(Refusal::Senseless(part));
    }
    if key.is_undecided() {
        return Err(Refusal::Undecided(part));
    }
    match key.confused_slip() {
        Some(slip) => Err(Refusal::ConfusedSlip(slip, part)),
        None => Ok(()),
    }
}

/// What the parts of theory show, each with its place; the shuffling comes from the presentation.
fn theory(
    template: &Template,
    draw: &Draw,
    presentation: &mut Stream,
) -> Result<Vec<(usize, Response)>, Refusal> {
    let option = |value: usize| {
        let name = &template.values.get(value)?.name;
        draw.picked.iter().find(|(pick, _)| pick == name).map(|(_, option)| *option)
    };
    let mut said: Vec<String> = Vec::new();
    let mut responses = Vec::new();
    for (index, part) in template.parts.iter().enumerate() {
        let Wanted::Theory(plan) = &part.wanted else { continue };
        let number = draw.selections[index];
        let response = plan.case(option).and_then(|case| respond(case, number, presentation));
        let response = response.ok_or(Refusal::NothingToShow(index))?;
        let sentences = sentences(&response);
        // What one part says another must not ask again.
        if sentences.iter().any(|sentence| said.contains(sentence)) {
            return Err(Refusal::NothingToShow(index));
        }
        said.extend(sentences);
        responses.push((index, response));
    }
    Ok(responses)
}

/// Whether the requirements hold that can be tested before solving, or the others.
fn hold(template: &Template, early: bool, slots: &[Slot]) -> Result<(), Refusal> {
    let mut requirements = template.require.iter().enumerate();
    // A condition that has no result holds no more than one that is false.
    match requirements.find(|(_, one)| one.early == early && one.program.holds(slots) != Ok(true)) {
        Some((index, _)) => Err(Refusal::Requirement(index)),
        None => Ok(()),
    }
}

/// Whether the sentences of plausibility are true, of the numbers as they are and as they are shown.
fn plausible(template: &Template, slots: &[Slot]) -> Result<(), Refusal> {
    if template.plausible.is_empty() {
        return Ok(());
    }
    let mut shown = slots.to_vec();
    for step in &template.working {
        if let Some(Slot::Number(number)) = slots.get(step.slot) {
            let rounded = round(template, step.slot, step.rounding, *number);
            let rounded = rounded.map_err(|_| Refusal::NoResult(step.slot))?;
            shown[step.slot] = Slot::Number(rounded);
        }
    }
    let fails = |one: &Plausible| {
        one.when.as_ref().is_none_or(|when| when.holds(slots) == Ok(true))
            && [slots, &shown].into_iter().any(|slots| one.that.holds(slots) != Ok(true))
    };
    match template.plausible.iter().position(fails) {
        Some(index) => Err(Refusal::Implausible(index)),
        None => Ok(()),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Exact;

    /// 3.60 g of a drug with a displacement value of 1.6 displaces less than it weighs.
    #[test]
    fn a_sentence_of_plausibility_must_be_true_of_the_numbers_and_of_what_is_shown_of_them() {
        let code = Code::parse("base-one-drug.aaaa-aaaaa").unwrap();
        let problem = Problem::from_code(&Bank::bundled().unwrap(), &code).unwrap();
        let template = &problem.template;
        let with = |displaced: &str| {
            let mut slots = problem.slots.clone();
            slots[template.slot("base_displaced").unwrap()] =
                Slot::Number(Exact::parse(displaced).unwrap());
            plausible(template, &slots)
        };
        assert!(with("2.25").is_ok());
        // The last of these is less, but shown as 3.60 g.
        for displaced in ["3.60", "4", "3.5999"] {
            assert!(matches!(with(displaced), Err(Refusal::Implausible(0))), "{displaced}");
        }
    }
}
