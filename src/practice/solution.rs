//! The correct answer in words, with its reason.

use crate::bank::{Bank, Choice};
use crate::problem::{ChoiceKey, Key, Part, Problem, Response, WorkProblem, letter};

/// The correct answer to a part in words and why it is correct, in a few lines: what is said at once
/// after the last try.
///
/// # Errors
/// Returns an error if a sentence of the template cannot be filled in.
pub fn answer_in_words(
    problem: &Problem,
    part: usize,
    step: Option<usize>,
    bank: &Bank,
) -> Result<Vec<String>, WorkProblem> {
    let Some(asked) = problem.parts.get(part) else { return Ok(Vec::new()) };
    if let Some(step) = step {
        if let Some(worked) = problem.working(bank)?.get(step) {
            let answer = asked.response.answer();
            let reason = format!("{}.", worked.equation().text());
            return Ok(vec![format!("The correct answer is {answer}."), reason]);
        }
    }
    Ok(in_words(asked))
}

fn in_words(part: &Part) -> Vec<String> {
    match &part.response {
        Response::Number(_) => vec![format!("The correct answer is {}.", part.response.answer())],
        Response::Verdict(key) => {
            let option = key.options.get(key.right).map_or("", String::as_str);
            let answer = format!("The correct answer is {}: {}", key.answer(), sentence(option));
            vec![format!("{answer} {}", key.because).trim_end().to_owned()]
        }
        Response::Choice(key) => options(key),
        Response::Judgement(key) => {
            let reason = key.right.and_then(|index| Some((index, key.reasons.get(index)?)));
            let reason = reason.map_or(String::new(), |(index, reason)| {
                format!(" Reason {}: {}", letter(index, 'A'), sentence(&reason.text))
            });
            let because = if key.truth { String::new() } else { format!(" {}", key.because) };
            vec![format!("The statement is {}.{because}{reason}", key.truth)]
        }
        Response::Matching(key) => {
            let line = |(line, answer): (usize, &usize)| {
                let (left, right) = (key.left.get(line)?, key.right.get(*answer)?);
                Some(format!("{}. {left}: {}, {}", line + 1, letter(*answer, 'A'), sentence(right)))
            };
            let lines = key.answers.iter().enumerate().filter_map(line);
            std::iter::once("The correct pairs are:".to_owned()).chain(lines).collect()
        }
        Response::Ordering(key) => {
            let line = |(index, item): (usize, &usize)| {
                Some(format!("{}. {}: {}", index + 1, letter(*item, 'A'), key.items.get(*item)?))
            };
            let lines = key.order.iter().enumerate().filter_map(line);
            let first = format!("The correct order is {}:", part.response.answer());
            std::iter::once(first).chain(lines).collect()
        }
        Response::Text(_) => vec![format!("The term is {}.", part.response.answer())],
        Response::Range(_) => vec![format!("The range is {}.", part.response.answer())],
        Response::Written(key) => {
            let points = key.points.iter().map(|point| sentence(&point.text));
            std::iter::once("The points are:".to_owned()).chain(points).collect()
        }
    }
}

fn options(key: &ChoiceKey) -> Vec<String> {
    let right = |(index, option): (usize, &Choice)| {
        let is_right = key.right.get(index) == Some(&true);
        is_right.then(|| format!("{}: {}", letter(index, 'A'), with_reason(option)))
    };
    let rights: Vec<String> = key.options.iter().enumerate().filter_map(right).collect();
    match rights.as_slice() {
        [one] => vec![format!("The correct answer is {one}")],
        _ => std::iter::once("The correct answers are:".to_owned()).chain(rights).collect(),
    }
}

/// `gelatin. It swells in water.`
fn with_reason(option: &Choice) -> String {
    let reason = if option.because == option.text { "" } else { option.because.as_str() };
    format!("{} {reason}", sentence(&option.text)).trim_end().to_owned()
}

fn sentence(text: &str) -> String {
    if text.ends_with(['.', '?', '!']) { text.to_owned() } else { format!("{text}.") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::bundled;

    fn first(template: &str, number: u64, step: Option<usize>) -> Vec<String> {
        let bank = bundled();
        let problem = Problem::draw(bank, bank.find(template).unwrap(), number).unwrap();
        answer_in_words(&problem, 0, step, bank).unwrap()
    }

    #[test]
    fn a_number_comes_with_its_formula_in_words_and_in_numbers() {
        let bank = bundled();
        let code = crate::draw::Code::parse("base-one-drug.aaaa-aaaaa").unwrap();
        let problem = Problem::from_code(bank, &code).unwrap();
        assert_eq!(
            answer_in_words(&problem, 0, Some(0), bank).unwrap(),
            [
                "The correct answer is 3.60 g.",
                "mass of drug = number cast × dose in each unit = 12 × 300 mg = 3.600 g.",
            ]
        );
    }

    #[test]
    fn every_kind_of_theory_is_answered_in_words() {
        for (template, begins) in [
            ("true-of-a-base", "The correct answer"),
            ("statement-on-a-base", "The statement is "),
            ("faults-and-causes", "The correct pairs are:"),
            ("order-of-fusion", "The correct order is "),
            ("uniformity-rules", "The range is "),
            ("ideal-base-list", "The points are:"),
        ] {
            let words = first(template, 5, None);
            assert!(words[0].starts_with(begins), "{template}: {words:?}");
        }
    }
}
