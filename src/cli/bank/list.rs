//! `castmark bank list`: the templates of the bank.

use castmark::bank::{Bank, Objective, Template, Topic};
use clap::Args;

use crate::cli::banks::WhichBank;
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::parsers;
use crate::cli::table::{Side, Table};
use crate::cli::terminal::Terminal;

/// List the templates.
///
/// Keys are the different facts that a template of theory asks, whatever is shown beside them.
#[derive(Debug, Default, Args)]
#[command(after_help = "Example:\n  castmark bank list --objective displacement --level 2\n  \
    castmark bank list --topics")]
pub(super) struct Arguments {
    /// Only templates of this objective
    #[arg(long, value_name = "NAME", value_parser = parsers::objective())]
    objective: Option<Objective>,
    /// Only templates of this level: 1 for one idea, 3 for several
    #[arg(long, value_name = "N", value_parser = parsers::level())]
    level: Option<u8>,
    /// List the topics instead, each with what it builds on
    #[arg(long, conflicts_with = "level")]
    topics: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Prints the table of templates.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    if arguments.topics {
        return list_topics(&bank, arguments.objective, terminal);
    }
    let mut table = Table::new(&[
        ("template", Side::Left),
        ("objective", Side::Left),
        ("level", Side::Right),
        ("marks", Side::Right),
        ("keys", Side::Right),
        ("title", Side::Left),
    ]);
    let fits = |objective: Objective, level: u8| {
        arguments.objective.is_none_or(|wanted| wanted == objective)
            && arguments.level.is_none_or(|wanted| wanted == level)
    };
    for template in bank.templates() {
        if fits(template.objective, template.level) {
            let marks: u32 = template.parts.iter().map(|part| part.marks).sum();
            table.row([
                template.id.clone(),
                template.objective.to_string(),
                template.level.to_string(),
                marks.to_string(),
                keys(template),
                template.title.clone(),
            ]);
        }
    }
    if table.is_empty() {
        terminal.print("The bank has no such templates.\n")?;
    } else {
        terminal.print(table.set(terminal.width()))?;
    }
    Ok(Outcome::Done)
}

/// How many different facts a template of theory asks.
fn keys(template: &Template) -> String {
    match template.keys() {
        0 => String::new(),
        keys => keys.to_string(),
    }
}

/// Prints the table of topics, in the order of teaching.
fn list_topics(
    bank: &Bank,
    objective: Option<Objective>,
    terminal: &mut Terminal,
) -> Result<Outcome, Failure> {
    let mut table = Table::new(&[
        ("topic", Side::Left),
        ("templates", Side::Right),
        ("title", Side::Left),
        ("builds on", Side::Left),
    ]);
    let fits = |topic: &&Topic| objective.is_none_or(|wanted| wanted == topic.objective);
    for topic in bank.topics().iter().filter(fits) {
        let templates = bank.headings().filter(|each| each.topic == topic.id).count();
        table.row([
            topic.id.clone(),
            templates.to_string(),
            topic.title.clone(),
            topic.builds_on.join(", "),
        ]);
    }
    terminal.print(table.set(terminal.width()))?;
    Ok(Outcome::Done)
}
