//! The facts tables: what handbooks say, each cell with its source.

pub(super) mod same;
pub(super) mod sources;

use std::sync::Arc;

use crate::quantity::{Exact, Quantity, Unit};

use crate::bank::deferred::Deferred;
use crate::bank::reading::checker::Checker;
use crate::bank::reading::noted::{Checked, Unsound};
use crate::bank::reading::words::NameText;
use sources::Sources;
pub use sources::{Reliance, Source};

/// All facts tables and the sources they name.
#[derive(Debug, Default)]
pub struct Facts {
    /// The tables with their names; each is read when it is first asked for.
    tables: Vec<(String, Deferred<Table>)>,
    sources: Arc<Sources>,
    /// The names of tables with which something is wrong.
    unsound: Unsound,
}

/// One table.
#[derive(Clone, Debug)]
pub struct Table {
    /// Its name: `drugs`.
    pub name: String,
    /// One or two sentences on what it holds.
    pub about: String,
    /// The columns, in order.
    pub columns: Vec<Column>,
    /// The rows, in order.
    pub rows: Vec<Row>,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name: `displacement_value`.
    pub name: String,
    /// Its name in running text: `displacement value`.
    pub label: String,
    /// What its cells hold.
    pub kind: ColumnKind,
    /// Why what another row says is false of this one, in words; `None` where it may be true as well,
    /// so that only what a source denies gives wrong options.
    pub closed: Option<String>,
    /// Whether its texts may be false, as the statements of a table with verdicts are.
    pub judged: bool,
}

/// What the cells of a column hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnKind {
    /// One text.
    Text,
    /// Several texts, all true.
    Texts,
    /// A number of this unit.
    Number(Unit),
    /// Two numbers of this unit.
    Range(Unit),
    /// Lines in their order.
    Sequence,
    /// Texts that the authors made up and that are wrong, such as wrong reasons.
    Invented,
}

/// One row.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its id: `zinc-oxide`.
    pub id: String,
    /// The claims, by column in the order of the table's columns.
    pub cells: Vec<Vec<Claim>>,
}

/// What a source says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// What is said.
    pub fact: Fact,
    /// The sources that say it, by id; empty for a bare text such as a row's name.
    pub source: String,
    /// A remark: under what conditions.
    pub note: Option<String>,
    /// Other words for a text, accepted as answers.
    pub also: Vec<String>,
    /// How its source stands to it.
    pub bearing: Bearing,
    /// Whether the authors made the text up; it is false then.
    pub invented: bool,
    /// Pairs of lines of a sequence, by place, that may be in either order.
    pub either_way: Vec<(usize, usize)>,
}

/// How a source stands to a claim.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Bearing {
    /// The source says it.
    #[default]
    Says,
    /// The claim is false: the source denies it. In our own words, what the source says instead.
    Denies(Option<String>),
}

/// What a claim says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fact {
    /// A text.
    Text(String),
    /// A number, in the unit of the column, as written.
    Number(Exact),
    /// From one number to another.
    Range(Exact, Exact),
    /// Lines in their order.
    Sequence(Vec<String>),
}

impl Facts {
    /// The facts of tables with their names; of unsound ones nothing is known.
    pub(super) fn new(
        sources: Arc<Sources>,
        mut tables: Vec<(String, Deferred<Table>)>,
        unsound: Unsound,
    ) -> Self {
        tables.retain(|(name, _)| unsound.of(name).is_none());
        Self { tables, sources, unsound }
    }

    /// The table that a text names; an unknown one is noted, unless it is unsound.
    pub(super) fn named(&self, checker: &mut Checker<'_>, name: &NameText) -> Checked<&Table> {
        self.table(name).ok_or_else(|| {
            let noted = self.unsound.of(name);
            noted.unwrap_or_else(|| checker.unknown(name, "a facts table", name, self.names()))
        })
    }

    /// The table of that name, read or not.
    pub(super) fn deferred(&self, name: &str) -> Option<&Deferred<Table>> {
        self.tables.iter().find(|(known, _)| known == name).map(|(_, table)| table)
    }

