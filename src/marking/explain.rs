//! A verdict in plain sentences.

use crate::bank::Bank;
use crate::problem::Problem;
use crate::quantity::{Quantity, Typed, Unit};

use super::account::shortened;
use super::words::pieces_explained;
use super::{
    Carry, Cause, Counts, Fault, Finding, How, Item, Lies, Note, Rule, Settings, Understood,
    Verdict, Wait, Why,
};

/// One thing that is said of an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// The name of what it is about, for files and counts: `power-of-ten`.
    pub kind: &'static str,
    /// One or two sentences for the person who answered.
    pub text: String,
    /// Whether it says more than that the answer is correct.
    pub adds: bool,
}

/// What there is to say of an answer, the most telling first.
///
/// The words say what the answer shows, with the number as it was written, and never the right
/// answer, so that a second try is worth something.
pub fn explain(
    problem: &Problem,
    bank: &Bank,
    item: Item,
    verdict: &Verdict,
    settings: &Settings,
) -> Vec<Explanation> {
    let answer = written(&verdict.understood);
    let explainer = Explainer { problem, bank, answer: &answer };
    let mut said = explainer.finding(item, &verdict.finding);
    let is_right = verdict.finding.is_right();
    for note in &verdict.notes {
        said.extend(explainer.note(note, is_right, verdict));
    }
    for fault in &verdict.award.forgiven {
        said.push(forgiven(*fault, settings));
    }
    for each in &mut said {
        // What was typed comes back in the words: nothing of it may move a cursor.
        each.text.retain(|letter| !letter.is_control());
    }
    said
}

/// The problem of which sentences tell, and the answer as it is quoted.
struct Explainer<'a> {
    problem: &'a Problem,
    bank: &'a Bank,
    answer: &'a str,
}

