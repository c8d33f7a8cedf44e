//! A model of a disk on which only what was synced is sure to last.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;

use super::trace::Step;

/// Every file below a folder, by its path within it.
pub(super) type Tree = BTreeMap<PathBuf, Rc<Vec<u8>>>;

/// The files below a folder of the real disk.
pub(super) fn tree(folder: &Path) -> Tree {
    let mut found = Tree::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(next).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_owned();
                found.insert(name, Rc::new(fs::read(path).unwrap()));
            }
        }
    }
    found
}

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Named {
    Folder,
    File(usize),
}

/// A change of names: which there is, and the folders whose sync makes it last.
#[derive(Clone, Debug)]
struct Change {
    step: Step,
    /// The file that was made.
    file: usize,
    folders: BTreeSet<PathBuf>,
    /// After how many steps it was sure to last, if it ever was.
    lasts: Option<usize>,
    at: usize,
}

/// A run, as a disk saw it.
pub(super) struct Recorded {
    /// What was there before, all of it lasting.
    before: BTreeMap<PathBuf, Named>,
    changes: Vec<Change>,
    /// What each file held that was sure to last, and after how many steps.
    lasting: Vec<Vec<(usize, Rc<Vec<u8>>)>>,
    /// What each file holds at the end.
    written: Vec<Vec<u8>>,
    pub(super) length: usize,
}

impl Recorded {
    /// Follows the steps of a run in a folder that held these files and folders.
    pub(super) fn new(root: &Path, tree: &Tree, folders: &[PathBuf], steps: &[Step]) -> Self {
        let mut before = BTreeMap::from([(root.to_owned(), Named::Folder)]);
        before.extend(folders.iter().map(|folder| (folder.clone(), Named::Folder)));
        let (mut lasting, mut written) = (Vec::new(), Vec::new());
        for (path, bytes) in tree {
            before.insert(root.join(path), Named::File(written.len()));
            lasting.push(vec![(0, bytes.clone())]);
            written.push(bytes.to_vec());
        }
        let mut all = Self { before, changes: Vec::new(), lasting, written, length: steps.len() };
        let mut names = all.before.clone();
        for (at, step) in steps.iter().enumerate() {
            all.follow(at + 1, step, &mut names);
        }
        all
    }

    fn follow(&mut self, at: usize, step: &Step, names: &mut BTreeMap<PathBuf, Named>) {
        let file = |names: &BTreeMap<PathBuf, Named>, path: &Path| match names.get(path) {
            Some(Named::File(file)) => *file,
            other => panic!("{} is no file: {other:?}", path.display()),
        };
        let mut made = 0;
        match step {
            Step::Open { path, emptied } => {
                if names.contains_key(path) {
                    if *emptied {
                        self.written[file(names, path)].clear();
                    }
                    return;
                }
                made = self.written.len();
                self.written.push(Vec::new());
                self.lasting.push(vec![(0, Rc::default())]);
            }
            Step::Write(path, bytes) => {
                return self.written[file(names, path)].extend(bytes);
            }
            Step::Cut(path, length) => return self.written[file(names, path)].truncate(*length),
            Step::Sync(path) => {
                if names.get(path) == Some(&Named::Folder) {
                    let of_it = |change: &&mut Change| change.folders.contains(path);
                    for change in self.changes.iter_mut().filter(of_it) {
                        change.folders.remove(path);
                        if change.folders.is_empty() {
                            change.lasts = Some(at);
                        }
                    }
                } else {
                    let file = file(names, path);
                    self.lasting[file].push((at, Rc::new(self.written[file].clone())));
                }
                return;
            }
            _ => {}
        }
        let folders = touched(step).into_iter().filter_map(|path| Some(path.parent()?.to_owned()));
        let change =
            Change { step: step.clone(), file: made, folders: folders.collect(), lasts: None, at };
        assert!(apply(names, &change), "{step:?} cannot have happened");
        self.changes.push(change);
    }

    /// The names after all steps, with what their files hold, as if nothing had been lost.
    pub(super) fn end(&self, root: &Path) -> Tree {
        let mut names = self.before.clone();
        self.changes.iter().for_each(|change| assert!(apply(&mut names, change)));
        self.files(root, &names, None)
    }

