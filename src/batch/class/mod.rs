//! The readings of a class beside what is expected of them.

mod heading;
mod rows;
mod slips;

use serde::{Deserialize, Serialize};

use crate::quantity::{Arithmetic, Exact};
use crate::words::Complaints;

use super::sheet::Batch;
use super::show;

use rows::Row;
use slips::Suspect;

pub use rows::ClassProblem;

/// Everybody's readings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClassReadings {
    /// The heading.
    pub title: String,
    /// What was taken for all, and how far a reading may be from what is expected.
    pub notes: Vec<String>,
    /// The rows in the order of the table.
    pub rows: Vec<ClassRow>,
}

/// The readings of one candidate or bench.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClassRow {
    /// The number of the candidate or bench.
    pub who: String,
    /// The readings.
    pub cells: Vec<ReadingCell>,
}

/// A reading beside what is expected.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingCell {
    /// What was measured: `capacity`, `base weighed`.
    pub what: String,
    /// What was found; `None` where the table has nothing.
    pub found: Option<String>,
    /// What is expected.
    pub expected: String,
    /// How far it is from that, with its sign.
    pub apart: Option<String>,
    /// Whether it is further away than it may be; never for what is only shown.
    pub outside: bool,
    /// The likeliest slip.
    pub slip: Option<Slip>,
}

/// A slip that leads to the reading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Slip {
    /// What was done, in a sentence.
    pub say: String,
    /// What it leads to.
    pub leads_to: String,
}

/// How far a mean mass may be from what is expected: the 5 % of Ph. Eur. 2.9.5.
const OF_MEANS: (i128, u32) = (5, 2);

/// What one reading is compared with.
struct Expected {
    what: String,
    mass: Exact,
    limit: Exact,
    suspects: Vec<Suspect>,
}

impl ClassReadings {
    /// Puts a table of readings beside what the batch lets expect. The table has a row a candidate or
    /// bench; the manual of the bench lists its headings.
    ///
    /// # Errors
    /// Everything that is wrong with the table, each with its line and heading.
    pub fn read(table: &str, batch: &Batch) -> Result<Self, Vec<ClassProblem>> {
        let (rows, notes) = rows::read(table, batch)?;
        let mut read = Vec::new();
        let mut problems = Complaints::new();
        for row in &rows {
            match class_row(row, batch) {
                Ok(row) => read.push(row),
                Err(cause) => problems.push(ClassProblem::of_row(row.line, &cause.to_string())),
            }
        }
        problems.finish(())?;
        let mut notes = notes;
        notes.push(format!(
            "A mean mass is outside if it is more than 5 % from what is expected (as Ph. Eur. 2.9.5 has it \
             for single units), a mass that was weighed if it is more than {}, the permitted error of a \
             weighing. The base is expected for the capacity that each found.",
            show::percent(batch.plan.balance.error)
        ));
        Ok(Self { title: format!("Readings: {}", batch.sheet.title), notes, rows: read })
    }

    /// The rows with a reading that is outside.
    pub fn outside(&self) -> impl Iterator<Item = &ClassRow> {
        self.rows.iter().filter(|row| row.cells.iter().any(|cell| cell.outside))
    }
}

fn class_row(row: &Row, batch: &Batch) -> Result<ClassRow, Arithmetic> {
    let (plan, figures) = (&batch.plan, &batch.figures);
    let of_means = Exact::new(OF_MEANS.0, OF_MEANS.1).unwrap_or_default();
    let mut cells = Vec::new();
    let mut capacity = figures.capacity;
    if let Some(blanks) = &row.blanks {
        let found = blanks.mean()?;
        let expected = Expected {
            what: "capacity".to_owned(),
            mass: plan.mould.of_blanks()?,
            limit: of_means,
            suspects: slips::of_blanks(batch, blanks)?,
        };
        cells.push(expected.beside(Some(found))?);
        // A capacity that is far out is a slip of the reading, and says nothing about the mould.
        if cells.iter().all(|cell| !cell.outside) {
            capacity = found.mul(figures.capacity)?.div(plan.mould.of_blanks()?)?;
        }
    }
    for (n, mass) in &row.ingredients {
        let Some(it) = figures.ingredients.get(*n) else { continue };
        let expected = Expected {
            what: format!("{} weighed", it.name),
            mass: it.batch,
            limit: plan.balance.error,
            suspects: slips::of_ingredient(batch, *n)?,
        };
        cells.push(expected.beside(Some(*mass))?);
    }
    if let Some(mass) = row.base {
        let change = capacity.sub(figures.capacity)?.mul(figures.counted)?;
        let expected = Expected {
            what: format!("{} weighed", plan.base.name),
            mass: figures.base.add(change)?,
            limit: plan.balance.error,
            suspects: slips::of_base(batch, change)?,
        };
        cells.push(expected.beside(Some(mass))?);
    }
    if let Some(units) = &row.medicated {
        let change = capacity.sub(figures.capacity)?;
        let expected = Expected {
            what: "mass of a finished unit".to_owned(),
            mass: figures.unit.add(change)?,
            limit: of_means,
            suspects: slips::of_units(batch, units, change)?,
        };
        cells.push(expected.beside(Some(units.mean()?))?);
        if row.blanks.is_some() {
            cells.extend(value_found(batch, capacity, units.mean()?)?);
        }
    }
    Ok(ClassRow { who: row.who.clone(), cells })
}

/// The displacement value that blank and medicated units give, beside the one worked with; it is shown
/// and not judged, since a small error of weighing changes it much.
fn value_found(
    batch: &Batch,
    capacity: Exact,
    unit: Exact,
) -> Result<Option<ReadingCell>, Arithmetic> {
    let [it] = batch.figures.ingredients.as_slice() else { return Ok(None) };
    let [ingredient] = batch.plan.ingredients.as_slice() else { return Ok(None) };
    let displaced = capacity.sub(unit)?.add(it.each)?;
    let factor = ingredient.displacing.per_gram(batch.figures.capacity)?;
    if !displaced.is_positive() || !factor.is_positive() {
        return Ok(None);
    }
    let found = it.each.div(displaced)?.to_places(1);
    let expected = Exact::ONE.div(factor)?;
    Ok(Some(ReadingCell {
        what: format!("displacement value in {}", batch.plan.base.name),
        found: Some(found.to_string()),
        expected: show::number(expected),
        apart: None,
        outside: false,
        slip: None,
    }))
}

impl Expected {
    fn beside(&self, found: Option<Exact>) -> Result<ReadingCell, Arithmetic> {
        let mut cell = ReadingCell {
            what: self.what.clone(),
            found: found.map(show::grams),
            expected: show::grams(self.mass),
            apart: None,
            outside: false,
            slip: None,
        };
        let Some(found) = found else { return Ok(cell) };
        let apart = found.sub(self.mass)?.div(self.mass)?;
        let places = u32::from(apart.abs() < Exact::ONE);
        let shown = apart.times_ten_to(2)?.to_places(places);
        let sign = match (shown.is_negative(), shown.is_zero()) {
            (true, _) => "−",
            (_, true) => "",
            _ => "+",
        };
        cell.apart = Some(format!("{sign}{} %", shown.abs()));
        cell.outside = apart.abs() > self.limit;
        cell.slip = slips::likeliest(&self.suspects, found, self.mass)?.map(|suspect| Slip {
            say: suspect.say.clone(),
            leads_to: show::grams(suspect.leads_to),
        });
        Ok(cell)
    }
}
