//! What the student does: beginning a session, opening a problem, and all that is done with it.

use serde::{Deserialize, Serialize};
use serde_json::value::to_raw_value;

use crate::draw::{Code, Seed, Stream};
use crate::export::readable;
use crate::practice::{
    Coming, EndedShown, Event, Outcome, Phase, Room, Session, Shown, VerdictShown, Why, Wish,
};
use crate::problem::Problem;
use crate::words::out_of;

use super::answer::{Answer, Unread};
use super::fault::Fault;
use super::pieces::Solution;
use super::replay::Replay;
use super::state::State;
use super::table::Table;
use super::talk::{Answered, Asked};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Practise {
    #[serde(default)]
    topic: Option<String>,
    #[serde(default)]
    objective: Option<String>,
    #[serde(default)]
    template: Option<String>,
    #[serde(default)]
    whole: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ByCode {
    code: String,
}

/// What the student does with the problem on the table.
#[derive(Deserialize)]
#[serde(tag = "event", rename_all = "kebab-case")]
enum Act {
    Answer { answer: Answer },
    Points { made: Vec<bool> },
    Hint,
    Pass,
    GoOn,
    Skip,
    NewNumbers,
    GiveUp,
    Stop,
}

/// The table, and what has just happened at it.
#[derive(Serialize)]
struct AtTable<'a> {
    news: Option<News>,
    table: Option<Table<'a>>,
}

/// What has just happened.
#[derive(Serialize)]
struct News {
    kind: &'static str,
    text: String,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    sentences: Vec<String>,
    #[serde(flatten)]
    unread: Option<Unread>,
}

/// Begins a session.
pub(super) fn practise(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let Practise { topic, objective, template, whole } = asked.with()?;
    let mut state = asked.state()?;
    let seed = asked.seed();
    let wish = Wish { objective, topic, template, whole, exam: state.exam, seed };
    state.session = Some(Session::new(wish));
    asked.take(&Event::Start, state)
}

/// Opens the problem of a code.
pub(super) fn open(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let ByCode { code } = asked.with()?;
    let mut state = asked.state()?;
    let wish = Wish { exam: state.exam, seed: asked.seed(), ..Wish::default() };
    // What was practised before goes on behind this problem.
    let session = state.session.take().filter(|session| session.phase() != Phase::Over);
    state.session = Some(session.unwrap_or_else(|| Session::new(wish)));
    asked.take(&Event::Open(code), state)
}

/// The table again.
pub(super) fn table(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let state = asked.state()?;
    let with = AtTable { news: None, table: Table::of(asked.page, &state)? };
    asked.say(&with)
}

/// The worked solution of a problem.
pub(super) fn solution(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let ByCode { code } = asked.with()?;
    let code = Code::parse(&code).map_err(crate::practice::SessionProblem::from)?;
    let problem = Problem::from_code(&asked.page.bank, &code)?;
    asked.say(&Solution::of(asked.page, &problem)?)
}

/// Takes what the student does.
pub(super) fn act(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let act: Act = asked.with()?;
    let state = asked.state()?;
    let event = match act {
        Act::Answer { answer } => match asked.typed(&answer, &state)? {
            Ok(text) => Event::Answer(text),
            Err(unread) => {
                let table = Table::of(asked.page, &state)?;
                return asked.say(&AtTable { news: Some(News::unread(unread)), table });
            }
        },
        Act::Points { made } => Event::Points(made),
        Act::Hint => Event::Hint,
        Act::Pass => Event::Pass,
        Act::GoOn => Event::GoOn,
        Act::Skip => Event::Skip,
        Act::NewNumbers => Event::NewNumbers,
        Act::GiveUp => Event::Solution,
        Act::Stop => Event::Stop,
    };
    asked.take(&event, state)
}

impl Asked<'_> {
    /// The number that chooses the problems: the page's own, or one that the moment gives.
    fn seed(&self) -> u64 {
        self.page.contents.seed.unwrap_or_else(|| {
            let seed = Seed::derive(b"castmark page", "castmark page 1", &[&self.at.to_string()]);
            Stream::new(&seed).word()
        })
    }

    /// The answer as it would be typed, or why it cannot be read.
    fn typed(&self, answer: &Answer, state: &State) -> Result<Result<String, Unread>, Fault> {
        let replay = Replay::of(self.page, state)?;
        let part = replay.as_ref().and_then(|replay| replay.exercise.part());
        match part {
            Some(part) => answer.typed(part).map_err(|what| self.wrong(&what)),
            // Nothing is asked, so nothing comes of it.
            None => Ok(Ok(String::new())),
        }
    }

    /// Passes an event to the session, and tells what came of it.
    fn take(&self, event: &Event, mut state: State) -> Result<Answered, Fault> {
        let page = self.page;
        let before = page.part_asked(&state)?;
        let Some(session) = &mut state.session else {
            return self.change(&AtTable { news: None, table: None }, state);
        };
        let (bank, settings) = (&page.bank, &page.settings);
        let mut room =
            Room { bank, settings, rules: &page.rules, record: &mut state.record, at: self.at };
        let shown = session.take(event, &mut room)?;
        if matches!(event, Event::Start | Event::Open(_)) || shown.iter().any(is_problem) {
            state.ended = None;
        }
        if matches!(event, Event::Open(_)) {
            "This problem was opened from a link. It counts in your record like any other."
                .clone_into(&mut state.place);
        }
        for shown in &shown {
            match shown {
                Shown::Coming(coming) => state.place = page.place(&state, coming, self.at),
                Shown::Resumed { .. } => state.place = shown.sentences().concat(),
                Shown::Ended(ended) => state.ended = Some(ended.clone()),
                _ => {}
            }
        }
        let news = news(&shown, before.as_ref());
        let with = AtTable { news, table: Table::of(page, &state)? };
        let with = to_raw_value(&with).map_err(Fault::failed)?;
        self.change(&with, state)
    }
}

