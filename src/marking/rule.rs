//! The rule that gave or took the marks of an answer.

use super::{Cost, Counts, FollowThrough, Settings, Sharing};

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
    /// A single slip in a step that is not asked for keeps the marks for method.
    OneSlip,
    /// A number that shows no right method has no marks.
    NoMethod,
    /// The pieces of an answer of theory have their share.
    Share(Sharing),
    /// A written answer is marked by hand.
    ByHand,
    /// What cannot be read is not marked.
    Unread,
    /// A step earns no marks of its own.
    Step,
}

impl Rule {
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
            Self::OneSlip => "one-slip",
            Self::NoMethod => "no-method",
            Self::Share(_) => "share",
            Self::ByHand => "by-hand",
            Self::Unread => "unread",
            Self::Step => "step",
        }
    }

    /// The rule in a sentence, as the settings have it.
    pub fn words(self, settings: &Settings) -> String {
        match self {
            Self::RightAnswer => "A correct answer earns full marks.".to_owned(),
            Self::MovedPoint => format!(
                "A decimal point in the wrong place costs {}.",
                cost(settings.moved_point_costs)
            ),
            Self::Unit => unit_words(settings),
            Self::Rounding => rounding_words(settings),
            Self::CountedOnce => {
                "An error that is counted once costs nothing when it comes again.".to_owned()
            }
            Self::FollowThrough => match settings.follow_through {
                FollowThrough::All => {
                    "A result that follows correctly from the candidate's earlier error earns full marks."
                }
                _ => {
                    "A result that follows correctly from the candidate's earlier error earns the method marks, or full marks where there are no method marks."
                }
            }
            .to_owned(),
            Self::NotFollowed => {
                "A wrong number earns no marks later if it leaves nothing to work out or leads to a meaningless answer.".to_owned()
            }
            Self::Working => if settings.accuracy_needs_method {
                "Wrong working earns no method marks, and accuracy marks need method marks."
            } else {
                "Wrong working earns no method marks; the accuracy marks stay."
            }
            .to_owned(),
            Self::OneSlip => {
                "A single common slip in a step that is not asked for costs the accuracy marks; the method marks stay, for one slip in a question.".to_owned()
            }
            Self::NoMethod => {
                "A wrong number earns no marks unless it shows a correct method.".to_owned()
            }
            Self::Share(sharing) => sharing.words().to_owned(),
            Self::ByHand => "A person marks this answer.".to_owned(),
            Self::Unread => "An answer that cannot be read is not marked.".to_owned(),
            Self::Step => "A step of the working earns no marks of its own.".to_owned(),
        }
    }
}

fn unit_words(settings: &Settings) -> String {
    if settings.unit_costs == Cost::Nothing {
        return "A wrong unit costs nothing.".to_owned();
    }
    let words = format!(
        "A wrong unit costs {}, {}",
        cost(settings.unit_costs),
        counts(settings.unit_counts)
    );
    let once = matches!(settings.unit_counts, Counts::Always);
    if settings.thousandfold_is_counted_once || once {
        words + "."
    } else {
        let them = them(settings.unit_costs);
        words
            + &format!(
                "; a unit that is wrong a thousandfold, such as mg for g, costs {them} each time."
            )
    }
}

fn rounding_words(settings: &Settings) -> String {
    if settings.rounding_costs == Cost::Nothing {
        return "A wrong rounding costs nothing.".to_owned();
    }
    let words = format!(
        "A wrong rounding costs {}, {}",
        cost(settings.rounding_costs),
        counts(settings.rounding_counts)
    );
    if settings.gross_rounding_is_counted_once || settings.rounding_counts == Counts::Always {
        words + "."
    } else {
        let them = them(settings.rounding_costs);
        words + &format!("; one that changes a mass by more than 2 % costs {them} each time.")
    }
}

/// The rules that differ from the usual ones, each in a sentence.
pub fn own_rules(settings: &Settings) -> Vec<String> {
    let usual = Settings::default();
    let mut own = Vec::new();
    let mut tell = |differs: bool, words: String| own.extend(differs.then_some(words));
    tell(
        settings.right_answer_shows_method != usual.right_answer_shows_method,
        "A correct answer earns no method marks if a step of its working is wrong.".to_owned(),
    );
    tell(
        settings.accuracy_needs_method != usual.accuracy_needs_method,
        "Accuracy marks are given without method marks.".to_owned(),
    );
    let follow_through = match settings.follow_through {
        FollowThrough::Never => {
            "A result that follows from an earlier error earns no marks.".to_owned()
        }
        _ => Rule::FollowThrough.words(settings),
    };
    tell(settings.follow_through != usual.follow_through, follow_through);
    tell(
        settings.follow_trivial != usual.follow_trivial,
        "A wrong number that leaves nothing to work out may be carried on.".to_owned(),
    );
    tell(settings.moved_point_costs != usual.moved_point_costs, Rule::MovedPoint.words(settings));
    let unit = |it: &Settings| (it.unit_costs, it.unit_counts, it.thousandfold_is_counted_once);
    tell(unit(settings) != unit(&usual), unit_words(settings));
    tell(
        settings.unit_must_be_written != usual.unit_must_be_written,
        "A missing unit counts as a wrong one.".to_owned(),
    );
    let rounding =
        |it: &Settings| (it.rounding_costs, it.rounding_counts, it.gross_rounding_is_counted_once);
    tell(rounding(settings) != rounding(&usual), rounding_words(settings));
    tell(
        settings.places_must_be_written != usual.places_must_be_written,
        "Missing places of a correct number count as a wrong rounding.".to_owned(),
    );
    own
}

