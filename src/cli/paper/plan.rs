//! `castmark paper plan`: what a blueprint comes to.

use std::path::PathBuf;

use castmark::draw::Count;
use castmark::marking::{Settings, own_rules};
use castmark::paper::{ENOUGH_KEYS, Plan, Supply};
use clap::Args;

use super::super::banks::WhichBank;
#[cfg(feature = "pdf")]
use super::super::fonts::unwritable;
use super::super::layouts::Layouts;
use super::super::outcome::{Failure, Outcome};
use super::super::table::{Side, Table};
use super::super::terminal::{Terminal, Tone};
use super::{read_avoided, read_blueprint, read_class};

/// Show what a blueprint comes to: marks, time, whether a class fits, and how alike problems are.
///
/// Ends in 1 when a template has too few different problems for the class.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  castmark paper plan midterm.yaml --class class.csv")]
pub(super) struct Arguments {
    /// The blueprint
    #[arg(value_name = "BLUEPRINT")]
    blueprint: PathBuf,
    /// The class list; without it, the class is as large as the blueprint says
    #[arg(long, value_name = "LIST")]
    class: Option<PathBuf>,
    #[command(flatten)]
    bank: WhichBank,
}

/// Prints the plan.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    let blueprint = read_blueprint(&arguments.blueprint, &bank, terminal)?;
    read_avoided(&blueprint, &arguments.blueprint)?;
    Layouts::named(&blueprint.layouts, &arguments.blueprint)?;
    let list = arguments.class.as_ref().map(|path| read_class(path)).transpose()?;
    let class = match &list {
        Some(list) => u32::try_from(list.candidates.len()).ok(),
        None => blueprint.class,
    };
    let plan = Plan::of(&bank, &blueprint);
    let heading = terminal.toned(Tone::Heading, &blueprint.title);
    terminal.print(format_args!("{heading}\n\n"))?;
    print_specifications(&plan, terminal)?;
    print_time(&plan, blueprint.minutes, terminal)?;
    print_rules(&own_rules(&Settings::of(&blueprint.marking)), terminal)?;
    print_supplies(&plan, class, terminal)?;
    print_spread(&plan, terminal)?;
    #[cfg(feature = "pdf")]
    if let Some(unwritable) = list.and_then(|list| unwritable(&list.candidates, None)) {
        terminal.note(unwritable);
    }
    let short = class.is_some_and(|class| !plan.supplies.iter().all(|it| it.serves(class)));
    Ok(if short { Outcome::Found } else { Outcome::Done })
}

/// Objective by level by marks.
fn print_specifications(plan: &Plan, terminal: &mut Terminal) -> Result<(), Failure> {
    let mut table = Table::new(&[
        ("objective", Side::Left),
        ("level 1", Side::Right),
        ("level 2", Side::Right),
        ("level 3", Side::Right),
        ("marks", Side::Right),
        ("of all", Side::Right),
    ]);
    let per_cent =
        |marks: u32| format!("{} %", (200 * marks + plan.marks) / (2 * plan.marks.max(1)));
    let mut all = [0; 3];
    for row in &plan.specifications {
        let level = |n: usize| match row.questions[n] {
            0 => "-".to_owned(),
            _ => row.marks[n].to_string(),
        };
        for (sum, marks) in all.iter_mut().zip(row.marks) {
            *sum += marks;
        }
        table.row([
            row.objective.name().to_owned(),
            level(0),
            level(1),
            level(2),
            row.all_marks().to_string(),
            per_cent(row.all_marks()),
        ]);
    }
    let [one, two, three] = all.map(|marks| marks.to_string());
    table.row(["all".to_owned(), one, two, three, plan.marks.to_string(), per_cent(plan.marks)]);
    let text = table.set(terminal.width());
    Ok(terminal.print(format_args!("Marks by objective and level\n\n{text}\n"))?)
}

fn print_time(plan: &Plan, allowed: u32, terminal: &mut Terminal) -> Result<(), Failure> {
    let (needed, verdict, tone) = match plan.minutes {
        needed if needed > allowed => (needed, "too long", Tone::Bad),
        needed if needed * 10 > allowed * 9 => (needed, "tight", Tone::Middling),
        needed if needed * 2 < allowed => (needed, "much time left", Tone::Middling),
        needed => (needed, "fits", Tone::Good),
    };
    let verdict = terminal.toned(tone, verdict);
    Ok(terminal.print(format_args!(
        "Time: {needed} minutes by the templates, {allowed} allowed: {verdict}\n\n"
    ))?)
}

