//! What is told of items and their options.

use crate::analysis::{Chosen, Report, ReportItem, Undefined};

use super::figures::{discrimination, facility, interval, marks, number, short};
use super::section::{Grid, Section};

/// How hard the items were.
pub(super) fn items(report: &Report) -> Section {
    let verdicts = !report.is_small();
    let mut head = vec![
        ("item", false),
        ("marks", true),
        ("facility", true),
        ("95 %", true),
        ("full", true),
        ("blank", true),
    ];
    if verdicts {
        head.push(("in words", false));
    }
    let rows = report.items.iter().enumerate().map(|(n, row)| {
        let mut cells = vec![
            label(n, row),
            marks(row.item.maximum),
            short(row.item.facility),
            interval(row.facility_interval),
            row.full.to_string(),
            row.blank.to_string(),
        ];
        if verdicts {
            cells.push(row.facility_word.map_or("", facility).to_owned());
        }
        cells
    });
    let bands = &report.settings.bands;
    let words = format!(
        "Easy from a facility of {}, hard below {}. These are conventions, and a class that has mastered a \
         subject rightly finds it easy.",
        number(bands.easy_from),
        number(bands.hard_below),
    );
    Section {
        title: "Items: how hard they were",
        before: vec![
            "Facility is the mean mark over the marks of the item, with its 95 % interval (Wilson). Full and blank \
             are the candidates with full marks and without an answer."
                .to_owned(),
        ],
        table: Some(Grid { head, rows: rows.collect() }),
        after: if verdicts { vec![words] } else { Vec::new() },
    }
}

/// How the items told the stronger from the weaker.
pub(super) fn discriminations(report: &Report) -> Section {
    let verdicts = !report.is_small();
    let mut head = vec![
        ("item", false),
        ("up-low", true),
        ("item-rest", true),
        ("95 %", true),
        ("without", true),
    ];
    if verdicts {
        head.push(("it tells", false));
    }
    let rows = report.items.iter().enumerate().map(|(n, row)| {
        let mut cells = vec![
            label(n, row),
            short(row.item.upper_lower),
            short(row.item.item_rest),
            interval(row.item.item_rest_interval),
            short(row.item.alpha_without),
        ];
        if verdicts {
            cells.push(row.discrimination_word.map_or("", discrimination).to_owned());
        }
        cells
    });
    let who = match report.group_size {
        1 => "the one candidate whose total is".to_owned(),
        size => format!("the {size} candidates whose totals are"),
    };
    let bands = &report.settings.bands;
    let mut after = Vec::new();
    if verdicts {
        after.push(format!(
            "An item tells well from a correlation of {}, fairly from {}; below nought it tells the wrong way \
             round, and its key should be looked at.",
            number(bands.good_from),
            number(bands.fair_from)
        ));
    }
    after.extend(reasons(&report.items));
    Section {
        title: "Items: how they told the stronger from the weaker",
        before: vec![format!(
            "Up-low is the facility of {who} highest less that of {who} lowest; equal totals are taken in the order \
             of the marks. Item-rest is the correlation with the total of the other items, with its 95 % interval \
             (Fisher). Without is alpha of the others.",
        )],
        table: Some(Grid { head, rows: rows.collect() }),
        after,
    }
}

/// Whether items are named by their templates, because they stand at other places in other papers.
pub(super) fn are_numbered(report: &Report) -> bool {
    report.items.iter().any(|row| row.item.name.starts_with(&row.template))
}

/// What a row is called: `2a Base for one drug`, or `1. base-one-drug a` where papers have other orders
/// and the marks do not tell that of the blueprint.
fn label(n: usize, row: &ReportItem) -> String {
    let name = &row.item.name;
    if name.starts_with(&row.template) {
        format!("{}. {name}", n + 1)
    } else {
        format!("{name} {}", row.title)
    }
}

/// What an item with options is called.
fn called(chosen: &Chosen) -> String {
    if chosen.item.starts_with(&chosen.title) {
        chosen.item.clone()
    } else {
        format!("{} {}", chosen.item, chosen.title)
    }
}

