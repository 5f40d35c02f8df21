//! One surveyed field as it stands in its file.

use super::{DragTestRecord, ObstacleRecord, SeenRecord, is_empty};
use serde::{Deserialize, Serialize};

/// A strip.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StripRecord {
    /// Version of this shape.
    pub schema: u32,
    /// Short mark, unique in a register.
    pub id: String,
    /// Name as people say it.
    pub name: String,
    /// Where the field's frame hangs.
    pub datum: DatumRecord,
    /// What was looked at.
    pub survey: SurveyRecord,
    /// Ground that may be slid on.
    pub outline: OutlineRecord,
    /// Things on the ground.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub hazards: Vec<HazardRecord>,
    /// Cover of the field outside patches; absent if not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover: Option<CoverRecord>,
    /// How strong the ground outside patches is, where it is softest; absent: not tested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strength: Option<StrengthRecord>,
    /// Areas with their own cover and strength.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub patches: Vec<PatchRecord>,
    /// Reduced levels.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub levels: Vec<LevelRecord>,
    /// Lines of levels along which the ground has an edge: ditches, banks, crests.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub breaklines: Vec<BreaklineRecord>,
    /// Things in the air path.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub obstacles: Vec<ObstacleRecord>,
    /// Ways in and out for a trailer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub access: Option<AccessRecord>,
    /// Who said what of the strip, oldest first.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub review: Vec<ReviewRecord>,
    /// Landings made here.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub recoveries: Vec<RecoveryRecord>,
    /// Sledges pulled here.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub drag_tests: Vec<DragTestRecord>,
}

impl StripRecord {
    /// A strip of which only the boundary is known, and nothing was looked at.
    pub fn blank(id: String, name: String, datum: DatumRecord, outline: OutlineRecord) -> Self {
        let not = || SurveyedRecord::NotLooked;
        Self {
            schema: super::SCHEMA,
            id,
            name,
            datum,
            survey: SurveyRecord {
                outline: not(),
                hazards: not(),
                ground: not(),
                levels: not(),
                approaches: not(),
                wires: not(),
                drains: not(),
            },
            outline,
            hazards: Vec::new(),
            cover: None,
            strength: None,
            patches: Vec::new(),
            levels: Vec::new(),
            breaklines: Vec::new(),
            obstacles: Vec::new(),
            access: None,
            review: Vec::new(),
            recoveries: Vec::new(),
            drag_tests: Vec::new(),
        }
    }
}

/// Geographic position of the frame's origin.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DatumRecord {
    /// Degrees, north positive.
    pub lat_deg: f64,
    /// Degrees, east positive.
    pub lon_deg: f64,
    /// Metres above the sea.
    pub height_m: f64,
}

/// What was looked at, kind by kind.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SurveyRecord {
    /// The boundary.
    pub outline: SurveyedRecord,
    /// Rocks, stumps, posts, ruts, holes, mounds.
    pub hazards: SurveyedRecord,
    /// Cover and strength of the ground.
    pub ground: SurveyedRecord,
    /// Heights of the ground.
    pub levels: SurveyedRecord,
    /// Trees, hedges, buildings and rising ground on the way in.
    pub approaches: SurveyedRecord,
    /// Wires on the way in.
    pub wires: SurveyedRecord,
    /// Drains under and across the field.
    pub drains: SurveyedRecord,
}

/// How far one kind of thing was looked at.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum SurveyedRecord {
    /// Nobody looked.
    #[default]
    NotLooked,
    /// Somebody walked and looked.
    Looked {
        /// Date.
        on: String,
        /// Who.
        by: String,
        /// How positions were taken.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        how: Option<How>,
        /// Between walked lines.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spacing_m: Option<f64>,
        /// Height of the grass then.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        grass_m: Option<f64>,
    },
    /// Somebody measured.
    Measured {
        /// Date.
        on: String,
        /// Who.
        by: String,
        /// With what.
        how: How,
    },
}

/// How a position or length was taken.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum How {
    /// A phone's position.
    Phone,
    /// Counted paces.
    Pacing,
    /// A tape.
    Tape,
    /// A tape, and a clinometer for heights.
    Clinometer,
    /// Estimated by eye.
    ByEye,
}

/// The boundary.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OutlineRecord {
    /// Corners in order.
    pub corners: Vec<CornerRecord>,
    /// Kind of the edge from each corner to the next.
    pub edges: Vec<EdgeRecord>,
    /// Ground inside that may not be slid on.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub islands: Vec<RingRecord>,
}

/// An island.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RingRecord {
    /// Corners in order.
    pub corners: Vec<CornerRecord>,
    /// Kind of the edge from each corner to the next.
    pub edges: Vec<EdgeRecord>,
}

/// A corner.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CornerRecord {
    /// Metres east of the datum.
    pub e: f64,
    /// Metres north of the datum.
    pub n: f64,
    /// Standard deviation of each; absent: by the method of the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sigma_m: Option<f64>,
}

/// Kind of an edge, with height or depth in metres.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
pub enum EdgeRecord {
    /// Nothing stands there.
    Open,
    /// Fence, height.
    Fence(f64),
    /// Hedge, height.
    Hedge(f64),
    /// Wall, height.
    Wall(f64),
    /// Ditch, depth.
    Ditch(f64),
    /// Water.
    Water,
    /// Road.
    Road,
}

