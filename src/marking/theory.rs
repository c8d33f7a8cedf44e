//! Reading and comparing answers that are known rather than worked out. What the pieces that are right
//! earn is decided by [`Pieces::marks`].

use crate::bank::{RangeCase, TextCase};
use crate::formula::distance;
use crate::problem::{ChoiceKey, JudgementKey, MatchingKey, OrderingKey, Response, letter};
use crate::quantity::{Exact, Typed, Unit, read_quantity};

use super::conclusion::find_conclusion;
use super::letters::{
    read_ends, read_judgement, read_letters, read_lines, read_named_pairs, read_pairs,
};
use super::unit::{Fit, fit};
use super::{Cause, Finding, How, Pieces, ReasonFound, Understood, Wait, Why};

/// What was understood of an answer, and what was found.
type Found = (Understood, Finding);

/// What is found of an answer to a part of theory.
pub(super) fn find_theory(response: &Response, answer: &str) -> Found {
    match response {
        Response::Choice(key) => find_choice(key, answer),
        Response::Judgement(key) => find_judgement(key, answer),
        Response::Matching(key) => find_matching(key, answer),
        Response::Ordering(key) => find_ordering(key, answer),
        Response::Text(key) => find_text(key, answer),
        Response::Range(key) => find_range(key, answer),
        Response::Verdict(key) => find_conclusion(key, answer),
        Response::Written(_) => written(answer),
        Response::Number(_) => not_read("a number".to_owned()),
    }
}

/// Compares the letters of options.
fn find_choice(key: &ChoiceKey, answer: &str) -> Found {
    let count = key.options.len();
    let same = |text: &str| text.trim().eq_ignore_ascii_case(answer.trim());
    let by_text = key.options.iter().position(|option| same(&option.text)).map(|place| vec![place]);
    let Some(mut chosen) = by_text.or_else(|| read_letters(answer, count)) else {
        let expected = if key.several {
            format!("the letters of the options from A to {}, as in `A C`", last_letter(count))
        } else {
            format!("the letter of one option from A to {}", last_letter(count))
        };
        return not_read(expected);
    };
    chosen.sort_unstable();
    chosen.dedup();
    if !key.several && chosen.len() > 1 {
        return not_read("the letter of one option only".to_owned());
    }
    let is_right = |place: &usize| key.right.get(*place).copied().unwrap_or(false);
    let rights = key.right.iter().filter(|right| **right).count();
    let wrongs = key.right.len().saturating_sub(rights);
    let understood = Understood::Options(chosen.clone());
    let (right, wrong): (Vec<usize>, Vec<usize>) = chosen.into_iter().partition(is_right);
    (understood, Finding::Pieces(Pieces::Options { right, wrong, rights, wrongs }))
}

/// Compares a verdict with its reason.
fn find_judgement(key: &JudgementKey, answer: &str) -> Found {
    let count = key.reasons.len();
    let Some((truth, reason)) = read_judgement(answer, count) else {
        if key.right.is_none() {
            return not_read("`true` or `false`".to_owned());
        }
        let expected = format!(
            "`true` or `false` and the letter of a reason from A to {}, as in `true B`",
            last_letter(count)
        );
        return not_read(expected);
    };
    let found = match (key.right, reason) {
        (None, _) => ReasonFound::NotAsked,
        (Some(_), None) => ReasonFound::Missing,
        (Some(right), Some(reason)) if right == reason => ReasonFound::Right,
        _ => ReasonFound::Wrong,
    };
    let pieces = Pieces::Judged { truth: truth == key.truth, reason: found };
    (Understood::Judgement(truth, reason), Finding::Pieces(pieces))
}

