//! Answers to theory as people type them, over every template of the bundled bank: whatever form the key
//! takes it is right, better is never worse, and nonsense earns nothing.

use std::sync::{Arc, OnceLock};

use castmark::bank::{Bank, Template};
use castmark::marking::{Entry, Item, Settings, Standing, mark, mark_problem};
use castmark::problem::{Problem, Response, letter};
use proptest::prelude::*;

fn bundled() -> &'static Bank {
    static BANK: OnceLock<Bank> = OnceLock::new();
    BANK.get_or_init(|| Bank::bundled().unwrap())
}

/// The templates with a part of theory.
fn theory() -> Vec<&'static Arc<Template>> {
    let is_theory = |template: &&Arc<Template>| {
        template.parts.iter().any(|part| part.wanted.number().is_none())
    };
    bundled().templates().iter().filter(is_theory).collect()
}

/// The draws of every template of theory with their number.
fn draws(each: u64) -> impl Iterator<Item = Problem> {
    theory().into_iter().flat_map(move |template| {
        (0..each).filter_map(move |number| Problem::draw(bundled(), template, number).ok())
    })
}

fn capital(place: usize) -> String {
    letter(place, 'A')
}

/// Letters and digits as a keyboard for ideographs types them.
fn full_width(text: &str) -> String {
    let wide = |letter: char| match letter {
        '!'..='~' => char::from_u32(u32::from(letter) + 0xfee0).unwrap(),
        letter => letter,
    };
    text.chars().map(wide).collect()
}

/// The key in many forms.
#[allow(clippy::too_many_lines, reason = "one arm for each kind of answer")]
fn forms(response: &Response) -> Vec<String> {
    let mut forms = Vec::new();
    match response {
        Response::Number(_) | Response::Written(_) => return forms,
        Response::Choice(key) => {
            let places = (0..key.options.len()).filter(|place| key.right[*place]);
            let letters: Vec<String> = places.clone().map(capital).collect();
            let texts: Vec<&str> = places.map(|place| key.options[place].text.as_str()).collect();
            for between in [" ", "", ", ", " and ", "; "] {
                forms.push(letters.join(between));
            }
            forms.push(format!("option {}", letters.join(" ")));
            forms.push(format!("({})", letters.join(") (")));
            forms.push(format!("{}.", letters.join(". ")));
            // Words that two options share name neither.
            let same = |one: &str, other: &str| one.eq_ignore_ascii_case(other);
            let alone =
                |text: &&&str| key.options.iter().filter(|it| same(&it.text, text)).count() == 1;
            if texts.iter().all(|text| alone(&text)) && !texts.iter().any(|text| text.contains(';'))
            {
                forms.push(texts.join("; "));
                forms.push(format!("{}.", texts.join(";\n").to_uppercase()));
                let both: Vec<String> = letters
                    .iter()
                    .zip(&texts)
                    .map(|(letter, text)| format!("{letter}: {text}"))
                    .collect();
                forms.push(both.join("; "));
            }
        }
        Response::Verdict(key) => {
            let (letter, words) = (capital(key.right), &key.options[key.right]);
            forms.extend([letter.clone(), format!("option {letter}"), format!("({letter})")]);
            forms.extend([words.clone(), format!("{words}."), format!("{letter}: {words}")]);
        }
        Response::Judgement(key) => {
            let verdicts: &[&str] = if key.truth {
                &["true", "T", "correct", "right", "True."]
            } else {
                &["false", "F", "incorrect", "wrong", "not true", "untrue"]
            };
            let reason = key.right.map(capital);
            for verdict in verdicts {
                let Some(reason) = &reason else {
                    forms.push((*verdict).to_owned());
                    continue;
                };
                let words = &key.reasons[key.right.unwrap()].text;
                forms.push(format!("{verdict} {reason}"));
                forms.push(format!("{reason} {verdict}"));
                forms.push(format!("{}, {}", verdict.to_uppercase(), reason.to_lowercase()));
                forms.push(format!("{verdict}; reason {reason}"));
                forms.push(format!("{verdict} because {words}"));
                forms.push(format!("{verdict}: {words}"));
            }
            if let Some(reason) = &reason {
                let verdict = if key.truth { "T" } else { "F" };
                forms.push(format!("{verdict}{reason}"));
                forms.push(format!("{verdict}-{reason}").to_lowercase());
            }
        }
        Response::Matching(key) => {
            let letters: Vec<String> = key.answers.iter().map(|place| capital(*place)).collect();
            for between in [" ", "", ", ", " - "] {
                forms.push(letters.join(between));
            }
            for (inside, between) in [("", " "), ("-", ", "), ("=", ";"), (". ", " "), (": ", "\n")]
            {
                let pairs = letters.iter().enumerate();
                let pairs: Vec<String> =
                    pairs.map(|(line, letter)| format!("{}{inside}{letter}", line + 1)).collect();
                forms.push(pairs.join(between));
                forms.push(pairs.join(between).to_lowercase());
            }
            let turned =
                letters.iter().enumerate().map(|(line, letter)| format!("{letter}{}", line + 1));
            forms.push(turned.collect::<Vec<_>>().join(" "));
            let words = key.answers.iter().map(|place| key.right[*place].as_str());
            let words: Vec<&str> = words.collect();
            if !words.iter().any(|word| word.contains(';')) {
                forms.push(words.join("; "));
                let numbered =
                    words.iter().enumerate().map(|(n, word)| format!("{} {word}", n + 1));
                forms.push(numbered.collect::<Vec<_>>().join("; "));
            }
        }
        Response::Ordering(key) => {
            let letters: Vec<String> = key.order.iter().map(|place| capital(*place)).collect();
            for between in [" ", "", ", ", " > ", " -> ", " then ", "; "] {
                forms.push(letters.join(between));
            }
            let words: Vec<&str> =
                key.order.iter().map(|place| key.items[*place].as_str()).collect();
            if !words.iter().any(|word| word.contains(';')) {
                forms.push(words.join("; "));
                forms.push(words.join("\n").to_uppercase());
            }
        }
        Response::Text(key) => {
            for term in &key.answers {
                forms.push(term.clone());
                forms.push(term.to_uppercase());
                forms.push(format!("the {term}."));
                forms.push(term.replace('-', " "));
                forms.push(format!("it is {term}"));
            }
        }
        Response::Range(key) => {
            let (low, high, unit) = (key.low, key.high, key.unit.symbol());
            let dashed = if low.is_negative() { " to " } else { "-" };
            for between in [" to ", "–", " - ", "/", "; ", ".."] {
                forms.push(format!("{low}{between}{high}"));
                forms.push(format!("{low}{between}{high} {unit}"));
            }
            forms.push(format!("{low} {unit}{dashed}{high} {unit}"));
            forms.push(format!("{high} to {low}"));
            forms.push(format!("between {low} and {high} {unit}"));
            if low.neg() == high {
                forms.push(format!("+/-{high}"));
                forms.push(format!("±{high} {unit}"));
            }
        }
    }
    let wide: Vec<String> = forms.iter().map(|form| full_width(form)).collect();
    forms.extend(wide);
    forms
}

