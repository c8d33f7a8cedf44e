//! Values chosen for a template.

use crate::bank::{PickOption, Template};
use crate::formula::Slot;
use crate::quantity::{Arithmetic, Exact};

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
    /// Which possibility of each pick was taken, by the name of the pick.
    pub picked: Vec<(String, usize)>,
    /// The number of what each part shows; 0 for a part that shows always the same.
    pub selections: Vec<u128>,
    /// Which wording of the stem.
    pub wording: usize,
}

/// A value of a template that comes to nothing for the values drawn before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoValue {
    /// The slot of the value.
    pub slot: usize,
    /// Why.
    pub cause: Arithmetic,
}

impl Draw {
    /// No values yet.
    pub(crate) fn empty(template: &Template) -> Self {
        let empty = vec![Slot::Empty; template.names.len()];
        Self {
            place: 0,
            slots: empty.clone(),
            written: empty,
            texts: Vec::new(),
            picked: Vec::new(),
            selections: Vec::new(),
            wording: 0,
        }
    }

    /// Fills a slot with a number of the slot's unit, as written.
    pub(crate) fn set(
        &mut self,
        template: &Template,
        slot: usize,
        number: Exact,
    ) -> Result<(), NoValue> {
        let unit = template.names[slot].unit;
        let coherent = unit.to_coherent(number).map_err(|cause| NoValue { slot, cause })?;
        self.slots[slot] = Slot::Number(coherent);
        self.written[slot] = Slot::Number(number);
        Ok(())
    }

    /// Fills a slot with a list of numbers of the slot's unit, as written.
    pub(crate) fn set_list(
        &mut self,
        template: &Template,
        slot: usize,
        numbers: Vec<Exact>,
    ) -> Result<(), NoValue> {
        let unit = template.names[slot].unit;
        let coherent: Result<_, _> = numbers.iter().map(|n| unit.to_coherent(*n)).collect();
        self.slots[slot] = Slot::List(coherent.map_err(|cause| NoValue { slot, cause })?);
        self.written[slot] = Slot::List(numbers);
        Ok(())
    }

    /// Fills in a row of a facts table for the pick of that name.
    pub(crate) fn set_row(
        &mut self,
        template: &Template,
        name: &str,
        option: &PickOption,
        slots: &[usize],
        fields: &[String],
    ) -> Result<(), NoValue> {
        for (slot, number) in slots.iter().zip(&option.numbers) {
            self.set(template, *slot, *number)?;
        }
        for (field, text) in fields.iter().zip(&option.texts) {
            self.texts.push((field_name(name, field), text.clone()));
        }
        Ok(())
    }
}

/// The name of a field in texts: `drug.name`, or the value's own for a bare word.
pub(super) fn field_name(value: &str, field: &str) -> String {
    if field.is_empty() { value.to_owned() } else { format!("{value}.{field}") }
}
