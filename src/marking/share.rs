//! Marks in the share of an answer that is right.

use crate::problem::Response;

/// How the pieces of an answer earn marks. A candidate reads the words before answering, and a marker
/// beside the marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sharing {
    /// By the options that are chosen.
    Options,
    /// By the lines that were given letters.
    Lines,
    /// By the pairs of lines of an order.
    Order,
    /// By true or false, and the reason.
    Judgement,
    /// By the ends of a range.
    Ends,
    /// By the points that a person counts.
    Points,
    /// As a whole or not at all.
    Whole,
}

impl Sharing {
    /// The way for a kind of answer.
    pub fn of(response: &Response) -> Self {
        match response {
            Response::Choice(key) if key.several => Self::Options,
            Response::Matching(_) => Self::Lines,
            Response::Ordering(_) => Self::Order,
            Response::Judgement(key) if key.right.is_some() => Self::Judgement,
            Response::Range(_) => Self::Ends,
            Response::Written(_) => Self::Points,
            Response::Choice(_)
            | Response::Judgement(_)
            | Response::Verdict(_)
            | Response::Number(_)
            | Response::Text(_) => Self::Whole,
        }
    }

    /// The way in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::Options => {
                "Wrong letters cost marks: the share of the correct letters written, less the share of \
                 the wrong letters written, earns the marks."
            }
            Self::Lines => "Each line earns its share of the marks; halves are rounded up.",
            Self::Order => {
                "Each pair of lines in the correct order earns marks, and each pair in the wrong order \
                 costs as much."
            }
            Self::Judgement => {
                "The reason earns marks only with the correct choice of true or false."
            }
            Self::Points => "Each point earns one mark.",
            Self::Whole => "Only the correct answer earns marks.",
            Self::Ends => "Each end earns half of the marks; halves are rounded up.",
        }
    }
}

/// The marks for so many right out of all, halves rounded up; never all of them while something is
/// missing.
pub(super) fn share(of: u32, right: usize, all: usize) -> u32 {
    if right >= all {
        return of;
    }
    // Twice the share and a half, so that nothing but whole numbers is needed.
    let twice = 2 * u64::from(of) * right as u64 + all as u64;
    let marks = twice.checked_div(2 * all as u64).and_then(|marks| u32::try_from(marks).ok());
    marks.unwrap_or(0).min(of.saturating_sub(1))
}

/// The marks for options: the share of the right ones that are chosen less the share of the wrong ones
/// that are, never below zero. Who chooses all of them has nothing.
pub(super) fn share_of_options(
    of: u32,
    (good, rights): (usize, usize),
    (bad, wrongs): (usize, usize),
) -> u32 {
    let wrongs = wrongs.max(1);
    share(of, (good * wrongs).saturating_sub(bad * rights), rights * wrongs)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_are_rounded_up_and_something_missing_is_never_all() {
        let marks = |of, all| (0..=all).map(|right| share(of, right, all)).collect::<Vec<_>>();
        assert_eq!(marks(4, 5), [0, 1, 2, 2, 3, 4]);
        assert_eq!(marks(2, 4), [0, 1, 1, 1, 2]);
        assert_eq!(marks(1, 4), [0, 0, 0, 0, 1]);
        assert_eq!(marks(3, 2), [0, 2, 3]);
        assert_eq!(marks(3, 3), [0, 1, 2, 3]);
    }

    #[test]
    fn wrong_options_cost_their_share_and_choosing_all_earns_nothing() {
        assert_eq!(share_of_options(3, (3, 3), (0, 2)), 3);
        assert_eq!(share_of_options(3, (3, 3), (1, 2)), 2);
        assert_eq!(share_of_options(3, (2, 3), (0, 2)), 2);
        // A sixth of 3 marks is a half.
        assert_eq!(share_of_options(3, (2, 3), (1, 2)), 1);
        assert_eq!(share_of_options(3, (3, 3), (2, 2)), 0);
        assert_eq!(share_of_options(3, (0, 3), (2, 2)), 0);
        assert_eq!(share_of_options(3, (0, 3), (0, 2)), 0);
    }

    #[test]
    fn one_more_right_never_costs_marks_and_one_more_wrong_never_earns_any() {
        for of in 1..=6 {
            for (rights, wrongs) in (1..=5).flat_map(|r| (1..=5).map(move |w| (r, w))) {
                for (good, bad) in (0..=rights).flat_map(|g| (0..=wrongs).map(move |b| (g, b))) {
                    let marks = share_of_options(of, (good, rights), (bad, wrongs));
                    assert_eq!(marks == of, good == rights && bad == 0);
                    if good < rights {
                        assert!(share_of_options(of, (good + 1, rights), (bad, wrongs)) >= marks);
                    }
                    if bad < wrongs {
                        assert!(share_of_options(of, (good, rights), (bad + 1, wrongs)) <= marks);
                    }
                }
            }
        }
    }
}
