//! The README is true: its consoles are run and compared, its commands exist, and the samples are
//! what the program makes today.
//!
//! `CASTMARK_REWRITE=1` writes what the program makes in place of what stands there.

use std::fs;
use std::path::Path;

use super::program::{self, Folder, Ran};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn rewriting() -> bool {
    std::env::var_os("CASTMARK_REWRITE").is_some()
}

/// What the program prints for these arguments, wherever it prints it.
fn castmark(arguments: &[String]) -> String {
    let ran = Ran::of(program::castmark(arguments).env("COLUMNS", "80"));
    ran.out + &ran.err
}

/// Splits a command as a shell does, with double quotes.
fn words(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in command.chars() {
        match letter {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            letter => words.last_mut().unwrap().push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

#[test]
fn the_consoles_show_what_the_program_prints() {
    for page in ["README.md", "exports/README.md"] {
        consoles_of(&root().join(page));
    }
}

fn consoles_of(path: &Path) {
    let readme = fs::read_to_string(path).unwrap();
    let mut made = String::new();
    let mut rest = readme.as_str();
    while let Some(start) = rest.find("```console\n$ ") {
        let (before, block) = rest.split_at(start);
        let end = block[10..].find("```").unwrap() + 10;
        let command = block["```console\n$ ".len()..].lines().next().unwrap();
        let arguments = words(command.strip_prefix("castmark ").unwrap());
        let output = castmark(&arguments);
        made.push_str(before);
        made.extend(["```console\n$ ", command, "\n", output.trim_end(), "\n"]);
        rest = &block[end..];
    }
    made.push_str(rest);
    if rewriting() {
        fs::write(path, made).unwrap();
    } else {
        assert_eq!(readme, made, "run the tests with CASTMARK_REWRITE=1 and check the difference");
    }
}

/// The commands of the blocks without output do what they say, in a folder with nothing but the
/// examples for papers.
#[test]
fn the_commands_without_output_run_too() {
    for page in
        ["README.md", "exports/README.md", "exports/papers/README.md", "exports/exchange/README.md"]
    {
        commands_of(&root().join(page));
    }
}

fn commands_of(page: &Path) {
    let readme = fs::read_to_string(page).unwrap();
    let folder = Folder::new();
    for name in ["midterm.yaml", "class.csv", "answers.csv"] {
        fs::copy(root().join("exports/papers").join(name), folder.path(name)).unwrap();
    }
    let blocks = readme.split("```sh\n").skip(1).map(|rest| rest.split("```").next().unwrap());
    let lines: Vec<&str> = blocks.flat_map(str::lines).collect();
    let commands: Vec<&str> =
        lines.iter().filter_map(|line| line.strip_prefix("castmark ")).collect();
    assert!(!commands.is_empty());
    let is_there = |command: &&str| cfg!(feature = "record") || !command.starts_with("practise");
    for command in commands.into_iter().filter(is_there) {
        let output = Ran::of(
            program::castmark(words(command)).current_dir(folder.root()).env("HOME", folder.root()),
        );
        assert_eq!(output.code, 0, "castmark {command}: {output:?}");
        if let Some((_, file)) = command.split_once("--output ") {
            assert!(folder.path(file).is_file(), "castmark {command} makes no {file}");
        }
    }
}

#[test]
fn the_commands_and_files_it_names_exist() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let named = readme.split('`').filter_map(|span| span.strip_prefix("castmark "));
    for command in named.filter(|span| !span.contains('\n')) {
        let mut arguments = words(command);
        arguments.push("--help".to_owned());
        assert!(castmark(&arguments).contains("Usage"), "castmark {command}");
    }
    for link in readme.split("](").skip(1) {
        let target = link.split([')', '#']).next().unwrap();
        assert!(target.starts_with("https://") || root().join(target).exists(), "{target}");
    }
}

/// DEVELOPERS.md follows one value through one problem, with the numbers of that problem.
#[test]
fn the_way_of_one_value_tells_its_numbers() {
    let guide = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let way = guide.split("## The way of one value").nth(1).unwrap().split("\n## ").next().unwrap();
    let command = |text: &str| castmark(&words(text));
    let mut made = command("problem --code base-one-drug.aaaa-aaaaa --show solutions");
    for answer in ["45.75 g", "50550 mg", "50.52 g"] {
        made += &command(&format!("check base-one-drug.aaaa-aaaaa \"base={answer}\""));
    }
    assert!(made.contains("50550 mg is correct") && made.contains("50.52 g is correct"), "{made}");
    let numbers = way.split('`').skip(1).step_by(2).filter(|span| span.ends_with(" g"));
    for number in numbers {
        assert!(made.contains(number), "{number} is not in:\n{made}");
    }
}

#[test]
fn it_opens_with_the_job_and_then_the_two_commands() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let blocks: Vec<&str> = readme.split("\n\n").collect();
    assert!(blocks[0].starts_with("# Castmark"));
    assert!(blocks[1].len() > 200 && !blocks[1].contains('\n'), "one paragraph says the job");
    let run = readme.find("cargo run -- problem").unwrap();
    let test = readme.find("cargo test\n").unwrap();
    assert!(run < test && readme[..run].matches("\n\n").count() <= 4);
}

#[cfg(feature = "pdf")]
#[test]
fn the_samples_as_pdf_are_what_the_program_makes_today() {
    let codes = [
        "capacity-from-masses.aaaa-aaaaa",
        "value-from-dose.aaaa-aaaaa",
        "base-one-drug.aaaa-aaaaa",
        "base-two-drugs.aaaa-aaaaa",
    ];
    let made = tempfile::tempdir().unwrap();
    for name in ["questions", "key", "solutions"] {
        let file = made.path().join(format!("{name}.pdf"));
        let output = file.to_str().unwrap().to_owned();
        let mut arguments: Vec<String> =
            ["problem", "--show", name, "--output", &output, "--code"].map(str::to_owned).to_vec();
        arguments.extend(codes.map(str::to_owned));
        assert_eq!(castmark(&arguments), "");
        let made = fs::read(&file).unwrap();
        let path = root().join("exports/samples").join(format!("{name}.pdf"));
        if rewriting() {
            fs::write(&path, &made).unwrap();
        }
        let kept = fs::read(&path).unwrap_or_default();
        assert!(kept == made, "{} is not what the program makes today", path.display());
        assert!(made.len() < 150_000, "{} is too large", path.display());
    }
}

#[test]
fn the_samples_are_what_the_program_makes_today() {
    let codes = [
        "capacity-from-masses.aaaa-aaaaa",
        "value-from-dose.aaaa-aaaaa",
        "base-one-drug.aaaa-aaaaa",
        "base-two-drugs.aaaa-aaaaa",
    ];
    let theory = [
        "lubricant-for-a-base.aaaa-aaaaa",
        "advice-to-the-patient.aaaa-aaaaa",
        "apparatus-and-purpose.aaaa-aaaaa",
        "forms-and-places.aaaa-aaaaa",
        "order-of-fusion.aaaa-aaaaa",
        "error-in-fusion.aaaa-aaaaa",
        "form-shapes.aaaa-aaaaa",
        "melting-range.aaaa-aaaaa",
        "methods-note.aaaa-aaaaa",
        "calibrate-and-explain.aaaa-aaaaa",
    ];
    let shown = [
        ("questions", "questions", &codes[..]),
        ("key", "key", &codes[..]),
        ("solutions", "solutions", &codes[..]),
        ("theory", "questions", &theory[..]),
        ("theory-solutions", "solutions", &theory[..]),
    ];
    for (format, ending) in
        [("text", "txt"), ("markdown", "md"), ("html", "html"), ("json", "json")]
    {
        for (name, show, codes) in shown {
            let mut arguments: Vec<String> =
                ["problem", "--format", format, "--show", show].map(str::to_owned).to_vec();
            arguments.push("--code".to_owned());
            arguments.extend(codes.iter().map(|code| (*code).to_owned()));
            let made = castmark(&arguments);
            let path = root().join("exports/samples").join(format!("{name}.{ending}"));
            if rewriting() {
                fs::write(&path, &made).unwrap();
            }
            let kept = fs::read_to_string(&path).unwrap_or_default();
            assert!(kept == made, "{} is not what the program makes today", path.display());
        }
    }
}
