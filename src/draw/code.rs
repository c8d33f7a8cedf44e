//! The code that finds a practice problem again.

use std::fmt;

use super::Seed;

/// A code: the template, and eight letters that choose one of its problems.
///
/// It is printed as `base-one-drug.k7m2-9qfxt`; the last letter is a check. Whoever has the same bank
/// can rebuild the problem from it, so it is for practice and never for a paper.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Code {
    /// The template.
    pub template: String,
    /// Which of its problems: below 2 to the 40.
    pub number: u64,
}

/// Why a text is no code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CodeProblem {
    /// There is no point between the template and the letters.
    NoPoint,
    /// Nothing stands before the point.
    NoTemplate,
    /// There are too few or too many letters.
    Length(usize),
    /// A letter does not belong to the alphabet.
    Letter(char),
    /// The check letter does not fit the others.
    Check,
}

impl fmt::Display for CodeProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPoint => f.write_str(
                "expected a template, a point and nine letters, as in `base-one-drug.k7m2-9qfxt`, \
                 found no point; copy the whole code from the sheet",
            ),
            Self::NoTemplate => f.write_str(
                "expected the name of a template before the point, found nothing; copy the whole \
                 code from the sheet",
            ),
            Self::Length(found) => write!(
                f,
                "expected nine letters after the point, found {found}; copy the whole code from the \
                 sheet"
            ),
            Self::Letter(letter) => write!(
                f,
                "expected letters and digits other than i, o, 0 and 1, found `{letter}`; look at the \
                 code again"
            ),
            Self::Check => f.write_str(
                "the check letter does not fit: one letter is wrong or two are swapped; look at the \
                 code again",
            ),
        }
    }
}

impl std::error::Error for CodeProblem {}

/// The 32 letters; i, o, 0 and 1 are left out since they are taken for one another.
const LETTERS: &[u8; 32] = b"abcdefghjklmnpqrstuvwxyz23456789";

/// How many letters carry the number.
const LENGTH: usize = 8;

impl Code {
    /// How many numbers a code can hold.
    pub const NUMBERS: u64 = 1 << (5 * LENGTH);

    /// The code of a template's problem; the number is taken below [`Code::NUMBERS`].
    pub fn new(template: &str, number: u64) -> Self {
        Self { template: template.to_owned(), number: number % Self::NUMBERS }
    }

    /// Reads a code; capitals, blanks and strokes between the letters do not matter.
    ///
    /// # Errors
    /// When it is no code, or a letter is wrong or two are swapped.
    pub fn parse(text: &str) -> Result<Self, CodeProblem> {
        let (template, letters) = text.trim().rsplit_once('.').ok_or(CodeProblem::NoPoint)?;
        let template = template.trim().to_ascii_lowercase();
        if template.is_empty() {
            return Err(CodeProblem::NoTemplate);
        }
        Ok(Self { template, number: read_letters(letters)? })
    }

    /// The seed of the problem.
    pub fn seed(&self) -> Seed {
        let letters: String = self.letters().iter().map(|value| letter(*value)).collect();
        Seed::derive(b"castmark practice", "castmark draw 1", &[&self.template, &letters])
    }

    fn letters(&self) -> [u8; LENGTH] {
        values(self.number)
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.template, letters(self.number))
    }
}

/// Nine letters for a number below [`Code::NUMBERS`], the last of them a check: `k7m2-9qfxt`.
pub fn letters(number: u64) -> String {
    let values = values(number);
    let mut letters = String::with_capacity(LENGTH + 2);
    for (place, value) in values.iter().chain(&[check_letter(&values)]).enumerate() {
        if place == 4 {
            letters.push('-');
        }
        letters.push(letter(*value));
    }
    letters
}

/// The number of nine letters; capitals, blanks and strokes between them do not matter.
///
/// # Errors
/// When there are not nine of the alphabet, one is wrong or two are swapped.
pub fn read_letters(text: &str) -> Result<u64, CodeProblem> {
    let letters: Vec<char> = text
        .chars()
        .filter(|letter| !matches!(letter, '-' | ' '))
        .map(|letter| letter.to_ascii_lowercase())
        .collect();
    let values: Vec<u8> = letters.iter().map(|letter| value(*letter)).collect::<Result<_, _>>()?;
    let Some((check, number)) = values.split_last().filter(|_| values.len() == LENGTH + 1) else {
        return Err(CodeProblem::Length(letters.len()));
    };
    if check_letter(number) != *check {
        return Err(CodeProblem::Check);
    }
    Ok(number.iter().fold(0, |number, value| number << 5 | u64::from(*value)))
}

