//! The rows of a table of readings.

use std::collections::BTreeMap;
use std::fmt;

use serde::Serialize;

use crate::batch::sheet::Batch;
use crate::batch::show;
use crate::quantity::{Arithmetic, Dimension, Exact, read_quantity};
use crate::words::{self, Complaint, Complaints};

use super::heading::Heading;

/// The readings of one row.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) line: u64,
    pub(super) who: String,
    pub(super) blanks: Option<Weighed>,
    pub(super) medicated: Option<Weighed>,
    pub(super) base: Option<Exact>,
    /// The masses of ingredients, by their index in the order.
    pub(super) ingredients: Vec<(usize, Exact)>,
}

/// Units that were weighed together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weighed {
    /// Their mass without the dish.
    pub(super) mass: Exact,
    pub(super) units: Exact,
}

/// What is wrong with a table of readings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ClassProblem {
    /// The line, from 1.
    pub line: u64,
    /// The heading of the column.
    pub column: Option<String>,
    /// What was expected, what was found, and what to do.
    pub what: String,
}

/// The most rows of a table.
const MOST_ROWS: usize = 10_000;

/// The most fields of a row: one for each ingredient and reading, and many beside.
const MOST_FIELDS: usize = 200;

impl ClassProblem {
    pub(super) fn of_row(line: u64, what: &str) -> Self {
        Self {
            line,
            column: None,
            what: format!("the readings have no result: {what}; check them"),
        }
    }

    fn new(line: u64, column: Option<&str>, what: impl Into<String>) -> Self {
        Self { line, column: column.map(|column| words::quoted(column, 40)), what: what.into() }
    }
}

impl Complaint for ClassProblem {
    fn saying(self, what: String) -> Self {
        Self { column: None, what, ..self }
    }
}

impl fmt::Display for ClassProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.column {
            Some(column) => write!(f, "line {}, `{column}`: {}", self.line, self.what),
            None => write!(f, "line {}: {}", self.line, self.what),
        }
    }
}

impl std::error::Error for ClassProblem {}

impl Weighed {
    pub(super) fn mean(&self) -> Result<Exact, Arithmetic> {
        self.mass.div(self.units)
    }
}

/// Reads a table; with the rows, what was taken for all of them.
pub(super) fn read(
    table: &str,
    batch: &Batch,
) -> Result<(Vec<Row>, Vec<String>), Vec<ClassProblem>> {
    let table = table.trim_start_matches('\u{feff}');
    if table.matches('"').count() % 2 == 1 {
        let line = table.lines().position(|line| line.matches('"').count() % 2 == 1).unwrap_or(0);
        let what = "a quotation mark is not closed; close it, or remove it";
        return Err(vec![ClassProblem::new(number(line + 1), None, what)]);
    }
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator(table))
        .flexible(true)
        .has_headers(false)
        .trim(csv::Trim::All)
        .from_reader(table.as_bytes());
    let mut records = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            let line = error.position().map_or(1, csv::Position::line);
            vec![ClassProblem::new(line, None, format!("the line cannot be read: {error}"))]
        })?;
        if records.len() > MOST_ROWS {
            let what = format!("expected at most {MOST_ROWS} rows, found more; divide the table");
            return Err(vec![ClassProblem::new(number(MOST_ROWS), None, what)]);
        }
        let line = record.position().map_or(1, csv::Position::line);
        if record.iter().any(|cell| !cell.is_empty()) {
            records.push((line, record));
        }
    }
    let mut records = records.into_iter();
    let Some((first, headings)) = records.next() else {
        let what =
            "expected a table with headings, found nothing; begin with `candidate,blank_total`";
        return Err(vec![ClassProblem::new(1, None, what)]);
    };
    if headings.len() > MOST_FIELDS {
        let what = format!("expected at most {MOST_FIELDS} headings, found {}", headings.len());
        return Err(vec![ClassProblem::new(first, None, what)]);
    }
    let mut reading =
        Reading { batch, problems: Complaints::new(), columns: Vec::new(), seen: BTreeMap::new() };
    reading.headings(first, &headings);
    let mut notes = Vec::new();
    let counts = reading.counts(first, &mut notes);
    let rows: Vec<Row> =
        records.filter_map(|(line, record)| reading.row(line, &record, counts)).collect();
    if reading.problems.is_empty() && rows.is_empty() {
        let what = "expected at least one row of readings, found none";
        reading.problems.push(ClassProblem::new(first, None, what));
    }
    reading.problems.finish((rows, notes))
}

