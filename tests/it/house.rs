//! The rules of the house, so that they are kept by a test and not by memory.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The folders of the library, ground floor first; none names one of a later floor or of its own.
/// The commands stand in the program, which the library cannot name.
const FLOORS: &[&[&str]] = &[
    &["words"],
    &["quantity"],
    &["formula"],
    &["bank"],
    &["batch"],
    &["draw"],
    &["problem"],
    &["marking"],
    &["marks"],
    &["scrutiny", "paper", "practice", "analysis"],
    &["export"],
    &["page"],
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn sources(folder: &Path) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let text = fs::read_to_string(&path).unwrap();
            found.push((path, text));
        }
    }
    found.sort();
    found
}

/// The code before its own tests.
fn code(text: &str) -> &str {
    text.split("\nmod tests {").next().unwrap()
}

/// Whether the file is wholly made of tests.
fn is_tests(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name == "tests.rs")
}

#[track_caller]
fn nothing(problems: &[String]) {
    assert!(problems.is_empty(), "\n{}\n", problems.join("\n"));
}

#[test]
fn every_file_says_first_what_it_is() {
    let mut problems = Vec::new();
    for folder in ["src", "tests", "benches"] {
        for (path, text) in sources(&root().join(folder)) {
            if !text.starts_with("//!") {
                problems.push(format!("{} does not begin with `//!`", path.display()));
            }
        }
    }
    nothing(&problems);
}

#[test]
fn no_file_is_too_long_to_read_at_a_sitting() {
    let mut problems = Vec::new();
    for (path, text) in sources(&root().join("src")) {
        let lines = code(&text).lines().count();
        if lines > 400 && !is_tests(&path) {
            problems.push(format!("{} has {lines} lines", path.display()));
        }
    }
    nothing(&problems);
}

#[test]
fn nothing_imports_upwards() {
    let mut problems = Vec::new();
    for (floor, folders) in FLOORS.iter().enumerate() {
        for folder in *folders {
            let barred = FLOORS[floor..].iter().copied().flatten().filter(|other| *other != folder);
            let barred: Vec<String> = barred.map(|other| format!("crate::{other}")).collect();
            for (path, text) in sources(&root().join("src").join(folder)) {
                let code = code(&text);
                for name in barred.iter().filter(|name| code.contains(name.as_str())) {
                    problems.push(format!("{} names {name}", path.display()));
                }
                // A list would hide from this test what it names.
                if code.contains("crate::{") {
                    problems.push(format!("{} lists imports of several folders", path.display()));
                }
            }
        }
    }
    nothing(&problems);
}

/// What a path such as `crate::bank::reading::{Report, words::Text}` names below a module.
fn named(code: &str, module: &str) -> Vec<String> {
    let names = |rest: &str| -> Vec<String> {
        let word = |text: &str| -> String {
            text.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
        };
        match rest.strip_prefix('{') {
            Some(list) => {
                let mut depth = 0;
                let parted = list.split(|c| {
                    depth += i32::from(c == '{') - i32::from(c == '}');
                    depth < 0 || (depth == 0 && c == ',')
                });
                let end = list.find(';').unwrap_or(list.len());
                let within = |part: &&str| part.as_ptr() as usize - list.as_ptr() as usize <= end;
                parted.take_while(within).map(word).collect()
            }
            None => vec![word(rest)],
        }
    };
    let path = format!("{module}::");
    let found = code.match_indices(&path).flat_map(|(at, _)| names(&code[at + path.len()..]));
    found.filter(|name| !name.is_empty()).collect()
}

/// The files and folders of a folder that name each other in a circle.
///
/// A `mod.rs` that only hands on what its files hold is nobody's neighbour: a name that it hands on
/// stands for the file it comes from.
fn circle(folder: &Path, module: &str) -> Option<Vec<String>> {
    let mut texts: BTreeMap<String, String> = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let files = if path.is_dir() {
            sources(&path)
        } else {
            vec![(path.clone(), fs::read_to_string(&path).unwrap())]
        };
        for (file, text) in files.iter().filter(|(file, _)| !is_tests(file)) {
            // A path that begins with `super` is written out from this folder on.
            let depth = file.strip_prefix(folder).unwrap().components().count();
            let depth = depth - usize::from(file.ends_with("mod.rs"));
            let up = "super::".repeat(depth);
            // What a comment names, nothing stands on.
            let lines = code(text).lines().filter(|line| !line.trim_start().starts_with("//"));
            let text = lines.collect::<Vec<_>>().join("\n");
            let text = text.replace(&format!("super::{up}"), "above::");
            let text = if up.is_empty() { text } else { text.replace(&up, &format!("{module}::")) };
            texts.entry(name.clone()).or_default().push_str(&text);
        }
    }
    let facade = texts.get("mod").cloned().unwrap_or_default();
    let mut handed_on: BTreeMap<String, String> = BTreeMap::new();
    for part in facade.split("pub").filter_map(|part| part.split_once("use ")) {
        let file: String =
            part.1.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
        let list = part.1.split(';').next().unwrap_or_default();
        let names = list.split(|c: char| !c.is_alphanumeric() && c != '_');
        handed_on.extend(names.map(|name| (name.to_owned(), file.clone())));
    }
    let neighbours = |name: &str| -> BTreeSet<String> {
        let text = &texts[name];
        let mut named = named(text, module);
        if name == "mod" {
            let used = texts.keys().filter(|file| {
                let lines =
                    text.lines().filter(|line| !line.starts_with("pub") && !line.contains("mod "));
                lines.into_iter().any(|line| line.contains(&format!("{file}::")))
            });
            named.extend(used.cloned());
        }
        let files = named.into_iter().map(|name| {
            let file = if texts.contains_key(&name) { Some(&name) } else { handed_on.get(&name) };
            file.cloned().unwrap_or_else(|| "mod".to_owned())
        });
        files.filter(|file| file != name && texts.contains_key(file)).collect()
    };
    // Whoever names nobody that is left stands on nothing and is taken away; a circle remains.
    let mut left: BTreeMap<String, BTreeSet<String>> =
        texts.keys().map(|name| (name.clone(), neighbours(name))).collect();
    while let Some(name) = left
        .iter()
        .find(|(_, others)| others.iter().all(|other| !left.contains_key(other)))
        .map(|(name, _)| name.clone())
    {
        left.remove(&name);
    }
    (!left.is_empty()).then(|| {
        left.iter().map(|(name, others)| format!("{module}::{name} names {others:?}")).collect()
    })
}

