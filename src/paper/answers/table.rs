//! Answers as a table with commas.

use super::heading::Heading;
use super::sorting::{Cell, Sorting};
use super::{LineCount, problem, separator};

/// Reads all rows.
pub(super) fn read(text: &str, sorting: &mut Sorting<'_>) {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator(text))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let headings: Vec<String> = match reader.headers() {
        Ok(headings) => headings.iter().map(str::to_owned).collect(),
        Err(error) => {
            let what = format!("the headings cannot be read: {error}");
            sorting.problems.push(problem(1, None, what));
            return;
        }
    };
    let known: Vec<Option<Heading>> = headings.iter().map(|it| Heading::read(it)).collect();
    if !sorting.headings(1, &headings, &known) {
        return;
    }
    let mut count = LineCount::new(text);
    for row in reader.records() {
        let row = match row {
            Ok(row) => row,
            Err(error) => {
                let line = count.of(error.position());
                let what = format!("the line cannot be read: {error}");
                sorting.problems.push(problem(line, None, what));
                continue;
            }
        };
        let line = count.of(row.position());
        if row.iter().all(str::is_empty) {
            continue;
        }
        if row.len() != headings.len() {
            let what = format!(
                "expected {} fields, found {}; put a field that holds a {} in double quotes",
                headings.len(),
                row.len(),
                if separator(text) == b';' { "semicolon" } else { "comma" }
            );
            sorting.problems.push(problem(line, None, what));
            continue;
        }
        let cells = headings.iter().zip(&known).zip(&row);
        let cells: Vec<Cell<'_>> = cells
            .filter_map(|((column, heading), text)| {
                Some(Cell { column, heading: heading.as_ref()?, text })
            })
            .collect();
        sorting.row(line, &cells);
    }
}
