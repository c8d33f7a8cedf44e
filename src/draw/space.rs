//! The space of a template's draws.

use crate::bank::{PickOption, Rule, Template, Value};
use crate::formula::{Fault, Slot};
use crate::quantity::{Exact, Rounding};

use super::Stream;

/// All draws of a template, numbered from 0.
///
/// Every value of the template is a digit of a number in mixed radix: a grid of 13 numbers is a
/// digit below 13. Words are not among them, since they change the look of a problem and not the
/// problem.
#[derive(Clone, Debug)]
pub struct Space {
    /// How many draws there are, before any is refused by a requirement.
    pub size: u128,
    radices: Vec<u128>,
}

/// Values chosen for a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draw {
    /// The place in the space.
    pub place: u128,
    /// The values by slot, in coherent units; steps are still empty.
    pub slots: Vec<Slot>,
    /// The values by slot, in the unit of the slot's name, with the places they are shown with.
    pub written: Vec<Slot>,
    /// Texts by name: `drug.name`, `product.many`.
    pub texts: Vec<(String, String)>,
    /// Which wording of the stem.
    pub wording: usize,
}

impl Space {
    /// The space of a template; `None` when it has more draws than 128 bits can number.
    pub fn of(template: &Template) -> Option<Self> {
        let radices: Vec<u128> = template.values.iter().map(radix).collect::<Option<_>>()?;
        let size = radices.iter().try_fold(1_u128, |size, radix| size.checked_mul(*radix))?;
        Some(Self { size, radices })
    }

    /// The draw at a place; looks (words and wording) come from the stream.
    ///
    /// # Errors
    /// When a derived value cannot be worked out for these values.
    pub fn draw(
        &self,
        template: &Template,
        place: u128,
        looks: &mut Stream,
    ) -> Result<Draw, Fault> {
        let mut draw = Draw {
            place,
            slots: vec![Slot::Empty; template.names.len()],
            written: vec![Slot::Empty; template.names.len()],
            texts: Vec::new(),
            wording: 0,
        };
        let mut rest = place;
        for (value, radix) in template.values.iter().zip(&self.radices) {
            let digit = rest % radix;
            rest /= radix;
            fill(template, value, digit, looks, &mut draw)?;
        }
        draw.wording =
            usize::try_from(looks.below(template.stems.len() as u64)).unwrap_or_default();
        Ok(draw)
    }
}

/// How many possibilities a value has; `None` when they cannot be counted.
fn radix(value: &Value) -> Option<u128> {
    Some(match &value.rule {
        Rule::Grid { count, .. } => u128::from(*count),
        Rule::Choice { numbers, .. } => numbers.len() as u128,
        Rule::Fixed { .. } | Rule::Derived { .. } | Rule::Words { .. } => 1,
        Rule::Scatter { count, reach, stray, .. } => {
            let one = u128::from(*reach).checked_mul(2)?.checked_add(1)?;
            let all = one.checked_pow(u32::try_from(*count).ok()?)?;
            match stray {
                None => all,
                Some((_, _, offs)) => {
                    all.checked_mul(*count as u128)?.checked_mul(u128::from(*offs))?
                }
            }
        }
        Rule::Pick { options, .. } => options.len() as u128,
    })
}

