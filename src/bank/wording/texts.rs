//! The texts of a template, and the environment in which they are filled in.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use minijinja::tests::{is_defined, is_undefined};
use minijinja::value::{Object, Value, ValueKind};
use minijinja::{
    AutoEscape, Environment, Error, ErrorKind, UndefinedBehavior, escape_formatter, filters,
};

use crate::bank::reading::words;
use crate::bank::template::Template;
use crate::bank::template::sentence::Piece;
use crate::bank::written::template::TemplateText;

/// Far more than any text needs, far less than a hang.
const FUEL: u64 = 20_000;

/// One text of a template as it is written.
pub(super) struct Text<'t> {
    pub(super) text: &'t words::Text,
    pub(super) role: Role,
}

/// Where a text is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::bank) enum Role {
    /// In the question, by its wording.
    Stem(usize),
    /// Where something is asked.
    Ask,
    /// After the problem is solved, where steps of the working can be named.
    After,
}

/// An environment for texts: unknown names are mistakes, nothing runs for ever, no binary fraction
/// is printed. It has what changes a text and no more: a list could be nested deeper than can be taken
/// apart again.
pub(in crate::bank) fn environment() -> Environment<'static> {
    let mut environment = Environment::empty();
    environment.add_filter("capitalize", filters::capitalize);
    environment.add_filter("lower", filters::lower);
    environment.add_filter("replace", filters::replace);
    environment.add_filter("title", filters::title);
    environment.add_filter("trim", filters::trim);
    environment.add_filter("upper", filters::upper);
    environment.add_test("defined", is_defined);
    environment.add_test("undefined", is_undefined);
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_fuel(Some(FUEL));
    environment.set_auto_escape_callback(|_| AutoEscape::None);
    environment.set_formatter(|out, state, value| {
        if value.is_number() && !value.is_integer() {
            let what = "a number with a decimal point in a text has to stand in quotes";
            return Err(Error::new(ErrorKind::InvalidOperation, what));
        }
        if matches!(value.kind(), ValueKind::Seq | ValueKind::Map | ValueKind::Iterable)
            && value.downcast_object_ref::<StandIn>().is_none()
        {
            let what = "a text names single values, not a list or a group of them";
            return Err(Error::new(ErrorKind::InvalidOperation, what));
        }
        state.consume_fuel(value.as_str().map_or(0, |text| text.len() as u64))?;
        escape_formatter(out, state, value)
    });
    environment
}

/// The names in a text that does nothing but name values; nothing for a text that does more.
pub(in crate::bank) fn plain_names(source: &str) -> Option<Vec<&str>> {
    let mut pieces = source.split("{{");
    let is_plain = |text: &str| !["{%", "{#", "}}"].iter().any(|mark| text.contains(mark));
    pieces.next().filter(|text| is_plain(text))?;
    pieces
        .map(|piece| {
            let (name, after) = piece.split_once("}}")?;
            let name = name.trim();
            let is_word = |word: &str| {
                word.starts_with(|c: char| c.is_ascii_lowercase())
                    && word.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_')
                    && !RESERVED.contains(&word)
            };
            (is_plain(after) && name.split('.').all(is_word)).then_some(name)
        })
        .collect()
}

/// The texts of a checked template that do nothing but name values, taken apart, by their names.
pub(in crate::bank) fn sentences(template: &Template) -> BTreeMap<String, Vec<Piece>> {
    let texts = texts(template).into_iter();
    texts.filter_map(|(name, text)| Some((name, pieces(text, template)?))).collect()
}

/// The pieces of a text; `None` where it does more than name values.
fn pieces(text: &str, template: &Template) -> Option<Vec<Piece>> {
    // The library drops the last line break of a text.
    let mut rest = text.strip_suffix('\n').unwrap_or(text);
    let names = plain_names(rest)?;
    let mut pieces = Vec::with_capacity(2 * names.len() + 1);
    for name in names {
        let (before, after) = rest.split_once("{{")?;
        pieces.push(Piece::Plain(before.to_owned()));
        pieces.push(piece(name, template)?);
        rest = after.split_once("}}")?.1;
    }
    pieces.push(Piece::Plain(rest.to_owned()));
    Some(pieces)
}

/// What a name in a text stands for; `None` where that is no single text.
fn piece(name: &str, template: &Template) -> Option<Piece> {
    if let Some(slot) = template.slot(name) {
        return Some(Piece::Value(slot));
    }
    let value = name.rsplit_once('.').and_then(|(name, view)| Some((template.slot(name)?, view)));
    match value {
        Some((slot, "number")) => Some(Piece::Number(slot)),
        Some((slot, "table")) => Some(Piece::Table(slot)),
        Some(_) => None,
        None => Some(Piece::Drawn(name.to_owned())),
    }
}

/// Words that look like names in a text and are none.
const RESERVED: [&str; 11] =
    ["true", "false", "none", "not", "and", "or", "in", "is", "if", "self", "loop"];

/// Fills in a text with stand-ins, to find filters that there are not and the like.
pub(in crate::bank) fn try_out(text: &minijinja::Template<'_, '_>) -> Result<(), Error> {
    text.render(Value::from_object(StandIn)).map(drop)
}

/// Stands for every value and every view of it.
#[derive(Debug)]
struct StandIn;

