//! The wind of the day at this field, at the height of the wing: what is counted on along a heading, slide by slide.
//!
//! Of each slide the direction is drawn, and the strength between mean and gust. Direction is off by as much as the
//! settings say, always to the side that leaves less wind from ahead: then no wider spread ever helps, at the price of
//! counting what goes the other way as if it did not. Strength is taken evenly between mean and gust, and between mean
//! and a lull as far below it (judgement: the greatest of ten minutes is seldom met in the seconds of a slide). Of the
//! component that comes out, half a head wind and one and a half of a tail wind are reckoned with (settings, with their
//! source), or the gust itself where that is more.
//!
//! Invariants: wind from ahead is never credited with being stronger near the ground, nor wind from behind with being
//! weaker; a wind that may be calm, or whose direction is not known, comes from anywhere; the ends of a component hold
//! what lies within the spread, and no stronger gust from ahead.
//!
//! A reported wind is brought down by the roughness of the field's own ground, as one measured there is. By way of a
//! blending height above which two grounds share one wind, rough ground about the station and smooth ground here would
//! give more wind at the wing; a wind from ahead is only half counted and one from behind never weakened, so a second
//! roughness, which nobody has measured, is not asked for.
//!
//! Not here: the shape of the profile (crate `slide`).

use crate::Settings;
use crate::day::{Direction, GivenWind};
use measure::points::{self, MOST_POINTS, Point, REPLICATES};
use measure::{Declination, Headwind, Interval, Metres, TrueHeading};
use slide::wind_ratio;
use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

/// Coordinates of a point: how far off the direction is, and how strong the wind blows between mean and gust.
pub(crate) const DIRECTION: usize = 7;
pub(crate) const STRENGTH: usize = 8;

/// Standard normal score within which 95 in 100 lie to either side (SciPy 1.17.1: 1.959964).
const SCORE_95: f64 = 1.959_964;

/// The wind of the day at the wing.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct FieldWind {
    /// Where it comes from; `None` where it may come from anywhere.
    from: Option<TrueHeading>,
    /// Standard deviation of its direction, rad.
    sigma: f64,
    mean_mps: Interval<f64>,
    gust_mps: Interval<f64>,
    /// Wind at the wing over wind where it was measured: at the least, which is no more than 1, and at the most, which
    /// is no less.
    weaker: f64,
    stronger: f64,
    head_factor: f64,
    tail_factor: f64,
}

/// The same along one heading.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Along {
    wind: FieldWind,
    /// Angle between the heading and where the wind comes from, rad; half a turn where nobody knows.
    off: f64,
}

impl FieldWind {
    pub(crate) fn new(given: &GivenWind, declination: Option<Declination>, settings: &Settings) -> Self {
        let may_be_calm = given.mean_mps.low() <= 0.0;
        let from = match given.from {
            // Gusts out of a calm come from anywhere.
            _ if may_be_calm => None,
            Some(Direction::True(heading)) => Some(heading),
            Some(Direction::Magnetic(heading)) => declination.map(|d| heading.to_true(d)),
            None => None,
        };
        let spread = if given.on_field {
            settings.wind_direction_spread_on_field_deg
        } else {
            settings.wind_direction_spread_reported_deg
        };
        let (wing, roughness) = (Metres::m(settings.wing_height_m), Metres::m(settings.roughness_m));
        let at_wing = |height: Metres| wind_ratio(wing, height, roughness).max(0.0);
        let ratios = Interval::spanning(at_wing(given.at_height.low()), at_wing(given.at_height.high()));
        Self {
            from,
            sigma: spread.to_radians() / SCORE_95,
            mean_mps: given.mean_mps,
            gust_mps: given.gust_mps,
            weaker: ratios.low().min(1.0),
            stronger: ratios.high().max(1.0),
            head_factor: settings.headwind_factor,
            tail_factor: settings.tailwind_factor,
        }
    }

    /// Where it comes from and its mean, m/s, where both are known; a calm from north.
    pub(crate) fn given(&self) -> Option<(TrueHeading, f64)> {
        if self.mean_mps.low() < self.mean_mps.high() {
            return None;
        }
        let mean = self.mean_mps.low();
        let calm = (mean <= 0.0).then(|| TrueHeading::rad(0.0));
        self.from.or(calm).map(|from| (from, mean))
    }

    /// Along a heading.
    pub(crate) fn along(&self, heading: TrueHeading) -> Along {
        Along { wind: *self, off: self.from.map_or(PI, |from| from.angle_to(heading)) }
    }

