//! Papers made into files, and what need not be made again.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use castmark::bank::{Bank, Blueprint};
use castmark::export::{
    Binder, Document, Exporter, KeyRow, PaperPress, Reader, Sheet, TypeSize, answer_grid, key_row,
    office_file,
};
use castmark::paper::{Bundle, Paper, PaperSet};
use castmark::problem::Problem;

use super::super::disk::Draft;
use super::super::outcome::Failure;
use super::super::workers;
use super::documents::OfCandidate;
use super::folder::file_name;

/// A document of a paper as a file.
pub(super) struct Leaf {
    pub folder: &'static str,
    pub exporter: &'static dyn Exporter,
    pub size: TypeSize,
    pub bytes: Vec<u8>,
}

/// What is made of a paper.
pub(super) struct Made {
    /// Its index in the set.
    pub index: usize,
    /// Its files.
    pub leaves: Vec<Leaf>,
    /// What a format could not say of it.
    pub left_out: BTreeSet<String>,
    /// Its line in the table of keys, where that is wanted.
    pub keys: Option<KeyRow>,
}

/// Everything that is needed to make papers into files.
pub(super) struct Workshop<'a> {
    pub bank: &'a Bank,
    pub blueprint: &'a Blueprint,
    pub set: &'a PaperSet,
    pub presses: Vec<PaperPress>,
    /// What is wanted of each candidate.
    pub wanted: Vec<OfCandidate>,
    /// Whether the table of keys is.
    pub with_keys: bool,
    /// What the folder has already.
    pub kept: Kept,
}

/// The files of an earlier run that would come out the same again.
#[derive(Debug, Default)]
pub(super) struct Kept {
    folder: Option<PathBuf>,
    /// The papers that have not changed, by their indices.
    same: BTreeSet<usize>,
}

impl Kept {
    /// What a folder holds of papers that are as they were; nothing where anything else that decides
    /// how files come out has changed.
    pub(super) fn of(folder: &Path, earlier: Option<&PaperSet>, set: &PaperSet) -> Self {
        let Some(earlier) = earlier.filter(|it| it.pressed.is_some() && it.pressed == set.pressed)
        else {
            return Self::default();
        };
        let pairs = earlier.papers.iter().zip(&set.papers).enumerate();
        let same = pairs.filter(|(_, (old, new))| old == new).map(|(index, _)| index).collect();
        Self { folder: Some(folder.to_owned()), same }
    }

    /// Whether a paper is as it was.
    pub(super) fn is_same(&self, index: usize) -> bool {
        self.same.contains(&index)
    }

    /// The file of that name, if it would come out the same.
    fn path(&self, index: usize, name: &str) -> Option<PathBuf> {
        let path = self.folder.as_ref()?.join(name);
        (self.is_same(index) && path.is_file()).then_some(path)
    }

    /// The files bound of a bundle, if none of it would come out otherwise: `earlier` is the bundle that
    /// it was.
    fn bound(
        &self,
        bundle: &Bundle<'_>,
        earlier: Option<&Bundle<'_>>,
        names: &[String],
    ) -> Option<Vec<PathBuf>> {
        let folder = self.folder.as_ref()?;
        let indices = |bundle: &Bundle<'_>| -> Vec<usize> {
            bundle.papers.iter().map(|(index, _)| *index).collect()
        };
        let as_it_was = earlier.is_some_and(|earlier| indices(earlier) == indices(bundle))
            && bundle.papers.iter().all(|(index, _)| self.is_same(*index));
        let paths: Vec<PathBuf> = names.iter().map(|name| folder.join(name)).collect();
        (as_it_was && paths.iter().all(|path| path.is_file())).then_some(paths)
    }
}

