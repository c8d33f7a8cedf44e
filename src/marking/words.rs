//! What marking finds of an answer of theory, in words.

use crate::problem::{Problem, Response, VerdictKey, letter};
use crate::words::listed;

use super::order::Concordance;
use super::{Explanation, Item, Pieces, ReasonFound};

/// What is said of the pieces of an answer, the most telling first.
pub(super) fn pieces_explained(problem: &Problem, item: Item, pieces: &Pieces) -> Vec<Explanation> {
    match pieces {
        Pieces::Options { right, wrong, several: false, .. } if right.len() + wrong.len() > 1 => {
            vec![said("several-options", "The question asks for one letter only.".to_owned())]
        }
        Pieces::Options { right, wrong, rights, .. } => {
            options(problem, item, right, wrong, rights.saturating_sub(right.len()))
        }
        Pieces::Judged { truth: false, reason: ReasonFound::NotAsked } => {
            vec![said("judged", "The choice of true or false is not correct.".to_owned())]
        }
        Pieces::Judged { truth: false, .. } => vec![said(
            "judged",
            "The choice of true or false is not correct, so the reason is not marked.".to_owned(),
        )],
        Pieces::Judged { truth: true, reason } => {
            let judged = said("judged", "The choice of true or false is correct.".to_owned());
            let text = match reason {
                ReasonFound::NotAsked => return vec![judged],
                ReasonFound::Right => "The reason is correct.",
                ReasonFound::Wrong => "The reason does not belong to this statement.",
                ReasonFound::Several => "The question asks for one reason only.",
                ReasonFound::Missing => "The letter of the reason is missing.",
            };
            vec![judged, said("reason", text.to_owned())]
        }
        Pieces::Lines { of, wrong, empty } => vec![said("lines", lines(*of, wrong, empty))],
        Pieces::Order { pairs, missing } => vec![said("order", order(*pairs, *missing))],
        Pieces::Ends { alone: true, lower, upper } => {
            let end = match (lower, upper) {
                (true, _) => " The lower end is correct.",
                (_, true) => " The upper end is correct.",
                (false, false) => "",
            };
            vec![said("ends", format!("You gave one number; a range has two ends.{end}"))]
        }
        Pieces::Ends { lower, upper, .. } => {
            let text = match (lower, upper) {
                (true, true) => "Both ends are correct.",
                (false, false) => "Neither end is correct.",
                (true, false) => "The lower end is correct, the upper is not.",
                (false, true) => "The upper end is correct, the lower is not.",
            };
            vec![said("ends", text.to_owned())]
        }
        Pieces::Points { made, wanted } => {
            vec![said("points", format!("{made} of {wanted} points were made."))]
        }
    }
}

fn options(
    problem: &Problem,
    item: Item,
    right: &[usize],
    wrong: &[usize],
    missed: usize,
) -> Vec<Explanation> {
    let part = match item {
        Item::Part(part) => problem.parts.get(part),
        Item::Step(_) => None,
    };
    let key = match part.map(|part| &part.response) {
        Some(Response::Choice(key)) => key,
        Some(Response::Verdict(key)) => return vec![verdict(key, right, wrong)],
        _ => return Vec::new(),
    };
    let because = |index: &usize| key.options.get(*index).map_or("", |it| it.because.as_str());
    let wrong_option = |index: &usize| {
        // The line of a procedure that is not wrong has no reason of its own.
        let text = format!("{} is not correct. {}", letter(*index, 'A'), because(index));
        said("wrong-option", text.trim_end().to_owned())
    };
    let mut explained: Vec<Explanation> = wrong.iter().map(wrong_option).collect();
    if !right.is_empty() {
        let letters: Vec<String> = right.iter().map(|index| letter(*index, 'A')).collect();
        let are = if letters.len() == 1 { "is" } else { "are" };
        let mut text = format!("{} {are} correct.", listed(&letters, "and"));
        if wrong.is_empty() && missed == 0 {
            for reason in right.iter().map(because).filter(|reason| !reason.is_empty()) {
                text = format!("{text} {reason}");
            }
        }
        explained.push(said("right-options", text));
    }
    if missed > 0 && key.several {
        let text = match missed {
            1 => "One more option is correct.".to_owned(),
            missed => format!("{missed} more options are correct."),
        };
        explained.push(said("missed", text));
    }
    explained
}

/// What is said of a verdict that follows from the numbers.
fn verdict(key: &VerdictKey, right: &[usize], wrong: &[usize]) -> Explanation {
    match (right, wrong) {
        ([index, ..], _) => {
            let text = format!("{} is correct. {}", letter(*index, 'A'), key.because);
            said("right-options", text.trim_end().to_owned())
        }
        (_, [index, ..]) => {
            said("wrong-option", format!("{} is not correct.", letter(*index, 'A')))
        }
        _ => said("missed", "Nothing was chosen.".to_owned()),
    }
}

fn said(kind: &'static str, text: String) -> Explanation {
    Explanation { kind, text, adds: true }
}

fn lines(of: usize, wrong: &[usize], empty: &[usize]) -> String {
    let right = of.saturating_sub(wrong.len() + empty.len());
    let mut text = match right {
        0 => format!("None of the {of} lines is correct."),
        1 => format!("1 of {of} lines is correct."),
        right if right == of => format!("All {of} lines are correct."),
        right => format!("{right} of {of} lines are correct."),
    };
    // Where none is correct, the wrong ones need no list.
    let wrong = if right == 0 { &[] } else { wrong };
    for (lines, what) in [(wrong, "not correct"), (empty, "empty")] {
        if !lines.is_empty() {
            let (noun, are) = if lines.len() == 1 { ("Line", "is") } else { ("Lines", "are") };
            text = format!("{text} {noun} {} {are} {what}.", listed(lines, "and"));
        }
    }
    text
}

