//! Faults that cost marks once: in a question, or in a paper.
//!
//! A fault that is counted once costs marks where it costs the most, the first time among equals. Were
//! it simply the first time, whoever put that answer right could lose more at the next.

use super::award::{Faults, Situation, forgivable};
use super::entry::Item;
use super::open::Open;
use super::{Counts, Fault, Marked, Settings};

/// For each kind of fault the entry at which it is counted, in a question; `None` when it is counted in
/// another question or nowhere.
type Charge = [Option<usize>; 2];

/// A way through the questions so far: which faults are counted already, where, and the marks that
/// are left.
#[derive(Clone, Debug)]
struct Path {
    counted: [bool; 2],
    charges: Vec<Charge>,
    marks: u32,
}

/// Decides the awards of a paper, question by question.
pub(super) fn decide(questions: Vec<Vec<Open>>, settings: &Settings) -> Vec<Marked> {
    let mut paths = vec![Path { counted: [false; 2], charges: Vec::new(), marks: 0 }];
    for entries in &questions {
        paths = go_on(&paths, entries, settings);
    }
    let dearest = paths.into_iter().min_by_key(|path| path.marks);
    let charges = dearest.map(|path| path.charges).unwrap_or_default();
    let decide = |(entries, charge): (Vec<Open>, &Charge)| {
        let entries = entries.into_iter().enumerate().map(|(index, open)| {
            let at = situation(&open, settings, forgiven(index, charge, settings));
            open.decide(&at)
        });
        Marked { entries: entries.collect() }
    };
    questions.into_iter().zip(&charges).map(decide).collect()
}

/// The dearest ways through one more question, one for each set of faults counted.
fn go_on(paths: &[Path], entries: &[Open], settings: &Settings) -> Vec<Path> {
    let [units, roundings] = Fault::ALL.map(|fault| choices(fault, entries, settings));
    let charges = units.iter().flat_map(|unit| roundings.iter().map(move |other| [*unit, *other]));
    let charges: Vec<(Charge, u32)> =
        charges.map(|charge| (charge, marks(entries, &charge, settings))).collect();
    let once = Fault::ALL.map(|fault| settings.counts(fault) == Counts::Paper);
    let mut best: Vec<Path> = Vec::new();
    for path in paths {
        for (charge, marks) in &charges {
            let here = [0, 1].map(|kind| once[kind] && charge[kind].is_some());
            if (0..2).any(|kind| here[kind] && path.counted[kind]) {
                continue;
            }
            let counted = [0, 1].map(|kind| path.counted[kind] || here[kind]);
            let marks = path.marks + marks;
            let known = best.iter().position(|other| other.counted == counted);
            if known.is_some_and(|known| best[known].marks <= marks) {
                continue;
            }
            let charges = path.charges.iter().copied().chain([*charge]).collect();
            let longer = Path { counted, charges, marks };
            match known {
                Some(known) => best[known] = longer,
                None => best.push(longer),
            }
        }
    }
    // What was counted early comes first, so that it is kept among equals.
    best.sort_by_key(|path| std::cmp::Reverse(path.counted.iter().filter(|it| **it).count()));
    best
}

/// The entries of a question at which a fault may be counted.
fn choices(fault: Fault, entries: &[Open], settings: &Settings) -> Vec<Option<usize>> {
    let has = |(index, open): (usize, &Open)| {
        let mut findings = open.findings.iter();
        findings
            .any(|finding| forgivable(finding, &open.notes, settings).contains(&fault))
            .then_some(Some(index))
    };
    let indices: Vec<Option<usize>> = match settings.counts(fault) {
        Counts::Question | Counts::Paper => entries.iter().enumerate().filter_map(has).collect(),
        Counts::Never | Counts::Always => Vec::new(),
    };
    // In a paper it may be counted in another question.
    if indices.is_empty() {
        vec![None]
    } else if settings.counts(fault) == Counts::Paper {
        indices.into_iter().chain([None]).collect()
    } else {
        indices
    }
}

/// The marks of a question when faults are counted at these entries.
fn marks(entries: &[Open], charge: &Charge, settings: &Settings) -> u32 {
    let marks = entries.iter().enumerate().map(|(index, open)| {
        open.marks(&situation(open, settings, forgiven(index, charge, settings)))
    });
    marks.sum()
}

/// The faults of an entry that are counted at another.
fn forgiven(index: usize, charge: &Charge, settings: &Settings) -> Faults {
    let [unit, rounding] = [0, 1].map(|kind| {
        let once = matches!(settings.counts(Fault::ALL[kind]), Counts::Question | Counts::Paper);
        once && charge[kind] != Some(index)
    });
    Faults { unit, rounding }
}

fn situation<'a>(open: &Open, settings: &'a Settings, forgiven: Faults) -> Situation<'a> {
    Situation {
        of: open.of,
        method: open.method,
        is_step: matches!(open.item, Item::Step(_)),
        settings,
        forgiven,
    }
}
