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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::SlipVerdict;

    /// Four verdicts: the first is right, the second another legal rounding's; one slip leads to the
    /// first, one to the third, and two to the fourth.
    fn key() -> VerdictKey {
        let slip = |slip, option| SlipVerdict { slip, option };
        VerdictKey {
            options: ["passes", "passes barely", "fails", "fails by far"]
                .map(str::to_owned)
                .to_vec(),
            right: 0,
            legal: vec![0, 1],
            because: String::new(),
            slips: vec![slip(0, 0), slip(1, 2), slip(2, 3), slip(3, 3)],
        }
    }

    fn pieces(right: &[usize], wrong: &[usize]) -> Finding {
        let (right, wrong) = (right.to_vec(), wrong.to_vec());
        Finding::Pieces(Pieces::Options { right, wrong, rights: 1, wrongs: 3, several: false })
    }

    #[test]
    fn a_verdict_is_right_where_legal_rounding_leads_to_it() {
        for (answer, right, wrong) in [
            ("A", &[0][..], &[][..]),
            ("B", &[1], &[]),
            ("passes", &[0], &[]),
            ("D", &[], &[3]),
            ("A C", &[0], &[2]),
            ("B D", &[1], &[3]),
            ("C D", &[], &[2, 3]),
        ] {
            assert_eq!(find_conclusion(&key(), answer).1, pieces(right, wrong), "{answer}");
        }
    }

    #[test]
    fn a_slip_is_told_only_of_a_wrong_verdict_that_no_other_leads_to() {
        let slip = Cause::Slip { slip: 1, power: 0, keeps_method: false };
        assert_eq!(find_conclusion(&key(), "C").1, Finding::Known(vec![slip]));
        for (key, answer) in [
            (key(), "A"),
            (key(), "D"),
            // What is legal is right without being the verdict of the numbers as they are.
            (VerdictKey { right: 1, legal: vec![0, 1], ..key() }, "A"),
            (VerdictKey { right: 0, legal: Vec::new(), ..key() }, "A"),
        ] {
            assert!(matches!(find_conclusion(&key, answer).1, Finding::Pieces(_)), "{answer}");
        }
    }
}