/// The values of the letters that carry a number.
fn values(number: u64) -> [u8; LENGTH] {
    std::array::from_fn(|place| {
        let shift = 5 * (LENGTH - 1 - place);
        u8::try_from((number >> shift) & 31).unwrap_or(0)
    })
}

/// The check for values of the alphabet, itself a value.
///
/// The values are taken as numbers of the field of 32 elements and each is multiplied by another
/// power of a generator before they are added: a single wrong letter changes the sum, and so does a
/// swap of any two different letters, up to 31 letters.
fn check_letter(values: &[u8]) -> u8 {
    values.iter().rev().fold(0, |sum, value| double(sum ^ value))
}

/// The letter of a value below 32.
fn letter(value: u8) -> char {
    char::from(LETTERS[usize::from(value & 31)])
}

/// The value of a letter.
fn value(letter: char) -> Result<u8, CodeProblem> {
    LETTERS
        .iter()
        .position(|known| char::from(*known) == letter)
        .and_then(|place| u8::try_from(place).ok())
        .ok_or(CodeProblem::Letter(letter))
}

/// A value times the generator of the field of 32 elements, whose polynomial is x^5 + x^2 + 1.
fn double(value: u8) -> u8 {
    let doubled = value << 1;
    if doubled & 32 == 0 { doubled } else { (doubled ^ 0b10_0101) & 31 }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn check(text: &str, message: &str) {
        assert_eq!(Code::parse(text).unwrap_err().to_string(), message);
    }

    #[test]
    fn is_written_in_two_groups_of_letters() {
        // These letters pin the form of a code, so that printed sheets keep their worth.
        assert_eq!(Code::new("base-one-drug", 0).to_string(), "base-one-drug.aaaa-aaaaa");
        let code = Code::new("base-one-drug", 123_456_789_012);
        assert_eq!(code.to_string(), "base-one-drug.du9k-ugswu");
        assert!(Code::parse("base-one-drug.k7m2-9qfxt").is_ok());
    }

    #[test]
    fn reads_a_code_however_it_is_copied() {
        let code = Code::new("base-one-drug", 123_456_789_012);
        let shown = code.to_string();
        let (template, letters) = shown.split_once('.').unwrap();
        for copied in [
            shown.clone(),
            format!("  {shown} "),
            shown.to_uppercase(),
            format!("{template}.{}", letters.replace('-', "")),
            format!("{template}. {}", letters.replace('-', " ")),
        ] {
            assert_eq!(Code::parse(&copied), Ok(code.clone()), "{copied}");
        }
    }

    #[test]
    fn refuses_what_is_no_code_and_says_why() {
        check(
            "k7m2",
            "expected a template, a point and nine letters, as in `base-one-drug.k7m2-9qfxt`, found no \
             point; copy the whole code from the sheet",
        );
        check(
            ".k7m2-9qfxt",
            "expected the name of a template before the point, found nothing; copy the whole code \
             from the sheet",
        );
        check(
            "base.k7m2",
            "expected nine letters after the point, found 4; copy the whole code from the sheet",
        );
        check(
            "base.k7m2-9qfxtt",
            "expected nine letters after the point, found 10; copy the whole code from the sheet",
        );
        check(
            "base.k7m2-9qf10",
            "expected letters and digits other than i, o, 0 and 1, found `1`; look at the code again",
        );
        check(
            "base.aaaa-aaaab",
            "the check letter does not fit: one letter is wrong or two are swapped; look at the code \
             again",
        );
    }

    #[test]
    fn the_number_is_taken_below_forty_bits() {
        assert_eq!(Code::new("t", Code::NUMBERS + 5).number, 5);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        #[test]
        fn any_wrong_letter_and_any_swap_is_caught(
            number in 0..Code::NUMBERS,
            a in 0_usize..9,
            b in 0_usize..9,
            other in 0_u8..32,
        ) {
            let letters: Vec<char> =
                Code::new("t", number).to_string()[2..].chars().filter(|c| *c != '-').collect();
            let reads = |letters: &[char]| {
                let text: String = letters.iter().collect();
                Code::parse(&format!("t.{text}")).is_ok()
            };
            let mut wrong = letters.clone();
            wrong[a] = letter(other);
            prop_assert_eq!(reads(&wrong), wrong == letters);
            let mut swapped = letters.clone();
            swapped.swap(a, b);
            prop_assert_eq!(reads(&swapped), swapped == letters);
        }

        #[test]
        fn no_text_is_too_odd_to_be_read(text in "\\PC{0,40}") {
            let _ = Code::parse(&text);
        }

        #[test]
        fn what_is_written_is_read_back(number in 0..Code::NUMBERS) {
            let code = Code::new("base-one-drug", number);
            prop_assert_eq!(Code::parse(&code.to_string()), Ok(code));
        }
    }
}
