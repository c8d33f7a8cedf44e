//! The bank: templates, facts and texts, checked and ready.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use minijinja::Environment;

use crate::bank::facts::{Facts, Source};
use crate::bank::reading::complaint::Sort;
use crate::bank::reading::desk::Desk;
use crate::bank::reading::noted::{Checked, Notes};
use crate::bank::reading::places::Placed;
use crate::bank::reading::words::NameText;
use crate::bank::reading::written::{self, Key};
use crate::bank::tables;
use crate::bank::template::Template;
use crate::bank::topics::{Placing, Topic, Topics};
use crate::bank::wording::texts;
use crate::bank::written::facts::{SourcesText, TableText};
use crate::bank::written::template::TemplateText;
use crate::bank::written::topics::TopicsText;
use crate::bank::{Report, SourceText, checking, parallel};

/// Templates, the facts they draw on, and their texts ready to be filled in.
#[derive(Debug)]
pub struct Bank {
    templates: Vec<Arc<Template>>,
    topics: Vec<Topic>,
    facts: Facts,
    texts: Environment<'static>,
}

include!(concat!(env!("OUT_DIR"), "/bundled.rs"));

impl Bank {
    /// The bank that comes with the program.
    ///
    /// # Errors
    /// Never in a program that passed its tests, which load it.
    pub fn bundled() -> Result<Self, Report> {
        assemble(Self::bundled_files(), Vec::new())
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
        assemble(Self::bundled_beside(&own), own)
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
    /// the same id.
    ///
    /// # Errors
    /// Everything that is wrong with any file.
    pub fn of(files: Vec<SourceText>, own: Vec<SourceText>) -> Result<Self, Report> {
        assemble(files, own)
    }

    /// A bank of the given files.
    ///
    /// # Errors
    /// Everything that is wrong with any file, all at once.
    pub fn load(files: &[SourceText]) -> Result<Self, Report> {
        assemble(Vec::new(), files.to_vec())
    }

    /// The templates, by objective and then by id.
    pub fn templates(&self) -> &[Arc<Template>] {
        &self.templates
    }

    /// The template of that id.
    pub fn find(&self, id: &str) -> Option<&Arc<Template>> {
        self.templates.iter().find(|template| template.id == id)
    }

    /// The topics in the order of teaching.
    pub fn topics(&self) -> &[Topic] {
        &self.topics
    }

    /// The topic of that id.
    pub fn topic(&self, id: &str) -> Option<&Topic> {
        self.topics.iter().find(|topic| topic.id == id)
    }

    /// The facts tables and their sources.
    pub fn facts(&self) -> &Facts {
        &self.facts
    }

    /// The ids of the sources that are named by a fact or by a point of a written answer.
    pub fn cited(&self) -> BTreeSet<&str> {
        let claims = self.facts.tables.iter().flat_map(|table| &table.rows);
        let claims = claims.flat_map(|row| row.cells.iter().flatten());
        let points = self.templates.iter().flat_map(|template| template.point_sources());
        claims.map(|claim| claim.source.as_str()).chain(points).collect()
    }

    /// The texts of all templates, by name: `base-one-drug#stem/0`, `…#ask/<part>`, `…#say/<step>`,
    /// `…#slip/<slip>`, `…#batch/<row>`.
    pub fn texts(&self) -> &Environment<'static> {
        &self.texts
    }
}

/// Reads and checks all files: the sources first, the tables that name them next, and then the
/// templates that pick from the tables.
fn assemble(bundled: Vec<SourceText>, own: Vec<SourceText>) -> Result<Bank, Report> {
    let mut loading = Loading::default();
    let own_begin = bundled.len();
    let files: Vec<Arc<SourceText>> =
        bundled.into_iter().chain(own).map(|file| Arc::new(file.without_mark())).collect();
    let of = |sort| files.iter().enumerate().filter(move |(_, file)| file.sort() == sort);
    for (place, file) in of(Sort::Sources) {
        loading.add_sources(file, place >= own_begin);
    }
    for (_, file) in of(Sort::Topics) {
        loading.add_topics(file);
    }
    for (_, file) in of(Sort::Table) {
        loading.add_table(file);
    }
    let templates: Vec<&Arc<SourceText>> = of(Sort::Template).map(|(_, file)| file).collect();
    for checked in parallel::each(&templates, |file| check(file, &loading.facts)) {
        loading.add_template(checked);
    }
    let Loading { facts, templates, topics, mut notes, .. } = loading;
    if notes.finish(()).is_ok() {
        notes.append(topics.check(&templates));
    }
    if let Err(noted) = notes.finish(()) {
        return Err(notes.report(noted));
    }
    let mut templates: Vec<Arc<Template>> =
        templates.into_iter().map(|placing| placing.template).collect();
    templates.sort_by(|a, b| (a.objective, &a.id).cmp(&(b.objective, &b.id)));
    let texts = texts::environment_of(&templates);
    let topics = topics.finish(&templates);
    Ok(Bank { templates, topics, facts, texts })
}

