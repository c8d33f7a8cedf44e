//! Checking the parts that want no number worked out, and gathering what they can show.

use super::desk::{Desk, way};
use super::facts::{Claim, ColumnKind, Fact, Facts, Row, Table};
use super::pools::{
    StatementColumns, askable, first_text, is_said, rights, row_name, rows_without, same,
    statements, wrongs,
};
use super::reading::Way;
use super::template::{PickOption, Rule, Value};
use super::theory::{
    Case, Choice, ChoiceCase, JudgementCase, MatchingCase, OrderingCase, RangeCase, TextCase,
    TheoryPlan, WrittenCase,
};
use super::written::{
    FindErrorText, GroupingText, JudgementText, MatchingText, OptionsText, OrderingText, PartText,
    RangeText, ShortText, WrittenText,
};

/// The kind of a part, if it is one of theory; `None` for a number.
///
/// What is wrong is noted; then there is no plan.
pub(super) fn theory_part(
    desk: &mut Desk<'_>,
    id: &String,
    text: &PartText,
    marks: u32,
    values: &[Value],
    facts: &Facts,
) -> Option<Option<TheoryPlan>> {
    let kinds = [
        ("one_option", text.one_option.is_some()),
        ("several_options", text.several_options.is_some()),
        ("true_or_false", text.true_or_false.is_some()),
        ("matching", text.matching.is_some()),
        ("grouping", text.grouping.is_some()),
        ("ordering", text.ordering.is_some()),
        ("find_error", text.find_error.is_some()),
        ("short_text", text.short_text.is_some()),
        ("range", text.range.is_some()),
        ("written", text.written.is_some()),
    ];
    let given: Vec<&str> = kinds.iter().filter(|(_, is)| *is).map(|(key, _)| *key).collect();
    let kind = *given.first()?;
    if given.len() > 1 {
        let what = format!("expected one kind of answer, found `{}`", given.join("` and `"));
        let help = Some("keep one, and ask the other in a part of its own".to_owned());
        desk.key(&way!["parts", id], what, "which kind?", help);
        return Some(None);
    }
    let numeric = [("answer", &text.answer), ("unit", &text.unit), ("round", &text.round)];
    if let Some((key, _)) = numeric.iter().find(|(_, value)| value.is_some()) {
        let what = format!("expected no `{key}` in a part with `{kind}`");
        let help = Some("remove the line, or ask for the number in a part of its own".to_owned());
        desk.key(&way!["parts", id, *key], what, "goes with numbers", help);
        return Some(None);
    }
    let mut asker = Asker { desk, id, kind, values, facts, marks };
    Some(match text {
        PartText { one_option: Some(text), .. } => asker.options(text, false),
        PartText { several_options: Some(text), .. } => asker.options(text, true),
        PartText { true_or_false: Some(text), .. } => asker.judgement(text),
        PartText { matching: Some(text), .. } => asker.matching(text),
        PartText { grouping: Some(text), .. } => asker.grouping(text),
        PartText { ordering: Some(text), .. } => asker.ordering(text),
        PartText { find_error: Some(text), .. } => asker.find_error(text),
        PartText { short_text: Some(text), .. } => asker.short_text(text),
        PartText { range: Some(text), .. } => asker.range(text),
        PartText { written: Some(text), .. } => asker.written(text),
        _ => None,
    })
}

/// A pick and one of its columns.
struct Cell<'a> {
    /// The pick, as an index into the values.
    value: usize,
    table: &'a Table,
    column: usize,
    options: &'a [PickOption],
}

impl<'a> Cell<'a> {
    fn row(&self, option: &PickOption) -> Option<&'a Row> {
        self.table.row(&option.row)
    }

    fn claim(&self, option: &PickOption) -> Option<&'a Claim> {
        let claim = option.claims.get(self.column).copied().flatten()?;
        self.row(option)?.cells[self.column].get(claim)
    }
}

/// Checks one part.
struct Asker<'d, 'a, 'f> {
    desk: &'d mut Desk<'a>,
    id: &'d String,
    kind: &'static str,
    values: &'f [Value],
    facts: &'f Facts,
    marks: u32,
}

impl<'f> Asker<'_, '_, 'f> {
    fn at(&self, key: &str) -> Vec<Way> {
        way!["parts", self.id, self.kind, key].to_vec()
    }

    fn whole(&mut self, key: &str, text: &str, low: u32, high: u32) -> Option<usize> {
        let at = self.at(key);
        self.desk.whole(&at, text, low, high).and_then(|number| usize::try_from(number).ok())
    }

