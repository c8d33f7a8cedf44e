//! An account with the worked solution under it, as a sheet.

use std::sync::Arc;

use crate::bank::Bank;
use crate::marking::{Account, AccountLine, Item};
use crate::problem::{Block, Problem};
use crate::words::out_of;

use crate::export::{ComposeProblem, Contents, Sheet};

/// The sheet of a problem that was answered: the question, what each answer earns and why, then the
/// worked solution.
///
/// # Errors
/// When the solution cannot be shown.
pub fn marked_sheet(
    bank: &Bank,
    problem: &Problem,
    account: &Account,
) -> Result<Sheet, ComposeProblem> {
    let problems = std::slice::from_ref(problem);
    let title = "Marked answers and worked solution";
    let mut sheet = Sheet::of(bank, problems.iter().cloned(), title, Contents::SOLUTIONS)?;
    for entry in &mut sheet.entries {
        let entry = Arc::make_mut(entry);
        entry.stem.push(Block::Table {
            head: ["part", "answer", "verdict", "marks"].map(str::to_owned).to_vec(),
            rows: account.lines.iter().map(row).collect(),
        });
        for line in &account.lines {
            let words: Vec<&str> = line.said().chain(line.rule_said()).collect();
            if !words.is_empty() {
                let words = format!("{}: {}", line.label, words.join(" "));
                entry.stem.push(Block::Paragraph(words));
            }
        }
        entry.stem.push(Block::Paragraph(account.together()));
    }
    Ok(sheet)
}

fn row(line: &AccountLine) -> Vec<String> {
    let marks = match line.item {
        Item::Part(_) => out_of(line.marks(), line.of_marks()),
        Item::Step(_) => String::new(),
    };
    vec![line.label.clone(), line.quoted.clone(), line.standing_words().to_owned(), marks]
}
