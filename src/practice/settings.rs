//! The settings of practice, with their ranges.

use std::fmt;

/// The settings of practice. All chances lie between 0 and 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// The chance that a topic is known before the first attempt.
    pub known_at_start: f64,
    /// The chance that an attempt teaches what was not known.
    pub learnt_each_time: f64,
    /// The chance that somebody who does not know types a right number or word.
    pub lucky: f64,
    /// The chance of a wrong answer from somebody who knows.
    pub careless: f64,
    /// The chance of knowing from which a topic counts as mastered.
    pub mastered_from: f64,
    /// Days between reviews, one number a box; each right answer moves a topic one box on.
    pub days: Vec<u32>,
}

/// One setting that is out of its range.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingsProblem {
    /// The name of the setting, as in the settings file.
    pub setting: &'static str,
    /// What is expected, what was found, and what to do.
    pub what: String,
}

impl fmt::Display for SettingsProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`: {}", self.setting, self.what)
    }
}

impl Default for Settings {
    /// The values used when there is no settings file.
    ///
    /// The estimate is Bayesian knowledge tracing (Corbett and Anderson 1995), with the caps of 0.1
    /// for `careless` and 0.3 for `lucky` and the level of 0.95 that are usual in its literature; a
    /// typed number is seldom right by luck, so `lucky` is small, and what is chosen from options has
    /// its own luck ([`luck`](super::luck)). Reviews follow Leitner's boxes: waits of 1, 3 and 5 days
    /// are the common form with three boxes. The box of the same day before them and the one of 14
    /// days behind them, about the length of a block of a course, are a judgement. So are 0.3 and 0.1
    /// for what is known at the start and learnt each time.
    fn default() -> Self {
        Self {
            known_at_start: 0.3,
            learnt_each_time: 0.1,
            lucky: 0.05,
            careless: 0.1,
            mastered_from: 0.95,
            days: vec![0, 1, 3, 5, 14],
        }
    }
}

impl Settings {
    /// The level at which a wrong answer leaves the estimate where it was; an estimate that starts
    /// below it would rise on wrong answers.
    ///
    /// `(1 - lucky) * learnt / (1 - careless - lucky)`, from the constraints on knowledge tracing
    /// published at the Educational Data Mining conference of 2024 (Shchepakin and others).
    pub fn standstill(&self) -> f64 {
        (1.0 - self.lucky) * self.learnt_each_time / (1.0 - self.careless - self.lucky)
    }

    /// The settings as their file writes them, each on a line.
    pub fn written(&self) -> String {
        let Self { known_at_start, learnt_each_time, lucky, careless, mastered_from, days } = self;
        let days: Vec<String> = days.iter().map(u32::to_string).collect();
        format!(
            "known_at_start: {known_at_start}\nlearnt_each_time: {learnt_each_time}\nlucky: {lucky}\n\
             careless: {careless}\nmastered_from: {mastered_from}\ndays: {}\n",
            days.join(", ")
        )
    }

    /// Everything that is out of range, all at once.
    pub fn problems(&self) -> Vec<SettingsProblem> {
        let mut problems = Vec::new();
        let mut check = |setting, value: f64, low: f64, high: f64| {
            if !(low..=high).contains(&value) {
                let what = format!(
                    "expected a number from {low} to {high}, found {value}; give one in that range"
                );
                problems.push(SettingsProblem { setting, what });
            }
        };
        check("known_at_start", self.known_at_start, 0.001, 0.999);
        check("learnt_each_time", self.learnt_each_time, 0.001, 0.999);
        check("lucky", self.lucky, 0.0, 0.3);
        check("careless", self.careless, 0.0, 0.1);
        check("mastered_from", self.mastered_from, 0.5, 0.999);
        if problems.is_empty() && self.known_at_start <= self.standstill() {
            problems.push(SettingsProblem {
                setting: "known_at_start",
                what: format!(
                    "expected more than {:.3}, found {}; below that a wrong answer would raise the \
                     estimate, so raise it, or lower `learnt_each_time`",
                    self.standstill(),
                    self.known_at_start
                ),
            });
        }
        if self.days.is_empty() || self.days.windows(2).any(|pair| pair[0] >= pair[1]) {
            problems.push(SettingsProblem {
                setting: "days",
                what: "expected days that rise from box to box, such as [0, 1, 3, 5, 14]"
                    .to_owned(),
            });
        }
        problems
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_defaults_are_in_range() {
        assert_eq!(Settings::default().problems(), []);
    }

    #[test]
    fn the_standstill_is_the_published_one() {
        // G 0.2, S 0.1, T 0.1 gives 4/35: checked from the published identity by exact fractions.
        let settings =
            Settings { lucky: 0.2, careless: 0.1, learnt_each_time: 0.1, ..Settings::default() };
        assert!((settings.standstill() - 4.0 / 35.0).abs() < 1e-15);
    }

    #[test]
    fn names_every_setting_that_is_out_of_range() {
        let settings =
            Settings { lucky: 0.5, careless: f64::NAN, days: vec![0, 3, 3], ..Settings::default() };
        let names: Vec<_> = settings.problems().into_iter().map(|p| p.setting).collect();
        assert_eq!(names, ["lucky", "careless", "days"]);
    }

    #[test]
    fn refuses_a_start_from_which_wrong_answers_raise_the_estimate() {
        let settings =
            Settings { known_at_start: 0.1, learnt_each_time: 0.2, ..Settings::default() };
        assert_eq!(settings.problems()[0].setting, "known_at_start");
    }
}
