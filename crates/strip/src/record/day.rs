//! One day as it stands in its file.

use super::{RewalkRecord, is_default};
use serde::{Deserialize, Serialize};

/// A day: wind, air, grass and load.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayRecord {
    /// Version of this shape.
    pub schema: u32,
    /// RFC 3339 with offset.
    pub time: String,
    /// The wind.
    pub wind: WindRecord,
    /// Air temperature, degrees Celsius.
    pub temperature_c: f64,
    /// Air pressure.
    pub pressure: PressureRecord,
    /// Relative humidity, 0 to 1; absent: both ends are looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub humidity: Option<f64>,
    /// State of the grass; absent: every state is looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grass: Option<GrassRecord>,
    /// Mass at touchdown; absent: empty and greatest mass are both looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub landing_mass_kg: Option<f64>,
    /// What the engine does during the slide.
    #[serde(default, skip_serializing_if = "is_default")]
    pub engine: EngineRecord,
    /// The walk on the day, if it was done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rewalk: Option<RewalkRecord>,
}

/// What the engine does during the slide.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub enum EngineRecord {
    /// It idles, and pulls.
    #[default]
    Idling,
    /// It is stopped before touchdown.
    Stopped,
}

/// The wind.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WindRecord {
    /// Where it comes from.
    pub from: DirectionRecord,
    /// Mean speed.
    pub mean_mps: f64,
    /// Gusts, not below the mean.
    pub gust_mps: f64,
    /// Height at which it was measured.
    pub at_height_m: f64,
    /// Where it was measured.
    #[serde(rename = "where")]
    pub measured: WindWhereRecord,
}

/// A direction and the north it is counted from.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
pub enum DirectionRecord {
    /// Degrees from true north.
    True(f64),
    /// Degrees from magnetic north.
    Magnetic(f64),
}

/// Where the wind was measured.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum WindWhereRecord {
    /// On the field itself.
    OnField,
    /// By a station or a forecast.
    Reported,
}

/// Air pressure, pascals.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
pub enum PressureRecord {
    /// Reduced to the sea by the standard atmosphere.
    Qnh(f64),
    /// At the field.
    Station(f64),
}

/// State of the grass or soil.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum GrassRecord {
    /// Dry.
    Dry,
    /// Dew.
    Dew,
    /// Wet.
    Wet,
    /// Frost.
    Frost,
    /// Frozen hard.
    Frozen,
}
