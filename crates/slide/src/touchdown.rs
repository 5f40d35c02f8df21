//! Airspeed at touchdown, from the stall speed of the manual and the pilot's margin over it.
//!
//! Invariant: speeds are calibrated until the last step; only true airspeed leaves.
//!
//! Not here: which factor and which gust to take (settings and the day), and position error.
//!
//! Source: lift equals weight at the stall, so the calibrated stall speed grows with the square
//! root of mass; true airspeed is calibrated airspeed over the square root of the density ratio.

use measure::{AirSpeed, CalibratedSpeed, CubicDensity, Kilograms};

/// Share of the gust increment carried as extra speed (common practice).
const GUST_SHARE: f64 = 0.5;

/// Stall speed in the landing configuration, as stated for one mass.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct StallSpeed {
    /// Calibrated stall speed, positive.
    pub calibrated: CalibratedSpeed,
    /// Mass it is stated for, positive.
    pub at_mass: Kilograms,
}

impl StallSpeed {
    /// Calibrated stall speed at another mass, which must not be negative.
    ///
    /// # Example: lighter stalls slower
    /// ```
    /// use measure::{CalibratedSpeed, Kilograms};
    /// let stall = slide::StallSpeed { calibrated: CalibratedSpeed::kt(40.0), at_mass: Kilograms::kg(600.0) };
    /// assert!((stall.at(Kilograms::kg(550.0)).to_kt() - 38.297_08).abs() < 1e-5);
    /// ```
    pub fn at(&self, mass: Kilograms) -> CalibratedSpeed {
        self.calibrated * libm::sqrt(mass / self.at_mass)
    }
}

/// True airspeed at touchdown: the stall speed at this mass times the pilot's factor, and half the
/// gust increment on top, in air of this density.
///
/// # Units
/// `factor` is a pure number, at least 1; `gust_increment_mps` is gust less mean wind, m/s, not
/// negative; `density` is positive.
pub fn touchdown_airspeed(
    stall: &StallSpeed,
    mass: Kilograms,
    factor: f64,
    gust_increment_mps: f64,
    density: CubicDensity,
) -> AirSpeed {
    let calibrated = stall.at(mass) * factor + CalibratedSpeed::mps(gust_increment_mps * GUST_SHARE);
    calibrated.to_true(density)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const STALL: StallSpeed =
        StallSpeed { calibrated: CalibratedSpeed::mps(18.0), at_mass: Kilograms::kg(600.0) };

    #[test]
    fn half_the_gust_increment_is_added_before_the_air_thins() {
        // 18 x 1.2 + 4/2 = 23.6 m/s calibrated; at a density ratio of 0.81 that is 23.6/0.9 true.
        let thin = CubicDensity::kg_m3(1.225 * 0.81);
        let v = touchdown_airspeed(&STALL, Kilograms::kg(600.0), 1.2, 4.0, thin);
        assert!((v.to_mps() - 23.6 / 0.9).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn heavier_gustier_and_thinner_is_faster(
            m in 300.0..1500.0_f64, k in 1.0..1.4_f64, gust in 0.0..8.0_f64, rho in 0.8..1.3_f64,
        ) {
            let at = |m, k, gust, rho| {
                touchdown_airspeed(&STALL, Kilograms::kg(m), k, gust, CubicDensity::kg_m3(rho))
            };
            let here = at(m, k, gust, rho);
            prop_assert!(at(m + 5.0, k, gust, rho) > here);
            prop_assert!(at(m, k + 0.01, gust, rho) > here);
            prop_assert!(at(m, k, gust + 0.1, rho) > here);
            prop_assert!(at(m, k, gust, rho - 0.01) > here);
        }
    }
}
