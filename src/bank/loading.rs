//! Files are put together to a bank: what is not known to be sound is read and checked, and the
//! others wait until they are asked for.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::bank::blame::blame;
use crate::bank::deferred::Deferred;
use crate::bank::facts::sources::Sources;
use crate::bank::facts::{Facts, Source, Table};
use crate::bank::files::Sort;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::{Checked, Notes, Unsound};
use crate::bank::reading::words::NameText;
use crate::bank::reading::written::{self, Key};
use crate::bank::shelf::{Ready, Shelf};
use crate::bank::tables;
use crate::bank::template::Template;
use crate::bank::template::heading::Heading;
use crate::bank::topics::{Placing, Topic, Topics};
use crate::bank::written::facts::{SourcesText, TableText};
use crate::bank::written::template::TemplateText;
use crate::bank::written::topics::TopicsText;
use crate::bank::{Report, SourceText, checking, parallel};

/// Which files were found to be sound before, so that they need not be read yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Trust {
    /// None.
    None,
    /// Those that are not one's own.
    Others,
    /// All.
    All,
}

/// The files of which a bank is put together.
pub(super) struct Files<'a> {
    /// Those that are not one's own come first.
    all: &'a [Arc<SourceText>],
    /// What each holds.
    sorts: Vec<Sort>,
    /// The first of one's own.
    own: usize,
    trust: Trust,
    /// The facts and templates of a bank of the other files.
    there: Option<(&'a Facts, &'a Shelf)>,
}

impl<'a> Files<'a> {
    /// These files, of which one's own come behind the others.
    pub(super) fn new(
        all: &'a [Arc<SourceText>],
        own: usize,
        trust: Trust,
        there: Option<(&'a Facts, &'a Shelf)>,
    ) -> Self {
        let sorts = all.iter().map(|file| file.sort()).collect();
        Self { all, sorts, own, trust, there }
    }

    fn of(&self, sort: Sort) -> impl Iterator<Item = (usize, &'a Arc<SourceText>)> {
        let files = self.all.iter().zip(&self.sorts).enumerate();
        files.filter(move |(_, (_, held))| **held == sort).map(|(index, (file, _))| (index, file))
    }

    fn is_own(&self, index: usize) -> bool {
        index >= self.own
    }

    fn is_sound(&self, index: usize) -> bool {
        match self.trust {
            Trust::None => false,
            Trust::Others => !self.is_own(index),
            Trust::All => true,
        }
    }

    /// The facts that are there, unless sources of one's own bear on them.
    fn facts_there(&self) -> Option<&'a Facts> {
        let is_kept = !self.of(Sort::Sources).any(|(index, _)| self.is_own(index));
        self.there.map(|(facts, _)| facts).filter(|_| is_kept)
    }

    /// The tables by their indices, each with that of the table of the same name which it joins.
    fn tables(&self) -> Vec<(usize, Option<usize>)> {
        let mut tables: Vec<(usize, Option<usize>)> = Vec::new();
        let own: Vec<(usize, &Arc<SourceText>)> =
            self.of(Sort::Table).filter(|(index, _)| self.is_own(*index)).collect();
        for (index, file) in self.of(Sort::Table) {
            if self.is_own(index) {
                if !tables.iter().any(|(known, _)| *known == index) {
                    tables.push((index, None));
                }
                continue;
            }
            let joins = |(_, mine): &&(usize, &Arc<SourceText>)| mine.stem() == file.stem();
            tables.push(match own.iter().find(joins) {
                Some((own, _)) => (*own, Some(index)),
                None => (index, None),
            });
        }
        tables
    }
}

