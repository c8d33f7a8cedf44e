//! Marking a verdict that follows from the numbers.

use crate::problem::{Following, VerdictKey, letter};

use super::letters::read_choice;
use super::verdict::{Reason, Standing, Verdict};

/// Marks a verdict, given by its letter or in its own words.
///
/// What several slips lead to shows none of them, so a slip is named only when it is the only one.
pub(super) fn mark_conclusion(key: &VerdictKey, of: u32, answer: &str) -> Verdict {
    let Some(chosen) = read_choice(answer, &key.options) else {
        let last = letter(key.options.len().saturating_sub(1), 'A');
        let expected = format!("the letter of one option from A to {last}, or its words");
        return Verdict::unread(of, Reason::NotReadAs { expected });
    };
    if chosen == key.right || key.legal.contains(&chosen) {
        let letters = vec![letter(chosen, 'A')];
        let reasons = vec![Reason::RightOptions { letters, because: key.because.clone() }];
        return Verdict { standing: Standing::Right, marks: of, of, typed: None, reasons };
    }
    let wrong = Reason::WrongOption { letter: letter(chosen, 'A'), because: String::new() };
    let mut slips = key.slips.iter().filter(|slip| slip.option == chosen);
    let reasons = match (slips.next(), slips.next()) {
        (Some(only), None) => vec![Reason::Slip { slip: only.slip, power: 0 }, wrong],
        _ => vec![wrong],
    };
    Verdict { standing: Standing::Wrong, marks: 0, of, typed: None, reasons }
}

/// Whether a wrong verdict is the one that the candidate's own numbers lead to.
pub(super) fn conclusion_follows(
    part: usize,
    verdict: &Verdict,
    following: &Following<'_>,
) -> bool {
    let chosen = verdict.reasons.iter().find_map(|reason| match reason {
        Reason::WrongOption { letter, .. } => Some(letter),
        _ => None,
    });
    let places = following.verdicts(part).unwrap_or_default();
    chosen.is_some_and(|chosen| places.iter().any(|place| letter(*place, 'A') == *chosen))
}
