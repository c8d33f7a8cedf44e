//! Doing the same to many things at once.

#[cfg(not(target_family = "wasm"))]
use std::{panic, thread};

/// How many threads there are: reading is short, and more would wait for each other.
#[cfg(not(target_family = "wasm"))]
const THREADS: usize = 4;

/// What comes of each item, in the order of the items.
#[cfg(not(target_family = "wasm"))]
pub(crate) fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let share = items.len().div_ceil(THREADS).max(1);
    thread::scope(|scope| {
        let threads: Vec<_> = items
            .chunks(share)
            .map(|items| scope.spawn(|| items.iter().map(&work).collect::<Vec<R>>()))
            .collect();
        let done = threads
            .into_iter()
            .map(|thread| thread.join().unwrap_or_else(|it| panic::resume_unwind(it)));
        done.flatten().collect()
    })
}

/// What comes of each item, in the order of the items, one after the other: there are no threads.
#[cfg(target_family = "wasm")]
pub(crate) fn each<T, R>(items: &[T], work: impl Fn(&T) -> R) -> Vec<R> {
    items.iter().map(work).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_the_order_of_the_items() {
        for count in [0, 1, 3, 4, 5, 100] {
            let items: Vec<usize> = (0..count).collect();
            let doubled: Vec<usize> = items.iter().map(|item| item * 2).collect();
            assert_eq!(each(&items, |item| item * 2), doubled);
        }
    }
}
