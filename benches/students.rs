//! What practice makes of simulated students: `cargo bench --bench students` prints the table.
//!
//! Two hundred students of each kind, with fixed seeds, work through the problems that practice brings
//! them, day after day. A problem counts, not an answer: whether it is solved is drawn by the chance
//! that the kind of student has. The bars are those that practice is held to; the program fails if
//! one is missed.

#![allow(clippy::float_arithmetic, reason = "shares of students and a model of forgetting")]
#![allow(clippy::needless_pass_by_value, reason = "numbers and texts of a table")]

use std::collections::BTreeMap;
use std::process::ExitCode;

use castmark::bank::{Bank, Objective};
use castmark::draw::{Seed, Stream};
use castmark::practice::{
    Attempt, Ending, Plan, Progress, Settings, Situation, Stage, Subject, Why, choose, luck,
};
use castmark::problem::Problem;

/// How many students there are of each kind.
const STUDENTS: u64 = 200;

/// After so many days half of what was learnt is forgotten.
const HALF_LIFE: f64 = 4.0;

/// A kind of student.
#[derive(Clone, Copy, Debug)]
enum Kind {
    /// Solves every problem.
    Perfect,
    /// Solves so many problems of a thousand.
    Right(u64),
    /// Guesses: solves a problem as often as its kind of answer lets happen.
    Guessing,
    /// Solves what is not forgotten.
    Forgetting,
}

/// What is practised in.
struct School {
    settings: Settings,
    subjects: Vec<Subject>,
    /// For each template how often guessing solves it, in a thousand.
    lucks: BTreeMap<String, u32>,
}

/// One student, and what has become of him.
struct Student {
    kind: Kind,
    chance: Stream,
    progress: Vec<Progress>,
    number: u64,
    since_new: u32,
    /// How often each topic was practised, and on which day last.
    practised: BTreeMap<String, (u64, i64)>,
    /// The topics that were ever known.
    ever_known: Vec<String>,
    /// How many topics were met and known at the end of each day.
    days: Vec<(usize, usize)>,
    /// The objectives met on the first day.
    first_day: Vec<Objective>,
}

impl School {
    fn new() -> Self {
        let bank = Bank::bundled().expect("the bank is sound");
        let settings = Settings::default();
        let chance = |template| {
            let problem = Problem::draw(&bank, template, 1).expect("a problem is drawn");
            (template.id.clone(), luck(&problem, &settings))
        };
        let lucks = bank.templates().iter().map(chance).collect();
        Self { subjects: Subject::all(&bank, |_| true), settings, lucks }
    }

    /// A student after so many days of so many problems, perhaps with an exam behind the last day.
    fn taught(&self, kind: Kind, number: u64, days: i64, problems: u64, exam: bool) -> Student {
        let seed = Seed::derive(b"students", "students 1", &[&format!("{kind:?}")]);
        let mut student = Student {
            kind,
            chance: Stream::numbered(&seed, number),
            progress: Vec::new(),
            number: 0,
            since_new: 0,
            practised: BTreeMap::new(),
            ever_known: Vec::new(),
            days: Vec::new(),
            first_day: Vec::new(),
        };
        for day in 0..days {
            for _ in 0..problems {
                let pace = usize::try_from(problems).unwrap_or(20);
                let plan = exam.then(|| {
                    Plan::new(&self.subjects, &student.progress, &self.settings, day, days, pace)
                });
                self.one_problem(&mut student, day, plan.as_ref());
            }
            let stage = |each: &&Subject| each.stage(&student.progress, &self.settings);
            let known = |each: &&Subject| stage(each) == Stage::Known;
            student
                .days
                .push((student.practised.len(), self.subjects.iter().filter(known).count()));
        }
        student
    }