impl Object for StandIn {
    fn get_value(self: &Arc<Self>, _: &Value) -> Option<Value> {
        Some(Value::from_object(Self))
    }

    fn render(self: &Arc<Self>, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("1")
    }
}

/// The part of a text that an error is about.
#[cfg(not(target_family = "wasm"))]
pub(crate) fn marked_by(error: &Error) -> Option<Range<usize>> {
    error.range()
}

/// In a page all texts were found to be sound when it was made.
#[cfg(target_family = "wasm")]
pub(crate) fn marked_by(_: &Error) -> Option<Range<usize>> {
    None
}

/// What the library says of a text.
pub(in crate::bank) fn words_of(error: &Error) -> String {
    match error.detail() {
        Some(said) if said.contains("not callable") => "a value is no function".to_owned(),
        Some(said) => said.to_owned(),
        None => error.kind().to_string(),
    }
}

/// All texts of a template as they are written.
pub(super) fn written_texts(written: &TemplateText) -> Vec<Text<'_>> {
    let mut texts = Vec::new();
    let mut add = |text, role| texts.push(Text { text, role });
    for (n, stem) in written.stem.iter().enumerate() {
        add(stem, Role::Stem(n));
    }
    for (_, part) in written.parts.iter() {
        add(&part.ask, Role::Ask);
        for verdict in part.verdict.iter().flat_map(|verdicts| verdicts.iter()) {
            add(&verdict.answer, Role::Ask);
            verdict.because.iter().for_each(|because| add(because, Role::After));
        }
    }
    let steps = written.working.iter().flat_map(|steps| steps.iter());
    let methods = written.methods.iter().flat_map(|methods| methods.iter());
    let others = methods.flat_map(|(_, method)| method.working.iter().flat_map(|it| it.iter()));
    let plausible = written.plausible.iter().flat_map(|all| all.iter());
    let slips = written.slips.iter().flat_map(|slips| slips.iter());
    let rows = written.batch.iter().flat_map(|rows| rows.iter());
    steps.chain(others).for_each(|(_, step)| add(&step.say, Role::After));
    plausible.for_each(|one| add(&one.say, Role::After));
    slips.for_each(|(_, slip)| add(&slip.say, Role::After));
    rows.for_each(|row| add(&row.what, Role::After));
    texts
}

/// The texts of a checked template, by their names behind its id.
pub(in crate::bank) fn texts(template: &Template) -> Vec<(String, &str)> {
    let mut texts: Vec<(String, &str)> = Vec::new();
    let mut add = |name: String, source| texts.push((name, source));
    for (n, stem) in template.stems.iter().enumerate() {
        add(format!("stem/{n}"), stem.as_str());
    }
    for part in &template.parts {
        add(format!("ask/{}", part.id), &part.ask);
        let choices = part.wanted.verdict().map(|plan| plan.choices.as_slice()).unwrap_or_default();
        for (n, choice) in choices.iter().enumerate() {
            add(format!("verdict/{}/{n}", part.id), &choice.answer);
            add(format!("because/{}/{n}", part.id), &choice.because);
        }
    }
    for step in &template.working {
        add(format!("say/{}", template.names[step.slot].name), &step.say);
    }
    for method in &template.methods {
        for step in method.working.iter().filter(|step| !template.has_step(step)) {
            add(format!("say/{}/{}", method.id, template.names[step.slot].name), &step.say);
        }
    }
    for (n, plausible) in template.plausible.iter().enumerate() {
        add(format!("plausible/{n}"), &plausible.say);
    }
    for slip in &template.slips {
        add(format!("slip/{}", slip.id), &slip.say);
    }
    for (n, row) in template.batch.iter().enumerate() {
        add(format!("batch/{n}"), &row.what);
    }
    texts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: Option<&[&str]>) {
        assert_eq!(plain_names(text).as_deref(), expected, "{text}");
    }

    #[test]
    fn sees_which_texts_only_name_values() {
        check("no names", Some(&[]));
        check("{{ a }} and {{drug.dose}}, {{ a.number }}.", Some(&["a", "drug.dose", "a.number"]));
        check("{{ a|upper }}", None);
        check("{{ a + b }}", None);
        check("{{ none }}", None);
        check("{% if a %}{{ a }}{% endif %}", None);
        check("{# why #}{{ a }}", None);
        check("{{ a", None);
        check("{{ a }} }}", None);
        check("{{ }}", None);
    }

    /// Whether a text can be read, and what a library of templates finds in it.
    fn found(text: &str) -> Option<Vec<String>> {
        let environment = environment();
        let parsed = environment.template_from_str(text).ok()?;
        let mut names: Vec<String> = parsed.undeclared_variables(true).into_iter().collect();
        names.sort();
        Some(names)
    }

    proptest::proptest! {
        #[test]
        fn a_text_that_only_names_values_is_read_as_the_library_reads_it(
            pieces in proptest::collection::vec("\\{\\{ ?(a|b\\.c|x_1|in|is|if|else|elif|for|set|loop|self|block|with|none|true|a b) ?\\}\\}|[ {}%#a]", 0..6),
        ) {
            let text: String = pieces.concat();
            if let Some(names) = plain_names(&text) {
                let mut names: Vec<String> = names.into_iter().map(str::to_owned).collect();
                names.sort();
                names.dedup();
                proptest::prop_assert_eq!(Some(names), found(&text));
            }
        }
    }
}
