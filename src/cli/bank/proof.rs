//! Proving a template: what it promises, tried on many draws.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use castmark::bank::{Bank, Template};
use castmark::draw::{Count, Seed, Space, Stream};
use castmark::marking::{Item, Settings, Verdict, explain, mark};
use castmark::problem::{
    Balance, NumberKey, Problem, Refusal, Response, SlipValue, VerdictKey, letter,
};
use castmark::scrutiny::{Guess, Guesses, Memory};

use super::clues::Clues;
use super::ranges::Ranges;
use super::shares::Shares;

/// How often a wording is waited for at one draw. With four wordings, one of them stays away so
/// long once in ten million draws.
const MOST_LOOKS: u64 = 64;

/// How often a place is tried again for one fair draw.
const MOST_TRIES: u64 = 2000;

/// The faults named of one template; more of the same help nobody.
const MOST_FAULTS: usize = 12;

/// A guess is judged from so many draws on.
const ENOUGH_GUESSES: u64 = 100;

/// By how many points guessing by clues may earn more than blind chance.
const MOST_ABOVE_CHANCE: u64 = 10;

/// How much of a template is tried.
#[derive(Clone, Copy, Debug)]
pub(super) enum Extent {
    /// So many draws at random; the same ones each time.
    Draws(u64),
    /// Every draw there is.
    Whole,
}

/// What was found of a template.
#[derive(Debug)]
pub(super) struct Proof {
    /// How many fair draws there are; `None` when they cannot be numbered.
    pub size: Option<Count>,
    /// How many draws there are before any is refused.
    pub space: u128,
    /// How many fair draws were looked into.
    pub looked: u64,
    /// How often each verdict is right.
    pub verdicts: Shares,
    /// How far wrong methods and accepted answers lie from the answers.
    pub ranges: Ranges,
    /// What is wrong with the template, in words.
    pub faults: Vec<String>,
    /// What a reader earns who knows nothing and goes by clues, part by part.
    pub guesses: Vec<Guess>,
    /// The share of a fourth draw that is known after three, in per cent.
    pub known: Option<u64>,
}

impl Proof {
    /// A proof that found nothing but faults.
    fn hopeless(faults: Vec<String>) -> Self {
        Self {
            size: None,
            space: 0,
            looked: 0,
            verdicts: Shares::default(),
            ranges: Ranges::default(),
            faults,
            guesses: Vec::new(),
            known: None,
        }
    }

    /// The guess that lies furthest above chance.
    pub(super) fn worst_guess(&self) -> Option<&Guess> {
        self.guesses.iter().max_by_key(|guess| guess.above())
    }
}

/// Draws, solves, shows and marks; `progress` is told how many draws have been looked into.
pub(super) fn prove(
    bank: &Bank,
    template: &Arc<Template>,
    extent: Extent,
    mut progress: impl FnMut(u64),
) -> Proof {
    let Some(space) = Space::of(template) else {
        let faults = vec!["has more draws than can be numbered".to_owned()];
        return Proof::hopeless(faults);
    };
    let mut prover = Prover::new(bank, template, &space);
    match extent {
        Extent::Whole => {
            for place in 0..space.size {
                prover.look_into(place, None);
                progress(prover.looked);
                if prover.is_hopeless() {
                    break;
                }
            }
        }
        Extent::Draws(count) => {
            for _ in 0..count {
                if !prover.draw() || prover.is_hopeless() {
                    break;
                }
                progress(prover.looked);
            }
        }
    }
    prover.judge_all();
    let (looked, verdicts, ranges) = (prover.looked, prover.verdicts, prover.ranges);
    let (guesses, known) = (prover.guesses.best(), prover.memory.known());
    let mut faults = prover.faults;
    faults.extend(guesses.iter().filter(|guess| is_weak(guess)).map(gives_away));
    let size = Problem::count(template);
    Proof { size, space: space.size, looked, verdicts, ranges, faults, guesses, known }
}

/// One template under proof.
struct Prover<'a> {
    bank: &'a Bank,
    template: &'a Arc<Template>,
    space: &'a Space,
    places: Stream,
    order: Seed,
    looked: u64,
    /// The first draw, and whether any other differs from it.
    first: Option<Problem>,
    differ: bool,
    /// The slips that led to an answer of their own.
    slips: BTreeSet<usize>,
    refused: BTreeMap<Refusal, u64>,
    faults: Vec<String>,
    /// How options of theory look.
    clues: Clues,
    /// How often each verdict is right.
    verdicts: Shares,
    /// How far wrong methods and accepted answers lie from the answers.
    ranges: Ranges,
    /// What guessing by clues earns.
    guesses: Guesses,
    /// How much of a draw was seen in earlier ones.
    memory: Memory,
}

