//! Layouts of one's own for papers, feedback and reports: read, told apart by their names, and kept with
//! the papers.

use std::path::{Path, PathBuf};

use castmark::bank::SourceText;
use castmark::export::{DocumentKind, Exporter, Layout, exporter};

use super::disk::{read_source, read_text};
use super::outcome::Failure;
use super::watch::watch;

/// Layouts of one's own, at most one of each kind for each format.
#[derive(Clone, Debug, Default)]
pub(super) struct Layouts {
    all: Vec<Own>,
}

#[derive(Clone, Debug)]
struct Own {
    format: &'static str,
    kind: DocumentKind,
    text: SourceText,
    /// Nothing where this castmark was built without the format.
    layout: Option<Layout>,
}

/// How the layouts of each format end.
const ENDINGS: [(&str, &str); 4] = [
    ("html", ".html.jinja"),
    ("pdf", ".typ.jinja"),
    ("markdown", ".md.jinja"),
    ("text", ".txt.jinja"),
];

impl Layouts {
    /// The layouts of these files.
    ///
    /// # Errors
    /// When a name tells no format or what another tells already, or a layout cannot be used.
    pub(super) fn read(paths: &[PathBuf]) -> Result<Self, Failure> {
        let texts = paths.iter().map(|path| read_source(path));
        Self::of(&texts.collect::<Result<Vec<_>, Failure>>()?)
    }

    /// The layouts that a blueprint names, from where it lies.
    ///
    /// # Errors
    /// When one cannot be read or used.
    pub(super) fn named(names: &[String], blueprint: &Path) -> Result<Self, Failure> {
        let folder = blueprint.parent().unwrap_or(Path::new(""));
        let paths: Vec<PathBuf> = names.iter().map(|name| folder.join(name)).collect();
        Self::read(&paths).map_err(|failure| match failure {
            Failure::Unusable(text) => {
                Failure::unusable(format!("`layouts` of the blueprint names a layout: {text}"))
            }
            Failure::NobodyReads => Failure::NobodyReads,
        })
    }

    /// The layouts of texts, each known by the name of its file.
    ///
    /// # Errors
    /// When a name tells no format or what another tells already, or a layout cannot be used.
    pub(super) fn of(texts: &[SourceText]) -> Result<Self, Failure> {
        let mut layouts = Self::default();
        for source in texts {
            let SourceText { path, text } = source;
            let (format, kind) = told_by(path)?;
            if layouts.find(kind, format).is_some() {
                return Err(Failure::unusable(format!(
                    "`{path}` is a second layout for {format} ({}); give one of a kind for each format",
                    kind.name(),
                )));
            }
            let layout = exporter(format).map(|it| compiled(it, kind, path, text)).transpose()?;
            layouts.all.push(Own { format, kind, text: source.clone(), layout });
        }
        Ok(layouts)
    }

    /// These, and of the others those that there is none of here.
    pub(super) fn or(mut self, others: Self) -> Self {
        for own in others.all {
            if self.find(own.kind, own.format).is_none() {
                self.all.push(own);
            }
        }
        self
    }

    /// The layout of a kind for a format.
    pub(super) fn get(&self, kind: DocumentKind, format: &str) -> Option<&Layout> {
        self.find(kind, format)?.layout.as_ref()
    }

    fn find(&self, kind: DocumentKind, format: &str) -> Option<&Own> {
        self.all.iter().find(|own| own.kind == kind && own.format == format)
    }

    /// Refuses layouts for what is not made: `is_made` says which formats are made of a kind.
    ///
    /// # Errors
    /// When there is such a layout.
    pub(super) fn check(
        &self,
        is_made: impl Fn(DocumentKind, &str) -> bool,
    ) -> Result<(), Failure> {
        match self.all.iter().find(|own| !is_made(own.kind, own.format)) {
            Some(own) => Err(Failure::unusable(format!(
                "`{}` is a layout for {}, which is not made ({}); add it to --format, or leave the \
                 layout out",
                own.text.path,
                own.format,
                own.kind.name()
            ))),
            None => Ok(()),
        }
    }

    /// The texts of those of some kinds, to be kept with papers or marks.
    pub(super) fn texts(&self, kinds: &[DocumentKind]) -> Vec<SourceText> {
        let kept = self.all.iter().filter(|own| kinds.contains(&own.kind));
        kept.map(|own| own.text.without_folder()).collect()
    }
}

/// The layout of sheets in a file for a format.
///
/// # Errors
/// When it cannot be read or used.
pub(super) fn own_layout(exporter: &dyn Exporter, path: &Path) -> Result<Layout, Failure> {
    compiled(exporter, DocumentKind::Sheet, &path.display().to_string(), &read_text(path)?)
}

fn compiled(
    exporter: &dyn Exporter,
    kind: DocumentKind,
    name: &str,
    text: &str,
) -> Result<Layout, Failure> {
    let layout = exporter.layout_of(kind, name, text).map_err(Failure::unusable)?.watched_by(watch);
    // Markup of one's own may repeat without end.
    #[cfg(feature = "pdf")]
    let layout = layout.set_by(super::apart::set);
    Ok(layout)
}

/// The format and the kind that the name of a file tells.
fn told_by(name: &str) -> Result<(&'static str, DocumentKind), Failure> {
    let stem =
        |(format, ending): &(&'static str, &str)| Some((*format, name.strip_suffix(ending)?));
    let told = ENDINGS.iter().find_map(stem);
    told.map(|(format, stem)| (format, DocumentKind::of_name(stem))).ok_or_else(|| {
        Failure::unusable(format!(
            "expected a layout that ends in .html.jinja, .typ.jinja, .md.jinja or .txt.jinja, found \
             `{name}`; rename it by its format"
        ))
    })
}
