//! `castmark bank show`: what is in a template.

use std::borrow::Cow;

use castmark::bank::{
    Bank, Case, Convention, PartPlan, Slip, Step, Template, Tolerance, Value, ValueRule, Wanted,
};
use castmark::draw::Space;
use castmark::quantity::Exact;
use clap::Args;

use crate::cli::banks::{self, WhichBank};
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::terminal::{Terminal, Tone};

/// How far the lines under a heading are moved in.
const INDENT: usize = 2;

/// Show what is in a template: its values, working, questions and slips.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark bank show base-one-drug\n  \
    castmark bank show base-one-drug --file > my-templates/base-one-drug.yaml")]
pub(super) struct Arguments {
    /// The template
    template: String,
    /// Print the file of the template as it was written, to copy and change
    #[arg(long)]
    file: bool,
    #[command(flatten)]
    bank: WhichBank,
}

/// Prints the template in words, or its file.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    let template = banks::template(&bank, &arguments.template)?;
    if arguments.file {
        terminal.print(file(arguments, &template.id)?)?;
    } else {
        describe(template, terminal)?;
    }
    Ok(Outcome::Done)
}

/// The text of the template's file; files of one's own come before those of the program.
fn file(arguments: &Arguments, id: &str) -> Result<Cow<'static, str>, Failure> {
    let mut files = arguments.bank.own_files()?;
    files.extend(Bank::bundled_files());
    let name = format!("{id}.yaml");
    files.into_iter().find(|file| file.name() == name).map(|file| file.text).ok_or_else(|| {
        Failure::unusable(format!("no file is named `{name}`; name the file as the template"))
    })
}

fn describe(template: &Template, terminal: &mut Terminal) -> Result<(), Failure> {
    let title = terminal.toned(Tone::Heading, &format!("{}: {}", template.id, template.title));
    terminal.print(format_args!("{title}\n"))?;
    terminal.paragraph(0, template.about.trim())?;
    let marks: u32 = template.parts.iter().map(|part| part.marks).sum();
    let facts = format!(
        "Objective {}, topic {}, level {}, {} minutes, {marks} marks, {}.",
        template.objective,
        template.topic,
        template.level,
        template.minutes,
        convention(template.convention)
    );
    terminal.paragraph(0, &facts)?;
    let size = Space::of(template).map(|space| space.size.to_string());
    let size = size.unwrap_or_else(|| "too many to number".to_owned());
    terminal.paragraph(0, &format!("Draws before any is refused: {size}."))?;
    let values = template.values.iter().map(|value| describe_value(template, value));
    section(terminal, "Values", values)?;
    let required = template.require.iter();
    let required = required.map(|one| format!("{}: {}", one.formula.text(), one.because));
    section(terminal, "Required", required)?;
    let steps = template.working.iter().map(|step| describe_step(template, step));
    section(terminal, "Working", steps)?;
    section(terminal, "Asked", template.parts.iter().map(describe_part))?;
    let slips = template.slips.iter().map(|slip| describe_slip(template, slip));
    section(terminal, "Slips", slips)?;
    terminal.end_line()?;
    let hint = format!("To draw from it: castmark problem --template {}", template.id);
    Ok(terminal.paragraph(0, &hint)?)
}

/// A heading with lines under it; nothing when there are none.
fn section(
    terminal: &mut Terminal,
    title: &str,
    lines: impl Iterator<Item = String>,
) -> Result<(), Failure> {
    let mut lines = lines.peekable();
    if lines.peek().is_none() {
        return Ok(());
    }
    let title = terminal.toned(Tone::Heading, title);
    terminal.print(format_args!("\n{title}\n"))?;
    for line in lines {
        terminal.paragraph(INDENT, &line)?;
    }
    Ok(())
}

