//! Which documents of a set of papers are made.

use std::path::Path;

use castmark::export::{Document, Exporter, Reader};
use clap::ValueEnum;

/// A document, or several that belong together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Wanted {
    /// The questions of each candidate, with space to answer
    Papers,
    /// The answers and worked solutions of each candidate
    Keys,
    /// What is accepted of each candidate, what marks are for, and the known slips
    Schemes,
    /// The answer slip of each candidate
    Slips,
    /// The answer grid of each candidate: a line for each part, and the code for a camera
    Grids,
    /// The first paper, each question with its key beside it
    Moderation,
    /// Attendance list, seat plan, invigilator's sheet and labels, without any answer
    Room,
    /// The keys of all candidates, one line each, for markers
    KeyTable,
    /// An empty table to type the answers into
    Answers,
}

/// What is made in the folder for each candidate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum OfCandidate {
    /// A sheet with questions or answers.
    Sheet(Document),
    /// The answer grid.
    Grid,
}

/// The folder of the room's documents.
pub(super) const ROOM: &str = "room";

/// The table of keys, without ending.
pub(super) const KEY_TABLE: &str = "key-table";

/// The table to type into.
pub(super) const ANSWERS: &str = "answers.csv";

/// The folders of files bound by room or group.
pub(super) const BOUND: [&str; 2] = ["by-room", "by-group"];

impl OfCandidate {
    /// All of them.
    pub(super) const ALL: [Self; 6] = [
        Self::Sheet(Document::Questions),
        Self::Sheet(Document::Key),
        Self::Sheet(Document::Scheme),
        Self::Sheet(Document::Slip),
        Self::Sheet(Document::Package),
        Self::Grid,
    ];

    /// Whether a format makes it: what makes packages makes nothing else.
    pub(super) fn is_made_by(self, exporter: &dyn Exporter) -> bool {
        match self {
            Self::Sheet(document) => document.is_made_by(exporter),
            Self::Grid => !exporter.is_package(),
        }
    }

    /// Who reads it.
    pub(super) fn reader(self) -> Reader {
        match self {
            Self::Sheet(document) => document.reader(),
            Self::Grid => Reader::Candidate,
        }
    }

    /// The name of its folder, and of the files bound of it.
    pub(super) fn folder(self) -> &'static str {
        match self {
            Self::Sheet(document) => document.name(),
            Self::Grid => "grids",
        }
    }
}

impl Wanted {
    /// What is made unless somebody says otherwise: all but the grids, which take the place of slips.
    const USUAL: [Self; 8] = [
        Self::Papers,
        Self::Keys,
        Self::Schemes,
        Self::Slips,
        Self::Moderation,
        Self::Room,
        Self::KeyTable,
        Self::Answers,
    ];

    /// The documents asked for; without any, those that are there, or the usual ones.
    pub(super) fn chosen(asked: &[Self], there: Option<&Path>) -> Vec<Self> {
        let mut chosen = asked.to_vec();
        if let Some(folder) = there.filter(|_| asked.is_empty()) {
            chosen =
                Self::value_variants().iter().filter(|it| it.is_there(folder)).copied().collect();
        }
        if chosen.is_empty() {
            chosen = Self::USUAL.to_vec();
        }
        chosen
    }

    /// What it is for each candidate; nothing where it is for the class.
    pub(super) fn of_candidate(self) -> Option<OfCandidate> {
        Some(match self {
            Self::Papers => OfCandidate::Sheet(Document::Questions),
            Self::Keys => OfCandidate::Sheet(Document::Key),
            Self::Schemes => OfCandidate::Sheet(Document::Scheme),
            Self::Slips => OfCandidate::Sheet(Document::Slip),
            Self::Grids => OfCandidate::Grid,
            Self::Moderation | Self::Room | Self::KeyTable | Self::Answers => return None,
        })
    }

    /// Whether it is among the files of a folder.
    fn is_there(self, folder: &Path) -> bool {
        let stem = match self {
            Self::Moderation => Document::Moderation.name(),
            Self::Room => ROOM,
            Self::KeyTable => KEY_TABLE,
            Self::Answers => "answers",
            _ => self.of_candidate().map_or("", OfCandidate::folder),
        };
        let begins = |folder: &Path| {
            let names = std::fs::read_dir(folder).into_iter().flatten().flatten();
            names.map(|entry| entry.file_name().to_string_lossy().into_owned()).any(|name| {
                let bare = name.split('.').next().unwrap_or_default();
                bare.strip_suffix("-large-print").unwrap_or(bare) == stem
            })
        };
        let bound = BOUND.map(|name| folder.join(name)).into_iter().filter(|path| path.is_dir());
        let rooms = bound.flat_map(|path| std::fs::read_dir(path).into_iter().flatten().flatten());
        begins(folder) || rooms.into_iter().any(|room| begins(&room.path()))
    }
}
