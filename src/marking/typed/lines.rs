//! Lines in an order.

use crate::bank::Term;

use super::letters::read_letters;
use super::named::index_named;
use super::words::{pieces, tidy};

/// The lines in the order in which they were put, each once; lines may be missing.
///
/// They are written as letters, `D C B A`, or in words, with semicolons between them where they are
/// sentences. One line alone is no order.
pub(in crate::marking) fn read_order(answer: &str, texts: &[&str]) -> Option<Vec<usize>> {
    let answer = tidy(answer);
    let by_words =
        || pieces(&answer).map(|piece| index_named(piece, texts)).collect::<Option<Vec<_>>>();
    let is_order = |indices: &Vec<usize>| {
        let mut sorted = indices.clone();
        sorted.sort_unstable();
        sorted.dedup();
        sorted.len() == indices.len() && indices.len() > 1
    };
    read_letters(&answer, texts.len())
        .filter(is_order)
        .or_else(|| by_words().filter(is_order))
        .or_else(|| in_a_row(&answer, texts).filter(is_order))
}

/// Names without anything between them, `alpha gamma beta prime beta`: each time the longest.
fn in_a_row(answer: &str, texts: &[&str]) -> Option<Vec<usize>> {
    let answer = Term::of(&answer.replace(['>', '<', ',', ';', '→'], " "));
    let terms: Vec<Term> = texts.iter().map(|text| Term::of(text)).collect();
    let mut rest = answer.words();
    let mut indices = Vec::new();
    while !rest.is_empty() {
        let fits = |term: &&Term| !term.is_empty() && rest.starts_with(term.words());
        let longest = terms.iter().filter(fits).map(|term| term.words().len()).max()?;
        indices.push(terms.iter().position(|term| fits(&term) && term.words().len() == longest)?);
        rest = rest.get(longest..)?;
    }
    Some(indices)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FORMS: &[&str] = &["beta", "alpha", "gamma", "beta prime"];
    const STEPS: &[&str] = &[
        "Melt the grated base.",
        "Pour, without a stop, into the mould.",
        "Weigh the base.",
        "Cool.",
    ];

    #[test]
    fn an_order_is_read_from_letters_and_from_words() {
        for answer in [
            "C B D A",
            "CBDA",
            "c, b, d, a",
            "C > B > D > A",
            "C → B → D → A",
            "C then B then D then A",
            "lines C, B, D, A",
            "gamma; alpha; beta prime; beta",
            "gamma alpha beta prime beta",
            "γ, α, β', β",
            "γ α β′ β",
            "γ<α<β'<β",
            "gamma form; alpha form; β′; β",
        ] {
            let expected = if answer.contains("form") { None } else { Some(vec![2, 1, 3, 0]) };
            assert_eq!(read_order(answer, FORMS), expected, "{answer}");
        }
        for answer in [
            "C A B D",
            "Weigh the base; melt the grated base; pour, without a stop, into the mould; cool",
            "weigh; melt; pour; cool",
            "Weigh the base.\nMelt the grated base.\nPour.\nCool.",
        ] {
            assert_eq!(read_order(answer, STEPS), Some(vec![2, 0, 1, 3]), "{answer}");
        }
    }

    #[test]
    fn a_forgotten_line_does_not_make_an_order_unreadable() {
        assert_eq!(read_order("C B D", FORMS), Some(vec![2, 1, 3]));
        assert_eq!(read_order("weigh; pour", STEPS), Some(vec![2, 1]));
    }

    #[test]
    fn a_line_put_twice_or_alone_is_no_order() {
        for answer in ["", "C", "C B C A", "CBDAE", "weigh; weigh", "1 2 3 4", "gamma"] {
            assert_eq!(read_order(answer, FORMS), None, "{answer}");
        }
    }
}