    fn one_problem(&self, student: &mut Student, day: i64, plan: Option<&Plan>) {
        let situation = Situation {
            settings: &self.settings,
            subjects: &self.subjects,
            progress: &student.progress,
            day,
            plan,
            since_new: student.since_new,
            skipped: &[],
        };
        let choice = choose(&situation).expect("there are topics");
        let subject = &self.subjects[choice.subject];
        let known = subject.progress(&student.progress).cloned();
        let template = subject.next_template(known.as_ref()).expect("a topic has templates");
        let steps = u32::try_from(template.steps).unwrap_or(0);
        let faded = known.as_ref().and_then(|known| known.template(&template.id));
        let missing = faded.map_or(0, |one| one.missing).min(steps);
        let id = subject.topic.id.clone();
        let luck = self.lucks.get(&template.id).copied().unwrap_or(0);
        let ended = student.tries(&id, day, luck);
        let attempt = Attempt {
            at: day * 86_400,
            objective: subject.topic.objective.name().to_owned(),
            topic: id.clone(),
            template: template.id.clone(),
            code: String::new(),
            part: String::new(),
            answer: "1".to_owned(),
            right: ended == Ending::Alone,
            marks: 0,
            of: 1,
            slips: Vec::new(),
            hints: 0,
            missing,
            steps,
            luck,
            ended: Some(ended),
        };
        student.number += 1;
        student.since_new = if choice.why == Why::New { 0 } else { student.since_new + 1 };
        let next = Progress::after(known, &attempt, student.number, &self.settings);
        match student.progress.iter().position(|each| each.topic == id) {
            Some(place) => student.progress[place] = next,
            None => student.progress.push(next),
        }
        if day == 0 && !student.first_day.contains(&subject.topic.objective) {
            student.first_day.push(subject.topic.objective);
        }
        let is_known = subject.stage(&student.progress, &self.settings) == Stage::Known;
        if is_known && !student.ever_known.contains(&id) {
            student.ever_known.push(id.clone());
        }
        let practised = student.practised.entry(id).or_default();
        *practised = (practised.0 + 1, day);
    }

    fn topics(&self) -> usize {
        self.subjects.len()
    }
}

impl Student {
    /// How a problem of the topic ends for this student.
    fn tries(&mut self, topic: &str, day: i64, luck: u32) -> Ending {
        let in_a_thousand = |chance: f64| {
            (0_u32..=1000).rev().find(|n| f64::from(*n) <= chance * 1000.0).unwrap_or(0)
        };
        let alone = match self.kind {
            Kind::Perfect => 1000,
            Kind::Right(often) => often,
            Kind::Guessing => u64::from(luck),
            Kind::Forgetting => match self.practised.get(topic) {
                Some((_, last)) => u64::from(in_a_thousand(remembered(day - last))),
                None => 500,
            },
        };
        if self.chance.below(1000) < alone {
            return Ending::Alone;
        }
        // A guesser has a second try at what is left, which goes well twice as often.
        let helped = match self.kind {
            Kind::Guessing => u64::from(luck) * 2,
            _ => 0,
        };
        if self.chance.below(1000) < helped { Ending::Helped } else { Ending::NotSolved }
    }

    /// How many topics this student remembers on a day.
    fn remembers(&self, day: i64) -> f64 {
        self.practised.values().map(|(_, last)| remembered(day - last)).sum()
    }
}

/// The share that is left after so many days.
fn remembered(days: i64) -> f64 {
    (-f64::from(i32::try_from(days).unwrap_or(i32::MAX)) / HALF_LIFE).exp2()
}

/// What a student remembers who practises as many problems, one topic after the other.
fn massed(topics: usize, days: i64, problems: u64) -> f64 {
    let count = |number: usize| f64::from(u32::try_from(number).unwrap_or(u32::MAX));
    let a_day = count(usize::try_from(problems).unwrap_or(1));
    let all = a_day * count(usize::try_from(days).unwrap_or(1));
    let last = |topic: usize| ((all * count(topic + 1) / count(topics) - 1.0) / a_day).floor();
    let since = |topic: usize| count(usize::try_from(days).unwrap_or(0)) - last(topic);
    (0..topics).map(|topic| (-since(topic) / HALF_LIFE).exp2()).sum()
}

