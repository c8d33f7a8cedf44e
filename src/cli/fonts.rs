//! A font of one's own for PDF, and names that no font can write.

use std::path::Path;

use castmark::export::{OwnFont, is_writable};
use castmark::paper::Candidate;
use castmark::words::listed;

use super::disk::{Limit, read_bytes};
use super::outcome::Failure;

/// How many candidates are named before the others are counted.
const NAMED: usize = 20;

/// Reads the font of a file, if one is given.
///
/// # Errors
/// When the file cannot be read, or holds no font.
pub(super) fn read_font(path: Option<&Path>) -> Result<Option<OwnFont>, Failure> {
    let Some(path) = path else { return Ok(None) };
    let font = OwnFont::read(read_bytes(path, Limit::Table)?).ok_or_else(|| {
        Failure::unusable(format!(
            "expected a font in `{}`, found none; give the file of an OpenType or TrueType font",
            path.display()
        ))
    })?;
    Ok(Some(font))
}

/// What is said when the names of candidates would be printed with boxes.
pub(super) fn unwritable(class: &[Candidate], font: Option<&OwnFont>) -> Option<String> {
    let texts = |candidate: &Candidate| {
        let Candidate { number, name, group, room, seat, .. } = candidate;
        // Lists for the room print all of them.
        let others = [name, group, room, seat];
        let mut texts = std::iter::once(number).chain(others.into_iter().flatten());
        texts.all(|text| is_writable(text, font))
    };
    let unwritable = class.iter().filter(|candidate| !texts(candidate));
    let mut told: Vec<String> = unwritable.map(|candidate| candidate.number.clone()).collect();
    let who = match told.len() {
        0 => return None,
        1 => "the name of candidate",
        _ => "the names of candidates",
    };
    if let Some(more @ 1..) = told.len().checked_sub(NAMED) {
        told.truncate(NAMED);
        told.push(format!("{more} more"));
    }
    let told = listed(&told, "and");
    Some(format!(
        "the fonts of PDF files cannot write {who} {told} and print boxes instead; name a font that \
         can with --font, spell the names in letters that they have, or make --format html"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(number: &str, name: &str) -> Candidate {
        Candidate {
            number: number.to_owned(),
            name: Some(name.to_owned()),
            group: None,
            room: None,
            seat: None,
            needs: Vec::new(),
        }
    }

    #[test]
    fn candidates_are_told_by_their_numbers() {
        let class =
            [candidate("1", "Ana"), candidate("2", "\u{5f20}"), candidate("3", "\u{1f600}")];
        let told = unwritable(&class, None).unwrap();
        assert!(told.contains("the names of candidates 2 and 3 and print boxes"), "{told}");
        assert!(
            unwritable(&class[..2], None).unwrap().contains("the name of candidate 2 and print")
        );
        assert_eq!(unwritable(&class[..1], None), None);
        let seated = Candidate { seat: Some("\u{5f20}".to_owned()), ..class[0].clone() };
        assert!(unwritable(&[seated], None).is_some_and(|told| told.contains("candidate 1 ")));
        let many: Vec<Candidate> =
            (1..=22).map(|n| candidate(&n.to_string(), "\u{5f20}")).collect();
        let told = unwritable(&many, None).unwrap();
        assert!(told.contains(" 1, 2, 3, ") && told.contains("19, 20 and 2 more and"), "{told}");
    }
}
