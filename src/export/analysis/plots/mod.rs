//! Which plot goes with which section, and what is said below it.

mod drawing;
mod distribution;
mod scatter;
mod heat;

use crate::analysis::Report;

use distribution::distribution;
use drawing::Drawn;
use heat::heat;
use scatter::scatter;

/// The plot that goes with the section of that title, and its caption.
pub(super) fn plot(report: &Report, section: &str) -> Option<(Drawn, &'static str)> {
    match section {
        "Totals" => Some((
            distribution(report),
            "The totals by tenths of the marks; the dashed line is the mean. The table has the numbers.",
        )),
        "Items: how they told the stronger from the weaker" => {
            let (drawn, numbered) = scatter(report)?;
            let caption = if numbered {
                "A point for every item, numbered as in the table. Items low in the picture \
                 do not tell the stronger from the weaker; below nought the key should be looked at."
            } else {
                "A point for every item. Items low in the picture do not tell the stronger from the \
                 weaker; below nought the key should be looked at."
            };
            Some((drawn, caption))
        }
        "Objectives" => Some((
            heat(report)?,
            "Facility by objective and, moved in, topic: the darker, the harder. The table has the \
             numbers.",
        )),
        _ => None,
    }
}