/// A folder with the path of its module, and all folders below it.
fn folders(folder: PathBuf, module: String) -> Vec<(PathBuf, String)> {
    let mut below = Vec::new();
    for entry in fs::read_dir(&folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            below.extend(folders(path, format!("{module}::{name}")));
        }
    }
    below.push((folder, module));
    below
}

#[test]
fn nothing_goes_in_a_circle() {
    let mut problems = Vec::new();
    for module in ["bank", "export"] {
        for (folder, module) in folders(root().join("src").join(module), format!("crate::{module}"))
        {
            // A volume is one thing, written in several files.
            let circle = circle(&folder, &module).filter(|_| module != "crate::export::volume");
            problems.extend(circle.unwrap_or_default());
            let files = fs::read_dir(&folder)
                .unwrap()
                .filter(|it| it.as_ref().unwrap().path().is_file())
                .count();
            if files > 12 {
                problems.push(format!("{module} holds {files} files"));
            }
        }
    }
    nothing(&problems);
}

#[test]
fn every_folder_of_the_library_has_its_floor() {
    let library = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let told: Vec<&str> = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    let floors: Vec<&str> = FLOORS.iter().copied().flatten().copied().collect();
    assert_eq!(told, floors, "the modules of src/lib.rs stand in the order of the floors");
}

#[test]
fn each_library_lives_in_its_one_place() {
    let places = [
        ("serde_yaml", "src/bank/reading/yaml.rs"),
        ("saphyr_parser", "src/bank/reading/locations"),
        ("rust_decimal", "src/quantity/exact.rs"),
        ("rand_chacha", "src/draw/stream.rs"),
        ("annotate_snippets", "src/bank/reading/report.rs"),
        ("rusqlite", "src/practice/file"),
    ];
    let mut problems = Vec::new();
    for (path, text) in sources(&root().join("src")) {
        for (library, place) in places {
            if code(&text).contains(&format!("{library}::"))
                && !path.starts_with(root().join(place))
            {
                problems
                    .push(format!("{} names {library}, which lives in {place}", path.display()));
            }
        }
    }
    nothing(&problems);
}

#[test]
fn the_program_is_run_in_one_way() {
    let named = concat!("CARGO_BIN_EXE", "_castmark");
    // Where the calls of the system are recorded, another program runs it.
    let may = ["program.rs", "power_cut.rs"].map(|name| root().join("tests/it").join(name));
    let tests = sources(&root().join("tests/it")).into_iter();
    let others = tests.filter(|(path, text)| text.contains(named) && !may.contains(path));
    let problems: Vec<String> =
        others.map(|(path, _)| format!("{} runs the program itself", path.display())).collect();
    nothing(&problems);
}

#[test]
fn no_binary_fraction_draws_solves_or_marks() {
    let mut problems = Vec::new();
    for folder in ["quantity", "formula", "bank", "batch", "draw", "problem", "marking"] {
        for (path, text) in sources(&root().join("src").join(folder)) {
            // What reads YAML has to name what the library could hand over, and refuses it.
            let text = code(&text)
                .replace("fn visit_f64<E: serde::de::Error>(self, _: f64)", "")
                .replace("u128 f32 f64 char", "");
            if text.contains("f64") || text.contains("f32") {
                problems.push(format!("{} names a binary fraction", path.display()));
            }
        }
    }
    nothing(&problems);
}

#[test]
fn the_library_neither_prints_nor_asks_the_machine() {
    let mut problems = Vec::new();
    for folder in FLOORS.iter().copied().flatten() {
        for (path, text) in sources(&root().join("src").join(folder)) {
            let code: String =
                code(&text).lines().filter(|line| !line.trim_start().starts_with("//")).collect();
            for word in
                ["println!", "print!", "dbg!", "SystemTime", "Instant", "std::env", "process::exit"]
            {
                if code.contains(word) {
                    problems.push(format!("{} uses {word}", path.display()));
                }
            }
        }
    }
    nothing(&problems);
}

#[test]
fn every_sheet_carries_the_caution() {
    for layout in fs::read_dir(root().join("exports/layouts")).unwrap() {
        let path = layout.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "jinja") {
            let text = fs::read_to_string(&path).unwrap();
            assert!(text.contains("caution"), "{} does not print the caution", path.display());
        }
    }
}
