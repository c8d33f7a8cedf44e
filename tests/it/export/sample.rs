//! An invented sheet with everything a sheet can hold.

use std::sync::Arc;

use castmark::export::{
    Accepted, AnswerSpace, CandidateField, Contents, Detail, Entry, EntryPart, EntrySlip, Lazy,
    MarkKind, MarkLine, PartKey, Section, Sheet, SlipAnswer,
};
use castmark::formula::{Formula, Words};
use castmark::marking::Settings;
use castmark::problem::{Block, Drawing, WorkedMethod, WorkedStep};
use castmark::quantity::Exact;

/// A sheet of a made-up college: two calculations, then one of each kind of theory question.
pub(super) fn sheet(contents: Contents) -> Sheet {
    Sheet {
        front: castmark::export::Front::default(),
        title: "Moulded dosage forms: paper 2".into(),
        note: Some(
            "Answer every question in the space below it. Show your working: it earns marks even \
             where the answer is wrong."
                .to_owned(),
        )
        .into(),
        details: vec![detail("Time allowed", "40 minutes"), detail("Class", "dispensing, year 2")],
        square: None,
        mark: Some("P2-0412-K7".into()),
        candidate: CandidateField::Number("0412".into()),
        contents,
        minutes: Some(40),
        rules: Settings::default(),
        entries: [
            base_quantity(),
            calibration(),
            single_choice(),
            several(),
            matching(),
            grouping(),
            order(),
            judgement(),
            range(),
            written(),
            word(),
        ]
        .map(Arc::new)
        .into(),
        sources: vec![detail("a handbook", "A handbook of bases, 2nd edition, p. 12")].into(),
    }
}

fn base_quantity() -> Entry {
    Entry {
        method: Some("By the batch".to_owned()),
        methods: Ok(vec![WorkedMethod {
            title: "By the unit".to_owned(),
            steps: vec![step("Take one unit.", "capacity", "mean(sound)", "1.03 g")],
        }])
        .into(),
        agreement: Some("Both methods lead to the same answer: 24.0 g.".to_owned()).into(),
        plausible: Ok(Some("The base weighs less than what fills the mould.".to_owned())).into(),
        section: Some(Section {
            title: "Section A: quantities".into(),
            note: Some("Give each answer to the rounding printed beside it.".into()),
        }),
        heading: Some("Base for one drug".into()),
        code: Some("base-one-drug.k7m2-9qfx".into()),
        stem: vec![
            paragraph(
                "You are to cast 12 suppositories, each with 200 mg of zinc oxide. The mould \
                 holds 2.04 g of theobroma oil at each place.",
            ),
            paragraph(
                "Take the displacement value of zinc oxide as 4.7 (practical calculations, \
                 chapter 8): so many grams of it take the place of 1 g of base.",
            ),
        ],
        parts: vec![
            EntryPart {
                id: "drug_mass".into(),
                ask: "What mass of zinc oxide is needed for the batch?".into(),
                marks: 1,
                space: AnswerSpace::Number {
                    unit: "g".into(),
                    rounding: "2 decimal places".into(),
                },
                key: number_key(
                    "2.40 g",
                    "2.39",
                    "2.41",
                    "g",
                    &[(MarkKind::Accuracy, 1, "2.40 g")],
                ),
                marking: None.into(),
            },
            EntryPart {
                id: "base".into(),
                ask: "What mass of theobroma oil is needed for the batch, with nothing added for \
                      losses?"
                    .into(),
                marks: 3,
                space: AnswerSpace::Number { unit: "g".into(), rounding: "1 decimal place".into() },
                key: number_key(
                    "24.0 g",
                    "23.9",
                    "24.1",
                    "g",
                    &[
                        (MarkKind::Method, 2, "the base displaced taken from what the mould holds"),
                        (MarkKind::Accuracy, 1, "an answer from 23.9 to 24.1 g"),
                    ],
                ),
                marking: None.into(),
            },
        ],
        working: vec![
            step("Find the drug for the whole batch.", "drug_mass", "number * dose", "2.40 g"),
            step(
                "Find how much base this drug takes the place of.",
                "displaced",
                "drug_mass / value",
                "0.511 g",
            ),
            step(
                "Take the displaced base from what the places of the mould hold.",
                "base",
                "number * capacity - displaced",
                "23.97 g",
            ),
        ],
        drawing: Some(Drawing {
            mould: number("24.48"),
            displaced: vec![("base displaced".into(), number("0.5106382978723404255319148936"))],
            drugs: vec![("mass of drug".into(), number("2.40"))],
            base: number("23.969361702127659574468085106"),
        })
        .into(),
        slips: vec![
            slip(
                "whole-drug-subtracted",
                "You took off the whole mass of the drug. It only displaces 0.511 g of base.",
                &[(1, "22.1 g")],
            ),
            slip(
                "milligrams-for-grams",
                "You read the dose in milligrams as grams.",
                &[(0, "2400 g"), (1, "not possible")],
            ),
        ]
        .into(),
        sources: vec![detail("a handbook", "A handbook of bases, 2nd edition, p. 12")].into(),
    }
}

