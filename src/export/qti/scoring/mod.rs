//! How a part is marked, by the kind of its answer.

pub(super) mod processing;
pub(super) mod asked;
mod pattern;
mod units;
mod legal;
pub(super) mod number;
pub(super) mod theory;

use crate::problem::Response;

use super::answer::Answer;
use asked::{Asked, Scoring};

/// How a part is marked; where its key is not to be told, it is not marked.
pub(super) fn scoring(asked: &Asked<'_>, with_key: bool) -> Scoring {
    let mut scoring = Scoring {
        answers: Answer::of(&asked.part.space, asked.index),
        rules: Vec::new(),
        said: Vec::new(),
        by_hand: false,
    };
    let marking = asked.part.marking.as_ref().filter(|_| with_key);
    match marking.map(|marking| (&marking.response, &marking.kept)) {
        Some((Response::Number(key), kept)) => number::score(asked, key, kept, &mut scoring),
        Some((Response::Range(key), _)) => number::score_range(asked, key, &mut scoring),
        Some((Response::Written(_), _)) | None => scoring.by_hand = true,
        Some((response, _)) => theory::score(asked, response, &mut scoring),
    }
    scoring
}