impl<'a> Prover<'a> {
    fn new(bank: &'a Bank, template: &'a Arc<Template>, space: &'a Space) -> Self {
        let seed =
            |what: &str| Seed::derive(b"castmark check", "castmark check 1", &[&template.id, what]);
        Self {
            bank,
            template,
            space,
            places: Stream::new(&seed("places")),
            order: seed("looks"),
            looked: 0,
            first: None,
            differ: false,
            slips: BTreeSet::new(),
            refused: BTreeMap::new(),
            faults: Vec::new(),
            clues: Clues::default(),
            verdicts: Shares::default(),
            ranges: Ranges::default(),
            guesses: Guesses::default(),
            memory: Memory::default(),
        }
    }

    /// Whether so much is wrong already that more draws tell nothing new.
    fn is_hopeless(&self) -> bool {
        self.faults.len() >= MOST_FAULTS
    }

    fn fault(&mut self, fault: String) {
        if !self.is_hopeless() && !self.faults.contains(&fault) {
            self.faults.push(fault);
        }
    }

    /// Looks into one fair draw at random; false when there is none to be found.
    fn draw(&mut self) -> bool {
        let wanted = Balance::of(self.template).map(|balance| balance.next(&mut self.places));
        for _ in 0..MOST_TRIES {
            let place = self.places.below_wide(self.space.size);
            if self.look_into(place, wanted) {
                return true;
            }
        }
        let most = self.refused.iter().max_by_key(|(_, times)| **times);
        let because = most.map(|(refusal, _)| refusal.explain(self.template)).unwrap_or_default();
        self.fault(format!(
            "gave no fair problem in {MOST_TRIES} draws, most often because {because}"
        ));
        false
    }

    /// Looks into the draw of a place in every wording; false when it is no fair problem, or one with
    /// another verdict than is wanted.
    fn look_into(&mut self, place: u128, wanted: Option<usize>) -> bool {
        let mut wordings = BTreeSet::new();
        for look in 0..MOST_LOOKS {
            let mut order = Stream::numbered(&self.order, look);
            let solved =
                match Problem::solved_as(self.template, self.space, place, &mut order, wanted) {
                    Ok(solved) => solved,
                    Err(refusal) => {
                        *self.refused.entry(refusal).or_default() += 1;
                        return false;
                    }
                };
            if wordings.insert(solved.draw().wording) {
                match solved.problem(self.bank, self.template) {
                    Ok(problem) => self.judge(problem, wordings.len() == 1),
                    Err(problem) => self.fault(problem.to_string()),
                }
            }
            if wordings.len() == self.template.stems.len() {
                break;
            }
        }
        self.looked += 1;
        true
    }

    /// Whether one problem keeps its promises. Answers and working are the same in every wording, so
    /// they are looked at in the first only.
    fn judge(&mut self, problem: Problem, first_wording: bool) {
        if problem.stem.is_empty() {
            self.fault(format!("wording {} says nothing", problem.draw.wording + 1));
        }
        if !first_wording {
            return;
        }
        self.guesses.guess(&problem);
        self.memory.take(&problem);
        for (place, part) in problem.parts.iter().enumerate() {
            let key = match &part.response {
                Response::Number(key) => key,
                Response::Verdict(key) => {
                    self.judge_theory(&problem, place);
                    self.judge_verdict(&problem, place, key);
                    continue;
                }
                _ => {
                    self.judge_theory(&problem, place);
                    continue;
                }
            };
            self.ranges.note(place, key);
            self.judge_answer(&problem, place, &format!("{} {}", key.shown, key.unit.symbol()));
            for slip in &key.slips {
                self.slips.insert(slip.slip);
                self.judge_slip(&problem, place, slip.slip, &slip.value.to_string());
                self.judge_roundings(&problem, place, key, slip);
            }
        }
        if let Err(fault) = problem.working(self.bank) {
            self.fault(fault.to_string());
        }
        if let Err(fault) = problem.batch(self.bank) {
            self.fault(fault.to_string());
        }
        if problem.template.drawing.is_some() && problem.drawing().is_none() {
            self.fault("has a drawing that cannot be drawn".to_owned());
        }
        match &self.first {
            Some(first) => self.differ |= first.draw.place != problem.draw.place,
            None => self.first = Some(problem),
        }
    }

