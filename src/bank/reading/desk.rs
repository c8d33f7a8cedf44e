//! What every check of a file needs: the file, the way to a value, and the complaints so far.

use std::fmt::Display;
use std::ops::Range;
use std::str::FromStr;
use std::sync::Arc;

use crate::formula::{Formula, FormulaProblem, Program, Scope, nearest};
use crate::quantity::{Exact, Rounding, Unit};

use crate::bank::reading::noted::{Checked, Noted, Notes, Unsound};
use crate::bank::reading::yaml::{Way, place};
use crate::bank::reading::{SourceText, token};

/// A file under examination.
pub(in crate::bank) struct Desk<'a> {
    pub(in crate::bank) source: &'a Arc<SourceText>,
    pub(in crate::bank) notes: Notes,
}

/// Makes a way from keys and item numbers: `way!["parts", "base", "unit"]`.
macro_rules! way {
    ($($step:expr),* $(,)?) => { [$($crate::bank::reading::desk::IntoWay::way($step)),*] };
}
pub(in crate::bank) use way;

/// A key or an item number.
pub(in crate::bank) trait IntoWay {
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
    pub(in crate::bank) fn new(source: &'a Arc<SourceText>) -> Self {
        Self { source, notes: Notes::default() }
    }

    /// Gives what was checked, unless anything was noted on the way.
    pub(in crate::bank) fn finish<T>(&self, checked: T) -> Checked<T> {
        self.notes.finish(checked)
    }

    /// Notes that the value at the end of the way is wrong.
    pub(in crate::bank) fn value(
        &mut self,
        way: &[Way],
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) -> Noted {
        let range = self.place(way, false);
        self.notes.add(self.source.complain(range, what, label, help))
    }

    /// Notes that a part of the text at the end of the way is wrong, at its place in the file where
    /// that can be found, and at the whole text otherwise.
    pub(in crate::bank) fn part(
        &mut self,
        way: &[Way],
        text: &str,
        part: &Range<usize>,
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) -> Noted {
        let file = &self.source.text;
        let range = place(self.source, way, false).map_or(0..0, |start| {
            let extent = token::extent(file, start);
            token::part_of(file, &extent, text, part).unwrap_or_else(|| token::token(file, start))
        });
        self.notes.add(self.source.complain(range, what, label, help))
    }

    /// Notes that the key at the end of the way, or what stands under it as a whole, is wrong.
    pub(in crate::bank) fn key(
        &mut self,
        way: &[Way],
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) -> Noted {
        let range = self.place(way, !matches!(way.last(), Some(Way::Item(_))));
        self.notes.add(self.source.complain(range, what, label, help))
    }

    /// The file from the value at the end of the way on.
    pub(in crate::bank) fn text_at(&self, way: &[Way]) -> &str {
        let start = place(self.source, way, false).unwrap_or(0);
        self.source.text.get(start..).unwrap_or_default()
    }

    fn place(&self, way: &[Way], key: bool) -> Range<usize> {
        place(self.source, way, key && !way.is_empty())
            .map_or(0..0, |start| token::token(&self.source.text, start))
    }

    /// Reads and compiles a formula; notes everything wrong with it at its place in the file, except
    /// names of which it was noted already that they are wrong where they come from.
    pub(in crate::bank) fn formula(
        &mut self,
        way: &[Way],
        text: &str,
        scope: &dyn Scope,
        unsound: &Unsound,
    ) -> Checked<(Formula, Program)> {
        let checked = Formula::parse(text)
            .and_then(|formula| formula.compile(scope).map(|program| (formula, program)));
        checked.map_err(|problems| {
            let mut noted = None;
            for FormulaProblem { range, what, label, help } in problems {
                let word = text.get(range.clone()).unwrap_or_default();
                noted = unsound
                    .of(word)
                    .or_else(|| Some(self.part(way, text, &range, what, label, help)));
            }
            noted.unwrap_or_else(|| self.value(way, "expected a formula", "not a formula", None))
        })
    }

    /// Reads a plain decimal number.
    pub(in crate::bank) fn number(&mut self, way: &[Way], text: &str) -> Checked<Exact> {
        Exact::parse(text).ok_or_else(|| {
            let help = if text.contains(',') {
                format!("write a decimal point: `{}`", text.replace(',', "."))
            } else {
                "write digits with at most one point, and the unit under `unit`".to_owned()
            };
            self.value(
                way,
                format!("expected a number, found `{text}`"),
                "not a number",
                Some(help),
            )
        })
    }

