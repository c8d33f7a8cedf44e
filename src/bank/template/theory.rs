//! What a part asks that wants no number worked out: everything that can be put before a candidate,
//! gathered from the facts tables when the template is read.
//!
//! A part has one [`Case`] for each possibility of the picks it depends on. A case holds all that is
//! true and all that is false there; which of it a problem shows is a number below [`Case::ways`],
//! and so a part of the draw like any value.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::quantity::{Exact, Unit};

use crate::bank::template::combination::ways;
use crate::bank::template::term::Term;

/// A part of theory.
#[derive(Clone, Debug)]
pub struct TheoryPlan {
    /// The picks on which the part depends, as indices into the values of the template.
    pub picks: Vec<usize>,
    /// How many possibilities each of these picks has.
    pub options: Vec<usize>,
    /// One case for each combination of their possibilities, the first pick counting fastest.
    pub cases: Vec<Case>,
}

/// What is true and false in one case.
#[derive(Clone, Debug)]
pub enum Case {
    /// Options of which one or several are right.
    Choice(ChoiceCase),
    /// A statement that is true or false, and the reason.
    Judgement(JudgementCase),
    /// Things to match, or to put into groups.
    Matching(MatchingCase),
    /// Lines to put in order.
    Ordering(OrderingCase),
    /// A word or two.
    Text(TextCase),
    /// Two numbers.
    Range(RangeCase),
    /// A written answer.
    Written(WrittenCase),
}

/// A text that can be shown, and why it is right or wrong.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// The text.
    pub text: String,
    /// Why it is right or wrong, in a sentence; may be empty.
    pub because: String,
    /// The id of the source that says or denies it.
    pub source: String,
    /// What it shares with other texts on the same point, of which only one is shown; may be empty.
    pub point: String,
}

/// Options of which one or several are right.
#[derive(Clone, Debug)]
pub struct ChoiceCase {
    /// What is right.
    pub rights: Vec<Choice>,
    /// What is wrong.
    pub wrongs: Vec<Choice>,
    /// How many options are shown.
    pub show: usize,
    /// The least number of right ones among them.
    pub least: usize,
    /// The greatest number of right ones among them.
    pub most: usize,
    /// Whether more than one may be chosen.
    pub several: bool,
    /// Whether options with one reason deny each other, as statements do, so that only one is shown.
    pub exclusive: bool,
    /// Where the options are lines of a procedure: their indices in it, those of the right ones first.
    /// They are shown in that order and not shuffled.
    pub lines: Option<Vec<usize>>,
}

/// A statement that is true or false, and the reason where it is asked for.
#[derive(Clone, Debug)]
pub struct JudgementCase {
    /// The statement.
    pub statement: String,
    /// Whether it is true.
    pub truth: bool,
    /// The id of the source that says or denies the statement.
    pub source: String,
    /// Why it is true or false, in a sentence that names the source.
    pub because: String,
    /// The reason; `None` where only true or false is asked.
    pub reason: Option<Choice>,
    /// Wrong reasons on the same point.
    pub others: Vec<Choice>,
    /// How many reasons are shown.
    pub show: usize,
}

/// Things to match, or to put into groups.
#[derive(Clone, Debug)]
pub struct MatchingCase {
    /// The things: the text, the index of what goes with it, and the source.
    pub rows: Vec<(String, usize, String)>,
    /// What goes with them.
    pub rights: Vec<String>,
    /// How many things are shown.
    pub pairs: usize,
    /// How many that go with none of the things are shown besides.
    pub extra: usize,
    /// Whether several things may go with the same.
    pub shared: bool,
}

/// Lines to put in order.
#[derive(Clone, Debug)]
pub struct OrderingCase {
    /// All lines, in their order.
    pub lines: Vec<String>,
    /// Pairs of lines, by index, that may be in either order; all others have one.
    pub either_way: Vec<(usize, usize)>,
    /// How many are shown.
    pub show: usize,
    /// The source.
    pub source: String,
}

/// A word or two.
#[derive(Clone, Debug)]
pub struct TextCase {
    /// What is accepted, the answer of the key first.
    pub answers: Vec<String>,
    /// Other terms, for which no answer is taken.
    pub others: Vec<String>,
    /// The source.
    pub source: String,
    /// Both in one spelling, which is found out once for all draws.
    terms: Arc<[Vec<Term>; 2]>,
}

/// Two numbers.
#[derive(Clone, Debug)]
pub struct RangeCase {
    /// The lower number.
    pub low: Exact,
    /// The upper number.
    pub high: Exact,
    /// Their unit.
    pub unit: Unit,
    /// How far off each may be.
    pub tolerance: Exact,
    /// The short name of the source.
    pub by: String,
    /// What other sources say: the lower and the upper number, and the short name of the source.
    pub published: Vec<(Exact, Exact, String)>,
    /// Whether what any source says is accepted.
    pub any_source: bool,
    /// The source.
    pub source: String,
}

/// A written answer.
#[derive(Clone, Debug)]
pub struct WrittenCase {
    /// The points for which marks are given, one each, up to the marks of the part.
    pub points: Vec<Point>,
    /// How many lines are ruled for the answer.
    pub lines: u32,
}

