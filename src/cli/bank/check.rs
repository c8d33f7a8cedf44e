//! `castmark bank check`: proves the templates.

use std::time::{Duration, Instant};

use castmark::bank::{Bank, Source, Template};
use castmark::draw::Count;
use castmark::words::counted;
use clap::Args;

use crate::cli::banks::{self, WhichBank};
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::parsers;
use crate::cli::table::{Side, Table};
use crate::cli::terminal::{Terminal, Tone};

use super::proof::{Extent, Proof, prove};
use super::{giveaways, ranges};

/// How often the line of progress is written anew.
const PROGRESS_EVERY: Duration = Duration::from_millis(200);

/// Prove the templates by drawing, solving and marking many problems.
///
/// Of every template it is shown that it can be read, that its sums add like to like, that draws have
/// sensible answers and differ from one another, that every wording and sentence can be filled in,
/// that the answers of the key are marked right, that no accepted range is wide without a reason, and
/// that every slip is recognised and stays apart from what is accepted, however it is rounded.
///
/// A question that a reader who knows nothing can guess is a fault, too, and so is a bank in which three
/// tries exhaust too many templates.
///
/// Exit status: 0 if there is no fault, 1 if there is one.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark bank check\n  \
    castmark bank check base-one-drug --whole\n  \
    castmark bank check --bank my-templates --draws 1000")]
pub(super) struct Arguments {
    /// The templates to check; without any, all of them
    #[arg(value_name = "TEMPLATE")]
    templates: Vec<String>,
    /// How many draws of each template are looked into
    #[arg(long, value_name = "N", default_value_t = 200)]
    #[arg(value_parser = parsers::number_up_to(1_000_000))]
    draws: u64,
    /// Look into every draw there is, however long it takes
    #[arg(long, conflicts_with = "draws")]
    whole: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Checks and prints the table.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load_whole(terminal)?;
    let templates = if arguments.templates.is_empty() {
        bank.templates().iter().collect()
    } else {
        let named = arguments.templates.iter().map(|id| banks::template(&bank, id));
        named.collect::<Result<Vec<_>, _>>()?
    };
    let extent = if arguments.whole { Extent::Whole } else { Extent::Draws(arguments.draws) };
    let mut proofs = Vec::with_capacity(templates.len());
    let mut told = Instant::now();
    for (n, template) in templates.iter().enumerate() {
        let tell = |looked: u64| {
            if told.elapsed() >= PROGRESS_EVERY {
                told = Instant::now();
                let (number, id) = (n + 1, &template.id);
                terminal.progress(format_args!(
                    "{number} of {}: {id}, {looked} draws",
                    templates.len()
                ));
            }
        };
        proofs.push((*template, prove(&bank, template, extent, tell)));
    }
    terminal.clear_progress();
    let mut table = Table::new(&[
        ("template", Side::Left),
        ("objective", Side::Left),
        ("level", Side::Right),
        ("problems", Side::Right),
        ("fair", Side::Right),
        ("slips", Side::Right),
        ("tried", Side::Right),
        ("faults", Side::Right),
    ]);
    for (template, proof) in &proofs {
        table.row([
            template.id.clone(),
            template.objective.to_string(),
            template.level.to_string(),
            size(proof),
            share(proof),
            template.slips.len().to_string(),
            proof.looked.to_string(),
            proof.faults.len().to_string(),
        ]);
    }
    terminal.print(table.set(terminal.width()))?;
    terminal.end_line()?;
    if proofs.iter().any(|(_, proof)| matches!(proof.size, Some(Count::Estimated { .. }))) {
        terminal.paragraph(
            0,
            "Problems with \"about\" are estimated from 10000 draws; the others are counted one by one.",
        )?;
    }
    let pairs: Vec<(&Template, &Proof)> =
        proofs.iter().map(|(template, proof)| (template.as_ref(), proof)).collect();
    ranges::print(&pairs, terminal)?;
    giveaways::print(&pairs, terminal)?;
    let mut of_all: Vec<String> = Vec::new();
    if arguments.templates.is_empty() {
        of_all.extend(giveaways::exhausted(&pairs));
        of_all.extend(uncited(&bank));
    }
    for line in &of_all {
        terminal.paragraph(0, line)?;
    }
    let faults = of_all.len() + proofs.iter().map(|(_, proof)| proof.faults.len()).sum::<usize>();
    for (template, proof) in &proofs {
        for fault in &proof.faults {
            terminal.paragraph(0, &format!("{}: {fault}", template.id))?;
        }
    }
    let checked = counted(proofs.len(), "template");
    let (tone, found) = match faults {
        0 => (Tone::Good, "no fault".to_owned()),
        _ => (Tone::Bad, counted(faults, "fault")),
    };
    let found = terminal.toned(tone, &found);
    terminal.print(format_args!("{checked} checked: {found}\n"))?;
    Ok(if faults > 0 { Outcome::Found } else { Outcome::Done })
}

/// The sources that nothing cites.
fn uncited(bank: &Bank) -> Vec<String> {
    let cited = bank.cited();
    let sources =
        bank.facts().sources().iter().filter(|source| !cited.contains(source.id.as_str()));
    let fault = |source: &Source| format!("source `{}` is cited by nothing; remove it", source.id);
    sources.map(fault).collect()
}

/// How many different fair problems there are.
fn size(proof: &Proof) -> String {
    match proof.size {
        None => "unknown".to_owned(),
        Some(count) => count.to_string(),
    }
}

/// How many of a hundred draws are fair.
fn share(proof: &Proof) -> String {
    let Some(size) = proof.size else { return String::new() };
    let (accepted, of) = match size {
        Count::Exact(number) => (number, proof.space),
        Count::Estimated { accepted, tried, .. } => (u128::from(accepted), u128::from(tried)),
    };
    match accepted.saturating_mul(100).checked_div(of) {
        Some(0) if accepted > 0 => "<1 %".to_owned(),
        Some(share) => format!("{share} %"),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::ranges::Ranges;
    use super::super::shares::Shares;
    use super::*;

    #[test]
    fn the_share_is_of_the_whole_space_or_of_the_draws_tried() {
        let proof = |size, space| Proof {
            size: Some(size),
            space,
            looked: 0,
            verdicts: Shares::default(),
            ranges: Ranges::default(),
            faults: Vec::new(),
            guesses: Vec::new(),
            known: None,
        };
        assert_eq!(share(&proof(Count::Exact(7), 10)), "70 %");
        assert_eq!(share(&proof(Count::Exact(1), 1000)), "<1 %");
        assert_eq!(share(&proof(Count::Exact(0), 1000)), "0 %");
        let estimate = Count::Estimated { accepted: 90, tried: 100, of: 1_000_000 };
        assert_eq!(share(&proof(estimate, 1_000_000)), "90 %");
    }
}
