//! Templates, and within them their variants.

use std::collections::{BTreeMap, BTreeSet};

use super::{Between, Class, Redrawn, Statistic, Undefined, between_variants, moments};

/// How the questions of one template went.
#[derive(Clone, Debug, PartialEq)]
pub struct TemplateRow {
    /// The template.
    pub template: String,
    /// The title of the question; the template where the marks do not tell it.
    pub title: String,
    /// How many were set a question of it.
    pub candidates: usize,
    /// How many questions of it there were, over all candidates.
    pub questions: usize,
    /// The mean of marks over the maximum, by question.
    pub facility: Statistic,
    /// The share of questions with full marks.
    pub full: Statistic,
    /// How many different problems were set.
    pub problems: usize,
    /// Comparisons of variants, each by what its problems have in common: `drug`.
    pub variants: Result<Vec<(String, Between)>, Undefined>,
}

/// One question of one candidate: its marks, the maximum, and whether all are marked.
#[derive(Clone, Debug, Default)]
struct Answered<'a> {
    place: &'a str,
    marks: f64,
    of: f64,
    is_marked: bool,
}

/// The templates in the order in which they come first.
pub fn templates(class: &Class<'_>, mut redrawn: Option<&mut Redrawn<'_>>) -> Vec<TemplateRow> {
    let mut order: Vec<(&str, &str)> = Vec::new();
    for item in &class.items {
        if !order.iter().any(|(template, _)| *template == item.template) {
            order.push((item.template, item.title));
        }
    }
    let rows = order.into_iter().map(|(template, title)| {
        // The questions of one template after the other, so that those of all are never held at once.
        row((template, title), &answered(class, template), redrawn.as_deref_mut())
    });
    rows.collect()
}

/// The questions of a template, by candidate and which of the candidate's it is.
fn answered<'a>(class: &Class<'a>, template: &str) -> BTreeMap<(usize, usize), Answered<'a>> {
    let mut answered: BTreeMap<(usize, usize), Answered<'a>> = BTreeMap::new();
    for item in class.items.iter().filter(|item| item.template == template) {
        for (row, line) in item.set() {
            let question = answered.entry((row, item.nth)).or_insert_with(|| Answered {
                place: line.place(),
                is_marked: true,
                ..Answered::default()
            });
            question.marks += line.marks().unwrap_or(0.0);
            question.of += line.of();
            question.is_marked &= line.marks().is_some();
        }
    }
    answered
}

fn row(
    (template, title): (&str, &str),
    of_template: &BTreeMap<(usize, usize), Answered<'_>>,
    redrawn: Option<&mut Redrawn<'_>>,
) -> TemplateRow {
    let marked: Vec<&Answered<'_>> =
        of_template.values().filter(|question| question.is_marked).collect();
    let shares: Vec<f64> = marked.iter().map(|question| question.marks / question.of).collect();
    let full: Vec<f64> = marked.iter().map(|it| f64::from(u8::from(is_full(it)))).collect();
    let candidates: BTreeSet<usize> = of_template.keys().map(|(row, _)| *row).collect();
    let places: BTreeSet<&str> = of_template.values().map(|question| question.place).collect();
    TemplateRow {
        template: template.to_owned(),
        title: title.to_owned(),
        candidates: candidates.len(),
        questions: of_template.len(),
        facility: moments::mean(&shares),
        full: moments::mean(&full),
        problems: places.len(),
        variants: variants(template, &marked, redrawn),
    }
}

fn is_full(question: &Answered<'_>) -> bool {
    question.marks >= question.of
}

/// The variants by what was picked; where the bank does not tell it, by the problem itself.
fn variants(
    template: &str,
    marked: &[&Answered<'_>],
    mut redrawn: Option<&mut Redrawn<'_>>,
) -> Result<Vec<(String, Between)>, Undefined> {
    let mut by_pick: BTreeMap<String, BTreeMap<String, (usize, usize)>> = BTreeMap::new();
    let mut by_place: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    for question in marked {
        let picks = redrawn
            .as_deref_mut()
            .map_or_else(Vec::new, |redrawn| redrawn.picks(template, question.place));
        for (pick, row) in picks {
            count(by_pick.entry(pick).or_default().entry(row).or_default(), question);
        }
        count(by_place.entry(question.place.to_owned()).or_default(), question);
    }
    let several = |groups: &BTreeMap<String, (usize, usize)>| groups.len() > 1;
    let compared: Vec<(String, Between)> = by_pick
        .iter()
        .filter(|(_, groups)| several(groups))
        .map(|(pick, groups)| (pick.clone(), between(groups)))
        .collect();
    if !compared.is_empty() {
        return Ok(compared);
    }
    if marked.is_empty() {
        return Err(Undefined::NotAllMarked);
    }
    if by_place.len() < 2 {
        return Err(Undefined::AllAlike);
    }
    if by_place.values().all(|(candidates, _)| *candidates < 2) {
        return Err(Undefined::AllUnlike);
    }
    Ok(vec![("problem".to_owned(), between(&by_place))])
}

fn count(group: &mut (usize, usize), question: &Answered<'_>) {
    group.0 += 1;
    group.1 += usize::from(is_full(question));
}

fn between(groups: &BTreeMap<String, (usize, usize)>) -> Between {
    let groups: Vec<(String, usize, usize)> =
        groups.iter().map(|(name, (all, full))| (name.clone(), *all, *full)).collect();
    between_variants(&groups)
}
