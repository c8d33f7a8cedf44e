//! What is told of results: who passed, the groups, and other sittings.

use crate::analysis::{Both, Difference, GroupRow, Near, Report, Sittings, Statistic};

use super::figures::{chance, count, marks, number, percent, short};
use super::section::{Grid, Section};

/// Who passed, and who was near the pass mark; nothing where the marks tell neither.
pub(super) fn passing(report: &Report) -> Option<Section> {
    let passing = &report.passing;
    let mut before = Vec::new();
    if let Some((pass, passed)) = passing.pass.as_ref().zip(passing.passed) {
        let share = passed as f64 / passing.candidates.max(1) as f64;
        before.push(format!(
            "The pass mark is {pass}. Of {} with a final total, {passed} passed ({}).",
            count(passing.candidates, "candidate"),
            percent(share)
        ));
    }
    if !passing.grades.is_empty() {
        let grades: Vec<String> =
            passing.grades.iter().map(|(grade, count)| format!("{grade} {count}")).collect();
        before.push(format!("Grades: {}.", grades.join(", ")));
    }
    if before.is_empty() {
        return None;
    }
    let mut after = Vec::new();
    let near = |near: &Near| {
        let result = if near.passed { "pass" } else { "fail" };
        let of = format!("{} of {}", marks(near.marks), marks(near.of));
        vec![near.candidate.clone(), of, percent(near.marks / near.of), result.to_owned()]
    };
    let rows: Vec<Vec<String>> = passing.near.iter().map(near).collect();
    if passing.pass.is_some() {
        after.push(match (report.reliability.error, rows.is_empty()) {
            (Err(why), _) => format!(
                "Who is near the pass mark cannot be told: the standard error of measurement is n/a, {why}."
            ),
            (Ok(error), true) => format!(
                "Nobody is within one standard error of measurement ({}) of the pass mark.",
                count_of_marks(error)
            ),
            (Ok(error), false) => format!(
                "These candidates are within one standard error of measurement ({}) of the pass mark. \
                 Another paper as good as this one could well have decided otherwise; look at their \
                 scripts once more.",
                count_of_marks(error)
            ),
        });
    }
    let head = vec![("candidate", false), ("marks", true), ("of all", true), ("result", false)];
    Some(Section {
        title: "Results",
        before,
        table: (!rows.is_empty()).then_some(Grid { head, rows }),
        after,
    })
}

fn count_of_marks(error: f64) -> String {
    format!("{} marks", number(error))
}

/// The groups beside each other.
pub(super) fn groups(report: &Report) -> Option<Section> {
    let groups = report.groups.as_ref()?;
    let words = match groups.chance {
        Ok(_) => format!(
            "Means at least so far apart come about with a chance of {} if all groups were alike (analysis \
             of variance, F test).",
            chance(groups.chance)
        ),
        Err(why) => format!("Whether the groups differ by more than chance is n/a: {why}."),
    };
    Some(Section {
        title: "Groups",
        before: vec!["Shares of the marks of those with a final total.".to_owned()],
        table: Some(rows(&groups.rows, "group", "no group")),
        after: vec![words],
    })
}

fn rows(all: &[GroupRow], what: &'static str, none: &str) -> Grid {
    let with_pass = all.iter().any(|row| row.passed.is_some());
    let mut head = vec![
        (what, false),
        ("candidates", true),
        ("mean", true),
        ("error", true),
        ("deviation", true),
        ("median", true),
    ];
    head.extend(with_pass.then_some(("passed", true)));
    let share = |value: Statistic| value.map_or_else(|_| short(value), percent_of);
    let row = |row: &GroupRow| {
        let mut cells = vec![
            if row.name.is_empty() { none.to_owned() } else { row.name.clone() },
            row.candidates.to_string(),
            share(row.mean),
            share(row.error),
            share(row.deviation),
            share(row.median),
        ];
        cells.extend(with_pass.then(|| row.passed.map_or_else(String::new, share)));
        cells
    };
    Grid { head, rows: all.iter().map(row).collect() }
}

