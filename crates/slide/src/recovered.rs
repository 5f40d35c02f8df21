//! One earlier slide and the friction that it shows: that with which it would have been as long as it was.
//!
//! Invariants: a longer slide never shows more friction; what no friction within [`crate::PLAUSIBLE`]
//! explains is refused; a slide that something stopped shows more than there was, and says so.
//!
//! Not here: what several of them teach ([`crate::learning`]); where speed and air are known from.
//!
//! Source: the slide of [`crate::run()`], turned round by halving.

use crate::forces::{Conditions, Surface};
use crate::friction::PLAUSIBLE;
use crate::run::{Outcome, run};
use measure::normal::SCORE_95;
use measure::root::bracketed;
use measure::{GroundSpeed, Metres};
use thiserror::Error;

/// One earlier slide.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Recovered {
    // Invariants: within PLAUSIBLE; finite and not negative.
    coefficient: f64,
    own_spread: f64,
    stopped_by_something: bool,
}

/// Why a recovery teaches nothing.
#[derive(Clone, Copy, PartialEq, Debug, Error)]
pub enum BadRecovery {
    /// Not a length that a slide has.
    #[error("found a slide of {0:.1} m from {1:.1} m/s, expected more than 0 of both")]
    NoSlide(f64, f64),
    /// It slid farther than the most slippery ground that is taken as measured lets it.
    #[error("found a slide too long for any friction, expected one that friction of {low} explains", low = PLAUSIBLE.start())]
    TooLong,
    /// It stopped sooner than the grippiest ground that is taken as measured lets it.
    #[error("found a slide too short for any friction, expected one that friction of {high} explains", high = PLAUSIBLE.end())]
    TooShort,
    /// No friction of metal on ground.
    #[error("found a friction of {0:.3}, expected from {low} to {high}", low = PLAUSIBLE.start(), high = PLAUSIBLE.end())]
    Coefficient(f64),
    /// No spread.
    #[error("found a spread of {0}, expected 0 or more")]
    Spread(f64),
}

impl Recovered {
    /// From the coefficient that it shows and the standard deviation of its logarithm that comes from the
    /// recovery's own inputs.
    ///
    /// # Errors
    /// [`BadRecovery`] for a coefficient outside [`PLAUSIBLE`] or a spread that is none.
    pub fn new(coefficient: f64, own_spread: f64, stopped_by_something: bool) -> Result<Self, BadRecovery> {
        if !PLAUSIBLE.contains(&coefficient) {
            return Err(BadRecovery::Coefficient(coefficient));
        }
        if !(own_spread >= 0.0 && own_spread.is_finite()) {
            return Err(BadRecovery::Spread(own_spread));
        }
        Ok(Self { coefficient, own_spread, stopped_by_something })
    }

    /// From the coefficients at the two ends of its inputs, taken as the 5 % and the 95 % of what it
    /// shows.
    ///
    /// # Errors
    /// [`BadRecovery`] for a coefficient outside [`PLAUSIBLE`].
    ///
    /// # Example: a speed known within a tenth either way
    /// ```
    /// let seen = slide::Recovered::between(0.25, 0.36, false).unwrap();
    /// assert!((seen.coefficient() - 0.3).abs() < 1e-15);
    /// ```
    pub fn between(one_end: f64, other_end: f64, stopped_by_something: bool) -> Result<Self, BadRecovery> {
        for end in [one_end, other_end] {
            if !PLAUSIBLE.contains(&end) {
                return Err(BadRecovery::Coefficient(end));
            }
        }
        let spread = libm::log(one_end / other_end).abs() / (2.0 * SCORE_95);
        Self::new(libm::sqrt(one_end * other_end), spread, stopped_by_something)
    }

    /// The coefficient that it shows.
    pub const fn coefficient(&self) -> f64 {
        self.coefficient
    }

    /// Whether something stopped it before the ground did.
    pub const fn stopped_by_something(&self) -> bool {
        self.stopped_by_something
    }

    /// The same, counted so that it can only lower what is believed: as if something had stopped it.
    #[must_use]
    pub const fn lowering(self) -> Self {
        Self { stopped_by_something: true, ..self }
    }

    /// Standard deviation of the coefficient's logarithm from the recovery's own inputs.
    pub const fn own_spread(&self) -> f64 {
        self.own_spread
    }
}

