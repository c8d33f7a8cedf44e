//! Problems made from one's own numbers.

use castmark::problem::{Given, GivenValue, Problem};
use castmark::quantity::{Typed, read_quantity};

use super::bank::{MENTHOL, PICKED, bank, exact, key, template};

fn typed(text: &str) -> Typed {
    read_quantity(text).unwrap()
}

/// Numbers as `name=1.02 g`, lists with semicolons, rows as `drug: heavy`.
fn given(texts: &[&str]) -> Given {
    let mut given = Given::default();
    for text in texts {
        if let Some((name, row)) = text.split_once(": ") {
            given.rows.push((name.to_owned(), row.to_owned()));
        } else if let Some((name, number)) = text.split_once('=') {
            let value = match number.split(';').collect::<Vec<_>>().as_slice() {
                [one] => GivenValue::One(typed(one)),
                several => GivenValue::Several(several.iter().map(|one| typed(one)).collect()),
            };
            given.values.push((name.to_owned(), value));
        }
    }
    given
}

fn work(text: &str, texts: &[&str]) -> Result<(Problem, Vec<String>), Vec<String>> {
    let bank = bank(&[text]);
    match Problem::from_values(&bank, template(&bank), &given(texts)) {
        Ok(problem) => {
            let says = problem.working(&bank).unwrap();
            Ok((problem, says.into_iter().map(|step| step.say).collect()))
        }
        Err(problems) => Err(problems.iter().map(ToString::to_string).collect()),
    }
}

#[track_caller]
fn base(text: &str, texts: &[&str], answer: &str) {
    let (problem, _) = work(text, texts).unwrap();
    assert_eq!(key(&problem, "base").exact, exact(answer), "{texts:?}");
    assert!(problem.stem.is_empty() && problem.code.is_none());
}

#[track_caller]
fn refuses(text: &str, texts: &[&str], messages: &[&str]) {
    assert_eq!(work(text, texts).unwrap_err(), messages);
}

#[test]
fn a_row_gives_its_numbers_and_ones_own_come_first() {
    let masses = "masses=1.02 g;1.04 g;1.03 g";
    base(PICKED, &["number=10", masses, "drug: heavy"], "9.9");
    base(PICKED, &["number=10", masses, "drug: heavy", "drug.dose=100 mg"], "10.1");
    let numbers = ["number=10", masses, "drug.dose=0.2 g", "drug.displacement_value=5"];
    base(PICKED, &numbers, "9.9");
}

#[test]
fn texts_say_whose_the_number_is() {
    let masses = "masses=1.02 g;1.04 g;1.03 g";
    let says = |texts: &[&str]| work(PICKED, texts).unwrap().1.pop().unwrap();
    let (row, own) = (["number=10", masses, "drug: heavy"], "drug.displacement_value=4");
    assert_eq!(says(&row), "Take off what heavy powder displaces (the guide).");
    let mixed = [row.as_slice(), &[own]].concat();
    assert_eq!(says(&mixed), "Take off what heavy powder displaces (your own value).");
    let alone = ["number=10", masses, "drug.dose=50 mg", own];
    assert_eq!(says(&alone), "Take off what drug displaces (your own value).");
    // A name that does not say what it is of is told with it.
    let first = PICKED.replace("drug:", "first:").replace("drug.", "first.");
    let numbers = ["number=10", masses, "first.dose=50 mg", "first.displacement_value=4"];
    let said = work(&first, &numbers).unwrap().1.pop().unwrap();
    assert_eq!(said, "Take off what first drug displaces (your own value).");
}

#[test]
fn fixed_values_need_not_be_given_and_can_be() {
    base(MENTHOL, &["value=0.75"], "14");
    base(MENTHOL, &["capacity=2000 mg", "value=0.75"], "29");
}

