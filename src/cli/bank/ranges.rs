//! How far wrong methods and accepted answers lie from the answers of a template.

use std::collections::BTreeMap;

use castmark::bank::{Template, WIDEST_RANGE};
use castmark::problem::{NumberKey, least_gap};
use castmark::quantity::Exact;

use crate::cli::outcome::Failure;
use crate::cli::table::{Side, Table};
use crate::cli::terminal::Terminal;

use super::proof::Proof;

/// What was seen of the numbers that a template asks for.
#[derive(Debug, Default)]
pub(super) struct Ranges {
    /// The narrowest gap between the accepted range and the answers of a slip.
    narrowest: Option<Narrow>,
    /// For each part, by its index, how far its accepted range reached from the answer at most, in per
    /// cent of the answer.
    reach: BTreeMap<usize, Exact>,
}

/// A slip that comes near the accepted range.
#[derive(Clone, Copy, Debug)]
struct Narrow {
    /// The distance in steps of the rounding asked for.
    gap: Exact,
    /// The slip.
    slip: usize,
    /// The index of the part.
    part: usize,
}

impl Ranges {
    /// Measures the key of one part.
    pub(super) fn note(&mut self, index: usize, key: &NumberKey) {
        if let Some(reach) = percent(key.high.sub(key.exact), key) {
            self.widen(index, reach);
        }
        if let Some(reach) = percent(key.exact.sub(key.low), key) {
            self.widen(index, reach);
        }
        for slip in &key.slips {
            let Some(gap) = key.gap(slip) else { continue };
            if self.narrowest.is_none_or(|narrowest| gap < narrowest.gap) {
                self.narrowest = Some(Narrow { gap, slip: slip.slip, part: index });
            }
        }
    }

    fn widen(&mut self, index: usize, reach: Exact) {
        let widest = self.reach.entry(index).or_insert(reach);
        *widest = reach.max(*widest);
    }

    /// The parts that accept more than they may without saying why, and the slip that comes too near what
    /// is accepted, in words.
    pub(super) fn judge(&self, template: &Template) -> Vec<String> {
        let limit = Exact::whole(WIDEST_RANGE.into());
        let wide = self.reach.iter().filter(|(_, reach)| **reach > limit);
        let unexplained = wide.filter_map(|(index, reach)| {
            let part = template.parts.get(*index)?;
            part.wanted.number()?.wide.is_none().then(|| {
                format!(
                    "part `{}` accepts answers up to {} from the right one; ask for more places, draw \
                     larger numbers, or write under `wide` why it may be more than {WIDEST_RANGE} %",
                    part.id,
                    shown(*reach)
                )
            })
        });
        let near = self.narrowest.filter(|near| near.gap.settled() < least_gap());
        let near = near.and_then(|near| {
            let (slip, part) = (template.slips.get(near.slip)?, template.parts.get(near.part)?);
            Some(format!(
                "slip `{}` comes within {} units of the last place of what part `{}` accepts, less than {}",
                slip.id,
                near.gap.to_places(2),
                part.id,
                least_gap()
            ))
        });
        unexplained.chain(near).collect()
    }

    /// The widest range with its part.
    fn widest(&self) -> Option<(usize, Exact)> {
        let widest = self.reach.iter().max_by_key(|(_, reach)| **reach);
        widest.map(|(index, reach)| (*index, *reach))
    }
}

/// A distance in per cent of the answer; `None` where the answer is zero.
fn percent<E>(distance: Result<Exact, E>, key: &NumberKey) -> Option<Exact> {
    let share = distance.ok()?.div(key.exact.abs()).ok()?;
    share.times_ten_to(2).ok()
}

/// A number of per cent, short enough for a table.
fn shown(percent: Exact) -> String {
    let places = u32::from(percent < Exact::whole(10));
    format!("{} %", percent.to_places(places))
}

/// Prints the table for the templates that ask for numbers and verdicts.
pub(super) fn print(
    proofs: &[(&Template, &Proof)],
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    let mut table = Table::new(&[
        ("template", Side::Left),
        ("widest", Side::Right),
        ("in part", Side::Left),
        ("nearest", Side::Right),
        ("wrong method", Side::Left),
        ("verdicts", Side::Left),
    ]);
    for (template, proof) in proofs {
        let Some((index, reach)) = proof.ranges.widest() else { continue };
        let part = |index: usize| template.parts.get(index).map_or("", |part| part.id.as_str());
        let [nearest, wrong] = proof.ranges.narrowest.map_or_else(Default::default, |near| {
            let slip = template.slips.get(near.slip).map_or("", |slip| slip.id.as_str());
            [near.gap.to_places(1).to_string(), format!("{slip} in {}", part(near.part))]
        });
        table.row([
            template.id.clone(),
            shown(reach),
            part(index).to_owned(),
            nearest,
            wrong,
            proof.verdicts.in_words(),
        ]);
    }
    if table.is_empty() {
        return Ok(());
    }
    terminal.print(table.set(terminal.width()))?;
    terminal.end_line()?;
    Ok(terminal.paragraph(
        0,
        &format!(
            "Widest is how far the range that is marked right reaches from the answer, to one side of it, in \
             per cent of the answer; over {WIDEST_RANGE} % the part has to say why. Nearest is the smallest \
             distance between that range and what a known wrong method leads to by any permitted rounding, \
             in units of the last place asked for; it is at least {}. Verdicts are the shares of the draws \
             in which each is right, in their order.",
            least_gap()
        ),
    )?)
}
