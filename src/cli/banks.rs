//! The bank a command works with.

use std::fs;
use std::path::{Path, PathBuf};

use castmark::bank::{Bank, Report, SourceText, Template};
use castmark::formula::nearest;
use clap::Args;

use super::disk::{plainly, read_source};
use super::outcome::Failure;
use super::terminal::Terminal;

/// More files than this are no bank; perhaps the folder is not the one that was meant.
const MOST_FILES: usize = 2000;

/// How many folders within folders are looked into.
const DEEPEST: usize = 8;

/// Which bank is used.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct WhichBank {
    /// A folder with templates and facts of your own, beside those that come with castmark; a template
    /// takes the place of that of its name, and rows of facts join the table of theirs
    #[arg(long, value_name = "FOLDER", help_heading = "Other options")]
    bank: Option<PathBuf>,
}

impl WhichBank {
    /// Loads the bundled templates and those of the folder. The bundled ones are read when they are
    /// asked for.
    ///
    /// # Errors
    /// When the folder cannot be read, or with everything that is wrong with its files.
    pub(super) fn load(&self, terminal: &Terminal) -> Result<Bank, Failure> {
        let loaded = match &self.bank {
            None => Bank::bundled(),
            Some(folder) => Bank::with_own(read_folder(folder)?),
        };
        loaded.map_err(|report| unusable(&report, terminal))
    }

    /// Loads the bundled templates and those of the folder, and reads and checks all of them.
    ///
    /// # Errors
    /// When the folder cannot be read, or with everything that is wrong with any file.
    pub(super) fn load_whole(&self, terminal: &Terminal) -> Result<Bank, Failure> {
        Bank::read_whole(self.own_files()?).map_err(|report| unusable(&report, terminal))
    }

    /// Names files of the folder by it and not by where it is, which is nobody else's business.
    pub(super) fn name_by_folder(&self, files: &mut [SourceText]) {
        let Some(folder) = &self.bank else { return };
        let name = folder.file_name().map_or_else(|| "own".into(), |name| name.to_string_lossy());
        for file in files {
            let path = Path::new(&file.path);
            let inside = path.strip_prefix(folder).unwrap_or(path);
            file.path = format!("{name}/{}", inside.display());
        }
    }

    /// The files of the folder, as they were read; none without a folder.
    ///
    /// # Errors
    /// When the folder cannot be read.
    pub(super) fn own_files(&self) -> Result<Vec<SourceText>, Failure> {
        self.bank.as_deref().map_or_else(|| Ok(Vec::new()), read_folder)
    }
}

fn unusable(report: &Report, terminal: &Terminal) -> Failure {
    let drawn = if terminal.colour() { report.styled() } else { report.plain() };
    Failure::unusable(format!("the bank cannot be used\n\n{}", drawn.trim_end()))
}

/// The template of that id.
///
/// # Errors
/// When the bank has none, with the nearest that it has.
pub(super) fn template<'a>(
    bank: &'a Bank,
    id: &str,
) -> Result<&'a std::sync::Arc<Template>, Failure> {
    bank.find(id).ok_or_else(|| {
        let known = bank.headings().map(|heading| heading.id.as_str());
        if bank.headings().any(|heading| heading.id == id) {
            return Failure::unusable(format!(
                "the template `{id}` cannot be used; `castmark bank check` says what is wrong with it"
            ));
        }
        let what_to_do = match nearest(id, known) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "`castmark bank list` shows all of them".to_owned(),
        };
        Failure::unusable(format!("there is no template `{id}`; {what_to_do}"))
    })
}

/// All templates and facts in a folder and the folders in it, in the order of their names.
fn read_folder(folder: &Path) -> Result<Vec<SourceText>, Failure> {
    let mut paths = Vec::new();
    find_files(folder, DEEPEST, &mut paths)?;
    paths.sort();
    let shown = folder.display();
    if paths.is_empty() {
        return Err(Failure::unusable(format!(
            "there is no template in `{shown}`; templates are files whose names end in .yaml"
        )));
    }
    if paths.len() > MOST_FILES {
        return Err(Failure::unusable(format!(
            "there are more than {MOST_FILES} files in `{shown}`; is it the right folder?"
        )));
    }
    paths.iter().map(|path| read_source(path)).collect()
}

fn find_files(folder: &Path, depth: usize, paths: &mut Vec<PathBuf>) -> Result<(), Failure> {
    let cannot = |error: &std::io::Error| {
        let shown = folder.display();
        Failure::unusable(format!("the folder `{shown}` cannot be read: {}", plainly(error)))
    };
    for entry in fs::read_dir(folder).map_err(|error| cannot(&error))? {
        let entry = entry.map_err(|error| cannot(&error))?;
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        let path = entry.path();
        if hidden || paths.len() > MOST_FILES {
            continue;
        }
        if path.is_dir() {
            if depth > 0 {
                find_files(&path, depth - 1, paths)?;
            }
        } else if path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml") {
            let shown = path.display();
            if path.exists() && !path.is_file() {
                return Err(Failure::unusable(format!(
                    "`{shown}` is a device or a pipe, not a file; move it out of the folder"
                )));
            }
            paths.push(path);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(failure: Failure, expected: &str) {
        let Failure::Unusable(text) = failure else { panic!("nobody reads") };
        assert_eq!(text, expected);
    }

    #[test]
    fn files_are_found_in_folders_within_folders_but_not_in_hidden_ones() {
        let folder = tempfile::tempdir().unwrap();
        let put = |path: &str| {
            let path = folder.path().join(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "text").unwrap();
        };
        put("b.yaml");
        put("inner/a.yml");
        put("inner/notes.txt");
        put(".hidden/c.yaml");
        let files = read_folder(folder.path()).unwrap();
        let names: Vec<&str> =
            files.iter().map(|file| file.path.rsplit('/').next().unwrap()).collect();
        assert_eq!(names, ["b.yaml", "a.yml"]);
    }

    #[test]
    fn refuses_a_folder_without_templates_and_one_that_is_missing() {
        let folder = tempfile::tempdir().unwrap();
        let shown = folder.path().display();
        check(
            read_folder(folder.path()).unwrap_err(),
            &format!(
                "there is no template in `{shown}`; templates are files whose names end in .yaml"
            ),
        );
        check(
            read_folder(&folder.path().join("none")).unwrap_err(),
            &format!(
                "the folder `{shown}/none` cannot be read: there is no such file or folder; check the name"
            ),
        );
    }

    #[test]
    fn a_misspelt_template_is_met_with_the_nearest() {
        let bank = Bank::bundled().unwrap();
        check(
            template(&bank, "base-one-drugs").unwrap_err(),
            "there is no template `base-one-drugs`; did you mean `base-one-drug`?",
        );
        check(
            template(&bank, "zzz").unwrap_err(),
            "there is no template `zzz`; `castmark bank list` shows all of them",
        );
    }
}
