//! What a sheet may need, made when it is first asked for.

use std::fmt;
use std::ops::Deref;
use std::sync::{Arc, LazyLock};

/// A value that is made when it is first read, and once only however often it is copied.
///
/// A sheet holds more than most layouts show: the answers of every slip, who says what, how a platform
/// marks. What nobody reads is never made.
#[derive(Clone)]
pub struct Lazy<T>(State<T>);

#[derive(Clone)]
enum State<T> {
    /// It is there already.
    Made(T),
    /// It is made when it is read.
    Wanted(Arc<dyn Deref<Target = T> + Send + Sync>),
}

impl<T: Send + Sync + 'static> Lazy<T> {
    /// What this makes, when it is asked for.
    pub fn new(make: impl FnOnce() -> T + Send + Sync + 'static) -> Self {
        Self(State::Wanted(Arc::new(LazyLock::new(make))))
    }
}

impl<T> From<T> for Lazy<T> {
    fn from(made: T) -> Self {
        Self(State::Made(made))
    }
}

impl<T: Default> Default for Lazy<T> {
    fn default() -> Self {
        Self::from(T::default())
    }
}

impl<T> Deref for Lazy<T> {
    type Target = T;

    fn deref(&self) -> &T {
        match &self.0 {
            State::Made(made) => made,
            State::Wanted(wanted) => wanted,
        }
    }
}

impl<T: Clone + Send + Sync + 'static> Lazy<T> {
    /// The same, changed; the change too is made when it is asked for.
    #[must_use]
    pub fn changed(self, change: impl FnOnce(&mut T) + Send + Sync + 'static) -> Self {
        Self::new(move || {
            let mut made = T::clone(&self);
            change(&mut made);
            made
        })
    }
}

impl<T: fmt::Debug> fmt::Debug for Lazy<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        T::fmt(self, f)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU32, Ordering};

    use super::*;

    #[test]
    fn a_value_is_made_once_and_only_if_it_is_read() {
        static MADE: AtomicU32 = AtomicU32::new(0);
        let made = || MADE.load(Ordering::SeqCst);
        let one = Lazy::new(|| MADE.fetch_add(1, Ordering::SeqCst) + 7);
        let other = one.clone();
        assert_eq!(made(), 0);
        assert_eq!((*one, *other, made()), (7, 7, 1));
    }

    #[test]
    fn a_change_is_made_when_the_value_is_read() {
        let words = Lazy::from(vec!["base"]).changed(|words| words.push("drug"));
        assert_eq!(*words, ["base", "drug"]);
    }
}
