//! How the keels lie to the ground when they touch: flat enough, or bow or stern first.
//!
//! ```text
//! th = alpha + i - g_air - a      alpha = CL / lift slope, CL that carries the weight at the touchdown airspeed
//!                                 sin g_air = V tan g / u, V over the ground, u through the air
//! ```
//!
//! i is the angle of the keel line above the zero-lift line (usually negative, and lower with flap), g the path over
//! the ground, a the slope of the ground, uphill positive.
//!
//! Invariants: the range given holds for every value between the ends of what is known; a faster touchdown never
//! lifts the bow.
//!
//! Not here: which limits an aircraft has (its record), and what a verdict makes of them.
//!
//! Source: lift equals weight; geometry. Speeds over the ground and through the air are taken along one line, which
//! on a path of 3.5 degrees makes the descent through the air 0.2 % too steep.

use crate::StallSpeed;
use crate::touchdown::touchdown_airspeed;
use measure::{CubicDensity, Headwind, Interval, Kilograms, STANDARD_GRAVITY, Slope, SquareMetres};

/// How near to the stern-post angle the keels may come: the water rudders hang there (judgement).
pub const STERN_ALLOWANCE_RAD: f64 = std::f64::consts::PI / 180.0;

/// Halvings in which the end of a speed window is found: to a millionth of the stall speed.
const HALVINGS: usize = 20;

/// What is known of an aircraft that touches down. Angles in radians, `glide_rad` above 0 downwards.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Flown {
    /// Stall speed in the landing setting.
    pub stall: StallSpeed,
    /// Mass at touchdown.
    pub mass: Interval<Kilograms>,
    /// Wing area.
    pub wing_area: SquareMetres,
    /// Gust above the mean wind, of which half is flown on top, m/s, not negative.
    pub gust_mps: Interval<f64>,
    /// Density of the air.
    pub density: Interval<CubicDensity>,
    /// Wind against the aircraft.
    pub headwind: Interval<Headwind>,
    /// Lift coefficient per radian, above 0.
    pub lift_slope: Interval<f64>,
    /// Angle of the keel line above the zero-lift line.
    pub keel_above_zero_lift_rad: Interval<f64>,
    /// Path over the ground below the horizontal.
    pub glide_rad: Interval<f64>,
    /// Slope of the ground where it touches, uphill positive.
    pub uphill: Interval<Slope>,
}

/// Between which angles of keel to ground the keels touch first.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct KeelLimits {
    /// Below it the bow touches first.
    pub bow_rad: f64,
    /// Above it stern and water rudders touch first, and it slaps down.
    pub stern_rad: f64,
}

/// What touches first.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum First {
    /// The bow may.
    Bow,
    /// The keels do, whatever of what is known is true.
    Keels,
    /// The stern may.
    Stern,
    /// Either may.
    BowOrStern,
}

impl KeelLimits {
    /// From the angle below which the bow touches and that of the line from step to stern post.
    pub const fn new(bow_rad: f64, sternpost_rad: f64) -> Self {
        Self { bow_rad, stern_rad: sternpost_rad - STERN_ALLOWANCE_RAD }
    }

    /// What touches first within a range of angles.
    pub fn first(&self, range: &Interval<f64>) -> First {
        match (range.low() < self.bow_rad, range.high() > self.stern_rad) {
            (false, false) => First::Keels,
            (true, false) => First::Bow,
            (false, true) => First::Stern,
            (true, true) => First::BowOrStern,
        }
    }
}

impl Flown {
    /// Angle of the keels to the ground over everything that is known, for a touchdown at a factor over the stall
    /// speed, radians, bow up positive.
    pub fn range(&self, factor: f64) -> Interval<f64> {
        // Lift slope, angles and slope each act one way alone; mass, density, wind and gust act on speeds that act
        // either way, so all their ends are tried.
        let least = self.over_speeds(factor, self.lift_slope.high(), self.glide_rad.high(), f64::min);
        let most = self.over_speeds(factor, self.lift_slope.low(), self.glide_rad.low(), f64::max);
        let i = self.keel_above_zero_lift_rad;
        let slope = |s: Slope| libm::atan(s.to_ratio());
        Interval::spanning(
            least + i.low() - slope(self.uphill.high()),
            most + i.high() - slope(self.uphill.low()),
        )
    }

    /// Angle of attack less descent through the air, at the end that is sought.
    fn over_speeds(&self, factor: f64, lift_slope: f64, glide_rad: f64, sought: fn(f64, f64) -> f64) -> f64 {
        let mut found: Option<f64> = None;
        for mass in [self.mass.low(), self.mass.high()] {
            for density in [self.density.low(), self.density.high()] {
                for gust in [self.gust_mps.low(), self.gust_mps.high()] {
                    let airspeed = touchdown_airspeed(&self.stall, mass, factor, gust, density);
                    let u = airspeed.to_mps();
                    let pressure = 0.5 * density.to_kg_m3() * u * u;
                    let lift = mass.to_kg() * STANDARD_GRAVITY / (pressure * self.wing_area.to_m2());
                    for headwind in [self.headwind.low(), self.headwind.high()] {
                        let over_ground = airspeed.over_ground(headwind).to_mps();
                        let sine = over_ground * libm::tan(glide_rad) / u;
                        let here = lift / lift_slope - libm::asin(sine.clamp(-1.0, 1.0));
                        found = Some(found.map_or(here, |so_far| sought(so_far, here)));
                    }
                }
            }
        }
        found.unwrap_or(f64::NAN)
    }

    /// The factors over the stall speed, within those given, at which the keels touch first whatever of what is known
    /// is true; `None` where there are none.
    pub fn window(&self, limits: &KeelLimits, within: Interval<f64>) -> Option<Interval<f64>> {
        let bow_clear = |factor: f64| self.range(factor).low() >= limits.bow_rad;
        let stern_clear = |factor: f64| self.range(factor).high() <= limits.stern_rad;
        // A faster touchdown never lifts the bow: the stern clears from some speed on, the bow up to some speed.
        let slowest = first_at(within.low(), within.high(), stern_clear)?;
        let fastest = first_at(within.high(), within.low(), bow_clear)?;
        Interval::new(slowest, fastest).ok()
    }
}

/// The first number from one end towards another at which something holds that, once it does, goes on to hold;
/// `None` where it does not even at the other.
fn first_at(from: f64, to: f64, holds: impl Fn(f64) -> bool) -> Option<f64> {
    if holds(from) {
        return Some(from);
    }
    if !holds(to) {
        return None;
    }
    let (mut fails, mut good) = (from, to);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(fails, good);
        if holds(middle) {
            good = middle;
        } else {
            fails = middle;
        }
    }
    Some(good)
}

#[cfg(test)]
mod tests;
