//! Soft ground: how far a keel sinks into it, and how much it holds the keel back.
//!
//! For a keel plate of width b under pressure p:
//!
//! ```text
//! p = (kc/b + kphi) z^n                   sinkage z
//! R = b (kc/b + kphi) z^(n+1)/(n+1)       compaction resistance of one keel
//! ```
//!
//! Invariants: resistance is never credited to the length of a slide, where it would help; for tipping
//! it counts [`UPPER_BOUND`] times over, and [`SUDDEN`] times more where the ground changes suddenly; a
//! sinkage outside the range in which the law was fitted is given and says so.
//!
//! Not here: which ground is how soft ([`strength`]); how the load lies along the keel
//! ([`mod@crate::tipping`]).
//!
//! Source: Bekker's law of pressure and sinkage, and the work of pressing a rut of that depth, as in
//! Wong, Theory of Ground Vehicles (the shape from memory).

pub mod strength;

use measure::{Depth, Metres, Newtons, Pascals};
use std::ops::RangeInclusive;

/// How many times over compaction resistance counts for tipping: earth pushed ahead of the keel, and speed,
/// are not in the law, and no value is published (judgement).
pub const UPPER_BOUND: f64 = 3.0;

/// How many times more it counts where soft ground turns hard or hard ground soft (judgement: a load put on at once
/// deflects a spring twice as far as the same load at rest).
pub const SUDDEN: f64 = 2.0;

/// Plate widths of the pressing tests that the law is fitted to, m (judgement: keel plates included).
pub const FITTED_WIDTH: RangeInclusive<f64> = 0.02..=0.30;

/// Pressures of these tests, Pa (judgement).
pub const FITTED_PRESSURE: RangeInclusive<f64> = 1_000.0..=200_000.0;

/// Sinkages of these tests, m (judgement: less is roughness, more is no longer one layer of soil).
pub const FITTED_SINKAGE: RangeInclusive<f64> = 0.001..=0.30;

/// Pascals in a kilopascal.
const KILO: f64 = 1000.0;

/// The soil of one place, by the constants of Bekker's law.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Soil {
    /// n, without unit, positive.
    exponent: f64,
    /// kc, N/m^(n+1), not negative.
    cohesive: f64,
    /// kphi, N/m^(n+2), not negative; the two are not both zero.
    frictional: f64,
}

/// Keel plates that lie flat on the ground, all alike.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Keels {
    /// How many carry; two floats have two.
    pub count: u8,
    /// Width of one, positive.
    pub width: Metres,
    /// Length of its flat part, positive.
    pub length: Metres,
}

/// Which range of the pressing tests is left; the first that applies, in this order.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Outside {
    /// [`FITTED_WIDTH`].
    Width,
    /// [`FITTED_PRESSURE`].
    Pressure,
    /// [`FITTED_SINKAGE`].
    Sinkage,
}

/// What a keel does to the ground under a pressure.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Rut {
    /// How deep it presses.
    pub depth: Depth,
    /// Compaction resistance of one keel, without any factor.
    pub resistance: Newtons,
    /// `None` where the law was fitted.
    pub outside: Option<Outside>,
}

/// How the ground came to be under the keel.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Change {
    /// It has been like that for a while.
    Steady,
    /// Soft has just turned hard or hard soft.
    Sudden,
}

/// Ploughing as each question has to count it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Ploughing {
    /// For the length of a slide: nothing, as it would help.
    pub for_length: Newtons,
    /// For tipping forward: an upper bound.
    pub for_tipping: Newtons,
}

impl Soil {
    /// From a row as tables print it: n, kc in kN/m^(n+1), kphi in kN/m^(n+2).
    pub const fn bekker(exponent: f64, cohesive_kn: f64, frictional_kn: f64) -> Self {
        Self { exponent, cohesive: cohesive_kn * KILO, frictional: frictional_kn * KILO }
    }

    /// Whether the constants and a width are in their range; where not, every sinkage is not a number.
    fn is_physical(&self, width: Metres) -> bool {
        let Self { exponent, cohesive, frictional } = *self;
        let finite = [exponent, cohesive, frictional, width.to_m()].iter().all(|x| x.is_finite());
        let modulus = cohesive + frictional;
        finite
            && exponent > 0.0
            && cohesive >= 0.0
            && frictional >= 0.0
            && modulus > 0.0
            && width.to_m() > 0.0
    }

