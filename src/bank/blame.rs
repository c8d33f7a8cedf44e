//! Which file of one's own makes files unsound that are sound by themselves.

use std::sync::Arc;

use crate::bank::files::Sort;
use crate::bank::{Complaint, Report, SourceText};
use crate::words::listed;

/// In how many of the other files what is wrong is shown; the rest are named.
const MOST_SHOWN: usize = 3;

/// How many of the other files are named.
const MOST_NAMED: usize = 8;

/// Files of one's own, and those of the others that may be unsound because of them.
struct Charge<'a> {
    causes: Vec<&'a Arc<SourceText>>,
    files: Vec<Arc<SourceText>>,
}

/// The report with the cause of every complaint about one of the other files: these were sound before
/// files of one's own were added. What is wrong with one's own files comes first.
pub(super) fn blame(
    report: Report,
    (others, own): (&[Arc<SourceText>], &[Arc<SourceText>]),
) -> Report {
    let is_other = |complaint: &Complaint| others.iter().any(|it| it.path == complaint.source.path);
    let (about_others, mut complaints): (Vec<_>, Vec<_>) =
        report.complaints.into_iter().partition(is_other);
    let own: Vec<&Arc<SourceText>> = own.iter().filter(|it| it.sort() != Sort::Template).collect();
    if about_others.is_empty() || own.is_empty() {
        complaints.extend(about_others);
        return Report { complaints, more: report.more };
    }
    let mut charges: Vec<Charge<'_>> = Vec::new();
    let mut shown: Vec<Complaint> = Vec::new();
    for complaint in about_others {
        let causes = causes(&complaint.source, &own);
        let index = charges.iter().position(|charge| charge.causes == causes);
        let index = index.unwrap_or_else(|| {
            charges.push(Charge { causes, files: Vec::new() });
            charges.len() - 1
        });
        let files = &mut charges[index].files;
        // The complaints are in the order of their files.
        if files.last().is_none_or(|last| last.path != complaint.source.path) {
            files.push(Arc::clone(&complaint.source));
            if files.len() <= MOST_SHOWN {
                shown.push(complaint);
            }
        }
    }
    complaints.extend(charges.iter().filter_map(Charge::complaint));
    complaints.extend(shown);
    Report { complaints, more: report.more }
}

/// The files of one's own because of which another may be unsound: the tables that it picks from, or
/// else all of them.
fn causes<'a>(file: &SourceText, own: &[&'a Arc<SourceText>]) -> Vec<&'a Arc<SourceText>> {
    let is_picked = |table: &&&Arc<SourceText>| {
        let picks = file.text.split("pick:").skip(1).map(str::trim_start);
        let mut picks = picks.filter_map(|rest| rest.strip_prefix(table.stem()));
        let ends = |rest: &str| !rest.starts_with(|c: char| c.is_alphanumeric() || c == '_');
        table.sort() == Sort::Table && file.sort() == Sort::Template && picks.any(ends)
    };
    let picked: Vec<&Arc<SourceText>> = own.iter().filter(is_picked).copied().collect();
    if picked.is_empty() { own.to_vec() } else { picked }
}

impl Charge<'_> {
    /// What is said of the first of the causes.
    fn complaint(&self) -> Option<Complaint> {
        let Self { causes, files } = self;
        let first = causes.first()?;
        let mut names: Vec<&str> = files.iter().take(MOST_NAMED).map(|file| file.stem()).collect();
        let others = format!("{} others", files.len() - names.len());
        if names.len() < files.len() {
            names.push(&others);
        }
        let paths: Vec<String> = causes.iter().map(|cause| format!("`{}`", cause.path)).collect();
        let what = format!(
            "expected facts that the files which come with castmark can use; because of {}, {} of them cannot be used: {}",
            listed(&paths, "or"),
            files.len(),
            listed(&names, "and"),
        );
        let is_alone =
            causes.iter().any(|cause| cause.text.lines().any(|it| it.starts_with("alone:")));
        let help = if is_alone {
            "take `alone: true` away, and the rows join those that come with castmark; or add what the files \
         below need, or give the table another name"
        } else {
            "add what the files below need; or give the table another name, and pick from it in templates of \
         your own"
        };
        let line = first.text.lines().position(|line| line.starts_with("table:")).unwrap_or(0);
        let start: usize = first.text.split_inclusive('\n').take(line).map(str::len).sum();
        let length = first.text[start..].lines().next().map_or(0, str::len);
        Some(first.complain(start..start + length, what, "with this file", Some(help.to_owned())))
    }
}
