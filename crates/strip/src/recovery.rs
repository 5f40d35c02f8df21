//! One landing made on the strip, valid.
//!
//! Not here: what it teaches of the friction ([`mod@slide::learning`]), and whether it was before the day that
//! is judged.

use crate::error::BadRecord;
use crate::fields::{date, number, point, positive, word};
use crate::patch::FARTHEST_ASTRAY;
use crate::record::RecoveryRecord;
use ground::{Outline, Point, Shape};
use jiff::civil::Date;
use measure::{AirSpeed, Headwind, Kilograms, Metres};
use slide::Wetness;

/// One landing made on the strip.
#[derive(Clone, PartialEq, Debug)]
pub struct Recovery {
    /// Date.
    pub on: Date,
    /// Mark of the aircraft's record.
    pub aircraft: String,
    /// Mass at touchdown.
    pub mass: Kilograms,
    /// State of the grass.
    pub wetness: Wetness,
    /// Where the keels first touched.
    pub from: Point,
    /// Where the slide ended.
    pub to: Point,
    /// What stopped it, if it did not come to rest by itself.
    pub stopped_by: Option<String>,
    /// True airspeed at touchdown, where known.
    pub airspeed: Option<AirSpeed>,
    /// Mean wind against the slide, where known.
    pub headwind: Option<Headwind>,
}

impl Recovery {
    /// Length of the slide.
    pub fn length(&self) -> Metres {
        Metres::m(libm::hypot(self.to.x - self.from.x, self.to.y - self.from.y))
    }
}

/// A recovery, unless it began or ended farther outside the outline than a slip of the pen explains.
pub(crate) fn on_field(index: usize, recovery: Recovery, outline: &Outline) -> Result<Recovery, BadRecord> {
    let ends = [("touchdown", recovery.from), ("stopped", recovery.to)];
    let astray = ends
        .into_iter()
        .find(|(_, at)| Shape::disc(*at).is_ok_and(|place| !outline.is_near(&place, FARTHEST_ASTRAY)));
    let Some((name, at)) = astray else { return Ok(recovery) };
    let found = format!("({}, {}), outside the outline", at.x, at.y);
    Err(BadRecord::field(&format!("recoveries[{}].{name}", index + 1), &found, "a place on the field"))
}

/// From its record.
pub(crate) fn recovery(path: &str, record: &RecoveryRecord) -> Result<Recovery, BadRecord> {
    let airspeed = record
        .touchdown_airspeed_mps
        .map(|mps| positive(&format!("{path}.touchdown_airspeed_mps"), mps, 100.0, "m/s"));
    let headwind =
        record.headwind_mps.map(|mps| number(&format!("{path}.headwind_mps"), mps, -60.0..=60.0, "m/s"));
    Ok(Recovery {
        on: date(&format!("{path}.on"), &record.on)?,
        aircraft: word(&format!("{path}.aircraft"), &record.aircraft)?,
        mass: Kilograms::kg(positive(&format!("{path}.mass_kg"), record.mass_kg, 20_000.0, "kg")?),
        wetness: Wetness::from(record.grass),
        from: point(&format!("{path}.touchdown"), record.touchdown)?,
        to: point(&format!("{path}.stopped"), record.stopped)?,
        stopped_by: record.stopped_by.clone(),
        airspeed: airspeed.transpose()?.map(AirSpeed::mps),
        headwind: headwind.transpose()?.map(Headwind::mps),
    })
}
