//! How hard a touchdown is: sink into the ground, load factor, and the drop that would be as hard.
//!
//! ```text
//! w = V sin(g + a) / cos g                            V over the ground, g the path, a the slope, uphill positive
//! n = L/W + (w^2 / (2 G d) + (1 - L/W)) / eta         d: give of turf, float and fittings; eta: its efficiency
//! ```
//!
//! Invariants: steeper, faster, onto rising ground, with less give: never a lower load factor; the lift counted never
//! exceeds the weight.
//!
//! Published figures at the end of this module are there to compare with. They were written for other gear than keels
//! on grass and allow nothing.
//!
//! Not here: what load an aircraft bears: its owner says so, and until then nobody knows.
//!
//! Source: work and energy over the give; efficiency 0.5 where force grows in proportion, 1 where it is constant.
//! That a hard touchdown bends floats because nothing gives, and that there is no flare because a flare ends in a
//! drop: common practice, no source.

use measure::{CalibratedSpeed, GroundSpeed, Kilograms, Metres, STANDARD_GRAVITY, Slope, SquareMetres};

/// Lift over weight in a drop that a designer may reckon with (14 CFR 23.473(e), before 2017).
pub const LIFT_IN_A_DROP: f64 = 2.0 / 3.0;

/// What gives way under a touchdown.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Give {
    /// How far, above 0.
    pub depth: Metres,
    /// Mean force over greatest force on the way, above 0 and at most 1.
    pub efficiency: f64,
}

/// Sink into the ground, m/s, on a path `glide_rad` below the horizontal onto ground of a slope, uphill positive;
/// nothing where the ground falls away faster.
///
/// # Example: 2.5 degrees at 20 m/s on level ground
/// ```
/// use measure::{GroundSpeed, Slope};
/// let sink = slide::hardness::sink_mps(GroundSpeed::mps(20.0), 2.5_f64.to_radians(), Slope::ZERO);
/// assert!((sink - 0.873_22).abs() < 1e-5);
/// ```
pub fn sink_mps(speed: GroundSpeed, glide_rad: f64, uphill: Slope) -> f64 {
    let across = libm::sin(glide_rad + libm::atan(uphill.to_ratio())) / libm::cos(glide_rad);
    (speed.to_mps() * across).max(0.0)
}

impl Give {
    /// Load factor of a touchdown with a sink in m/s, lift carrying a share of the weight from 0 to 1.
    pub fn load_factor(&self, sink_mps: f64, lift_share: f64) -> f64 {
        let stopped = sink_mps * sink_mps / (2.0 * STANDARD_GRAVITY * self.depth.to_m());
        lift_share + (stopped + (1.0 - lift_share)) / self.efficiency
    }

    /// What one float has to give when it touches first: half.
    #[must_use]
    pub fn of_one_float(self) -> Self {
        Self { depth: self.depth / 2.0, ..self }
    }
}

/// Height of a free fall that ends with a sink in m/s.
pub fn equivalent_drop(sink_mps: f64) -> Metres {
    Metres::m(sink_mps * sink_mps / (2.0 * STANDARD_GRAVITY))
}

/// Sink with which a drop ends that a flare left too high, m/s: lift carries a share of the weight all the way, nothing
/// in a free fall.
///
/// # Example: 0.3 m
/// ```
/// use measure::Metres;
/// use slide::hardness::{LIFT_IN_A_DROP, sink_of_a_drop_mps};
/// assert!((sink_of_a_drop_mps(Metres::m(0.3), 0.0) - 2.4257).abs() < 1e-4);
/// assert!((sink_of_a_drop_mps(Metres::m(0.3), LIFT_IN_A_DROP) - 1.4005).abs() < 1e-4);
/// ```
pub fn sink_of_a_drop_mps(height: Metres, lift_share: f64) -> f64 {
    libm::sqrt(2.0 * STANDARD_GRAVITY * (1.0 - lift_share) * height.to_m().max(0.0))
}

/// Pounds-force to the square foot in a pascal (exact by the definitions of pound, foot and standard gravity).
const LB_FT2_IN_PA: f64 = 0.453_592_37 * STANDARD_GRAVITY / (0.3048 * 0.3048);

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
const POUND_KG: f64 = 0.453_592_37;

fn wing_loading_lb_ft2(mass: Kilograms, wing: SquareMetres) -> f64 {
    mass.to_kg() * STANDARD_GRAVITY / wing.to_m2() / LB_FT2_IN_PA
}

