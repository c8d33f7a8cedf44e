//! The fields a layout reads, as `exports/layouts/README.md` lists them.
//!
//! What the contents of a sheet do not ask for is not among the fields at all: a layout of
//! someone's own cannot print the key on a question paper by mistake.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use minijinja::{Error, ErrorKind, Value, context};

use crate::bank::{Cover, ROUNDING_RULE};
use crate::problem::{AnswerSpace, WorkedMethod, WorkedStep};

use crate::export::fields::lazy_fields::lazy_fields;
use crate::export::fields::pieces::{block, details, key, optional, slip, space, text, texts};
use crate::export::layout::format::Format;
use crate::export::sheet::theory::rule;
use crate::export::writing::lines;
use crate::export::writing::picture::Picture;
use crate::export::{
    CAUTION, CandidateField, ComposeProblem, Contents, Entry, Options, PaperSize, Section, Sheet,
    TypeSize,
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
    let entries: Vec<Value> = (0..sheet.entries.len()).map(|n| maker.entry(n)).collect();
    lazy_fields(SHEET, move |field| match field {
        "entries" => Value::from(entries.clone()),
        "sections" => Value::from(sections(&maker.sheet.entries, &entries)),
        _ => maker.head(field),
    })
}

/// The fields of a sheet.
const SHEET: &[&str] = &[
    "title",
    "note",
    "details",
    "letterhead",
    "foot",
    "cover",
    "mark",
    "square",
    "candidate",
    "contents",
    "sections",
    "entries",
    "marks",
    "sources",
    "caution",
    "rounding_rule",
    "paper",
    "points",
    "width",
];

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

/// The fields of an entry.
const ENTRY: &[&str] = &[
    "number",
    "heading",
    "code",
    "marks",
    "stem",
    "parts",
    "working",
    "method",
    "methods",
    "agreement",
    "plausible",
    "picture",
    "slips",
];

/// The fields of a part.
const PART: &[&str] = &["id", "letter", "space", "label", "ask", "marks", "key"];

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
    /// A field of the sheet that is not about its entries.
    fn head(&self, field: &str) -> Value {
        let Self { sheet, format, .. } = self;
        match field {
            "title" => text(&sheet.title),
            "note" => optional(sheet.note.as_deref()),
            "details" => details(&sheet.details),
            "letterhead" => optional(sheet.front.letterhead.as_deref()),
            "foot" => optional(sheet.front.foot.as_deref()),
            "cover" => sheet.front.cover.as_ref().map_or_else(|| Value::from(""), cover),
            "mark" => optional(sheet.mark.as_deref()),
            "square" => sheet.square.as_ref().map_or_else(|| Value::from(""), format.square),
            "candidate" => candidate(&sheet.candidate),
            "contents" => {
                let Contents { questions, key, solutions } = sheet.contents;
                context! { questions, key, solutions }
            }
            "marks" => Value::from(sheet.marks()),
            "sources" if sheet.contents.solutions => details(&sheet.sources),
            "caution" => Value::from(CAUTION),
            "rounding_rule" => Value::from(if sheet.asks_numbers() { ROUNDING_RULE } else { "" }),
            "paper" => Value::from(self.paper.name()),
            "points" => Value::from(self.type_size.points()),
            "width" => Value::from(self.width.max(lines::NARROWEST)),
            _ => Value::from(Vec::<Value>::new()),
        }
    }

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
        let maker = Arc::clone(self);
        lazy_fields(ENTRY, move |field| maker.entry_field(n, field))
    }

    fn entry_field(self: &Arc<Self>, n: usize, field: &str) -> Value {
        let (entry, solved) = (&self.sheet.entries[n], self.sheet.contents.solutions);
        match field {
            "number" => Value::from(n + 1),
            "heading" => optional(entry.heading.as_deref()),
            "code" => optional(entry.code.as_deref()),
            "marks" => Value::from(entry.marks()),
            "stem" => entry.stem.iter().map(block).collect(),
            "parts" => (0..entry.parts.len()).map(|p| self.part(n, p)).collect(),
            "working" if solved => self.steps(&entry.working, entry.method.is_some()),
            "method" => optional(entry.method.as_deref().filter(|_| solved)),
            "methods" if solved => match entry.other_methods() {
                Ok(methods) => methods.iter().map(|one| self.method(one)).collect(),
                Err(why) => unshown(&why),
            },
            "agreement" => optional(entry.agreement.as_deref().filter(|_| solved)),
            "plausible" if solved => {
                entry.plausibility().map_or_else(|why| unshown(&why), optional)
            }
            "plausible" => optional(None),
            "picture" => match entry.drawing.as_ref().filter(|_| solved).and_then(Picture::of) {
                Some(drawn) => self.picture(n + 1, &drawn),
                None => Value::from(()),
            },
            "slips" if solved => entry.slips.iter().map(|each| slip(entry, each)).collect(),
            _ => Value::from(Vec::<Value>::new()),
        }
    }

    fn part(self: &Arc<Self>, n: usize, p: usize) -> Value {
        let maker = Arc::clone(self);
        lazy_fields(PART, move |field| maker.part_field(n, p, field))
    }

    fn part_field(&self, n: usize, p: usize, field: &str) -> Value {
        let entry = &self.sheet.entries[n];
        let part = &entry.parts[p];
        match field {
            "id" => text(&part.id),
            "letter" => Value::from(entry.part_letter(p)),
            "label" => Value::from(label(entry, n, p)),
            "space" => {
                let label = label(entry, n, p);
                let first = self.told_first(&part.space).filter(|first| *first != label);
                space(&part.space, first.unwrap_or_default())
            }
            "ask" => text(&part.ask),
            "marks" => Value::from(part.marks),
            "key" if self.sheet.contents.answers() => key(&part.key),
            _ => Value::from(()),
        }
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