    /// The changes of names after so many steps that were not yet sure to last.
    pub(super) fn open(&self, steps: usize) -> Vec<usize> {
        let changes = self.changes.iter().enumerate();
        let open =
            changes.filter(|(_, it)| it.at <= steps && it.lasts.is_none_or(|lasts| lasts > steps));
        open.map(|(number, _)| number).collect()
    }

    /// What is found when the power fails after so many steps and these changes of names that were not
    /// sure to last are lost. Of every file only what was synced is there.
    pub(super) fn after(&self, root: &Path, steps: usize, lost: &BTreeSet<usize>) -> Tree {
        let mut names = self.before.clone();
        for (number, change) in self.changes.iter().enumerate().filter(|(_, it)| it.at <= steps) {
            if !lost.contains(&number) {
                // What hangs on a change that is lost is lost with it.
                apply(&mut names, change);
            }
        }
        self.files(root, &names, Some(steps))
    }

    fn files(&self, root: &Path, names: &BTreeMap<PathBuf, Named>, steps: Option<usize>) -> Tree {
        let file = |(path, named): (&PathBuf, &Named)| {
            let Named::File(file) = named else { return None };
            let bytes = match steps {
                None => Rc::new(self.written[*file].clone()),
                Some(steps) => {
                    let mut versions = self.lasting[*file].iter().rev();
                    Rc::clone(&versions.find(|(at, _)| *at <= steps)?.1)
                }
            };
            Some((path.strip_prefix(root).unwrap().to_owned(), bytes))
        };
        names.iter().filter_map(file).collect()
    }
}

/// The names that a step changes.
fn touched(step: &Step) -> Vec<&PathBuf> {
    match step {
        Step::Open { path, .. } | Step::MakeFolder(path) | Step::Remove(path) => vec![path],
        Step::Link(_, to) => vec![to],
        Step::Rename(from, to) | Step::Exchange(from, to) => vec![from, to],
        Step::Write(..) | Step::Cut(..) | Step::Sync(_) => Vec::new(),
    }
}

/// Changes names; says whether that could be done.
fn apply(names: &mut BTreeMap<PathBuf, Named>, change: &Change) -> bool {
    let has_folder = |names: &BTreeMap<PathBuf, Named>, path: &Path| {
        path.parent().is_some_and(|it| names.get(it) == Some(&Named::Folder))
    };
    match &change.step {
        Step::Open { path, .. } => {
            has_folder(names, path)
                && names.insert(path.clone(), Named::File(change.file)).is_none()
        }
        Step::MakeFolder(path) => {
            has_folder(names, path) && names.insert(path.clone(), Named::Folder).is_none()
        }
        Step::Link(from, to) => {
            let Some(file) = names.get(from).copied() else { return false };
            has_folder(names, to) && names.insert(to.clone(), file).is_none()
        }
        Step::Remove(path) => names.remove(path).is_some(),
        Step::Rename(from, to) => {
            let moved = take(names, from);
            if moved.is_empty() {
                return false;
            }
            take(names, to);
            put(names, to, moved);
            true
        }
        Step::Exchange(one, other) => {
            if !names.contains_key(one) || !names.contains_key(other) {
                return false;
            }
            let (first, second) = (take(names, one), take(names, other));
            put(names, other, first);
            put(names, one, second);
            true
        }
        Step::Write(..) | Step::Cut(..) | Step::Sync(_) => true,
    }
}

/// Takes a name away with all that is below it.
fn take(names: &mut BTreeMap<PathBuf, Named>, path: &Path) -> Vec<(PathBuf, Named)> {
    let below: Vec<PathBuf> = names.keys().filter(|it| it.starts_with(path)).cloned().collect();
    let inner = |whole: &PathBuf| whole.strip_prefix(path).unwrap().to_owned();
    below.into_iter().map(|whole| (inner(&whole), names.remove(&whole).unwrap())).collect()
}

fn put(names: &mut BTreeMap<PathBuf, Named>, path: &Path, moved: Vec<(PathBuf, Named)>) {
    let whole = |inner: PathBuf| {
        if inner == Path::new("") { path.to_owned() } else { path.join(inner) }
    };
    names.extend(moved.into_iter().map(|(inner, named)| (whole(inner), named)));
}