/// A point of a written answer, worth one mark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Point {
    /// The point.
    pub text: String,
    /// The id of the source that makes it.
    pub source: String,
    /// The short name of that source.
    pub by: String,
}

impl TextCase {
    /// The case of these terms, the answer of the key first. Another term that reads like an answer is
    /// one.
    pub fn new(answers: Vec<String>, others: Vec<String>, source: String) -> Self {
        let accepted: Vec<Term> = answers.iter().map(|answer| Term::of(answer)).collect();
        let (others, wrong) = others
            .into_iter()
            .map(|other| (Term::of(&other), other))
            .filter(|(term, _)| !accepted.iter().any(|answer| answer.is(term)))
            .map(|(term, other)| (other, term))
            .unzip();
        Self { answers, others, source, terms: Arc::new([accepted, wrong]) }
    }

    /// The accepted terms in one spelling, each with its text.
    pub fn accepted(&self) -> impl Iterator<Item = (&Term, &str)> {
        self.terms[0].iter().zip(self.answers.iter().map(String::as_str))
    }

    /// The other terms in one spelling, each with its text.
    pub fn wrong(&self) -> impl Iterator<Item = (&Term, &str)> {
        self.terms[1].iter().zip(self.others.iter().map(String::as_str))
    }
}

impl TheoryPlan {
    /// The case for these possibilities of the picks, given by index into the values.
    pub fn case(&self, option: impl Fn(usize) -> Option<usize>) -> Option<&Case> {
        let mut index = 0;
        let mut weight = 1;
        for (pick, count) in self.picks.iter().zip(&self.options) {
            index += option(*pick)? * weight;
            weight *= count;
        }
        self.cases.get(index)
    }

    /// The different facts the part can ask, whatever is shown beside them. A term or an option says something
    /// of the row it is asked of, so the same words are another fact of another row.
    pub fn keys(&self) -> BTreeSet<String> {
        let keys = |(index, case): (usize, &Case)| {
            let keys = case.keys().into_iter();
            match case {
                Case::Text(_) | Case::Choice(ChoiceCase { exclusive: false, lines: None, .. }) => {
                    keys.map(|key| format!("{index}: {key}")).collect()
                }
                _ => keys.collect::<Vec<_>>(),
            }
        };
        self.cases.iter().enumerate().flat_map(keys).collect()
    }

    /// The most ways any of the cases can be shown in; `None` beyond 128 bits.
    pub fn ways(&self) -> Option<u128> {
        self.cases.iter().try_fold(1, |most: u128, case| Some(most.max(case.ways()?)))
    }
}

impl Case {
    /// In how many ways the case can be shown, apart from the order; `None` beyond 128 bits.
    pub fn ways(&self) -> Option<u128> {
        match self {
            Self::Choice(case) => (case.least..=case.most).try_fold(0_u128, |sum, rights| {
                let rest = case.show.checked_sub(rights)?;
                let these =
                    ways(case.rights.len(), rights)?.checked_mul(ways(case.wrongs.len(), rest)?)?;
                sum.checked_add(these)
            }),
            Self::Judgement(case) => ways(case.others.len(), case.show.saturating_sub(1)),
            Self::Matching(case) => {
                let rest = case.rows.len().saturating_sub(case.pairs);
                ways(case.rows.len(), case.pairs)?.checked_mul(ways(rest, case.extra)?)
            }
            Self::Ordering(case) => ways(case.lines.len(), case.show),
            Self::Text(_) | Self::Range(_) | Self::Written(_) => Some(1),
        }
    }

    /// The facts it can ask: right options, statements, pairs, lines, terms, ranges and points.
    fn keys(&self) -> Vec<String> {
        let texts = |choices: &[Choice]| choices.iter().map(|it| it.text.clone()).collect();
        match self {
            Self::Choice(case) => texts(&case.rights),
            Self::Judgement(case) => vec![case.statement.clone()],
            Self::Matching(case) => {
                let right = |index: usize| case.rights.get(index).map_or("", String::as_str);
                case.rows
                    .iter()
                    .map(|(left, index, _)| format!("{left}: {}", right(*index)))
                    .collect()
            }
            Self::Ordering(case) => case.lines.clone(),
            Self::Text(case) => case.answers.iter().take(1).cloned().collect(),
            Self::Range(case) => vec![format!("{} to {}, {}", case.low, case.high, case.source)],
            Self::Written(case) => case.points.iter().map(|point| point.text.clone()).collect(),
        }
    }

    /// The kind of question in words: `one right option`.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Choice(ChoiceCase { lines: Some(_), .. }) => "the line with the error",
            Self::Choice(ChoiceCase { several: true, .. }) => "several right options",
            Self::Choice(_) => "one right option",
            Self::Judgement(JudgementCase { reason: None, .. }) => "true or false",
            Self::Judgement(_) => "true or false with the reason",
            Self::Matching(MatchingCase { shared: true, .. }) => "grouping",
            Self::Matching(_) => "matching",
            Self::Ordering(_) => "putting in order",
            Self::Text(_) => "a word or two",
            Self::Range(_) => "two numbers",
            Self::Written(_) => "a written answer",
        }
    }
}
