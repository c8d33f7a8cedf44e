//! An order that was read: every value a number, and nothing left to look up.

use crate::bank::{Facts, Order, OrderProblem};
use crate::words;

use super::balance::Balance;
use super::base::Base;
use super::counting::Counting;
use super::displacing::takes_values_for_fats;
use super::ingredient::{Ingredient, alike};
use super::mould::Mould;
use super::order_reader::{Checked, OrderReader};
use super::sheet::{Remark, ValueUsed};

/// A batch that can be worked.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub(super) title: Option<String>,
    pub(super) form: Form,
    pub(super) counting: Counting,
    pub(super) mould: Mould,
    pub(super) base: Base,
    pub(super) ingredients: Vec<Ingredient>,
    pub(super) balance: Balance,
    pub(super) directions: Option<String>,
    /// Whether values for fats may be used for the base as they are.
    pub(super) is_fatty: bool,
}

/// What is cast, in words.
#[derive(Clone, Debug)]
pub(super) struct Form {
    pub(super) one: String,
    pub(super) many: String,
    given: bool,
}

impl Plan {
    /// Reads an order.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub(super) fn read(order: &Order, facts: &Facts) -> Result<Self, Vec<OrderProblem>> {
        let mut reader = OrderReader::new(facts);
        let plan = Self::checked(&mut reader, order);
        reader.finish(plan)
    }

    fn checked(reader: &mut OrderReader<'_>, order: &Order) -> Checked<Self> {
        let counting = Counting::read(reader, order);
        let base = Base::read(reader, order);
        let of_base = || base.as_ref().map_err(|noted| *noted);
        let mould = Mould::read(reader, order, of_base());
        let drugs =
            order.drugs.iter().enumerate().map(|(n, drug)| (format!("drugs.{n}"), drug, true));
        let others = order.others.iter().enumerate();
        let others = others.map(|(n, drug)| (format!("others.{n}"), drug, false));
        let read: Vec<Checked<Ingredient>> = drugs
            .chain(others)
            .map(|(path, drug, is_drug)| {
                Ingredient::read(reader, (&path, drug, is_drug), of_base())
            })
            .collect();
        let balance = Balance::read(reader, order);
        let base = base?;
        let ingredients = read.into_iter().collect::<Checked<Vec<Ingredient>>>()?;
        reader.problems.extend(alike(&ingredients, &base.name));
        let is_fatty = takes_values_for_fats(reader, &base);
        let text =
            |text: &Option<String>| text.as_deref().map(|text| words::printable(text.trim()));
        Ok(Self {
            title: text(&order.title).filter(|title| !title.is_empty()),
            form: Form::of(text(&order.form).as_deref()),
            counting: counting?,
            mould: mould?,
            base,
            ingredients,
            balance: balance?,
            directions: text(&order.directions).filter(|text| !text.is_empty()),
            is_fatty,
        })
    }

    /// The values worked with, each with where it comes from.
    pub(super) fn values(&self) -> Vec<ValueUsed> {
        let base = self.base.name.as_str();
        let mut values = vec![self.form.value()];
        values.extend(self.counting.values());
        values.extend(self.base.values());
        values.extend(self.mould.values(base));
        for ingredient in &self.ingredients {
            for value in ingredient.values(base) {
                // The ratio of two bases is the same for all that need it.
                if !values.contains(&value) {
                    values.push(value);
                }
            }
        }
        values.extend(self.balance.values());
        values
    }

    /// What is to be thought of before the numbers are known.
    pub(super) fn is_without_excess(&self) -> Option<Remark> {
        let none = matches!(self.counting.losses, super::counting::Losses::None);
        (none && self.base.allowance.is_none()).then(|| {
            Remark::new(
                "No excess is planned.",
                "Some of the melt is always left in the dish; plan for extra units or a percentage.",
            )
        })
    }
}

impl Form {
    /// The form of a word in the singular or plural; a suppository without one.
    fn of(word: Option<&str>) -> Self {
        let given = word.filter(|word| !word.is_empty());
        let one = given.unwrap_or("suppository").to_lowercase();
        let (one, many) = match one.strip_suffix("ies") {
            Some(stem) => (format!("{stem}y"), one.clone()),
            None => match one.strip_suffix('y') {
                Some(stem) => (one.clone(), format!("{stem}ies")),
                None => {
                    let one = one.strip_suffix('s').unwrap_or(&one).to_owned();
                    let many = format!("{one}s");
                    (one, many)
                }
            },
        };
        Self { one, many, given: given.is_some() }
    }

    fn value(&self) -> ValueUsed {
        if self.given {
            ValueUsed::yours("form", &self.one)
        } else {
            ValueUsed::usual("form", &self.one, "the usual one")
        }
    }
}
