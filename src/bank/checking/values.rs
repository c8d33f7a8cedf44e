//! Checking the values of a template.

use std::collections::BTreeSet;

use crate::formula::{Scope, Shape};
use crate::quantity::{Exact, Unit};

use crate::bank::checking::names::Names;
use crate::bank::checking::picks::pick_rule;
use crate::bank::facts::{ColumnKind, Facts};
use crate::bank::reading::checker::Checker;
use crate::bank::reading::locations::Located;
use crate::bank::reading::noted::{Checked, Noted};
use crate::bank::reading::words::{NameText, NumberText};
use crate::bank::reading::written::{Either, Key, List};
use crate::bank::template::{Value, ValueRule};
use crate::bank::written::values::{StrayText, ValueText, WordText};

/// Checks one value and adds its names; of a cell that is `whole` only one draw is made.
pub(super) fn value(
    checker: &mut Checker<'_>,
    (name, text): &(Key, ValueText),
    names: &mut Names,
    (facts, whole): (&Facts, &BTreeSet<String>),
) -> Checked<Value> {
    name.is_name(checker, "a value");
    let rule = match text {
        ValueText { words: Some(words), .. } => word_rule(checker, words),
        ValueText { pick: Some(table), .. } => {
            pick_rule(checker, (name, text), table, names, (facts, whole))
        }
        _ => number_rule(checker, name, text, names),
    };
    let rule = rule.inspect_err(|noted| add_anyway(name, text, names, facts, *noted))?;
    Ok(Value { name: name.to_string(), rule })
}

/// Makes the names of a value known although its rule is wrong, so that one mistake is told once.
pub(super) fn add_anyway(
    name: &Key,
    text: &ValueText,
    names: &mut Names,
    facts: &Facts,
    noted: Noted,
) {
    names.unsound.add(name, noted);
    let table = text.pick.as_ref().and_then(|table| facts.table(table));
    for column in text.with.iter().flat_map(|with| with.iter()) {
        let kind =
            table.and_then(|table| table.column(column).map(|index| table.columns[index].kind));
        let field = format!("{name}.{column}");
        match kind {
            Some(ColumnKind::Number(unit)) if names.is_new(&field) => {
                names.add(&field, None, Shape::Number(unit.dimension()), unit);
            }
            _ => {}
        }
    }
    let unit = text.unit.as_ref().and_then(|unit| Unit::parse(unit).ok());
    if let Some(unit) = unit.filter(|_| names.is_new(name)) {
        let dimension = unit.dimension();
        let list = text.around.is_some();
        let shape = if list { Shape::List(dimension) } else { Shape::Number(dimension) };
        names.add(name, None, shape, unit);
    }
}

fn number_rule(
    checker: &mut Checker<'_>,
    name: &Key,
    text: &ValueText,
    names: &mut Names,
) -> Checked<ValueRule> {
    let Some(unit) = &text.unit else {
        let help = "add `unit:`, such as g, g/unit, unit or \"1\" for a plain number".to_owned();
        return Err(checker.key(name, "expected a unit, found none", "of what?", Some(help)));
    };
    let unit = unit.meaning()?;
    let shape = Shape::Number(unit.dimension());
    let label = text.label.as_ref().map(ToString::to_string);
    if let Some(fixed) = &text.fixed {
        let number = fixed.meaning()?;
        return Ok(ValueRule::Fixed { slot: names.add(name, label, shape, unit), number });
    }
    if let Some(choices) = &text.choose {
        let numbers = choices_of(checker, choices)?;
        return Ok(ValueRule::Choice { slot: names.add(name, label, shape, unit), numbers });
    }
    if let Some(formula) = &text.is {
        let compiled = formula.compile(checker, names, &names.unsound);
        let Some(round) = &text.round else {
            let help = Some("add `round:`, such as `2 places`".to_owned());
            let what = "expected how the number is written, found nothing";
            return Err(checker.key(name, what, "to how many places?", help));
        };
        let rounding = round.meaning();
        let ((parsed, program), rounding) = (compiled?, rounding?);
        expect_dimension(checker, formula, program.shape(), unit)?;
        let slot = names.add(name, label, shape, unit);
        return Ok(ValueRule::Derived { slot, formula: parsed, program, rounding });
    }
    if let Some(around) = &text.around {
        let scatter = scatter(checker, (name, text), around, unit, names)?;
        let slot = names.add(name, label, Shape::List(unit.dimension()), unit);
        let Scatter { around, count, reach, step, stray } = scatter;
        return Ok(ValueRule::Scatter { slot, around, count, reach, step, stray });
    }
    let (Some(from), Some(to), Some(step)) = (&text.from, &text.to, &text.step) else {
        let what = "expected `from`, `to` and `step` together";
        return Err(checker.key(name, what, "one is missing", None));
    };
    let (from, step, count) = grid(checker, from, to, step)?;
    Ok(ValueRule::Grid { slot: names.add(name, label, shape, unit), from, step, count })
}

