//! Which questions of a problem are asked.

use crate::bank::Template;

/// One question of an exercise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// The part of the problem.
    pub part: usize,
    /// The step of the working that answers it, where it is one.
    pub step: Option<usize>,
    /// From which step on the working was not shown yet when this question is asked.
    pub from: usize,
}

/// Which questions are asked when so many steps at the end of the working are missing.
pub(super) fn questions(template: &Template, missing: usize, number: u64) -> Vec<Question> {
    let steps = template.working.len();
    let whole = |from: usize| -> Vec<Question> {
        let question = |part| Question { part, step: step_of(template, part), from };
        (0..template.parts.len()).map(question).collect()
    };
    let answered: Vec<Question> =
        whole(0).into_iter().filter(|question| question.step.is_some()).collect();
    let Some(latest) = answered.iter().filter_map(|question| question.step).max() else {
        return whole(0);
    };
    if missing >= steps {
        return whole(0);
    }
    if missing == 0 {
        // The code chooses, so that the same problem asks the same again.
        let count = u64::try_from(answered.len()).unwrap_or(1).max(1);
        let chosen = usize::try_from(number % count).unwrap_or(0);
        let chosen = answered.get(chosen).or(answered.first()).copied();
        let from_itself = |each: Question| Question { from: each.step.unwrap_or(0), ..each };
        return chosen.map(from_itself).into_iter().collect();
    }
    // Something that is asked must be among what is missing.
    let shown = (steps - missing).min(latest);
    whole(shown).into_iter().filter(|each| each.step.is_none_or(|step| step >= shown)).collect()
}

/// The step of the working that answers a part.
fn step_of(template: &Template, part: usize) -> Option<usize> {
    let slot = template.parts.get(part)?.wanted.number()?.slot;
    template.working.iter().position(|step| step.slot == slot)
}
