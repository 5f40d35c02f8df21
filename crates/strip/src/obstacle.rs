//! Things in the air path, as the ground sees them: whatever stands within reach of a lane blocks it,
//! however high it is. What it means for the way in is not judged here.

use crate::error::BadRecord;
use crate::field::Context;
use crate::fields::{Marks, date, number, place};
use crate::record::{ObstacleKindRecord, ObstacleRecord};
use crate::survey::SurveyKind;
use ground::{Hazard, HazardKind, Presence, Relief};
use measure::Metres;

/// A thing in the air path.
#[derive(Clone, PartialEq, Debug)]
pub struct Obstacle {
    /// What it is, in a word.
    pub name: &'static str,
    /// The same thing as the ground sees it; it meets every part of the aircraft.
    pub on_ground: Hazard,
}

/// From its record.
pub(crate) fn obstacle(
    path: &str,
    record: &ObstacleRecord,
    context: &Context,
    marks: &mut Marks,
) -> Result<Obstacle, BadRecord> {
    let id = marks.unique(&format!("{path}.id"), &record.id)?;
    let path = format!("{path} ({id})");
    let shape = place(&format!("{path}.at"), &record.at)?;
    number(&format!("{path}.top_m"), record.top_m, -1000.0..=1000.0, "m")?;
    let radius = number(&format!("{path}.radius_m"), record.radius_m, 0.0..=1000.0, "m")?;
    let height_sigma = record.height_sigma_m.unwrap_or(0.0);
    number(&format!("{path}.height_sigma_m"), height_sigma, 0.0..=1000.0, "m")?;
    date(&format!("{path}.surveyed"), &record.surveyed)?;
    let middle = shape.label_point();
    let away = libm::hypot(middle.x, middle.y);
    let sigma_path = format!("{path}.pos_sigma_m");
    Ok(Obstacle {
        name: name(record.kind),
        on_ground: Hazard {
            id,
            kind: HazardKind::Unidentified,
            shape,
            radius: Metres::m(radius),
            relief: Relief::NotMeasured,
            position_sigma: context.sigma(&sigma_path, record.pos_sigma_m, SurveyKind::Approaches, away)?,
            height_sigma: Metres::m(height_sigma),
            presence: Presence::Present,
        },
    })
}

fn name(kind: ObstacleKindRecord) -> &'static str {
    match kind {
        ObstacleKindRecord::Tree => "tree",
        ObstacleKindRecord::Hedge => "hedge",
        ObstacleKindRecord::Building => "building",
        ObstacleKindRecord::Pole => "pole",
        ObstacleKindRecord::Wire => "wire",
        ObstacleKindRecord::RisingGround => "rising ground",
    }
}
