//! How alike in difficulty the problems of a class are kept.

use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::WholeText;
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
    pub(super) fn read(written: Option<&DifficultyText>) -> Checked<Self> {
        let usual = Self::default();
        let Some(DifficultyText { figures, uneven, .. }) = written else { return Ok(usual) };
        let whole = |text: &Option<WholeText<0, WIDEST>>, usual| {
            text.as_ref().map_or(Ok(usual), WholeText::meaning)
        };
        let (figures, uneven) = (whole(figures, usual.figures), whole(uneven, usual.uneven));
        Ok(Self { figures: figures?, uneven: uneven? })
    }
}
