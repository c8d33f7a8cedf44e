//! What is made when it is first asked for.

use std::sync::{Arc, LazyLock};

type Making<T> = Box<dyn FnOnce() -> Option<T> + Send>;

/// A thing that is there already, or is made when it is first asked for. Banks share it.
#[derive(Debug)]
pub(in crate::bank) struct Deferred<T>(Arc<LazyLock<Option<T>, Making<T>>>);

impl<T> Clone for Deferred<T> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<T: Send + 'static> Deferred<T> {
    /// A thing that is there already.
    pub(in crate::bank) fn ready(thing: T) -> Self {
        Self::later(|| Some(thing))
    }

    /// A thing that is made when it is first asked for.
    pub(in crate::bank) fn later(make: impl FnOnce() -> Option<T> + Send + 'static) -> Self {
        Self(Arc::new(LazyLock::new(Box::new(make))))
    }
}

impl<T> Deferred<T> {
    /// The thing; `None` if it could not be made.
    pub(in crate::bank) fn get(&self) -> Option<&T> {
        LazyLock::force(&*self.0).as_ref()
    }
}