/// Why some statistics of items are not there.
fn reasons(items: &[ReportItem]) -> Vec<String> {
    let mut reasons: Vec<(String, Vec<&str>)> = Vec::new();
    for row in items {
        let item = &row.item;
        let mut whys: Vec<String> = Vec::new();
        for why in [item.facility.err(), item.upper_lower.err(), item.item_rest.err()]
            .into_iter()
            .chain([item.item_rest_interval.err()])
            .flatten()
        {
            let why = why.to_string();
            if !whys.contains(&why) {
                whys.push(why);
            }
        }
        for why in whys {
            match reasons.iter_mut().find(|(known, _)| *known == why) {
                Some((_, names)) => names.push(&item.name),
                None => reasons.push((why, vec![&item.name])),
            }
        }
    }
    let all = items.len();
    let sentence = |(why, names): (String, Vec<&str>)| {
        if names.len() == all && all > 1 {
            format!("n/a for all items: {why}.")
        } else {
            format!("n/a for {}: {why}.", names.join(", "))
        }
    };
    reasons.into_iter().map(sentence).collect()
}

/// How options were chosen; nothing where no item has any.
pub(super) fn options(report: &Report) -> Vec<Section> {
    if report.options.is_empty() {
        return Vec::new();
    }
    let rows = report.options.iter().map(|chosen| {
        vec![
            called(chosen),
            chosen.shown.to_string(),
            number(chosen.wrong),
            number(chosen.wrong_offered),
            number(chosen.none),
            short(chosen.efficiency),
        ]
    });
    let untold = report.options.iter().any(|chosen| chosen.options.is_empty());
    let mut after = vec![
        "Offered is the share of the options that were wrong; who guesses blindly at one option chooses \
         a wrong one that often. Working is the share of wrong options that at least 5 % of those who saw them \
         chose."
            .to_owned(),
    ];
    if report.options.iter().any(|chosen| chosen.efficiency == Err(Undefined::FewShown)) {
        after.push(format!(
            "n/a: the options are drawn from many, and fewer than {} candidates were shown the same one.",
            report.settings.bands.smallest_class
        ));
    }
    if untold {
        after.push(
            "n/a: the marks do not tell what the options said, and their letters differ from paper to paper. \
             So it can be told how many chose something wrong, but not which wrong option drew them."
                .to_owned(),
        );
    }
    let mut sections = vec![Section {
        title: "Questions with options",
        before: Vec::new(),
        table: Some(Grid {
            head: vec![
                ("item", false),
                ("shown", true),
                ("chose wrong", true),
                ("offered", true),
                ("chose none", true),
                ("working", true),
            ],
            rows: rows.collect(),
        }),
        after,
    }];
    sections.extend(each_option(&report.options, report.settings.bands.smallest_class));
    sections
}

/// The options that can be told of: those that enough candidates were shown, and wrong ones that more than
/// one chose.
fn each_option(all: &[Chosen], enough: usize) -> Option<Section> {
    let rows: Vec<Vec<String>> = all
        .iter()
        .flat_map(|chosen| chosen.options.iter().map(move |option| (chosen, option)))
        .filter(|(_, option)| option.shown >= enough || !option.is_right && option.chosen > 1)
        .map(|(chosen, option)| {
            let standing = match (option.is_right, option.is_suspicious) {
                (true, _) => "right",
                (false, false) => "wrong",
                (false, true) => "wrong?",
            };
            vec![
                called(chosen),
                option.shown.to_string(),
                option.chosen.to_string(),
                number(option.share),
                if option.shown >= enough { short(option.choice_rest) } else { "n/a".to_owned() },
                standing.to_owned(),
                option.text.clone(),
            ]
        })
        .collect();
    let head = vec![
        ("item", false),
        ("shown", true),
        ("chosen", true),
        ("share", true),
        ("rest", true),
        ("", false),
        ("option", false),
    ];
    let before = format!(
        "Options that at least {enough} candidates were shown, and wrong ones that more than one chose. Rest is \
         the correlation of choosing the option with the total of the other items, where enough were shown it. \
         A wrong option should draw the weaker; where it draws the stronger, and at least five of them, it has a \
         question mark, and the key should be checked."
    );
    (!rows.is_empty()).then(|| Section {
        title: "Options one by one",
        before: vec![before],
        table: Some(Grid { head, rows }),
        after: Vec::new(),
    })
}
