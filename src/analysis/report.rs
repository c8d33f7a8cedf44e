//! Everything that is told of a marked class.

use crate::marking::Standing;
use crate::marks::Status;

use super::reliability::alpha;
use super::{
    Bands, Chosen, Class, Discrimination, Facility, Groups, Interval, Item, Marks, MarksProblem,
    ObjectiveRow, Passing, Redrawn, Reliability, Scores, Sittings, SlipCount, Statistic,
    TemplateRow, Undefined, chosen, items, moments, objectives, quantile, reliability, slips,
    templates, totals,
};

/// How many bars the distribution of scores has.
const BARS: usize = 10;

/// How a report is made.
#[derive(Clone, Debug, PartialEq)]
pub struct ReportSettings {
    /// How many per cent of the class are in the upper and in the lower group each.
    pub group: u8,
    /// The bands of the words.
    pub bands: Bands,
}

/// Everything that is told of a marked class.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// The title of the paper.
    pub title: String,
    /// How it was made.
    pub settings: ReportSettings,
    /// How many sat.
    pub candidates: usize,
    /// How many were absent; they are in none of the numbers, like the next two.
    pub absent: usize,
    /// How many were excused.
    pub excused: usize,
    /// How many have withdrawn.
    pub withdrawn: usize,
    /// How many of those who sat left everything blank; they count with no marks.
    pub all_blank: usize,
    /// How many answers wait to be marked by hand.
    pub waiting: usize,
    /// How many answers could not be read and have no marks; one marked by hand since is not among them.
    pub unread: usize,
    /// How many candidates the upper and the lower group have each.
    pub group_size: usize,
    /// How reliable the totals are, with parts as items.
    pub reliability: Reliability,
    /// Alpha with whole questions as items, because parts of one question hang together.
    pub alpha_by_question: Statistic,
    /// How many questions that is.
    pub questions: usize,
    /// The marks that could be had in the totals.
    pub of: f64,
    /// The lower quartile, the median and the upper quartile of the totals.
    pub quartiles: [Statistic; 3],
    /// Who passed, and who was near the pass mark.
    pub passing: Passing,
    /// The groups of the class, where there are any.
    pub groups: Option<Groups>,
    /// The class beside other sittings, where there are any.
    pub sittings: Option<Sittings>,
    /// How many totals lie in each tenth of the marks, the lowest first.
    pub distribution: Vec<usize>,
    /// The items.
    pub items: Vec<ReportItem>,
    /// How options were chosen.
    pub options: Vec<Chosen>,
    /// The templates, with their variants.
    pub templates: Vec<TemplateRow>,
    /// The slips, the commonest first.
    pub slips: Vec<SlipCount>,
    /// The objectives and their topics.
    pub objectives: Vec<ObjectiveRow>,
}

/// What is told of one item.
#[derive(Clone, Debug, PartialEq)]
pub struct ReportItem {
    /// The statistics.
    pub item: Item,
    /// The template.
    pub template: String,
    /// The title of the question; the template where the marks do not tell it.
    pub title: String,
    /// The letter of the part; empty where a question has one.
    pub part: String,
    /// The objective.
    pub objective: String,
    /// The topic.
    pub topic: String,
    /// How many were set it.
    pub set: usize,
    /// How many had full marks.
    pub full: usize,
    /// How many left it blank.
    pub blank: usize,
    /// How many answers wait to be marked by hand.
    pub waiting: usize,
    /// The 95 % interval of the facility.
    pub facility_interval: Result<Interval, Undefined>,
    /// The facility in words; `None` in a class too small for a verdict.
    pub facility_word: Option<Facility>,
    /// The discrimination in words; `None` in a class too small for a verdict.
    pub discrimination_word: Option<Discrimination>,
}

impl Default for ReportSettings {
    fn default() -> Self {
        Self { group: 27, bands: Bands::default() }
    }
}

impl ReportSettings {
    /// The share of the class in each group.
    pub fn group_share(&self) -> f64 {
        f64::from(self.group) / 100.0
    }
}

