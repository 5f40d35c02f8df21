//! What pushes a slide off its line.
//!
//! Invariants: values of one corner; right is positive throughout.
//!
//! Not here: how large any of them is, and which signs hurt ([`mod@crate::sideways`]).

use measure::Crosswind;

/// What pushes a slide off its line, as values of one corner with their signs.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Upset {
    /// Direction of motion at touchdown, right of the lane, rad.
    pub course: f64,
    /// Nose at touchdown, right of the direction of motion, rad.
    pub nose: f64,
    /// Wind across the lane.
    pub crosswind: Crosswind,
    /// By what share the right keel's friction is more, and the left one's less, than that of the ground; a share
    /// of either sign.
    pub uneven: f64,
    /// Times the cross slope of the track, which rises to the right where positive: 1, or -1 for its mirror.
    pub tilt: f64,
}

impl Upset {
    /// Nothing but the cross slope of the track.
    pub const NONE: Self =
        Self { course: 0.0, nose: 0.0, crosswind: Crosswind::ZERO, uneven: 0.0, tilt: 1.0 };

    /// Whether every value is finite, and the angles below a right angle.
    pub fn is_physical(&self) -> bool {
        let Self { course, nose, crosswind, uneven, tilt } = self;
        let right = core::f64::consts::FRAC_PI_2;
        course.abs() < right
            && nose.abs() < right
            && [crosswind.to_mps(), *uneven, *tilt].iter().all(|x| x.is_finite())
    }
}
