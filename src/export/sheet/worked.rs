//! A working with one's own numbers as a sheet.

use std::sync::Arc;

use crate::bank::Bank;
use crate::problem::{BatchLine, Block, NumberUsed, Problem, WorkProblem};

use crate::export::sheet::{ComposeProblem, Contents, Lazy, Sheet};

impl Sheet {
    /// The working as a sheet: the numbers, what to weigh, then the steps.
    ///
    /// # Errors
    /// When the working cannot be shown.
    pub fn of_work(bank: &Bank, problem: &Problem) -> Result<Self, ComposeProblem> {
        let problems = [problem.clone()];
        let mut sheet = Self::of(bank, problems, &problem.template.title, Contents::SOLUTIONS)?;
        let batch = problem.batch(bank).map_err(|why: WorkProblem| ComposeProblem {
            template: problem.template.id.clone(),
            why: why.to_string(),
        })?;
        for entry in &mut sheet.entries {
            let entry = Arc::make_mut(entry);
            entry.heading = None;
            entry.slips = Lazy::default();
            // A working is no question: it has no marks and accepts no answers.
            for part in &mut entry.parts {
                part.marks = 0;
                part.key = part.key.clone().changed(|key| {
                    key.scheme.clear();
                    key.accepted = None;
                });
            }
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
    let row =
        |used: &NumberUsed| vec![used.label.clone(), used.number.clone(), used.origin.to_string()];
    let rows = problem.used.iter().map(row).collect();
    vec![
        Block::Paragraph("Worked with these numbers:".to_owned()),
        Block::Table { head: ["value", "number", "from"].map(str::to_owned).to_vec(), rows },
    ]
}
