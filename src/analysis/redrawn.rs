//! A candidate's problem drawn once more, for its words.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::bank::{Bank, Template};
use crate::draw::{Seed, Space, Stream};
use crate::problem::Problem;

/// Draws problems again from template and place.
///
/// Marks need no bank to be analysed; where it has the template, slips are told in words and variants
/// by what was picked. Wordings are not those of the candidate's paper, the values are.
#[derive(Debug)]
pub struct Redrawn<'a> {
    bank: &'a Bank,
    spaces: BTreeMap<String, Option<Space>>,
    presentation: Seed,
}

impl<'a> Redrawn<'a> {
    /// Problems of that bank.
    pub fn new(bank: &'a Bank) -> Self {
        let presentation = Seed::derive(b"castmark analysis", "castmark analysis 1", &[]);
        Self { bank, spaces: BTreeMap::new(), presentation }
    }

    /// What the template says of a slip, with the values of that place; `None` when the bank does not
    /// know it.
    pub fn slip_says(&mut self, template: &str, place: &str, slip: &str) -> Option<String> {
        let place = place.parse().ok()?;
        let (template, space) = self.space(template)?;
        let index = template.slips.iter().position(|known| known.id == slip)?;
        let mut presentation = Stream::new(&self.presentation);
        let solved = Problem::solved(&template, &space, place, &mut presentation).ok()?;
        let problem = solved.problem(self.bank, &template).ok()?;
        let says = problem.slip_says(self.bank, index);
        Some(says.split_whitespace().collect::<Vec<_>>().join(" ")).filter(|says| !says.is_empty())
    }

    /// What was picked at that place: `drug` and `paracetamol`.
    pub fn picks(&mut self, template: &str, place: &str) -> Vec<(String, String)> {
        let Ok(place) = place.parse() else { return Vec::new() };
        let Some((template, space)) = self.space(template) else { return Vec::new() };
        if place >= space.size {
            return Vec::new();
        }
        let Ok(draw) = space.draw(&template, place, &mut Stream::new(&self.presentation)) else {
            return Vec::new();
        };
        let text = |wanted: &str| draw.texts.iter().find(|(field, _)| field == wanted);
        let row = |name: &str| {
            let named = || text(&format!("{name}.name"));
            text(name).or_else(named).or_else(|| text(&format!("{name}.row")))
        };
        draw.picked
            .iter()
            .filter_map(|(name, _)| Some((name.clone(), row(name)?.1.clone())))
            .collect()
    }

    fn space(&mut self, id: &str) -> Option<(Arc<Template>, Space)> {
        let template = self.bank.find(id)?;
        let space = self.spaces.entry(id.to_owned()).or_insert_with(|| Space::of(template));
        Some((Arc::clone(template), space.clone()?))
    }
}
