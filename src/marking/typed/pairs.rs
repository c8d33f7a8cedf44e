//! A letter for each line of a matching or grouping.

use crate::problem::letter_index;

use super::letters::{read_letters, single};
use super::named::index_named;
use super::words::{is_filler, pieces, runs, tidy};

/// For each line on the left the index of what was put to it, and none for a line left open.
///
/// Written as pairs, `1c 2a` or `c1 a2`, by groups, `A: 1 3; B: 2`, as one letter for each line in
/// their order, `c a d`, with a dash for a line left open, or in words, `hard fat: none`.
pub(in crate::marking) fn read_pairs(
    answer: &str,
    left: &[&str],
    right: &[&str],
) -> Option<Vec<Option<usize>>> {
    let answer = tidy(answer);
    let read = if answer.contains(|c: char| c.is_ascii_digit()) {
        numbered(&answer, left.len(), right.len())
            .or_else(|| lettered(&answer, left.len(), right.len()))
    } else {
        in_line(&answer, left.len(), right.len())
    };
    read.or_else(|| in_words(&answer, left, right))
        .filter(|pairs| pairs.iter().any(Option::is_some))
}

/// `1c 2a`, `1-C, 2-A`: each number is followed by one letter or none.
fn numbered(answer: &str, lines: usize, count: usize) -> Option<Vec<Option<usize>>> {
    let mut pairs = Pairs::new(lines);
    let mut open = None;
    for mark in marks(answer) {
        match mark {
            Mark::Number(line) => open = Some(line),
            Mark::Letter(letter) => pairs.put(open.take()?, letter_index(letter, count)?)?,
        }
    }
    Some(pairs.0)
}

/// `c1 a2`, `A: 1, 3; B: 2`: each letter is followed by the numbers of its lines.
fn lettered(answer: &str, lines: usize, count: usize) -> Option<Vec<Option<usize>>> {
    let mut pairs = Pairs::new(lines);
    let mut group = None;
    for mark in marks(answer) {
        match mark {
            Mark::Number(line) => pairs.put(line, group?)?,
            Mark::Letter(letter) => group = Some(letter_index(letter, count)?),
        }
    }
    Some(pairs.0)
}

/// A number or a letter of an answer.
enum Mark {
    Number(usize),
    Letter(char),
}

/// The numbers and letters of an answer, together or apart.
fn marks(answer: &str) -> Vec<Mark> {
    let mut marks = Vec::new();
    for run in runs(answer).filter(|run| !is_filler(run)) {
        let mut rest = run;
        while let Some(letter) = rest.chars().next() {
            rest = match number(rest) {
                Some((line, after)) => {
                    marks.push(Mark::Number(line));
                    after
                }
                None => {
                    marks.push(Mark::Letter(letter));
                    &rest[letter.len_utf8()..]
                }
            };
        }
    }
    marks
}

/// A letter for each line in their order; where there are fewer, dashes and empty lines of a list are
/// lines left open, and so are the last ones.
fn in_line(answer: &str, lines: usize, count: usize) -> Option<Vec<Option<usize>>> {
    let letters = read_letters(&answer.replace('_', " "), count)?;
    if letters.len() > lines {
        return None;
    }
    let mut pairs: Vec<Option<usize>> = letters.iter().copied().map(Some).collect();
    if letters.len() < lines {
        let gapped = with_gaps(answer, count);
        if let Some(gapped) = gapped.filter(|gapped| gapped.len() <= lines) {
            pairs = gapped;
        }
    }
    pairs.resize(lines, None);
    Some(pairs)
}

/// The letters with what stands for none between them: `a - c`, `a,,c`, `a ? c`.
fn with_gaps(answer: &str, count: usize) -> Option<Vec<Option<usize>>> {
    let listed = answer.contains([',', ';']);
    let cells: Vec<&str> = if listed {
        answer.split([',', ';']).map(str::trim).collect()
    } else {
        answer.split_whitespace().collect()
    };
    let is_gap =
        |cell: &str| cell.chars().all(|c| matches!(c, '-' | '–' | '—' | '_' | '?' | '.' | ' '));
    let cell = |cell: &&str| {
        if is_gap(cell) {
            Some(None)
        } else {
            single(cell.trim_matches(['(', ')', '.']), count).map(Some)
        }
    };
    cells.iter().map(cell).collect()
}

/// `1 oil; 2 water`, `hard fat: none; jelly: oil`, or one text for each line in their order.
fn in_words(answer: &str, left: &[&str], right: &[&str]) -> Option<Vec<Option<usize>>> {
    let indices = pieces(answer).map(|piece| index_named(piece, right)).collect::<Option<Vec<_>>>();
    if let Some(indices) = indices {
        let all = indices.len() == left.len();
        return all.then(|| indices.into_iter().map(Some).collect());
    }
    let mut pairs = Pairs::new(left.len());
    for piece in pieces(answer) {
        let (line, index) =
            numbered_words(piece, right).or_else(|| named_words(piece, left, right))?;
        pairs.put(line, index)?;
    }
    Some(pairs.0)
}

