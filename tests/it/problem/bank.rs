//! Small banks for the tests.

use std::sync::Arc;

use castmark::bank::{Bank, SourceText, Template};
use castmark::problem::{NumberKey, Problem};
use castmark::quantity::Exact;

const SOURCES: &str = "\
castmark: 1
sources:
  guide: { short: the guide, full: A made-up guide, standing: read }
";

const DRUGS: &str = "\
castmark: 1
table: drugs
about: Drugs of a made-up laboratory.
columns:
  name: text
  displacement_value: { number: \"1\", label: displacement value }
  dose: { number: mg/unit, label: dose in each unit }
rows:
  heavy:
    name: heavy powder
    displacement_value: [{ is: 5.0, source: guide }]
    dose: [{ is: 200, source: guide }]
  light:
    name: light powder
    displacement_value: [{ is: 0.7, source: guide }]
    dose: [{ is: 50, source: guide }]
";

/// 15 suppositories of 1 g with 50 mg of menthol each, displacement value 0.7: 13.929 g of base, or
/// the printed 13.9 g. Introduction to Pharmaceutical Calculations, 4th edition, chapter 9, page 154.
pub(crate) const MENTHOL: &str = "\
castmark: 1
id: menthol
title: Menthol
objective: base-quantity
topic: one-drug
level: 1
minutes: 5
convention: displacement value
about: A printed example.
values:
  number: { label: number cast, unit: unit, fixed: 15 }
  capacity: { unit: g/unit, fixed: 1.00 }
  dose: { unit: mg/unit, fixed: 50 }
  value: { label: displacement value, unit: \"1\", fixed: 0.7 }
stem:
  - Cast {{ number }} units of {{ dose }} in a mould of {{ capacity }}; the displacement value is {{ value }}.
  - Cast {{ number }} units; displacement value {{ value }}.
working:
  drug: { label: mass of drug, say: Find the drug., is: number * dose, unit: g, show: 2 places }
  displaced:
    label: base displaced
    say: Find the base that {{ drug }} displaces.
    is: drug / value
    unit: g
    show: 2 places
    also: [1 place]
  total: { say: Fill the mould., is: number * capacity, unit: g, show: 2 places }
  base: { label: mass of base, say: Take it off., is: total - displaced, unit: g, show: 2 places }
parts:
  displaced: { ask: What is displaced?, unit: g, round: 2 places, tolerance: 0.01, marks: 1 }
  base: { ask: How much base?, unit: g, round: 1 place, tolerance: 0.05, marks: 3 }
slips:
  whole-drug:
    instead: { base: total - drug }
    say: You took off {{ drug }}.
  wrong-mould:
    instead: { capacity: 2 * capacity }
    say: The mould holds {{ capacity }}.
batch:
  - { what: menthol, each: dose, all: drug, round: 2 places }
  - { what: base, all: base, round: 2 places }
drawing: { mould: total, displaced: [displaced], drugs: [drug], base: base }
";

/// A drug of the table in a mould that was calibrated.
pub(crate) const PICKED: &str = "\
castmark: 1
id: picked
title: Picked
objective: base-quantity
topic: one-drug
level: 1
minutes: 5
convention: displacement value
about: A drug of the table.
values:
  number: { label: number cast, unit: unit, from: 8, to: 12, step: 1 }
  nominal: { unit: g/unit, choose: [1, 2] }
  surplus: { unit: g/unit, from: -0.05, to: 0.12, step: 0.01 }
  capacity: { label: capacity of the mould, unit: g/unit, is: nominal + surplus, round: 2 places }
  drug: { pick: drugs, with: [displacement_value, dose] }
  masses: { label: masses weighed, unit: g/unit, around: capacity, count: 3, reach: 2, step: 0.01 }
  product:
    words: [{ one: suppository, many: suppositories }, { one: pessary, many: pessaries }]
require:
  - { that: base > 0 g, because: there must be some base }
stem:
  - |
    Cast {{ number }} {{ product.many }} of {{ drug.name }}, {{ drug.dose }} each,
    displacement value {{ drug.displacement_value }} ({{ drug.displacement_value_source }}).

    - The mould is marked {{ nominal }}.
    - It holds {{ capacity }}.

    They weigh

    {{ masses.table }}
  - >
    Cast {{ number }} {{ product.many }} of {{ drug.name }}, {{ drug.dose }} each, displacement value
    {{ drug.displacement_value }}; the masses were {{ masses }}.
working:
  mean_mass: { say: Find the mean., is: mean(masses), unit: g/unit, show: 2 places }
  base:
    say: Take off what {{ drug.name }} displaces ({{ drug.displacement_value_source }}).
    is: number * (mean_mass - drug.dose / drug.displacement_value)
    unit: g
    show: 2 places
parts:
  base: { ask: How much base?, unit: g, round: 2 places, tolerance: 0.05, marks: 2 }
slips:
  marked-size:
    instead: { base: number * nominal }
    say: You used {{ nominal }}.
";

/// A bank of these templates and the two drugs.
pub(crate) fn bank(templates: &[&str]) -> Bank {
    let file = |path: &str, text: &str| SourceText::new(path, text.to_owned());
    let mut files = vec![file("facts/sources.yaml", SOURCES), file("facts/drugs.yaml", DRUGS)];
    for text in templates {
        let id = text.lines().find_map(|line| line.strip_prefix("id: ")).unwrap();
        files.push(file(&format!("{id}.yaml"), text));
    }
    match Bank::load(&files) {
        Ok(bank) => bank,
        Err(report) => panic!("{report}"),
    }
}

pub(crate) fn template(bank: &Bank) -> &Arc<Template> {
    bank.templates().first().unwrap()
}

pub(crate) fn exact(text: &str) -> Exact {
    Exact::parse(text).unwrap()
}

pub(crate) fn key<'a>(problem: &'a Problem, part: &str) -> &'a NumberKey {
    let part = problem.parts.iter().find(|known| known.id == part).unwrap();
    part.response.number().unwrap()
}
