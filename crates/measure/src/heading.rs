//! Directions on the ground, clockwise from north: true and magnetic are two types.

use std::f64::consts::{PI, TAU};
use std::fmt;

/// Brings an angle into `[0, 2 pi)`.
fn wrap(radians: f64) -> f64 {
    let turned = libm::fmod(radians, TAU);
    let positive = if turned < 0.0 { turned + TAU } else { turned };
    // A tiny negative angle plus a whole turn rounds to the whole turn itself.
    if positive >= TAU { 0.0 } else { positive }
}

/// Defines one kind of heading.
macro_rules! heading {
    ($(#[$doc:meta])* $name:ident, $north:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From degrees clockwise from north; any finite value is brought into one turn.
            pub fn deg(degrees: f64) -> Self {
                Self::rad(degrees.to_radians())
            }

            /// From radians clockwise from north; any finite value is brought into one turn.
            pub fn rad(radians: f64) -> Self {
                Self(wrap(radians))
            }

            /// In degrees, `[0, 360)`.
            pub fn to_deg(self) -> f64 {
                let degrees = self.0.to_degrees();
                if degrees >= 360.0 { 0.0 } else { degrees }
            }

            /// In radians, `[0, 2 pi)`.
            pub const fn to_rad(self) -> f64 {
                self.0
            }

            /// The opposite direction.
            #[must_use]
            pub fn reversed(self) -> Self {
                Self::rad(self.0 + PI)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!("{} deg ", $north), self.to_deg())
            }
        }
    };
}

heading!(
    /// Direction clockwise from true north.
    TrueHeading, "true"
);
heading!(
    /// Direction clockwise from magnetic north.
    ///
    /// True and magnetic headings do not mix; the declination stands between them.
    /// ```
    /// use measure::{Declination, MagneticHeading};
    /// let shown = MagneticHeading::deg(10.0).to_true(Declination::east_deg(3.5));
    /// assert!((shown.to_deg() - 13.5).abs() < 1e-9);
    /// ```
    /// ```compile_fail
    /// use measure::{MagneticHeading, TrueHeading};
    /// let same = TrueHeading::deg(10.0) == MagneticHeading::deg(10.0);
    /// ```
    MagneticHeading, "magnetic"
);

/// Angle from true north to magnetic north, positive when magnetic north lies east.
#[derive(Clone, Copy, PartialEq, PartialOrd, Debug)]
pub struct Declination(f64);

impl Declination {
    /// From degrees, positive east.
    pub fn east_deg(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// In degrees, positive east.
    pub fn to_east_deg(self) -> f64 {
        self.0.to_degrees()
    }
}

impl TrueHeading {
    /// The same direction counted from magnetic north.
    pub fn to_magnetic(self, declination: Declination) -> MagneticHeading {
        MagneticHeading::rad(self.0 - declination.0)
    }

    /// Unit vector along this heading: (east, north).
    pub fn unit(self) -> (f64, f64) {
        (libm::sin(self.0), libm::cos(self.0))
    }

    /// Smallest angle between two headings, radians in `[0, pi]`.
    pub fn angle_to(self, other: Self) -> f64 {
        let apart = wrap(self.0 - other.0);
        apart.min(TAU - apart)
    }
}

impl MagneticHeading {
    /// The same direction counted from true north.
    pub fn to_true(self, declination: Declination) -> TrueHeading {
        TrueHeading::rad(self.0 + declination.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_heading_just_west_of_north_stays_below_360() {
        let north = TrueHeading::rad(-1e-18);
        assert!(north.to_deg() < 360.0 && north.to_rad() < TAU);
    }

    #[test]
    fn east_declination_makes_the_magnetic_heading_smaller() {
        let magnetic = TrueHeading::deg(13.0).to_magnetic(Declination::east_deg(3.4));
        assert!((magnetic.to_deg() - 9.6).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn every_heading_lies_within_one_turn(degrees in -1e6..1e6_f64) {
            let h = TrueHeading::deg(degrees);
            prop_assert!((0.0..360.0).contains(&h.to_deg()) && (0.0..TAU).contains(&h.to_rad()));
        }

        #[test]
        fn true_to_magnetic_and_back_is_the_same_direction(d in 0.0..360.0_f64, v in -180.0..180.0_f64) {
            let v = Declination::east_deg(v);
            let h = TrueHeading::deg(d);
            prop_assert!(h.to_magnetic(v).to_true(v).angle_to(h) < 1e-12);
        }

        #[test]
        fn reversing_turns_by_half_a_turn(d in 0.0..360.0_f64) {
            let h = TrueHeading::deg(d);
            prop_assert!((h.reversed().angle_to(h) - PI).abs() < 1e-12);
        }
    }
}