#[test]
fn every_form_of_every_key_is_right() {
    let (mut tried, mut wrong) = (0, Vec::new());
    for problem in draws(4) {
        for (place, part) in problem.parts.iter().enumerate() {
            for form in forms(&part.response) {
                tried += 1;
                let verdict = mark(&problem, place, &form);
                if verdict.standing() != Standing::Correct {
                    wrong
                        .push(format!("{} {}: {form:?} {verdict:?}", problem.template.id, part.id));
                }
            }
        }
    }
    assert!(tried > 4000, "{tried}");
    assert!(
        wrong.is_empty(),
        "{} of {tried}:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(12)].join("\n")
    );
}

#[test]
fn swapping_two_neighbours_costs_the_least_that_can_be_cost_and_nonsense_earns_nothing() {
    let mut seen = 0;
    for problem in draws(12) {
        for (place, part) in problem.parts.iter().enumerate() {
            let Response::Ordering(key) = &part.response else { continue };
            seen += 1;
            let written =
                |order: &[usize]| -> String { order.iter().map(|line| capital(*line)).collect() };
            let marks = |order: &[usize]| mark(&problem, place, &written(order)).marks();
            for at in 1..key.order.len() {
                let mut order = key.order.clone();
                order.swap(at - 1, at);
                let fixed = key.before.contains(&(key.order[at - 1], key.order[at]));
                assert_eq!(marks(&order), part.marks - u32::from(fixed), "{}", problem.template.id);
            }
            let mut order = key.order.clone();
            order.reverse();
            assert_eq!(marks(&order), 0, "{}", problem.template.id);
        }
    }
    assert!(seen > 50, "{seen}");
}

