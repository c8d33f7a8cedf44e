//! How hard the numbers of a problem are, and how alike those of a class.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::bank::{Alikeness, Bank, Template};
use crate::draw::{Draw, Seed};
use crate::formula::Slot;
use crate::problem::{DrawProblem, Problem, Solved};
use crate::quantity::Exact;

/// What makes the numbers of a problem hard.
///
/// All candidates have the same templates, so the steps, the units and what is asked are the same;
/// what is left are the numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Difficulty {
    /// The figures that a candidate has to take over from the question.
    pub figures: u32,
    /// The steps whose result does not come out even and has to be rounded.
    pub uneven: u32,
}

/// How much the problems of a template differ, over some that were drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// How many problems were looked at.
    pub drawn: u64,
    /// The least of each.
    pub least: Difficulty,
    /// The middle of each: as many problems lie above as below.
    pub middle: Difficulty,
    /// The most of each.
    pub most: Difficulty,
}

/// Within what the problems of a class are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// The least of each.
    pub least: Difficulty,
    /// The most of each.
    pub most: Difficulty,
}

/// How many problems are looked at: enough to see what is common.
const DRAWN: u64 = 40;

impl Spread {
    /// Draws some problems of a template and looks at their numbers. They are always the same, and
    /// have nothing to do with those of a class.
    ///
    /// # Errors
    /// When the template gives no problem.
    pub fn of(bank: &Bank, template: &Arc<Template>) -> Result<Self, DrawProblem> {
        let told = template.starts();
        let (mut figures, mut uneven) = (Vec::new(), Vec::new());
        for number in 0..DRAWN {
            let fields = [template.id.as_str(), &number.to_string()];
            let seed = Seed::derive(b"castmark spread", "castmark spread 1", &fields);
            let problem = Problem::from_seed(bank, template, &seed)?;
            let found = Difficulty::of(template, &told, &problem.draw, &problem.slots);
            figures.push(found.figures);
            uneven.push(found.uneven);
        }
        figures.sort_unstable();
        uneven.sort_unstable();
        let at = |index: usize| Difficulty { figures: figures[index], uneven: uneven[index] };
        let last = figures.len() - 1;
        Ok(Self { drawn: DRAWN, least: at(0), middle: at(last / 2), most: at(last) })
    }

    /// The band about the middle.
    pub fn band(&self, alike: Alikeness) -> Band {
        let Difficulty { figures, uneven } = self.middle;
        Band {
            least: Difficulty {
                figures: figures.saturating_sub(alike.figures),
                uneven: uneven.saturating_sub(alike.uneven),
            },
            most: Difficulty {
                figures: figures.saturating_add(alike.figures),
                uneven: uneven.saturating_add(alike.uneven),
            },
        }
    }
}

impl Band {
    /// Whether a problem lies in the band.
    pub fn holds(&self, found: Difficulty) -> bool {
        (self.least.figures..=self.most.figures).contains(&found.figures)
            && (self.least.uneven..=self.most.uneven).contains(&found.uneven)
    }

    /// Whether a problem of the template that has been solved lies in the band.
    pub fn takes(&self, template: &Template, told: &BTreeSet<usize>, solved: &Solved) -> bool {
        self.holds(Difficulty::of(template, told, solved.draw(), solved.slots()))
    }
}

impl Difficulty {
    /// Looks at the numbers of a problem; `told` are the slots that its working starts from.
    pub fn of(template: &Template, told: &BTreeSet<usize>, draw: &Draw, slots: &[Slot]) -> Self {
        let uneven = template.working.iter().filter(|step| {
            let unit = template.names[step.slot].unit;
            let result = match slots.get(step.slot) {
                Some(Slot::Number(number)) => unit.from_coherent(*number).ok(),
                _ => None,
            };
            result.is_some_and(|number| step.rounding.of_result(number) != number.settled())
        });
        Self {
            figures: told.iter().map(|slot| figures_of(draw.written.get(*slot))).sum(),
            uneven: u32::try_from(uneven.count()).unwrap_or(u32::MAX),
        }
    }
}

impl Template {
    /// The slots of the values that the working starts from, which a candidate takes over from the
    /// question; none for theory.
    pub fn starts(&self) -> BTreeSet<usize> {
        let steps: BTreeSet<usize> = self.working.iter().map(|step| step.slot).collect();
        let names = self.working.iter().flat_map(|step| step.formula.names());
        names
            .filter_map(|name| self.names.iter().position(|known| known.name == name))
            .filter(|slot| !steps.contains(slot))
            .collect()
    }
}

