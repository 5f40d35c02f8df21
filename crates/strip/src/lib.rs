//! Records, and [`assess()`]: the one place where ground meets slide.
//!
//! Invariants:
//! - a record is checked once, where it becomes a [`Strip`], an [`Aircraft`] or a [`Day`]; what is
//!   inside is valid;
//! - unknown never helps: what was not measured takes its worst plausible value or makes the verdict
//!   *unknown*;
//! - equal inputs give equal digits: no clock, no random number, no order that could change;
//! - the types of `ground` and `slide` carry no serde; the shapes in files are those of [`record`] and
//!   [`Assessment`] alone.
//!
//! Not here: drawing, printing, arguments of a command line.

// What benches share with unit tests calls this crate by its name.
#[cfg(test)]
extern crate self as strip;
#[cfg(test)]
#[path = "../benches/support/mod.rs"]
mod samples;

mod abandoning;
mod aims;
mod air;
mod aircraft;
mod approach;
mod assess;
mod assessed_lane;
mod assessment;
mod astray;
mod balance;
mod bench;
mod breakline;
mod caveat;
mod clearance;
mod climb;
mod closer;
mod code;
mod day;
mod demand;
mod drag_test;
mod drift;
mod drift_room;
mod earlier_slide;
mod error;
mod field;
mod fields;
pub mod file;
mod fingerprint;
mod flown_to;
mod footing;
mod gain;
mod grip;
mod ground_before;
mod hunt;
mod judge;
mod keel_way;
mod landmark;
mod lane_ground;
mod lane_reasons;
mod levels;
mod magnetic;
mod missing;
mod obstacle;
mod occasions;
mod open_lanes;
mod over_ground;
mod part;
mod patch;
pub mod record;
mod recovery;
mod remedy;
mod rewalk;
mod scatter;
mod seen;
mod settings;
mod shown;
mod side;
mod situation;
mod skips;
mod sky;
mod spread;
mod states;
mod stops;
mod strength;
mod survey;
mod tall;
mod terrain;
pub mod text;
mod touchdown;
mod touchdowns;
mod wind;

pub use abandoning::AbandonFigures;
pub use air::AirFigures;
pub use aircraft::{Aircraft, Glide};
pub use assess::{Cancelled, Control, Inputs, MODEL_VERSION, assess, assess_line, assess_preview};
pub use assessed_lane::{AssessedLane, Basis, Gain, GroundOnLane, LaneHazard, LanePatch, Remedy};
pub use assessment::{
    Assessment, CAUTION, Certificate, HeadingLength, Missing, Reason, Sense, Unjudged, Verdict,
};
pub use astray::{DriftFigures, LeastRoom};
pub use balance::BalanceFigures;
pub use breakline::Breakline;
pub use clearance::{ApproachFigures, Clearance, GlideTrade};
pub use code::{Code, Fix, NotJudged, What};
pub use day::{Day, Direction, GivenWind, Pressure};
pub use drag_test::DragTestTaken;
pub use error::{BadRecord, Place};
pub use field::Strip;
pub use flown_to::FlownTo;
pub use hunt::Memory;
pub use landmark::Landmark;
pub use magnetic::MagneticFigures;
pub use obstacle::{Obstacle, Top};
pub use occasions::{
    Along, Assumed, Grid, Gusts, Occasion, Occasions, Question, STRONGEST_ASKED, Told, WindLimit, occasions,
    wind_limits,
};
pub use patch::Patch;
pub use recovery::Recovery;
pub use rewalk::{Rewalk, Unseen, time_of_day};
pub use scatter::Scatter;
pub use settings::{SettingRow, Settings};
pub use side::Side;
pub use sky::SunFigures;
pub use survey::{Looked, Survey, SurveyKind, sigma_of};
pub use touchdown::{AttitudeAt, FlareDrop, TouchdownFigures};
