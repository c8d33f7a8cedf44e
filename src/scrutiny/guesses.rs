//! What guessing by clues earns over many draws, beside blind chance.

use std::collections::BTreeMap;

use crate::problem::{Block, Part, Problem, Response};

use super::words::stems;
use super::{Clue, Reader};

/// Scores are counted in ten-thousandths, so that ties can be shared out.
const WHOLE: u64 = 10_000;

/// How many words that give items away are named.
const MOST_WORDS: usize = 5;

/// Guesses at every part of a template, draw by draw.
#[derive(Clone, Debug, Default)]
pub struct Guesses(BTreeMap<(String, &'static str), Tally>);

/// How often an option was right, and how often wrong.
type Record = (i64, i64);

/// What guessing by one clue earned at one part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guess {
    /// The part.
    pub part: String,
    /// What of it was guessed: `the option`, `the reason`, `the verdict`, `the term`.
    pub what: &'static str,
    /// The clue that earned the most above chance.
    pub clue: Clue,
    /// What it earned, in per cent.
    pub score: u64,
    /// What blind chance earns, in per cent.
    pub chance: u64,
    /// The words by which right options were known, the most frequent first.
    pub words: Vec<String>,
    /// How many draws were guessed at.
    pub draws: u64,
}

#[derive(Clone, Debug, Default)]
struct Tally {
    draws: u64,
    chance: u64,
    scores: BTreeMap<Clue, u64>,
    words: BTreeMap<(Clue, String), u64>,
    records: BTreeMap<String, Record>,
}

impl Tally {
    /// What earlier draws say for an option: how often it was right, if it was also wrong. What is always
    /// right is a fact, and to know it is no guess.
    fn often_right(&self, text: &str) -> i64 {
        match self.records.get(text) {
            Some((right, wrong)) if *wrong > 0 => *right,
            _ => 0,
        }
    }

    fn remember(&mut self, texts: &[&str], right: &[bool]) {
        for (text, right) in texts.iter().zip(right) {
            let record = self.records.entry((*text).to_owned()).or_default();
            *record = (record.0 + i64::from(*right), record.1 + i64::from(!*right));
        }
    }
}

impl Guess {
    /// By how many points the score lies above chance.
    pub fn above(&self) -> u64 {
        self.score.saturating_sub(self.chance)
    }
}

impl Guesses {
    /// Guesses at every part of a problem that offers something to choose from.
    pub fn guess(&mut self, problem: &Problem) {
        let stem: Vec<&str> = problem.stem.iter().flat_map(Block::texts).collect();
        let stem = stem.join(" ");
        for part in &problem.parts {
            self.guess_part(&stem, part);
        }
    }

    fn guess_part(&mut self, stem: &str, part: &Part) {
        let question = format!("{stem} {}", part.ask);
        match &part.response {
            Response::Choice(key) => {
                let texts: Vec<&str> = key.options.iter().map(|it| it.text.as_str()).collect();
                let what = if key.is_procedure { "the line" } else { "the option" };
                self.count(part, what, &question, &texts, &key.right);
            }
            Response::Judgement(key) => {
                let texts: Vec<&str> = key.reasons.iter().map(|it| it.text.as_str()).collect();
                let right: Vec<bool> = (0..texts.len()).map(|n| key.right == Some(n)).collect();
                let question = format!("{question} {}", key.statement);
                self.count(part, "the reason", &question, &texts, &right);
                self.count_verdict(part, &key.statement, key.truth);
            }
            Response::Matching(key) => {
                let texts: Vec<&str> = key.right.iter().map(String::as_str).collect();
                for (left, answer) in key.left.iter().zip(&key.answers) {
                    let right: Vec<bool> = (0..texts.len()).map(|n| n == *answer).collect();
                    self.count(part, "the pair", left, &texts, &right);
                }
            }
            Response::Text(_) => self.count_term(part, &question, &part.response.answer()),
            _ => {}
        }
    }

    /// Whether the question names the term that it asks for.
    fn count_term(&mut self, part: &Part, question: &str, term: &str) {
        let (term, question) = (stems(term), stems(question));
        let is_named = !term.is_empty() && term.is_subset(&question);
        let tally = self.0.entry((part.id.clone(), "the term")).or_default();
        tally.draws += 1;
        *tally.scores.entry(Clue::SharedWords).or_default() += if is_named { WHOLE } else { 0 };
        for word in term.into_iter().filter(|_| is_named) {
            *tally.words.entry((Clue::SharedWords, word)).or_default() += 1;
        }
    }

    /// Whether a statement is true, by its absolute and hedged words.
    fn count_verdict(&mut self, part: &Part, statement: &str, truth: bool) {
        let options = [statement];
        let reader = Reader::new("", &options);
        let score = reader.scores(Clue::Moderate)[0];
        let tally = self.0.entry((part.id.clone(), "the verdict")).or_default();
        tally.draws += 1;
        tally.chance += WHOLE / 2;
        let earned = match score {
            0 => WHOLE / 2,
            _ if (score > 0) == truth => WHOLE,
            _ => 0,
        };
        *tally.scores.entry(Clue::Moderate).or_default() += earned;
        if earned == WHOLE {
            let clue = if score > 0 { Clue::Moderate } else { Clue::Absolute };
            for word in reader.words(clue, 0) {
                *tally.words.entry((Clue::Moderate, word)).or_default() += 1;
            }
        }
    }

    fn count(
        &mut self,
        part: &Part,
        what: &'static str,
        question: &str,
        texts: &[&str],
        right: &[bool],
    ) {
        let rights = right.iter().filter(|right| **right).count();
        if rights == 0 || rights == texts.len() {
            return;
        }
        let reader = Reader::new(question, texts);
        let tally = self.0.entry((part.id.clone(), what)).or_default();
        tally.draws += 1;
        tally.chance += WHOLE * rights as u64 / texts.len() as u64;
        for clue in Clue::ALL {
            let scores = match clue {
                Clue::OftenRight => texts.iter().map(|text| tally.often_right(text)).collect(),
                _ => reader.scores(clue),
            };
            *tally.scores.entry(clue).or_default() += earned(&scores, right);
            let most = scores.iter().max().copied().unwrap_or(0);
            for option in (0..texts.len()).filter(|n| right[*n] && scores[*n] == most && most > 0) {
                for word in reader.words(clue, option) {
                    *tally.words.entry((clue, word)).or_default() += 1;
                }
            }
        }
        if what != "the pair" {
            tally.remember(texts, right);
        }
    }

    /// For each part the clue that earned the most above chance.
    pub fn best(&self) -> Vec<Guess> {
        let best = |((part, what), tally): (&(String, &'static str), &Tally)| {
            let (clue, score) = tally.scores.iter().max_by_key(|(_, score)| **score)?;
            let mut words: Vec<(&String, u64)> = tally
                .words
                .iter()
                .filter(|((of, _), _)| of == clue)
                .map(|((_, word), times)| (word, *times))
                .collect();
            words.sort_by(|one, other| other.1.cmp(&one.1).then(one.0.cmp(other.0)));
            let per_cent = |sum: u64| (sum * 200).checked_div(tally.draws * WHOLE * 2);
            Some(Guess {
                part: part.clone(),
                what,
                clue: *clue,
                score: per_cent(*score)?,
                chance: per_cent(tally.chance)?,
                words: words.into_iter().take(MOST_WORDS).map(|(word, _)| word.clone()).collect(),
                draws: tally.draws,
            })
        };
        self.0.iter().filter_map(best).collect()
    }
}

/// What choosing as many options as are right earns, the highest scores first; of options with equal
/// scores one is as likely as another.
fn earned(scores: &[i64], right: &[bool]) -> u64 {
    let rights = right.iter().filter(|right| **right).count() as u64;
    let mut levels: Vec<i64> = scores.to_vec();
    levels.sort_unstable_by(|one, other| other.cmp(one));
    levels.dedup();
    let (mut room, mut earned) = (rights, 0);
    for level in levels {
        let here = || scores.iter().zip(right).filter(|(score, _)| **score == level);
        let (all, good) =
            (here().count() as u64, here().filter(|(_, right)| **right).count() as u64);
        let taken = room.min(all);
        earned += WHOLE * good * taken / all.max(1);
        room -= taken;
    }
    earned / rights.max(1)
}

#[cfg(test)]
mod tests {
    use crate::bank::{Choice, TextCase};
    use crate::problem::{ChoiceKey, JudgementKey};

    use super::*;

    fn choices(texts: &[&str]) -> Vec<Choice> {
        texts.iter().map(|text| Choice { text: (*text).to_owned(), ..Choice::default() }).collect()
    }

    fn part(ask: &str, response: Response) -> Part {
        Part { id: "a".to_owned(), ask: ask.to_owned(), marks: 1, response }
    }

    fn options(texts: &[&str], right: &[bool]) -> Response {
        Response::Choice(ChoiceKey {
            options: choices(texts),
            right: right.to_vec(),
            several: right.iter().filter(|right| **right).count() > 1,
            is_procedure: false,
        })
    }

    fn guessed(parts: &[Part]) -> Vec<Guess> {
        let mut guesses = Guesses::default();
        for part in parts {
            guesses.guess_part("", part);
        }
        guesses.best()
    }

    #[test]
    fn a_right_option_that_says_the_question_again_is_found_out() {
        let response = options(
            &["it lubricates", "it melts fast", "it cools down", "it hardens"],
            &[true, false, false, false],
        );
        let [guess] = &guessed(&[part("What does a lubricant do?", response)])[..] else {
            panic!()
        };
        assert_eq!((guess.clue, guess.score, guess.chance), (Clue::SharedWords, 100, 25));
        assert_eq!(guess.words, ["lubric"]);
        assert_eq!(guess.above(), 75);
    }

    #[test]
    fn a_term_that_the_question_names_is_found_out() {
        let term = || {
            let answers = vec!["water-bath".to_owned()];
            Response::Text(TextCase::new(answers, Vec::new(), String::new()))
        };
        let parts =
            [part("What is a bath of warm water called?", term()), part("Name it.", term())];
        let [guess] = &guessed(&parts)[..] else { panic!() };
        assert_eq!((guess.what, guess.score, guess.chance), ("the term", 50, 0));
        assert_eq!(guess.words, ["bath", "wat"]);
    }

    #[test]
    fn options_that_are_alike_are_worth_a_blind_guess() {
        let response = || options(&["oily", "waxy", "dusk", "cold"], &[true, false, false, false]);
        let [guess] = &guessed(&[part("Which?", response()), part("Which?", response())])[..]
        else {
            panic!()
        };
        assert_eq!((guess.score, guess.chance, guess.draws), (25, 25, 2));
        assert_eq!(guess.above(), 0);
    }

    #[test]
    fn an_option_that_is_right_in_most_draws_is_found_out() {
        let drawn = |right: usize| {
            let texts = ["oily", "waxy", "dusk", "cold"];
            let right: Vec<bool> = (0..texts.len()).map(|index| index == right).collect();
            part("What is it like?", options(&texts, &right))
        };
        // Oily is right in six of ten draws; the first draw tells nothing yet.
        let rights = [0, 1, 0, 0, 2, 0, 0, 3, 0, 1];
        let [guess] = &guessed(&rights.map(drawn))[..] else { panic!() };
        assert_eq!((guess.clue, guess.chance), (Clue::OftenRight, 25));
        assert!(guess.above() > 20, "{guess:?}");
    }

    #[test]
    fn what_is_always_right_is_a_fact_and_no_clue() {
        let drawn = |_| part("What is true?", options(&["it is"; 1], &[true]));
        let mut tally = Tally::default();
        tally.remember(&["it melts", "it burns"], &[true, false]);
        assert_eq!((tally.often_right("it melts"), tally.often_right("it burns")), (0, 0));
        tally.remember(&["it melts"], &[false]);
        assert_eq!(tally.often_right("it melts"), 1);
        assert!(guessed(&[0, 1].map(drawn)).is_empty());
    }

    #[test]
    fn ties_are_shared_out_among_several_right_options() {
        assert_eq!(earned(&[1, 1, 0, 0], &[true, false, true, false]), WHOLE / 2);
        assert_eq!(earned(&[2, 1, 0, 0], &[true, true, false, false]), WHOLE);
        assert_eq!(earned(&[0, 0, 1, 1], &[true, true, false, false]), 0);
    }

    #[test]
    fn absolute_words_give_a_false_statement_away() {
        let key = |statement: &str, truth| {
            let statement = statement.to_owned();
            Response::Judgement(JudgementKey {
                statement,
                truth,
                source: String::new(),
                because: String::new(),
                reasons: Vec::new(),
                right: None,
            })
        };
        let parts = [
            part("True or false?", key("it never melts", false)),
            part("True or false?", key("it may melt", true)),
            part("True or false?", key("it melts", true)),
        ];
        let [guess] = &guessed(&parts)[..] else { panic!() };
        assert_eq!((guess.what, guess.score, guess.chance), ("the verdict", 83, 50));
        assert_eq!(guess.words, ["may", "never"]);
    }
}
