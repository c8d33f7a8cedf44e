//! A keyed rearrangement of all numbers below a bound.

use super::Seed;
use super::Stream;

/// A bijection of the numbers from 0 to `size - 1`, chosen by a seed.
///
/// Candidate number `i` of a class takes the place `at(i)` of a space of draws: no two candidates
/// can meet, nothing need be remembered, and a late candidate changes nobody else's place.
///
/// Inside is a balanced Feistel network over the smallest even number of bits that holds the size,
/// which is a bijection whatever its rounds do. Its results beyond the size are sent round again
/// until they fall inside, which keeps it one.
#[derive(Debug)]
pub struct Permutation {
    size: u128,
    half: u32,
    keys: Vec<Seed>,
}

/// Enough rounds that no pattern of the input shows; four are the proven minimum for a network
/// whose rounds are pseudorandom (Luby and Rackoff 1988).
const ROUNDS: usize = 8;

impl Permutation {
    /// The rearrangement of `size` numbers under the seed.
    pub fn new(seed: &Seed, size: u128) -> Self {
        let bits = u128::BITS - size.saturating_sub(1).leading_zeros();
        let keys = (0..ROUNDS)
            .map(|round| Seed::derive(seed.bytes(), "castmark order 1", &[&round.to_string()]))
            .collect();
        Self { size, half: bits.div_ceil(2).max(1), keys }
    }

    /// Where the number goes; `None` when it is not below the size.
    pub fn at(&self, number: u128) -> Option<u128> {
        if number >= self.size {
            return None;
        }
        let mut number = self.once(number);
        // The network has fewer than four times as many numbers as the size, so this ends soon; it
        // ends in any case, since walking on from a number inside comes back to it.
        while number >= self.size {
            number = self.once(number);
        }
        Some(number)
    }

    fn once(&self, number: u128) -> u128 {
        let mask = u128::MAX >> (u128::BITS - self.half);
        let (mut left, mut right) = (number >> self.half, number & mask);
        for key in &self.keys {
            // The half selects one of 2^64 streams of the round's key, and its first word is the
            // round's value: a pseudorandom function of the half.
            let selected = u64::try_from(right).unwrap_or(u64::MAX);
            let value = u128::from(Stream::numbered(key, selected).word()) & mask;
            (left, right) = (right, left ^ value);
        }
        left << self.half | right
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_order_of_a_seed_never_changes() {
        // tests/reference/random.md: these pin the order, so that papers can be made again, and say
        // that another implementation takes the same way; that it is a good one they cannot say.
        let order = |size| -> Vec<u128> {
            let permutation = Permutation::new(&Seed::from_bytes([7; 32]), size);
            (0..5).map(|n| permutation.at(n).unwrap()).collect()
        };
        assert_eq!(order(1000), [133, 343, 464, 999, 651]);
        assert_eq!(
            order(u128::MAX),
            [
                246_730_064_056_153_953_990_414_894_210_099_859_913,
                332_023_006_256_297_923_043_218_191_355_999_051_365,
                288_397_894_745_168_627_092_431_497_709_350_505_116,
                152_346_668_546_656_256_355_609_429_095_199_119_998,
                266_961_587_339_882_039_953_933_455_854_263_028_225,
            ]
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(12))]

        #[test]
        fn every_number_is_hit_exactly_once(size in 1_u128..300, key in any::<[u8; 32]>()) {
            let permutation = Permutation::new(&Seed::from_bytes(key), size);
            let hit: BTreeSet<u128> = (0..size).filter_map(|n| permutation.at(n)).collect();
            prop_assert_eq!(hit.len() as u128, size);
            prop_assert!(hit.iter().all(|n| *n < size));
        }

        #[test]
        fn no_two_numbers_of_a_wide_space_meet(
            size in any::<u128>(),
            one in any::<u128>(),
            other in any::<u128>(),
        ) {
            let permutation = Permutation::new(&Seed::from_bytes([5; 32]), size);
            let inside = |number: u128| if size == 0 { 0 } else { number % size };
            let (one, other) = (inside(one), inside(other));
            let (to, to_other) = (permutation.at(one), permutation.at(other));
            prop_assert_eq!(to == to_other, one == other || size == 0);
            prop_assert!(to.is_none_or(|to| to < size));
        }
    }

    #[test]
    fn another_seed_gives_another_order() {
        let order = |byte| -> Vec<u128> {
            let permutation = Permutation::new(&Seed::from_bytes([byte; 32]), 1000);
            (0..20).map(|n| permutation.at(n).unwrap()).collect()
        };
        assert_ne!(order(1), order(2));
        assert_eq!(order(1), order(1));
    }

    #[test]
    fn numbers_beyond_the_size_go_nowhere() {
        let permutation = Permutation::new(&Seed::from_bytes([3; 32]), 10);
        assert_eq!(permutation.at(10), None);
        assert_eq!(Permutation::new(&Seed::from_bytes([3; 32]), 0).at(0), None);
    }

    #[test]
    fn serves_spaces_beyond_64_bits() {
        let size = 1_u128 << 120;
        let permutation = Permutation::new(&Seed::from_bytes([3; 32]), size);
        let hit: BTreeSet<u128> = (0..100).map(|n| permutation.at(n).unwrap()).collect();
        assert_eq!(hit.len(), 100);
        assert!(hit.iter().all(|n| *n < size));
    }
}
