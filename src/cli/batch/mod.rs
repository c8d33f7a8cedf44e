//! `castmark batch`: what to weigh out for an order, and the sheet for the bench.

mod drugs;
mod options;

use std::path::PathBuf;

use castmark::bank::{OrderFile, OrderProblem};
use castmark::batch::{ClassReadings, solve};
use castmark::export::BenchDocument;
use castmark::words;
use clap::Args;

use super::banks::WhichBank;
use super::disk::{Readers, read_source, read_text};
use super::outcome::{Failure, Outcome};
use super::printing::Printing;
use super::terminal::Terminal;

use options::{Given, Options};

/// Work out what to weigh for a batch, and print the sheet for the bench.
///
/// Give the order as a file, by options, or both: an option takes the place of the same value of the
/// file, so that a standing order can be worked with the blanks of the day. Everything has its unit:
/// 200 mg, 1.04 g, 10 %. A value that you do not give is taken from the facts and said to be so; where
/// sources differ, they are listed and you choose.
///
/// With --readings, the readings of a whole class are put beside what is expected of them.
///
/// For teaching only, not for preparing or supplying medicines.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark batch --units 12 --extra 2 --capacity 1.04g --base \"theobroma oil\" --drug \"zinc oxide\" dose=200mg value=4.7\n  \
    castmark batch --units 6 --total 22.4g --blanks 20 --base \"hard fat\" --drug paracetamol dose=125mg\n  \
    castmark batch order.yaml --output sheet.html\n  \
    castmark batch order.yaml --masses \"1.02, 1.04, 1.03 g\" --readings class.csv\n\n\
    A drug is its name, then what is known of it as key=value: dose, strength or total; value, factor, \
    density or displaces; source, base, of, assay, water, correction; casts.mass, casts.units, casts.dose, \
    casts.strength; salt.ordered, salt.held, salt.holds.")]
pub(super) struct Arguments {
    /// The order, a YAML file
    #[arg(value_name = "ORDER")]
    file: Option<PathBuf>,
    #[command(flatten)]
    options: Options,
    /// A table of readings (CSV), a row a candidate or bench, to put beside what is expected
    #[arg(long, value_name = "FILE")]
    readings: Option<PathBuf>,
    #[command(flatten)]
    printing: Printing,
    #[command(flatten)]
    bank: WhichBank,
}

/// Works the order and prints its sheet, or the readings of a class.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let file = arguments.file.as_deref().map(|path| {
        OrderFile::read(read_source(path)?)
            .map_err(|report| Failure::unusable(drawn(&report, terminal)))
    });
    let file = file.transpose()?;
    let mut order = file.as_ref().map(|file| file.order.clone()).unwrap_or_default();
    let given = arguments.options.apply(&mut order).map_err(Failure::unusable)?;
    if file.is_none() && given.is_empty() {
        return Err(Failure::unusable(
            "expected an order, found nothing; give a file or options, as `castmark help batch` shows",
        ));
    }
    let bank = arguments.bank.load(terminal)?;
    let batch = solve(&order, bank.facts())
        .map_err(|problems| unusable(&problems, file.as_ref(), &given, terminal))?;
    let document = match &arguments.readings {
        None => BenchDocument::of_sheet(&batch.sheet),
        Some(path) => {
            let table = read_text(path)?;
            let readings = ClassReadings::read(&table, &batch).map_err(|problems| {
                let lines: Vec<String> = problems.iter().map(|it| format!("  {it}")).collect();
                let shown = path.display();
                let lines = lines.join("\n");
                Failure::unusable(format!("the readings `{shown}` cannot be used\n{lines}"))
            })?;
            BenchDocument::of_readings(&readings)
        }
    };
    let press = arguments.printing.press(Readers::Usual, terminal)?;
    press.print_bench(&document, terminal)?;
    Ok(Outcome::Done)
}

fn drawn(report: &castmark::bank::Report, terminal: &Terminal) -> String {
    let drawn = if terminal.colour() { report.styled() } else { report.plain() };
    format!("the order cannot be used\n\n{}", drawn.trim_end())
}

/// Everything that is wrong with an order: what the file says at its place, what options say by their
/// names.
fn unusable(
    problems: &[OrderProblem],
    file: Option<&OrderFile>,
    given: &Given,
    terminal: &Terminal,
) -> Failure {
    let (by_options, in_file): (Vec<_>, Vec<_>) = problems
        .iter()
        .cloned()
        .partition(|problem| file.is_none() || given.is_given(&problem.path));
    let lines: Vec<String> = by_options
        .iter()
        .map(|OrderProblem { path, what, help, .. }| {
            let help = words::printable(help);
            match given.option(path) {
                Some(option) => format!("{option}: {what}; {help}"),
                None => format!("{what}; {help}"),
            }
        })
        .collect();
    let report = file.and_then(|file| file.report(&in_file));
    let Some(report) = report else {
        return Failure::unusable(match lines.as_slice() {
            [line] => line.clone(),
            lines => format!("the order cannot be worked:\n  {}", lines.join("\n  ")),
        });
    };
    let mut text = drawn(&report, terminal);
    if !lines.is_empty() {
        text = format!("{}\n\n{text}", lines.join("\n"));
    }
    Failure::unusable(text)
}
