//! A verdict at the prompt.

use castmark::bank::Bank;
use castmark::export::account_line_text;
use castmark::marking::{AccountLine, Item, MarkedEntry, Settings, Verdict};
use castmark::problem::Problem;

use crate::cli::check::tone;
use crate::cli::outcome::Failure;
use crate::cli::terminal::Terminal;

/// Prints how an answer to a part stands and why, without the rule.
///
/// # Errors
/// When nothing can be printed.
pub(super) fn print_verdict(
    problem: &Problem,
    bank: &Bank,
    place: usize,
    answer: &str,
    verdict: &Verdict,
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    let (item, answer) = (Item::Part(place), answer.to_owned());
    let entry = MarkedEntry { item, answer, verdict: verdict.clone() };
    let line = AccountLine::of(problem, bank, &entry, &Settings::default());
    let text = account_line_text(&line, terminal.width(), &|standing, word| {
        terminal.toned(tone(standing), word)
    });
    terminal.print(text)?;
    Ok(terminal.end_line()?)
}
