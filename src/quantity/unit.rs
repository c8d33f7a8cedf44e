//! The table of units.

use std::fmt;

use super::{Arithmetic, Dimension, Exact};

/// One row of the unit table.
#[derive(Debug, PartialEq, Eq)]
pub struct UnitRow {
    /// What templates write and sheets print: `mg`.
    pub symbol: &'static str,
    /// Other spellings a person may type.
    pub spellings: &'static [&'static str],
    /// The name of one, for help and speech: `milligram`.
    pub one: &'static str,
    /// The name of many: `milligrams`.
    pub many: &'static str,
    /// What the unit measures.
    pub dimension: Dimension,
    /// Mantissa and places of the factor to the coherent unit (g, mL, cm, unit, K, s).
    factor: (i128, u32),
    /// Mantissa and places of what is added after the factor; for the Celsius scale only.
    offset: (i128, u32),
}

/// Every unit that can stand alone or in a quotient such as `g/mL`.
///
/// Factors: International System of Units, 9th edition of the SI Brochure, tables 3 (cubic
/// measures), 4 (degree Celsius), 7 (prefixes) and 8 (litre, minute, hour).
pub const UNITS: &[UnitRow] = &[
    row("g", &["G", "gram", "grams", "gm", "gms"], "gram", "grams", Dimension::MASS, (1, 0)),
    row("mg", &["milligram", "milligrams"], "milligram", "milligrams", Dimension::MASS, (1, 3)),
    row("kg", &["kilogram", "kilograms"], "kilogram", "kilograms", Dimension::MASS, (1000, 0)),
    row(
        "mcg",
        &["µg", "μg", "ug", "microgram", "micrograms"],
        "microgram",
        "micrograms",
        Dimension::MASS,
        (1, 6),
    ),
    row(
        "mL",
        &["ml", "cm3", "cm³", "cm^3", "millilitre", "millilitres", "milliliter", "milliliters"],
        "millilitre",
        "millilitres",
        Dimension::VOLUME,
        (1, 0),
    ),
    row(
        "L",
        &["l", "litre", "litres", "liter", "liters"],
        "litre",
        "litres",
        Dimension::VOLUME,
        (1000, 0),
    ),
    row(
        "unit",
        &[
            "units",
            "suppository",
            "suppositories",
            "pessary",
            "pessaries",
            "bougie",
            "bougies",
            "cone",
            "cones",
        ],
        "unit",
        "units",
        Dimension::COUNT,
        (1, 0),
    ),
    row("%", &["percent", "per cent"], "per cent", "per cent", Dimension::NUMBER, (1, 2)),
    row(
        "% w/w",
        &["%w/w", "% m/m"],
        "per cent by mass",
        "per cent by mass",
        Dimension::NUMBER,
        (1, 2),
    ),
    row(
        "% w/v",
        &["%w/v", "% m/v"],
        "per cent mass in volume",
        "per cent mass in volume",
        Dimension::DENSITY,
        (1, 2),
    ),
    row("% v/v", &["%v/v"], "per cent by volume", "per cent by volume", Dimension::NUMBER, (1, 2)),
    row(
        "mm",
        &["millimetre", "millimetres"],
        "millimetre",
        "millimetres",
        Dimension::LENGTH,
        (1, 1),
    ),
    row(
        "cm",
        &["centimetre", "centimetres"],
        "centimetre",
        "centimetres",
        Dimension::LENGTH,
        (1, 0),
    ),
    row("m", &["metre", "metres"], "metre", "metres", Dimension::LENGTH, (100, 0)),
    UnitRow {
        symbol: "°C",
        // Degrees alone are of the Celsius scale: no angle is measured here.
        spellings: &[
            "C",
            "degC",
            "deg C",
            "degree C",
            "degrees C",
            "º C",
            "ºC",
            "° C",
            "°",
            "deg",
            "degree",
            "degrees",
            "celsius",
            "degree celsius",
            "degrees celsius",
        ],
        one: "degree Celsius",
        many: "degrees Celsius",
        dimension: Dimension::TEMPERATURE,
        factor: (1, 0),
        offset: (27315, 2),
    },
    row("K", &["kelvin"], "kelvin", "kelvins", Dimension::TEMPERATURE, (1, 0)),
    row("s", &["sec", "second", "seconds"], "second", "seconds", Dimension::TIME, (1, 0)),
    row("min", &["mins", "minute", "minutes"], "minute", "minutes", Dimension::TIME, (60, 0)),
    row("h", &["hr", "hrs", "hour", "hours"], "hour", "hours", Dimension::TIME, (3600, 0)),
];

