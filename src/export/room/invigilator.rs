//! The sheet of whoever looks after the room: when each candidate ends, who needs what, and what
//! happened.

use std::collections::BTreeMap;

use crate::export::office::{OfficeBlock, OfficeColumn, OfficeSheet};
use crate::paper::{Bundle, Need, Paper};

use super::pack::{RoomPack, name, needs};

/// Rows for what happens during the paper.
const ROWS_TO_FILL_IN: usize = 8;

/// A page, or several, for each room.
pub(super) fn sheet(pack: &RoomPack<'_>) -> OfficeSheet {
    pack.of_each("invigilator's sheet", |bundle| {
        let mut blocks = vec![OfficeBlock::Words(counts(bundle))];
        blocks.extend(instructions(pack));
        blocks.push(OfficeBlock::Heading("When the paper ends".to_owned()));
        if pack.starts.is_none() {
            blocks.push(OfficeBlock::Words(
                "The paper began at ________. Add the minutes and write down the ends.".to_owned(),
            ));
        }
        blocks.push(ends(pack, bundle));
        blocks.extend(special(pack, bundle));
        blocks.push(OfficeBlock::Heading("What happened".to_owned()));
        blocks.push(OfficeBlock::Table {
            columns: vec![
                OfficeColumn::short("Time        "),
                OfficeColumn::short("Candidate     "),
                OfficeColumn::blank("What happened, and what was done"),
                OfficeColumn::short("Initials"),
            ],
            rows: vec![Vec::new(); ROWS_TO_FILL_IN],
        });
        blocks
    })
}

fn counts(bundle: &Bundle<'_>) -> String {
    let large = bundle.papers.iter().filter(|(_, paper)| is_large(paper)).count();
    let papers = bundle.papers.len();
    let large = if large > 0 { format!(", {large} of them in large print") } else { String::new() };
    let papers = if papers == 1 { "1 paper".to_owned() } else { format!("{papers} papers") };
    format!(
        "{papers}{large}. Count them before the room is opened:\u{a0}________ and \
         after:\u{a0}________"
    )
}

fn is_large(paper: &Paper) -> bool {
    paper.candidate.needs.contains(&Need::LargePrint)
}

/// What candidates are told, to be read out.
fn instructions(pack: &RoomPack<'_>) -> Vec<OfficeBlock> {
    if pack.blueprint.instructions.is_empty() {
        return Vec::new();
    }
    let heading = OfficeBlock::Heading("To be read out".to_owned());
    let told = pack.blueprint.instructions.iter().cloned().map(OfficeBlock::Words);
    std::iter::once(heading).chain(told).collect()
}

/// The ends, the earliest first, with those who have each.
fn ends(pack: &RoomPack<'_>, bundle: &Bundle<'_>) -> OfficeBlock {
    let usual = pack.blueprint.minutes;
    let mut by_minutes: BTreeMap<u32, Vec<&str>> = BTreeMap::new();
    for (_, paper) in &bundle.papers {
        let minutes = paper.candidate.minutes(usual);
        by_minutes.entry(minutes).or_default().push(&paper.candidate.number);
    }
    let row = |(minutes, numbers): (u32, Vec<&str>)| {
        let end = pack.starts.map(|starts| starts.after(minutes).to_string());
        let who = if minutes == usual {
            let others = if numbers.len() < bundle.papers.len() { "all others" } else { "all" };
            format!("{others} ({})", numbers.len())
        } else {
            numbers.join(", ")
        };
        vec![format!("{minutes} minutes"), end.unwrap_or_else(|| "________".to_owned()), who]
    };
    OfficeBlock::Table {
        columns: vec![
            OfficeColumn::short("Time"),
            OfficeColumn::short("Ends"),
            OfficeColumn::long("Candidates"),
        ],
        rows: by_minutes.into_iter().map(row).collect(),
    }
}

/// Those who need something, with all of it.
fn special(pack: &RoomPack<'_>, bundle: &Bundle<'_>) -> Vec<OfficeBlock> {
    let with_needs = bundle.papers.iter().enumerate();
    let with_needs = with_needs.filter(|(_, (_, paper))| !paper.candidate.needs.is_empty());
    let row = |(place, (_, paper)): (usize, &(usize, &Paper))| {
        let minutes = paper.candidate.minutes(pack.blueprint.minutes);
        let end = pack.starts.map(|starts| starts.after(minutes).to_string());
        vec![
            bundle.seat(place),
            paper.candidate.number.clone(),
            end.unwrap_or_else(|| format!("{minutes} min")),
            name(paper),
            needs(paper),
        ]
    };
    let rows: Vec<Vec<String>> = with_needs.map(row).collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        OfficeBlock::Heading("Candidates with needs".to_owned()),
        OfficeBlock::Table {
            columns: vec![
                OfficeColumn::short("Seat"),
                OfficeColumn::short("Candidate"),
                OfficeColumn::short("Ends"),
                OfficeColumn::long("Name"),
                OfficeColumn::long("Needs"),
            ],
            rows,
        },
    ]
}
