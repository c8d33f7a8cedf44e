//! Drugs and bases that do not suit each other, by what the facts have.

use crate::bank::{Claim, Facts, Row, Table};

use super::base::key;
use super::displacing::capital;
use super::sheet::Remark;

/// The remark on a drug in a base, if a source says that the two do not suit each other.
pub(super) fn unsuited(facts: &Facts, name: &str, base: &str) -> Option<Remark> {
    let table = facts.table("unsuited")?;
    let [wanted, base_key] = [name, base].map(|name| key(facts, name));
    let is_pair = |row: &&Row| {
        let named = |column| text(table, row, column).map(|name| key(facts, name));
        named("substance").as_ref() == Some(&wanted) && named("base").as_ref() == Some(&base_key)
    };
    let row = table.rows.iter().find(is_pair)?;
    let effect = told(facts, table, row, "effect")?;
    let what = format!("{name} and {base} do not suit each other: {effect}.");
    let advice = match told(facts, table, row, "remedy") {
        Some(remedy) => format!("{remedy}."),
        None => "Choose another base, or ask whoever is responsible for the batch.".to_owned(),
    };
    Some(Remark::new(&capital(&what), &capital(&advice)))
}

/// The words of a cell with their source; nothing from memory.
fn told(facts: &Facts, table: &Table, row: &Row, column: &str) -> Option<String> {
    let claims = row.cells.get(table.column(column)?)?;
    let sound = |claim: &&Claim| claim.is_true() && facts.may_ask(claim);
    let claim = claims.iter().find(sound)?;
    let source = &facts.source(&claim.source)?.short;
    let of = claim.note.as_ref().map(|note| format!(", of {note}")).unwrap_or_default();
    Some(format!("{} ({source}{of})", claim.text()?))
}

fn text<'a>(table: &'a Table, row: &'a Row, column: &str) -> Option<&'a str> {
    row.cells.get(table.column(column)?)?.first()?.text()
}