fn describe_value(template: &Template, value: &Value) -> String {
    let unit = |slot: usize| {
        let symbol = template.names.get(slot).map(|name| name.unit.symbol()).unwrap_or_default();
        if symbol.is_empty() { symbol } else { format!(" {symbol}") }
    };
    let rule = match &value.rule {
        ValueRule::Grid { slot, from, step, count } => {
            let last = last(*from, *step, *count).unwrap_or(*from);
            format!("from {from} to {last}{} by steps of {step}", unit(*slot))
        }
        ValueRule::Choice { slot, numbers } => {
            let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            format!("one of {}{}", numbers.join(", "), unit(*slot))
        }
        ValueRule::Fixed { slot, number } => format!("always {number}{}", unit(*slot)),
        ValueRule::Derived { formula, rounding, .. } => {
            format!("{}, to {rounding}", formula.text())
        }
        ValueRule::Scatter { around, count, reach, step, slot, stray } => {
            let off = if stray.is_some() { ", one of them further off" } else { "" };
            format!(
                "{count} readings about {}, up to {reach} steps of {step}{} either way{off}",
                name_of(template, *around),
                unit(*slot)
            )
        }
        ValueRule::Pick { options, .. } => {
            let mut rows: Vec<&str> = options.iter().map(|option| option.row.as_str()).collect();
            rows.dedup();
            format!("one of {} ({} possibilities)", rows.join(", "), options.len())
        }
        ValueRule::Words { options, .. } => {
            let options: Vec<String> = options.iter().map(|option| option.join("/")).collect();
            format!("the words {}", options.join(" or "))
        }
    };
    format!("{}: {rule}", value.name)
}

/// The last of so many numbers.
fn last(from: Exact, step: Exact, count: u64) -> Option<Exact> {
    let steps = i64::try_from(count.checked_sub(1)?).ok()?;
    from.add(step.mul(Exact::whole(steps)).ok()?).ok()
}

fn describe_step(template: &Template, step: &Step) -> String {
    let name = name_of(template, step.slot);
    format!("{name} = {}, shown to {}", step.formula.text(), step.rounding)
}

fn describe_part(part: &PartPlan) -> String {
    let marks = if part.marks == 1 { "1 mark".to_owned() } else { format!("{} marks", part.marks) };
    match &part.wanted {
        Wanted::Theory(plan) => {
            let kind = plan.cases.first().map_or("", Case::kind);
            let ways = plan.ways().map_or_else(|| "very many".to_owned(), |ways| ways.to_string());
            format!("{}: {kind}, shown in up to {ways} ways, {marks}", part.id)
        }
        Wanted::Verdict(plan) => {
            let choices = plan.choices.iter().map(|choice| match &choice.when {
                Some((formula, _)) => format!("{} when {}", choice.answer, formula.text()),
                None => format!("{} otherwise", choice.answer),
            });
            format!("{}: {}, {marks}", part.id, choices.collect::<Vec<_>>().join("; "))
        }
        Wanted::Number(plan) => {
            let tolerance = match plan.tolerance {
                Tolerance::Amount(amount) => format!("{amount} {}", plan.unit.symbol()),
                Tolerance::Percent(percent) => format!("{percent} %"),
            };
            format!(
                "{}: to {}, accepted within {}, {marks}, {} of them for method",
                part.id,
                plan.rounding,
                tolerance.trim_end(),
                plan.method_marks
            )
        }
    }
}

fn describe_slip(template: &Template, slip: &Slip) -> String {
    let instead = slip.instead.iter();
    let instead: Vec<String> = instead
        .map(|(slot, formula, _)| format!("{} = {}", name_of(template, *slot), formula.text()))
        .collect();
    format!("{}: {}", slip.id, instead.join(", "))
}

fn convention(convention: Convention) -> &'static str {
    match convention {
        Convention::DisplacementValue => "told by displacement value",
        Convention::DisplacementFactor => "told by displacement factor",
        Convention::DensityFactor => "told by density factor",
        Convention::None => "without displacement",
    }
}

fn name_of(template: &Template, slot: usize) -> &str {
    template.names.get(slot).map_or("", |name| name.name.as_str())
}
