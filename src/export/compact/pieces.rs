//! The pieces of which the content of a page is made: runs of text, and what is tagged.

use super::tokens::{Operation, Token};

/// A run of text that stands upright: `q … cm … cs … scn BT … Tr … Tf … Tm … TJ ET Q`.
pub(super) const RUN: [&str; 11] =
    ["q", "cm", "cs", "scn", "BT", "Tr", "Tf", "Tm", "TJ", "ET", "Q"];

/// What a tagged piece of content holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Held {
    Nothing,
    Text,
    /// Something that a text object cannot hold.
    More,
}

/// What the piece holds that has just begun.
pub(super) fn holds(mut rest: &[Operation<'_>]) -> Held {
    let (mut inner, mut held) = (0, Held::Nothing);
    while let Some(first) = rest.first() {
        if is_run(rest) {
            held = Held::Text;
            rest = &rest[RUN.len()..];
            continue;
        }
        match first.operator {
            "BDC" | "BMC" => inner += 1,
            "EMC" if inner > 0 => inner -= 1,
            "EMC" => return held,
            _ => break,
        }
        rest = &rest[1..];
    }
    Held::More
}

/// Whether the next operations are a run of upright text.
pub(super) fn is_run(operations: &[Operation<'_>]) -> bool {
    let Some(run) = operations.get(..RUN.len()) else { return false };
    let same = |operation: &Operation<'_>, name: &str| {
        operation.operator == name || (name == "TJ" && operation.operator == "Tj")
    };
    let numbers = |at: usize, expected: &[&str]| {
        let numbers = run[at].operands.iter().zip(expected);
        run[at].operands.len() >= expected.len()
            && numbers.into_iter().all(|(found, word)| *found == Token::Number(word))
    };
    run.iter().zip(RUN).all(|(operation, name)| same(operation, name))
        && scale(&run[1]).is_some()
        && numbers(5, &["0"])
        && numbers(7, &["1", "0", "0", "-1", "0", "0"])
}

/// How much larger what follows is than it is told, where nothing but its size and place is changed, as written.
pub(super) fn scale<'a>(operation: &Operation<'a>) -> Option<&'a str> {
    let [Token::Number(scale), right, up, Token::Number(other), _, _] = &operation.operands[..]
    else {
        return None;
    };
    let is_even = other.strip_prefix('-') == Some(scale) && !scale.starts_with('-');
    let is_upright = [right, up].iter().all(|turn| **turn == Token::Number("0"));
    (is_even && is_upright).then_some(scale)
}

/// The number of a tagged piece.
pub(super) fn number(operation: &Operation<'_>) -> Option<i64> {
    let at = operation.operands.iter().position(|it| *it == Token::Name("/MCID"))?;
    match operation.operands.get(at + 1)? {
        Token::Number(number) => number.parse().ok(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::tokens::operations;
    use super::*;

    const TEXT: &str = "q 1 0 0 -1 5 7 cm/c0 cs 0 scn BT 0 Tr/f0 9 Tf 1 0 0 -1 0 0 Tm(a)Tj ET Q\n";

    #[test]
    fn a_piece_holds_text_alone_or_more() {
        let held = |content: &str| holds(&operations(content.as_bytes()).unwrap());
        assert_eq!(held("EMC"), Held::Nothing);
        assert_eq!(held(&format!("{TEXT}/P<</MCID 1>>BDC {TEXT}EMC EMC 0 0 m")), Held::Text);
        assert_eq!(held(&format!("{TEXT}0 0 m S EMC")), Held::More);
        assert_eq!(held(TEXT), Held::More, "it has no end");
        assert_eq!(held(&format!("{}EMC", TEXT.replace("0 Tr", "2 Tr"))), Held::More);
    }

    #[test]
    fn a_run_of_text_stands_upright() {
        let run = |content: &str| is_run(&operations(content.as_bytes()).unwrap());
        assert!(run(TEXT));
        assert!(!run(&TEXT.replace("q 1 0", "q 2 0")));
        assert!(run(&TEXT.replace("q 1 0 0 -1", "q .75 0 0 -.75")));
        assert!(!run(&TEXT.replace("q 1 0", "q 1 1")));
        assert_eq!(number(&operations(b"/P<</MCID 12>>BDC").unwrap()[0]), Some(12));
        assert_eq!(number(&operations(b"/P BMC").unwrap()[0]), None);
    }
}
