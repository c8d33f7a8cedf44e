//! From the written form of a template to the checked one.

mod picks;
mod names;
mod values;
mod order;
mod steps;
mod parts;
mod slips;
mod methods;
mod conditions;
mod rounding_rule;
mod fingerprint;

use std::collections::{BTreeMap, BTreeSet};

use crate::formula::{Scope, Shape};

use crate::bank::facts::Facts;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::{Located, Location};
use crate::bank::reading::noted::{Checked, Unsound};
use crate::bank::reading::words::NameText;
use crate::bank::reading::written::List;
use crate::bank::template::{
    BatchRow, DrawingPlan, Method, PartPlan, PickOption, Step, Template, Value, ValueRule,
};
use crate::bank::wording::{naming, texts, usage};
use crate::bank::written::template::{BatchText, DrawingText, TemplateText};
use crate::bank::written::values::ValueText;
use conditions::{plausible, require};
use fingerprint::fingerprint;
use names::Names;
use order::in_order;
use parts::parts;
pub use rounding_rule::ROUNDING_RULE;
use slips::slips;
use steps::steps;

/// Checks a template; everything wrong with it is noted.
pub(super) fn template(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    facts: &Facts,
) -> Checked<Template> {
    if written.id.is_id(checker, "a template") {
        written.id.expect_file_name(checker);
    }
    written.topic.is_id(checker, "a topic");
    if written.stem.len() < 2 {
        let what = format!("expected at least two wordings, found {}", written.stem.len());
        let help = "say the same in other words, so that a problem is not known by its face";
        checker.value(&written.stem, what, "only this", Some(help.to_owned()));
    }
    let mut names = Names::default();
    for unsound in left_out(written) {
        names.unsound.join(unsound);
    }
    let values = values(checker, written, &mut names, facts);
    let given = names.len();
    let mut working = steps(checker, written.working.as_ref(), &mut names);
    let mut methods = methods::methods(checker, written.methods.as_ref(), &working, &mut names);
    let require = require(checker, items(written.require.as_ref()), &names, given);
    let different = different(checker, items(written.different.as_ref()), &values, &names);
    let (parts, are_whole) = parts(checker, written, &names, &values, facts);
    methods::keep_needed(&mut methods, &parts);
    for working in working_and(&mut working, &mut methods) {
        rounding_rule::apply(working, &parts, &names);
    }
    check_size(checker, written, &values, &parts);
    let slips = slips(checker, written.slips.as_ref(), &names, given);
    let plausible = plausible(checker, items(written.plausible.as_ref()), &names);
    let batch = batch(checker, items(written.batch.as_ref()), &names);
    let drawing = written.drawing.as_ref().map(|text| drawing(checker, text, &names));
    let naming = naming::check(checker, written, (&names.all, &values), given, &names.unsound);
    let fingerprint = fingerprint(&checker.file.source.text, &values, &parts);
    let unsound = names.unsound.check().and(are_whole);
    let mut template = Template {
        id: written.id.to_string(),
        title: written.title.to_string(),
        objective: written.objective.meaning()?,
        topic: written.topic.to_string(),
        level: u8::try_from(written.level.meaning()?).unwrap_or(u8::MAX),
        convention: written.convention.meaning()?,
        minutes: written.minutes.meaning()?,
        about: written.about.trim().to_owned(),
        names: names.all,
        values,
        require,
        different,
        stems: written.stem.iter().map(ToString::to_string).collect(),
        working,
        methods,
        plausible,
        parts,
        slips,
        batch,
        drawing: drawing.transpose()?,
        sentences: BTreeMap::new(),
        file: checker.file.source.path.clone(),
        fingerprint,
    };
    // What makes a value or a part unsound may have been noted in another file.
    unsound?;
    checker.finish(())?;
    usage::check(checker, written, &template, &naming, given);
    template.sentences = texts::sentences(&template);
    checker.finish(template)
}

/// The names of the values and steps that could not be read.
fn left_out(written: &TemplateText) -> impl Iterator<Item = &Unsound> {
    let values = written.values.iter().map(|values| &values.unsound);
    values.chain(written.working.iter().map(|working| &working.unsound))
}

/// The items of a list that may be left out.
fn items<T, const LEAST: usize>(list: Option<&List<T, LEAST>>) -> &[T] {
    list.map_or(&[], |list| list)
}

