//! Every sentence that is said of an answer, and every rule in words.

use std::fmt::Write as _;

use castmark::bank::Bank;
use castmark::draw::Code;
use castmark::marking::{
    Award, Carry, Cause, Cost, Counts, Fault, Finding, FollowThrough, How, Item, Lies, Note, Rule,
    Settings, Sharing, Understood, Verdict, Wait, Why, explain,
};
use castmark::problem::Problem;
use castmark::quantity::{Exact, Rounding, Typed, Unit, read_quantity};

use super::properties::bank;

/// 12 pessaries with one drug: parts for the drug, the base displaced and the base, each in g.
fn problem() -> Problem {
    Problem::from_code(bank(), &Code::parse("base-one-drug.aaaa-aaaaa").unwrap()).unwrap()
}

fn unit(symbol: &str) -> Unit {
    Unit::parse(symbol).unwrap()
}

fn number(answer: &str) -> Understood {
    let typed: Typed = read_quantity(answer).unwrap();
    Understood::Number { typed, number: Some(typed.number) }
}

/// A verdict that no rule has to do with.
fn verdict(finding: Finding) -> Verdict {
    let award = Award { marks: 0, of: 2, rule: Rule::NoMethod, forgiven: Vec::new() };
    Verdict { understood: number("-5.1 g"), finding, notes: Vec::new(), award }
}

fn tell(out: &mut String, bank: &Bank, item: Item, verdict: &Verdict, settings: &Settings) {
    for said in explain(&problem(), bank, item, verdict, settings) {
        let mark = if said.adds { "" } else { " (adds nothing)" };
        let _ = writeln!(out, "{}{mark}: {}", said.kind, said.text);
    }
}

/// What is said of these findings about the last part.
fn told(findings: impl IntoIterator<Item = Finding>) -> String {
    let mut out = String::new();
    for finding in findings {
        tell(&mut out, bank(), Item::Part(2), &verdict(finding), &Settings::default());
    }
    out
}

#[test]
fn every_way_to_be_right_has_its_sentence() {
    let term = "beeswax".to_owned();
    insta::assert_snapshot!(told(
        [
            How::Exactly,
            How::LegalRounding,
            How::WithinTolerance,
            How::FromOwn,
            How::Term(term.clone()),
            How::Spelling(term.clone()),
            How::RangeOf(term),
        ]
        .map(Finding::Accepted)
    ));
}

#[test]
fn every_cause_has_its_sentence() {
    let (g, asked) = (unit("g"), Rounding::Places(2));
    let slip = |power| Cause::Slip { slip: 0, power, keeps_method: false };
    let wrong_unit =
        |written: &str| Cause::WrongUnit { written: unit(written), asked: g, thousandfold: false };
    let causes = [
        wrong_unit("mL"),
        wrong_unit("%"),
        Cause::WrongDimension { written: unit("1"), asked: g },
        Cause::WrongDimension { written: unit("unit"), asked: g },
        Cause::TooCoarse { asked, gross: false },
        Cause::CutShort { asked, gross: true },
        Cause::Sign,
        slip(0),
        slip(1),
        slip(-2),
        Cause::TwoSlips([0, 1]),
        Cause::OtherTerm("beeswax".to_owned()),
        Cause::RangeOf("course guide".to_owned()),
        Cause::OutOfRange { asked: g },
    ];
    let points = [-6, -3, -2, -1, 1, 2, 3, 4, 5, 6].map(Cause::PowerOfTen);
    let alone = causes.into_iter().chain(points).map(|cause| vec![cause]);
    let together = [
        vec![slip(0), Cause::Sign],
        vec![Cause::Sign, slip(0)],
        vec![wrong_unit("mg"), Cause::TooCoarse { asked, gross: false }],
    ];
    insta::assert_snapshot!(told(alone.chain(together).map(Finding::Known)));
}

#[test]
fn what_is_neither_right_nor_known_has_its_sentence() {
    let follows = [Carry::Answer, Carry::Step].map(Finding::Follows);
    let lies = [
        Lies::Near { above: true },
        Lies::Near { above: false },
        Lies::Far { above: true },
        Lies::Far { above: false },
        Lies::Absurd { above: true },
        Lies::Absurd { above: false },
        Lies::Negative,
        Lies::Zero,
        Lies::NotWhole,
    ]
    .map(Finding::Unexplained);
    let by_hand = [Wait::Written, Wait::UnknownTerm].map(Finding::ByHand);
    let problem = read_quantity("a dozen").unwrap_err();
    let unread = [Why::Number(problem), Why::Expected("one letter".to_owned()), Why::NoSuchPart]
        .map(Finding::Unread);
    insta::assert_snapshot!(told(follows.into_iter().chain(lies).chain(by_hand).chain(unread)));
}

