//! Practice at the prompt.

use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use castmark::bank::{Bank, Template};
use castmark::export::CAUTION;
use castmark::marking::Standing;
use castmark::practice::{
    Attempt, Exercise, Fade, Mastery, Progress, Record, RecordError, Settings, day_of,
};

use super::next::Chooser;
use super::prompt::{Prompt, Said, Word};
use super::telling::Teller;
use super::verdict::print_verdict;
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::problem::read_code;
use crate::cli::terminal::{Terminal, Tone};

/// How far text about a problem is moved in.
const INDENT: usize = 2;

/// Everything that a student at the prompt has to do with.
pub(super) struct Sitting<'a> {
    pub(super) bank: &'a Bank,
    pub(super) settings: &'a Settings,
    pub(super) record: Record,
    pub(super) chooser: Chooser,
    pub(super) teller: Teller,
    pub(super) prompt: Prompt,
    pub(super) terminal: &'a mut Terminal,
    /// Whether worked examples are shown while a subject is new.
    pub(super) examples: bool,
    /// How many problems; without end when there is no number.
    pub(super) count: Option<u64>,
    /// The progress of the subject that was answered last.
    pub(super) latest: Option<Progress>,
    /// How the record is called in a message about it.
    pub(super) about: &'a dyn Fn(&RecordError) -> Failure,
}

/// What the student wants after a problem.
#[derive(Clone, Debug)]
enum After {
    /// Another problem.
    Another,
    /// The same kind with new numbers.
    Again,
    /// The end.
    Stop,
}

