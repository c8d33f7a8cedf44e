//! Marking answers that are known rather than worked out.
//!
//! # Marks
//! * One right option, a word: all marks or none.
//! * Several right options: the marks in the share of the right options that are chosen less the share
//!   of the wrong options that are, never below nothing and rounded down. Choosing all earns nothing.
//! * Matching and grouping: the marks in the share of lines that are right, rounded down.
//! * Order: the marks in the share of neighbours, out of all neighbours of the right order, that stand
//!   one straight after the other, rounded down. A line that is moved costs the places where it is
//!   missing and where it is put, not everything behind it.
//! * True or false: one mark for the verdict; the others for the reason, with a right verdict only.
//! * A range: half the marks for each end, rounded down.
//! * A written answer is marked by hand against its points.
//!
//! Shares rounded down never make a partly right answer look right.

use crate::bank::{RangeCase, TextCase};
use crate::formula::distance;
use crate::problem::{ChoiceKey, JudgementKey, MatchingKey, OrderingKey, letter};
use crate::quantity::{Exact, Typed, Unit, read_quantity};

use super::letters::{
    read_ends, read_judgement, read_letters, read_lines, read_named_pairs, read_pairs,
};
use super::unit::{Fit, fit};
use super::{Reason, Standing, Verdict};

/// Marks the letters of options.
pub(super) fn mark_choice(key: &ChoiceKey, of: u32, answer: &str) -> Verdict {
    let count = key.options.len();
    let same = |text: &str| text.trim().eq_ignore_ascii_case(answer.trim());
    let by_text = key.options.iter().position(|option| same(&option.text)).map(|place| vec![place]);
    let Some(mut chosen) = by_text.or_else(|| read_letters(answer, count)) else {
        let expected = if key.several {
            format!("the letters of the options from A to {}, as in `A C`", last_letter(count))
        } else {
            format!("the letter of one option from A to {}", last_letter(count))
        };
        return not_read(of, expected);
    };
    chosen.sort_unstable();
    chosen.dedup();
    if !key.several && chosen.len() > 1 {
        return not_read(of, "the letter of one option only".to_owned());
    }
    let is_right = |place: &usize| key.right.get(*place).copied().unwrap_or(false);
    let rights = key.right.iter().filter(|right| **right).count();
    let (good, bad): (Vec<usize>, Vec<usize>) = chosen.into_iter().partition(is_right);
    let missed = rights.saturating_sub(good.len());
    let mut reasons = Vec::new();
    for place in &bad {
        let because = key.options.get(*place).map(|option| option.because.clone());
        // The line of a procedure that is not wrong has no reason of its own.
        let because = because.unwrap_or_default();
        reasons.push(Reason::WrongOption { letter: letter(*place, 'A'), because });
    }
    if !good.is_empty() {
        let because = good.iter().filter_map(|place| key.options.get(*place));
        let because: Vec<&str> = because.map(|option| option.because.as_str()).collect();
        let because = if bad.is_empty() && missed == 0 { because.join(" ") } else { String::new() };
        let letters = good.iter().map(|place| letter(*place, 'A')).collect();
        reasons.push(Reason::RightOptions { letters, because: because.trim().to_owned() });
    }
    if missed > 0 && key.several {
        reasons.push(Reason::Missed(missed));
    }
    // The share of the right letters less the share of the wrong ones, over a common denominator.
    let wrongs = key.right.len().saturating_sub(rights).max(1);
    let share = (good.len() * wrongs).saturating_sub(bad.len() * rights);
    let mut verdict = verdict(of, share, rights * wrongs, reasons);
    if !bad.is_empty() && verdict.standing == Standing::Right {
        verdict.standing = Standing::Partly;
    }
    verdict
}

