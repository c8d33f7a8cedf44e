//! From problems to a sheet.

use std::sync::Arc;

use crate::bank::Bank;
use crate::marking::{Entry as MarkedAs, Item, Settings, mark_problem};
use crate::problem::{NumberKey, Part, Problem, Response, WorkProblem, letter};
use crate::quantity::{Exact, Quantity};
use crate::words::{listed, with_minus};

use crate::export::sheet::theory::theory_key;
use crate::export::sheet::{
    Accepted, CandidateField, ComposeProblem, Contents, Detail, Entry, EntryPart, EntrySlip, Front,
    Lazy, MarkKind, MarkLine, PartKey, PartMarking, Sheet, SlipAnswer,
};

impl Sheet {
    /// A sheet of the problems in their order, without candidate, note and details.
    ///
    /// # Errors
    /// When the working of a problem cannot be shown.
    pub fn of(
        bank: &Bank,
        problems: impl IntoIterator<Item: Into<Arc<Problem>>>,
        title: &str,
        contents: Contents,
    ) -> Result<Self, ComposeProblem> {
        let drawn: Vec<Arc<Problem>> = problems.into_iter().map(Into::into).collect();
        let entries: Result<_, _> =
            drawn.iter().map(|one| Entry::of_drawn(bank, one, contents).map(Arc::new)).collect();
        Ok(Self {
            title: title.to_owned(),
            note: glossary(bank, drawn.clone()),
            details: Vec::new(),
            mark: None,
            square: None,
            front: Front::default(),
            candidate: CandidateField::None,
            contents,
            minutes: None,
            rules: Settings::default(),
            entries: entries?,
            sources: sources(bank, drawn, contents),
        })
    }
}

impl Entry {
    /// One problem as it stands on a sheet. The working is made only where solutions are wanted, and
    /// what it takes to mark and explain the answers only when it is read. The heading is the title of the template; take it away where
    /// it would give too much of the method away.
    ///
    /// # Errors
    /// When the working cannot be shown.
    pub fn of(bank: &Bank, problem: &Problem, contents: Contents) -> Result<Self, ComposeProblem> {
        Self::of_drawn(bank, &Arc::new(problem.clone()), contents)
    }

    /// The same of a problem that is kept as long as something of it may be asked for.
    pub(in crate::export) fn of_drawn(
        bank: &Bank,
        problem: &Arc<Problem>,
        contents: Contents,
    ) -> Result<Self, ComposeProblem> {
        let mut entry = Self {
            heading: Some(problem.template.title.clone()),
            code: problem.code.as_ref().map(ToString::to_string),
            stem: problem.stem.clone(),
            parts: (0..problem.parts.len()).map(|index| part(problem, index)).collect(),
            ..Self::default()
        };
        if contents.solutions {
            let id = problem.template.id.clone();
            let unshown = move |why: WorkProblem| ComposeProblem {
                template: id.clone(),
                why: why.to_string(),
            };
            entry.working = problem.working(bank).map_err(&unshown)?;
            entry.method = problem.method_title().map(str::to_owned);
            let (of, from, why) = (Arc::clone(problem), bank.clone(), unshown.clone());
            entry.plausible = Lazy::new(move || of.plausible(&from).map_err(why));
            let (of, from) = (Arc::clone(problem), bank.clone());
            entry.methods = Lazy::new(move || of.methods(&from).map_err(unshown));
            let of = Arc::clone(problem);
            entry.agreement = Lazy::new(move || agreement(&of));
            let of = Arc::clone(problem);
            entry.drawing = Lazy::new(move || of.drawing());
            let (of, from) = (Arc::clone(problem), bank.clone());
            entry.slips = Lazy::new(move || slips(&from, &of));
            entry.sources = sources(bank, vec![Arc::clone(problem)], contents);
        }
        Ok(entry)
    }
}

/// What all methods of a problem lead to, in a sentence.
fn agreement(problem: &Problem) -> Option<String> {
    let answers = problem.common_answers();
    let (same, answers) = match answers.as_slice() {
        [] => return None,
        [one] => ("answer", one.clone()),
        several => ("answers", listed(several, "and")),
    };
    let methods = if problem.template.methods.len() == 2 { "Both" } else { "All" };
    Some(format!("{methods} methods lead to the same {same}: {answers}."))
}

