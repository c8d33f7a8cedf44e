//! The list that candidates sign.

use crate::export::office::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::paper::Bundle;

use super::pack::{RoomPack, name};

/// A page, or several, for each room.
pub(super) fn sheet(pack: &RoomPack<'_>) -> OfficeSheet {
    pack.of_each("attendance list", |bundle| {
        vec![
            OfficeBlock::Table {
                columns: vec![
                    OfficeColumn::short("Seat"),
                    OfficeColumn::short("Candidate"),
                    OfficeColumn::long("Name"),
                    OfficeColumn::short("Paper"),
                    OfficeColumn::blank("Signature"),
                ],
                rows: rows(bundle),
            },
            OfficeBlock::Words(format!(
                "On the list: {}. Present:\u{a0}________ Absent:\u{a0}________ Scripts:\u{a0}________ \
                 Invigilator:\u{a0}________________",
                bundle.papers.len()
            )),
        ]
    })
}

fn rows(bundle: &Bundle<'_>) -> Vec<Vec<String>> {
    let row = |(index, (_, paper)): (usize, &(usize, &crate::paper::Paper))| {
        let number = paper.candidate.number.clone();
        vec![bundle.seat(index), number, name(paper), paper.code.to_string()]
    };
    bundle.papers.iter().enumerate().map(row).collect()
}
