//! From the written form of a template to the checked one.

use sha2::{Digest, Sha256};

use crate::formula::{Scope, Shape};

use super::desk::{Desk, way};
use super::facts::Facts;
use super::parts::parts;
use super::reading::Way;
use super::template::{
    BatchRow, Convention, DrawingPlan, Objective, Requirement, Rule, Slip, Step, Template,
};
use super::values::{self, Names, expect_dimension};
use super::written::{Named, SlipText, StepText, TemplateText};
use super::{texts, usage};

/// Checks a template; what is wrong is noted at the desk, and nothing is given then.
pub(super) fn template(
    desk: &mut Desk<'_>,
    written: TemplateText,
    facts: &Facts,
) -> Option<Template> {
    if desk.id(&way!["id"], "a template", &written.id) {
        desk.file_name("id", &written.id);
    }
    desk.id(&way!["topic"], "a topic", &written.topic);
    let objective = Objective::parse(&written.objective);
    if objective.is_none() {
        let known = Objective::ALL.map(Objective::name);
        desk.unknown(&way!["objective"], "an objective", &written.objective, known);
    }
    let convention = convention(desk, &written.convention);
    let level = desk.whole(&way!["level"], &written.level, 1, 3);
    let minutes = desk.whole(&way!["minutes"], &written.minutes, 1, 240);
    if written.stem.len() < 2 {
        desk.value(
            &way!["stem"],
            format!("expected at least two wordings, found {}", written.stem.len()),
            "only this",
            Some(
                "say the same in other words, so that a problem is not known by its face"
                    .to_owned(),
            ),
        );
    }
    let mut names = Names::default();
    let value_texts = in_order(desk, "values", written.values, &names, |value| {
        [value.is.as_deref(), value.around.as_deref()]
            .into_iter()
            .flatten()
            .map(str::to_owned)
            .collect()
    });
    let mut values = Vec::new();
    for (name, text) in value_texts {
        values.extend(values::value(desk, &name, &text, &mut names, facts));
    }
    let given = names.0.len();
    let step_texts =
        in_order(desk, "working", written.working, &names, |step| vec![step.is.clone()]);
    let working = steps(desk, step_texts, &mut names);
    let require = require(desk, &written.require, &names, given);
    let different = different(desk, &written.different, &values);
    let parts = parts(desk, written.parts, &names);
    let slips = slips(desk, written.slips, &names, given);
    let batch = batch(desk, &written.batch, &names);
    let drawing = written.drawing.as_ref().and_then(|drawing| {
        let at = |key: &str| way!["drawing", key];
        let mut mass = |way: &[Way], name: &str| slot(desk, way, name, &names);
        Some(DrawingPlan {
            mould: mass(&at("mould"), &drawing.mould)?,
            displaced: drawing
                .displaced
                .iter()
                .enumerate()
                .map(|(n, name)| mass(&way!["drawing", "displaced", n], name))
                .collect::<Option<_>>()?,
            drugs: drawing
                .drugs
                .iter()
                .enumerate()
                .map(|(n, name)| mass(&way!["drawing", "drugs", n], name))
                .collect::<Option<_>>()?,
            base: mass(&at("base"), &drawing.base)?,
        })
    });
    if !desk.complaints.is_empty() {
        return None;
    }
    let hash = Sha256::digest(desk.source.text.as_bytes());
    let template = Template {
        id: written.id,
        title: written.title,
        objective: objective?,
        topic: written.topic,
        level: u8::try_from(level?).ok()?,
        convention: convention?,
        minutes: minutes?,
        about: written.about.trim().to_owned(),
        names: names.0,
        values,
        require,
        different,
        stems: written.stem,
        working,
        parts,
        slips,
        batch,
        drawing,
        fingerprint: hash.iter().take(8).map(|byte| format!("{byte:02x}")).collect(),
    };
    let named = texts::check(desk, &template);
    usage::check(desk, &template, &named, given);
    desk.complaints.is_empty().then_some(template)
}

fn convention(desk: &mut Desk<'_>, text: &str) -> Option<Convention> {
    let found = Convention::ALL.into_iter().find(|convention| convention.name() == text);
    if found.is_none() {
        let known = Convention::ALL.map(Convention::name);
        desk.unknown(&way!["convention"], "a convention", text, known);
    }
    found
}

