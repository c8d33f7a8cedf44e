//! What is told of a class, in words and tables.

use crate::analysis::{Interval, Report, Statistic};

use super::figures::{count, marks, number, percent, told};
use super::items::{discriminations, items, options};
use super::results::{groups, passing, quartiles, sittings};
use super::section::{Grid, Section};
use super::subjects::{objectives, slips, templates, variants};

/// The report in a sentence or two, and what has to be known before reading on.
pub(super) fn opening(report: &Report) -> Vec<String> {
    let mut words = vec![format!(
        "{}, {} in {}, {} marks in all.",
        count(report.candidates, "candidate"),
        count(report.reliability.items, "item"),
        count(report.questions, "question"),
        marks(report.of)
    )];
    for (many, one, more) in [
        (report.absent, "was absent", "were absent"),
        (report.excused, "was excused", "were excused"),
        (report.withdrawn, "has withdrawn", "have withdrawn"),
    ] {
        if many > 0 {
            let verb = if many == 1 { one } else { more };
            let who = if many == 1 { "and is" } else { "and are" };
            words
                .push(format!("{} {verb} {who} in none of the numbers.", count(many, "candidate")));
        }
    }
    if report.is_small() {
        words.push(format!(
            "Warning: the class is small. From fewer than {} candidates such numbers say little about the \
             questions, so no verdict is given in words; take them as hints where to look.",
            report.settings.bands.smallest_class
        ));
    }
    if report.all_blank > 0 {
        words.push(format!(
            "{} left everything blank and counts with no marks; that alone can make a paper look more \
             reliable than it is.",
            count(report.all_blank, "candidate")
        ));
    }
    if report.unread > 0 {
        words.push(format!(
            "{} could not be read and {} no marks here.",
            count(report.unread, "answer"),
            if report.unread == 1 { "has" } else { "have" }
        ));
    }
    let left_out = report.items.len() - report.reliability.items;
    if left_out > 0 {
        words.push(format!(
            "{} left out of the totals, because not every candidate was set it or some answers ({} in all) \
             wait to be marked by hand.",
            if left_out == 1 { "1 item is".to_owned() } else { format!("{left_out} items are") },
            report.waiting
        ));
    }
    words
}

/// The whole report.
pub(super) fn sections(report: &Report) -> Vec<Section> {
    let mut sections = vec![whole(report), totals(report)];
    sections.extend(passing(report));
    sections.extend(groups(report));
    sections.extend([items(report), discriminations(report)]);
    sections.extend(options(report));
    sections.push(templates(report));
    sections.extend(variants(report));
    sections.push(slips(report));
    sections.push(objectives(report));
    sections.extend(sittings(report));
    sections
}

fn whole(report: &Report) -> Section {
    let found = &report.reliability;
    let with_interval = |value: Statistic| match (value, found.alpha_interval) {
        (Ok(value), Ok(Interval { low, high })) => {
            format!("{} (95 % interval {} to {})", number(value), number(low), number(high))
        }
        _ => told(value),
    };
    let mean = match found.mean {
        Ok(mean) if report.of > 0.0 => {
            format!("{} of {} ({})", number(mean), marks(report.of), percent(mean / report.of))
        }
        mean => told(mean),
    };
    let in_marks = |value: Statistic| match value {
        Ok(value) => format!("{} marks", number(value)),
        Err(_) => told(value),
    };
    let row = |name: &str, value: String| vec![name.to_owned(), value];
    let rows = vec![
        row("mean total", mean),
        row("standard deviation", in_marks(found.deviation)),
        row("quartiles and median", quartiles(report.quartiles)),
        row("alpha", with_interval(found.alpha)),
        row("alpha, by whole questions", told(report.alpha_by_question)),
        row("KR-20", told(found.kr20)),
        row("KR-21", told(found.kr21)),
        row("standard error of measurement", in_marks(found.error)),
    ];
    let mut after = vec![
        "The interval of alpha is Feldt's. The standard deviation has the divisor N - 1, and the standard error of measurement is worked out \
         from it and alpha. KR-20 and KR-21 use the variance with the divisor N. Parts of one question \
         hang together, which makes alpha higher; by whole questions that is left out."
            .to_owned(),
    ];
    if found.alpha.is_ok_and(|alpha| alpha < 0.0) {
        after.push(
            "Alpha is below nought: the items do not go together. A key may be wrong, or the class may be \
             too alike."
                .to_owned(),
        );
    }
    Section {
        title: "The paper as a whole",
        before: Vec::new(),
        table: Some(Grid { head: vec![("", false), ("value", false)], rows }),
        after,
    }
}

fn totals(report: &Report) -> Section {
    let bars = report.distribution.len().max(1);
    let rows = report.distribution.iter().enumerate().map(|(n, count)| {
        let (from, to) = (100 * n / bars, 100 * (n + 1) / bars);
        vec![format!("{from} to {to} %"), count.to_string()]
    });
    Section {
        title: "Totals",
        before: vec![
            "How many candidates had so many per cent of the marks; a total on a border counts \
                      above it."
                .to_owned(),
        ],
        table: Some(Grid {
            head: vec![("of the marks", false), ("candidates", true)],
            rows: rows.collect(),
        }),
        after: Vec::new(),
    }
}
