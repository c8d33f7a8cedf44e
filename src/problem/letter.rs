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