impl Explainer<'_> {
    fn finding(&self, item: Item, finding: &Finding) -> Vec<Explanation> {
        let answer = self.answer;
        match finding {
            Finding::Accepted(how) => {
                let adds = matches!(how, How::FromOwn | How::Spelling(_) | How::RangeOf(_));
                let text = accepted(how, answer);
                vec![Explanation { kind: how.kind(), text, adds }]
            }
            Finding::Known(causes) => self.causes(causes),
            Finding::Follows(carry) => vec![follows(*carry, answer)],
            Finding::Pieces(pieces) => pieces_explained(self.problem, item, pieces),
            Finding::Unexplained(lies) => vec![said("unexplained", self.lies(item, *lies))],
            Finding::ByHand(Wait::Written) => vec![said(
                "by-hand",
                "A written answer is marked by hand, point by point, against the key.".to_owned(),
            )],
            Finding::ByHand(Wait::UnknownTerm) => vec![said(
                "by-hand",
                format!("{answer} is not among the terms known here, so a person decides."),
            )],
            Finding::Unread(why) => vec![said("not-read", unread(why))],
        }
    }

    /// The ways in which the answer can have come about.
    fn causes(&self, causes: &[Cause]) -> Vec<Explanation> {
        let several = causes.len() > 1 && !causes.iter().any(is_unit);
        let mut said: Vec<Explanation> =
            causes.iter().map(|cause| said(cause.kind(), self.cause(cause))).collect();
        if let Some(first) = said.first_mut().filter(|_| several) {
            let text = &first.text;
            first.text = format!("{} can come about in more than one way. {text}", self.answer);
        } else if let [Cause::Slip { power: 0, .. }] = causes {
            let text = &said[0].text;
            said[0].text = format!("{} is the result of a common slip. {text}", self.answer);
        }
        said
    }

    fn cause(&self, cause: &Cause) -> String {
        let answer = self.answer;
        match cause {
            Cause::WrongUnit { written, asked, .. } => format!(
                "The number in {answer} is correct, but the unit is not: you gave {}; the question asks for {}.",
                in_unit(*written),
                in_unit(*asked)
            ),
            Cause::WrongDimension { written, asked } => format!(
                "You gave {}; the question asks for {}.",
                in_unit(*written),
                in_unit(*asked)
            ),
            Cause::PowerOfTen(power) => format!(
                "The digits of {answer} are correct, but the decimal point is in the wrong place: your answer is {}. {}",
                times(*power),
                point_hint(*power)
            ),
            Cause::TooCoarse { asked, .. } => {
                format!("{answer} is rounded too far: the question asks for {asked}.")
            }
            Cause::CutShort { asked, .. } => format!(
                "{answer} has been cut off instead of rounded. The question asks for {asked}."
            ),
            Cause::Sign => format!(
                "The size of {answer} is correct, but its sign is not. Check that you subtracted the right way round."
            ),
            Cause::Slip { slip, power: 0, .. } => self.slip(*slip),
            Cause::Slip { slip, power, .. } => format!(
                "{} In addition, the decimal point is in the wrong place: {answer} is {} even so.",
                self.slip(*slip),
                times(*power)
            ),
            Cause::TwoSlips(slips) => self.two_slips(*slips),
            Cause::OtherTerm(term) => format!("{} means something else.", shortened(term)),
            Cause::RangeOf(by) => {
                format!(
                    "This is the range of the {by}; the question asks for that of another source."
                )
            }
            Cause::OutOfRange { asked } => {
                format!("{answer} is too large or too small to be given as {}.", in_unit(*asked))
            }
        }
    }

    /// A slip in words, with the step in which it first shows.
    fn slip(&self, slip: usize) -> String {
        let says = self.problem.slip_says(self.bank, slip);
        match self.problem.first_wrong_step(&[slip]) {
            Some(step) => format!("{says} Check {}.", self.step(step)),
            None => says,
        }
    }

    /// Two slips in words.
    fn two_slips(&self, slips: [usize; 2]) -> String {
        let [first, second] = slips.map(|slip| self.problem.slip_says(self.bank, slip));
        let check = match self.problem.first_wrong_step(&slips) {
            Some(step) => format!(" Begin with {}.", self.step(step)),
            None => String::new(),
        };
        format!(
            "{} is the result of two slips together. First: {first} Second: {second}{check}",
            self.answer
        )
    }

    /// The step with its number and its name: `step 2, base displaced`.
    fn step(&self, step: usize) -> String {
        let template = &self.problem.template;
        let name = template.working.get(step).and_then(|step| template.names.get(step.slot));
        format!("step {}, {}", step + 1, name.map_or("", |name| name.label.as_str()))
    }

    fn lies(&self, item: Item, lies: Lies) -> String {
        let answer = self.answer;
        let side = |above: bool| if above { "too large" } else { "too small" };
        match lies {
            Lies::Near { above } => format!(
                "{answer} is {}: close, but outside what is accepted. Check your arithmetic, and whether a result was rounded too early.",
                side(above)
            ),
            Lies::Far { above } => format!(
                "{answer} is {} and does not match any common slip. Check your working step by step.",
                side(above)
            ),
            Lies::Absurd { above } => format!(
                "{answer} is far {}: it cannot be right for these numbers. Check the units first.",
                side(above)
            ),
            Lies::Negative => {
                let what = self.quantity(item);
                format!(
                    "{answer} is below zero, and {what} is not. Check what you subtracted from what."
                )
            }
            Lies::Zero => format!(
                "{answer} would mean that there is nothing. Check your working step by step."
            ),
            Lies::NotWhole => format!("{answer} is not a whole number, and a count is one."),
        }
    }

    /// What is measured by an item: `a mass`.
    fn quantity(&self, item: Item) -> String {
        let unit = match item {
            Item::Part(part) => {
                let part = self.problem.parts.get(part);
                part.and_then(|part| part.response.number()).map(|key| key.unit)
            }
            Item::Step(step) => self.problem.step_key(step).map(|key| key.unit),
        };
        match unit.map(|unit| unit.dimension().to_string()) {
            Some(name) if unit != Some(Unit::NUMBER) => {
                format!("a {}", name.trim_start_matches("a "))
            }
            _ => "the answer".to_owned(),
        }
    }

    fn note(&self, note: &Note, is_right: bool, verdict: &Verdict) -> Option<Explanation> {
        let answer = self.answer;
        let typed = verdict.understood.typed();
        let text = match note {
            Note::Converted { number, to } => {
                format!("{answer} is {}.", quantity(Quantity::new(number.trimmed(), *to)))
            }
            Note::UnitMissing { asked } => {
                format!("You wrote no unit; {answer} was taken as {answer} {}.", asked.symbol())
            }
            Note::FewPlaces { asked } if is_right => {
                format!("The question asks for {asked}. Write every place, including a final zero.")
            }
            Note::WorkingWrong { step } if verdict.award.rule == Rule::Working => format!(
                "The answer rests on a number that is wrong, {}, so the method is not shown to be right.",
                self.step(*step)
            ),
            Note::FewPlaces { .. } | Note::WorkingWrong { .. } => return None,
            Note::FollowsTrivially => format!(
                "{answer} follows from your earlier number, but with that number nothing is left to work out. No marks are given for carrying it forward."
            ),
            Note::FollowsSenselessly => format!(
                "{answer} follows from your earlier number, but that number is impossible: it leads to a meaningless answer. No marks are given for carrying it forward."
            ),
        };
        let adds = match note {
            Note::Converted { .. } => !is_right,
            // The sheet prints the unit beside the answer space.
            Note::UnitMissing { .. } => verdict.award.rule == Rule::Unit,
            _ => true,
        };
        let is_about_number = typed.is_some();
        is_about_number.then_some(Explanation { kind: note.kind(), text, adds })
    }
}

