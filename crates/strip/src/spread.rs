//! All that is known of one slide: what is sampled, and what is only known to lie between two ends.
//!
//! Which end hurts is that of the design's table for slide length: friction low, touchdown speed high,
//! headwind low, lift high and slow to settle, drag low, idle thrust high, most downhill. Mass and density,
//! and drag in a tail wind, can hurt either way, so all their ends are run. What has an accuracy or a prior
//! of its own is sampled within each of these corners, one coordinate each.
//!
//! Not here: how long a slide the lane must hold ([`crate::demand`]).

use crate::lane_ground::LaneGround;
use crate::scatter::Scatter;
use crate::wind::Along;
use measure::points::{self, Point, REPLICATES};
use measure::{
    AirSpeed, CalibratedSpeed, CubicDensity, GroundSpeed, Headwind, Interval, Kilograms, Metres, Newtons,
    ONE_SIDED_95, STANDARD_GRAVITY, SquareMetres,
};
use rayon::prelude::*;
use slide::{Body, Slide, StallSpeed, Touchdown, Track, march, touchdown_airspeed};

/// Coordinates of a point: what is sampled; those of the wind are its own ([`crate::wind`]).
pub(crate) const FRICTION: usize = 0;
pub(crate) const FACTOR: usize = 1;
pub(crate) const STALL: usize = 2;
pub(crate) const MASS: usize = 3;
pub(crate) const SLOPE: usize = 4;
pub(crate) const CURVATURE: usize = 5;
pub(crate) const AIM: usize = 6;

/// Scores at the ends of the interval that holds 95 % of the touchdowns.
const SCORE_97_5: f64 = 1.959_964;

/// Lift over weight while an aircraft that has bounced comes down again (14 CFR 23.473(e) lets a designer
/// reckon with as much; the rest of the weight brings it down).
const LIFT_IN_A_HOP: f64 = 2.0 / 3.0;

/// What is known of one slide.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Spread {
    pub(crate) ground: LaneGround,
    pub(crate) touchdown_factor: Interval<f64>,
    pub(crate) stall: Interval<CalibratedSpeed>,
    /// Standard deviation of the stall speed, as a share of it.
    pub(crate) stall_share: f64,
    pub(crate) reference_mass: Kilograms,
    pub(crate) mass: Interval<Kilograms>,
    /// Standard deviation of the mass, as a share of it; also about its ends, so that giving one of them is never
    /// worse than giving none.
    pub(crate) mass_share: f64,
    pub(crate) wing_area: SquareMetres,
    pub(crate) lift: Interval<f64>,
    pub(crate) drag: Interval<f64>,
    pub(crate) thrust: Interval<Newtons>,
    /// The least that is counted on, and the most that there could be, over the spread of the wind's direction.
    pub(crate) headwind: Interval<Headwind>,
    /// The wind at the worst corner, slide by slide; at the ends of the headwind where there is none.
    pub(crate) wind: Option<Along>,
    /// Gust above the mean wind, m/s; half of it is flown on top.
    pub(crate) gust_mps: Interval<f64>,
    pub(crate) density: Interval<CubicDensity>,
    pub(crate) carried: Carried,
}

/// What may carry the aircraft on after touchdown without friction, at the worst; nothing at the best.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Carried {
    /// Seconds in which lift settles.
    pub(crate) settling: f64,
    /// Steepest path over the ground, as a tangent.
    pub(crate) glide: f64,
    /// Sink from which it bounces, m/s, and the share of it that comes back.
    pub(crate) bounce_from: f64,
    pub(crate) bounce_share: f64,
    /// A crest that nobody saw: its length, and its height.
    pub(crate) crest_length: Metres,
    pub(crate) crest_height: Metres,
}

/// Which way what is not known is taken.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Corner {
    /// As it lengthens a slide most.
    Worst,
    /// As it shortens it most.
    Best,
}

impl Corner {
    /// The end of an interval whose high end lengthens a slide.
    fn longer_high<T: Copy + PartialOrd + std::fmt::Debug>(self, interval: Interval<T>) -> T {
        match self {
            Self::Worst => interval.high(),
            Self::Best => interval.low(),
        }
    }

    /// The end of an interval whose low end lengthens a slide.
    fn longer_low<T: Copy + PartialOrd + std::fmt::Debug>(self, interval: Interval<T>) -> T {
        match self {
            Self::Worst => interval.low(),
            Self::Best => interval.high(),
        }
    }
}

/// One corner of what is not known: everything left is sampled.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Case<'a> {
    pub(crate) spread: &'a Spread,
    pub(crate) corner: Corner,
    mass: Kilograms,
    density: CubicDensity,
    drag: f64,
}

/// What came of every point, replicate by replicate; `None` has no end.
pub(crate) type Outcomes = Vec<Vec<Option<f64>>>;

