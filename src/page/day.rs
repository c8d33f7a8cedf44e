//! The start of a day: what is due, what is new, and how far the student is.

use serde::{Deserialize, Serialize};

use crate::draw::Code;
use crate::export::readable;
use crate::practice::{
    AttemptList, Digest, Exercise, Plan, Progress, Readiness, Record, Situation, Subject, TopicRow,
    USUAL_PACE, Unfinished, Why, choose, day_of, day_text, pace, some_of,
};
use crate::problem::Problem;
use crate::words::{counted, is_or_are, number};

use super::Page;
use super::catalogue::title_of;
use super::fault::Fault;
use super::state::State;
use super::talk::{Answered, Asked, read_date};

/// So many topics are listed for a day without an exam. A judgement: about half an hour.
const TOPICS_A_DAY: usize = 5;

/// No more are listed, however many are due.
const MOST_TOPICS: usize = 12;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Begin {
    record: AttemptList,
    #[serde(default)]
    exam: Option<String>,
    #[serde(default)]
    keep: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Reread {
    record: AttemptList,
}

#[derive(Serialize)]
struct Today {
    answers: u64,
    first: bool,
    sentences: Vec<String>,
    start: &'static str,
    list: Vec<ListRow>,
    minutes: u32,
    left: Option<LeftRow>,
    exam: Option<ExamRow>,
    ready: ReadyRow,
    table: bool,
}

#[derive(Serialize)]
struct ListRow {
    topic: String,
    title: String,
    objective: &'static str,
    objective_title: String,
    kind: &'static str,
    words: &'static str,
    #[serde(skip)]
    minutes: u32,
}

#[derive(Serialize)]
struct LeftRow {
    code: String,
    title: String,
    sentence: String,
}

#[derive(Serialize)]
struct ExamRow {
    date: String,
    days: i64,
    past: bool,
    sentences: Vec<String>,
}

#[derive(Serialize)]
struct ReadyRow {
    ready: usize,
    shaky: usize,
    not_yet: usize,
    all: usize,
    sentence: String,
}

/// Reads a record and begins with it.
pub(super) fn begin(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let Begin { record, exam, keep } = asked.with()?;
    let page = asked.page;
    let exam = exam.as_deref().map(|date| read_date(date).map_err(|what| asked.wrong(&what)));
    let exam = exam.transpose()?;
    let record = Digest::of(record, &page.settings)?;
    // A state that is torn or of another record is no reason to refuse the record.
    let before = asked.state().ok().filter(|before| keep && before.goes_on_with(&record));
    let state = match before {
        Some(before) => State { exam, record, ..before },
        None => State { exam, record, ..State::default() },
    };
    told(asked, state)
}

/// Reads a record that has grown without the page, and leaves the session as it is; what became of the
/// problem on the table is told at the next event.
pub(super) fn reread(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let Reread { record } = asked.with()?;
    let record = Digest::of(record, &asked.page.settings)?;
    told(asked, State { record, ..asked.state()? })
}

/// The start of the day again.
pub(super) fn today(asked: &Asked<'_>) -> Result<Answered, Fault> {
    told(asked, asked.state()?)
}

fn told(asked: &Asked<'_>, state: State) -> Result<Answered, Fault> {
    let day = Day::of(asked.page, &state, day_of(asked.at))?;
    asked.change(&day.today(), state)
}

/// A record on one day, in the light of the page's topics.
struct Day<'a> {
    page: &'a Page,
    state: &'a State,
    number: i64,
    subjects: Vec<Subject>,
    progress: Vec<Progress>,
    plan: Option<Plan>,
}

impl<'a> Day<'a> {
    fn of(page: &'a Page, state: &'a State, day: i64) -> Result<Self, Fault> {
        let subjects = Subject::all(&page.bank, |_| true);
        let progress = state.record.topics();
        let pace = pace(&state.record, day)?.unwrap_or(USUAL_PACE);
        let plan =
            state.exam.map(|exam| Plan::new(&subjects, &progress, &page.settings, day, exam, pace));
        Ok(Self { page, state, number: day, subjects, progress, plan })
    }

