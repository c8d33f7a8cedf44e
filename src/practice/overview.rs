//! How far a student is: the answer to "am I ready?".

use std::collections::BTreeMap;

use serde::Serialize;

use crate::bank::{Bank, Objective};
use crate::draw::Code;
use crate::problem::Problem;

use super::{
    Attempt, Plan, Progress, Record, RecordError, Settings, Stage, Subject, USUAL_PACE, day_of,
};

/// How many of the commonest slips are shown.
const SLIPS: usize = 3;

/// Over how many days of practice the pace of a student is taken.
const DAYS_OF_PACE: usize = 7;

/// How far a student is, by objective and by topic.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Overview {
    /// The day it is about, in days since 1970-01-01.
    pub day: i64,
    /// One row an objective, in the order of teaching.
    pub objectives: Vec<ObjectiveRow>,
    /// One row a topic of the bank, in the order of teaching.
    pub topics: Vec<TopicRow>,
    /// What was practised each day, oldest first; days without practice have no row.
    pub days: Vec<DayRow>,
    /// The commonest slips.
    pub slips: Vec<SlipRow>,
    /// How many topics were practised that the bank no longer has.
    pub gone: usize,
    /// The plan for the exam.
    pub plan: Option<Plan>,
    /// How many topics will be ready on the day of the exam at the pace so far.
    pub forecast: Option<usize>,
}

/// Whether a topic is ready for an exam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Readiness {
    /// Each of its templates was solved alone, the estimate is high, and no review is overdue.
    Ready,
    /// It was begun with whole problems and is not known, or its review is overdue.
    Shaky,
    /// It is new, or only examples were done.
    NotYet,
}

impl Readiness {
    /// The word for it: `ready`, `shaky`, `not yet`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Ready => "ready",
            Self::Shaky => "shaky",
            Self::NotYet => "not yet",
        }
    }
}

/// How far a student is with one objective.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ObjectiveRow {
    /// The objective.
    #[serde(serialize_with = "write_objective")]
    pub objective: Objective,
    /// How many of its topics are ready.
    pub ready: usize,
    /// How many are shaky.
    pub shaky: usize,
    /// How many are not ready yet.
    pub not_yet: usize,
}

/// How far a student is with one topic.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TopicRow {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Its objective.
    #[serde(serialize_with = "write_objective")]
    pub objective: Objective,
    /// Whether it is ready.
    pub readiness: Readiness,
    /// How many problems of it ended.
    pub problems: u64,
    /// How many of its templates were not solved alone yet.
    pub templates_left: usize,
    /// In how many days it is to be reviewed, 0 or less if that is due; `None` while it is not known.
    pub review_in: Option<i64>,
}

/// What was practised on one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct DayRow {
    /// The day, in days since 1970-01-01.
    pub day: i64,
    /// How many problems ended.
    pub problems: u64,
    /// How many answers were given.
    pub answers: u64,
    /// How many of them were correct.
    pub correct: u64,
    /// How many topics were known at the end of the day.
    pub known: usize,
}

/// A slip, with the problem in which it was made last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SlipRow {
    /// What is said of it, with the numbers of that problem.
    pub says: String,
    /// How often it was made.
    pub count: usize,
    /// The code of the problem.
    pub code: String,
    /// The title of its template.
    pub title: String,
    /// What was answered.
    pub answer: String,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde passes fields by reference")]
fn write_objective<S: serde::Serializer>(
    objective: &Objective,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(objective.name())
}