/// Marks a verdict with its reason.
pub(super) fn mark_judgement(key: &JudgementKey, of: u32, answer: &str) -> Verdict {
    let count = key.reasons.len();
    let Some((truth, reason)) = read_judgement(answer, count) else {
        if key.right.is_none() {
            return not_read(of, "`true` or `false`".to_owned());
        }
        let expected = format!(
            "`true` or `false` and the letter of a reason from A to {}, as in `true B`",
            last_letter(count)
        );
        return not_read(of, expected);
    };
    let right_reason = reason == key.right;
    let mut reasons = vec![Reason::Judged { right: truth == key.truth }];
    if truth == key.truth && key.right.is_some() {
        reasons.push(match reason {
            Some(_) => Reason::ReasonGiven { right: right_reason },
            None => Reason::NoReasonGiven,
        });
    }
    let marks = match (truth == key.truth, right_reason) {
        (true, true) => of,
        (true, false) => of.min(1),
        (false, _) => 0,
    };
    from_marks(of, marks, truth == key.truth && right_reason, reasons)
}

/// Marks pairs.
pub(super) fn mark_matching(key: &MatchingKey, of: u32, answer: &str) -> Verdict {
    let (lines, count) = (key.left.len(), key.right.len());
    let read = read_pairs(answer, lines, count).or_else(|| {
        read_named_pairs(answer, lines, &key.right).filter(|it| it.iter().any(Option::is_some))
    });
    let Some(pairs) = read else {
        let expected = format!(
            "a letter from A to {} for each line from 1 to {lines}, as in `1b 2a`",
            last_letter(count)
        );
        return not_read(of, expected);
    };
    let is_right =
        |line: &usize| pairs[*line].is_some() && pairs[*line] == key.answers.get(*line).copied();
    let right = (0..lines).filter(is_right).count();
    let wrong = (0..lines).filter(|line| pairs[*line].is_some() && !is_right(line));
    let wrong: Vec<usize> = wrong.map(|line| line + 1).collect();
    let empty = (0..lines).filter(|line| pairs[*line].is_none()).map(|line| line + 1).collect();
    verdict(of, right, lines, vec![Reason::Pairs { right, of: lines, wrong, empty }])
}

/// Marks an order.
pub(super) fn mark_ordering(key: &OrderingKey, of: u32, answer: &str) -> Verdict {
    let count = key.items.len();
    let each_once = |places: &Vec<usize>| {
        let mut sorted = places.clone();
        sorted.sort_unstable();
        sorted.iter().copied().eq(0..count)
    };
    let read = read_letters(answer, count).filter(each_once);
    let read = read.or_else(|| read_lines(answer, &key.items).filter(each_once));
    let Some(places) = read else {
        let expected = format!("each letter from A to {} once, in order", last_letter(count));
        return not_read(of, expected);
    };
    let place_of = |item: usize| places.iter().position(|place| *place == item);
    if key.before.iter().all(|(one, other)| place_of(*one) < place_of(*other)) {
        let all = count.saturating_sub(1);
        return verdict(of, all, all, vec![Reason::Neighbours { right: all, of: all }]);
    }
    let neighbours = |order: &[usize]| -> Vec<(usize, usize)> {
        order.windows(2).map(|pair| (pair[0], pair[1])).collect()
    };
    let wanted = neighbours(&key.order);
    let right = neighbours(&places).iter().filter(|pair| wanted.contains(pair)).count();
    verdict(of, right, wanted.len(), vec![Reason::Neighbours { right, of: wanted.len() }])
}

/// Marks a word or two.
pub(super) fn mark_text(key: &TextCase, of: u32, answer: &str) -> Verdict {
    let plain = TextCase::plain(answer);
    if plain.is_empty() {
        return not_read(of, "a word or two".to_owned());
    }
    let same = |text: &&String| TextCase::plain(text) == plain;
    if let Some(term) = key.answers.iter().find(same) {
        return from_marks(of, of, true, vec![Reason::RightTerm { term: term.clone() }]);
    }
    if let Some(term) = key.others.iter().find(same) {
        return from_marks(of, 0, false, vec![Reason::OtherTerm { term: term.clone() }]);
    }
    let near = |texts: &[String]| {
        texts.iter().map(|text| (distance(&plain, &TextCase::plain(text)), text.clone())).min()
    };
    let allowed = usize::from(plain.chars().count() > 4);
    match (near(&key.answers), near(&key.others)) {
        // A spelling as near to another term is not taken for this one.
        (Some((apart, term)), other)
            if apart <= allowed
                && figures(&TextCase::plain(&term)) == figures(&plain)
                && other.as_ref().is_none_or(|(others, _)| *others > apart) =>
        {
            from_marks(of, of, true, vec![Reason::Spelling { term }])
        }
        _ => {
            from_marks(of, 0, false, vec![Reason::NotTheTerm { answer: answer.trim().to_owned() }])
        }
    }
}