    /// kc/b + kphi, N/m^(n+2).
    fn modulus(&self, width: Metres) -> f64 {
        self.cohesive / width.to_m() + self.frictional
    }

    /// Sinkage of a strip of this width under this pressure; none under none.
    ///
    /// Not a number where width or soil are not physical.
    ///
    /// # Example: 50 kPa under a keel of 5 cm on a sandy loam
    /// ```
    /// use measure::{Metres, Pascals};
    /// let loam = slide::soft::Soil::bekker(0.7, 5.27, 1515.04);
    /// let z = loam.sinkage(Metres::m(0.05), Pascals::pa(50_000.0));
    /// assert!((z.to_m() - 0.006_949).abs() < 5e-7);
    /// ```
    pub fn sinkage(&self, width: Metres, pressure: Pascals) -> Depth {
        if !self.is_physical(width) || pressure.to_pa().is_nan() {
            return Depth::m(f64::NAN);
        }
        let ratio = pressure.to_pa().max(0.0) / self.modulus(width);
        Depth::m(libm::pow(ratio, 1.0 / self.exponent))
    }

    /// Compaction resistance of one keel of this width at this sinkage, without any factor.
    ///
    /// # References
    /// The work of pressing the rut, per length of it: b times the integral of p over z.
    pub fn resistance(&self, width: Metres, sinkage: Depth) -> Newtons {
        let power = self.exponent + 1.0;
        Newtons::n(width.to_m() * self.modulus(width) * libm::pow(sinkage.to_m(), power) / power)
    }

    /// Sinkage and resistance together, with what is known of their worth.
    ///
    /// # Example: a stiff clay under a keel is no case for this law
    /// ```
    /// use measure::{Metres, Pascals};
    /// use slide::soft::{Outside, Soil};
    /// let rut = Soil::bekker(0.13, 12.70, 1555.95).rut(Metres::m(0.05), Pascals::pa(50_000.0));
    /// assert!(rut.depth.to_m() < 1e-9);
    /// assert_eq!(rut.outside, Some(Outside::Sinkage));
    /// ```
    pub fn rut(&self, width: Metres, pressure: Pascals) -> Rut {
        let depth = self.sinkage(width, pressure);
        let outside = if !FITTED_WIDTH.contains(&width.to_m()) {
            Some(Outside::Width)
        } else if !FITTED_PRESSURE.contains(&pressure.to_pa()) {
            Some(Outside::Pressure)
        } else if !FITTED_SINKAGE.contains(&depth.to_m()) {
            Some(Outside::Sinkage)
        } else {
            None
        };
        Rut { depth, resistance: self.resistance(width, depth), outside }
    }

    /// Ploughing of keels that all press with this pressure.
    pub fn ploughing(&self, keels: &Keels, pressure: Pascals, change: Change) -> Ploughing {
        let one = self.rut(keels.width, pressure).resistance;
        let factor = match change {
            Change::Steady => UPPER_BOUND,
            Change::Sudden => UPPER_BOUND * SUDDEN,
        };
        Ploughing { for_length: Newtons::ZERO, for_tipping: one * f64::from(keels.count) * factor }
    }
}

impl Keels {
    /// Pressure when a load lies evenly on all of them.
    pub fn even_pressure(&self, load: Newtons) -> Pascals {
        Pascals::pa(load.to_n() / (f64::from(self.count) * self.width.to_m() * self.length.to_m()))
    }