fn calibration() -> Entry {
    Entry {
        stem: vec![
            paragraph("Five plain units of theobroma oil were cast and weighed:"),
            Block::Table {
                head: vec!["unit".into(), "mass".into()],
                rows: [["1", "1.02 g"], ["2", "1.04 g"], ["3", "0.81 g"], ["4", "1.03 g"]]
                    .iter()
                    .map(|row| row.iter().map(|cell| (*cell).to_owned()).collect())
                    .collect(),
            },
            paragraph("Before you use them:"),
            Block::List(vec![
                "leave out a unit that is more than 10 % under the heaviest".into(),
                "work with the others only".into(),
            ]),
        ],
        parts: vec![EntryPart {
            id: "capacity".into(),
            ask: "What is the capacity of one place of the mould?".into(),
            marks: 2,
            space: AnswerSpace::Number { unit: "g".into(), rounding: "2 decimal places".into() },
            key: number_key(
                "1.03 g",
                "1.03",
                "1.03",
                "g",
                &[(MarkKind::Method, 1, "unit 3 left out"), (MarkKind::Accuracy, 1, "1.03 g")],
            ),
            marking: None.into(),
        }],
        working: vec![step(
            "Take the mean of the sound units.",
            "capacity",
            "mean(sound)",
            "1.03 g",
        )],
        ..Entry::default()
    }
}

fn single_choice() -> Entry {
    theory(
        Some("Section B: theory"),
        "Which of these is put into the mould before glycero-gelatin is poured?",
        1,
        AnswerSpace::Options {
            options: vec!["liquid paraffin".into(), "soap solution".into(), "water".into()],
            multiple: false,
        },
        "A",
        &[(MarkKind::Accuracy, 1, "A")],
    )
}

fn several() -> Entry {
    theory(
        None,
        "Which of these are wanted of a base?",
        2,
        AnswerSpace::Options {
            options: vec![
                "it is solid at room temperature".into(),
                "it sticks to the mould".into(),
                "it releases the drug".into(),
            ],
            multiple: true,
        },
        "A, C",
        &[(MarkKind::Accuracy, 2, "A and C, 1 mark each; 1 off for B")],
    )
}

fn matching() -> Entry {
    theory(
        None,
        "Match each form with its route.",
        2,
        AnswerSpace::Match {
            left: vec!["suppository".into(), "pessary".into()],
            right: vec!["vaginal".into(), "rectal".into(), "nasal".into()],
            again: false,
        },
        "1 B, 2 A",
        &[(MarkKind::Accuracy, 2, "1 mark for each pair")],
    )
}

fn order() -> Entry {
    theory(
        None,
        "Put the steps of casting in order.",
        2,
        AnswerSpace::Order {
            items: vec!["pour".into(), "melt the base".into(), "trim the tops".into()],
        },
        "B, A, C",
        &[(MarkKind::Accuracy, 2, "B, A, C")],
    )
}

fn written() -> Entry {
    theory(
        None,
        "Explain why the mould is overfilled.",
        3,
        AnswerSpace::Lines { count: 4 },
        "The melt contracts as it sets.",
        &[
            (MarkKind::Point, 1, "the mass contracts on cooling"),
            (
                MarkKind::Point,
                2,
                "a hollow would form at the top, so the unit would be under weight",
            ),
        ],
    )
}

fn grouping() -> Entry {
    theory(
        None,
        "Sort these bases.",
        2,
        AnswerSpace::Match {
            left: vec!["hard fat".into(), "macrogol".into(), "theobroma oil".into()],
            right: vec!["fatty".into(), "water-soluble".into()],
            again: true,
        },
        "1a 2b 3a",
        &[(MarkKind::Accuracy, 2, "the share of right lines")],
    )
}

