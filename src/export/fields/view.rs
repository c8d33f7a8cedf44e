//! The fields a layout reads, as `exports/layouts/README.md` lists them.
//!
//! What the contents of a sheet do not ask for is not among the fields at all: a layout of
//! someone's own cannot print the key on a question paper by mistake.

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use minijinja::{Error, ErrorKind, Value, context};

use crate::bank::{Cover, ROUNDING_RULE};
use crate::problem::{AnswerSpace, WorkedMethod, WorkedStep};

use crate::export::fields::lazy_fields::{Table, lazy_fields};
use crate::export::fields::pieces::{
    block, details, key, optional, slip, space, text, texts, worth,
};
use crate::export::layout::format::Format;
use crate::export::sheet::theory::rule;
use crate::export::writing::lines;
use crate::export::writing::picture::Picture;
use crate::export::{
    CAUTION, CandidateField, ComposeProblem, Contents, Entry, EntryPart, Options, PaperSize,
    Section, Sheet, TypeSize,
};

/// The fields of a sheet for a layout of the format.
pub(in crate::export) fn fields(
    sheet: &Sheet,
    options: &Options,
    format: &'static Format,
) -> Value {
    let maker = Arc::new(Maker {
        sheet: sheet.clone(),
        paper: options.paper,
        type_size: options.type_size,
        width: options.width,
        format,
        rules: OnceLock::new(),
    });
    let entries = (0..sheet.entries.len()).map(|n| maker.entry(n)).collect();
    lazy_fields(SHEET, SheetFields { maker, entries })
}

/// What the fields of a sheet are made of.
struct SheetFields {
    maker: Arc<Maker>,
    /// The fields of its entries.
    entries: Vec<Value>,
}

impl Deref for SheetFields {
    type Target = Sheet;

    fn deref(&self) -> &Sheet {
        &self.maker.sheet
    }
}

/// The fields of a sheet.
const SHEET: Table<SheetFields> = &[
    ("title", |of| text(&of.title)),
    ("note", |of| optional(of.note.as_deref())),
    ("details", |of| details(&of.details)),
    ("letterhead", |of| optional(of.front.letterhead.as_deref())),
    ("foot", |of| optional(of.front.foot.as_deref())),
    ("cover", |of| of.front.cover.as_ref().map_or_else(|| Value::from(""), cover)),
    ("mark", |of| optional(of.mark.as_deref())),
    ("square", |of| of.square.as_ref().map_or_else(|| Value::from(""), of.maker.format.square)),
    ("candidate", |of| candidate(&of.candidate)),
    ("contents", |of| {
        let Contents { questions, key, solutions } = of.contents;
        context! { questions, key, solutions }
    }),
    ("sections", |of| Value::from(sections(&of.maker.sheet.entries, &of.entries))),
    ("entries", |of| Value::from(of.entries.clone())),
    ("marks", |of| Value::from(of.marks())),
    ("sources", |of| if of.contents.solutions { details(&of.sources) } else { nothing() }),
    ("caution", |_| Value::from(CAUTION)),
    ("rounding_rule", |of| Value::from(if of.asks_numbers() { ROUNDING_RULE } else { "" })),
    ("paper", |of| Value::from(of.maker.paper.name())),
    ("points", |of| Value::from(of.maker.type_size.points())),
    ("width", |of| Value::from(of.maker.width.max(lines::NARROWEST))),
];

/// What a layout can go through and finds empty.
fn nothing() -> Value {
    Value::from(Vec::<Value>::new())
}

fn candidate(candidate: &CandidateField) -> Value {
    let (asked, number) = match candidate {
        CandidateField::None => (false, Value::from("")),
        CandidateField::Blank => (true, Value::from("")),
        CandidateField::Number(number) => (true, text(number)),
    };
    context! { asked, number }
}

/// The cover page; empty texts and lists where something is not wanted.
fn cover(cover: &Cover) -> Value {
    context! {
        institution => optional(cover.institution.as_deref()),
        rubric => texts(&cover.rubric),
        materials => texts(&cover.materials),
        declaration => optional(cover.declaration.as_deref()),
        sealed => if cover.sealed { DO_NOT_OPEN } else { "" },
    }
}

/// What a sealed paper says on its cover.
const DO_NOT_OPEN: &str = "Do not open this paper until you are told to.";