impl Sitting<'_> {
    /// Asks problem after problem until the student stops.
    ///
    /// # Errors
    /// When the record cannot be written, or nobody reads.
    pub(super) fn run(mut self) -> Result<Outcome, Failure> {
        self.terminal.paragraph(0, CAUTION)?;
        self.terminal.end_line()?;
        self.terminal.paragraph(
            0,
            "Type your answer and press Enter. Type hint for a hint, stop to stop, and help for the \
             other words.",
        )?;
        let mut begun = 0_u64;
        let mut ended = 0_u64;
        let mut solved = 0_u64;
        let mut same: Option<Arc<Template>> = None;
        let mut exercise = self.left()?;
        loop {
            if self.count.is_some_and(|count| ended >= count) {
                break;
            }
            let mut current = match exercise.take() {
                Some(exercise) => exercise,
                None => self.begin(same.take())?,
            };
            begun += 1;
            self.present(&current, begun)?;
            let after = self.lead_through(&mut current, &mut solved)?;
            ended += u64::from(current.question().is_none());
            match after {
                After::Another => {}
                After::Again => same = Some(Arc::clone(&current.problem.template)),
                After::Stop => break,
            }
        }
        self.terminal.end_line()?;
        let problems = if ended == 1 { "problem" } else { "problems" };
        self.terminal.paragraph(
            0,
            &format!(
                "You went through {ended} {problems} and solved {solved} alone. castmark drill goes \
                 on from here; castmark drill --report shows how far you are."
            ),
        )?;
        Ok(Outcome::Done)
    }

    /// The problem that was left unfinished, if it is among what is practised now.
    fn left(&mut self) -> Result<Option<Exercise>, Failure> {
        let Some(left) = self.record.unfinished().map_err(|e| (self.about)(&e))? else {
            return Ok(None);
        };
        let Ok(problem) = read_code(self.bank, &left.code) else {
            // The bank has changed since; the problem cannot be had again.
            self.record.leave(&left.code).map_err(|e| (self.about)(&e))?;
            return Ok(None);
        };
        if !self.chooser.wants(&problem.template) {
            return Ok(None);
        }
        let exercise = Exercise::resume(problem, &left);
        if exercise.question().is_none() {
            self.record.leave(&left.code).map_err(|e| (self.about)(&e))?;
            return Ok(None);
        }
        self.chooser.turn_to(&exercise.problem.template);
        self.chooser.note(&exercise.problem);
        self.terminal.end_line()?;
        self.terminal.paragraph(
            0,
            "This is the problem you left unfinished. Go on with it, or type skip for another.",
        )?;
        Ok(Some(exercise))
    }

    /// The next problem: of the same template, or the one that comes next by the record.
    fn begin(&mut self, same: Option<Arc<Template>>) -> Result<Exercise, Failure> {
        let progress = self.progress()?;
        let (template, why) = match same {
            Some(template) => (template, "The same kind of problem with new numbers.".to_owned()),
            None => {
                let chosen = self.chooser.next(&progress, self.settings, day_of(now()));
                let chosen =
                    chosen.ok_or_else(|| Failure::unusable("the bank has no templates"))?;
                (chosen.template, format!("Next is {}", chosen.why))
            }
        };
        let problem = self.chooser.draw(self.bank, &template)?;
        let known = progress.iter().find(|each| {
            each.objective == template.objective.name() && each.topic == template.topic
        });
        let missing = known.map_or(0, |known| known.missing as usize);
        let fade = self.examples.then_some(Fade::with_missing(missing));
        let exercise = Exercise::new(problem, fade);
        let code = code(&exercise);
        let missing = u32::try_from(exercise.missing()).unwrap_or(u32::MAX);
        self.record.begin(&code, missing).map_err(|e| (self.about)(&e))?;
        self.terminal.end_line()?;
        self.terminal.paragraph(0, &why)?;
        Ok(exercise)
    }

    /// Prints the problem and as much of its working as is shown.
    fn present(&mut self, exercise: &Exercise, number: u64) -> Result<(), Failure> {
        let title = format!("Problem {number}: {}", exercise.problem.template.title);
        let title = self.terminal.toned(Tone::Heading, &title);
        self.terminal.print(format_args!("\n{title}\nCode: {}\n\n", code(exercise)))?;
        let stem = self.teller.stem(self.bank, exercise)?;
        self.terminal.print(stem)?;
        let (shown, blank) = (exercise.shown(), exercise.blank());
        let until = blank.map_or(shown, |blank| blank + 1);
        if until > 0 {
            self.terminal.end_line()?;
            let words = if blank.is_some() {
                "This is a worked example. One result is left out, shown as a question mark; find \
                 it, and the rest of the example follows."
            } else {
                "The working is begun for you; go on from here."
            };
            self.terminal.paragraph(INDENT, words)?;
            self.terminal.end_line()?;
            let steps = self.teller.steps(self.bank, exercise, 0..until, blank)?;
            self.terminal.print(steps)?;
        }
        Ok(())
    }

    /// Asks the questions of a problem in turn.
    fn lead_through(
        &mut self,
        exercise: &mut Exercise,
        solved: &mut u64,
    ) -> Result<After, Failure> {
        let mut asked = None;
        let mut alone = false;
        let mut shown = false;
        while let Some(question) = exercise.question() {
            if asked != Some(question.part) {
                asked = Some(question.part);
                let text = self.teller.question(self.bank, exercise, question.part)?;
                self.terminal.print(format_args!("\n{text}"))?;
            }
            if exercise.written().is_some() {
                // The answer was given before; what is left is to go through its points.
                match self.go_through_points(exercise)? {
                    Some(solved) => alone |= solved,
                    None => return self.keep(),
                }
                continue;
            }
            match self.prompt.ask(self.terminal)? {
                Said::End | Said::Word(Word::Stop) => return self.keep(),
                Said::Nothing => {
                    self.terminal.paragraph(INDENT, "Type an answer, or help.")?;
                }
                Said::Word(Word::Help) => self.help()?,
                Said::Word(Word::Hint) => self.hint(exercise)?,
                Said::Word(Word::Show) => {
                    self.add(&exercise.passed(now(), true))?;
                    exercise.give_up();
                    self.solution(exercise)?;
                    shown = true;
                }
                Said::Word(Word::Next) => {
                    self.add(&exercise.passed(now(), false))?;
                    exercise.pass();
                }
                Said::Word(word @ (Word::Skip | Word::Again)) => {
                    // Leaving a problem untouched tells nothing about the student.
                    if exercise.is_begun() {
                        self.add(&exercise.passed(now(), true))?;
                        exercise.give_up();
                    } else {
                        self.record.leave(&code(exercise)).map_err(|e| (self.about)(&e))?;
                    }
                    if word == Word::Again {
                        return Ok(After::Again);
                    }
                    self.chooser.turn_away();
                    return Ok(After::Another);
                }
                Said::Answer(answer) if exercise.points().is_some() => {
                    let noted = self.record.note_written(&code(exercise), &answer);
                    noted.map_err(|e| (self.about)(&e))?;
                    exercise.write(&answer);
                }
                Said::Answer(answer) => {
                    alone |= self.answer(exercise, question.part, &answer)?;
                }
            }
        }
        self.close(exercise, alone, shown, solved)
    }

    fn keep(&mut self) -> Result<After, Failure> {
        self.terminal.paragraph(0, "The problem is kept for the next time.")?;
        Ok(After::Stop)
    }

    /// Marks an answer, records it, then tells the verdict. Tells whether it ended the problem and
    /// the student solved it alone.
    fn answer(
        &mut self,
        exercise: &mut Exercise,
        part: usize,
        answer: &str,
    ) -> Result<bool, Failure> {
        let judged = exercise.judge(answer);
        if judged.verdict.standing() != Standing::NotRead {
            self.add(&exercise.attempt(now(), answer, &judged))?;
        }
        let verdict = &judged.verdict;
        self.terminal.end_line()?;
        print_verdict(&exercise.problem, self.bank, part, answer, verdict, self.terminal)?;
        exercise.take(answer, &judged);
        if judged.again {
            let words = if verdict.standing() == Standing::NotRead {
                "This was not counted. Write it again."
            } else {
                "Try once more. You can type hint, next for the next question, or again for new \
                 numbers."
            };
            self.terminal.paragraph(0, words)?;
        } else if !verdict.is_right() && exercise.question().is_some() {
            let number = exercise.problem.parts.get(part).and_then(|part| part.response.number());
            let words = if number.is_some() {
                "Leave it at that for now. If you need this number below, go on with your own."
            } else {
                "Leave it at that for now."
            };
            self.terminal.paragraph(0, words)?;
        }
        self.terminal.finish()?;
        Ok(judged.solved == Some(true))
    }

    /// Ends a problem: the rest of the example, the marks, and what the student wants next.
    fn close(
        &mut self,
        exercise: &Exercise,
        alone: bool,
        mut shown: bool,
        solved: &mut u64,
    ) -> Result<After, Failure> {
        let steps = exercise.problem.template.working.len();
        if let Some(blank) = exercise.blank()
            && alone
            && blank + 1 < steps
        {
            self.terminal.paragraph(INDENT, "This is the rest of the example.")?;
            self.terminal.end_line()?;
            let rest = self.teller.steps(self.bank, exercise, blank + 1..steps, None)?;
            self.terminal.print(rest)?;
            self.terminal.end_line()?;
        }
        if alone {
            *solved += 1;
            let words = self.moved_on(exercise);
            self.terminal.paragraph(0, &words)?;
            return Ok(After::Another);
        }
        let (marks, of) = exercise.marks();
        let unit = if of == 1 { "mark" } else { "marks" };
        self.terminal.paragraph(0, &format!("Together {marks} of {of} {unit}."))?;
        loop {
            let words = if shown {
                "Press Enter to go on, or type again for new numbers of this kind."
            } else {
                "Type show for the worked solution, again for new numbers of this kind, or press \
                 Enter to go on."
            };
            self.terminal.paragraph(0, words)?;
            match self.prompt.ask(self.terminal)? {
                Said::Word(Word::Show) => {
                    self.solution(exercise)?;
                    shown = true;
                }
                Said::Word(Word::Again) => return Ok(After::Again),
                Said::Nothing | Said::Word(Word::Skip | Word::Next) => return Ok(After::Another),
                Said::End | Said::Word(Word::Stop) => return Ok(After::Stop),
                Said::Word(Word::Help | Word::Hint) | Said::Answer(_) => {}
            }
        }
    }

    /// What a problem solved alone has changed, in words.
    fn moved_on(&self, exercise: &Exercise) -> String {
        let Some(progress) = &self.latest else { return "Solved.".to_owned() };
        if !exercise.is_whole() {
            return "Solved. Next time more of the working is yours.".to_owned();
        }
        let mastery = Mastery::from_chance(progress.known);
        if mastery.is_mastered(self.settings) {
            return "Solved alone. This subject counts as known now and comes back for review."
                .to_owned();
        }
        format!(
            "Solved alone. The chance that you know this subject is {} now; from {} on it counts as \
             known.",
            percent(mastery),
            percent(Mastery::from_chance(self.settings.mastered_from))
        )
    }

    pub(super) fn add(&mut self, attempt: &Attempt) -> Result<(), Failure> {
        let progress = self.record.add(attempt, self.settings);
        self.latest = Some(progress.map_err(|error| (self.about)(&error))?);
        Ok(())
    }

    fn progress(&mut self) -> Result<Vec<Progress>, Failure> {
        self.record.progress(self.settings).map_err(|error| (self.about)(&error))
    }
}

/// The moment, in seconds since 1970-01-01 UTC.
pub(super) fn now() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    since.map_or(0, |since| i64::try_from(since.as_secs()).unwrap_or(i64::MAX))
}

/// The code of the problem being practised.
pub(super) fn code(exercise: &Exercise) -> String {
    exercise.problem.code.as_ref().map(ToString::to_string).unwrap_or_default()
}

/// `93 %`, held together by a blank that does not break.
fn percent(mastery: Mastery) -> String {
    format!("{}\u{a0}%", mastery.percent())
}
