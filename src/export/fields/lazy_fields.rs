//! A group of fields of which each is made when a layout first reads it.

use std::fmt;
use std::sync::{Arc, OnceLock};

use minijinja::Value;
use minijinja::value::{Enumerator, Object};

/// The fields of a group: the name of each, and how it is made of what the group is about.
pub(super) type Table<T> = &'static [(&'static str, fn(&T) -> Value)];

/// The fields of a table, each made at most once.
pub(super) fn lazy_fields<T: Send + Sync + 'static>(table: Table<T>, of: T) -> Value {
    let made = table.iter().map(|_| OnceLock::new()).collect();
    Value::from_object(LazyFields { table, made, of })
}

struct LazyFields<T: 'static> {
    table: Table<T>,
    made: Box<[OnceLock<Value>]>,
    of: T,
}

impl<T> fmt::Debug for LazyFields<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.table.iter().map(|(name, _)| name)).finish()
    }
}

impl<T: Send + Sync + 'static> Object for LazyFields<T> {
    fn get_value(self: &Arc<Self>, name: &Value) -> Option<Value> {
        self.get_value_by_str(name.as_str()?)
    }

    fn get_value_by_str(self: &Arc<Self>, name: &str) -> Option<Value> {
        let index = self.table.iter().position(|(known, _)| *known == name)?;
        let (_, make) = self.table[index];
        Some(self.made[index].get_or_init(|| make(&self.of)).clone())
    }

    fn enumerate(self: &Arc<Self>) -> Enumerator {
        Enumerator::Values(self.table.iter().map(|(name, _)| Value::from(*name)).collect())
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
        const TABLE: Table<&str> = &[
            ("stem", |of| {
                MADE.fetch_add(1, Ordering::SeqCst);
                Value::from(of.to_uppercase())
            }),
            ("slips", |_| unreachable!("nobody reads it")),
        ];
        let entry = lazy_fields(TABLE, "text");
        let environment = Environment::new();
        let set = |layout| environment.render_str(layout, context! { entry => entry.clone() });
        assert_eq!(set("{{ entry.stem }} {{ entry.stem }}").unwrap(), "TEXT TEXT");
        assert_eq!(MADE.load(Ordering::SeqCst), 1);
        assert_eq!(set("{{ entry.heading is defined }}").unwrap(), "False");
        assert_eq!(set("{{ entry|list|join(' ') }}").unwrap(), "stem slips");
        assert_eq!(MADE.load(Ordering::SeqCst), 1);
    }
}
