//! What to practise next.

use super::{Mastery, Place, Settings};

/// What can be practised: one objective or topic, with what is known of the student there.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The name.
    pub name: String,
    /// How many attempts were made.
    pub attempts: u64,
    /// The chance that it is known.
    pub mastery: Mastery,
    /// Its place in the boxes of spaced review.
    pub place: Place,
}

/// What was chosen, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The position in the list of candidates.
    pub index: usize,
    /// Why.
    pub why: Why,
}

/// Why something comes next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// It is known, and its box is due for review.
    Due,
    /// It was begun and is not yet known.
    Begun,
    /// It is new.
    New,
    /// Everything is known and nothing is due: the one waiting longest.
    Longest,
}

/// Chooses what comes next on the given day.
///
/// What is mastered and due comes before what was begun, and that before what is new, but the
/// one just practised is not repeated while there is another to turn to, except while it is still
/// being learnt and nothing else is mastered: objectives are mixed once they are known
/// (interleaving). Ties go to the weaker, then to the earlier in the list. `None` when the list is
/// empty.
pub fn choose(
    settings: &Settings,
    candidates: &[Candidate],
    last: Option<&str>,
    day: i64,
) -> Option<Choice> {
    let any_mastered = candidates.iter().any(|c| c.mastery.is_mastered(settings));
    let reason = |candidate: &Candidate| {
        if candidate.attempts == 0 {
            Why::New
        } else if !candidate.mastery.is_mastered(settings) {
            Why::Begun
        } else if candidate.place.is_due(settings, day) {
            Why::Due
        } else {
            Why::Longest
        }
    };
    let repeats = |candidate: &Candidate| {
        last == Some(candidate.name.as_str())
            && (any_mastered || candidate.mastery.is_mastered(settings))
    };
    candidates
        .iter()
        .enumerate()
        .min_by(|(_, a), (_, b)| {
            let key = |c: &Candidate| (repeats(c), reason(c));
            key(a).cmp(&key(b)).then_with(|| match reason(a) {
                Why::Due | Why::Longest => a.place.due(settings).cmp(&b.place.due(settings)),
                Why::Begun => a.mastery.chance().total_cmp(&b.mastery.chance()),
                Why::New => std::cmp::Ordering::Equal,
            })
        })
        .map(|(index, candidate)| Choice { index, why: reason(candidate) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(name: &str, attempts: &[bool], last: i64) -> Candidate {
        let settings = Settings::default();
        let place = attempts
            .iter()
            .fold(Place { number: 0, last }, |place, right| place.next(&settings, *right, last));
        Candidate {
            name: name.to_owned(),
            attempts: attempts.len() as u64,
            mastery: Mastery::after(&settings, attempts.iter().copied()),
            place,
        }
    }

    #[track_caller]
    fn check(candidates: &[Candidate], last: Option<&str>, day: i64, expected: (&str, Why)) {
        let choice = choose(&Settings::default(), candidates, last, day).unwrap();
        assert_eq!((candidates[choice.index].name.as_str(), choice.why), expected);
    }

    #[test]
    fn starts_with_the_first_of_what_is_new() {
        check(&[candidate("a", &[], 0), candidate("b", &[], 0)], None, 0, ("a", Why::New));
    }

    #[test]
    fn stays_with_what_is_being_learnt_while_nothing_is_known() {
        check(
            &[candidate("a", &[true], 0), candidate("b", &[], 0)],
            Some("a"),
            0,
            ("a", Why::Begun),
        );
    }

    #[test]
    fn mixes_once_something_is_known() {
        let known = candidate("a", &[true; 4], 0);
        check(&[known, candidate("b", &[], 0)], Some("a"), 0, ("b", Why::New));
    }

    #[test]
    fn reviews_what_is_due_before_anything_else() {
        let known = candidate("a", &[true; 4], 0);
        check(&[candidate("b", &[false], 20), known], Some("b"), 20, ("a", Why::Due));
    }

    #[test]
    fn turns_to_the_longest_waiting_when_all_is_known_and_nothing_due() {
        let list = [candidate("a", &[true; 4], 7), candidate("b", &[true; 4], 6)];
        check(&list, None, 6, ("b", Why::Longest));
    }

    #[test]
    fn has_nothing_to_choose_from_an_empty_list() {
        assert_eq!(choose(&Settings::default(), &[], None, 0), None);
    }
}
