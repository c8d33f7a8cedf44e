//! Practice at the prompt: a face of the session.

use castmark::bank::Bank;
use castmark::export::CAUTION;
use castmark::marking;
use castmark::practice::{
    Event, Outcome, Phase, Record, RecordError, Room, Session, SessionProblem, Settings, Shown,
    VerdictShown,
};
use castmark::words::out_of;

use super::prompt::Prompt;
use super::telling::Teller;
use super::words::{Said, WORDS, read};
use crate::cli::clock::now;
use crate::cli::outcome::{Failure, Outcome as End};
use crate::cli::terminal::{Terminal, Tone};

/// How far text about a problem is moved in.
const INDENT: usize = 2;

/// An answer is repeated up to so many letters.
const LETTERS_OF_AN_ANSWER: usize = 40;

/// So many lines of a screen stay free when the question is asked again below its data.
const LINES_OF_A_QUESTION: usize = 8;

/// Everything that a student at the prompt works with.
pub(super) struct Face<'a> {
    pub(super) bank: &'a Bank,
    pub(super) settings: &'a Settings,
    pub(super) rules: &'a marking::Settings,
    pub(super) record: &'a mut dyn Record,
    pub(super) session: Session,
    pub(super) teller: Teller,
    pub(super) prompt: Prompt,
    pub(super) terminal: &'a mut Terminal,
    /// How many problems; without end when there is no number.
    pub(super) count: Option<u64>,
    /// How many points there are to mark.
    pub(super) points: usize,
    /// The line of the output at which the problem was printed last.
    pub(super) printed: usize,
    /// The record's name in a message about it.
    pub(super) about: &'a dyn Fn(&RecordError) -> Failure,
}

