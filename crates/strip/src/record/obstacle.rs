//! A thing in the air path as it stands in its file.

use super::{How, PlaceRecord, is_empty};
use serde::{Deserialize, Serialize};

/// A thing in the air path.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ObstacleRecord {
    /// Mark, unique in the strip.
    pub id: String,
    /// What it is.
    pub kind: ObstacleKindRecord,
    /// Where: a wire as a line through its supports and whatever other points of it were surveyed.
    pub at: PlaceRecord,
    /// Height of its top above the datum; a wire's of the highest of its points.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub top_m: Option<f64>,
    /// Height of its top over its own ground, instead; absent as well: not measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_m: Option<f64>,
    /// Of a wire, instead: height over its own ground at each point of the line. Between two points the higher rules.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub heights_m: Vec<f64>,
    /// Of a wire: how far it was seen to hang below the line between its supports; shown, never counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sag_m: Option<f64>,
    /// Radius of a point, half-width of a line; with the crown.
    pub radius_m: f64,
    /// How place and height were taken; absent: as the approaches were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how: Option<How>,
    /// Standard deviation of each coordinate; absent: by the method.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pos_sigma_m: Option<f64>,
    /// Standard deviation of the height; absent: by the method.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_sigma_m: Option<f64>,
    /// Date of the survey, for growth.
    pub surveyed: String,
}

/// What an obstacle is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum ObstacleKindRecord {
    /// A tree.
    Tree,
    /// A row of trees.
    TreeRow,
    /// A hedge.
    Hedge,
    /// A building.
    Building,
    /// A pole.
    Pole,
    /// A wire.
    Wire,
    /// Rising ground.
    RisingGround,
}

impl ObstacleKindRecord {
    /// Every kind, in the order in which they are offered.
    pub const ALL: [Self; 7] =
        [Self::Tree, Self::TreeRow, Self::Hedge, Self::Building, Self::Pole, Self::Wire, Self::RisingGround];

    /// What it is, in a word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tree => "tree",
            Self::TreeRow => "row of trees",
            Self::Hedge => "hedge",
            Self::Building => "building",
            Self::Pole => "pole",
            Self::Wire => "wire",
            Self::RisingGround => "rising ground",
        }
    }
}
