//! The nearest known name.

/// Where words begin that are too long for a slip of the pen to be looked for: comparing two takes the
/// product of their lengths.
const LONGEST: usize = 64;

/// The known name nearest to what was written, if one is near enough to be meant.
///
/// Near means at most a third of the letters, and never more than three, changed, added, left out
/// or swapped with a neighbour; a single letter may only have another case.
/// Capitals count for nothing until two names are equally near; then the one that is nearer with
/// them is taken, and then the one that comes first in the alphabet.
///
/// ```
/// # use castmark::formula::nearest;
/// let known = ["capacity", "drug_mass", "number"];
/// assert_eq!(nearest("capcity", known), Some("capacity"));
/// assert_eq!(nearest("zzz", known), None);
/// ```
pub fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let limit = match written.chars().count() {
        0 | 1 => 0,
        LONGEST.. => return None,
        letters => (letters / 3).clamp(1, 3),
    };
    let small = written.to_lowercase();
    known
        .into_iter()
        .map(|name| (distance(&small, &name.to_lowercase()), distance(written, name), name))
        .filter(|(near, ..)| *near <= limit)
        .min()
        .map(|(.., name)| name)
}

/// How many letters must be changed, added, left out or swapped with a neighbour; the greatest number
/// there is when the texts differ by more than three letters in length.
pub fn distance(from: &str, to: &str) -> usize {
    if from.chars().count().abs_diff(to.chars().count()) > 3 {
        return usize::MAX;
    }
    strsim::osa_distance(from, to)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_longer_than_anybody_types_is_like_none() {
        let name = |letters: usize| "a".repeat(letters);
        assert_eq!(nearest(&name(63), [name(62).as_str()]), Some(name(62).as_str()));
        assert_eq!(nearest(&name(64), [name(63).as_str()]), None);
    }

    #[test]
    fn counts_changed_missing_added_and_swapped_letters() {
        for (from, to, expected) in [
            ("abc", "abc", 0),
            ("abc", "abd", 1),
            ("abc", "acb", 1),
            ("abc", "ab", 1),
            ("", "ab", 2),
            ("ab", "abcde", 3),
            ("a", "abcde", usize::MAX),
        ] {
            assert_eq!(distance(from, to), expected, "{from} {to}");
        }
    }

    #[test]
    fn only_near_names_are_meant() {
        for (written, expected) in [
            ("Capacity", Some("capacity")),
            ("capcaity", Some("capacity")),
            ("capasitee", Some("capacity")),
            ("vd", Some("dv")),
            ("N", Some("n")),
            ("m", None),
            ("", None),
            ("density", None),
        ] {
            assert_eq!(nearest(written, ["capacity", "dv", "n"]), expected, "{written}");
        }
    }

    #[test]
    fn ties_go_to_the_first_in_the_alphabet() {
        assert_eq!(nearest("mass", ["masb", "masa"]), Some("masa"));
    }
}