fn fill(
    template: &Template,
    value: &Value,
    digit: u128,
    looks: &mut Stream,
    draw: &mut Draw,
) -> Result<(), Fault> {
    let index = || usize::try_from(digit).unwrap_or(usize::MAX);
    let overflow = |cause| Fault { cause, range: 0..0 };
    match &value.rule {
        Rule::Grid { slot, from, step, .. } => {
            let count = Exact::whole(i64::try_from(digit).unwrap_or(i64::MAX));
            let number = step.mul(count).and_then(|off| from.add(off)).map_err(overflow)?;
            set(template, *slot, number, draw)
        }
        Rule::Choice { slot, numbers } => {
            let number = numbers.get(index()).copied().unwrap_or_default();
            set(template, *slot, number, draw)
        }
        Rule::Fixed { slot, number } => set(template, *slot, *number, draw),
        Rule::Derived { slot, program, rounding, .. } => {
            let number = program.run(&draw.slots)?;
            let number = template.names[*slot].unit.from_coherent(number).map_err(overflow)?;
            set(template, *slot, rounding.apply(number), draw)
        }
        Rule::Scatter { .. } => scatter(template, &value.rule, digit, draw),
        Rule::Pick { options, slots, fields } => match options.get(index()) {
            Some(option) => pick(template, &value.name, option, slots, fields, draw),
            None => Ok(()),
        },
        Rule::Words { fields, options } => {
            let chosen = usize::try_from(looks.below(options.len() as u64)).unwrap_or_default();
            let texts = options.get(chosen).into_iter().flatten();
            for (field, text) in fields.iter().zip(texts) {
                draw.texts.push((field_name(&value.name, field), text.clone()));
            }
            Ok(())
        }
    }
}

/// Readings about a true value: one digit each, then the place and the size of the stray one.
fn scatter(template: &Template, rule: &Rule, digit: u128, draw: &mut Draw) -> Result<(), Fault> {
    let Rule::Scatter { slot, around, count, reach, step, stray } = rule else { return Ok(()) };
    let overflow = |cause| Fault { cause, range: 0..0 };
    let unit = template.names[*slot].unit;
    let Some(Slot::Number(centre)) = draw.slots.get(*around) else { return Ok(()) };
    let centre = unit.from_coherent(*centre).map_err(overflow)?;
    let centre = Rounding::Nearest(*step).apply(centre);
    let one = u128::from(*reach) * 2 + 1;
    let mut rest = digit;
    let mut take = |radix: u128| {
        let taken = rest % radix;
        rest /= radix;
        i64::try_from(taken).unwrap_or(i64::MAX)
    };
    let mut readings = Vec::with_capacity(*count);
    for _ in 0..*count {
        let off = take(one).saturating_sub(i64::try_from(*reach).unwrap_or(i64::MAX));
        readings
            .push(step.mul(Exact::whole(off)).and_then(|off| centre.add(off)).map_err(overflow)?);
    }
    if let Some((first, between, offs)) = stray {
        let place = usize::try_from(take(*count as u128)).unwrap_or_default();
        let more = between
            .mul(Exact::whole(take(u128::from(*offs))))
            .and_then(|off| first.add(off))
            .map_err(overflow)?;
        if let Some(reading) = readings.get_mut(place) {
            *reading = reading.add(more).map_err(overflow)?;
        }
    }
    let coherent: Vec<Exact> = readings
        .iter()
        .map(|reading| unit.to_coherent(*reading))
        .collect::<Result<_, _>>()
        .map_err(overflow)?;
    draw.slots[*slot] = Slot::List(coherent);
    draw.written[*slot] = Slot::List(readings);
    Ok(())
}

/// Fills in a row of a facts table.
pub(crate) fn pick(
    template: &Template,
    name: &str,
    option: &PickOption,
    slots: &[usize],
    fields: &[String],
    draw: &mut Draw,
) -> Result<(), Fault> {
    for (slot, number) in slots.iter().zip(&option.numbers) {
        set(template, *slot, *number, draw)?;
    }
    for (field, text) in fields.iter().zip(&option.texts) {
        draw.texts.push((field_name(name, field), text.clone()));
    }
    Ok(())
}

/// Fills a slot with a number of the slot's unit, as written.
pub(crate) fn set(
    template: &Template,
    slot: usize,
    number: Exact,
    draw: &mut Draw,
) -> Result<(), Fault> {
    let coherent = template.names[slot]
        .unit
        .to_coherent(number)
        .map_err(|cause| Fault { cause, range: 0..0 })?;
    draw.slots[slot] = Slot::Number(coherent);
    draw.written[slot] = Slot::Number(number);
    Ok(())
}

fn field_name(value: &str, field: &str) -> String {
    if field.is_empty() { value.to_owned() } else { format!("{value}.{field}") }
}
