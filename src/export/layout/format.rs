//! A laid-out format: what sets it apart, and how a document is filled into a layout of it.

use std::borrow::Cow;
use std::sync::OnceLock;

use minijinja::functions::range;
use minijinja::syntax::SyntaxConfig;
use minijinja::tests::{is_safe, is_string};
use minijinja::value::ValueKind;
use minijinja::{
    AutoEscape, Environment, Error, ErrorKind, Output, State, UndefinedBehavior, Value, filters,
};

use crate::formula::Math;

use crate::export::Square;
use crate::export::layout::mistakes::problem;
use crate::export::layout::{DocumentKind, LayoutProblem, functions};
use crate::export::writing::escape;
use crate::export::writing::picture::Picture;

/// What sets one laid-out format apart from another.
#[derive(Debug)]
pub(in crate::export) struct Format {
    /// The word a person asks for it by.
    pub(in crate::export) name: &'static str,
    /// What it is good for, in one line.
    pub(in crate::export) about: &'static str,
    /// The ending of a file's name.
    pub(in crate::export) extension: &'static str,
    /// The media type of the bytes.
    pub(in crate::export) media: &'static str,
    /// Its layouts, each by its file name, which begins with what it is of; the first is that of sheets.
    pub(in crate::export) layouts: &'static [(&'static str, &'static str)],
    /// How text is kept from being taken for markup.
    pub(in crate::export) escape: for<'a> fn(&'a str) -> Cow<'a, str>,
    /// A formula in the format; so many letters have room in a line.
    pub(in crate::export) formula: fn(&Math, usize) -> Value,
    /// A picture in the format, for the question of that number.
    pub(in crate::export) drawn: fn(&Picture<'_>, usize) -> Value,
    /// The code of a paper for a camera.
    pub(in crate::export) square: fn(&Square) -> Value,
    /// What somebody has written, every blank and every line of it.
    pub(in crate::export) written: fn(&str) -> Value,
    /// A plot, as SVG and in words.
    pub(in crate::export) plot: fn(&str, &str) -> Value,
    /// Its layouts compiled, once they are used.
    pub(in crate::export) compiled: Compiled,
}

/// An environment for each kind of document.
type Compiled = [OnceLock<Result<Environment<'static>, LayoutProblem>>; DocumentKind::ALL.len()];

/// Layouts that nobody has used yet.
pub(in crate::export) const fn not_compiled() -> Compiled {
    [const { OnceLock::new() }; DocumentKind::ALL.len()]
}

impl Format {
    /// The layouts of a kind, the bundled one first.
    pub(in crate::export) fn layouts_of(
        &self,
        kind: DocumentKind,
    ) -> impl Iterator<Item = &'static (&'static str, &'static str)> {
        // A paper is a sheet with a layout of its own.
        let also = if kind == DocumentKind::Sheet { "paper" } else { kind.name() };
        let is_of = move |name: &str| name.starts_with(kind.name()) || name.starts_with(also);
        self.layouts.iter().filter(move |(name, _)| is_of(name))
    }

    /// What a document of that kind is filled into.
    pub(in crate::export) fn environment(
        &'static self,
        kind: DocumentKind,
    ) -> Result<&'static Environment<'static>, LayoutProblem> {
        let prepare = || self.prepared(spare(), kind);
        self.compiled[kind as usize].get_or_init(prepare).as_ref().map_err(Clone::clone)
    }

    /// An environment that can do what is usual, made ready for documents of a kind.
    pub(in crate::export) fn prepared(
        &'static self,
        mut environment: Environment<'static>,
        kind: DocumentKind,
    ) -> Result<Environment<'static>, LayoutProblem> {
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_auto_escape_callback(|_| AutoEscape::Custom(self.name.into()));
        environment.set_formatter(|out, state, value| self.write(out, state, value));
        environment.set_syntax(syntax());
        environment.add_filter("hang", functions::hang);
        environment.add_filter("margin", functions::margin);
        environment.add_filter("longest", functions::longest);
        environment.add_filter("css", |text: String| Value::from_safe_string(escape::css(&text)));
        environment.add_filter("quoted", |text: String| {
            Value::from_safe_string(escape::typst_quoted(&text))
        });
        environment.add_function("columns", functions::columns);
        for (name, text) in self.layouts_of(kind).chain(self.layouts_named("pages")) {
            environment
                .add_template(name, text)
                .map_err(|error| problem(&error, name, |_| Some((*text).to_owned())))?;
        }
        Ok(environment)
    }

    /// The layouts whose names begin so.
    fn layouts_named(
        &self,
        begin: &'static str,
    ) -> impl Iterator<Item = &'static (&'static str, &'static str)> {
        self.layouts.iter().filter(move |(name, _)| name.starts_with(begin))
    }

    /// Writes one value into a sheet, escaped unless it was made by the format itself.
    fn write(
        &self,
        out: &mut Output<'_>,
        state: &State<'_, '_>,
        value: &Value,
    ) -> Result<(), Error> {
        // Nearly every value is a text.
        if let Some(text) = value.as_str() {
            // A short text is paid for by the step that writes it.
            if text.len() > 64 {
                functions::spend(state, text.len())?;
            }
            let trusted = value.is_safe() || matches!(state.auto_escape(), AutoEscape::None);
            let text = if trusted { Cow::Borrowed(text) } else { (self.escape)(text) };
            return Ok(out.write_str(&text)?);
        }
        if value.is_none() {
            return Ok(());
        }
        if value.kind() == ValueKind::Number && !value.is_integer() {
            // Binary fractions do not belong on a sheet: 0.1 + 0.2 would print seventeen digits.
            return Err(Error::new(
                ErrorKind::InvalidOperation,
                "a layout writes whole numbers and texts, not decimal numbers",
            ));
        }
        if matches!(value.kind(), ValueKind::Seq | ValueKind::Map | ValueKind::Iterable) {
            return Err(Error::new(
                ErrorKind::InvalidOperation,
                "a layout writes whole numbers and texts, not a list or a group of fields",
            ));
        }
        Ok(write!(out, "{value}")?)
    }
}

/// What a layout of someone's own can do: what the library offers, save what is too much.
pub(in crate::export) fn rich() -> Environment<'static> {
    let mut environment = Environment::new();
    // It could nest lists deeper than can be taken apart again.
    environment.remove_global("namespace");
    environment.remove_global("dict");
    environment.remove_global("debug");
    // These make lists of lists.
    for filter in
        ["batch", "chain", "dictsort", "groupby", "items", "map", "pprint", "slice", "zip"]
    {
        environment.remove_filter(filter);
    }
    // These walk through a whole text without fuel.
    for test in ["lower", "upper"] {
        environment.remove_test(test);
    }
    environment
}

/// What the layouts that come with the program can do.
fn spare() -> Environment<'static> {
    let mut environment = Environment::empty();
    environment.add_filter("join", filters::join);
    environment.add_filter("length", filters::length);
    environment.add_filter("list", filters::list);
    environment.add_filter("max", filters::max);
    environment.add_filter("min", filters::min);
    environment.add_filter("select", filters::select);
    environment.add_filter("selectattr", filters::selectattr);
    environment.add_function("range", range);
    environment.add_test("safe", is_safe);
    environment.add_test("string", is_string);
    environment
}

/// Tags on lines of their own leave no trace in the sheet.
fn syntax() -> SyntaxConfig {
    SyntaxConfig::builder()
        .trim_blocks(true)
        .lstrip_blocks(true)
        .keep_trailing_newline(true)
        .build()
        .unwrap_or_default()
}