/// The entries under their sections; those before the first section come under none.
fn sections(entries: &[Arc<Entry>], fields: &[Value]) -> Vec<Value> {
    let mut groups: Vec<(Option<&Section>, Vec<Value>)> = Vec::new();
    for (entry, fields) in entries.iter().zip(fields) {
        match (&entry.section, groups.last_mut()) {
            (None, Some((_, group))) => group.push(fields.clone()),
            (section, _) => groups.push((section.as_ref(), vec![fields.clone()])),
        }
    }
    let group = |(section, entries): (Option<&Section>, Vec<Value>)| {
        context! {
            title => optional(section.map(|section| section.title.as_str())),
            note => optional(section.and_then(|section| section.note.as_deref())),
            entries,
        }
    };
    groups.into_iter().map(group).collect()
}

/// What the fields of an entry are made of.
struct EntryFields {
    maker: Arc<Maker>,
    /// Its place on the sheet, counted from 0.
    n: usize,
}

impl EntryFields {
    fn is_solved(&self) -> bool {
        self.maker.sheet.contents.solutions
    }

    fn methods(&self) -> Value {
        match self.other_methods() {
            Ok(methods) => methods.iter().map(|one| self.maker.method(one)).collect(),
            Err(why) => unshown(&why),
        }
    }
}

impl Deref for EntryFields {
    type Target = Entry;

    fn deref(&self) -> &Entry {
        &self.maker.sheet.entries[self.n]
    }
}

/// The fields of an entry.
const ENTRY: Table<EntryFields> = &[
    ("number", |of| Value::from(of.n + 1)),
    ("heading", |of| optional(of.heading.as_deref())),
    ("code", |of| optional(of.code.as_deref())),
    ("marks", |of| Value::from(of.marks())),
    ("worth", |of| worth(of.marks())),
    ("stem", |of| of.stem.iter().map(block).collect()),
    ("parts", |of| (0..of.parts.len()).map(|p| of.maker.part(of.n, p)).collect()),
    ("working", |of| {
        let steps = || of.maker.steps(&of.working, of.method.is_some());
        if of.is_solved() { steps() } else { nothing() }
    }),
    ("method", |of| optional(of.method.as_deref().filter(|_| of.is_solved()))),
    ("methods", |of| if of.is_solved() { of.methods() } else { nothing() }),
    ("agreement", |of| {
        let agreement = if of.is_solved() { of.agreement.as_deref() } else { None };
        optional(agreement)
    }),
    ("plausible", |of| {
        let said = if of.is_solved() { of.plausibility() } else { Ok(None) };
        said.map_or_else(|why| unshown(&why), optional)
    }),
    ("picture", |of| {
        let drawing = if of.is_solved() { of.drawing.as_ref() } else { None };
        match drawing.and_then(Picture::of) {
            Some(drawn) => of.maker.picture(of.n + 1, &drawn),
            None => Value::from(()),
        }
    }),
    ("slips", |of| {
        let slips = || of.slips.iter().map(|each| slip(of, each)).collect();
        if of.is_solved() { slips() } else { nothing() }
    }),
];

/// What the fields of a part are made of.
struct PartFields {
    maker: Arc<Maker>,
    /// The place of its entry on the sheet, counted from 0.
    n: usize,
    /// Its place in the entry.
    p: usize,
}

impl PartFields {
    fn entry(&self) -> &Entry {
        &self.maker.sheet.entries[self.n]
    }

    fn label(&self) -> String {
        label(self.entry(), self.n, self.p)
    }
}

impl Deref for PartFields {
    type Target = EntryPart;

    fn deref(&self) -> &EntryPart {
        &self.entry().parts[self.p]
    }
}

/// The fields of a part.
const PART: Table<PartFields> = &[
    ("id", |of| text(&of.id)),
    ("letter", |of| Value::from(of.entry().part_letter(of.p))),
    ("space", |of| {
        let label = of.label();
        let first = of.maker.told_first(&of.space).filter(|first| *first != label);
        space(&of.space, first.unwrap_or_default())
    }),
    ("label", |of| Value::from(of.label())),
    ("ask", |of| text(&of.ask)),
    ("marks", |of| Value::from(of.marks)),
    ("worth", |of| worth(of.marks)),
    ("key", |of| {
        let is_asked_for = of.maker.sheet.contents.answers();
        if is_asked_for { key(&of.key) } else { Value::from(()) }
    }),
];