    /// Mean headwind as given; `None` where it is not known.
    pub(crate) fn given_headwind(&self, heading: TrueHeading) -> Option<Headwind> {
        let calm = self.mean_mps.high() <= 0.0;
        if calm {
            return Some(Headwind::ZERO);
        }
        let known = self.mean_mps.low() >= self.mean_mps.high();
        let from = self.from.filter(|_| known)?;
        Some(Headwind::mps(self.mean_mps.low() * libm::cos(from.angle_to(heading))))
    }

    /// Strength of the crosswind in gusts, m/s, over the spread of the direction.
    pub(crate) fn crosswind(&self, heading: TrueHeading) -> Interval<f64> {
        let most = self.gust_mps.high() * self.stronger;
        let least = self.gust_mps.low() * self.weaker;
        let Some(from) = self.from else { return Interval::spanning(0.0, most) };
        let (off, spread) = (from.angle_to(heading), self.spread());
        let (near, far) = (off - spread, off + spread);
        let sine = |angle: f64| libm::fabs(libm::sin(angle));
        let abeam = near <= FRAC_PI_2 && FRAC_PI_2 <= far;
        let along = near <= 0.0 || far >= PI;
        let greatest = if abeam { 1.0 } else { sine(near).max(sine(far)) };
        let smallest = if along { 0.0 } else { sine(near).min(sine(far)) };
        Interval::spanning(least * smallest, most * greatest)
    }

    /// Whether it comes from the right of a heading as it was given; where nobody knows, it may.
    pub(crate) fn blows_from_right(&self, heading: TrueHeading) -> bool {
        self.from.is_none_or(|from| libm::sin(from.to_rad() - heading.to_rad()) >= 0.0)
    }

    /// The most headwind that any heading can have.
    pub(crate) fn most_headwind(&self) -> Headwind {
        Headwind::mps(self.gust_mps.high() * self.stronger)
    }

    /// Gust above the mean wind, m/s: flown on top of the touchdown speed, or not.
    pub(crate) fn gust(&self) -> Interval<f64> {
        Interval::spanning(0.0, self.greatest_excess() * self.stronger)
    }

    /// Share of a headwind measured as that of the day that is counted on at the wing, were it from ahead as far as
    /// anyone can tell.
    pub(crate) fn counted_headwind(&self) -> f64 {
        self.head_factor * self.weaker * libm::cos(self.spread()).max(0.0)
    }

    /// How far off the direction may be, at 95 % to either side, rad.
    fn spread(&self) -> f64 {
        (SCORE_95 * self.sigma).min(PI)
    }

    fn greatest_excess(&self) -> f64 {
        (self.gust_mps.high() - self.mean_mps.low()).max(0.0)
    }
}

impl Along {
    /// The least that is counted on and the most that there could be, over the spread of the direction.
    pub(crate) fn ends(&self) -> Interval<Headwind> {
        let least = self.counted(SCORE_95, 1.0);
        let near = match self.wind.from {
            Some(_) => libm::cos((self.off - self.wind.spread()).max(0.0)).max(0.0),
            None => 1.0,
        };
        let strongest = self.wind.mean_mps.high().max(self.wind.gust_mps.high());
        let most = Headwind::mps(strongest * self.wind.stronger * near);
        Interval::spanning(least, most.max(Headwind::ZERO))
    }

    /// What is counted on in the slide at a point.
    pub(crate) fn at(&self, point: &Point) -> Headwind {
        self.counted(point.normal[DIRECTION], point.uniform[STRENGTH])
    }

    /// What no slide at any point falls below.
    pub(crate) fn least_of_all(&self) -> Headwind {
        self.counted(*FARTHEST_SCORE, 1.0)
    }

    /// What is counted on with the direction off by a score, and the wind a share of the way from mean to gust.
    fn counted(&self, score: f64, share: f64) -> Headwind {
        let FieldWind { sigma, mean_mps, weaker, stronger, head_factor, tail_factor, .. } = self.wind;
        let ahead = libm::cos((self.off + sigma * libm::fabs(score)).min(PI));
        if ahead >= 0.0 {
            let mean = mean_mps.low();
            let lull = (mean - share * self.wind.greatest_excess()).max(0.0);
            return Headwind::mps(ahead * (mean * head_factor).min(lull) * weaker);
        }
        let mean = mean_mps.high();
        let gusting = mean + share * (self.wind.gust_mps.high() - mean).max(0.0);
        Headwind::mps(ahead * (mean * tail_factor).max(gusting) * stronger)
    }
}

/// The farthest off of all points.
static FARTHEST_SCORE: LazyLock<f64> = LazyLock::new(|| {
    let all = (0..REPLICATES).flat_map(|which| points::replicate(which, MOST_POINTS));
    all.map(|p| libm::fabs(p.normal[DIRECTION])).fold(0.0, f64::max)
});

#[cfg(test)]
mod tests;