/// Where something is: metres east and north.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub enum PlaceRecord {
    /// At a point.
    Point(f64, f64),
    /// Along a line.
    Line(Vec<(f64, f64)>),
    /// All over an area.
    Area(Vec<(f64, f64)>),
}

/// A thing on the ground.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HazardRecord {
    /// Mark, unique in the strip.
    pub id: String,
    /// What it is.
    pub kind: HazardKindRecord,
    /// Where.
    pub at: PlaceRecord,
    /// Radius of a point, half-width of a line; more than zero for a point.
    pub radius_m: f64,
    /// Height of what stands; absent: not measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_m: Option<f64>,
    /// Depth of what goes down; absent: not measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_m: Option<f64>,
    /// Standard deviation of each coordinate; absent: by the method of the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pos_sigma_m: Option<f64>,
    /// Standard deviation of the height; absent: by the method of the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_sigma_m: Option<f64>,
    /// Still there or not.
    #[serde(default)]
    pub state: HazardStateRecord,
}

/// What a hazard is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum HazardKindRecord {
    /// A rock.
    Rock,
    /// A tree stump.
    Stump,
    /// A post.
    Post,
    /// A mound.
    Mound,
    /// A rut.
    Rut,
    /// A hole.
    Hole,
    /// A drain.
    Drain,
    /// Marked, not yet looked at closely.
    Unidentified,
}

/// Whether a hazard is still there.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum HazardStateRecord {
    /// There, or not confirmed as gone.
    #[default]
    Present,
    /// Confirmed as gone.
    Removed {
        /// Date.
        on: String,
        /// Who saw it.
        by: String,
    },
}

/// What grows or lies there.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum CoverRecord {
    /// Short grass.
    ShortGrass,
    /// Long grass.
    LongGrass,
    /// Bare firm soil.
    BareSoil,
}

/// An area with its own cover and strength.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PatchRecord {
    /// Mark, unique in the strip.
    pub id: String,
    /// Corners, metres east and north.
    pub area: Vec<(f64, f64)>,
    /// Its cover; absent: as the rest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover: Option<CoverRecord>,
    /// Wet on every day.
    #[serde(default)]
    pub always_wet: bool,
    /// How strong the ground is; absent: not tested.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strength: Option<StrengthRecord>,
}

/// A test of the ground.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum StrengthRecord {
    /// Depth of the mark that a heel leaves, all weight on it; the deepest of several.
    HeelTest {
        /// Millimetres.
        mm: f64,
        /// Who stood there, with all that was carried; absent: 70 kg.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        person_kg: Option<f64>,
    },
    /// Cone index read with a penetrometer.
    Penetrometer {
        /// Kilopascals, three readings or more, each the least with depth.
        kpa: Vec<f64>,
    },
}

/// A reduced level.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelRecord {
    /// Metres east.
    pub e: f64,
    /// Metres north.
    pub n: f64,
    /// Metres above the datum.
    pub z: f64,
    /// Standard deviation of the height.
    pub sigma_m: f64,
}

/// A line of levels along which the ground has an edge.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BreaklineRecord {
    /// Metres east, north, and above the datum, in order along the line.
    pub points: Vec<(f64, f64, f64)>,
    /// Standard deviation of each height.
    pub sigma_m: f64,
}

/// Ways in and out.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AccessRecord {
    /// Gates.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub gates: Vec<GateRecord>,
    /// Ways along which the aircraft is hauled out.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub haul_out: Vec<PlaceRecord>,
}

/// A gate.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GateRecord {
    /// Metres east.
    pub e: f64,
    /// Metres north.
    pub n: f64,
    /// Clear width.
    pub width_m: f64,
}

/// One entry of the strip's review.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReviewRecord {
    /// Date.
    pub on: String,
    /// Who.
    pub by: String,
    /// What they said.
    pub status: ReviewStatus,
    /// Why.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// Standing of a strip.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum ReviewStatus {
    /// Surveyed, not yet approved.
    Surveyed,
    /// Approved by its owner for use.
    Approved,
    /// Something changed; look again.
    NeedsLook,
    /// Not to be used.
    Closed,
}

/// A second walk, on the day.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RewalkRecord {
    /// Date.
    pub on: String,
    /// Who.
    pub by: String,
    /// What was seen, and when.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub seen: Vec<SeenRecord>,
}

/// One landing made on the strip.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecoveryRecord {
    /// Date.
    pub on: String,
    /// Mark of the aircraft's record.
    pub aircraft: String,
    /// Mass at touchdown.
    pub mass_kg: f64,
    /// State of the grass.
    pub grass: super::GrassRecord,
    /// Where the keels first touched: metres east, north.
    pub touchdown: (f64, f64),
    /// Where the slide ended.
    pub stopped: (f64, f64),
    /// What stopped it, if it did not come to rest by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stopped_by: Option<String>,
    /// True airspeed at touchdown; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub touchdown_airspeed_mps: Option<f64>,
    /// Mean wind against the slide, negative from behind; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub headwind_mps: Option<f64>,
}