/// Entries in an order in which each names only earlier ones; a ring of names is noted.
fn in_order<T>(
    desk: &mut Desk<'_>,
    group: &str,
    entries: Named<T>,
    known: &Names,
    formulas: impl Fn(&T) -> Vec<String>,
) -> Vec<(String, T)> {
    // A name that is known already is a mistake of its own, and nothing waits for it.
    let fresh = entries.0.iter().map(|(name, _)| name.clone());
    let names: Vec<String> = fresh.filter(|name| known.find(name).is_none()).collect();
    let mut waiting: Vec<(String, T)> = entries.0;
    let mut done: Vec<(String, T)> = Vec::new();
    while !waiting.is_empty() {
        let ready = waiting.iter().position(|(_, entry)| {
            formulas(entry).iter().all(|formula| {
                words(formula).all(|word| {
                    !names.iter().any(|name| name == word)
                        || done.iter().any(|(name, _)| name == word)
                })
            })
        });
        let Some(ready) = ready else {
            let ring: Vec<&str> = waiting.iter().map(|(name, _)| name.as_str()).collect();
            let what = format!(
                "expected values that follow from others, found a ring: {}",
                ring.join(", ")
            );
            let help = Some("let one of them be drawn or given by itself".to_owned());
            desk.key(&way![group, &waiting[0].0], what, "each of these waits for another", help);
            return done;
        };
        done.push(waiting.remove(ready));
    }
    done
}

/// The names in a formula's text, without reading it; of `drug.dose` the part before the point.
fn words(formula: &str) -> impl Iterator<Item = &str> {
    formula
        .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '.'))
        .map(|word| word.split('.').next().unwrap_or_default())
        .filter(|word| word.starts_with(|c: char| c.is_ascii_alphabetic()))
}

fn steps(desk: &mut Desk<'_>, entries: Vec<(String, StepText)>, names: &mut Names) -> Vec<Step> {
    let mut steps = Vec::new();
    for (name, text) in entries {
        let at = |key: &str| way!["working", &name, key];
        if names.find(&name).is_some() {
            let what = format!("`{name}` is a value already");
            let help = Some("give the step a name of its own".to_owned());
            desk.key(&way!["working", &name], what, "again", help);
        }
        let checked = desk.formula(&at("is"), &text.is, names);
        let unit = desk.unit(&at("unit"), &text.unit);
        let rounding = desk.rounding(&at("show"), &text.show);
        let also = text
            .also
            .iter()
            .enumerate()
            .filter_map(|(n, text)| desk.rounding(&way!["working", &name, "also", n], text))
            .collect();
        let fits = match (&checked, unit) {
            (Some((_, program)), Some(unit)) => {
                expect_dimension(desk, &at("is"), program.shape(), unit).is_some()
            }
            _ => false,
        };
        // The name is known from here on even if its rule is wrong, so that one mistake is told once.
        let unit = unit.unwrap_or_default();
        let slot = names.add(&name, text.label, Shape::Number(unit.dimension()), unit);
        if let (true, Some((formula, program)), Some(rounding)) = (fits, checked, rounding) {
            steps.push(Step { slot, say: text.say, formula, program, rounding, also });
        }
    }
    steps
}

fn require(
    desk: &mut Desk<'_>,
    entries: &[super::written::RequireText],
    names: &Names,
    given: usize,
) -> Vec<Requirement> {
    let mut require = Vec::new();
    for (index, text) in entries.iter().enumerate() {
        let at = way!["require", index, "that"];
        let Some((formula, program)) = desk.formula(&at, &text.that, names) else { continue };
        if program.shape() != Shape::Truth {
            let help = Some("compare it with something, as in `base > 1 g`".to_owned());
            desk.value(&at, "expected a condition, found a number", "not a condition", help);
            continue;
        }
        if program.reads().is_empty() {
            let help = Some("name a value or a step in it, or remove it".to_owned());
            desk.value(
                &at,
                "the condition is the same for every draw",
                "names nothing drawn",
                help,
            );
            continue;
        }
        let early = program.reads().iter().all(|slot| *slot < given);
        require.push(Requirement { formula, program, because: text.because.clone(), early });
    }
    require
}

