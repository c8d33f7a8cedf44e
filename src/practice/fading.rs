//! How much of a worked example is shown.

use super::Ending;

/// How many steps at the end of the working a student does alone.
///
/// Backward fading: first the whole example is shown and one step is asked about; then steps are left
/// out from the end, until the whole problem is the student's. Completed examples help beginners most
/// (Barbieri and others, meta-analysis of 2023: g = 0.48), and little once the method is known. So a
/// problem solved in one go takes two steps away, one solved with help takes one, and one that was not
/// solved brings a step back. The sizes of these steps are a judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fade {
    missing: usize,
}

impl Fade {
    /// The whole example, with a question on one of its steps.
    pub const WHOLE: Self = Self { missing: 0 };

    /// Takes back what was recorded; more steps than a working has mean the whole problem.
    pub fn with_missing(missing: usize) -> Self {
        Self { missing }
    }

    /// How many steps at the end are missing.
    pub fn missing(self) -> usize {
        self.missing
    }

    /// How many steps of a working of `steps` are shown.
    pub fn shown(self, steps: usize) -> usize {
        steps.saturating_sub(self.missing)
    }

    /// Whether nothing of a working of `steps` is shown any more.
    pub fn is_whole_problem(self, steps: usize) -> bool {
        self.missing >= steps
    }

    /// After one more problem with a working of `steps`. Who has solved another template of the topic
    /// alone needs the example of this one only once.
    #[must_use]
    pub fn next(self, ending: Ending, steps: usize, knows_another: bool) -> Self {
        let missing = match ending {
            Ending::Alone if knows_another => steps,
            Ending::Alone => self.missing + 2,
            Ending::Helped => self.missing + 1,
            Ending::NotSolved => self.missing.min(steps).saturating_sub(1),
        };
        Self { missing: missing.min(steps) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solved_in_one_go_two_steps_are_taken_away_from_the_end() {
        let mut fade = Fade::WHOLE;
        let mut shown = vec![fade.shown(5)];
        for _ in 0..4 {
            fade = fade.next(Ending::Alone, 5, false);
            shown.push(fade.shown(5));
        }
        assert_eq!(shown, [5, 3, 1, 0, 0]);
        assert!(fade.is_whole_problem(5));
    }

    #[test]
    fn help_takes_one_step_away_and_a_failure_brings_one_back() {
        assert_eq!(Fade::with_missing(1).next(Ending::Helped, 3, true).missing(), 2);
        assert_eq!(Fade::with_missing(2).next(Ending::NotSolved, 3, true).missing(), 1);
        assert_eq!(Fade::WHOLE.next(Ending::NotSolved, 3, false), Fade::WHOLE);
    }

    #[test]
    fn one_example_is_enough_where_another_template_is_known() {
        assert!(Fade::WHOLE.next(Ending::Alone, 5, true).is_whole_problem(5));
    }

    #[test]
    fn a_shorter_working_is_faded_no_further_than_its_own_steps() {
        assert_eq!(Fade::with_missing(7).next(Ending::NotSolved, 2, false).missing(), 1);
        assert_eq!(Fade::with_missing(7).next(Ending::Alone, 2, false).missing(), 2);
    }
}
