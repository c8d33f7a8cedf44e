//! Reading letters and numbers that stand for options, lines and pairs.

/// The place that a letter stands for, below `count`: `A` or `a` is 0.
fn place_of(letter: char, count: usize) -> Option<usize> {
    let letter = letter.to_ascii_uppercase();
    let place = u32::from(letter).checked_sub(u32::from('A'))?;
    usize::try_from(place).ok().filter(|place| letter.is_ascii_uppercase() && *place < count)
}

/// The words of an answer, without what only joins or dots them: `A, b and (C)` is `A`, `b`, `C`.
fn words(answer: &str) -> impl Iterator<Item = &str> {
    answer
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty() && !word.eq_ignore_ascii_case("and"))
}

/// Letters below `count` in the order written; they may stand apart or together: `C A B` or `CAB`.
///
/// `None` when there are none, or anything else among them.
pub(super) fn read_letters(answer: &str, count: usize) -> Option<Vec<usize>> {
    let letters = words(answer).flat_map(str::chars).map(|letter| place_of(letter, count));
    letters.collect::<Option<Vec<usize>>>().filter(|places| !places.is_empty())
}

/// For each of so many lines the letter given to it, and none for a line without one.
///
/// Written as pairs, `1c 2a` or `1-C, 2-A`, or as one letter for each line in their order, `c a d`.
pub(super) fn read_pairs(answer: &str, lines: usize, count: usize) -> Option<Vec<Option<usize>>> {
    let mut pairs = vec![None; lines];
    if !answer.contains(|c: char| c.is_ascii_digit()) {
        let letters = read_letters(answer, count).filter(|letters| letters.len() == lines)?;
        return Some(letters.into_iter().map(Some).collect());
    }
    let letters: String = words(answer).collect();
    let mut rest = letters.as_str();
    while !rest.is_empty() {
        let digits = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let (number, after) = rest.split_at(digits);
        let line: usize = number.parse().ok()?;
        let letter = after.chars().next()?;
        let pair = pairs.get_mut(line.checked_sub(1)?)?;
        // A line with two letters has none that is meant.
        if pair.replace(place_of(letter, count)?).is_some() {
            return None;
        }
        rest = &after[letter.len_utf8()..];
    }
    pairs.iter().any(Option::is_some).then_some(pairs)
}

/// Lines by their own words in the order written, `melt; cast; cool`: between them semicolons or ends
/// of lines, or commas where no line has one.
pub(super) fn read_lines(answer: &str, lines: &[String]) -> Option<Vec<usize>> {
    pieces(answer).map(|piece| place_named(piece, lines)).collect()
}

/// One of these options, by its letter or in its own words: `B`, `(b)`, `it complies`.
pub(super) fn read_choice(answer: &str, options: &[String]) -> Option<usize> {
    place_named(answer, options).or_else(|| match read_letters(answer, options.len())?.as_slice() {
        [place] => Some(*place),
        _ => None,
    })
}

/// For each of so many things what goes with it by its own words: `1 oil; 2 water`, or one for each
/// thing in their order.
pub(super) fn read_named_pairs(
    answer: &str,
    things: usize,
    others: &[String],
) -> Option<Vec<Option<usize>>> {
    if let Some(places) = read_lines(answer, others) {
        return (places.len() == things).then(|| places.into_iter().map(Some).collect());
    }
    let mut pairs = vec![None; things];
    for piece in pieces(answer) {
        let words = piece.trim_start_matches(|c: char| c.is_ascii_digit());
        let number: usize = piece[..piece.len() - words.len()].parse().ok()?;
        let words = words.trim_start_matches(|c: char| c.is_whitespace() || ".):-=".contains(c));
        let pair = pairs.get_mut(number.checked_sub(1)?)?;
        if pair.replace(place_named(words, others)?).is_some() {
            return None;
        }
    }
    Some(pairs)
}

/// The pieces of a list, none of them empty.
fn pieces(answer: &str) -> impl Iterator<Item = &str> {
    let apart: &[char] = if answer.contains([';', '\n']) { &[';', '\n'] } else { &[','] };
    answer.split(apart).map(str::trim).filter(|piece| !piece.is_empty())
}

/// The place of the only text that reads so, or of a letter.
fn place_named(words: &str, texts: &[String]) -> Option<usize> {
    let plain = |text: &str| text.trim().trim_end_matches('.').to_lowercase();
    let wanted = plain(words);
    let mut places =
        texts.iter().enumerate().filter(|(_, text)| plain(text) == wanted).map(|(place, _)| place);
    match (places.next(), places.next()) {
        (Some(place), None) => Some(place),
        (Some(_), Some(_)) => None,
        (None, _) => {
            let mut letters = wanted.chars();
            letters
                .next()
                .filter(|_| letters.next().is_none())
                .and_then(|letter| place_of(letter, texts.len()))
        }
    }
}

