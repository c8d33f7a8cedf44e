//! The mould: what a cavity holds, from the masses of its blanks.

use crate::bank::{Order, OrderedMould};
use crate::quantity::{Arithmetic, Exact};
use crate::words;

use super::base::{Base, Ratio};
use super::order_reader::{Checked, Least, Measure, OrderReader};
use super::sheet::{Remark, ValueUsed, WorkingStep};
use super::show;

/// The mould.
#[derive(Clone, Debug)]
pub(super) struct Mould {
    calibration: Calibration,
    /// How the base of the blanks compares with that of the batch.
    ratio: Ratio,
    pub(super) nominal: Option<Exact>,
    pub(super) cavities: Option<Exact>,
}

/// How the capacity is known.
#[derive(Clone, Debug)]
enum Calibration {
    Given(Exact),
    Total { total: Exact, dish: Exact, blanks: Exact, spoilt: Exact },
    Masses { masses: Vec<Exact>, dish: Exact },
}

/// How far a blank may be from the mean before it is named: the 5 % of Ph. Eur. 2.9.5.
const BLANK: (i128, u32) = (5, 2);

impl Mould {
    pub(super) fn read(
        reader: &mut OrderReader<'_>,
        order: &Order,
        base: Checked<&Base>,
    ) -> Checked<Self> {
        let mould = &order.mould;
        let calibration = calibration(reader, order);
        let mut read = |path, text, measure| reader.maybe(path, text, measure, Least::AboveZero);
        let nominal = read("mould.nominal", mould.nominal.as_ref(), Measure::Mass);
        let cavities = read("mould.cavities", mould.cavities.as_ref(), Measure::Count);
        let calibration = calibration?;
        let base = base?;
        let other = mould.base.as_deref().unwrap_or(&base.name);
        let ratio = base.ratio(reader, "mould.base", other);
        Ok(Self { calibration, ratio: ratio?, nominal: nominal?, cavities: cavities? })
    }

    /// The mass of the base of the batch that a cavity holds.
    pub(super) fn capacity(&self) -> Result<Exact, Arithmetic> {
        self.of_blanks()?.mul(self.ratio.number)
    }

    /// The mass of the base of the blanks that a cavity holds.
    pub(super) fn of_blanks(&self) -> Result<Exact, Arithmetic> {
        match &self.calibration {
            Calibration::Given(capacity) => Ok(*capacity),
            Calibration::Total { total, dish, blanks, spoilt } => {
                total.sub(*dish)?.div(blanks.sub(*spoilt)?)
            }
            Calibration::Masses { masses, dish } => {
                let count = Exact::whole(i64::try_from(masses.len()).unwrap_or(i64::MAX));
                show::sum(masses.iter().copied())?.div(count)?.sub(*dish)
            }
        }
    }

    /// The dish in the mass of the blanks, if there was one.
    pub(super) fn dish(&self) -> Option<Exact> {
        match &self.calibration {
            Calibration::Total { dish, .. } if !dish.is_zero() => Some(*dish),
            _ => None,
        }
    }

    /// How many blanks the capacity was found from.
    pub(super) fn blanks(&self) -> Option<Exact> {
        match &self.calibration {
            Calibration::Given(_) => None,
            Calibration::Total { blanks, spoilt, .. } => blanks.sub(*spoilt).ok(),
            Calibration::Masses { masses, .. } => {
                Some(Exact::whole(i64::try_from(masses.len()).ok()?))
            }
        }
    }