#[test]
fn what_follows_from_a_row_alone_is_worked_out_from_the_row() {
    // A double dose of the heavy powder is 400 mg, so ten units hold 4 g.
    let doubled = PICKED
        .replace(
            "  drug: { pick",
            "  double: { unit: mg/unit, is: drug.dose * 2, round: whole }\n  drug: { pick",
        )
        .replace("{{ drug.dose }} each", "{{ double }} each, twice {{ drug.dose }}");
    let doubled =
        doubled.replace("mean_mass - drug.dose / drug.displacement_value", "mean_mass - double");
    let numbers = ["number=10", "masses=1.02 g;1.04 g;1.03 g", "drug: heavy"];
    base(&doubled, &numbers, "6.3");
    let uses_the_dose = |numbers: &[&str]| {
        let (problem, _) = work(&doubled, numbers).unwrap();
        problem.used.iter().any(|used| used.label.starts_with("dose in each unit"))
    };
    assert!(uses_the_dose(&numbers));
    // Where the double is given, nothing is left that would need the dose.
    let given = [numbers.as_slice(), &["double=300 mg"]].concat();
    base(&doubled, &given, "7.3");
    assert!(!uses_the_dose(&given));
    // And where both are, each is as it was given.
    base(&doubled, &[&given[..], &["drug.dose=200 mg"]].concat(), "7.3");
}

#[test]
fn everything_missing_is_told_at_once() {
    refuses(
        PICKED,
        &[],
        &[
            "expected `number` (number cast), found nothing; give it, as in `number=12`",
            "expected `drug.displacement_value` (displacement value), found nothing; give it, as in \
         `drug.displacement_value=1.5`",
            "expected `drug.dose` (dose in each unit), found nothing; give it, as in `drug.dose=1.5 mg`",
            "expected `masses` (masses weighed), found nothing; give it, as in `masses=1.02, 1.04, 1.03 g`",
        ],
    );
}

#[test]
fn everything_wrong_is_told_with_what_is_missing() {
    refuses(
        PICKED,
        &["numbr=8", "number=8 g", "masses=1 g", "drug.dose=1;2", "drug: hevy", "drug.dose=1 mg"],
        &[
            "expected `drug.dose` once, found it again; keep one of them",
            "expected a value of the template, found `numbr`; did you mean `number`?",
            "expected a count of units for `number`, found mass; give it in unit",
            "expected several readings for `masses`, found one number; put commas between them",
            "expected one number for `drug.dose`, found several; give one",
            "expected a row that can be taken for `drug`, found `hevy`; did you mean `heavy`?",
            "expected `drug.displacement_value` (displacement value), found nothing; give it, as in \
             `drug.displacement_value=1.5`",
        ],
    );
}

#[test]
fn one_number_is_no_list_and_several_are_no_number() {
    let (masses, drug) = ("masses=1.02 g;1.04 g;1.03 g", "drug: heavy");
    refuses(
        PICKED,
        &["number=10;12", masses, drug],
        &["expected one number for `number`, found several; give one"],
    );
    refuses(
        PICKED,
        &["number=10", "masses=1.02 g", drug],
        &["expected several readings for `masses`, found one number; put commas between them"],
    );
    // A list may have one reading alone.
    let mut given = given(&["number=10", drug]);
    given.values.push(("masses".to_owned(), GivenValue::Several(vec![typed("1.03 g")])));
    let bank = bank(&[PICKED]);
    let problem = Problem::from_values(&bank, template(&bank), &given).unwrap();
    assert_eq!(key(&problem, "base").exact, exact("9.9"));
}

#[test]
fn numbers_that_cannot_be_are_refused() {
    refuses(
        MENTHOL,
        &["number=-3", "dose=-5 mg", "value=1 g"],
        &[
            "expected a whole number of zero or more for `number`, found -3; look at it again",
            "expected a number of zero or more for `dose`, found -5; look at it again",
            "expected a plain number for `value`, found mass; give it in no unit",
        ],
    );
    refuses(
        MENTHOL,
        &["number=2.5"],
        &["expected a whole number of zero or more for `number`, found 2.5; look at it again"],
    );
}

#[test]
fn what_can_be_below_zero_in_a_draw_can_be_given_so_and_nothing_else() {
    // 15 units of 0.90 g are 13.50 g, less the 1 g that 0.75 g displace.
    for rule in ["from: -0.05, to: 0.05, step: 0.01", "choose: [-0.05, 0.05]", "fixed: -0.05"] {
        let text = MENTHOL
            .replace("stem:", &format!("  surplus: {{ unit: g/unit, {rule} }}\nstem:"))
            .replace("Cast {{ number }} units", "With {{ surplus }} cast {{ number }} units")
            .replace("number * capacity,", "number * (capacity + surplus),");
        base(&text, &["value=0.75", "surplus=-0.10 g"], "12.5");
        refuses(
            &text,
            &["surplus=0 g", "dose=-5 mg"],
            &["expected a number of zero or more for `dose`, found -5; look at it again"],
        );
    }
}

