//! A slide from touchdown to its end in constant conditions.
//!
//! Invariants: the closed form decides wherever it holds, the integrator elsewhere, and the answer
//! says which; whether the aircraft comes to rest is decided by the roots of the deceleration, not
//! by waiting; every answer is found in a bounded number of steps.
//!
//! Not here: whether the aircraft, once stopped, stays; ground that changes along the way (use
//! [`mod@crate::integrate`]).

use crate::closed;
use crate::forces::{Conditions, Law};
use crate::integrate::{self, Breaks, SLIDE_LIMIT};
use measure::{GroundSpeed, Metres};

/// How a slide ends.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Outcome {
    /// It stops, this far from touchdown.
    StopsAt(Metres),
    /// It reaches the end of its room at this speed.
    RunsOff {
        /// Speed over the ground there.
        speed: GroundSpeed,
    },
    /// It neither stops nor reaches the end of its room within [`SLIDE_LIMIT`], or the values given
    /// are no physics.
    NeverStops,
}

/// How an outcome was found.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Method {
    /// By the closed form, or by the roots of the deceleration.
    ClosedForm,
    /// Step by step.
    Integrated,
}

/// A slide and how it was computed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Run {
    /// How it ends.
    pub outcome: Outcome,
    /// How that was found.
    pub method: Method,
}

/// The slide that begins at `touchdown` speed and may use `room`, or any length if none is given.
///
/// # Units
/// Lengths are along the slope. A touchdown speed of zero or less stops at 0: there is nothing to slide. A stop exactly at the
/// end of the room is a stop. A room that is not positive is run off at touchdown speed. Values
/// that are not physical ([`Conditions::is_physical`]) and a speed that is not finite never stop.
///
/// # Example: too little room
/// ```
/// use measure::*;
/// use slide::{Outcome, run};
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
/// let Outcome::RunsOff { speed } = run(&conditions, GroundSpeed::mps(20.0), Some(Metres::m(25.0))).outcome
/// else { panic!() };
/// assert!((speed.to_mps() - (400.0_f64 - 2.0 * 3.92266 * 25.0).sqrt()).abs() < 1e-12);
/// ```
pub fn run(conditions: &Conditions, touchdown: GroundSpeed, room: Option<Metres>) -> Run {
    if let Some(outcome) = trivial(conditions, touchdown, room) {
        return Run { outcome, method: Method::ClosedForm };
    }
    let law = conditions.law();
    let rests = closed::comes_to_rest(&law, touchdown.to_mps());
    if !rests && room.is_none() {
        return Run { outcome: Outcome::NeverStops, method: Method::ClosedForm };
    }
    if let Some(outcome) = by_closed_form(conditions, touchdown, room) {
        return Run { outcome, method: Method::ClosedForm };
    }
    let kinks: Vec<GroundSpeed> = law.kinks().map(GroundSpeed::mps).collect();
    let breaks = Breaks { speeds: &kinks, ..Breaks::default() };
    let outcome = match integrate::integrate(along(law), touchdown, room, breaks) {
        // Rounding may carry a speed that only approaches zero across it; that is no stop.
        Outcome::StopsAt(_) if !rests => Outcome::NeverStops,
        found => found,
    };
    Run { outcome, method: Method::Integrated }
}

/// The deceleration of constant conditions, as the integrator asks for it.
fn along(law: Law) -> impl Fn(Metres, GroundSpeed, f64) -> f64 {
    move |_, v, _| law.deceleration(v.to_mps())
}

/// The outcome where there is no slide to compute.
fn trivial(conditions: &Conditions, touchdown: GroundSpeed, room: Option<Metres>) -> Option<Outcome> {
    if !conditions.is_physical() {
        return Some(Outcome::NeverStops);
    }
    integrate::ends_at_once(touchdown, room)
}

/// The outcome where the closed form holds.
fn by_closed_form(conditions: &Conditions, touchdown: GroundSpeed, room: Option<Metres>) -> Option<Outcome> {
    let length = closed::slide_length(conditions, touchdown, GroundSpeed::ZERO)?;
    if room.is_none_or(|room| length <= room) {
        return Some(if length <= SLIDE_LIMIT { Outcome::StopsAt(length) } else { Outcome::NeverStops });
    }
    let room = room.filter(|&room| room <= SLIDE_LIMIT);
    Some(match room.and_then(|room| closed::speed_after(conditions, touchdown, room)) {
        Some(speed) => Outcome::RunsOff { speed },
        None => Outcome::NeverStops,
    })
}