    /// The tables, in the order of their files; whichever was not read yet is read now.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        self.tables.iter().filter_map(|(_, table)| table.get())
    }

    /// The names of the tables.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.tables.iter().map(|(name, _)| name.as_str())
    }

    /// The table of that name.
    pub fn table(&self, name: &str) -> Option<&Table> {
        self.deferred(name).and_then(Deferred::get)
    }

    /// The sources, to be shared by another bank.
    pub(super) fn shared_sources(&self) -> &Arc<Sources> {
        &self.sources
    }

    /// The sources.
    pub fn sources(&self) -> &[Source] {
        self.sources.all()
    }

    /// The source of that id.
    pub fn source(&self, id: &str) -> Option<&Source> {
        self.sources.find(id)
    }

    /// Names that are taught under a second one as well, in small letters: the columns `name` and `second` of
    /// the table `second_names`.
    pub fn second_names(&self) -> Vec<(&str, &str)> {
        let Some(table) = self.table("second_names") else { return Vec::new() };
        let columns = table.column("name").zip(table.column("second"));
        let Some((name, second)) = columns else { return Vec::new() };
        let rows = table.rows.iter();
        rows.filter_map(|row| {
            Some((row.cells[name].first()?.text()?, row.cells[second].first()?.text()?))
        })
        .collect()
    }

    /// Whether a claim may be asked about: it rests on more than memory.
    pub fn may_ask(&self, claim: &Claim) -> bool {
        claim.source.is_empty()
            || self.source(&claim.source).is_some_and(|source| source.standing != Reliance::Memory)
    }

    /// The name of a claim's source as questions print it.
    pub fn short(&self, claim: &Claim) -> &str {
        self.source(&claim.source).map_or("", |source| source.short.as_str())
    }
}

impl Column {
    /// What a claim of the column says, in words: `0.90 g/mL`, `30 to 36 °C`, `alpha; beta`.
    pub fn told(&self, claim: &Claim) -> String {
        let with_unit = |number: &Exact, unit: Unit| Quantity::new(*number, unit).to_string();
        match (&claim.fact, self.kind) {
            (Fact::Text(text), _) => text.clone(),
            (Fact::Number(number), ColumnKind::Number(unit)) => with_unit(number, unit),
            (Fact::Number(number), _) => number.to_string(),
            (Fact::Range(low, high), ColumnKind::Range(unit)) => {
                format!("{low} to {}", with_unit(high, unit))
            }
            (Fact::Range(low, high), _) => format!("{low} to {high}"),
            (Fact::Sequence(lines), _) => lines.join("; "),
        }
    }

    /// Whether a claim of the column says something of its row. A text that is judged is what the row
    /// asks about, whether true or false; elsewhere, a claim that its source denies says nothing.
    pub fn says(&self, claim: &Claim) -> bool {
        self.judged || claim.is_true()
    }

    /// Whether the sources of a cell differ: two of them say different things, and the column is not
    /// one in which both hold.
    pub fn is_disputed(&self, claims: &[Claim]) -> bool {
        let differ = |one: &Claim, other: &Claim| match (&one.fact, &other.fact) {
            _ if one.source == other.source || !one.is_true() || !other.is_true() => false,
            (Fact::Number(one), Fact::Number(other)) => one.trimmed() != other.trimmed(),
            (one, other) => one != other,
        };
        let pairs = claims.iter().enumerate();
        let mut pairs =
            pairs.flat_map(|(n, one)| claims[n + 1..].iter().map(move |other| (one, other)));
        self.kind != ColumnKind::Texts && pairs.any(|(one, other)| differ(one, other))
    }
}

impl Table {
    /// The place of the column of that name.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.name == name)
    }

    /// What is so instead of a false claim of a row, in words: what its source says, or the reason of the
    /// statement.
    pub fn instead<'a>(&self, row: &'a Row, claim: &'a Claim) -> Option<&'a str> {
        if let Bearing::Denies(Some(instead)) = &claim.bearing {
            return Some(instead);
        }
        let reasons = self.column("because").and_then(|column| row.cells.get(column));
        reasons.into_iter().flatten().filter(|reason| reason.is_true()).find_map(Claim::text)
    }

    /// The row of that id.
    pub fn row(&self, id: &str) -> Option<&Row> {
        self.rows.iter().find(|row| row.id == id)
    }
}

impl Claim {
    /// What a source says.
    pub fn of(fact: Fact, source: String) -> Self {
        Self {
            fact,
            source,
            note: None,
            also: Vec::new(),
            bearing: Bearing::Says,
            invented: false,
            either_way: Vec::new(),
        }
    }

    /// Whether its source says it; otherwise it is false.
    pub fn is_true(&self) -> bool {
        self.bearing == Bearing::Says && !self.invented
    }

    /// The text, when it is one.
    pub fn text(&self) -> Option<&str> {
        match &self.fact {
            Fact::Text(text) => Some(text),
            _ => None,
        }
    }
}
