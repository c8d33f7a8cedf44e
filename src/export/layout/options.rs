//! How a document is to look, as far as it is not the business of a layout.

#[cfg(feature = "pdf")]
use crate::export::OwnFont;
use crate::export::layout::{ExportError, Layout};

/// How a sheet is to look, as far as it is not the layout's business.
#[derive(Clone, Debug)]
pub struct Options {
    /// The paper it is printed on; for formats with pages.
    pub paper: PaperSize,
    /// How large the letters are printed; for formats with pages.
    pub type_size: TypeSize,
    /// Characters in a line; for plain text. Below 30 is taken as 30.
    pub width: usize,
    /// A layout of one's own, from [`Exporter::layout`](crate::export::Exporter::layout).
    pub layout: Option<Layout>,
    /// A font beside those in the program, for PDF.
    #[cfg(feature = "pdf")]
    pub font: Option<OwnFont>,
}

impl Options {
    /// Refuses a layout of one's own where the format takes none.
    pub(in crate::export) fn without_layout(
        &self,
        format: &'static str,
    ) -> Result<(), ExportError> {
        if self.layout.is_some() { Err(ExportError::NoLayouts(format)) } else { Ok(()) }
    }
}

impl Default for Options {
    fn default() -> Self {
        Self {
            paper: PaperSize::A4,
            type_size: TypeSize::Normal,
            width: 80,
            layout: None,
            #[cfg(feature = "pdf")]
            font: None,
        }
    }
}

/// The paper a sheet is printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PaperSize {
    /// 210 mm by 297 mm, ISO 216.
    #[default]
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

impl PaperSize {
    /// Every size.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The size of that name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|size| size.name() == name)
    }

    /// The word a person asks for it by, and the one page rules know: `A4`, `letter`.
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "letter",
        }
    }
}

/// How large the letters are printed. Larger sizes flow anew; they are not the small page enlarged.
///
/// Clear print is 12 pt or more and ideally 14, large print 16 pt or more and ideally 18 (UK
/// Association for Accessible Formats, G003 Creating clear print and large print documents).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TypeSize {
    /// 11 pt.
    #[default]
    Normal,
    /// 14 pt.
    Clear,
    /// 18 pt, without serifs.
    Large,
    /// 24 pt, without serifs.
    Largest,
}

impl TypeSize {
    /// Every size, small to large.
    pub const ALL: [Self; 4] = [Self::Normal, Self::Clear, Self::Large, Self::Largest];

    /// The word a person asks for it by: `large`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Clear => "clear",
            Self::Large => "large",
            Self::Largest => "largest",
        }
    }

    /// The size of the running text in points.
    pub fn points(self) -> u32 {
        match self {
            Self::Normal => 11,
            Self::Clear => 14,
            Self::Large => 18,
            Self::Largest => 24,
        }
    }
}
