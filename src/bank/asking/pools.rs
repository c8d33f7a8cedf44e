//! What the facts tables give to be shown: what is true of a row, and what is true of others and
//! false of it.
//!
//! Nothing is taken for wrong that any source says of the row, not even one from memory.

use crate::bank::facts::{Claim, Facts, Row, Table};
use crate::bank::template::theory::Choice;

/// Whether two texts say the same to a reader.
pub(in crate::bank) fn same(one: &str, other: &str) -> bool {
    // Compared letter by letter, since most texts differ in their first.
    let begin =
        |text: &str| text.trim_start().chars().next().map(|first| first.to_ascii_lowercase());
    if one.is_ascii() && other.is_ascii() && begin(one) != begin(other) {
        return false;
    }
    one == other || letters(one).eq(letters(other))
}

/// The letters of a text in small, with one blank between words and without a stop at the end.
fn letters(text: &str) -> impl Iterator<Item = char> {
    let words = text.trim().trim_end_matches('.').split_whitespace();
    words.flat_map(|word| word.chars().chain([' '])).flat_map(char::to_lowercase)
}

/// The name of a row: its text in the column `name`, or its id.
pub(in crate::bank) fn row_name<'a>(table: &'a Table, row: &'a Row) -> &'a str {
    let named = table.column("name").and_then(|column| first_text(row, column));
    named.unwrap_or(&row.id)
}

/// The first text of a cell.
pub(in crate::bank) fn first_text(row: &Row, column: usize) -> Option<&str> {
    row.cells.get(column)?.iter().find_map(Claim::text)
}

/// Whether any source says this text, or a word for it, of the row.
pub(in crate::bank) fn is_said(row: &Row, column: usize, text: &str) -> bool {
    row.cells[column].iter().any(|claim| {
        claim.text().is_some_and(|said| same(said, text))
            || claim.also.iter().any(|said| same(said, text))
    })
}

/// The claims of a cell that may be asked about.
pub(in crate::bank) fn askable<'a>(
    facts: &'a Facts,
    row: &'a Row,
    column: usize,
) -> impl Iterator<Item = &'a Claim> {
    row.cells[column].iter().filter(|claim| facts.may_ask(claim))
}

/// The texts of a row in a column, as options that are right.
pub(in crate::bank) fn rights(
    facts: &Facts,
    table: &Table,
    row: &Row,
    column: usize,
) -> Vec<Choice> {
    let mut rights: Vec<Choice> = Vec::new();
    for claim in askable(facts, row, column) {
        let Some(text) = claim.text() else { continue };
        if !rights.iter().any(|known| same(&known.text, text)) {
            let because = says(facts, &table.columns[column].label, row_name(table, row), claim);
            rights.push(Choice { text: text.to_owned(), because, source: claim.source.clone() });
        }
    }
    rights
}

/// The texts that other rows have in a column and this row has not, as options that are wrong.
pub(in crate::bank) fn wrongs(
    facts: &Facts,
    table: &Table,
    row: &Row,
    column: usize,
) -> Vec<Choice> {
    let mut wrongs: Vec<(Choice, Vec<&str>)> = Vec::new();
    for other in table.rows.iter().filter(|other| other.id != row.id) {
        for claim in askable(facts, other, column) {
            let Some(text) = claim.text() else { continue };
            if is_said(row, column, text) {
                continue;
            }
            let name = row_name(table, other);
            match wrongs.iter_mut().find(|(known, _)| same(&known.text, text)) {
                Some((_, names)) => names.push(name),
                None => {
                    let source = claim.source.clone();
                    let choice = Choice { text: text.to_owned(), because: String::new(), source };
                    wrongs.push((choice, vec![name]));
                }
            }
        }
    }
    let finish = |(mut choice, names): (Choice, Vec<&str>)| {
        choice.because = format!("That belongs to {}.", some_of(&names));
        choice
    };
    wrongs.into_iter().map(finish).collect()
}

