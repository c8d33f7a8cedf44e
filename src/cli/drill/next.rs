//! What is practised next.

use std::sync::Arc;

use castmark::bank::{Bank, Objective, Template};
use castmark::draw::{Seed, Stream};
use castmark::practice::{Progress, Settings, Subject, Why, choose, subject_name};
use castmark::problem::Problem;

use crate::cli::banks;
use crate::cli::outcome::Failure;

/// After so many problems of one subject in a row it is time for another, known or not.
const MOST_IN_A_ROW: u32 = 4;

/// How often other numbers than the last ones are looked for.
const TRIES_FOR_ANOTHER: u32 = 20;

/// Chooses subjects and draws their numbers. The same seed and record give the same problems.
#[derive(Debug)]
pub(super) struct Chooser {
    subjects: Vec<Subject>,
    numbers: Stream,
    last: Option<String>,
    in_a_row: u32,
    drawn: Option<(String, u128)>,
}

/// What was chosen.
#[derive(Clone, Debug)]
pub(super) struct Chosen {
    /// The template.
    pub(super) template: Arc<Template>,
    /// Why, in one sentence.
    pub(super) why: String,
}

impl Chooser {
    /// A chooser among the templates of an objective, or one template, or all; `last` is the subject
    /// practised last. The seed and the number of the stream choose the numbers.
    ///
    /// # Errors
    /// When the bank has nothing of the kind.
    pub(super) fn new(
        bank: &Bank,
        objective: Option<Objective>,
        template: Option<&str>,
        (seed, stream): (u64, u64),
        last: Option<String>,
    ) -> Result<Self, Failure> {
        if let Some(id) = template {
            banks::template(bank, id)?;
        }
        let wanted = |each: &Template| {
            objective.is_none_or(|objective| objective == each.objective)
                && template.is_none_or(|id| id == each.id)
        };
        let subjects = Subject::all(bank, wanted);
        if subjects.is_empty() {
            let of = objective.map(|objective| format!(" of `{objective}`")).unwrap_or_default();
            return Err(Failure::unusable(format!(
                "the bank has no templates{of}; `castmark bank list` shows what it has"
            )));
        }
        let seed = Seed::derive(b"castmark practice", "castmark drill 1", &[&seed.to_string()]);
        Ok(Self {
            subjects,
            numbers: Stream::numbered(&seed, stream),
            last,
            in_a_row: 0,
            drawn: None,
        })
    }

    /// Whether a template is among what is practised.
    pub(super) fn wants(&self, template: &Template) -> bool {
        let mut all = self.subjects.iter().flat_map(|subject| &subject.templates);
        all.any(|each| each.id == template.id)
    }

    /// What comes next by what the record tells.
    pub(super) fn next(
        &mut self,
        progress: &[Progress],
        settings: &Settings,
        day: i64,
    ) -> Option<Chosen> {
        let last = self.last.clone();
        let tired = self.in_a_row >= MOST_IN_A_ROW && self.subjects.len() > 1;
        let open: Vec<Subject> = self
            .subjects
            .iter()
            .filter(|subject| !tired || Some(subject.name()) != last)
            .cloned()
            .collect();
        let candidates = Subject::candidates(&open, progress, settings);
        let choice = choose(settings, &candidates, last.as_deref(), day)?;
        let subject = open.get(choice.index)?;
        let count = u64::try_from(subject.templates.len()).unwrap_or(1).max(1);
        let chosen = usize::try_from(self.numbers.below(count)).unwrap_or_default();
        let template = Arc::clone(subject.templates.get(chosen)?);
        let name = subject_words(subject.objective.name(), &subject.topic);
        self.turn_to(&template);
        Some(Chosen { template, why: format!("{name}: {}", reason(choice.why)) })
    }

    /// Notes what is practised now.
    pub(super) fn turn_to(&mut self, template: &Template) {
        let name = subject_name(template.objective.name(), &template.topic);
        let same = self.last.as_ref() == Some(&name);
        self.in_a_row = if same { self.in_a_row + 1 } else { 1 };
        self.last = Some(name);
    }

    /// Has the next choice fall on another subject, if there is one.
    pub(super) fn turn_away(&mut self) {
        self.in_a_row = MOST_IN_A_ROW;
    }

    /// A problem of the template, with other numbers than the last one had. A template that has no
    /// others gives the same again.
    ///
    /// # Errors
    /// When the template has no fair problem.
    pub(super) fn draw(
        &mut self,
        bank: &Bank,
        template: &Arc<Template>,
    ) -> Result<Problem, Failure> {
        let mut draw =
            || Problem::draw(bank, template, self.numbers.word()).map_err(Failure::unusable);
        let mut problem = draw()?;
        for _ in 1..TRIES_FOR_ANOTHER {
            if self.drawn != Some((template.id.clone(), problem.draw.place)) {
                break;
            }
            problem = draw()?;
        }
        self.note(&problem);
        Ok(problem)
    }

    /// Notes which problem is practised, so that the next has other numbers.
    pub(super) fn note(&mut self, problem: &Problem) {
        self.drawn = Some((problem.template.id.clone(), problem.draw.place));
    }
}

/// `base quantity, one drug`.
pub(super) fn subject_words(objective: &str, topic: &str) -> String {
    format!("{}, {}", objective.replace('-', " "), topic.replace('-', " "))
}

fn reason(why: Why) -> &'static str {
    match why {
        Why::Due => "you know it, and it is time to look at it again.",
        Why::Begun => "you have begun it and do not know it safely yet.",
        Why::New => "you have not tried it yet.",
        Why::Longest => "you know all of these, and this one has waited longest.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chooser(template: Option<&str>) -> Chooser {
        let bank = Bank::bundled().unwrap();
        Chooser::new(
            &bank,
            Some(Objective::Displacement).filter(|_| template.is_none()),
            template,
            (1, 0),
            None,
        )
        .unwrap()
    }

    fn next(chooser: &mut Chooser, progress: &[Progress]) -> String {
        chooser.next(progress, &Settings::default(), 0).unwrap().template.topic.clone()
    }

    #[test]
    fn a_subject_skipped_is_not_the_next_one() {
        let mut chooser = chooser(None);
        let first = next(&mut chooser, &[]);
        assert_eq!(next(&mut chooser, &[]), first);
        chooser.turn_away();
        assert_ne!(next(&mut chooser, &[]), first);
    }

    #[test]
    fn no_subject_comes_more_than_four_times_in_a_row() {
        let mut chooser = chooser(None);
        let topics: Vec<String> = (0..5).map(|_| next(&mut chooser, &[])).collect();
        assert!(topics[..4].iter().all(|topic| *topic == topics[0]), "{topics:?}");
        assert_ne!(topics[4], topics[0]);
    }

    #[test]
    fn the_only_subject_comes_again_and_again() {
        let mut chooser = chooser(Some("value-from-dose"));
        for _ in 0..6 {
            chooser.turn_away();
            assert_eq!(next(&mut chooser, &[]), next(&mut chooser, &[]));
        }
    }
}
