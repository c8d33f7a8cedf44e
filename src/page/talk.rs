//! The request and the reply.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::value::{RawValue, to_raw_value};

use crate::bank::{Bank, Complaint, Report, SourceText};
use crate::marking;
use crate::practice::{Attempt, Settings, Unfinished, read_day, read_settings};

use super::fault::{Fault, FaultKind};
use super::pieces::Pieces;
use super::state::State;
use super::{Contents, batch, bench, catalogue, day, keeping, practising, printing, progress};

/// The version of the talk. A page and an engine of different versions do not understand each other.
pub const VERSION: u32 = 1;

/// The latest moment that is taken for one: the end of the year 9999.
const LATEST: i64 = 253_402_300_799;

/// An engine opened with the contents of a page.
#[derive(Debug)]
pub struct Page {
    pub(super) contents: Contents,
    pub(super) bank: Bank,
    pub(super) settings: Settings,
    pub(super) rules: marking::Settings,
    pub(super) pieces: Pieces,
}

/// What is asked.
#[derive(Deserialize)]
struct Request<'a> {
    version: Option<u32>,
    ask: Option<String>,
    #[serde(borrow)]
    with: Option<&'a RawValue>,
    #[serde(default)]
    at: i64,
    state: Option<String>,
}

/// What is answered.
#[derive(Serialize)]
struct Reply<'a> {
    version: u32,
    #[serde(rename = "reply")]
    name: &'a str,
    with: Box<RawValue>,
    state: Option<String>,
    added: Vec<Attempt>,
    unfinished: Option<Vec<Unfinished>>,
}

#[derive(Serialize)]
struct Refusal {
    version: u32,
    error: Fault,
}

/// Something asked, with what it is asked with.
pub(super) struct Asked<'a> {
    /// The page.
    pub(super) page: &'a Page,
    /// The moment, in seconds since 1970-01-01 UTC.
    pub(super) at: i64,
    name: &'a str,
    with: &'a str,
    state: Option<&'a str>,
}

/// What there is to answer, and the state after it where it can have changed.
pub(super) struct Answered {
    with: Box<RawValue>,
    state: Option<State>,
}

impl Page {
    /// Opens a page that holds these contents, as JSON.
    ///
    /// # Errors
    /// When they are not contents, or the bank in them cannot be used.
    pub fn open(contents: &str) -> Result<Self, Fault> {
        let wrong = |what: String| Fault::new(FaultKind::Contents, what);
        let mut contents: Contents = serde_json::from_str(contents)
            .map_err(|error| wrong(format!("expected the contents of a page, found {error}")))?;
        if contents.form != Contents::FORM {
            let (known, found) = (Contents::FORM, contents.form);
            return Err(wrong(format!(
                "expected contents of form {known}, found form {found}; make the page anew"
            )));
        }
        let (files, own) = (std::mem::take(&mut contents.files), std::mem::take(&mut contents.own));
        let bank = Bank::of_sound(files, own)
            .map_err(|report| wrong(format!("the bank cannot be used: {}", told(&report))))?;
        let settings = read_settings(&contents.settings).map_err(|problems| {
            let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
            wrong(format!("the settings cannot be used: {}", problems.join("; ")))
        })?;
        let rules = if contents.rules.is_empty() {
            Ok(marking::Settings::default())
        } else {
            let (path, text) = ("the rules".to_owned(), contents.rules.clone());
            marking::Settings::read(SourceText::new(path, text))
        };
        let rules = rules
            .map_err(|report| wrong(format!("the rules cannot be used: {}", told(&report))))?;
        contents.exam.as_deref().map_or(Ok(0), read_date).map_err(wrong)?;
        Ok(Self { contents, bank, settings, rules, pieces: Pieces::new()? })
    }

    /// Answers a request, both in JSON. Whatever the request is, there is an answer.
    pub fn reply(&self, request: &str) -> String {
        self.answer(request).unwrap_or_else(refusal)
    }

