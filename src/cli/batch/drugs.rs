//! The drugs of `--drug` and `--other`.

use castmark::bank::OrderedDrug;
use castmark::formula::nearest;
use castmark::words;

/// The drugs of `--drug`: a word without an equals sign begins one.
pub(super) fn read_drugs(
    typed: &[String],
    option: &str,
    problems: &mut Vec<String>,
) -> Vec<OrderedDrug> {
    let mut drugs: Vec<OrderedDrug> = Vec::new();
    for word in typed {
        let Some((key, value)) = word.split_once('=') else {
            drugs
                .push(OrderedDrug { name: Some(word.trim().to_owned()), ..OrderedDrug::default() });
            continue;
        };
        let (key, value) = (key.trim(), value.trim());
        let Some(drug) = drugs.last_mut() else {
            problems.push(format!(
                "`{option}`: expected the name of the ingredient first, found `{}`; write its name before it",
                words::quoted(word, 40)
            ));
            continue;
        };
        match drug.path_mut(&key.split('.').collect::<Vec<_>>()) {
            Some(Some(_)) => problems.push(format!(
                "`{option}`: expected `{key}` once, found it again; keep one of them"
            )),
            Some(field) => *field = Some(value.to_owned()),
            None => {
                let known = OrderedDrug::KEYS.iter().chain(&GROUPED).copied();
                let help = match nearest(key, known.clone()) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => format!("the keys are {}", known.collect::<Vec<_>>().join(", ")),
                };
                problems.push(format!(
                    "`{option}`: expected a key of an ingredient, found `{}`; {help}",
                    words::quoted(key, 40)
                ));
            }
        }
    }
    drugs
}

/// The keys of groups, which have a point.
const GROUPED: [&str; 7] = [
    "casts.mass",
    "casts.units",
    "casts.dose",
    "casts.strength",
    "salt.ordered",
    "salt.held",
    "salt.holds",
];
