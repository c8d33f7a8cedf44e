//! Room for an answer on a sheet.

/// Room for an answer. Options, right-hand sides and items are lettered A, B, C in their order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AnswerSpace {
    /// A number, with room to work.
    Number {
        /// The unit printed beside the answer line; empty for a count or plain number.
        unit: String,
        /// How the answer is to be rounded: `1 decimal place`.
        rounding: String,
    },
    /// One or several of lettered options.
    Options {
        /// The options as shown.
        options: Vec<String>,
        /// Whether several may be right.
        multiple: bool,
    },
    /// A letter for each numbered line.
    Match {
        /// The numbered lines.
        left: Vec<String>,
        /// The lettered choices.
        right: Vec<String>,
        /// Whether a letter may be used more than once.
        again: bool,
    },
    /// True or false, and perhaps the letter of the reason.
    Judgement {
        /// The lettered reasons.
        reasons: Vec<String>,
        /// Whether the reason is asked for.
        with_reason: bool,
    },
    /// Two numbers, from one to the other.
    Range {
        /// The unit printed beside the answer line.
        unit: String,
    },
    /// The letters of the items in the right order.
    Order {
        /// The items as shown.
        items: Vec<String>,
    },
    /// Ruled lines for a written answer.
    Lines {
        /// How many lines.
        count: u32,
    },
    /// One line for a word or two.
    Text,
}
