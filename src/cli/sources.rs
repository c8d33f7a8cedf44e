//! `castmark sources`: where every value and fact comes from, and where sources differ.

use castmark::bank::{
    Bank, Claim, Column, ColumnKind, Facts, Reliance, Row, Source, Table as FactsTable,
};
use castmark::export::CAUTION;
use clap::Args;

use super::banks::WhichBank;
use super::outcome::{Failure, Outcome};
use super::table::{Side, Table};
use super::terminal::{Terminal, Tone};

/// How far what belongs to a row is moved in.
const INDENT: usize = 2;

/// Show where values and facts come from, and where sources differ.
///
/// Without words, all sources are listed. With words, every fact that has to do with all of them is
/// shown: a table, a row or its name, a column, or the id of a source.
///
/// Read means that the published text was read; second-hand, that it was quoted by something read;
/// common practice, that it is a habit of the bench without a published source; chosen for the exercise,
/// that a dose or strength was set for teaching. What is from memory is shown here and never asked.
/// A statement that is marked "false" is denied by the source named beside it.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark sources\n  \
    castmark sources zinc oxide\n  \
    castmark sources melting --disputed\n  \
    castmark sources course-guide-2019")]
pub(super) struct Arguments {
    /// What to look for; several words must all fit
    #[arg(value_name = "WORD")]
    words: Vec<String>,
    /// Only facts on which sources differ
    #[arg(long)]
    disputed: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Prints the sources, or the facts that fit.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    let words: Vec<String> = arguments
        .words
        .iter()
        .flat_map(|word| word.split_whitespace())
        .map(str::to_lowercase)
        .collect();
    if words.is_empty() && !arguments.disputed {
        list(&bank, terminal)?;
        terminal.end_line()?;
        terminal.paragraph(0, CAUTION)?;
        return Ok(Outcome::Done);
    }
    let facts = bank.facts();
    let mut found = 0;
    for table in facts.tables() {
        for row in &table.rows {
            found += show_row(facts, table, row, &words, arguments.disputed, terminal)?;
        }
    }
    if found > 0 {
        terminal.paragraph(0, CAUTION)?;
        return Ok(Outcome::Done);
    }
    let words = arguments.words.join(" ");
    let words = if words.is_empty() { "anything".to_owned() } else { format!("`{words}`") };
    let what = if arguments.disputed { "disputed fact" } else { "fact" };
    terminal.paragraph(
        0,
        &format!(
            "No {what} has to do with {words}. Look for a drug, a base, a table or a column, as in \
             castmark sources zinc oxide."
        ),
    )?;
    Ok(Outcome::Found)
}

/// All sources with how far they can be relied on, how many facts they state and how many false
/// statements they deny.
fn list(bank: &Bank, terminal: &mut Terminal) -> Result<(), Failure> {
    let mut table = Table::new(&[
        ("source", Side::Left),
        ("standing", Side::Left),
        ("facts", Side::Right),
        ("denies", Side::Right),
        ("reference", Side::Left),
    ]);
    let rows = || bank.facts().tables().flat_map(|table| &table.rows);
    for source in bank.facts().sources() {
        let claims = rows().flat_map(|row| row.cells.iter().flatten());
        let (says, denies): (Vec<&Claim>, Vec<&Claim>) =
            claims.filter(|claim| claim.source == source.id).partition(|claim| claim.is_true());
        table.row([
            source.id.clone(),
            source.standing.words().to_owned(),
            says.len().to_string(),
            denies.len().to_string(),
            source.full.clone(),
        ]);
    }
    Ok(terminal.print(table.set(terminal.width()))?)
}

/// Prints what of a row fits; tells how many facts that are.
fn show_row(
    facts: &Facts,
    table: &FactsTable,
    row: &Row,
    words: &[String],
    disputed: bool,
    terminal: &mut Terminal,
) -> Result<usize, Failure> {
    let named = table.column("name").and_then(|column| row.cells[column].first());
    let name = named.and_then(Claim::text);
    let also = named.map(|claim| claim.also.join(" ")).unwrap_or_default();
    let about = [&table.name, &row.id, name.unwrap_or_default(), &also].join(" ").to_lowercase();
    let mut found = 0;
    for (column, claims) in table.columns.iter().zip(&row.cells) {
        let sourced = claims.iter().any(|claim| claim.invented || !claim.source.is_empty());
        let fits = |word: &String| {
            about.contains(word.as_str())
                || about.contains(&word.replace('-', " "))
                || column.name.contains(word.as_str())
                || column.label.to_lowercase().contains(word.as_str())
                || claims.iter().any(|claim| is_by(facts, claim, word))
                || claims
                    .iter()
                    .any(|claim| claim.also.iter().any(|also| also.contains(word.as_str())))
        };
        if !sourced || !words.iter().all(fits) || disputed && !column.is_disputed(claims) {
            continue;
        }
        if found == 0 {
            let heading = format!("{} ({})", name.unwrap_or(&row.id), table.name);
            let heading = terminal.toned(Tone::Heading, &heading);
            terminal.print(format_args!("{heading}\n"))?;
        }
        found += 1;
        show_cell(facts, table, (row, column), claims, terminal)?;
    }
    if found > 0 {
        terminal.end_line()?;
    }
    Ok(found)
}

/// Whether the word is the id of a claim's source, or of its short name.
fn is_by(facts: &Facts, claim: &Claim, word: &str) -> bool {
    claim.source == word
        || facts.short(claim).to_lowercase().split([' ', ',']).any(|part| part == word)
}

fn show_cell(
    facts: &Facts,
    table: &FactsTable,
    (row, column): (&Row, &Column),
    claims: &[Claim],
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    let disputed = if column.is_disputed(claims) { ", sources differ" } else { "" };
    let invented =
        if column.kind == ColumnKind::Invented { ", invented by the authors" } else { "" };
    terminal.paragraph(INDENT, &format!("{}{invented}{disputed}:", column.label))?;
    for claim in claims {
        let told = column.told(claim);
        let note = claim.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
        let by = if column.kind == ColumnKind::Invented {
            "false".to_owned()
        } else {
            by(facts, table, row, claim)
        };
        terminal.paragraph(2 * INDENT, &format!("- {told}{note}: {by}"))?;
    }
    Ok(())
}

/// Who says a claim, or denies it, and what is said instead.
fn by(facts: &Facts, table: &FactsTable, row: &Row, claim: &Claim) -> String {
    let Some(source) = facts.source(&claim.source) else { return "without a source".to_owned() };
    let Source { id, full, standing, .. } = source;
    let words = standing.words();
    let never = if *standing == Reliance::Memory { "; never asked" } else { "" };
    if claim.is_true() {
        return format!("{id} [{words}{never}] {full}");
    }
    let invented = if claim.invented { ", invented by the authors" } else { "" };
    match (table.instead(row, claim), standing) {
        (_, Reliance::Reviewed) => format!("false{invented}; no source that was read says it"),
        (Some(instead), _) => {
            format!("false{invented}; {id} says: {} [{words}{never}] {full}", stopped(instead))
        }
        (None, _) => format!("false{invented}; denied by {id} [{words}{never}] {full}"),
    }
}

/// A sentence with its stop.
fn stopped(words: &str) -> String {
    format!("{}.", words.trim().trim_end_matches('.'))
}
