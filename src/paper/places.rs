//! Which problems of a template a class gets.

use std::collections::{BTreeSet, VecDeque};

use crate::bank::{Template, ValueRule};
use crate::draw::{Permutation, Seed, Space, Stream};
use crate::formula::Slot;
use crate::problem::{Balance, DrawProblem, Problem, Solved};

use super::{Band, PaperProblem, Secret};

/// After so many refused draws in a row a template is given up.
const MOST_REFUSED: u128 = 200_000;

/// After so many fair draws with another verdict than the one due, any is taken.
const MOST_PASSED: u128 = 10_000;

/// The fair problems of a template in an order that the secret chooses, no two with the same values.
///
/// The first candidate gets the first problem or problems, the second the next: who comes later
/// changes nothing for those before.
#[derive(Debug)]
pub(super) struct Places<'a> {
    template: &'a Template,
    space: Space,
    order: Permutation,
    told: Identity,
    /// The values that the working starts from, and how hard they may be.
    starts: BTreeSet<usize>,
    band: Band,
    used: BTreeSet<[u8; 32]>,
    avoided: usize,
    next: u128,
    /// Where the template asks for a verdict: those due to the candidates one after the other, and
    /// for each the places that wait for a candidate to whom it is due.
    verdicts: Option<(Balance<'a>, Stream, Vec<VecDeque<u128>>)>,
}

impl<'a> Places<'a> {
    /// The problems of a template for the papers of a blueprint.
    pub(super) fn new(
        secret: &Secret,
        blueprint: &str,
        template: &'a Template,
        band: Band,
    ) -> Result<Self, PaperProblem> {
        let space =
            Space::of(template).ok_or_else(|| DrawProblem::TooLarge(template.id.clone()))?;
        let seed = Seed::derive(secret.key(), "castmark paper 1", &[blueprint, &template.id]);
        let order = Permutation::new(&seed, space.size);
        let starts = template.starts();
        let told = Identity::of(template);
        let (used, avoided, next) = (BTreeSet::new(), 0, 0);
        let verdicts = Balance::of(template).map(|balance| {
            let waiting = vec![VecDeque::new(); balance.count()];
            (balance, Stream::numbered(&seed, 1), waiting)
        });
        Ok(Self { template, space, order, told, starts, band, used, avoided, next, verdicts })
    }

    /// Passes over the problem of a place, and any with the same values.
    pub(super) fn avoid(&mut self, place: u128) {
        let Some(solved) = self.solved(place) else { return };
        if self.used.insert(self.told.hash(self.template, &self.starts, &solved)) {
            self.avoided += 1;
        }
    }

    /// The next so many places.
    pub(super) fn take(&mut self, needed: usize) -> Result<Vec<u128>, PaperProblem> {
        let mut places = Vec::with_capacity(needed);
        while places.len() < needed {
            let place = match self.next_due() {
                Ok(place) => place,
                Err(tries) => return Err(self.too_few(needed, places.len(), tries)),
            };
            places.push(place);
        }
        Ok(places)
    }

    /// The next place; where a verdict is due, the next with it. Places with another are kept for the
    /// candidates to whom theirs is due.
    fn next_due(&mut self) -> Result<u128, Option<u128>> {
        let Some((balance, numbers, _)) = &mut self.verdicts else {
            return self.next_new().map(|(place, _)| place);
        };
        let balance = *balance;
        let due = balance.next(numbers);
        for _ in 0..MOST_PASSED {
            if let Some(place) = self.waiting(due).and_then(VecDeque::pop_front) {
                return Ok(place);
            }
            let (place, solved) = match self.next_new() {
                Ok(found) => found,
                // A class is served with what there is rather than not at all.
                Err(tries) => return self.longest_waiting().ok_or(tries),
            };
            let verdict = balance.verdict(solved.slots()).and_then(|it| self.waiting(it));
            if let Some(waiting) = verdict {
                waiting.push_back(place);
            }
        }
        self.longest_waiting().ok_or(Some(MOST_PASSED))
    }

    fn waiting(&mut self, verdict: usize) -> Option<&mut VecDeque<u128>> {
        self.verdicts.as_mut()?.2.get_mut(verdict)
    }

    fn longest_waiting(&mut self) -> Option<u128> {
        let (.., waiting) = self.verdicts.as_mut()?;
        waiting.iter_mut().max_by_key(|places| places.len())?.pop_front()
    }

    /// The next place with a fair problem that no candidate has; otherwise how many in a row were
    /// refused, or nothing where there are no more places.
    fn next_new(&mut self) -> Result<(u128, Solved), Option<u128>> {
        for _ in 0..MOST_REFUSED {
            let Some(place) = self.order.at(self.next) else { return Err(None) };
            self.next += 1;
            let Some(solved) = self.solved(place) else { continue };
            if self.band.takes(self.template, &self.starts, &solved)
                && self.used.insert(self.told.hash(self.template, &self.starts, &solved))
            {
                return Ok((place, solved));
            }
        }
        Err(Some(MOST_REFUSED))
    }

    fn too_few(&self, needed: usize, found: usize, tries: Option<u128>) -> PaperProblem {
        let template = self.template.id.clone();
        match tries {
            Some(tries) => PaperProblem::HardlyAny { template, tries },
            None => PaperProblem::TooFew {
                template,
                needed: needed as u128,
                found: found as u128,
                avoided: self.avoided,
            },
        }
    }

