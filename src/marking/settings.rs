//! The rules of marking, each a setting.
//!
//! The defaults are what published guidance of examination boards says; where boards differ, the
//! milder rule is taken. A number alone shows less than working on paper does, so some rules speak of
//! what can be told from a number.

use crate::bank::{Report, SourceText, WrittenRules};

use super::Fault;

/// The rules of marking.
#[allow(clippy::struct_excessive_bools, reason = "each is a rule that a file can turn on or off")]
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Whether a right answer has all marks, however it came about. On: full marks go to a right
    /// final answer unless a method is demanded (International Baccalaureate, mathematical studies,
    /// May 2014 and November 2016). Off: a step of the working that was entered, is wrong and belongs
    /// to the part takes the marks for method away (the board's mathematics of higher level, November
    /// 2006, has the working looked at).
    pub right_answer_shows_method: bool,
    /// Whether the marks for accuracy are given only beside those for method. On: no accuracy mark
    /// without its method mark (International Baccalaureate, mathematics, 2006; GCE physics, 2001
    /// and 2015). It matters where a right answer does not show the method.
    pub accuracy_needs_method: bool,
    /// The marks of an answer that follows from a wrong own number. `Method`: the follow-on is
    /// credited (National 5 physics, 2019; A-level physics), and the number is still not accurate.
    pub follow_through: FollowThrough,
    /// Whether a carried number is followed that leaves nothing to work out. Off: nothing is
    /// followed when the wrong number makes the part easier (International Baccalaureate, as others
    /// quote it). A number that leads to nonsense is never followed.
    pub follow_trivial: bool,
    /// What a moved decimal point costs. `Accuracy`: such errors are coded apart from errors of
    /// method (GCE physics, June 2015).
    pub moved_point_costs: Cost,
    /// What a wrong unit costs. `Accuracy`: it loses the mark for the final answer and no other (GCE
    /// physics, June 2010).
    pub unit_costs: Cost,
    /// How often a wrong unit costs marks. `Question`: once in a question (GCE physics, June 2010).
    pub unit_counts: Counts,
    /// Whether a missing unit is taken for a wrong one. Off: units are not asked for where the answer
    /// space prints them (GCE physics, June 2010), as the sheets do.
    pub unit_must_be_written: bool,
    /// Whether a unit a thousand times too large or too small, mg for g, is counted once like any other
    /// wrong unit. Off: each costs marks. A judgement: in a dose it is the difference between a
    /// medicine and a poison, and no published rule of marking speaks of it.
    pub thousandfold_is_counted_once: bool,
    /// What a number that is rounded too far, or cut off, costs. `Accuracy`: it is coded apart from
    /// errors of method (GCE physics, June 2015).
    pub rounding_costs: Cost,
    /// How often a wrong rounding costs marks. `Paper`: at most once in a paper (chemistry, 2004).
    pub rounding_counts: Counts,
    /// Whether a rounding that changes a mass by more than 2 % is counted once like any other wrong
    /// rounding. Off: each costs marks. A judgement: the mass is weighed out, so the dose changes with
    /// it; no published rule of marking speaks of it.
    pub gross_rounding_is_counted_once: bool,
    /// Whether a right number with fewer places than asked for is taken for wrongly rounded. Off:
    /// boards differ, so it is mentioned and costs nothing.
    pub places_must_be_written: bool,
}

/// What a mistake costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cost {
    /// Nothing; it is mentioned.
    Nothing,
    /// The marks for accuracy; those for method stay.
    Accuracy,
    /// So many marks, as far as there are any.
    Marks(u32),
    /// All marks of the part.
    All,
}

/// How often a mistake of one kind costs marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counts {
    /// Never; it is mentioned.
    Never,
    /// Once in a question, the first time.
    Question,
    /// Once in a paper, the first time.
    Paper,
    /// Each time.
    Always,
}

/// The marks of an answer that follows from a wrong own number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FollowThrough {
    /// None: each part is marked by itself.
    Never,
    /// Those for method, or all of a part that has none for method.
    Method,
    /// All of the part.
    All,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            right_answer_shows_method: true,
            accuracy_needs_method: true,
            follow_through: FollowThrough::Method,
            follow_trivial: false,
            moved_point_costs: Cost::Accuracy,
            unit_costs: Cost::Accuracy,
            unit_counts: Counts::Question,
            unit_must_be_written: false,
            thousandfold_is_counted_once: false,
            rounding_costs: Cost::Accuracy,
            rounding_counts: Counts::Paper,
            gross_rounding_is_counted_once: false,
            places_must_be_written: false,
        }
    }
}

impl Settings {
    /// The rules of marking as written; what they do not name stays as it is by default.
    pub fn of(rules: &WrittenRules) -> Self {
        let mut settings = Self::default();
        for (key, word) in rules.entries() {
            // Reading them has found every word known; a test holds the two lists together.
            let understood = settings.set(key, word);
            debug_assert!(understood, "{key}: {word}");
        }
        settings
    }

    /// Reads a file of rules.
    ///
    /// # Errors
    /// Everything that is wrong with the file, with its locations.
    pub fn read(source: SourceText) -> Result<Self, Report> {
        WrittenRules::read(source).map(|rules| Self::of(&rules))
    }

    /// What a mistake costs.
    pub fn costs(&self, fault: Fault) -> Cost {
        match fault {
            Fault::Unit => self.unit_costs,
            Fault::Rounding => self.rounding_costs,
        }
    }

