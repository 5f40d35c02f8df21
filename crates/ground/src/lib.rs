//! Geometry of one field: frame, outline, hazards, what a lane meets, and where the lanes are.
//!
//! Everything lies in one local frame, metres east and north of the field's datum. `ground` is given
//! a clearance profile (the aircraft from ahead) and a sideways allowance, and answers with chainages,
//! offsets and heights.
//!
//! Invariants:
//! - `ground` reads no file and no clock, draws no random number, and knows no aircraft, no day and
//!   no verdict;
//! - whatever is uncertain is taken at its larger size, and touching counts as meeting.
//!
//! Not here: physics (crate `slide`), records and verdicts (crate `strip`).

mod abeam;
mod check;
mod conflict;
mod edge;
mod extent;
mod frame;
mod half_width;
mod hazard;
mod keel;
mod keel_report;
mod lane;
mod magnetic;
mod obstruction;
mod outline;
mod plane;
mod profile;
mod room;
pub mod sag;
mod search;
mod section;
mod stretch;
mod sun;
mod surface;
mod under;

pub use abeam::Abeam;
pub use check::{HazardOnLane, LaneCheck, check_lane};
pub use conflict::hazards_within;
pub use edge::EdgeKind;
pub use frame::{Datum, Frame};
pub use half_width::{HalfWidth, MOST_STEPS, Step};
pub use hazard::{BadHazard, Hazard, HazardKind, Presence, Relief, Shape};
pub use keel::{Curvature, KeelStation, UnderKeel, keel_path};
pub use keel_report::{KeelReport, Worst, keel_report};
pub use lane::{Centreline, Lane};
pub use magnetic::{MagneticModel, OutsideModel, declination, magnetic_model};
pub use obstruction::{Allowance, Obstruction, Obstructions, Thing};
pub use outline::{BadOutline, Corner, MOST_CORNERS, Outline, Ring, RingProblem};
pub use plane::{BadLevels, Level, Plane, steepest_between};
pub use profile::{BadProfile, ClearanceProfile, Part};
pub use room::{Beside, least_room};
pub use search::{
    Aim, Cover, FINE, Found, Goal, Margins, SECTORS, SectorLength, by_heading, distinct_lanes, found,
    sector_ends, sector_of,
};
pub use stretch::{Stretch, clear_stretches};
pub use sun::{OutsideAlmanac, Sun, sun};
pub use surface::{Breakline, Gradient, Surface};
pub use under::chainages_under;

/// A point in the field's frame: `x` metres east, `y` metres north of the datum.
pub type Point = geo::Coord<f64>;

/// Work was cancelled before it ended.
#[derive(Clone, Copy, PartialEq, Eq, Debug, thiserror::Error)]
#[error("cancelled")]
pub struct Cancelled;