    /// Reads a whole number within bounds.
    pub(in crate::bank) fn whole<N: FromStr + PartialOrd + Display + Copy>(
        &mut self,
        way: &[Way],
        text: &str,
        low: N,
        high: N,
    ) -> Checked<N> {
        let number = text.parse().ok().filter(|number| (low..=high).contains(number));
        number.ok_or_else(|| {
            let what = format!("expected a whole number from {low} to {high}, found `{text}`");
            self.value(way, what, "not such a number", None)
        })
    }

    /// Reads a unit.
    pub(in crate::bank) fn unit(&mut self, way: &[Way], text: &str) -> Checked<Unit> {
        Unit::parse(text).map_err(|_| {
            let known = crate::quantity::UNITS.iter().map(|row| row.symbol);
            let help = nearest(text, known).map_or_else(
                || {
                    "use g, mg, mL, unit, g/unit, g/mL, %, 1 or another unit of the manual"
                        .to_owned()
                },
                |near| format!("did you mean `{near}`?"),
            );
            self.value(way, format!("expected a unit, found `{text}`"), "not a unit", Some(help))
        })
    }

    /// Reads a way of rounding.
    pub(in crate::bank) fn rounding(&mut self, way: &[Way], text: &str) -> Checked<Rounding> {
        Rounding::parse(text).ok_or_else(|| {
            let help = "write `2 places`, `3 figures`, `nearest 0.05` or `whole`".to_owned();
            let what = format!("expected a rounding, found `{text}`");
            self.value(way, what, "not a rounding", Some(help))
        })
    }

    /// Notes a name that is not among the known ones.
    pub(in crate::bank) fn unknown<'n>(
        &mut self,
        way: &[Way],
        kind: &str,
        found: &str,
        known: impl IntoIterator<Item = &'n str>,
    ) -> Noted {
        let known: Vec<&str> = known.into_iter().collect();
        let help = match nearest(found, known.iter().copied()) {
            Some(near) => Some(format!("did you mean `{near}`?")),
            None if known.len() <= 12 && !known.is_empty() => {
                Some(format!("known are: {}", known.join(", ")))
            }
            None => None,
        };
        self.value(way, format!("expected {kind}, found `{found}`"), "not known", help)
    }

    /// Notes a name that is not among the known ones, and what to do when none of them is near.
    pub(in crate::bank) fn unknown_or<'n>(
        &mut self,
        way: &[Way],
        kind: &str,
        found: &str,
        known: impl IntoIterator<Item = &'n str>,
        otherwise: &str,
    ) -> Noted {
        let help = nearest(found, known)
            .map_or_else(|| otherwise.to_owned(), |near| format!("did you mean `{near}`?"));
        self.value(way, format!("expected {kind}, found `{found}`"), "not known", Some(help))
    }

    /// Notes a name that formulas could not use; tells whether it is one.
    pub(in crate::bank) fn name(&mut self, way: &[Way], kind: &str, found: &str) -> bool {
        let is_word = Formula::parse(found).is_ok_and(|formula| formula.names() == [found]);
        let (expected, help) = match (is_slug(found, b'_'), is_word) {
            (true, true) => return true,
            (true, false) => {
                ("a name that is free", "this word has a meaning in formulas; choose another")
            }
            (false, _) => (
                "lower-case letters, digits and underscores",
                "begin with a letter, as in `drug_mass`",
            ),
        };
        let what = format!("expected {expected} as the name of {kind}, found `{found}`");
        self.named(way, found, what, "not a name", help);
        false
    }

    /// Notes an id that files and commands could not use; tells whether it is one.
    pub(in crate::bank) fn id(&mut self, way: &[Way], kind: &str, found: &str) -> bool {
        let is_id = is_slug(found, b'-');
        if !is_id {
            let what = format!(
                "expected lower-case letters, digits and hyphens as the id of {kind}, found `{found}`"
            );
            self.named(way, found, what, "not an id", "begin with a letter, as in `zinc-oxide`");
        }
        is_id
    }

    /// Notes a bad name, which is the last key of the way or the value there.
    fn named(&mut self, way: &[Way], found: &str, what: String, label: &str, help: &str) -> Noted {
        if matches!(way.last(), Some(Way::Key(key)) if key == found) {
            self.key(way, what, label, Some(help.to_owned()))
        } else {
            self.value(way, what, label, Some(help.to_owned()))
        }
    }

    /// Notes a name under a key that is not the name of the file.
    pub(in crate::bank) fn file_name(&mut self, key: &str, found: &str) {
        let stem = self.source.stem().to_owned();
        if stem != found {
            let what = format!("expected the name of the file, `{stem}`, found `{found}`");
            let help = "rename the file, or change this".to_owned();
            self.value(&[Way::Key(key.to_owned())], what, "not the name of the file", Some(help));
        }
    }
}

/// Lower-case letters, digits and the one joining mark, a letter first.
fn is_slug(text: &str, joint: u8) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == joint)
}
