//! One earlier slide on the strip: the friction that it shows, if it can be true.
//!
//! Invariants: one whose speed nobody noted lies between as slow and as fast as it may have been; one too short for
//! any friction only lowers what is believed; a mass or a speed that the aircraft does not land with is a slip.
//!
//! Not here: which slides count on a day ([`crate::seen`]).

use crate::recovery::Recovery;
use crate::{Aircraft, Settings, Strip};
use measure::{Headwind, Interval, Slope};
use slide::{
    BadRecovery, Body, Conditions, PLAUSIBLE, Recovered, StallSpeed, Surface, friction_shown,
    standard_density, touchdown_airspeed,
};
use std::ops::RangeInclusive;

/// Headwind that an earlier slide may have had where nobody noted it, m/s (judgement).
const HEADWIND_NOT_NOTED: f64 = 5.0;

/// Touchdown speeds over stall speed, and masses over the range of the aircraft, that are taken as noted and not as a
/// slip: in knots or pounds they lie outside (judgement).
const SPEEDS_OVER_STALL: RangeInclusive<f64> = 0.85..=1.7;
const MASS_OVER_RANGE: f64 = 1.1;

/// Mass and speed are such as the aircraft lands with.
fn plausible(recovery: &Recovery, strip: &Strip, aircraft: &Aircraft) -> Result<(), String> {
    let (mass, range) = (recovery.mass.to_kg(), aircraft.mass_range);
    let (least, most) = (range.low().to_kg() / MASS_OVER_RANGE, range.high().to_kg() * MASS_OVER_RANGE);
    if !(least..=most).contains(&mass) {
        return Err(format!(
            "found a mass of {mass:.0} kg, expected from {least:.0} to {most:.0} kg for this aircraft"
        ));
    }
    let Some(airspeed) = recovery.airspeed else { return Ok(()) };
    let density = standard_density(strip.datum.height);
    let over_stall = |calibrated, factor| {
        let stall = StallSpeed { calibrated, at_mass: aircraft.reference_mass };
        touchdown_airspeed(&stall, recovery.mass, factor, 0.0, density).to_mps()
    };
    let least = over_stall(aircraft.stall.low(), *SPEEDS_OVER_STALL.start());
    let most = over_stall(aircraft.stall.high(), *SPEEDS_OVER_STALL.end());
    if !(least..=most).contains(&airspeed.to_mps()) {
        let found = airspeed.to_mps();
        return Err(format!(
            "found a touchdown at {found:.1} m/s, expected from {least:.1} to {most:.1} m/s at its mass"
        ));
    }
    Ok(())
}

/// The friction that one earlier slide of the aircraft shows.
///
/// # Errors
/// Why it cannot be true, in words.
pub(crate) fn shown_by(
    recovery: &Recovery,
    strip: &Strip,
    aircraft: &Aircraft,
    slope: Interval<Slope>,
    settings: &Settings,
) -> Result<Recovered, String> {
    plausible(recovery, strip, aircraft)?;
    let density = standard_density(strip.datum.height);
    // At one end all that slows beside friction is great and the speed small: friction was little. At the other
    // end all the other way.
    let end = |little: bool| {
        let pick = |a: f64, b: f64| if little { a } else { b };
        let headwind = recovery.headwind.map_or(pick(HEADWIND_NOT_NOTED, 0.0), Headwind::to_mps);
        let factor = pick(settings.touchdown_factor_low, settings.touchdown_factor_high);
        let calibrated = if little { aircraft.stall.low() } else { aircraft.stall.high() };
        let stall = StallSpeed { calibrated, at_mass: aircraft.reference_mass };
        let by_stall = touchdown_airspeed(&stall, recovery.mass, factor, 0.0, density);
        let airspeed = recovery.airspeed.unwrap_or(by_stall);
        let headwind = Headwind::mps(headwind);
        let body = Body {
            mass: recovery.mass,
            wing_area: aircraft.wing_area,
            lift_coefficient: pick(aircraft.lift_coefficient.low(), aircraft.lift_coefficient.high()),
            drag_coefficient: pick(aircraft.drag_coefficient.high(), aircraft.drag_coefficient.low()),
            idle_thrust: if little { aircraft.idle_thrust.low() } else { aircraft.idle_thrust.high() },
        };
        let slope = if little { slope.high() } else { slope.low() };
        let conditions = Conditions { body, surface: Surface { friction: 0.0, slope }, density, headwind };
        friction_shown(&conditions, airspeed.over_ground(headwind), recovery.length())
    };
    let stopped = recovery.stopped_by.is_some();
    // Too long for any friction at one end of what is known is not left out: it is taken as the least there is.
    let both = match (end(true), end(false)) {
        (Err(BadRecovery::TooLong), Ok(much)) => Ok((*PLAUSIBLE.start(), much)),
        (Ok(little), Err(BadRecovery::TooShort)) => Ok((little, *PLAUSIBLE.end())),
        (little, much) => little.and_then(|little| much.map(|much| (little, much))),
    };
    // One too short for any friction may have been stopped by something, so it raises nothing.
    let stopped = stopped || both.is_ok_and(|(_, much)| much >= *PLAUSIBLE.end());
    both.and_then(|(a, b)| Recovered::between(a, b, stopped)).map_err(|why| why.to_string())
}