fn cost(cost: Cost) -> String {
    match cost {
        Cost::Nothing => "nothing".to_owned(),
        Cost::Accuracy => "the accuracy marks".to_owned(),
        Cost::Marks(1) => "1 mark".to_owned(),
        Cost::Marks(marks) => format!("{marks} marks"),
        Cost::All => "all marks".to_owned(),
    }
}

/// The marks that were spoken of before.
fn them(cost: Cost) -> &'static str {
    if cost == Cost::Marks(1) { "it" } else { "them" }
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
            thousandfold_is_counted_once: true,
            rounding_costs: Cost::Nothing,
            rounding_counts: Counts::Never,
            gross_rounding_is_counted_once: true,
            places_must_be_written: true,
        };
        let told = own_rules(&settings);
        assert_eq!(told.len(), 9);
        for words in [
            "A result that follows from an earlier error earns no marks.",
            "A decimal point in the wrong place costs all marks.",
            "A wrong unit costs 1 mark, each time.",
        ] {
            assert!(told.iter().any(|it| it == words), "{words}: {told:?}");
        }
        let all = Settings { follow_through: FollowThrough::All, ..Settings::default() };
        let words =
            "A result that follows correctly from the candidate's earlier error earns full marks.";
        assert_eq!(own_rules(&all), [words]);
    }

    /// What counts each time anyway, or once like any other, needs no word of its own.
    #[test]
    fn a_fault_that_costs_marks_each_time_is_told_apart_only_where_others_do_not() {
        let of = Settings::default;
        let unit = |settings: Settings| Rule::Unit.words(&settings);
        let wrong_unit = "A wrong unit costs the accuracy marks, ";
        assert!(unit(of()).starts_with(&format!("{wrong_unit}once in a question; a unit that is")));
        let always = Settings { unit_counts: Counts::Always, ..of() };
        assert_eq!(unit(always), format!("{wrong_unit}each time."));
        let mild = Settings { thousandfold_is_counted_once: true, ..of() };
        assert_eq!(unit(mild), format!("{wrong_unit}once in a question."));
        let rounding = |settings: Settings| Rule::Rounding.words(&settings);
        let wrong_rounding = "A wrong rounding costs the accuracy marks, ";
        assert!(rounding(of()).starts_with(&format!("{wrong_rounding}once in a paper; one that")));
        let always = Settings { rounding_counts: Counts::Always, ..of() };
        assert_eq!(rounding(always), format!("{wrong_rounding}each time."));
        let mild = Settings { gross_rounding_is_counted_once: true, ..of() };
        assert_eq!(rounding(mild), format!("{wrong_rounding}once in a paper."));
        let one = Settings { unit_costs: Cost::Marks(1), rounding_costs: Cost::Marks(1), ..of() };
        assert!(unit(one.clone()).ends_with(", such as mg for g, costs it each time."));
        assert!(rounding(one).ends_with(" by more than 2 % costs it each time."));
    }

    #[test]
    fn what_costs_nothing_has_no_more_to_be_said() {
        let free = Settings {
            unit_costs: Cost::Nothing,
            rounding_costs: Cost::Nothing,
            ..Settings::default()
        };
        assert_eq!(Rule::Unit.words(&free), "A wrong unit costs nothing.");
        assert_eq!(Rule::Rounding.words(&free), "A wrong rounding costs nothing.");
    }

    #[test]
    fn the_rule_of_the_working_says_whether_accuracy_needs_the_method() {
        let words = |accuracy_needs_method: bool| {
            Rule::Working.words(&Settings { accuracy_needs_method, ..Settings::default() })
        };
        assert_eq!(
            words(true),
            "Wrong working earns no method marks, and accuracy marks need method marks."
        );
        assert_eq!(words(false), "Wrong working earns no method marks; the accuracy marks stay.");
    }
}
