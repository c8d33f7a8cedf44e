//! Answers as a table with commas.

use super::heading::Heading;
use super::sorting::{Cell, Sorting};
use super::{LineBreaks, Rows};

/// Reads all rows.
pub(super) fn read(text: &str, sorting: &mut Sorting<'_>) {
    let rows = match Rows::of(text, LineBreaks::Refused) {
        Ok(rows) => rows,
        Err(problems) => {
            sorting.problems.extend(problems);
            return;
        }
    };
    let headings: Vec<String> = rows.headings().iter().map(str::to_owned).collect();
    let known: Vec<Option<Heading>> = headings.iter().map(|it| Heading::read(it)).collect();
    if !sorting.headings(1, &headings, &known) {
        return;
    }
    for row in rows {
        if sorting.problems.is_enough() {
            break;
        }
        let (line, row) = match row {
            Ok(row) => row,
            Err(problem) => {
                sorting.problems.push(problem);
                continue;
            }
        };
        let cells = headings.iter().zip(&known).zip(&row);
        let cells: Vec<Cell<'_>> = cells
            .filter_map(|((column, heading), text)| {
                Some(Cell { column, heading: heading.as_ref()?, text })
            })
            .collect();
        sorting.row(line, &cells);
    }
}
