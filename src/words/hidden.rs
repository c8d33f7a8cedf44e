//! Characters that cannot be seen.

/// Whether a character cannot be seen, or changes how others are shown: control characters, the ends of
/// lines and paragraphs, format characters, and whatever else a font shows as nothing, such as the
/// fillers of Hangul.
///
/// ```
/// use castmark::words::is_hidden;
///
/// assert!(is_hidden('\u{202e}') && is_hidden('\u{3164}'));
/// assert!(!is_hidden('ß') && !is_hidden(' '));
/// ```
pub fn is_hidden(letter: char) -> bool {
    if letter < '\u{ad}' {
        return letter.is_control();
    }
    matches!(letter, '\u{2028}' | '\u{2029}')
        || IGNORABLE.iter().chain(&FORMAT).any(|(first, last)| (*first..=*last).contains(&letter))
}

/// The text without [hidden](is_hidden) characters, for a terminal or a message.
pub fn printable(text: &str) -> String {
    text.chars().filter(|letter| !is_hidden(*letter)).collect()
}

/// What is shown as nothing where it is not supported: the property `Default_Ignorable_Code_Point` of the
/// Unicode Character Database 16.0.0, `DerivedCoreProperties.txt`.
const IGNORABLE: [(char, char); 17] = [
    ('\u{ad}', '\u{ad}'),
    ('\u{34f}', '\u{34f}'),
    ('\u{61c}', '\u{61c}'),
    ('\u{115f}', '\u{1160}'),
    ('\u{17b4}', '\u{17b5}'),
    ('\u{180b}', '\u{180f}'),
    ('\u{200b}', '\u{200f}'),
    ('\u{202a}', '\u{202e}'),
    ('\u{2060}', '\u{206f}'),
    ('\u{3164}', '\u{3164}'),
    ('\u{fe00}', '\u{fe0f}'),
    ('\u{feff}', '\u{feff}'),
    ('\u{ffa0}', '\u{ffa0}'),
    ('\u{fff0}', '\u{fff8}'),
    ('\u{1bca0}', '\u{1bca3}'),
    ('\u{1d173}', '\u{1d17a}'),
    ('\u{e0000}', '\u{e0fff}'),
];

/// Format characters (general category Cf of `DerivedGeneralCategory.txt` 16.0.0) that are not among them,
/// without those that are seen: the property `Prepended_Concatenation_Mark` of `PropList.txt` 16.0.0.
const FORMAT: [(char, char); 2] = [('\u{fff9}', '\u{fffb}'), ('\u{13430}', '\u{1343f}')];

#[cfg(test)]
mod tests {
    use regex::Regex;

    use super::*;

    #[test]
    fn hidden_is_what_the_unicode_character_database_says_is_not_seen() {
        let hidden = Regex::new(
            r"^[\p{Cc}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}[\p{Cf}--\p{Prepended_Concatenation_Mark}]]$",
        )
        .unwrap();
        for letter in '\0'..=char::MAX {
            let expected = hidden.is_match(letter.encode_utf8(&mut [0; 4]));
            assert_eq!(is_hidden(letter), expected, "{:x}", u32::from(letter));
        }
    }
}
