//! The space of a template's draws.

use crate::bank::{Template, Value, ValueRule};
use crate::formula::Slot;
use crate::quantity::{Arithmetic, Exact, Rounding};

use super::drawn::field_name;
use super::{Draw, NoValue, Stream};

/// All draws of a template, numbered from 0.
///
/// Every value of the template is a digit of a number in mixed radix, the first value the lowest: a
/// grid of 13 numbers is a digit below 13. Above the values come the parts: which options or pairs a
/// part of theory shows is a digit as well. Words are not among them, since they change the look of
/// a problem and not the problem.
#[derive(Clone, Debug)]
pub struct Space {
    /// How many draws there are, before any is refused by a requirement.
    pub size: u128,
    radices: Vec<u128>,
    /// How many of the radices, the last ones, are those of parts.
    parts: usize,
}

impl Space {
    /// The space of a template; `None` when it has more draws than 128 bits can number.
    pub fn of(template: &Template) -> Option<Self> {
        let radices: Vec<u128> = template
            .values
            .iter()
            .map(|value| value.rule.possibilities())
            .chain(template.parts.iter().map(|part| part.wanted.ways()))
            .collect::<Option<_>>()?;
        let size = radices.iter().try_fold(1_u128, |size, radix| size.checked_mul(*radix))?;
        Some(Self { size, radices, parts: template.parts.len() })
    }

    /// The draw at a place; its presentation (words and wording) comes from the stream.
    ///
    /// # Errors
    /// When a derived value cannot be worked out for these values.
    pub fn draw(
        &self,
        template: &Template,
        place: u128,
        presentation: &mut Stream,
    ) -> Result<Draw, NoValue> {
        let mut draw = Draw { place, ..Draw::empty(template) };
        let mut digits = self.digits(place);
        for (value, digit) in template.values.iter().zip(&mut digits) {
            fill(template, value, digit, presentation, &mut draw)?;
        }
        draw.selections = digits.collect();
        draw.wording = presentation.index(template.stems.len());
        Ok(draw)
    }

    /// The same values with other digits for the parts.
    pub fn with_other_selections(&self, place: u128, numbers: &mut Stream) -> u128 {
        let values = self.radices.len().saturating_sub(self.parts);
        let weight: u128 = self.radices.iter().take(values).product();
        let selections = self.size.checked_div(weight).unwrap_or(1);
        place.checked_rem(weight).unwrap_or(0) + numbers.below_wide(selections) * weight
    }

    /// The digits of a place, one for each value and then one for each part of the template.
    fn digits(&self, place: u128) -> impl Iterator<Item = u128> {
        let mut rest = Digits(place);
        self.radices.iter().map(move |radix| rest.take(*radix))
    }
}

/// What is left of a number while its digits are taken off, the lowest first.
struct Digits(u128);

impl Digits {
    fn take(&mut self, radix: u128) -> u128 {
        let digit = self.0.checked_rem(radix).unwrap_or(0);
        self.0 = self.0.checked_div(radix).unwrap_or(0);
        digit
    }
}

fn fill(
    template: &Template,
    value: &Value,
    digit: u128,
    presentation: &mut Stream,
    draw: &mut Draw,
) -> Result<(), NoValue> {
    // Each digit is below what the value can be, so that no list of its possibilities ends before it.
    let index = || usize::try_from(digit).unwrap_or(usize::MAX);
    match &value.rule {
        ValueRule::Grid { slot, from, step, .. } => {
            let number = along(*from, *step, digit);
            draw.set(template, *slot, number.map_err(|cause| NoValue { slot: *slot, cause })?)
        }
        ValueRule::Choice { slot, numbers } => draw.set(template, *slot, numbers[index()]),
        ValueRule::Fixed { slot, number } => draw.set(template, *slot, *number),
        ValueRule::Derived { slot, program, rounding, .. } => {
            let unit = template.names[*slot].unit;
            let number = program.run(&draw.slots).map_err(|fault| fault.cause);
            let number = number.and_then(|number| unit.from_coherent(number));
            let number = number.map_err(|cause| NoValue { slot: *slot, cause })?;
            draw.set(template, *slot, rounding.of_result(number))
        }
        ValueRule::Scatter { slot, around, count, reach, step, stray } => {
            let centre = match &draw.slots[*around] {
                Slot::Number(centre) => template.names[*slot].unit.from_coherent(*centre),
                _ => Err(Arithmetic::NoValue),
            };
            let readings =
                centre.and_then(|centre| readings(centre, (*count, *reach), *step, *stray, digit));
            let readings = readings.map_err(|cause| NoValue { slot: *slot, cause })?;
            draw.set_list(template, *slot, readings)
        }
        ValueRule::Pick { options, slots, fields, .. } => {
            draw.picked.push((value.name.clone(), index()));
            draw.set_row(template, &value.name, &options[index()], slots, fields)
        }
        ValueRule::Words { fields, options } => {
            for (field, text) in fields.iter().zip(&options[presentation.index(options.len())]) {
                draw.texts.push((field_name(&value.name, field), text.clone()));
            }
            Ok(())
        }
    }
}

