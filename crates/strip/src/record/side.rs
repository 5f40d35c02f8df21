//! The aircraft from the side as it stands in its file.

use super::Ends;
use serde::{Deserialize, Serialize};

/// The aircraft from the side, standing on even ground with the keels flat: distances behind the forward end of the
/// flat keel (ahead of it negative), heights above the keel line.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SideRecord {
    /// Lift coefficient of the whole wing for each degree.
    pub lift_slope_per_deg: Ends,
    /// Angle of the keel line above the zero-lift line over the flap settings that are landed with; usually negative.
    pub keel_above_zero_lift_deg: Ends,
    /// Angle of the keels to the ground below which the bow touches first.
    pub bow_limit_deg: f64,
    /// Angle of the line from the end of the flat keel to the stern post.
    pub sternpost_deg: f64,
    /// Centre of gravity, most forward to most aft.
    pub cg_behind_m: Ends,
    /// Its height.
    pub cg_height_m: Ends,
    /// Height of the thrust line.
    pub thrust_line_height_m: f64,
    /// Where the propeller turns.
    pub propeller_behind_m: f64,
    /// Its lowest tip.
    pub propeller_tip_height_m: f64,
    /// Tip of the floats.
    pub bow_behind_m: f64,
    /// Stern of the floats, or the water rudder where that reaches farther.
    pub stern_behind_m: f64,
    /// From the keel to the deck of a float.
    pub float_depth_m: f64,
    /// Nose-down moment of the air over its dynamic pressure; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nose_down_moment_m3: Option<Ends>,
    /// Area seen from the side; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side_area_m2: Option<f64>,
    /// Centre of that area; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side_area_behind_m: Option<f64>,
    /// Airspeed, calibrated, down to which the rudder surely holds the nose while it slides; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rudder_holds_to_mps: Option<f64>,
    /// Radius of gyration about the upright axis; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub yaw_radius_m: Option<f64>,
}
