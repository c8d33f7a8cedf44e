//! What marking finds of an answer of theory, in words.

use super::Reason;

/// The sentence for a reason of theory; none for any other.
pub(super) fn theory_sentence(reason: &Reason) -> Option<String> {
    Some(match reason {
        Reason::RightOptions { letters, because } => {
            let are = if letters.len() == 1 { "is" } else { "are" };
            spaced(&format!("{} {are} right.", listed(letters)), because)
        }
        Reason::WrongOption { letter, because } => {
            spaced(&format!("{letter} is not what is asked for."), because)
        }
        Reason::Missed(1) => "One more option is right.".to_owned(),
        Reason::Missed(count) => format!("{count} more options are right."),
        Reason::Judged { right: true } => "True or false is judged rightly.".to_owned(),
        Reason::Judged { right: false } => {
            "True or false is judged wrongly, so the reason is not looked at.".to_owned()
        }
        Reason::ReasonGiven { right: true } => "The reason is right.".to_owned(),
        Reason::ReasonGiven { right: false } => {
            "The reason does not belong to this statement.".to_owned()
        }
        Reason::NoReasonGiven => "The letter of the reason is missing.".to_owned(),
        Reason::Pairs { right, of, wrong, empty } => pairs(*right, *of, wrong, empty),
        Reason::Neighbours { right, of } if right == of => "The order is right.".to_owned(),
        Reason::Neighbours { right, of } => format!(
            "{right} of {of} lines stand straight after the one they follow. Ask of each line what it needs to have been done before."
        ),
        Reason::RightTerm { term } => format!("It is {term}."),
        Reason::Spelling { term } => format!("Taken as {term}; look at the spelling."),
        Reason::OtherTerm { term } => format!("{term} is something else."),
        Reason::NotTheTerm { answer } => format!("{answer} is not what is asked for."),
        Reason::PublishedRange { by, accepted: true } => format!("This is the range of the {by}."),
        Reason::PublishedRange { by, accepted: false } => {
            format!("This is the range of the {by}; the question asks for that of another source.")
        }
        Reason::Ends { lower: true, upper: true } => "Both ends are right.".to_owned(),
        Reason::Ends { lower: false, upper: false } => "Neither end is right.".to_owned(),
        Reason::Ends { lower: true, .. } => "The lower end is right, the upper is not.".to_owned(),
        Reason::Ends { .. } => "The upper end is right, the lower is not.".to_owned(),
        Reason::ByHand => {
            "A written answer is marked by hand, point by point, against the key.".to_owned()
        }
        Reason::NotReadAs { expected } => {
            format!("The answer could not be read: expected {expected}.")
        }
        Reason::Exactly
        | Reason::LegalRounding
        | Reason::WithinTolerance
        | Reason::Converted { .. }
        | Reason::UnitMissing { .. }
        | Reason::FewPlaces { .. }
        | Reason::WrongUnit { .. }
        | Reason::WrongDimension { .. }
        | Reason::PowerOfTen(_)
        | Reason::TooCoarse { .. }
        | Reason::CutShort { .. }
        | Reason::Sign
        | Reason::Slip { .. }
        | Reason::TwoSlips { .. }
        | Reason::Follows
        | Reason::FollowsWorking
        | Reason::FollowsTrivially
        | Reason::FollowsSenselessly
        | Reason::WorkingWrong { .. }
        | Reason::CountedInQuestion(_)
        | Reason::CountedInPaper(_)
        | Reason::Unexplained { .. }
        | Reason::OutOfRange { .. }
        | Reason::NotRead(_)
        | Reason::NoSuchPart => return None,
    })
}

/// Two sentences, the second of which may be empty.
fn spaced(first: &str, second: &str) -> String {
    format!("{first} {second}").trim_end().to_owned()
}

/// Words of a sentence: `1, 2 and 3`.
fn listed<T: std::fmt::Display>(items: &[T]) -> String {
    let items: Vec<String> = items.iter().map(ToString::to_string).collect();
    match items.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn pairs(right: usize, of: usize, wrong: &[usize], empty: &[usize]) -> String {
    let mut text = format!("{right} of {of} lines are right.");
    for (lines, what) in [(wrong, "wrong"), (empty, "empty")] {
        if !lines.is_empty() {
            let (noun, are) = if lines.len() == 1 { ("Line", "is") } else { ("Lines", "are") };
            text = format!("{text} {noun} {} {are} {what}.", listed(lines));
        }
    }
    text
}