/// Marks two numbers.
pub(super) fn mark_range(key: &RangeCase, of: u32, answer: &str) -> Verdict {
    let expected = || {
        let unit = key.unit.symbol();
        not_read(of, format!("two numbers, as in `20 to 25 {unit}`").trim_end().to_owned())
    };
    let Some((low, high)) = read_ends(answer) else { return expected() };
    let (Ok(low), Ok(high)) = (read_quantity(low), read_quantity(high)) else { return expected() };
    // A unit beside one number is meant for both.
    let unit = low.unit.or(high.unit);
    let (low, high) =
        (Typed { unit: low.unit.or(unit), ..low }, Typed { unit: high.unit.or(unit), ..high });
    let (Some(low), Some(high)) = (in_unit(&low, key.unit), in_unit(&high, key.unit)) else {
        return match unit {
            Some(written) => {
                let reason = Reason::WrongDimension { written, asked: key.unit };
                from_marks(of, 0, false, vec![reason])
            }
            None => expected(),
        };
    };
    let (low, high) = if low <= high { (low, high) } else { (high, low) };
    let near = |found: Exact, wanted: Exact| {
        found.sub(wanted).is_ok_and(|apart| apart.settled().abs() <= key.tolerance)
    };
    let (lower, upper) = (near(low, key.low), near(high, key.high));
    let right = usize::from(lower) + usize::from(upper);
    verdict(of, right, 2, vec![Reason::Ends { lower, upper }])
}

/// A written answer waits for whoever marks it.
pub(super) fn mark_written(of: u32) -> Verdict {
    let reasons = vec![Reason::ByHand];
    Verdict { standing: Standing::ByHand, marks: 0, of, typed: None, reasons }
}

fn in_unit(typed: &Typed, unit: Unit) -> Option<Exact> {
    match fit(typed, unit).ok()? {
        Fit::Converted(number) => Some(number),
        Fit::Same | Fit::Missing => Some(typed.number),
        Fit::Other => None,
    }
}

/// The figures in a term, which no slip of spelling changes: macrogol 400 is not macrogol 4000.
fn figures(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_ascii_digit()).filter(|run| !run.is_empty()).collect()
}

fn last_letter(count: usize) -> String {
    letter(count.saturating_sub(1), 'A')
}

fn not_read(of: u32, expected: String) -> Verdict {
    Verdict::unread(of, Reason::NotReadAs { expected })
}

/// A verdict with the marks in the share of so many right out of all, rounded down.
fn verdict(of: u32, right: usize, all: usize, reasons: Vec<Reason>) -> Verdict {
    let share = u64::from(of) * right as u64;
    let marks = share.checked_div(all as u64).and_then(|marks| u32::try_from(marks).ok());
    from_marks(of, marks.unwrap_or(0).min(of), right == all, reasons)
}

