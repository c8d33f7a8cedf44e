//! What one candidate wrote.

use crate::marking::Item;

/// What one candidate wrote.
///
/// The answers of a large class are millions of texts of a few letters each. So those of a paper stand
/// behind one another in a single text, and each is known by where it begins and ends.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PaperAnswers {
    text: String,
    /// The answers in the order of their indices.
    written: Vec<Written>,
}

/// Where an answer belongs, and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Written {
    question: u32,
    item: Item,
    /// The line on which it was read.
    line: u32,
    start: u32,
    end: u32,
}

impl PaperAnswers {
    /// No answers yet, with room for so many.
    pub(super) fn with_capacity(answers: usize) -> Self {
        Self { text: String::new(), written: Vec::with_capacity(answers) }
    }

    /// Adds the answer to a part of a question, or the step of its working, that was read on a line.
    ///
    /// # Errors
    /// With the line of the answer that is there already.
    pub(super) fn add(
        &mut self,
        question: usize,
        item: Item,
        answer: &str,
        line: u64,
    ) -> Result<(), u64> {
        let question = short(question);
        let found = self.written.binary_search_by_key(&(question, item), Written::key);
        match found {
            Ok(at) => Err(self.written[at].line.into()),
            Err(at) => {
                let start = short(self.text.len());
                self.text.push_str(answer);
                let (line, end) = (short(line), short(self.text.len()));
                self.written.insert(at, Written { question, item, line, start, end });
                Ok(())
            }
        }
    }

    /// The answer to a part of a question as printed, both from 0; nothing where none was entered, and
    /// an empty one where it was left blank.
    pub fn part(&self, question: usize, part: usize) -> Option<&str> {
        let key = (short(question), Item::Part(part));
        let at = self.written.binary_search_by_key(&key, Written::key).ok()?;
        Some(self.text_of(&self.written[at]))
    }

    /// The answers to a question as printed, from 0: those to its parts, and then the steps of the
    /// working that were entered, by their indices in the template.
    pub fn of_question(&self, question: usize) -> impl Iterator<Item = (Item, &str)> {
        let question = short(question);
        let start = self.written.partition_point(|written| written.question < question);
        let mine = self.written[start..].iter().take_while(move |it| it.question == question);
        let is_part = |written: &&Written| matches!(written.item, Item::Part(_));
        let parts = mine.clone().filter(is_part);
        let steps = mine.filter(move |written| !is_part(written));
        parts.chain(steps).map(|written| (written.item, self.text_of(written)))
    }

    fn text_of(&self, written: &Written) -> &str {
        self.text.get(written.start as usize..written.end as usize).unwrap_or_default()
    }
}

impl Written {
    fn key(&self) -> (u32, Item) {
        (self.question, self.item)
    }
}

/// A number of a line, a question or a byte in less room: no file of answers has more of them.
fn short(number: impl TryInto<u32>) -> u32 {
    number.try_into().unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_come_back_by_question_the_parts_before_the_steps() {
        let mut answers = PaperAnswers::with_capacity(2);
        let entered = [
            (1, Item::Step(2), "9 g"),
            (1, Item::Part(1), "4.40 g"),
            (0, Item::Part(0), "true"),
            (1, Item::Part(0), ""),
            (1, Item::Step(0), "½ g"),
        ];
        for (line, (question, item, answer)) in (2..).zip(entered) {
            assert_eq!(answers.add(question, item, answer, line), Ok(()));
        }
        assert_eq!(answers.add(1, Item::Part(1), "4 g", 9), Err(3));
        let second: Vec<(Item, &str)> = answers.of_question(1).collect();
        let expected = [
            (Item::Part(0), ""),
            (Item::Part(1), "4.40 g"),
            (Item::Step(0), "½ g"),
            (Item::Step(2), "9 g"),
        ];
        assert_eq!(second, expected);
        assert_eq!(answers.of_question(2).count(), 0);
        assert_eq!((answers.part(0, 0), answers.part(0, 1)), (Some("true"), None));
    }
}