impl Overview {
    /// The overview of a record on the given day, for an exam on another if there is one.
    ///
    /// # Errors
    /// Returns an error if the record cannot be read.
    pub fn of(
        bank: &Bank,
        record: &dyn Record,
        settings: &Settings,
        day: i64,
        exam: Option<i64>,
    ) -> Result<Self, RecordError> {
        let subjects = Subject::all(bank, |_| true);
        let mut story = Story::new(settings, &subjects);
        record.each(&mut |attempt| story.add(&attempt))?;
        let Story { progress, days, slips, .. } = story.ended();
        let rows = TopicRow::all(&subjects, &progress, settings, day);
        let pace = pace_of(&days, day).unwrap_or(USUAL_PACE);
        let plan = exam.map(|exam| Plan::new(&subjects, &progress, settings, day, exam, pace));
        let ready = rows.iter().filter(|row| row.readiness == Readiness::Ready).count();
        let known = |each: &&Progress| bank.topic(&each.topic).is_none();
        Ok(Self {
            day,
            objectives: objective_rows(&rows),
            gone: progress.iter().filter(known).count(),
            forecast: plan.as_ref().map(|plan| forecast(plan, &days, day, ready, rows.len())),
            topics: rows,
            slips: slip_rows(bank, slips),
            days,
            plan,
        })
    }

    /// How many topics are of a readiness.
    pub fn count(&self, readiness: Readiness) -> usize {
        self.topics.iter().filter(|row| row.readiness == readiness).count()
    }

    /// The topics that are due for review.
    pub fn due(&self) -> impl Iterator<Item = &TopicRow> {
        self.topics.iter().filter(|row| row.review_in.is_some_and(|days| days <= 0))
    }
}

/// How many problems a student works through on a day of practice, from the last days before today;
/// `None` if there are none.
///
/// # Errors
/// Returns an error if the record cannot be read.
pub fn pace(record: &dyn Record, today: i64) -> Result<Option<usize>, RecordError> {
    let days = record.ended_by_day()?;
    let last: Vec<usize> =
        days.range(..today).rev().map(|(_, ended)| *ended).take(DAYS_OF_PACE).collect();
    Ok(last.iter().sum::<usize>().checked_div(last.len()))
}

fn pace_of(days: &[DayRow], today: i64) -> Option<usize> {
    let before = days.iter().rev().filter(|row| row.problems > 0 && row.day < today);
    let last: Vec<u64> = before.take(DAYS_OF_PACE).map(|row| row.problems).collect();
    let pace = last.iter().sum::<u64>().checked_div(last.len() as u64)?;
    usize::try_from(pace).ok()
}

/// How many topics are ready on the day of the exam when as many are added a day as so far, but none
/// that the plan leaves out.
fn forecast(plan: &Plan, days: &[DayRow], day: i64, ready: usize, all: usize) -> usize {
    let since = days.first().map_or(1, |first| (day - first.day + 1).max(1));
    let since = usize::try_from(since).unwrap_or(1);
    let left = usize::try_from(plan.days).unwrap_or(0);
    (ready + ready.saturating_mul(left) / since).min(all - plan.left_out.len().min(all)).max(ready)
}

impl TopicRow {
    /// A row for each of the topics on a day.
    pub fn all(
        subjects: &[Subject],
        progress: &[Progress],
        settings: &Settings,
        day: i64,
    ) -> Vec<Self> {
        subjects.iter().map(|each| topic_row(each, progress, settings, day)).collect()
    }
}

fn topic_row(subject: &Subject, progress: &[Progress], settings: &Settings, day: i64) -> TopicRow {
    let known = subject.progress(progress);
    let stage = subject.stage(progress, settings);
    let review = known.map(|known| known.boxed().due(settings) - day);
    let whole = known.is_some_and(|known| known.box_number > 0 || known.has_whole(subject));
    let readiness = match (stage, review) {
        (Stage::Known, Some(days)) if days >= 0 => Readiness::Ready,
        (Stage::Known, _) => Readiness::Shaky,
        (Stage::Begun, _) if whole => Readiness::Shaky,
        (Stage::Begun | Stage::New, _) => Readiness::NotYet,
    };
    TopicRow {
        id: subject.topic.id.clone(),
        title: subject.topic.title.clone(),
        objective: subject.topic.objective,
        readiness,
        problems: known.map_or(0, |known| known.problems),
        templates_left: subject.templates_left(progress),
        review_in: review.filter(|_| stage == Stage::Known),
    }
}