    /// How often a mistake costs marks.
    pub fn counts(&self, fault: Fault) -> Counts {
        match fault {
            Fault::Unit => self.unit_counts,
            Fault::Rounding => self.rounding_counts,
        }
    }

    /// Sets one rule; tells whether the key and the word are understood.
    fn set(&mut self, key: &str, word: &str) -> bool {
        match key {
            "right_answer_shows_method" => {
                put(&mut self.right_answer_shows_method, parse_truth(word))
            }
            "accuracy_needs_method" => put(&mut self.accuracy_needs_method, parse_truth(word)),
            "follow_through" => put(&mut self.follow_through, FollowThrough::parse(word)),
            "follow_trivial" => put(&mut self.follow_trivial, parse_truth(word)),
            "moved_point_costs" => put(&mut self.moved_point_costs, Cost::parse(word)),
            "unit_costs" => put(&mut self.unit_costs, Cost::parse(word)),
            "unit_counts" => put(&mut self.unit_counts, Counts::parse(word)),
            "unit_must_be_written" => put(&mut self.unit_must_be_written, parse_truth(word)),
            "thousandfold_is_counted_once" => {
                put(&mut self.thousandfold_is_counted_once, parse_truth(word))
            }
            "rounding_costs" => put(&mut self.rounding_costs, Cost::parse(word)),
            "rounding_counts" => put(&mut self.rounding_counts, Counts::parse(word)),
            "gross_rounding_is_counted_once" => {
                put(&mut self.gross_rounding_is_counted_once, parse_truth(word))
            }
            "places_must_be_written" => put(&mut self.places_must_be_written, parse_truth(word)),
            _ => false,
        }
    }
}

/// Puts a value where it belongs, if there is one; tells whether there is.
fn put<T>(rule: &mut T, value: Option<T>) -> bool {
    let Some(value) = value else { return false };
    *rule = value;
    true
}

fn parse_truth(word: &str) -> Option<bool> {
    match word {
        "true" => Some(true),
        "false" => Some(false),
        _ => None,
    }
}

impl Cost {
    fn parse(word: &str) -> Option<Self> {
        match word {
            "nothing" => Some(Self::Nothing),
            "accuracy" => Some(Self::Accuracy),
            "all" => Some(Self::All),
            number => number.parse().ok().filter(|n| (1..=3).contains(n)).map(Self::Marks),
        }
    }

    /// What is left of a part worth `of` marks, `method` of which are for the method.
    pub fn leaves(self, of: u32, method: u32) -> u32 {
        match self {
            Self::Nothing => of,
            Self::Accuracy => method.min(of),
            Self::Marks(marks) => of.saturating_sub(marks),
            Self::All => 0,
        }
    }
}

impl Counts {
    fn parse(word: &str) -> Option<Self> {
        match word {
            "never" => Some(Self::Never),
            "question" => Some(Self::Question),
            "paper" => Some(Self::Paper),
            "always" => Some(Self::Always),
            _ => None,
        }
    }
}

impl FollowThrough {
    fn parse(word: &str) -> Option<Self> {
        match word {
            "never" => Some(Self::Never),
            "method" => Some(Self::Method),
            "all" => Some(Self::All),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::FileKind;

    fn read(text: &str) -> Result<Settings, Report> {
        Settings::read(SourceText::new("rules.yaml", text.to_owned()))
    }

    #[test]
    fn a_file_changes_what_it_names_and_nothing_else() {
        let found = read(
            "castmark: 1\nfollow_through: all\nunit_counts: always\nunit_costs: 1\n\
             unit_must_be_written: true\n",
        );
        let expected = Settings {
            follow_through: FollowThrough::All,
            unit_counts: Counts::Always,
            unit_costs: Cost::Marks(1),
            unit_must_be_written: true,
            ..Settings::default()
        };
        assert_eq!(found, Ok(expected));
        assert_eq!(read("castmark: 1\n"), Ok(Settings::default()));
    }

    #[test]
    fn everything_wrong_with_a_file_is_told_at_once_with_its_place() {
        let report = read("castmark: 1\nunit_costs: dear\nfollow_trivial: perhaps\n").unwrap_err();
        let found: Vec<_> =
            report.complaints.iter().map(|each| (each.location().0, each.what.as_str())).collect();
        assert_eq!(
            found,
            [
                (2, "expected a word that `unit_costs` knows, found `dear`"),
                (3, "expected true or false, found `perhaps`")
            ]
        );
        let report = read("castmark: 1\nunit_cost: 1\n").unwrap_err();
        assert!(report.plain().contains("did you mean `unit_costs`?"), "{report}");
    }

    #[test]
    fn every_rule_and_word_of_the_schema_is_understood_and_no_other() {
        assert!(!Settings::default().set("unit_cost", "1"));
        assert!(!Settings::default().set("unit_costs", "4"));
        let schema = FileKind::Marking.schema();
        let rules = schema["properties"].as_object().unwrap();
        for (key, rule) in rules.iter().filter(|(key, _)| *key != "castmark") {
            let words = match rule["enum"].as_array() {
                Some(words) => words.iter().filter_map(|word| word.as_str()).collect(),
                None => vec!["true", "false"],
            };
            for word in &words {
                let mut settings = Settings::default();
                assert!(settings.set(key, word), "{key}: {word}");
            }
        }
    }
}
