//! Words as a reader who knows nothing compares them.

use std::collections::BTreeSet;

/// Words that say nothing about a subject.
const EMPTY: &[&str] = &[
    "about", "after", "also", "among", "and", "are", "because", "been", "before", "being",
    "between", "but", "can", "could", "does", "each", "for", "from", "has", "have", "how", "into",
    "its", "made", "make", "may", "might", "more", "most", "must", "not", "off", "one", "only",
    "other", "out", "over", "shall", "should", "some", "such", "than", "that", "the", "their",
    "them", "then", "there", "these", "they", "this", "those", "through", "too", "under", "until",
    "upon", "use", "used", "was", "were", "what", "when", "where", "which", "while", "who",
    "whose", "will", "with", "without", "would", "you", "your",
];

/// Words that allow no exception; a statement with one is false more often than not.
const ABSOLUTE: &[&str] = &[
    "all",
    "always",
    "any",
    "anything",
    "completely",
    "entirely",
    "every",
    "everything",
    "exactly",
    "impossible",
    "invariably",
    "must",
    "never",
    "no",
    "nobody",
    "none",
    "nothing",
    "only",
    "solely",
    "wholly",
];

/// Words that leave room for exceptions; a statement with one is true more often than not.
const HEDGED: &[&str] = &[
    "about",
    "can",
    "commonly",
    "could",
    "generally",
    "frequently",
    "likely",
    "mainly",
    "may",
    "might",
    "mostly",
    "nearly",
    "often",
    "partly",
    "rarely",
    "should",
    "some",
    "sometimes",
    "tend",
    "tends",
    "usual",
    "usually",
];

/// Words that deny.
const NEGATIONS: &[&str] = &["cannot", "neither", "never", "no", "none", "nor", "not", "without"];

/// Endings that words of one family differ in, the longest first.
const ENDINGS: &[&str] = &[
    "ations", "ation", "ating", "ately", "ates", "ated", "ants", "ings", "ions", "ent", "ant",
    "ing", "ion", "ies", "ers", "ate", "ous", "est", "ed", "es", "er", "ly", "al", "s", "e", "y",
];

/// The shortest stem that an ending is taken from.
const LEAST_STEM: usize = 3;

fn words(text: &str) -> impl Iterator<Item = String> + '_ {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
}

/// The stems of the words that say something.
pub(super) fn stems(text: &str) -> BTreeSet<String> {
    let says = |word: &String| word.chars().count() > 2 && !EMPTY.contains(&word.as_str());
    words(text).filter(says).map(|word| stem(&word).to_owned()).collect()
}

/// What words of one family begin with: `lubricant` and `lubricated` share `lubric`.
fn stem(word: &str) -> &str {
    let shorter = ENDINGS.iter().find_map(|ending| {
        word.strip_suffix(ending).filter(|stem| stem.chars().count() >= LEAST_STEM)
    });
    let stem = shorter.unwrap_or(word);
    // A doubled letter stays from `trimming`, and is not in `trim`.
    let mut ends = stem.chars().rev();
    match (ends.next(), ends.next()) {
        (Some(last), Some(before))
            if last == before && last.is_ascii() && stem.len() > LEAST_STEM =>
        {
            &stem[..stem.len() - 1]
        }
        _ => stem,
    }
}

/// The absolute words of a text.
pub(super) fn absolute(text: &str) -> Vec<String> {
    words(text).filter(|word| ABSOLUTE.contains(&word.as_str())).collect()
}

/// The words of a text that deny.
pub(super) fn negations(text: &str) -> Vec<String> {
    words(text).filter(|word| NEGATIONS.contains(&word.as_str())).collect()
}

/// The word a text begins with.
pub(super) fn first_word(text: &str) -> String {
    words(text).next().unwrap_or_default()
}

/// The hedged words of a text.
pub(super) fn hedged(text: &str) -> Vec<String> {
    words(text).filter(|word| HEDGED.contains(&word.as_str())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_one_family_have_one_stem() {
        for family in [
            &["lubricant", "lubricated", "lubrication", "lubricating"][..],
            &["melt", "melts", "melted", "melting"],
            &["trim", "trimmed", "trimming"],
            &["cool", "cooled", "cooler"],
        ] {
            let stems: BTreeSet<&str> = family.iter().map(|word| stem(word)).collect();
            assert_eq!(stems.len(), 1, "{stems:?}");
        }
    }

    #[test]
    fn small_words_are_no_clue() {
        assert!(stems("it is not that which they would have been").is_empty());
        assert_eq!(absolute("It never melts, at any heat."), ["never", "any"]);
        assert_eq!(hedged("It usually melts."), ["usually"]);
    }
}
