//! The papers of a class.

use std::collections::{BTreeMap, BTreeSet};

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
    /// The size of paper they were printed for, by its name, where it is known.
    pub paper_size: Option<String>,
    /// The papers, in the order in which the candidates were first entered.
    pub papers: Vec<Paper>,
}

impl PaperSet {
    /// Makes a paper for every candidate.
    ///
    /// Those who have a paper in an earlier state of the set keep it, also when they are not in the
    /// class any more. No paper has a problem of `avoid`.
    ///
    /// # Errors
    /// Everything that stands in the way.
    pub fn make(
        bank: &Bank,
        blueprint: &Blueprint,
        secret: &Secret,
        class: &[Candidate],
        earlier: Option<&Self>,
        avoid: Option<&Self>,
    ) -> Result<Self, Vec<PaperProblem>> {
        let templates: Vec<(String, String)> = blueprint
            .questions
            .iter()
            .map(|question| (question.template.id.clone(), question.template.fingerprint.clone()))
            .collect();
        let mut set = Self {
            made_by: env!("CARGO_PKG_VERSION").to_owned(),
            blueprint: SourceText {
                // Where the file lay is nothing to keep.
                path: blueprint
                    .source
                    .path
                    .rsplit(['/', '\\'])
                    .next()
                    .unwrap_or_default()
                    .to_owned(),
                text: blueprint.source.text.clone(),
            },
            templates,
            secret: known_by(secret),
            paper_size: earlier.and_then(|earlier| earlier.paper_size.clone()),
            papers: Vec::new(),
        };
        if let Some(earlier) = earlier {
            set.goes_on_from(earlier)?;
        }
        let candidates = entered(class, earlier);
        let order = Self::places(bank, blueprint, secret, candidates.len(), avoid)?;
        let papers: Vec<(u64, Candidate)> = (0..).zip(candidates).collect();
        let papers = parallel::each(&papers, |(number, candidate)| {
            let mut paper = paper(blueprint, secret, *number, candidate, &order);
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

    /// By which the set is known again, whoever is added to it.
    pub fn fingerprint(&self) -> String {
        let templates = self.templates.iter().flat_map(|(id, fingerprint)| [id, fingerprint]);
        let fields: Vec<&str> = [&self.secret, &self.blueprint.text]
            .into_iter()
            .chain(templates)
            .map(String::as_str)
            .collect();
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
            if let Some(place) = differing {
                let planned = old.questions[place].planned;
                problems.push(PaperProblem::Different {
                    candidate: old.candidate.number.clone(),
                    question: place + 1,
                    template: self
                        .templates
                        .get(planned)
                        .map(|it| it.0.clone())
                        .unwrap_or_default(),
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
        class: usize,
        avoid: Option<&Self>,
    ) -> Result<BTreeMap<String, Vec<u128>>, Vec<PaperProblem>> {
        let mut problems = Vec::new();
        let mut needed: BTreeMap<&str, usize> = BTreeMap::new();
        for question in &blueprint.questions {
            *needed.entry(&question.template.id).or_default() +=
                if question.same { 1 } else { class };
        }
        let walks: Vec<_> = needed.into_iter().collect();
        let taken = parallel::each(&walks, |(id, needed)| {
            let planned = blueprint.questions.iter().find(|it| it.template.id == *id);
            let template = &planned.ok_or_else(|| PaperProblem::NoTemplate((*id).into()))?.template;
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

/// All who were ever entered, those of the class as the list has them now.
fn entered(class: &[Candidate], earlier: Option<&PaperSet>) -> Vec<Candidate> {
    let mut candidates: Vec<Candidate> =
        earlier.iter().flat_map(|set| &set.papers).map(|paper| paper.candidate.clone()).collect();
    let mut known: BTreeMap<String, usize> =
        candidates.iter().enumerate().map(|(place, it)| (it.number.clone(), place)).collect();
    for candidate in class {
        match known.get(&candidate.number) {
            Some(place) => candidates[*place] = candidate.clone(),
            None => {
                known.insert(candidate.number.clone(), candidates.len());
                candidates.push(candidate.clone());
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
    order: &BTreeMap<String, Vec<u128>>,
) -> Paper {
    let id = blueprint.id.as_str();
    let looks = Seed::derive(secret.key(), "castmark looks 1", &[id, &number.to_string()]);
    let mut shuffling = Stream::new(&looks);
    let mut printed = Vec::with_capacity(blueprint.questions.len());
    for (section, plan) in blueprint.sections.iter().enumerate() {
        let planned = blueprint.questions.iter().enumerate();
        let mut here: Vec<usize> =
            planned.filter(|(_, it)| it.section == section).map(|(place, _)| place).collect();
        if plan.shuffle {
            shuffling.shuffle(&mut here);
        }
        printed.extend(here);
    }
    let questions = printed.into_iter().map(|planned| {
        let PlannedQuestion { template, same, .. } = &blueprint.questions[planned];
        let alike = |questions: &[PlannedQuestion], same: bool| {
            let alike = |it: &&PlannedQuestion| it.template.id == template.id && it.same == same;
            questions.iter().filter(alike).count()
        };
        // The problems that all share come first, then those of each candidate in turn.
        let before = alike(&blueprint.questions[..planned], *same);
        let at = if *same {
            before
        } else {
            let (shared, each) =
                (alike(&blueprint.questions, true), alike(&blueprint.questions, false));
            shared + usize::try_from(number).unwrap_or(usize::MAX).saturating_mul(each) + before
        };
        let place = order.get(&template.id).and_then(|places| places.get(at)).copied();
        PaperQuestion { planned, place: place.unwrap_or_default(), check: 0 }
    });
    Paper {
        candidate: candidate.clone(),
        code: PaperCode::new(secret, id, number),
        questions: questions.collect(),
        looks,
    }
}

/// A text by which a secret is known again and from which nothing can be learnt of it.
fn known_by(secret: &Secret) -> String {
    let seed = Seed::derive(secret.key(), "castmark secret known by 1", &[]);
    seed.bytes().iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}
