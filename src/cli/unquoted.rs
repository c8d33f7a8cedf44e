//! Answers with blanks in them that were typed without quotation marks.
//!
//! The shell hands over `3.6 g` as two arguments. They are put together where only that can be meant;
//! where a word could as well be the next answer, the person is asked to use quotation marks.

use castmark::problem::{Problem, Response, letter_index};
use castmark::quantity::{Unit, read_quantity};

/// Words between the ends of a range, or before them.
const RANGE_WORDS: &[&str] = &["to", "and", "-", "–", "between", "from", "+/-", "±"];

/// The most words of a unit: `g per unit`.
const UNIT_WORDS: usize = 3;

/// Words that belong together in one of two ways.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Ambiguous {
    /// What was typed.
    pub(super) typed: String,
}

/// What a name before an answer means: the part it belongs to, none for a step, and where the answer
/// begins.
pub(super) type Named = (Option<usize>, usize);

/// The answers as they are meant, one for each part or step.
///
/// `name_of` gives what the name before an answer means; nothing for one without a name. A step is a
/// number.
pub(super) fn joined(
    problem: &Problem,
    typed: &[String],
    name_of: &dyn Fn(usize, &str) -> Option<Named>,
) -> Result<Vec<String>, Ambiguous> {
    let mut answers = Vec::new();
    let mut rest = typed;
    let mut next = 0;
    while let Some((first, after)) = rest.split_first() {
        let named = name_of(next, first);
        let (part, begin) = match named {
            Some((part, begin)) => (part, begin),
            None => (Some(next), 0),
        };
        next = part.map_or(next, |part| part + 1);
        // Nothing behind the next answer that has a name can belong to this one.
        let unnamed = after.iter().take_while(|word| name_of(next, word).is_none()).count();
        let follower = Follower {
            response: problem.parts.get(next).map(|part| &part.response),
            parts_left: problem.parts.len().saturating_sub(next),
            names_follow: unnamed < after.len(),
        };
        let response = part.and_then(|part| problem.parts.get(part)).map(|part| &part.response);
        let words = &after[..unnamed];
        // What follows `a=` may be more of it or the answer to the next part.
        if let (Some(_), Some(response)) = (named, response) {
            let both = continues(response, words) && unnamed == after.len();
            if both && follower.parts_left > 0 && words.len() < follower.parts_left {
                return Err(Ambiguous {
                    typed: [std::slice::from_ref(first), words].concat().join(" "),
                });
            }
        }
        let taken =
            follower.taken(response, first.get(begin..).unwrap_or_default().trim(), words)?;
        answers.push([std::slice::from_ref(first), &words[..taken]].concat().join(" "));
        rest = &after[taken..];
    }
    Ok(answers)
}

/// Whether the first of these words could be more of an answer of letters.
fn continues(response: &Response, words: &[String]) -> bool {
    let is_short = words.first().is_some_and(|word| word.chars().count() < 3);
    let of_letters = match response {
        Response::Choice(key) => key.several,
        Response::Judgement(_) | Response::Matching(_) | Response::Ordering(_) => true,
        _ => false,
    };
    is_short && of_letters
}

/// What comes after an answer.
struct Follower<'a> {
    /// What the next part wants.
    response: Option<&'a Response>,
    /// How many parts are left.
    parts_left: usize,
    /// Whether another answer with a name follows, so that all words before it may belong to this one.
    names_follow: bool,
}

