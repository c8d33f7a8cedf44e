//! Choosing some of several things: how many ways there are, and each way by its number.

/// In how many ways `chosen` of `from` things can be chosen; `None` beyond 128 bits.
pub fn ways(from: usize, chosen: usize) -> Option<u128> {
    if chosen > from {
        return Some(0);
    }
    // Each division comes out even: after `n` factors the product is the ways to choose `n`.
    (0..chosen.min(from - chosen)).try_fold(1_u128, |ways, n| {
        ways.checked_mul((from - n) as u128).map(|product| product / (n as u128 + 1))
    })
}

/// The way of that number, below [`ways`]: the indices of the chosen things, rising.
///
/// The ways are numbered in the order of their indices read as a word: for two of four things 01, 02,
/// 03, 12, 13, 23.
pub fn selection(from: usize, chosen: usize, mut number: u128) -> Vec<usize> {
    let mut indices = Vec::with_capacity(chosen);
    let mut index = 0;
    while indices.len() < chosen && index < from {
        let with = ways(from - index - 1, chosen - indices.len() - 1).unwrap_or(u128::MAX);
        if number < with {
            indices.push(index);
        } else {
            number -= with;
        }
        index += 1;
    }
    indices
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn the_ways_are_the_binomial_coefficients() {
        // NIST Digital Library of Mathematical Functions, table 26.3.1.
        assert_eq!((0..=5).map(|k| ways(5, k).unwrap()).collect::<Vec<_>>(), [1, 5, 10, 10, 5, 1]);
        assert_eq!(ways(10, 4), Some(210));
        assert_eq!(ways(3, 4), Some(0));
        assert_eq!(ways(0, 0), Some(1));
        assert_eq!(ways(1000, 500), None);
    }

    #[test]
    fn every_number_gives_another_way_and_all_are_rising() {
        for from in 0..8 {
            for chosen in 0..=from {
                let count = ways(from, chosen).unwrap();
                let all: BTreeSet<Vec<usize>> =
                    (0..count).map(|number| selection(from, chosen, number)).collect();
                assert_eq!(all.len() as u128, count);
                for indices in &all {
                    assert_eq!(indices.len(), chosen);
                    assert!(
                        indices.is_sorted_by(|a, b| a < b) && indices.iter().all(|p| *p < from)
                    );
                }
            }
        }
    }

    #[test]
    fn the_ways_come_in_the_order_of_words() {
        let pairs: Vec<Vec<usize>> = (0..6).map(|number| selection(4, 2, number)).collect();
        assert_eq!(pairs, [[0, 1], [0, 2], [0, 3], [1, 2], [1, 3], [2, 3]]);
    }
}