    fn today(&self) -> Today {
        let list = self.list();
        let answers = self.state.record.count().unwrap_or(0);
        let minutes = list.iter().map(|row| row.minutes).sum();
        let left = self.left();
        let rows = TopicRow::all(&self.subjects, &self.progress, &self.page.settings, self.number);
        let ready = ready(&rows);
        Today {
            answers,
            first: answers == 0 && left.is_none(),
            start: self.start(answers, left.is_some(), &list, &ready),
            sentences: self.sentences(answers, &list, minutes),
            list,
            minutes,
            left,
            exam: self.exam(&rows),
            ready,
            table: self.state.session.as_ref().is_some_and(|session| session.left().is_some()),
        }
    }

    /// The topics in the order in which they come: the one that is next is chosen, set aside, and the
    /// next chosen.
    fn list(&self) -> Vec<ListRow> {
        let (mut rows, mut aside, mut since_new) = (Vec::new(), Vec::new(), 0);
        let mut new = 0;
        while rows.len() < MOST_TOPICS.min(self.subjects.len()) {
            let situation = Situation {
                settings: &self.page.settings,
                subjects: &self.subjects,
                progress: &self.progress,
                day: self.number,
                plan: self.plan.as_ref(),
                since_new,
                skipped: &aside,
            };
            let Some(choice) = choose(&situation) else { break };
            let Some(subject) = self.subjects.get(choice.subject) else { break };
            let (kind, words) = match choice.why {
                Why::Due => ("review", "review"),
                Why::Begun => ("begun", "new, begun"),
                Why::New => ("new", "new"),
                Why::Longest => break,
            };
            if aside.contains(&subject.topic.id) {
                break;
            }
            if choice.why == Why::New {
                if !self.may_begin(new) {
                    break;
                }
                new += 1;
                since_new = 0;
            } else {
                since_new += 1;
            }
            if choice.why != Why::Due && rows.len() >= TOPICS_A_DAY {
                break;
            }
            aside.push(subject.topic.id.clone());
            let template = subject.next_template(subject.progress(&self.progress));
            rows.push(ListRow {
                topic: subject.topic.id.clone(),
                title: readable(&subject.topic.title),
                objective: subject.topic.objective.name(),
                objective_title: title_of(subject.topic.objective.name()),
                kind,
                words,
                minutes: template.map_or(0, |template| template.minutes),
            });
        }
        rows
    }

    /// Whether one more new topic is for today, after so many others on the list.
    fn may_begin(&self, listed: usize) -> bool {
        let Some(plan) = &self.plan else { return true };
        let today = self.progress.iter().filter(|each| each.first_day == self.number).count();
        today + listed < plan.new_a_day
    }

    fn sentences(&self, answers: u64, list: &[ListRow], minutes: u32) -> Vec<String> {
        let count = |kind| list.iter().filter(|row| row.kind == kind).count();
        let (due, begun, new) = (count("review"), count("begun"), count("new"));
        if answers == 0 {
            return vec![format!("{} to learn. Practice begins with the foundations.", {
                counted(self.subjects.len(), "topic")
            })];
        }
        let reviews = match due {
            0 => "Nothing is due for review today.".to_owned(),
            1 => "One review is due today.".to_owned(),
            due => format!("{} reviews are due today.", number(due)),
        };
        let mut said = vec![reviews];
        if !list.is_empty() {
            let kinds = [(due, "review"), (begun, "topic begun"), (new, "new topic")];
            let kinds = kinds.iter().filter(|(count, _)| *count > 0);
            let kinds: Vec<String> = kinds.map(|(count, noun)| kind_of(*count, noun)).collect();
            let minutes = counted(minutes as usize, "minute");
            let kinds = crate::words::listed(&kinds, "and");
            said.push(format!("Today: {kinds}; about {minutes}."));
        }
        let ended = self.state.record.ended_on(self.number);
        if ended > 0 {
            said.push(format!("You have finished {} today.", counted(ended, "problem")));
        }
        said
    }