fn choices_of(checker: &mut Checker<'_>, choices: &List<NumberText>) -> Checked<Vec<Exact>> {
    let mut numbers = Vec::new();
    let mut known = BTreeSet::new();
    for choice in choices.iter() {
        let number = choice.meaning();
        if number.is_ok_and(|number| !known.insert(number)) {
            let what = format!("`{choice}` stands twice in the list");
            checker.value(choice, what, "again", None);
        }
        numbers.push(number);
    }
    let numbers = numbers.into_iter().collect::<Checked<Vec<Exact>>>()?;
    if numbers.is_empty() {
        let what = "expected at least one number, found none";
        return Err(checker.value(choices, what, "empty", None));
    }
    no_decimal_commas(checker, choices)?;
    Ok(numbers)
}

/// Questions a list such as `[0,98, 1.02]`: a decimal comma makes two numbers of one.
fn no_decimal_commas(checker: &mut Checker<'_>, choices: &List<NumberText>) -> Checked<()> {
    let is_number_in_two =
        |three: &[u8]| three[0].is_ascii_digit() && three[1] == b',' && three[2].is_ascii_digit();
    // Places are looked for only where there is such a comma at all.
    if !checker.file.source.text.as_bytes().windows(3).any(is_number_in_two) {
        return Ok(());
    }
    let pairs = || choices.iter().zip(choices.iter().skip(1));
    let between: Vec<&str> = pairs().map(|(one, other)| checker.between(one, other)).collect();
    let some_apart = between.iter().any(|text| text.contains(char::is_whitespace));
    let suspect = pairs().zip(&between).find(|((whole, part), text)| {
        let (whole, part) = (whole.to_string(), part.to_string());
        let zero_first = part.len() > 1 && part.starts_with('0') && !part.contains('.');
        **text == "," && (some_apart || zero_first || whole.trim_start_matches('-') == "0")
    });
    let Some(((whole, part), _)) = suspect else { return Ok(()) };
    Err(checker.value(
        whole,
        format!("expected a blank behind each comma, found `{whole},{part}`"),
        "one number or two?",
        Some(format!("write `{whole}.{part}` for one number, or `{whole}, {part}` for two")),
    ))
}

/// Notes that a formula gives something other than the unit says.
pub(super) fn expect_dimension(
    checker: &mut Checker<'_>,
    formula: &impl Located,
    found: Shape,
    unit: Unit,
) -> Checked<()> {
    match found {
        Shape::Number(dimension) if dimension == unit.dimension() => Ok(()),
        Shape::Number(dimension) => Err(checker.value(
            formula,
            format!("expected {} (the unit is {unit}), found {dimension}", unit.dimension()),
            format!("this is {dimension}"),
            Some("change the formula or the unit".to_owned()),
        )),
        _ => {
            Err(checker.value(formula, "expected a number", "this is a list or a condition", None))
        }
    }
}

/// The numbers of a grid: the first, the distance of neighbours, and how many there are.
type Grid = (Exact, Exact, u64);

