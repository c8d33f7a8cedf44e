//! What every check of a file needs: the file with its locations, and what was noted so far.

use std::ops::Range;
use std::sync::Arc;

use crate::formula::{Formula, nearest};

use crate::bank::SourceText;
use crate::bank::reading::Complaint;
use crate::bank::reading::locations::{File, Located, Location};
use crate::bank::reading::noted::{Checked, Noted, Notes};

/// A file under examination.
pub(in crate::bank) struct Checker<'a> {
    pub(in crate::bank) file: File<'a>,
    pub(in crate::bank) notes: Notes,
}

impl<'a> Checker<'a> {
    pub(in crate::bank) fn new(source: &'a Arc<SourceText>) -> Self {
        Self { file: File::new(source), notes: Notes::default() }
    }

    /// Gives what was checked, unless anything was noted on the way.
    pub(in crate::bank) fn finish<T>(&self, checked: T) -> Checked<T> {
        self.notes.finish(checked)
    }

    /// Notes that a value is wrong.
    pub(in crate::bank) fn value(
        &mut self,
        at: &impl Located,
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) -> Noted {
        self.note(at, |file, at| file.source.complain(file.value(at), what, label, help))
    }

    /// What the file has between two values.
    pub(in crate::bank) fn between(&self, one: &impl Located, other: &impl Located) -> &'a str {
        let (start, end) =
            (self.file.value(one.location()).end, self.file.value(other.location()).start);
        self.file.source.text.get(start..end).unwrap_or_default()
    }

    /// Notes that a key, or what belongs to it as a whole, is wrong.
    pub(in crate::bank) fn key(
        &mut self,
        at: &impl Located,
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) -> Noted {
        self.note(at, |file, at| file.source.complain(file.key(at), what, label, help))
    }

    /// Notes that a part of a text is wrong, at its location in the file where that can be found, and at
    /// the whole text otherwise.
    pub(in crate::bank) fn part(
        &mut self,
        at: &impl Located,
        (text, part): (&str, &Range<usize>),
        what: impl Into<String>,
        label: impl Into<String>,
        help: Option<String>,
    ) -> Noted {
        self.note(at, |file, at| file.source.complain(file.part(at, text, part), what, label, help))
    }

    /// Notes a complaint; about a stand-in there is one already.
    fn note(
        &mut self,
        at: &impl Located,
        complaint: impl FnOnce(&File<'_>, Location) -> Complaint,
    ) -> Noted {
        let (file, at) = (&self.file, at.location());
        at.noted().unwrap_or_else(|| self.notes.add(file.source, || complaint(file, at)))
    }

    /// Counts a complaint for which there is no room any more.
    pub(super) fn count(&mut self) -> Noted {
        let source = self.file.source;
        self.notes.add(source, || source.complain(0..0, "more is wrong", "in this file", None))
    }

    /// Notes a name that is not among the known ones.
    pub(in crate::bank) fn unknown<'n>(
        &mut self,
        at: &impl Located,
        kind: &str,
        found: &str,
        known: impl IntoIterator<Item = &'n str>,
    ) -> Noted {
        let known: Vec<&str> =
            if self.notes.is_full() { Vec::new() } else { known.into_iter().collect() };
        let help = match nearest(found, known.iter().copied()) {
            Some(near) => Some(format!("did you mean `{near}`?")),
            None if known.len() <= 12 && !known.is_empty() => {
                Some(format!("known are: {}", known.join(", ")))
            }
            None => None,
        };
        self.value(at, format!("expected {kind}, found `{found}`"), "not known", help)
    }

    /// Notes a name that is not among the known ones, and what to do when none of them is near.
    pub(in crate::bank) fn unknown_or<'n>(
        &mut self,
        at: &impl Located,
        kind: &str,
        found: &str,
        known: impl IntoIterator<Item = &'n str>,
        otherwise: &str,
    ) -> Noted {
        let near = if self.notes.is_full() { None } else { nearest(found, known) };
        let help =
            near.map_or_else(|| otherwise.to_owned(), |near| format!("did you mean `{near}`?"));
        self.value(at, format!("expected {kind}, found `{found}`"), "not known", Some(help))
    }

    /// Notes a key that is not among the known names.
    pub(in crate::bank) fn unknown_key<'n>(
        &mut self,
        at: &impl Located,
        kind: &str,
        found: &str,
        known: impl IntoIterator<Item = &'n str>,
    ) -> Noted {
        let near = if self.notes.is_full() { None } else { nearest(found, known) };
        let help = near.map(|near| format!("did you mean `{near}`?"));
        self.key(at, format!("expected {kind}, found `{found}`"), "not known", help)
    }
}

/// What is wrong with a name that formulas could not use, and what to do.
pub(super) fn bad_name(name: &str) -> Option<(&'static str, &'static str)> {
    let is_word = || Formula::parse(name).is_ok_and(|formula| formula.names() == [name]);
    if !is_slug(name, b'_') {
        let help = "begin with a letter, as in `drug_mass`";
        return Some(("lower-case letters, digits and underscores", help));
    }
    let help = "this word has a meaning in formulas; choose another";
    (!is_word()).then_some(("a name that is free", help))
}

/// Whether files and commands can use an id.
pub(super) fn is_id(id: &str) -> bool {
    is_slug(id, b'-')
}

/// Lower-case letters, digits and the one joining mark, a letter first.
fn is_slug(text: &str, joint: u8) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == joint)
}