/// A verdict and the letter of a reason: `true B`, `false`, `F, c`.
pub(super) fn read_judgement(answer: &str, count: usize) -> Option<(bool, Option<usize>)> {
    let mut words = words(answer);
    let verdict = match words.next()?.to_lowercase().as_str() {
        "true" | "t" => true,
        "false" | "f" => false,
        _ => return None,
    };
    let reason = match (words.next(), words.next()) {
        (None, _) => None,
        (Some(letter), None) => {
            let mut letters = letter.chars();
            let place = place_of(letters.next()?, count)?;
            if letters.next().is_some() {
                return None;
            }
            Some(place)
        }
        _ => return None,
    };
    Some((verdict, reason))
}

/// The two texts on either side of a range: `30-36 °C`, `30 to 36`, `between 30 and 36`.
pub(super) fn read_ends(answer: &str) -> Option<(&str, &str)> {
    let answer = answer.trim();
    // In small letters every place stays where it is.
    let small = answer.to_ascii_lowercase();
    let begin = ["between ", "from "].iter().find(|word| small.starts_with(**word));
    let (answer, small) = begin
        .map_or((answer, small.as_str()), |word| (&answer[word.len()..], &small[word.len()..]));
    let parted = [" to ", " and ", "..", "–", "—", " - "]
        .iter()
        .find_map(|between| {
            let at = small.find(between)?;
            Some((&answer[..at], &answer[at + between.len()..]))
        })
        .or_else(|| {
            // A minus sign at the beginning belongs to the number.
            let (at, _) = answer.char_indices().skip(1).find(|(_, c)| *c == '-')?;
            Some((&answer[..at], &answer[at + 1..]))
        });
    let (low, high) = parted?;
    let (low, high) = (low.trim(), high.trim_start_matches('.').trim());
    (!low.is_empty() && !high.is_empty()).then_some((low, high))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_read_however_they_are_joined() {
        for answer in ["A C D", "a,c,d", "ACD", "a) c) d)", "A, C and D", " a/c/d "] {
            assert_eq!(read_letters(answer, 5), Some(vec![0, 2, 3]), "{answer}");
        }
        for answer in ["", "F", "1", "A ü", "all", "-"] {
            assert_eq!(read_letters(answer, 5), None, "{answer}");
        }
    }

    #[test]
    fn pairs_are_read_with_and_without_numbers() {
        let all = Some(vec![Some(2), Some(0), Some(3)]);
        for answer in ["1c 2a 3d", "1-C, 2-A, 3-D", "2a 1c 3d", "1:c;2:a;3:d", "c a d", "CAD"] {
            assert_eq!(read_pairs(answer, 3, 4), all, "{answer}");
        }
        assert_eq!(read_pairs("2b", 3, 4), Some(vec![None, Some(1), None]));
        for answer in
            ["", "1", "4a", "0a", "1c 1a", "1e", "c a", "1c2", "c1", "12345678901234567890a"]
        {
            assert_eq!(read_pairs(answer, 3, 4), None, "{answer}");
        }
    }

    #[test]
    fn lines_and_pairs_may_be_written_in_their_own_words() {
        let texts = ["Melt the base.", "cast, then wait", "cool", "Water", "water"];
        let texts = texts.map(str::to_owned);
        for answer in ["melt the base; COOL; cast, then wait", " Melt the base\ncool\nb "] {
            assert_eq!(read_lines(answer, &texts), Some(vec![0, 2, 1]), "{answer}");
        }
        assert_eq!(read_lines("cool, melt the base", &texts), Some(vec![2, 0]));
        let pairs = Some(vec![Some(2), Some(0)]);
        for answer in
            ["1 cool; 2 melt the base", "2: melt the base, 1 - cool", "cool; a", "1=c,2=A"]
        {
            assert_eq!(read_named_pairs(answer, 2, &texts), pairs, "{answer}");
        }
        assert_eq!(read_named_pairs("2 cool", 2, &texts), Some(vec![None, Some(2)]));
        // What two options say, what none says, and what leaves open which is meant.
        for answer in ["water", "cool; stir", "coo"] {
            assert_eq!(read_lines(answer, &texts), None, "{answer}");
        }
        for answer in
            ["1 water", "3 cool", "0 cool", "1 cool; 1 a", "cool", "cool; 1 cool", "é cool"]
        {
            assert_eq!(read_named_pairs(answer, 2, &texts), None, "{answer}");
        }
    }

    #[test]
    fn a_judgement_is_a_verdict_and_perhaps_a_letter() {
        assert_eq!(read_judgement("True B", 3), Some((true, Some(1))));
        assert_eq!(read_judgement("f, c", 3), Some((false, Some(2))));
        assert_eq!(read_judgement("false", 3), Some((false, None)));
        for answer in ["", "B", "yes B", "true D", "true B C", "true BC"] {
            assert_eq!(read_judgement(answer, 3), None, "{answer}");
        }
    }

    #[test]
    fn the_ends_of_a_range_may_be_joined_in_several_ways() {
        for answer in
            ["30-36", "30 to 36", "between 30 and 36", "30–36", " 30 - 36 ", "from 30 to 36"]
        {
            assert_eq!(read_ends(answer), Some(("30", "36")), "{answer}");
        }
        assert_eq!(read_ends("-5-10 °C"), Some(("-5", "10 °C")));
        for answer in ["", "30", "30-", "-", "to"] {
            assert_eq!(read_ends(answer), None, "{answer}");
        }
    }
}
