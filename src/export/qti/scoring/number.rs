//! Marking numbers.
//!
//! What is typed is compared as a number where the platform hands over nothing else, and as text by
//! patterns where it does: only the text shows a unit, a decimal comma, and how far was rounded.

use crate::bank::RangeCase;
use crate::marking::{Counts, Pieces};
use crate::problem::{NumberKey, SlipValue};
use crate::quantity::Exact;

use super::super::answer::{HIGH, LOW, TEXT};
use super::super::xml::Element;
use super::asked::{Asked, Scoring};
use super::legal::{Span, finer_than_accepted, legal, listed_roundings};
use super::pattern::{Digits, between, group, listed};
use super::processing::{FirstOf, all, any, float, is_like, is_null, lies, note, set};
use super::units::{Fitting, fitting, others};
use crate::export::sheet::compose::inwards;

/// The outcome that what is said depends on.
pub(in crate::export::qti) const FEEDBACK: &str = "FEEDBACK";

/// A comma that could stand between thousands: two readings, so none is taken.
const UNCLEAR_COMMA: &str = "\\s*[=≈~]?\\s*[1-9][0-9]{0,2},[0-9]{3}([^0-9.,].*)?";

/// How many places more than asked for are told apart at the ends of what is accepted.
const MORE_PLACES: u32 = 6;

/// The longest move of a decimal point that is recognised, as in marking.
const FURTHEST_POINT: i32 = 6;

/// What is typed: a number, and perhaps a unit.
fn typed(number: &str, unit: &str) -> String {
    let unit = if unit.is_empty() { String::new() } else { format!("\\s*{unit}") };
    format!("\\s*[=≈~]?\\s*[+]?{number}{unit}\\s*")
}

/// A test for numbers from one to another in any unit that fits.
fn is_within(answer: &str, units: &[Fitting], low: Exact, high: Exact, places: u32) -> Element {
    let text = format!("{answer}{TEXT}");
    let mut tests = Vec::new();
    for unit in units {
        let more = places + MORE_PLACES + if unit.is_asked() { 0 } else { 3 };
        let ends = unit.number(low).zip(unit.number(high));
        let pattern = ends.and_then(|(low, high)| {
            between(inwards(low, more, true), inwards(high, more, false), Digits::Any)
        });
        tests.extend(pattern.map(|pattern| is_like(&text, &typed(&pattern, &unit.pattern))));
    }
    tests.push(by_number(answer, low, high));
    any(tests)
}

/// A test of the number alone, for when there is no text.
fn by_number(answer: &str, low: Exact, high: Exact) -> Element {
    let inside = lies(answer, &low.to_string(), &high.to_string());
    all(vec![is_null(&format!("{answer}{TEXT}")), inside])
}

/// Marks a number.
pub(in crate::export::qti) fn score(
    asked: &Asked<'_>,
    key: &NumberKey,
    kept: &[usize],
    scoring: &mut Scoring,
) {
    let marking = Number { asked, key, answer: asked.answer(""), of: asked.part.marks };
    scoring.answers[0].correct = vec![key.shown.to_string()];
    let mut first = FirstOf::default();
    marking.comma(&mut first, scoring);
    marking.right(&mut first, scoring);
    marking.wrong_unit(&mut first, scoring);
    marking.moved_point(&mut first, scoring);
    marking.slips(kept, &mut first, scoring);
    marking.rounding(&mut first, scoring);
    scoring.rules.extend(first.rule());
}

/// A number that is being marked.
struct Number<'a> {
    asked: &'a Asked<'a>,
    key: &'a NumberKey,
    answer: String,
    of: u32,
}

