//! The sun over the field at the planned time: how low it stands, and how far it lies off a lane's heading.
//!
//! Invariants: the sun is taken without refraction, so no lower than it hurts; hills and trees before it are not
//! credited; below the horizon nobody is taken to see the field.
//!
//! Not here: where the sun stands (crate `ground`).

use crate::assessment::{Reason, Sense, Verdict};
use crate::code::Code;
use crate::{Inputs, Settings};
use ground::Sun;
use measure::TrueHeading;
use serde::Serialize;

/// Elevation of the sun at which civil twilight ends, degrees (the usual definition, from memory).
const CIVIL_TWILIGHT_DEG: f64 = -6.0;

/// Where the sun stands at the planned time.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
#[allow(clippy::struct_field_names, reason = "every figure says its unit")]
pub struct SunFigures {
    /// Direction in which it stands.
    pub azimuth_true_deg: f64,
    /// Its height above the level horizon, without refraction; negative below it.
    pub elevation_deg: f64,
}

impl From<Sun> for SunFigures {
    fn from(sun: Sun) -> Self {
        Self { azimuth_true_deg: sun.azimuth.to_deg(), elevation_deg: sun.elevation_rad.to_degrees() }
    }
}

/// The sun of the day; `None` without one, and in a year of which nobody knows how the earth turns: such a day comes
/// long after any survey, which says enough.
pub(crate) fn sun_of(inputs: &Inputs) -> Option<Sun> {
    ground::sun(&inputs.strip.datum, inputs.day.as_ref()?.moment.as_second()).ok()
}

/// Why nobody sees the field at the planned time, if so.
pub(crate) fn dark(inputs: &Inputs) -> Option<Reason> {
    let elevation = sun_of(inputs)?.elevation_rad.to_degrees();
    let when = if elevation < CIVIL_TWILIGHT_DEG { "past civil twilight" } else { "in civil twilight" };
    let text = || format!("{}: {when}", Code::Dark.help());
    (elevation < 0.0).then(|| Reason::plain(Code::Dark, Verdict::Unknown, text()))
}

/// Angle between a heading and the sun, degrees from 0 to 180; `None` while it is down.
pub(crate) fn off_heading_deg(sun: Option<Sun>, heading: TrueHeading) -> Option<f64> {
    let sun = sun.filter(|sun| sun.elevation_rad >= 0.0)?;
    Some(sun.azimuth.angle_to(heading).to_degrees())
}

/// A sun so low and so near ahead that it blinds.
pub(crate) fn low_ahead(sun: Option<Sun>, heading: TrueHeading, settings: &Settings) -> Option<Reason> {
    let off = off_heading_deg(sun, heading)?;
    let low = sun?.elevation_rad.to_degrees() < settings.low_sun_elevation_deg;
    let within = settings.low_sun_off_heading_deg;
    let held = (off, Sense::NotBelow, within);
    (low && off <= within).then(|| Reason::held(Code::LowSun, Verdict::Tight, held, "deg"))
}
