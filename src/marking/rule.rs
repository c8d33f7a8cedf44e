//! The rule that gave or took the marks of an answer.

use super::entry::Item;
use super::{Cost, Counts, FollowThrough, Reason, Settings, Standing, Verdict};

/// The rule that decided the marks of an answer, for a second marker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// A right answer has all marks.
    RightAnswer,
    /// A moved decimal point costs what the settings say.
    MovedPoint,
    /// A wrong unit costs what the settings say.
    Unit,
    /// A wrong rounding costs what the settings say.
    Rounding,
    /// A mistake that is counted once costs nothing the second time.
    CountedOnce,
    /// What follows from an own wrong number has the marks that the settings say.
    FollowThrough,
    /// Nothing is followed from a number that leaves no work or no sense.
    NotFollowed,
    /// Wrong working shows no method.
    Working,
    /// A number that shows no right method has no marks.
    NoMethod,
    /// The pieces of an answer of theory have their share.
    Share,
    /// A written answer is marked by hand.
    ByHand,
    /// What cannot be read is not marked.
    Unread,
    /// A step earns no marks of its own.
    Step,
}

impl Rule {
    /// The rule that decided.
    pub fn of(item: Item, verdict: &Verdict) -> Self {
        let has = |wanted: fn(&Reason) -> bool| verdict.reasons.iter().any(wanted);
        match verdict.standing {
            Standing::ByHand => return Self::ByHand,
            Standing::Unread => return Self::Unread,
            _ if matches!(item, Item::Step(_)) => return Self::Step,
            _ => {}
        }
        if has(|one| matches!(one, Reason::WorkingWrong { .. })) {
            Self::Working
        } else if has(|one| matches!(one, Reason::CountedInQuestion(_) | Reason::CountedInPaper(_)))
        {
            Self::CountedOnce
        } else if has(|one| matches!(one, Reason::Follows | Reason::FollowsWorking)) {
            Self::FollowThrough
        } else if verdict.typed.is_none() {
            Self::Share
        } else if verdict.is_right() {
            Self::RightAnswer
        } else if has(|one| matches!(one, Reason::PowerOfTen(_))) {
            Self::MovedPoint
        } else if has(|one| matches!(one, Reason::WrongUnit { .. } | Reason::UnitMissing { .. }))
            && !has(|one| matches!(one, Reason::Unexplained { .. } | Reason::Slip { .. }))
        {
            Self::Unit
        } else if has(|one| matches!(one, Reason::FollowsTrivially | Reason::FollowsSenselessly)) {
            Self::NotFollowed
        } else if has(|one| matches!(one, Reason::Slip { .. })) {
            Self::NoMethod
        } else if has(|one| {
            matches!(
                one,
                Reason::TooCoarse { .. } | Reason::CutShort { .. } | Reason::FewPlaces { .. }
            )
        }) {
            Self::Rounding
        } else {
            Self::NoMethod
        }
    }

    /// The name of the rule in files: `right-answer`.
    pub fn name(self) -> &'static str {
        match self {
            Self::RightAnswer => "right-answer",
            Self::MovedPoint => "moved-point",
            Self::Unit => "unit",
            Self::Rounding => "rounding",
            Self::CountedOnce => "counted-once",
            Self::FollowThrough => "follow-through",
            Self::NotFollowed => "not-followed",
            Self::Working => "working",
            Self::NoMethod => "no-method",
            Self::Share => "share",
            Self::ByHand => "by-hand",
            Self::Unread => "unread",
            Self::Step => "step",
        }
    }

    /// The rule in a sentence, as the settings have it.
    pub fn words(self, settings: &Settings) -> String {
        match self {
            Self::RightAnswer => "A right answer has all marks.".to_owned(),
            Self::MovedPoint => {
                format!("A moved decimal point costs {}.", cost(settings.moved_point_costs))
            }
            Self::Unit => format!(
                "A wrong unit costs {}, {}.",
                cost(settings.unit_costs),
                counts(settings.unit_counts)
            ),
            Self::Rounding => format!(
                "A wrong rounding costs {}, {}.",
                cost(settings.rounding_costs),
                counts(settings.rounding_counts)
            ),
            Self::CountedOnce => {
                "A mistake that is counted once costs nothing when it comes again.".to_owned()
            }
            Self::FollowThrough => match settings.follow_through {
                FollowThrough::All => "What follows rightly from an own wrong number has all marks.",
                _ => {
                    "What follows rightly from an own wrong number has the marks for method, or all where there are none for method."
                }
            }
            .to_owned(),
            Self::NotFollowed => {
                "Nothing is followed from a number that leaves no work to do or no sense.".to_owned()
            }
            Self::Working => if settings.accuracy_needs_method {
                "Wrong working shows no method, and accuracy has no marks without method."
            } else {
                "Wrong working shows no method; the marks for accuracy stay."
            }
            .to_owned(),
            Self::NoMethod => {
                "A wrong number that does not show a right method has no marks.".to_owned()
            }
            Self::Share => "The marks go by how much of the answer is right.".to_owned(),
            Self::ByHand => "A written answer is marked by hand, a mark for each point.".to_owned(),
            Self::Unread => "What cannot be read is not marked.".to_owned(),
            Self::Step => "A step of the working earns no marks of its own.".to_owned(),
        }
    }
}