fn judgement() -> Entry {
    let mut entry = theory(
        None,
        "True or false? A mould for macrogol is lubricated with water.",
        2,
        AnswerSpace::Judgement {
            reasons: vec!["the mass shrinks as it sets".into(), "water melts the base".into()],
            with_reason: true,
        },
        "false A",
        &[(MarkKind::Accuracy, 1, "true or false"), (MarkKind::Accuracy, 1, "the reason")],
    );
    let noted = entry.parts[0].key.clone();
    entry.parts[0].key = noted.changed(|key| {
        key.notes = vec!["A: the mass comes away by itself".into()];
    });
    entry
}

fn range() -> Entry {
    theory(
        None,
        "Between what temperatures does theobroma oil melt?",
        2,
        AnswerSpace::Range { unit: "°C".into() },
        "30 to 36 °C",
        &[(MarkKind::Accuracy, 2, "half for each end")],
    )
}

fn word() -> Entry {
    theory(
        None,
        "Name the tool used to trim the tops.",
        1,
        AnswerSpace::Text,
        "a warm spatula",
        &[(MarkKind::Point, 1, "spatula or knife")],
    )
}

fn theory(
    section: Option<&str>,
    ask: &str,
    marks: u32,
    space: AnswerSpace,
    answer: &str,
    scheme: &[(MarkKind, u32, &str)],
) -> Entry {
    Entry {
        section: section.map(|title| Section { title: title.into(), note: None }),
        parts: vec![EntryPart {
            id: "answer".into(),
            ask: ask.into(),
            marks,
            space,
            key: PartKey { answer: answer.into(), scheme: lines(scheme), ..PartKey::default() }
                .into(),
            marking: None.into(),
        }],
        ..Entry::default()
    }
}

fn number_key(
    answer: &str,
    low: &str,
    high: &str,
    unit: &str,
    scheme: &[(MarkKind, u32, &str)],
) -> Lazy<PartKey> {
    let key = PartKey {
        answer: answer.into(),
        accepted: Some(Accepted { low: low.into(), high: high.into(), unit: unit.into() }),
        scheme: lines(scheme),
        notes: Vec::new(),
    };
    key.into()
}

fn lines(scheme: &[(MarkKind, u32, &str)]) -> Vec<MarkLine> {
    scheme
        .iter()
        .map(|(kind, marks, what)| MarkLine { kind: *kind, marks: *marks, what: (*what).into() })
        .collect()
}

fn step(say: &str, name: &str, rule: &str, result: &str) -> WorkedStep {
    let rule = Formula::parse(rule).unwrap();
    WorkedStep {
        name: name.into(),
        say: say.into(),
        label: Sample.label(name),
        named: rule.with_names(&Sample),
        numbered: rule.with_numbers(&Sample),
        result: result.into(),
        rounded: matches!(name, "displaced" | "base"),
    }
}

/// The words and numbers of the invented problems.
struct Sample;

impl Words for Sample {
    fn label(&self, name: &str) -> String {
        let label = match name {
            "number" => "number cast",
            "dose" => "dose in each unit",
            "drug_mass" => "mass of drug",
            "value" => "displacement value",
            "displaced" => "base displaced",
            "capacity" => "capacity of the mould",
            "sound" => "the sound units",
            other => other,
        };
        label.to_owned()
    }

    fn number(&self, name: &str) -> Vec<String> {
        let numbers: &[&str] = match name {
            "number" => &["12"],
            "dose" => &["200 mg"],
            "drug_mass" => &["2.40 g"],
            "value" => &["4.7"],
            "displaced" => &["0.511 g"],
            "capacity" => &["2.04 g"],
            "sound" => &["1.02 g", "1.04 g", "1.03 g"],
            _ => &[],
        };
        numbers.iter().map(|number| (*number).to_owned()).collect()
    }
}

fn slip(id: &str, say: &str, answers: &[(usize, &str)]) -> EntrySlip {
    let answers = answers
        .iter()
        .map(|(part, answer)| SlipAnswer { part: *part, answer: (*answer).into(), marks: 0 })
        .collect();
    EntrySlip { index: 0, id: id.into(), say: say.into(), answers }
}

fn detail(label: &str, value: &str) -> Detail {
    Detail { label: label.into(), value: value.into() }
}

fn paragraph(text: &str) -> Block {
    Block::Paragraph(text.into())
}

fn number(text: &str) -> Exact {
    Exact::parse(text).unwrap()
}
