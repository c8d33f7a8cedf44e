//! Letters for options, lines and parts.

/// The letter of the item at an index, from `first` on: a, b … z, then aa, ab.
///
/// ```
/// use castmark::problem::letter;
/// assert_eq!(letter(2, 'A'), "C");
/// assert_eq!(letter(26, 'a'), "aa");
/// ```
pub fn letter(index: usize, first: char) -> String {
    let nth = |n: usize| {
        let step = u32::try_from(n % 26).unwrap_or_default();
        char::from_u32(u32::from(first) + step).unwrap_or(first)
    };
    let mut letters = String::new();
    if index >= 26 {
        letters.push(nth(index / 26 - 1));
    }
    letters.push(nth(index));
    letters
}

/// The index that a letter stands for, below `count`.
///
/// ```
/// use castmark::problem::letter_index;
/// assert_eq!(letter_index('c', 4), Some(2));
/// assert_eq!(letter_index('E', 4), None);
/// ```
pub fn letter_index(letter: char, count: usize) -> Option<usize> {
    let letter = letter.to_ascii_uppercase();
    let index = u32::from(letter).checked_sub(u32::from('A'))?;
    usize::try_from(index).ok().filter(|index| letter.is_ascii_uppercase() && *index < count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(letter(0, 'A'), "A");
        assert_eq!(letter(25, 'A'), "Z");
        assert_eq!(letter(26, 'a'), "aa");
        assert_eq!(letter(53, 'a'), "bb");
    }
}