    /// A part of theory must be fair, and its answer marked right; a wrong option must not be.
    fn judge_theory(&mut self, problem: &Problem, place: usize) {
        let Some(part) = problem.parts.get(place) else { return };
        for fault in self.clues.look_at(part) {
            self.fault(fault);
        }
        if let Response::Choice(key) = &part.response {
            let wrong = (0..key.options.len()).filter(|n| key.right.get(*n) == Some(&false));
            let wrong: Vec<String> = wrong.map(|n| letter(n, 'A')).collect();
            for letter in wrong {
                if mark(problem, place, &letter).marks() > 0 {
                    self.fault(format!("option {letter} of part `{}` is not wrong", part.id));
                }
            }
        }
        if !matches!(part.response, Response::Written(_)) {
            self.judge_answer(problem, place, &part.response.answer());
        }
    }

    /// Another verdict must be marked wrong, and the slip named that alone leads to it.
    fn judge_verdict(&mut self, problem: &Problem, place: usize, key: &VerdictKey) {
        self.verdicts.note(place, key);
        for slip in &key.slips {
            self.slips.insert(slip.slip);
            let alike = key.slips.iter().filter(|other| other.option == slip.option).count();
            if alike == 1 {
                self.judge_slip(problem, place, slip.slip, &letter(slip.option, 'A'));
            }
        }
    }

    /// The answer of the key must be marked right.
    fn judge_answer(&mut self, problem: &Problem, place: usize, answer: &str) {
        if !mark(problem, place, answer).is_right() {
            let part = problem.parts.get(place).map_or("", |part| part.id.as_str());
            self.fault(format!("its own answer of part `{part}`, {answer}, is not marked right"));
        }
    }

    /// The answer of a slip must be marked wrong by whatever legal rounding it was reached.
    fn judge_roundings(
        &mut self,
        problem: &Problem,
        place: usize,
        key: &NumberKey,
        slip: &SlipValue,
    ) {
        let half = key.rounding.step_at(slip.value).half().unwrap_or_default();
        let ends = [slip.low.add(half), slip.high.sub(half)];
        for end in ends.into_iter().flatten() {
            let answer = key.rounding.of_result(end).to_string();
            if mark(problem, place, &answer).is_right() {
                let id = self.template.slips.get(slip.slip).map_or("", |slip| slip.id.as_str());
                self.fault(format!("slip `{id}`, rounded on the way to {answer}, is marked right"));
            }
        }
    }

    /// The answer of a slip must be marked wrong, and the slip named in words.
    fn judge_slip(&mut self, problem: &Problem, place: usize, slip: usize, answer: &str) {
        let verdict = mark(problem, place, answer);
        let id = self.template.slips.get(slip).map_or("", |slip| slip.id.as_str());
        if verdict.is_right() || !verdict.finding.slips().contains(&slip) {
            self.fault(format!("slip `{id}` is not recognised from its own answer, {answer}"));
        } else if self.says_nothing(problem, place, &verdict) {
            self.fault(format!("slip `{id}` says nothing"));
        }
    }

    /// Whether something that is said of an answer has no words.
    fn says_nothing(&self, problem: &Problem, place: usize, verdict: &Verdict) -> bool {
        let (item, settings) = (Item::Part(place), Settings::default());
        explain(problem, self.bank, item, verdict, &settings).iter().any(|it| it.text.is_empty())
    }

    /// What can only be said of all draws together.
    fn judge_all(&mut self) {
        if self.looked == 0 {
            if self.faults.is_empty() {
                self.fault("has no fair problem".to_owned());
            }
            return;
        }
        if !self.differ && (self.looked > 1 || self.space.size == 1) {
            self.fault("every draw is the same".to_owned());
        }
        let verdicts = self.first.as_ref().map(|first| self.verdicts.judge(first));
        let ranges = self.ranges.judge(self.template);
        for fault in verdicts.into_iter().flatten().chain(self.clues.judge()).chain(ranges) {
            self.fault(fault);
        }
        for (index, slip) in self.template.slips.iter().enumerate() {
            if !self.slips.contains(&index) {
                self.fault(format!("slip `{}` never leads to an answer of its own", slip.id));
            }
        }
    }
}

/// Whether a reader who knows nothing answers a part too well: the question is correct, but tests less than
/// it seems to.
fn is_weak(guess: &Guess) -> bool {
    guess.draws >= ENOUGH_GUESSES && guess.above() > MOST_ABOVE_CHANCE
}

/// That a part can be answered without knowing its subject, in words.
fn gives_away(guess: &Guess) -> String {
    let Guess { part, what, clue, score, chance, words, .. } = guess;
    let words = match words.as_slice() {
        [] => String::new(),
        words => format!(" ({})", words.join(", ")),
    };
    format!(
        "part `{part}`: {what} is found by a reader who knows nothing and goes by {}{words} in {score} of \
         100 draws, {chance} by chance; reword the options",
        clue.words()
    )
}
