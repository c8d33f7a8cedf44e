//! Complaints, and the proof that one was made.

use std::collections::{BTreeMap, BTreeSet};

use crate::bank::SourceText;
use crate::bank::reading::{Complaint, Report};
use crate::words::MOST_COMPLAINTS;

/// The proof that something wrong has been noted; only [`Notes`] makes one.
///
/// Whoever gives up on a value has to hand this on, so nothing can be lost without a complaint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::bank) struct Noted(());

/// What was checked, or the proof that what is wrong with it was noted.
pub(in crate::bank) type Checked<T> = Result<T, Noted>;

/// What is wrong so far.
#[derive(Debug, Default)]
pub(in crate::bank) struct Notes {
    complaints: Vec<Complaint>,
    /// How many more there were, by the path of the file.
    more: BTreeMap<String, usize>,
}

impl Notes {
    /// Notes a complaint, of which the words are wanted only while there is room for it.
    pub(in crate::bank) fn add(
        &mut self,
        source: &SourceText,
        complaint: impl FnOnce() -> Complaint,
    ) -> Noted {
        if self.is_full() {
            *self.more.entry(source.path.clone()).or_insert(0) += 1;
        } else {
            self.complaints.push(complaint());
        }
        Noted(())
    }

    /// Whether further complaints about the file are only counted.
    pub(in crate::bank) fn is_full(&self) -> bool {
        self.complaints.len() >= MOST_COMPLAINTS
    }

    /// Notes all that was noted about another file.
    pub(in crate::bank) fn append(&mut self, mut others: Self) {
        self.complaints.append(&mut others.complaints);
        for (path, more) in others.more {
            *self.more.entry(path).or_insert(0) += more;
        }
    }

    /// Gives what was checked, unless anything was noted.
    pub(in crate::bank) fn finish<T>(&self, checked: T) -> Checked<T> {
        if self.complaints.is_empty() { Ok(checked) } else { Err(Noted(())) }
    }

    /// Everything that was noted, put in order.
    pub(in crate::bank) fn report(self, _: Noted) -> Report {
        Report::new(self.complaints, self.more)
    }
}

/// Names of which something was noted where they come from.
#[derive(Debug, Default)]
pub(in crate::bank) struct Unsound {
    names: BTreeSet<String>,
    /// Set when it is not known which names there are.
    all: bool,
}

impl Unsound {
    /// Any name, since what holds them could not be read.
    pub(in crate::bank) fn all(_: Noted) -> Self {
        Self { names: BTreeSet::new(), all: true }
    }

    /// Adds a name of which something was noted.
    pub(in crate::bank) fn add(&mut self, name: &str, _: Noted) {
        self.names.insert(name.to_owned());
    }

    /// What was checked under a name; when something was noted of it, the name is added.
    pub(in crate::bank) fn keep<T>(&mut self, name: &str, checked: Checked<T>) -> Option<T> {
        checked.inspect_err(|noted| self.add(name, *noted)).ok()
    }

    /// Adds the names of another.
    pub(in crate::bank) fn join(&mut self, other: &Self) {
        self.names.extend(other.names.iter().cloned());
        self.all |= other.all;
    }

    /// The proof that something was noted, unless no name is unsound.
    pub(in crate::bank) fn check(&self) -> Checked<()> {
        if self.all || !self.names.is_empty() { Err(Noted(())) } else { Ok(()) }
    }

    /// The proof that something was noted of a name, or of that before its point.
    pub(in crate::bank) fn of(&self, name: &str) -> Option<Noted> {
        let base = name.split('.').next().unwrap_or(name);
        (self.all || self.names.contains(base)).then_some(Noted(()))
    }
}
