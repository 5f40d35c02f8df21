//! Quantities with their unit in the constructor and the getter.
//!
//! Invariant: only dimensionally right sums exist. A length over a length is a pure number.

use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Defines one quantity: its type, the suffix that `Debug` prints, constructor and getter in SI.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal, $make:ident, $get:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Zero of this quantity.
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("From a value in ", $unit, ".")]
            pub const fn $make(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $get(self) -> f64 {
                self.0
            }

            /// The smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!("{:?} ", $unit), self.0)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
    };
}
pub(crate) use quantity;

quantity!(
    /// A length or a displacement along a named direction.
    ///
    /// # Example: lengths add, their ratio is a number
    /// ```
    /// use measure::Metres;
    /// let run = Metres::m(30.0) + Metres::ft(10.0);
    /// assert!((run.to_m() - 33.048).abs() < 1e-12);
    /// assert!((run / Metres::m(33.048) - 1.0).abs() < 1e-12);
    /// ```
    Metres, "m", m, to_m
);
quantity!(
    /// Height of something above the ground it stands on; never negative in a valid record.
    ///
    /// A height and a depth are different things and do not add:
    /// ```
    /// use measure::Height;
    /// let stack = Height::m(0.2) + Height::m(0.3);
    /// assert_eq!(stack, Height::m(0.5));
    /// ```
    /// ```compile_fail
    /// use measure::{Depth, Height};
    /// let stack = Height::m(0.2) + Depth::m(0.3);
    /// ```
    Height, "m high", m, to_m
);
quantity!(
    /// Depth of something below the ground around it; never negative in a valid record.
    Depth, "m deep", m, to_m
);
quantity!(
    /// Mass.
    Kilograms, "kg", kg, to_kg
);
quantity!(
    /// Force.
    Newtons, "N", n, to_n
);
quantity!(
    /// Area.
    SquareMetres, "m2", m2, to_m2
);
quantity!(
    /// Pressure.
    Pascals, "Pa", pa, to_pa
);
quantity!(
    /// Thermodynamic temperature.
    Kelvins, "K", k, to_k
);
quantity!(
    /// Density of air.
    CubicDensity, "kg/m3", kg_m3, to_kg_m3
);
quantity!(
    /// Rise over run along a stated direction; positive is uphill.
    Slope, "rise/run", ratio, to_ratio
);

impl Metres {
    /// From feet (0.3048 m exactly).
    pub const fn ft(value: f64) -> Self {
        Self(value * 0.3048)
    }

    /// Size without sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

impl Kelvins {
    /// From degrees Celsius.
    pub const fn celsius(value: f64) -> Self {
        Self(value + 273.15)
    }

    /// In degrees Celsius.
    pub const fn to_celsius(self) -> f64 {
        self.0 - 273.15
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_foot_is_exactly_0_3048_m() {
        assert!((Metres::ft(1000.0).to_m() - 304.8).abs() < 1e-12);
    }

    #[test]
    fn debug_text_carries_the_unit() {
        assert_eq!(format!("{:?}", Depth::m(0.25)), "0.25 m deep");
    }

    #[test]
    fn celsius_and_kelvins_differ_by_273_15() {
        assert!((Kelvins::celsius(15.0).to_k() - 288.15).abs() < 1e-12);
        assert!((Kelvins::k(288.15).to_celsius() - 15.0).abs() < 1e-12);
    }
}
