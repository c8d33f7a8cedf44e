//! Names that a program reads: of items, answers and files.

use std::collections::BTreeSet;

use crate::problem::letter;

/// The longest identifier made here. Longer ones are cut, since some platforms keep them in columns.
const LONGEST: usize = 60;

/// An identifier like the text: letters, digits, points, hyphens and underscores, the first a letter.
///
/// What else there is becomes a hyphen, so that no text leads out of a folder.
pub(super) fn identifier(text: &str) -> String {
    let fits = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '.' | '-' | '_');
    let kept: String = text.chars().map(|c| if fits(c) { c } else { '-' }).take(LONGEST).collect();
    let kept = kept.replace("..", "--");
    let kept = kept.trim_matches(['-', '.']);
    if kept.starts_with(|first: char| first.is_ascii_alphabetic()) {
        kept.to_owned()
    } else {
        format!("q-{kept}").trim_end_matches('-').to_owned()
    }
}

/// The identifier of a part's answer: `ANSWER_A`, with an ending where a part has several.
pub(super) fn answer(part: usize, ending: &str) -> String {
    format!("ANSWER_{}{ending}", letter(part, 'A'))
}

/// The identifier of a part's score: `SCORE_A`.
pub(super) fn score(part: usize) -> String {
    format!("SCORE_{}", letter(part, 'A'))
}

/// Identifiers that are handed out once each.
#[derive(Debug, Default)]
pub(super) struct Identifiers(BTreeSet<String>);

impl Identifiers {
    /// The identifier, with a number behind it where it is taken.
    pub(super) fn take(&mut self, wanted: &str) -> String {
        let mut found = wanted.to_owned();
        let mut number = 1_u32;
        // File systems may not tell small letters from capitals.
        while !self.0.insert(found.to_ascii_lowercase()) {
            number += 1;
            found = format!("{wanted}-{number}");
        }
        found
    }
}

/// The name in small letters with hyphens: `response-declaration` for `responseDeclaration`.
pub(super) fn kebab(name: &str) -> String {
    let mut kebab = String::with_capacity(name.len() + 4);
    for letter in name.chars() {
        if letter.is_ascii_uppercase() {
            kebab.push('-');
        }
        kebab.push(letter.to_ascii_lowercase());
    }
    kebab
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_text_makes_an_identifier_that_leads_nowhere() {
        assert_eq!(identifier("base-one-unit.aaaa-aaaaa"), "base-one-unit.aaaa-aaaaa");
        assert_eq!(identifier("../../etc/passwd"), "etc-passwd");
        assert_eq!(identifier("a/../b"), "a----b");
        assert_eq!(identifier("7 <b>\0"), "q-7--b");
        assert_eq!(identifier("\u{202e}"), "q");
        assert_eq!(identifier(&"x".repeat(500)).len(), LONGEST);
    }

    #[test]
    fn no_identifier_is_handed_out_twice_in_any_case() {
        let mut identifiers = Identifiers::default();
        let taken: Vec<String> =
            ["q", "Q", "q", "q-2"].iter().map(|wanted| identifiers.take(wanted)).collect();
        assert_eq!(taken, ["q", "Q-2", "q-3", "q-2-2"]);
    }

    #[test]
    fn names_of_the_later_version_have_hyphens() {
        assert_eq!(kebab("responseDeclaration"), "response-declaration");
        assert_eq!(kebab("not"), "not");
    }
}
