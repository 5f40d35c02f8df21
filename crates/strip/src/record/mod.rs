//! Records as they stand in files, schema 1. Plain data; meaning is checked where they are converted.
//!
//! Invariants:
//! - a misspelt field or word is an error, never ignored;
//! - what is absent is unknown, never zero;
//! - the order of fields here is the order in the file.

mod aircraft;
mod day;
mod drag_test;
mod obstacle;
mod rewalk;
mod side;
mod strip;

pub use aircraft::{
    AircraftRecord, ClimbRecord, Ends, GlideRecord, KeelsRecord, LimitsRecord, PartRecord, ScatterRecord,
    StallRecord,
};
pub use day::{
    DayRecord, DirectionRecord, EngineRecord, GrassRecord, PressureRecord, WindRecord, WindWhereRecord,
};
pub use drag_test::DragTestRecord;
pub use obstacle::{ObstacleKindRecord, ObstacleRecord};
pub use rewalk::{SeenRecord, ToSee};
pub use side::SideRecord;
pub use strip::{
    AccessRecord, BreaklineRecord, CornerRecord, CoverRecord, DatumRecord, EdgeRecord, GateRecord,
    HazardKindRecord, HazardRecord, HazardStateRecord, How, LevelRecord, OutlineRecord, PatchRecord,
    PlaceRecord, RecoveryRecord, ReviewRecord, ReviewStatus, RewalkRecord, RingRecord, StrengthRecord,
    StripRecord, SurveyRecord, SurveyedRecord,
};

/// The schema that this version writes and the newest that it reads.
pub const SCHEMA: u32 = 1;

/// For `skip_serializing_if`: an absent list and an empty one are the same.
fn is_empty<T>(list: &[T]) -> bool {
    list.is_empty()
}

/// For `skip_serializing_if`: an absent number is zero.
#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

/// For `skip_serializing_if`: an absent statement is no.
#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
fn is_not(value: &bool) -> bool {
    !value
}

/// For `skip_serializing_if`: absent is the default.
fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}
