//! The stream of random numbers.

use std::fmt;

use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::Seed;

/// Random numbers from a [`Seed`], the same on every machine.
///
/// `ChaCha20` (RFC 8439) from `rand_chacha`, of which only whole 64-bit words are taken; the
/// choosing and shuffling are our own.
pub struct Stream(ChaCha20Rng);

impl fmt::Debug for Stream {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Stream(..)")
    }
}

impl Stream {
    /// The first stream of a seed.
    pub fn new(seed: &Seed) -> Self {
        Self(ChaCha20Rng::from_seed(*seed.bytes()))
    }

    /// Another stream of the same seed, independent of the first.
    pub fn numbered(seed: &Seed, number: u64) -> Self {
        let mut stream = Self::new(seed);
        stream.0.set_stream(number);
        stream.0.set_word_pos(0);
        stream
    }

    /// The next 64 random bits.
    pub fn word(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A number from 0 to `n - 1`, each as likely as any other; 0 when `n` is 0.
    pub fn below(&mut self, n: u64) -> u64 {
        below(n, || self.word())
    }

    /// An index into a list of that length; 0 when it is empty.
    pub fn index(&mut self, length: usize) -> usize {
        // Below a number that is a `usize`, so it is one.
        usize::try_from(self.below(length as u64)).unwrap_or(0)
    }

    /// A number from 0 to `n - 1` for spaces beyond 64 bits; 0 when `n` is 0.
    ///
    /// Below 2 to the 64 it is [`Stream::below`]; above, as many bits as `n - 1` has are drawn until
    /// they are below `n`.
    pub fn below_wide(&mut self, n: u128) -> u128 {
        match u64::try_from(n) {
            Ok(n) => u128::from(self.below(n)),
            Err(_) => below_wide(n, || self.word()),
        }
    }

    /// Puts the items in random order, each order as likely as any other.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        shuffle(items, || self.word());
    }
}

/// Lemire's method (Fast random integer generation in an interval, 2019): the upper half of a wide
/// product, with the few words refused that would favour some numbers.
fn below(n: u64, mut word: impl FnMut() -> u64) -> u64 {
    loop {
        let wide = u128::from(word()) * u128::from(n);
        #[allow(clippy::cast_possible_truncation, reason = "the halves of a 128-bit product")]
        let (low, high) = (wide as u64, (wide >> 64) as u64);
        // The remainder is below n, so most words are settled without a division.
        if low >= n || low >= n.wrapping_neg().checked_rem(n).unwrap_or(0) {
            return high;
        }
    }
}

/// The lowest bits of two words, as many as `n - 1` has, drawn until they are below `n`.
fn below_wide(n: u128, mut word: impl FnMut() -> u64) -> u128 {
    let mask = u128::MAX >> (n - 1).leading_zeros();
    loop {
        let drawn = (u128::from(word()) << 64 | u128::from(word())) & mask;
        if drawn < n {
            return drawn;
        }
    }
}