/// The second names of what the problems name, in a sentence.
pub(in crate::export) fn glossary(
    bank: &Bank,
    problems: Vec<Arc<Problem>>,
) -> Lazy<Option<String>> {
    let bank = bank.clone();
    Lazy::new(move || {
        let told: Vec<String> = problems.iter().map(|it| it.told().to_lowercase()).collect();
        let names = bank.facts().second_names().into_iter();
        let used = names.filter(|(name, _)| told.iter().any(|text| text.contains(name)));
        let pairs: Vec<String> = used.map(|(name, second)| format!("{name} ({second})")).collect();
        (!pairs.is_empty()).then(|| format!("Second names: {}.", pairs.join(", ")))
    })
}

/// The sources of the problems, each once, where solutions are wanted.
pub(in crate::export) fn sources(
    bank: &Bank,
    problems: Vec<Arc<Problem>>,
    contents: Contents,
) -> Lazy<Vec<Detail>> {
    if !contents.solutions {
        return Lazy::default();
    }
    let bank = bank.clone();
    Lazy::new(move || {
        let mut sources: Vec<Detail> = Vec::new();
        let denies: Vec<&str> = problems.iter().flat_map(|it| it.denied_by()).collect();
        for source in problems.iter().flat_map(|problem| problem.sources(&bank)) {
            let mut value = source.full.clone();
            if source.short_on_sheets {
                "the full reference is in the bank".clone_into(&mut value);
            }
            if denies.contains(&source.id.as_str()) {
                value.push_str(" (denies a false statement)");
            }
            let detail = Detail { label: source.short.clone(), value };
            if !sources.contains(&detail) {
                sources.push(detail);
            }
        }
        sources
    })
}

impl PartKey {
    /// The answer of a part and how it is marked.
    pub(in crate::export) fn of(part: &Part) -> Self {
        match &part.response {
            Response::Number(key) => number_key(key, part.marks),
            response => theory_key(response, part.marks),
        }
    }
}

fn part(problem: &Arc<Problem>, index: usize) -> EntryPart {
    let part = &problem.parts[index];
    let space = part.response.key().space();
    let of = Arc::clone(problem);
    let key = Lazy::new(move || PartKey::of(&of.parts[index]));
    let of = Arc::clone(problem);
    let marking = Lazy::new(move || Some(PartMarking::of(&of, &of.parts[index].response)));
    EntryPart { id: part.id.clone(), ask: part.ask.clone(), marks: part.marks, space, key, marking }
}

impl PartMarking {
    fn of(problem: &Problem, response: &Response) -> Self {
        let kept = match response {
            Response::Number(key) => {
                let slips = key.slips.iter().map(|slip| slip.slip);
                slips.filter(|slip| !problem.slip_is_asked(*slip)).collect()
            }
            _ => Vec::new(),
        };
        Self { response: response.clone(), kept }
    }
}

fn number_key(key: &NumberKey, marks: u32) -> PartKey {
    let accepted = accepted(key);
    let mut scheme = Vec::new();
    let method = key.method_marks.min(marks);
    if method > 0 {
        scheme.push(MarkLine {
            kind: MarkKind::Method,
            marks: method,
            what: "a right method, also from an earlier wrong answer".to_owned(),
        });
    }
    if marks > method {
        scheme.push(MarkLine {
            kind: MarkKind::Accuracy,
            marks: marks - method,
            what: format!("an answer of {}", accepted.text()),
        });
    }
    PartKey {
        answer: Quantity::new(key.shown, key.unit).to_string(),
        accepted: Some(accepted),
        scheme,
        notes: Vec::new(),
    }
}

