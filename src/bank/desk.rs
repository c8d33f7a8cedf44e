//! What every check of a file needs: the file, the way to a value, and the complaints so far.

use std::ops::Range;

use crate::formula::{Formula, FormulaProblem, Program, Scope, nearest};
use crate::quantity::{Exact, Rounding, Unit};

use super::reading::{Way, place};
use super::{Complaint, SourceText};

/// A file under examination.
pub(super) struct Desk<'a> {
    pub(super) source: &'a SourceText,
    pub(super) complaints: Vec<Complaint>,
}

/// Makes a way from keys and item numbers: `way!["parts", "base", "unit"]`.
macro_rules! way {
    ($($step:expr),* $(,)?) => { [$($crate::bank::desk::IntoWay::way($step)),*] };
}
pub(super) use way;

/// A key or an item number.
pub(super) trait IntoWay {
    fn way(self) -> Way;
}

impl IntoWay for &str {
    fn way(self) -> Way {
        Way::Key(self.to_owned())
    }
}

impl IntoWay for &String {
    fn way(self) -> Way {
        Way::Key(self.clone())
    }
}

impl IntoWay for usize {
    fn way(self) -> Way {
        Way::Item(self)
    }
}

impl<'a> Desk<'a> {
    pub(super) fn new(source: &'a SourceText) -> Self {
        Self { source, complaints: Vec::new() }
    }

    /// Notes that the value at the end of the way is wrong.
    pub(super) fn value(
        &mut self,
        way: &[Way],
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) {
        let range = place(self.source, way, false).unwrap_or(0..0);
        self.complaints.push(self.source.complain(range, what, label, help));
    }

    /// Notes that the key at the end of the way, or what stands under it as a whole, is wrong.
    pub(super) fn key(
        &mut self,
        way: &[Way],
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) {
        let range = place(self.source, way, true).unwrap_or(0..0);
        self.complaints.push(self.source.complain(range, what, label, help));
    }

    /// Reads and compiles a formula; notes everything wrong with it at its place in the file.
    pub(super) fn formula(
        &mut self,
        way: &[Way],
        text: &str,
        scope: &dyn Scope,
    ) -> Option<(Formula, Program)> {
        let checked = Formula::parse(text)
            .and_then(|formula| formula.compile(scope).map(|program| (formula, program)));
        match checked {
            Ok(checked) => Some(checked),
            Err(problems) => {
                for problem in problems {
                    self.formula_problem(way, text, problem);
                }
                None
            }
        }
    }

    fn formula_problem(&mut self, way: &[Way], text: &str, problem: FormulaProblem) {
        let token = place(self.source, way, false).unwrap_or(0..0);
        let range = self.inside(&token, text, &problem.range);
        let FormulaProblem { what, label, help, .. } = problem;
        self.complaints.push(self.source.complain(range, what, label, help));
    }

    /// A part of a scalar's text as bytes of the file, where the text stands there as it is read;
    /// otherwise the whole scalar.
    fn inside(&self, token: &Range<usize>, text: &str, part: &Range<usize>) -> Range<usize> {
        for skipped in [0, 1] {
            let start = token.start + skipped;
            let stands = self.source.text.get(start..).is_some_and(|rest| rest.starts_with(text));
            if stands {
                return start + part.start..start + part.end;
            }
        }
        token.clone()
    }

    /// Reads a plain decimal number.
    pub(super) fn number(&mut self, way: &[Way], text: &str) -> Option<Exact> {
        let number = Exact::parse(text);
        if number.is_none() {
            let help = text
                .contains(',')
                .then(|| format!("write a decimal point: `{}`", text.replace(',', ".")))
                .or_else(|| {
                    Some(
                        "write digits with at most one point, and the unit under `unit`".to_owned(),
                    )
                });
            self.value(way, format!("expected a number, found `{text}`"), "not a number", help);
        }
        number
    }

    /// Reads a whole number within bounds.
    pub(super) fn whole(&mut self, way: &[Way], text: &str, low: u32, high: u32) -> Option<u32> {
        let number = text.parse().ok().filter(|number| (low..=high).contains(number));
        if number.is_none() {
            self.value(
                way,
                format!("expected a whole number from {low} to {high}, found `{text}`"),
                "not such a number",
                None,
            );
        }
        number
    }

    /// Reads a unit.
    pub(super) fn unit(&mut self, way: &[Way], text: &str) -> Option<Unit> {
        let unit = Unit::parse(text).ok();
        if unit.is_none() {
            let known = crate::quantity::UNITS.iter().map(|row| row.symbol);
            let help = nearest(text, known).map_or_else(
                || {
                    "use g, mg, mL, unit, g/unit, g/mL, %, 1 or another unit of the manual"
                        .to_owned()
                },
                |near| format!("did you mean `{near}`?"),
            );
            self.value(way, format!("expected a unit, found `{text}`"), "not a unit", Some(help));
        }
        unit
    }

    /// Reads a way of rounding.
    pub(super) fn rounding(&mut self, way: &[Way], text: &str) -> Option<Rounding> {
        let rounding = Rounding::parse(text);
        if rounding.is_none() {
            self.value(
                way,
                format!("expected a rounding, found `{text}`"),
                "not a rounding",
                Some("write `2 places`, `3 figures`, `nearest 0.05` or `whole`".to_owned()),
            );
        }
        rounding
    }

    /// Notes a name that is not among the known ones.
    pub(super) fn unknown<'n>(
        &mut self,
        way: &[Way],
        kind: &str,
        found: &str,
        known: impl IntoIterator<Item = &'n str>,
    ) {
        let known: Vec<&str> = known.into_iter().collect();
        let help = match nearest(found, known.iter().copied()) {
            Some(near) => Some(format!("did you mean `{near}`?")),
            None if known.len() <= 12 && !known.is_empty() => {
                Some(format!("known are: {}", known.join(", ")))
            }
            None => None,
        };
        self.value(way, format!("expected {kind}, found `{found}`"), "not known", help);
    }

    /// Notes a format version that this program does not read.
    pub(super) fn version(&mut self, found: &str) {
        if found != "1" {
            self.value(
                &way!["castmark"],
                format!("expected format version 1, found `{found}`"),
                "not a version this program reads",
                Some("write `castmark: 1`, or use the program the file was written for".to_owned()),
            );
        }
    }
}
