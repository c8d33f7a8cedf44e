//! What the facts say that a drug displaces.

use crate::bank::{ColumnKind, Fact, Facts, OrderedDrug, Row, Source, Table};
use crate::batch::base::USUAL;
use crate::batch::order_reader::{Noted, OrderReader};
use crate::formula::nearest;
use crate::quantity::Exact;
use crate::words;

/// A value of the facts.
pub(in crate::batch) struct Known<'a> {
    pub(super) is_value: bool,
    pub(super) number: Exact,
    pub(super) base: String,
    pub(in crate::batch) source: &'a Source,
    note: Option<&'a str>,
}

impl Known<'_> {
    pub(super) fn per_gram(&self) -> Exact {
        if self.is_value { Exact::ONE.div(self.number).unwrap_or_default() } else { self.number }
    }

    /// Whether two say the same of the same 1 g: a value is the reciprocal of a factor.
    fn agrees(&self, other: &Self) -> bool {
        if self.is_value == other.is_value {
            return self.number == other.number;
        }
        self.number.mul(other.number).is_ok_and(|product| product == Exact::ONE)
    }

    pub(in crate::batch) fn words(&self) -> String {
        let what = if self.is_value { "displacement value" } else { "displacement factor" };
        let note = self.note.map(|note| format!(", {note}")).unwrap_or_default();
        format!("{what} {} ({}{note}; source: {})", self.number, self.source.short, self.source.id)
    }
}

/// What the facts have for a drug; nothing from memory.
pub(in crate::batch) fn known<'a>(facts: &'a Facts, name: &str) -> Vec<Known<'a>> {
    let wanted = name.trim().to_lowercase().replace('-', " ");
    let mut known = Vec::new();
    for (table, column, is_value) in
        [("drugs", "displacement_value", true), ("factors", "factor", false)]
    {
        let Some(table) = facts.table(table) else { continue };
        let is_named = |row: &&Row| {
            text(table, row, "name")
                .is_some_and(|name| name.replace('-', " ").to_lowercase() == wanted)
                || row.id.replace('-', " ") == wanted
        };
        let Some((row, index)) = table.rows.iter().find(is_named).zip(table.column(column)) else {
            continue;
        };
        let is_number = |column: usize| {
            table.columns.get(column).is_some_and(|it| matches!(it.kind, ColumnKind::Number(_)))
        };
        for claim in row.cells.get(index).into_iter().flatten().filter(|_| is_number(index)) {
            let source = facts.source(&claim.source).filter(|_| facts.may_ask(claim));
            if let (Fact::Number(number), Some(source), true) =
                (&claim.fact, source, claim.is_true())
            {
                let base = text(table, row, "base").unwrap_or(USUAL).to_owned();
                let note = claim.note.as_deref();
                known.push(Known { is_value, number: *number, base, source, note });
            }
        }
    }
    known
}

/// The text of a cell.
fn text<'a>(table: &'a Table, row: &'a Row, column: &str) -> Option<&'a str> {
    row.cells.get(table.column(column)?)?.first()?.text()
}

/// The value of the facts that is taken: the one of a source that was named, or the only one.
pub(super) fn choose<'k, 'a>(
    reader: &mut OrderReader<'_>,
    (path, drug, name): (&str, &OrderedDrug, &str),
    known: &'k [Known<'a>],
) -> Result<&'k Known<'a>, Noted> {
    let listed: Vec<String> = known.iter().map(Known::words).collect();
    if let Some(source) = &drug.source {
        let fits = |known: &&Known<'_>| {
            known.source.id == *source || known.source.short.eq_ignore_ascii_case(source)
        };
        let ids: Vec<&str> = known.iter().map(|known| known.source.id.as_str()).collect();
        return known.iter().find(fits).ok_or_else(|| {
            let kind = format!("a source with a value for {name}");
            let otherwise = "the facts have no value for it; give one of your own";
            reader.unknown(&format!("{path}.source"), &kind, source, &ids, otherwise)
        });
    }
    let ways = "`value`, `factor`, `density` or `casts`, or write `nothing` or `its own mass` under \
                `displaces`";
    match known {
        [] => {
            let what = format!("what {name} displaces");
            let near = near_drug(reader, name);
            let help = match near {
                Some(near) => format!("the facts have `{near}`; write that name, or give {ways}"),
                None => format!("the facts have no value for it; give {ways}"),
            };
            Err(reader.missing(&format!("{path}.value"), &what, &help))
        }
        [first, rest @ ..] if rest.iter().all(|other| other.agrees(first)) => Ok(first),
        _ => {
            let what = format!(
                "expected the value to use for {name}, found sources that differ: {}",
                words::listed(&listed, "and")
            );
            let help = format!(
                "choose one by its `source`, such as `{}`, or give {ways}",
                known[0].source.id
            );
            Err(reader.note(format!("{path}.value"), what, "sources differ", help))
        }
    }
}

/// The names of the drugs of which the facts say what they displace.
pub(in crate::batch) fn names(facts: &Facts) -> Vec<&str> {
    let tables = ["drugs", "factors"].iter().filter_map(|table| facts.table(table));
    tables
        .flat_map(|table| {
            let column = table.column("name").unwrap_or_default();
            table.rows.iter().filter_map(move |row| row.cells.get(column)?.first()?.text())
        })
        .collect()
}

/// The nearest name of a drug in the facts.
fn near_drug(reader: &OrderReader<'_>, name: &str) -> Option<String> {
    nearest(name, names(reader.facts)).map(str::to_owned)
}
