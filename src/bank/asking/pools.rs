//! What the facts tables give to be shown: what is true of a row, and what is true of others and
//! false of it.
//!
//! Nothing is taken for wrong that any source says of the row, not even one from memory.

use crate::bank::facts::same::same;
use crate::bank::facts::{Bearing, Claim, Facts, Row, Table};
use crate::bank::template::theory::Choice;

/// The name of a row: its text in the column `name`, or its id.
pub(super) fn row_name<'a>(table: &'a Table, row: &'a Row) -> &'a str {
    let named = table.column("name").and_then(|column| first_text(row, column));
    named.unwrap_or(&row.id)
}

/// The first text that is said in a cell.
pub(super) fn first_text(row: &Row, column: usize) -> Option<&str> {
    row.cells.get(column)?.iter().filter(|claim| claim.is_true()).find_map(Claim::text)
}

/// Whether any source says this text, or a word for it, of the row.
pub(super) fn is_said(row: &Row, column: usize, text: &str) -> bool {
    row.cells[column].iter().filter(|claim| claim.is_true()).any(|claim| is_word(claim, text))
}

fn is_word(claim: &Claim, text: &str) -> bool {
    claim.text().is_some_and(|said| same(said, text))
        || claim.also.iter().any(|said| same(said, text))
}

/// The claims of a cell that may be asked about.
pub(super) fn askable<'a>(
    facts: &'a Facts,
    table: &'a Table,
    row: &'a Row,
    column: usize,
) -> impl Iterator<Item = &'a Claim> {
    let says = &table.columns[column];
    row.cells[column].iter().filter(|claim| says.says(claim) && facts.may_ask(claim))
}

/// The texts of a row in a column, as options that are right.
pub(super) fn rights(facts: &Facts, table: &Table, row: &Row, column: usize) -> Vec<Choice> {
    let mut rights: Vec<Choice> = Vec::new();
    for claim in askable(facts, table, row, column) {
        let Some(text) = claim.text() else { continue };
        if !rights.iter().any(|known| same(&known.text, text)) {
            let because = says(facts, &table.columns[column].label, row_name(table, row), claim);
            let (text, source) = (text.to_owned(), claim.source.clone());
            rights.push(Choice { text, because, source, ..Choice::default() });
        }
    }
    rights
}

/// The texts that are wrong of a row: what a source denies of it, and, in a closed column, what only
/// other rows have.
pub(super) fn wrongs(facts: &Facts, table: &Table, row: &Row, column: usize) -> Vec<Choice> {
    let mut wrongs: Vec<(Choice, Vec<&str>)> = Vec::new();
    let denials = row.cells[column].iter().filter(|claim| !claim.is_true() && facts.may_ask(claim));
    for claim in denials {
        let Some(text) = claim.text().filter(|text| !is_said(row, column, text)) else { continue };
        wrongs.push((denied(facts, row_name(table, row), text, claim), Vec::new()));
    }
    let others = table.rows.iter().filter(|other| other.id != row.id);
    for other in others.filter(|_| table.columns[column].closed.is_some()) {
        for claim in askable(facts, table, other, column) {
            let Some(text) = claim.text() else { continue };
            if is_said(row, column, text) {
                continue;
            }
            let name = row_name(table, other);
            match wrongs.iter_mut().find(|(known, _)| same(&known.text, text)) {
                Some((known, _)) if !known.because.is_empty() => {}
                Some((_, names)) => names.push(name),
                None => {
                    let source = claim.source.clone();
                    let text = text.to_owned();
                    let choice = Choice { text, source, ..Choice::default() };
                    wrongs.push((choice, vec![name]));
                }
            }
        }
    }
    let finish = |(mut choice, names): (Choice, Vec<&str>)| {
        if choice.because.is_empty() {
            choice.because = format!("This applies to {}.", some_of(&names));
        }
        choice
    };
    wrongs.into_iter().map(finish).collect()
}

/// A text that a source denies of what is named so.
fn denied(facts: &Facts, name: &str, text: &str, claim: &Claim) -> Choice {
    let because = match &claim.bearing {
        Bearing::Denies(Some(instead)) => sentence(instead),
        _ if claim.invented => format!("That is not so of {name}."),
        _ => format!("That is not so of {name} ({}).", facts.short(claim)),
    };
    Choice { text: text.to_owned(), because, source: claim.source.clone(), ..Choice::default() }
}

