//! Papers on the way into their folder: what is made for each candidate, each bundle and the room.

use castmark::bank::{Bank, Blueprint, Clock};
#[cfg(feature = "pdf")]
use castmark::export::OwnFont;
use castmark::export::{
    Document, DocumentKind, Exporter, Options, PaperPress, RoomPack, empty_answers, key_table,
    key_table_rows, office_file,
};
use castmark::paper::{Bundle, Paper, PaperSet, Together};

use super::super::disk::Draft;
use super::super::layouts::Layouts;
use super::super::outcome::Failure;
use super::super::terminal::Terminal;
use super::changes::Changes;
use super::documents::{ANSWERS, KEY_TABLE, OfCandidate, ROOM, Wanted};
use super::folder::{Folder, file_name};
use super::size_of;
use super::workshop::{Binding, Kept, Workshop};

/// How many papers are made before progress is told again.
const TELLING: usize = 32;

/// Papers on the way into their folder.
pub(super) struct Making<'a> {
    /// The folder, as it is.
    pub folder: &'a Folder,
    /// By what files are bound.
    pub by: Option<Together>,
    /// Which documents are made.
    pub documents: Vec<Wanted>,
    /// In which formats.
    pub formats: Vec<&'static dyn Exporter>,
    /// Layouts of one's own.
    pub layouts: Layouts,
    /// Whether each candidate begins a sheet in a file for printing on both sides.
    pub both_sides: bool,
    /// Whether there are no files for each candidate.
    pub bound_only: bool,
    /// When the paper begins.
    pub starts: Option<Clock>,
    /// How many seats are beside each other.
    pub across: usize,
    /// A font beside those in the program.
    #[cfg(feature = "pdf")]
    pub font: Option<OwnFont>,
}