/// One line of the table.
struct Line {
    bar: &'static str,
    wanted: String,
    found: String,
    holds: bool,
}

fn line(bar: &'static str, wanted: impl ToString, found: impl ToString, holds: bool) -> Line {
    Line { bar, wanted: wanted.to_string(), found: found.to_string(), holds }
}

fn perfect(school: &School) -> Vec<Line> {
    let students: Vec<Student> =
        (0..STUDENTS).map(|n| school.taught(Kind::Perfect, n, 10, 60, false)).collect();
    let objectives = students.iter().map(|each| each.first_day.len()).min().unwrap_or(0);
    let met = students.iter().map(|each| each.days[4].0).min().unwrap_or(0);
    let known = students.iter().map(|each| each.days[9].1).min().unwrap_or(0);
    let (topics, all) = (school.topics(), Objective::ALL.len());
    let wanted = (topics * 9).div_ceil(10);
    vec![
        line("perfect, 60 a day: objectives met on day 1", all, objectives, objectives == all),
        line("perfect, 60 a day: topics met by day 5", topics, met, met == topics),
        line("perfect, 60 a day: topics known by day 10", wanted, known, known >= wanted),
    ]
}

fn right(school: &School) -> Vec<Line> {
    let students: Vec<Student> =
        (0..STUDENTS).map(|n| school.taught(Kind::Right(850), n, 14, 30, false)).collect();
    let met = students.iter().map(|each| each.days[13].0).min().unwrap_or(0);
    let mut known: Vec<usize> = students.iter().map(|each| each.days[13].1).collect();
    known.sort_unstable();
    let most = |each: &Student| each.practised.values().map(|(times, _)| *times).max();
    let most = students.iter().filter_map(most).max().unwrap_or(0);
    let topics = school.topics();
    let half = topics.div_ceil(2);
    vec![
        line("85 %, 30 a day, 14 days: topics met", topics, met, met == topics),
        line("85 %: topics known, the weakest student", half, known[0], known[0] >= half),
        line("85 %: topics known, the median student", half, known[known.len() / 2], true),
        line("85 %: most problems of one topic", "12 at most", most, most <= 12),
    ]
}

fn guessing(school: &School) -> Vec<Line> {
    let students: Vec<Student> =
        (0..STUDENTS).map(|n| school.taught(Kind::Guessing, n, 5, 40, false)).collect();
    let known: usize = students.iter().map(|each| each.ever_known.len()).sum();
    let all = students.len() * school.topics();
    let hundredths = known * 10_000 / all;
    let shown = format!("{}.{:02} %", hundredths / 100, hundredths % 100);
    vec![line("guessing, 200 problems: topics ever known", "2 % at most", shown, hundredths <= 200)]
}

fn forgetting(school: &School) -> Vec<Line> {
    let students: Vec<Student> =
        (0..STUDENTS).map(|n| school.taught(Kind::Forgetting, n, 14, 30, true)).collect();
    let least = students.iter().map(|each| each.remembers(14)).fold(f64::INFINITY, f64::min);
    let massed = massed(school.topics(), 14, 30);
    let (shown, wanted) = (format!("{least:.1}"), format!("more than {massed:.1}"));
    vec![line("forgetting, 14 days: topics remembered at the exam", wanted, shown, least > massed)]
}

fn main() -> ExitCode {
    let school = School::new();
    let lines: Vec<Line> =
        [perfect, right, guessing, forgetting].iter().flat_map(|kind| kind(&school)).collect();
    println!("{STUDENTS} students of each kind; {} topics", school.topics());
    println!("| bar | wanted | the worst of them | holds |\n| --- | --- | --- | --- |");
    for Line { bar, wanted, found, holds } in &lines {
        println!("| {bar} | {wanted} | {found} | {} |", if *holds { "yes" } else { "no" });
    }
    if lines.iter().all(|line| line.holds) { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
