//! The table: the problem as far as it has come, whole, so that a page can be drawn from it alone.

use serde::Serialize;

use crate::export::readable;
use crate::practice::{Phase, Question, Session, answer_in_words};
use crate::problem::{Part, Problem, letter};
use crate::words::{number, out_of, worth};

use super::Page;
use super::asked::AskedPart;
use super::catalogue::title_of;
use super::fault::Fault;
use super::hints::{HintRow, hint_name, hints, note};
use super::practising::ended;
use super::replay::{Done, Replay, Tried};
use super::state::State;
use super::tried::{Kept, Try, Trying};

/// The problem on the table.
#[derive(Serialize)]
pub(super) struct Table<'a> {
    code: String,
    title: String,
    topic: Named,
    objective: Named,
    marks: u32,
    worth: String,
    number: u64,
    place: &'a str,
    phase: &'static str,
    stem_html: String,
    given: Vec<GivenRow>,
    example: Option<Example>,
    tray: Vec<TrayRow>,
    parts: Vec<DonePart>,
    question: Option<OpenPart>,
    ended: Option<EndedRow>,
    can: Can,
}

#[derive(Serialize)]
struct Named {
    id: String,
    title: String,
}

#[derive(Serialize)]
struct GivenRow {
    label: String,
    value: String,
}

/// The working as far as it is shown.
#[derive(Serialize)]
struct Example {
    kind: &'static str,
    heading: &'static str,
    sentence: &'static str,
    steps_html: String,
}

#[derive(Serialize)]
struct TrayRow {
    letter: String,
    marks: u32,
    earned: Option<u32>,
    asked: bool,
}

/// A question that is behind the student.
#[derive(Serialize)]
struct DonePart {
    #[serde(flatten)]
    asked: AskedPart,
    earned: u32,
    score: String,
    tries: Vec<Try>,
    hints: Vec<HintRow>,
    answer: Option<AnswerRow>,
}

/// The question that is open.
#[derive(Serialize)]
struct OpenPart {
    #[serde(flatten)]
    asked: AskedPart,
    tries: Vec<Try>,
    hints: Vec<HintRow>,
    second: bool,
    second_heading: &'static str,
    tries_left: u32,
    points: Option<PointsRow>,
    kept: Option<Kept>,
}

#[derive(Serialize)]
struct HintName {
    name: &'static str,
    helps: bool,
}

#[derive(Serialize)]
struct AnswerRow {
    heading: &'static str,
    lines: Vec<String>,
}

/// What the student marks an answer by.
#[derive(Serialize)]
struct PointsRow {
    written: String,
    heading: &'static str,
    legend: String,
    points: Vec<String>,
    model: bool,
    counts: Vec<String>,
}

#[derive(Serialize)]
struct EndedRow {
    ending: crate::practice::Ending,
    heading: &'static str,
    sentences: Vec<String>,
    marks: u32,
    of: u32,
    score: String,
    rest_html: Option<String>,
    theory: bool,
}

/// What can be done now.
#[derive(Default, Serialize)]
#[allow(clippy::struct_excessive_bools, reason = "each stands for a button of the page")]
struct Can {
    hint: Option<HintName>,
    pass: bool,
    skip: bool,
    new_numbers: bool,
    give_up: bool,
}

/// How often one question may be answered.
const MOST_TRIES: u32 = 2;

impl<'a> Table<'a> {
    /// What is on the table.
    pub(super) fn of(page: &Page, state: &'a State) -> Result<Option<Self>, Fault> {
        let Some(replay) = Replay::of(page, state)? else { return Ok(None) };
        let Some(session) = &state.session else { return Ok(None) };
        let maker = Maker { page, session, replay: &replay };
        let problem = &replay.exercise.problem;
        let template = &problem.template;
        let topic = page.bank.topic(&template.topic);
        let ended = ended(state);
        let phase = match session.phase() {
            Phase::Points => "points",
            Phase::Reading => "reading",
            Phase::Between => "ended",
            Phase::Fresh | Phase::Asking | Phase::Over => "asking",
        };
        Ok(Some(Table {
            code: problem.code.as_ref().map(ToString::to_string).unwrap_or_default(),
            title: readable(&template.title),
            topic: Named {
                id: template.topic.clone(),
                title: topic.map(|topic| readable(&topic.title)).unwrap_or_default(),
            },
            objective: Named {
                id: template.objective.name().to_owned(),
                title: title_of(template.objective.name()),
            },
            marks: replay.exercise.marks().1,
            worth: worth(replay.exercise.marks().1),
            number: session.number(),
            place: &state.place,
            phase,
            stem_html: page.pieces.stem(page, problem)?,
            given: given(page, problem),
            example: maker.example()?,
            tray: maker.tray(),
            parts: replay.done.iter().map(|done| maker.done(done)).collect::<Result<_, _>>()?,
            question: maker.open(),
            ended: ended.map(|ended| maker.ended(ended)).transpose()?,
            can: maker.can()?,
        }))
    }
}

