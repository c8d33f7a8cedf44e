//! How far an order agrees with the right one.
//!
//! The measure is Kendall's rank correlation tau (M. G. Kendall, A New Measure of Rank Correlation,
//! Biometrika 30, 81-93, 1938): of all pairs of lines, those in the right relation less those in the
//! wrong one. Reversed, an order has -1; put at random, 0 on average. A candidate can count it with a
//! pencil. Where two lines may be done either way round, their pair is not counted.

/// The pairs of lines of which one must come before the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Concordance {
    /// Pairs in the right relation.
    pub right: usize,
    /// Pairs in the wrong one.
    pub wrong: usize,
    /// All pairs, with those of lines that were left out.
    pub of: usize,
}

impl Concordance {
    /// Counts the pairs of an order; `before` holds each pair whose first line must come before its
    /// second.
    pub fn of(order: &[usize], before: &[(usize, usize)]) -> Self {
        let rank = |line: usize| order.iter().position(|placed| *placed == line);
        let mut counted = Self { right: 0, wrong: 0, of: before.len() };
        for (first, second) in before {
            match (rank(*first), rank(*second)) {
                (Some(first), Some(second)) if first < second => counted.right += 1,
                (Some(_), Some(_)) => counted.wrong += 1,
                _ => {}
            }
        }
        counted
    }

    /// Returns whether every pair is in the right relation.
    pub fn is_whole(self) -> bool {
        self.right == self.of
    }

    /// The marks in the share that tau is of 1, rounded down and never below zero; one pair in the wrong
    /// relation costs one mark, the least there is.
    pub fn marks(self, of: u32) -> u32 {
        if self.is_whole() {
            return of;
        }
        if self.wrong == 1 && self.right + 1 == self.of {
            return of.saturating_sub(1);
        }
        let agree = self.right.saturating_sub(self.wrong) as u64;
        let marks = (u64::from(of) * agree).checked_div(self.of as u64);
        marks.and_then(|marks| u32::try_from(marks).ok()).unwrap_or(0).min(of.saturating_sub(1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn every_pair(lines: usize) -> Vec<(usize, usize)> {
        (0..lines).flat_map(|first| (first + 1..lines).map(move |second| (first, second))).collect()
    }

    fn every_order(lines: usize) -> Vec<Vec<usize>> {
        if lines == 0 {
            return vec![Vec::new()];
        }
        let shorter = every_order(lines - 1);
        let insert = |order: &Vec<usize>, at: usize| {
            let mut longer = order.clone();
            longer.insert(at, lines - 1);
            longer
        };
        shorter.iter().flat_map(|order| (0..lines).map(move |at| insert(order, at))).collect()
    }

    /// How many orders have 0, 1, 2 and more inversions: a last line put before `n` of the others adds `n`
    /// inversions to those of the shorter order.
    fn orders_by_inversions(lines: usize) -> Vec<usize> {
        let Some(shorter) = lines.checked_sub(1) else { return vec![1] };
        let shorter = orders_by_inversions(shorter);
        let mut longer = vec![0; shorter.len() + lines - 1];
        for (inversions, orders) in shorter.iter().enumerate() {
            for more in 0..lines {
                longer[inversions + more] += orders;
            }
        }
        longer
    }

    #[test]
    fn wrong_pairs_are_counted_as_inversions_are() {
        for lines in 1..=6 {
            let pairs = every_pair(lines);
            let mut found = vec![0; pairs.len() + 1];
            for order in every_order(lines) {
                found[Concordance::of(&order, &pairs).wrong] += 1;
            }
            assert_eq!(found, orders_by_inversions(lines));
        }
    }

    #[test]
    fn one_swapped_pair_of_neighbours_costs_one_mark_and_nonsense_earns_nothing() {
        for lines in 3..=9 {
            let pairs = every_pair(lines);
            for of in 1..=6 {
                let right: Vec<usize> = (0..lines).collect();
                assert_eq!(Concordance::of(&right, &pairs).marks(of), of);
                for at in 1..lines {
                    let mut swapped = right.clone();
                    swapped.swap(at - 1, at);
                    assert_eq!(Concordance::of(&swapped, &pairs).marks(of), of - 1);
                }
                let reversed: Vec<usize> = right.into_iter().rev().collect();
                assert_eq!(Concordance::of(&reversed, &pairs).marks(of), 0);
            }
        }
    }

    #[test]
    fn orders_put_at_random_earn_about_nothing() {
        for (lines, of) in [(4, 2), (5, 3), (6, 4), (7, 4)] {
            let pairs = every_pair(lines);
            let orders = every_order(lines);
            let marks = orders.iter().map(|order| Concordance::of(order, &pairs).marks(of));
            let mut marks: Vec<u32> = marks.collect();
            marks.sort_unstable();
            let sum: u32 = marks.iter().sum();
            let all = of * u32::try_from(marks.len()).unwrap();
            assert!(sum * 10 <= all + all / 10, "{lines} lines: {sum} of {all}");
            assert_eq!(marks[marks.len() / 2], 0, "{lines} lines");
        }
    }

    #[test]
    fn lines_that_may_stand_either_way_round_are_right_both_ways() {
        // 0 before 1 and 2, both before 3; 1 and 2 in any order.
        let before = [(0, 1), (0, 2), (0, 3), (1, 3), (2, 3)];
        for order in [[0, 1, 2, 3], [0, 2, 1, 3]] {
            assert!(Concordance::of(&order, &before).is_whole());
        }
        assert_eq!(Concordance::of(&[1, 0, 2, 3], &before).marks(4), 3);
        assert_eq!(Concordance::of(&[3, 2, 1, 0], &before).marks(4), 0);
    }

    #[test]
    fn a_line_left_out_costs_its_pairs_and_no_others() {
        let pairs = every_pair(6);
        assert_eq!(
            Concordance::of(&[0, 1, 2, 3, 4], &pairs),
            Concordance { right: 10, wrong: 0, of: 15 }
        );
        assert_eq!(Concordance::of(&[0, 1, 2, 3, 4], &pairs).marks(4), 2);
    }

    #[test]
    fn putting_a_pair_right_never_costs_marks() {
        for lines in 3..=6 {
            let pairs = every_pair(lines);
            for order in every_order(lines) {
                for at in 1..lines {
                    let mut better = order.clone();
                    if better[at - 1] > better[at] {
                        better.swap(at - 1, at);
                        let marks = |order: &[usize]| Concordance::of(order, &pairs).marks(4);
                        assert!(marks(&better) >= marks(&order), "{order:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn one_wrong_pair_is_a_swap_only_where_all_others_are_right() {
        let pairs = every_pair(3);
        // The third line is left out: one pair of three is wrong, and none is right.
        assert_eq!(Concordance::of(&[1, 0], &pairs).marks(3), 0);
        // All that is there is in order, and one line is missing.
        assert_eq!(Concordance::of(&[0, 1, 2], &every_pair(4)).marks(4), 2);
    }
}
