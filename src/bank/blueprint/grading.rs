//! From which marks a paper is passed, and from which a grade is given.

use std::fmt;

use serde::de::{Deserializer, Error as _};
use serde::ser::Serializer;
use serde::{Deserialize, Serialize};

use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Checked;
use crate::bank::reading::words::Text;
use crate::bank::written::blueprint::GradingText;
use crate::quantity::Exact;
use crate::words::quoted;

/// The pass mark and the boundaries of grades.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Grading {
    /// The pass mark.
    pub pass: Option<Threshold>,
    /// The grades, the highest first.
    pub grades: Vec<Grade>,
}

/// A grade, and from where it is given.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Grade {
    /// Its name.
    pub grade: String,
    /// From where it is given.
    pub from: Threshold,
}

/// A number of marks, or of per cent of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Threshold {
    number: Exact,
    is_per_cent: bool,
}

/// The longest name of a grade, in characters.
const LONGEST_GRADE: usize = 40;

impl Grading {
    /// Whether there is anything to say of a result.
    pub fn is_empty(&self) -> bool {
        self.pass.is_none() && self.grades.is_empty()
    }

    /// Whether so many half marks of so many marks pass; nothing without a pass mark.
    pub fn passes(&self, halves: u32, of: u32) -> Option<bool> {
        self.pass.map(|pass| pass.is_met(halves, of))
    }

    /// The grade of so many half marks; nothing below the lowest, or where there are none.
    pub fn grade(&self, halves: u32, of: u32) -> Option<&str> {
        let grade = self.grades.iter().find(|grade| grade.from.is_met(halves, of));
        grade.map(|grade| grade.grade.as_str())
    }

    /// What is wrong with them for a paper of so many marks.
    ///
    /// # Errors
    /// The first fault, by the index of the grade, or nothing for the pass mark.
    pub fn check(&self, of: u32) -> Result<(), (Option<usize>, String)> {
        if let Some(Err(what)) = self.pass.map(|pass| pass.check(of)) {
            return Err((None, what));
        }
        for (index, grade) in self.grades.iter().enumerate() {
            let wrong = |what: String| Err((Some(index), what));
            let name = &grade.grade;
            if name.trim().is_empty() || name.chars().count() > LONGEST_GRADE {
                return wrong(format!(
                    "expected a name of a grade of at most {LONGEST_GRADE} characters, \
                                      found {}",
                    if name.trim().is_empty() { "none" } else { "more" }
                ));
            }
            if let Err(what) = grade.from.check(of) {
                return wrong(what);
            }
            let before = &self.grades[..index];
            if before.iter().any(|other| other.grade == *name) {
                return wrong(format!("expected each grade once, found `{name}` twice"));
            }
            let descends = |other: &Grade| other.from.of_marks(of) > grade.from.of_marks(of);
            if !before.last().is_none_or(descends) {
                return wrong(format!(
                    "expected grades from the highest to the lowest, found {} at or above the one before",
                    grade.from
                ));
            }
        }
        Ok(())
    }

    /// Reads what a blueprint says, for a paper of so many marks.
    pub(super) fn read(
        checker: &mut Checker<'_>,
        written: Option<&GradingText>,
        of: Checked<u32>,
    ) -> Checked<Self> {
        let Some(written) = written else { return Ok(Self::default()) };
        let pass = written.pass.as_ref().map(|text| threshold(checker, text)).transpose();
        let mut grades = Vec::new();
        let mut texts: Vec<&Text> = Vec::new();
        for text in written.grades.iter().flat_map(|all| all.iter()) {
            texts.push(&text.from);
            let from = threshold(checker, &text.from);
            grades.push(from.map(|from| Grade { grade: text.grade.to_string(), from }));
        }
        let grades = grades.into_iter().collect::<Checked<Vec<_>>>();
        let (grading, of) = (Self { pass: pass?, grades: grades? }, of?);
        grading.check(of).map_err(|(index, what)| {
            let at = index.and_then(|index| texts.get(index).copied()).or(written.pass.as_ref());
            match at {
                Some(at) => checker.value(at, what, "not a boundary of this paper", None),
                None => checker.key(written, what, "not a boundary of this paper", None),
            }
        })?;
        Ok(grading)
    }
}

impl Grade {
    /// Reads `Distinction=75 %`.
    ///
    /// # Errors
    /// What was expected and what was found.
    pub fn parse(text: &str) -> Result<Self, String> {
        let (grade, from) = text.split_once('=').ok_or_else(|| {
            format!("expected a grade such as `Distinction=75 %`, found `{}`", quoted(text, 40))
        })?;
        Ok(Self { grade: grade.trim().to_owned(), from: Threshold::parse(from)? })
    }
}

