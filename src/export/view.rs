//! The fields a layout reads, as `exports/layouts/README.md` lists them.
//!
//! What the contents of a sheet do not ask for is not among the fields at all: a layout of
//! someone's own cannot print the key on a question paper by mistake.

use std::collections::BTreeMap;

use minijinja::{Value, context};

use crate::bank::{Cover, ROUNDING_RULE};
use crate::problem::{Block, WorkedMethod, WorkedStep, letter};

use super::escape::plain;
use super::format::Format;
use super::picture::Picture;
use super::theory::rule;
use super::{
    AnswerSpace, CAUTION, Candidate, Contents, Entry, EntryPart, EntrySlip, Options, PartKey,
    Section, Sheet, lines,
};

/// The fields of a sheet for a layout of the format.
pub(super) fn fields(sheet: &Sheet, options: &Options, format: &Format) -> Value {
    let maker = Maker { contents: sheet.contents, options, format, rules: rules(&sheet.entries) };
    let entries: Vec<Value> =
        sheet.entries.iter().enumerate().map(|(n, entry)| maker.entry(n, entry)).collect();
    let details: Vec<Value> = sheet
        .details
        .iter()
        .map(|detail| context! { label => text(&detail.label), value => text(&detail.value) })
        .collect();
    let (asked, number) = match &sheet.candidate {
        Candidate::None => (false, Value::from("")),
        Candidate::Blank => (true, Value::from("")),
        Candidate::Number(number) => (true, text(number)),
    };
    context! {
        title => text(&sheet.title),
        note => optional(sheet.note.as_deref()),
        details,
        letterhead => optional(sheet.front.letterhead.as_deref()),
        foot => optional(sheet.front.foot.as_deref()),
        cover => sheet.front.cover.as_ref().map_or_else(|| Value::from(""), cover),
        mark => optional(sheet.mark.as_deref()),
        square => sheet.square.as_ref().map_or_else(|| Value::from(""), format.square),
        candidate => context! { asked, number },
        contents => context! {
            questions => sheet.contents.questions,
            key => sheet.contents.key,
            solutions => sheet.contents.solutions,
        },
        sections => sections(&sheet.entries, &entries),
        entries => entries,
        marks => sheet.marks(),
        sources => sources(sheet),
        caution => CAUTION,
        rounding_rule => if sheet.asks_numbers() { ROUNDING_RULE } else { "" },
        paper => options.paper.name(),
        points => options.type_size.points(),
        width => options.width.max(lines::NARROWEST),
    }
}

/// The cover page; empty texts and lists where something is not wanted.
fn cover(cover: &Cover) -> Value {
    let texts = |all: &[String]| all.iter().map(|it| text(it)).collect::<Vec<Value>>();
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

/// The sources, where answers are shown.
fn sources(sheet: &Sheet) -> Vec<Value> {
    let sources = sheet.sources.iter().filter(|_| sheet.contents.solutions);
    sources
        .map(|source| context! { label => text(&source.label), value => text(&source.value) })
        .collect()
}

/// The entries under their sections; those before the first section come under none.
fn sections(entries: &[Entry], fields: &[Value]) -> Vec<Value> {
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

/// What is needed to make the fields of one entry.
struct Maker<'a> {
    contents: Contents,
    options: &'a Options,
    format: &'a Format,
    /// The rules of how wrong letters cost marks, each with the part that tells it first.
    rules: BTreeMap<&'static str, String>,
}

/// The rules on a sheet, each with the label of the part that tells it first.
fn rules(entries: &[Entry]) -> BTreeMap<&'static str, String> {
    let mut rules = BTreeMap::new();
    for (n, entry) in entries.iter().enumerate() {
        for (p, part) in entry.parts.iter().enumerate() {
            rules.entry(rule(&part.space)).or_insert_with(|| label(entry, n, p));
        }
    }
    rules
}