/// The rules of marking that are not the usual ones.
fn print_rules(rules: &[String], terminal: &mut Terminal) -> Result<(), Failure> {
    if rules.is_empty() {
        return Ok(());
    }
    terminal.print("Rules of marking that are not the usual ones\n\n")?;
    for rule in rules {
        terminal.paragraph(2, rule)?;
    }
    Ok(terminal.end_line()?)
}

fn print_supplies(plan: &Plan, class: Option<u32>, terminal: &mut Terminal) -> Result<(), Failure> {
    let whom = match class {
        Some(1) => "for a class of 1".to_owned(),
        Some(class) => format!("for a class of {class}"),
        None => "for no class yet; give `class` in the blueprint or --class".to_owned(),
    };
    let mut table = Table::new(&[
        ("template", Side::Left),
        ("level", Side::Right),
        ("marks", Side::Right),
        ("each", Side::Right),
        ("needed", Side::Right),
        ("keys", Side::Right),
        ("different problems", Side::Left),
    ]);
    for supply in &plan.supplies {
        let template = &supply.template;
        let marks: u32 = template.parts.iter().map(|part| part.marks).sum();
        table.row([
            template.id.clone(),
            template.level.to_string(),
            marks.to_string(),
            (supply.each + supply.shared).to_string(),
            class.map_or_else(|| "-".to_owned(), |class| supply.needed(class).to_string()),
            supply.keys().map(|keys| keys.to_string()).unwrap_or_default(),
            verdict(supply, class),
        ]);
    }
    let text = table.set(terminal.width());
    terminal.print(format_args!("Problems {whom}\n\n{text}"))?;
    let estimated = |supply: &Supply| matches!(supply.there, Some(Count::Estimated { .. }));
    if plan.supplies.iter().any(estimated) {
        terminal.print("\n\"about\" is an estimate from 10000 draws.\n")?;
    }
    for supply in plan.supplies.iter().filter(|it| class.is_some_and(|class| it.repeats(class))) {
        let (id, keys) = (&supply.template.id, supply.keys().unwrap_or_default());
        let words = format!(
            "{id} asks {keys} different facts, so candidates share them; choose a template with at least \
             {ENOUGH_KEYS} or give its tables more rows."
        );
        terminal.paragraph(0, &words)?;
    }
    Ok(())
}

/// How alike the problems of each template are.
fn print_spread(plan: &Plan, terminal: &mut Terminal) -> Result<(), Failure> {
    let mut table = Table::new(&[
        ("template", Side::Left),
        ("steps", Side::Right),
        ("figures told", Side::Right),
        ("kept to", Side::Right),
        ("uneven steps", Side::Right),
        ("kept to", Side::Right),
    ]);
    let mut drawn = 0;
    for supply in &plan.supplies {
        let both = supply.spread.zip(supply.band).filter(|_| supply.steps() > 0);
        let Some((spread, band)) = both else { continue };
        drawn = spread.drawn;
        table.row([
            supply.template.id.clone(),
            supply.steps().to_string(),
            from_to(spread.least.figures, spread.most.figures),
            from_to(band.least.figures, band.most.figures),
            from_to(spread.least.uneven, spread.most.uneven),
            from_to(band.least.uneven, band.most.uneven),
        ]);
    }
    if table.is_empty() {
        return Ok(());
    }
    let text = table.set(terminal.width());
    terminal.print(format_args!(
        "\nHow alike the calculations are ({drawn} drawn of each)\n\n{text}"
    ))?;
    Ok(terminal.paragraph(
        0,
        "Figures told are those to take over from the question; an uneven step has a result that must \
         be rounded. Problems are kept to what is usual for their template, give or take what \
         `difficulty` in the blueprint says.",
    )?)
}

fn from_to(least: u32, most: u32) -> String {
    if least == most { least.to_string() } else { format!("{least} to {most}") }
}

/// How many problems there are, and whether they are enough.
fn verdict(supply: &Supply, class: Option<u32>) -> String {
    let Some(there) = supply.there else { return "more than can be numbered".to_owned() };
    match class {
        Some(class) if !supply.serves(class) => {
            format!("{there}: too few, choose another template or widen its values")
        }
        _ => there.to_string(),
    }
}
