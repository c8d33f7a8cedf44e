//! What holds of the marking of every bundled template, whatever is drawn and answered.

use std::fmt;
use std::ops::Deref;
use std::sync::{Arc, OnceLock};
use std::thread;

use castmark::bank::{Bank, Template, Wanted};
use castmark::export::{Exporter, Html, Json, Markdown, Options, Text};
use castmark::formula::Slot;
use castmark::marking::{
    Account, Cost, Counts, Entry, FollowThrough, Item, Settings, Standing, mark, mark_problem,
};
use castmark::problem::{Problem, Response};
use castmark::quantity::{Exact, Rounding};
use proptest::prelude::*;

pub(super) fn bank() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

/// A problem that is told by its code when a law fails.
#[derive(Clone)]
pub(super) struct Drawn(Problem);

impl Deref for Drawn {
    type Target = Problem;

    fn deref(&self) -> &Problem {
        &self.0
    }
}

impl fmt::Debug for Drawn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0.code {
            Some(code) => write!(f, "{code}"),
            None => f.write_str(&self.0.template.id),
        }
    }
}

/// A draw of any template.
pub(super) fn problem() -> impl Strategy<Value = Drawn> {
    let templates = bank().templates();
    (0..templates.len(), any::<u64>()).prop_map(|(which, number)| {
        Drawn(Problem::draw(bank(), &templates[which], number).unwrap())
    })
}

/// A draw of a template with numbers, and for each step a number that chooses its rounding.
pub(super) fn worked() -> impl Strategy<Value = (Drawn, Vec<usize>)> {
    let numeric = |template: &&Arc<Template>| {
        template.parts.iter().any(|part| matches!(part.wanted, Wanted::Number(_)))
    };
    let templates: Vec<&Arc<Template>> = bank().templates().iter().filter(numeric).collect();
    (0..templates.len(), any::<u64>(), prop::collection::vec(0_usize..4, 40)).prop_map(
        move |(which, number, choices)| {
            (Drawn(Problem::draw(bank(), templates[which], number).unwrap()), choices)
        },
    )
}

pub(super) fn settings() -> impl Strategy<Value = Settings> {
    let cost = || {
        prop_oneof![
            Just(Cost::Nothing),
            Just(Cost::Accuracy),
            (1_u32..4).prop_map(Cost::Marks),
            Just(Cost::All)
        ]
    };
    let counts = || {
        prop_oneof![
            Just(Counts::Never),
            Just(Counts::Question),
            Just(Counts::Paper),
            Just(Counts::Always)
        ]
    };
    let follow = prop_oneof![
        Just(FollowThrough::Never),
        Just(FollowThrough::Method),
        Just(FollowThrough::All)
    ];
    (any::<[bool; 7]>(), follow, (cost(), cost(), cost()), (counts(), counts())).prop_map(
        |(flags, follow_through, (point, unit, rounding), (units, roundings))| Settings {
            right_answer_shows_method: flags[0],
            accuracy_needs_method: flags[1],
            follow_through,
            follow_trivial: flags[2],
            moved_point_costs: point,
            unit_costs: unit,
            unit_counts: units,
            unit_must_be_written: flags[3],
            thousandfold_is_counted_once: flags[5],
            rounding_costs: rounding,
            rounding_counts: roundings,
            gross_rounding_is_counted_once: flags[6],
            places_must_be_written: flags[4],
        },
    )
}

/// An answer to an item: right, nearly right, a slip, in a wrong unit, or anything else.
fn answer(problem: &Problem, item: Item, kind: u8, number: u32) -> String {
    let key = match item {
        Item::Part(part) => match &problem.parts[part].response {
            Response::Number(key) => key.clone(),
            other => return if kind < 4 { other.answer() } else { format!("{kind} A b {number}") },
        },
        Item::Step(step) => match problem.step_key(step) {
            Some(key) => key,
            None => return String::new(),
        },
    };
    let symbol = key.unit.symbol();
    match kind {
        0 => format!("{} {symbol}", key.shown),
        1 => key.shown.to_string(),
        2 => format!("{} mL", key.shown),
        3 => format!("{} {symbol}", key.exact.to_places(0)),
        4 => format!("{} {symbol}", key.shown.times_ten_to(3).unwrap()),
        5 if !key.slips.is_empty() => {
            let slip = &key.slips[number as usize % key.slips.len()];
            format!("{} {symbol}", slip.value.to_places(2))
        }
        6 => format!("{number} furlongs"),
        _ => format!("{} {symbol}", Exact::new(i128::from(number), 2).unwrap()),
    }
}

