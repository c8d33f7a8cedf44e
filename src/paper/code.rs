//! The code printed on a paper.

use std::fmt;

use crate::draw::{Code, CodeProblem, Permutation, Seed, letters, read_letters};

use super::Secret;

/// What names a paper of a set: nine letters of which the last is a check.
///
/// It says nothing of the problems. Which letters a paper has is drawn under the secret, and no two
/// papers of a set have the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct PaperCode(u64);

impl PaperCode {
    /// The code of the paper of that number in a set; `None` when there are not so many codes.
    pub(super) fn new(secret: &Secret, blueprint: &str, number: u64) -> Option<Self> {
        let seed = Seed::derive(secret.key(), "castmark paper code 1", &[blueprint]);
        let order = Permutation::new(&seed, u128::from(Code::NUMBERS));
        u64::try_from(order.at(u128::from(number))?).ok().map(Self)
    }

    /// Reads a code; capitals, blanks and strokes between the letters do not matter.
    ///
    /// # Errors
    /// When there are not nine letters, one is wrong or two are swapped.
    pub fn parse(text: &str) -> Result<Self, CodeProblem> {
        read_letters(text.trim()).map(Self)
    }
}

impl fmt::Display for PaperCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&letters(self.0))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn no_two_papers_of_a_set_have_the_same_code() {
        let secret = Secret::new([3; 32]);
        let codes: BTreeSet<PaperCode> =
            (0..500).filter_map(|number| PaperCode::new(&secret, "spring", number)).collect();
        assert_eq!(codes.len(), 500);
    }

    #[test]
    fn what_is_printed_is_read_back_and_a_slip_of_the_pen_is_not() {
        let code = PaperCode::new(&Secret::new([3; 32]), "spring", 0).unwrap();
        let printed = code.to_string();
        assert_eq!(PaperCode::parse(&printed.to_uppercase()), Ok(code));
        let swapped: String = {
            let mut letters: Vec<char> = printed.chars().collect();
            let at = (0..3).find(|n| letters[*n] != letters[n + 1]).unwrap();
            letters.swap(at, at + 1);
            letters.into_iter().collect()
        };
        assert_eq!(PaperCode::parse(&swapped), Err(CodeProblem::Check));
    }
}