    /// Whether there is a keel and its measures are positive numbers.
    pub fn is_physical(&self) -> bool {
        let Self { count, width, length } = *self;
        count > 0 && [width, length].iter().all(|x| x.to_m() > 0.0 && x.to_m().is_finite())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LOAM: Soil = Soil::bekker(1.10, 74.6, 2080.0);
    const WIDTH: Metres = Metres::m(0.05);

    #[test]
    fn ploughing_counts_nothing_for_length_and_many_times_for_tipping() {
        // Reference row, upland sandy loam, 50 kPa: 24.565 N a keel; 2 keels x 3 = 147.39 N; sudden 294.78 N.
        let keels = Keels { count: 2, width: WIDTH, length: Metres::m(2.0) };
        let of = |change| LOAM.ploughing(&keels, Pascals::pa(50_000.0), change);
        assert_eq!(of(Change::Steady).for_length, Newtons::ZERO);
        assert_eq!(of(Change::Sudden).for_length, Newtons::ZERO);
        assert!((of(Change::Steady).for_tipping.to_n() - 147.39).abs() < 4e-3);
        assert!((of(Change::Sudden).for_tipping.to_n() - 294.78).abs() < 7e-3);
    }

    #[test]
    fn a_load_lies_evenly_on_two_keels() {
        // 600 kg on two plates of 0.05 x 2.0 m: 29,420 Pa (plain arithmetic).
        let keels = Keels { count: 2, width: WIDTH, length: Metres::m(2.0) };
        assert!((keels.even_pressure(Newtons::n(5883.99)).to_pa() - 29_419.95).abs() < 1e-6);
    }

    #[test]
    fn each_range_that_is_left_is_named() {
        let outside = |width, pressure| LOAM.rut(Metres::m(width), Pascals::pa(pressure)).outside;
        assert_eq!(outside(0.05, 50_000.0), None);
        assert_eq!(outside(0.01, 50_000.0), Some(Outside::Width));
        assert_eq!(outside(0.05, 300_000.0), Some(Outside::Pressure));
        assert_eq!(outside(0.05, 1_500.0), Some(Outside::Sinkage));
        assert_eq!(outside(f64::NAN, 50_000.0), Some(Outside::Width));
    }

    #[test]
    fn what_is_not_physical_has_no_sinkage() {
        let depth = |soil: Soil, width, p| soil.sinkage(Metres::m(width), Pascals::pa(p)).to_m();
        assert!(depth(LOAM, 0.0, 1.0).is_nan() && depth(LOAM, 0.1, f64::NAN).is_nan());
        assert!(depth(Soil::bekker(0.0, 1.0, 1.0), 0.1, 1.0).is_nan());
        assert!(depth(Soil::bekker(1.0, 0.0, 0.0), 0.1, 1.0).is_nan());
        assert!(depth(LOAM, 0.1, -5.0).abs() < f64::MIN_POSITIVE);
    }

    #[test]
    fn ploughing_takes_a_larger_share_of_a_heavier_load() {
        // R goes with p^((n+1)/n), so R/W with W^(1/n): 2^(1/1.1) = 1.87786 for twice the weight.
        let share = |load: f64| {
            let z = LOAM.sinkage(WIDTH, Pascals::pa(load / 0.1));
            LOAM.resistance(WIDTH, z).to_n() / load
        };
        assert!((share(5000.0) - 0.004_913).abs() < 5e-7);
        assert!((share(10_000.0) / share(5000.0) - 1.877_86).abs() < 1e-5);
    }

    fn soils() -> impl Strategy<Value = Soil> {
        (0.3..1.6_f64, 0.0..100.0_f64, 50.0..6000.0_f64).prop_map(|(n, c, f)| Soil::bekker(n, c, f))
    }

    proptest! {
        #[test]
        fn resistance_is_the_work_of_pressing_the_rut(soil in soils(), b in 0.03..0.3_f64, p in 2e3..2e5_f64) {
            // Simpson's rule over pressure, in z = depth t^4, which is smooth at the surface for these exponents.
            let width = Metres::m(b);
            let depth = soil.sinkage(width, Pascals::pa(p));
            let steps = 2000_u32;
            let pressed = |i: u32| {
                let t = f64::from(i) / f64::from(steps);
                let z = depth.to_m() * t.powi(4);
                soil.modulus(width) * z.powf(soil.exponent) * depth.to_m() * 4.0 * t.powi(3)
            };
            let sum: f64 = (0..steps / 2)
                .map(|k| pressed(2 * k) + 4.0 * pressed(2 * k + 1) + pressed(2 * k + 2))
                .sum();
            let work = b * sum / (3.0 * f64::from(steps));
            prop_assert!((soil.resistance(width, depth).to_n() / work - 1.0).abs() < 1e-6);
        }

        #[test]
        fn more_pressure_sinks_deeper_and_holds_more(soil in soils(), b in 0.03..0.3_f64, p in 2e3..2e5_f64, more in 1.01..3.0_f64) {
            let [a, c] = [p, p * more].map(|p| soil.rut(Metres::m(b), Pascals::pa(p)));
            prop_assert!(c.depth > a.depth && c.resistance > a.resistance);
        }
    }
}