#[test]
fn a_term_that_is_not_known_is_never_wrong_without_a_person() {
    for problem in draws(12) {
        for (place, part) in problem.parts.iter().enumerate() {
            let Response::Text(key) = &part.response else { continue };
            for answer in ["astringent", "the stuff", "no idea", "xyz"] {
                let verdict = mark(&problem, place, answer);
                let known = key.answers.iter().chain(&key.others).any(|term| term == answer);
                assert!(known || verdict.standing() == Standing::ByHand, "{answer}: {verdict:?}");
            }
            for other in &key.others {
                let verdict = mark(&problem, place, other);
                assert_eq!(verdict.standing(), Standing::NotCorrect, "{other}: {verdict:?}");
            }
        }
    }
}

#[test]
fn the_mass_of_water_may_be_given_as_its_volume() {
    let mut seen = 0;
    for id in ["glycero-gelatin-masses", "ichthammol-pessaries", "glycero-gelatin-percentages"] {
        let template = bundled().templates().iter().find(|it| it.id == id).unwrap();
        for number in 0..40 {
            let problem = Problem::draw(bundled(), template, number).unwrap();
            for (place, part) in problem.parts.iter().enumerate() {
                let Response::Number(key) = &part.response else { continue };
                let verdict = mark(&problem, place, &format!("{} mL", key.shown));
                assert_eq!(verdict.is_correct(), part.id == "water", "{id} {}", part.id);
                seen += u32::from(verdict.is_correct());
            }
        }
    }
    assert_eq!(seen, 120);
}

/// An answer such as candidates give, more or less right.
fn attempt() -> impl Strategy<Value = String> {
    prop_oneof![
        "[A-F]{1,6}",
        "[A-F]( [A-F]){0,5}",
        "(true|false|T|F|not true) ?[A-D]{0,2}",
        "1[a-f] 2[a-f]( 3[a-f])?( 4[a-f])?",
        "[A-F] - [A-F]",
        "[0-9]{1,3}( to |-|/)[0-9]{1,3}( g| %| °C)?",
        "(base|balance|beta|lubricant|analytical balance|the sieve)",
        "\\PC{0,12}",
        Just(String::new()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn putting_the_key_in_the_place_of_an_answer_never_costs_marks(
        which in 0_usize..1000,
        number in 0_u64..5000,
        answers in prop::collection::vec(attempt(), 8),
    ) {
        let theory = theory();
        let problem = Problem::draw(bundled(), theory[which % theory.len()], number).unwrap();
        let total = |answers: &[String]| {
            let entry = |(place, answer): (usize, &'_ String)| -> (Item, String) {
                (Item::Part(place), answer.clone())
            };
            let given: Vec<(Item, String)> =
                answers.iter().enumerate().take(problem.parts.len()).map(entry).collect();
            let entries: Vec<Entry<'_>> =
                given.iter().map(|(item, answer)| Entry { item: *item, answer }).collect();
            mark_problem(&problem, &entries, &Settings::default()).marks()
        };
        let before = total(&answers);
        for (place, part) in problem.parts.iter().enumerate().take(answers.len()) {
            let mut better = answers.clone();
            better[place] = part.response.answer();
            if matches!(part.response, Response::Written(_)) {
                continue;
            }
            prop_assert!(total(&better) >= before, "{} {}", problem.template.id, part.id);
            prop_assert!(mark(&problem, place, &better[place]).is_correct(), "{}", better[place]);
        }
    }

    #[test]
    fn a_letter_more_or_less_never_turns_the_marks_round(number in 0_u64..2000, which in 0_usize..100) {
        let several: Vec<_> = theory()
            .into_iter()
            .filter(|template| {
                let problem = Problem::draw(bundled(), template, number).unwrap();
                problem.parts.iter().any(|part| matches!(&part.response, Response::Choice(key) if key.several))
            })
            .collect();
        let problem = Problem::draw(bundled(), several[which % several.len()], number).unwrap();
        for (place, part) in problem.parts.iter().enumerate() {
            let Response::Choice(key) = &part.response else { continue };
            if !key.several {
                continue;
            }
            let marks = |chosen: u32| {
                let letters = (0..key.options.len()).filter(|option| chosen >> option & 1 == 1);
                let letters: String = letters.map(capital).collect();
                if letters.is_empty() { 0 } else { mark(&problem, place, &letters).marks() }
            };
            for chosen in 1..1_u32 << key.options.len() {
                for (option, right) in key.right.iter().enumerate() {
                    if chosen >> option & 1 == 1 {
                        continue;
                    }
                    let (before, after) = (marks(chosen), marks(chosen | 1 << option));
                    let fits = if *right { after >= before } else { after <= before };
                    prop_assert!(fits, "{chosen:b} {option}");
                }
            }
            prop_assert_eq!(marks((1 << key.options.len()) - 1), 0);
        }
    }
}
