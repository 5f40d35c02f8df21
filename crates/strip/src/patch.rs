//! An area of the field with its own cover and strength, valid.
//!
//! Not here: what lies under a lane, and what its friction is.

use crate::error::BadRecord;
use crate::field::{Context, cover};
use crate::fields::{Marks, place};
use crate::record::{PatchRecord, PlaceRecord};
use crate::strength::tested;
use crate::survey::SurveyKind;
use ground::{Outline, Shape};
use measure::{CIRCLE_95, Depth, Metres};
use slide::Cover;
use slide::soft::strength::Strength;

/// Farthest outside the outline that a patch, or a recovery, may lie and still be taken for one on the field,
/// however badly it is known, metres (judgement: farther is a slip of the pen).
pub(crate) const FARTHEST_ASTRAY: Metres = Metres::m(50.0);

/// An area with its own cover and strength.
#[derive(Clone, PartialEq, Debug)]
pub struct Patch {
    /// Its mark.
    pub id: String,
    /// Where it is.
    pub shape: Shape,
    /// Standard deviation of its corners.
    pub position_sigma: Metres,
    /// Its cover, where it differs from the rest.
    pub cover: Option<Cover>,
    /// Wet on every day.
    pub always_wet: bool,
    /// Depth of a heel's mark, where that was the test.
    pub heel_mark: Option<Depth>,
    /// How strong the ground is, where it was tested.
    pub strength: Option<Strength>,
}

/// From its record.
pub(crate) fn patch(
    path: &str,
    record: &PatchRecord,
    context: &Context,
    marks: &mut Marks,
) -> Result<Patch, BadRecord> {
    let id = marks.unique(&format!("{path}.id"), &record.id)?;
    let path = format!("{path} ({id})");
    let shape = place(&format!("{path}.area"), &PlaceRecord::Area(record.area.clone()))?;
    let middle = shape.label_point();
    let away = libm::hypot(middle.x, middle.y);
    let tested =
        record.strength.as_ref().map(|test| tested(&format!("{path}.strength"), test)).transpose()?;
    Ok(Patch {
        id,
        shape,
        position_sigma: context.sigma(&path, None, SurveyKind::Ground, away)?,
        cover: record.cover.map(cover),
        always_wet: record.always_wet,
        heel_mark: tested.and_then(|t| t.heel_mark),
        strength: tested.map(|t| t.strength),
    })
}

/// A patch, unless it lies wholly outside the outline by more than its own corners could be astray.
pub(crate) fn on_field(index: usize, patch: Patch, outline: &Outline) -> Result<Patch, BadRecord> {
    let astray = (patch.position_sigma * CIRCLE_95).min(FARTHEST_ASTRAY);
    if outline.is_near(&patch.shape, astray) {
        return Ok(patch);
    }
    let path = format!("patches[{}] ({}).area", index + 1, patch.id);
    Err(BadRecord::field(&path, "an area wholly outside the outline", "one that lies on the field"))
}
