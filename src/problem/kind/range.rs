//! The key to two numbers: the case itself.

use crate::bank::RangeCase;

use super::super::Fields;
use super::{AnswerSpace, Key};

impl Key for RangeCase {
    fn answer(&self) -> String {
        format!("{} to {} {}", self.low, self.high, self.unit.symbol()).trim_end().to_owned()
    }

    fn example(&self) -> String {
        format!("20 to 25 {}", self.unit.symbol()).trim_end().to_owned()
    }

    fn space(&self) -> AnswerSpace {
        AnswerSpace::Range { unit: self.unit.symbol() }
    }

    fn seal(&self, into: &mut Fields) {
        into.all("range", [self.low, self.high, self.tolerance]);
        into.put("unit", &self.unit.symbol());
        if self.any_source {
            into.all("published", self.published.iter().flat_map(|(low, high, _)| [low, high]));
        }
    }

    fn sources(&self) -> Vec<&str> {
        vec![&self.source]
    }
}