/// One slide of a case: what it is made of.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Drawn<'a> {
    pub(crate) body: Body,
    pub(crate) track: &'a Track,
    pub(crate) friction: Vec<f64>,
    pub(crate) airspeed_mps: f64,
    pub(crate) touchdown: GroundSpeed,
    pub(crate) slide: Template,
}

/// A slide without what it borrows.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Template {
    pub(crate) density: CubicDensity,
    pub(crate) headwind: Headwind,
    pub(crate) settling: f64,
    pub(crate) carried: Metres,
    slope_score: f64,
    curvature_score: f64,
}

impl Drawn<'_> {
    /// As the physics takes it.
    pub(crate) fn slide(&self) -> Slide<'_> {
        let Template { density, headwind, settling, carried, slope_score, curvature_score } = self.slide;
        Slide {
            body: self.body,
            density,
            headwind,
            track: self.track,
            friction: &self.friction,
            settling,
            carried,
            slope_score,
            curvature_score,
        }
    }

    /// Its length from a chainage.
    pub(crate) fn length(&self, at: Metres) -> Option<Metres> {
        self.slide().length(Touchdown { at, speed: self.touchdown })
    }
}

impl Spread {
    /// Every case of a corner: each end of mass and density, and of drag where a tail wind may push.
    pub(crate) fn cases(&self, corner: Corner) -> Vec<Case<'_>> {
        let ends = |low: f64, high: f64| if low < high { vec![low, high] } else { vec![low] };
        let masses = ends(self.mass.low().to_kg(), self.mass.high().to_kg());
        let densities = ends(self.density.low().to_kg_m3(), self.density.high().to_kg_m3());
        // Slower than a tail wind, drag does not slow but push.
        let weakest = match (corner, self.wind) {
            (Corner::Worst, Some(wind)) => wind.least_of_all(),
            _ => corner.longer_low(self.headwind),
        };
        let pushed = weakest < Headwind::ZERO;
        let drags =
            if pushed { ends(self.drag.low(), self.drag.high()) } else { vec![corner.longer_low(self.drag)] };
        let mut out = Vec::with_capacity(masses.len() * densities.len() * drags.len());
        for &mass in &masses {
            for &density in &densities {
                out.extend(drags.iter().map(|&drag| Case {
                    spread: self,
                    corner,
                    mass: Kilograms::kg(mass),
                    density: CubicDensity::kg_m3(density),
                    drag,
                }));
            }
        }
        out
    }

    /// The stall speed between which it lies at 95 % to either side.
    pub(crate) fn stall_range(&self) -> Interval<CalibratedSpeed> {
        let off = ONE_SIDED_95 * self.stall_share;
        Interval::spanning(self.stall.low() * (1.0 - off), self.stall.high() * (1.0 + off))
    }

    /// Slowest and fastest through the air at touchdown.
    pub(crate) fn airspeeds(&self) -> Interval<AirSpeed> {
        let stall = self.stall_range();
        let of = |calibrated| StallSpeed { calibrated, at_mass: self.reference_mass };
        let (factors, gusts) = (self.touchdown_factor, self.gust_mps);
        let slow = touchdown_airspeed(
            &of(stall.low()),
            self.mass.low(),
            factors.low(),
            gusts.low(),
            self.density.high(),
        );
        let fast = touchdown_airspeed(
            &of(stall.high()),
            self.mass.high(),
            factors.high(),
            gusts.high(),
            self.density.low(),
        );
        Interval::spanning(slow, fast)
    }

    /// Slowest and fastest over the ground at touchdown.
    pub(crate) fn speeds(&self) -> (GroundSpeed, GroundSpeed) {
        let airspeeds = self.airspeeds();
        (airspeeds.low().over_ground(self.headwind.high()), airspeeds.high().over_ground(self.headwind.low()))
    }

    /// The longest slide at one point of a corner, over all its cases; `None` if one never stops.
    pub(crate) fn longest_at(&self, corner: Corner, at: Metres, point: &Point) -> Option<Metres> {
        let each: Option<Vec<Metres>> =
            self.cases(corner).iter().map(|case| case.drawn(point).length(at)).collect();
        each?.into_iter().reduce(Metres::max)
    }

    /// The shortest slide at one point of a corner; `None` if none stops.
    ///
    /// With thrust it need not be at either end of what the mass may be; without any it is, and is shorter still,
    /// so the thrust is left out, unless with it the aircraft never stops.
    pub(crate) fn shortest_at(&self, corner: Corner, at: Metres, point: &Point) -> Option<Metres> {
        let shortest = |spread: &Self| {
            spread.cases(corner).iter().filter_map(|case| case.drawn(point).length(at)).reduce(Metres::min)
        };
        shortest(self)?;
        shortest(&Self { thrust: Interval::exact(Newtons::ZERO), ..self.clone() })
    }
}

