//! Hints for every kind of answer.

use crate::bank::{Bank, Choice, TextCase};
use crate::problem::{
    ChoiceKey, JudgementKey, MatchingKey, OrderingKey, Part, Response, VerdictKey, WorkProblem,
    letter,
};

use super::{Exercise, Question};

/// One hint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hint {
    /// The hint, in a sentence or two.
    pub text: String,
    /// Whether it gives something away, so that the problem counts as solved with help.
    pub helps: bool,
    /// The index of the option or reason that it rules out.
    pub rules_out: Option<usize>,
}

impl Hint {
    fn help(text: impl Into<String>) -> Self {
        Self { text: text.into(), helps: true, rules_out: None }
    }

    /// A hint in words, which gives nothing away.
    fn free(text: impl Into<String>) -> Self {
        Self { helps: false, ..Self::help(text) }
    }

    fn ruling_out(index: usize, of: &str, why: &str) -> Self {
        let text = format!("Rule out {of}{}: {}.", letter(index, 'A'), ended(why));
        Self { rules_out: Some(index), ..Self::help(text) }
    }
}

impl Exercise {
    /// The hint that is next for the question asked; `None` if there is no more. For a number these
    /// are the steps towards it, each first in words and then with its numbers; for theory what can be
    /// given away of the answer, a piece at a time.
    ///
    /// # Errors
    /// Returns an error if a sentence of the template cannot be filled in.
    pub fn hint(&self, bank: &Bank) -> Result<Option<Hint>, WorkProblem> {
        let Some(question) = self.question() else { return Ok(None) };
        let (Some(part), given) = (self.part(), self.hints() as usize) else { return Ok(None) };
        if let Some(last) = question.step {
            return self.step_hint(bank, question, last, given);
        }
        Ok(theory_hint(part, given, self.wrong_options()))
    }

    fn step_hint(
        &self,
        bank: &Bank,
        question: Question,
        last: usize,
        given: usize,
    ) -> Result<Option<Hint>, WorkProblem> {
        let index = question.from + given / 2;
        let working = self.problem.working(bank)?;
        let Some(step) = working.get(index).filter(|_| index <= last) else { return Ok(None) };
        if given % 2 == 0 {
            let text = format!("{} In words: {} = {}.", step.say, step.label, step.named.text());
            return Ok(Some(Hint::free(text)));
        }
        // The last of these stops before the result, which is what is asked.
        Ok(Some(Hint::help(if index == last {
            format!("With the numbers: {} = {} = ?", step.label, step.numbered.text())
        } else {
            format!("With the numbers: {}.", step.equation().text())
        })))
    }
}

/// The next hint for an answer that is not a number to work out. Options that the student chose and
/// knows to be wrong are not ruled out again.
fn theory_hint(part: &Part, given: usize, known: &[usize]) -> Option<Hint> {
    match &part.response {
        Response::Number(_) => None,
        Response::Verdict(key) => verdict_hint(key, given),
        Response::Choice(key) => choice_hint(key, given, known),
        Response::Judgement(key) => judgement_hint(key, given),
        Response::Matching(key) => matching_hint(key, given),
        Response::Ordering(key) => ordering_hint(key, given),
        Response::Text(key) => text_hint(key, given),
        Response::Range(key) => (given == 0)
            .then(|| Hint::help(format!("The lower end is {} {}.", key.low, key.unit.symbol()))),
        Response::Written(key) => {
            let point = key.points.get(given).filter(|_| given + 1 < key.points.len());
            point.map(|point| Hint::help(format!("One of the points: {}.", ended(&point.text))))
        }
    }
}

/// How many options are correct where several can be, then one wrong option after the other until a
/// single one is left beside the correct ones.
fn choice_hint(key: &ChoiceKey, given: usize, known: &[usize]) -> Option<Hint> {
    let rights = key.right.iter().filter(|right| **right).count();
    if key.several && given == 0 {
        let are = if rights == 1 { "option is" } else { "options are" };
        return Some(Hint::help(format!("{rights} {are} correct.")));
    }
    let given = given - usize::from(key.several);
    let wrong = |index: &usize| key.right.get(*index) == Some(&false) && !known.contains(index);
    let wrongs: Vec<usize> = (0..key.options.len()).filter(wrong).collect();
    // One wrong option has to stay, or the hint would be the answer.
    let spare = usize::from(known.is_empty());
    let index = *wrongs.get(given).filter(|_| given + spare < wrongs.len())?;
    Some(ruled_out(index, key.options.get(index)?))
}

/// One wrong verdict after the other; where there are only two, that would be the answer.
fn verdict_hint(key: &VerdictKey, given: usize) -> Option<Hint> {
    if given == 0 {
        let text =
            "The verdict follows from the numbers: compare your results with the limits given.";
        return Some(Hint::free(text));
    }
    let wrongs: Vec<usize> = (0..key.options.len()).filter(|index| *index != key.right).collect();
    let index = *wrongs.get(given - 1).filter(|_| given < wrongs.len())?;
    let option = key.options.get(index)?;
    Some(Hint::ruling_out(index, "", option))
}