    fn answer(&self, request: &str) -> Result<String, Fault> {
        let request: Request<'_> = serde_json::from_str(request).map_err(|error| {
            let kind = if error.is_data() { FaultKind::Request } else { FaultKind::NotJson };
            Fault::new(kind, format!("expected a request in JSON, found {error}"))
        })?;
        match request.version {
            Some(VERSION) => {}
            found => {
                let found = found.map_or("none".to_owned(), |found| found.to_string());
                return Err(Fault::new(
                    FaultKind::Version,
                    format!(
                        "expected version {VERSION} of the talk, found {found}; load the page again"
                    ),
                ));
            }
        }
        if !(0..=LATEST).contains(&request.at) {
            return Err(Fault::new(
                FaultKind::Request,
                format!(
                    "expected `at` in seconds from 1970 to 9999, found {}; set the clock",
                    request.at
                ),
            ));
        }
        let name = request.ask.unwrap_or_default();
        let asked = Asked {
            page: self,
            at: request.at,
            name: &name,
            with: request.with.map_or("{}", RawValue::get),
            state: request.state.as_deref(),
        };
        let Answered { with, state } = asked.answer()?;
        let (mut added, mut unfinished) = (Vec::new(), None);
        let state = match state {
            Some(mut state) => {
                added = state.record.take_added();
                unfinished = Some(state.record.begun().to_vec());
                Some(state.written()?)
            }
            None => request.state,
        };
        let reply = Reply { version: VERSION, name: &name, with, state, added, unfinished };
        serde_json::to_string(&reply).map_err(Fault::failed)
    }
}

/// The reply to a request that could not be answered.
fn refusal(error: Fault) -> String {
    let text = serde_json::to_string(&Refusal { version: VERSION, error });
    // A fault is made of texts, which can always be written.
    text.unwrap_or_default()
}

impl Fault {
    /// The fault as a reply, in JSON.
    pub fn reply(self) -> String {
        refusal(self)
    }
}

/// Whatever answers one thing that can be asked.
type Answering = fn(&Asked<'_>) -> Result<Answered, Fault>;

/// What can be asked. A table, and not a `match`: a browser compiles a function when it is first called,
/// and the answers to everything, put together in one function, take it longer than any of them runs.
const ASKED: [(&str, Answering); 18] = [
    ("contents", catalogue::contents),
    ("begin", day::begin),
    ("reread", day::reread),
    ("today", day::today),
    ("practise", practising::practise),
    ("open", practising::open),
    ("table", practising::table),
    ("act", practising::act),
    ("solution", practising::solution),
    ("report", progress::report),
    ("export", keeping::export),
    ("import", keeping::import),
    ("delete", keeping::delete),
    ("sheet", printing::sheet),
    ("values", bench::values),
    ("work", bench::work),
    ("offered", batch::offered),
    ("batch", batch::batch),
];

impl Asked<'_> {
    fn answer(&self) -> Result<Answered, Fault> {
        let known = ASKED.iter().find(|(name, _)| *name == self.name);
        match (known, self.name) {
            (Some((_, answer)), _) => answer(self),
            (None, "") => Err(self.wrong("expected `ask`, found none")),
            (None, other) => Err(Fault::new(
                FaultKind::UnknownAsk,
                format!(
                    "expected something that can be asked, found `{other}`; load the page again"
                ),
            )),
        }
    }

    /// What it is asked with.
    pub(super) fn with<T: DeserializeOwned>(&self) -> Result<T, Fault> {
        serde_json::from_str(self.with).map_err(|error| self.wrong(&error.to_string()))
    }

    /// The state that was given out last.
    pub(super) fn state(&self) -> Result<State, Fault> {
        State::read(self.state.unwrap_or_default())
    }

    /// An answer that changes nothing.
    #[allow(clippy::unused_self, reason = "it is the question that is answered")]
    pub(super) fn say(&self, with: &impl Serialize) -> Result<Answered, Fault> {
        Ok(Answered { with: to_raw_value(with).map_err(Fault::failed)?, state: None })
    }

    /// An answer with the state after it.
    pub(super) fn change(&self, with: &impl Serialize, state: State) -> Result<Answered, Fault> {
        Ok(Answered { state: Some(state), ..self.say(with)? })
    }

    /// Something in the request that is missing or is not what it should be.
    pub(super) fn wrong(&self, what: &str) -> Fault {
        Fault::new(FaultKind::Request, format!("`{}`: {what}", self.name))
    }
}

/// A report in lines, without the pieces of the files, which whoever opens a page does not have.
fn told(report: &Report) -> String {
    let line = |complaint: &Complaint| {
        let (line, column) = complaint.location();
        format!("{}:{line}:{column}: {}", complaint.source.path, complaint.what)
    };
    report.complaints.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// A day as it is written in requests.
pub(super) fn read_date(text: &str) -> Result<i64, String> {
    read_day(text).ok_or_else(|| {
        let text: String = text.chars().take(20).collect();
        format!("expected a day such as 2026-12-14, found `{text}`")
    })
}
