//! Values that come again and again, each kept once.

use std::borrow::Borrow;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Values, each kept once and known by its number, from 0 in the order in which they came.
///
/// The marks of a large class are millions of lines that say the same few things. A number takes four
/// bytes where a text takes fifty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Pool<T> {
    numbers: BTreeMap<T, u32>,
    values: Vec<T>,
}

/// Texts, each kept once.
pub(super) type Texts = Pool<Arc<str>>;

impl<T: Ord + Clone> Pool<T> {
    /// The number of a value; one that is new is made and kept.
    pub(super) fn number<V: Ord + ?Sized>(&mut self, value: &V, make: impl FnOnce(&V) -> T) -> u32
    where
        T: Borrow<V>,
    {
        if let Some(number) = self.numbers.get(value) {
            return *number;
        }
        // A file is at most a few gigabytes long and cannot hold more values than there are numbers.
        let number = u32::try_from(self.values.len()).unwrap_or(u32::MAX);
        let kept = make(value);
        self.values.push(kept.clone());
        self.numbers.insert(kept, number);
        number
    }

    /// Whether a value is kept.
    pub(super) fn has<V: Ord + ?Sized>(&self, value: &V) -> bool
    where
        T: Borrow<V>,
    {
        self.numbers.contains_key(value)
    }

    /// The value of a number.
    pub(super) fn get(&self, number: u32) -> Option<&T> {
        self.values.get(number as usize)
    }

    /// All values, by their numbers.
    pub(super) fn values(&self) -> &[T] {
        &self.values
    }
}

impl Texts {
    /// The number of a text, which is kept if it is new.
    pub(super) fn text(&mut self, text: &str) -> u32 {
        self.number(text, |text| Arc::from(text))
    }

    /// The text of a number.
    pub(super) fn of(&self, number: u32) -> &str {
        self.get(number).map_or("", |text| text)
    }
}

impl<T> Default for Pool<T> {
    fn default() -> Self {
        Self { numbers: BTreeMap::new(), values: Vec::new() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_kept_once_and_numbered_as_it_came() {
        let mut texts = Texts::default();
        let numbers = ["b", "a", "b", ""].map(|text| texts.text(text));
        assert_eq!(numbers, [0, 1, 0, 2]);
        assert_eq!(numbers.map(|number| texts.of(number)), ["b", "a", "b", ""]);
        assert_eq!(texts.values().len(), 3);
        assert!(texts.has("a") && !texts.has("c"));
        assert_eq!(texts.of(3), "");
    }
}
