//! `castmark work`: a template with numbers of one's own.

use std::sync::Arc;

use castmark::bank::{Bank, Rule, Template};
use castmark::export::{Contents, Sheet};
use castmark::formula::{Shape, Slot};
use castmark::problem::{Block, Given, GivenValue, Problem};
use castmark::quantity::{Dimension, Exact, Quantity, ReadProblem, Typed, Unit, read_quantity};
use clap::Args;

use super::banks::{WhichBank, template};
use super::disk::Readers;
use super::outcome::{Failure, Outcome};
use super::parsers::readings;
use super::printing::Printing;
use super::terminal::Terminal;

/// Work a problem with numbers of your own, such as today's from the bench.
///
/// Give the name of a template and its values as name=number; without values, the names are listed. A
/// number without a unit is taken in the unit listed. Several readings have commas between them. A
/// drug can be given by its name in the facts tables, by its numbers, or both: your numbers come
/// first.
///
/// For teaching only, not for preparing or supplying medicines.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark work base-one-drug\n  \
    castmark work base-one-drug number=12 capacity=2.04g drug.dose=200mg drug.displacement_value=4.7\n  \
    castmark work base-one-drug number=12 capacity=2.04g drug=zinc-oxide\n  \
    castmark work capacity-from-masses \"masses=1.02, 1.04, 1.03 g\" places=6")]
pub(super) struct Arguments {
    /// The template whose working is wanted; `castmark bank list` shows them all
    template: String,
    /// The values, each as name=number
    #[arg(value_name = "NAME=NUMBER")]
    values: Vec<String>,
    #[command(flatten)]
    printing: Printing,
    #[command(flatten)]
    bank: WhichBank,
}

/// Works and prints.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let bank = arguments.bank.load(terminal)?;
    let template = template(&bank, &arguments.template)?;
    if arguments.values.is_empty() {
        print_wanted(&bank, template, terminal)?;
        return Ok(Outcome::Done);
    }
    let given = read_values(template, &arguments.values)?;
    let problem = Problem::from_values(&bank, template, &given).map_err(|problems| {
        let problems: Vec<String> = problems.iter().map(ToString::to_string).collect();
        Failure::unusable(listed("the values cannot be worked with", &problems))
    })?;
    let press = arguments.printing.press(Readers::Usual, terminal)?;
    press.print(&sheet(&bank, &problem)?, terminal)?;
    Ok(Outcome::Done)
}

/// The working as a sheet: the numbers, what to weigh, then the working.
fn sheet(bank: &Bank, problem: &Problem) -> Result<Sheet, Failure> {
    let problems = std::slice::from_ref(problem);
    let mut sheet = Sheet::of(bank, problems, &problem.template.title, Contents::SOLUTIONS)
        .map_err(Failure::unusable)?;
    let batch = problem.batch(bank).map_err(Failure::unusable)?;
    for entry in &mut sheet.entries {
        entry.heading = None;
        entry.slips.clear();
        entry.stem = numbers_used(problem);
        if !batch.is_empty() {
            entry.stem.push(Block::Paragraph("What this makes for the batch:".to_owned()));
            let each = batch.iter().any(|line| line.each.is_some());
            let mut head = vec!["ingredient".to_owned()];
            head.extend(each.then(|| "in each unit".to_owned()));
            head.push("for the batch".to_owned());
            let row = |line: &castmark::problem::BatchLine| {
                let mut row = vec![line.what.clone()];
                row.extend(each.then(|| line.each.clone().unwrap_or_default()));
                row.push(line.all.clone());
                row
            };
            entry.stem.push(Block::Table { head, rows: batch.iter().map(row).collect() });
        }
    }
    Ok(sheet)
}

/// The numbers that were worked with.
fn numbers_used(problem: &Problem) -> Vec<Block> {
    let template = &problem.template;
    let mut rows = Vec::new();
    for (name, value) in template.names.iter().zip(&problem.draw.written) {
        let shown = |number: &Exact| Quantity::new(*number, name.unit).to_string();
        let text = match value {
            Slot::Number(number) => shown(number),
            Slot::List(numbers) => numbers.iter().map(shown).collect::<Vec<_>>().join(", "),
            Slot::Empty => continue,
        };
        rows.push(vec![name.label.clone(), text]);
    }
    vec![
        Block::Paragraph("Worked with these numbers:".to_owned()),
        Block::Table { head: vec!["value".to_owned(), "number".to_owned()], rows },
    ]
}

/// Reads name=number; everything that cannot be read is named.
fn read_values(template: &Template, values: &[String]) -> Result<Given, Failure> {
    let mut given = Given::default();
    let mut problems = Vec::new();
    for value in values {
        let Some((name, text)) = value.split_once('=') else {
            problems.push(format!(
                "expected name=number, found `{value}`; put an equals sign between the two"
            ));
            continue;
        };
        let name = name.trim();
        let is_pick = template
            .values
            .iter()
            .any(|value| value.name == name && matches!(value.rule, Rule::Pick { .. }));
        if is_pick {
            given.rows.push((name.to_owned(), text.trim().to_ascii_lowercase().replace(' ', "-")));
            continue;
        }
        let is_list = template
            .names
            .iter()
            .any(|known| known.name == name && matches!(known.shape, Shape::List(_)));
        let read = if is_list {
            read_list(text).map(GivenValue::Several)
        } else {
            read_quantity(text).map(GivenValue::One)
        };
        match read {
            Ok(value) => given.values.push((name.to_owned(), value)),
            Err(problem) => problems.push(format!("`{name}`: {problem}")),
        }
    }
    if problems.is_empty() {
        return Ok(given);
    }
    Err(Failure::unusable(listed("the values cannot be read", &problems)))
}