impl Progress {
    /// Whether a whole problem was tried: one of theory, or one whose example has faded away.
    fn has_whole(&self, subject: &Subject) -> bool {
        subject.templates.iter().any(|template| {
            self.template(&template.id)
                .is_some_and(|one| one.problems > 0 && (template.steps == 0 || one.alone))
        })
    }
}

fn objective_rows(topics: &[TopicRow]) -> Vec<ObjectiveRow> {
    let row = |objective: Objective| {
        let count = |readiness| {
            let here = topics.iter().filter(|row| row.objective == objective);
            here.filter(|row| row.readiness == readiness).count()
        };
        ObjectiveRow {
            objective,
            ready: count(Readiness::Ready),
            shaky: count(Readiness::Shaky),
            not_yet: count(Readiness::NotYet),
        }
    };
    let rows = Objective::ALL.into_iter().map(row);
    rows.filter(|row| row.ready + row.shaky + row.not_yet > 0).collect()
}

/// How often each slip of a template was made, and the last problem and answer with it.
type Slips = BTreeMap<(String, String), (usize, String, String)>;

/// The attempts, gone through from the first to the last.
struct Story<'a> {
    settings: &'a Settings,
    subjects: &'a [Subject],
    number: u64,
    topics: BTreeMap<String, Progress>,
    progress: Vec<Progress>,
    days: Vec<DayRow>,
    slips: Slips,
}

impl<'a> Story<'a> {
    fn new(settings: &'a Settings, subjects: &'a [Subject]) -> Self {
        Self {
            settings,
            subjects,
            number: 0,
            topics: BTreeMap::new(),
            progress: Vec::new(),
            days: Vec::new(),
            slips: BTreeMap::new(),
        }
    }

    fn add(&mut self, attempt: &Attempt) {
        let day = day_of(attempt.at);
        if self.days.last().is_none_or(|last| last.day != day) {
            self.close_day();
            self.days.push(DayRow { day, problems: 0, answers: 0, correct: 0, known: 0 });
        }
        if let Some(row) = self.days.last_mut() {
            row.problems += u64::from(attempt.ended.is_some());
            row.answers += u64::from(!attempt.answer.is_empty());
            row.correct += u64::from(attempt.right);
        }
        for slip in &attempt.slips {
            let seen = self.slips.entry((attempt.template.clone(), slip.clone())).or_default();
            *seen = (seen.0 + 1, attempt.code.clone(), attempt.answer.clone());
        }
        self.number += 1;
        let before = self.topics.remove(&attempt.topic);
        let after = Progress::after(before, attempt, self.number, self.settings);
        self.topics.insert(attempt.topic.clone(), after);
    }

    /// Counts what is known at the end of the last day.
    fn close_day(&mut self) {
        let Some(row) = self.days.last_mut() else { return };
        let progress: Vec<Progress> = self.topics.values().cloned().collect();
        let known = |each: &&Subject| each.stage(&progress, self.settings) == Stage::Known;
        row.known = self.subjects.iter().filter(known).count();
        self.progress = progress;
    }

    fn ended(mut self) -> Self {
        self.close_day();
        self
    }
}

fn slip_rows(bank: &Bank, slips: Slips) -> Vec<SlipRow> {
    let mut slips: Vec<_> = slips.into_iter().collect();
    slips.sort_by_key(|(_, (count, ..))| std::cmp::Reverse(*count));
    let row = |(template, slip): &(String, String), seen: &(usize, String, String)| {
        let (count, code, answer) = seen.clone();
        let template = bank.find(template)?;
        let index = template.slips.iter().position(|one| one.id == *slip)?;
        let problem = Problem::from_code(bank, &Code::parse(&code).ok()?).ok()?;
        let says = problem.slip_says(bank, index);
        Some(SlipRow { says, count, code, title: template.title.clone(), answer })
    };
    slips.iter().filter_map(|(slip, seen)| row(slip, seen)).take(SLIPS).collect()
}