/// Puts a bank together: the sources first, the tables that name them next, and then the templates
/// that pick from the tables.
///
/// # Errors
/// Everything that is wrong with the files that were read.
pub(super) fn assemble(files: &Files<'_>) -> Result<(Arc<Facts>, Vec<Topic>, Shelf), Report> {
    let mut loading = Loading::default();
    let facts_there = files.facts_there();
    if facts_there.is_none() {
        for (index, file) in files.of(Sort::Sources) {
            loading.add_sources(file, files.is_own(index));
        }
    }
    for (_, file) in files.of(Sort::Topics) {
        loading.add_topics(file);
    }
    let sources = facts_there.map_or_else(
        || Arc::new(std::mem::take(&mut loading.sources)),
        |facts| Arc::clone(facts.shared_sources()),
    );
    let mut tables = Vec::new();
    for (index, joined) in files.tables() {
        let joined = joined.and_then(|joined| loading.table(files, joined, None, &sources));
        let joined = joined.map(|(_, table)| table);
        tables.extend(loading.table(files, index, joined, &sources));
    }
    let facts = Arc::new(Facts::new(sources, tables, std::mem::take(&mut loading.unsound)));
    let mut rows = Vec::new();
    let mut unknown: Vec<&Arc<SourceText>> = Vec::new();
    for (index, file) in files.of(Sort::Template) {
        if !files.is_sound(index) {
            unknown.push(file);
        } else if let Some(row) = files.there.and_then(|(_, shelf)| shelf.row(file.stem())) {
            loading.paths.insert((Sort::Template, row.0.id.clone()), file.path.clone());
            rows.push(row.clone());
        } else if let Some(heading) = Heading::of_file(file) {
            rows.push(loading.later_template(heading, file, &facts));
        } else {
            unknown.push(file);
        }
    }
    let read = parallel::each(&unknown, |file| check(file, &facts));
    let (mut placings, mut ready) = (Vec::new(), Vec::new());
    for reading in read {
        let (placing, template) = loading.template(reading);
        placings.extend(placing);
        ready.extend(template);
    }
    let Loading { topics, mut notes, .. } = loading;
    notes.append(topics.check(&placings));
    if let Err(noted) = notes.finish(()) {
        return Err(blame(notes.report(noted), files.all.split_at(files.own)));
    }
    rows.extend(ready.into_iter().map(|ready| (ready.heading(), Deferred::ready(ready))));
    let shelf = Shelf::new(rows);
    let topics = topics.finish(shelf.headings());
    Ok((facts, topics, shelf))
}

/// A bank that is being put together.
#[derive(Default)]
struct Loading {
    sources: Sources,
    topics: Topics,
    notes: Notes,
    /// The tables with which something is wrong.
    unsound: Unsound,
    /// The file in which each table or template stands.
    paths: BTreeMap<(Sort, String), String>,
    /// The sources that are not one's own and may be replaced.
    replaceable: BTreeSet<String>,
}

/// A template that was read and checked by itself.
struct Reading<'a> {
    checker: Checker<'a>,
    template: Checked<(TemplateText, Checked<Template>)>,
}

fn check<'a>(file: &'a Arc<SourceText>, facts: &Facts) -> Reading<'a> {
    let mut checker = Checker::new(file);
    let template = written::file::<TemplateText>(&mut checker).map(|written| {
        let template = checking::template(&mut checker, &written, facts);
        (written, template)
    });
    Reading { checker, template }
}

impl Loading {
    fn add_sources(&mut self, file: &Arc<SourceText>, own: bool) {
        let mut checker = Checker::new(file);
        let written = written::file::<SourcesText>(&mut checker);
        if let Err(noted) = written {
            self.sources.unsound.join(&Unsound::all(noted));
        }
        if let Ok(written) = written {
            self.sources.unsound.join(&written.sources.unsound);
            for (id, text) in written.sources.iter() {
                let source = tables::source(&mut checker, id, text);
                if let Some(source) = self.sources.unsound.keep(id, source) {
                    self.add_source(&mut checker, (id, source), own);
                }
            }
        }
        self.notes.append(checker.notes);
    }

    fn add_topics(&mut self, file: &Arc<SourceText>) {
        let mut checker = Checker::new(file);
        match written::file::<TopicsText>(&mut checker) {
            Ok(written) => self.topics.add(&mut checker, &written),
            Err(noted) => self.topics.unsound.join(&Unsound::all(noted)),
        }
        self.notes.append(checker.notes);
    }