    /// The steps from the masses of the blanks to the capacity.
    pub(super) fn steps(&self, base: &str) -> Result<Vec<WorkingStep>, Arithmetic> {
        let mut steps = Vec::new();
        let blank = self.of_blanks()?;
        let [mean, sign] = [show::grams(blank), show::sign(blank).to_owned()];
        match &self.calibration {
            Calibration::Given(_) => {
                let say = format!("Each cavity holds this mass of {}.", self.ratio.to);
                steps.push(WorkingStep::new(&say, "capacity", "=", &mean));
            }
            Calibration::Total { total, dish, blanks, spoilt } => {
                let mut all = *total;
                if !dish.is_zero() {
                    all = total.sub(*dish)?;
                    steps.push(WorkingStep::new(
                        "Subtract the dish from the mass of the blanks in it.",
                        &format!("{} − {}", show::grams(*total), show::grams(*dish)),
                        show::sign(all),
                        &show::grams(all),
                    ));
                }
                let count = if spoilt.is_zero() {
                    show::number(*blanks)
                } else {
                    format!("({} − {})", show::number(*blanks), show::number(*spoilt))
                };
                let say = if spoilt.is_zero() {
                    "Divide the mass of the blanks by their number."
                } else {
                    "Divide the mass by the number of blanks that were weighed, without the spoilt ones."
                };
                steps.push(WorkingStep::new(
                    say,
                    &format!("{} ÷ {count}", show::grams(all)),
                    &sign,
                    &mean,
                ));
            }
            Calibration::Masses { masses, dish } => {
                let total = show::sum(masses.iter().copied())?;
                let each: Vec<String> = masses.iter().map(Exact::to_string).collect();
                steps.push(WorkingStep::new(
                    "Add the masses of the blanks.",
                    &format!("({}) g", each.join(" + ")),
                    show::sign(total),
                    &show::grams(total),
                ));
                let count = masses.len();
                let (say, sum) = if dish.is_zero() {
                    ("Divide by the number of blanks.", format!("{} ÷ {count}", show::grams(total)))
                } else {
                    (
                        "Divide by the number of blanks, and subtract the dish that each was weighed in.",
                        format!("{} ÷ {count} − {}", show::grams(total), show::grams(*dish)),
                    )
                };
                steps.push(WorkingStep::new(say, &sum, &sign, &mean));
            }
        }
        if self.ratio.changes() {
            steps.push(self.ratio.step(blank, base)?);
        }
        Ok(steps)
    }

    /// The values that were given, each with where it comes from.
    pub(super) fn values(&self, base: &str) -> Vec<ValueUsed> {
        let mut values = Vec::new();
        let mut yours = |what: &str, value: String| values.push(ValueUsed::yours(what, &value));
        let of = format!("of {}", self.ratio.to);
        match &self.calibration {
            Calibration::Given(capacity) => {
                yours(&format!("capacity of a cavity, {of}"), show::grams(*capacity));
            }
            Calibration::Total { total, dish, blanks, spoilt } => {
                yours(&format!("mass of the blanks together, {of}"), show::grams(*total));
                yours("dish in that mass", dish_words(*dish));
                yours("blanks cast", show::number(*blanks));
                yours("blanks spoilt", show::number(*spoilt));
            }
            Calibration::Masses { masses, dish } => {
                let each: Vec<String> = masses.iter().map(Exact::to_string).collect();
                yours(&format!("masses of the blanks, {of}"), format!("{} g", each.join(", ")));
                yours("dish in each mass", dish_words(*dish));
            }
        }
        if let Some(nominal) = self.nominal {
            yours("size marked on the mould", show::grams(nominal));
        }
        if let Some(cavities) = self.cavities {
            yours("cavities of the mould", show::number(cavities));
        }
        values.extend(self.ratio.value(base));
        values
    }

