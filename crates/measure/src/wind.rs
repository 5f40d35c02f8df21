//! Wind and its components along and across a heading.

use crate::quantity::quantity;
use crate::{Headwind, TrueHeading};
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

quantity!(
    /// Component of the wind across the direction of motion; positive comes from the right.
    Crosswind, "m/s from right", mps, to_mps
);

/// A steady wind: where it comes from and how fast.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Wind {
    /// Direction the wind comes from.
    pub from: TrueHeading,
    /// Speed in m/s, not negative.
    pub speed_mps: f64,
}

impl Wind {
    /// No wind at all.
    pub fn calm() -> Self {
        Self { from: TrueHeading::rad(0.0), speed_mps: 0.0 }
    }

    /// Component against motion along `heading`.
    pub fn head_along(self, heading: TrueHeading) -> Headwind {
        Headwind::mps(self.speed_mps * libm::cos(self.from.to_rad() - heading.to_rad()))
    }

    /// Component across motion along `heading`.
    pub fn cross_along(self, heading: TrueHeading) -> Crosswind {
        Crosswind::mps(self.speed_mps * libm::sin(self.from.to_rad() - heading.to_rad()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(heading: f64, from: f64, speed: f64, head: f64, cross: f64) {
        let wind = Wind { from: TrueHeading::deg(from), speed_mps: speed };
        let along = TrueHeading::deg(heading);
        assert!((wind.head_along(along).to_mps() - head).abs() < 1e-5);
        assert!((wind.cross_along(along).to_mps() - cross).abs() < 1e-5);
    }

    #[test]
    fn a_wind_from_ahead_is_head_and_from_the_right_is_positive_cross() {
        check(360.0, 320.0, 20.0, 15.320_89, -12.855_75);
        check(270.0, 300.0, 15.0, 12.990_38, 7.5);
        check(90.0, 230.0, 12.0, -9.192_53, 7.713_45);
    }
}
