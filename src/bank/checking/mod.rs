//! From the written form of a template to the checked one.

mod picks;
mod values;
mod verdicts;
mod order;
mod parts;
mod slips;
mod steps;
mod methods;
mod plausible;
mod rounding_rule;

use std::collections::BTreeSet;

use sha2::{Digest, Sha256};

use crate::formula::{Scope, Shape};

use crate::bank::facts::Facts;
use crate::bank::reading::desk::{Desk, way};
use crate::bank::reading::noted::Checked;
use crate::bank::reading::yaml::Way;
use crate::bank::template::{
    BatchRow, Convention, DrawingPlan, Method, Objective, PartPlan, PickOption, Requirement, Rule,
    Step, Template, Value, Wanted,
};
use crate::bank::wording::{naming, usage};
use crate::bank::written::{BatchText, DrawingText, Named, RequireText, TemplateText, ValueText};
use crate::bank::written_parts::PartText;
use order::in_order;
use parts::parts;
use plausible::plausible;
pub use rounding_rule::ROUNDING_RULE;
use slips::slips;
use steps::steps;
use values::Names;

/// Checks a template; everything wrong with it is noted.
pub(in crate::bank) fn template(
    desk: &mut Desk<'_>,
    written: TemplateText,
    facts: &Facts,
) -> Checked<Template> {
    if desk.id(&way!["id"], "a template", &written.id) {
        desk.file_name("id", &written.id);
    }
    desk.id(&way!["topic"], "a topic", &written.topic);
    let objective = Objective::parse(&written.objective).ok_or_else(|| {
        let known = Objective::ALL.map(Objective::name);
        desk.unknown(&way!["objective"], "an objective", &written.objective, known)
    });
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
    let ordered = in_order(desk, "values", written.values, &names, |value: &ValueText| {
        value.is.as_deref().into_iter().chain(value.around.as_deref()).collect()
    });
    let whole = whole_cells(&written.stem, &written.parts);
    let mut values = Vec::new();
    for (name, text) in ordered.entries {
        values.extend(values::value(desk, &name, &text, &mut names, (facts, &whole)));
    }
    if let Some((ring, noted)) = ordered.ring {
        for (name, text) in ring {
            values::add_anyway(&name, &text, &mut names, facts, noted);
        }
    }
    let given = names.len();
    let mut working = steps(desk, written.working, &mut names);
    let mut methods = methods::methods(desk, written.methods, &working, &mut names);
    let require = require(desk, &written.require, &names, given);
    let different = different(desk, &written.different, &values);
    let parts = parts(desk, written.parts, &names, &values, facts, &written.stem);
    methods::keep_needed(&mut methods, &parts);
    for working in working_and(&mut working, &mut methods) {
        rounding_rule::apply(working, &parts, &names);
    }
    check_size(desk, &values, &parts);
    let slips = slips(desk, written.slips, &names, given);
    let plausible = plausible(desk, &written.plausible, &names);
    let batch = batch(desk, &written.batch, &names);
    let drawing = written.drawing.as_ref().map(|text| drawing(desk, text, &names)).transpose();
    let mut template = Template {
        id: written.id,
        title: written.title,
        objective: *objective.as_ref().unwrap_or(&Objective::Theory),
        topic: written.topic,
        level: *level.as_ref().unwrap_or(&1),
        convention: *convention.as_ref().unwrap_or(&Convention::None),
        minutes: *minutes.as_ref().unwrap_or(&1),
        about: written.about.trim().to_owned(),
        names: names.all,
        values,
        require,
        different,
        stems: written.stem,
        working,
        methods,
        plausible,
        parts,
        slips,
        batch,
        drawing: drawing.as_ref().ok().cloned().flatten(),
        fingerprint: String::new(),
    };
    let naming = naming::check(desk, &template, given, &names.unsound);
    desk.finish(())?;
    usage::check(desk, &template, &naming, given);
    template.fingerprint = fingerprint(&desk.source.text, &template);
    desk.finish(template)
}

/// The working and those of the methods.
fn working_and<'a>(
    working: &'a mut Vec<Step>,
    methods: &'a mut [Method],
) -> impl Iterator<Item = &'a mut Vec<Step>> {
    std::iter::once(working).chain(methods.iter_mut().map(|method| &mut method.working))
}

/// Cells of picks, as in `form.advantages`, of which a question takes all texts together and nothing
/// takes one: which of them comes first makes no other draw.
fn whole_cells(stems: &[String], parts: &Named<PartText>) -> BTreeSet<String> {
    let parts = || parts.0.iter().map(|(_, part)| part);
    let together = parts().flat_map(|part| {
        let several = part.several_options.as_ref().and_then(|options| options.of.clone());
        let any = part.range.as_ref().filter(|range| range.any_source).map(|it| it.of.clone());
        let written = part.written.as_ref().and_then(|written| written.of.clone());
        several.into_iter().chain(written).chain(any)
    });
    let mut whole: BTreeSet<String> = together.collect();
    for part in parts() {
        let one = part.one_option.iter();
        let cells = one.flat_map(|options| [&options.of, &options.which, &options.has]).flatten();
        for cell in cells.chain(part.short_text.iter().map(|text| &text.of)) {
            whole.remove(cell);
        }
    }
    let asks = parts().map(|part| part.ask.as_str());
    let texts: Vec<&str> = stems.iter().map(String::as_str).chain(asks).collect();
    // A list of what all sources say takes none of them alone.
    let takes_one =
        |text: &&str, cell: &str| text.replace(&format!("{cell}_by_source"), "").contains(cell);
    whole.retain(|cell| !texts.iter().any(|text| takes_one(&text, cell)));
    whole
}

