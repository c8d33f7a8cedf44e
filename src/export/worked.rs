//! A working with one's own numbers as a sheet.

use crate::bank::Bank;
use crate::formula::Slot;
use crate::problem::{BatchLine, Block, Problem, WorkProblem};
use crate::quantity::{Exact, Quantity};

use super::{ComposeProblem, Contents, Sheet};

impl Sheet {
    /// The working as a sheet: the numbers, what to weigh, then the steps.
    ///
    /// # Errors
    /// When the working cannot be shown.
    pub fn of_work(bank: &Bank, problem: &Problem) -> Result<Self, ComposeProblem> {
        let problems = std::slice::from_ref(problem);
        let mut sheet = Self::of(bank, problems, &problem.template.title, Contents::SOLUTIONS)?;
        let batch = problem.batch(bank).map_err(|why: WorkProblem| ComposeProblem {
            template: problem.template.id.clone(),
            why: why.to_string(),
        })?;
        for entry in &mut sheet.entries {
            entry.heading = None;
            entry.slips.clear();
            entry.stem = numbers_used(problem);
            if !batch.is_empty() {
                entry.stem.push(Block::Paragraph("What this makes for the batch:".to_owned()));
                entry.stem.push(batch_table(&batch));
            }
        }
        Ok(sheet)
    }
}

fn batch_table(batch: &[BatchLine]) -> Block {
    let each = batch.iter().any(|line| line.each.is_some());
    let mut head = vec!["ingredient".to_owned()];
    head.extend(each.then(|| "in each unit".to_owned()));
    head.push("for the batch".to_owned());
    let row = |line: &BatchLine| {
        let mut row = vec![line.what.clone()];
        row.extend(each.then(|| line.each.clone().unwrap_or_default()));
        row.push(line.all.clone());
        row
    };
    Block::Table { head, rows: batch.iter().map(row).collect() }
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
