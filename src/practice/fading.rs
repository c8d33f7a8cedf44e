//! How much of a worked example is shown.

/// How many steps at the end of the working a student does alone.
///
/// Backward fading: first the whole example is shown and one step is asked about; then the last
/// step is left out, then the last two, until the whole problem is the student's own. Completed
/// examples help beginners most (Barbieri and others, meta-analysis of 2023: g = 0.48), so a wrong
/// answer brings one step of help back.
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

    /// After one more attempt at a working of `steps`.
    #[must_use]
    pub fn next(self, right: bool, steps: usize) -> Self {
        let missing =
            if right { self.missing + 1 } else { self.missing.min(steps).saturating_sub(1) };
        Self { missing: missing.min(steps) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fades_from_the_last_step_backwards_until_the_whole_problem_is_left() {
        let mut fade = Fade::WHOLE;
        let mut shown = vec![fade.shown(3)];
        for _ in 0..4 {
            fade = fade.next(true, 3);
            shown.push(fade.shown(3));
        }
        assert_eq!(shown, [3, 2, 1, 0, 0]);
        assert!(fade.is_whole_problem(3));
    }

    #[test]
    fn a_wrong_answer_brings_one_step_of_help_back() {
        let fade = Fade::with_missing(2).next(false, 3);
        assert_eq!(fade.missing(), 1);
        assert_eq!(Fade::WHOLE.next(false, 3), Fade::WHOLE);
    }

    #[test]
    fn a_shorter_working_is_faded_no_further_than_its_own_steps() {
        assert_eq!(Fade::with_missing(7).next(false, 2).missing(), 1);
        assert_eq!(Fade::with_missing(7).next(true, 2).missing(), 2);
    }
}