fn given(page: &Page, problem: &Problem) -> Vec<GivenRow> {
    let told = problem.numbers_told(&page.bank).into_iter();
    told.map(|(label, value)| GivenRow { label: readable(&label), value: readable(&value) })
        .collect()
}

struct Maker<'a> {
    page: &'a Page,
    session: &'a Session,
    replay: &'a Replay,
}

impl Maker<'_> {
    fn problem(&self) -> &Problem {
        &self.replay.exercise.problem
    }

    fn asked(&self, question: Question) -> Option<AskedPart> {
        let part = self.problem().parts.get(question.part)?;
        let parts = self.problem().parts.len();
        Some(AskedPart::of(part, question, parts, self.replay.exercise.blank()))
    }

    fn example(&self) -> Result<Option<Example>, Fault> {
        let exercise = &self.replay.exercise;
        let (blank, shown) = (exercise.blank(), exercise.shown());
        let until = blank.map_or(shown, |blank| blank + 1);
        if until == 0 {
            return Ok(None);
        }
        // Once the result is found, the example is shown as it is.
        let asked = blank.filter(|_| self.replay.done.is_empty());
        let steps_html = self.page.pieces.steps(self.page, exercise, 0..until, asked)?;
        Ok(Some(match blank {
            Some(_) => Example {
                kind: "example",
                heading: "Worked example",
                sentence: "One result is missing. Work it out from the lines above it.",
                steps_html,
            },
            None => Example {
                kind: "begun",
                heading: "The first steps",
                sentence: "The working has been begun for you. Continue from here.",
                steps_html,
            },
        }))
    }

    fn tray(&self) -> Vec<TrayRow> {
        let questions = self.replay.exercise.questions();
        let parts = &self.problem().parts;
        let row = |(index, part): (usize, &Part)| {
            let done = self.replay.done.iter().find(|done| done.question.part == index);
            TrayRow {
                letter: if parts.len() > 1 { letter(index, 'a') } else { String::new() },
                marks: part.marks,
                earned: done.map(|done| done.earned),
                asked: questions.iter().any(|question| question.part == index),
            }
        };
        parts.iter().enumerate().map(row).collect()
    }

    fn trying(&self, question: Question) -> Trying<'_> {
        let last = self.replay.exercise.questions().last();
        Trying {
            bank: &self.page.bank,
            problem: self.problem(),
            index: question.part,
            last: last.is_none_or(|last| last.part == question.part),
        }
    }

    fn tries(&self, question: Question, tried: &Tried) -> Vec<Try> {
        let trying = self.trying(question);
        let tries = (1..).zip(&tried.answers);
        tries.map(|(number, (answer, judged))| trying.told(number, answer, judged)).collect()
    }

    fn done(&self, done: &Done) -> Result<DonePart, Fault> {
        let asked = self.asked(done.question);
        let mut asked = asked.ok_or_else(|| Fault::failed("a part of the problem is missing"))?;
        let marks = self.problem().parts.get(done.question.part).map_or(0, |part| part.marks);
        note(&mut asked, &done.tried, self.problem(), done.question, false);
        let correct =
            done.tried.answers.last().is_some_and(|(_, judged)| judged.marked.is_correct());
        // Who marked the answer by the key has seen that.
        let answer = if correct || done.by_points {
            None
        } else {
            let (part, step) = (done.question.part, done.question.step);
            let lines = answer_in_words(self.problem(), part, step, &self.page.bank)?;
            let lines = lines.iter().map(|line| readable(line)).collect();
            Some(AnswerRow { heading: "The answer", lines })
        };
        Ok(DonePart {
            asked,
            earned: done.earned,
            score: out_of(done.earned, marks),
            tries: self.tries(done.question, &done.tried),
            hints: hints(self.problem(), done.question, &done.tried),
            answer,
        })
    }

    fn open(&self) -> Option<OpenPart> {
        if !matches!(self.session.phase(), Phase::Asking | Phase::Points) {
            return None;
        }
        let exercise = &self.replay.exercise;
        let (question, tried) = (exercise.question()?, &self.replay.open);
        let mut asked = self.asked(question)?;
        note(&mut asked, tried, self.problem(), question, true);
        let kept = tried.answers.last().and_then(|(_, judged)| Kept::of(judged));
        Some(OpenPart {
            asked,
            tries: self.tries(question, tried),
            hints: hints(self.problem(), question, tried),
            second: exercise.tries() > 0,
            second_heading: "Second try",
            tries_left: MOST_TRIES.saturating_sub(exercise.tries()),
            points: self.points(question),
            kept,
        })
    }

    fn points(&self, question: Question) -> Option<PointsRow> {
        let exercise = &self.replay.exercise;
        let written = exercise.written().filter(|_| self.session.phase() == Phase::Points)?;
        let part = self.problem().parts.get(question.part)?;
        let (points, model): (Vec<String>, bool) = match exercise.points() {
            Some(points) => (points.iter().map(|point| readable(&point.text)).collect(), false),
            None => (vec![readable(&part.response.answer())], true),
        };
        let by = "by your own marking";
        let counts = (0..=points.len())
            .map(|made| {
                let marks = if model { made as u64 * u64::from(part.marks) } else { made as u64 };
                let marks = u32::try_from(marks).unwrap_or(part.marks).min(part.marks);
                let score = out_of(marks, part.marks);
                match (model, made) {
                    (true, 0) => format!("It does not say the same: {score}, {by}."),
                    (true, _) => format!("It says the same: {score}, {by}."),
                    (false, 1) => format!("One point: {score}, {by}."),
                    (false, made) => {
                        format!("{} points: {score}, {by}.", number(made))
                    }
                }
            })
            .collect();
        let legend = if model {
            "Mark the answer of the key if yours says the same"
        } else {
            "Mark every point that your answer makes, in whatever words"
        };
        Some(PointsRow {
            written: written.to_owned(),
            heading: if model { "Compare with the key" } else { "Compare with the points" },
            legend: legend.to_owned(),
            points,
            model,
            counts,
        })
    }

    fn ended(&self, ended: &crate::practice::EndedShown) -> Result<EndedRow, Fault> {
        let exercise = &self.replay.exercise;
        let steps = self.problem().template.working.len();
        let rest = exercise.blank().filter(|blank| blank + 1 < steps);
        let rest = rest.filter(|_| ended.ending != crate::practice::Ending::NotSolved);
        let rest_html = rest
            .map(|blank| self.page.pieces.steps(self.page, exercise, blank + 1..steps, None))
            .transpose()?;
        let follows = ended.what_follows();
        Ok(EndedRow {
            ending: ended.ending,
            heading: ended.heading(),
            sentences: if follows.is_empty() { Vec::new() } else { vec![follows] },
            marks: ended.marks,
            of: ended.of,
            score: ended.score(),
            rest_html,
            theory: self.problem().template.working.is_empty(),
        })
    }

    fn can(&self) -> Result<Can, Fault> {
        let phase = self.session.phase();
        let open = matches!(phase, Phase::Asking | Phase::Points | Phase::Reading);
        let exercise = &self.replay.exercise;
        let hint = match (phase, exercise.question()) {
            (Phase::Asking, Some(question)) => {
                exercise.hint(&self.page.bank)?.map(|hint| HintName {
                    name: hint_name(self.problem(), question, &hint, exercise.hints() as usize),
                    helps: hint.helps,
                })
            }
            _ => None,
        };
        Ok(Can {
            hint,
            pass: matches!(phase, Phase::Asking | Phase::Points),
            skip: open,
            new_numbers: phase != Phase::Over,
            give_up: open,
        })
    }
}