/// The words as a sentence: with a capital and a stop.
pub(super) fn sentence(words: &str) -> String {
    let mut letters = words.trim().trim_end_matches('.').chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// The names of the rows that have nothing like the text in a column, as options that are wrong.
pub(super) fn rows_without(
    facts: &Facts,
    table: &Table,
    row: &Row,
    naming: usize,
    column: usize,
    text: &str,
) -> Vec<Choice> {
    let mut wrongs: Vec<Choice> = Vec::new();
    let closed = table.columns[column].closed.is_some();
    for other in table.rows.iter().filter(|other| other.id != row.id) {
        let denial = other.cells[column]
            .iter()
            .find(|claim| !claim.is_true() && facts.may_ask(claim) && is_word(claim, text));
        let said = askable(facts, table, other, column).next();
        let Some(claim) = denial.or(said.filter(|_| closed)) else { continue };
        let Some(name) = first_text(other, naming) else { continue };
        // A name that the row itself has, or a row of which the text is true, would be right.
        let names_a_right_row = table.rows.iter().any(|known| {
            is_said(known, naming, name) && (known.id == row.id || is_said(known, column, text))
        });
        if names_a_right_row || wrongs.iter().any(|known| same(&known.text, name)) {
            continue;
        }
        let because = match denial {
            Some(claim) => denied(facts, row_name(table, other), text, claim).because,
            None => says(facts, &table.columns[column].label, row_name(table, other), claim),
        };
        let (text, source) = (name.to_owned(), claim.source.clone());
        wrongs.push(Choice { text, because, source, ..Choice::default() });
    }
    wrongs
}

/// The true and the false statements about a subject.
pub(super) fn statements(
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
        let Some(claim) = askable(facts, table, row, columns.says).next() else { continue };
        let Some(text) = claim.text() else { continue };
        let choice = Choice {
            text: text.to_owned(),
            because: columns.because(facts, row, claim),
            source: claim.source.clone(),
            point: columns.point(row).to_owned(),
        };
        if columns.is_true(row) == Some(true) { trues.push(choice) } else { falses.push(choice) }
    }
    (trues, falses)
}

/// Where the columns of a table of statements stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct StatementColumns {
    pub(super) subject: usize,
    pub(super) says: usize,
    pub(super) verdict: usize,
    because: Option<usize>,
    wrong_reasons: Option<usize>,
    point: Option<usize>,
}

impl StatementColumns {
    /// The names of the columns that every table of statements has.
    pub(super) const NAMES: [&'static str; 3] = ["subject", "says", "verdict"];

    /// Whether the statement of a row is true; nothing when its verdict is another word.
    pub(super) fn is_true(self, row: &Row) -> Option<bool> {
        match first_text(row, self.verdict) {
            Some("true") => Some(true),
            Some("false") => Some(false),
            _ => None,
        }
    }

    /// The columns of a table, or the first that it lacks.
    pub(super) fn of(table: &Table) -> Result<Self, &'static str> {
        let index = |name: &'static str| table.column(name).ok_or(name);
        let [subject, says, verdict] = Self::NAMES;
        Ok(Self {
            subject: index(subject)?,
            says: index(says)?,
            verdict: index(verdict)?,
            because: table.column("because"),
            wrong_reasons: table.column("wrong_reasons"),
            point: table.column("point"),
        })
    }

    /// The reason of a statement that may be asked for.
    pub(super) fn reason<'a>(self, facts: &Facts, row: &'a Row) -> Option<&'a Claim> {
        let reasons = row.cells.get(self.because?)?;
        reasons.iter().find(|claim| claim.is_true() && facts.may_ask(claim))
    }

    /// Wrong reasons on the same point.
    pub(super) fn wrong_reasons(self, row: &Row) -> Vec<&str> {
        let cell = self.wrong_reasons.and_then(|column| row.cells.get(column));
        cell.into_iter().flatten().filter_map(Claim::text).collect()
    }

    /// What statements of one point share: they say or deny the same, so only one of them is shown.
    pub(super) fn point(self, row: &Row) -> &str {
        self.point.and_then(|column| first_text(row, column)).unwrap_or_default()
    }

    /// Why a statement is true or false by its source alone, in a sentence that names the source.
    pub(super) fn verdict_because(facts: &Facts, claim: &Claim) -> String {
        let short = facts.short(claim);
        match &claim.bearing {
            Bearing::Denies(Some(instead)) => {
                format!("{} ({short}).", sentence(instead).trim_end_matches('.'))
            }
            Bearing::Denies(None) => format!("False ({short})."),
            Bearing::Says => format!("True ({short})."),
        }
    }

    /// Why a statement is true or false, in a sentence.
    fn because(self, facts: &Facts, row: &Row, claim: &Claim) -> String {
        match (self.reason(facts, row).and_then(Claim::text), &claim.bearing) {
            (Some(reason), _) => sentence(reason),
            (None, Bearing::Denies(Some(instead))) => sentence(instead),
            (None, _) => Self::verdict_because(facts, claim),
        }
    }
}

/// What a source says of a row: `Lubricant of hard fat: none (notes).`
pub(super) fn says(facts: &Facts, label: &str, name: &str, claim: &Claim) -> String {
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
