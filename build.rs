//! Puts the files of `question-templates/` into the program.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let root = Path::new("question-templates");
    let mut files = Vec::new();
    collect(root, &mut files)?;
    files.sort();
    let mut code = String::from("static BUNDLED: &[(&str, &str)] = &[\n");
    for file in &files {
        let shown =
            file.strip_prefix(root).unwrap_or(file).display().to_string().replace('\\', "/");
        let full = fs::canonicalize(file)?;
        let full = full.display().to_string();
        writeln!(code, "    ({shown:?}, include_str!({full:?})),").map_err(io::Error::other)?;
    }
    code.push_str("];\n");
    let out = env::var_os("OUT_DIR").map(PathBuf::from).unwrap_or_default();
    fs::write(out.join("bundled.rs"), code)
}

/// Every YAML file below a folder; the folder is watched, so that a new file is noticed.
fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    println!("cargo:rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, files)?;
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            println!("cargo:rerun-if-changed={}", path.display());
            files.push(path);
        }
    }
    Ok(())
}
