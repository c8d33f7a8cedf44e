//! Which draws are fair, and what their keys say.

use std::sync::OnceLock;

use castmark::bank::Bank;
use castmark::draw::{Code, Count, Space, Stream};
use castmark::formula::Slot;
use castmark::problem::{Block, Problem, Refusal, least_gap};
use castmark::quantity::Exact;
use proptest::prelude::*;

use super::bank::{MENTHOL, PICKED, bank, exact, key, template};

fn bundled() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

#[test]
fn the_printed_answer_and_the_exact_one_are_both_right() {
    let bank = bank(&[MENTHOL]);
    let problem = Problem::draw(&bank, template(&bank), 1).unwrap();
    let key = key(&problem, "base");
    assert_eq!(key.exact.to_places(3), exact("13.929"));
    assert_eq!(key.shown.to_string(), "13.9");
    // 15 g less 1.1 g, rounded early to one place, is the printed answer.
    assert_eq!((key.legal_low, key.legal_high), (exact("13.9"), exact("13.93")));
    assert_eq!((key.low, key.high), (exact("13.85"), exact("13.98")));
}

#[test]
fn slips_follow_a_wrong_rule_through_the_rest_of_the_working() {
    let bank = bank(&[MENTHOL]);
    let problem = Problem::draw(&bank, template(&bank), 1).unwrap();
    let slips: Vec<(usize, String, String, String)> = key(&problem, "base")
        .slips
        .iter()
        .map(|slip| (slip.slip, slip.value.to_places(3), slip.low, slip.high))
        .map(|(slip, value, low, high)| {
            (slip, value.to_string(), low.to_places(3).to_string(), high.to_places(3).to_string())
        })
        .collect();
    let told = |slip: usize, numbers: [&str; 3]| {
        let [value, low, high] = numbers.map(str::to_owned);
        (slip, value, low, high)
    };
    assert_eq!(
        slips,
        [told(0, ["14.250", "14.200", "14.300"]), told(1, ["28.929", "28.879", "28.980"]),]
    );
    // Neither changes what is displaced, so that part knows none of them.
    assert!(key(&problem, "displaced").slips.is_empty());
    assert_eq!(problem.slip_says(&bank, 0), "You took off 0.75 g.");
    assert_eq!(problem.slip_says(&bank, 9), "");
}

#[test]
fn a_carried_number_changes_what_follows_from_it_and_nothing_else() {
    let bank = bank(&[MENTHOL]);
    let problem = Problem::draw(&bank, template(&bank), 1).unwrap();
    let displaced = template(&bank).names.iter().position(|name| name.name == "displaced").unwrap();
    let own = [(displaced, exact("0.53"))];
    let following = problem.following(&own).unwrap();
    let keys = [0, 1].map(|part| following.key(part).unwrap().unwrap());
    assert_eq!(keys.clone().map(|key| key.shown.to_string()), ["0.53", "14.5"]);
    // The carried number is used as it stands, so only one number follows.
    assert_eq!((keys[1].legal_low, keys[1].legal_high), (exact("14.47"), exact("14.47")));
}

#[test]
fn a_stem_has_paragraphs_lists_and_tables() {
    let bank = bank(&[PICKED]);
    let problem = (0..40)
        .map(|number| Problem::draw(&bank, template(&bank), number).unwrap())
        .find(|problem| problem.draw.wording == 0)
        .unwrap();
    let kinds: Vec<&str> = problem
        .stem
        .iter()
        .map(|block| match block {
            Block::Paragraph(_) => "paragraph",
            Block::List(_) => "list",
            Block::Table { .. } => "table",
        })
        .collect();
    assert_eq!(kinds, ["paragraph", "list", "paragraph", "table"]);
    let Some(Block::Table { head, rows }) = problem.stem.last() else { panic!() };
    assert_eq!(head, &["no.", "masses weighed"]);
    assert_eq!(rows.len(), 3);
    assert!(rows.iter().all(|row| row[1].ends_with(" g")), "{rows:?}");
}

#[test]
fn readings_in_a_sentence_have_an_and_before_the_last() {
    let bank = bank(&[PICKED]);
    let problem = (0..40)
        .map(|number| Problem::draw(&bank, template(&bank), number).unwrap())
        .find(|problem| problem.draw.wording == 1)
        .unwrap();
    let Some(Block::Paragraph(stem)) = problem.stem.first() else { panic!() };
    let (_, readings) = stem.rsplit_once("the masses were ").unwrap();
    assert_eq!([", ", " and "].map(|mark| readings.matches(mark).count()), [1, 1], "{readings}");
}

#[test]
fn the_error_names_what_refused_most_draws() {
    let bank = bank(&[&PICKED.replace("base > 0 g", "base > 1000 g")]);
    let problem = Problem::draw(&bank, template(&bank), 1).unwrap_err();
    assert_eq!(
        problem.to_string(),
        "template `picked` gave no fair problem in 20000 draws: 20000 of them failed because `base > \
         1000 g` does not hold (there must be some base); widen its values or loosen what it requires"
    );
    assert_eq!(
        Problem::from_code(&bank, &Code::new("nothing", 1)).unwrap_err().to_string(),
        "expected the name of a template of the bank, found `nothing`; `castmark bank list` shows \
         all of them"
    );
}