/// Compares pairs.
fn find_matching(key: &MatchingKey, answer: &str) -> Found {
    let (lines, count) = (key.left.len(), key.right.len());
    let read = read_pairs(answer, lines, count).or_else(|| {
        read_named_pairs(answer, lines, &key.right).filter(|it| it.iter().any(Option::is_some))
    });
    let Some(pairs) = read else {
        let expected = format!(
            "a letter from A to {} for each line from 1 to {lines}, as in `1b 2a`",
            last_letter(count)
        );
        return not_read(expected);
    };
    let is_right =
        |line: &usize| pairs[*line].is_some() && pairs[*line] == key.answers.get(*line).copied();
    let wrong = (0..lines).filter(|line| pairs[*line].is_some() && !is_right(line));
    let wrong = wrong.map(|line| line + 1).collect();
    let empty = (0..lines).filter(|line| pairs[*line].is_none()).map(|line| line + 1).collect();
    (Understood::Pairs(pairs), Finding::Pieces(Pieces::Lines { of: lines, wrong, empty }))
}

/// Compares an order.
fn find_ordering(key: &OrderingKey, answer: &str) -> Found {
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
        return not_read(expected);
    };
    let place_of = |item: usize| places.iter().position(|place| *place == item);
    if key.before.iter().all(|(one, other)| place_of(*one) < place_of(*other)) {
        let all = count.saturating_sub(1);
        let pieces = Pieces::Order { right: all, of: all };
        return (Understood::Order(places), Finding::Pieces(pieces));
    }
    let neighbours = |order: &[usize]| -> Vec<(usize, usize)> {
        order.windows(2).map(|pair| (pair[0], pair[1])).collect()
    };
    let wanted = neighbours(&key.order);
    let right = neighbours(&places).iter().filter(|pair| wanted.contains(pair)).count();
    (Understood::Order(places), Finding::Pieces(Pieces::Order { right, of: wanted.len() }))
}

/// Compares a word or two.
fn find_text(key: &TextCase, answer: &str) -> Found {
    let plain = TextCase::plain(answer);
    if plain.is_empty() {
        return not_read("a word or two".to_owned());
    }
    let understood = Understood::Words(answer.trim().to_owned());
    let same = |text: &&String| TextCase::plain(text) == plain;
    if let Some(term) = key.answers.iter().find(same) {
        return (understood, Finding::Accepted(How::Term(term.clone())));
    }
    if let Some(term) = key.others.iter().find(same) {
        return (understood, Finding::Known(vec![Cause::OtherTerm(term.clone())]));
    }
    let near = |texts: &[String]| {
        texts.iter().map(|text| (distance(&plain, &TextCase::plain(text)), text.clone())).min()
    };
    let allowed = usize::from(plain.chars().count() > 4);
    let finding = match (near(&key.answers), near(&key.others)) {
        // A spelling as near to another term is not taken for this one.
        (Some((apart, term)), other)
            if apart <= allowed
                && figures(&TextCase::plain(&term)) == figures(&plain)
                && other.as_ref().is_none_or(|(others, _)| *others > apart) =>
        {
            Finding::Accepted(How::Spelling(term))
        }
        _ => Finding::ByHand(Wait::UnknownTerm),
    };
    (understood, finding)
}

/// Compares two numbers.
fn find_range(key: &RangeCase, answer: &str) -> Found {
    let expected = || {
        let unit = key.unit.symbol();
        not_read(format!("two numbers, as in `20 to 25 {unit}`").trim_end().to_owned())
    };
    let Some((low, high)) = read_ends(answer) else { return expected() };
    let (Ok(low), Ok(high)) = (read_quantity(low), read_quantity(high)) else { return expected() };
    // A unit beside one number is meant for both.
    let unit = low.unit.or(high.unit);
    let (low, high) =
        (Typed { unit: low.unit.or(unit), ..low }, Typed { unit: high.unit.or(unit), ..high });
    let (Some(low), Some(high)) = (in_unit(&low, key.unit), in_unit(&high, key.unit)) else {
        let Some(written) = unit else { return expected() };
        let cause = Cause::WrongDimension { written, asked: key.unit };
        return (Understood::Nothing, Finding::Known(vec![cause]));
    };
    let (low, high) = if low <= high { (low, high) } else { (high, low) };
    let near = |found: Exact, wanted: Exact| {
        found.sub(wanted).is_ok_and(|apart| apart.settled().abs() <= key.tolerance)
    };
    let (lower, upper) = (near(low, key.low), near(high, key.high));
    let others = key.published.iter();
    let mut others = others.filter(|(least, most, _)| near(low, *least) && near(high, *most));
    let finding = match (lower && upper, others.next()) {
        (true, _) if key.any_source => Finding::Accepted(How::RangeOf(key.by.clone())),
        (false, Some((.., by))) if key.any_source => Finding::Accepted(How::RangeOf(by.clone())),
        // Half a right answer keeps its marks, whatever another source says.
        (false, Some((.., by))) if !lower && !upper => {
            Finding::Known(vec![Cause::RangeOf(by.clone())])
        }
        _ => Finding::Pieces(Pieces::Ends { lower, upper }),
    };
    (Understood::Ends(low, high), finding)
}

