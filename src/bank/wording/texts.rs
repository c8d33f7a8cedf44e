//! The texts of a template, and the environment in which they are filled in.

use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

use minijinja::value::{Object, Value};
use minijinja::{AutoEscape, Environment, Error, ErrorKind, UndefinedBehavior, escape_formatter};

use crate::bank::reading::desk::way;
use crate::bank::reading::yaml::Way;
use crate::bank::template::Template;

/// Far more than any text needs, far less than a hang.
const FUEL: u64 = 20_000;

/// One text of a template.
pub(in crate::bank) struct Text<'a> {
    /// Its name in the environment, behind the template's id.
    pub(in crate::bank) name: String,
    pub(in crate::bank) way: Vec<Way>,
    pub(in crate::bank) source: &'a str,
    pub(in crate::bank) place: Place,
}

/// Where a text is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::bank) enum Place {
    /// In the question, by its wording.
    Stem(usize),
    /// Where something is asked.
    Ask,
    /// After the problem is solved, where steps of the working can be named.
    After,
}

/// An environment for texts: unknown names are mistakes, nothing runs for ever, no binary fraction
/// is printed.
pub(in crate::bank) fn environment() -> Environment<'static> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_fuel(Some(FUEL));
    environment.set_auto_escape_callback(|_| AutoEscape::None);
    environment.set_formatter(|out, state, value| {
        if value.is_number() && !value.is_integer() {
            let what = "a number with a decimal point in a text has to stand in quotes";
            return Err(Error::new(ErrorKind::InvalidOperation, what));
        }
        escape_formatter(out, state, value)
    });
    environment
}

/// An environment with the texts of checked templates, by the names under which they are found. Each
/// is read when it is first asked for: of many a template no more than a text or two is.
pub(in crate::bank) fn environment_of(templates: &[Arc<Template>]) -> Environment<'static> {
    let named = templates.iter().flat_map(|template| {
        let name = |text: &Text<'_>| format!("{}#{}", template.id, text.name);
        texts(template).into_iter().map(move |text| (name(&text), text.source.to_owned()))
    });
    let texts: HashMap<String, String> = named.collect();
    let mut environment = environment();
    environment.set_loader(move |name| Ok(texts.get(name).cloned()));
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

/// What the library says of a text.
pub(in crate::bank) fn words_of(error: &Error) -> String {
    match error.detail() {
        Some(said) if said.contains("not callable") => "a value is no function".to_owned(),
        Some(said) => said.to_owned(),
        None => error.kind().to_string(),
    }
}

/// All texts of a template.
pub(in crate::bank) fn texts(template: &Template) -> Vec<Text<'_>> {
    let mut texts = Vec::new();
    let mut add = |name: String, way: Vec<Way>, source, place| {
        texts.push(Text { name, way, source, place });
    };
    for (n, stem) in template.stems.iter().enumerate() {
        add(format!("stem/{n}"), way!["stem", n].to_vec(), stem.as_str(), Place::Stem(n));
    }
    for part in &template.parts {
        let way = way!["parts", &part.id, "ask"].to_vec();
        add(format!("ask/{}", part.id), way, &part.ask, Place::Ask);
        let choices = part.wanted.verdict().map(|plan| plan.choices.as_slice()).unwrap_or_default();
        for (n, choice) in choices.iter().enumerate() {
            let way = |key: &str| way!["parts", &part.id, "verdict", n, key].to_vec();
            let name = |what: &str| format!("{what}/{}/{n}", part.id);
            add(name("verdict"), way("answer"), &choice.answer, Place::Ask);
            add(name("because"), way("because"), &choice.because, Place::After);
        }
    }
    let steps = template.working.iter().map(|step| (None, step));
    let others = template.methods.iter().flat_map(|method| {
        let own = method.working.iter().filter(|step| !template.has_step(step));
        own.map(move |step| (Some(&method.id), step))
    });
    for (method, step) in steps.chain(others) {
        let Some(name) = template.names.get(step.slot) else { continue };
        let (text, way) = match method {
            None => (format!("say/{}", name.name), way!["working", &name.name, "say"].to_vec()),
            Some(id) => (
                format!("say/{id}/{}", name.name),
                way!["methods", id, "working", &name.name, "say"].to_vec(),
            ),
        };
        add(text, way, &step.say, Place::After);
    }
    for (n, plausible) in template.plausible.iter().enumerate() {
        let way = way!["plausible", n, "say"].to_vec();
        add(format!("plausible/{n}"), way, &plausible.say, Place::After);
    }
    for slip in &template.slips {
        let way = way!["slips", &slip.id, "say"].to_vec();
        add(format!("slip/{}", slip.id), way, &slip.say, Place::After);
    }
    for (n, row) in template.batch.iter().enumerate() {
        let way = way!["batch", n, "what"].to_vec();
        add(format!("batch/{n}"), way, &row.what, Place::After);
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
