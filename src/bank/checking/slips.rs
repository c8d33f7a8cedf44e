//! Checking the slips of a template: wrong rules in place of right ones.

use crate::formula::{Scope, nearest};

use crate::bank::checking::values::Names;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::template::Slip;
use crate::bank::written::{Named, SlipText};

/// Checks the slips; what is wrong with them is noted.
pub(in crate::bank) fn slips(
    desk: &mut Desk<'_>,
    entries: Named<SlipText>,
    names: &Names,
    given: usize,
) -> Vec<Slip> {
    let mut slips = Vec::new();
    for (id, text) in entries.0 {
        desk.id(&way!["slips", &id], "a slip", &id);
        let mut instead = Vec::new();
        for (name, formula) in &text.instead.0 {
            let at = way!["slips", &id, "instead", name];
            let Some((slot, shape)) = names.find(name) else {
                let near = nearest(name, names.names());
                let help = near.map(|near| format!("did you mean `{near}`?"));
                let what = format!("expected a value or step, found `{name}`");
                desk.key(&at, what, "not known", help);
                continue;
            };
            let Ok((formula, program)) = desk.formula(&at, formula, names, &names.unsound) else {
                continue;
            };
            if program.shape() != shape {
                let of = names.unit(slot).dimension();
                let what = format!("expected {of} in place of `{name}`, found something else");
                let help = Some(
                    "bring it to the same unit, for instance with `1 unit` or `1 g`".to_owned(),
                );
                desk.value(&at, what, "another kind of thing", help);
                continue;
            }
            // A wrong step can use what is known before it; a wrong value only other values.
            // Slots are numbered in the order in which they are filled.
            let late = program
                .reads()
                .iter()
                .find(|read| **read >= given && (slot < given || **read >= slot));
            if let Some(late) = late {
                let late = names.names().get(*late).copied().unwrap_or_default();
                let what = format!(
                    "the slip uses `{late}`, which is not known yet when `{name}` is worked out"
                );
                desk.value(&at, what, "too early", Some("use values and earlier steps".to_owned()));
                continue;
            }
            instead.push((slot, formula, program));
        }
        if text.instead.0.is_empty() {
            desk.key(&way!["slips", &id], "expected a wrong rule under `instead`", "none", None);
        }
        slips.push(Slip { id, instead, say: text.say });
    }
    slips
}
