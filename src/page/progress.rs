//! How far the student is: the report on a record.

use serde::{Deserialize, Serialize};

use crate::export::{days_plot, readable};
use crate::practice::{
    AttemptList, MEANING, ObjectiveRow, Overview, Readiness, SlipRow, TopicRow, day_of, day_text,
};
use crate::words::counted;

use super::fault::Fault;
use super::talk::{Answered, Asked, read_date};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct With {
    record: AttemptList,
    #[serde(default)]
    exam: Option<String>,
}

#[derive(Serialize)]
struct Report {
    sentences: Vec<String>,
    week: String,
    meaning: &'static str,
    objectives: Vec<ObjectiveShown>,
    topics: Vec<TopicShown>,
    due: Vec<DueRow>,
    days: Vec<DayShown>,
    plot_svg: Option<String>,
    plot_caption: &'static str,
    slips: Vec<SlipShown>,
    gone: usize,
    gone_sentence: String,
}

#[derive(Serialize)]
struct ObjectiveShown {
    id: &'static str,
    title: String,
    words: String,
    ready: usize,
    shaky: usize,
    not_yet: usize,
    topics: Vec<Readiness>,
}

#[derive(Serialize)]
struct TopicShown {
    id: String,
    title: String,
    objective: &'static str,
    readiness: Readiness,
    now: &'static str,
    next: String,
    words: String,
}

#[derive(Serialize)]
struct DueRow {
    topic: String,
    title: String,
    reason: String,
}

#[derive(Serialize)]
struct DayShown {
    date: String,
    problems: u64,
    answers: u64,
    correct: u64,
    known: usize,
}

#[derive(Serialize)]
struct SlipShown {
    says: String,
    times: String,
    code: String,
    title: String,
    answer: String,
    words: String,
}

/// From the third day on there is something to plot.
const DAYS_OF_A_PLOT: usize = 3;

/// A report on a record.
pub(super) fn report(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let With { record, exam } = asked.with()?;
    let exam = exam.as_deref().map(|date| read_date(date).map_err(|what| asked.wrong(&what)));
    let page = asked.page;
    let day = day_of(asked.at);
    let exam = exam.transpose()?;
    let overview = Overview::of(&page.bank, &record, &page.settings, day, exam)?;
    let topics = |row: &ObjectiveRow| {
        let here = overview.topics.iter().filter(|topic| topic.objective == row.objective);
        here.map(|topic| topic.readiness).collect()
    };
    let objective = |row: &ObjectiveRow| ObjectiveShown {
        id: row.objective.name(),
        title: row.title(),
        words: format!("{} ready, {} shaky, {} not yet", row.ready, row.shaky, row.not_yet),
        ready: row.ready,
        shaky: row.shaky,
        not_yet: row.not_yet,
        topics: topics(row),
    };
    asked.say(&Report {
        sentences: overview.summary().iter().map(|text| readable(text)).collect(),
        week: week(&overview),
        meaning: MEANING,
        objectives: overview.objectives.iter().map(objective).collect(),
        topics: overview.topics.iter().map(topic).collect(),
        due: overview.due().map(due).collect(),
        days: overview.days.iter().map(day_row).collect(),
        plot_svg: (overview.days.len() >= DAYS_OF_A_PLOT).then(|| days_plot(&overview).svg("days")),
        plot_caption: if overview.forecast.is_some() {
            "Line: so far. Dashes: at the same pace until the exam."
        } else {
            "A topic is known when each kind of problem was solved alone."
        },
        slips: overview.slips.iter().map(slip).collect(),
        gone: overview.gone,
        gone_sentence: gone(overview.gone),
    })
}

/// What was done in the last seven days, in a sentence.
fn week(overview: &Overview) -> String {
    let days = overview.days.iter().filter(|row| row.day > overview.day - 7);
    let days: Vec<_> = days.filter(|row| row.day <= overview.day).collect();
    let sum = |count: fn(&crate::practice::DayRow) -> u64| {
        usize::try_from(days.iter().map(|row| count(row)).sum::<u64>()).unwrap_or(usize::MAX)
    };
    if days.is_empty() {
        return "You have not practised in the last seven days.".to_owned();
    }
    format!(
        "In the last seven days you practised on {} and finished {}: {} of {} were correct.",
        counted(days.len(), "day"),
        counted(sum(|row| row.problems), "problem"),
        sum(|row| row.correct),
        counted(sum(|row| row.answers), "answer")
    )
}

fn topic(row: &TopicRow) -> TopicShown {
    TopicShown {
        id: row.id.clone(),
        title: readable(&row.title),
        objective: row.objective.name(),
        readiness: row.readiness,
        now: row.readiness.name(),
        next: match row.review_in {
            Some(..=-1) => "overdue".to_owned(),
            Some(0) => "today".to_owned(),
            Some(1) => "tomorrow".to_owned(),
            Some(days) => format!("in {days} days"),
            None => String::new(),
        },
        words: readable(&row.words()),
    }
}

fn due(row: &TopicRow) -> DueRow {
    let reason = match row.review_in {
        Some(..=-1) => "The review is overdue.",
        _ => "The review is due today.",
    };
    DueRow { topic: row.id.clone(), title: readable(&row.title), reason: reason.to_owned() }
}

fn day_row(row: &crate::practice::DayRow) -> DayShown {
    DayShown {
        date: day_text(row.day),
        problems: row.problems,
        answers: row.answers,
        correct: row.correct,
        known: row.known,
    }
}

fn slip(row: &SlipRow) -> SlipShown {
    SlipShown {
        says: readable(&row.says),
        times: match row.count {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            count => format!("{count} times"),
        },
        code: row.code.clone(),
        title: readable(&row.title),
        answer: readable(&row.answer),
        words: readable(&row.words()),
    }
}

fn gone(topics: usize) -> String {
    match topics {
        0 => String::new(),
        1 => {
            "Your record also holds answers to one topic that is no longer in this page.".to_owned()
        }
        count => format!(
            "Your record also holds answers to {count} topics that are no longer in this page."
        ),
    }
}