/// Descent velocity that a designer reckons with, m/s: 4.4 (W/S)^(1/4) ft/s, from 7 to 10 (14 CFR 23.473(d), before
/// 2017). To compare with, not an allowance.
pub fn design_descent_mps(mass: Kilograms, wing: SquareMetres) -> f64 {
    (4.4 * libm::pow(wing_loading_lb_ft2(mass, wing), 0.25)).clamp(7.0, 10.0) * FOOT
}

/// Height of a design drop test: 3.6 (W/S)^(1/2) in, from 9.2 to 18.7 (14 CFR 23.725(a), before 2017). To compare
/// with, not an allowance.
pub fn design_drop(mass: Kilograms, wing: SquareMetres) -> Metres {
    Metres::m((3.6 * libm::sqrt(wing_loading_lb_ft2(mass, wing))).clamp(9.2, 18.7) * INCH)
}

/// Load factor of a step landing on water that a designer reckons with: 0.012 VS0^2 / (tan^(2/3) beta W^(1/3)), VS0 in
/// knots, W in pounds, at least 2.33 (14 CFR 23.527, before 2017; its shape from memory). `deadrise_rad` lies above 0.
/// To compare with, not an allowance.
pub fn water_landing_factor(stall: CalibratedSpeed, deadrise_rad: f64, mass: Kilograms) -> f64 {
    let knots = stall.to_kt();
    let hull = libm::pow(libm::tan(deadrise_rad), 2.0 / 3.0) * libm::cbrt(mass.to_kg() / POUND_KG);
    (0.012 * knots * knots / hull).max(2.33)
}

/// Drag on a skid that a designer reckons with, as a share of the load on it (14 CFR 27.501 and 29.501). To compare
/// with, not an allowance.
pub const SKID_DRAG_SHARE: f64 = 0.5;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const TURF: Give = Give { depth: Metres::m(0.03), efficiency: 0.5 };

    #[test]
    fn load_factors_are_worked_by_hand() {
        // 0.8732^2 / (2 x 9.80665 x 0.03) = 1.29591; over one half 2.59181, and the weight carried by lift.
        assert!((TURF.load_factor(0.873_22, 1.0) - 3.591_81).abs() < 1e-4);
        // On one float twice the first part.
        assert!((TURF.of_one_float().load_factor(0.873_22, 1.0) - 6.183_62).abs() < 1e-4);
        // A drop of 0.3 m with two thirds carried: 2/3 + (1.9613 / 0.588399 + 1/3) / 0.5 = 8.0.
        let drop = sink_of_a_drop_mps(Metres::m(0.3), LIFT_IN_A_DROP);
        assert!((TURF.load_factor(drop, LIFT_IN_A_DROP) - 8.0).abs() < 1e-4);
        assert!((equivalent_drop(2.4257) - Metres::m(0.3)).to_m().abs() < 1e-4);
    }

    #[test]
    fn ground_that_falls_away_softens_and_ground_that_rises_hardens() {
        let sink = |slope| sink_mps(GroundSpeed::mps(20.0), 2.5_f64.to_radians(), Slope::ratio(slope));
        // 5 in 100 either way: 20 sin(2.5 deg +- 2.8624 deg) / cos 2.5 deg.
        assert!((sink(0.05) - 1.870_85).abs() < 1e-4, "{}", sink(0.05));
        assert!(sink(-0.05) == 0.0 && sink(-0.02) < sink(0.0) && sink(0.0) < sink(0.05));
    }

    proptest! {
        #[test]
        fn what_hurts_never_softens(
            v in 10.0..30.0_f64, glide in 0.02..0.08_f64, slope in -0.05..0.05_f64, give in 0.02..0.1_f64,
            eta in 0.4..1.0_f64, by in 0.0..1.0_f64, lift in 0.0..1.0_f64,
        ) {
            let n = |v: f64, glide: f64, slope: f64, depth: f64, efficiency: f64, lift: f64| {
                let sink = sink_mps(GroundSpeed::mps(v), glide, Slope::ratio(slope));
                Give { depth: Metres::m(depth), efficiency }.load_factor(sink, lift)
            };
            let here = n(v, glide, slope, give, eta, lift);
            prop_assert!(n(v + by, glide, slope, give, eta, lift) >= here);
            prop_assert!(n(v, glide + 0.01 * by, slope, give, eta, lift) >= here);
            prop_assert!(n(v, glide, slope + 0.01 * by, give, eta, lift) >= here);
            prop_assert!(n(v, glide, slope, give * (1.0 - 0.5 * by), eta, lift) >= here);
            prop_assert!(n(v, glide, slope, give, eta * (1.0 - 0.5 * by), lift) >= here - 1e-12);
        }
    }
}
