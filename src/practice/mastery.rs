//! How likely it is that a student knows an objective.

use super::{Ending, Settings};

/// The chance, from 0 to 1, that a topic is known, after the attempts seen so far.
///
/// Bayesian knowledge tracing by the published formulas: the chance of knowing is updated by the
/// answer (Bayes' rule with the chances of luck and carelessness), then raised by the chance of
/// learning from the attempt.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Mastery(f64);

impl Mastery {
    /// Before any attempt.
    pub fn start(settings: &Settings) -> Self {
        Self(settings.known_at_start)
    }

    /// Takes back what was recorded; anything outside 0 to 1 is brought inside.
    pub fn from_chance(chance: f64) -> Self {
        Self(if chance.is_nan() { 0.0 } else { chance.clamp(0.0, 1.0) })
    }

    /// After one more problem that blind guessing solves so many times in a thousand.
    ///
    /// A problem solved with help is no evidence either way, but something was learnt from it.
    #[must_use]
    pub fn after_problem(self, settings: &Settings, ending: Ending, luck: u32) -> Self {
        // Guessing and carelessness together stay below certainty, or a right answer would lower the
        // estimate (the condition S + G < 1 of the tracing model).
        let lucky = (f64::from(luck) / 1000.0).min(0.99 - settings.careless);
        match ending {
            Ending::Alone => self.next(settings, true, lucky),
            Ending::NotSolved => self.next(settings, false, lucky),
            Ending::Helped => Self(self.0 + (1.0 - self.0) * settings.learnt_each_time),
        }
    }

    /// After one more answer that somebody who does not know gives right with the chance `lucky`.
    #[must_use]
    pub fn next(self, settings: &Settings, right: bool, lucky: f64) -> Self {
        let Settings { careless, learnt_each_time, .. } = *settings;
        let known = self.0;
        let (from_knowing, from_not) = if right {
            (known * (1.0 - careless), (1.0 - known) * lucky)
        } else {
            (known * careless, (1.0 - known) * (1.0 - lucky))
        };
        let seen = from_knowing + from_not;
        // With no luck and no carelessness an answer can contradict a certainty; keep the belief.
        let updated = if seen > 0.0 { from_knowing / seen } else { known };
        Self(updated + (1.0 - updated) * learnt_each_time)
    }

    /// The chance of knowing.
    pub fn chance(self) -> f64 {
        self.0
    }

    /// The chance in whole per cent, rounded down, so that 95 % is never said of less.
    pub fn percent(self) -> u32 {
        // A chance of 0.29 times a hundred is a hair less than 29.
        (1..=100).rev().find(|n| self.0 * 100.0 + 1e-9 >= f64::from(*n)).unwrap_or(0)
    }

    /// Whether the topic counts as mastered.
    pub fn is_mastered(self, settings: &Settings) -> bool {
        self.0 >= settings.mastered_from
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn worked() -> Settings {
        Settings {
            known_at_start: 0.3,
            learnt_each_time: 0.1,
            careless: 0.1,
            ..Settings::default()
        }
    }

    #[test]
    fn follows_the_worked_run_in_exact_fractions() {
        // L0 0.3, T 0.1, G 0.2, S 0.1, answers 1 0 1 1 1 1; computed once in exact fractions from
        // the published formulas (fractions of Python's `fractions` module).
        let fractions = [
            (142.0, 205.0),
            (481.0, 1615.0),
            (2531.0, 3665.0),
            (12781.0, 13915.0),
            (64031.0, 65165.0),
            (320_281.0, 321_415.0),
        ];
        let mut mastery = Mastery::start(&worked());
        for (right, (top, bottom)) in
            [true, false, true, true, true, true].into_iter().zip(fractions)
        {
            mastery = mastery.next(&worked(), right, 0.2);
            assert!((mastery.chance() - top / bottom).abs() < 1e-14, "{mastery:?}");
        }
    }

    #[test]
    fn passes_the_mark_at_the_fifth_answer_of_the_worked_run() {
        let answers = [true, false, true, true, true, true];
        let after = |answers: &[bool]| {
            let start = Mastery::start(&worked());
            answers.iter().fold(start, |mastery, right| mastery.next(&worked(), *right, 0.2))
        };
        let mastered: Vec<bool> =
            (1..=answers.len()).map(|n| after(&answers[..n]).is_mastered(&worked())).collect();
        assert_eq!(mastered, [false, false, false, false, true, true]);
    }

    #[test]
    fn a_right_answer_raises_and_a_wrong_one_lowers_the_estimate() {
        let settings = Settings::default();
        let start = Mastery::start(&settings);
        for luck in [50, 125, 200, 300] {
            let after = |ending| start.after_problem(&settings, ending, luck);
            assert!(after(Ending::Alone) > after(Ending::Helped));
            assert!(after(Ending::Helped) > start);
            assert!(after(Ending::NotSolved) < start);
        }
    }

    #[test]
    fn a_percentage_is_rounded_down() {
        let percent = |chance| Mastery::from_chance(chance).percent();
        assert_eq!([0.0, 0.009, 0.29, 0.9499, 0.95, 1.0].map(percent), [0, 0, 29, 94, 95, 100]);
    }

    #[test]
    fn the_estimate_stays_a_chance_after_a_thousand_answers() {
        let settings = Settings::default();
        let after = |right| {
            let start = Mastery::start(&settings);
            (0..1000).fold(start, |mastery, _| mastery.next(&settings, right, settings.lucky))
        };
        let (all_right, all_wrong) = (after(true), after(false));
        assert!((0.0..=1.0).contains(&all_right.chance()));
        assert!((0.0..=1.0).contains(&all_wrong.chance()));
    }
}
