//! The names of a template while it is checked.

use std::collections::BTreeMap;

use crate::formula::{Scope, Shape};
use crate::quantity::Unit;

use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::{Noted, Unsound};
use crate::bank::reading::words::NameText;
use crate::bank::template::Name;

/// The names of a template so far.
#[derive(Debug, Default)]
pub(super) struct Names {
    /// The names, by slot.
    pub(super) all: Vec<Name>,
    /// The slot of each name, the first where a name is there twice.
    slots: BTreeMap<String, usize>,
    /// Values and steps that are written but wrong, so that what goes with them is not known.
    pub(super) unsound: Unsound,
}

impl Scope for Names {
    fn find(&self, name: &str) -> Option<(usize, Shape)> {
        let slot = *self.slots.get(name)?;
        self.all.get(slot).map(|known| (slot, known.shape))
    }

    fn names(&self) -> Vec<&str> {
        self.all.iter().map(|known| known.name.as_str()).collect()
    }
}

impl Names {
    pub(super) fn add(
        &mut self,
        name: &str,
        label: Option<String>,
        shape: Shape,
        unit: Unit,
    ) -> usize {
        let label = label.unwrap_or_else(|| name.replace(['_', '.'], " "));
        let slot = self.all.len();
        self.all.push(Name { name: name.to_owned(), label, shape, unit });
        self.slots.entry(name.to_owned()).or_insert(slot);
        slot
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether a name is not known yet.
    pub(super) fn is_new(&self, name: &str) -> bool {
        !self.slots.contains_key(name)
    }

    /// Notes a text that names no step or value as it should; nothing when it names an unsound one.
    pub(super) fn unknown(&self, checker: &mut Checker<'_>, text: &NameText, kind: &str) -> Noted {
        let noted = self.unsound.of(text);
        noted.unwrap_or_else(|| checker.unknown(text, kind, text, self.names()))
    }

    /// The unit of a slot.
    pub(super) fn unit(&self, slot: usize) -> Unit {
        self.all.get(slot).map(|name| name.unit).unwrap_or_default()
    }
}