/// A written answer waits for whoever marks it.
fn written(answer: &str) -> Found {
    (Understood::Words(answer.trim().to_owned()), Finding::ByHand(Wait::Written))
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

fn not_read(expected: String) -> Found {
    (Understood::Nothing, Finding::Unread(Why::Expected(expected)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bank::Choice;
    use crate::marking::award::{Faults, Situation, award};
    use crate::marking::{Settings, Standing, Verdict};

    fn choice(text: &str) -> Choice {
        Choice { text: text.to_owned(), because: format!("{text}."), ..Choice::default() }
    }

    fn options(right: &[bool], several: bool) -> ChoiceKey {
        let options = ["oily", "waxy", "dry", "sweet", "cold"];
        let options = options.iter().take(right.len()).map(|text| choice(text)).collect();
        ChoiceKey { options, right: right.to_vec(), several, is_procedure: false }
    }

    /// The verdict on what was found of an answer that is worth so many marks.
    fn marked(of: u32, (understood, finding): Found) -> Verdict {
        let settings = Settings::default();
        let forgiven = Faults::default();
        let at = Situation { of, method: 0, is_step: false, settings: &settings, forgiven };
        let award = award(&finding, &[], &at);
        Verdict { understood, finding, notes: Vec::new(), award }
    }

    fn found(verdict: &Verdict) -> (Standing, u32) {
        (verdict.standing(), verdict.marks())
    }

    #[test]
    fn one_right_option_has_all_marks_or_none() {
        let key = options(&[false, true, false, false], false);
        assert_eq!(found(&marked(1, find_choice(&key, "b"))), (Standing::Correct, 1));
        assert_eq!(found(&marked(1, find_choice(&key, "waxy"))), (Standing::Correct, 1));
        assert_eq!(found(&marked(1, find_choice(&key, "A"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(1, find_choice(&key, "A B"))), (Standing::NotRead, 0));
        assert_eq!(found(&marked(1, find_choice(&key, "E"))), (Standing::NotRead, 0));
    }

    #[test]
    fn wrong_options_cost_what_right_ones_earn_and_choosing_all_earns_nothing() {
        let key = options(&[true, true, true, false, false], true);
        assert_eq!(found(&marked(3, find_choice(&key, "A B C"))), (Standing::Correct, 3));
        assert_eq!(found(&marked(3, find_choice(&key, "A B"))), (Standing::PartlyCorrect, 2));
        // 2 of 3 right less 1 of 2 wrong is a sixth of 3 marks.
        assert_eq!(found(&marked(3, find_choice(&key, "A B D"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(3, find_choice(&key, "A B C D"))), (Standing::PartlyCorrect, 1));
        assert_eq!(found(&marked(3, find_choice(&key, "ABCDE"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(3, find_choice(&key, "D E"))), (Standing::NotCorrect, 0));
    }

    #[test]
    fn what_is_missed_is_counted_and_not_named() {
        let key = options(&[true, true, false], true);
        let (_, finding) = find_choice(&key, "A");
        let Finding::Pieces(Pieces::Options { right, rights, .. }) = finding else { panic!() };
        assert_eq!((right, rights), (vec![0], 2));
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
        assert_eq!(found(&marked(2, find_judgement(&key, "false B"))), (Standing::Correct, 2));
        assert_eq!(
            found(&marked(2, find_judgement(&key, "false A"))),
            (Standing::PartlyCorrect, 1)
        );
        assert_eq!(found(&marked(2, find_judgement(&key, "false"))), (Standing::PartlyCorrect, 1));
        assert_eq!(found(&marked(2, find_judgement(&key, "true B"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(2, find_judgement(&key, "B"))), (Standing::NotRead, 0));
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
        assert_eq!(found(&marked(3, find_matching(&key, "1c 2a 3d"))), (Standing::Correct, 3));
        assert_eq!(
            found(&marked(3, find_matching(&key, "1c 2d 3a"))),
            (Standing::PartlyCorrect, 1)
        );
        assert_eq!(found(&marked(2, find_matching(&key, "1c"))), (Standing::NotCorrect, 0));
        let verdict = marked(2, find_matching(&key, "1c 2b"));
        let expected = Pieces::Lines { of: 3, wrong: vec![2], empty: vec![3] };
        assert_eq!(verdict.finding, Finding::Pieces(expected));
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
        assert_eq!(found(&marked(4, find_ordering(&key, "E C A B D"))), (Standing::Correct, 4));
        // The first line moved to the end: three of four neighbours are kept.
        assert_eq!(
            found(&marked(4, find_ordering(&key, "C A B D E"))),
            (Standing::PartlyCorrect, 3)
        );
        assert_eq!(found(&marked(4, find_ordering(&key, "D B A C E"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(4, find_ordering(&key, "E C A B"))), (Standing::NotRead, 0));
        assert_eq!(found(&marked(4, find_ordering(&key, "E C A B B"))), (Standing::NotRead, 0));
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
            assert_eq!(
                found(&marked(1, find_text(&key, answer))),
                (Standing::Correct, 1),
                "{answer}"
            );
        }
        for answer in ["hard fat", "macrogol", "cocoa batter mix"] {
            let found = found(&marked(1, find_text(&key, answer)));
            assert_eq!(found, (Standing::NotCorrect, 0), "{answer}");
        }
        // What is neither known to be right nor to be another term is for a person.
        for answer in ["butter", "oil", "theobroma'"] {
            let found = found(&marked(1, find_text(&key, answer)));
            assert_eq!(found, (Standing::ByHand, 0), "{answer}");
        }
        assert_eq!(found(&marked(1, find_text(&key, " - "))), (Standing::NotRead, 0));
        let near = TextCase {
            answers: texts(&["alpha form"]),
            others: texts(&["alphb form"]),
            source: String::new(),
        };
        assert_eq!(found(&marked(1, find_text(&near, "alphc form"))), (Standing::ByHand, 0));
        let figures = TextCase {
            answers: texts(&["macrogol 4000"]),
            others: Vec::new(),
            source: String::new(),
        };
        for (answer, right) in
            [("macrogl 4000", true), ("macrogol 400", false), ("macrogol 1000", false)]
        {
            assert_eq!(marked(1, find_text(&figures, answer)).is_correct(), right, "{answer}");
        }
        let prime = TextCase {
            answers: texts(&["beta prime"]),
            others: texts(&["beta"]),
            source: String::new(),
        };
        for (answer, right) in [("beta'", true), ("Beta′", true), ("beta", false)] {
            assert_eq!(marked(1, find_text(&prime, answer)).is_correct(), right, "{answer}");
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
            by: "course guide".to_owned(),
            published: vec![(Exact::whole(31), Exact::whole(34), "codex".to_owned())],
            any_source: false,
        };
        for answer in ["30-36", "30 to 36 °C", "36 to 30", "30.5–35.5 °C", "303.15 K to 309.15 K"]
        {
            assert_eq!(
                found(&marked(2, find_range(&key, answer))),
                (Standing::Correct, 2),
                "{answer}"
            );
        }
        assert_eq!(found(&marked(2, find_range(&key, "30-40"))), (Standing::PartlyCorrect, 1));
        assert_eq!(found(&marked(1, find_range(&key, "30-40"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(2, find_range(&key, "20-40"))), (Standing::NotCorrect, 0));
        for answer in ["30", "warm"] {
            assert_eq!(
                found(&marked(2, find_range(&key, answer))),
                (Standing::NotRead, 0),
                "{answer}"
            );
        }
        assert_eq!(found(&marked(2, find_range(&key, "30 g to 36 g"))), (Standing::NotCorrect, 0));
    }
}
