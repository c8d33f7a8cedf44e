//! Layouts: the minijinja templates that sheets are filled into.
//!
//! Each format compiles its own layout once and keeps it. A layout of someone's own is compiled
//! once too, as a [`Layout`], and may extend or include the format's own by its file name.

use std::fmt;
use std::sync::{Arc, OnceLock};

use minijinja::syntax::SyntaxConfig;
use minijinja::value::ValueKind;
use minijinja::{
    AutoEscape, Environment, Error, ErrorKind, Output, State, UndefinedBehavior, Value,
};

use crate::bank::{Lists, forbidden, too_much};
use crate::formula::Math;

use super::mistakes::{OWN, problem};
use super::picture::Picture;
use super::{
    BenchDocument, CAUTION, ExportError, Exporter, LayoutProblem, Options, Sheet, Square, blocks,
    escape, functions, view,
};

/// A layout for one format, compiled and ready to be used for any number of sheets.
#[derive(Clone, Debug)]
pub struct Layout {
    format: &'static Format,
    environments: Arc<Fuelled>,
    name: String,
    piece: bool,
    #[cfg(feature = "pdf")]
    typesetter: super::Typesetter,
}

impl Layout {
    /// The same with another typesetter, as one that bounds what the markup may take.
    #[cfg(feature = "pdf")]
    #[must_use]
    pub fn set_by(self, typesetter: super::Typesetter) -> Self {
        Self { typesetter, ..self }
    }

    /// What sets its markup in pages.
    #[cfg(feature = "pdf")]
    pub(super) fn typesetter(&self) -> super::Typesetter {
        self.typesetter
    }

    /// The same as a piece of something that says the caution elsewhere, as practice does.
    #[must_use]
    pub fn as_piece(self) -> Self {
        Self { piece: true, ..self }
    }

    /// The layout, as its file is called.
    pub fn name(&self) -> &str {
        &self.name
    }
}

/// What sets one laid-out format apart from another.
#[derive(Debug)]
pub(super) struct Format {
    /// The word a person asks for it by.
    pub(super) name: &'static str,
    /// What it is good for, in one line.
    pub(super) about: &'static str,
    /// The ending of a file's name.
    pub(super) extension: &'static str,
    /// The media type of the bytes.
    pub(super) media: &'static str,
    /// The file name of its layout.
    pub(super) file: &'static str,
    /// Its layout.
    pub(super) source: &'static str,
    /// How text is kept from being taken for markup.
    pub(super) escape: fn(&mut String, &str),
    /// A formula in the format; so many letters have room in a line.
    pub(super) formula: fn(&Math, usize) -> Value,
    /// A picture in the format, for the question of that number.
    pub(super) drawn: fn(&Picture<'_>, usize) -> Value,
    /// The code of a paper for a camera.
    pub(super) square: fn(&Square) -> Value,
    /// The layout compiled, once it is used.
    pub(super) compiled: OnceLock<Result<Environment<'static>, LayoutProblem>>,
}

/// An exporter that fills a sheet into the layout of its format; all of them work alike.
pub(super) trait LaidOut {
    /// What sets it apart.
    fn format(&self) -> &'static Format;

    /// A document for the bench, which has no layout.
    fn bench(&self, document: &BenchDocument, options: &Options) -> String;
}

impl<T: LaidOut + fmt::Debug + Sync> Exporter for T {
    fn name(&self) -> &'static str {
        self.format().name
    }

    fn about(&self) -> &'static str {
        self.format().about
    }

    fn extension(&self) -> &'static str {
        self.format().extension
    }

    fn media(&self) -> &'static str {
        self.format().media
    }

    fn bundled_layout(&self) -> Option<(&'static str, &'static str)> {
        Some((self.format().file, self.format().source))
    }

    fn layout(&self, name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        self.format().layout(name, text)
    }

    fn export(&self, sheet: &Sheet, options: &Options) -> Result<Vec<u8>, ExportError> {
        self.format().render(sheet, options)
    }

    fn export_bench(
        &self,
        document: &BenchDocument,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        if options.layout.is_some() {
            return Err(ExportError::NoLayouts(self.format().name));
        }
        Ok(self.bench(document, options).into_bytes())
    }
}

/// The layout of a candidate's paper as a web page, which extends that of sheets.
pub(super) const PAPER: (&str, &str) =
    ("paper.html.jinja", include_str!("../../exports/layouts/paper.html.jinja"));

/// Far above any sheet, far below a hang: a step of the layout burns one, and so does a byte of a
/// longer text that is written. What is only made burns one for 64 bytes, so that no sheet takes more
/// than some hundred megabytes. A paper of twenty questions with solutions needs less than a million.
const FUEL: u64 = 5_000_000;

/// What each question of a sheet adds to that.
const FUEL_OF_A_QUESTION: u64 = 200_000;

/// A layout of someone's own with as much fuel as a sheet of some number of questions may burn.
///
/// The layouts that come with the program end by themselves, and counting steps takes time.
#[derive(Debug)]
struct Fuelled {
    compiled: Environment<'static>,
    /// The same with fuel for 1, 2, 4, ... questions, made when it is first used.
    of_doubled: [OnceLock<Environment<'static>>; 24],
}

impl Fuelled {
    fn new(compiled: Environment<'static>) -> Self {
        Self { compiled, of_doubled: Default::default() }
    }

    /// That for a sheet of so many questions.
    fn of(&self, questions: usize) -> &Environment<'static> {
        let doubled = questions.max(1).next_power_of_two().trailing_zeros() as usize;
        let doubled = doubled.min(self.of_doubled.len() - 1);
        self.of_doubled[doubled].get_or_init(|| {
            let mut environment = self.compiled.clone();
            environment.set_fuel(Some(FUEL + (FUEL_OF_A_QUESTION << doubled)));
            environment
        })
    }
}

