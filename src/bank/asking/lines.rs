//! Lines to match, to group and to put in order, and the line with the error.

use crate::bank::asking::pools::{askable, first_text, is_said};
use crate::bank::facts::same::same;
use crate::bank::facts::{Claim, ColumnKind, Fact};
use crate::bank::reading::desk::way;
use crate::bank::template::theory::{
    Case, Choice, ChoiceCase, MatchingCase, OrderingCase, TheoryPlan,
};
use crate::bank::written_parts::{FindErrorText, GroupingText, MatchingText, OrderingText};

use super::{Asker, options_of};

impl Asker<'_, '_, '_> {
    pub(super) fn matching(&mut self, text: &MatchingText) -> Option<TheoryPlan> {
        let table = self.table("rows", &text.rows)?;
        let left = self.column("left", table, &text.left)?;
        let right = self.column("right", table, &text.right)?;
        let pairs = self.whole("pairs", &text.pairs, 2, 12)?;
        let extra = match &text.extra {
            Some(extra) => self.whole("extra", extra, 0, 10)?,
            None => 0,
        };
        self.expect_closed("right", table, right)?;
        self.expect_texts("right", table, right)?;
        let (mut rows, mut rights) = (Vec::new(), Vec::new());
        for row in &table.rows {
            let Some(claim) = askable(self.facts, table, row, right).next() else { continue };
            let (Some(name), Some(text)) = (first_text(row, left), claim.text()) else { continue };
            let is_shared =
                table.rows.iter().any(|other| other.id != row.id && is_said(other, right, text));
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
            self.too_few("pairs", what, "show fewer, or add rows to the table");
            return None;
        }
        let case = Case::Matching(MatchingCase { rows, rights, pairs, extra, shared: false });
        Some(TheoryPlan { picks: Vec::new(), options: Vec::new(), cases: vec![case] })
    }

    pub(super) fn grouping(&mut self, text: &GroupingText) -> Option<TheoryPlan> {
        let table = self.table("rows", &text.rows)?;
        let item = self.column("item", table, &text.item)?;
        let group = self.column("group", table, &text.group)?;
        let pairs = self.whole("items", &text.items, 2, 12)?;
        self.expect_closed("group", table, group)?;
        self.expect_texts("group", table, group)?;
        let all: Vec<&str> = table.rows.iter().filter_map(|row| first_text(row, group)).collect();
        for (n, wanted) in text.among.iter().enumerate() {
            if text.among[..n].iter().any(|earlier| same(earlier, wanted)) {
                let at = way!["parts", self.id, self.kind, "among", n];
                self.desk.value(&at, format!("`{wanted}` stands twice in the list"), "again", None);
                return None;
            }
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
            let said: Vec<&Claim> =
                row.cells[group].iter().filter(|claim| claim.is_true()).collect();
            let [claim] = said.as_slice() else { continue };
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
            self.too_few("items", what, "show fewer, name groups under `among`, or add rows");
            return None;
        }
        let case = Case::Matching(MatchingCase { rows, rights, pairs, extra: 0, shared: true });
        Some(TheoryPlan { picks: Vec::new(), options: Vec::new(), cases: vec![case] })
    }

    pub(super) fn ordering(&mut self, text: &OrderingText) -> Option<TheoryPlan> {
        let show = self.whole("show", &text.show, 3, 12)?;
        let is_lines = |kind| kind == ColumnKind::Sequence;
        let cell = self.drawn_cell("steps", &text.steps, "lines", is_lines)?;
        let mut cases = Vec::new();
        for option in cell.options {
            let claim = cell.claim(option)?;
            let Fact::Sequence(lines) = &claim.fact else { return None };
            if lines.len() < show {
                let what =
                    format!("expected {show} lines in `{}`, found {}", option.row, lines.len());
                self.too_few("show", what, "show fewer, or pick other rows");
                return None;
            }
            cases.push(Case::Ordering(OrderingCase {
                lines: lines.clone(),
                either_way: claim.either_way.clone(),
                show,
                source: claim.source.clone(),
            }));
        }
        let picks = vec![cell.value];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }

    pub(super) fn find_error(&mut self, text: &FindErrorText) -> Option<TheoryPlan> {
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
            let claim = askable(self.facts, table, row, wrong).next()?;
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
                    let what = format!(
                        "expected {show} lines in `{}`, found {}",
                        procedure.row,
                        lines.len()
                    );
                    self.too_few("show", what, "show fewer, or pick other rows");
                    return None;
                }
                let source = claim.source.clone();
                let because = format!("{because} It should read: {}.", right.trim_end_matches('.'));
                let mut places = vec![place];
                places.extend((0..lines.len()).filter(|other| *other != place));
                let wrongs = places.iter().skip(1).map(|place| Choice {
                    text: lines[*place].clone(),
                    source: source.clone(),
                    ..Choice::default()
                });
                cases.push(Case::Choice(ChoiceCase {
                    wrongs: wrongs.collect(),
                    rights: vec![Choice {
                        text: wrong.to_owned(),
                        because,
                        source: source.clone(),
                        ..Choice::default()
                    }],
                    show,
                    least: 1,
                    most: 1,
                    several: false,
                    exclusive: false,
                    lines: Some(places),
                }));
            }
        }
        let picks = vec![cell.value, fault];
        Some(TheoryPlan { options: options_of(&picks, self.values), picks, cases })
    }
}