impl<'a> Case<'a> {
    /// The slide at a point.
    pub(crate) fn drawn(&self, point: &Point) -> Drawn<'a> {
        let (s, corner, ground) = (self.spread, self.corner, &self.spread.ground);
        let (mass, headwind) = (self.mass_at(point), self.headwind_at(point));
        let airspeed = self.airspeed(point, mass);
        let touchdown = airspeed.over_ground(headwind);
        let score = point.normal[FRICTION];
        let (track, friction, settling, carried) = match corner {
            Corner::Worst => (
                &ground.worst,
                ground.zones.iter().map(|g| g.worst(score)).collect(),
                s.carried.settling,
                s.carried.length(touchdown),
            ),
            Corner::Best => {
                (&ground.best, ground.zones.iter().map(|g| g.best(score)).collect(), 0.0, Metres::ZERO)
            }
        };
        Drawn {
            body: Body {
                mass,
                wing_area: s.wing_area,
                lift_coefficient: corner.longer_high(s.lift),
                drag_coefficient: self.drag,
                idle_thrust: self.thrust(),
            },
            track,
            friction,
            airspeed_mps: airspeed.to_mps(),
            touchdown,
            slide: Template {
                density: self.density,
                headwind,
                settling,
                carried,
                slope_score: point.normal[SLOPE],
                curvature_score: point.normal[CURVATURE],
            },
        }
    }

    fn headwind_at(&self, point: &Point) -> Headwind {
        match (self.corner, self.spread.wind) {
            (Corner::Worst, Some(wind)) => wind.at(point),
            _ => self.corner.longer_low(self.spread.headwind),
        }
    }

    fn mass_at(&self, point: &Point) -> Kilograms {
        self.mass * scaled(self.spread.mass_share, point.normal[MASS])
    }

    fn airspeed(&self, point: &Point, mass: Kilograms) -> AirSpeed {
        let (s, corner) = (self.spread, self.corner);
        let stall = StallSpeed {
            calibrated: corner.longer_high(s.stall) * scaled(s.stall_share, point.normal[STALL]),
            at_mass: s.reference_mass,
        };
        let (low, high) = (s.touchdown_factor.low(), s.touchdown_factor.high());
        let factor = low + (high - low) * point.uniform[FACTOR];
        touchdown_airspeed(&stall, mass, factor, corner.longer_high(s.gust_mps), self.density)
    }

    /// Speed over the ground at touchdown, at a point.
    pub(crate) fn touchdown(&self, point: &Point) -> GroundSpeed {
        let airspeed = self.airspeed(point, self.mass_at(point));
        airspeed.over_ground(self.headwind_at(point))
    }

    /// With thrust the shortest slide need not be at either end of the mass; without any it is, and is shorter
    /// still.
    fn thrust(&self) -> Newtons {
        let inside = self.spread.mass.low() < self.spread.mass.high();
        if self.corner == Corner::Best && inside {
            return Newtons::ZERO;
        }
        self.corner.longer_high(self.spread.thrust)
    }

    /// Something of every point, replicate by replicate.
    pub(crate) fn sampled(&self, count: usize, of: impl Fn(&Self, &Point) -> Option<f64> + Sync) -> Outcomes {
        let one = |which: usize| points::replicate(which, count).iter().map(|p| of(self, p)).collect();
        (0..REPLICATES).into_par_iter().map(one).collect()
    }

    /// Length of the slide from a chainage, at a point, with the room of the fast way at the side that hurts.
    pub(crate) fn length(&self, at: Metres, point: &Point) -> Option<f64> {
        let length = self.drawn(point).length(at)?;
        Some(match self.corner {
            Corner::Worst => (length + march::accuracy(length)).to_m(),
            Corner::Best => (length - march::accuracy(length)).max(Metres::ZERO).to_m(),
        })
    }
}

/// One and a share of it by a score, never less than a half.
fn scaled(share: f64, score: f64) -> f64 {
    (1.0 + share * score).max(0.5)
}

impl Carried {
    /// Length without friction after touching down at a speed.
    pub(crate) fn length(&self, speed: GroundSpeed) -> Metres {
        let v = speed.to_mps().max(0.0);
        let sink = v * self.glide;
        let aloft = 2.0 * self.bounce_share * sink / (STANDARD_GRAVITY * (1.0 - LIFT_IN_A_HOP));
        let hop = if sink > self.bounce_from { v * aloft } else { 0.0 };
        // Over its edge the aircraft falls as far as the crest is high.
        let fall = libm::sqrt(2.0 * self.crest_height.to_m().max(0.0) / STANDARD_GRAVITY);
        Metres::m(hop + v * fall) + self.crest_length
    }
}

/// Where a touchdown lies about the aim, at a point: the interval given holds 95 % of them, half of them short of its
/// centre.
pub(crate) fn off_aim(point: &Point, scatter: &Scatter) -> Metres {
    let score = point.normal[AIM] / SCORE_97_5;
    let Scatter { short, long, centre } = *scatter;
    centre + if score < 0.0 { (short + centre) * score } else { (long - centre) * score }
}
