//! The angle of the keels over touchdown speed, as a curve, and what airspeeds a speed over the stall speed may be.
//!
//! Invariants: a point holds for every value between the ends of what is known; an airspeed said to lie in a window lies
//! in it whichever stall speed, mass and gust is true.
//!
//! Not here: the angle itself (`slide::Flown::range`).

use crate::spread::Spread;
use measure::{CalibratedSpeed, CubicDensity, Interval};
use serde::Serialize;
use slide::{First, KeelLimits, StallSpeed, touchdown_airspeed};

/// Points of the curve.
const POINTS: u32 = 25;

/// Slowest speed of the curve over stall speed: none is flown below it.
const SLOWEST: f64 = 1.0;

/// How far past the pilot's greatest speed it goes, over stall speed (judgement: to see what a little more does).
const BEYOND: f64 = 0.1;

/// Density at which calibrated and true airspeed are the same: that of the standard atmosphere at sea level.
const STANDARD_DENSITY: f64 = 1.225;

/// The keels at one touchdown speed.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
pub struct AttitudeAt {
    /// Touchdown speed over stall speed, half the gust not counted.
    pub factor: f64,
    /// Least calibrated airspeed that it may be, half the gust on top.
    pub airspeed_least_mps: f64,
    /// Greatest.
    pub airspeed_most_mps: f64,
    /// Least angle of the keels to the ground, bow up positive.
    pub least_deg: f64,
    /// Greatest.
    pub greatest_deg: f64,
    /// What may touch first: `keels`, `bow`, `stern` or `bow_or_stern`.
    pub touches_first: &'static str,
}

/// What airspeeds there may be.
pub(super) struct Speeds<'a> {
    pub(super) spread: &'a Spread,
    /// Stall speed at the reference mass.
    pub(super) stall: Interval<CalibratedSpeed>,
}

impl Speeds<'_> {
    /// Calibrated airspeeds that a speed over the stall speed may be, m/s.
    fn at(&self, factor: f64) -> (f64, f64) {
        let s = self.spread;
        let standard = CubicDensity::kg_m3(STANDARD_DENSITY);
        let of = |calibrated, mass, gust| {
            let stall = StallSpeed { calibrated, at_mass: s.reference_mass };
            touchdown_airspeed(&stall, mass, factor, gust, standard).to_mps()
        };
        (
            of(self.stall.low(), s.mass.low(), s.gust_mps.low()),
            of(self.stall.high(), s.mass.high(), s.gust_mps.high()),
        )
    }

    /// Calibrated airspeeds within a window of speeds over the stall speed, whatever of what is known is true.
    pub(super) fn within(&self, window: Interval<f64>) -> Option<(f64, f64)> {
        // The slow end as fast as it may be, the fast end as slow.
        let ends = (self.at(window.low()).1, self.at(window.high()).0);
        (ends.0 <= ends.1).then_some(ends)
    }

    /// The curve, from the stall speed to somewhat past the pilot's greatest.
    pub(super) fn curve(
        &self,
        pilot: Interval<f64>,
        limits: &KeelLimits,
        range: impl Fn(f64) -> Interval<f64>,
    ) -> Vec<AttitudeAt> {
        let step = (pilot.high() + BEYOND - SLOWEST) / f64::from(POINTS - 1);
        let point = |i: u32| {
            let factor = SLOWEST + step * f64::from(i);
            let (angles, airspeeds) = (range(factor), self.at(factor));
            AttitudeAt {
                factor,
                airspeed_least_mps: airspeeds.0,
                airspeed_most_mps: airspeeds.1,
                least_deg: angles.low().to_degrees(),
                greatest_deg: angles.high().to_degrees(),
                touches_first: word(limits.first(&angles)),
            }
        };
        (0..POINTS).map(point).collect()
    }
}

/// As it is written in an answer.
const fn word(first: First) -> &'static str {
    match first {
        First::Keels => "keels",
        First::Bow => "bow",
        First::Stern => "stern",
        First::BowOrStern => "bow_or_stern",
    }
}
