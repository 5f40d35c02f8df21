//! A drag test as it stands in a strip's file: a weighted sledge pulled with a spring balance.

use super::{GrassRecord, is_not, is_zero};
use serde::{Deserialize, Serialize};

/// Repeated pulls of one sledge on one ground on one day.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DragTestRecord {
    /// Mark, unique in the strip.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Date.
    pub on: String,
    /// Who.
    pub by: String,
    /// State of the grass.
    pub grass: GrassRecord,
    /// Weight of the loaded sledge; this or the mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight_n: Option<f64>,
    /// Mass of the loaded sledge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight_kg: Option<f64>,
    /// Steady pulls, along the rope.
    pub pulls_n: Vec<f64>,
    /// The rope's angle above the horizontal.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub hitch_deg: f64,
    /// Rise over run along the pull, uphill positive.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub slope: f64,
    /// Whether the sledge pressed on the ground as the keels do.
    #[serde(default, skip_serializing_if = "is_not")]
    pub loaded: bool,
    /// Mark of the patch that it was made on; absent: on the field's own cover.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub patch: Option<String>,
}
