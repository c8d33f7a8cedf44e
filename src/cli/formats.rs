//! Which format is asked for: by its name, by the ending of a file's name, or by what is there already.

use std::collections::BTreeSet;
use std::path::Path;

use castmark::export::{DocumentKind, Exporter, exporter, exporters_of};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser, ValueParser};

use super::outcome::Failure;
use super::terminal::Terminal;

/// What is said where PDF is wanted of a program that was built without it.
const NO_PDF: &str = "this castmark was built without PDF; build it anew with `cargo install --path . \
                      --features pdf`, or choose html, which prints from a browser";

/// Reads the name of a format of documents of that kind; the usual ending of its files will do.
pub(super) fn format_parser(kind: DocumentKind) -> ValueParser {
    let values = exporters_of(kind).map(|exporter| {
        let ending = Some(exporter.extension()).filter(|it| *it != exporter.name());
        PossibleValue::new(exporter.name()).aliases(ending).help(exporter.about())
    });
    // PDF is known where it was left out, so that it can be told why.
    let pdf = is_left_out(kind).then(|| PossibleValue::new("pdf").hide(true));
    let format = move |name: String| of_kind(kind, &name).ok_or(NO_PDF);
    ValueParser::new(PossibleValuesParser::new(values.chain(pdf)).try_map(format))
}

/// The format asked for, or the one of the file's ending, or plain text.
///
/// # Errors
/// When the ending is that of no format.
pub(super) fn told_by(
    kind: DocumentKind,
    asked: Option<&'static dyn Exporter>,
    output: Option<&Path>,
) -> Result<&'static dyn Exporter, Failure> {
    let ending = output.and_then(|output| output.extension()?.to_str());
    match (asked, output, ending) {
        (Some(asked), _, _) => Ok(asked),
        (None, Some(output), Some(ending)) => {
            let known = by_ending(kind, output).or_else(|| of_kind(kind, ending));
            known.ok_or_else(|| unknown(kind, ending))
        }
        _ => of_kind(kind, "text").ok_or_else(|| Failure::unusable("internal error: no text")),
    }
}

/// The formats asked for, in the order of their table; without any, those whose endings are there, or
/// HTML.
///
/// # Errors
/// When nothing was asked for and what is there cannot be made again by this program.
pub(super) fn chosen(
    kind: DocumentKind,
    asked: &[&'static dyn Exporter],
    there: &BTreeSet<String>,
) -> Result<Vec<&'static dyn Exporter>, Failure> {
    let ends = |ending: &String| exporters_of(kind).any(|it| it.extension() == ending);
    if let Some(ending) = there.iter().find(|ending| asked.is_empty() && !ends(ending)) {
        return Err(Failure::unusable(format!(
            "the pages that are there end in .{ending}, which this castmark was built without; say which \
             formats to make now with --format html, or use a castmark with {ending}"
        )));
    }
    let is_wanted = |exporter: &&'static dyn Exporter| {
        if !asked.is_empty() {
            asked.iter().any(|asked| asked.name() == exporter.name())
        } else if there.is_empty() {
            exporter.name() == "html"
        } else {
            there.contains(exporter.extension())
        }
    };
    Ok(exporters_of(kind).filter(is_wanted).collect())
}

/// Whether what an exporter makes can be printed where the program prints.
///
/// # Errors
/// When that is a screen and it is no text.
pub(super) fn shown_here(exporter: &dyn Exporter, terminal: &Terminal) -> Result<(), Failure> {
    if exporter.is_text() || !terminal.on_a_screen() {
        return Ok(());
    }
    Err(Failure::unusable(format!(
        "{} is not text and cannot be shown here; write it to a file that ends in .{}, with --output",
        exporter.name(),
        exporter.extension()
    )))
}

/// The format of that name, which may be the usual ending of its files too.
fn of_kind(kind: DocumentKind, name: &str) -> Option<&'static dyn Exporter> {
    let named = |known: &str| known.eq_ignore_ascii_case(name);
    exporters_of(kind).find(|exporter| named(exporter.name()) || named(exporter.extension()))
}

/// Whether PDF could be made of such a document by a program that was built with it.
fn is_left_out(kind: DocumentKind) -> bool {
    kind != DocumentKind::Account && exporter("pdf").is_none()
}

/// The format whose ending a file has: `questions.qti3.zip` is of another than `questions.zip`.
fn by_ending(kind: DocumentKind, file: &Path) -> Option<&'static dyn Exporter> {
    let name = file.file_name()?.to_str()?.to_ascii_lowercase();
    exporters_of(kind).find(|exporter| {
        name.strip_suffix(exporter.extension()).is_some_and(|stem| stem.ends_with('.'))
    })
}

/// Says that an ending is that of no format.
fn unknown(kind: DocumentKind, ending: &str) -> Failure {
    if is_left_out(kind) && ending.eq_ignore_ascii_case("pdf") {
        return Failure::unusable(NO_PDF);
    }
    let endings: Vec<String> =
        exporters_of(kind).map(|exporter| format!(".{}", exporter.extension())).collect();
    Failure::unusable(format!(
        "a file ending in .{ending} could hold anything; end its name in {}, or say which format with \
         --format",
        endings.join(", ")
    ))
}
