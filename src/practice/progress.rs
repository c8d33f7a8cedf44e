//! What the attempts at a topic say of the student.

use serde::{Deserialize, Serialize};

use super::{Attempt, Boxed, Ending, Fade, Mastery, Settings, day_of};

/// Of how many problems of a topic the days are kept.
pub const RECENT: usize = 12;

/// What is known of the student in one topic.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Progress {
    /// The objective.
    pub objective: String,
    /// The topic.
    pub topic: String,
    /// How many answers were given.
    pub attempts: u64,
    /// How many of them were correct.
    pub right: u64,
    /// How many problems ended.
    pub problems: u64,
    /// The chance that it is known.
    pub known: f64,
    /// The box of spaced review.
    pub box_number: u32,
    /// The day on which the box was last moved or kept by a review, in days since 1970-01-01.
    pub last_day: i64,
    /// The day of the first attempt.
    pub first_day: i64,
    /// The days of its last problems, at most [`RECENT`] of them, the oldest first.
    pub recent: Vec<i64>,
    /// The number of the last attempt in the record: a greater one was practised later.
    pub last: u64,
    /// What is known of its templates, in the order in which they were first met.
    pub templates: Vec<TemplateProgress>,
}

/// What is known of the student in one template.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TemplateProgress {
    /// The template.
    pub template: String,
    /// How many problems of it ended.
    pub problems: u64,
    /// How many steps of a worked example are left out next time.
    pub missing: u32,
    /// Whether a whole problem of it was solved alone.
    pub alone: bool,
    /// The number of its last attempt in the record.
    pub last: u64,
}

impl Progress {
    /// The progress after an attempt, the one of that number in the record.
    ///
    /// Every attempt is counted, but only the one that ends a problem moves anything else, so that a
    /// problem of five parts weighs no more than one of a single part. A problem that was begun for
    /// the student fades the example and says nothing of mastery. A problem solved with help lifts
    /// the estimate by what was learnt; it is no evidence of knowing or of not knowing.
    pub fn after(
        before: Option<Self>,
        attempt: &Attempt,
        number: u64,
        settings: &Settings,
    ) -> Self {
        let day = day_of(attempt.at);
        let mut progress = before.unwrap_or_else(|| Self {
            objective: attempt.objective.clone(),
            topic: attempt.topic.clone(),
            attempts: 0,
            right: 0,
            problems: 0,
            known: Mastery::start(settings).chance(),
            box_number: 0,
            last_day: day,
            first_day: day,
            recent: Vec::new(),
            last: number,
            templates: Vec::new(),
        });
        progress.attempts += 1;
        progress.right += u64::from(attempt.right);
        progress.last = number;
        let knows_another =
            progress.templates.iter().any(|one| one.alone && one.template != attempt.template);
        let template = progress.template_of(attempt);
        template.last = number;
        let Some(ending) = attempt.ended else { return progress };
        let is_whole = attempt.missing >= attempt.steps;
        let fade = Fade::with_missing(attempt.missing as usize);
        let fade = fade.next(ending, attempt.steps as usize, knows_another);
        template.problems += 1;
        template.missing = u32::try_from(fade.missing()).unwrap_or(u32::MAX);
        template.alone |= is_whole && ending == Ending::Alone;
        progress.problems += 1;
        progress.recent.push(day);
        let first = progress.recent.len().saturating_sub(RECENT);
        progress.recent.drain(..first);
        if is_whole {
            let mastery = Mastery::from_chance(progress.known);
            progress.known = mastery.after_problem(settings, ending, attempt.luck).chance();
            let boxed = progress.boxed().next(settings, ending, day);
            progress.box_number = u32::try_from(boxed.number).unwrap_or(u32::MAX);
            progress.last_day = boxed.last;
        }
        progress
    }

    /// Its place in the boxes of spaced review.
    pub fn boxed(&self) -> Boxed {
        Boxed { number: self.box_number as usize, last: self.last_day }
    }

    /// What is known of a template; `None` if it was never met.
    pub fn template(&self, id: &str) -> Option<&TemplateProgress> {
        self.templates.iter().find(|one| one.template == id)
    }

    fn template_of(&mut self, attempt: &Attempt) -> &mut TemplateProgress {
        let known = self.templates.iter().position(|one| one.template == attempt.template);
        let index = known.unwrap_or(self.templates.len());
        if known.is_none() {
            self.templates.push(TemplateProgress {
                template: attempt.template.clone(),
                problems: 0,
                missing: attempt.missing,
                alone: false,
                last: 0,
            });
        }
        &mut self.templates[index]
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// An attempt that ended a whole problem of the topic.
    pub(in crate::practice) fn attempt(topic: &str, ended: Ending, day: i64) -> Attempt {
        let right = ended == Ending::Alone;
        Attempt {
            at: day * 86_400,
            objective: "calibration".to_owned(),
            topic: topic.to_owned(),
            template: "capacity-from-total".to_owned(),
            code: "capacity-from-total.aaaa-aaaaa".to_owned(),
            part: "capacity".to_owned(),
            answer: "1.02 g".to_owned(),
            right,
            marks: u32::from(right),
            of: 1,
            slips: vec!["one".to_owned(), "two".to_owned()],
            hints: 0,
            missing: 3,
            steps: 3,
            luck: 50,
            ended: Some(ended),
        }
    }

    fn after(attempts: &[Attempt]) -> Progress {
        let settings = Settings::default();
        (1..)
            .zip(attempts)
            .fold(None, |before, (number, attempt)| {
                Some(Progress::after(before, attempt, number, &settings))
            })
            .unwrap()
    }

    #[test]
    fn only_the_attempt_that_ends_a_whole_problem_tells_of_mastery() {
        let start = Mastery::start(&Settings::default()).chance();
        let whole = attempt("total", Ending::Alone, 0);
        let going_on = Attempt { ended: None, ..whole.clone() };
        let example = Attempt { missing: 1, ..whole.clone() };
        let begun = after(&[going_on.clone(), example.clone()]);
        assert!((begun.known - start).abs() < 1e-15);
        assert_eq!((begun.box_number, begun.problems, begun.attempts), (0, 1, 2));
        assert_eq!((begun.templates[0].missing, begun.templates[0].alone), (3, false));
        let solved = after(&[going_on, example, whole]);
        assert!(solved.known > start);
        assert_eq!((solved.box_number, solved.templates[0].alone), (1, true));
    }

    #[test]
    fn a_problem_solved_with_help_lifts_the_estimate_and_never_lowers_it() {
        for known in [0.05, 0.3, 0.6, 0.94, 0.999] {
            let mut before = after(&[attempt("total", Ending::Alone, 0)]);
            before.known = known;
            let settings = Settings::default();
            let helped = attempt("total", Ending::Helped, 1);
            let after = Progress::after(Some(before.clone()), &helped, 2, &settings);
            assert!(after.known > known, "{known}");
            assert_eq!(after.box_number, before.box_number);
            let alone = attempt("total", Ending::Alone, 1);
            assert!(Progress::after(Some(before), &alone, 2, &settings).known > after.known);
        }
    }

    #[test]
    fn examples_fade_for_each_template() {
        let first = Attempt { missing: 0, ..attempt("total", Ending::Alone, 0) };
        let other = Attempt { template: "capacity-from-masses".to_owned(), ..first.clone() };
        let progress = after(&[first, other]);
        let missing: Vec<u32> = progress.templates.iter().map(|one| one.missing).collect();
        assert_eq!(missing, [2, 2]);
    }
}
