//! Rate of climb in the day's air, at the day's mass, in a turn.
//!
//! ```text
//! R0 (1 - h/H)                      R0 at the sea, H the absolute ceiling, h the density altitude
//! R = (R0 (1 - h/H) + s)/q - s q n^2      q mass over the stated one, n load factor, s = u/5 the sink without power
//! ```
//!
//! The second line is a bound. At one airspeed the power is the same, and drag D = Dp + Di (q n)^2: only what comes of
//! lift grows. Nobody gives its share, so all of it is taken to grow, and nobody gives D, so it is taken as that of a
//! glide ratio no aircraft like these falls short of; every rate that such a drag can have is then at least R
//! (property test).
//!
//! Invariants: a lighter aircraft, and air denser than at the sea, are not credited; thinner air, more mass and more
//! load never raise the rate; without power it is a glide and no worse.
//!
//! Not here: an aircraft in another state than the one climbed in (flaps, water in the floats, an engine or a propeller
//! past its best): the rate given is for the state in which the approach is broken off. Moist air takes more from an
//! engine than from a wing, and is counted here by its density alone.
//!
//! Source: rate of climb falling evenly to nothing at the absolute ceiling: Roskam and Lan, equation 9.74, as quoted
//! in a public collection of proofs (the book was not opened), and lecture notes on ceilings of propeller-driven
//! aeroplanes; a straight line is near what piston engines do, not on either side of it. Rate of climb as excess power
//! over weight, induced drag growing with the square of lift: textbook.

use crate::air::density_altitude;
use measure::{AirSpeed, CalibratedSpeed, CubicDensity, Kilograms, Metres};

/// Glide ratio that a light aircraft on floats does not fall short of at its climb airspeed (judgement: 6 to 8, from
/// memory; what is lower makes a rate in a turn or above the stated mass worse).
pub const LEAST_GLIDE_RATIO: f64 = 5.0;

/// A climb as measured or as the handbook gives it, with floats, standard air at the sea.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Climb {
    /// Rate of climb, m/s, positive.
    pub rate_mps: f64,
    /// Airspeed at which it was climbed, positive.
    pub airspeed: CalibratedSpeed,
    /// Mass at which it was climbed, positive.
    pub mass: Kilograms,
    /// Density altitude at which nothing is left of it, positive.
    pub absolute_ceiling: Metres,
}

impl Climb {
    /// True airspeed of the climb in air of this density, which must be positive.
    pub fn true_airspeed(&self, density: CubicDensity) -> AirSpeed {
        self.airspeed.to_true(density)
    }

    /// Rate of climb at least, m/s; negative where it cannot even fly level.
    ///
    /// # Units
    /// `density` and `mass` positive; `load_factor` lift over weight, 1 straight ahead and 1/cos(bank) in a turn.
    ///
    /// # Example: a warm day half way to the ceiling
    /// ```
    /// use measure::{CalibratedSpeed, Kilograms, Metres};
    /// let climb = slide::Climb {
    ///     rate_mps: 2.6,
    ///     airspeed: CalibratedSpeed::mps(27.0),
    ///     mass: Kilograms::kg(560.0),
    ///     absolute_ceiling: Metres::m(3600.0),
    /// };
    /// let air = slide::standard_density(Metres::m(1800.0));
    /// assert!((climb.rate_mps(air, Kilograms::kg(520.0), 1.0) - 1.3).abs() < 1e-9);
    /// ```
    pub fn rate_mps(&self, density: CubicDensity, mass: Kilograms, load_factor: f64) -> f64 {
        let (heavier, load) = ((mass / self.mass).max(1.0), load_factor.max(1.0));
        let left = (1.0 - density_altitude(density) / self.absolute_ceiling).min(1.0);
        let sink = self.true_airspeed(density).to_mps() / LEAST_GLIDE_RATIO;
        // However high, an engine takes no power from the air.
        let powered = (self.rate_mps * left + sink).max(0.0);
        powered / heavier - sink * heavier * load * load
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::standard_density;
    use proptest::prelude::*;

    const CLIMB: Climb = Climb {
        rate_mps: 2.6,
        airspeed: CalibratedSpeed::mps(27.0),
        mass: Kilograms::kg(560.0),
        absolute_ceiling: Metres::m(3600.0),
    };

    fn rate(height: f64, mass: f64, load: f64) -> f64 {
        CLIMB.rate_mps(standard_density(Metres::m(height)), Kilograms::kg(mass), load)
    }

    #[test]
    fn rates_are_worked_by_hand() {
        let near = |got: f64, by_hand: f64| assert!((got - by_hand).abs() < 1e-4, "{got} for {by_hand}");
        near(rate(0.0, 560.0, 1.0), 2.6);
        // 2.6 (1 - 900/3600).
        near(rate(900.0, 560.0, 1.0), 1.95);
        // A twentieth heavier: (2.6 + 5.4)/1.05 - 5.4 x 1.05.
        near(rate(0.0, 588.0, 1.0), 1.949_05);
        // In a bank of 15 degrees: 2.6 - 5.4 (1/cos^2 15 - 1) = 2.6 - 5.4 tan^2 15 = 2.6 - 0.387700.
        near(rate(0.0, 560.0, 1.0 / 15_f64.to_radians().cos()), 2.2123);
    }

    #[test]
    fn nothing_is_credited_for_less_mass_or_air_denser_than_at_the_sea() {
        for (height, mass, load) in [(-300.0, 560.0, 1.0), (0.0, 400.0, 1.0), (0.0, 560.0, 0.9)] {
            assert!((rate(height, mass, load) - 2.6).abs() < 1e-12);
        }
    }

    #[test]
    fn at_the_ceiling_nothing_is_left_and_far_above_it_is_a_glide() {
        assert!(rate(3600.0, 560.0, 1.0).abs() < 1e-9);
        let density = standard_density(Metres::m(11_000.0));
        let low = Climb { absolute_ceiling: Metres::m(500.0), ..CLIMB };
        let glide = -CLIMB.true_airspeed(density).to_mps() / LEAST_GLIDE_RATIO;
        assert!((low.rate_mps(density, CLIMB.mass, 1.0) - glide).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn thinner_heavier_and_more_loaded_never_climbs_better(
            h in -500.0..4500.0_f64, m in 400.0..900.0_f64, n in 1.0..1.3_f64, by in 0.0..1.0_f64,
        ) {
            let here = rate(h, m, n);
            prop_assert!(rate(h + 500.0 * by, m, n) <= here + 1e-12);
            prop_assert!(rate(h, m + 100.0 * by, n) <= here + 1e-12);
            prop_assert!(rate(h, m, n + 0.2 * by) <= here + 1e-12);
        }

        #[test]
        fn no_drag_that_glides_better_than_the_bound_climbs_worse_than_it(
            share in 0.0..1.0_f64, drag in 0.02..0.2_f64, q in 1.0..1.5_f64, n in 1.0..1.5_f64,
            height in 0.0..3500.0_f64,
        ) {
            // Drag over the stated weight, the share of it that comes of lift, and the power that climbs as stated.
            let density = standard_density(Metres::m(height));
            let u = CLIMB.true_airspeed(density).to_mps();
            let stated = 2.6 * (1.0 - height / 3600.0);
            let power = stated + drag * u;
            let grown = drag * (1.0 - share) + drag * share * q * q * n * n;
            let climbs = (power - grown * u) / q;
            prop_assert!(climbs >= CLIMB.rate_mps(density, Kilograms::kg(560.0 * q), n) - 1e-9);
        }
    }
}
