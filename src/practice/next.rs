//! What to practise next.

use crate::bank::Objective;

use super::{Plan, Progress, RECENT, Settings, Stage, Subject};

/// A topic is not taken again while one of the last so many was it, if there is another: three or
/// more are interleaved.
///
/// Interleaving helps: pupils who practised mixed problems did better a month later (Rohrer and
/// others 2014: d = 0.79 after 30 days; a trial with 54 classes in 2020 agreed).
const APART: usize = 2;

/// After so many problems without a new topic, one is taken.
const PROBLEMS_BEFORE_A_NEW_TOPIC: u32 = 3;

/// A topic that does not come with so many problems in a day waits for another day, if there is
/// another topic. A judgement.
const MOST_IN_A_DAY: usize = 3;

/// A topic that was practised [`RECENT`] times in so many days waits for the others. A judgement: it
/// needs a pause, or somebody to explain it, and the others need the time.
const DAYS_OF_RECENT: i64 = 14;

/// What is known when something is to be chosen.
#[derive(Clone, Copy, Debug)]
pub struct Situation<'a> {
    /// The settings.
    pub settings: &'a Settings,
    /// The topics that are practised, in the order of teaching.
    pub subjects: &'a [Subject],
    /// The progress of every topic tried.
    pub progress: &'a [Progress],
    /// The day.
    pub day: i64,
    /// The plan for an exam, if there is one.
    pub plan: Option<&'a Plan>,
    /// How many problems there were since the last new topic.
    pub since_new: u32,
    /// Topics that were skipped and are set aside while there are others.
    pub skipped: &'a [String],
}

/// What was chosen, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The position in the list of topics.
    pub subject: usize,
    /// Why.
    pub why: Why,
}

/// Why something comes next.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// It is known and due for review.
    Due,
    /// It was begun and is not yet known.
    Begun,
    /// It is new.
    New,
    /// Everything is known and nothing is due: the one that has waited longest.
    Longest,
}

/// Chooses what comes next; `None` if there are no topics.
///
/// What is known and due comes first, longest overdue before the others; then what was begun, longest
/// untouched first; and after every few problems something new, so that new topics do not wait for
/// the old ones to be known. New topics are taken in turn from all objectives, and one whose
/// foundations were not laid waits. With a plan for an exam, no more new topics are begun in a day
/// than it says, as long as there is something else.
pub fn choose(situation: &Situation<'_>) -> Option<Choice> {
    let stages: Vec<Stage> = situation
        .subjects
        .iter()
        .map(|each| each.stage(situation.progress, situation.settings))
        .collect();
    let choosing = Choosing { situation, stages: &stages, apart: apart(situation) };
    let new = || choosing.new_topic().map(|subject| Choice { subject, why: Why::New });
    let due = || choosing.due().map(|subject| Choice { subject, why: Why::Due });
    let begun = || choosing.begun().map(|subject| Choice { subject, why: Why::Begun });
    let longest = || choosing.longest().map(|subject| Choice { subject, why: Why::Longest });
    let new_is_wanted = choosing.may_begin() && situation.since_new >= PROBLEMS_BEFORE_A_NEW_TOPIC;
    new()
        .filter(|_| new_is_wanted)
        .or_else(due)
        .or_else(begun)
        .or_else(new)
        .or_else(longest)
        .or_else(|| choosing.any())
}

/// The topics practised last, which wait while there are others.
fn apart<'a>(situation: &Situation<'a>) -> Vec<&'a str> {
    let mut last: Vec<&Progress> = situation.progress.iter().collect();
    last.sort_by_key(|each| std::cmp::Reverse(each.last));
    let last = last.into_iter().take(APART).map(|each| each.topic.as_str());
    last.chain(situation.skipped.iter().map(String::as_str)).collect()
}

struct Choosing<'a> {
    situation: &'a Situation<'a>,
    stages: &'a [Stage],
    apart: Vec<&'a str>,
}