    fn start(&self, answers: u64, left: bool, list: &[ListRow], ready: &ReadyRow) -> &'static str {
        match list.first().map(|row| row.kind) {
            _ if left => "Continue with this problem",
            _ if answers == 0 => "Start with the first problem",
            _ if ready.ready == ready.all => "Practise a topic",
            Some("new") if list.iter().all(|row| row.kind == "new") => "Begin a new topic",
            _ if self.state.record.ended_on(self.number) > 0 => "Continue today's practice",
            _ => "Start today's practice",
        }
    }

    /// The problem begun last of those that were left, if the page holds it.
    fn left(&self) -> Option<LeftRow> {
        self.state.record.begun().iter().rev().find_map(|left| self.left_row(left))
    }

    fn left_row(&self, left: &Unfinished) -> Option<LeftRow> {
        let problem = Problem::from_code(&self.page.bank, &Code::parse(&left.code).ok()?).ok()?;
        let title = readable(&problem.template.title);
        let exercise = Exercise::resume_by(problem, left, &self.page.rules);
        exercise.question()?;
        let tries = match exercise.tries() {
            0 => String::new(),
            1 => " One try at its question is used.".to_owned(),
            tries => format!(" {tries} tries at its question are used."),
        };
        let sentence = format!("You stopped in the problem “{title}”.{tries}");
        Some(LeftRow { code: left.code.clone(), title, sentence })
    }

    fn exam(&self, rows: &[TopicRow]) -> Option<ExamRow> {
        let plan = self.plan.as_ref()?;
        let (date, days) = (day_text(plan.exam), plan.exam - self.number);
        let mut said = Vec::new();
        match days {
            ..=-1 => said.push(format!("Your exam was on {}.", date_in_words(&date))),
            0 => said.push("Your exam is today. Only reviews are offered.".to_owned()),
            _ => {
                let days = counted(usize::try_from(days).unwrap_or(0), "day");
                said.push(format!("Your exam is on {}, in {days}.", date_in_words(&date)));
                let new = counted(plan.new_a_day, "new topic");
                said.push(match plan.new {
                    0 => "The plan is reviews only.".to_owned(),
                    _ => format!("The plan is {new} a day, reviews first."),
                });
            }
        }
        if days > 0 && !plan.left_out.is_empty() {
            let all = plan.new + plan.left_out.len();
            let title = |id: &String| rows.iter().find(|row| row.id == *id).map(|row| &row.title);
            let titles: Vec<String> = plan.left_out.iter().filter_map(title).cloned().collect();
            said.push(format!(
                "There is time for {} of {}. These are left for last: {}.",
                plan.new,
                counted(all, "new topic"),
                some_of(&titles)
            ));
        }
        Some(ExamRow { date, days, past: days < 0, sentences: said })
    }
}

/// `2 new topics`, `1 topic begun`.
fn kind_of(count: usize, noun: &str) -> String {
    match noun.split_once(' ') {
        Some(("topic", rest)) => format!("{} {rest}", counted(count, "topic")),
        _ => counted(count, noun),
    }
}

fn ready(rows: &[TopicRow]) -> ReadyRow {
    let count = |readiness| rows.iter().filter(|row| row.readiness == readiness).count();
    let [ready, shaky, not_yet] =
        [Readiness::Ready, Readiness::Shaky, Readiness::NotYet].map(count);
    let sentence = format!(
        "{ready} of {} {} ready, and {shaky} {} shaky.",
        counted(rows.len(), "topic"),
        is_or_are(ready),
        is_or_are(shaky)
    );
    ReadyRow { ready, shaky, not_yet, all: rows.len(), sentence }
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// `2026-12-14` as `14 December 2026`.
pub fn date_in_words(date: &str) -> String {
    let mut pieces = date.split('-').map(|piece| piece.parse::<usize>().unwrap_or(0));
    let (year, month, day) = (pieces.next(), pieces.next(), pieces.next());
    let month = month.and_then(|month| MONTHS.get(month.wrapping_sub(1)));
    match (year, month, day) {
        (Some(year), Some(month), Some(day)) => format!("{day} {month} {year}"),
        _ => date.to_owned(),
    }
}
