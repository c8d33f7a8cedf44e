//! The bank: templates, facts and texts, checked and ready.

use std::sync::Arc;

use minijinja::Environment;

use super::desk::Desk;
use super::facts::Facts;
use super::reading::read;
use super::template::Template;
use super::written::{SourcesText, TableText, TemplateText};
use super::{Complaint, Report, SourceText, checking, tables, texts};

/// Templates, the facts they draw on, and their texts ready to be filled in.
#[derive(Debug)]
pub struct Bank {
    templates: Vec<Arc<Template>>,
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
        Self::load(&Self::bundled_files())
    }

    /// The files of the bank that comes with the program.
    pub fn bundled_files() -> Vec<SourceText> {
        let file = |(path, text): &(&str, &str)| SourceText {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        };
        BUNDLED.iter().map(file).collect()
    }

    /// The bundled bank with files of one's own, which replace those of the same id or table.
    ///
    /// # Errors
    /// Everything that is wrong with any file.
    pub fn with_own(own: Vec<SourceText>) -> Result<Self, Report> {
        let name = |path: &str| path.replace('\\', "/").rsplit('/').next().map(str::to_owned);
        let mut files = Self::bundled_files();
        // Sources add up; a template or table of the same file name takes the other's place.
        files.retain(|file| {
            is_sources(file) || !own.iter().any(|mine| name(&mine.path) == name(&file.path))
        });
        files.extend(own);
        Self::load(&files)
    }

    /// A bank of the given files.
    ///
    /// # Errors
    /// Everything that is wrong with any file, all at once.
    pub fn load(files: &[SourceText]) -> Result<Self, Report> {
        let mut complaints = Vec::new();
        let mut facts = Facts::default();
        for source in files.iter().filter(|file| is_facts(file) && is_sources(file)) {
            let mut desk = Desk::new(source);
            match read::<SourcesText>(source) {
                Ok(written) => tables::add_sources(&mut desk, written, &mut facts),
                Err(complaint) => desk.complaints.push(complaint),
            }
            complaints.append(&mut desk.complaints);
        }
        for source in files.iter().filter(|file| is_facts(file) && !is_sources(file)) {
            let mut desk = Desk::new(source);
            match read::<TableText>(source) {
                Ok(written) => {
                    let table = tables::table(&mut desk, written, &facts);
                    facts.tables.push(table);
                }
                Err(complaint) => desk.complaints.push(complaint),
            }
            complaints.append(&mut desk.complaints);
        }
        let mut templates: Vec<Arc<Template>> = Vec::new();
        for source in files.iter().filter(|file| !is_facts(file)) {
            match load_template(source, &facts) {
                Ok(template) => templates.push(Arc::new(template)),
                Err(mut found) => complaints.append(&mut found),
            }
        }
        templates.sort_by(|a, b| (a.objective, &a.id).cmp(&(b.objective, &b.id)));
        find_doubles(files, &templates, &mut complaints);
        let mut environment = texts::environment();
        for template in &templates {
            if let Err(what) = texts::add(&mut environment, template) {
                let source = files.iter().find(|file| file.path.contains(&template.id));
                complaints.extend(source.map(|file| file.complain(0..0, what, "in a text", None)));
            }
        }
        if complaints.is_empty() {
            Ok(Self { templates, facts, texts: environment })
        } else {
            Err(Report::new(complaints))
        }
    }

    /// The templates, by objective and then by id.
    pub fn templates(&self) -> &[Arc<Template>] {
        &self.templates
    }

    /// The template of that id.
    pub fn find(&self, id: &str) -> Option<&Arc<Template>> {
        self.templates.iter().find(|template| template.id == id)
    }

    /// The facts tables and their sources.
    pub fn facts(&self) -> &Facts {
        &self.facts
    }

    /// The texts of all templates, by name: `base-one-drug#stem/0`, `…#ask/<part>`, `…#say/<step>`,
    /// `…#slip/<slip>`, `…#batch/<row>`.
    pub fn texts(&self) -> &Environment<'static> {
        &self.texts
    }
}

fn load_template(source: &SourceText, facts: &Facts) -> Result<Template, Vec<Complaint>> {
    let mut desk = Desk::new(source);
    let written: TemplateText = read(source).map_err(|complaint| vec![complaint])?;
    checking::template(&mut desk, written, facts).ok_or(desk.complaints)
}

/// Facts stand in a folder of that name.
fn is_facts(file: &SourceText) -> bool {
    let path = file.path.replace('\\', "/");
    path.starts_with("facts/") || path.contains("/facts/")
}

fn is_sources(file: &SourceText) -> bool {
    let name = file.path.replace('\\', "/");
    name.rsplit('/').next().is_some_and(|name| name.starts_with("sources"))
}

/// Notes templates of one id in two files.
fn find_doubles(
    files: &[SourceText],
    templates: &[Arc<Template>],
    complaints: &mut Vec<Complaint>,
) {
    for pair in templates.windows(2) {
        let [one, other] = pair else { continue };
        if one.id == other.id {
            let ends = |file: &&SourceText| file.path.ends_with(&format!("{}.yaml", one.id));
            if let Some(file) = files.iter().rfind(ends) {
                let what = format!("template `{}` stands in another file already", one.id);
                let help = Some("keep one of the two".to_owned());
                complaints.push(file.complain(0..0, what, "again", help));
            }
        }
    }
}