/// Answers to some of the parts and steps of a problem.
pub(super) fn answers(problem: &Problem, choices: &[(u8, u32)]) -> Vec<(Item, String)> {
    let parts = (0..problem.parts.len()).map(Item::Part);
    let steps = (0..problem.template.working.len()).map(Item::Step);
    parts
        .chain(steps)
        .zip(choices)
        .filter(|(_, (kind, _))| *kind < 9)
        .map(|(item, (kind, number))| (item, answer(problem, item, *kind, *number)))
        .collect()
}

pub(super) fn entries(answers: &[(Item, String)]) -> Vec<Entry<'_>> {
    answers.iter().map(|(item, answer)| Entry { item: *item, answer }).collect()
}

pub(super) fn choices() -> impl Strategy<Value = Vec<(u8, u32)>> {
    prop::collection::vec((0_u8..10, 0_u32..100_000), 30)
}

/// The answers that come out when each step is rounded as chosen before it is used: 0 for not at all,
/// 1 for as shown, and the others for further legal ways.
fn rounded_on_the_way(problem: &Problem, choices: &[usize]) -> Vec<(usize, Exact)> {
    let template = &problem.template;
    let mut slots = problem.slots.clone();
    let mut raw = problem.slots.clone();
    for (step, choice) in template.working.iter().zip(choices) {
        let value = step.program.run(&slots).unwrap();
        raw[step.slot] = Slot::Number(value);
        let ways: Vec<Rounding> =
            std::iter::once(step.rounding).chain(step.also.iter().copied()).collect();
        let unit = template.names[step.slot].unit;
        let used = match choice.checked_sub(1) {
            None => value,
            Some(way) => {
                let number = unit.from_coherent(value).unwrap();
                unit.to_coherent(ways[way % ways.len()].of_result(number)).unwrap()
            }
        };
        slots[step.slot] = Slot::Number(used);
    }
    let parts = template.parts.iter().enumerate();
    parts
        .filter_map(|(place, part)| {
            let plan = part.wanted.number()?;
            let Slot::Number(value) = raw[plan.slot] else { return None };
            Some((place, plan.rounding.of_result(plan.unit.from_coherent(value).unwrap())))
        })
        .collect()
}

