//! How far a student is.

use crate::bank::Objective;

use super::{Mastery, Place, Progress, Settings, Subject};

/// How far a student is, by objective and by subject.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Overview {
    /// One row an objective, in the order of teaching.
    pub objectives: Vec<ObjectiveRow>,
    /// One row a subject that was tried, by objective in the order of teaching, then by name.
    pub subjects: Vec<SubjectRow>,
    /// From how many per cent on a subject counts as known.
    pub known_from: u32,
}

/// How far a student is with one objective.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ObjectiveRow {
    /// The objective.
    pub objective: Objective,
    /// How many of its subjects are known.
    pub known: usize,
    /// How many are begun and not known.
    pub begun: usize,
    /// How many are new.
    pub new: usize,
    /// How many answers were given.
    pub answers: u64,
    /// How many of them were right.
    pub right: u64,
}

/// How far a student is with one subject.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SubjectRow {
    /// The name of the objective.
    pub objective: String,
    /// The topic.
    pub topic: String,
    /// How many answers were given.
    pub answers: u64,
    /// How many of them were right.
    pub right: u64,
    /// The chance that it is known, in whole per cent, rounded down.
    pub percent: u32,
    /// Whether it counts as known.
    pub known: bool,
    /// In how many days it is to be reviewed; 0 or less when that is due.
    pub review_in: i64,
}

impl Overview {
    /// The overview of a record on the given day, for the subjects of a bank. Subjects that the bank
    /// no longer has keep their rows.
    pub fn of(subjects: &[Subject], progress: &[Progress], settings: &Settings, day: i64) -> Self {
        let row = |each: &Progress| {
            let mastery = Mastery::from_chance(each.known);
            let place = Place { number: each.box_number as usize, last: each.last_day };
            SubjectRow {
                objective: each.objective.clone(),
                topic: each.topic.clone(),
                answers: each.attempts,
                right: each.right,
                percent: mastery.percent(),
                known: mastery.is_mastered(settings),
                review_in: place.due(settings) - day,
            }
        };
        let mut rows: Vec<SubjectRow> = progress.iter().map(row).collect();
        rows.sort_by_key(|row| {
            Objective::ALL.into_iter().position(|objective| objective.name() == row.objective)
        });
        let objective = |objective: Objective| {
            let here = || rows.iter().filter(|row| row.objective == objective.name());
            let all = subjects.iter().filter(|subject| subject.objective == objective).count();
            let known = here().filter(|row| row.known).count();
            let begun = here().count() - known;
            ObjectiveRow {
                objective,
                known,
                begun,
                new: all.saturating_sub(known + begun),
                answers: here().map(|row| row.answers).sum(),
                right: here().map(|row| row.right).sum(),
            }
        };
        let objectives = Objective::ALL.into_iter().map(objective);
        Self {
            objectives: objectives.filter(|row| row.known + row.begun + row.new > 0).collect(),
            known_from: Mastery::from_chance(settings.mastered_from).percent(),
            subjects: rows,
        }
    }
}

impl SubjectRow {
    /// When it is to be reviewed, in words; nothing while it is not known.
    pub fn review(&self) -> String {
        match self.review_in {
            _ if !self.known => String::new(),
            ..=0 => "due".to_owned(),
            1 => "in 1 day".to_owned(),
            days => format!("in {days} days"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Bank;

    fn progress(objective: &str, topic: &str, known: f64, box_number: u32) -> Progress {
        Progress {
            objective: objective.to_owned(),
            topic: topic.to_owned(),
            attempts: 4,
            right: 3,
            known,
            box_number,
            last_day: 100,
            missing: 0,
        }
    }

    #[test]
    fn subjects_are_counted_as_known_begun_or_new() {
        let subjects = Subject::all(&Bank::bundled().unwrap(), |_| true);
        let here = |objective| subjects.iter().filter(|each| each.objective == objective).count();
        let tried = [
            progress("calibration", "a", 0.99, 2),
            progress("calibration", "b", 0.5, 0),
            progress("displacement", "c", 0.949_99, 1),
        ];
        let overview = Overview::of(&subjects, &tried, &Settings::default(), 101);
        let rows: Vec<(usize, usize, usize)> =
            overview.objectives.iter().take(2).map(|row| (row.known, row.begun, row.new)).collect();
        assert_eq!(
            rows,
            [(1, 1, here(Objective::Calibration) - 2), (0, 1, here(Objective::Displacement) - 1)]
        );
        assert_eq!((overview.objectives[0].answers, overview.objectives[0].right), (8, 6));
        let told: Vec<(u32, bool, String)> =
            overview.subjects.iter().map(|row| (row.percent, row.known, row.review())).collect();
        assert_eq!(
            told,
            [
                (99, true, "in 2 days".to_owned()),
                (50, false, String::new()),
                (94, false, String::new())
            ]
        );
    }
}