impl Making<'_> {
    /// The bundles into which papers are bound, each with its folder.
    fn bundles<'s>(&self, set: &'s PaperSet) -> Vec<(String, Bundle<'s>)> {
        let papers: Vec<(usize, &Paper)> = set.papers.iter().enumerate().collect();
        let bundles = Bundle::of(&papers, self.by).into_iter().enumerate();
        let in_folder = |(number, bundle): (usize, Bundle<'s>)| match self.by {
            Some(by) => {
                let name = bundle.name.as_deref().unwrap_or("others");
                (format!("by-{}/{}/", by.word(), file_name(number, name)), bundle)
            }
            None => (String::new(), bundle),
        };
        bundles.map(in_folder).collect()
    }

    /// What is made for each candidate: the documents asked for, and packages where a format makes them.
    fn of_candidates(&self) -> Vec<OfCandidate> {
        let asked = self.documents.iter().filter_map(|it| it.of_candidate());
        let all = asked.chain([OfCandidate::Sheet(Document::Package)]);
        all.filter(|it| self.formats.iter().any(|format| it.is_made_by(*format))).collect()
    }

    /// The formats in which lists of the office are made.
    fn of_office(&self) -> impl Iterator<Item = &'static dyn Exporter> + '_ {
        self.formats.iter().copied().filter(|format| !format.is_package())
    }

    /// The folders in the folder.
    pub(super) fn folders(&self, set: &PaperSet) -> Vec<String> {
        let mut folders: Vec<String> = Vec::new();
        if !self.bound_only {
            folders.extend(self.of_candidates().into_iter().map(|it| it.folder().to_owned()));
        }
        if self.documents.contains(&Wanted::Room) {
            folders.push(ROOM.to_owned());
        }
        if let Some(by) = self.by {
            folders.push(format!("by-{}", by.word()));
            folders.extend(self.bundles(set).into_iter().map(|(folder, _)| folder));
        }
        folders
    }

    /// Writes everything but the manifest.
    ///
    /// # Errors
    /// When something cannot be made or written.
    pub(super) fn write(
        &self,
        bank: &Bank,
        blueprint: &Blueprint,
        set: &PaperSet,
        draft: &mut Draft,
        terminal: &mut Terminal,
    ) -> Result<Changes, Failure> {
        let options = Options {
            paper: size_of(set),
            #[cfg(feature = "pdf")]
            font: self.font.clone(),
            ..Options::default()
        };
        let presses = self.formats.iter().map(|format| {
            let layout = self.layouts.get(DocumentKind::Sheet, format.name()).cloned();
            PaperPress::new(*format, &Options { layout, ..options.clone() })
        });
        let with_keys = self.documents.contains(&Wanted::KeyTable);
        let earlier = self.folder.set.as_ref();
        let workshop = Workshop {
            bank,
            blueprint,
            set,
            presses: presses.collect::<Result<_, _>>().map_err(Failure::unusable)?,
            wanted: self.of_candidates(),
            with_keys,
            kept: Kept::of(self.folder.path(), earlier, set),
        };
        let mut changes = Changes::of(earlier, set);
        let old = earlier.map(|earlier| self.bundles(earlier)).unwrap_or_default();
        let mut keys = Vec::new();
        let mut done = 0;
        for (folder, bundle) in self.bundles(set) {
            let earlier = old.iter().find(|(known, _)| *known == folder).map(|(_, bundle)| bundle);
            let same = (&bundle, earlier);
            let kept = !with_keys && workshop.keep(draft, same, (&folder, self.bound_only))?;
            if !kept {
                changes.bound(&folder);
                let mut binding = Binding::new(folder, self.both_sides);
                workshop.make(&bundle.papers, |mut made| {
                    changes.left_out.append(&mut made.left_out);
                    let candidate = &set.papers[made.index].candidate.number;
                    let stem = file_name(made.index, candidate);
                    for leaf in &made.leaves {
                        binding.add(draft, candidate, leaf)?;
                        if !self.bound_only {
                            let ending = leaf.exporter.extension();
                            let name = format!("{}/{stem}.{ending}", leaf.folder);
                            draft.write(&name, &leaf.bytes)?;
                        }
                    }
                    keys.extend(made.keys.map(|row| (made.index, row)));
                    done += 1;
                    if done % TELLING == 0 || done == set.papers.len() {
                        terminal.progress(format_args!("{done} of {} papers", set.papers.len()));
                    }
                    Ok(())
                })?;
                binding.end(draft)?;
            }
        }
        if self.documents.contains(&Wanted::Moderation) {
            workshop.moderation(draft)?;
        }
        if with_keys {
            keys.sort_by_key(|(index, _)| *index);
            let keys: Vec<_> = keys.into_iter().map(|(_, row)| row).collect();
            draft.write(&format!("{KEY_TABLE}.csv"), key_table_rows(&keys).as_bytes())?;
            let table = key_table(blueprint, &keys);
            for format in self.of_office() {
                let bytes = office_file(&table, format, &options).map_err(Failure::unusable)?;
                draft.write(&format!("{KEY_TABLE}.{}", format.extension()), &bytes)?;
            }
        }
        if self.documents.contains(&Wanted::Room) {
            self.write_room(blueprint, set, &options, draft, &mut changes)?;
        }
        if self.documents.contains(&Wanted::Answers) {
            draft.write(ANSWERS, empty_answers(set, blueprint).as_bytes())?;
        }
        Ok(changes)
    }

    /// Writes what the room needs.
    fn write_room(
        &self,
        blueprint: &Blueprint,
        set: &PaperSet,
        options: &Options,
        draft: &mut Draft,
        changes: &mut Changes,
    ) -> Result<(), Failure> {
        let papers: Vec<(usize, &Paper)> = set.papers.iter().enumerate().collect();
        let by = self.by.or_else(|| Together::usual(set.papers.iter()));
        let pack = RoomPack {
            blueprint,
            bundles: Bundle::of(&papers, by),
            by,
            starts: self.starts.or(blueprint.starts),
            across: self.across,
        };
        for (name, sheet) in pack.documents() {
            for format in self.of_office() {
                let bytes = office_file(&sheet, format, options).map_err(Failure::unusable)?;
                let name = format!("{ROOM}/{name}.{}", format.extension());
                changes.written(&name, self.folder.read(&name).as_deref(), &bytes);
                draft.write(&name, &bytes)?;
            }
        }
        Ok(())
    }
}
