//! Quantities as types, headings, intervals, chances, and units as typed and as shown.
//!
//! Invariants:
//! - Inside the program every value is SI and every angle is in radians; other units exist only at
//!   the edge, in [`typed`] and [`shown`].
//! - Two quantities that could be mixed up with harm (true and magnetic heading, air and ground
//!   speed, height and depth) are two types, and the wrong sum does not compile.
//! - What is shown is rounded to the side that hurts, never to the nearest, where it is a margin.
//!
//! Not here: anything that knows what a field, an aircraft or a file is.

mod heading;
mod interval;
pub mod normal;
pub mod points;
mod quantity;
pub mod root;
mod sample;
pub mod shown;
mod speed;
pub mod student;
pub mod tolerance;
pub mod typed;
mod wind;

pub use heading::{Declination, MagneticHeading, TrueHeading};
pub use interval::{BadInterval, Interval};
pub use quantity::{
    CubicDensity, Depth, Height, Kelvins, Kilograms, Metres, Newtons, Pascals, Slope, SquareMetres,
};
pub use sample::{Sample, share_at_most, upper_rank};
pub use speed::{AirSpeed, CalibratedSpeed, GroundSpeed, Headwind};
pub use wind::{Crosswind, Wind};

/// Standard acceleration of free fall, m/s2 (exact by definition, ISO 80000-3).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Radius of the circle, in standard deviations of one coordinate, that holds 95 % of two equal,
/// independent normal errors: sqrt(-2 ln 0.05) = 2.4477, rounded up.
pub const CIRCLE_95: f64 = 2.45;

/// Standard deviations on one side of a normal error that leave 5 % beyond them, rounded up
/// (the quantile is 1.644854).
pub const ONE_SIDED_95: f64 = 1.645;
