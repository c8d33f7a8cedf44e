//! A written answer, marked by the student point by point.

use castmark::practice::Exercise;

use super::prompt::{Said, Word};
use super::sitting::{Sitting, now};
use crate::cli::outcome::Failure;

/// How far the points are moved in.
const INDENT: usize = 2;

impl Sitting<'_> {
    /// Goes through the points of the key, asks of each whether the answer makes it, and records the
    /// marks. Tells whether this ended the problem and the student solved it alone; `None` when the
    /// student stops, which keeps the answer for the next time.
    ///
    /// # Errors
    /// When the record cannot be written, or nobody reads.
    pub(super) fn go_through_points(
        &mut self,
        exercise: &mut Exercise,
    ) -> Result<Option<bool>, Failure> {
        let answer = exercise.written().unwrap_or_default().to_owned();
        let points = exercise.points().unwrap_or_default().to_vec();
        self.terminal.end_line()?;
        self.terminal.paragraph(INDENT, &format!("You wrote: {answer}"))?;
        self.terminal.paragraph(
            INDENT,
            "These are the points of the key. Type y for each that your answer makes, in whatever \
             words, and n for the others.",
        )?;
        let mut made = 0;
        for (number, point) in points.iter().enumerate() {
            self.terminal.end_line()?;
            let words = format!("Point {} of {}: {}", number + 1, points.len(), point.text);
            self.terminal.paragraph(INDENT, &words)?;
            match self.yes_or_no()? {
                Some(yes) => made += u32::from(yes),
                None => return Ok(None),
            }
        }
        let judged = exercise.self_marked(made);
        self.add(&exercise.attempt(now(), &answer, &judged))?;
        let (marks, of) = (judged.verdict.marks(), judged.verdict.of());
        let unit = if of == 1 { "mark" } else { "marks" };
        self.terminal.end_line()?;
        self.terminal.paragraph(0, &format!("By your own marking, {marks} of {of} {unit}."))?;
        self.terminal.finish()?;
        exercise.take(&answer, &judged);
        Ok(Some(judged.solved == Some(true)))
    }

    /// Reads lines until one says yes or no; `None` for a stop.
    fn yes_or_no(&mut self) -> Result<Option<bool>, Failure> {
        loop {
            match self.prompt.ask(self.terminal)? {
                Said::End | Said::Word(Word::Stop) => return Ok(None),
                Said::Answer(text) if is_one_of(&text, ["y", "yes"]) => return Ok(Some(true)),
                Said::Answer(text) if is_one_of(&text, ["n", "no"]) => return Ok(Some(false)),
                _ => self.terminal.paragraph(INDENT, "Type y or n, or stop to stop.")?,
            }
        }
    }
}

fn is_one_of(text: &str, words: [&str; 2]) -> bool {
    words.iter().any(|word| text.eq_ignore_ascii_case(word))
}
