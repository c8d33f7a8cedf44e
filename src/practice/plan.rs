//! A plan for the days before an exam.

use serde::Serialize;

use super::{Progress, Settings, Stage, Subject};

/// The last days before an exam are for reviews alone, if there are enough days. Two is a judgement.
const DAYS_FOR_REVIEWS: i64 = 2;

/// How many problems a day are expected of a student whose record does not say. A judgement: about an
/// hour.
pub const USUAL_PACE: usize = 20;

/// How many problems reviewing takes for each topic until the exam: two is what the waits of 1 and 3
/// days make in a fortnight's second half. A judgement.
const REVIEWS_OF_A_TOPIC: usize = 2;

/// What a student has to do each day until an exam.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Plan {
    /// The day of the exam, in days since 1970-01-01.
    pub exam: i64,
    /// How many days are left for practice, today among them; 0 on the day of the exam and after.
    pub days: i64,
    /// How many topics are new and are to be begun.
    pub new: usize,
    /// How many new topics are begun in a day.
    pub new_a_day: usize,
    /// The topics for which the time does not suffice, in the order of teaching.
    pub left_out: Vec<String>,
}

impl Plan {
    /// The plan of a student who solves so many problems a day.
    ///
    /// The topics are taken in the order in which practice brings them; those behind the last for
    /// which there is time are left out. Reviews come before new topics, and every known topic is
    /// looked at once more shortly before the exam.
    pub fn new(
        subjects: &[Subject],
        progress: &[Progress],
        settings: &Settings,
        day: i64,
        exam: i64,
        pace: usize,
    ) -> Self {
        let days = (exam - day).max(0);
        let (mut new, mut open): (Vec<&Subject>, Vec<&Subject>) = (Vec::new(), Vec::new());
        for subject in subjects {
            match subject.stage(progress, settings) {
                Stage::New => new.push(subject),
                Stage::Begun | Stage::Known => open.push(subject),
            }
        }
        let time = pace.saturating_mul(usize::try_from(days).unwrap_or(0));
        let begun: usize = open.iter().map(|each| each.problems_left(progress)).sum();
        let mut left = time.saturating_sub(begun + open.len() * REVIEWS_OF_A_TOPIC);
        let mut kept = 0;
        let mut left_out = Vec::new();
        for subject in in_turn(&new) {
            let needed = subject.problems_left(progress) + REVIEWS_OF_A_TOPIC;
            if needed <= left {
                left -= needed;
                kept += 1;
            } else {
                left_out.push(subject.topic.id.clone());
            }
        }
        let before = if days > 2 * DAYS_FOR_REVIEWS { days - DAYS_FOR_REVIEWS } else { days };
        let before = usize::try_from(before).unwrap_or(0).max(1);
        let order = |id: &String| subjects.iter().position(|each| each.topic.id == *id);
        left_out.sort_by_key(order);
        Self { exam, days, new: kept, new_a_day: kept.div_ceil(before), left_out }
    }

    /// The day on which a known topic is reviewed that would otherwise be due on the given day: not
    /// after the last day before the exam, unless it was looked at shortly before that.
    pub fn review_day(&self, progress: &Progress, due: i64) -> i64 {
        let last = self.exam - 1;
        if due <= last || progress.last_day >= last - DAYS_FOR_REVIEWS { due } else { last }
    }
}

/// The topics in the order in which practice begins them: in turn from each objective.
fn in_turn<'a>(subjects: &[&'a Subject]) -> Vec<&'a Subject> {
    let mut turns: Vec<(usize, &Subject)> = Vec::new();
    for subject in subjects {
        let same = |other: &&(usize, &Subject)| other.1.topic.objective == subject.topic.objective;
        turns.push((turns.iter().filter(same).count(), subject));
    }
    turns.sort_by_key(|(turn, _)| *turn);
    turns.into_iter().map(|(_, subject)| subject).collect()
}

impl Subject {
    /// How many problems the topic still takes a student who solves all of them: the first template
    /// with a working fades in about three, each further one in two, and theory takes one each.
    pub fn problems_left(&self, progress: &[Progress]) -> usize {
        let known = self.progress(progress);
        let alone = |id: &str| {
            known.and_then(|known| known.template(id)).is_some_and(|template| template.alone)
        };
        let mut left = 0;
        let mut faded = self.templates.iter().any(|each| alone(&each.id));
        for template in self.templates.iter().filter(|each| !alone(&each.id)) {
            left += match (template.steps > 0, faded) {
                (false, _) => 1,
                (true, false) => 3,
                (true, true) => 2,
            };
            faded |= template.steps > 0;
        }
        left
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::practice::bundled;

    fn plan(days: i64, pace: usize) -> Plan {
        let subjects = Subject::all(bundled(), |_| true);
        Plan::new(&subjects, &[], &Settings::default(), 100, 100 + days, pace)
    }

    #[test]
    fn enough_time_leaves_nothing_out_and_keeps_the_last_days_for_reviews() {
        let topics = bundled().topics().len();
        let plan = plan(30, 20);
        assert_eq!((plan.new, plan.left_out.len()), (topics, 0));
        assert_eq!(plan.new_a_day, topics.div_ceil(28));
    }

    #[test]
    fn too_little_time_leaves_the_advanced_topics_of_every_objective_out() {
        let plan = plan(3, 20);
        assert!(plan.new > 0 && !plan.left_out.is_empty());
        assert!(!plan.left_out.contains(&"mean-capacity".to_owned()));
        assert!(plan.left_out.contains(&"mixed".to_owned()));
    }

    #[test]
    fn on_the_day_of_the_exam_nothing_new_is_begun() {
        for days in [0, -3] {
            let plan = plan(days, 20);
            assert_eq!((plan.days, plan.new, plan.new_a_day), (0, 0, 0));
        }
    }

    #[test]
    fn a_review_behind_the_exam_is_brought_before_it() {
        let plan = plan(10, 20);
        let mut progress = Progress::after(
            None,
            &super::super::progress::tests::attempt(
                "mean-capacity",
                crate::practice::Ending::Alone,
                100,
            ),
            1,
            &Settings::default(),
        );
        assert_eq!(plan.review_day(&progress, 105), 105);
        assert_eq!(plan.review_day(&progress, 115), 109);
        progress.last_day = 108;
        assert_eq!(plan.review_day(&progress, 115), 115);
    }
}