impl Maker<'_> {
    fn entry(&self, n: usize, entry: &Entry) -> Value {
        let number = n + 1;
        let parts: Vec<Value> =
            entry.parts.iter().enumerate().map(|(p, part)| self.part(entry, n, p, part)).collect();
        let mut working: Vec<Value> = Vec::new();
        let mut methods: Vec<Value> = Vec::new();
        let mut slips: Vec<Value> = Vec::new();
        let mut picture = Value::from(());
        if self.contents.solutions {
            let columns = !entry.methods.is_empty();
            working = self.steps(&entry.working, columns);
            methods = entry.methods.iter().map(|one| self.method(one)).collect();
            slips = entry.slips.iter().map(|each| slip(entry, each)).collect();
            if let Some(drawn) = entry.drawing.as_ref().and_then(Picture::of) {
                picture = self.picture(number, &drawn);
            }
        }
        context! {
            number,
            heading => optional(entry.heading.as_deref()),
            code => optional(entry.code.as_deref()),
            marks => entry.marks(),
            stem => entry.stem.iter().map(block).collect::<Vec<_>>(),
            parts,
            working,
            method => optional(entry.method.as_deref().filter(|_| self.contents.solutions)),
            methods,
            agreement => optional(entry.agreement.as_deref().filter(|_| self.contents.solutions)),
            plausible => optional(entry.plausible.as_deref().filter(|_| self.contents.solutions)),
            picture,
            slips,
        }
    }

    fn part(&self, entry: &Entry, n: usize, p: usize, part: &EntryPart) -> Value {
        let key = if self.contents.answers() { key(&part.key) } else { Value::from(()) };
        let label = label(entry, n, p);
        let first = self.rules.get(rule(&part.space)).filter(|first| **first != label);
        context! {
            id => text(&part.id),
            letter => entry.part_letter(p),
            space => space(&part.space, first.map_or("", String::as_str)),
            label,
            ask => text(&part.ask),
            marks => part.marks,
            key,
        }
    }

    fn method(&self, method: &WorkedMethod) -> Value {
        context! { title => text(&method.title), working => self.steps(&method.steps, true) }
    }

    /// The steps, where there are other methods in one of two columns.
    fn steps(&self, steps: &[WorkedStep], columns: bool) -> Vec<Value> {
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
        11 * letters / self.options.type_size.points() as usize
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
        let bar_width = self.options.width.clamp(lines::NARROWEST, 64) - 6;
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

/// A block of a stem.
pub(super) fn block(block: &Block) -> Value {
    match block {
        Block::Paragraph(paragraph) => context! { kind => "paragraph", text => text(paragraph) },
        Block::List(items) => context! { kind => "list", items => texts(items) },
        Block::Table { head, rows } => context! {
            kind => "table",
            head => texts(head),
            rows => rows.iter().map(|row| texts(row)).collect::<Vec<_>>(),
        },
    }
}

/// The space of a part; `told` is the part that tells the same rule first.
fn space(space: &AnswerSpace, told: &str) -> Value {
    match space {
        AnswerSpace::Number { unit, rounding } => {
            context! { kind => "number", unit => text(unit), rounding => text(rounding) }
        }
        AnswerSpace::Options { options, multiple } => {
            context! { kind => "options", multiple, options => lettered(options), rule => rule(space), told }
        }
        AnswerSpace::Match { left, right, again } => context! {
            kind => "match",
            again,
            left => left
                .iter()
                .enumerate()
                .map(|(n, each)| context! { number => n + 1, text => text(each) })
                .collect::<Vec<_>>(),
            right => lettered(right),
        },
        AnswerSpace::Order { items } => {
            context! { kind => "order", items => lettered(items), rule => rule(space), told }
        }
        AnswerSpace::Lines { count } => context! { kind => "lines", count },
        AnswerSpace::Judgement { reasons, with_reason } => {
            context! { kind => "judgement", reasons => lettered(reasons), with_reason }
        }
        AnswerSpace::Range { unit } => context! { kind => "range", unit => text(unit) },
        AnswerSpace::Text => context! { kind => "text" },
    }
}

fn key(key: &PartKey) -> Value {
    let scheme: Vec<Value> = key
        .scheme
        .iter()
        .map(|line| {
            context! { kind => line.kind.name(), marks => line.marks, what => text(&line.what) }
        })
        .collect();
    let accepted = key.accepted.as_ref().map(super::Accepted::text);
    context! {
        answer => text(&key.answer),
        accepted => optional(accepted.as_deref()),
        scheme,
        notes => texts(&key.notes),
    }
}

fn slip(entry: &Entry, slip: &EntrySlip) -> Value {
    let answers: Vec<Value> = slip
        .answers
        .iter()
        .map(|each| {
            context! {
                letter => entry.part_letter(each.part),
                answer => text(&each.answer),
                marks => each.marks,
            }
        })
        .collect();
    context! { id => text(&slip.id), say => text(&slip.say), answers }
}

/// The number of a part as it is spoken of: `3` or `3 (b)`.
fn label(entry: &Entry, n: usize, p: usize) -> String {
    let letter = entry.part_letter(p);
    if letter.is_empty() { format!("{}", n + 1) } else { format!("{} ({letter})", n + 1) }
}

fn lettered(items: &[String]) -> Vec<Value> {
    items
        .iter()
        .enumerate()
        .map(|(n, each)| context! { letter => letter(n, 'A'), text => text(each) })
        .collect()
}

/// Texts for a layout.
pub(super) fn texts(items: &[String]) -> Vec<Value> {
    items.iter().map(|each| text(each)).collect()
}

/// A text for a layout.
pub(super) fn text(text: &str) -> Value {
    Value::from(plain(text))
}

/// The text, or an empty one, which counts as false in a layout.
pub(super) fn optional(text: Option<&str>) -> Value {
    Value::from(plain(text.unwrap_or_default()))
}