    /// What is implausible about the mould.
    pub(super) fn remarks(&self, base: &str) -> Result<Vec<Remark>, Arithmetic> {
        let mut remarks: Vec<Remark> =
            self.ratio.remark("The calibration of the mould", base).into_iter().collect();
        let capacity = self.of_blanks()?;
        let size = show::grams(capacity);
        let [smallest, largest] =
            [Exact::new(4, 1), Exact::new(20, 0)].map(Option::unwrap_or_default);
        if capacity < smallest || capacity > largest {
            remarks.push(Remark::new(
                &format!("A cavity of {size} is unusual: moulded units weigh from 1 g to 15 g."),
                "Check whether the mass is that of one unit, and its unit.",
            ));
        }
        if let Some(nominal) = self.nominal {
            let ratio = capacity.sub(nominal)?.abs().div(nominal)?;
            let fifth = Exact::new(2, 1).unwrap_or_default();
            if ratio > fifth {
                remarks.push(Remark::new(
                    &format!(
                        "The capacity, {size}, is {} away from the size marked on the mould.",
                        show::percent(ratio)
                    ),
                    "Check the number of blanks, the dish and the base of the calibration.",
                ));
            } else if ratio.is_zero() && matches!(self.calibration, Calibration::Given(_)) {
                remarks.push(Remark::new(
                    "The capacity is exactly the size marked on the mould.",
                    "Calibrate the mould with the base to be used; a marked size is rarely what it holds.",
                ));
            }
        }
        remarks.extend(self.faulty()?);
        Ok(remarks)
    }

    /// Blanks that are far from the mean of all.
    fn faulty(&self) -> Result<Option<Remark>, Arithmetic> {
        let Calibration::Masses { masses, dish } = &self.calibration else { return Ok(None) };
        let mean = self.of_blanks()?;
        let reach = mean.mul(Exact::new(BLANK.0, BLANK.1).unwrap_or_default())?;
        let mut far = Vec::new();
        for (n, mass) in masses.iter().enumerate() {
            let blank = mass.sub(*dish)?;
            if blank.sub(mean)?.abs() > reach {
                far.push(format!("number {} ({})", n + 1, show::grams(blank)));
            }
        }
        Ok((!far.is_empty()).then(|| {
            Remark::new(
                &format!(
                    "More than 5 % from the mean of the blanks, {}: {}.",
                    show::grams(mean),
                    words::listed(&far, "and")
                ),
                "Examine them; if they are chipped or hollow, leave them out and give the others.",
            )
        }))
    }
}

fn dish_words(dish: Exact) -> String {
    if dish.is_zero() { "none, or tared".to_owned() } else { show::grams(dish) }
}