impl Face<'_> {
    /// Asks problem after problem until the student stops.
    ///
    /// # Errors
    /// When the record cannot be written, or nobody reads.
    pub(super) fn run(mut self) -> Result<End, Failure> {
        self.terminal.paragraph(0, CAUTION)?;
        self.terminal.end_line()?;
        self.terminal.paragraph(
            0,
            "Type your answer and press Enter. Type hint for a hint, stop to stop, and help for the \
             other words.",
        )?;
        self.terminal.end_line()?;
        self.pass_on(&Event::Start)?;
        while self.session.phase() != Phase::Over {
            let done = self.count.is_some_and(|count| self.session.summary().ended >= count);
            if done && self.session.phase() == Phase::Between {
                self.pass_on(&Event::Stop)?;
                break;
            }
            let line = self.prompt.ask(self.terminal)?;
            // The window may have changed while the student was thinking.
            self.terminal.measure();
            match line {
                None => self.pass_on(&Event::Stop)?,
                Some(line) => self.typed(&line)?,
            }
        }
        self.terminal.paragraph(
            0,
            "castmark practise goes on from here; castmark practise --report shows how far you are.",
        )?;
        Ok(End::Done)
    }

    fn typed(&mut self, line: &str) -> Result<(), Failure> {
        match read(line, self.session.phase(), self.points) {
            Said::Event(event) => self.pass_on(&event),
            Said::Help => self.help(),
            Said::Tell(words) => Ok(self.terminal.paragraph(INDENT, words)?),
            Said::Perhaps(word) => {
                let words = format!(
                    "Did you mean {word}? Then type that alone. To answer with these words, put = \
                     before them."
                );
                Ok(self.terminal.paragraph(INDENT, &words)?)
            }
        }
    }

    /// Passes an event to the session and shows what comes back.
    fn pass_on(&mut self, event: &Event) -> Result<(), Failure> {
        let mut room = Room {
            bank: self.bank,
            settings: self.settings,
            rules: self.rules,
            record: &mut *self.record,
            at: now(),
        };
        let shown = self.session.take(event, &mut room).map_err(|problem| match problem {
            SessionProblem::Record(error) => (self.about)(&error),
            problem => Failure::unusable(problem),
        })?;
        let waits = !shown.is_empty();
        for shown in &shown {
            self.show(shown)?;
        }
        if waits {
            self.say_how_to_go_on()?;
        }
        Ok(self.terminal.finish()?)
    }

    fn show(&mut self, shown: &Shown) -> Result<(), Failure> {
        match shown {
            Shown::Problem(problem) => {
                let title = format!("Problem {}: {}", problem.number, problem.title);
                self.terminal.end_line()?;
                self.terminal.heading(&title)?;
                self.terminal.paragraph(0, &format!("Code: {}", problem.code))?;
                self.terminal.end_line()?;
                self.printed = self.terminal.lines();
                self.stem()?;
                self.working(shown, problem.shown, problem.blank)
            }
            Shown::Question(question) => {
                // On a small screen the data have gone by now, and are wanted beside the question.
                let gone = self.terminal.lines().saturating_sub(self.printed);
                let rows = self.terminal.rows().unwrap_or(usize::MAX);
                if gone + LINES_OF_A_QUESTION > rows && question.part > 0 {
                    self.terminal.end_line()?;
                    self.printed = self.terminal.lines();
                    self.stem()?;
                }
                let Some(exercise) = self.session.exercise(self.bank, self.rules) else {
                    return Ok(());
                };
                let width = self.terminal.width();
                let text = self.teller.question(self.bank, &exercise, question.part, width)?;
                Ok(self.terminal.print(format_args!("\n{text}"))?)
            }
            Shown::Verdict(verdict) => self.verdict(shown, verdict),
            Shown::Points(points) => {
                self.points = points.points.len();
                self.terminal.end_line()?;
                self.sentences(shown)?;
                if !points.is_model {
                    self.terminal.paragraph(
                        INDENT,
                        "These are the points of the key. Which of them does your answer make, in \
                         whatever words?",
                    )?;
                    for (number, point) in points.points.iter().enumerate() {
                        self.terminal.paragraph(INDENT, &format!("{}. {point}", number + 1))?;
                    }
                }
                Ok(())
            }
            Shown::Answer { .. } => {
                self.terminal.end_line()?;
                self.sentences(shown)
            }
            Shown::Rest { from, to } => {
                self.terminal.end_line()?;
                self.sentences(shown)?;
                self.steps(*from..*to, None)
            }
            Shown::Solution => {
                let Some(exercise) = self.session.exercise(self.bank, self.rules) else {
                    return Ok(());
                };
                let text = self.teller.solution(self.bank, &exercise, self.terminal.width())?;
                Ok(self.terminal.print(format_args!("\n{text}"))?)
            }
            Shown::Coming(_) | Shown::Ended(_) | Shown::Over(_) => {
                self.terminal.end_line()?;
                self.plainly(shown)
            }
            Shown::Today(_) | Shown::Resumed { .. } | Shown::Elsewhere { .. } => {
                self.plainly(shown)
            }
            Shown::Hint(_) | Shown::NoHint | Shown::SameAnswer => self.sentences(shown),
        }
    }

    fn stem(&mut self) -> Result<(), Failure> {
        let Some(exercise) = self.session.exercise(self.bank, self.rules) else { return Ok(()) };
        let stem = self.teller.stem(self.bank, &exercise, self.terminal.width())?;
        Ok(self.terminal.print(stem)?)
    }

    /// The working as far as it is shown.
    fn working(
        &mut self,
        shown: &Shown,
        until: usize,
        blank: Option<usize>,
    ) -> Result<(), Failure> {
        if until == 0 {
            return Ok(());
        }
        self.terminal.end_line()?;
        self.sentences(shown)?;
        self.steps(0..until, blank)
    }

    fn steps(
        &mut self,
        steps: std::ops::Range<usize>,
        blank: Option<usize>,
    ) -> Result<(), Failure> {
        let Some(exercise) = self.session.exercise(self.bank, self.rules) else { return Ok(()) };
        let width = self.terminal.width();
        let text = self.teller.steps(self.bank, &exercise, steps, blank, width)?;
        Ok(self.terminal.print(format_args!("\n{text}"))?)
    }

    /// The verdict in a line, and why it is so where there is more to say.
    fn verdict(&mut self, shown: &Shown, verdict: &VerdictShown) -> Result<(), Failure> {
        let tone = match verdict.outcome {
            Outcome::Correct => Tone::Good,
            Outcome::PartlyCorrect | Outcome::ForAPerson => Tone::Middling,
            Outcome::NotCorrect | Outcome::NotRead => Tone::Bad,
        };
        let answer = shortened(&verdict.answer);
        let heading = verdict.heading();
        let (line, end) = match verdict.outcome {
            Outcome::NotRead => (format!("{heading}: {answer}"), heading.len()),
            _ => {
                let marks = out_of(verdict.marks, verdict.of);
                (format!("{heading}, {marks}: {answer}"), heading.len())
            }
        };
        self.terminal.end_line()?;
        self.terminal.toned_paragraph(tone, &line, end)?;
        for sentence in &verdict.sentences {
            self.terminal.paragraph(INDENT, sentence)?;
        }
        self.sentences(shown)
    }

    fn sentences(&mut self, shown: &Shown) -> Result<(), Failure> {
        for sentence in shown.sentences() {
            self.terminal.paragraph(INDENT, &sentence)?;
        }
        Ok(())
    }

    fn plainly(&mut self, shown: &Shown) -> Result<(), Failure> {
        for sentence in shown.sentences() {
            self.terminal.paragraph(0, &sentence)?;
        }
        Ok(())
    }

    /// What can be typed now, where it is not an answer.
    fn say_how_to_go_on(&mut self) -> Result<(), Failure> {
        let words = match self.session.phase() {
            Phase::Reading => "Press Enter for the next question.",
            Phase::Between => {
                "Press Enter for the next problem, or type solution, another or stop."
            }
            Phase::Points if self.points == 1 => "Type y or n.",
            Phase::Points => "Type y or n for each, in one line, such as yny.",
            Phase::Fresh | Phase::Asking | Phase::Over => return Ok(()),
        };
        Ok(self.terminal.paragraph(0, words)?)
    }

    /// Lists the words that can be typed.
    fn help(&mut self) -> Result<(), Failure> {
        for (word, what) in WORDS {
            self.terminal.paragraph(INDENT, &format!("{word}: {what}"))?;
        }
        let words = "To answer with one of these words, put = before it. A hint that gives something \
             away makes the problem count as solved with help; one in words does not.";
        Ok(self.terminal.paragraph(INDENT, words)?)
    }
}

/// What was typed, cut where it is long.
fn shortened(answer: &str) -> String {
    let mut letters = answer.chars();
    let short: String = letters.by_ref().take(LETTERS_OF_AN_ANSWER).collect();
    if letters.next().is_some() { format!("{short}…") } else { short }
}