impl Choosing<'_> {
    /// The topics in a stage that were not practised just now.
    fn of(&self, stage: Stage) -> impl Iterator<Item = usize> {
        let all = self.situation.subjects.iter().enumerate();
        all.filter(move |(index, subject)| {
            self.stages.get(*index) == Some(&stage)
                && !self.apart.contains(&subject.topic.id.as_str())
                && !self.is_tired(*index)
        })
        .map(|(index, _)| index)
    }

    /// Whether the topic has had its share of the day or of the fortnight.
    fn is_tired(&self, subject: usize) -> bool {
        let day = self.situation.day;
        self.progress(subject).is_some_and(|known| {
            let today = known.recent.iter().filter(|one| **one == day).count();
            let many = known.recent.len() >= RECENT;
            let all = known.recent.first().is_some_and(|first| *first > day - DAYS_OF_RECENT);
            today >= MOST_IN_A_DAY || many && all
        })
    }

    fn progress(&self, subject: usize) -> Option<&Progress> {
        self.situation.subjects.get(subject)?.progress(self.situation.progress)
    }

    /// The known topic that is longest overdue.
    fn due(&self) -> Option<usize> {
        let day = |subject: &usize| self.progress(*subject).map(|each| self.due_day(each));
        let due = self.of(Stage::Known);
        due.filter(|subject| day(subject).is_some_and(|day| day <= self.situation.day))
            .min_by_key(day)
    }

    /// The day from which a known topic is due, which is before the exam if that is near.
    fn due_day(&self, progress: &Progress) -> i64 {
        let due = progress.boxed().due(self.situation.settings);
        self.situation.plan.map_or(due, |plan| plan.review_day(progress, due))
    }

    /// The topic begun that was left longest.
    fn begun(&self) -> Option<usize> {
        self.of(Stage::Begun).min_by_key(|each| self.progress(*each).map(|known| known.last))
    }

    /// Of the known topics the one that waits longest.
    fn longest(&self) -> Option<usize> {
        let day = |subject: &usize| self.progress(*subject).map(|each| self.due_day(each));
        self.of(Stage::Known).min_by_key(day)
    }

    /// Whatever is left: all topics were practised just now.
    fn any(&self) -> Option<Choice> {
        let skipped = |index: &usize| {
            let id = self.situation.subjects.get(*index).map(|each| &each.topic.id);
            self.situation.skipped.iter().position(|one| Some(one) == id)
        };
        // The last two stay apart even now, if there are three.
        let apart = |index: &usize| {
            let id = self.situation.subjects.get(*index).map(|each| each.topic.id.as_str());
            self.apart.iter().any(|one| Some(*one) == id)
        };
        let today = |index: &usize| {
            let day = self.situation.day;
            let recent = self.progress(*index).map_or(&[][..], |known| &known.recent);
            recent.iter().filter(|one| **one == day).count()
        };
        let last = |index: &usize| self.progress(*index).map(|known| known.last);
        let all = 0..self.situation.subjects.len();
        let key = |index: &usize| (skipped(index), apart(index), today(index), last(index));
        let subject = all.min_by_key(key)?;
        let why = match self.stages.get(subject)? {
            Stage::Known => Why::Longest,
            Stage::Begun => Why::Begun,
            Stage::New => Why::New,
        };
        Some(Choice { subject, why })
    }

    /// Whether the plan leaves room for a new topic today.
    fn may_begin(&self) -> bool {
        let day = self.situation.day;
        let today = self.situation.progress.iter().filter(|each| each.first_day == day).count();
        self.situation.plan.is_none_or(|plan| today < plan.new_a_day)
    }

    /// The new topic that is next: of the objective with the fewest topics begun, the first in the
    /// order of teaching whose foundations are laid; if there is none at all, the first.
    fn new_topic(&self) -> Option<usize> {
        let subjects = self.situation.subjects;
        let left_out = |index: &usize| {
            let plan = self.situation.plan;
            let id = subjects.get(*index).map(|each| &each.topic.id);
            plan.is_some_and(|plan| id.is_some_and(|id| plan.left_out.contains(id)))
        };
        let new: Vec<usize> = self.of(Stage::New).filter(|index| !left_out(index)).collect();
        let met = |index: &usize| {
            let objective = subjects.get(*index).map(|each| each.topic.objective);
            self.met(objective)
        };
        let open = new.iter().copied().filter(|index| self.is_open(*index));
        open.min_by_key(met).or_else(|| new.first().copied())
    }

    fn met(&self, objective: Option<Objective>) -> usize {
        let of = self.situation.subjects.iter().zip(self.stages);
        of.filter(|(subject, stage)| {
            Some(subject.topic.objective) == objective && **stage != Stage::New
        })
        .count()
    }

    /// Whether each topic that this one builds on, as far as it is practised here, is known or has a
    /// template that was solved alone.
    fn is_open(&self, index: usize) -> bool {
        let Some(subject) = self.situation.subjects.get(index) else { return false };
        subject.topic.builds_on.iter().all(|before| {
            let found = self.situation.subjects.iter().find(|each| each.topic.id == *before);
            let progress = found.and_then(|each| each.progress(self.situation.progress));
            found.is_none()
                || progress.is_some_and(|known| known.templates.iter().any(|one| one.alone))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::progress::tests::attempt;
    use super::*;
    use crate::practice::bundled;
    use crate::practice::{Attempt, Ending};

    /// Practises problem after problem, each ended as the function says, and gives the topics.
    fn practise(
        count: usize,
        exam: Option<i64>,
        mut ended: impl FnMut(usize) -> Ending,
    ) -> Vec<(String, Why)> {
        let settings = Settings::default();
        let subjects = Subject::all(bundled(), |_| true);
        let mut progress: Vec<Progress> = Vec::new();
        let mut since_new = 0;
        let mut met = Vec::new();
        for number in 0..count {
            let plan = exam.map(|exam| Plan::new(&subjects, &progress, &settings, 0, exam, 20));
            let situation = Situation {
                settings: &settings,
                subjects: &subjects,
                progress: &progress,
                day: 0,
                plan: plan.as_ref(),
                since_new,
                skipped: &[],
            };
            let choice = choose(&situation).unwrap();
            let subject = &subjects[choice.subject];
            let known = subject.progress(&progress).cloned();
            let template = subject.next_template(known.as_ref()).unwrap();
            let steps = u32::try_from(template.steps).unwrap();
            let missing = known
                .as_ref()
                .and_then(|known| known.template(&template.id))
                .map_or(0, |one| one.missing);
            let attempt = Attempt {
                template: template.id.clone(),
                missing,
                steps,
                ..attempt(&subject.topic.id, ended(number), 0)
            };
            let index = progress.iter().position(|each| each.topic == subject.topic.id);
            let next = Progress::after(known, &attempt, number as u64 + 1, &settings);
            match index {
                Some(index) => progress[index] = next,
                None => progress.push(next),
            }
            since_new = if choice.why == Why::New { 0 } else { since_new + 1 };
            met.push((subject.topic.id.clone(), choice.why));
        }
        met
    }

    #[test]
    fn a_new_record_begins_with_the_first_topic_and_meets_theory_in_the_first_session() {
        let bank = bundled();
        let met = practise(20, None, |_| Ending::Alone);
        assert_eq!(met[0], ("mean-capacity".to_owned(), Why::New));
        let mut objectives: Vec<Objective> =
            met.iter().map(|(topic, _)| bank.topic(topic).unwrap().objective).collect();
        objectives.sort();
        objectives.dedup();
        assert_eq!(objectives, Objective::ALL);
    }

    #[test]
    fn three_topics_or_more_are_interleaved_however_it_goes() {
        for ending in [Ending::Alone, Ending::Helped, Ending::NotSolved] {
            let met = practise(80, None, |_| ending);
            for three in met.windows(3) {
                let [(a, _), (b, _), (c, _)] = three else { unreachable!() };
                assert!(a != b && b != c && a != c, "{ending:?}: {met:?}");
            }
        }
    }

    #[test]
    fn a_topic_waits_for_its_foundations() {
        let bank = bundled();
        let met = practise(60, None, |number| match number % 3 {
            0 => Ending::NotSolved,
            _ => Ending::Alone,
        });
        for (index, (topic, why)) in met.iter().enumerate().filter(|(_, (_, why))| *why == Why::New)
        {
            for before in &bank.topic(topic).unwrap().builds_on {
                let seen = met[..index].iter().any(|(other, _)| other == before);
                assert!(seen, "{topic} came {why:?} before {before}");
            }
        }
    }

    #[test]
    fn a_plan_never_brings_more_new_topics_in_a_day() {
        let new = |met: &[(String, Why)]| met.iter().filter(|(_, why)| *why == Why::New).count();
        // In a longer day than planned every topic begun has had its share, and new ones come early.
        for count in [4, 8, 16, 60] {
            let free = practise(count, None, |_| Ending::Helped);
            let planned = practise(count, Some(80), |_| Ending::Helped);
            assert!(new(&planned) <= new(&free), "{count}: {} {}", new(&planned), new(&free));
        }
    }

    #[test]
    fn there_is_nothing_to_choose_from_no_topics() {
        let settings = Settings::default();
        let situation = Situation {
            settings: &settings,
            subjects: &[],
            progress: &[],
            day: 0,
            plan: None,
            since_new: 0,
            skipped: &[],
        };
        assert_eq!(choose(&situation), None);
    }
}