/// `1 oil`, `2: water`.
fn numbered_words(piece: &str, right: &[&str]) -> Option<(usize, usize)> {
    let (line, words) = number(piece)?;
    let words = words.trim_start_matches(|c: char| c.is_whitespace() || ".):-=–→>".contains(c));
    Some((line, index_named(words, right)?))
}

/// `hard fat: none`, `hard fat - b`.
fn named_words(piece: &str, left: &[&str], right: &[&str]) -> Option<(usize, usize)> {
    [":", "=", "→", "->", " - ", " – "].iter().find_map(|between| {
        let (thing, words) = piece.split_once(between)?;
        let things: Vec<&str> = left.to_vec();
        // A lone letter is never the name of a line, which has a number.
        let thing = Some(thing.trim()).filter(|thing| thing.chars().count() > 1)?;
        Some((index_named(thing, &things)? + 1, index_named(words.trim(), right)?))
    })
}

/// The number at the beginning, and what follows it.
fn number(text: &str) -> Option<(usize, &str)> {
    let after = text.trim_start_matches(|c: char| c.is_ascii_digit());
    let number = text.get(..text.len() - after.len())?.parse().ok()?;
    Some((number, after))
}

/// What was put to each line so far.
struct Pairs(Vec<Option<usize>>);

impl Pairs {
    fn new(lines: usize) -> Self {
        Self(vec![None; lines])
    }

    /// Notes what goes with a line, counted from 1. A line with two letters has none that is meant.
    fn put(&mut self, line: usize, index: usize) -> Option<()> {
        let pair = self.0.get_mut(line.checked_sub(1)?)?;
        pair.replace(index).is_none().then_some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LEFT: &[&str] = &["hard fat", "theobroma oil", "glycero-gelatin"];
    const RIGHT: &[&str] = &["cool", "melt the base", "stir", "oil"];

    fn read(answer: &str) -> Option<Vec<Option<usize>>> {
        read_pairs(answer, LEFT, RIGHT)
    }

    #[test]
    fn pairs_are_read_by_numbers_by_letters_and_in_order() {
        let expected = Some(vec![Some(2), Some(0), Some(3)]);
        for answer in [
            "1c 2a 3d",
            "1-C, 2-A, 3-D",
            "1=c;2=a;3=d",
            "1. c 2. a 3. d",
            "c1 a2 d3",
            "C: 1; A: 2; D: 3",
            "c a d",
            "CAD",
            "c, a, d",
            "c - a - d",
            "3d 1c 2a",
            "line 1: c, line 2: a, line 3: d",
            "stir; cool; oil",
            "1 stir; 2 cool; 3 oil",
            "hard fat: stir; theobroma oil: cool; jelly = d",
            "１ｃ ２ａ ３ｄ",
            "1) c; 2) cool; 3: d",
            "1. stir; 2 - a; 3 → oil",
        ] {
            let expected = if answer.contains("jelly") { None } else { expected.clone() };
            assert_eq!(read(answer), expected, "{answer}");
        }
        let expected = Some(vec![Some(2), Some(0), Some(3)]);
        assert_eq!(read("hard fat: stir; theobroma: cool; glycero-gelatin = d"), expected);
    }

    #[test]
    fn a_group_may_have_several_lines() {
        assert_eq!(read("A: 1, 3; B: 2"), Some(vec![Some(0), Some(1), Some(0)]));
        assert_eq!(read("A 1 3 B 2"), Some(vec![Some(0), Some(1), Some(0)]));
        assert_eq!(read("a b a"), Some(vec![Some(0), Some(1), Some(0)]));
    }

    #[test]
    fn a_line_left_open_costs_nobody_the_others() {
        assert_eq!(read("c a"), Some(vec![Some(2), Some(0), None]));
        assert_eq!(read("c - d"), Some(vec![Some(2), None, Some(3)]));
        assert_eq!(read("c _ d"), Some(vec![Some(2), None, Some(3)]));
        assert_eq!(read("c, , d"), Some(vec![Some(2), None, Some(3)]));
        assert_eq!(read("c,,d"), Some(vec![Some(2), None, Some(3)]));
        assert_eq!(read("? a d"), Some(vec![None, Some(0), Some(3)]));
        assert_eq!(read("1c 2 3d"), Some(vec![Some(2), None, Some(3)]));
        assert_eq!(read("1c 2- 3d"), Some(vec![Some(2), None, Some(3)]));
        assert_eq!(read("3 stir"), Some(vec![None, None, Some(2)]));
    }

    #[test]
    fn what_is_open_to_two_readings_is_not_read() {
        for answer in [
            "",
            "-",
            "4a",
            "0a",
            "1a 1b",
            "1z",
            "a b c d",
            "1 water",
            "cool",
            "water; stir; oil",
            // A letter names no line.
            "a: stir; b: cool; c: oil",
            "é 1",
        ] {
            assert_eq!(read(answer), None, "{answer}");
        }
    }
}