/// The accepted numbers as a key prints them: to one place more than the answer, rounded inwards
/// so that nothing is promised that would not be accepted, and without that place where both ends
/// do not need it.
fn accepted(key: &NumberKey) -> Accepted {
    let asked = key.shown.places();
    let (low, high) = (inwards(key.low, asked + 1, true), inwards(key.high, asked + 1, false));
    let plain = |number: Exact| number == number.to_places(asked);
    let (low, high) = if plain(low) && plain(high) {
        (low.to_places(asked), high.to_places(asked))
    } else {
        (low, high)
    };
    Accepted { low: low.to_string(), high: high.to_string(), unit: key.unit.symbol() }
}

/// The nearest number of so many places that is not below (or not above) the given one.
pub(in crate::export) fn inwards(number: Exact, places: u32, up: bool) -> Exact {
    let power = i32::try_from(places).unwrap_or(0);
    let turned = if up { number } else { number.neg() };
    let Ok(rounded) =
        turned.times_ten_to(power).and_then(|scaled| scaled.ceil().times_ten_to(-power))
    else {
        return number;
    };
    (if up { rounded } else { rounded.neg() }).to_places(places)
}

/// The marks for method that the answer of a slip keeps when it is marked by itself.
fn kept_marks(problem: &Problem, part: usize, answer: &str) -> u32 {
    let entry = MarkedAs { item: Item::Part(part), answer };
    mark_problem(problem, &[entry], &Settings::default()).marks()
}

/// The slips that lead to an answer of their own, with those answers as they would be written.
fn slips(bank: &Bank, problem: &Problem) -> Vec<EntrySlip> {
    let mut slips = Vec::new();
    for (index, slip) in problem.template.slips.iter().enumerate() {
        let mut answers = Vec::new();
        for (part, Part { response, .. }) in problem.parts.iter().enumerate() {
            let wrong: Vec<String> = match response {
                Response::Number(key) => {
                    let values = key.slips.iter().filter(|value| value.slip == index);
                    let written = |number| Quantity::new(key.rounding.of_result(number), key.unit);
                    values.map(|value| with_minus(written(value.value).to_string())).collect()
                }
                Response::Verdict(key) => {
                    let verdicts = key.slips.iter().filter(|verdict| verdict.slip == index);
                    verdicts.map(|verdict| letter(verdict.option, 'A')).collect()
                }
                _ => Vec::new(),
            };
            answers.extend(wrong.into_iter().map(|answer| {
                let marks = kept_marks(problem, part, &answer);
                SlipAnswer { part, answer, marks }
            }));
        }
        if !answers.is_empty() {
            slips.push(EntrySlip {
                index,
                id: slip.id.clone(),
                say: problem.slip_says(bank, index),
                answers,
            });
        }
    }
    slips
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Rounding, Unit};

    fn number(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    fn key(shown: &str, low: &str, high: &str) -> NumberKey {
        NumberKey {
            exact: number(shown),
            shown: number(shown),
            unit: Unit::parse("g").unwrap(),
            density: None,
            rounding: Rounding::Places(1),
            low: number(low),
            high: number(high),
            legal_low: number(low),
            legal_high: number(high),
            slips: Vec::new(),
            method_marks: 2,
        }
    }

    #[track_caller]
    fn check(low: &str, high: &str, expected: &str) {
        assert_eq!(accepted(&key("24.0", low, high)).text(), expected);
    }

    #[test]
    fn a_key_promises_nothing_that_is_not_accepted() {
        check("23.9", "24.1", "23.9 to 24.1 g");
        check("23.8701", "24.0799", "23.88 to 24.07 g");
        check("23.85", "24.15", "23.85 to 24.15 g");
        check("-0.05", "0.05", "-0.05 to 0.05 g");
    }

    #[test]
    fn the_marks_are_shared_between_method_and_accuracy() {
        let marks = |marks| -> Vec<(MarkKind, u32)> {
            let scheme = number_key(&key("24.0", "23.9", "24.1"), marks).scheme;
            scheme.iter().map(|line| (line.kind, line.marks)).collect()
        };
        assert_eq!(marks(3), [(MarkKind::Method, 2), (MarkKind::Accuracy, 1)]);
        assert_eq!(marks(2), [(MarkKind::Method, 2)]);
        assert_eq!(marks(0), []);
    }
}
