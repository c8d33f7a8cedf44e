//! A text of a template taken apart once, so that filling it in is putting pieces together.

/// A piece of a text that does nothing but name values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Piece {
    /// Words that stand as they are.
    Plain(String),
    /// The value of a slot with its unit.
    Value(usize),
    /// The number of a slot alone.
    Number(usize),
    /// The readings of a slot as a table.
    Table(usize),
    /// A text that was drawn, by its name: `drug.name`.
    Drawn(String),
}