impl Threshold {
    /// Reads `50 %` or `39.5 marks`.
    ///
    /// # Errors
    /// What was expected and what was found.
    pub fn parse(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let per_cent = text.strip_suffix('%').or_else(|| text.strip_suffix("per cent"));
        let marks = text.strip_suffix("marks").or_else(|| text.strip_suffix("mark"));
        let number = per_cent.or(marks).and_then(|number| Exact::parse(number.trim()));
        match number.filter(|number| !number.is_negative() && number.places() <= 2) {
            Some(number) => Ok(Self { number, is_per_cent: per_cent.is_some() }),
            None => Err(format!(
                "expected per cent or marks such as `50 %` or `40 marks`, found `{}`",
                quoted(text, 40)
            )),
        }
    }

    /// Whether so many half marks of so many marks reach it. Nothing is rounded.
    pub fn is_met(self, halves: u32, of: u32) -> bool {
        let twice = self.of_marks(of);
        let reached = Exact::whole(i64::from(halves) * 50);
        twice.is_some_and(|needed| reached >= needed)
    }

    /// A hundred times the marks that are needed of so many.
    fn of_marks(self, of: u32) -> Option<Exact> {
        let whole = if self.is_per_cent { i64::from(of) } else { 100 };
        self.number.mul(Exact::whole(whole)).ok()
    }

    /// The number as written.
    pub fn number(self) -> Exact {
        self.number
    }

    /// Whether it is per cent of the marks, and not marks.
    pub fn is_per_cent(self) -> bool {
        self.is_per_cent
    }

    fn check(self, of: u32) -> Result<(), String> {
        let all = Exact::whole(i64::from(of) * 100);
        if self.of_marks(of).is_some_and(|needed| needed <= all) {
            return Ok(());
        }
        let most = if self.is_per_cent { "100 %".to_owned() } else { format!("{of} marks") };
        Err(format!("expected at most {most}, found {self}"))
    }
}

impl fmt::Display for Threshold {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match (self.is_per_cent, self.number == Exact::whole(1)) {
            (true, _) => "%",
            (false, true) => "mark",
            (false, false) => "marks",
        };
        write!(f, "{} {unit}", self.number)
    }
}

impl Serialize for Threshold {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Threshold {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::parse(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

fn threshold(checker: &mut Checker<'_>, text: &Text) -> Checked<Threshold> {
    Threshold::parse(text).map_err(|what| {
        let help = "write `50 %` of the marks, or `40 marks`".to_owned();
        checker.value(text, what, "neither per cent nor marks", Some(help))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_boundary_is_met_exactly_and_not_by_rounding() {
        let half = Threshold::parse("50 %").unwrap();
        // 39.5 of 79 is exactly half; 39 is 49.4 %.
        assert!(half.is_met(79, 79) && !half.is_met(78, 79));
        let cut = Threshold::parse("62.75%").unwrap();
        assert!(cut.is_met(251, 200) && !cut.is_met(250, 200));
        let marks = Threshold::parse("39.5 marks").unwrap();
        assert!(marks.is_met(79, 100) && !marks.is_met(78, 100));
        assert_eq!((half.to_string(), marks.to_string()), ("50 %".into(), "39.5 marks".into()));
    }

    #[test]
    fn a_bare_number_is_neither_per_cent_nor_marks() {
        for text in ["50", "", "%", "-1 %", "50.125 %", "fifty marks", "50 % marks"] {
            assert!(Threshold::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn grades_descend_and_have_different_names() {
        let grading = |texts: &[&str]| Grading {
            pass: None,
            grades: texts.iter().map(|text| Grade::parse(text).unwrap()).collect(),
        };
        let good = grading(&["Distinction=75 %", "Merit=48 marks", "Pass=50 %"]);
        assert_eq!(good.check(80), Ok(()));
        assert_eq!(good.grade(120, 80), Some("Distinction"));
        assert_eq!((good.grade(96, 80), good.grade(79, 80)), (Some("Merit"), None));
        for (texts, index) in [
            (&["A=50 %", "B=50 %"][..], 1),
            (&["A=60 %", "A=50 %"], 1),
            (&["A=101 %"], 0),
            (&["A=81 marks"], 0),
            (&["=1 %"], 0),
        ] {
            let found = grading(texts).check(80).unwrap_err();
            assert_eq!(found.0, Some(index), "{found:?}");
        }
    }
}
