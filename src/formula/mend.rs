//! What to do about two dimensions that do not go together.

use crate::quantity::{Dimension, Unit};

use super::tree::{Node, NodeKind};

/// Zero without a unit is zero of anything.
pub(super) fn is_bare_zero(node: &Node) -> bool {
    matches!(&node.kind, NodeKind::Number(value, unit) if value.is_zero() && *unit == Unit::NUMBER)
}

/// What to do about two parts whose dimensions do not go together; `None` when nobody can know.
pub(super) fn mend(left: (&Node, Dimension), right: (&Node, Dimension)) -> Option<String> {
    for ((node, _), (_, other)) in [(left, right), (right, left)] {
        let NodeKind::Number(value, unit) = &node.kind else { continue };
        if unit.dimension() != Dimension::NUMBER {
            continue;
        }
        if *unit != Unit::NUMBER {
            let part = Unit::symbol(*unit);
            let what = plain(other);
            return Some(format!("multiply `{value} {part}` by the {what} it is a part of"));
        }
        return coherent_unit(other).map(|unit| format!("write `{value} {unit}`"));
    }
    let factors = [
        (Dimension::COUNT, "a number of units"),
        (Dimension::DENSITY, "a density"),
        (Dimension::VOLUME, "a volume"),
    ];
    for ((_, of), (_, other)) in [(left, right), (right, left)] {
        if (of, other) == (Dimension::NUMBER, Dimension::COUNT) {
            return Some("multiply the plain number by `1 unit` if it counts units".to_owned());
        }
        let factor = factors.iter().find(|(factor, _)| of.times(*factor) == other);
        if let Some((_, name)) = factor.filter(|_| of != Dimension::NUMBER) {
            return Some(format!("multiply the {} by {name}", plain(of)));
        }
    }
    None
}

/// The unit in which numbers of a dimension are reckoned, where it has a name.
fn coherent_unit(dimension: Dimension) -> Option<&'static str> {
    let units = [
        (Dimension::COUNT, "unit"),
        (Dimension::MASS, "g"),
        (Dimension::MASS_PER_UNIT, "g/unit"),
        (Dimension::VOLUME, "mL"),
        (Dimension::VOLUME.over(Dimension::COUNT), "mL/unit"),
        (Dimension::DENSITY, "g/mL"),
        (Dimension::LENGTH, "cm"),
        (Dimension::TEMPERATURE, "K"),
        (Dimension::TIME, "s"),
    ];
    units.into_iter().find(|(known, _)| *known == dimension).map(|(_, unit)| unit)
}

/// The name of a dimension to stand behind `the`: `density` of `density (mass per volume)`.
fn plain(dimension: Dimension) -> String {
    let name = dimension.to_string();
    let name = name.strip_prefix("a ").unwrap_or(&name);
    name.split(" (").next().unwrap_or(name).to_owned()
}
