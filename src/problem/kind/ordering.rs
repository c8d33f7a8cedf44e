//! The key to lines to put in order.

use super::super::{Fields, letter};
use super::{AnswerSpace, Key};

/// The key to lines to put in order, which are lettered A, B, C as shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderingKey {
    /// The lines as shown.
    pub items: Vec<String>,
    /// The indices of the items in a right order, the one of the source.
    pub order: Vec<usize>,
    /// The pairs of items, by index, of which the first comes before the second in every right order.
    /// Whatever keeps to them all is right.
    pub before: Vec<(usize, usize)>,
    /// The id of the source.
    pub source: String,
}

impl Key for OrderingKey {
    fn answer(&self) -> String {
        self.order.iter().map(|index| letter(*index, 'A')).collect::<Vec<_>>().join(" ")
    }

    fn example(&self) -> String {
        "B A C".to_owned()
    }

    fn space(&self) -> AnswerSpace {
        AnswerSpace::Order { items: self.items.clone() }
    }

    fn seal(&self, into: &mut Fields) {
        into.all("item", &self.items);
        into.all("place", &self.order);
        let of = self.items.len();
        // Where every pair has its order, the indices say it all.
        if self.before.len() < of * of.saturating_sub(1) / 2 {
            into.all("before", self.before.iter().flat_map(|(one, other)| [one, other]));
        }
    }

    fn sources(&self) -> Vec<&str> {
        vec![&self.source]
    }
}
