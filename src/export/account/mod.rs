//! The account of a marking as bytes: text for a terminal, a web page, and JSON for programs.

mod text;
mod html;
mod json;
mod sheet;

use crate::marking::Account;

pub use sheet::marked_sheet;
pub use text::{account_line_text, account_text};

/// A format of an account.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AccountFormat {
    /// Plain text.
    #[default]
    Text,
    /// A web page with everything in it.
    Html,
    /// JSON with field names that do not change.
    Json,
}

impl AccountFormat {
    /// Every format.
    pub const ALL: [Self; 3] = [Self::Text, Self::Html, Self::Json];

    /// The word a person asks for it by: `html`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Html => "html",
            Self::Json => "json",
        }
    }

    /// The account as the bytes of a file; `width` is for text.
    pub fn export(self, account: &Account, width: usize) -> Vec<u8> {
        match self {
            Self::Text => account_text(account, width, &|_, word| word.to_owned()),
            Self::Html => html::page(account),
            Self::Json => json::document(account),
        }
        .into_bytes()
    }
}
