//! A block of the stem of a problem.

/// A block of text that a candidate reads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// Running text.
    Paragraph(String),
    /// A list of points.
    List(Vec<String>),
    /// A small table.
    Table {
        /// The heads of the columns.
        head: Vec<String>,
        /// The cells, row by row.
        rows: Vec<Vec<String>>,
    },
}

/// Stands before and after the slot of a list where its table is to be; no text of a bank can hold it.
pub(super) const TABLE: char = crate::bank::RESERVED;

impl Block {
    /// The texts of the block, in reading order.
    pub fn texts(&self) -> Vec<&str> {
        match self {
            Self::Paragraph(text) => vec![text],
            Self::List(points) => points.iter().map(String::as_str).collect(),
            Self::Table { head, rows } => {
                head.iter().chain(rows.iter().flatten()).map(String::as_str).collect()
            }
        }
    }

    /// Reads a stem with its values put in: paragraphs are apart by blank lines, lines that begin
    /// with a hyphen and a blank are points of a list, a table that was asked for inside a paragraph
    /// gets a place of its own.
    pub(super) fn read(text: &str, table: impl Fn(usize) -> Self) -> Vec<Self> {
        let mut reader = Reader { blocks: Vec::new(), open: None };
        for line in text.lines().map(str::trim) {
            if line.is_empty() {
                reader.close();
            }
            for (index, piece) in line.split(TABLE).enumerate() {
                match piece.parse() {
                    Ok(slot) if index % 2 == 1 => {
                        reader.close();
                        reader.blocks.push(table(slot));
                    }
                    _ => reader.add(piece.trim()),
                }
            }
        }
        reader.close();
        reader.blocks
    }
}

/// The blocks read, and the one that lines are being added to.
struct Reader {
    blocks: Vec<Block>,
    open: Option<Block>,
}

impl Reader {
    fn add(&mut self, line: &str) {
        if line.is_empty() {
            return;
        }
        match (&mut self.open, line.strip_prefix("- ")) {
            (Some(Block::List(points)), Some(point)) => points.push(words(point)),
            (Some(Block::List(points)), None) => {
                if let Some(point) = points.last_mut() {
                    point.push(' ');
                    point.push_str(&words(line));
                }
            }
            (Some(Block::Paragraph(text)), None) => {
                text.push(' ');
                text.push_str(&words(line));
            }
            (_, Some(point)) => {
                self.close();
                self.open = Some(Block::List(vec![words(point)]));
            }
            (_, None) => self.open = Some(Block::Paragraph(words(line))),
        }
    }

    fn close(&mut self) {
        self.blocks.extend(self.open.take());
    }
}

/// The words of a line with one blank between them.
pub(super) fn words(line: &str) -> String {
    // Most lines are plain letters with one blank between words already.
    let letters = line.bytes();
    // All letters are looked at, several at once, which is quicker than to end at the first.
    let is_plain = letters.clone().fold(true, |all, letter| all & matches!(letter, b' '..=b'~'));
    let pairs = letters.clone().zip(letters.skip(1));
    let has_gaps = pairs.filter(|pair| *pair == (b' ', b' ')).count() > 0;
    let is_spaced = is_plain && !has_gaps && !line.starts_with(' ') && !line.ends_with(' ');
    if is_spaced {
        return line.to_owned();
    }
    let mut text = String::with_capacity(line.len());
    for word in line.split_whitespace() {
        if !text.is_empty() {
            text.push(' ');
        }
        text.push_str(word);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paragraph(text: &str) -> Block {
        Block::Paragraph(text.to_owned())
    }

    fn list(points: &[&str]) -> Block {
        Block::List(points.iter().map(|point| (*point).to_owned()).collect())
    }

    fn table(slot: usize) -> Block {
        Block::Table { head: vec![slot.to_string()], rows: Vec::new() }
    }

    #[track_caller]
    fn check(text: &str, blocks: &[Block]) {
        assert_eq!(Block::read(text, table), blocks, "{text:?}");
    }

    #[test]
    fn lines_run_on_until_a_blank_line() {
        check(
            "One  line\nand the\u{a0}next.\n\n\nAnother.\n",
            &[paragraph("One line and the next."), paragraph("Another.")],
        );
        check(" \n\n", &[]);
    }

    #[test]
    fn points_run_on_too() {
        check(
            "Weigh\n- the drug\n- the base,\n  if any\n\n- again",
            &[paragraph("Weigh"), list(&["the drug", "the base, if any"]), list(&["again"])],
        );
        check("-5 °C is cold", &[paragraph("-5 °C is cold")]);
    }

    #[test]
    fn a_table_has_a_place_of_its_own() {
        check(
            "They weigh\n\u{e000}7\u{e000}\nin all.",
            &[paragraph("They weigh"), table(7), paragraph("in all.")],
        );
        check(
            "They weigh \u{e000}7\u{e000} in all.",
            &[paragraph("They weigh"), table(7), paragraph("in all.")],
        );
    }

    #[test]
    fn a_bare_number_on_a_line_of_its_own_is_no_table() {
        check(
            "You cast\n\n12\n\nunits.",
            &[paragraph("You cast"), paragraph("12"), paragraph("units.")],
        );
    }
}
