//! One aircraft as it stands in its file.

use super::{SideRecord, is_empty};
use serde::{Deserialize, Serialize};

/// An aircraft on straight floats.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AircraftRecord {
    /// Version of this shape.
    pub schema: u32,
    /// Short mark.
    pub id: String,
    /// Name as people say it.
    pub name: String,
    /// Stall speed in the landing setting at the reference mass.
    pub stall: StallRecord,
    /// Mass that the stall speed belongs to.
    pub reference_mass_kg: f64,
    /// Mass without load.
    pub empty_mass_kg: f64,
    /// Most it may weigh at touchdown.
    pub max_landing_mass_kg: f64,
    /// Wing area.
    pub wing_area_m2: f64,
    /// Wing span.
    pub wing_span_m: f64,
    /// Lift coefficient while sliding on the keels: least and most likely to be true.
    pub lift_coefficient: Ends,
    /// Drag coefficient while sliding on the keels.
    pub drag_coefficient: Ends,
    /// Thrust with the engine idling.
    pub idle_thrust_n: Ends,
    /// The keels.
    pub keels: KeelsRecord,
    /// Underside from ahead, one side, from the centre line outward.
    pub parts: Vec<PartRecord>,
    /// Seen from the side; absent: not known, and with it attitude and tipping.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<SideRecord>,
    /// How it climbs with its floats; absent: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climb: Option<ClimbRecord>,
    /// How far turf, floats and fittings give under a hard touchdown, millimetres; absent: the settings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub give_mm: Option<Ends>,
    /// Limits that the owner has set.
    #[serde(default)]
    pub limits: LimitsRecord,
    /// Path that this pilot holds on the way in, shallowest and steepest; absent: the settings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub glide_deg: Option<GlideRecord>,
    /// This pilot's touchdowns about the aimed point; absent: the default of the settings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scatter: Option<ScatterRecord>,
    /// Where this pilot's keels first touched, metres past the aimed line, short of it negative: several approaches
    /// to a line on water. Instead of `scatter`.
    #[serde(default, skip_serializing_if = "is_empty")]
    pub touchdowns_m: Vec<f64>,
}

/// A path, degrees below the horizon, by what it is held against.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum GlideRecord {
    /// Over the ground, whatever the wind.
    OverGround {
        /// Shallowest.
        low: f64,
        /// Steepest.
        high: f64,
    },
    /// Through the air.
    ThroughAir {
        /// Shallowest.
        low: f64,
        /// Steepest.
        high: f64,
    },
}

/// A stall speed, by what it was read from.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum StallRecord {
    /// Calibrated airspeed.
    Calibrated {
        /// Metres per second.
        mps: f64,
    },
    /// Indicated airspeed.
    Indicated {
        /// Metres per second.
        mps: f64,
        /// Position error: (indicated, calibrated), metres per second, rising.
        #[serde(default, skip_serializing_if = "is_empty")]
        position_error: Vec<(f64, f64)>,
    },
}

/// Ends of an interval.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ends {
    /// Least.
    pub low: f64,
    /// Most.
    pub high: f64,
}

/// The steel keel shoes.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeelsRecord {
    /// Between the two keel lines.
    pub spacing_m: f64,
    /// Width of one shoe.
    pub shoe_width_m: f64,
    /// Beam of one float at the chine.
    pub float_beam_m: f64,
    /// Rise of the float's bottom from keel to chine, degrees.
    pub deadrise_deg: f64,
    /// Length of the flat keel that rests on the ground; absent: not measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_m: Option<f64>,
}

/// One straight part seen from ahead: spreader bar, propeller, strut, wing.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartRecord {
    /// What it is.
    pub name: String,
    /// Inner end, metres from the centre line.
    pub from_m: f64,
    /// Outer end.
    pub to_m: f64,
    /// Height of the underside above the keel line at the inner end.
    pub from_height_m: f64,
    /// Height at the outer end.
    pub to_height_m: f64,
}

/// A climb with floats, measured or out of the handbook, in standard air at the sea.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClimbRecord {
    /// Rate of climb.
    pub rate_mps: f64,
    /// Calibrated airspeed at which it was climbed.
    pub airspeed_mps: f64,
    /// Mass at which it was climbed.
    pub mass_kg: f64,
    /// Density altitude at which nothing is left of the rate.
    pub absolute_ceiling_m: f64,
}

/// Limits that the owner has set; absent: none given.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitsRecord {
    /// Most crosswind, gusts included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crosswind_mps: Option<f64>,
    /// Greatest load factor at touchdown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_factor: Option<f64>,
    /// Who gave them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub given_by: Option<String>,
}

/// The shortest interval about the aim that holds 95 % of the touchdowns.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ScatterRecord {
    /// How far short of the aim.
    pub short_m: f64,
    /// How far past it.
    pub long_m: f64,
}
