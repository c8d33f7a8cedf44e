//! What is needed to prepare the rooms of a paper.

use crate::bank::{Blueprint, Clock};
use crate::export::office::{OfficeBlock, OfficeSheet};
use crate::export::{Detail, Front};
use crate::paper::{Bundle, Paper, Together};

/// What is needed to prepare the rooms of a paper.
#[derive(Clone, Debug)]
pub struct RoomPack<'a> {
    /// The blueprint.
    pub blueprint: &'a Blueprint,
    /// The bundles: a room or group each.
    pub bundles: Vec<Bundle<'a>>,
    /// By what they are put together.
    pub by: Option<Together>,
    /// When the paper begins.
    pub starts: Option<Clock>,
    /// How many seats stand beside each other.
    pub across: usize,
}

impl RoomPack<'_> {
    /// A document that has a page, or several, for every bundle.
    pub(super) fn of_each(
        &self,
        title: &str,
        blocks: impl Fn(&Bundle<'_>) -> Vec<OfficeBlock>,
    ) -> OfficeSheet {
        let mut all = Vec::new();
        for (index, bundle) in self.bundles.iter().enumerate() {
            if index > 0 {
                all.push(OfficeBlock::NewPage);
            }
            all.extend(self.called(bundle).map(OfficeBlock::Heading));
            all.extend(blocks(bundle));
        }
        OfficeSheet {
            front: Front::of(self.blueprint),
            title: format!("{}: {title}", self.blueprint.title),
            foot: Vec::new(),
            details: self.details(),
            square: None,
            blocks: all,
        }
    }

    /// `Room B12`; nothing where the class is not divided.
    pub(super) fn called(&self, bundle: &Bundle<'_>) -> Option<String> {
        let by = self.by?;
        Some(match &bundle.name {
            // `Hall 1` and `Room B12` say what they are.
            Some(name) if by == Together::Room && name.contains(' ') => name.clone(),
            Some(name) => format!("{} {name}", if by == Together::Room { "Room" } else { "Group" }),
            None => format!("No {} in the class list", by.word()),
        })
    }

    fn details(&self) -> Vec<Detail> {
        let facts = [
            ("Course", self.blueprint.course.clone()),
            ("Date", self.blueprint.date.clone()),
            ("Begins", self.starts.map(|starts| starts.to_string())),
            ("Time allowed", Some(format!("{} minutes", self.blueprint.minutes))),
        ];
        let fact = |(label, value): (&str, Option<String>)| {
            Some(Detail { label: label.to_owned(), value: value? })
        };
        facts.into_iter().filter_map(fact).collect()
    }
}

/// The name of a candidate, or a blank.
pub(super) fn name(paper: &Paper) -> String {
    paper.candidate.name.clone().unwrap_or_default()
}

/// What a candidate needs, in words.
pub(super) fn needs(paper: &Paper) -> String {
    let needs: Vec<String> = paper.candidate.needs.iter().map(ToString::to_string).collect();
    needs.join("; ")
}
