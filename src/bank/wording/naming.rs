//! Checking the names in the texts of a template.

use std::collections::BTreeSet;

use minijinja::Environment;

use crate::formula::{Shape, nearest};

use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::Unsound;
use crate::bank::template::{Name, Value, ValueRule};
use crate::bank::wording::lists::{Lists, forbidden};
use crate::bank::wording::tags::too_much;
use crate::bank::wording::texts::{
    Role, Text, environment, marked_by, plain_names, try_out, words_of, written_texts,
};
use crate::bank::written::template::TemplateText;

/// What the texts of a template name: values, steps, and texts of picks and words.
#[derive(Debug, Default)]
pub(in crate::bank) struct Naming {
    /// By any text.
    pub(in crate::bank) anywhere: BTreeSet<String>,
    /// By each wording of the stem.
    pub(in crate::bank) stems: Vec<BTreeSet<String>>,
    /// By the questions of the parts.
    pub(in crate::bank) asks: BTreeSet<String>,
}

/// Something a text can name.
struct Known {
    name: String,
    is_step: bool,
    /// The view that goes with it: `capacity.number`, `masses.table`.
    view: &'static str,
}

/// Notes texts that cannot be read, and names in them that are not known; gives the others.
///
/// Slots from `given` on are steps; what goes with unsound values is not known and passes.
pub(in crate::bank) fn check(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    (names, values): (&[Name], &[Value]),
    given: usize,
    unsound: &Unsound,
) -> Naming {
    let environment = environment();
    let known = known(names, values, given);
    let mut naming =
        Naming { stems: vec![BTreeSet::new(); written.stem.len()], ..Naming::default() };
    for text in written_texts(written) {
        let Some(names) = names_in(checker, &environment, &text) else { continue };
        for written in names {
            if unsound.of(&written).is_some() {
                continue;
            }
            let Some(name) = find(checker, &known, &text, &written) else { continue };
            match text.role {
                Role::Stem(n) => naming.stems[n].insert(name.clone()),
                Role::Ask => naming.asks.insert(name.clone()),
                Role::After => true,
            };
            naming.anywhere.insert(name);
        }
    }
    naming
}

fn names_in(
    checker: &mut Checker<'_>,
    environment: &Environment<'_>,
    text: &Text<'_>,
) -> Option<BTreeSet<String>> {
    if let Some(found) = too_much(text.text).or_else(|| forbidden(text.text, Lists::Never)) {
        let help = Some(found.help.to_owned());
        checker.part(text.text, (text.text, &found.range), found.what, "here", help);
        return None;
    }
    if let Some(names) = plain_names(text.text) {
        return Some(names.into_iter().map(str::to_owned).collect());
    }
    let read = environment.template_from_str(text.text);
    match read.and_then(|read| try_out(&read).map(|()| read.undeclared_variables(true))) {
        Ok(names) => Some(names.into_iter().collect()),
        Err(error) => {
            let what = format!("the text cannot be read: {}", words_of(&error));
            let help = Some("a value stands between two braces: `{{ capacity }}`".to_owned());
            match marked_by(&error).filter(|range| !range.is_empty()) {
                Some(range) => checker.part(text.text, (text.text, &range), what, "here", help),
                None => checker.value(text.text, what, "in this text", help),
            };
            None
        }
    }
}

/// What a name in a text stands for; it is noted when that is nothing, or a step too early.
fn find(
    checker: &mut Checker<'_>,
    known: &[Known],
    text: &Text<'_>,
    written: &str,
) -> Option<String> {
    let found = known.iter().find(|known| known.name == *written).or_else(|| {
        let (base, view) = written.rsplit_once('.')?;
        known.iter().find(|known| known.name == base && known.view == view)
    });
    let start = text.text.find(written).unwrap_or(0);
    let part = start..start + written.len();
    match found {
        None => {
            let near = nearest(written, known.iter().map(|known| known.name.as_str()));
            let view = written.rsplit_once('.').and_then(|(base, _)| {
                known.iter().find(|known| known.name == base && !known.view.is_empty())
            });
            let help = match (near, view) {
                (_, Some(known)) => {
                    Some(format!("write `{}` or `{}.{}`", known.name, known.name, known.view))
                }
                (Some(near), None) => Some(format!("did you mean `{near}`?")),
                (None, None) => None,
            };
            let what = format!("the text names `{written}`, which is not a value");
            checker.part(text.text, (text.text, &part), what, "not known", help);
            None
        }
        Some(known) if known.is_step && text.role != Role::After => {
            let what = format!(
                "the text names the step `{}`, which would give the answer away",
                known.name
            );
            let help = "name values only; steps can be used in `say`".to_owned();
            checker.part(text.text, (text.text, &part), what, "a step", Some(help));
            None
        }
        Some(known) => Some(known.name.clone()),
    }
}

fn known(names: &[Name], values: &[Value], given: usize) -> Vec<Known> {
    let slots = names.iter().enumerate().map(|(slot, name)| Known {
        name: name.name.clone(),
        is_step: slot >= given,
        view: if matches!(name.shape, Shape::List(_)) { "table" } else { "number" },
    });
    let fields = values.iter().flat_map(|value| {
        let fields = match &value.rule {
            ValueRule::Pick { fields, .. } | ValueRule::Words { fields, .. } => fields.as_slice(),
            _ => &[],
        };
        fields.iter().map(|field| match field.as_str() {
            "" => value.name.clone(),
            field => format!("{}.{field}", value.name),
        })
    });
    let fields = fields.map(|name| Known { name, is_step: false, view: "" });
    slots.chain(fields).collect()
}