    /// The table of a file with its name: as it is there, or read when it is asked for, or read and
    /// checked now. It joins the table of the same name, if there is one.
    fn table(
        &mut self,
        files: &Files<'_>,
        index: usize,
        joined: Option<Deferred<Table>>,
        sources: &Arc<Sources>,
    ) -> Option<(String, Deferred<Table>)> {
        let file = files.all.get(index)?;
        let there = files.facts_there().filter(|_| !files.is_own(index));
        if let Some(table) = there.and_then(|facts| facts.deferred(file.stem())) {
            return Some((file.stem().to_owned(), table.clone()));
        }
        if files.is_sound(index) {
            return Some(self.later_table(file, joined, sources));
        }
        let table = self.table_now(file, joined.as_ref().and_then(Deferred::get), sources);
        if !files.is_own(index) {
            // One's own table of that name joins it.
            self.paths.remove(&(Sort::Table, file.stem().to_owned()));
        }
        table
    }

    fn table_now(
        &mut self,
        file: &Arc<SourceText>,
        joined: Option<&Table>,
        sources: &Sources,
    ) -> Option<(String, Deferred<Table>)> {
        let mut checker = Checker::new(file);
        let mut table = None;
        if let Ok(written) = written::file::<TableText>(&mut checker) {
            if self.is_new(&mut checker, Sort::Table, &written.table) {
                let checked = tables::table(&mut checker, &written, joined, sources);
                table = Some((checked.name.clone(), Deferred::ready(checked)));
            }
        }
        if let Err(noted) = checker.finish(()) {
            self.unsound.add(file.stem(), noted);
        }
        self.notes.append(checker.notes);
        table
    }

    /// The table of a file that is known to be sound, and so has the name of its file.
    fn later_table(
        &mut self,
        file: &Arc<SourceText>,
        joined: Option<Deferred<Table>>,
        sources: &Arc<Sources>,
    ) -> (String, Deferred<Table>) {
        let name = file.stem().to_owned();
        self.paths.insert((Sort::Table, name.clone()), file.path.clone());
        let (file, sources) = (Arc::clone(file), Arc::clone(sources));
        let read = move || {
            let mut checker = Checker::new(&file);
            let written = written::file::<TableText>(&mut checker).ok()?;
            let joined = joined.as_ref().and_then(Deferred::get);
            let table = tables::table(&mut checker, &written, joined, &sources);
            checker.finish(table).ok()
        };
        (name, Deferred::later(read))
    }

    /// What topics are checked against in the template of a file that was read, and the template.
    fn template(&mut self, reading: Reading<'_>) -> (Option<Placing>, Option<Ready>) {
        let Reading { mut checker, template } = reading;
        let (mut placing, mut ready) = (None, None);
        if let Ok((written, template)) = template {
            placing = Some(Placing::of(&written, Arc::clone(checker.file.source)));
            if self.is_new(&mut checker, Sort::Template, &written.id) {
                ready = template.ok().map(Ready::new);
            }
        }
        self.notes.append(checker.notes);
        (placing, ready)
    }

    /// The template of a file that is known to be sound.
    fn later_template(
        &mut self,
        heading: Heading,
        file: &Arc<SourceText>,
        facts: &Arc<Facts>,
    ) -> (Heading, Deferred<Ready>) {
        self.paths.insert((Sort::Template, heading.id.clone()), file.path.clone());
        let (file, facts) = (Arc::clone(file), Arc::clone(facts));
        let read = move || {
            let (_, template) = check(&file, &facts).template.ok()?;
            template.ok().map(Ready::new)
        };
        (heading, Deferred::later(read))
    }

    fn add_source(&mut self, checker: &mut Checker<'_>, (id, source): (&Key, Source), own: bool) {
        let is_new = self.sources.find(&source.id).is_none();
        if is_new || own && self.replaceable.remove(&source.id) {
            if !own {
                self.replaceable.insert(source.id.clone());
            }
            self.sources.put(source);
        } else {
            let what = format!("source `{}` stands in another file already", source.id);
            let help = Some("keep one of the two".to_owned());
            checker.key(id, what, "again", help);
        }
    }

    /// Notes a table or template of which there is one already.
    fn is_new(&mut self, checker: &mut Checker<'_>, sort: Sort, name: &NameText) -> bool {
        let entry = self.paths.entry((sort, name.to_string()));
        if let Entry::Occupied(entry) = &entry {
            let what = format!("`{name}` stands in another file already: {}", entry.get());
            checker.value(name, what, "again", Some("keep one of the two".to_owned()));
            return false;
        }
        entry.or_insert_with(|| checker.file.source.path.clone());
        true
    }
}
