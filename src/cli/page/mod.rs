//! `castmark page`: a practice page in one file.

mod document;
mod holding;
mod home;

use std::path::PathBuf;

use castmark::bank::{Bank, Objective};
use castmark::page::Contents;
use castmark::practice::{day_of, day_text, read_settings};
use clap::Args;

use self::document::{Destination, Document};
use self::holding::Wish;
use super::banks::WhichBank;
use super::check::read_rules;
use super::clock::now;
use super::disk::{Readers, Target, read_text};
use super::outcome::{Failure, Outcome};
use super::parsers;
use super::terminal::Terminal;

/// The title of a page that is given none.
const TITLE: &str = "Moulded dosage forms";

/// Make a practice page: one file that works in any browser, without a network.
///
/// The page holds the same engine as this program, with the questions that you choose, and yours from
/// --bank as well. Students open it on a phone or a laptop to practise, to print sheets and to work
/// numbers from the bench. Hand the file on, or put it on any web space; nothing is fetched and nothing
/// is sent. With --folder, a page on a web space can also be put on the home screen. Their answers stay in their own browser, and can be saved and added to the record of
/// castmark practise. Without a choice, the page holds every question of the bank.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    castmark page --output practice.html\n  \
    castmark page --output week-3.html --topic mean-capacity --topic one-drug --title \"Week 3\"\n  \
    castmark page --output practice.html --exam 2026-12-14 --bank my-templates\n  \
    castmark page --folder practice")]
pub(super) struct Arguments {
    /// The file to write; a name that ends in .html
    #[arg(long, short, value_name = "FILE", required_unless_present = "folder")]
    output: Option<PathBuf>,
    /// A folder to write instead, for a web space: a page that can be put on the home screen
    #[arg(long, value_name = "FOLDER", conflicts_with = "output")]
    folder: Option<PathBuf>,
    /// Hold the questions of this objective; give the option again for another
    #[arg(long, value_name = "NAME", value_parser = parsers::objective())]
    objective: Vec<Objective>,
    /// Hold the questions of this topic; `castmark bank list --topics` shows them all
    #[arg(long, value_name = "ID")]
    topic: Vec<String>,
    /// Hold the questions of this template; `castmark bank list` shows them all
    #[arg(long, value_name = "ID")]
    template: Vec<String>,
    /// The title of the page
    #[arg(long, value_name = "TEXT", default_value = TITLE)]
    title: String,
    /// Plan for an exam on this day, such as 2026-12-14
    #[arg(long, value_name = "DATE", value_parser = parsers::day)]
    exam: Option<i64>,
    /// A number of your choice: every student with the same answers gets the same problems
    #[arg(long, value_name = "N", value_parser = parsers::seed())]
    seed: Option<u64>,
    /// File with settings of practice, such as the days between reviews
    #[arg(long, value_name = "FILE")]
    settings: Option<PathBuf>,
    /// A file with rules of marking of your own
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
    #[command(flatten)]
    bank: WhichBank,
}

/// Makes the page.
pub(super) fn run(arguments: &Arguments, terminal: &mut Terminal) -> Result<Outcome, Failure> {
    let settings = arguments.settings()?;
    let rules = arguments.rules(terminal)?;
    let target = arguments.output.as_ref().map(|path| Target::prepare(path, Readers::Usual));
    let target = target.transpose()?;
    let own = arguments.bank.own_files()?;
    let bank = arguments.bank.load(terminal)?;
    let wish = Wish {
        objectives: &arguments.objective,
        topics: &arguments.topic,
        templates: &arguments.template,
    };
    let wanted = wish.templates(&bank)?;
    let mut contents = Contents {
        form: Contents::FORM,
        title: arguments.title.clone(),
        made: day_text(day_of(now())),
        exam: arguments.exam.map(day_text),
        seed: arguments.seed,
        settings,
        rules,
        files: Bank::bundled_beside(&own),
        own,
        cited: Vec::new(),
    };
    contents.keep(&bank, &wanted);
    arguments.bank.name_by_folder(&mut contents.own);
    let (size, to_do) = match (target, &arguments.folder) {
        (_, Some(folder)) => (home::write(&contents, folder)?, "put the folder on a web space"),
        (Some(target), None) => {
            let document = Document::of(&contents, Destination::Alone)?;
            target.write(document.text().as_bytes())?;
            (document.text().len(), "open it in a browser")
        }
        // The parser asks for one of the two.
        (None, None) => return Ok(Outcome::Done),
    };
    let destination = arguments.folder.as_ref().or(arguments.output.as_ref());
    terminal.note(format_args!(
        "`{}` holds {} in {} kB; {to_do}",
        destination.map(|destination| destination.display().to_string()).unwrap_or_default(),
        castmark::words::counted(wanted.len(), "template"),
        size.div_ceil(1000),
    ));
    Ok(Outcome::Done)
}

impl Arguments {
    /// The file of rules as it is, once it was read without complaint.
    fn rules(&self, terminal: &Terminal) -> Result<String, Failure> {
        let Some(path) = &self.rules else { return Ok(String::new()) };
        read_rules(path, terminal)?;
        read_text(path)
    }

    /// The settings file as it is, once it was read without complaint.
    fn settings(&self) -> Result<String, Failure> {
        let Some(path) = &self.settings else { return Ok(String::new()) };
        let text = read_text(path)?;
        read_settings(&text).map_err(|problems| {
            let shown = path.display();
            let lines: Vec<String> =
                problems.iter().map(|problem| format!("`{shown}`: {problem}")).collect();
            Failure::unusable(lines.join("\n"))
        })?;
        Ok(text)
    }
}
