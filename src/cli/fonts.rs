//! A font of one's own for PDF, and names that no font can write.

use std::path::Path;

use castmark::export::{OwnFont, is_writable};
use castmark::paper::Candidate;

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
        let texts = [Some(&candidate.number), candidate.name.as_ref(), candidate.group.as_ref()];
        texts.into_iter().flatten().all(|text| is_writable(text, font))
    };
    let numbers: Vec<&str> =
        class.iter().filter(|it| !texts(it)).map(|it| it.number.as_str()).collect();
    let (first, last) = match &numbers[..] {
        [] => return None,
        [one] => ((*one).to_owned(), String::new()),
        [all @ .., last] if all.len() < NAMED => (all.join(", "), format!(" and {last}")),
        all => (all[..NAMED].join(", "), format!(" and {} more", all.len() - NAMED)),
    };
    let who = if numbers.len() == 1 { "the name of candidate" } else { "the names of candidates" };
    Some(format!(
        "the fonts of PDF files cannot write {who} {first}{last} and print boxes instead; name a font that \
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
    }
}
