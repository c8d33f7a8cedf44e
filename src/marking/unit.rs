//! How the unit that was written fits the unit that was asked for.

use crate::quantity::{Arithmetic, Dimension, Exact, Typed, Unit};

/// How a unit fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fit {
    /// It is the unit asked for, or none was needed.
    Same,
    /// None was written where one belongs.
    Missing,
    /// It measures the same; this is the number in the unit asked for.
    Converted(Exact),
    /// It measures something else.
    Other,
}

/// How the unit of an answer fits the unit asked for, with the number converted where it can be.
///
/// Inside a question about one unit cast, `g` stands for `g/unit`; a bare `%` stands for any kind
/// of percentage, but one kind of percentage does not stand for another.
pub(super) fn fit(typed: &Typed, asked: Unit) -> Result<Fit, Arithmetic> {
    let Some(written) = typed.unit else {
        let needless = asked == Unit::NUMBER || asked.dimension() == Dimension::COUNT;
        return Ok(if needless { Fit::Same } else { Fit::Missing });
    };
    if written == asked || written == asked.without_divisor() && asked.is_per_unit() {
        return Ok(Fit::Same);
    }
    if let (Some(written), Some(asked)) = (basis(written), basis(asked)) {
        return Ok(if written.is_empty() || asked.is_empty() { Fit::Same } else { Fit::Other });
    }
    let each = asked.is_per_unit() && written.dimension() == asked.without_divisor().dimension();
    if !each && written.dimension() != asked.dimension() {
        return Ok(Fit::Other);
    }
    let number = asked.from_coherent(written.to_coherent(typed.number)?)?;
    Ok(Fit::Converted(number))
}

/// The same where a mass and a volume may be exchanged at a density in g/mL.
pub(super) fn fit_at(
    typed: &Typed,
    asked: Unit,
    density: Option<Exact>,
) -> Result<Fit, Arithmetic> {
    let found = fit(typed, asked)?;
    let (Fit::Other, Some(written), Some(density)) = (found, typed.unit, density) else {
        return Ok(found);
    };
    let number = written.to_coherent(typed.number)?;
    let number = if (written.dimension(), asked.dimension()) == (Dimension::VOLUME, Dimension::MASS)
    {
        number.mul(density)?
    } else if (written.dimension(), asked.dimension()) == (Dimension::MASS, Dimension::VOLUME) {
        number.div(density)?
    } else {
        return Ok(found);
    };
    Ok(Fit::Converted(asked.from_coherent(number)?))
}

/// What a typed number is in the unit asked for, by way of a density in g/mL where there is one; `None`
/// where its unit does not fit.
pub fn number_in(asked: Unit, density: Option<Exact>, typed: Typed) -> Option<Exact> {
    match fit_at(&typed, asked, density).ok()? {
        Fit::Converted(number) => Some(number),
        Fit::Same | Fit::Missing => Some(typed.number),
        Fit::Other => None,
    }
}

/// What a percentage is a percentage of: `w/w` for `% w/w`, nothing for `%`; `None` for any other unit.
fn basis(unit: Unit) -> Option<String> {
    unit.to_string().strip_prefix('%').map(|basis| basis.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(text: &str) -> Exact {
        Exact::parse(text).unwrap()
    }

    #[track_caller]
    fn check(number: &str, written: &str, asked: &str, expected: Fit) {
        let unit = (!written.is_empty()).then(|| Unit::parse(written).unwrap());
        let typed = Typed { number: exact(number), unit };
        assert_eq!(fit(&typed, Unit::parse(asked).unwrap()), Ok(expected));
    }

    #[test]
    fn the_unit_asked_for_fits_and_a_unit_of_the_same_kind_is_converted() {
        check("3.2", "g", "g", Fit::Same);
        check("3200", "mg", "g", Fit::Converted(exact("3.2")));
        check("0.0032", "kg", "g", Fit::Converted(exact("3.2")));
        check("1.2", "kg/L", "g/mL", Fit::Converted(exact("1.2")));
        check("50", "mg/mL", "% w/v", Fit::Converted(exact("5")));
    }

    #[test]
    fn a_missing_unit_is_noticed_where_one_belongs() {
        check("3.2", "", "g", Fit::Missing);
        check("3.2", "", "g/unit", Fit::Missing);
        check("12", "", "unit", Fit::Same);
        check("4.7", "", "1", Fit::Same);
    }

    #[test]
    fn the_mass_of_one_unit_may_be_written_as_a_mass_but_not_the_other_way_round() {
        check("1.02", "g", "g/unit", Fit::Same);
        check("1020", "mg", "g/unit", Fit::Converted(exact("1.02")));
        check("1.02", "g/unit", "g", Fit::Other);
        check("1.02", "mL", "g/unit", Fit::Other);
        check("1.02", "%", "g/unit", Fit::Other);
    }

    #[test]
    fn a_bare_percentage_stands_for_each_kind_but_no_kind_for_another() {
        check("5", "%", "% w/w", Fit::Same);
        check("5", "%", "% w/v", Fit::Same);
        check("5", "% w/w", "% w/v", Fit::Other);
        check("5", "% v/v", "% w/w", Fit::Other);
    }

    #[test]
    fn a_unit_of_another_kind_does_not_fit() {
        check("3.2", "mL", "g", Fit::Other);
        check("12", "g", "unit", Fit::Other);
        check("4.7", "g", "1", Fit::Other);
    }

    #[test]
    fn a_volume_is_a_mass_where_the_density_is_given() {
        let at = |number: &str, written: &str, asked: &str, density: &str| {
            let typed = Typed { number: exact(number), unit: Some(Unit::parse(written).unwrap()) };
            let density = (!density.is_empty()).then(|| exact(density));
            fit_at(&typed, Unit::parse(asked).unwrap(), density)
        };
        // Water 8 g (8 mL): answers of a compounding corner, International Pharmaceutical Students'
        // Federation.
        assert_eq!(at("8", "mL", "g", "1"), Ok(Fit::Converted(exact("8"))));
        assert_eq!(at("2", "mL", "mg", "1.25"), Ok(Fit::Converted(exact("2500"))));
        assert_eq!(at("2.5", "g", "mL", "1.25"), Ok(Fit::Converted(exact("2"))));
        assert_eq!(at("8", "mL", "g", ""), Ok(Fit::Other));
        assert_eq!(at("8", "cm", "g", "1"), Ok(Fit::Other));
        assert_eq!(at("8", "g", "g", "1.25"), Ok(Fit::Same));
    }

    #[test]
    fn a_number_that_cannot_be_converted_is_an_error() {
        let number = exact("79000000000000000000000000000");
        let typed = Typed { number, unit: Some(Unit::parse("kg").unwrap()) };
        assert_eq!(fit(&typed, Unit::parse("mg").unwrap()), Err(Arithmetic::Overflow));
    }
}