impl Format {
    /// Compiles a layout of someone's own.
    pub(super) fn layout(&'static self, name: &str, text: &str) -> Result<Layout, LayoutProblem> {
        let mut environment = self.environment()?.clone();
        if let Some(found) = too_much(text).or_else(|| forbidden(text, Lists::UsedAtOnce)) {
            let before = text.get(..found.range.start).unwrap_or_default();
            let last = before.rsplit('\n').next().unwrap_or_default();
            return Err(LayoutProblem {
                name: name.to_owned(),
                place: Some((before.matches('\n').count() + 1, last.chars().count() + 1)),
                what: found.what,
                help: found.help.to_owned(),
            });
        }
        environment
            .add_template_owned(OWN, text.to_owned())
            .map_err(|error| problem(&error, name, |_| Some(text.to_owned())))?;
        if let Some(unknown) = blocks::unknown(text, self.sources()) {
            return Err(LayoutProblem { name: name.to_owned(), ..unknown });
        }
        Ok(Layout {
            format: self,
            environments: Arc::new(Fuelled::new(environment)),
            name: name.to_owned(),
            piece: false,
            #[cfg(feature = "pdf")]
            typesetter: super::typeset::typeset,
        })
    }

    /// Fills a sheet into the layout of the options, or the format's own.
    pub(super) fn render(
        &'static self,
        sheet: &Sheet,
        options: &Options,
    ) -> Result<Vec<u8>, ExportError> {
        let (environment, template, name) = match &options.layout {
            None => (self.environment()?, self.file, self.file),
            Some(layout) if layout.format.name == self.name => {
                (layout.environments.of(sheet.entries.len()), OWN, layout.name.as_str())
            }
            Some(layout) => {
                let layout = layout.format.name;
                return Err(ExportError::OtherFormat { layout, asked: self.name });
            }
        };
        let source = |template: &str| {
            environment.get_template(template).ok().map(|found| found.source().to_owned())
        };
        environment
            .get_template(template)
            .and_then(|template| template.render(view::fields(sheet, options, self)))
            .map_err(|error| problem(&error, name, source).into())
            .and_then(|page| {
                let whole = options.layout.as_ref().is_some_and(|layout| !layout.piece);
                if whole && !self.cautions(&page) {
                    Err(uncautioned(name).into())
                } else {
                    Ok(page)
                }
            })
            .map(String::into_bytes)
    }

    /// Whether a page by a layout of someone's own says the caution, however its lines are broken.
    fn cautions(&self, page: &str) -> bool {
        let mut caution = String::new();
        (self.escape)(&mut caution, CAUTION);
        let plain = |text: &str| text.split_whitespace().collect::<String>();
        plain(page).contains(&plain(&caution))
    }

    /// The layouts that one of one's own may extend.
    fn sources(&self) -> Vec<&'static str> {
        let paper = (self.name == "html").then_some(PAPER.1);
        std::iter::once(self.source).chain(paper).collect()
    }

    fn environment(&'static self) -> Result<&'static Environment<'static>, LayoutProblem> {
        let compile = || {
            let mut environment = Environment::new();
            environment.set_undefined_behavior(UndefinedBehavior::Strict);
            environment.set_auto_escape_callback(|_| AutoEscape::Custom(self.name.into()));
            environment.set_formatter(|out, state, value| self.write(out, state, value));
            environment.set_syntax(syntax());
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
            environment.add_filter("hang", functions::hang);
            environment.add_filter("margin", functions::margin);
            environment.add_filter("longest", functions::longest);
            environment
                .add_filter("css", |text: String| Value::from_safe_string(escape::css(&text)));
            environment.add_filter("quoted", |text: String| {
                Value::from_safe_string(escape::typst_quoted(&text))
            });
            environment.add_function("columns", functions::columns);
            environment
                .add_template(self.file, self.source)
                .map_err(|error| problem(&error, self.file, |_| Some(self.source.to_owned())))?;
            if self.name == "html" {
                let (name, text) = PAPER;
                environment
                    .add_template(name, text)
                    .map_err(|error| problem(&error, name, |_| Some(text.to_owned())))?;
            }
            Ok(environment)
        };
        self.compiled.get_or_init(compile).as_ref().map_err(Clone::clone)
    }

    /// Writes one value into a sheet, escaped unless it was made by the format itself.
    fn write(
        &self,
        out: &mut Output<'_>,
        state: &State<'_, '_>,
        value: &Value,
    ) -> Result<(), Error> {
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
        let trusted = value.is_safe() || matches!(state.auto_escape(), AutoEscape::None);
        // A short text is paid for by the step that writes it.
        if let Some(text) = value.as_str().filter(|text| text.len() > 64) {
            functions::spend(state, text.len())?;
        }
        match value.as_str() {
            Some(text) if trusted => out.write_str(text)?,
            Some(text) => {
                let mut escaped = String::with_capacity(text.len() + 16);
                (self.escape)(&mut escaped, text);
                out.write_str(&escaped)?;
            }
            None => write!(out, "{value}")?,
        }
        Ok(())
    }
}

/// A layout that leaves the caution out.
fn uncautioned(name: &str) -> LayoutProblem {
    LayoutProblem {
        name: name.to_owned(),
        place: None,
        what: "the sheet does not say the caution".to_owned(),
        help: "write `{{ caution }}` where every reader sees it".to_owned(),
    }
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
