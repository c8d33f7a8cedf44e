//! Checking the parts that want no number worked out, and gathering what they can show.
//!
//! What is common to all kinds is in [`asker`]; the kinds themselves are in [`options`], [`lines`] and
//! [`words`].

mod pools;
mod asker;
mod options;
mod lines;
mod words;

use crate::bank::facts::Facts;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::noted::{Checked, Unsound};
use crate::bank::reading::written::Key;
use crate::bank::template::Value;
use crate::bank::template::theory::TheoryPlan;
use crate::bank::written::parts::{
    FindErrorText, GroupingText, JudgementText, MatchingText, OptionsText, OrderingText, PartText,
    RangeText, ShortText, VerdictText, WrittenText,
};
use asker::Asker;

/// What kind of answer a part wants that is no number.
#[derive(Clone, Copy)]
pub(super) enum Kind<'t> {
    Verdict(&'t [VerdictText]),
    Theory(Theory<'t>),
}

/// A kind of theory, as it is written.
#[derive(Clone, Copy)]
pub(super) enum Theory<'t> {
    OneOption(&'t OptionsText),
    SeveralOptions(&'t OptionsText),
    Judgement(&'t JudgementText),
    Matching(&'t MatchingText),
    Grouping(&'t GroupingText),
    Ordering(&'t OrderingText),
    FindError(&'t FindErrorText),
    Short(&'t ShortText),
    Range(&'t RangeText),
    Written(&'t WrittenText),
}

/// The keys of a part that say what kind of answer it wants; none for a number.
pub(super) fn kinds(text: &PartText) -> Vec<(&'static str, Kind<'_>)> {
    let verdict = text.verdict.as_ref().map(|verdict| ("verdict", Kind::Verdict(verdict)));
    let theory = [
        ("one_option", text.one_option.as_ref().map(Theory::OneOption)),
        ("several_options", text.several_options.as_ref().map(Theory::SeveralOptions)),
        ("true_or_false", text.true_or_false.as_ref().map(Theory::Judgement)),
        ("matching", text.matching.as_ref().map(Theory::Matching)),
        ("grouping", text.grouping.as_ref().map(Theory::Grouping)),
        ("ordering", text.ordering.as_ref().map(Theory::Ordering)),
        ("find_error", text.find_error.as_ref().map(Theory::FindError)),
        ("short_text", text.short_text.as_ref().map(Theory::Short)),
        ("range", text.range.as_ref().map(Theory::Range)),
        ("written", text.written.as_ref().map(Theory::Written)),
    ];
    let theory = theory.into_iter().filter_map(|(key, kind)| Some((key, Kind::Theory(kind?))));
    verdict.into_iter().chain(theory).collect()
}

/// The one kind of answer of these [`kinds`]; several, and keys that go with numbers, are noted.
pub(super) fn only_kind<'t>(
    checker: &mut Checker<'_>,
    (id, text): (&Key, &PartText),
    kinds: &[(&'static str, Kind<'t>)],
) -> Checked<Kind<'t>> {
    let [(key, kind)] = *kinds else {
        let keys: Vec<&str> = kinds.iter().map(|(key, _)| *key).collect();
        let what = format!("expected one kind of answer, found `{}`", keys.join("` and `"));
        let help = Some("keep one, and ask the other in a part of its own".to_owned());
        return Err(checker.key(id, what, "which kind?", help));
    };
    let numeric: [(&str, Option<Location>); 7] = [
        ("answer", text.answer.as_ref().map(Located::location)),
        ("unit", text.unit.as_ref().map(Located::location)),
        ("round", text.round.as_ref().map(Located::location)),
        ("tolerance", text.tolerance.as_ref().map(Located::location)),
        ("density", text.density.as_ref().map(Located::location)),
        ("wide", text.wide.as_ref().map(Located::location)),
        ("method_marks", text.method_marks.as_ref().map(Located::location)),
    ];
    if let Some((number, at)) = numeric.iter().find_map(|(key, at)| Some((key, (*at)?))) {
        let what = format!("expected no `{number}` in a part with `{key}`");
        let help = Some("remove the line, or ask for the number in a part of its own".to_owned());
        return Err(checker.key(&at, what, "goes with numbers", help));
    }
    Ok(kind)
}

/// Checks a part of theory of this kind and gathers what it can show; what is wrong is noted.
/// `told` are the texts a candidate reads before answering.
pub(super) fn theory_part(
    checker: &mut Checker<'_>,
    text: &PartText,
    theory: Theory<'_>,
    (values, unsound, facts): (&[Value], &Unsound, &Facts),
    told: &str,
) -> Checked<TheoryPlan> {
    let (marks, marks_at) = (text.marks.meaning(), text.marks.location());
    let mut asker = Asker { checker, values, unsound, facts, marks, marks_at, told };
    match theory {
        Theory::OneOption(text) => asker.options(text, false),
        Theory::SeveralOptions(text) => asker.options(text, true),
        Theory::Judgement(text) => asker.judgement(text),
        Theory::Matching(text) => asker.matching(text),
        Theory::Grouping(text) => asker.grouping(text),
        Theory::Ordering(text) => asker.ordering(text),
        Theory::FindError(text) => asker.find_error(text),
        Theory::Short(text) => asker.short_text(text),
        Theory::Range(text) => asker.range(text),
        Theory::Written(text) => asker.written(text),
    }
}