/// Reads readings with semicolons or commas between them. A unit after the last is the unit of all.
fn read_list(text: &str) -> Result<Vec<Typed>, ReadProblem> {
    let mut readings: Vec<Typed> =
        readings(text)?.into_iter().map(read_quantity).collect::<Result<_, _>>()?;
    let unit = readings.last().and_then(|last| last.unit);
    for reading in &mut readings {
        reading.unit = reading.unit.or(unit);
    }
    Ok(readings)
}

/// Prints every value that is wanted with its unit, and an example that can be copied.
fn print_wanted(
    bank: &Bank,
    template: &Arc<Template>,
    terminal: &mut Terminal,
) -> Result<(), Failure> {
    terminal.paragraph(0, &format!("To work `{}`, give these values:", template.id))?;
    terminal.end_line()?;
    let wanted = Problem::wanted_values(bank, template);
    for name in wanted.iter().filter_map(|slot| template.names.get(*slot)) {
        let several = matches!(name.shape, Shape::List(_));
        let several = if several { ", several with commas between" } else { "" };
        let unit = unit_in_words(name.unit);
        terminal.paragraph(2, &format!("{}: {}{unit}{several}", name.name, name.label))?;
    }
    let mut picks = template
        .values
        .iter()
        .filter_map(|value| match &value.rule {
            Rule::Pick { options, .. } => Some((value, options)),
            _ => None,
        })
        .peekable();
    if picks.peek().is_some() {
        terminal.end_line()?;
        terminal.paragraph(0, "Instead of its numbers you can name a row of the facts tables:")?;
        terminal.end_line()?;
    }
    for (value, options) in picks {
        let mut rows: Vec<&str> = options.iter().map(|option| option.row.as_str()).collect();
        rows.dedup();
        terminal.paragraph(2, &format!("{}: {}", value.name, rows.join(", ")))?;
    }
    terminal.end_line()?;
    // An example must be copied as one line, so it is not wrapped.
    Ok(terminal.print(format_args!("As in:\n  {}\n", example(bank, template, &wanted)?))?)
}

/// The command for one draw of the template.
fn example(bank: &Bank, template: &Arc<Template>, wanted: &[usize]) -> Result<String, Failure> {
    let problem = Problem::draw(bank, template, 1).map_err(Failure::unusable)?;
    let mut example = format!("castmark work {}", template.id);
    for slot in wanted {
        let Some((name, value)) = template.names.get(*slot).zip(problem.draw.written.get(*slot))
        else {
            continue;
        };
        let numbers: Vec<String> = match value {
            Slot::Number(number) => vec![number.to_string()],
            Slot::List(numbers) => numbers.iter().map(ToString::to_string).collect(),
            Slot::Empty => continue,
        };
        let unit = name.unit.symbol();
        let typed = format!("{}={} {unit}", name.name, numbers.join(", "));
        let typed = typed.trim_end();
        let mark = if typed.contains(' ') { "\"" } else { "" };
        example.extend([" ", mark, typed, mark]);
    }
    Ok(example)
}

fn unit_in_words(unit: Unit) -> String {
    match unit {
        unit if unit == Unit::NUMBER => String::new(),
        unit if unit.dimension() == Dimension::COUNT => ", a count".to_owned(),
        unit => format!(", in {}", unit.symbol()),
    }
}

/// One problem on a line of its own, or several below a heading.
fn listed(heading: &str, problems: &[String]) -> String {
    match problems {
        [problem] => problem.clone(),
        problems => format!("{heading}:\n  {}", problems.join("\n  ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_list(text: &str, expected: &[&str]) {
        let readings = read_list(text).unwrap();
        let shown: Vec<String> = readings
            .iter()
            .map(|typed| {
                Quantity::new(typed.number, typed.unit.unwrap_or(Unit::NUMBER)).to_string()
            })
            .collect();
        assert_eq!(shown, expected);
    }

    #[test]
    fn readings_share_the_unit_of_the_last() {
        check_list("1.02, 1.04, 1.03 g", &["1.02 g", "1.04 g", "1.03 g"]);
        check_list("1.02 g,1.04 g", &["1.02 g", "1.04 g"]);
        check_list("1.02,1.04", &["1.02", "1.04"]);
    }

    #[test]
    fn decimal_commas_go_with_semicolons() {
        check_list("1,02; 1,04 g", &["1.02 g", "1.04 g"]);
    }

    #[test]
    fn a_reading_that_is_none_is_refused() {
        assert!(read_list("1.02, heavy").is_err());
        assert!(read_list("1.02,,1.04").is_err());
    }
}