fn order(pairs: Concordance, missing: usize) -> String {
    if pairs.is_whole() && missing == 0 {
        return "The order is correct.".to_owned();
    }
    let Concordance { right, wrong, of } = pairs;
    let are = |count: usize| if count == 1 { "is" } else { "are" };
    let mut text = format!(
        "Of {of} pairs of lines, {right} {} in the correct order and {wrong} {} not.",
        are(right),
        are(wrong)
    );
    if missing > 0 {
        let noun = if missing == 1 { "line" } else { "lines" };
        text = format!("{text} {missing} {noun} {} missing.", are(missing));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;
    use crate::draw::Code;

    #[test]
    fn lines_are_counted_and_the_wrong_ones_named() {
        assert_eq!(lines(4, &[], &[]), "All 4 lines are correct.");
        assert_eq!(lines(4, &[2], &[]), "3 of 4 lines are correct. Line 2 is not correct.");
        assert_eq!(
            lines(4, &[1, 3], &[4]),
            "1 of 4 lines is correct. Lines 1 and 3 are not correct. Line 4 is empty."
        );
        assert_eq!(lines(2, &[1, 2], &[]), "None of the 2 lines is correct.");
    }

    #[test]
    fn two_letters_where_one_is_asked_for_are_told_whatever_they_are() {
        let problem =
            Problem::from_code(&Bank::bundled().unwrap(), &Code::new("base-by-its-makeup", 1));
        let problem = problem.unwrap();
        let kinds = |right: &[usize], wrong: &[usize]| {
            let (right, wrong) = (right.to_vec(), wrong.to_vec());
            let pieces = Pieces::Options { right, wrong, rights: 1, wrongs: 3, several: false };
            let said = pieces_explained(&problem, Item::Part(0), &pieces);
            said.iter().map(|one| one.kind).collect::<Vec<_>>()
        };
        assert_eq!(kinds(&[0], &[1]), ["several-options"]);
        assert_eq!(kinds(&[], &[1, 2]), ["several-options"]);
        assert!(!kinds(&[], &[1]).contains(&"several-options"));
    }

    #[test]
    fn a_verdict_is_told_with_its_reason_only_where_it_is_right() {
        let bank = Bank::bundled().unwrap();
        let problem = Problem::from_code(&bank, &Code::new("mould-choice", 1)).unwrap();
        let Response::Verdict(key) = &problem.parts[2].response else { panic!() };
        let told = |right: &[usize], wrong: &[usize]| {
            let said = options(&problem, Item::Part(2), right, wrong, 0);
            said.into_iter().map(|one| (one.kind, one.text)).collect::<Vec<_>>()
        };
        let right = format!("{} is correct. {}", letter(key.right, 'A'), key.because);
        assert!(!key.because.is_empty());
        assert_eq!(told(&[key.right], &[]), [("right-options", right)]);
        assert_eq!(told(&[], &[1]), [("wrong-option", "B is not correct.".to_owned())]);
        assert_eq!(told(&[], &[]), [("missed", "Nothing was chosen.".to_owned())]);
        assert_eq!(options(&problem, Item::Step(0), &[0], &[], 0), []);
    }

    #[test]
    fn an_order_is_right_when_all_its_lines_are_there() {
        let pairs = |right, wrong| Concordance { right, wrong, of: 6 };
        assert_eq!(order(pairs(6, 0), 0), "The order is correct.");
        let told = "Of 6 pairs of lines, 5 are in the correct order and 1 is not.";
        assert_eq!(order(pairs(5, 1), 0), told);
        let told = "Of 6 pairs of lines, 1 is in the correct order and 5 are not.";
        assert_eq!(order(pairs(1, 5), 0), told);
        let told =
            "Of 6 pairs of lines, 3 are in the correct order and 0 are not. 1 line is missing.";
        assert_eq!(order(pairs(3, 0), 1), told);
        let told =
            "Of 6 pairs of lines, 6 are in the correct order and 0 are not. 2 lines are missing.";
        assert_eq!(order(pairs(6, 0), 2), told);
    }

    #[test]
    fn options_are_named_and_what_is_missed_is_counted_where_several_are_asked() {
        let bank = Bank::bundled().unwrap();
        let told = |template: &str, right: &[usize], wrong: &[usize], missed: usize| {
            let problem = Problem::from_code(&bank, &Code::new(template, 1)).unwrap();
            let said = options(&problem, Item::Part(0), right, wrong, missed);
            said.into_iter().map(|one| one.text).collect::<Vec<_>>()
        };
        let several = "true-of-a-base";
        assert_eq!(told(several, &[0], &[], 1), ["A is correct.", "One more option is correct."]);
        let found = told(several, &[0, 2], &[1], 2);
        assert!(found[0].starts_with("B is not correct."), "{found:?}");
        assert_eq!(found[1..], ["A and C are correct.", "2 more options are correct."]);
        // Why an option is right is told when nothing is left to find.
        let found = told(several, &[0], &[], 0);
        assert!(found.len() == 1 && found[0].len() > "A is correct. ".len(), "{found:?}");
        assert_eq!(told(several, &[0], &[], 1)[0], "A is correct.");
        let found = told("base-by-its-makeup", &[], &[1], 1);
        assert!(found.len() == 1 && found[0].starts_with("B is not correct."), "{found:?}");
    }
}
