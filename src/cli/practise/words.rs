//! The words that can be typed at the prompt.

use castmark::practice::{Event, Phase};

/// What a line says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Said {
    /// Something to do.
    Event(Event),
    /// The words are wanted.
    Help,
    /// Something to be told instead, since the line does not fit here.
    Tell(&'static str),
    /// The line is meant as one of the words, perhaps.
    Perhaps(&'static str),
}

/// Every word, what it does, and what it does it with.
pub(super) const WORDS: [(&str, &str); 8] = [
    ("hint", "the next hint"),
    ("question", "the problem and its question again"),
    ("next", "leave this question and see its answer"),
    ("solution", "the worked solution; an open problem then counts as not solved"),
    ("another", "the same kind of problem with new numbers"),
    ("skip", "leave this problem and go to another topic"),
    ("stop", "stop for now; you can go on another day"),
    ("help", "these words"),
];

/// What people type instead of a word.
const ALSO: [(&str, &str); 5] =
    [("quit", "stop"), ("exit", "stop"), ("q", "stop"), ("?", "help"), ("repeat", "question")];

/// What a line says in a phase of the session; `points` is how many points are to be marked. After an
/// equals sign everything is an answer, even one of the words.
pub(super) fn read(text: &str, phase: Phase, points: usize) -> Said {
    if let Some(answer) = text.strip_prefix('=') {
        return answered(answer.trim(), phase, points);
    }
    if let Some(word) = word(text) {
        return meant(word);
    }
    if text.is_empty() {
        return match phase {
            Phase::Reading | Phase::Between => Said::Event(Event::GoOn),
            _ => Said::Tell("Type an answer, or help for the words you can use."),
        };
    }
    // `stop it`, `quit now`: a word with more behind it is asked about, never marked.
    let mut pieces = text.split_whitespace();
    if let (Some(first), 2..=3) = (pieces.next().and_then(word), text.split_whitespace().count()) {
        if phase != Phase::Points {
            return Said::Perhaps(first);
        }
    }
    answered(text, phase, points)
}

/// The word that the text is, or is meant as.
fn word(text: &str) -> Option<&'static str> {
    let same = |name: &str| text.eq_ignore_ascii_case(name);
    let known = WORDS.iter().map(|(name, _)| *name).find(|name| same(name));
    known.or_else(|| ALSO.iter().find(|(name, _)| same(name)).map(|(_, word)| *word))
}

fn meant(word: &str) -> Said {
    Said::Event(match word {
        "hint" => Event::Hint,
        "question" => Event::Question,
        "next" => Event::Pass,
        "solution" => Event::Solution,
        "another" => Event::NewNumbers,
        "skip" => Event::Skip,
        "stop" => Event::Stop,
        _ => return Said::Help,
    })
}

fn answered(text: &str, phase: Phase, points: usize) -> Said {
    match phase {
        Phase::Asking => Said::Event(Event::Answer(text.to_owned())),
        Phase::Points => match read_points(text, points) {
            Some(made) => Said::Event(Event::Points(made)),
            None => Said::Tell("Type y or n for each point in turn, such as yny."),
        },
        _ => Said::Tell("Press Enter to go on, or type help for the words you can use."),
    }
}

/// Reads a `y` or `n` for each point, with or without spaces, or as `yes` and `no`.
fn read_points(text: &str, count: usize) -> Option<Vec<bool>> {
    let whole: Vec<&str> = text.split([' ', ',', ';']).filter(|piece| !piece.is_empty()).collect();
    let one = |piece: &str| match piece.to_lowercase().as_str() {
        "y" | "yes" => Some(true),
        "n" | "no" => Some(false),
        _ => None,
    };
    let as_words: Option<Vec<bool>> = whole.iter().map(|piece| one(piece)).collect();
    let letters: Vec<String> = whole.concat().chars().map(String::from).collect();
    let as_letters = || letters.iter().map(|letter| one(letter)).collect::<Option<Vec<bool>>>();
    as_words.or_else(as_letters).filter(|made| made.len() == count)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asking(text: &str) -> Said {
        read(text, Phase::Asking, 0)
    }

    #[test]
    fn words_differ_from_answers() {
        assert_eq!(asking("Hint"), Said::Event(Event::Hint));
        assert_eq!(asking("13.9 g"), Said::Event(Event::Answer("13.9 g".to_owned())));
        assert_eq!(asking("= stop"), Said::Event(Event::Answer("stop".to_owned())));
        assert!(matches!(asking(""), Said::Tell(_)));
        assert_eq!(read("", Phase::Between, 0), Said::Event(Event::GoOn));
    }

    #[test]
    fn what_people_type_to_leave_is_never_an_answer() {
        for text in ["quit", "exit", "q", "Q", "QUIT"] {
            assert_eq!(asking(text), Said::Event(Event::Stop), "{text}");
        }
        assert_eq!(asking("?"), Said::Help);
        assert_eq!(asking("stop it"), Said::Perhaps("stop"));
        assert_eq!(asking("quit now please"), Said::Perhaps("stop"));
        assert!(matches!(asking("next to the wall of the mould"), Said::Event(Event::Answer(_))));
    }

    #[test]
    fn points_are_read_from_one_line() {
        for text in ["ynny", "y n n y", "yes no NO yes", "y,n,n,y"] {
            let made = vec![true, false, false, true];
            assert_eq!(read(text, Phase::Points, 4), Said::Event(Event::Points(made)), "{text}");
        }
        for text in ["yn", "ynnyy", "perhaps", "yes maybe no"] {
            assert!(matches!(read(text, Phase::Points, 4), Said::Tell(_)), "{text}");
        }
        assert_eq!(read("no", Phase::Points, 1), Said::Event(Event::Points(vec![false])));
    }
}
