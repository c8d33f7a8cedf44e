//! The papers of a class.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::bank::{Bank, Blueprint, PlannedQuestion, SourceText, Template, parallel};
use crate::draw::{Seed, Stream};

use super::places::Places;
use super::{Candidate, Paper, PaperCode, PaperProblem, PaperQuestion, Secret, Spread};

/// The papers of a class with everything needed to make them again: what the manifest keeps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperSet {
    /// The version of the program that made the papers.
    pub made_by: String,
    /// The blueprint.
    pub blueprint: SourceText,
    /// The template of each question of the blueprint with its fingerprint.
    pub templates: Vec<(String, String)>,
    /// By which the secret is known again, without being told.
    pub secret: String,
    /// The number of its first paper: 0, or behind the papers that other groups have under the secret.
    pub first: u64,
    /// The size of paper they were printed for, by its name, where it is known.
    pub paper_size: Option<String>,
    /// By which it is known whether files made of a paper would come out the same again.
    pub pressed: Option<String>,
    /// The layouts of one's own that the papers, their feedback and their report have.
    pub layouts: Vec<SourceText>,
    /// The papers, in the order in which the candidates were first entered.
    pub papers: Vec<Paper>,
}

impl PaperSet {
    /// Makes a paper for every candidate.
    ///
    /// Those who have a paper in an earlier state of the set keep it, also when they are not in the
    /// class any more. No paper has a problem of `avoid`, nor one of the first `used` papers that this
    /// blueprint has under the secret, unless they belong to the set.
    ///
    /// # Errors
    /// Everything that stands in the way.
    pub fn make(
        bank: &Bank,
        blueprint: &Blueprint,
        secret: &Secret,
        class: &[Candidate],
        earlier: Option<&Self>,
        used: u64,
        avoid: Option<&Self>,
    ) -> Result<Self, Vec<PaperProblem>> {
        let templates: Vec<(String, String)> = blueprint
            .questions
            .iter()
            .map(|question| (question.template.id.clone(), question.template.fingerprint.clone()))
            .collect();
        let mut set = Self {
            made_by: env!("CARGO_PKG_VERSION").to_owned(),
            blueprint: blueprint.source.without_folder(),
            templates,
            secret: known_by(secret),
            first: earlier.map_or(used, |earlier| earlier.first),
            paper_size: earlier.and_then(|earlier| earlier.paper_size.clone()),
            pressed: None,
            layouts: Vec::new(),
            papers: Vec::new(),
        };
        if let Some(earlier) = earlier {
            set.goes_on_from(earlier)?;
        }
        let shared = Shared::of(blueprint, set.first);
        let new = used.max(earlier.map_or(shared.behind, Self::used));
        let candidates = entered(class, earlier, new);
        let order = Self::places(bank, blueprint, secret, &shared, &candidates, avoid)?;
        let papers = parallel::each(&candidates, |(number, candidate)| {
            let mut paper = paper(blueprint, secret, *number, candidate, &shared, &order)?;
            paper.seal(bank, blueprint)?;
            Ok(paper)
        });
        let mut problems = Vec::new();
        for paper in papers {
            match paper {
                Ok(paper) => set.papers.push(paper),
                Err(problem) if problems.contains(&problem) => {}
                Err(problem) => problems.push(problem),
            }
        }
        if let Some(earlier) = earlier {
            problems.extend(set.differs_from(earlier));
        }
        if problems.is_empty() { Ok(set) } else { Err(problems) }
    }

    /// How many numbers this blueprint has used up under the secret, as far as this set knows.
    pub fn used(&self) -> u64 {
        self.papers.iter().map(|paper| paper.number + 1).max().unwrap_or(self.first)
    }

    /// By which the set is known again, whoever is added to it.
    pub fn fingerprint(&self) -> String {
        let templates = self.templates.iter().flat_map(|(id, fingerprint)| [&**id, fingerprint]);
        let fields: Vec<&str> =
            [&*self.secret, &*self.blueprint.text].into_iter().chain(templates).collect();
        let hash = Seed::derive(b"castmark set", "castmark set 1", &fields);
        hash.bytes().iter().take(16).map(|byte| format!("{byte:02x}")).collect()
    }

    /// The paper of a candidate.
    ///
    /// # Errors
    /// When there is none.
    pub fn paper(&self, candidate: &str) -> Result<&Paper, PaperProblem> {
        self.papers
            .iter()
            .find(|paper| paper.candidate.number == candidate)
            .ok_or_else(|| PaperProblem::NoCandidate(candidate.to_owned()))
    }

