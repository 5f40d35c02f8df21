//! Physics along a line: air, touchdown speed, friction of the ground, and the slide to rest.
//!
//! Invariants:
//! - Everything here happens along one straight line: a chainage, a speed along it, a slope along
//!   it. `slide` knows no field, no heading, no aircraft record, no file, no clock.
//! - The same inputs give the same digits everywhere: transcendental functions come from `libm`,
//!   nothing is summed in an order that could change, and every loop is bounded.
//! - What cannot be decided counts as never stopping; a value that is not a number never turns into
//!   a stop.
//!
//! Not here: where the line lies, how its friction and slope were measured, how sure they are, and
//! what a slide of some length means for a verdict.

pub mod air;
pub mod closed;
pub mod forces;
pub mod friction;
pub mod integrate;
pub mod march;
mod root;
pub mod run;
mod slide;
pub mod touchdown;
pub mod track;

pub use air::{
    density, pressure_altitude, pressure_from_qnh, standard_density, standard_pressure, standard_temperature,
    wind_ratio,
};
pub use forces::{Body, Conditions, Surface};
pub use friction::{Cover, FrictionPrior, Wetness, prior};
pub use integrate::{Breaks, SLIDE_LIMIT, integrate, trace};
pub use run::{Method, Outcome, Run, run, speed_profile};
pub use slide::{Slide, Touchdown, Traced};
pub use touchdown::{StallSpeed, touchdown_airspeed};
pub use track::{BadTrack, Station, Track};
