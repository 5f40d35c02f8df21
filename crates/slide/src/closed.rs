//! The slide in closed form, where one exists.
//!
//! In constant conditions the deceleration is A + B u|u| on each side of u = 0, u the airspeed:
//!
//! ```text
//! A = G (mu cos a + sin a) - T/m
//! B = rho S (CD - mu CL)/(2m)   for u > 0,     rho S CD/(2m)   for u < 0
//! d = integral of (u - w)/(A + B u|u|) du   from w to V + w,   w the headwind
//! ```
//!
//! and each side integrates to a logarithm and an arc tangent (or its hyperbolic twin). Without
//! wind it is d = ln(1 + B V^2/A)/(2B).
//!
//! It holds when all of these do; elsewhere there is no answer here rather than a wrong one:
//! - the ground carries throughout: weight across the slope is never below lift;
//! - the deceleration is positive from touchdown speed down to rest;
//! - the touchdown speed is no tiny part of the wind, where logarithm and arc tangent would cancel
//!   down to nothing: about w/V units in the last place are lost, at most 10,000;
//! - all values are finite.
//!
//! Not here: limits of length, rooms, and what to do where the form does not hold.
//!
//! Source: elementary integration. Each expression is written by differences so that it neither
//! divides by B nor by A nor by the root of A B, and none of them needs a case of its own near 0.

use crate::forces::{Conditions, Law};
use measure::root;
use measure::{GroundSpeed, Metres};

/// Below this size of its argument a series of three terms is exact to the last digit.
const SERIES_BELOW: f64 = 1e-5;

/// Smallest share of the wind that a touchdown speed may be (see the module).
const LEAST_SHARE_OF_WIND: f64 = 1e-4;

/// Length of slide in which the speed falls from `from` to `to`, both not negative and `from` not
/// below `to`; nothing where the closed form does not hold (see the module).
///
/// # Example: friction alone, 20 m/s at 0.4
/// ```
/// use measure::*;
/// # let body = slide::Body {
/// #     mass: Kilograms::kg(600.0),
/// #     wing_area: SquareMetres::m2(14.0),
/// #     lift_coefficient: 0.0,
/// #     drag_coefficient: 0.0,
/// #     idle_thrust: Newtons::ZERO,
/// # };
/// # let surface = slide::Surface { friction: 0.4, slope: Slope::ZERO };
/// # let density = CubicDensity::kg_m3(1.225);
/// let conditions = slide::Conditions { body, surface, density, headwind: Headwind::ZERO };
/// let d = slide::closed::slide_length(&conditions, GroundSpeed::mps(20.0), GroundSpeed::ZERO);
/// assert!((d.unwrap().to_m() - 50.985810649).abs() < 1e-9);
/// ```
pub fn slide_length(conditions: &Conditions, from: GroundSpeed, to: GroundSpeed) -> Option<Metres> {
    let in_order = GroundSpeed::ZERO <= to && to <= from;
    if !in_order || !conditions.is_physical() {
        return None;
    }
    let law = conditions.law();
    if !holds(&law, from.to_mps()) {
        return None;
    }
    let length = length(&law, from.to_mps(), to.to_mps());
    // A length below zero can only come of values so small that their squares vanish.
    (length.is_finite() && length >= 0.0).then_some(Metres::m(length))
}

/// Speed left after sliding `room` from `touchdown`; nothing where the closed form does not hold
/// or the slide ends within the room.
pub fn speed_after(conditions: &Conditions, touchdown: GroundSpeed, room: Metres) -> Option<GroundSpeed> {
    let whole = slide_length(conditions, touchdown, GroundSpeed::ZERO)?;
    if !(room >= Metres::ZERO && room < whole) {
        return None;
    }
    let law = conditions.law();
    let v0 = touchdown.to_mps();
    // The length left to slide grows with the speed left: ds/dv = -v/D.
    let short_of_room = |v: f64| (length(&law, v0, v) - room.to_m(), -v / law.deceleration(v));
    Some(GroundSpeed::mps(root::bracketed(short_of_room, 0.0, v0, false)))
}

/// Whether an aircraft that touches down at `v0` comes to rest in these constant conditions:
/// the deceleration has no root from 0 to `v0`.
///
/// Between its kinks the deceleration is monotone in speed, so its ends decide. A root at rest
/// itself is no stop: the speed would only ever approach zero.
pub(crate) fn comes_to_rest(law: &Law, v0: f64) -> bool {
    let kinks = law.kinks().filter(|&v| 0.0 < v && v < v0);
    [0.0, v0].into_iter().chain(kinks).all(|v| law.deceleration(v) > 0.0)
}

/// Whether the closed form holds from `v0` down to rest.
fn holds(law: &Law, v0: f64) -> bool {
    // Lift grows with airspeed, so the fastest moment decides.
    let carried = law.signed_load(law.airspeed(v0)) >= 0.0;
    carried && v0 >= LEAST_SHARE_OF_WIND * law.headwind.abs() && comes_to_rest(law, v0)
}

/// Length of slide from `from` to `to`, each side of still air by itself.
fn length(law: &Law, from: f64, to: f64) -> f64 {
    let a = law.friction * law.weight + law.along;
    let (high, low) = (law.airspeed(from), law.airspeed(to));
    let ahead = Stretch { a, b: law.drag - law.friction * law.lift, low: low.max(0.0), high: high.max(0.0) };
    let behind = Stretch { a, b: -law.drag, low: low.min(0.0), high: high.min(0.0) };
    ahead.length(law.headwind) + behind.length(law.headwind)
}