#[test]
fn a_step_is_not_given() {
    refuses(
        MENTHOL,
        &["base=3 g"],
        &["expected a value of the template, found `base`; leave it out"],
    );
}

#[test]
fn numbers_that_lead_nowhere_are_refused() {
    refuses(
        MENTHOL,
        &["value=0"],
        &[
            "`base displaced` has no result for these numbers: the divisor is zero; look at them again",
        ],
    );
    refuses(
        MENTHOL,
        &["dose=900 mg"],
        &["`base` comes out as -4.3 g, which cannot be; look at the numbers again"],
    );
}

#[test]
fn what_was_not_given_is_said_to_be_taken() {
    let masses = "masses=1.02 g;1.04 g;1.03 g";
    let (problem, _) =
        work(PICKED, &["number=10", masses, "drug: heavy", "drug.dose=100 mg"]).unwrap();
    let origin = |label: &str| {
        let used = problem.used.iter().find(|used| used.label.starts_with(label));
        used.unwrap_or_else(|| panic!("{label}: {:?}", problem.used)).origin.to_string()
    };
    assert_eq!(origin("dose in each unit"), "given by you");
    assert_eq!(origin("displacement value"), "taken from the guide, not given by you");
}

fn bundled(id: &str, typed: &[(&str, &str)]) -> Result<Problem, Vec<String>> {
    let bank = castmark::bank::Bank::bundled().unwrap();
    let template = bank.find(id).unwrap();
    let given = Given::read(template, typed).unwrap();
    Problem::from_values(&bank, template, &given)
        .map_err(|problems| problems.iter().map(ToString::to_string).collect())
}

#[test]
fn where_sources_differ_they_are_listed_and_one_is_asked_for() {
    let numbers =
        [("number", "12"), ("capacity", "2.04 g"), ("drug", "zinc-oxide"), ("drug.dose", "200 mg")];
    let problems = bundled("base-one-drug", &numbers).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:#?}");
    assert!(problems[0].starts_with("expected `drug.displacement_value`"), "{problems:#?}");
    for value in
        ["5.0 (course guide 2019)", "4.7 (practical calculations, ch. 8)", "give the one to use"]
    {
        assert!(problems[0].contains(value), "{problems:#?}");
    }
}

#[test]
fn none_spoilt_and_a_tared_dish_can_be_given() {
    let numbers = [("cast", "12"), ("spoilt", "0"), ("dish", "0 g"), ("gross", "24.6 g")];
    bundled("capacity-from-total", &numbers).unwrap();
}

#[test]
fn a_drug_of_ones_own_is_never_called_by_another_name() {
    let bank = castmark::bank::Bank::bundled().unwrap();
    let names = |table: &str| {
        let table = bank.facts().table(table).unwrap();
        let column = table.column("name").unwrap();
        table.rows.iter().filter_map(move |row| row.cells[column][0].text()).collect::<Vec<_>>()
    };
    let numbers = [
        ("number", "16"),
        ("first_dose", "400 mg"),
        ("second_dose", "300 mg"),
        ("first.factor", "0.5"),
        ("second.factor", "0.3"),
        ("capacity", "3.09 g"),
        ("first.name", "kaolin"),
    ];
    let problem = bundled("base-factor-two-drugs", &numbers).unwrap();
    let labels: Vec<&str> = problem.used.iter().map(|used| used.label.as_str()).collect();
    let of = ["displacement factor of kaolin", "displacement factor of second drug"];
    assert_eq!(labels[3..5], of, "{labels:?}");
    let sheet = castmark::export::Sheet::of_work(&bank, &problem).unwrap();
    let sheet = format!("{sheet:?}");
    assert!(sheet.contains("kaolin") && sheet.contains("second drug"), "{sheet}");
    for name in names("drugs").into_iter().chain(names("factors")) {
        assert!(!sheet.contains(name), "{name}");
    }
}
