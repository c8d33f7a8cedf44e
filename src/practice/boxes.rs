//! Spaced review: the box a topic lies in.

use super::{Ending, Settings};

/// Where a topic lies in the row of boxes, and when it was last tried.
///
/// The published rule of Leitner's boxes: a right answer moves it one box on, a wrong one back to
/// the first; each box is due after its own number of days. What was solved with help stays in its
/// box and is looked at again after the same wait.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Boxed {
    /// The box, from 0.
    pub number: usize,
    /// The day of the last review, in days since 1970-01-01.
    pub last: i64,
}

impl Boxed {
    /// After one more problem on the given day. One that is solved before the box is due is practice
    /// and not a review: it changes nothing, so that nobody gets through all boxes in an afternoon.
    #[must_use]
    pub fn next(self, settings: &Settings, ending: Ending, day: i64) -> Self {
        if ending != Ending::NotSolved && !self.is_due(settings, day) {
            return self;
        }
        let last_box = settings.days.len().saturating_sub(1);
        let number = match ending {
            Ending::Alone => (self.number + 1).min(last_box),
            Ending::Helped => self.number,
            Ending::NotSolved => 0,
        };
        Self { number, last: day }
    }

    /// The day from which the topic is due again.
    pub fn due(self, settings: &Settings) -> i64 {
        let wait = settings.days.get(self.number).copied().unwrap_or(0);
        self.last.saturating_add(i64::from(wait))
    }

    /// Whether the topic is due on the given day.
    pub fn is_due(self, settings: &Settings, day: i64) -> bool {
        self.due(settings) <= day
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_right_answer_moves_one_box_on_and_a_wrong_one_back_to_the_first() {
        let settings = Settings::default();
        let mut boxed = Boxed::default();
        let mut boxes = Vec::new();
        let days = [0, 1, 4, 9, 30].map(|day| (day, Ending::Alone));
        for (day, ending) in days.into_iter().chain([(44, Ending::NotSolved)]) {
            boxed = boxed.next(&settings, ending, day);
            boxes.push(boxed.number);
        }
        assert_eq!(boxes, [1, 2, 3, 4, 4, 0]);
    }

    #[test]
    fn a_right_answer_before_the_day_changes_nothing() {
        let settings = Settings::default();
        let boxed = Boxed { number: 2, last: 100 };
        assert_eq!(boxed.next(&settings, Ending::Alone, 102), boxed);
        assert_eq!(boxed.next(&settings, Ending::NotSolved, 102), Boxed { number: 0, last: 102 });
    }

    #[test]
    fn an_objective_is_due_after_the_days_of_its_box() {
        let settings = Settings::default();
        let boxed = Boxed { number: 2, last: 100 };
        assert!(!boxed.is_due(&settings, 102));
        assert!(boxed.is_due(&settings, 103));
    }

    #[test]
    fn a_box_beyond_the_settings_is_due_at_once() {
        let settings = Settings { days: vec![0, 1], ..Settings::default() };
        assert!(Boxed { number: 9, last: 7 }.is_due(&settings, 7));
    }

    #[test]
    fn help_keeps_the_box_and_begins_its_wait_again() {
        let boxed = Boxed { number: 2, last: 100 };
        let after = boxed.next(&Settings::default(), Ending::Helped, 104);
        assert_eq!(after, Boxed { number: 2, last: 104 });
    }
}
