//! Comparing a verdict that follows from the numbers.

use crate::problem::{VerdictKey, letter};

use super::typed::read_options;
use super::{Cause, Finding, Pieces, Understood, Why};

/// What is found of a verdict, given by its letter or in its own words.
///
/// What several slips lead to shows none of them, so a slip is named only when it is the only one.
pub(super) fn find_conclusion(key: &VerdictKey, answer: &str) -> (Understood, Finding) {
    let options: Vec<&str> = key.options.iter().map(String::as_str).collect();
    let Some(indices) = read_options(answer, &options, false) else {
        let last = letter(key.options.len().saturating_sub(1), 'A');
        let expected = format!("the letter of one option from A to {last}, or its words");
        return (Understood::Nothing, Finding::Unread(Why::Expected(expected)));
    };
    let wrongs = key.options.len().saturating_sub(1);
    let [chosen] = *indices.as_slice() else {
        let is_right = |index: &usize| *index == key.right || key.legal.contains(index);
        let (right, wrong) = indices.iter().copied().partition(is_right);
        let pieces = Pieces::Options { right, wrong, rights: 1, wrongs, several: false };
        return (Understood::Options(indices), Finding::Pieces(pieces));
    };
    let is_right = chosen == key.right || key.legal.contains(&chosen);
    let mut slips = key.slips.iter().filter(|slip| slip.option == chosen);
    let finding = match (slips.next(), slips.next()) {
        (Some(only), None) if !is_right => {
            Finding::Known(vec![Cause::Slip { slip: only.slip, power: 0, keeps_method: false }])
        }
        _ => {
            let (right, wrong) =
                if is_right { (vec![chosen], Vec::new()) } else { (Vec::new(), vec![chosen]) };
            Finding::Pieces(Pieces::Options { right, wrong, rights: 1, wrongs, several: false })
        }
    };
    (Understood::Options(vec![chosen]), finding)
}
