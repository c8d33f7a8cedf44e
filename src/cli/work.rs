//! `castmark work`: a template with numbers of one's own.

use std::sync::Arc;

use castmark::bank::{Bank, Template, ValueRule};
use castmark::export::Sheet;
use castmark::formula::{Shape, Slot};
use castmark::problem::{Given, Problem};
use castmark::quantity::{Dimension, Unit};
use clap::Args;

use super::banks::{WhichBank, template};
use super::disk::Readers;
use super::outcome::{Failure, Outcome};
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
    let sheet = Sheet::of_work(&bank, &problem).map_err(Failure::unusable)?;
    press.print(&sheet, terminal)?;
    Ok(Outcome::Done)
}

/// Reads name=number; everything that cannot be read is named.
fn read_values(template: &Template, values: &[String]) -> Result<Given, Failure> {
    let mut problems = Vec::new();
    let mut pairs = Vec::new();
    for value in values {
        match value.split_once('=') {
            Some((name, text)) => pairs.push((name.trim(), text)),
            None => problems.push(format!(
                "expected name=number, found `{value}`; put an equals sign between the two"
            )),
        }
    }
    match Given::read(template, &pairs) {
        Ok(given) if problems.is_empty() => return Ok(given),
        Ok(_) => {}
        Err(unread) => {
            problems.extend(unread.iter().map(|(name, why)| format!("`{name}`: {why}")));
        }
    }
    Err(Failure::unusable(listed("the values cannot be read", &problems)))
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
            ValueRule::Pick { options, .. } => Some((value, options)),
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
