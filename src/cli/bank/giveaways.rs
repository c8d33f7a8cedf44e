//! The table of theory: how many facts a template asks, how soon they are known, and what a reader
//! earns who knows nothing.

use castmark::bank::Template;

use crate::cli::outcome::Failure;
use crate::cli::table::{Side, Table};
use crate::cli::terminal::Terminal;

use super::proof::Proof;

/// From this share on, in per cent, a template is exhausted after three tries.
const EXHAUSTED: u64 = 75;

/// How many templates may be exhausted after three tries.
const MOST_EXHAUSTED: usize = 5;

/// Prints the table for the templates that ask theory.
pub(super) fn print(
    proofs: &[(&Template, &Proof)],
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    let mut table = Table::new(&[
        ("template", Side::Left),
        ("keys", Side::Right),
        ("known", Side::Right),
        ("chance", Side::Right),
        ("guessed", Side::Right),
        ("by", Side::Left),
    ]);
    for (template, proof) in proofs.iter().filter(|(template, _)| template.keys() > 0) {
        let [chance, guessed, by] = proof.worst_guess().map_or_else(Default::default, |guess| {
            let words = match guess.words.as_slice() {
                [] => String::new(),
                words => format!(": {}", words.join(", ")),
            };
            [
                format!("{} %", guess.chance),
                format!("{} %", guess.score),
                format!("{} of `{}`, {}{words}", guess.what, guess.part, guess.clue.words()),
            ]
        });
        table.row([
            template.id.clone(),
            template.keys().to_string(),
            proof.known.map(|known| format!("{known} %")).unwrap_or_default(),
            chance,
            guessed,
            by,
        ]);
    }
    if table.is_empty() {
        return Ok(());
    }
    terminal.print(table.set(terminal.width()))?;
    terminal.end_line()?;
    Ok(terminal.paragraph(
        0,
        "Keys are the different facts that a template asks. Known is the share of a fourth draw that was \
         seen in three earlier ones. Guessed is what a reader earns who knows nothing and goes by the clue \
         named last, at the part that gives the most away.",
    )?)
}

/// The templates that are exhausted after three tries, when there are too many of them.
pub(super) fn exhausted(proofs: &[(&Template, &Proof)]) -> Option<String> {
    let is_exhausted = |proof: &Proof| proof.known.is_some_and(|known| known >= EXHAUSTED);
    let ids: Vec<&str> = proofs
        .iter()
        .filter(|(_, proof)| is_exhausted(proof))
        .map(|(template, _)| template.id.as_str())
        .collect();
    (ids.len() > MOST_EXHAUSTED).then(|| {
        format!(
            "{} templates are known by {EXHAUSTED} % after three tries, {MOST_EXHAUSTED} may be: {}; give \
             their tables more rows",
            ids.len(),
            ids.join(", ")
        )
    })
}