const fn row(
    symbol: &'static str,
    spellings: &'static [&'static str],
    one: &'static str,
    many: &'static str,
    dimension: Dimension,
    factor: (i128, u32),
) -> UnitRow {
    UnitRow { symbol, spellings, one, many, dimension, factor, offset: (0, 0) }
}

/// A unit: nothing (a plain number), one row of [`UNITS`], or a quotient of two rows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Unit {
    top: Option<&'static UnitRow>,
    bottom: Option<&'static UnitRow>,
}

/// The text names no unit of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownUnit {
    /// What was written.
    pub written: String,
}

impl fmt::Display for UnknownUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is not a unit known here", self.written)
    }
}

impl std::error::Error for UnknownUnit {}

impl Unit {
    /// A plain number.
    pub const NUMBER: Self = Self { top: None, bottom: None };

    /// Reads a unit: a symbol or spelling of [`UNITS`], a quotient of two (`g/mL`, `g per unit`,
    /// `g each`), or `1` for a plain number.
    ///
    /// Symbols and spellings are matched to the letter first, then without regard to case, so `MG`
    /// and `Mg` are milligrams: nothing here is counted in megagrams. A single letter is matched to
    /// the letter alone: `m` is a metre, `M` is nothing.
    ///
    /// # Errors
    /// When no row fits.
    pub fn parse(text: &str) -> Result<Self, UnknownUnit> {
        let text = text.trim();
        if text == "1" {
            return Ok(Self::NUMBER);
        }
        let one = |row| Self { top: Some(row), bottom: None };
        // The search without regard to case is the slow one, so it comes last.
        find_to_the_letter(text)
            .map(one)
            .or_else(|| find_quotient(text))
            .or_else(|| find_in_any_case(text).map(one))
            .ok_or_else(|| UnknownUnit { written: text.to_owned() })
    }

    /// What the unit measures.
    pub fn dimension(self) -> Dimension {
        let of = |row: Option<&UnitRow>| row.map_or(Dimension::NUMBER, |row| row.dimension);
        of(self.top).over(of(self.bottom))
    }

    /// A number of this unit as a number of coherent units (g, mL, cm, unit, K, s).
    ///
    /// Degrees Celsius are a reading of the scale, never a difference of two; a difference is
    /// written in kelvins, which are as large (SI Brochure, 9th edition, section 2.3.1).
    pub fn to_coherent(self, number: Exact) -> Result<Exact, Arithmetic> {
        let mut number = number;
        if let Some(top) = self.top {
            number = scale(number, top.factor, false)?;
            if self.bottom.is_none() && top.offset.0 != 0 {
                let offset = Exact::new(top.offset.0, top.offset.1).unwrap_or_default();
                number = number.add(offset)?;
            }
        }
        match self.bottom {
            Some(bottom) => scale(number, bottom.factor, true),
            None => Ok(number),
        }
    }

    /// A number of coherent units as a number of this unit.
    pub fn from_coherent(self, number: Exact) -> Result<Exact, Arithmetic> {
        let mut number = number;
        if let Some(bottom) = self.bottom {
            number = scale(number, bottom.factor, false)?;
        }
        let Some(top) = self.top else { return Ok(number) };
        if self.bottom.is_none() && top.offset.0 != 0 {
            let offset = Exact::new(top.offset.0, top.offset.1).unwrap_or_default();
            number = number.sub(offset)?;
        }
        scale(number, top.factor, true)
    }