/// How many cases are tried; `CASTMARK_CASES` asks for more.
pub(super) fn cases(usual: u32) -> u32 {
    std::env::var("CASTMARK_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(100)))]

    #[test]
    fn the_exact_answer_is_right_with_a_point_and_with_a_comma((problem, _) in worked()) {
        for (part, asked) in problem.parts.iter().enumerate() {
            let Some(key) = asked.response.number() else { continue };
            for number in [key.exact.trimmed(), key.shown] {
                let with_point = mark(&problem, part, &format!("{number} {}", key.unit.symbol()));
                prop_assert!(with_point.is_right(), "{}: {number}", asked.id);
                let written = number.to_string();
                // Three places after a comma could be thousands, and are asked about instead.
                if number.places() != 3 {
                    let with_comma = mark(&problem, part, &written.replace('.', ","));
                    prop_assert!(with_comma.is_right(), "{}: {number} with a comma", asked.id);
                }
            }
        }
    }

    #[test]
    fn an_answer_that_legal_rounding_leads_to_is_right((problem, choices) in worked()) {
        for (part, number) in rounded_on_the_way(&problem, &choices) {
            let verdict = mark(&problem, part, &number.to_string());
            let code = problem.code.as_ref().unwrap();
            prop_assert!(verdict.is_right(), "{code} part {part}: {number}: {verdict:?}");
        }
    }

    #[test]
    fn a_slip_is_never_right((problem, _) in worked()) {
        for (part, asked) in problem.parts.iter().enumerate() {
            let Some(key) = asked.response.number() else { continue };
            for slip in &key.slips {
                for number in [slip.value, key.rounding.of_result(slip.value)] {
                    let verdict = mark(&problem, part, &number.to_string());
                    prop_assert!(verdict.standing() != Standing::Correct, "{}: {number}", asked.id);
                }
            }
        }
    }

    #[test]
    fn two_slips_are_never_right((problem, _) in worked()) {
        for (part, asked) in problem.parts.iter().enumerate() {
            for pair in problem.slip_pairs(part) {
                let key = asked.response.number().unwrap();
                let verdict = mark(&problem, part, &pair.value.value.to_string());
                let is_accepted = key.low <= pair.value.value && pair.value.value <= key.high;
                prop_assert_eq!(verdict.is_right(), is_accepted);
            }
        }
    }

    #[test]
    fn marks_never_exceed_the_total(
        problem in problem(), choices in choices(), settings in settings(),
    ) {
        let answers = answers(&problem, &choices);
        let marked = mark_problem(&problem, &entries(&answers), &settings);
        for entry in &marked.entries {
            prop_assert!(entry.verdict.marks() <= entry.verdict.of(), "{entry:?}");
            let is_step = matches!(entry.item, Item::Step(_));
            prop_assert!(!is_step || entry.verdict.of() == 0);
        }
        prop_assert!(marked.marks() <= marked.of() && marked.of() <= problem.marks());
    }

    #[test]
    fn marking_does_not_depend_on_the_order_of_the_answers_nor_on_the_thread(
        problem in problem(), choices in choices(), settings in settings(), turn in 0_usize..30,
    ) {
        let answers = answers(&problem, &choices);
        let straight = entries(&answers);
        let mut turned = straight.clone();
        turned.reverse();
        let length = turned.len().max(1);
        turned.rotate_left(turn % length);
        let expected = mark_problem(&problem, &straight, &settings);
        prop_assert_eq!(&mark_problem(&problem, &turned, &settings), &expected);
        let elsewhere: Vec<_> = thread::scope(|scope| {
            let mark = || mark_problem(&problem, &turned, &settings);
            let running: Vec<_> = (0..3).map(|_| scope.spawn(mark)).collect();
            running.into_iter().map(|one| one.join().unwrap()).collect()
        });
        for marked in &elsewhere {
            prop_assert_eq!(marked, &expected);
        }
    }

    #[test]
    fn every_verdict_is_told_in_every_format(
        problem in problem(), choices in choices(), settings in settings(),
    ) {
        let answers = answers(&problem, &choices);
        let marked = mark_problem(&problem, &entries(&answers), &settings);
        let account = Account::of(&problem, bank(), &marked, &settings);
        let told = |exporter: &dyn Exporter| {
            let bytes = exporter.export_account(&account, &Options::default()).unwrap();
            String::from_utf8(bytes).unwrap()
        };
        let [text, markdown, html, json] = [told(&Text), told(&Markdown), told(&Html), told(&Json)];
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        prop_assert_eq!(json["marks"].as_u64(), Some(u64::from(marked.marks())));
        prop_assert_eq!(json["entries"].as_array().map(Vec::len), Some(answers.len()));
        prop_assert_eq!(html.matches("<section").count(), answers.len());
        let rules = account.lines.iter().filter(|line| line.rule_said().is_some()).count();
        prop_assert_eq!(html.matches("<p class=\"rule\">Marking rule: ").count(), rules);
        prop_assert_eq!(markdown.matches("## ").count(), answers.len());
        for line in &account.lines {
            prop_assert!(text.contains(&line.label), "{text}");
            prop_assert!(line.reasons.iter().all(|reason| !reason.text.is_empty()), "{line:?}");
            prop_assert!(line.rule_words.ends_with('.'), "{line:?}");
        }
    }
}