    /// The blueprint with the templates that the papers were made from.
    ///
    /// # Errors
    /// The templates that the bank does not have.
    pub fn with_its_templates(
        &self,
        mut blueprint: Blueprint,
        bank: &Bank,
    ) -> Result<Blueprint, Vec<PaperProblem>> {
        let mut problems = Vec::new();
        for (question, (id, _)) in blueprint.questions.iter_mut().zip(&self.templates) {
            match bank.find(id) {
                Some(template) => question.template = template.clone(),
                None => problems.push(PaperProblem::NoTemplate(id.clone())),
            }
        }
        if blueprint.questions.len() != self.templates.len() {
            problems.push(PaperProblem::OtherBlueprint);
        }
        if problems.is_empty() { Ok(blueprint) } else { Err(problems) }
    }

    /// Whether papers can be added to an earlier state of the set.
    fn goes_on_from(&self, earlier: &Self) -> Result<(), Vec<PaperProblem>> {
        let mut problems = Vec::new();
        if self.secret != earlier.secret {
            problems.push(PaperProblem::OtherSecret);
        }
        if self.blueprint.text != earlier.blueprint.text {
            problems.push(PaperProblem::OtherBlueprint);
        }
        let changed: BTreeSet<&String> = earlier
            .templates
            .iter()
            .filter(|template| !self.templates.contains(template))
            .map(|(id, _)| id)
            .collect();
        problems.extend(changed.into_iter().map(|id| PaperProblem::TemplateChanged {
            template: id.clone(),
            papers: "these papers were",
        }));
        if problems.is_empty() { Ok(()) } else { Err(problems) }
    }

    /// The papers of an earlier state that have become others.
    fn differs_from(&self, earlier: &Self) -> Vec<PaperProblem> {
        let mut problems = Vec::new();
        for (old, new) in earlier.papers.iter().zip(&self.papers) {
            let differing = old.questions.iter().zip(&new.questions).position(|(a, b)| a != b);
            if let Some(index) = differing {
                let planned = old.questions[index].planned;
                problems.push(PaperProblem::Different {
                    candidate: old.candidate.number.clone(),
                    question: index + 1,
                    template: self.templates[planned].0.clone(),
                    made_by: earlier.made_by.clone(),
                });
            }
        }
        problems
    }

    /// The places of all papers, by template.
    fn places(
        bank: &Bank,
        blueprint: &Blueprint,
        secret: &Secret,
        shared: &Shared,
        candidates: &[(u64, Candidate)],
        avoid: Option<&Self>,
    ) -> Result<BTreeMap<String, Vec<u128>>, Vec<PaperProblem>> {
        let mut problems = Vec::new();
        let last = candidates.iter().map(|(number, _)| *number).max().unwrap_or_default();
        let mut walks: BTreeMap<&str, (&Arc<Template>, usize)> = BTreeMap::new();
        for question in &blueprint.questions {
            let uses = Uses::of(blueprint, &question.template.id);
            let needed = uses.needed(shared.first, last);
            walks.insert(&question.template.id, (&question.template, needed));
        }
        let walks: Vec<_> = walks.into_iter().collect();
        let taken = parallel::each(&walks, |(id, (template, needed))| {
            let band = Spread::of(bank, template)?.band(blueprint.difficulty);
            let mut places = Places::new(secret, &blueprint.id, template, band)?;
            for place in avoid.map(|set| set.places_of(template)).transpose()?.unwrap_or_default() {
                places.avoid(place);
            }
            Ok(((*id).to_owned(), places.take(*needed)?))
        });
        let mut order = BTreeMap::new();
        for taken in taken {
            match taken {
                Ok((id, places)) => {
                    order.insert(id, places);
                }
                Err(problem) => problems.push(problem),
            }
        }
        if problems.is_empty() { Ok(order) } else { Err(problems) }
    }

    /// The places of a template that the papers of this set use.
    fn places_of(&self, template: &Template) -> Result<Vec<u128>, PaperProblem> {
        let mine = |(id, _): &&(String, String)| *id == template.id;
        let Some((_, fingerprint)) = self.templates.iter().find(mine) else {
            return Ok(Vec::new());
        };
        if *fingerprint != template.fingerprint {
            return Err(PaperProblem::TemplateChanged {
                template: template.id.clone(),
                papers: "the papers whose problems are to be avoided were",
            });
        }
        let questions = self.papers.iter().flat_map(|paper| &paper.questions);
        let of_template = questions.filter(|question| {
            self.templates.get(question.planned).is_some_and(|(id, _)| *id == template.id)
        });
        Ok(of_template.map(|question| question.place).collect())
    }
}

/// How often a template stands in a blueprint, and which problem of its order each place gets.
///
/// The problems that all share come first, then those of each candidate in turn. A later group under
/// the same secret takes the problems that all of it share from the candidates' part as well, so that
/// no two groups share one.
#[derive(Clone, Copy, Debug)]
struct Uses {
    shared: usize,
    each: usize,
}

impl Uses {
    fn of(blueprint: &Blueprint, template: &str) -> Self {
        let alike = |same: bool| {
            let questions = blueprint.questions.iter();
            questions.filter(|it| it.template.id == template && it.same == same).count()
        };
        Self { shared: alike(true), each: alike(false) }
    }