    /// The symbol to print after a number.
    ///
    /// A mass of one unit prints as `g`, since the sentence around it says "each"; a plain count
    /// and a plain number print nothing.
    pub fn symbol(self) -> String {
        let (top, bottom) = self.printed();
        bottom.map_or_else(|| top.to_owned(), |bottom| format!("{top}/{bottom}"))
    }

    /// The same as what stands before a stroke and what stands behind one.
    pub(super) fn printed(self) -> (&'static str, Option<&'static str>) {
        match (self.top, self.bottom) {
            (None, None) => ("", None),
            (Some(top), None) if top.symbol == "unit" => ("", None),
            (Some(top), None) => (top.symbol, None),
            (Some(top), Some(bottom)) if bottom.symbol == "unit" => (top.symbol, None),
            (top, Some(bottom)) => (top.map_or("1", |row| row.symbol), Some(bottom.symbol)),
        }
    }

    /// The unit of the numerator alone: `g` for `g/unit`.
    #[must_use]
    pub fn without_divisor(self) -> Self {
        Self { top: self.top, bottom: None }
    }

    /// Whether the unit is counted per unit cast, as `g/unit` is.
    pub fn is_per_unit(self) -> bool {
        self.bottom.is_some_and(|row| row.symbol == "unit")
    }
}

impl fmt::Display for Unit {
    /// The full form that [`Unit::parse`] reads back: `g/unit`, `% w/w`, `1`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.top.map_or("1", |row| row.symbol))?;
        match self.bottom {
            Some(bottom) => write!(f, "/{}", bottom.symbol),
            None => Ok(()),
        }
    }
}

fn find(text: &str) -> Option<&'static UnitRow> {
    find_to_the_letter(text).or_else(|| find_in_any_case(text))
}

fn find_to_the_letter(text: &str) -> Option<&'static UnitRow> {
    let symbol = UNITS.iter().find(|row| row.symbol == text);
    symbol.or_else(|| UNITS.iter().find(|row| row.spellings.contains(&text)))
}

fn find_in_any_case(text: &str) -> Option<&'static UnitRow> {
    if text.len() == 1 {
        return None;
    }
    UNITS.iter().find(|row| {
        row.symbol.eq_ignore_ascii_case(text)
            || row.spellings.iter().any(|spelling| spelling.eq_ignore_ascii_case(text))
    })
}

/// The quotient, cut at whichever ` per ` or slash leaves a unit on both sides: the first slash of
/// `% w/w/unit` does not.
fn find_quotient(text: &str) -> Option<Unit> {
    let of = |top: &str, bottom: &str| {
        Some(Unit { top: Some(find(top.trim())?), bottom: Some(find(bottom.trim())?) })
    };
    if let Some(top) = text.strip_suffix(" each") {
        return of(top, "unit");
    }
    let mut cuts = text.match_indices(" per ").chain(text.match_indices('/'));
    cuts.find_map(|(at, mark)| of(text.get(..at)?, text.get(at + mark.len()..)?))
}

/// Multiplies by the factor, or divides by it.
fn scale(number: Exact, factor: (i128, u32), divide: bool) -> Result<Exact, Arithmetic> {
    let (mantissa, places) = factor;
    if factor == (1, 0) {
        return Ok(number);
    }
    // A decimal factor only moves the point, so the digits stay as written.
    if let Some(zeros) = (0..=9).find(|zeros| 10_i128.pow(*zeros) == mantissa) {
        let power = i32::try_from(i64::from(zeros) - i64::from(places))
            .map_err(|_| Arithmetic::Overflow)?;
        return number.times_ten_to(if divide { -power } else { power });
    }
    let factor = Exact::new(mantissa, places).ok_or(Arithmetic::Overflow)?;
    if divide { number.div(factor) } else { number.mul(factor) }
}
