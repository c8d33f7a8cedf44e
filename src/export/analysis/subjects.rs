//! What is told of templates, slips and objectives.

use crate::analysis::{Between, ObjectiveRow, Report, SlipCount, Undefined};

use super::figures::{chance, number, percent, short, spaced};
use super::section::{Grid, Section};

/// Groups listed one by one; of more only the highest and the lowest are named.
const MOST_GROUPS: usize = 8;

/// How whole questions went, by template.
pub(super) fn templates(report: &Report) -> Section {
    let rows = report.templates.iter().map(|row| {
        vec![
            row.title.clone(),
            row.questions.to_string(),
            row.problems.to_string(),
            short(row.facility),
            short(row.full),
        ]
    });
    Section {
        title: "Whole questions",
        before: vec![
            "Facility of whole questions, and the share of them with full marks.".to_owned(),
        ],
        table: Some(Grid {
            head: vec![
                ("question", false),
                ("papers", true),
                ("problems", true),
                ("facility", true),
                ("full marks", true),
            ],
            rows: rows.collect(),
        }),
        after: Vec::new(),
    }
}

/// Variants within templates; nothing where no template has any to compare.
pub(super) fn variants(report: &Report) -> Option<Section> {
    let mut rows = Vec::new();
    let mut none: Vec<(Undefined, Vec<&str>)> = Vec::new();
    let mut few = false;
    for row in &report.templates {
        match &row.variants {
            Ok(compared) => rows.extend(compared.iter().map(|(by, between)| {
                few |= between.chance.is_err();
                vec![
                    row.title.clone(),
                    spaced(by),
                    between.groups.len().to_string(),
                    number(between.range),
                    chance(between.chance),
                    groups(between),
                ]
            })),
            Err(why) => match none.iter_mut().find(|(known, _)| known == why) {
                Some((_, templates)) => templates.push(&row.title),
                None => none.push((*why, vec![&row.title])),
            },
        }
    }
    if rows.is_empty() {
        return None;
    }
    let sentence =
        |(why, templates): (Undefined, Vec<&str>)| format!("{}: {why}.", templates.join(", "));
    let mut after: Vec<String> = none.into_iter().map(sentence).collect();
    if few {
        after.push(
            "n/a: some variants had too few candidates, or all candidates did equally well."
                .to_owned(),
        );
    }
    after.push(
        "Chance is that of differences at least as large if all variants were equally hard (chi-square of full \
         marks). Of twenty comparisons one falls below 0.05 by luck alone."
            .to_owned(),
    );
    Some(Section {
        title: "Variants of a question",
        before: vec!["The share of full marks by what the problems have in common.".to_owned()],
        table: Some(Grid {
            head: vec![
                ("question", false),
                ("by", false),
                ("groups", true),
                ("range", true),
                ("chance", false),
                ("share of full marks", false),
            ],
            rows,
        }),
        after,
    })
}

fn groups(between: &Between) -> String {
    let mut groups: Vec<&(String, usize, f64)> = between.groups.iter().collect();
    groups.sort_by(|a, b| b.2.total_cmp(&a.2));
    let one = |(name, candidates, share): &(String, usize, f64)| {
        format!("{} {} of {candidates}", spaced(name), number(*share))
    };
    if groups.len() <= MOST_GROUPS {
        return groups.into_iter().map(one).collect::<Vec<_>>().join("; ");
    }
    let (first, last) = (groups.first().copied(), groups.last().copied());
    let ends: Vec<String> = first.into_iter().chain(last).map(one).collect();
    ends.join(" down to ")
}

/// What the class misunderstood.
pub(super) fn slips(report: &Report) -> Section {
    let rows: Vec<Vec<String>> = report
        .slips
        .iter()
        .map(|slip| {
            vec![
                slip.candidates.to_string(),
                percent(slip.candidates as f64 / slip.set.max(1) as f64),
                slip.title.clone(),
                said(slip),
            ]
        })
        .collect();
    let before = if rows.is_empty() {
        "No answer comes from a known slip."
    } else {
        "What the class misunderstood, the commonest first: how many candidates gave an answer that the slip \
         leads to, and what one of them is told. A number can come about in several ways."
    };
    let head = vec![("candidates", true), ("share", true), ("question", false), ("slip", false)];
    Section {
        title: "Slips",
        before: vec![before.to_owned()],
        table: (!rows.is_empty()).then_some(Grid { head, rows }),
        after: Vec::new(),
    }
}

fn said(slip: &SlipCount) -> String {
    match &slip.example {
        Some(example) => format!("{} (candidate {})", example.says, example.candidate),
        None => spaced(&slip.slip),
    }
}

/// How the class did by objective and topic.
pub(super) fn objectives(report: &Report) -> Section {
    let rows = objective_rows(report).into_iter().map(|(label, is_topic, row)| {
        vec![
            if is_topic { format!("- {label}") } else { label },
            row.items.to_string(),
            short(row.facility),
            short(row.error),
            short(row.by_group[0]),
            short(row.by_group[1]),
            short(row.by_group[2]),
        ]
    });
    Section {
        title: "Objectives",
        before: vec!["The mean over candidates of their marks over the marks they could have, with its standard \
                      error; then the same for the upper group, those between, and the lower group."
            .to_owned()],
        table: Some(Grid {
            head: vec![
                ("objective", false),
                ("items", true),
                ("facility", true),
                ("error", true),
                ("upper", true),
                ("middle", true),
                ("lower", true),
            ],
            rows: rows.collect(),
        }),
        after: Vec::new(),
    }
}

/// The objectives with their topics: what each is called, and whether it is a topic under the objective
/// above. An objective with a single topic is one row.
pub(super) fn objective_rows(report: &Report) -> Vec<(String, bool, &ObjectiveRow)> {
    let topics = |objective: &str| -> Vec<&str> {
        let of_objective = report.objectives.iter().filter(|row| row.objective == objective);
        of_objective.filter_map(|row| row.topic.as_deref()).collect()
    };
    let mut rows = Vec::new();
    for row in &report.objectives {
        let name =
            if row.objective.is_empty() { "not told".to_owned() } else { spaced(&row.objective) };
        match (&row.topic, topics(&row.objective).as_slice()) {
            (None, [topic]) => rows.push((format!("{name}: {}", spaced(topic)), false, row)),
            (None, _) => rows.push((name, false, row)),
            (Some(_), [_]) => {}
            (Some(topic), _) => rows.push((spaced(topic), true, row)),
        }
    }
    rows
}