fn said(kind: &'static str, text: String) -> Explanation {
    Explanation { kind, text, adds: true }
}

fn is_unit(cause: &Cause) -> bool {
    matches!(cause, Cause::WrongUnit { .. } | Cause::WrongDimension { .. })
}

fn accepted(how: &How, answer: &str) -> String {
    match how {
        How::Exactly => format!("{answer} is correct."),
        How::LegalRounding => {
            format!(
                "{answer} is correct: it is what you get when intermediate results are rounded."
            )
        }
        How::WithinTolerance => format!("{answer} is correct: it is within the accepted range."),
        How::FromOwn => format!("{answer} is correct: it follows from your earlier answer."),
        How::Term(term) => format!("{term} is correct."),
        How::RangeOf(by) => format!("{answer} is correct by the {by}."),
        How::Spelling(term) => format!("Taken as {term}; check the spelling."),
    }
}

fn follows(carry: Carry, answer: &str) -> Explanation {
    let (kind, text) = match carry {
        Carry::Answer => (
            "follows",
            format!(
                "{answer} follows correctly from your earlier answer, so your method here is correct. Go back and correct the earlier number."
            ),
        ),
        Carry::Step => (
            "follows-step",
            format!(
                "{answer} follows correctly from a step that you wrote down, so your method from there is correct. Go back and correct the step."
            ),
        ),
    };
    said(kind, text)
}

fn forgiven(fault: Fault, settings: &Settings) -> Explanation {
    let name = match fault {
        Fault::Unit => "A wrong or missing unit",
        Fault::Rounding => "A wrong rounding",
    };
    let (kind, whole) = match settings.counts(fault) {
        Counts::Paper => ("counted-in-paper", "paper"),
        _ => ("counted-in-question", "question"),
    };
    said(kind, format!("{name} costs marks once in a {whole}, so it costs none here."))
}

fn unread(why: &Why) -> String {
    match why {
        Why::Number(problem) => format!("The answer could not be read: {problem}."),
        Why::Expected(expected) => format!("The answer could not be read: expected {expected}."),
        Why::NoSuchPart => "The problem has no such part.".to_owned(),
    }
}

/// The answer as it was understood, with a proper minus sign.
fn written(understood: &Understood) -> String {
    match understood {
        Understood::Number { typed, .. } => number(typed),
        Understood::Words(words) => shortened(words),
        Understood::Options(_) => understood.letters().join(" "),
        _ => String::new(),
    }
}

fn number(typed: &Typed) -> String {
    quantity(Quantity::new(typed.number, typed.unit.unwrap_or(Unit::NUMBER)))
}

fn quantity(quantity: Quantity) -> String {
    quantity.to_string().replace('-', "\u{2212}")
}

/// What an answer in the unit is: `an answer in g (mass)`, `a count of units`.
fn in_unit(unit: Unit) -> String {
    let dimension = unit.dimension().to_string();
    match unit.symbol() {
        symbol if symbol.is_empty() => dimension,
        symbol if symbol.starts_with('%') => format!("an answer in {symbol}"),
        symbol => format!("an answer in {symbol} ({dimension})"),
    }
}

/// `1000 times too large`.
fn times(power: i32) -> String {
    let zeros = usize::try_from(power.unsigned_abs()).unwrap_or_default();
    let side = if power > 0 { "large" } else { "small" };
    format!("1{} times too {side}", "0".repeat(zeros))
}

fn point_hint(power: i32) -> &'static str {
    match power.unsigned_abs() {
        2 => "Check whether a percentage was used as a plain number, or the other way round.",
        3 | 6 => "Check whether two units were mixed up, such as mg and g.",
        _ => "Check where you wrote the decimal point and how many zeros there are.",
    }
}
