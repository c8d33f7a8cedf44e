//! Comparing answers that are known rather than worked out. They are read by [`super::typed`]; what the
//! pieces that are right earn is decided by [`Pieces::marks`].

use crate::bank::{Choice, RangeCase, TextCase};
use crate::problem::{ChoiceKey, JudgementKey, MatchingKey, OrderingKey, Response, letter};
use crate::quantity::{Exact, Typed, Unit};

use super::conclusion::find_conclusion;
use super::order::Concordance;
use super::typed::{
    Likeness, TermFound, find_term, read_judgement, read_options, read_order, read_pairs,
    read_range,
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

/// Compares options. Two where one is asked for are a wrong answer, whichever they are.
fn find_choice(key: &ChoiceKey, answer: &str) -> Found {
    let texts = texts(&key.options);
    let Some(chosen) = read_options(answer, &texts, key.several) else {
        let last = last_letter(key.options.len());
        return not_read(if key.several {
            format!("the letters of the options from A to {last}, as in `A C`")
        } else {
            format!("the letter of one option from A to {last}")
        });
    };
    let understood = Understood::Options(chosen.clone());
    let is_right = |index: &usize| key.right.get(*index).copied().unwrap_or(false);
    let rights = key.right.iter().filter(|right| **right).count();
    let wrongs = key.right.len().saturating_sub(rights);
    let (right, wrong): (Vec<usize>, Vec<usize>) = chosen.into_iter().partition(is_right);
    (
        understood,
        Finding::Pieces(Pieces::Options { right, wrong, rights, wrongs, several: key.several }),
    )
}

/// Compares a verdict with its reason, where one is asked for.
fn find_judgement(key: &JudgementKey, answer: &str) -> Found {
    let reasons = texts(&key.reasons);
    let Some(typed) = read_judgement(answer, &reasons) else {
        return not_read(match key.right {
            None => "`true` or `false`".to_owned(),
            Some(_) => format!(
                "`true` or `false` and the letter of a reason from A to {}, as in `true B`",
                last_letter(reasons.len())
            ),
        });
    };
    let reason = match (key.right, typed.reasons.as_slice()) {
        (None, _) => ReasonFound::NotAsked,
        (Some(_), []) => ReasonFound::Missing,
        (Some(right), [one]) if *one == right => ReasonFound::Right,
        (Some(_), [_]) => ReasonFound::Wrong,
        (Some(_), _) => ReasonFound::Several,
    };
    let pieces = Pieces::Judged { truth: typed.truth == key.truth, reason };
    (Understood::Judgement(typed.truth, typed.reasons), Finding::Pieces(pieces))
}

/// Compares pairs.
fn find_matching(key: &MatchingKey, answer: &str) -> Found {
    let lines = key.left.len();
    let (left, right) = (strs(&key.left), strs(&key.right));
    let Some(pairs) = read_pairs(answer, &left, &right) else {
        return not_read(format!(
            "a letter from A to {} for each line from 1 to {lines}, as in `1b 2a`",
            last_letter(right.len())
        ));
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
    let Some(order) = read_order(answer, &strs(&key.items)) else {
        return not_read(format!(
            "each letter from A to {} once, in order",
            last_letter(key.items.len())
        ));
    };
    let pairs = Concordance::of(&order, &key.before);
    let missing = key.items.len() - order.len();
    (Understood::Order(order), Finding::Pieces(Pieces::Order { pairs, missing }))
}

/// Compares a word or two.
fn find_text(key: &TextCase, answer: &str) -> Found {
    let Some(found) = find_term(answer, key) else { return not_read("a word or two".to_owned()) };
    let finding = match found {
        TermFound::Accepted { term, likeness: Likeness::Misspelt } => {
            Finding::Accepted(How::Spelling(term))
        }
        TermFound::Accepted { term, .. } => Finding::Accepted(How::Term(term)),
        TermFound::Other { term } => Finding::Known(vec![Cause::OtherTerm(term)]),
        TermFound::Unknown => Finding::ByHand(Wait::UnknownTerm),
    };
    (Understood::Words(answer.trim().to_owned()), finding)
}

/// Compares two numbers.
fn find_range(key: &RangeCase, answer: &str) -> Found {
    let expected = || {
        let unit = key.unit.symbol();
        not_read(format!("two numbers, as in `20 to 25 {unit}`").trim_end().to_owned())
    };
    let Some(typed) = read_range(answer) else { return expected() };
    let written = typed.low.unit.or(typed.high.and_then(|high| high.unit));
    let other_kind = || match written {
        None => expected(),
        Some(written) => {
            let cause = Cause::WrongDimension { written, asked: key.unit };
            (Understood::Nothing, Finding::Known(vec![cause]))
        }
    };
    let Some(low) = in_unit(&typed.low, key.unit) else { return other_kind() };
    let near = |found: Exact, wanted: Exact| {
        found.sub(wanted).is_ok_and(|apart| apart.settled().abs() <= key.tolerance)
    };
    let Some(high) = typed.high else {
        let pieces =
            Pieces::Ends { lower: near(low, key.low), upper: near(low, key.high), alone: true };
        return (Understood::Ends(low, None), Finding::Pieces(pieces));
    };
    let Some(high) = in_unit(&high, key.unit) else { return other_kind() };
    let (low, high) = if low <= high { (low, high) } else { (high, low) };
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
        _ => Finding::Pieces(Pieces::Ends { lower, upper, alone: false }),
    };
    (Understood::Ends(low, Some(high)), finding)
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

fn texts(choices: &[Choice]) -> Vec<&str> {
    choices.iter().map(|choice| choice.text.as_str()).collect()
}

fn strs(texts: &[String]) -> Vec<&str> {
    texts.iter().map(String::as_str).collect()
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
        assert_eq!(found(&marked(1, find_choice(&key, "A B"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(1, find_choice(&key, "E"))), (Standing::NotRead, 0));
    }

    #[test]
    fn wrong_options_cost_what_right_ones_earn_and_choosing_all_earns_nothing() {
        let key = options(&[true, true, true, false, false], true);
        assert_eq!(found(&marked(3, find_choice(&key, "A B C"))), (Standing::Correct, 3));
        assert_eq!(found(&marked(3, find_choice(&key, "A B"))), (Standing::PartlyCorrect, 2));
        // 2 of 3 right less 1 of 2 wrong is a sixth of 3 marks, a half.
        assert_eq!(found(&marked(3, find_choice(&key, "A B D"))), (Standing::PartlyCorrect, 1));
        assert_eq!(found(&marked(3, find_choice(&key, "A B C D"))), (Standing::PartlyCorrect, 2));
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
            because: String::new(),
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
    fn pairs_earn_their_share() {
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
        assert_eq!(found(&marked(2, find_matching(&key, "c"))), (Standing::PartlyCorrect, 1));
        let verdict = marked(2, find_matching(&key, "1c 2b"));
        let expected = Pieces::Lines { of: 3, wrong: vec![2], empty: vec![3] };
        assert_eq!(verdict.finding, Finding::Pieces(expected));
    }

    #[test]
    fn an_order_earns_by_its_pairs() {
        let items = ["p", "q", "r", "s", "t"].map(str::to_owned).to_vec();
        let order = vec![4, 2, 0, 1, 3];
        let pairs = (0..5).flat_map(|one| (one + 1..5).map(move |other| (one, other)));
        // The second and the third line may be in either order.
        let fixed = pairs.filter(|pair| *pair != (1, 2));
        let before = fixed.map(|(one, other)| (order[one], order[other])).collect();
        let key = OrderingKey { items, order, before, source: String::new() };
        for right in ["E C A B D", "E A C B D"] {
            assert_eq!(found(&marked(4, find_ordering(&key, right))), (Standing::Correct, 4));
        }
        assert_eq!(
            found(&marked(4, find_ordering(&key, "E C A D B"))),
            (Standing::PartlyCorrect, 3)
        );
        // The first line moved to the end: four of nine pairs are wrong.
        assert_eq!(found(&marked(4, find_ordering(&key, "C A B D E"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(4, find_ordering(&key, "D B A C E"))), (Standing::NotCorrect, 0));
        // One line forgotten: five of nine pairs are right.
        assert_eq!(found(&marked(4, find_ordering(&key, "E C A B"))), (Standing::PartlyCorrect, 2));
        assert_eq!(found(&marked(4, find_ordering(&key, "E C A B B"))), (Standing::NotRead, 0));
    }

    #[test]
    fn a_spelling_is_taken_for_the_term_unless_another_is_as_near() {
        let texts = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
        let key = TextCase::new(
            texts(&["theobroma oil", "cocoa butter"]),
            texts(&["hard fat", "cocoa batter mix", "macrogol"]),
            String::new(),
        );
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
        for answer in ["butter", "oil", "theobroma'", "cocoa butter substitute"] {
            let found = found(&marked(1, find_text(&key, answer)));
            assert_eq!(found, (Standing::ByHand, 0), "{answer}");
        }
        assert_eq!(found(&marked(1, find_text(&key, " - "))), (Standing::NotRead, 0));
        let near = TextCase::new(texts(&["alpha form"]), texts(&["alphb form"]), String::new());
        assert_eq!(found(&marked(1, find_text(&near, "alphc form"))), (Standing::ByHand, 0));
        let figures = TextCase::new(texts(&["macrogol 4000"]), Vec::new(), String::new());
        for (answer, right) in
            [("macrogl 4000", true), ("macrogol 400", false), ("macrogol 1000", false)]
        {
            assert_eq!(marked(1, find_text(&figures, answer)).is_correct(), right, "{answer}");
        }
        let prime = TextCase::new(texts(&["beta prime"]), texts(&["beta"]), String::new());
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
        assert_eq!(found(&marked(2, find_range(&key, "30"))), (Standing::PartlyCorrect, 1));
        assert_eq!(found(&marked(2, find_range(&key, "33 °C"))), (Standing::NotCorrect, 0));
        assert_eq!(found(&marked(2, find_range(&key, "warm"))), (Standing::NotRead, 0));
        assert_eq!(found(&marked(2, find_range(&key, "30 g to 36 g"))), (Standing::NotCorrect, 0));
        // Half a right answer keeps its marks, although another source has both numbers.
        let other = (Exact::whole(30), Exact::whole(40), "codex".to_owned());
        let key = RangeCase { published: vec![other], ..key };
        assert_eq!(found(&marked(2, find_range(&key, "30-40"))), (Standing::PartlyCorrect, 1));
    }

    #[test]
    fn what_another_source_says_is_named_and_accepted_where_any_source_will_do() {
        let other = |low, high, by: &str| (Exact::whole(low), Exact::whole(high), by.to_owned());
        let key = RangeCase {
            low: Exact::whole(30),
            high: Exact::whole(36),
            unit: Unit::parse("°C").unwrap(),
            tolerance: Exact::ZERO,
            source: String::new(),
            by: "course guide".to_owned(),
            published: vec![other(31, 34, "codex"), other(30, 40, "textbook")],
            any_source: false,
        };
        let any = RangeCase { any_source: true, ..key.clone() };
        let by = |name: &str| Finding::Accepted(How::RangeOf(name.to_owned()));
        let of = |name: &str| Finding::Known(vec![Cause::RangeOf(name.to_owned())]);
        let ends = |lower, upper| Finding::Pieces(Pieces::Ends { lower, upper, alone: false });
        for (answer, of_one, of_any) in [
            ("30-36", ends(true, true), by("course guide")),
            ("31-34", of("codex"), by("codex")),
            ("30-40", ends(true, false), by("textbook")),
            ("29-36", ends(false, true), ends(false, true)),
            ("31-40", ends(false, false), ends(false, false)),
        ] {
            assert_eq!(find_range(&key, answer).1, of_one, "{answer}");
            assert_eq!(find_range(&any, answer).1, of_any, "{answer}");
        }
        let key = RangeCase { published: vec![other(20, 36, "codex")], ..key };
        assert_eq!(find_range(&key, "20-36").1, ends(false, true));
    }
}