/// Airspeeds of one sign over which the deceleration is `a + b u^2`, positive throughout.
struct Stretch {
    a: f64,
    b: f64,
    low: f64,
    high: f64,
}

impl Stretch {
    fn deceleration(&self, u: f64) -> f64 {
        self.a + self.b * u * u
    }

    /// Integral of (u - w)/(a + b u^2) over the stretch.
    fn length(&self, headwind: f64) -> f64 {
        self.still_air() - headwind * self.time()
    }

    /// Integral of u/(a + b u^2): ln(D(high)/D(low))/(2b), by the difference of the squares of the
    /// airspeeds over D(low).
    fn still_air(&self) -> f64 {
        let squares = (self.high - self.low) * ((self.high + self.low) / self.deceleration(self.low));
        0.5 * squares * log_over_argument(self.b * squares)
    }

    /// Integral of 1/(a + b u^2): a difference of two arc tangents, by their sum formula. Airspeeds
    /// of one sign keep `a + b high low` positive, so the arc tangent stays on its main branch.
    fn time(&self) -> f64 {
        let x = (self.high - self.low) / (self.a + self.b * self.high * self.low);
        x * arctangent_over_root(self.a * self.b * x * x)
    }
}

/// ln(1 + x)/x, continued through x = 0.
fn log_over_argument(x: f64) -> f64 {
    if x.abs() < SERIES_BELOW { 1.0 - x / 2.0 + x * x / 3.0 } else { libm::log1p(x) / x }
}

/// atan(sqrt z)/sqrt z, continued through z = 0 into atanh(sqrt -z)/sqrt -z.
fn arctangent_over_root(z: f64) -> f64 {
    let root = libm::sqrt(z.abs());
    if z.abs() < SERIES_BELOW {
        1.0 - z / 3.0 + z * z / 5.0
    } else if z > 0.0 {
        libm::atan(root) / root
    } else {
        libm::atanh(root) / root
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn law(a: f64, b: f64, headwind: f64) -> Law {
        // Lift and drag share one coefficient each; friction 1 makes A the weight.
        let (lift, drag) = if b < 0.0 { (-b, 0.0) } else { (0.0, b) };
        Law { friction: 1.0, weight: a, lift, drag, along: 0.0, headwind }
    }

    #[track_caller]
    fn check(a: f64, b: f64, from: f64, headwind: f64, expected: f64) {
        let law = law(a, b, headwind);
        assert!(holds(&law, from - headwind));
        let d = length(&law, from - headwind, 0.0);
        assert!((d - expected).abs() < 1e-9, "{d} for {expected}");
    }

    #[test]
    fn drag_lift_and_wind_match_a_numerical_integration() {
        // SciPy 1.17.1 solve_ivp and quad; the last, with a tail wind, mpmath quad of 40 digits split
        // at still air.
        check(3.92266, 0.002, 20.0, 0.0, 46.400_551_269);
        check(3.92266, -0.002, 20.0, 0.0, 57.021_198_102);
        check(3.92266, 0.002, 20.0, 3.0, 33.179_709_364);
        check(3.92266, 0.002, 20.0, -3.0, 61.915_757_872_7);
    }

    #[test]
    fn without_drag_and_lift_it_is_speed_squared_over_twice_the_deceleration() {
        for b in [0.0, 1e-15, -1e-15, 1e-300] {
            check(4.0, b, 20.0, 0.0, 50.0);
        }
    }

    #[test]
    fn thrust_that_only_the_headwind_holds_still_has_a_closed_form() {
        // A = -0.5, B = 0.02, w = 10: D = -0.5 + 0.02 u^2 is 1.5 at rest. With r = 5:
        // ln(7.5/1.5)/0.04 - 10/(2 x 5 x 0.02) x [ln((u-5)/(u+5))] from 10 to 20
        // = 40.235948 - 50 x (ln(15/25) - ln(5/15)) = 40.235948 - 50 x 0.587786665 = 10.846615.
        let law = Law { friction: 0.0, weight: 9.8, lift: 0.0, drag: 0.02, along: -0.5, headwind: 10.0 };
        assert!(holds(&law, 10.0));
        let d = length(&law, 10.0, 0.0);
        assert!((d - 10.846_614_6).abs() < 1e-6, "{d}");
    }

    #[test]
    fn it_does_not_hold_while_lift_exceeds_weight() {
        assert!(holds(&law(3.0, -0.005, 0.0), 24.0));
        let flying = Law { along: 5.0, ..law(3.0, -0.005, 0.0) };
        assert!(comes_to_rest(&flying, 25.0) && !holds(&flying, 25.0));
    }

    #[test]
    fn a_root_of_the_deceleration_is_never_a_stop() {
        let weak = |along| Law { friction: 0.0, weight: 9.8, lift: 0.0, drag: 0.01, along, headwind: 0.0 };
        assert!(!comes_to_rest(&weak(-1.0), 20.0));
        assert!(!comes_to_rest(&weak(0.0), 20.0));
        assert!(comes_to_rest(&weak(0.001), 20.0));
    }

    proptest! {
        #[test]
        fn the_parts_of_a_slide_add_up(
            a in 0.5..6.0_f64, b in -0.0005..0.01_f64, v in 1.0..30.0_f64, part in 0.0..1.0_f64, w in -12.0..12.0_f64,
        ) {
            let law = law(a, b, w);
            prop_assume!(holds(&law, v));
            let parts = length(&law, v, part * v) + length(&law, part * v, 0.0);
            let whole = length(&law, v, 0.0);
            prop_assert!((parts - whole).abs() < 1e-11 * whole.max(1.0));
        }
    }
}