#[test]
fn a_note_is_told_where_it_adds_something_and_may_be_told() {
    let (g, asked) = (unit("g"), Rounding::Places(2));
    let notes = [
        Note::Converted { number: Exact::parse("-0.00510").unwrap(), to: unit("kg") },
        Note::UnitMissing { asked: g },
        Note::FewPlaces { asked },
        Note::WorkingWrong { step: 1 },
        Note::FollowsTrivially,
        Note::FollowsSenselessly,
    ];
    let right = || Finding::Accepted(How::Exactly);
    let wrong = || Finding::Unexplained(Lies::Zero);
    let mut out = String::new();
    for (finding, rule) in [
        (right(), Rule::RightAnswer),
        (right(), Rule::Unit),
        (right(), Rule::Working),
        (wrong(), Rule::NoMethod),
    ] {
        let _ = writeln!(out, "## {finding:?} by {rule:?}");
        for note in &notes {
            let mut verdict = verdict(finding.clone());
            if matches!(note, Note::UnitMissing { .. }) {
                verdict.understood = number("-5.1");
            }
            verdict.notes.push(note.clone());
            verdict.award.rule = rule;
            let mut said = String::new();
            tell(&mut said, bank(), Item::Part(2), &verdict, &Settings::default());
            out.extend(said.split_inclusive('\n').skip(1));
        }
    }
    // Of words there is nothing to say about units and places.
    let mut verdict = verdict(right());
    verdict.understood = Understood::Words("beeswax".to_owned());
    verdict.notes.extend(notes);
    let _ = writeln!(out, "## Words");
    tell(&mut out, bank(), Item::Part(2), &verdict, &Settings::default());
    insta::assert_snapshot!(out);
}

#[test]
fn a_fault_that_is_forgiven_is_told_with_what_it_is_counted_in() {
    let mut verdict = verdict(Finding::Accepted(How::Exactly));
    verdict.award.forgiven = vec![Fault::Unit, Fault::Rounding];
    let mut out = String::new();
    for counts in [Counts::Question, Counts::Paper] {
        let settings =
            Settings { unit_counts: counts, rounding_counts: counts, ..Settings::default() };
        tell(&mut out, bank(), Item::Part(2), &verdict, &settings);
    }
    insta::assert_snapshot!(out);
}

#[test]
fn an_answer_is_quoted_as_it_was_understood() {
    let mut out = String::new();
    for understood in [
        number("5.10"),
        number("-5.10 mL"),
        Understood::Words("wool fat\u{1b}[2J".to_owned()),
        Understood::Options(vec![0, 2]),
        Understood::Nothing,
    ] {
        let mut verdict = verdict(Finding::Accepted(How::FromOwn));
        verdict.understood = understood;
        tell(&mut out, bank(), Item::Part(2), &verdict, &Settings::default());
    }
    insta::assert_snapshot!(out);
}

#[test]
fn what_is_measured_is_named_for_parts_and_for_steps() {
    let mut out = String::new();
    for item in [Item::Part(0), Item::Step(1), Item::Part(99), Item::Step(99)] {
        let verdict = verdict(Finding::Unexplained(Lies::Negative));
        tell(&mut out, bank(), item, &verdict, &Settings::default());
    }
    insta::assert_snapshot!(out);
}

#[test]
fn every_rule_is_worded_as_the_settings_have_it() {
    let mut out = String::new();
    let mut tell = |rule: Rule, settings: &Settings| {
        let _ = writeln!(out, "{}: {}", rule.name(), rule.words(settings));
    };
    for rule in [
        Rule::RightAnswer,
        Rule::CountedOnce,
        Rule::NotFollowed,
        Rule::OneSlip,
        Rule::NoMethod,
        Rule::Share(Sharing::Whole),
        Rule::ByHand,
        Rule::Unread,
        Rule::Step,
    ] {
        tell(rule, &Settings::default());
    }
    let costing = |cost: Cost, counts: Counts, is_mild: bool| Settings {
        moved_point_costs: cost,
        unit_costs: cost,
        rounding_costs: cost,
        unit_counts: counts,
        rounding_counts: counts,
        thousandfold_is_counted_once: is_mild,
        gross_rounding_is_counted_once: is_mild,
        ..Settings::default()
    };
    for settings in [
        costing(Cost::Nothing, Counts::Question, false),
        costing(Cost::Accuracy, Counts::Never, true),
        costing(Cost::Marks(1), Counts::Question, true),
        costing(Cost::Marks(1), Counts::Question, false),
        costing(Cost::Marks(2), Counts::Paper, false),
        costing(Cost::All, Counts::Always, false),
    ] {
        for rule in [Rule::MovedPoint, Rule::Unit, Rule::Rounding] {
            tell(rule, &settings);
        }
    }
    for follow_through in [FollowThrough::Method, FollowThrough::All] {
        tell(Rule::FollowThrough, &Settings { follow_through, ..Settings::default() });
    }
    for accuracy_needs_method in [true, false] {
        tell(Rule::Working, &Settings { accuracy_needs_method, ..Settings::default() });
    }
    insta::assert_snapshot!(out);
}
