//! A reader who knows nothing of the subject and goes by clues.

use std::collections::BTreeSet;

use super::words::{absolute, first_word, hedged, negations, stems};

/// What a reader who knows nothing goes by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Clue {
    /// The option shares the most words with the question.
    SharedWords,
    /// The option is the longest.
    Longest,
    /// The option is the shortest.
    Shortest,
    /// The length of the option is the closest to that of all on average.
    MiddleLength,
    /// The option has no absolute word, and hedged ones if any.
    Moderate,
    /// The option has an absolute word.
    Absolute,
    /// The option has a `not`, `no` or `without`.
    Negated,
    /// The option begins with another word than the others.
    OddBeginning,
    /// The option shares the fewest words with the others.
    OddOneOut,
    /// The option shares the most words with the others.
    MostAlike,
    /// The option was right most often in earlier draws, of those that were also wrong. A reader of one
    /// question cannot see it; [`Guesses`](super::Guesses) counts it.
    OftenRight,
}

impl Clue {
    /// Every clue.
    pub const ALL: [Self; 11] = [
        Self::SharedWords,
        Self::Longest,
        Self::Shortest,
        Self::MiddleLength,
        Self::Moderate,
        Self::Absolute,
        Self::Negated,
        Self::OddBeginning,
        Self::OddOneOut,
        Self::MostAlike,
        Self::OftenRight,
    ];

    /// The clue in words: `words of the question`.
    pub fn words(self) -> &'static str {
        match self {
            Self::SharedWords => "words of the question",
            Self::Longest => "the longest",
            Self::Shortest => "the shortest",
            Self::MiddleLength => "of middle length",
            Self::Moderate => "no absolute word",
            Self::Absolute => "an absolute word",
            Self::Negated => "a negation",
            Self::OddBeginning => "another first word",
            Self::OddOneOut => "unlike the others",
            Self::MostAlike => "like the others",
            Self::OftenRight => "right in most draws",
        }
    }
}

/// A question as the reader sees it, and options to choose from.
#[derive(Debug)]
pub struct Reader<'t> {
    options: &'t [&'t str],
    question: BTreeSet<String>,
    stems: Vec<BTreeSet<String>>,
}

impl<'t> Reader<'t> {
    /// Reads a question and its options.
    pub fn new(question: &str, options: &'t [&'t str]) -> Self {
        let stems = options.iter().map(|option| stems(option)).collect();
        Self { options, question: super::words::stems(question), stems }
    }

    /// How much speaks for each option by a clue; the greatest is chosen.
    pub fn scores(&self, clue: Clue) -> Vec<i64> {
        (0..self.options.len()).map(|option| self.score(clue, option)).collect()
    }

    /// The words by which an option is known: the stems it shares with the question but not with every
    /// option, or its absolute or hedged words.
    pub fn words(&self, clue: Clue, option: usize) -> Vec<String> {
        let text = self.options[option];
        match clue {
            Clue::SharedWords => self.shared(option).cloned().collect(),
            Clue::Moderate => hedged(text),
            Clue::Absolute => absolute(text),
            Clue::Negated => negations(text),
            _ => Vec::new(),
        }
    }

    fn score(&self, clue: Clue, option: usize) -> i64 {
        let text = self.options[option];
        let count = |many: usize| i64::try_from(many).unwrap_or(i64::MAX);
        match clue {
            Clue::SharedWords => count(self.shared(option).count()),
            Clue::Longest => count(text.chars().count()),
            Clue::Shortest => -count(text.chars().count()),
            Clue::MiddleLength => -self.distance_from_mean(option),
            Clue::Moderate => count(hedged(text).len()) - 2 * count(absolute(text).len()),
            Clue::Absolute => count(absolute(text).len()),
            Clue::Negated => count(negations(text).len().min(1)),
            Clue::OddBeginning => -self.same_beginning(option),
            Clue::OddOneOut => -self.likeness(option),
            Clue::MostAlike => self.likeness(option),
            Clue::OftenRight => 0,
        }
    }

    fn shared(&self, option: usize) -> impl Iterator<Item = &String> {
        let in_all = |stem: &&String| !self.stems.iter().all(|stems| stems.contains(*stem));
        self.stems[option].intersection(&self.question).filter(in_all)
    }

    /// How far the length of an option is from that of all on average, times the number of options.
    fn distance_from_mean(&self, option: usize) -> i64 {
        let length = |text: &str| i64::try_from(text.chars().count()).unwrap_or(i64::MAX);
        let all: i64 = self.options.iter().map(|text| length(text)).sum();
        let many = i64::try_from(self.options.len()).unwrap_or(i64::MAX);
        (length(self.options[option]) * many - all).abs()
    }

    /// How many options begin with the same word.
    fn same_beginning(&self, option: usize) -> i64 {
        let own = first_word(self.options[option]);
        let same = self.options.iter().filter(|text| first_word(text) == own).count();
        i64::try_from(same).unwrap_or(i64::MAX)
    }

    /// How many words an option shares with each of the others, in a thousandth of its own.
    fn likeness(&self, option: usize) -> i64 {
        let own = &self.stems[option];
        let others = self.stems.iter().enumerate().filter(|(other, _)| *other != option);
        let shared: usize = others.map(|(_, other)| own.intersection(other).count()).sum();
        i64::try_from(shared * 1000 / own.len().max(1)).unwrap_or(i64::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn best(question: &str, options: &[&str], clue: Clue) -> Vec<usize> {
        let scores = Reader::new(question, options).scores(clue);
        let most = scores.iter().max().unwrap();
        (0..options.len()).filter(|option| scores[*option] == *most).collect()
    }

    #[test]
    fn each_clue_picks_what_it_is_about() {
        let question = "Why is the mould lubricated before the base is poured?";
        let options = [
            "the lubricant lets the unit slide out",
            "it never cools otherwise",
            "it may crack",
            "cold metal sets the mass at its wall at once",
        ];
        assert_eq!(best(question, &options, Clue::SharedWords), [0]);
        assert_eq!(best(question, &options, Clue::Longest), [3]);
        assert_eq!(best(question, &options, Clue::Shortest), [2]);
        assert_eq!(best(question, &options, Clue::Moderate), [2]);
        assert_eq!(best(question, &options, Clue::Absolute), [1]);
    }

    #[test]
    fn the_middle_length_a_negation_and_another_beginning_are_clues() {
        let options = [
            "the fat melts",
            "the fat has no water in it to lose",
            "its glycerides change slowly into those of the stable crystals",
        ];
        assert_eq!(best("Why?", &options, Clue::MiddleLength), [1]);
        assert_eq!(best("Why?", &options, Clue::Negated), [1]);
        assert_eq!(best("Why?", &options, Clue::OddBeginning), [2]);
        assert_eq!(Reader::new("Why?", &options).words(Clue::Negated, 1), ["no"]);
        assert_eq!(best("Why?", &options, Clue::OftenRight), [0, 1, 2]);
    }

    #[test]
    fn what_every_option_shares_is_no_clue() {
        let options = ["the mould is cold", "the mould is hot"];
        assert_eq!(best("What of the mould?", &options, Clue::SharedWords), [0, 1]);
    }

    #[test]
    fn the_odd_one_shares_no_words_with_the_others() {
        let options = ["glycerol and gelatin", "gelatin and water", "hard fat"];
        assert_eq!(best("Which?", &options, Clue::OddOneOut), [2]);
        assert_eq!(
            Reader::new("Which gelatin?", &options).words(Clue::SharedWords, 0),
            ["gelatin"]
        );
    }
}
