//! Checking the sentences that show an answer to be plausible.

use crate::bank::checking::values::Names;
use crate::bank::checking::verdicts::condition;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::template::Plausible;
use crate::bank::written::PlausibleText;

/// Checks the sentences with their conditions; what is wrong is noted.
pub(in crate::bank) fn plausible(
    desk: &mut Desk<'_>,
    entries: &[PlausibleText],
    names: &Names,
) -> Vec<Plausible> {
    let mut found = Vec::new();
    for (n, text) in entries.iter().enumerate() {
        let that = condition(desk, &way!["plausible", n, "that"], &text.that, names);
        let when = match &text.when {
            Some(when) => condition(desk, &way!["plausible", n, "when"], when, names).map(Some),
            None => Ok(None),
        };
        if let (Ok((_, that)), Ok(when)) = (that, when) {
            let when = when.map(|(_, program)| program);
            found.push(Plausible { say: text.say.clone(), that, when });
        }
    }
    found
}
