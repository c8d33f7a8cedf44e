//! The kinds of documents.

/// What a document is, and the layout it is filled into is of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LayoutKind {
    /// Papers, keys, schemes, slips and all other sheets.
    #[default]
    Sheet,
    /// What a candidate gets back.
    Feedback,
    /// The report of an item analysis.
    Report,
}

impl LayoutKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Sheet, Self::Feedback, Self::Report];

    /// The word for it, with which the name of its layout begins: `feedback`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Feedback => "feedback",
            Self::Report => "report",
        }
    }

    /// The kind that the name of a file tells, without the ending of its format: `ours-feedback` is of
    /// feedback, and what tells nothing is of sheets.
    pub fn of_name(stem: &str) -> Self {
        let told = [Self::Feedback, Self::Report].into_iter();
        told.into_iter().find(|kind| stem.ends_with(kind.name())).unwrap_or_default()
    }
}