/// A share as per cent to one place.
fn percent_of(value: f64) -> String {
    let text = format!("{:.1}\u{a0}%", value * 100.0);
    if text.starts_with("-0.0") { text.replacen('-', "", 1) } else { text }
}

/// The class beside other sittings, and those who sat twice.
pub(super) fn sittings(report: &Report) -> Vec<Section> {
    let Some(sittings) = &report.sittings else { return Vec::new() };
    let mut sections = vec![compared(sittings)];
    sections.extend(templates(sittings));
    sections.extend(sittings.both.iter().map(both));
    sections
}

fn compared(sittings: &Sittings) -> Section {
    let others = sittings.rows.iter().skip(1).zip(&sittings.differences);
    let sentence = |(row, difference): (&GroupRow, &Option<Difference>)| {
        difference.as_ref().map(|it| format!("This class less {}: {}.", row.name, of(it)))
    };
    Section {
        title: "Other sittings",
        before: vec![
            "Shares of the marks of those with a final total, this class first.".to_owned(),
        ],
        table: Some(rows(&sittings.rows, "sitting", "")),
        after: others.filter_map(sentence).collect(),
    }
}

/// `3.2 %, 95 % interval -1.0 to 7.4 %`.
fn of(difference: &Difference) -> String {
    let by = percent_of(difference.by);
    match difference.interval {
        Ok(it) => format!("{by}, 95 % interval {} to {}", percent_of(it.low), percent_of(it.high)),
        Err(why) => format!("{by}; its interval is n/a, {why}"),
    }
}

fn templates(sittings: &Sittings) -> Option<Section> {
    const NUMBERS: [&str; 9] = ["this", "1", "2", "3", "4", "5", "6", "7", "8"];
    let rows = sittings.templates.iter().map(|(title, facilities)| {
        let cells = facilities.iter().map(|it| it.map_or_else(|| "-".to_owned(), short));
        let numbered = std::iter::once(title.clone()).chain(cells);
        numbered.collect::<Vec<String>>()
    });
    let rows: Vec<Vec<String>> = rows.collect();
    let mut head = vec![("question", false)];
    head.extend(NUMBERS.iter().take(sittings.rows.len()).map(|number| (*number, true)));
    let rows: Vec<Vec<String>> =
        rows.into_iter().map(|row| row.into_iter().take(head.len()).collect()).collect();
    let names = sittings.rows.iter().skip(1).zip(NUMBERS.iter().skip(1));
    let names: Vec<String> =
        names.map(|(row, number)| format!("{number} is {}", row.name)).collect();
    (!rows.is_empty()).then(|| Section {
        title: "Questions that other sittings had too",
        before: vec![format!("Facility of whole questions; {}.", names.join(", "))],
        table: Some(Grid { head, rows }),
        after: Vec::new(),
    })
}

fn both(both: &Both) -> Section {
    let row = |(candidate, here, there): &(String, f64, f64)| {
        vec![candidate.clone(), percent_of(*here), percent_of(*there), percent_of(there - here)]
    };
    let change = both.change.as_ref().map(|it| format!("Mean change: {}.", of(it)));
    Section {
        title: "Candidates who sat both",
        before: vec![format!(
            "{} sat this paper and {}.",
            count(both.candidates.len(), "candidate"),
            both.name
        )],
        table: Some(Grid {
            head: vec![("candidate", false), ("this", true), ("other", true), ("change", true)],
            rows: both.candidates.iter().map(row).collect(),
        }),
        after: change.into_iter().collect(),
    }
}

/// The lower quartile, the median and the upper quartile, in marks.
pub(super) fn quartiles([low, middle, high]: [Statistic; 3]) -> String {
    match (low, middle, high) {
        (Ok(low), Ok(middle), Ok(high)) => {
            format!("{}, {}, {} marks", number(low), number(middle), number(high))
        }
        (middle, _, _) => super::figures::told(middle),
    }
}
