//! The content of a page in fewer words: text that is set one way stays set so, places are told to a
//! hundredth of a point, and pieces of one tag that follow each other become one.

use std::collections::BTreeMap;

use super::object::{decimal, put, string};
use super::subset::Subset;
use super::tokens::{Operation, Token, operations};

/// What has to be known of a page.
pub(super) struct Page<'a> {
    /// Its fonts, by the names that its content has for them; those that stay as they are, are not there.
    pub fonts: BTreeMap<String, &'a Subset>,
    /// The language of the file, which no piece has to tell again.
    pub language: &'a str,
    /// Whether a piece of content is followed by another in the same tag, by their numbers.
    pub follows: &'a dyn Fn(i64, i64) -> bool,
}

/// A page's content anew.
pub(super) struct Content {
    pub bytes: Vec<u8>,
    /// The old numbers of its tagged pieces, with their new ones.
    pub pieces: BTreeMap<i64, i64>,
}

/// A run of text that stands upright: `q … cm … cs … scn BT … Tr … Tf … Tm … TJ ET Q`.
const RUN: [&str; 11] = ["q", "cm", "cs", "scn", "BT", "Tr", "Tf", "Tm", "TJ", "ET", "Q"];

/// The content of a page; nothing where it has what is not known here.
pub(super) fn rewritten(content: &[u8], page: &Page<'_>) -> Option<Content> {
    let operations = operations(content)?;
    let mut writer = Writer {
        page,
        out: Vec::with_capacity(content.len() / 2),
        pieces: BTreeMap::new(),
        count: 0,
        font: None,
        depth: 0,
        colour: Vec::new(),
        face: Vec::new(),
    };
    let mut rest = &operations[..];
    // The tag that is open, and its number.
    let mut open: Option<(&Operation<'_>, i64)> = None;
    while let Some(first) = rest.first() {
        if writer.depth == 0 && is_run(rest) {
            writer.run(rest)?;
            rest = &rest[RUN.len()..];
            continue;
        }
        match first.operator {
            "BDC" => {
                open = number(first).map(|number| (first, number));
                writer.begin(first, open.map(|(_, number)| number));
            }
            "EMC" => {
                let next = rest.get(1).filter(|next| next.operator == "BDC");
                let next = next.and_then(|next| Some((next, number(next)?)));
                if let Some(((before, old), (next, new))) = open.zip(next) {
                    let alike = writer.without_number(before) == writer.without_number(next);
                    if alike && (page.follows)(old, new) {
                        let kept = *writer.pieces.get(&old)?;
                        writer.pieces.insert(new, kept);
                        open = Some((next, new));
                        rest = &rest[2..];
                        continue;
                    }
                }
                open = None;
                writer.other(first)?;
            }
            other => {
                if other == "BMC" {
                    open = None;
                }
                writer.other(first)?;
            }
        }
        rest = &rest[1..];
    }
    (writer.depth == 0).then_some(Content { bytes: writer.out, pieces: writer.pieces })
}

/// Whether the next operations are a run of upright text.
fn is_run(operations: &[Operation<'_>]) -> bool {
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
        && numbers(1, &["1", "0", "0", "-1"])
        && run[1].operands.len() == 6
        && numbers(5, &["0"])
        && numbers(7, &["1", "0", "0", "-1", "0", "0"])
}

/// The number of a tagged piece.
fn number(operation: &Operation<'_>) -> Option<i64> {
    let at = operation.operands.iter().position(|it| *it == Token::Name("/MCID"))?;
    match operation.operands.get(at + 1)? {
        Token::Number(number) => number.parse().ok(),
        _ => None,
    }
}

struct Writer<'p> {
    page: &'p Page<'p>,
    out: Vec<u8>,
    pieces: BTreeMap<i64, i64>,
    /// How many pieces there are so far.
    count: i64,
    /// The font in use, if its text is written anew.
    font: Option<&'p Subset>,
    /// How many states are kept.
    depth: usize,
    /// How text outside of all kept states is coloured, as written.
    colour: Vec<u8>,
    /// The font and size of text there, as written.
    face: Vec<u8>,
}

impl Writer<'_> {
    /// Begins a tagged piece.
    fn begin(&mut self, operation: &Operation<'_>, number: Option<i64>) {
        if let Some(number) = number {
            self.pieces.insert(number, self.count);
            let mut first = true;
            let count = self.count.to_string();
            for token in self.without_number(operation) {
                if token == Token::Bracket(">>") && first {
                    put(&mut self.out, format_args!("/MCID {count}"));
                    first = false;
                }
                self.token(&token, 5);
            }
            self.count += 1;
        } else {
            operation.operands.iter().for_each(|token| self.token(token, 5));
        }
        self.out.extend(b"BDC\n");
    }

    /// What is said of a piece but for its number, and for the language where it is that of the file.
    fn without_number<'t>(&self, operation: &Operation<'t>) -> Vec<Token<'t>> {
        let mut kept: Vec<Token<'t>> = Vec::new();
        let mut operands = operation.operands.iter().peekable();
        while let Some(token) = operands.next() {
            let next = operands.peek();
            let is_language = |next: &&Token<'_>| matches!(next, Token::Text(told) if told == self.page.language.as_bytes());
            let is_told = match token {
                Token::Name("/MCID") => true,
                Token::Name("/Lang") => next.is_some_and(is_language),
                _ => false,
            };
            if is_told {
                operands.next();
            } else {
                kept.push(token.clone());
            }
        }
        kept
    }

    fn use_font(&mut self, operation: &Operation<'_>) {
        if let Some(Token::Name(name)) = operation.operands.first() {
            self.font = self.page.fonts.get(*name).copied();
        }
    }

    /// Writes a run of upright text.
    fn run(&mut self, run: &[Operation<'_>]) -> Option<()> {
        let before = std::mem::take(&mut self.out);
        self.plain(&run[2])?;
        self.plain(&run[3])?;
        let colour = std::mem::replace(&mut self.out, before);
        if colour != self.colour {
            self.out.extend(&colour);
            self.colour = colour;
        }
        self.out.extend(b"BT\n");
        let before = std::mem::take(&mut self.out);
        self.plain(&run[6])?;
        let face = std::mem::replace(&mut self.out, before);
        if face != self.face {
            self.out.extend(&face);
            self.face = face;
        }
        self.use_font(&run[6]);
        run[1].operands[4..].iter().for_each(|token| self.token(token, 2));
        self.out.extend(b" Td\n");
        self.text(&run[8])?;
        self.out.extend(b"ET\n");
        Some(())
    }

    /// Writes an operation, and notes what it changes.
    fn other(&mut self, operation: &Operation<'_>) -> Option<()> {
        match operation.operator {
            "q" => self.depth += 1,
            "Q" => self.depth = self.depth.checked_sub(1)?,
            "Tf" => self.use_font(operation),
            "TJ" | "Tj" => return self.text(operation),
            // Other ways to show text or colour it are not in use.
            "'" | "\"" | "Do" if self.depth == 0 => return None,
            _ => {}
        }
        if self.depth == 0 && !["EMC", "Q"].contains(&operation.operator) {
            self.colour.clear();
            self.face.clear();
        }
        self.plain(operation)
    }

    /// Writes an operation that shows no text.
    fn plain(&mut self, operation: &Operation<'_>) -> Option<()> {
        let places = match operation.operator {
            "cs" | "CS" | "scn" | "SCN" | "sc" | "SC" => 3,
            "cm" | "Tm" => {
                let operands = &operation.operands;
                let scaled = operands.len().checked_sub(2)?;
                operands[..scaled].iter().for_each(|token| self.token(token, 6));
                operands[scaled..].iter().for_each(|token| self.token(token, 2));
                put(&mut self.out, format_args!(" {}\n", operation.operator));
                return Some(());
            }
            _ => 2,
        };
        operation.operands.iter().for_each(|token| self.token(token, places));
        let apart = matches!(operation.operands.last(), Some(Token::Number(_) | Token::Name(_)));
        put(
            &mut self.out,
            format_args!("{}{}\n", if apart { " " } else { "" }, operation.operator),
        );
        Some(())
    }

    /// Writes an operation that shows text.
    fn text(&mut self, operation: &Operation<'_>) -> Option<()> {
        for token in &operation.operands {
            match (token, self.font) {
                (Token::Text(text), Some(font)) => string(&mut self.out, &font.recoded(text)?),
                // A thousandth of the height of a letter is enough.
                (Token::Number(_), _) => self.token(token, 0),
                _ => self.token(token, 2),
            }
        }
        put(&mut self.out, format_args!("{}\n", operation.operator));
        Some(())
    }

    /// Writes a word.
    fn token(&mut self, token: &Token<'_>, places: usize) {
        match token {
            Token::Number(number) => {
                let is_apart = self.out.last().is_some_and(|byte| b"[)>\n".contains(byte));
                if !is_apart {
                    self.out.push(b' ');
                }
                match number.parse() {
                    Ok(number) => decimal(&mut self.out, number, places),
                    Err(_) => self.out.extend(number.as_bytes()),
                }
            }
            Token::Name(name) => self.out.extend(name.as_bytes()),
            Token::Text(text) => string(&mut self.out, text),
            Token::Bracket(bracket) => self.out.extend(bracket.as_bytes()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RUN: &str = "q 1 0 0 -1 56.692913 787.2617 cm/c0 cs 0.41960785 0 0.5 scn\n\
        BT 0 Tr/f0 9.02 Tf 1 0 0 -1 0 0 Tm[(a)9.765625(b)]TJ\nET\nQ\n";

    fn written(content: &str, follows: &dyn Fn(i64, i64) -> bool) -> Option<(String, Vec<i64>)> {
        let page = Page { fonts: BTreeMap::new(), language: "en-GB", follows };
        let content = rewritten(content.as_bytes(), &page)?;
        let bytes = String::from_utf8(content.bytes).unwrap();
        Some((bytes, content.pieces.into_values().collect()))
    }

    #[test]
    fn text_that_stays_as_it_is_set_is_set_once() {
        let (content, _) = written(&(RUN.to_owned() + RUN), &|_, _| false).unwrap();
        assert_eq!(
            content,
            "/c0 cs\n.42 0 .5 scn\nBT\n/f0 9.02 Tf\n56.69 787.26 Td\n[(a)10(b)]TJ\nET\n\
             BT\n56.69 787.26 Td\n[(a)10(b)]TJ\nET\n"
        );
    }

    #[test]
    fn pieces_of_one_tag_become_one_and_are_counted_anew() {
        let content = "/Span<</MCID 0/Lang(en-GB)>>BDC\nEMC/Span<</MCID 1>>BDC\nEMC\
            /Artifact<</Type/Layout>>BDC\nEMC/Span<</MCID 2/Lang(fr)>>BDC\nEMC";
        let (written, pieces) = written(content, &|_, _| true).unwrap();
        assert_eq!(
            written,
            "/Span<</MCID 0>>BDC\nEMC\n/Artifact<</Type/Layout>>BDC\nEMC\n\
             /Span<</Lang(fr)/MCID 1>>BDC\nEMC\n"
        );
        assert_eq!(pieces, [0, 0, 1]);
    }

    #[test]
    fn a_state_that_is_kept_leaves_text_outside_as_it_is() {
        let path = "q 1 0 0 1 0 4.5 cm/c1 CS 0.125 SCN 0.5 w 0 0 m 4.5 -4.5 l\nS\nQ\n";
        let (content, _) = written(&format!("{RUN}{path}{RUN}"), &|_, _| false).unwrap();
        assert_eq!(content.matches("/f0 9.02 Tf").count(), 1, "{content}");
        assert!(
            content
                .contains("q\n1 0 0 1 0 4.5 cm\n/c1 CS\n.125 SCN\n.5 w\n0 0 m\n4.5 -4.5 l\nS\nQ\n")
        );
        let (content, _) = written(&format!("{RUN}/g0 gs\n{RUN}"), &|_, _| false).unwrap();
        assert_eq!(content.matches("/f0 9.02 Tf").count(), 2, "{content}");
        assert_eq!(written("q", &|_, _| false), None);
    }
}
