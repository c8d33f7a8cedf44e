//! Why what was typed is no number with a unit.

use std::fmt::{self, Write as _};

use super::LONGEST_ANSWER;

/// Why what was typed is no number with a unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadProblem {
    /// Nothing was typed.
    Empty,
    /// More was typed than an answer can hold.
    TooLong,
    /// There is no digit.
    NoNumber(String),
    /// A comma could be a decimal comma or stand between thousands.
    AmbiguousComma {
        /// What was typed.
        written: String,
        /// The reading with a decimal comma.
        decimal: String,
        /// The reading with groups of thousands.
        grouped: String,
    },
    /// Commas and points do not stand where they can.
    BadNumber(String),
    /// There are more digits than can be held exactly.
    TooManyDigits(String),
    /// A sum, a fraction or a second number.
    SeveralNumbers(String),
    /// The words after the number are no unit.
    UnknownUnit(String),
}

impl fmt::Display for ReadProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => {
                f.write_str("expected a number, found nothing; type one, such as `3.2 g`")
            }
            Self::TooLong => write!(
                f,
                "expected at most {LONGEST_ANSWER} letters, found more; type the answer alone"
            ),
            Self::NoNumber(written) => write!(
                f,
                "expected a number, found `{}`; type it in digits, such as `3.2 g`",
                Plain(written)
            ),
            Self::AmbiguousComma { written, decimal, grouped } => write!(
                f,
                "`{written}` can be read as {decimal} or as {grouped}; write `{decimal}` or `{grouped}`"
            ),
            Self::BadNumber(written) => write!(
                f,
                "expected a number, found `{}`; write digits with one decimal point, such as \
                 `1234.5`",
                Plain(written)
            ),
            Self::TooManyDigits(written) => write!(
                f,
                "expected at most 28 digits, found more in `{}`; round the answer",
                Plain(written)
            ),
            Self::SeveralNumbers(written) => write!(
                f,
                "expected one number, found more in `{}`; work it out and type the result alone",
                Plain(written)
            ),
            Self::UnknownUnit(written) => write!(
                f,
                "expected a unit such as g, mg or mL after the number, found `{}`; correct it \
                 or leave it out",
                Plain(written)
            ),
        }
    }
}

impl std::error::Error for ReadProblem {}

/// Typed text with its control letters made visible, so that an answer out of a file cannot steer
/// the terminal its refusal is shown on.
struct Plain<'a>(&'a str);

impl fmt::Display for Plain<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.chars().try_for_each(|letter| {
            f.write_char(if letter.is_control() { '\u{fffd}' } else { letter })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_letters_are_not_passed_on() {
        assert_eq!(
            ReadProblem::NoNumber("a\u{1b}[2J\u{7}é".to_owned()).to_string(),
            "expected a number, found `a\u{fffd}[2J\u{fffd}é`; type it in digits, such as `3.2 g`"
        );
    }
}