/// The rules that are not the usual ones, each in a sentence.
pub fn own_rules(settings: &Settings) -> Vec<String> {
    let usual = Settings::default();
    let mut own = Vec::new();
    let mut tell = |differs: bool, words: String| own.extend(differs.then_some(words));
    tell(
        settings.right_answer_shows_method != usual.right_answer_shows_method,
        "A right answer has no marks for method where a step of its working is wrong.".to_owned(),
    );
    tell(
        settings.accuracy_needs_method != usual.accuracy_needs_method,
        "Marks for accuracy are given without those for method.".to_owned(),
    );
    let follow_through = match settings.follow_through {
        FollowThrough::Never => "Nothing is followed from an own wrong number.".to_owned(),
        _ => Rule::FollowThrough.words(settings),
    };
    tell(settings.follow_through != usual.follow_through, follow_through);
    tell(
        settings.follow_trivial != usual.follow_trivial,
        "A wrong number that leaves nothing to work out is followed, too.".to_owned(),
    );
    tell(settings.moved_point_costs != usual.moved_point_costs, Rule::MovedPoint.words(settings));
    tell(
        (settings.unit_costs, settings.unit_counts) != (usual.unit_costs, usual.unit_counts),
        Rule::Unit.words(settings),
    );
    tell(
        settings.unit_must_be_written != usual.unit_must_be_written,
        "A missing unit is taken for a wrong one.".to_owned(),
    );
    tell(
        (settings.rounding_costs, settings.rounding_counts)
            != (usual.rounding_costs, usual.rounding_counts),
        Rule::Rounding.words(settings),
    );
    tell(
        settings.places_must_be_written != usual.places_must_be_written,
        "Missing places of a right number are taken for a wrong rounding.".to_owned(),
    );
    own
}

fn cost(cost: Cost) -> String {
    match cost {
        Cost::Nothing => "nothing".to_owned(),
        Cost::Accuracy => "the marks for accuracy".to_owned(),
        Cost::Marks(1) => "1 mark".to_owned(),
        Cost::Marks(marks) => format!("{marks} marks"),
        Cost::All => "all marks".to_owned(),
    }
}

fn counts(counts: Counts) -> &'static str {
    match counts {
        Counts::Never => "but is never counted",
        Counts::Question => "once in a question",
        Counts::Paper => "once in a paper",
        Counts::Always => "each time",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_rules_are_no_rules_of_ones_own() {
        assert!(own_rules(&Settings::default()).is_empty());
    }

    #[test]
    fn every_rule_that_differs_is_told_once() {
        let settings = Settings {
            right_answer_shows_method: false,
            accuracy_needs_method: false,
            follow_through: FollowThrough::Never,
            follow_trivial: true,
            moved_point_costs: Cost::All,
            unit_costs: Cost::Marks(1),
            unit_counts: Counts::Always,
            unit_must_be_written: true,
            rounding_costs: Cost::Nothing,
            rounding_counts: Counts::Never,
            places_must_be_written: true,
        };
        let told = own_rules(&settings);
        assert_eq!(told.len(), 9);
        for words in [
            "Nothing is followed from an own wrong number.",
            "A moved decimal point costs all marks.",
            "A wrong unit costs 1 mark, each time.",
        ] {
            assert!(told.iter().any(|it| it == words), "{words}: {told:?}");
        }
        let all = Settings { follow_through: FollowThrough::All, ..Settings::default() };
        let words = "What follows rightly from an own wrong number has all marks.";
        assert_eq!(own_rules(&all), [words]);
    }
}