/// A bank that is being put together.
#[derive(Default)]
struct Loading {
    facts: Facts,
    topics: Topics,
    templates: Vec<Placing>,
    notes: Notes,
    /// The file in which each table or template stands.
    places: BTreeMap<(Sort, String), String>,
    /// The sources that came with the program and may be replaced.
    replaceable: BTreeSet<String>,
}

/// A template that was read and checked by itself.
struct Reading<'a> {
    desk: Desk<'a>,
    template: Checked<(TemplateText, Checked<Template>)>,
}

fn check<'a>(file: &'a Arc<SourceText>, facts: &Facts) -> Reading<'a> {
    let mut desk = Desk::new(file);
    let template = written::file::<TemplateText>(&mut desk).map(|written| {
        let template = checking::template(&mut desk, &written, facts);
        (written, template)
    });
    Reading { desk, template }
}

impl Loading {
    fn add_sources(&mut self, file: &Arc<SourceText>, own: bool) {
        let mut desk = Desk::new(file);
        if let Ok(written) = written::file::<SourcesText>(&mut desk) {
            for (id, text) in written.sources.iter() {
                if let Ok(source) = tables::source(&mut desk, id, text) {
                    self.add_source(&mut desk, (id, source), own);
                }
            }
        }
        self.notes.append(desk.notes);
    }

    fn add_topics(&mut self, file: &Arc<SourceText>) {
        let mut desk = Desk::new(file);
        if let Ok(written) = written::file::<TopicsText>(&mut desk) {
            self.topics.add(&mut desk, &written);
        }
        self.notes.append(desk.notes);
    }

    fn add_table(&mut self, file: &Arc<SourceText>) {
        let mut desk = Desk::new(file);
        if let Ok(written) = written::file::<TableText>(&mut desk) {
            if self.is_new(&mut desk, Sort::Table, &written.table) {
                self.facts.tables.push(tables::table(&mut desk, &written, &self.facts));
            }
        }
        self.notes.append(desk.notes);
    }

    fn add_template(&mut self, reading: Reading<'_>) {
        let Reading { mut desk, template } = reading;
        if let Ok((written, template)) = template {
            if self.is_new(&mut desk, Sort::Template, &written.id) {
                self.templates.extend(template.map(|template| Placing {
                    template: Arc::new(template),
                    source: Arc::clone(desk.file.source),
                    topic: written.topic.place(),
                    objective: written.objective.place(),
                }));
            }
        }
        self.notes.append(desk.notes);
    }

    fn add_source(&mut self, desk: &mut Desk<'_>, (id, source): (&Key, Source), own: bool) {
        let known = self.facts.sources.iter_mut().find(|known| known.id == source.id);
        match known {
            Some(known) if own && self.replaceable.remove(&source.id) => *known = source,
            Some(_) => {
                let what = format!("source `{}` stands in another file already", source.id);
                let help = Some("keep one of the two".to_owned());
                desk.key(id, what, "again", help);
            }
            None => {
                if !own {
                    self.replaceable.insert(source.id.clone());
                }
                self.facts.sources.push(source);
            }
        }
    }

    /// Notes a table or template of which there is one already.
    fn is_new(&mut self, desk: &mut Desk<'_>, sort: Sort, name: &NameText) -> bool {
        let place = self.places.entry((sort, name.to_string()));
        if let Entry::Occupied(place) = &place {
            let what = format!("`{name}` stands in another file already: {}", place.get());
            desk.value(name, what, "again", Some("keep one of the two".to_owned()));
            return false;
        }
        place.or_insert_with(|| desk.file.source.path.clone());
        true
    }
}
