//! `castmark manual`: the manual pages.

use clap::Args;
use clap_mangen::roff::{Roff, bold, roman};

use super::arguments::command;
use super::outcome::{Failure, Outcome};
use super::terminal::Terminal;

/// Print the manual page of castmark or of one command.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark manual > castmark.1\n  \
    castmark manual problem > castmark-problem.1\n  \
    man ./castmark.1")]
pub(super) struct Arguments {
    /// The command whose page is wanted; without one, the page of castmark
    command: Option<String>,
}

/// Prints a manual page in the form the program `man` reads.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let mut whole = command();
    whole.build();
    let page = match &arguments.command {
        None => Some(whole.clone()),
        Some(name) => whole.find_subcommand(name).cloned(),
    };
    let Some(page) = page else {
        let known: Vec<&str> = whole
            .get_subcommands()
            .filter(|command| !command.is_hide_set())
            .map(clap::Command::get_name)
            .collect();
        return Err(Failure::unusable(format!(
            "there is no command `{}`; the commands are {}",
            arguments.command.as_deref().unwrap_or_default(),
            known.join(", ")
        )));
    };
    terminal.print_bytes(&sections(page)?)?;
    Ok(Outcome::Done)
}

/// What the program reads of its surroundings.
const ENVIRONMENT: [(&str, &str); 4] = [
    ("NO_COLOR", "If it is set and not empty, nothing is printed in colour."),
    ("COLUMNS", "The width to which lines are broken, where the terminal does not tell its own."),
    ("CASTMARK_RECORD", "The file of your answers in practice, where no option names one."),
    ("XDG_DATA_HOME", "The folder for data of programs; without it, .local/share in your home."),
];

/// The files that it keeps without being asked where.
const FILES: [(&str, &str); 1] = [(
    "castmark/record.sqlite",
    "Your answers in practice, in the folder for data of programs. Only you can read it.",
)];

/// What it ends with.
const EXIT_STATUS: [(&str, &str); 3] = [
    ("0", "All went well, and an answer that was checked is correct."),
    ("1", "An answer is not correct, or a check found something."),
    ("2", "What was asked for could not be understood or read, or could not be written."),
];

/// The page of a command, section by section.
fn sections(mut command: clap::Command) -> Result<Vec<u8>, std::io::Error> {
    let examples = command.get_after_help().map(ToString::to_string);
    // They have a section of their own.
    command = command.after_help(None::<&str>).after_long_help(None::<&str>);
    let has_commands = command.has_subcommands();
    let has_version = command.get_version().is_some();
    let man = clap_mangen::Man::new(command);
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    if has_commands {
        man.render_subcommands_section(&mut page)?;
    }
    let mut roff = Roff::default();
    if let Some(examples) = examples {
        roff.control("SH", ["EXAMPLES"]);
        roff.control("nf", []);
        for line in examples.trim_end().lines() {
            roff.text([roman(line)]);
        }
        roff.control("fi", []);
    }
    for (heading, entries) in [
        ("EXIT STATUS", EXIT_STATUS.as_slice()),
        ("ENVIRONMENT", ENVIRONMENT.as_slice()),
        ("FILES", FILES.as_slice()),
    ] {
        roff.control("SH", [heading]);
        for (name, words) in entries {
            roff.control("TP", []);
            roff.text([bold(*name)]);
            roff.text([roman(*words)]);
        }
    }
    roff.to_writer(&mut page)?;
    if has_version {
        man.render_version_section(&mut page)?;
    }
    Ok(page)
}
