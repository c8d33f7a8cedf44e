//! The content of a page in fewer words: text that is set one way stays set so, positions are told to a
//! hundredth of a point, pieces of one tag that follow each other become one, and one text object holds
//! all text up to the next drawing.

use std::collections::BTreeMap;

use super::object::{decimal, put, string};
use super::pen::{Parts, Pen, millionths, rounded};
use super::pieces::{Held, RUN, holds, is_run, number, scale};
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
        tags: 0,
        pen: Pen::default(),
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
            "BDC" | "BMC" => {
                open = number(first).map(|number| (first, number));
                writer.begin(first, open.map(|(_, number)| number), holds(&rest[1..]));
            }
            "EMC" => {
                let next = rest.get(1).filter(|next| next.operator == "BDC");
                let next = next.and_then(|next| Some((next, number(next)?)));
                if let Some(((before, old), (next, new))) = open.zip(next) {
                    let alike = writer.without_number(before) == writer.without_number(next);
                    // A text object that holds a piece may not end within it.
                    let fits = writer.pen.within().is_none_or(|tags| tags == writer.tags)
                        || holds(&rest[2..]) != Held::More;
                    if alike && fits && (page.follows)(old, new) {
                        let kept = *writer.pieces.get(&old)?;
                        writer.pieces.insert(new, kept);
                        open = Some((next, new));
                        rest = &rest[2..];
                        continue;
                    }
                }
                open = None;
                writer.end()?;
            }
            _ => writer.other(first)?,
        }
        rest = &rest[1..];
    }
    writer.pen.close(&mut writer.out);
    (writer.depth == 0 && writer.tags == 0)
        .then_some(Content { bytes: writer.out, pieces: writer.pieces })
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
    /// How many tags are open.
    tags: usize,
    /// Where text outside of all kept states is written.
    pen: Pen,
    /// How text outside of all kept states is coloured, as written.
    colour: Vec<u8>,
    /// The font and size of text there, as written.
    face: Vec<u8>,
}

impl Writer<'_> {
    /// Begins a tagged piece.
    fn begin(&mut self, operation: &Operation<'_>, number: Option<i64>, held: Held) {
        match held {
            Held::More => self.pen.close(&mut self.out),
            Held::Text if self.depth == 0 => self.pen.open(&mut self.out, self.tags),
            _ => {}
        }
        self.pen.show(&mut self.out);
        self.tags += 1;
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
        put(&mut self.out, format_args!("{}\n", operation.operator));
    }

    /// Ends a tagged piece.
    fn end(&mut self) -> Option<()> {
        self.pen.show(&mut self.out);
        if self.pen.within() == Some(self.tags) {
            self.pen.close(&mut self.out);
        }
        self.tags = self.tags.checked_sub(1)?;
        self.out.extend(b"EMC\n");
        Some(())
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
        self.pen.open(&mut self.out, self.tags);
        let before = std::mem::take(&mut self.out);
        self.plain(&run[2])?;
        self.plain(&run[3])?;
        let colour = std::mem::replace(&mut self.out, before);
        let told = |at: usize, index: usize| match run[at].operands.get(index)? {
            Token::Number(number) => millionths(number),
            _ => None,
        };
        let scale = millionths(scale(&run[1])?)?;
        let height = rounded(told(6, 1)?.checked_mul(scale)?, 1_000_000);
        let [Token::Name(name), _] = &run[6].operands[..] else { return None };
        let mut face = Vec::new();
        put(&mut face, format_args!("{name} {} Tf\n", Parts(rounded(height, 1000), 1000)));
        if (&colour, &face) != (&self.colour, &self.face) {
            self.pen.show(&mut self.out);
        }
        if colour != self.colour {
            self.out.extend(&colour);
            self.colour = colour;
        }
        if face != self.face {
            self.out.extend(&face);
            self.face = face;
        }
        self.use_font(&run[6]);
        if height <= 0 {
            return None;
        }
        self.pen.go(&mut self.out, [told(1, 4)?, told(1, 5)?], height);
        for token in &run[8].operands {
            match token {
                Token::Text(text) => self.pen.text(text, self.font, height)?,
                // A thousandth of the height of a letter is enough.
                Token::Number(back) => self.pen.back(rounded(millionths(back)?, 1_000_000), height),
                _ => {}
            }
        }
        Some(())
    }

    /// Writes an operation, and notes what it changes.
    fn other(&mut self, operation: &Operation<'_>) -> Option<()> {
        self.pen.close(&mut self.out);
        match operation.operator {
            "q" => self.depth += 1,
            "Q" => self.depth = self.depth.checked_sub(1)?,
            "Tf" => self.use_font(operation),
            "TJ" | "Tj" => return self.text(operation),
            // Other ways to show text or colour it are not in use.
            "'" | "\"" | "Do" if self.depth == 0 => return None,
            _ => {}
        }
        if self.depth == 0 && operation.operator != "Q" {
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
                (Token::Text(text), Some(font)) => string(&mut self.out, &font.recoded(text)?.0),
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
            "BT\n/c0 cs\n.42 0 .5 scn\n/f0 9.02 Tf\n56.69 787.26 Td\n[(a)10(b)]TJ\n\
             0 0 Td\n[(a)10(b)]TJ\nET\n"
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
    fn a_text_object_holds_the_pieces_that_are_text_alone_and_ends_in_none() {
        let piece = |number, held: &str| format!("/P<</MCID {number}>>BDC\n{held}EMC\n");
        let told = |content: &str, follows: bool| {
            let (written, _) = written(content, &|_, _| follows).unwrap();
            let is_told =
                |line: &&str| ["BT", "ET", "EMC", "S"].contains(line) || line.ends_with("BDC");
            let lines = written.lines().filter(is_told);
            lines
                .map(|line| line.rsplit(">>").next().unwrap_or_default())
                .collect::<Vec<_>>()
                .join(" ")
        };
        let path = "0 0 m\nS\n";
        let texts = piece(0, RUN) + &piece(1, RUN) + RUN + path;
        assert_eq!(told(&texts, false), "BT BDC EMC BDC EMC ET S");
        let mixed = piece(0, RUN) + &piece(1, &(RUN.to_owned() + path + RUN)) + &piece(2, RUN);
        assert_eq!(told(&mixed, false), "BT BDC EMC ET BDC BT ET S BT ET EMC BT BDC EMC ET");
        assert_eq!(told(&mixed, true), "BT BDC EMC ET BDC BT ET S BT ET EMC");
        let nested = piece(0, &(piece(1, RUN) + path));
        assert_eq!(told(&nested, false), "BDC BT BDC EMC ET S EMC");
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
        let small = RUN.replace("q 1 0 0 -1", "q 0.5 0 0 -0.5");
        let (content, _) = written(&format!("{small}{RUN}"), &|_, _| false).unwrap();
        assert!(
            content.contains("/f0 4.51 Tf\n56.69 787.26 Td\n[(a)10(b)]TJ\n/f0 9.02"),
            "{content}"
        );
        let (content, _) = written(&format!("{RUN}/g0 gs\n{RUN}"), &|_, _| false).unwrap();
        assert_eq!(content.matches("/f0 9.02 Tf").count(), 2, "{content}");
        assert_eq!(written("q", &|_, _| false), None);
    }
}
