//! One thing asked, and the key to it.

use super::Response;

/// One thing asked.
#[derive(Clone, Debug)]
pub struct Part {
    /// The name of the part in its template.
    pub id: String,
    /// The question.
    pub ask: String,
    /// Marks for this part.
    pub marks: u32,
    /// What is wanted, with its key.
    pub response: Response,
}
