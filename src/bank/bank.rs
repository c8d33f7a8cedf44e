//! The bank: templates, facts and texts, checked and ready.

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use minijinja::Environment;

use crate::bank::facts::Facts;
use crate::bank::loading::{Trust, assemble};
use crate::bank::reading::complaint::Sort;
use crate::bank::shelf::Shelf;
use crate::bank::template::Template;
use crate::bank::template::heading::Heading;
use crate::bank::topics::Topic;
use crate::bank::wording::texts;
use crate::bank::{Report, SourceText, parallel};

/// Templates, the facts they draw on, and their texts ready to be filled in.
///
/// A file that was found to be sound before, as those that come with the program were, is read when its
/// template or table is first asked for; until then its [`Heading`] is known.
///
/// Cheap to clone: all clones are one bank.
#[derive(Clone, Debug)]
pub struct Bank(Arc<Loaded>);

/// What a bank holds.
#[derive(Debug)]
struct Loaded {
    shelf: Arc<Shelf>,
    /// The templates, once all were asked for.
    templates: OnceLock<Vec<Arc<Template>>>,
    topics: Vec<Topic>,
    facts: Arc<Facts>,
    texts: Environment<'static>,
}

include!(concat!(env!("OUT_DIR"), "/bundled.rs"));

impl Bank {
    /// The bank that comes with the program.
    ///
    /// # Errors
    /// Never in a program that passed its tests, which load the whole of it.
    pub fn bundled() -> Result<Self, Report> {
        Self::assembled(Self::bundled_files(), Vec::new(), Trust::All)
    }

    /// The files of the bank that comes with the program.
    pub fn bundled_files() -> Vec<SourceText> {
        let file = |(path, text): &(&str, &str)| SourceText {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        };
        BUNDLED.iter().map(file).collect()
    }

    /// The bundled bank with files of one's own. A template or table replaces the bundled one of the
    /// same name, a source or topic the bundled one of the same id.
    ///
    /// # Errors
    /// Everything that is wrong with any file.
    pub fn with_own(own: Vec<SourceText>) -> Result<Self, Report> {
        // Facts and topics of one's own bear on the bundled templates, other templates do not.
        let alone = own.iter().all(|file| file.sort() == Sort::Template);
        let trust = if alone { Trust::Others } else { Trust::None };
        Self::assembled(Self::bundled_beside(&own), own, trust)
    }

    /// The same, with every file read and checked, those that come with the program as well.
    ///
    /// # Errors
    /// Everything that is wrong with any file.
    pub fn read_whole(own: Vec<SourceText>) -> Result<Self, Report> {
        Self::assembled(Self::bundled_beside(&own), own, Trust::None)
    }

    /// The bundled files that none of one's own replaces.
    pub fn bundled_beside(own: &[SourceText]) -> Vec<SourceText> {
        let mut bundled = Self::bundled_files();
        let replaced = |file: &SourceText| {
            own.iter().any(|mine| (mine.sort(), mine.stem()) == (file.sort(), file.stem()))
        };
        // Rows are replaced one by one, since a file of one's own need not name them all.
        let of_rows = |file: &SourceText| matches!(file.sort(), Sort::Sources | Sort::Topics);
        bundled.retain(|file| of_rows(file) || !replaced(file));
        bundled
    }

    /// A bank of the files of another and of one's own, of which a source or topic replaces that of
    /// the same id. All of them were found to be sound together before.
    ///
    /// # Errors
    /// What is wrong with sources, topics, or a file whose heading cannot be told. A template that is
    /// not sound after all is not in the bank.
    pub fn of_sound(files: Vec<SourceText>, own: Vec<SourceText>) -> Result<Self, Report> {
        Self::assembled(files, own, Trust::All)
    }

    /// A bank of the given files.
    ///
    /// # Errors
    /// Everything that is wrong with any file, all at once.
    pub fn load(files: &[SourceText]) -> Result<Self, Report> {
        Self::assembled(Vec::new(), files.to_vec(), Trust::None)
    }

    fn assembled(
        others: Vec<SourceText>,
        own: Vec<SourceText>,
        trust: Trust,
    ) -> Result<Self, Report> {
        let (facts, topics, shelf) = assemble(others, own, trust)?;
        let shelf = Arc::new(shelf);
        let mut texts = texts::environment();
        let read = Arc::clone(&shelf);
        texts.set_loader(move |name| Ok(read.text(name).map(str::to_owned)));
        let templates = OnceLock::new();
        Ok(Self(Arc::new(Loaded { shelf, templates, topics, facts, texts })))
    }

    /// The headings of the templates, by objective and then by id.
    pub fn headings(&self) -> impl Iterator<Item = &Heading> {
        self.0.shelf.headings()
    }

    /// The templates, by objective and then by id. Whichever was not read yet is read now: where a
    /// heading is enough, ask for [`headings`](Self::headings).
    pub fn templates(&self) -> &[Arc<Template>] {
        self.0.templates.get_or_init(|| {
            let ids: Vec<&str> = self.headings().map(|heading| heading.id.as_str()).collect();
            let read = parallel::each(&ids, |id| self.find(id).map(Arc::clone));
            read.into_iter().flatten().collect()
        })
    }

    /// The template of that id.
    pub fn find(&self, id: &str) -> Option<&Arc<Template>> {
        self.0.shelf.template(id)
    }

    /// The topics in the order of teaching.
    pub fn topics(&self) -> &[Topic] {
        &self.0.topics
    }

    /// The topic of that id.
    pub fn topic(&self, id: &str) -> Option<&Topic> {
        self.0.topics.iter().find(|topic| topic.id == id)
    }

    /// The facts tables and their sources.
    pub fn facts(&self) -> &Facts {
        &self.0.facts
    }

    /// The ids of the sources that are named by a fact or by a point of a written answer.
    pub fn cited(&self) -> BTreeSet<&str> {
        let claims = self.0.facts.tables().flat_map(|table| &table.rows);
        let claims = claims.flat_map(|row| row.cells.iter().flatten());
        let points = self.templates().iter().flat_map(|template| template.point_sources());
        claims.map(|claim| claim.source.as_str()).chain(points).collect()
    }

    /// The texts of all templates, by name: `base-one-drug#stem/0`, `…#ask/<part>`, `…#say/<step>`,
    /// `…#slip/<slip>`, `…#batch/<row>`.
    pub fn texts(&self) -> &Environment<'static> {
        &self.0.texts
    }
}