/// Reads first, last and step of a grid.
fn grid(
    checker: &mut Checker<'_>,
    from: &NumberText,
    to: &NumberText,
    step: &NumberText,
) -> Checked<Grid> {
    let (low, high, distance) = (from.meaning(), to.meaning(), step.meaning());
    let (low, high, distance) = (low?, high?, distance?);
    if !distance.is_positive() {
        let what = format!("expected a step above zero, found {step}");
        return Err(checker.value(step, what, "here", None));
    }
    if high < low {
        let what = format!("expected `to` above `from`, found {from} to {to}");
        return Err(checker.value(to, what, "the lower of the two", None));
    }
    let steps = high.sub(low).and_then(|width| width.div(distance));
    let count = match &steps {
        Ok(steps) if !steps.is_whole() => {
            let help = "choose `to` so that it is reached from `from` in whole steps".to_owned();
            let what = format!("{to} is not reached from {from} in steps of {step}");
            return Err(checker.value(step, what, "does not divide the range", Some(help)));
        }
        Ok(steps) => steps.trimmed().to_string().parse::<u64>().ok(),
        Err(_) => None,
    };
    // One more than the steps, since both ends can be drawn.
    let Some(count) = count.and_then(|steps| steps.checked_add(1)) else {
        let what = format!(
            "expected a range that can be counted, found {from} to {to} in steps of {step}"
        );
        let help = "draw from a narrower range, or take wider steps".to_owned();
        return Err(checker.value(step, what, "too many numbers", Some(help)));
    };
    // Written with as many places as either has, so that 0.9, 0.95, 1.00 come out alike.
    let places = low.places().max(distance.places()).max(high.places());
    Ok((low.to_places(places), distance.to_places(places), count))
}

/// How readings scatter about a value.
struct Scatter {
    around: usize,
    count: usize,
    reach: u64,
    step: Exact,
    stray: Option<Grid>,
}

fn scatter(
    checker: &mut Checker<'_>,
    (name, text): (&Key, &ValueText),
    around: &NameText,
    unit: Unit,
    names: &Names,
) -> Checked<Scatter> {
    let centre = centre(checker, around, unit, names);
    let (Some(count), Some(reach), Some(step)) = (&text.count, &text.reach, &text.step) else {
        let what = "expected `count`, `reach` and `step` with `around`";
        return Err(checker.key(name, what, "one is missing", None));
    };
    let (count, reach) = (count.count(), reach.meaning().map(u64::from));
    let distance = step.meaning().and_then(|distance| {
        if distance.is_positive() {
            return Ok(distance);
        }
        Err(checker.value(step, "expected a step above zero", "here", None))
    });
    let stray = text.stray.as_ref();
    let stray = stray.map(|StrayText { from, to, step, .. }| grid(checker, from, to, step));
    Ok(Scatter {
        around: centre?,
        count: count?,
        reach: reach?,
        step: distance?,
        stray: stray.transpose()?,
    })
}

/// The slot of the value about which readings of a unit scatter.
fn centre(
    checker: &mut Checker<'_>,
    around: &NameText,
    unit: Unit,
    names: &Names,
) -> Checked<usize> {
    match names.find(around) {
        Some((slot, Shape::Number(dimension))) if dimension == unit.dimension() => Ok(slot),
        Some((_, Shape::Number(dimension))) => {
            let what = format!("expected {} to scatter about, found {dimension}", unit.dimension());
            Err(checker.value(around, what, "another kind of thing", None))
        }
        _ => Err(names.unknown(checker, around, "an earlier value")),
    }
}

fn word_rule(checker: &mut Checker<'_>, words: &List<WordText>) -> Checked<ValueRule> {
    let fields_of = |word: &WordText| -> Vec<String> {
        match word {
            Either::One(_) => vec![String::new()],
            Either::Other(fields) => fields.iter().map(|(field, _)| field.to_string()).collect(),
        }
    };
    let Some(first) = words.first() else {
        return Err(checker.value(words, "expected at least one word, found none", "empty", None));
    };
    let fields = fields_of(first);
    let mut options = Vec::new();
    for word in words.iter() {
        if fields_of(word) != fields {
            let what = "expected the same names as in the first entry, in the same order";
            return Err(checker.value(word, what, "other names", None));
        }
        options.push(match word {
            Either::One(text) => vec![text.to_string()],
            Either::Other(fields) => fields.iter().map(|(_, text)| text.to_string()).collect(),
        });
    }
    Ok(ValueRule::Words { fields, options })
}