/// What is between the fields: a comma, or a semicolon or tab where the headings have one.
fn separator(table: &str) -> u8 {
    let first = table.lines().next().unwrap_or_default();
    let separators = [b';', b'\t'];
    separators.into_iter().find(|byte| first.as_bytes().contains(byte)).unwrap_or(b',')
}

fn number(line: usize) -> u64 {
    u64::try_from(line).unwrap_or(u64::MAX)
}

/// A table that is being read.
struct Reading<'a> {
    batch: &'a Batch,
    problems: Complaints<ClassProblem>,
    columns: Vec<(String, Option<Heading>)>,
    /// The line of each candidate or bench.
    seen: BTreeMap<String, u64>,
}

/// How many units were weighed, where the table does not say.
#[derive(Clone, Copy)]
struct Counts {
    blanks: Option<Exact>,
    medicated: Option<Exact>,
}

impl Reading<'_> {
    fn note(&mut self, line: u64, column: Option<&str>, what: impl Into<String>) {
        self.problems.push(ClassProblem::new(line, column, what));
    }

    fn headings(&mut self, line: u64, headings: &csv::StringRecord) {
        let drugs: Vec<String> =
            self.batch.figures.ingredients.iter().map(|it| it.name.clone()).collect();
        for written in headings {
            let heading = match Heading::read(written, &drugs) {
                Ok(heading) if self.columns.iter().any(|(_, known)| *known == Some(heading)) => {
                    self.note(
                        line,
                        Some(written),
                        "expected each heading once, found it again; remove one",
                    );
                    None
                }
                Ok(heading) => Some(heading),
                Err(near) => {
                    let help = near.map_or_else(
                        || "remove the column".to_owned(),
                        |near| format!("did you mean `{near}`?"),
                    );
                    let what = format!(
                        "expected a heading of readings, found `{}`; {help}",
                        words::quoted(written, 40)
                    );
                    self.note(line, None, what);
                    None
                }
            };
            self.columns.push((written.to_owned(), heading));
        }
        if !self.has(Heading::Who) {
            let what = "expected a column for who made the readings, found none; give `candidate` or `bench`";
            self.note(line, None, what);
        }
        let masses = |(_, heading): &(String, Option<Heading>)| {
            heading.is_some_and(|heading| heading.is_mass() && heading != Heading::Dish)
        };
        if !self.columns.iter().any(masses) {
            let what = "expected readings, found none; give `blank_total`, `medicated_total`, `drug_weighed` or \
                        `base_weighed`";
            self.note(line, None, what);
        }
    }

    fn has(&self, heading: Heading) -> bool {
        self.columns.iter().any(|(_, known)| *known == Some(heading))
    }

    /// The numbers of units that the table leaves out, which the order has.
    fn counts(&mut self, line: u64, notes: &mut Vec<String>) -> Counts {
        let batch = self.batch;
        let mut counts = Counts { blanks: None, medicated: None };
        if self.has(Heading::BlankTotal) && !self.has(Heading::BlankUnits) {
            counts.blanks = batch.plan.mould.blanks();
            match counts.blanks {
                Some(count) => notes.push(format!(
                    "The table does not say how many blanks each weighed; {} were taken, as in the order.",
                    show::number(count)
                )),
                None => self.note(
                    line,
                    None,
                    "expected how many blanks each weighed, found nothing; add a column `blank_units`",
                ),
            }
        }
        if self.has(Heading::MedicatedTotal) && !self.has(Heading::MedicatedUnits) {
            let ordered = batch.plan.counting.ordered;
            counts.medicated = Some(ordered);
            notes.push(format!(
                "The table does not say how many finished units each weighed; {} were taken, the number ordered.",
                show::number(ordered)
            ));
        }
        counts
    }

    fn row(&mut self, line: u64, record: &csv::StringRecord, counts: Counts) -> Option<Row> {
        if record.len() != self.columns.len() {
            let what = format!(
                "expected {} fields, found {}; put a field that holds a comma in double quotes",
                self.columns.len(),
                record.len()
            );
            self.note(line, None, what);
            return None;
        }
        let mut who = None;
        let mut read: Vec<(Heading, Exact)> = Vec::new();
        for ((column, heading), cell) in self.columns.clone().iter().zip(record) {
            match heading {
                Some(Heading::Who) => who = Some(words::printable(cell)),
                Some(heading) if *heading != Heading::Name && !cell.is_empty() => {
                    read.extend(self.cell(line, column, *heading, cell).map(|it| (*heading, it)));
                }
                _ => {}
            }
        }
        let who = who.unwrap_or_default();
        if who.is_empty() {
            if self.has(Heading::Who) {
                self.note(
                    line,
                    None,
                    "expected who made the readings, found nothing; give the number",
                );
            }
            return None;
        }
        if let Some(before) = self.seen.insert(who.clone(), line) {
            let what = format!(
                "expected `{who}` once, found it again (first on line {before}); keep one row"
            );
            self.note(line, None, what);
            return None;
        }
        let found =
            |wanted: Heading| read.iter().find(|(known, _)| *known == wanted).map(|(_, it)| *it);
        let dish = found(Heading::Dish).unwrap_or_default();
        let blanks = self.weighed(
            (line, "blank_units"),
            found(Heading::BlankTotal).map(|mass| (mass, dish)),
            found(Heading::BlankUnits).or(counts.blanks),
        );
        let medicated = self.weighed(
            (line, "medicated_units"),
            found(Heading::MedicatedTotal).map(|mass| (mass, Exact::ZERO)),
            found(Heading::MedicatedUnits).or(counts.medicated),
        );
        let ingredients = read.iter().filter_map(|(heading, mass)| match heading {
            Heading::Ingredient(n) => Some((*n, *mass)),
            _ => None,
        });
        let ingredients = ingredients.collect();
        Some(Row { line, who, blanks, medicated, base: found(Heading::Base), ingredients })
    }

    /// Units with their number; what is missing is noted.
    fn weighed(
        &mut self,
        (line, column): (u64, &str),
        mass: Option<(Exact, Exact)>,
        units: Option<Exact>,
    ) -> Option<Weighed> {
        let (mass, dish) = mass?;
        let Some(units) = units else {
            // A column that is missing was noted at the headings.
            if self
                .columns
                .iter()
                .any(|(known, _)| known.replace(' ', "_").to_lowercase() == column)
            {
                self.note(line, Some(column), "expected a number of units, found nothing; give it");
            }
            return None;
        };
        if dish >= mass {
            self.note(
                line,
                Some("dish"),
                "expected a dish lighter than the whole, found one that is not; check both",
            );
            return None;
        }
        Some(Weighed { mass: mass.sub(dish).ok()?, units })
    }

    /// A number of a cell; masses without a unit are in grams, as balances show them.
    fn cell(&mut self, line: u64, column: &str, heading: Heading, cell: &str) -> Option<Exact> {
        let typed = match read_quantity(cell) {
            Ok(typed) => typed,
            Err(problem) => {
                self.note(line, Some(column), problem.to_string());
                return None;
            }
        };
        let wanted = if heading.is_mass() { Dimension::MASS } else { Dimension::COUNT };
        if typed.unit.is_some_and(|unit| unit.dimension() != wanted) {
            let what =
                format!("expected {wanted}, found `{}`; correct the unit", words::quoted(cell, 40));
            self.note(line, Some(column), what);
            return None;
        }
        let number =
            typed.unit.map_or(Ok(typed.number), |unit| unit.to_coherent(typed.number)).ok()?;
        let is_count = !heading.is_mass();
        let fits =
            if heading == Heading::Dish { !number.is_negative() } else { number.is_positive() };
        if !fits || is_count && !number.is_whole() || number > Exact::whole(1_000_000) {
            let expected = if is_count { "a whole number above zero" } else { "a mass above zero" };
            let what =
                format!("expected {expected}, found `{}`; check it", words::quoted(cell, 40));
            self.note(line, Some(column), what);
            return None;
        }
        Some(number)
    }
}
