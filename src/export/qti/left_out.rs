//! What a package cannot say, for whoever makes it.

use crate::marking::{Counts, FollowThrough};
use crate::problem::AnswerSpace;

use super::test::groups;
use crate::export::{Contents, EntryPart, Sheet};

/// Everything that is left out of the package of a sheet, each in a sentence.
pub(super) fn left_out(sheet: &Sheet) -> Vec<String> {
    let mut left: Vec<&str> = Vec::new();
    let mut tell = |is: bool, words| left.extend(is.then_some(words));
    if sheet.contents.answers() {
        let numbers = |parts: &[EntryPart]| {
            let is_number = |part: &&EntryPart| matches!(part.space, AnswerSpace::Number { .. });
            parts.iter().filter(is_number).count()
        };
        let most = sheet.entries.iter().map(|entry| numbers(&entry.parts)).max().unwrap_or(0);
        let rules = &sheet.rules;
        tell(
            most > 1 && rules.follow_through != FollowThrough::Never,
            "follow-through: an answer that follows from an earlier wrong one earns nothing there",
        );
        tell(most > 0, "two slips at once: no feedback names them, and no marks depend on them");
        tell(most > 0, "steps of the working: a candidate cannot give them, so they save no marks");
        let once = |counts| matches!(counts, Counts::Question | Counts::Paper);
        tell(
            most > 0 && (once(rules.rounding_counts) || once(rules.unit_counts)),
            "faults that cost marks once: each wrong unit and each wrong rounding costs marks there",
        );
        tell(
            most > 0 && rules.places_must_be_written,
            "places that must be written: a correct answer with fewer places earns full marks there",
        );
        let has = |is: fn(&AnswerSpace) -> bool| {
            sheet.entries.iter().flat_map(|entry| &entry.parts).any(|part| is(&part.space))
        };
        tell(
            has(|space| *space == AnswerSpace::Text),
            "misspelt and unknown terms: they earn nothing there, so look at them yourself",
        );
        tell(
            has(|space| matches!(space, AnswerSpace::Lines { .. })),
            "written answers: a person gives their marks, and the points are shown to that person",
        );
    }
    let mut said: Vec<String> =
        left.into_iter().map(|what| format!("not in the package: {what}")).collect();
    said.extend(keyless(sheet.contents));
    let variants: usize = groups(sheet).iter().filter(|it| it.questions.len() > it.select).count();
    if variants > 0 {
        said.push(
            "problems of one template are variants: the platform gives each candidate one of them"
                .to_owned(),
        );
    }
    said
}

fn keyless(contents: Contents) -> Option<String> {
    (!contents.answers())
        .then(|| "not in the package: marking; add `key` to --show, or leave --show out".to_owned())
}
