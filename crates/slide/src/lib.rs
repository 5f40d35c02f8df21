//! Physics along a line: air, touchdown speed, friction of the ground and what is believed of it, the
//! slide to rest, soft ground and tipping.
//!
//! Invariants:
//! - Everything here happens along one straight line: a chainage, a speed along it, a slope along
//!   it. `slide` knows no field, no heading, no aircraft record, no file, no clock.
//! - The same inputs give the same digits everywhere: transcendental functions come from `libm`,
//!   nothing is summed in an order that could change, and every loop is bounded.
//! - What cannot be decided counts as never stopping; a value that is not a number never turns into
//!   a stop.
//!
//! Not here: where the line lies, how its slope was measured, and what a slide of some length means for
//! a verdict.

pub mod air;
pub mod belief;
pub mod closed;
pub mod drag_test;
pub mod forces;
pub mod friction;
pub mod integrate;
pub mod known;
pub mod learning;
pub mod march;
pub mod pull;
pub mod recovered;
pub mod run;
mod slide;
pub mod soft;
pub mod tipping;
pub mod touchdown;
pub mod track;

pub use air::{
    density, pressure_altitude, pressure_from_qnh, standard_density, standard_pressure, standard_temperature,
    wind_ratio,
};
pub use belief::Belief;
pub use drag_test::{BadDragTest, DragTest, Shares, Sledge, Taken};
pub use forces::{Body, Conditions, Surface};
pub use friction::{Cover, FrictionPrior, GroundClass, PLAUSIBLE, Wetness, prior, same_ground};
pub use integrate::{Breaks, SLIDE_LIMIT, integrate, trace};
pub use known::Friction;
pub use learning::{Learned, learned};
pub use pull::{BadPull, Pull};
pub use recovered::{BadRecovery, Recovered, friction_shown};
pub use run::{Method, Outcome, Run, run, speed_profile};
pub use slide::{Slide, Touchdown, Traced};
pub use touchdown::{StallSpeed, touchdown_airspeed};
pub use track::{BadTrack, Station, Track};
