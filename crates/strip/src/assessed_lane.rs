//! What is told of one lane: verdict and reasons, lengths and chances, what lies on it, what would help.
//!
//! Plain data in SI, with the unit in the name, exactly as it is written to JSON.

use crate::assessment::{Reason, Verdict};
use crate::astray::DriftFigures;
use crate::balance::BalanceFigures;
use crate::clearance::ApproachFigures;
use crate::code::Fix;
use crate::field::Patch;
use crate::flown_to::FlownTo;
use crate::touchdown::TouchdownFigures;
use measure::{Depth, Interval, Metres};
use serde::Serialize;

/// One lane, judged.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct AssessedLane {
    /// "L1" is the best.
    pub id: String,
    /// Its own verdict.
    pub verdict: Verdict,
    /// Its reasons, the ruling ones first.
    pub reasons: Vec<Reason>,
    /// Direction of the slide.
    pub heading_true_deg: f64,
    /// The same from magnetic north; absent where the date is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heading_magnetic_deg: Option<f64>,
    /// East, north of chainage 0.
    pub near_end: [f64; 2],
    /// East, north of the far end.
    pub far_end: [f64; 2],
    /// From near to far end.
    pub length_m: f64,
    /// What stands at the far end: "open edge", "fence", "rock r3".
    pub far_end_at: String,
    /// First point past the near margin that can be reached over everything that stands before it.
    pub earliest_touchdown_m: f64,
    /// Where the end margin begins.
    pub end_margin_at_m: f64,
    /// From earliest touchdown to the end margin.
    pub usable_slide_m: f64,
    /// Slide length that the latest touchdown leaves for, at the corner that hurts most; absent if it does not
    /// stop there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub demand_m: Option<f64>,
    /// Which share of the slides must be no longer: 0.99 where a hard end rules, 0.95 where an open one does.
    pub demand_share: f64,
    /// Length that half of the slides from the latest touchdown do not exceed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub demand_p50_m: Option<f64>,
    /// Length that 95 in 100 do not exceed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub demand_p95_m: Option<f64>,
    /// Length that 99 in 100 do not exceed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub demand_p99_m: Option<f64>,
    /// Standard error of the sampling in the percentile that the demand rests on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sampling_error_m: Option<f64>,
    /// Slide length at the corner that helps most; absent if it never stops even there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub demand_least_m: Option<f64>,
    /// Aimed point that keeps the whole scatter behind the earliest touchdown.
    pub aim_m: f64,
    /// Last point from which the demand still ends before the end margin, and that nothing in the corridor closes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub latest_touchdown_m: Option<f64>,
    /// Shortest interval that holds 95 % of the touchdowns.
    pub scatter_m: f64,
    /// Touchdown window less scatter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare_m: Option<f64>,
    /// Chance of sliding past the end margin from about the aim, never told as less than 0.001.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub overrun_probability: Option<f64>,
    /// Chainage by which one in twenty of the slides from about the aim has stopped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop_p05_m: Option<f64>,
    /// Chainage by which half of them have.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop_p50_m: Option<f64>,
    /// Chainage by which 95 in 100 have.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop_p95_m: Option<f64>,
    /// Speed over the ground with which a slide as long as the demand, from the aim, would pass the far end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed_at_far_end_mps: Option<f64>,
    /// Chainage at which a fast slide from a touchdown of the window leaves the ground over a crest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub skips_at_m: Option<f64>,
    /// Whether as many slides as the end asks for stay where they stop; absent if not so many stop.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stays: Option<bool>,
    /// Whether it comes to rest at the corner that hurts most.
    pub stops: bool,
    /// Mean headwind along the lane as given, not factored; absent where it is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub headwind_mps: Option<f64>,
    /// Crosswind in gusts, the most within the spread of its direction, positive from the right (as where nobody knows).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crosswind_mps: Option<f64>,
    /// Angle between the lane and the sun at the planned time, 0 to 180; absent without a day and while the sun is down.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sun_off_heading_deg: Option<f64>,
    /// The way in.
    #[serde(flatten)]
    pub approach: ApproachFigures,
    /// How hard the touchdown is, and what touches first.
    #[serde(flatten)]
    pub touchdown: TouchdownFigures,
    /// How far to a side it may drift.
    #[serde(flatten)]
    pub drift: DriftFigures,
    /// Whether it tips over or digs in.
    #[serde(flatten)]
    pub balance: BalanceFigures,
    /// Mean slope along the lane from the levels, uphill positive; absent without levels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slope_mean: Option<f64>,
    /// Whether levels lie so close all along that they show every crest and hollow.
    pub ground_seen: bool,
    /// Deepest ground under the keel between its ends; absent without levels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hollow: Option<KeelFigure>,
    /// Highest ground above the line between its ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crest: Option<KeelFigure>,
    /// Highest rise above the keel's line within its length ahead.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bow_step: Option<KeelFigure>,
    /// Hazards beside and under it.
    pub hazards: Vec<LaneHazard>,
    /// Marks of the hazards that hold it where it is, the nearest to the aircraft's way first.
    pub ruling_hazards: Vec<String>,
    /// What clearing them away would gain, the greatest first; worked out for the best lane only.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub gains: Vec<Gain>,
    /// What would make it long enough where it is not; worked out for the best lane only.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remedies: Vec<Remedy>,
    /// Patches under it.
    pub patches: Vec<LanePatch>,
    /// What the demand was worked out from.
    pub basis: Basis,
    /// The way in and the slide for touchdowns along the window; of a full answer only.
    #[serde(skip)]
    pub flown_to: Vec<FlownTo>,
    /// Speed along a slide as long as the demand: distance from touchdown (m), ground speed (m/s).
    #[serde(skip)]
    pub slide_profile: Vec<(f64, f64)>,
    /// The same of one as likely longer as shorter.
    #[serde(skip)]
    pub likely_profile: Vec<(f64, f64)>,
    /// Chainage by which a share of the slides from about the aim has stopped, rising.
    #[serde(skip)]
    pub stopped_share: Vec<(f64, f64)>,
    /// Chainage and height of the ground above the datum, where measured.
    #[serde(skip)]
    pub ground_profile: Vec<(f64, f64)>,
}

