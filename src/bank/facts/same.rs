//! Whether two texts say the same to a reader.

/// Whether two texts say the same to a reader.
pub(in crate::bank) fn same(one: &str, other: &str) -> bool {
    // Compared letter by letter, since most texts differ in their first.
    let begin =
        |text: &str| text.trim_start().chars().next().map(|first| first.to_ascii_lowercase());
    if one.is_ascii() && other.is_ascii() && begin(one) != begin(other) {
        return false;
    }
    one == other || letters(one).eq(letters(other))
}

/// The letters of a text in small, with one blank between words and without a stop at the end.
fn letters(text: &str) -> impl Iterator<Item = char> {
    let words = text.trim().trim_end_matches('.').split_whitespace();
    words.flat_map(|word| word.chars().chain([' '])).flat_map(char::to_lowercase)
}