fn calibration(reader: &mut OrderReader<'_>, order: &Order) -> Checked<Calibration> {
    let mould = &order.mould;
    let way = known_by(reader, mould)?;
    let needless = |reader: &mut OrderReader<'_>, keys: &[(&str, &Option<String>)]| {
        for (key, _) in keys.iter().filter(|(_, text)| text.is_some()) {
            let what = format!("expected no `{key}` beside `{way}`, found one");
            let help = format!("remove it, or give the masses of the blanks in place of `{way}`");
            reader.note(format!("mould.{key}"), what, "of no use here", help);
        }
    };
    let dish = reader.maybe("mould.dish", mould.dish.as_ref(), Measure::Mass, Least::Zero);
    let spoilt = reader.maybe("mould.spoilt", mould.spoilt.as_ref(), Measure::Count, Least::Zero);
    let blanks =
        reader.maybe("mould.blanks", mould.blanks.as_ref(), Measure::Count, Least::AboveZero);
    match (way, &mould.capacity, &mould.total) {
        ("capacity", Some(text), _) => {
            let keys =
                [("blanks", &mould.blanks), ("dish", &mould.dish), ("spoilt", &mould.spoilt)];
            needless(reader, &keys);
            reader
                .number("mould.capacity", text, Measure::Mass, Least::AboveZero)
                .map(Calibration::Given)
        }
        ("total", _, Some(text)) => {
            let total = reader.number("mould.total", text, Measure::Mass, Least::AboveZero);
            let (dish, spoilt) = (dish?.unwrap_or_default(), spoilt?.unwrap_or_default());
            let Some(blanks) = blanks? else {
                let help = "give how many were cast, such as `20`";
                return Err(reader.missing("mould.blanks", "the number of blanks", help));
            };
            let total = total?;
            if spoilt >= blanks {
                let what = format!(
                    "expected fewer spoilt than cast, found {} of {}",
                    show::number(spoilt),
                    show::number(blanks)
                );
                return Err(reader.note(
                    "mould.spoilt",
                    what,
                    "none are left",
                    "check both numbers",
                ));
            }
            if dish >= total {
                let what = format!(
                    "expected a dish lighter than {}, found {}",
                    show::grams(total),
                    show::grams(dish)
                );
                let help = "give the mass of the blanks with the dish, or `0 g` for the dish";
                return Err(reader.note("mould.dish", what, "nothing is left", help));
            }
            Ok(Calibration::Total { total, dish, blanks, spoilt })
        }
        _ => {
            let masses = masses(reader, &mould.masses);
            let (dish, spoilt) = (dish?.unwrap_or_default(), spoilt?.unwrap_or_default());
            let (blanks, masses) = (blanks?, masses?);
            let count = Exact::whole(i64::try_from(masses.len()).unwrap_or(i64::MAX));
            let whole = blanks.map(|blanks| (blanks, blanks.sub(spoilt).unwrap_or_default()));
            if let Some((blanks, expected)) = whole.filter(|(_, expected)| *expected != count) {
                let what = format!(
                    "expected {} masses for {} blanks with {} spoilt, found {}",
                    show::number(expected),
                    show::number(blanks),
                    show::number(spoilt),
                    show::number(count)
                );
                let help = "give one mass for each blank that was weighed";
                return Err(reader.note("mould.masses", what, "another number", help));
            }
            if let Some(n) = masses.iter().position(|mass| *mass <= dish) {
                let what =
                    format!("expected a dish lighter than each mass, found {}", show::grams(dish));
                return Err(reader.note(
                    format!("mould.masses.{n}"),
                    what,
                    "nothing is left",
                    "check the dish",
                ));
            }
            Ok(Calibration::Masses { masses, dish })
        }
    }
}

/// The key that says how the capacity is known.
fn known_by(reader: &mut OrderReader<'_>, mould: &OrderedMould) -> Checked<&'static str> {
    let ways = [
        ("capacity", mould.capacity.is_some()),
        ("total", mould.total.is_some()),
        ("masses", !mould.masses.is_empty()),
    ];
    let given: Vec<&str> = ways.iter().filter(|(_, is)| *is).map(|(key, _)| *key).collect();
    match given.as_slice() {
        [way] => Ok(*way),
        [] => {
            let help = "give `capacity`, or `total` with `blanks`, or `masses`";
            Err(reader.missing("mould.capacity", "what a cavity of the mould holds", help))
        }
        several => {
            let what = format!(
                "expected one way to know the capacity, found {}",
                words::listed(several, "and")
            );
            let path = format!("mould.{}", several[1]);
            Err(reader.note(path, what, "a second way", "keep one of them"))
        }
    }
}

/// The masses of the blanks. A unit after the last is the unit of all that have none.
fn masses(reader: &mut OrderReader<'_>, texts: &[String]) -> Checked<Vec<Exact>> {
    let last = texts.last().and_then(|text| {
        let unit =
            text.trim_start_matches(|c: char| c.is_ascii_digit() || ".,+".contains(c)).trim();
        (!unit.is_empty()).then(|| unit.to_owned())
    });
    let mut masses = Vec::new();
    let mut noted = None;
    for (n, text) in texts.iter().enumerate() {
        let bare = text.trim().chars().all(|c| c.is_ascii_digit() || ".,".contains(c));
        let text = match &last {
            Some(unit) if bare => format!("{text} {unit}"),
            _ => text.clone(),
        };
        match reader.number(&format!("mould.masses.{n}"), &text, Measure::Mass, Least::AboveZero) {
            Ok(mass) => masses.push(mass),
            Err(wrong) => noted = Some(wrong),
        }
    }
    noted.map_or(Ok(masses), Err)
}