fn figures_of(value: Option<&Slot>) -> u32 {
    match value {
        Some(Slot::Number(number)) => figures(*number),
        Some(Slot::List(numbers)) => numbers.iter().map(|number| figures(*number)).sum(),
        _ => 0,
    }
}

/// The figures of a number as written: 3 in `0.450`, 2 in `12`.
fn figures(number: Exact) -> u32 {
    let written = number.to_string();
    let digits = written.chars().filter(char::is_ascii_digit);
    u32::try_from(digits.skip_while(|digit| *digit == '0').count().max(1)).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_counted_as_written() {
        for (number, expected) in [("0.450", 3), ("12", 2), ("0", 1), ("-1.05", 3), ("100", 3)] {
            assert_eq!(figures(Exact::parse(number).unwrap()), expected, "{number}");
        }
    }

    #[test]
    fn the_figures_of_a_list_are_those_of_all_its_numbers() {
        let list = ["1.01", "0.80", "12"].map(|text| Exact::parse(text).unwrap()).to_vec();
        assert_eq!(figures_of(Some(&Slot::List(list))), 7);
        assert_eq!(figures_of(Some(&Slot::Number(Exact::parse("4.40").unwrap()))), 3);
        assert_eq!(figures_of(None), 0);
    }

    #[test]
    fn steps_that_come_out_even_are_told_from_those_that_have_to_be_rounded() {
        // 12 of 4.40 g with 300 mg, displacement value 1.6: 3.60 g, 2.25 g, 52.80 g and 50.55 g.
        // 16 of 2.00 g with 300 mg: 4.80 g, divided by 2.80 g/mL are 1.714 mL, and 1.543 g at 0.90 g/mL.
        let bank = Bank::bundled().unwrap();
        let of = |code: &str| {
            let code = crate::draw::Code::parse(code).unwrap();
            let problem = Problem::from_code(&bank, &code).unwrap();
            let template = &problem.template;
            Difficulty::of(template, &template.starts(), &problem.draw, &problem.slots)
        };
        let even = of("base-one-drug.aaaa-aaaaa");
        assert_eq!(even, Difficulty { figures: 10, uneven: 0 });
        assert!(of("base-occupied-volume.vnry-v3cqy").uneven >= 2);
    }

    #[test]
    fn the_numbers_of_a_template_differ_within_bounds() {
        let bank = Bank::bundled().unwrap();
        let template = bank.find("base-one-drug").unwrap();
        let spread = Spread::of(&bank, template).unwrap();
        assert!(spread.least.figures >= 6 && spread.most.figures <= 14, "{spread:?}");
        assert!(spread.most.uneven <= 4, "{spread:?}");
        assert!(spread.band(Alikeness { figures: 0, uneven: 0 }).holds(spread.middle));
        assert_eq!(Spread::of(&bank, template), Ok(spread));
    }

    /// Half of other problems lie below the middle and half above, but for what forty leave open.
    #[test]
    fn the_middle_has_about_as_many_problems_above_it_as_below() {
        let bank = Bank::bundled().unwrap();
        let template = bank.find("base-one-drug").unwrap();
        let middle = Spread::of(&bank, template).unwrap().middle.figures;
        let told = template.starts();
        let figures = (0..200).map(|number| {
            let problem = Problem::draw(&bank, template, number).unwrap();
            Difficulty::of(template, &told, &problem.draw, &problem.slots).figures
        });
        let figures: Vec<u32> = figures.collect();
        let below = figures.iter().filter(|found| **found < middle).count();
        let above = figures.iter().filter(|found| **found > middle).count();
        assert!(below <= 120 && above <= 120, "{below} {above}");
    }

    #[test]
    fn a_band_is_about_the_middle_and_holds_its_borders() {
        let at = |figures, uneven| Difficulty { figures, uneven };
        let spread = Spread { drawn: 40, least: at(5, 0), middle: at(8, 1), most: at(12, 4) };
        let band = spread.band(Alikeness { figures: 2, uneven: 2 });
        assert_eq!((band.least, band.most), (at(6, 0), at(10, 3)));
        for (found, holds) in [
            (at(6, 0), true),
            (at(10, 3), true),
            (at(5, 1), false),
            (at(11, 1), false),
            (at(8, 4), false),
        ] {
            assert_eq!(band.holds(found), holds, "{found:?}");
        }
    }
}
