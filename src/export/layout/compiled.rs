//! Layouts: the minijinja templates that sheets, feedback and reports are filled into.
//!
//! Each format compiles its own layouts once and keeps them. A layout of someone's own is compiled
//! once too, as a [`Layout`], and may extend or include the format's own of its kind by the file name. It
//! can do more than those that come with the program, which make do with what a page has to carry.

use std::any::Any;
use std::sync::Arc;

use minijinja::Environment;

use crate::bank::{Lists, forbidden, too_much};

use crate::export::layout::format::{Format, rich};
use crate::export::layout::fuel::Fuelled;
use crate::export::layout::mistakes::{OWN, problem};
use crate::export::layout::{DocumentKind, LayoutProblem, blocks};

/// A layout for one format, compiled and ready to be used for any number of documents of its kind.
#[derive(Clone, Debug)]
pub struct Layout {
    pub(in crate::export) format: &'static Format,
    pub(in crate::export) fuelled: Arc<Fuelled>,
    kind: DocumentKind,
    name: String,
    pub(in crate::export) piece: bool,
    pub(in crate::export) watch: Option<Watch>,
    #[cfg(feature = "pdf")]
    typesetter: crate::export::Typesetter,
}

/// Begins to watch over a layout while it is filled in, for as long as what it gives is kept.
pub type Watch = fn() -> Box<dyn Any>;

impl Layout {
    /// Compiles a layout of someone's own.
    pub(in crate::export) fn compile(
        format: &'static Format,
        kind: DocumentKind,
        name: &str,
        text: &str,
    ) -> Result<Self, LayoutProblem> {
        if !DocumentKind::LAID_OUT.contains(&kind) {
            return Err(LayoutProblem::not_laid_out(name, kind.name()));
        }
        if let Some(found) = too_much(text).or_else(|| forbidden(text, Lists::UsedAtOnce)) {
            let before = text.get(..found.range.start).unwrap_or_default();
            let last = before.rsplit('\n').next().unwrap_or_default();
            return Err(LayoutProblem {
                name: name.to_owned(),
                location: Some((before.matches('\n').count() + 1, last.chars().count() + 1)),
                what: found.what,
                help: found.help.to_owned(),
            });
        }
        let layout = Self::compiled(format, kind, format.prepared(rich(), kind)?, name, text)?;
        let extended = format.layouts_of(kind).map(|(_, source)| *source).collect();
        if let Some(unknown) = blocks::unknown(text, extended) {
            return Err(LayoutProblem { name: name.to_owned(), ..unknown });
        }
        Ok(layout)
    }

    /// Compiles a layout of ours for a piece of something that says the caution elsewhere.
    pub(in crate::export) fn piece(
        format: &'static Format,
        name: &str,
        text: &str,
    ) -> Result<Self, LayoutProblem> {
        let kind = DocumentKind::Sheet;
        let environment = format.environment(kind)?.clone();
        Ok(Self::compiled(format, kind, environment, name, text)?.as_piece())
    }

    fn compiled(
        format: &'static Format,
        kind: DocumentKind,
        mut environment: Environment<'static>,
        name: &str,
        text: &str,
    ) -> Result<Self, LayoutProblem> {
        environment
            .add_template_owned(OWN, text.to_owned())
            .map_err(|error| problem(&error, name, |_| Some(text.to_owned())))?;
        Ok(Self {
            format,
            fuelled: Arc::new(Fuelled::new(environment)),
            kind,
            name: name.to_owned(),
            piece: false,
            watch: None,
            #[cfg(feature = "pdf")]
            typesetter: crate::export::typeset::setting::typeset,
        })
    }

    /// The same with a watch, as one that ends a layout which takes too long.
    #[must_use]
    pub fn watched_by(self, watch: Watch) -> Self {
        Self { watch: Some(watch), ..self }
    }

    /// The same with another typesetter, as one that bounds what the markup may take.
    #[cfg(feature = "pdf")]
    #[must_use]
    pub fn set_by(self, typesetter: crate::export::Typesetter) -> Self {
        Self { typesetter, ..self }
    }

    /// What sets its markup in pages.
    #[cfg(feature = "pdf")]
    pub(in crate::export) fn typesetter(&self) -> crate::export::Typesetter {
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

    /// What it is a layout of.
    pub fn kind(&self) -> DocumentKind {
        self.kind
    }

    /// The text it was compiled from.
    #[cfg(feature = "pdf")]
    pub(in crate::export) fn text(&self) -> String {
        let own = self.fuelled.compiled.get_template(OWN);
        own.map(|own| own.source().to_owned()).unwrap_or_default()
    }
}