fn judgement_hint(key: &JudgementKey, given: usize) -> Option<Hint> {
    let wrongs: Vec<usize> =
        (0..key.reasons.len()).filter(|index| Some(*index) != key.right).collect();
    let index = *wrongs.get(given).filter(|_| given + 1 < wrongs.len())?;
    let reason = &key.reasons.get(index)?.text;
    Some(Hint::ruling_out(index, "reason ", reason))
}

fn ruled_out(index: usize, option: &Choice) -> Hint {
    let because = if option.because.is_empty() { &option.text } else { &option.because };
    Hint::ruling_out(index, "", because)
}

fn matching_hint(key: &MatchingKey, given: usize) -> Option<Hint> {
    if given + 1 >= key.left.len() {
        return None;
    }
    let answer = *key.answers.get(given)?;
    Some(Hint::help(format!(
        "Line {}, {}, goes with {}: {}.",
        given + 1,
        key.left.get(given)?,
        letter(answer, 'A'),
        ended(key.right.get(answer)?)
    )))
}

/// Neighbours from the middle of the order, where it is hardest, to its ends.
fn ordering_hint(key: &OrderingKey, given: usize) -> Option<Hint> {
    let pairs = key.order.len().checked_sub(1)?;
    if given >= pairs.div_ceil(2) {
        return None;
    }
    let first = (pairs / 2 + given) % pairs;
    let (before, after) = (*key.order.get(first)?, *key.order.get(first + 1)?);
    Some(Hint::help(format!(
        "{} comes directly before {}.",
        letter(before, 'A'),
        letter(after, 'A')
    )))
}

/// First how many words and the first letter, then the first half of the letters.
fn text_hint(key: &TextCase, given: usize) -> Option<Hint> {
    let answer = key.answers.first()?;
    let words = answer.split_whitespace().count();
    let words = if words == 1 { "one word".to_owned() } else { format!("{words} words") };
    let letters = answer.chars().count();
    let shown = |count: usize| answer.chars().take(count).collect::<String>();
    match given {
        0 => Some(Hint::help(format!("The term has {words} and begins with “{}”.", shown(1)))),
        1 if letters > 3 => Some(Hint::help(format!("It begins with “{}”.", shown(letters / 2)))),
        _ => None,
    }
}

/// A text without the stop at its end, for a sentence that brings its own.
fn ended(text: &str) -> &str {
    text.trim_end_matches('.')
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::Fade;
    use crate::practice::bundled;
    use crate::problem::Problem;

    /// All hints for the first question of a problem.
    fn hints(template: &str, number: u64) -> Vec<Hint> {
        let bank = bundled();
        let problem = Problem::draw(bank, bank.find(template).unwrap(), number).unwrap();
        let mut exercise = Exercise::new(problem, None);
        let mut hints = Vec::new();
        while let Some(hint) = exercise.hint(bank).unwrap() {
            exercise.read_hint(&hint);
            hints.push(hint);
            assert!(hints.len() < 40, "hints without end: {hints:?}");
        }
        hints
    }

    #[test]
    fn every_template_of_the_bank_has_a_hint_for_its_first_question() {
        let bank = bundled();
        for template in bank.templates() {
            let found = hints(&template.id, 3);
            let single = template
                .parts
                .iter()
                .all(|part| matches!(&part.wanted, crate::bank::Wanted::Theory(_)));
            assert!(!found.is_empty() || single, "{} has no hint", template.id);
        }
    }

    #[test]
    fn a_number_is_hinted_at_in_words_before_the_numbers() {
        let found = hints("base-one-drug", 0);
        assert!(
            found[0].text.contains("In words: mass of drug = number cast × dose in each unit.")
        );
        assert!(!found[0].helps);
        assert!(found[1].text.starts_with("With the numbers: mass of drug = "), "{found:?}");
        assert!(found[1].text.ends_with("= ?") && found[1].helps, "{found:?}");
    }

    #[test]
    fn no_hint_gives_the_whole_answer_away() {
        let bank = bundled();
        for (template, number) in
            [("order-of-fusion", 1), ("roles-sorted", 2), ("melting-range", 3)]
        {
            let problem = Problem::draw(bank, bank.find(template).unwrap(), number).unwrap();
            let answer = problem.parts[0].response.answer();
            for hint in hints(template, number) {
                assert!(!hint.text.contains(&answer), "{}: {answer}", hint.text);
            }
        }
    }

    #[test]
    fn an_example_has_a_hint_for_the_result_that_is_left_out() {
        let bank = bundled();
        let problem = Problem::draw(bank, bank.find("base-one-drug").unwrap(), 0).unwrap();
        let exercise = Exercise::new(problem, Some(Fade::WHOLE));
        let hint = exercise.hint(bank).unwrap().unwrap();
        assert!(hint.text.contains("In words:"), "{hint:?}");
    }
}