/// The number so many steps along.
fn along(from: Exact, step: Exact, steps: u128) -> Result<Exact, Arithmetic> {
    let steps = i64::try_from(steps).map_err(|_| Arithmetic::Overflow)?;
    from.add(step.mul(Exact::whole(steps))?)
}

/// Readings about a true value. The digit is made of one digit for each reading and, where one of
/// them is a stray, the place and the size of that one in the place of its own digit, so that no two
/// numbers give the same list.
fn readings(
    centre: Exact,
    (count, reach): (usize, u64),
    step: Exact,
    stray: Option<(Exact, Exact, u64)>,
    digit: u128,
) -> Result<Vec<Exact>, Arithmetic> {
    let centre = Rounding::Nearest(step).apply(centre);
    let furthest = i64::try_from(reach).map_err(|_| Arithmetic::Overflow)?;
    let lowest = centre.sub(step.mul(Exact::whole(furthest))?)?;
    let mut digits = Digits(digit);
    let stray = match stray {
        None => None,
        Some((first, between, sizes)) => {
            let place = digits.take(count as u128);
            Some((place, along(first, between, digits.take(u128::from(sizes)))?))
        }
    };
    (0..count)
        .map(|place| match stray {
            Some((stray, off)) if place as u128 == stray => centre.add(off),
            _ => along(lowest, step, digits.take(u128::from(reach) * 2 + 1)),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use proptest::prelude::*;

    use super::*;
    use crate::bank::{Convention, Name, Objective};
    use crate::draw::Seed;
    use crate::formula::{Formula, Scope, Shape};
    use crate::quantity::{Dimension, Unit};

    fn exact(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    /// Names of slots, all of them numbers of mass but the last, which is a list.
    const NAMES: [&str; 5] = ["nominal", "surplus", "capacity", "extra", "masses"];

    struct Masses;

    impl Scope for Masses {
        fn find(&self, name: &str) -> Option<(usize, Shape)> {
            let slot = NAMES.iter().position(|known| *known == name)?;
            Some((slot, Shape::Number(Dimension::MASS)))
        }

        fn names(&self) -> Vec<&str> {
            NAMES.to_vec()
        }
    }

    fn template(count: usize, reach: u64, stray: Option<(Exact, Exact, u64)>) -> Template {
        let formula = Formula::parse("nominal + surplus").unwrap();
        let program = formula.compile(&Masses).unwrap();
        let rules = [
            ValueRule::Choice { slot: 0, numbers: vec![exact("1"), exact("2")] },
            ValueRule::Grid { slot: 1, from: exact("-0.02"), step: exact("0.01"), count: 5 },
            ValueRule::Derived { slot: 2, formula, program, rounding: Rounding::Places(2) },
            ValueRule::Fixed { slot: 3, number: exact("10") },
            ValueRule::Scatter { slot: 4, around: 2, count, reach, step: exact("0.01"), stray },
            ValueRule::Words {
                fields: vec!["one".to_owned(), String::new()],
                options: vec![vec!["a".to_owned(), "b".to_owned()]],
            },
        ];
        let name = |name: &&str| Name {
            name: (*name).to_owned(),
            label: (*name).to_owned(),
            shape: match *name {
                "masses" => Shape::List(Dimension::MASS),
                _ => Shape::Number(Dimension::MASS),
            },
            unit: Unit::parse("g").unwrap(),
        };
        let names = NAMES.iter().map(name).collect();
        let values = rules.into_iter().zip(NAMES.iter().chain(&["word"]));
        let values = values.map(|(rule, name)| Value { name: (*name).to_owned(), rule }).collect();
        Template { names, values, ..blank() }
    }

    fn blank() -> Template {
        Template {
            id: "space".to_owned(),
            title: String::new(),
            objective: Objective::Calibration,
            topic: String::new(),
            level: 1,
            convention: Convention::None,
            minutes: 1,
            about: String::new(),
            names: Vec::new(),
            values: Vec::new(),
            require: Vec::new(),
            different: Vec::new(),
            stems: vec![String::new(), String::new()],
            working: Vec::new(),
            methods: Vec::new(),
            plausible: Vec::new(),
            parts: Vec::new(),
            slips: Vec::new(),
            batch: Vec::new(),
            drawing: None,
            sentences: BTreeMap::new(),
            file: String::new(),
            fingerprint: String::new(),
        }
    }

    fn draw(template: &Template, place: u128) -> Draw {
        let mut presentation = Stream::new(&Seed::from_bytes([1; 32]));
        Space::of(template).unwrap().draw(template, place, &mut presentation).unwrap()
    }

    fn stray() -> (Exact, Exact, u64) {
        (exact("-0.30"), exact("0.01"), 16)
    }

    #[test]
    fn counts_what_is_drawn_and_not_what_follows() {
        assert_eq!(Space::of(&template(2, 1, None)).unwrap().size, 2 * 5 * 3 * 3);
        assert_eq!(Space::of(&template(3, 1, Some(stray()))).unwrap().size, 2 * 5 * 3 * 3 * 3 * 16);
    }

    #[test]
    fn a_space_beyond_128_bits_has_no_number() {
        assert!(Space::of(&template(26, 20, None)).is_none());
    }

    #[test]
    fn the_first_place_has_the_first_of_everything() {
        let first = draw(&template(2, 1, None), 0);
        let number = |text| Slot::Number(exact(text));
        assert_eq!(
            first.written,
            [
                number("1"),
                number("-0.02"),
                number("0.98"),
                number("10"),
                Slot::List(vec![exact("0.97"), exact("0.97")]),
            ]
        );
        let texts = [("word.one", "a"), ("word", "b")];
        assert_eq!(first.texts, texts.map(|(name, text)| (name.to_owned(), text.to_owned())));
    }

    #[test]
    fn numbers_keep_the_places_they_are_written_with() {
        let Slot::Number(capacity) = draw(&template(2, 1, None), 4).written[2] else { panic!() };
        assert_eq!(capacity.to_string(), "1.00");
    }

    #[test]
    fn a_stray_reading_is_off_by_its_amount_and_the_others_are_not() {
        let template = template(4, 1, Some(stray()));
        for place in 0..Space::of(&template).unwrap().size {
            let draw = draw(&template, place);
            let (Slot::Number(centre), Slot::List(masses)) = (&draw.slots[2], &draw.slots[4])
            else {
                panic!()
            };
            let off = |mass: &&Exact| mass.sub(*centre).unwrap() <= exact("-0.15");
            assert_eq!(masses.iter().filter(off).count(), 1, "{masses:?}");
        }
    }

    #[test]
    fn no_two_places_give_the_same_draw() {
        for template in [template(2, 3, None), template(3, 1, Some(stray()))] {
            let size = Space::of(&template).unwrap().size;
            let seen: BTreeSet<String> =
                (0..size).map(|place| format!("{:?}", draw(&template, place).written)).collect();
            assert_eq!(seen.len() as u128, size);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(128))]

        #[test]
        fn the_digits_of_a_place_make_the_place_again(place in any::<u128>()) {
            let space = Space::of(&template(9, 40, Some(stray()))).unwrap();
            let place = place % space.size;
            let (made, _) = space.digits(place).zip(&space.radices).fold(
                (0, 1),
                |(made, weight), (digit, radix)| (made + digit * weight, weight * radix),
            );
            prop_assert_eq!(made, place);
            prop_assert!(space.digits(place).zip(&space.radices).all(|(digit, radix)| digit < *radix));
        }
    }
}
