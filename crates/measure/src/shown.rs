//! Numbers as a person reads them, in the units the person likes, rounded to the side that hurts.
//!
//! Invariant: a figure shown with [`Side::AtLeast`] is never above the value and one shown with
//! [`Side::AtMost`] never below it, compared as numbers in the unit shown.

use crate::Metres;
use crate::speed::KNOT;

/// Which way a figure may be off.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Side {
    /// Never above the value: what there is (usable length, clearance, spare).
    AtLeast,
    /// Never below the value: what is needed (demand, required margin, speed).
    AtMost,
    /// To the nearest: where no margin hangs on it (headings, coordinates).
    Nearest,
}

/// Unit in which lengths are shown and, when none is written, typed.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum LengthUnit {
    /// Metres.
    #[default]
    Metres,
    /// Feet.
    Feet,
}

/// Unit in which speeds are shown and, when none is written, typed.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum SpeedUnit {
    /// Metres per second.
    #[default]
    MetresPerSecond,
    /// Knots.
    Knots,
}

/// Unit in which masses are shown and, when none is written, typed.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum MassUnit {
    /// Kilograms.
    #[default]
    Kilograms,
    /// Pounds.
    Pounds,
}

/// The units one person likes.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Units {
    /// Lengths and heights.
    pub length: LengthUnit,
    /// Speeds of wind and aircraft.
    pub speed: SpeedUnit,
    /// Masses.
    pub mass: MassUnit,
}

impl Units {
    /// Metres, metres per second, kilograms.
    pub const METRIC: Self =
        Self { length: LengthUnit::Metres, speed: SpeedUnit::MetresPerSecond, mass: MassUnit::Kilograms };
    /// Feet, knots, pounds.
    pub const FEET: Self = Self { length: LengthUnit::Feet, speed: SpeedUnit::Knots, mass: MassUnit::Pounds };

    /// A length with its unit.
    pub fn length(self, value: Metres, side: Side, decimals: u8) -> String {
        let unit = self.length;
        format!("{} {}", rounded(value.to_m() / unit.metres(), side, decimals), unit.symbol())
    }

    /// A speed with its unit.
    pub fn speed(self, metres_per_second: f64, side: Side, decimals: u8) -> String {
        let unit = self.speed;
        format!("{} {}", rounded(metres_per_second / unit.metres_per_second(), side, decimals), unit.symbol())
    }

    /// A mass with its unit.
    pub fn mass(self, kilograms: f64, side: Side, decimals: u8) -> String {
        let unit = self.mass;
        format!("{} {}", rounded(kilograms / unit.kilograms(), side, decimals), unit.symbol())
    }
}

impl LengthUnit {
    /// Metres in one of it.
    pub const fn metres(self) -> f64 {
        match self {
            Self::Metres => 1.0,
            Self::Feet => 0.3048,
        }
    }

    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Metres => "m",
            Self::Feet => "ft",
        }
    }
}

impl SpeedUnit {
    /// Metres per second in one of it.
    pub const fn metres_per_second(self) -> f64 {
        match self {
            Self::MetresPerSecond => 1.0,
            Self::Knots => KNOT,
        }
    }

    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::MetresPerSecond => "m/s",
            Self::Knots => "kt",
        }
    }
}

impl MassUnit {
    /// Kilograms in one of it.
    pub const fn kilograms(self) -> f64 {
        match self {
            Self::Kilograms => 1.0,
            Self::Pounds => 0.453_592_37,
        }
    }

    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Kilograms => "kg",
            Self::Pounds => "lb",
        }
    }
}

/// A number with a fixed count of decimals, off only to the allowed side.
///
/// # Example: what there is rounds down, what is needed rounds up
/// ```
/// use measure::shown::{rounded, Side};
/// assert_eq!(rounded(28.99, Side::AtLeast, 0), "28");
/// assert_eq!(rounded(28.01, Side::AtMost, 0), "29");
/// assert_eq!(rounded(-3.2, Side::AtLeast, 0), "-4");
/// assert_eq!(rounded(0.29, Side::AtLeast, 2), "0.29");
/// ```
pub fn rounded(value: f64, side: Side, decimals: u8) -> String {
    let scale = libm::pow(10.0, f64::from(decimals));
    let places = usize::from(decimals);
    let scaled = value * scale;
    // The product may round across a whole number, so the neighbours are tried as well.
    let chosen = match side {
        Side::Nearest => libm::round(scaled) / scale,
        Side::AtLeast => {
            let floor = libm::floor(scaled);
            [floor + 1.0, floor, floor - 1.0]
                .map(|n| n / scale)
                .into_iter()
                .find(|&n| n <= value)
                .unwrap_or(value)
        }
        Side::AtMost => {
            let ceil = libm::ceil(scaled);
            [ceil - 1.0, ceil, ceil + 1.0]
                .map(|n| n / scale)
                .into_iter()
                .find(|&n| n >= value)
                .unwrap_or(value)
        }
    };
    // Adding zero turns a negative zero into zero.
    format!("{:.places$}", chosen + 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_usable_length_in_feet_is_rounded_down_in_feet() {
        // 100 m is 328.08 ft.
        assert_eq!(Units::FEET.length(Metres::m(100.0), Side::AtLeast, 0), "328 ft");
        assert_eq!(Units::FEET.length(Metres::m(100.0), Side::AtMost, 0), "329 ft");
    }

    #[test]
    fn a_value_that_is_already_round_is_left_alone() {
        for side in [Side::AtLeast, Side::AtMost, Side::Nearest] {
            assert_eq!(rounded(300.0, side, 1), "300.0");
            assert_eq!(rounded(-0.0, side, 0), "0");
        }
    }

    #[test]
    fn speeds_and_masses_carry_their_unit() {
        assert_eq!(Units::FEET.speed(KNOT * 45.0, Side::Nearest, 0), "45 kt");
        assert_eq!(Units::FEET.mass(453.592_37, Side::Nearest, 0), "1000 lb");
        assert_eq!(Units::METRIC.mass(600.0, Side::AtMost, 0), "600 kg");
    }

    proptest! {
        #[test]
        fn a_shown_margin_is_never_better_than_the_value(v in -1e5..1e5_f64, d in 0..4_u8) {
            let low: f64 = rounded(v, Side::AtLeast, d).parse().expect("a number");
            let high: f64 = rounded(v, Side::AtMost, d).parse().expect("a number");
            let step = 10_f64.powi(-i32::from(d));
            prop_assert!(low <= v && v <= high);
            prop_assert!(v - low <= step * 1.000_001 && high - v <= step * 1.000_001);
        }
    }
}
