//! Puts the files of `question-templates/` and the script of the page into the program.

#[path = "src/bank/files/outline.rs"]
mod outline;

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

use outline::Outline;

fn main() -> io::Result<()> {
    let out = env::var_os("OUT_DIR").map(PathBuf::from).unwrap_or_default();
    fs::write(out.join("bundled.rs"), bundled(Path::new("question-templates"))?)?;
    fs::write(out.join("script.rs"), script(Path::new("exports/page/script"))?)
}

/// The files of the bank, each with its path and its outline.
fn bundled(root: &Path) -> io::Result<String> {
    let mut files = Vec::new();
    collect(root, "yaml", &mut files)?;
    files.sort();
    let mut code = String::from("static BUNDLED: &[Bundled] = &[\n");
    for file in &files {
        let path = file.strip_prefix(root).unwrap_or(file).display().to_string().replace('\\', "/");
        let text = fs::read_to_string(file)?;
        let outline = Outline::of(&text).map_or_else(|| "None".to_owned(), written);
        let full = fs::canonicalize(file)?.display().to_string();
        let text = format!("include_str!({full:?})");
        writeln!(code, "    Bundled {{ path: {path:?}, outline: {outline}, text: {text} }},")
            .map_err(io::Error::other)?;
    }
    code.push_str("];\n");
    Ok(code)
}

/// An outline as it is written in Rust.
fn written(outline: Outline<'_>) -> String {
    let Outline { id, title, objective, topic, level, minutes, steps } = outline;
    format!(
        "Some(Outline {{ id: {id:?}, title: {title:?}, objective: {objective:?}, topic: {topic:?}, \
         level: {level:?}, minutes: {minutes:?}, steps: {steps} }})"
    )
}

/// The pieces of the page's script, in the order of their names, without comments: every page carries it.
fn script(root: &Path) -> io::Result<String> {
    let mut files = Vec::new();
    collect(root, "js", &mut files)?;
    files.sort();
    let mut script = String::new();
    for file in &files {
        script.push_str(&without_comments(&fs::read_to_string(file)?));
    }
    Ok(format!("const SCRIPT: &str = {script:?};\n"))
}

/// A script without the lines that are comments or empty. A comment beside code stays.
fn without_comments(script: &str) -> String {
    let mut bare = String::new();
    let mut within = false;
    for line in script.lines() {
        let text = line.trim();
        let begins = text.starts_with("/*") && !text.contains("*/");
        let alone = text.starts_with("/*") && text.ends_with("*/");
        let says_nothing = text.is_empty() || text.starts_with("//") || alone;
        if !(within || begins || says_nothing) {
            bare.push_str(line);
            bare.push('\n');
        }
        within = (within || begins) && !text.ends_with("*/");
    }
    bare
}

/// Every file with this ending below a folder; the folder is watched, so that a new file is noticed.
fn collect(folder: &Path, ending: &str, files: &mut Vec<PathBuf>) -> io::Result<()> {
    println!("cargo:rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, ending, files)?;
        } else if path.extension().is_some_and(|found| found == ending) {
            println!("cargo:rerun-if-changed={}", path.display());
            files.push(path);
        }
    }
    Ok(())
}