    /// Notes that the tables do not hold enough.
    fn too_few(&mut self, key: &str, what: String, help: &str) -> Option<TheoryPlan> {
        let at = self.at(key);
        self.desk.value(&at, what, "too few", Some(help.to_owned()));
        None
    }

    /// The pick and column of a text such as `base.lubricant`.
    fn cell(&mut self, key: &str, text: &str) -> Option<Cell<'f>> {
        let (pick, name) = text.split_once('.').unwrap_or((text, ""));
        let (value, table, options) = self.pick(key, pick)?;
        let Some(column) = table.column(name) else {
            let columns = table.columns.iter().map(|column| format!("{pick}.{}", column.name));
            let columns: Vec<String> = columns.collect();
            let at = self.at(key);
            let known = columns.iter().map(String::as_str);
            self.desk.unknown(&at, "a pick and its column", text, known);
            return None;
        };
        Some(Cell { value, table, column, options })
    }

    /// The pick of that name with its table and possibilities.
    fn pick(&mut self, key: &str, name: &str) -> Option<(usize, &'f Table, &'f [PickOption])> {
        let found = self.values.iter().enumerate().find_map(|(place, value)| match &value.rule {
            Rule::Pick { table, options, .. } if value.name == name => {
                Some((place, self.facts.table(table)?, options.as_slice()))
            }
            _ => None,
        });
        if found.is_none() {
            let picks = self.values.iter().filter(|v| matches!(v.rule, Rule::Pick { .. }));
            let known: Vec<&str> = picks.map(|value| value.name.as_str()).collect();
            let at = self.at(key);
            self.desk.unknown(&at, "a pick", name, known);
        }
        found
    }

    /// A cell whose column is of the wanted kind and drawn with its source.
    fn drawn_cell(
        &mut self,
        key: &str,
        text: &str,
        what: &str,
        fits: impl Fn(ColumnKind) -> bool,
    ) -> Option<Cell<'f>> {
        let cell = self.cell(key, text)?;
        let column = &cell.table.columns[cell.column];
        if !fits(column.kind) {
            let at = self.at(key);
            self.desk.value(&at, format!("expected a column of {what}"), "another kind", None);
            return None;
        }
        let lacks = |option: &PickOption| cell.claim(option).is_none();
        if cell.options.iter().any(lacks) {
            let (pick, name) = (&self.values[cell.value].name, &column.name);
            let what = format!("rows without `{name}` can be drawn for `{pick}`");
            let help = Some(format!("name `{name}` under `with` of `{pick}`"));
            let at = self.at(key);
            self.desk.value(&at, what, "may be empty", help);
            return None;
        }
        Some(cell)
    }

    /// Notes a column that may hold more than is listed, so that nothing is known to be false.
    fn expect_closed(&mut self, key: &str, table: &Table, column: usize) -> Option<()> {
        let column = &table.columns[column];
        if column.closed {
            return Some(());
        }
        let what = format!("the column `{}` of `{}` is not closed", column.name, table.name);
        let help = "write `closed: true` in the table when what is not listed is false, so that other \
                    rows can give wrong options";
        let at = self.at(key);
        self.desk.value(&at, what, "what is false here?", Some(help.to_owned()));
        None
    }

    fn table(&mut self, key: &str, name: &str) -> Option<&'f Table> {
        let found = self.facts.table(name);
        if found.is_none() {
            let known = self.facts.tables.iter().map(|table| table.name.as_str());
            let at = self.at(key);
            self.desk.unknown(&at, "a facts table", name, known);
        }
        found
    }

    fn column(&mut self, key: &str, table: &Table, name: &str) -> Option<usize> {
        let found = table.column(name);
        if found.is_none() {
            let known = table.columns.iter().map(|column| column.name.as_str());
            let at = self.at(key);
            self.desk.unknown(&at, "a column of the table", name, known);
        }
        found
    }

    fn statement_columns(&mut self, key: &str, table: &Table) -> Option<StatementColumns> {
        match StatementColumns::of(table) {
            Ok(columns) => Some(columns),
            Err(lacking) => {
                let names = StatementColumns::NAMES.join("`, `");
                let what = format!("the table `{}` has no column `{lacking}`", table.name);
                let help = format!("a table of statements has the columns `{names}`");
                let at = self.at(key);
                self.desk.value(&at, what, "no statements", Some(help));
                None
            }
        }
    }

    fn options(&mut self, text: &OptionsText, several: bool) -> Option<TheoryPlan> {
        let show = self.whole("show", &text.show, 2, 12)?;
        let mut bounds = Vec::new();
        for (place, bound) in text.right.iter().enumerate() {
            let at = way!["parts", self.id, self.kind, "right", place];
            bounds.push(self.desk.whole(&at, bound, 1, 11)? as usize);
        }
        let (least, most) = match (several, bounds.as_slice()) {
            (false, []) => (1, 1),
            (true, [only]) => (*only, *only),
            (true, [least, most]) if least <= most && *most < show => (*least, *most),
            _ => {
                let (what, help) = if several {
                    ("expected the least and the greatest number of right options", "[2, 3]")
                } else {
                    ("expected no `right` with `one_option`", "nothing, one option is right")
                };
                let at = way!["parts", self.id, self.kind];
                self.desk.key(&at, what, "here", Some(format!("write `right: {help}`")));
                return None;
            }
        };
        let (picks, pools) = match text {
            OptionsText { of: Some(of), .. } => self.texts_of(of, several)?,
            OptionsText { which: Some(which), .. } => {
                self.names_with(which, text.has.as_deref().unwrap_or_default())?
            }
            OptionsText { statements: Some(table), .. } => {
                self.statements_about(table, text.about.as_deref().unwrap_or_default())?
            }
            _ => return None,
        };
        let mut cases = Vec::with_capacity(pools.len());
        for (name, (rights, wrongs)) in pools {
            if rights.len() < least || wrongs.len() + most.min(rights.len()) < show {
                let what = format!(
                    "expected {show} options of which {least} to {most} are right, found {} right and {} wrong ones for {name}",
                    rights.len(),
                    wrongs.len()
                );
                return self.too_few("show", what, "show fewer, or add rows to the table");
            }
            let most = most.min(rights.len());
            let least = least.max(show.saturating_sub(wrongs.len()));
            cases.push(Case::Choice(ChoiceCase {
                rights,
                wrongs,
                show,
                least,
                most,
                several,
                lines: None,
            }));
        }
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    /// `of`: the texts of the drawn row against those of the others.
    fn texts_of(&mut self, of: &str, several: bool) -> Option<Pools> {
        let is_text = |kind| matches!(kind, ColumnKind::Text | ColumnKind::Texts);
        let cell = self.drawn_cell("of", of, "texts", is_text)?;
        self.expect_closed("of", cell.table, cell.column)?;
        let mut pools = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let mut true_ones = rights(self.facts, cell.table, row, cell.column);
            if !several {
                true_ones.retain(|right| claim.text().is_some_and(|text| same(text, &right.text)));
                true_ones.iter_mut().for_each(|right| right.source.clone_from(&claim.source));
            }
            let false_ones = wrongs(self.facts, cell.table, row, cell.column);
            pools.push((row_name(cell.table, row).to_owned(), (true_ones, false_ones)));
        }
        Some((vec![cell.value], pools))
    }

    /// `which` and `has`: the name of the drawn row against those of rows that do not have its text.
    fn names_with(&mut self, which: &str, has: &str) -> Option<Pools> {
        let is_text = |kind| matches!(kind, ColumnKind::Text | ColumnKind::Texts);
        let naming = self.drawn_cell("which", which, "texts", is_text)?;
        let cell = self.drawn_cell("has", has, "texts", is_text)?;
        if cell.value != naming.value {
            let at = self.at("has");
            self.desk.value(&at, "expected a column of the same pick", "another pick", None);
            return None;
        }
        self.expect_closed("has", cell.table, cell.column)?;
        let mut pools = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let (name, text) = (first_text(row, naming.column)?, claim.text()?);
            let because = format!("{}.", self.facts.short(claim));
            let right = Choice { text: name.to_owned(), because, source: claim.source.clone() };
            let others =
                rows_without(self.facts, cell.table, row, naming.column, cell.column, text);
            pools.push((name.to_owned(), (vec![right], others)));
        }
        Some((vec![cell.value], pools))
    }

    /// `statements` and `about`: what is true of a subject against what is false of it.
    fn statements_about(&mut self, table: &str, about: &str) -> Option<Pools> {
        let table = self.table("statements", table)?;
        let columns = self.statement_columns("statements", table)?;
        let subjects = table.rows.iter().filter_map(|row| first_text(row, columns.subject));
        let subjects: Vec<&str> = subjects.collect();
        let is_subject = |text: &str| subjects.iter().any(|subject| same(subject, text));
        let pick = about.split_once('.').map(|(pick, _)| pick);
        let is_pick = pick.is_some_and(|pick| self.values.iter().any(|v| v.name == pick));
        if !is_pick {
            if !is_subject(about) {
                let at = self.at("about");
                self.desk.unknown(&at, "a subject of the statements", about, subjects);
                return None;
            }
            let pool = statements(self.facts, table, columns, about);
            return Some((Vec::new(), vec![(about.to_owned(), pool)]));
        }
        let cell = self.drawn_cell("about", about, "texts", |kind| kind == ColumnKind::Text)?;
        let mut pools = Vec::new();
        for option in cell.options {
            let subject = cell.claim(option)?.text()?;
            pools.push((
                subject.to_owned(),
                statements(self.facts, table, columns, subject),
            ));
        }
        Some((vec![cell.value], pools))
    }

    fn judgement(&mut self, text: &JudgementText) -> Option<TheoryPlan> {
        let show = self.whole("reasons", &text.reasons, 2, 8)?;
        let (value, table, options) = self.pick("statement", &text.statement)?;
        let columns = self.statement_columns("statement", table)?;
        if self.marks < 2 {
            let what = "expected at least 2 marks: one for the verdict, the others for the reason";
            self.desk.value(&way!["parts", self.id, "marks"], what, "too few", None);
            return None;
        }
        let mut cases = Vec::new();
        for option in options {
            let row = table.row(&option.row)?;
            let subject = first_text(row, columns.subject)?;
            let claim = askable(self.facts, row, columns.says).next()?;
            let reason = |row: &Row, source: &str| Choice {
                text: first_text(row, columns.because).unwrap_or_default().to_owned(),
                because: String::new(),
                source: source.to_owned(),
            };
            let own = reason(row, &claim.source);
            let mut others: Vec<Choice> = Vec::new();
            for other in table.rows.iter().filter(|other| other.id != row.id) {
                let Some(said) = askable(self.facts, other, columns.says).next() else { continue };
                let other_reason = reason(other, &said.source);
                let is_known = others.iter().any(|known| same(&known.text, &other_reason.text));
                if first_text(other, columns.subject) == Some(subject)
                    && !is_known
                    && !same(&other_reason.text, &own.text)
                {
                    others.push(other_reason);
                }
            }
            if others.len() + 1 < show {
                let what = format!(
                    "expected {show} reasons about {subject}, found {}",
                    others.len() + 1
                );
                return self.too_few("reasons", what, "show fewer, or add statements");
            }
            cases.push(Case::Judgement(JudgementCase {
                statement: claim.text()?.to_owned(),
                truth: first_text(row, columns.verdict) == Some("true"),
                reason: own,
                others,
                show,
            }));
        }
        let picks = vec![value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    fn matching(&mut self, text: &MatchingText) -> Option<TheoryPlan> {
        let table = self.table("rows", &text.rows)?;
        let left = self.column("left", table, &text.left)?;
        let right = self.column("right", table, &text.right)?;
        let pairs = self.whole("pairs", &text.pairs, 2, 12)?;
        let extra = match &text.extra {
            Some(extra) => self.whole("extra", extra, 0, 10)?,
            None => 0,
        };
        self.expect_closed("right", table, right)?;
        let (mut rows, mut rights) = (Vec::new(), Vec::new());
        for row in &table.rows {
            let Some(claim) = askable(self.facts, row, right).next() else { continue };
            let (Some(name), Some(text)) = (first_text(row, left), claim.text()) else { continue };
            let is_shared = table
                .rows
                .iter()
                .any(|other| other.id != row.id && is_said(other, right, text));
            if !is_shared {
                rows.push((name.to_owned(), rights.len(), claim.source.clone()));
                rights.push(text.to_owned());
            }
        }
        if rows.len() < pairs + extra {
            let what = format!(
                "expected {} rows whose text is theirs alone, found {}",
                pairs + extra,
                rows.len()
            );
            return self.too_few("pairs", what, "show fewer, or add rows to the table");
        }
        let case = Case::Matching(MatchingCase { rows, rights, pairs, extra, shared: false });
        Some(TheoryPlan { picks: Vec::new(), options: Vec::new(), cases: vec![case] })
    }

    fn grouping(&mut self, text: &GroupingText) -> Option<TheoryPlan> {
        let table = self.table("rows", &text.rows)?;
        let item = self.column("item", table, &text.item)?;
        let group = self.column("group", table, &text.group)?;
        let pairs = self.whole("items", &text.items, 2, 12)?;
        self.expect_closed("group", table, group)?;
        let all: Vec<&str> = table.rows.iter().filter_map(|row| first_text(row, group)).collect();
        for (n, wanted) in text.among.iter().enumerate() {
            if !all.iter().any(|known| same(known, wanted)) {
                let at = way!["parts", self.id, self.kind, "among", n];
                self.desk.unknown(&at, "a group of the table", wanted, all.iter().copied());
                return None;
            }
        }
        let mut rights: Vec<String> = text.among.clone();
        let mut rows = Vec::new();
        for row in &table.rows {
            // What may belong to several groups has no single answer.
            let [claim] = row.cells[group].as_slice() else { continue };
            let (Some(name), Some(said)) = (first_text(row, item), claim.text()) else { continue };
            if !self.facts.may_ask(claim) {
                continue;
            }
            let known = rights.iter().position(|known| same(known, said));
            let place = match known {
                Some(place) => place,
                None if text.among.is_empty() => {
                    rights.push(said.to_owned());
                    rights.len() - 1
                }
                None => continue,
            };
            rows.push((name.to_owned(), place, claim.source.clone()));
        }
        if rows.len() < pairs || rights.len() < 2 || rights.len() > 8 {
            let what = format!(
                "expected {pairs} things in 2 to 8 groups, found {} things in {} groups",
                rows.len(),
                rights.len()
            );
            return self.too_few("items", what, "show fewer, name groups under `among`, or add rows");
        }
        let case = Case::Matching(MatchingCase { rows, rights, pairs, extra: 0, shared: true });
        Some(TheoryPlan { picks: Vec::new(), options: Vec::new(), cases: vec![case] })
    }

    fn ordering(&mut self, text: &OrderingText) -> Option<TheoryPlan> {
        let show = self.whole("show", &text.show, 3, 12)?;
        let is_lines = |kind| kind == ColumnKind::Sequence;
        let cell = self.drawn_cell("steps", &text.steps, "lines", is_lines)?;
        let mut cases = Vec::new();
        for option in cell.options {
            let claim = cell.claim(option)?;
            let Fact::Sequence(lines) = &claim.fact else { return None };
            if lines.len() < show {
                let what = format!("expected {show} lines in `{}`, found {}", option.row, lines.len());
                return self.too_few("show", what, "show fewer, or pick other rows");
            }
            cases.push(Case::Ordering(OrderingCase {
                lines: lines.clone(),
                show,
                source: claim.source.clone(),
            }));
        }
        let picks = vec![cell.value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    fn find_error(&mut self, text: &FindErrorText) -> Option<TheoryPlan> {
        let show = self.whole("show", &text.show, 3, 12)?;
        let is_lines = |kind| kind == ColumnKind::Sequence;
        let cell = self.drawn_cell("lines", &text.lines, "lines", is_lines)?;
        let (fault, table, faults) = self.pick("fault", &text.fault)?;
        let [right, wrong, because] = ["right", "wrong", "because"];
        let right = self.column("fault", table, right)?;
        let wrong = self.column("fault", table, wrong)?;
        let because = self.column("fault", table, because)?;
        let mut cases = Vec::new();
        for option in faults {
            let row = table.row(&option.row)?;
            let claim = askable(self.facts, row, wrong).next()?;
            let (right, wrong) = (first_text(row, right)?, claim.text()?);
            let because = first_text(row, because).unwrap_or_default().to_owned();
            for procedure in cell.options {
                let Fact::Sequence(lines) = &cell.claim(procedure)?.fact else { return None };
                let Some(place) = lines.iter().position(|line| line == right) else {
                    let at = self.at("fault");
                    let what = format!(
                        "the line `{right}` of row `{}` does not stand in `{}`",
                        option.row, procedure.row
                    );
                    let help = "pick only faults of this procedure, or write the line as it stands";
                    self.desk.value(&at, what, "which line?", Some(help.to_owned()));
                    return None;
                };
                if lines.len() < show {
                    let what =
                        format!("expected {show} lines in `{}`, found {}", procedure.row, lines.len());
                    return self.too_few("show", what, "show fewer, or pick other rows");
                }
                let source = claim.source.clone();
                let because = format!("{because} It should read: {right}.");
                let mut places = vec![place];
                places.extend((0..lines.len()).filter(|other| *other != place));
                let wrongs = places.iter().skip(1).map(|place| Choice {
                    text: lines[*place].clone(),
                    because: String::new(),
                    source: source.clone(),
                });
                cases.push(Case::Choice(ChoiceCase {
                    wrongs: wrongs.collect(),
                    rights: vec![Choice { text: wrong.to_owned(), because, source: source.clone() }],
                    show,
                    least: 1,
                    most: 1,
                    several: false,
                    lines: Some(places),
                }));
            }
        }
        let picks = vec![cell.value, fault];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    fn short_text(&mut self, text: &ShortText) -> Option<TheoryPlan> {
        let is_text = |kind| matches!(kind, ColumnKind::Text);
        let cell = self.drawn_cell("of", &text.of, "texts", is_text)?;
        let mut cases = Vec::new();
        for option in cell.options {
            let (row, claim) = (cell.row(option)?, cell.claim(option)?);
            let mut answers = vec![claim.text()?.to_owned()];
            answers.extend(claim.also.iter().cloned());
            let others = cell.table.rows.iter().filter(|other| other.id != row.id);
            let others = others.flat_map(|other| &other.cells[cell.column]);
            let others = others.flat_map(|claim| claim.text().into_iter().map(str::to_owned).chain(claim.also.iter().cloned()));
            let others = others.filter(|other| !answers.iter().any(|answer| same(answer, other)));
            let others: Vec<String> = others.collect();
            cases.push(Case::Text(TextCase { answers, others, source: claim.source.clone() }));
        }
        let picks = vec![cell.value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    fn range(&mut self, text: &RangeText) -> Option<TheoryPlan> {
        let is_range = |kind| matches!(kind, ColumnKind::Range(_));
        let cell = self.drawn_cell("of", &text.of, "ranges", is_range)?;
        let at = self.at("tolerance");
        let tolerance = self.desk.number(&at, &text.tolerance)?;
        if tolerance.is_negative() {
            self.desk.value(&at, "expected a tolerance of zero or more", "below zero", None);
            return None;
        }
        let ColumnKind::Range(unit) = cell.table.columns[cell.column].kind else { return None };
        let mut cases = Vec::new();
        for option in cell.options {
            let claim = cell.claim(option)?;
            let Fact::Range(low, high) = claim.fact else { return None };
            let source = claim.source.clone();
            cases.push(Case::Range(RangeCase { low, high, unit, tolerance, source }));
        }
        let picks = vec![cell.value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    fn written(&mut self, text: &WrittenText) -> Option<TheoryPlan> {
        let lines = u32::try_from(self.whole("lines", &text.lines, 1, 40)?).ok()?;
        let marks = self.marks as usize;
        let mut few = None;
        let (picks, cases) = if let Some(of) = &text.of {
            let is_text = |kind| matches!(kind, ColumnKind::Text | ColumnKind::Texts);
            let cell = self.drawn_cell("of", of, "texts", is_text)?;
            let mut cases = Vec::new();
            for option in cell.options {
                let points = rights(self.facts, cell.table, cell.row(option)?, cell.column);
                few = few.or((points.len() < marks).then_some(points.len()));
                cases.push(Case::Written(WrittenCase { points, lines }));
            }
            (vec![cell.value], cases)
        } else {
            let mut points = Vec::new();
            for (n, claim) in text.points.iter().flatten().enumerate() {
                if self.facts.source(&claim.source).is_none() {
                    let at = way!["parts", self.id, self.kind, "points", n, "source"];
                    let known = self.facts.sources.iter().map(|source| source.id.as_str());
                    self.desk.unknown(&at, "a source of sources.yaml", &claim.source, known);
                    return None;
                }
                let because = claim.note.clone().unwrap_or_default();
                let text = claim.is.0.join(", ");
                points.push(Choice { text, because, source: claim.source.clone() });
            }
            few = few.or((points.len() < marks).then_some(points.len()));
            (Vec::new(), vec![Case::Written(WrittenCase { points, lines })])
        };
        if let Some(found) = few {
            let what = format!("expected at least {marks} points, one a mark, found {found}");
            return self.too_few("lines", what, "add points, or give fewer marks");
        }
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }
}

/// The picks on which options depend, and for each of their possibilities its name, what is right
/// and what is wrong.
type Pools = (Vec<usize>, Vec<(String, (Vec<Choice>, Vec<Choice>))>);

/// How many possibilities the picks have.
fn options_of(picks: &[usize], values: &[Value]) -> Vec<usize> {
    let count = |pick: &usize| match values.get(*pick).map(|value| &value.rule) {
        Some(Rule::Pick { options, .. }) => options.len(),
        _ => 1,
    };
    picks.iter().map(count).collect()
}
