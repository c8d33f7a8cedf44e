//! The kinds of documents.

/// What a document is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DocumentKind {
    /// Papers, keys, schemes, slips and all other sheets.
    #[default]
    Sheet,
    /// The verdicts on the answers to one problem, which no layout is for.
    Account,
    /// What a candidate gets back.
    Feedback,
    /// The report of an item analysis.
    Report,
}

impl DocumentKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Sheet, Self::Account, Self::Feedback, Self::Report];

    /// Those that are filled into a layout.
    pub const LAID_OUT: [Self; 3] = [Self::Sheet, Self::Feedback, Self::Report];

    /// The word for it, with which the name of its layout begins: `feedback`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Account => "account",
            Self::Feedback => "feedback",
            Self::Report => "report",
        }
    }

    /// The kind that the name of a layout tells, without the ending of its format: `ours-feedback` is of
    /// feedback, and what tells nothing is of sheets.
    pub fn of_name(stem: &str) -> Self {
        let told = [Self::Feedback, Self::Report].into_iter();
        told.into_iter().find(|kind| stem.ends_with(kind.name())).unwrap_or_default()
    }
}
