//! An order for the bench as written. What its numbers mean is the business of whoever works the batch,
//! so that a file, the options of a command and a page are checked by the same rules.

use crate::bank::reading::group::form;
use crate::bank::reading::words::Text;
use crate::bank::reading::written::{Either, List};

form! {
    /// An order for the bench.
    OrderText is "an order" with version {
        title: Option<Text> = "the heading of the sheet";
        form: Option<Text> = "what is cast: suppository, pessary, bougie or another word";
        units: Option<Text> = "how many units are ordered";
        extra: Option<Text> = "units beyond those ordered, for losses";
        excess: Option<Text> = "a percentage on top of every mass, for losses";
        loss: Option<Text> = "the percentage of the batch that is lost; the masses leave the rest";
        mould: Option<MouldText> = "what a cavity holds";
        base: Option<BaseText> = "the base, by its name or with its keys";
        drugs: Option<List<DrugText>> = "the drugs";
        others: Option<List<DrugText>> = "other ingredients that take up space in the unit";
        balance: Option<BalanceText> = "what the balances show, and the error that is permitted";
        directions: Option<Text> = "a direction for the label, in place of the usual one";
    }
}

form! {
    /// What a cavity holds.
    MouldText is "a mould" {
        capacity: Option<Text> = "the mass of base that a cavity holds";
        total: Option<Text> = "the mass of all blanks together";
        masses: Option<List<Text>> = "the mass of each blank";
        blanks: Option<Text> = "how many blanks were cast";
        dish: Option<Text> = "the mass of the dish, if it is in the masses; 0 g if it was tared";
        spoilt: Option<Text> = "how many of the blanks were spoilt and left out of the weighing";
        base: Option<Text> = "the base of the blanks, if it is not that of the batch";
        nominal: Option<Text> = "the size marked on the mould";
        cavities: Option<Text> = "how many cavities the mould has";
    }
}

/// A base by its name, or with its keys.
pub(in crate::bank) type BaseText = Either<Text, BaseFields>;

form! {
    /// A base.
    BaseFields is "a base" {
        name: Option<Text> = "the name of the base";
        ratio: Option<Text> = "the mass of this base that fills the space of 1 g of the other base";
        to: Option<Text> = "the other base of the ratio; theobroma oil without it";
        density: Option<Text> = "the density of the base";
        to_density: Option<Text> = "the density of the other base, for a ratio from two densities";
        allowance: Option<Text> = "base added for each unit against losses, without drug";
        parts: Option<List<PartText>> = "what the base is made of";
        made: Option<Text> = "how much base is made, if that is more than the batch needs";
    }
}

form! {
    /// A part of a base.
    PartText is "a part of the base" {
        name: Option<Text> = "its name";
        share: Option<Text> = "its percentage of the base";
    }
}

form! {
    /// A drug or another ingredient.
    DrugText is "an ingredient" {
        name: Option<Text> = "its name, of your own or from the facts";
        dose: Option<Text> = "the amount in each unit";
        strength: Option<Text> = "the percentage by mass";
        total: Option<Text> = "the mass in the whole batch, excess included";
        of: Option<Text> = "what the percentage refers to: finished unit or plain unit";
        value: Option<Text> = "the displacement value: grams of it that displace 1 g of base";
        factor: Option<Text> = "the displacement factor: grams of base that 1 g of it displaces";
        density: Option<Text> = "its density";
        casts: Option<CastsText> = "units that were cast with a known amount of it";
        displaces: Option<Text> = "nothing, or its own mass, if no value is used";
        source: Option<Text> = "the source in the facts, by its id, whose value is used";
        base: Option<Text> = "the base for which the value or factor holds";
        assay: Option<Text> = "its content; of the dried substance, if `water` is given";
        water: Option<Text> = "its loss on drying or water, in per cent";
        salt: Option<SaltText> = "another form of the drug than the one ordered";
        correction: Option<Text> = "a factor by which the amount is multiplied before weighing";
    }
}

form! {
    /// Units cast to find how much base a drug displaces.
    CastsText is "medicated casts" {
        mass: Option<Text> = "their mass together, or of one";
        units: Option<Text> = "how many were weighed together; 1 without it";
        dose: Option<Text> = "the amount in each of them";
        strength: Option<Text> = "the percentage of their mass";
    }
}

form! {
    /// Two forms of a drug.
    SaltText is "two forms of a drug" {
        ordered: Option<Text> = "the molar mass of the form that is ordered";
        held: Option<Text> = "the molar mass of the form that is weighed";
        holds: Option<Text> = "how many of the ordered molecules one of the weighed has; 1 without it";
    }
}

form! {
    /// What the balances show.
    BalanceText is "the balances" {
        drug: Option<Text> = "the smallest step of the balance for drugs";
        base: Option<Text> = "the smallest step of the balance for the base";
        error: Option<Text> = "the error of a weighing that is permitted, in per cent";
    }
}

impl DrugText {
    /// The single texts, each with its key.
    pub(in crate::bank) fn texts(&self) -> [(&'static str, &Option<Text>); 14] {
        [
            ("name", &self.name),
            ("dose", &self.dose),
            ("strength", &self.strength),
            ("total", &self.total),
            ("of", &self.of),
            ("value", &self.value),
            ("factor", &self.factor),
            ("density", &self.density),
            ("displaces", &self.displaces),
            ("source", &self.source),
            ("base", &self.base),
            ("assay", &self.assay),
            ("water", &self.water),
            ("correction", &self.correction),
        ]
    }
}