fn different(
    desk: &mut Desk<'_>,
    entries: &[Vec<String>],
    values: &[super::template::Value],
) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (index, group) in entries.iter().enumerate() {
        let mut places = Vec::new();
        for (n, name) in group.iter().enumerate() {
            let picks = values.iter().enumerate();
            let found = picks
                .filter(|(_, value)| matches!(value.rule, Rule::Pick { .. }))
                .find(|(_, value)| value.name == *name);
            match found {
                Some((place, _)) => places.push(place),
                None => {
                    let known = values
                        .iter()
                        .filter(|value| matches!(value.rule, Rule::Pick { .. }))
                        .map(|value| value.name.as_str());
                    desk.unknown(&way!["different", index, n], "a pick", name, known);
                }
            }
        }
        for (n, one) in places.iter().enumerate() {
            pairs.extend(places.iter().skip(n + 1).map(|other| (*one, *other)));
        }
    }
    pairs
}

fn slips(desk: &mut Desk<'_>, entries: Named<SlipText>, names: &Names, given: usize) -> Vec<Slip> {
    let mut slips = Vec::new();
    for (id, text) in entries.0 {
        let mut instead = Vec::new();
        for (name, formula) in &text.instead.0 {
            let at = way!["slips", &id, "instead", name];
            let Some((slot, shape)) = names.find(name) else {
                let near = crate::formula::nearest(name, names.names());
                let help = near.map(|near| format!("did you mean `{near}`?"));
                let what = format!("expected a value or step, found `{name}`");
                desk.key(&at, what, "not known", help);
                continue;
            };
            let Some((formula, program)) = desk.formula(&at, formula, names) else { continue };
            if program.shape() != shape {
                let of = names.0[slot].unit.dimension();
                let what = format!("expected {of} in place of `{name}`, found something else");
                let help = Some(
                    "bring it to the same unit, for instance with `1 unit` or `1 g`".to_owned(),
                );
                desk.value(&at, what, "another kind of thing", help);
                continue;
            }
            // A wrong step can use what is known before it; a wrong value only other values.
            // Slots are numbered in the order in which they are filled.
            let late = program
                .reads()
                .iter()
                .find(|read| **read >= given && (slot < given || **read >= slot));
            if let Some(late) = late {
                let what = format!(
                    "the slip uses `{}`, which is not known yet when `{name}` is worked out",
                    names.0[*late].name
                );
                desk.value(&at, what, "too early", Some("use values and earlier steps".to_owned()));
                continue;
            }
            instead.push((slot, formula, program));
        }
        if text.instead.0.is_empty() {
            desk.key(&way!["slips", &id], "expected a wrong rule under `instead`", "none", None);
        }
        slips.push(Slip { id, instead, say: text.say });
    }
    slips
}

fn batch(
    desk: &mut Desk<'_>,
    entries: &[super::written::BatchText],
    names: &Names,
) -> Vec<BatchRow> {
    let mut rows = Vec::new();
    for (index, text) in entries.iter().enumerate() {
        let all = slot(desk, &way!["batch", index, "all"], &text.all, names);
        let each = match &text.each {
            None => Some(None),
            Some(name) => slot(desk, &way!["batch", index, "each"], name, names).map(Some),
        };
        let rounding = desk.rounding(&way!["batch", index, "round"], &text.round);
        if let (Some(all), Some(each), Some(rounding)) = (all, each, rounding) {
            rows.push(BatchRow { what: text.what.clone(), each, all, rounding });
        }
    }
    rows
}

fn slot(desk: &mut Desk<'_>, way: &[Way], name: &str, names: &Names) -> Option<usize> {
    match names.find(name) {
        Some((slot, Shape::Number(_))) => Some(slot),
        _ => {
            desk.unknown(way, "a step or a value", name, names.names());
            None
        }
    }
}

impl Template {
    /// Whether a slot is filled by a step of the working.
    pub fn is_step(&self, slot: usize) -> bool {
        self.working.iter().any(|step| step.slot == slot)
    }

    /// The largest number of marks a problem of the template gives.
    pub fn marks(&self) -> u32 {
        self.parts.iter().map(|part| part.marks).sum()
    }
}
