//! Complaints, and the proof that one was made.

use std::collections::BTreeSet;

use crate::bank::reading::{Complaint, Report};

/// The proof that something wrong has been noted; only [`Notes`] makes one.
///
/// Whoever gives up on a value has to hand this on, so nothing can be lost without a complaint.
#[derive(Clone, Copy, Debug)]
pub(in crate::bank) struct Noted(());

/// What was checked, or the proof that what is wrong with it was noted.
pub(in crate::bank) type Checked<T> = Result<T, Noted>;

/// What is wrong so far.
#[derive(Debug, Default)]
pub(in crate::bank) struct Notes(Vec<Complaint>);

impl Notes {
    /// Notes a complaint.
    pub(in crate::bank) fn add(&mut self, complaint: Complaint) -> Noted {
        self.0.push(complaint);
        Noted(())
    }

    /// Notes all that was noted elsewhere.
    pub(in crate::bank) fn append(&mut self, mut others: Self) {
        self.0.append(&mut others.0);
    }

    /// Gives what was checked, unless anything was noted.
    pub(in crate::bank) fn finish<T>(&self, checked: T) -> Checked<T> {
        if self.0.is_empty() { Ok(checked) } else { Err(Noted(())) }
    }

    /// Everything that was noted, put in order.
    pub(in crate::bank) fn report(self, _: Noted) -> Report {
        Report::new(self.0)
    }
}

/// Names of which something was noted where they come from.
#[derive(Debug, Default)]
pub(in crate::bank) struct Unsound(BTreeSet<String>);

impl Unsound {
    /// Adds a name of which something was noted.
    pub(in crate::bank) fn add(&mut self, name: &str, _: Noted) {
        self.0.insert(name.to_owned());
    }

    /// The proof that something was noted of a name, or of that before its point.
    pub(in crate::bank) fn of(&self, name: &str) -> Option<Noted> {
        let base = name.split('.').next().unwrap_or(name);
        self.0.contains(base).then_some(Noted(()))
    }
}
