//! One steady pull of a weighted sledge, and the friction that it shows.
//!
//! With slope angle a, uphill along the pull positive, and the rope at angle b above the horizontal,
//! thus b - a above the slope, nothing gaining speed:
//!
//! ```text
//! along the slope    F cos(b - a) = mu N + W sin a
//! across it          N = W cos a - F sin(b - a)
//! mu = (F cos(b - a) - W sin a) / (W cos a - F sin(b - a))
//! ```
//!
//! on the level F cos b / (W - F sin b).
//!
//! Invariants: a smaller pull never shows a larger coefficient; a coefficient outside
//! [`crate::PLAUSIBLE`] is refused.
//!
//! Not here: repeats, and how sure they are ([`crate::drag_test`]).
//!
//! Source: statics of a body at steady speed with Coulomb friction.

use crate::friction::PLAUSIBLE;
use measure::{Newtons, Slope};
use thiserror::Error;

/// Steepest rope that is taken as measured and not as a slip, radians: 60 degrees either way
/// (judgement; a pull downhill along the slope has a rope below the horizontal).
const STEEPEST_ROPE: f64 = std::f64::consts::FRAC_PI_3;

/// Steepest slope on which a test is taken, rise over run (judgement).
const STEEPEST_SLOPE: f64 = 0.5;

/// One steady pull.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pull {
    /// Along the rope, above 0.
    pub force: Newtons,
    /// Of the loaded sledge, above 0.
    pub weight: Newtons,
    /// The rope's angle above the horizontal, radians; not the angle above the slope.
    pub hitch_rad: f64,
    /// Along the pull, uphill positive.
    pub slope: Slope,
}

/// Why a pull shows no coefficient.
#[derive(Clone, Copy, PartialEq, Debug, Error)]
pub enum BadPull {
    /// No weight.
    #[error("found a weight of {0} N, expected more than 0")]
    Weight(f64),
    /// No force.
    #[error("found a pull of {0} N, expected more than 0")]
    Force(f64),
    /// The rope is too steep.
    #[error("found a rope {0} degrees above the horizontal, expected from -60 to 60")]
    Hitch(f64),
    /// The slope is too steep.
    #[error("found a slope of {0}, expected from -0.5 to 0.5")]
    Slope(f64),
    /// The rope carries the sledge.
    #[error("found a pull of {0} N that lifts the sledge, expected one that drags it")]
    Lifts(f64),
    /// No friction of metal on ground.
    #[error("found a friction of {0:.3}, expected from {low} to {high}", low = PLAUSIBLE.start(), high = PLAUSIBLE.end())]
    Coefficient(f64),
}

impl Pull {
    /// The friction coefficient that it shows.
    ///
    /// # Errors
    /// [`BadPull`] for values that are not numbers or not in range, a sledge that is lifted, and a
    /// coefficient outside [`PLAUSIBLE`].
    ///
    /// # Example: a rope 20 degrees up lifts part of the weight
    /// ```
    /// use measure::{Newtons, Slope};
    /// let (force, weight) = (Newtons::n(443.291), Newtons::n(1000.0));
    /// let pull = slide::Pull { force, weight, hitch_rad: 20_f64.to_radians(), slope: Slope::ZERO };
    /// assert!((pull.coefficient().unwrap() - 0.491).abs() < 1e-6);
    /// ```
    pub fn coefficient(&self) -> Result<f64, BadPull> {
        let Self { force, weight, hitch_rad, slope } = self;
        let (force, weight, slope) = (force.to_n(), weight.to_n(), slope.to_ratio());
        if !(weight > 0.0 && weight.is_finite()) {
            return Err(BadPull::Weight(weight));
        }
        if !(force > 0.0 && force.is_finite()) {
            return Err(BadPull::Force(force));
        }
        // Written so that what is no number is refused.
        if !(-STEEPEST_ROPE..=STEEPEST_ROPE).contains(hitch_rad) {
            return Err(BadPull::Hitch(hitch_rad.to_degrees()));
        }
        if !(-STEEPEST_SLOPE..=STEEPEST_SLOPE).contains(&slope) {
            return Err(BadPull::Slope(slope));
        }
        let cosine = 1.0 / libm::hypot(1.0, slope);
        let above_slope = hitch_rad - libm::atan(slope);
        let load = weight * cosine - force * libm::sin(above_slope);
        if load <= 0.0 {
            return Err(BadPull::Lifts(force));
        }
        let coefficient = (force * libm::cos(above_slope) - weight * slope * cosine) / load;
        if PLAUSIBLE.contains(&coefficient) {
            Ok(coefficient)
        } else {
            Err(BadPull::Coefficient(coefficient))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const WEIGHT: f64 = 250.0;

    fn level(force: f64) -> Pull {
        Pull { force: Newtons::n(force), weight: Newtons::n(WEIGHT), hitch_rad: 0.0, slope: Slope::ZERO }
    }

    #[test]
    fn a_rope_up_a_slope_is_worked_by_hand() {
        // Slope 1 in 2: cosine 2/root 5, sine 1/root 5. Rope along it: mu = (F - W sin a) / (W cos a).
        let root = 5_f64.sqrt();
        let along = Pull { hitch_rad: 0.5_f64.atan(), slope: Slope::ratio(0.5), ..level(200.0) };
        let by_hand = (200.0 - WEIGHT / root) / (WEIGHT * 2.0 / root);
        assert!((along.coefficient().expect("a coefficient") - by_hand).abs() < 1e-15);
        // Rope level on the same slope: F cos a - W sin a over W cos a + F sin a.
        let level_rope = Pull { hitch_rad: 0.0, ..along };
        let by_hand = (200.0 * 2.0 - WEIGHT) / (WEIGHT * 2.0 + 200.0);
        assert!((level_rope.coefficient().expect("a coefficient") - by_hand).abs() < 1e-15);
    }

    proptest! {
        #[test]
        fn turning_the_whole_hill_turns_the_friction_angle(
            force in 40.0..200.0_f64, hitch in -0.4..0.6_f64, slope in -0.3..0.3_f64,
        ) {
            // Another way to the same: the force on the ground leans by atan mu from its upright, which
            // itself leans by a: tan(atan mu + a) = F cos b / (W - F sin b).
            let pull = Pull { hitch_rad: hitch, slope: Slope::ratio(slope), ..level(force) };
            let lean = (force * hitch.cos() / (WEIGHT - force * hitch.sin())).atan() - slope.atan();
            match pull.coefficient() {
                Ok(mu) => prop_assert!((mu - lean.tan()).abs() < 1e-12, "{mu} {}", lean.tan()),
                Err(_) => prop_assert!(!(0.021..1.499).contains(&lean.tan())),
            }
        }
    }
}
