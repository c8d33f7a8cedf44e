//! Doing the same to many things with as many workers as the machine has.

use std::collections::BTreeMap;
use std::num::NonZero;
use std::panic::{self, AssertUnwindSafe};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Condvar, Mutex, PoisonError, mpsc};
use std::thread;

/// How many items may be done, or begun, before the first of them has been handed on: enough that no
/// worker waits for a slow item, and few enough to be held in memory.
const AHEAD: usize = 32;

/// How many workers there are.
fn workers() -> usize {
    thread::available_parallelism().map_or(1, NonZero::get)
}

/// What comes of each item, in the order of the items.
pub(super) fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let share = items.len().div_ceil(workers()).max(1);
    thread::scope(|scope| {
        let workers: Vec<_> = items
            .chunks(share)
            .map(|share| scope.spawn(|| share.iter().map(&work).collect::<Vec<R>>()))
            .collect();
        let done = workers
            .into_iter()
            .map(|worker| worker.join().unwrap_or_else(|panic| panic::resume_unwind(panic)));
        done.flatten().collect()
    })
}

/// Works at each item, and hands on what comes of it in the order of the items, while the workers go on
/// with those that follow.
///
/// # Errors
/// The first that is met, in the order of the items; nothing behind it is handed on.
pub(super) fn in_order<T: Sync, R: Send, E: Send>(
    items: &[T],
    work: impl Fn(&T) -> Result<R, E> + Sync,
    mut hand_on: impl FnMut(R) -> Result<(), E>,
) -> Result<(), E> {
    let next = AtomicUsize::new(0);
    // The index up to which workers may go.
    let (bound, moved) = (Mutex::new(AHEAD), Condvar::new());
    let let_go = |to: usize| {
        *bound.lock().unwrap_or_else(PoisonError::into_inner) = to;
        moved.notify_all();
    };
    let worker = |done: mpsc::Sender<(usize, thread::Result<Result<R, E>>)>| loop {
        let index = next.fetch_add(1, Ordering::Relaxed);
        let Some(item) = items.get(index) else { break };
        let mut limit = bound.lock().unwrap_or_else(PoisonError::into_inner);
        while index >= *limit {
            limit = moved.wait(limit).unwrap_or_else(PoisonError::into_inner);
        }
        drop(limit);
        let made = panic::catch_unwind(AssertUnwindSafe(|| work(item)));
        if done.send((index, made)).is_err() {
            break;
        }
    };
    thread::scope(|scope| {
        let (send, done) = mpsc::channel();
        for _ in 0..workers() {
            let send = send.clone();
            scope.spawn(|| worker(send));
        }
        drop(send);
        let mut waiting = BTreeMap::new();
        let mut handed_on = 0;
        let mut ended = Ok(());
        'all: for (index, made) in &done {
            waiting.insert(index, made);
            while let Some(made) = waiting.remove(&handed_on) {
                let made = made.unwrap_or_else(|panic| {
                    next.store(items.len(), Ordering::Relaxed);
                    let_go(usize::MAX);
                    panic::resume_unwind(panic)
                });
                ended = made.and_then(&mut hand_on);
                if ended.is_err() {
                    break 'all;
                }
                handed_on += 1;
                let_go(handed_on + AHEAD);
            }
        }
        // Whoever still waits finds that there is nothing more to do.
        next.store(items.len(), Ordering::Relaxed);
        drop(done);
        let_go(usize::MAX);
        ended
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_are_handed_on_in_their_order_however_long_each_takes() {
        let items: Vec<u64> = (0..100).collect();
        let slow = |item: &u64| {
            thread::sleep(std::time::Duration::from_micros((item * 7919) % 300));
            Ok::<u64, ()>(item * 2)
        };
        let mut handed_on = Vec::new();
        let ended = in_order(&items, slow, |made| {
            handed_on.push(made);
            Ok(())
        });
        assert_eq!(ended, Ok(()));
        assert_eq!(handed_on, (0..100).map(|item| item * 2).collect::<Vec<u64>>());
    }

    #[test]
    fn the_first_error_in_order_ends_it() {
        let items: Vec<u32> = (0..200).collect();
        let work = |item: &u32| if *item % 50 == 49 { Err(*item) } else { Ok(*item) };
        let mut count = 0;
        let ended = in_order(&items, work, |_| {
            count += 1;
            Ok(())
        });
        assert_eq!((ended, count), (Err(49), 49));
        assert_eq!(in_order(&items, |item| Ok::<_, u32>(*item), Err), Err(0));
    }
}
