//! Doing the same to many things with as many hands as the machine has.

use std::num::NonZero;
use std::{panic, thread};

/// What comes of each item, in the order of the items.
pub(super) fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let hands = thread::available_parallelism().map_or(1, NonZero::get);
    let share = items.len().div_ceil(hands).max(1);
    thread::scope(|scope| {
        let hands: Vec<_> = items
            .chunks(share)
            .map(|share| scope.spawn(|| share.iter().map(&work).collect::<Vec<R>>()))
            .collect();
        let done = hands
            .into_iter()
            .map(|hand| hand.join().unwrap_or_else(|panic| panic::resume_unwind(panic)));
        done.flatten().collect()
    })
}
