//! A group of fields of which each is made when a layout first reads it.

use std::fmt;
use std::sync::{Arc, OnceLock};

use minijinja::Value;
use minijinja::value::{Enumerator, Object};

/// The fields of those names, made by the function, each at most once.
pub(super) fn lazy_fields(
    names: &'static [&'static str],
    make: impl Fn(&'static str) -> Value + Send + Sync + 'static,
) -> Value {
    let made = names.iter().map(|_| OnceLock::new()).collect();
    Value::from_object(LazyFields { names, made, make })
}

struct LazyFields<F> {
    names: &'static [&'static str],
    made: Box<[OnceLock<Value>]>,
    make: F,
}

impl<F> fmt::Debug for LazyFields<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("LazyFields").field(&self.names).finish()
    }
}

impl<F: Fn(&'static str) -> Value + Send + Sync + 'static> Object for LazyFields<F> {
    fn get_value(self: &Arc<Self>, name: &Value) -> Option<Value> {
        self.get_value_by_str(name.as_str()?)
    }

    fn get_value_by_str(self: &Arc<Self>, name: &str) -> Option<Value> {
        let place = self.names.iter().position(|known| *known == name)?;
        Some(self.made[place].get_or_init(|| (self.make)(self.names[place])).clone())
    }

    fn enumerate(self: &Arc<Self>) -> Enumerator {
        Enumerator::Str(self.names)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU32, Ordering};

    use minijinja::{Environment, context};

    use super::*;

    #[test]
    fn a_field_is_made_when_it_is_read_and_only_once() {
        static MADE: AtomicU32 = AtomicU32::new(0);
        let entry = lazy_fields(&["stem", "slips"], |name| {
            MADE.fetch_add(1, Ordering::SeqCst);
            Value::from(name.to_uppercase())
        });
        let environment = Environment::new();
        let set = |layout| environment.render_str(layout, context! { entry => entry.clone() });
        assert_eq!(set("{{ entry.stem }} {{ entry.stem }}").unwrap(), "STEM STEM");
        assert_eq!(MADE.load(Ordering::SeqCst), 1);
        assert_eq!(set("{{ entry.heading is defined }}").unwrap(), "False");
        assert_eq!(MADE.load(Ordering::SeqCst), 1);
    }
}