/// The names of the rows that have nothing like the text in a column, as options that are wrong.
pub(in crate::bank) fn rows_without(
    facts: &Facts,
    table: &Table,
    row: &Row,
    naming: usize,
    column: usize,
    text: &str,
) -> Vec<Choice> {
    let mut wrongs: Vec<Choice> = Vec::new();
    for other in table.rows.iter().filter(|other| other.id != row.id) {
        let Some(claim) = askable(facts, other, column).next() else { continue };
        let Some(name) = first_text(other, naming) else { continue };
        // A name that the row itself has, or a row of which the text is true, would be right.
        let names_a_right_row = table.rows.iter().any(|known| {
            is_said(known, naming, name) && (known.id == row.id || is_said(known, column, text))
        });
        if names_a_right_row || wrongs.iter().any(|known| same(&known.text, name)) {
            continue;
        }
        let because = says(facts, &table.columns[column].label, row_name(table, other), claim);
        wrongs.push(Choice { text: name.to_owned(), because, source: claim.source.clone() });
    }
    wrongs
}

/// The true and the false statements about a subject.
pub(in crate::bank) fn statements(
    facts: &Facts,
    table: &Table,
    columns: StatementColumns,
    subject: &str,
) -> (Vec<Choice>, Vec<Choice>) {
    let (mut trues, mut falses) = (Vec::new(), Vec::new());
    for row in &table.rows {
        if !first_text(row, columns.subject).is_some_and(|text| same(text, subject)) {
            continue;
        }
        let Some(claim) = askable(facts, row, columns.says).next() else { continue };
        let Some(text) = claim.text() else { continue };
        let because = first_text(row, columns.because).unwrap_or_default().to_owned();
        let choice = Choice { text: text.to_owned(), because, source: claim.source.clone() };
        if columns.is_true(row) == Some(true) { trues.push(choice) } else { falses.push(choice) }
    }
    (trues, falses)
}

/// Where the columns of a table of statements stand.
#[derive(Clone, Copy, Debug)]
pub(in crate::bank) struct StatementColumns {
    pub(in crate::bank) subject: usize,
    pub(in crate::bank) says: usize,
    pub(in crate::bank) verdict: usize,
    pub(in crate::bank) because: usize,
}

impl StatementColumns {
    /// The names of the columns.
    pub(in crate::bank) const NAMES: [&'static str; 4] = ["subject", "says", "verdict", "because"];

    /// Whether the statement of a row is true; nothing when its verdict is another word.
    pub(in crate::bank) fn is_true(self, row: &Row) -> Option<bool> {
        match first_text(row, self.verdict) {
            Some("true") => Some(true),
            Some("false") => Some(false),
            _ => None,
        }
    }

    /// The columns of a table, or the first that it lacks.
    pub(in crate::bank) fn of(table: &Table) -> Result<Self, &'static str> {
        let place = |name: &'static str| table.column(name).ok_or(name);
        let [subject, says, verdict, because] = Self::NAMES;
        Ok(Self {
            subject: place(subject)?,
            says: place(says)?,
            verdict: place(verdict)?,
            because: place(because)?,
        })
    }
}

/// What a source says of a row: `Lubricant of hard fat: none (notes).`
pub(in crate::bank) fn says(facts: &Facts, label: &str, name: &str, claim: &Claim) -> String {
    let text = claim.text().unwrap_or_default();
    let mut letters = label.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    let begin = format!("{first}{} of {name}: {text}", letters.as_str());
    match facts.short(claim) {
        "" => format!("{begin}."),
        source => format!("{begin} ({source})."),
    }
}

/// Words of a sentence, no more than three of them: `a, b and c`, `a, b and 4 others`.
fn some_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [one, other] => format!("{one} and {other}"),
        [one, other, last] => format!("{one}, {other} and {last}"),
        [one, other, rest @ ..] => format!("{one}, {other} and {} others", rest.len()),
    }
}