impl Follower<'_> {
    /// How many of the words that follow belong to an answer that begins so.
    fn taken(
        &self,
        response: Option<&Response>,
        first: &str,
        words: &[String],
    ) -> Result<usize, Ambiguous> {
        let ambiguous = |taken: usize| Ambiguous {
            typed: [&[first.to_owned()], &words[..taken]].concat().join(" "),
        };
        let taken = match response {
            None | Some(Response::Number(_)) => unit_words(first, words),
            Some(Response::Range(_)) => range_words(first, words),
            // The last answer has all that is left.
            Some(_) if self.parts_left == 0 || self.names_follow => return Ok(words.len()),
            // As many words as parts: each is an answer.
            Some(_) if words.len() <= self.parts_left => return Ok(0),
            Some(response) => match self.letters_taken(response, words) {
                Some(taken) => return Ok(taken),
                None => return Err(ambiguous(words.len())),
            },
        };
        let could_be_next = words.first().is_some_and(|word| self.could_be(word));
        if taken > 0 && could_be_next { Err(ambiguous(taken)) } else { Ok(taken) }
    }

    /// How many words that are letters or pairs belong to an answer of letters; nothing where the next
    /// answer is of letters, too.
    fn letters_taken(&self, response: &Response, words: &[String]) -> Option<usize> {
        let is_letter =
            |word: &&String| word.chars().count() == 1 && word.chars().all(char::is_alphabetic);
        let is_pair = |word: &&String| {
            word.starts_with(|c: char| c.is_ascii_digit()) && word.ends_with(char::is_alphabetic)
        };
        let ends_letters = matches!(self.response, Some(Response::Number(_) | Response::Range(_)));
        match response {
            Response::Ordering(key) => {
                let wanted = key.items.len().saturating_sub(1);
                let letters = words.iter().take(wanted).filter(is_letter).count();
                (letters == wanted).then_some(wanted)
            }
            Response::Matching(_) if ends_letters => None,
            Response::Matching(_) => {
                Some(words.iter().take_while(is_pair).count()).filter(|n| *n > 0)
            }
            Response::Judgement(_) => {
                Some(1).filter(|_| words.first().as_ref().is_some_and(is_letter))
            }
            Response::Choice(key) if key.several && ends_letters => {
                Some(words.iter().take_while(is_letter).count())
            }
            _ => None,
        }
    }

    /// Whether a word that is a unit could be the letter that the next part asks for.
    fn could_be(&self, word: &str) -> bool {
        match self.response {
            Some(Response::Choice(key)) => is_letter_below(word, key.options.len()),
            Some(Response::Ordering(key)) => is_letter_below(word, key.items.len()),
            Some(Response::Matching(key)) => is_letter_below(word, key.right.len()),
            _ => false,
        }
    }
}

fn is_letter_below(word: &str, count: usize) -> bool {
    let mut letters = word.chars();
    let only = letters.next().filter(|_| letters.next().is_none());
    only.is_some_and(|letter| letter_index(letter, count).is_some())
}

/// How many words make the unit of a number that has none.
fn unit_words(number: &str, words: &[String]) -> usize {
    if !read_quantity(number).is_ok_and(|typed| typed.unit.is_none()) {
        return 0;
    }
    let most = words.len().min(UNIT_WORDS);
    let is_unit = |count: &usize| Unit::parse(&words[..*count].join(" ")).is_ok();
    // `1` is the unit of a plain number in templates, and a number here.
    let starts_as_number = words.first().is_some_and(|word| read_quantity(word).is_ok());
    if starts_as_number { 0 } else { (1..=most).rev().find(is_unit).unwrap_or(0) }
}

/// How many words belong to a range: numbers, their units and what joins them, with a second number.
fn range_words(first: &str, words: &[String]) -> usize {
    let is_number = |word: &str| read_quantity(word).is_ok();
    let joins = |word: &str| RANGE_WORDS.contains(&word.to_ascii_lowercase().as_str());
    let mut taken = 0;
    let mut before = first;
    let mut numbers = usize::from(is_number(first));
    while let Some(word) = words.get(taken).map(String::as_str) {
        let unit = unit_words(before, &words[taken..]);
        if unit > 0 {
            taken += unit;
            before = "";
        } else if joins(word) && numbers < 2 || is_number(word) && joins(before) {
            numbers += usize::from(is_number(word));
            taken += 1;
            before = word;
        } else {
            break;
        }
    }
    taken
}