fn values(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    names: &mut Names,
    facts: &Facts,
) -> Vec<Value> {
    let entries = written.values.as_ref().map_or(&[][..], |entries| entries);
    let ordered = in_order(checker, entries, names, |value: &ValueText| {
        let formula = value.is.iter().map(|is| is.as_str());
        formula.chain(value.around.iter().map(|around| around.as_str())).collect()
    });
    let whole = whole_cells(written);
    let mut values = Vec::new();
    for entry in ordered.entries {
        values.extend(values::value(checker, entry, names, (facts, &whole)));
    }
    if let Some((ring, noted)) = ordered.ring {
        for (name, text) in ring {
            values::add_anyway(name, text, names, facts, noted);
        }
    }
    values
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
fn whole_cells(written: &TemplateText) -> BTreeSet<String> {
    let parts = || written.parts.iter().map(|(_, part)| part);
    let together = parts().flat_map(|part| {
        let several = part.several_options.as_ref().and_then(|options| options.of.as_ref());
        let any =
            part.range.as_ref().filter(|range| range.any_source.is_some_and(|any| any.is_true));
        let written = part.written.as_ref().and_then(|written| written.of.as_ref());
        several.into_iter().chain(written).chain(any.map(|range| &range.of))
    });
    let mut whole: BTreeSet<String> = together.map(ToString::to_string).collect();
    for part in parts() {
        let one = part.one_option.iter();
        let cells = one.flat_map(|options| [&options.of, &options.which, &options.has]).flatten();
        for cell in cells.chain(part.short_text.iter().map(|text| &text.of)) {
            whole.remove(cell.as_str());
        }
    }
    let asks = parts().map(|part| part.ask.as_str());
    let texts: Vec<&str> = written.stem.iter().map(|stem| stem.as_str()).chain(asks).collect();
    // A list of what all sources say takes none of them alone.
    let takes_one =
        |text: &str, cell: &str| text.replace(&format!("{cell}_by_source"), "").contains(cell);
    whole.retain(|cell| !texts.iter().any(|text| takes_one(text, cell)));
    whole
}

/// Notes a template whose draws cannot be numbered.
fn check_size(
    checker: &mut Checker<'_>,
    written: &TemplateText,
    values: &[Value],
    parts: &[PartPlan],
) {
    let values = values.iter().map(|value| value.rule.possibilities());
    let all = values.chain(parts.iter().map(|part| part.wanted.ways()));
    let size = all.into_iter().try_fold(1_u128, |size, more| size.checked_mul(more?));
    if size.is_none() {
        let at = written.values.as_ref().map_or(Location::FILE, Located::location);
        checker.key(
            &at,
            "expected fewer than 2^128 draws, found more",
            "too many together",
            Some("draw fewer values, or take wider steps".to_owned()),
        );
    }
}

fn different(
    checker: &mut Checker<'_>,
    entries: &[List<NameText>],
    values: &[Value],
    names: &Names,
) -> Vec<(usize, usize)> {
    let is_pick = |value: &&Value| matches!(value.rule, ValueRule::Pick { .. });
    let mut pairs = Vec::new();
    for group in entries {
        let mut indices = Vec::new();
        for name in group.iter() {
            let is_named = |value: &Value| is_pick(&value) && value.name == **name;
            match values.iter().position(is_named) {
                Some(index) => indices.push(index),
                None if names.unsound.of(name).is_some() => {}
                None => {
                    let picks = values.iter().filter(is_pick);
                    checker.unknown(name, "a pick", name, picks.map(|value| value.name.as_str()));
                }
            }
        }
        if group.len() < 2 {
            let what = "expected at least two picks that must be different, found one";
            checker.value(group, what, "different from what?", None);
        }
        for (n, one) in indices.iter().enumerate() {
            pairs.extend(indices.iter().skip(n + 1).map(|other| (*one, *other)));
        }
    }
    pairs
}

fn batch(checker: &mut Checker<'_>, entries: &[BatchText], names: &Names) -> Vec<BatchRow> {
    let mut rows = Vec::new();
    for text in entries {
        let all = slot(checker, &text.all, names);
        let each = text.each.as_ref().map(|name| slot(checker, name, names)).transpose();
        let rounding = text.round.meaning();
        if let (Ok(all), Ok(each), Ok(rounding)) = (all, each, rounding) {
            rows.push(BatchRow { what: text.what.to_string(), each, all, rounding });
        }
    }
    rows
}

fn drawing(checker: &mut Checker<'_>, text: &DrawingText, names: &Names) -> Checked<DrawingPlan> {
    let mut each = |all: &[NameText]| -> Checked<Vec<usize>> {
        all.iter().map(|name| slot(checker, name, names)).collect()
    };
    let (displaced, drugs) = (each(&text.displaced), each(&text.drugs));
    let mould = slot(checker, &text.mould, names);
    let base = slot(checker, &text.base, names);
    Ok(DrawingPlan { mould: mould?, displaced: displaced?, drugs: drugs?, base: base? })
}

fn slot(checker: &mut Checker<'_>, name: &NameText, names: &Names) -> Checked<usize> {
    match names.find(name) {
        Some((slot, Shape::Number(_))) => Ok(slot),
        _ => Err(names.unknown(checker, name, "a step or a value")),
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
            ValueRule::Pick { options, .. } => options.get(option),
            _ => None,
        }
    }

    /// The largest number of marks a problem of the template gives.
    pub fn marks(&self) -> u32 {
        self.parts.iter().map(|part| part.marks).sum()
    }
}
