//! What helps at the prompt: hints, the worked solution, and the list of words.

use castmark::practice::{Exercise, Hint};

use super::prompt::Word;
use super::sitting::{Sitting, code};
use crate::cli::outcome::Failure;

/// How far these texts are moved in.
const INDENT: usize = 2;

impl Sitting<'_> {
    /// Tells the next hint and notes that it was read.
    ///
    /// # Errors
    /// When the record cannot be written, or nobody reads.
    pub(super) fn hint(&mut self, exercise: &mut Exercise) -> Result<(), Failure> {
        let Some(hint) = exercise.hint() else {
            let words = if exercise.hints() > 0 {
                "There is no further hint. Type show for the worked solution."
            } else if exercise.blank().is_some() {
                "All there is to say stands in the step above. Type show for the worked solution."
            } else {
                "There is no hint for this question. Type show for the answer."
            };
            return Ok(self.terminal.paragraph(INDENT, words)?);
        };
        exercise.read_hint();
        let (code, hints) = (code(exercise), exercise.hints());
        self.record.note_hints(&code, hints).map_err(|e| (self.about)(&e))?;
        let working = exercise.problem.working(self.bank).map_err(Failure::unusable)?;
        let text = match hint {
            Hint::Way(step) => {
                working.get(step).map(|step| format!("{} This finds: {}.", step.say, step.label))
            }
            Hint::Numbers(step) => working.get(step).map(|step| step.equation().text()),
            Hint::Begun(step) => working
                .get(step)
                .map(|step| format!("{} = {} = ?", step.label, step.numbered.text())),
        };
        let text = format!("Hint {hints}: {}", text.unwrap_or_default());
        Ok(self.terminal.paragraph(INDENT, &text)?)
    }

    /// Prints the worked solution.
    ///
    /// # Errors
    /// When it cannot be made, or nobody reads.
    pub(super) fn solution(&mut self, exercise: &Exercise) -> Result<(), Failure> {
        let text = self.teller.solution(self.bank, exercise)?;
        Ok(self.terminal.print(format_args!("\n{text}\n"))?)
    }

    /// Lists the words that can be typed.
    ///
    /// # Errors
    /// When nobody reads.
    pub(super) fn help(&mut self) -> Result<(), Failure> {
        for (_, word, what) in Word::ALL {
            self.terminal.paragraph(INDENT, &format!("{word}: {what}"))?;
        }
        let words = "To answer with one of these words, put = before it. A hint that tells a number \
             makes the problem count as not solved alone; one that tells the way does not.";
        Ok(self.terminal.paragraph(INDENT, words)?)
    }
}