#[test]
fn a_slip_that_would_be_marked_right_refuses_the_draw() {
    let bank = bank(&[&MENTHOL.replace("2 * capacity", "capacity + 0.001 g/unit")]);
    let template = template(&bank);
    let space = Space::of(template).unwrap();
    let mut looks = Stream::new(&Code::new("menthol", 1).seed());
    let refusal = Problem::solved(template, &space, 0, &mut looks).unwrap_err();
    assert_eq!(refusal, Refusal::ConfusedSlip(1, 1));
    assert_eq!(
        refusal.explain(template),
        "slip `wrong-mould` cannot be told from a right answer of part `base`"
    );
}

#[test]
fn an_answer_below_zero_refuses_the_draw() {
    let bank = bank(&[&MENTHOL
        .replace("dose: { unit: mg/unit, fixed: 50 }", "dose: { unit: mg/unit, fixed: 900 }")]);
    let problem = Problem::draw(&bank, template(&bank), 1).unwrap_err();
    assert_eq!(
        problem.to_string(),
        "template `menthol` gave no fair problem in 20000 draws: 20000 of them failed because the \
         answer of part `base` is not above zero; widen its values or loosen what it requires"
    );
}

#[test]
fn fair_draws_are_counted() {
    assert_eq!(Problem::count(template(&bank(&[MENTHOL]))), Some(Count::Exact(1)));
    let bank = bank(&[&PICKED.replace("base > 0 g", "number = 8 unit")]);
    let Some(Count::Exact(fair)) = Problem::count(template(&bank)) else { panic!() };
    // One of five numbers is allowed, two sizes, eighteen surpluses, two drugs, 125 lists of masses.
    let most = 2 * 18 * 2 * 125;
    assert!(fair > most / 2 && fair <= most, "{fair}");
}

#[test]
fn every_bundled_template_has_problems() {
    for template in bundled().templates() {
        for number in 0..3 {
            let problem = Problem::draw(bundled(), template, number);
            let problem = problem.unwrap_or_else(|problem| panic!("{problem}"));
            assert!(!problem.stem.is_empty() && !problem.parts.is_empty(), "{}", template.id);
        }
    }
}

fn number_of(problem: &Problem, slot: usize) -> Exact {
    match &problem.slots[slot] {
        Slot::Number(number) => *number,
        other => panic!("{other:?}"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_code_always_gives_the_same_problem(which in 0_usize..1000, number in 0..Code::NUMBERS) {
        let templates = bundled().templates();
        let template = &templates[which % templates.len()];
        let problem = Problem::draw(bundled(), template, number).unwrap();
        let code = Code::parse(&problem.code.as_ref().unwrap().to_string()).unwrap();
        let again = Problem::from_code(bundled(), &code).unwrap();
        prop_assert_eq!(&again.draw, &problem.draw);
        prop_assert_eq!(&again.slots, &problem.slots);
        prop_assert_eq!(&again.stem, &problem.stem);
    }

    #[test]
    fn what_is_drawn_is_fair(which in 0_usize..1000, number in 0..Code::NUMBERS) {
        let templates = bundled().templates();
        let template = &templates[which % templates.len()];
        let problem = Problem::draw(bundled(), template, number).unwrap();
        for one in &template.require {
            prop_assert_eq!(one.program.holds(&problem.slots), Ok(true), "{}", one.formula.text());
        }
        for part in &problem.parts {
            let Some(key) = part.response.number() else { continue };
            prop_assert!(key.is_sensible());
            prop_assert!(key.legal_low <= key.exact && key.exact <= key.legal_high);
            prop_assert!(key.low <= key.shown && key.shown <= key.high, "{}: {key:?}", template.id);
            for slip in &key.slips {
                prop_assert!(slip.low <= slip.value && slip.value <= slip.high);
                prop_assert!(slip.high < key.low || slip.low > key.high);
                prop_assert!(key.gap(slip).is_some_and(|gap| gap.settled() >= least_gap()));
            }
        }
    }

    #[test]
    fn rounding_steps_as_shown_leads_to_a_right_answer(
        which in 0_usize..1000,
        number in 0..Code::NUMBERS,
        rounded in any::<u16>(),
    ) {
        let templates = bundled().templates();
        let template = &templates[which % templates.len()];
        // Beyond eight steps not every way is followed.
        prop_assume!(template.working.len() <= 8);
        let problem = Problem::draw(bundled(), template, number).unwrap();
        let mut slots = problem.draw.slots.clone();
        let mut unrounded = problem.draw.slots.clone();
        for (place, step) in template.working.iter().enumerate() {
            let value = step.program.run(&slots).unwrap();
            unrounded[step.slot] = Slot::Number(value);
            let unit = template.names[step.slot].unit;
            let shown = step.rounding.apply(unit.from_coherent(value).unwrap());
            let used = if rounded >> place & 1 == 1 { unit.to_coherent(shown).unwrap() } else { value };
            slots[step.slot] = Slot::Number(used);
        }
        for (part, plan) in problem.parts.iter().zip(&template.parts) {
            let Some(plan) = plan.wanted.number() else { continue };
            let Some(key) = part.response.number() else { continue };
            let Slot::Number(answer) = unrounded[plan.slot] else { panic!() };
            let answer = plan.unit.from_coherent(answer).unwrap();
            prop_assert!(key.legal_low <= answer && answer <= key.legal_high, "{}", template.id);
            prop_assert_eq!(plan.unit.from_coherent(number_of(&problem, plan.slot)), Ok(key.exact));
        }
    }
}