/// A short hash of all a problem is made of: the file, and what is picked from the facts tables.
fn fingerprint(text: &str, template: &Template) -> String {
    let mut hash = Sha256::new();
    hash.update(text);
    for value in &template.values {
        let Rule::Pick { options, .. } = &value.rule else { continue };
        for option in options {
            let numbers = option.numbers.iter().map(ToString::to_string);
            let all: Vec<String> = numbers.chain(option.texts.iter().cloned()).collect();
            hash.update(format!("\n{}: {}", option.row, all.join(", ")));
        }
    }
    for part in &template.parts {
        if let Wanted::Theory(plan) = &part.wanted {
            hash.update(format!("\n{}: {:?}", part.id, plan.cases));
        }
    }
    hash.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

fn convention(desk: &mut Desk<'_>, text: &str) -> Checked<Convention> {
    let found = Convention::ALL.into_iter().find(|convention| convention.name() == text);
    found.ok_or_else(|| {
        let known = Convention::ALL.map(Convention::name);
        desk.unknown(&way!["convention"], "a convention", text, known)
    })
}

/// Notes a template whose draws cannot be numbered.
fn check_size(desk: &mut Desk<'_>, values: &[Value], parts: &[PartPlan]) {
    let values = values.iter().map(|value| value.rule.possibilities());
    let all = values.chain(parts.iter().map(|part| part.wanted.ways()));
    let size = all.into_iter().try_fold(1_u128, |size, more| size.checked_mul(more?));
    if size.is_none() {
        desk.key(
            &way!["values"],
            "expected fewer than 2^128 draws, found more",
            "too many together",
            Some("draw fewer values, or take wider steps".to_owned()),
        );
    }
}

fn require(
    desk: &mut Desk<'_>,
    entries: &[RequireText],
    names: &Names,
    given: usize,
) -> Vec<Requirement> {
    let mut require = Vec::new();
    for (index, text) in entries.iter().enumerate() {
        let at = way!["require", index, "that"];
        let Ok((formula, program)) = desk.formula(&at, &text.that, names, &names.unsound) else {
            continue;
        };
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
    values: &[Value],
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
        if group.len() < 2 {
            let what = "expected at least two picks that must be different, found one";
            desk.value(&way!["different", index], what, "different from what?", None);
        }
        for (n, one) in places.iter().enumerate() {
            pairs.extend(places.iter().skip(n + 1).map(|other| (*one, *other)));
        }
    }
    pairs
}

fn batch(desk: &mut Desk<'_>, entries: &[BatchText], names: &Names) -> Vec<BatchRow> {
    let mut rows = Vec::new();
    for (index, text) in entries.iter().enumerate() {
        let at = |key: &str| way!["batch", index, key];
        let all = slot(desk, &at("all"), &text.all, names);
        let each = text.each.as_ref().map(|name| slot(desk, &at("each"), name, names)).transpose();
        let rounding = desk.rounding(&at("round"), &text.round);
        if let (Ok(all), Ok(each), Ok(rounding)) = (all, each, rounding) {
            rows.push(BatchRow { what: text.what.clone(), each, all, rounding });
        }
    }
    rows
}

fn drawing(desk: &mut Desk<'_>, text: &DrawingText, names: &Names) -> Checked<DrawingPlan> {
    let at = |key: &str| way!["drawing", key];
    let mut each = |key: &str, all: &[String]| -> Checked<Vec<usize>> {
        let all = all.iter().enumerate();
        all.map(|(n, name)| slot(desk, &way!["drawing", key, n], name, names)).collect()
    };
    let (displaced, drugs) = (each("displaced", &text.displaced), each("drugs", &text.drugs));
    let mould = slot(desk, &at("mould"), &text.mould, names);
    let base = slot(desk, &at("base"), &text.base, names);
    Ok(DrawingPlan { mould: mould?, displaced: displaced?, drugs: drugs?, base: base? })
}

fn slot(desk: &mut Desk<'_>, way: &[Way], name: &str, names: &Names) -> Checked<usize> {
    match names.find(name) {
        Some((slot, Shape::Number(_))) => Ok(slot),
        _ => Err(desk.unknown(way, "a step or a value", name, names.names())),
    }
}

impl Template {
    /// The slot of a name.
    pub fn slot(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|known| known.name == name)
    }

    /// Whether a slot is filled by a step of the working, or of another method.
    pub fn is_step(&self, slot: usize) -> bool {
        self.workings().flatten().any(|step| step.slot == slot)
    }

    /// Whether a step of a method is one of the working as it is.
    pub(crate) fn has_step(&self, step: &Step) -> bool {
        let same = self.working.iter().find(|known| known.slot == step.slot);
        same.is_some_and(|same| same.say == step.say && same.formula.text() == step.formula.text())
    }

    /// The working, and then those of the other methods.
    pub fn workings(&self) -> impl Iterator<Item = &[Step]> {
        let others = self.methods.iter().filter(|method| !method.working.is_empty());
        std::iter::once(self.working.as_slice())
            .chain(others.map(|method| method.working.as_slice()))
    }

    /// That possibility of the pick of that name.
    pub fn option(&self, pick: &str, option: usize) -> Option<&PickOption> {
        let value = self.values.iter().find(|value| value.name == pick)?;
        match &value.rule {
            Rule::Pick { options, .. } => options.get(option),
            _ => None,
        }
    }

    /// The largest number of marks a problem of the template gives.
    pub fn marks(&self) -> u32 {
        self.parts.iter().map(|part| part.marks).sum()
    }
}