    /// The place of the problem of a candidate's number that has so many before it on the paper.
    fn each_at(self, number: u64, before: usize) -> usize {
        let number = usize::try_from(number).unwrap_or(usize::MAX);
        number.saturating_mul(self.each.max(1)).saturating_add(self.shared + before)
    }

    /// The same of the problems that a whole group shares.
    fn shared_at(self, first: u64, before: usize) -> usize {
        if first == 0 { before } else { self.each_at(first, before) }
    }

    /// How many places are needed for a group that begins with one number and ends with another.
    fn needed(self, first: u64, last: u64) -> usize {
        let shared = if self.shared == 0 { 0 } else { self.shared_at(first, self.shared) };
        let each = if self.each == 0 { 0 } else { self.each_at(last, self.each) };
        shared.max(each)
    }

    /// How many numbers the problems that a later group shares use up.
    fn numbers(self) -> usize {
        self.shared.div_ceil(self.each.max(1))
    }
}

/// Where a group begins.
#[derive(Clone, Copy, Debug)]
struct Shared {
    /// The number with which the group begins.
    first: u64,
    /// The number of its first candidate, behind what the group shares.
    behind: u64,
}

impl Shared {
    fn of(blueprint: &Blueprint, first: u64) -> Self {
        let questions = blueprint.questions.iter();
        let uses = questions.map(|it| Uses::of(blueprint, &it.template.id).numbers());
        let numbers = if first == 0 { 0 } else { uses.max().unwrap_or_default() };
        Self { first, behind: first.saturating_add(numbers as u64) }
    }
}

/// All who were ever entered, with their numbers, those of the class as the list has them now; new
/// ones get the numbers from `new` on.
fn entered(class: &[Candidate], earlier: Option<&PaperSet>, new: u64) -> Vec<(u64, Candidate)> {
    let papers = earlier.iter().flat_map(|set| &set.papers);
    let mut candidates: Vec<(u64, Candidate)> =
        papers.map(|paper| (paper.number, paper.candidate.clone())).collect();
    let mut known: BTreeMap<String, usize> =
        candidates.iter().enumerate().map(|(at, (_, it))| (it.number.clone(), at)).collect();
    let mut numbers = new..;
    for candidate in class {
        match known.get(&candidate.number) {
            Some(at) => candidates[*at].1 = candidate.clone(),
            None => {
                known.insert(candidate.number.clone(), candidates.len());
                candidates.extend(numbers.next().map(|number| (number, candidate.clone())));
            }
        }
    }
    candidates
}

/// The paper of that number, not yet sealed.
fn paper(
    blueprint: &Blueprint,
    secret: &Secret,
    number: u64,
    candidate: &Candidate,
    shared: &Shared,
    order: &BTreeMap<String, Vec<u128>>,
) -> Result<Paper, PaperProblem> {
    let id = blueprint.id.as_str();
    let presentation = Seed::derive(secret.key(), "castmark looks 1", &[id, &number.to_string()]);
    let mut shuffling = Stream::new(&presentation);
    let mut printed = Vec::with_capacity(blueprint.questions.len());
    for (section, plan) in blueprint.sections.iter().enumerate() {
        let planned = blueprint.questions.iter().enumerate();
        let mut here: Vec<usize> =
            planned.filter(|(_, it)| it.section == section).map(|(index, _)| index).collect();
        if plan.shuffle {
            shuffling.shuffle(&mut here);
        }
        printed.extend(here);
    }
    let questions = printed.into_iter().map(|planned| {
        let PlannedQuestion { template, same, .. } = &blueprint.questions[planned];
        let alike = |it: &&PlannedQuestion| it.template.id == template.id && it.same == *same;
        let before = blueprint.questions[..planned].iter().filter(alike).count();
        let uses = Uses::of(blueprint, &template.id);
        let at =
            if *same { uses.shared_at(shared.first, before) } else { uses.each_at(number, before) };
        // As many places were taken as the highest number needs.
        let place = order.get(&template.id).and_then(|places| places.get(at)).copied();
        let missing = || PaperProblem::NoPlace { template: template.id.clone(), number };
        let place = place.ok_or_else(missing)?;
        Ok::<_, PaperProblem>(PaperQuestion { planned, place, check: 0 })
    });
    Ok(Paper {
        candidate: candidate.clone(),
        number,
        code: PaperCode::new(secret, id, number).ok_or(PaperProblem::NoCode { number })?,
        questions: questions.collect::<Result<_, _>>()?,
        presentation,
    })
}

/// A text by which a secret is known again and from which nothing can be learnt of it.
fn known_by(secret: &Secret) -> String {
    let seed = Seed::derive(secret.key(), "castmark secret known by 1", &[]);
    seed.bytes().iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}