impl Number<'_> {
    fn text(&self) -> String {
        format!("{}{TEXT}", self.answer)
    }

    fn method(&self) -> u32 {
        self.key.method_marks.min(self.of)
    }

    /// The rules for an answer that earns so many marks and for which something is said.
    fn rules(&self, marks: u32, said: Option<&str>) -> Vec<Element> {
        let mut rules = vec![set(&self.asked.score(), float(&marks.to_string()))];
        rules.extend(said.map(|said| note(FEEDBACK, said)));
        rules
    }

    /// Says a sentence, once in a question, where anything is to be told.
    fn say<'s>(&self, id: &'s str, words: &str, scoring: &mut Scoring) -> Option<&'s str> {
        if !self.asked.tells {
            return None;
        }
        scoring.said.push((id.to_owned(), words.to_owned()));
        Some(id)
    }

    /// The unit asked for, which may be left out unless a rule of marking says otherwise.
    fn asked_unit(&self) -> String {
        let units = fitting(self.key.unit, None, false);
        units.into_iter().find(Fitting::is_asked).map(|unit| unit.pattern).unwrap_or_default()
    }

    fn comma(&self, first: &mut FirstOf, scoring: &mut Scoring) {
        let words = "A comma before three digits can be read in two ways. Write a point before \
                     decimal places, and nothing between thousands.";
        let said = self.say("CAUSE_COMMA", words, scoring);
        first.or_if(is_like(&self.text(), UNCLEAR_COMMA), self.rules(0, said));
    }

    fn right(&self, first: &mut FirstOf, scoring: &mut Scoring) {
        let (key, rules) = (self.key, self.asked.rules);
        let places = key.shown.places();
        let units = fitting(key.unit, key.density, rules.unit_must_be_written);
        let mut tests = vec![is_within(&self.answer, &units, key.low, key.high, places)];
        let finer = finer_than_accepted(key);
        if !finer.is_empty() {
            let patterns: Vec<String> = finer
                .iter()
                .filter_map(|number| listed(*number, *number, number.places()))
                .collect();
            let asked = units.first().map_or("", |unit| unit.pattern.as_str());
            tests.push(is_like(&self.text(), &typed(&group(&patterns), asked)));
            tests.extend(finer.iter().map(|number| by_number(&self.answer, *number, *number)));
        }
        first.or_if(any(tests), self.rules(self.of, None));
        if rules.unit_must_be_written {
            let marks = self.without_unit();
            let words = "The number is correct. Write its unit as well.";
            let said = self.say("CAUSE_NO_UNIT", words, scoring);
            let bare = fitting(key.unit, None, false);
            let bare: Vec<Fitting> = bare.into_iter().filter(Fitting::is_asked).collect();
            let test = is_within(&self.answer, &bare, key.low, key.high, places);
            first.or_if(test, self.rules(marks, said));
        }
    }

    /// What is left of the marks without a right unit.
    fn without_unit(&self) -> u32 {
        let rules = self.asked.rules;
        match rules.unit_counts {
            Counts::Never => self.of,
            _ => rules.unit_costs.leaves(self.of, self.method()),
        }
    }

    fn wrong_unit(&self, first: &mut FirstOf, scoring: &mut Scoring) {
        let places = self.key.shown.places() + MORE_PLACES;
        let low = inwards(self.key.low, places, true);
        let pattern = between(low, inwards(self.key.high, places, false), Digits::Any);
        let Some(pattern) = pattern else { return };
        let words = "The number is correct. Check its unit.";
        let said = self.say("CAUSE_UNIT", words, scoring);
        let test = is_like(&self.text(), &typed(&pattern, &others(self.key)));
        first.or_if(test, self.rules(self.without_unit(), said));
    }

    fn moved_point(&self, first: &mut FirstOf, scoring: &mut Scoring) {
        let key = self.key;
        if key.is_count() {
            return;
        }
        let spans: Vec<Span> =
            legal(key, key.legal_low, key.legal_high, Some(key.low), Some(key.high));
        let powers = (1..=FURTHEST_POINT).flat_map(|power| [power, -power]);
        let moved = powers.flat_map(|power| spans.iter().filter_map(move |it| it.moved(power)));
        let patterns: Vec<String> = moved.filter_map(|span| span.pattern()).collect();
        if patterns.is_empty() {
            return;
        }
        let marks = self.asked.rules.moved_point_costs.leaves(self.of, self.method());
        let words = "The digits are correct. Check the place of the decimal point.";
        let said = self.say("CAUSE_POINT", words, scoring);
        let pattern = typed(&group(&patterns), &self.asked_unit());
        first.or_if(is_like(&self.text(), &pattern), self.rules(marks, said));
    }

    /// Known slips, those that keep marks first.
    fn slips(&self, kept: &[usize], first: &mut FirstOf, scoring: &mut Scoring) {
        let keeps = |slip: &&SlipValue| kept.contains(&slip.slip);
        let mut slips: Vec<&SlipValue> = self.key.slips.iter().collect();
        slips.sort_by_key(|slip| !keeps(slip));
        for slip in slips {
            let marks = if keeps(&slip) { self.method() } else { 0 };
            let known = self.asked.slips.iter().find(|known| known.index == slip.slip);
            let id = format!("SLIP_{}", slip.slip + 1);
            let spans = self.spans(slip);
            let patterns: Vec<String> = spans.iter().filter_map(Span::pattern).collect();
            let (Some(low), Some(high)) =
                (spans.iter().map(|it| it.low).min(), spans.iter().map(|it| it.high).max())
            else {
                continue;
            };
            if patterns.is_empty() {
                continue;
            }
            let said = known.and_then(|known| self.say(&id, &known.say, scoring));
            let by_text = is_like(&self.text(), &typed(&group(&patterns), &self.asked_unit()));
            let test = any(vec![by_text, by_number(&self.answer, low, high)]);
            first.or_if(test, self.rules(marks, said));
        }
    }

    /// The numbers that show a slip: no nearer to the right answer than to its own.
    fn spans(&self, slip: &SlipValue) -> Vec<Span> {
        let (key, value) = (self.key, slip.value);
        let middle = value.add(key.exact).and_then(Exact::half);
        let Ok(middle) = middle else { return Vec::new() };
        let below = value < key.exact;
        let (least, most) = ((!below).then_some(middle), below.then_some(middle));
        legal(key, slip.legal_low, slip.legal_high, least, most)
    }

    fn rounding(&self, first: &mut FirstOf, scoring: &mut Scoring) {
        let rules = self.asked.rules;
        let marks = match rules.rounding_counts {
            Counts::Never => self.of,
            _ => rules.rounding_costs.leaves(self.of, self.method()),
        };
        let patterns = listed_roundings(self.key);
        if patterns.is_empty() {
            return;
        }
        let words = "The answer is rounded too far, or cut off. Give it as the question asks.";
        let said = self.say("CAUSE_ROUNDING", words, scoring);
        let pattern = typed(&group(&patterns), &self.asked_unit());
        first.or_if(is_like(&self.text(), &pattern), self.rules(marks, said));
    }
}

