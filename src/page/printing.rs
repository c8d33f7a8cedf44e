//! Sheets as the program prints them.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::bank::Objective;
use crate::draw::Code;
use crate::export::{Contents, Exporter, Html, Options, PaperSize, Sheet, TypeSize};
use crate::practice::SessionProblem;
use crate::problem::{Problem, Selection, SelectionProblem, practice_title};
use crate::words::{counted, is_or_are, number};

use super::fault::{Fault, FaultKind};
use super::talk::{Answered, Asked};

/// The most problems on one sheet.
const MOST: usize = 100;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct With {
    #[serde(default)]
    templates: Vec<String>,
    #[serde(default)]
    topics: Vec<String>,
    #[serde(default)]
    objectives: Vec<String>,
    #[serde(default)]
    count: Option<usize>,
    #[serde(default)]
    seed: Option<u64>,
    #[serde(default)]
    codes: Option<Vec<String>>,
    #[serde(default = "yes")]
    questions: bool,
    #[serde(default)]
    key: bool,
    #[serde(default)]
    solutions: bool,
    #[serde(default)]
    paper: Option<String>,
    #[serde(default)]
    size: Option<String>,
}

fn yes() -> bool {
    true
}

#[derive(Serialize)]
struct Printed {
    html: String,
    name: String,
    title: &'static str,
    codes: Vec<String>,
    sentence: String,
    note: Option<String>,
}

/// A sheet of problems.
pub(super) fn sheet(asked: &Asked<'_>) -> Result<Answered, Fault> {
    let with: With = asked.with()?;
    let bank = &asked.page.bank;
    let options = with.options(asked)?;
    let contents = Contents { questions: with.questions, key: with.key, solutions: with.solutions };
    if !(contents.questions || contents.answers()) {
        return Err(asked.wrong("expected questions, key or solutions, found none; choose one"));
    }
    let count = with.count.unwrap_or(1).max(with.codes.as_ref().map_or(0, Vec::len));
    if !(1..=MOST).contains(&count) {
        return Err(asked.wrong(&format!("expected 1 to {MOST} problems, found {count}")));
    }
    let seed = with.seed.unwrap_or_else(|| asked.at.unsigned_abs());
    let problems = match &with.codes {
        Some(codes) => rebuilt(asked, codes)?,
        None => with.selection(asked)?.draw(bank, seed).map_err(|problem| {
            let kind = match problem {
                SelectionProblem::Draw(_) => FaultKind::Failed,
                _ => FaultKind::Nothing,
            };
            Fault::new(kind, problem)
        })?,
    };
    let title = practice_title(&problems);
    let sheet = Sheet::of(bank, problems.iter().cloned(), title, contents)?;
    let html = Html.export(&sheet, &options).map_err(Fault::failed)?;
    let seeded = with.codes.is_none();
    let problems_told = counted(problems.len(), "problem");
    asked.say(&Printed {
        html: String::from_utf8_lossy(&html).into_owned(),
        name: if seeded { format!("sheet-{seed}.html") } else { "sheet.html".to_owned() },
        title,
        codes: problems
            .iter()
            .filter_map(|problem| Some(problem.code.as_ref()?.to_string()))
            .collect(),
        sentence: if seeded {
            format!("{problems_told}, seed {seed}. The same seed gives the same sheet.")
        } else {
            format!("{problems_told}.")
        },
        note: note(&problems).filter(|_| seeded),
    })
}

impl With {
    fn selection(&self, asked: &Asked<'_>) -> Result<Selection, Fault> {
        let objective = |name: &String| {
            let unknown = || asked.wrong(&format!("there is no objective `{name}`"));
            Objective::parse(name).ok_or_else(unknown)
        };
        Ok(Selection {
            templates: self.templates.clone(),
            topics: self.topics.clone(),
            objectives: self.objectives.iter().map(objective).collect::<Result<_, _>>()?,
            level: None,
            count: self.count,
        })
    }

    fn options(&self, asked: &Asked<'_>) -> Result<Options, Fault> {
        let mut options = Options::default();
        if let Some(name) = &self.paper {
            let same = |paper: &PaperSize| paper.name().eq_ignore_ascii_case(name);
            let found = PaperSize::ALL.into_iter().find(same);
            options.paper =
                found.ok_or_else(|| asked.wrong(&format!("there is no paper `{name}`")))?;
        }
        if let Some(name) = &self.size {
            let found = TypeSize::ALL.into_iter().find(|size| size.name() == name);
            let unknown = || asked.wrong(&format!("there is no size `{name}` of letters"));
            options.type_size = found.ok_or_else(unknown)?;
        }
        Ok(options)
    }
}

fn rebuilt(asked: &Asked<'_>, codes: &[String]) -> Result<Vec<Problem>, Fault> {
    let problem = |code: &String| {
        let code = Code::parse(code).map_err(SessionProblem::from)?;
        Problem::from_code(&asked.page.bank, &code).map_err(Fault::from)
    };
    codes.iter().map(problem).collect()
}

/// That there are fewer different problems than were asked for.
fn note(problems: &[Problem]) -> Option<String> {
    let different: BTreeSet<(&str, u128)> =
        problems.iter().map(|each| (each.template.id.as_str(), each.draw.place)).collect();
    if different.len() == problems.len() {
        return None;
    }
    let s = if different.len() == 1 { "" } else { "s" };
    Some(format!(
        "There {} {} different problem{s} of this kind; you asked for {}. Ask for fewer, or choose \
         more topics.",
        is_or_are(different.len()),
        number(different.len()).to_lowercase(),
        number(problems.len()).to_lowercase()
    ))
}
