//! A watch on layouts of one's own: whatever one does, it takes no more than so much time and memory.
//!
//! The library of layouts counts what a layout does, but not all of it: it walks to a letter of a long
//! text, or writes a list into a text, for nothing. What takes too much all the same ends the program,
//! which leaves no output half written.

use std::any::Any;
use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, Once, PoisonError};
use std::time::{Duration, Instant};
use std::{fs, process, thread};

/// How long a layout may take for one document.
const LONGEST: Duration = Duration::from_secs(8);

/// How much memory it may take for one, where the system tells it.
const MOST_MEGABYTES: u64 = 500;

/// How often is looked.
const PAUSE: Duration = Duration::from_millis(5);

/// The documents that are being made.
static BEGUN: Mutex<Begun> = Mutex::new(Begun { next: 0, all: BTreeMap::new() });

struct Begun {
    next: u64,
    /// When each was begun, and how much memory was held then.
    all: BTreeMap<u64, (Instant, u64)>,
}

/// Watches over a document until it is let go.
pub(super) fn watch() -> Box<dyn Any> {
    static WATCHING: Once = Once::new();
    WATCHING.call_once(|| drop(thread::spawn(look)));
    let mut begun = begun();
    let number = begun.next;
    begun.next += 1;
    begun.all.insert(number, (Instant::now(), megabytes(None).unwrap_or_default()));
    Box::new(Watched(number))
}

struct Watched(u64);

impl Drop for Watched {
    fn drop(&mut self) {
        begun().all.remove(&self.0);
    }
}

fn begun() -> MutexGuard<'static, Begun> {
    BEGUN.lock().unwrap_or_else(PoisonError::into_inner)
}

fn look() {
    loop {
        thread::sleep(PAUSE);
        let begun = begun();
        let Some((first, _)) = begun.all.values().next() else { continue };
        let held = megabytes(None).unwrap_or_default();
        let least = begun.all.values().map(|(_, held)| *held).min().unwrap_or(held);
        if first.elapsed() > LONGEST || held.saturating_sub(least) > MOST_MEGABYTES {
            // Nothing can be handed to whoever waits for the document.
            let seconds = LONGEST.as_secs();
            eprintln!(
                "castmark: the layout takes more than {seconds} seconds or {MOST_MEGABYTES} MB for one \
                 document; let it repeat less"
            );
            process::exit(2);
        }
    }
}

/// How much memory a process holds, or this one, where the system tells it.
pub(super) fn megabytes(process: Option<u32>) -> Option<u64> {
    /// The size of a page of memory, in which the system counts.
    const PAGE: u64 = 4_096;
    let process = process.map_or_else(|| "self".to_owned(), |number| number.to_string());
    let pages = fs::read_to_string(format!("/proc/{process}/statm")).ok()?;
    // The second number is what is held.
    let pages: u64 = pages.split(' ').nth(1)?.parse().ok()?;
    Some(pages * PAGE / 1_000_000)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_document_is_watched_until_it_is_let_go() {
        let watched = watch();
        let number = begun().next - 1;
        assert!(begun().all.contains_key(&number));
        drop(watched);
        assert!(!begun().all.contains_key(&number));
        assert!(!cfg!(target_os = "linux") || megabytes(None).is_some_and(|held| held > 0));
    }
}
