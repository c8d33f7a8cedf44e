//! What kind of thing a number measures.

use std::fmt;

/// The powers of mass, length, count, temperature and time in a unit.
///
/// Volume is length cubed. Count is a dimension of its own, so that the mass of one unit (`g/unit`)
/// and the mass of a batch (`g`) cannot be added by mistake. Percentages and ratios are plain
/// numbers, except percent w/v, which is a mass per volume.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Dimension {
    /// Power of mass.
    pub mass: i8,
    /// Power of length.
    pub length: i8,
    /// Power of count.
    pub count: i8,
    /// Power of temperature.
    pub temperature: i8,
    /// Power of time.
    pub time: i8,
}

impl Dimension {
    /// A plain number.
    pub const NUMBER: Self = Self { mass: 0, length: 0, count: 0, temperature: 0, time: 0 };
    /// Mass.
    pub const MASS: Self = Self { mass: 1, ..Self::NUMBER };
    /// Volume, which is length cubed.
    pub const VOLUME: Self = Self { length: 3, ..Self::NUMBER };
    /// Length.
    pub const LENGTH: Self = Self { length: 1, ..Self::NUMBER };
    /// A count of units.
    pub const COUNT: Self = Self { count: 1, ..Self::NUMBER };
    /// Temperature.
    pub const TEMPERATURE: Self = Self { temperature: 1, ..Self::NUMBER };
    /// Time.
    pub const TIME: Self = Self { time: 1, ..Self::NUMBER };
    /// Mass per volume.
    pub const DENSITY: Self = Self { mass: 1, length: -3, ..Self::NUMBER };
    /// Mass of one unit.
    pub const MASS_PER_UNIT: Self = Self { mass: 1, count: -1, ..Self::NUMBER };

    /// The dimension of a product.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        self.combine(other, i8::saturating_add)
    }

    /// The dimension of a quotient.
    #[must_use]
    pub fn over(self, other: Self) -> Self {
        self.combine(other, i8::saturating_sub)
    }

    /// The dimension of a square root; `None` when a power is odd.
    pub fn root(self) -> Option<Self> {
        let powers = [self.mass, self.length, self.count, self.temperature, self.time];
        if powers.iter().any(|power| power % 2 != 0) {
            return None;
        }
        Some(Self {
            mass: self.mass / 2,
            length: self.length / 2,
            count: self.count / 2,
            temperature: self.temperature / 2,
            time: self.time / 2,
        })
    }

    fn combine(self, other: Self, op: fn(i8, i8) -> i8) -> Self {
        Self {
            mass: op(self.mass, other.mass),
            length: op(self.length, other.length),
            count: op(self.count, other.count),
            temperature: op(self.temperature, other.temperature),
            time: op(self.time, other.time),
        }
    }
}

impl fmt::Display for Dimension {
    /// The everyday name where there is one (`mass per unit`), otherwise the powers
    /// (`mass^2 x count^-1`).
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let named = [
            (Self::NUMBER, "a plain number"),
            (Self::MASS, "mass"),
            (Self::VOLUME, "volume"),
            (Self::LENGTH, "length"),
            (Self::COUNT, "a count of units"),
            (Self::TEMPERATURE, "temperature"),
            (Self::TIME, "time"),
            (Self::DENSITY, "density (mass per volume)"),
            (Self::MASS_PER_UNIT, "mass per unit"),
            (Self::VOLUME.over(Self::COUNT), "volume per unit"),
            (Self::VOLUME.over(Self::MASS), "volume per mass"),
            (Self::NUMBER.over(Self::COUNT), "a number per unit"),
        ];
        if let Some((_, name)) = named.iter().find(|(dimension, _)| dimension == self) {
            return f.write_str(name);
        }
        let powers = [
            ("mass", self.mass),
            ("length", self.length),
            ("count", self.count),
            ("temperature", self.temperature),
            ("time", self.time),
        ];
        let mut first = true;
        for (name, power) in powers.into_iter().filter(|(_, power)| *power != 0) {
            if !first {
                f.write_str(" x ")?;
            }
            first = false;
            f.write_str(name)?;
            if power != 1 {
                write!(f, "^{power}")?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_root_of_a_square_is_what_was_squared_and_odd_powers_have_none() {
        use Dimension as D;
        for one in [D::MASS, D::LENGTH, D::COUNT, D::TEMPERATURE, D::TIME, D::MASS_PER_UNIT] {
            assert_eq!(one.times(one).root(), Some(one));
            assert_eq!(one.root(), None);
            assert_eq!(one.times(one).times(one).root(), None);
        }
        assert_eq!(D::NUMBER.root(), Some(D::NUMBER));
    }
}