/// What is needed to make the fields of a sheet.
struct Maker {
    sheet: Sheet,
    paper: PaperSize,
    type_size: TypeSize,
    /// The letters of a line.
    width: usize,
    format: &'static Format,
    /// The rules of how wrong letters cost marks, each with the label of the part that tells it first.
    rules: OnceLock<BTreeMap<&'static str, String>>,
}

impl Maker {
    /// The label of the first part with a space of that rule.
    fn told_first(&self, space: &AnswerSpace) -> Option<&str> {
        let rules = self.rules.get_or_init(|| {
            let mut rules = BTreeMap::new();
            for (n, entry) in self.sheet.entries.iter().enumerate() {
                for (p, part) in entry.parts.iter().enumerate() {
                    rules.entry(rule(&part.space)).or_insert_with(|| label(entry, n, p));
                }
            }
            rules
        });
        rules.get(rule(space)).map(String::as_str)
    }

    fn entry(self: &Arc<Self>, n: usize) -> Value {
        lazy_fields(ENTRY, EntryFields { maker: Arc::clone(self), n })
    }

    fn part(self: &Arc<Self>, n: usize, p: usize) -> Value {
        lazy_fields(PART, PartFields { maker: Arc::clone(self), n, p })
    }

    fn method(&self, method: &WorkedMethod) -> Value {
        context! { title => text(&method.title), working => self.steps(&method.steps, true) }
    }

    /// The steps, where there are other methods in one of two columns.
    fn steps(&self, steps: &[WorkedStep], columns: bool) -> Value {
        steps.iter().enumerate().map(|(s, step)| self.step(s, step, columns)).collect()
    }

    /// How many letters of a formula have room in a line: about 80 at 11 points beside the name of the
    /// result, and in one of two columns 18, or 36 on a line of its own.
    fn room(&self, columns: bool, own_line: bool) -> usize {
        let letters = match (columns, own_line) {
            (false, _) => 80,
            (true, false) => 18,
            (true, true) => 36,
        };
        11 * letters / self.type_size.points() as usize
    }

    fn step(&self, s: usize, step: &WorkedStep, columns: bool) -> Value {
        // A rule without names would be said twice.
        let numbered = if step.numbered == step.named {
            Value::from("")
        } else {
            (self.format.formula)(&step.numbered, self.room(columns, true))
        };
        context! {
            number => s + 1,
            say => text(&step.say),
            label => text(&step.label),
            named => (self.format.formula)(&step.named, self.room(columns, false)),
            numbered,
            sign => if step.rounded { "≈" } else { "=" },
            result => text(&step.result),
        }
    }

    fn picture(&self, number: usize, picture: &Picture<'_>) -> Value {
        let bar_width = self.width.clamp(lines::NARROWEST, 64) - 6;
        let bars: Vec<Value> = picture
            .bars(bar_width)
            .iter()
            .map(|bar| {
                context! { label => text(&bar.label), mass => &bar.mass, bar => &bar.characters }
            })
            .collect();
        context! {
            text => text(&picture.sentence()),
            drawn => (self.format.drawn)(picture, number),
            bars,
        }
    }
}

/// The number of a part as it is spoken of: `3` or `3 (b)`.
fn label(entry: &Entry, n: usize, p: usize) -> String {
    let letter = entry.part_letter(p);
    if letter.is_empty() { format!("{}", n + 1) } else { format!("{} ({letter})", n + 1) }
}

/// What ends the filling of a layout, for a piece that cannot be shown.
fn unshown(why: &ComposeProblem) -> Value {
    Value::from(Error::new(ErrorKind::InvalidOperation, why.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::layout::fields::FIELDS;

    #[test]
    fn whoever_mistypes_a_field_is_told_its_name() {
        fn names<T>(table: Table<T>) -> impl Iterator<Item = &'static str> {
            table.iter().map(|(name, _)| *name)
        }
        for name in names(SHEET).chain(names(ENTRY)).chain(names(PART)) {
            assert!(FIELDS.contains(&name), "`{name}`");
        }
    }
}