impl Workshop<'_> {
    /// Makes the files of papers, by as many workers as the machine has, and hands them on in the order of
    /// the papers.
    pub(super) fn make(
        &self,
        papers: &[(usize, &Paper)],
        hand_on: impl FnMut(Made) -> Result<(), Failure>,
    ) -> Result<(), Failure> {
        workers::in_order(papers, |(index, paper)| self.one(*index, paper), hand_on)
    }

    fn one(&self, index: usize, paper: &Paper) -> Result<Made, Failure> {
        let mut problems: Option<Vec<Arc<Problem>>> = None;
        let mut drawn = || -> Result<Vec<Arc<Problem>>, Failure> {
            if problems.is_none() {
                let made = paper.problems(self.bank, self.blueprint, &self.set.made_by);
                let made = made.map_err(Failure::unusable)?;
                problems = Some(made.into_iter().map(Arc::new).collect());
            }
            Ok(problems.clone().unwrap_or_default())
        };
        let stem = file_name(index, &paper.candidate.number);
        let mut leaves = Vec::with_capacity(self.wanted.len() * self.presses.len());
        let mut left_out = BTreeSet::new();
        for wanted in &self.wanted {
            let mut sheet = None;
            let made_by = |press: &&PaperPress| wanted.is_made_by(press.exporter());
            for press in self.presses.iter().filter(made_by) {
                let name = format!("{}/{stem}.{}", wanted.folder(), press.exporter().extension());
                let kept = self.kept.path(index, &name).map(fs::read).and_then(Result::ok);
                let bytes = match (kept, wanted) {
                    (Some(bytes), _) => bytes,
                    (None, OfCandidate::Grid) => {
                        let grid = answer_grid(self.blueprint, paper, &drawn()?);
                        office_file(
                            &grid,
                            press.exporter(),
                            &press.options_of(paper, wanted.reader()),
                        )
                        .map_err(Failure::unusable)?
                    }
                    (None, OfCandidate::Sheet(document)) => {
                        if sheet.is_none() {
                            sheet = Some(self.sheet(paper, drawn()?, *document)?);
                        }
                        left_out.extend(sheet.iter().flat_map(|it| press.exporter().left_out(it)));
                        let sheet = sheet
                            .as_ref()
                            .map(|sheet| press.print(sheet, paper, document.reader()));
                        sheet.transpose().map_err(Failure::unusable)?.unwrap_or_default()
                    }
                };
                leaves.push(Leaf {
                    folder: wanted.folder(),
                    exporter: press.exporter(),
                    size: press.type_size(paper, wanted.reader()),
                    bytes,
                });
            }
        }
        let keys = if self.with_keys { Some(key_row(paper, &drawn()?)) } else { None };
        Ok(Made { index, leaves, left_out, keys })
    }

    fn sheet(
        &self,
        paper: &Paper,
        problems: Vec<impl Into<Arc<Problem>>>,
        document: Document,
    ) -> Result<Sheet, Failure> {
        Sheet::of_paper(self.bank, self.blueprint, paper, problems, document)
            .map_err(Failure::unusable)
    }

    /// The copy for moderation of the first paper in every format.
    pub(super) fn moderation(&self, draft: &mut Draft) -> Result<(), Failure> {
        let Some(first) = self.set.papers.first() else { return Ok(()) };
        let problems = first.problems(self.bank, self.blueprint, &self.set.made_by);
        let problems = problems.map_err(Failure::unusable)?;
        let sheet = self.sheet(first, problems, Document::Moderation)?;
        let made_by = |press: &&PaperPress| Document::Moderation.is_made_by(press.exporter());
        for press in self.presses.iter().filter(made_by) {
            let ending = press.exporter().extension();
            let bytes = press.print(&sheet, first, Reader::Marker).map_err(Failure::unusable)?;
            draft.write(&format!("{}.{ending}", Document::Moderation.name()), &bytes)?;
        }
        Ok(())
    }

    /// Puts the files of a bundle into the draft as they were, where all of them would come out the same;
    /// whether that could be done.
    pub(super) fn keep(
        &self,
        draft: &mut Draft,
        (bundle, earlier): (&Bundle<'_>, Option<&Bundle<'_>>),
        (within, bound_only): (&str, bool),
    ) -> Result<bool, Failure> {
        let mut names = BTreeSet::new();
        for wanted in &self.wanted {
            let made_by = |press: &&PaperPress| wanted.is_made_by(press.exporter());
            for press in self.presses.iter().filter(made_by) {
                for (at, paper) in &bundle.papers {
                    let ending = press.exporter().extension();
                    if let Some(bound) = Binding::name(
                        within,
                        wanted.folder(),
                        press.exporter(),
                        press.type_size(paper, wanted.reader()),
                    ) {
                        names.insert(bound);
                    }
                    if !bound_only {
                        let stem = file_name(*at, &paper.candidate.number);
                        names.insert(format!("{}/{stem}.{ending}", wanted.folder()));
                    }
                }
            }
        }
        let names: Vec<String> = names.into_iter().collect();
        let Some(paths) = self.kept.bound(bundle, earlier, &names) else { return Ok(false) };
        for (path, name) in paths.iter().zip(&names) {
            draft.keep(path, name)?;
        }
        Ok(true)
    }
}

/// The files that hold a document for a bundle, large print apart from the others.
pub(super) struct Binding {
    within: String,
    both_sides: bool,
    files: Vec<(String, Binder)>,
}

impl Binding {
    /// Binds into files of that folder, or none, inside the folder of the papers.
    pub(super) fn new(within: String, both_sides: bool) -> Self {
        Self { within, both_sides, files: Vec::new() }
    }

    /// The name of the file that a document is bound into; nothing for a format that is not bound.
    fn name(within: &str, folder: &str, exporter: &dyn Exporter, size: TypeSize) -> Option<String> {
        let binder = Binder::new(exporter.name(), false)?;
        let ending = binder.extension().unwrap_or(exporter.extension());
        let large = if size == TypeSize::Large { "-large-print" } else { "" };
        Some(format!("{within}{folder}{large}.{ending}"))
    }

    /// Adds the document of a candidate.
    pub(super) fn add(
        &mut self,
        draft: &mut Draft,
        candidate: &str,
        leaf: &Leaf,
    ) -> Result<(), Failure> {
        let name = Self::name(&self.within, leaf.folder, leaf.exporter, leaf.size);
        let new = Binder::new(leaf.exporter.name(), self.both_sides);
        let Some((name, new)) = name.zip(new) else { return Ok(()) };
        let index = self.files.iter().position(|(known, _)| *known == name);
        let index = index.unwrap_or_else(|| {
            self.files.push((name.clone(), new));
            self.files.len() - 1
        });
        let piece = self.files[index].1.add(candidate, &leaf.bytes);
        draft.append(&name, &piece.map_err(Failure::unusable)?)
    }

    /// Ends all files.
    pub(super) fn end(self, draft: &mut Draft) -> Result<(), Failure> {
        for (name, binder) in self.files {
            draft.append(&name, &binder.end().map_err(Failure::unusable)?)?;
        }
        Ok(())
    }
}