/// A hazard beside or under a lane.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct LaneHazard {
    /// Its mark.
    pub id: String,
    /// Chainage of its middle.
    pub chainage_m: f64,
    /// Offset of its nearest point, positive to the right.
    pub offset_m: f64,
    /// Least height of the aircraft above it, less height, accuracy and margin.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clearance_m: Option<f64>,
    /// Whether the aircraft meets it.
    pub conflict: bool,
}

/// Ground on a lane, between the earliest touchdown and the far end.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct GroundOnLane {
    /// First chainage at which a keel may be on it.
    pub from_m: f64,
    /// Last such chainage.
    pub to_m: f64,
    /// Mark of the patch; absent for the field.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Name of the class that a test told; absent where nobody tested.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strength: Option<&'static str>,
    /// What is left against tipping forward on it; absent where it digs in or something needed is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reserve: Option<f64>,
}

/// A patch under a lane.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct LanePatch {
    /// Its mark.
    pub id: String,
    /// First chainage at which a keel may be on it.
    pub from_m: f64,
    /// Last such chainage.
    pub to_m: f64,
    /// Depth of a heel's mark, where it was tested.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heel_mark_m: Option<f64>,
}

/// What the demand was worked out from: one slide as long as it, at the corner that hurts most.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct Basis {
    /// Friction coefficient.
    pub friction: f64,
    /// Where it comes from.
    pub friction_source: String,
    /// Slope at touchdown, uphill positive.
    pub slope: f64,
    /// Whether levels lie there; else the steepest that is reckoned with is taken.
    pub slope_measured: bool,
    /// Headwind at the wing, negative for a tail wind.
    pub headwind_mps: f64,
    /// Density of the air.
    pub density_kg_m3: f64,
    /// Mass.
    pub mass_kg: f64,
    /// Lift coefficient.
    pub lift_coefficient: f64,
    /// Drag coefficient.
    pub drag_coefficient: f64,
    /// Idle thrust.
    pub idle_thrust_n: f64,
    /// True airspeed at touchdown.
    pub touchdown_airspeed_mps: f64,
    /// Ground speed at touchdown.
    pub touchdown_ground_speed_mps: f64,
    /// Time in which lift falls from the whole weight to that on the keels.
    pub lift_settling_s: f64,
    /// Length after touchdown without friction: a bounce, a crest that nobody saw.
    pub carried_m: f64,
    /// "sampled".
    pub method: &'static str,
}

/// Ground that is not even under the keel: the worst of one kind along a lane.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
#[allow(clippy::struct_field_names, reason = "every figure says its unit")]
pub struct KeelFigure {
    /// How much.
    pub amount_m: f64,
    /// Its standard deviation is not larger.
    pub sigma_m: f64,
    /// Where.
    pub chainage_m: f64,
}

/// What clearing hazards away would gain.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Gain {
    /// Marks of the hazards, one or two.
    pub removed: Vec<String>,
    /// What the best lane would then have more to spare than the best has now.
    pub gain_m: f64,
    /// Whether that lane would be long enough.
    pub makes_it_fit: bool,
}

/// What would make the best lane long enough, by itself.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
pub struct Remedy {
    /// What.
    pub what: Fix,
    /// How much of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Unit: "kg", "m/s", "m".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<&'static str>,
}

impl LanePatch {
    /// A patch, met between two chainages.
    pub(crate) fn new(patch: &Patch, met: Interval<Metres>) -> Self {
        Self {
            id: patch.id.clone(),
            from_m: met.low().to_m(),
            to_m: met.high().to_m(),
            heel_mark_m: patch.heel_mark.map(Depth::to_m),
        }
    }
}
