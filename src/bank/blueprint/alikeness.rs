//! How alike in difficulty the problems of a class are kept.

use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Checked;
use crate::bank::written::blueprint::{DifficultyText, WIDEST};

/// How far the numbers of a problem may lie from the middle of its template in what makes them hard.
///
/// The defaults are common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Alikeness {
    /// The figures to take over from the question.
    pub figures: u32,
    /// The steps whose result does not come out even.
    pub uneven: u32,
}

impl Default for Alikeness {
    fn default() -> Self {
        Self { figures: 2, uneven: 1 }
    }
}

impl Alikeness {
    /// How alike problems are kept; what is not written is as by default.
    pub(in crate::bank) fn read(
        desk: &mut Desk<'_>,
        written: Option<&DifficultyText>,
    ) -> Checked<Self> {
        let usual = Self::default();
        let Some(written) = written else { return Ok(usual) };
        let mut whole = |key: &str, text: &Option<String>, usual: u32| match text {
            Some(text) => desk.whole(&way!["difficulty", key], text, 0, WIDEST),
            None => Ok(usual),
        };
        let figures = whole("figures", &written.figures, usual.figures);
        let uneven = whole("uneven", &written.uneven, usual.uneven);
        Ok(Self { figures: figures?, uneven: uneven? })
    }
}