fn is_problem(shown: &Shown) -> bool {
    matches!(shown, Shown::Problem(_))
}

impl super::Page {
    /// The part that is asked.
    fn part_asked(&self, state: &State) -> Result<Option<crate::problem::Part>, Fault> {
        Ok(Replay::of(self, state)?.and_then(|replay| replay.exercise.part().cloned()))
    }

    /// Where the student is, and why this topic comes now.
    fn place(&self, state: &State, coming: &Coming, at: i64) -> String {
        let title = readable(&coming.title);
        let number = state.record.ended_on(crate::practice::day_of(at)) + 1;
        let why = match coming.why {
            Some(Why::Due) => format!("{title}, a review."),
            Some(Why::Begun) => format!("{title}, a topic you have begun."),
            Some(Why::New) => format!("{title}, a new topic.{}", self.builds_on(&coming.topic)),
            Some(Why::Longest) => {
                format!("{title}. You know all topics, and this one has waited longest.")
            }
            None => format!("{title}, the same kind of problem with new numbers."),
        };
        format!("Problem {number} today: {why}")
    }

    fn builds_on(&self, topic: &str) -> String {
        let before = self.bank.topic(topic).map(|topic| topic.builds_on.as_slice());
        let titles: Vec<String> = before
            .unwrap_or_default()
            .iter()
            .filter_map(|id| Some(readable(&self.bank.topic(id)?.title)))
            .collect();
        if titles.is_empty() {
            return String::new();
        }
        format!(" It builds on: {}.", crate::words::listed(&titles, "and"))
    }
}

/// What has happened: the most telling of what there is to show.
fn news(shown: &[Shown], part: Option<&crate::problem::Part>) -> Option<News> {
    let find = |wanted: fn(&Shown) -> bool| shown.iter().find(|each| wanted(each));
    let told = |shown: &Shown| shown.sentences().join(" ");
    if let Some(Shown::Verdict(verdict)) = find(|each| matches!(each, Shown::Verdict(_))) {
        return Some(match verdict.outcome {
            Outcome::NotRead => News::unread(Unread::of(part, verdict)),
            _ => News::new("verdict", verdict_line(verdict)),
        });
    }
    for (kind, wanted) in [
        ("elsewhere", (|each| matches!(each, Shown::Elsewhere { .. })) as fn(&Shown) -> bool),
        ("same", |each| matches!(each, Shown::SameAnswer)),
        ("hint", |each| matches!(each, Shown::Hint(_))),
        ("points", |each| matches!(each, Shown::Points(_))),
        ("answer", |each| matches!(each, Shown::Answer { .. })),
        ("resumed", |each| matches!(each, Shown::Resumed { .. })),
        ("problem", is_problem),
        ("question", |each| matches!(each, Shown::Question(_))),
        ("ended", |each| matches!(each, Shown::Ended(_))),
    ] {
        if let Some(shown) = find(wanted) {
            let text = match shown {
                Shown::Hint(hint) => hint.text.clone(),
                Shown::Problem(problem) => problem.title.clone(),
                Shown::Points(_) => "Compare with the points.".to_owned(),
                shown => told(shown),
            };
            return Some(News::new(kind, text));
        }
    }
    let over = find(|each| matches!(each, Shown::Over(_)))?;
    Some(News { sentences: over.sentences(), ..News::new("over", told(over)) })
}

fn verdict_line(verdict: &VerdictShown) -> String {
    format!("{}. {}.", verdict.heading(), out_of(verdict.marks, verdict.of))
}

impl News {
    fn new(kind: &'static str, text: impl AsRef<str>) -> Self {
        Self { kind, text: readable(text.as_ref()), sentences: Vec::new(), unread: None }
    }

    fn unread(unread: Unread) -> Self {
        let said = Self::new("unread", &unread.said);
        Self { unread: Some(unread), ..said }
    }
}

/// How a problem ended, for the table.
pub(super) fn ended(state: &State) -> Option<&EndedShown> {
    let over = state.session.as_ref().map(Session::phase) == Some(Phase::Between);
    state.ended.as_ref().filter(|_| over)
}
