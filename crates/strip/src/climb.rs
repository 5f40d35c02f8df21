//! A climb of a record, valid: every value in a range that light aircraft on floats have.
//!
//! Not here: whether it goes with the rest of the aircraft ([`crate::Aircraft::new`]), and the climb of a day
//! ([`slide::Climb`]).

use crate::error::BadRecord;
use crate::fields::{number, positive};
use crate::record::ClimbRecord;
use measure::{CalibratedSpeed, Kilograms, Metres};
use std::ops::RangeInclusive;

/// Rates of climb, m/s (judgement, wide; feet a minute typed as metres a second lie beyond it).
const RATE: RangeInclusive<f64> = 0.1..=15.0;

/// Airspeeds of a climb, m/s (judgement, wide).
const AIRSPEED: RangeInclusive<f64> = 10.0..=80.0;

/// Absolute ceilings, m: low ones are those of small engines; above the highest the standard atmosphere of the equations
/// ends.
const CEILING: RangeInclusive<f64> = 300.0..=11_000.0;

pub(crate) fn climb(record: &ClimbRecord) -> Result<slide::Climb, BadRecord> {
    let ClimbRecord { rate_mps, airspeed_mps, mass_kg, absolute_ceiling_m } = *record;
    Ok(slide::Climb {
        rate_mps: number("climb.rate_mps", rate_mps, RATE, "m/s")?,
        airspeed: CalibratedSpeed::mps(number("climb.airspeed_mps", airspeed_mps, AIRSPEED, "m/s")?),
        mass: Kilograms::kg(positive("climb.mass_kg", mass_kg, 20_000.0, "kg")?),
        absolute_ceiling: Metres::m(number("climb.absolute_ceiling_m", absolute_ceiling_m, CEILING, "m")?),
    })
}
