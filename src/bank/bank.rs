//! The bank: templates, facts and texts, checked and ready.

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use minijinja::Environment;

use crate::bank::facts::Facts;
use crate::bank::files::{Sort, bundled};
use crate::bank::loading::{Files, Trust, assemble};
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
    files: Vec<Arc<SourceText>>,
    shelf: Arc<Shelf>,
    /// The templates, once all were asked for.
    templates: OnceLock<Vec<Arc<Template>>>,
    topics: Vec<Topic>,
    facts: Arc<Facts>,
    texts: Environment<'static>,
}

impl Bank {
    /// The bank that comes with the program.
    ///
    /// # Errors
    /// Never in a program that passed its tests, which load the whole of it.
    pub fn bundled() -> Result<Self, Report> {
        Self::of_sound(Self::bundled_files(), Vec::new())
    }

    /// The files of the bank that comes with the program.
    pub fn bundled_files() -> Vec<SourceText> {
        bundled()
    }

    /// The bundled bank with files of one's own.
    ///
    /// # Errors
    /// Everything that is wrong with any file.
    pub fn with_own(own: Vec<SourceText>) -> Result<Self, Report> {
        Self::bundled()?.with(own)
    }

    /// This bank with files of one's own. A template replaces that of the same name; a source, a topic
    /// or a row of a table of facts that of the same id, unless the table is to stand alone.
    ///
    /// What the files do not bear on is shared, so that one template is read in the time that it takes.
    ///
    /// # Errors
    /// Everything that is wrong with any file.
    pub fn with(&self, own: Vec<SourceText>) -> Result<Self, Report> {
        // Facts and topics of one's own bear on the other templates, templates do not.
        let alone = own.iter().all(|file| file.sort() == Sort::Template);
        let trust = if alone { Trust::Others } else { Trust::None };
        let mut files: Vec<Arc<SourceText>> =
            self.0.files.iter().filter(|file| !is_replaced(file, &own)).map(Arc::clone).collect();
        let begin = files.len();
        files.extend(own.into_iter().map(shared));
        Self::assembled(files, begin, trust, Some(self))
    }

    /// The bundled bank with files of one's own, with every file read and checked, those that come with
    /// the program as well.
    ///
    /// # Errors
    /// Everything that is wrong with any file.
    pub fn read_whole(own: Vec<SourceText>) -> Result<Self, Report> {
        Self::of_files(Self::bundled_beside(&own), own, Trust::None)
    }

    /// The bundled files that none of one's own replaces.
    pub fn bundled_beside(own: &[SourceText]) -> Vec<SourceText> {
        let mut bundled = Self::bundled_files();
        bundled.retain(|file| !is_replaced(file, own));
        bundled
    }

    /// A bank of the files of another and of one's own, put together as by [`with`](Self::with). All of
    /// them were found to be sound together before.
    ///
    /// # Errors
    /// What is wrong with sources, topics, or a file whose heading cannot be told. A template that is
    /// not sound after all is not in the bank.
    pub fn of_sound(files: Vec<SourceText>, own: Vec<SourceText>) -> Result<Self, Report> {
        Self::of_files(files, own, Trust::All)
    }

    /// A bank of the given files.
    ///
    /// # Errors
    /// Everything that is wrong with any file, all at once.
    pub fn load(files: &[SourceText]) -> Result<Self, Report> {
        Self::of_files(Vec::new(), files.to_vec(), Trust::None)
    }

    fn of_files(
        others: Vec<SourceText>,
        own: Vec<SourceText>,
        trust: Trust,
    ) -> Result<Self, Report> {
        let begin = others.len();
        let files = others.into_iter().chain(own).map(shared).collect();
        Self::assembled(files, begin, trust, None)
    }

    fn assembled(
        all: Vec<Arc<SourceText>>,
        own: usize,
        trust: Trust,
        there: Option<&Self>,
    ) -> Result<Self, Report> {
        let there = there.map(|bank| (bank.facts(), &*bank.0.shelf));
        let (facts, topics, shelf) = assemble(&Files::new(&all, own, trust, there))?;
        let shelf = Arc::new(shelf);
        let mut texts = texts::environment();
        let read = Arc::clone(&shelf);
        texts.set_loader(move |name| Ok(read.text(name).map(str::to_owned)));
        let templates = OnceLock::new();
        Ok(Self(Arc::new(Loaded { files: all, shelf, templates, topics, facts, texts })))
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

fn shared(file: SourceText) -> Arc<SourceText> {
    Arc::new(file.without_mark())
}

/// Whether a file of one's own takes the place of another as a whole. In tables, sources and topics
/// single rows are replaced, since a file of one's own need not name them all.
fn is_replaced(file: &SourceText, own: &[SourceText]) -> bool {
    let is_it = |mine: &SourceText| mine.sort() == Sort::Template && mine.stem() == file.stem();
    file.sort() == Sort::Template && own.iter().any(is_it)
}
