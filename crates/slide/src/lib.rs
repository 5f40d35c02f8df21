//! Physics along a line: air, touchdown, friction of the ground and what is believed of it, the slide to rest, how
//! far it may drift and swing on the way, soft ground and tipping; and breaking off the approach before all that.
//!
//! Invariants:
//! - Everything here happens along one straight line, or beside it where a slide drifts: a chainage, a speed
//!   along it, a slope along it. `slide` knows no field, no heading of a lane, no aircraft record, no file, no
//!   clock.
//! - The same inputs give the same digits everywhere: transcendental functions come from `libm`,
//!   nothing is summed in an order that could change, and every loop is bounded.
//! - What cannot be decided counts as never stopping; a value that is not a number never turns into
//!   a stop.
//!
//! Not here: where the line lies, how its slope was measured, and what a slide of some length means for
//! a verdict.

pub mod abandon;
pub mod air;
pub mod approach;
pub mod attitude;
pub mod belief;
pub mod climb;
pub mod closed;
pub mod drag_test;
pub mod drift;
pub mod forces;
pub mod friction;
pub mod hardness;
pub mod integrate;
pub mod known;
pub mod learning;
pub mod march;
pub mod plan;
pub mod pull;
pub mod recovered;
pub mod run;
pub mod sideways;
mod slide;
pub mod soft;
pub mod tipping;
pub mod touchdown;
pub mod track;
pub mod upset;
pub mod widths;
pub mod window;
mod yaw;

pub use abandon::{Abandon, Approach, Climbing, Latest, Lowest, Manoeuvre, NoAbandon};
pub use air::{
    density, density_altitude, pressure_altitude, pressure_from_qnh, standard_density, standard_pressure,
    standard_temperature, wind_ratio,
};
pub use attitude::{First, Flown, KeelLimits};
pub use belief::Belief;
pub use climb::Climb;
pub use drag_test::{BadDragTest, DragTest, Shares, Sledge, Taken};
pub use drift::{Drift, Ending, Place};
pub use forces::{Body, Conditions, Surface};
pub use friction::{Cover, FrictionPrior, GroundClass, PLAUSIBLE, Wetness, prior, same_ground};
pub use integrate::{Breaks, SLIDE_LIMIT, integrate, trace};
pub use known::Friction;
pub use learning::{Learned, learned};
pub use plan::{Fin, Plan};
pub use pull::{BadPull, Pull};
pub use recovered::{BadRecovery, Recovered, friction_shown};
pub use run::{Method, Outcome, Run, run};
pub use sideways::{Heading, Sideways, TRIP_SPEED};
pub use slide::{Slide, Touchdown, Traced};
pub use touchdown::{StallSpeed, touchdown_airspeed};
pub use track::{BadTrack, Station, Track};
pub use upset::Upset;
pub use widths::{WidthStep, Widths};
pub use window::Window;