#[cfg(test)]
mod tests {
    use super::super::progress::tests::attempt;
    use super::*;
    use crate::practice::bundled;
    use crate::practice::{AttemptList, Ending};

    fn overview(attempts: Vec<Attempt>, day: i64, exam: Option<i64>) -> Overview {
        let list = AttemptList { attempts, ..AttemptList::default() };
        let bank = bundled();
        Overview::of(bank, &list, &Settings::default(), day, exam).unwrap()
    }

    /// All templates of the first topic solved alone on a day.
    fn known(day: i64) -> Vec<Attempt> {
        let bank = bundled();
        let subjects = Subject::all(bank, |_| true);
        let solved = |template: &crate::bank::Heading| Attempt {
            template: template.id.clone(),
            ..attempt(&subjects[0].topic.id, Ending::Alone, day)
        };
        subjects[0].templates.iter().map(solved).collect()
    }

    fn readiness(overview: &Overview) -> Readiness {
        overview.topics[0].readiness
    }

    #[test]
    fn a_topic_is_ready_until_its_review_is_overdue() {
        assert_eq!(readiness(&overview(known(100), 100, None)), Readiness::Ready);
        let due = overview(known(100), 101, None);
        assert_eq!((readiness(&due), due.due().count()), (Readiness::Ready, 1));
        assert_eq!(readiness(&overview(known(100), 102, None)), Readiness::Shaky);
        assert_eq!(readiness(&overview(known(100)[..1].to_vec(), 100, None)), Readiness::Shaky);
        let example = Attempt { missing: 0, ..known(100).remove(0) };
        assert_eq!(readiness(&overview(vec![example], 100, None)), Readiness::NotYet);
    }

    #[test]
    fn every_topic_of_the_bank_has_a_row_and_is_counted_once() {
        let empty = overview(Vec::new(), 100, None);
        let topics = bundled().topics().len();
        assert_eq!(empty.topics.len(), topics);
        assert_eq!(empty.count(Readiness::NotYet), topics);
        let counted: usize = empty.objectives.iter().map(|row| row.not_yet).sum();
        assert_eq!(counted, topics);
    }

    #[test]
    fn the_days_show_what_was_done_and_known() {
        let found = overview([known(100), known(103)].concat(), 103, None);
        let days: Vec<(i64, u64, usize)> =
            found.days.iter().map(|row| (row.day, row.problems, row.known)).collect();
        assert_eq!(days, [(100, 3, 1), (103, 3, 1)]);
    }

    #[test]
    fn the_forecast_goes_on_at_the_pace_so_far_and_not_beyond_what_there_is() {
        assert_eq!(overview(known(100), 100, Some(104)).forecast, Some(5));
        let all = overview(known(100), 100, Some(1000));
        assert_eq!(all.forecast, Some(all.topics.len()));
        assert_eq!(overview(known(100), 100, None).forecast, None);
    }

    #[test]
    fn the_commonest_slips_come_with_an_example() {
        let bank = bundled();
        let template = bank.find("base-one-drug").unwrap();
        let slip = template.slips[0].id.clone();
        let made = Attempt {
            template: template.id.clone(),
            code: "base-one-drug.aaaa-aaaaa".to_owned(),
            slips: vec![slip],
            answer: "49.2 g".to_owned(),
            ..attempt("one-drug", Ending::NotSolved, 5)
        };
        let found = overview(vec![made.clone(), made], 5, None);
        assert_eq!((found.slips.len(), found.slips[0].count), (1, 2));
        assert_eq!(found.slips[0].answer, "49.2 g");
        assert!(!found.slips[0].says.is_empty());
    }
}
