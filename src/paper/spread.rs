//! How alike in difficulty the problems of a template are.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::bank::{Bank, Template};
use crate::draw::Seed;
use crate::formula::Slot;
use crate::problem::{DrawProblem, Problem};
use crate::quantity::Exact;

/// How much the problems of a template differ in what makes them hard, over some that were drawn.
///
/// All candidates have the same templates, so the number of steps and what is asked are the same;
/// what is left are the numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// How many problems were looked at.
    pub drawn: u64,
    /// The fewest and the most figures that a candidate has to take over from the question.
    pub figures: (u32, u32),
    /// The fewest and the most steps whose result has more places than are written.
    pub uneven: (u32, u32),
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
        let told = told(template);
        let (mut figures, mut uneven) = ((u32::MAX, 0), (u32::MAX, 0));
        for number in 0..DRAWN {
            let fields = [template.id.as_str(), &number.to_string()];
            let seed = Seed::derive(b"castmark spread", "castmark spread 1", &fields);
            let problem = Problem::from_seed(bank, template, &seed)?;
            widen(
                &mut figures,
                told.iter().map(|slot| figures_of(problem.draw.written.get(*slot))).sum(),
            );
            // A working that cannot be shown is told where it is wanted.
            let rounded = problem.working(bank).unwrap_or_default();
            let rounded = rounded.iter().filter(|step| step.rounded).count();
            widen(&mut uneven, u32::try_from(rounded).unwrap_or(u32::MAX));
        }
        Ok(Self { drawn: DRAWN, figures, uneven })
    }
}

fn widen(range: &mut (u32, u32), number: u32) {
    *range = (range.0.min(number), range.1.max(number));
}

/// The values that the working starts from.
pub(super) fn told(template: &Template) -> BTreeSet<usize> {
    let steps: BTreeSet<usize> = template.working.iter().map(|step| step.slot).collect();
    let names = template.working.iter().flat_map(|step| step.formula.names());
    names
        .filter_map(|name| template.names.iter().position(|known| known.name == name))
        .filter(|slot| !steps.contains(slot))
        .collect()
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
    fn the_numbers_of_a_template_differ_within_bounds() {
        let bank = Bank::bundled().unwrap();
        let spread = Spread::of(&bank, bank.find("base-one-drug").unwrap()).unwrap();
        assert!(spread.figures.0 >= 6 && spread.figures.1 <= 14, "{spread:?}");
        assert!(spread.uneven.0 <= spread.uneven.1 && spread.uneven.1 <= 4, "{spread:?}");
        assert_eq!(Spread::of(&bank, bank.find("base-one-drug").unwrap()), Ok(spread));
    }
}