    fn solved(&self, place: u128) -> Option<Solved> {
        // Looks do not change the values.
        let mut presentation = Stream::new(&Seed::from_bytes([0; 32]));
        Problem::solved(self.template, &self.space, place, &mut presentation).ok()
    }
}

/// What makes two problems of a template the same to a candidate: the values that the working
/// starts from and the rows picked. Values behind the scenes, and words, make no difference.
#[derive(Debug)]
enum Identity {
    /// The values that the working starts from, and the rows under these names.
    Values { picks: Vec<String> },
    /// Everything that is drawn, where the answer is not worked out.
    Everything,
}

impl Identity {
    fn of(template: &Template) -> Self {
        let calculates = template.parts.iter().all(|part| part.wanted.is_worked_out());
        if !calculates || template.working.is_empty() {
            return Self::Everything;
        }
        let picks =
            template.values.iter().filter(|value| matches!(value.rule, ValueRule::Pick { .. }));
        Self::Values { picks: picks.map(|value| format!("{}.row", value.name)).collect() }
    }

    fn hash(&self, template: &Template, starts: &BTreeSet<usize>, solved: &Solved) -> [u8; 32] {
        let draw = solved.draw();
        let mut fields = Vec::new();
        match self {
            Self::Everything => fields.push(draw.place.to_string()),
            Self::Values { picks } => {
                for slot in starts {
                    let numbers = match draw.written.get(*slot) {
                        Some(Slot::Number(number)) => std::slice::from_ref(number),
                        Some(Slot::List(numbers)) => numbers.as_slice(),
                        _ => &[],
                    };
                    let numbers = numbers.iter().map(ToString::to_string);
                    fields.push(numbers.collect::<Vec<_>>().join(" "));
                }
                let rows = draw.texts.iter().filter(|(field, _)| picks.contains(field));
                fields.extend(rows.map(|(_, row)| row.clone()));
            }
        }
        let fields: Vec<&str> = fields.iter().map(String::as_str).collect();
        *Seed::derive(template.id.as_bytes(), "castmark values 1", &fields).bytes()
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Difficulty, Spread};
    use super::*;
    use crate::bank::{Alikeness, Bank, SourceText};

    fn first(byte: u8, avoid: &[u128], needed: usize) -> Vec<u128> {
        let bank = Bank::bundled().unwrap();
        let template = bank.find("base-one-drug").unwrap();
        let band = Spread::of(&bank, template).unwrap().band(Alikeness::default());
        let mut places = Places::new(&Secret::new([byte; 32]), "spring", template, band).unwrap();
        for place in avoid {
            places.avoid(*place);
        }
        places.take(needed).unwrap()
    }

    #[test]
    fn a_larger_class_begins_like_a_smaller_one() {
        assert_eq!(first(1, &[], 30)[..20], first(1, &[], 20));
    }

    /// When one verdict has run out the places that wait for the others are given, the last of them too.
    #[test]
    fn a_class_gets_every_problem_there_is_whatever_verdict_is_due() {
        let text = include_str!("../../tests/cases/bank/good/verdict.yaml").to_owned();
        let bank = Bank::load(&[SourceText::new("verdict.yaml", text)]).unwrap();
        let template = bank.find("verdict").unwrap();
        let band = Spread::of(&bank, template).unwrap().band(Alikeness::default());
        let places = || Places::new(&Secret::new([1; 32]), "spring", template, band).unwrap();
        let (mut balanced, mut plain) = (places(), places());
        let given: Vec<u128> = std::iter::from_fn(|| balanced.next_due().ok()).collect();
        let mut all: Vec<u128> =
            std::iter::from_fn(|| plain.next_new().ok()).map(|(place, _)| place).collect();
        assert!(all.len() > 300, "{}", all.len());
        assert_ne!(given, all);
        let mut sorted = given;
        sorted.sort_unstable();
        all.sort_unstable();
        assert_eq!(sorted, all);
    }

    #[test]
    fn every_problem_that_is_given_lies_in_the_band() {
        let bank = Bank::bundled().unwrap();
        let template = bank.find("base-one-drug").unwrap();
        let band = Spread::of(&bank, template).unwrap().band(Alikeness { figures: 0, uneven: 0 });
        let mut places = Places::new(&Secret::new([1; 32]), "spring", template, band).unwrap();
        let told = template.starts();
        for _ in 0..30 {
            let (_, solved) = places.next_new().unwrap();
            let found = Difficulty::of(template, &told, solved.draw(), solved.slots());
            assert_eq!((found, found), (band.least, band.most));
        }
    }

    #[test]
    fn two_problems_are_the_same_by_their_values_only_where_the_answer_is_worked_out() {
        let bank = Bank::bundled().unwrap();
        let is_by_values =
            |id: &str| matches!(Identity::of(bank.find(id).unwrap()), Identity::Values { .. });
        assert!(is_by_values("base-one-drug"));
        assert!(!is_by_values("order-of-fusion"));
        // A calculation with a question of theory beside it.
        assert!(!is_by_values("calibrate-and-explain"));
    }

    #[test]
    fn another_secret_gives_other_problems() {
        assert_ne!(first(1, &[], 20), first(2, &[], 20));
    }

    #[test]
    fn what_is_to_be_avoided_does_not_come() {
        let earlier = first(1, &[], 20);
        let later = first(1, &earlier, 20);
        assert!(later.iter().all(|place| !earlier.contains(place)), "{later:?}");
    }
}