fn from_marks(of: u32, marks: u32, right: bool, reasons: Vec<Reason>) -> Verdict {
    let standing = match (right, marks) {
        (true, _) => Standing::Right,
        (false, 0) => Standing::Wrong,
        (false, _) => Standing::Partly,
    };
    Verdict { standing, marks, of, typed: None, reasons }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Choice;

    fn choice(text: &str) -> Choice {
        Choice { text: text.to_owned(), because: format!("{text}."), ..Choice::default() }
    }

    fn options(right: &[bool], several: bool) -> ChoiceKey {
        let options = ["oily", "waxy", "dry", "sweet", "cold"];
        let options = options.iter().take(right.len()).map(|text| choice(text)).collect();
        ChoiceKey { options, right: right.to_vec(), several, is_procedure: false }
    }

    fn found(verdict: &Verdict) -> (Standing, u32) {
        (verdict.standing, verdict.marks)
    }

    #[test]
    fn one_right_option_has_all_marks_or_none() {
        let key = options(&[false, true, false, false], false);
        assert_eq!(found(&mark_choice(&key, 1, "b")), (Standing::Right, 1));
        assert_eq!(found(&mark_choice(&key, 1, "waxy")), (Standing::Right, 1));
        assert_eq!(found(&mark_choice(&key, 1, "A")), (Standing::Wrong, 0));
        assert_eq!(found(&mark_choice(&key, 1, "A B")), (Standing::Unread, 0));
        assert_eq!(found(&mark_choice(&key, 1, "E")), (Standing::Unread, 0));
    }

    #[test]
    fn wrong_options_cost_what_right_ones_earn_and_choosing_all_earns_nothing() {
        let key = options(&[true, true, true, false, false], true);
        assert_eq!(found(&mark_choice(&key, 3, "A B C")), (Standing::Right, 3));
        assert_eq!(found(&mark_choice(&key, 3, "A B")), (Standing::Partly, 2));
        // 2 of 3 right less 1 of 2 wrong is a sixth of 3 marks.
        assert_eq!(found(&mark_choice(&key, 3, "A B D")), (Standing::Wrong, 0));
        assert_eq!(found(&mark_choice(&key, 3, "A B C D")), (Standing::Partly, 1));
        assert_eq!(found(&mark_choice(&key, 3, "ABCDE")), (Standing::Wrong, 0));
        assert_eq!(found(&mark_choice(&key, 3, "D E")), (Standing::Wrong, 0));
    }

    #[test]
    fn what_is_missed_is_counted_and_not_named() {
        let key = options(&[true, true, false], true);
        let reasons = mark_choice(&key, 2, "A").reasons;
        assert!(reasons.contains(&Reason::Missed(1)), "{reasons:?}");
        assert!(!format!("{reasons:?}").contains("waxy"));
    }

    #[test]
    fn a_reason_counts_with_a_right_verdict_only() {
        let reasons = vec![choice("a"), choice("b"), choice("c")];
        let key = JudgementKey {
            statement: "s".to_owned(),
            truth: false,
            reasons,
            right: Some(1),
            source: String::new(),
        };
        assert_eq!(found(&mark_judgement(&key, 2, "false B")), (Standing::Right, 2));
        assert_eq!(found(&mark_judgement(&key, 2, "false A")), (Standing::Partly, 1));
        assert_eq!(found(&mark_judgement(&key, 2, "false")), (Standing::Partly, 1));
        assert_eq!(found(&mark_judgement(&key, 2, "true B")), (Standing::Wrong, 0));
        assert_eq!(found(&mark_judgement(&key, 2, "B")), (Standing::Unread, 0));
    }

    #[test]
    fn pairs_earn_their_share_rounded_down() {
        let texts = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
        let key = MatchingKey {
            left: texts(&["p", "q", "r"]),
            right: texts(&["x", "y", "z", "w"]),
            answers: vec![2, 0, 3],
            sources: texts(&["", "", ""]),
            shared: false,
        };
        assert_eq!(found(&mark_matching(&key, 3, "1c 2a 3d")), (Standing::Right, 3));
        assert_eq!(found(&mark_matching(&key, 3, "1c 2d 3a")), (Standing::Partly, 1));
        assert_eq!(found(&mark_matching(&key, 2, "1c")), (Standing::Wrong, 0));
        let verdict = mark_matching(&key, 2, "1c 2b");
        let expected = Reason::Pairs { right: 1, of: 3, wrong: vec![2], empty: vec![3] };
        assert_eq!(verdict.reasons, [expected]);
    }

    #[test]
    fn a_line_put_in_the_wrong_place_costs_its_neighbours_only() {
        let items = ["p", "q", "r", "s", "t"].map(str::to_owned).to_vec();
        let key = OrderingKey {
            items,
            order: vec![4, 2, 0, 1, 3],
            before: vec![(4, 2), (2, 0), (0, 1), (1, 3)],
            source: String::new(),
        };
        assert_eq!(found(&mark_ordering(&key, 4, "E C A B D")), (Standing::Right, 4));
        // The first line moved to the end: three of four neighbours are kept.
        assert_eq!(found(&mark_ordering(&key, 4, "C A B D E")), (Standing::Partly, 3));
        assert_eq!(found(&mark_ordering(&key, 4, "D B A C E")), (Standing::Wrong, 0));
        assert_eq!(found(&mark_ordering(&key, 4, "E C A B")), (Standing::Unread, 0));
        assert_eq!(found(&mark_ordering(&key, 4, "E C A B B")), (Standing::Unread, 0));
    }

    #[test]
    fn a_spelling_is_taken_for_the_term_unless_another_is_as_near() {
        let texts = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
        let key = TextCase {
            answers: texts(&["theobroma oil", "cocoa butter"]),
            others: texts(&["hard fat", "cocoa batter mix", "macrogol"]),
            source: String::new(),
        };
        for answer in
            ["Theobroma Oil", "cocoa-butter", "theobroma  oil.", "cocao butter", "theobrma oil"]
        {
            assert_eq!(found(&mark_text(&key, 1, answer)), (Standing::Right, 1), "{answer}");
        }
        for answer in ["hard fat", "macrogol", "cocoa batter mix", "butter", "oil", "theobroma'"] {
            assert_eq!(found(&mark_text(&key, 1, answer)), (Standing::Wrong, 0), "{answer}");
        }
        assert_eq!(found(&mark_text(&key, 1, " - ")), (Standing::Unread, 0));
        let near = TextCase {
            answers: texts(&["alpha form"]),
            others: texts(&["alphb form"]),
            source: String::new(),
        };
        assert_eq!(found(&mark_text(&near, 1, "alphc form")), (Standing::Wrong, 0));
        let figures = TextCase {
            answers: texts(&["macrogol 4000"]),
            others: Vec::new(),
            source: String::new(),
        };
        for (answer, right) in
            [("macrogl 4000", true), ("macrogol 400", false), ("macrogol 1000", false)]
        {
            assert_eq!(mark_text(&figures, 1, answer).is_right(), right, "{answer}");
        }
        let prime = TextCase {
            answers: texts(&["beta prime"]),
            others: texts(&["beta"]),
            source: String::new(),
        };
        for (answer, right) in [("beta'", true), ("Beta′", true), ("beta", false)] {
            assert_eq!(mark_text(&prime, 1, answer).is_right(), right, "{answer}");
        }
    }

    #[test]
    fn each_end_of_a_range_earns_half() {
        let number = |text| Exact::parse(text).unwrap();
        let key = RangeCase {
            low: number("30"),
            high: number("36"),
            unit: Unit::parse("°C").unwrap(),
            tolerance: number("0.5"),
            source: String::new(),
        };
        for answer in ["30-36", "30 to 36 °C", "36 to 30", "30.5–35.5 °C", "303.15 K to 309.15 K"]
        {
            assert_eq!(found(&mark_range(&key, 2, answer)), (Standing::Right, 2), "{answer}");
        }
        assert_eq!(found(&mark_range(&key, 2, "30-40")), (Standing::Partly, 1));
        assert_eq!(found(&mark_range(&key, 1, "30-40")), (Standing::Wrong, 0));
        assert_eq!(found(&mark_range(&key, 2, "20-40")), (Standing::Wrong, 0));
        for answer in ["30", "warm"] {
            assert_eq!(found(&mark_range(&key, 2, answer)), (Standing::Unread, 0), "{answer}");
        }
        assert_eq!(found(&mark_range(&key, 2, "30 g to 36 g")), (Standing::Wrong, 0));
    }
}