/// Marks two numbers, each in a box of its own.
pub(in crate::export::qti) fn score_range(
    asked: &Asked<'_>,
    key: &RangeCase,
    scoring: &mut Scoring,
) {
    let of = asked.part.marks;
    let units = fitting(key.unit, None, false);
    let near = |ending: &str, wanted: Exact| {
        let ends = wanted.sub(key.tolerance).ok().zip(wanted.add(key.tolerance).ok());
        let (low, high) = ends.unwrap_or((wanted, wanted));
        let places = wanted.places().max(key.tolerance.places());
        is_within(&asked.answer(ending), &units, low, high, places)
    };
    let both = |low: Exact, high: Exact| all(vec![near(LOW, low), near(HIGH, high)]);
    let mut whole = vec![both(key.low, key.high)];
    if key.any_source {
        whole.extend(key.published.iter().map(|(low, high, _)| both(*low, *high)));
    }
    let half = Pieces::Ends { lower: true, upper: false, alone: false }.marks(of);
    for answer in &mut scoring.answers {
        let end = if answer.identifier == asked.answer(LOW) { Some(key.low) } else { None };
        let end = end.or((answer.identifier == asked.answer(HIGH)).then_some(key.high));
        answer.correct.extend(end.map(|end| end.to_string()));
    }
    let marks = |marks: u32| [set(&asked.score(), float(&marks.to_string()))];
    let mut first = FirstOf::default();
    first.or_if(any(whole), marks(of));
    first.or_if(any(vec![near(LOW, key.low), near(HIGH, key.high)]), marks(half));
    scoring.rules.extend(first.rule());
}
