//! What a column of answers holds.

/// What a column holds, by its heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Heading {
    /// The number of the candidate.
    Candidate,
    /// The code of the paper.
    Paper,
    /// The question.
    Question,
    /// The part of the question.
    Part,
    /// The answer to it.
    Answer,
    /// The answers to one part: the question and the part as written.
    Of(String, String),
    /// Why a candidate has no answers.
    Status,
    /// Something that marking does not need.
    Beside,
}

impl Heading {
    /// Reads a heading.
    pub(super) fn read(text: &str) -> Option<Self> {
        let lower = text.trim().to_lowercase();
        Some(match lower.as_str() {
            "candidate" => Self::Candidate,
            "paper" => Self::Paper,
            "question" => Self::Question,
            "part" => Self::Part,
            "answer" => Self::Answer,
            "status" => Self::Status,
            "name" | "group" => Self::Beside,
            _ => {
                let (number, part) = digits_and_letters(&lower)?;
                Self::Of(number.to_string(), part)
            }
        })
    }
}

/// A question and a part written together: `1a`, `Q1(a)`, `1 a`, `2`.
pub(in super::super) fn digits_and_letters(text: &str) -> Option<(usize, String)> {
    let text = text.trim();
    let text = text.strip_prefix(['q', 'Q']).unwrap_or(text).trim_start();
    let end = text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len());
    let (number, part) = text.split_at(end);
    let part = part.trim_matches(['(', ')', '.', ' ']);
    let plain = part.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '_');
    plain.then_some(())?;
    Some((number.parse().ok()?, part.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_question_and_its_part_are_read_in_the_ways_people_write_them() {
        for text in ["1a", "q1a", "Q1(a)", "1 a", "1.a", " 1 (a) "] {
            assert_eq!(digits_and_letters(text), Some((1, "a".to_owned())), "{text}");
        }
        assert_eq!(digits_and_letters("12"), Some((12, String::new())));
        for text in ["", "a", "a1", "1-a", "1,a", "99999999999999999999999"] {
            assert_eq!(digits_and_letters(text), None, "{text}");
        }
    }

    #[test]
    fn headings_are_known_in_any_case() {
        assert_eq!(Heading::read(" Candidate "), Some(Heading::Candidate));
        assert_eq!(Heading::read("1B"), Some(Heading::Of("1".to_owned(), "b".to_owned())));
        assert_eq!(Heading::read("score"), None);
    }
}
