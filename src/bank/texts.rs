//! Checking the texts of a template: their form, and the names in them.

use std::collections::BTreeSet;

use minijinja::{Environment, UndefinedBehavior};

use crate::formula::{Shape, nearest};

use super::desk::{Desk, way};
use super::reading::Way;
use super::template::{Rule, Template};

/// Far more than any text needs, far less than a hang.
const FUEL: u64 = 20_000;

/// One text of a template.
struct Text<'a> {
    /// Its name in the environment, behind the template's id.
    name: String,
    way: Vec<Way>,
    source: &'a str,
    /// Whether steps of the working may be named: not where they would give the answer away.
    after_solving: bool,
}

/// An environment for texts: unknown names are mistakes, nothing runs for ever, no binary fraction
/// is printed.
pub(super) fn environment() -> Environment<'static> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_fuel(Some(FUEL));
    environment.set_auto_escape_callback(|_| minijinja::AutoEscape::None);
    environment
}

/// Adds the texts of a checked template to an environment, by the names under which they are found.
pub(super) fn add(
    desk: &mut Desk<'_>,
    environment: &mut Environment<'static>,
    template: &Template,
) {
    for text in texts(template) {
        let name = format!("{}#{}", template.id, text.name);
        if let Err(error) = environment.add_template_owned(name, text.source.to_owned()) {
            desk.value(&text.way, error.to_string(), "in this text", None);
        }
    }
}

/// Notes texts that cannot be read and names that are not known; gives the names used.
pub(super) fn check(desk: &mut Desk<'_>, template: &Template) -> BTreeSet<String> {
    let environment = environment();
    let known = known_names(template);
    let mut used = BTreeSet::new();
    for text in texts(template) {
        let parsed = environment.template_from_str(text.source);
        let parsed = match parsed {
            Ok(parsed) => parsed,
            Err(error) => {
                let what = format!(
                    "the text cannot be read: {}",
                    error.detail().unwrap_or("a mistake in it")
                );
                let help = Some("a value stands between two braces: `{{ capacity }}`".to_owned());
                desk.value(&text.way, what, "in this text", help);
                continue;
            }
        };
        let names: BTreeSet<String> = parsed.undeclared_variables(true).into_iter().collect();
        for name in names {
            // `capacity.number` is the value `capacity`; `drug.name` is a text of its own.
            let base = name.rsplit_once('.').map_or(name.as_str(), |(base, _)| base);
            let found = known.iter().find(|(known, _)| *known == name).or_else(|| {
                let view = matches!(name.rsplit_once('.'), Some((_, "number" | "table")));
                known.iter().find(|(known, _)| view && *known == base)
            });
            match found {
                None => {
                    let near = nearest(&name, known.iter().map(|(known, _)| known.as_str()));
                    let help = near.map(|near| format!("did you mean `{near}`?"));
                    let what = format!("the text names `{name}`, which is not a value");
                    desk.value(&text.way, what, "in this text", help);
                }
                Some((name, true)) if !text.after_solving => {
                    let what = format!(
                        "the text names the step `{name}`, which would give the answer away"
                    );
                    let help = Some("name values only; steps can be used in `say`".to_owned());
                    desk.value(&text.way, what, "in this text", help);
                }
                Some((name, _)) => {
                    used.insert(name.clone());
                }
            }
        }
    }
    used
}

fn texts(template: &Template) -> Vec<Text<'_>> {
    let mut texts = Vec::new();
    for (n, source) in template.stems.iter().enumerate() {
        let name = format!("stem/{n}");
        texts.push(Text { name, way: way!["stem", n].to_vec(), source, after_solving: false });
    }
    for part in &template.parts {
        let name = format!("ask/{}", part.id);
        let way = way!["parts", &part.id, "ask"].to_vec();
        texts.push(Text { name, way, source: &part.ask, after_solving: false });
    }
    for step in &template.working {
        let step_name = &template.names[step.slot].name;
        let name = format!("say/{step_name}");
        let way = way!["working", step_name, "say"].to_vec();
        texts.push(Text { name, way, source: &step.say, after_solving: true });
    }
    for slip in &template.slips {
        let name = format!("slip/{}", slip.id);
        let way = way!["slips", &slip.id, "say"].to_vec();
        texts.push(Text { name, way, source: &slip.say, after_solving: true });
    }
    for (n, row) in template.batch.iter().enumerate() {
        let way = way!["batch", n, "what"].to_vec();
        texts.push(Text {
            name: format!("batch/{n}"),
            way,
            source: &row.what,
            after_solving: true,
        });
    }
    texts
}

/// Every name a text can use, and whether it is a step.
fn known_names(template: &Template) -> Vec<(String, bool)> {
    let mut known: Vec<(String, bool)> = template
        .names
        .iter()
        .enumerate()
        .filter(|(_, name)| matches!(name.shape, Shape::Number(_) | Shape::List(_)))
        .map(|(slot, name)| (name.name.clone(), template.is_step(slot)))
        .collect();
    for value in &template.values {
        let (Rule::Pick { fields, .. } | Rule::Words { fields, .. }) = &value.rule else {
            continue;
        };
        known.extend(fields.iter().map(|field| match field.as_str() {
            "" => (value.name.clone(), false),
            field => (format!("{}.{field}", value.name), false),
        }));
    }
    known
}
