//! The readings of a class as a document: who is outside first, then everybody.

use serde_json::json;

use crate::batch::{ClassReadings, ClassRow, ReadingCell};
use crate::export::CAUTION;
use crate::words;

use super::document::{BenchDocument, Piece};

/// The version of the field names.
const VERSION: u32 = 1;

impl BenchDocument {
    /// The readings of a class.
    pub fn of_readings(readings: &ClassReadings) -> Self {
        document(readings)
    }
}

fn document(readings: &ClassReadings) -> BenchDocument {
    let mut pieces = Vec::new();
    let count = words::counted(readings.rows.len(), "row");
    let outside: Vec<&ClassRow> = readings.outside().collect();
    pieces.push(Piece::Paragraph(match outside.len() {
        0 => format!("{count}; no reading is outside."),
        some => {
            let verb = if some == 1 { "has" } else { "have" };
            format!("{count}; {some} {verb} a reading that is outside.")
        }
    }));
    pieces.extend(readings.notes.iter().map(|note| Piece::Paragraph(note.clone())));
    let told: Vec<Vec<String>> = readings
        .rows
        .iter()
        .flat_map(|row| row.cells.iter().map(move |cell| (row, cell)))
        .filter(|(_, cell)| cell.outside || cell.slip.is_some())
        .map(|(row, cell)| {
            let slip = cell.slip.as_ref().map_or_else(
                || "No known slip leads to it; check the reading.".to_owned(),
                |slip| format!("{} That leads to {}.", slip.say, slip.leads_to),
            );
            vec![row.who.clone(), cell.what.clone(), standing(cell).to_owned(), slip]
        })
        .collect();
    if !told.is_empty() {
        pieces.push(Piece::Heading { words: "To talk about", new_page: false });
        pieces.push(table(&["who", "reading", "standing", "likeliest slip"], told));
    }
    pieces.push(Piece::Heading { words: "All readings", new_page: false });
    let all = readings.rows.iter().flat_map(|row| {
        row.cells.iter().map(|cell| {
            vec![
                row.who.clone(),
                cell.what.clone(),
                cell.found.clone().unwrap_or_default(),
                cell.expected.clone(),
                cell.apart.clone().unwrap_or_default(),
                standing(cell).to_owned(),
            ]
        })
    });
    let head = ["who", "reading", "found", "expected", "apart", "standing"];
    pieces.push(table(&head, all.collect()));
    let data = json!({ "castmark_readings": VERSION, "caution": CAUTION, "readings": readings });
    BenchDocument { title: readings.title.clone(), pieces, data }
}

fn standing(cell: &ReadingCell) -> &'static str {
    match (cell.outside, &cell.apart) {
        (true, _) => "outside",
        (false, Some(_)) => "inside",
        (false, None) => "shown only",
    }
}

fn table(head: &[&str], rows: Vec<Vec<String>>) -> Piece {
    Piece::Table { head: head.iter().map(|it| (*it).to_owned()).collect(), rows, blanks: &[] }
}
