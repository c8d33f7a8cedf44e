//! The texts of a template, and the environment in which they are filled in.

use minijinja::value::{Object, Value};
use minijinja::{AutoEscape, Environment, Error, ErrorKind, UndefinedBehavior, escape_formatter};

use super::desk::{Desk, way};
use super::reading::Way;
use super::template::Template;

/// Far more than any text needs, far less than a hang.
const FUEL: u64 = 20_000;

/// One text of a template.
pub(super) struct Text<'a> {
    /// Its name in the environment, behind the template's id.
    pub(super) name: String,
    pub(super) way: Vec<Way>,
    pub(super) source: &'a str,
    pub(super) place: Place,
}

/// Where a text is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// In the question, by its wording.
    Stem(usize),
    /// Where something is asked.
    Ask,
    /// After the problem is solved, where steps of the working can be named.
    After,
}

/// An environment for texts: unknown names are mistakes, nothing runs for ever, no binary fraction
/// is printed.
pub(super) fn environment() -> Environment<'static> {
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

/// Adds the texts of a checked template to an environment, by the names under which they are found.
pub(super) fn add(
    desk: &mut Desk<'_>,
    environment: &mut Environment<'static>,
    template: &Template,
) {
    for text in texts(template) {
        let name = format!("{}#{}", template.id, text.name);
        let tried = environment
            .add_template_owned(name.clone(), text.source.to_owned())
            .and_then(|()| try_out(environment, &name, text.source));
        if let Err(error) = tried {
            desk.value(
                &text.way,
                format!("the text cannot be read: {}", words_of(&error)),
                "in this text",
                Some("a value stands between two braces: `{{ capacity }}`".to_owned()),
            );
        }
    }
}

/// Fills in a text with stand-ins, to find filters that there are not and the like. A text that only
/// names values cannot fail.
fn try_out(environment: &Environment<'static>, name: &str, source: &str) -> Result<(), Error> {
    let only_names = |source: &str| {
        let mut pieces = source.split("{{");
        let begins_plain = pieces.next().is_none_or(|text| !text.contains("{%"));
        begins_plain
            && pieces.all(|piece| {
                piece.split_once("}}").is_some_and(|(inside, after)| {
                    let is_name = |c: char| c.is_ascii_alphanumeric() || "_. ".contains(c);
                    inside.chars().all(is_name) && !after.contains("{%")
                })
            })
    };
    if only_names(source) {
        return Ok(());
    }
    environment.get_template(name)?.render(Value::from_object(StandIn)).map(drop)
}

/// Stands for every value and every view of it.
#[derive(Debug)]
struct StandIn;

impl Object for StandIn {
    fn get_value(self: &std::sync::Arc<Self>, _: &Value) -> Option<Value> {
        Some(Value::from_object(Self))
    }

    fn render(self: &std::sync::Arc<Self>, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("1")
    }
}

/// What the library says of a text.
pub(super) fn words_of(error: &Error) -> String {
    error.detail().map_or_else(|| error.kind().to_string(), str::to_owned)
}

/// All texts of a template.
pub(super) fn texts(template: &Template) -> Vec<Text<'_>> {
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
    }
    for step in &template.working {
        let Some(name) = template.names.get(step.slot) else { continue };
        let way = way!["working", &name.name, "say"].to_vec();
        add(format!("say/{}", name.name), way, &step.say, Place::After);
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