impl Report {
    /// Analyses a marked class. With a bank, slips are told in words and variants by what was picked.
    ///
    /// # Errors
    /// Items that are not worth the same for all.
    pub fn new(
        marks: &Marks,
        settings: ReportSettings,
        mut redrawn: Option<&mut Redrawn<'_>>,
    ) -> Result<Self, Vec<MarksProblem>> {
        let class = Class::of(marks)?;
        let (scores, whole) = class.scores();
        let (mut upper, mut lower) = scores.groups(settings.group_share());
        // In order, so that a large class is looked up quickly.
        upper.sort_unstable();
        lower.sort_unstable();
        let of_whole = items(&scores, settings.group_share());
        let mut report_items = Vec::with_capacity(class.items.len());
        let mut options = Vec::new();
        for (index, item) in class.items.iter().enumerate() {
            let column = whole.iter().position(|at| *at == index);
            let statistics = column.and_then(|column| of_whole.get(column)).cloned();
            let rest = column.map_or_else(|| scores.totals(), |column| scores.rest(column));
            options.extend(chosen(item, &rest, (&upper, &lower), settings.bands.smallest_class));
            report_items.push(report_item(item, statistics, &settings.bands));
        }
        let (by_question, questions) = by_question(&class, &scores, &whole);
        let all_blank = (0..class.candidates.len())
            .filter(|row| {
                let mut lines = class.items.iter().filter_map(|item| item.line(*row));
                lines.all(|line| line.standing() == Standing::Blank)
            })
            .count();
        let reliability = reliability(&scores);
        let (finals, grading) = (totals(&class), &marks.head.grading);
        Ok(Self {
            title: marks.head.title().to_owned(),
            candidates: class.candidates.len(),
            absent: marks.count(Status::Absent),
            excused: marks.count(Status::Excused),
            withdrawn: marks.count(Status::Withdrawn),
            all_blank,
            waiting: report_items.iter().map(|item| item.waiting).sum(),
            unread: marks.lines.iter().filter(|it| it.standing() == Standing::NotRead).count(),
            group_size: upper.len(),
            quartiles: [0.25, 0.5, 0.75].map(|share| quantile(&scores.totals(), share)),
            passing: Passing::of(&finals, grading, reliability.error),
            groups: Groups::of(&finals, grading),
            sittings: None,
            reliability,
            alpha_by_question: by_question,
            questions,
            of: scores.maxima().iter().sum(),
            distribution: distribution(&scores),
            items: report_items,
            options,
            templates: templates(&class, redrawn.as_deref_mut()),
            slips: slips(marks, redrawn),
            objectives: objectives(&class, &upper, &lower),
            settings,
        })
    }

    /// Whether the class is too small for verdicts in words.
    pub fn is_small(&self) -> bool {
        self.candidates < self.settings.bands.smallest_class
    }
}

fn report_item(item: &super::ClassItem<'_>, statistics: Option<Item>, bands: &Bands) -> ReportItem {
    let set = item.set().count();
    let waiting = item.set().filter(|(_, line)| line.marks().is_none()).count();
    let statistics = statistics.unwrap_or_else(|| {
        let why = if waiting > 0 { Undefined::NotAllMarked } else { Undefined::NotSetToAll };
        alone(item, why)
    });
    let marked = set - waiting;
    let word = |value: Statistic| value.ok();
    ReportItem {
        facility_interval: statistics
            .facility
            .and_then(|facility| moments::share_interval(facility, marked)),
        facility_word: word(statistics.facility).and_then(|value| bands.facility(value, marked)),
        discrimination_word: word(statistics.item_rest)
            .and_then(|value| bands.discrimination(value, marked)),
        item: statistics,
        template: item.template.to_owned(),
        title: item.title.to_owned(),
        part: item.part.to_owned(),
        objective: item.first().map_or(String::new(), |line| line.objective().to_owned()),
        topic: item.first().map_or(String::new(), |line| line.topic().to_owned()),
        set,
        full: item.set().filter(|(_, line)| line.is_full()).count(),
        blank: item.set().filter(|(_, line)| line.standing() == Standing::Blank).count(),
        waiting,
    }
}

/// The statistics of an item that is not in the table of totals: only its own marks tell anything.
fn alone(item: &super::ClassItem<'_>, why: Undefined) -> Item {
    let marks: Vec<f64> = item.set().filter_map(|(_, line)| line.marks()).collect();
    Item {
        name: item.name.clone(),
        maximum: item.of,
        facility: moments::mean(&marks).map(|mean| mean / item.of).map_err(|_| why),
        facility_error: moments::sample_variance(&marks)
            .map(|variance| (variance / marks.len() as f64).sqrt() / item.of),
        upper_lower: Err(why),
        item_rest: Err(why),
        item_rest_interval: Err(why),
        alpha_without: Err(why),
    }
}

/// Alpha with questions as items, and how many there are.
fn by_question(class: &Class<'_>, scores: &Scores, whole: &[usize]) -> (Statistic, usize) {
    let mut questions: Vec<((&str, usize), Vec<usize>)> = Vec::new();
    for (column, index) in whole.iter().enumerate() {
        let item = &class.items[*index];
        let key = (item.template, item.nth);
        match questions.iter_mut().find(|(known, _)| *known == key) {
            Some((_, columns)) => columns.push(column),
            None => questions.push((key, vec![column])),
        }
    }
    let columns: Vec<Vec<f64>> = questions
        .iter()
        .map(|(_, columns)| {
            let parts: Vec<Vec<f64>> =
                columns.iter().map(|column| scores.column(*column)).collect();
            (0..scores.candidates()).map(|row| parts.iter().map(|part| part[row]).sum()).collect()
        })
        .collect();
    (alpha(&columns), questions.len())
}

/// How many totals lie in each tenth of the marks; full marks lie in the last.
fn distribution(scores: &Scores) -> Vec<usize> {
    let of: f64 = scores.maxima().iter().sum();
    let mut counts = vec![0; BARS];
    if of <= 0.0 {
        return counts;
    }
    for total in scores.totals() {
        let tenth = (1..BARS).take_while(|n| total * BARS as f64 >= *n as f64 * of).count();
        counts[tenth] += 1;
    }
    counts
}