/// The method of Fisher and Yates, from the last place down.
fn shuffle<T>(items: &mut [T], mut word: impl FnMut() -> u64) {
    for last in (1..items.len()).rev() {
        let chosen = below(last as u64 + 1, &mut word);
        items.swap(last, usize::try_from(chosen).unwrap_or(last));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_chacha::ChaCha8Rng;

    fn hex(bytes: &[u8]) -> String {
        bytes.iter().map(|byte| format!("{byte:02x}")).collect()
    }

    #[test]
    fn the_generator_gives_the_blocks_of_rfc_8439() {
        // RFC 8439, section 2.3.2: key 00..1f, nonce 000000090000004a00000000, counter 1; the
        // generator splits the same sixteen bytes into a 64-bit counter and a 64-bit stream.
        let key: [u8; 32] = std::array::from_fn(|n| u8::try_from(n).unwrap());
        let mut generator = ChaCha20Rng::from_seed(key);
        generator.set_stream(0x4a00_0000);
        generator.set_word_pos(0x0900_0000_0000_0001 * 16);
        let mut block = [0; 64];
        generator.fill_bytes(&mut block);
        assert_eq!(
            hex(&block),
            "10f1e7e4d13b5915500fdd1fa32071c4c7d1f4c733c068030422aa9ac3d46c4e\
             d2826446079faa0914c2d705d98b02a2b5129cd1de164eb9cbd083e8a2503c4e"
        );
        // RFC 8439, appendix A.1, vector 1: everything zero.
        let mut generator = ChaCha20Rng::from_seed([0; 32]);
        generator.fill_bytes(&mut block);
        assert_eq!(
            hex(&block),
            "76b8e0ada0f13d90405d6ae55386bd28bdd219b8a08ded1aa836efcc8b770dc7\
             da41597c5157488d7724e03fb8d84a376a43b8f41518a11cc387b669b2ee6586"
        );
    }

    #[test]
    fn the_sampler_and_the_shuffle_give_the_reference_values() {
        // tests/reference/random.md, worked out by another implementation from the same words.
        let key: [u8; 32] = std::array::from_fn(|n| u8::try_from(n).unwrap());
        let mut eight = ChaCha8Rng::from_seed(key);
        let sample: Vec<u64> = (0..16).map(|_| below(100, || eight.next_u64())).collect();
        assert_eq!(sample, [41, 19, 31, 79, 23, 99, 57, 83, 35, 59, 60, 53, 12, 84, 20, 87]);
        let mut items: Vec<u32> = (0..10).collect();
        shuffle(&mut items, || eight.next_u64());
        assert_eq!(items, [8, 7, 6, 5, 4, 0, 3, 1, 2, 9]);
    }

    #[test]
    fn refuses_the_words_that_would_favour_some_numbers() {
        // 2^64 = 3 * (2^64 - 1)/3 + 1: of all words, only 0 has to be refused for a bound of 3.
        let mut words = [0, u64::MAX].into_iter();
        assert_eq!(below(3, || words.next().unwrap()), 2);
        // The lower half of this one is 1, just what need not be refused: (2^65 + 1) / 3.
        let mut words = [0xaaaa_aaaa_aaaa_aaab].into_iter();
        assert_eq!(below(3, || words.next().unwrap()), 2);
        // For a bound just above half of all words nearly every other word is refused.
        let bound = (1 << 63) + 1;
        let mut words = [0, 2, 3].into_iter();
        assert_eq!(below(bound, || words.next().unwrap()), 1);
    }

    #[test]
    fn the_stream_of_a_seed_never_changes() {
        // tests/reference/random.md: these pin every printed code; a change here needs a new domain
        // label, with the old one kept for old sheets.
        let seed = Seed::derive(b"castmark practice", "castmark draw 1", &["pinned"]);
        let mut first = Stream::new(&seed);
        let mut second = Stream::numbered(&seed, 1);
        let numbers: Vec<u64> = (0..6).map(|_| first.below(1000)).collect();
        let others: Vec<u64> = (0..6).map(|_| second.below(1000)).collect();
        assert_eq!(numbers, [217, 860, 313, 489, 781, 938]);
        assert_eq!(others, [345, 61, 163, 6, 443, 291]);
        let mut items: Vec<u32> = (0..8).collect();
        first.shuffle(&mut items);
        assert_eq!(items, [7, 0, 2, 1, 6, 4, 3, 5]);
    }

    #[test]
    fn every_number_is_about_as_likely_as_any_other() {
        let mut stream = Stream::new(&Seed::from_bytes([7; 32]));
        let mut counts = [0_u32; 7];
        for _ in 0..70_000 {
            counts[usize::try_from(stream.below(7)).unwrap()] += 1;
        }
        assert!(counts.iter().all(|count| (9_600..10_400).contains(count)), "{counts:?}");
    }

    #[test]
    fn a_wide_number_that_is_the_bound_itself_is_drawn_again() {
        let bound = (1_u128 << 64) + 5;
        let mut words = [1, 5, 1, 6, u64::MAX, 4].into_iter();
        assert_eq!(below_wide(bound, || words.next().unwrap()), (1 << 64) + 4);
    }

    #[test]
    fn wide_numbers_stay_below_their_bound_and_reach_high() {
        let bound = (1_u128 << 100) + 12345;
        let mut stream = Stream::new(&Seed::from_bytes([8; 32]));
        let drawn: Vec<u128> = (0..500).map(|_| stream.below_wide(bound)).collect();
        assert!(drawn.iter().all(|n| *n < bound));
        assert!(drawn.iter().any(|n| *n > bound / 10 * 9));
        assert_eq!(stream.below_wide(0), 0);
        assert_eq!(stream.below_wide(1), 0);
    }
}