/// The friction with which a slide that began at `touchdown` is `length` long, all else as in
/// `conditions`, whose own friction is not looked at.
///
/// # Errors
/// [`BadRecovery`] for no slide, or one that no friction within [`PLAUSIBLE`] explains.
///
/// # Example: 30 kt stopped in 60 m without air
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
/// let friction = slide::friction_shown(&conditions, GroundSpeed::mps(15.4333), Metres::m(60.0)).unwrap();
/// assert!((friction - 0.202403).abs() < 1e-6);
/// ```
pub fn friction_shown(
    conditions: &Conditions,
    touchdown: GroundSpeed,
    length: Metres,
) -> Result<f64, BadRecovery> {
    let slid = length.to_m();
    if !(slid > 0.0 && slid.is_finite() && touchdown > GroundSpeed::ZERO) {
        return Err(BadRecovery::NoSlide(slid, touchdown.to_mps()));
    }
    // Metres by which a slide with this friction would be longer; never stopping is longer than any.
    let longer = |friction: f64| {
        let surface = Surface { friction, ..conditions.surface };
        match run(&Conditions { surface, ..*conditions }, touchdown, None).outcome {
            Outcome::StopsAt(end) => end.to_m() - slid,
            Outcome::RunsOff { .. } | Outcome::NeverStops => f64::INFINITY,
        }
    };
    let (low, high) = (*PLAUSIBLE.start(), *PLAUSIBLE.end());
    if longer(low) < 0.0 {
        return Err(BadRecovery::TooLong);
    }
    if longer(high) > 0.0 {
        return Err(BadRecovery::TooShort);
    }
    // Without a slope of its own the bracket is halved, which a jump to infinity does not disturb.
    Ok(bracketed(|friction| (longer(friction), f64::NAN), low, high, false))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forces::Body;
    use measure::{CubicDensity, Headwind, Kilograms, Newtons, Slope, SquareMetres};
    use proptest::prelude::*;

    fn conditions(slope: f64, lift: f64, thrust: f64, headwind: f64) -> Conditions {
        Conditions {
            body: Body {
                mass: Kilograms::kg(600.0),
                wing_area: SquareMetres::m2(14.0),
                lift_coefficient: lift,
                drag_coefficient: 0.1,
                idle_thrust: Newtons::n(thrust),
            },
            surface: Surface { friction: 0.0, slope: Slope::ratio(slope) },
            density: CubicDensity::kg_m3(1.225),
            headwind: Headwind::mps(headwind),
        }
    }

    #[track_caller]
    fn check_refused(found: Result<impl std::fmt::Debug, BadRecovery>, message: &str) {
        assert_eq!(found.expect_err("a bad recovery").to_string(), message);
    }

    #[test]
    fn a_recovery_that_shows_nothing_is_refused_with_what_was_found() {
        let shown = |v, d| friction_shown(&conditions(0.0, 0.0, 0.0, 0.0), GroundSpeed::mps(v), Metres::m(d));
        check_refused(shown(0.0, 50.0), "found a slide of 50.0 m from 0.0 m/s, expected more than 0 of both");
        check_refused(
            shown(20.0, f64::NAN),
            "found a slide of NaN m from 20.0 m/s, expected more than 0 of both",
        );
        check_refused(
            shown(20.0, 2000.0),
            "found a slide too long for any friction, expected one that friction of 0.02 explains",
        );
        check_refused(
            shown(20.0, 5.0),
            "found a slide too short for any friction, expected one that friction of 1.5 explains",
        );
        check_refused(
            Recovered::new(f64::NAN, 0.1, false),
            "found a friction of NaN, expected from 0.02 to 1.5",
        );
        check_refused(Recovered::new(0.3, -0.1, false), "found a spread of -0.1, expected 0 or more");
        check_refused(
            Recovered::between(0.3, 7.0, false),
            "found a friction of 7.000, expected from 0.02 to 1.5",
        );
    }

    proptest! {
        #[test]
        fn the_friction_shown_by_a_slide_gives_that_slide_again(
            friction in 0.05..1.0_f64, slope in -0.03..0.05_f64, lift in 0.0..0.8_f64, thrust in 0.0..150.0_f64,
            headwind in -3.0..8.0_f64, v in 12.0..28.0_f64,
        ) {
            let without = conditions(slope, lift, thrust, headwind);
            let with = Conditions { surface: Surface { friction, ..without.surface }, ..without };
            if let Outcome::StopsAt(length) = run(&with, GroundSpeed::mps(v), None).outcome {
                let shown = friction_shown(&without, GroundSpeed::mps(v), length).expect("a friction");
                prop_assert!((shown / friction - 1.0).abs() < 1e-7, "{} {}", shown, friction);
            }
        }

        #[test]
        fn a_longer_slide_never_shows_more_friction(
            lift in 0.0..0.8_f64, headwind in -3.0..8.0_f64, v in 12.0..28.0_f64, d in 20.0..200.0_f64, more in 0.0..60.0_f64,
        ) {
            let air = conditions(0.0, lift, 50.0, headwind);
            let shown = |d| friction_shown(&air, GroundSpeed::mps(v), Metres::m(d));
            if let (Ok(short), Ok(long)) = (shown(d), shown(d + more)) {
                prop_assert!(long <= short * (1.0 + 1e-9), "{} {}", long, short);
            }
        }
    }
}
