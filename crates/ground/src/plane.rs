//! The plane that fits the levels best: mean slope of the field along any heading, with its error.
//!
//! Least squares about the centroid. The variance of a level is the larger of what was stated and
//! what the residuals show, so that a field that is no plane has an honest error; few residuals are
//! widened by Student's t (one-sided 95 %).
//!
//! Not here: the surface between levels.

use crate::Point;
use measure::{Metres, ONE_SIDED_95, Slope, TrueHeading};
use thiserror::Error;

/// One reduced level.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Level {
    /// Where it was taken.
    pub at: Point,
    /// Height above the datum.
    pub height: Metres,
    /// Standard deviation of that height.
    pub sigma: Metres,
}

/// Levels or breaklines through which there is no plane or no surface. Counted from 1.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
pub enum BadLevels {
    /// Fewer than three levels.
    #[error("found {0} levels, expected at least 3")]
    TooFew(usize),
    /// All levels lie on one line, so the slope across it is unknown.
    #[error("found all levels on one line, expected some to either side of it")]
    OnOneLine,
    /// Place, height or error of this level is not finite, too far off, or negative where it may not be.
    #[error("level {0} is not a place near the datum with a height and an error")]
    NoLevel(usize),
    /// The same of a point of a breakline.
    #[error(
        "point {point} of breakline {breakline} is not a place near the datum with a height and an error"
    )]
    NoLevelOnBreakline {
        /// Which breakline.
        breakline: usize,
        /// Which of its points.
        point: usize,
    },
    /// A breakline that goes nowhere.
    #[error("breakline {0} has one place or none, expected at least 2")]
    ShortBreakline(usize),
    /// Two breaklines cross, so one place would have two heights; a breakline may cross itself.
    #[error("breaklines {first} and {second} cross, expected a point that both have")]
    BreaklinesCross {
        /// The one laid before.
        first: usize,
        /// The one laid after it.
        second: usize,
    },
}

/// Student's t, one-sided 95 %, by degrees of freedom (SciPy 1.17.1, `stats.t.ppf`); between two rows
/// the one with fewer degrees, which is larger, is taken.
const STUDENT_95: [(usize, f64); 8] = [
    (1, 6.313_752),
    (2, 2.919_986),
    (3, 2.353_363),
    (4, 2.131_847),
    (5, 2.015_048),
    (9, 1.833_113),
    (19, 1.729_133),
    (120, 1.657_651),
];

/// Least ratio of the spread across to the spread along the levels; below it they count as a line.
const LEAST_SPREAD_RATIO: f64 = 0.02;

/// A fitted plane.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Plane {
    east: f64,
    north: f64,
    // Covariance of the two slopes, already widened by the factor for one-sided 95 %, squared.
    see: f64,
    snn: f64,
    sen: f64,
    // Highest less lowest residual.
    unevenness: f64,
}

impl Plane {
    /// Fits the levels.
    ///
    /// # Errors
    /// [`BadLevels`] for fewer than three levels, or all of them (nearly) on one line.
    pub fn fit(levels: &[Level]) -> Result<Self, BadLevels> {
        let count = levels.len();
        if count < 3 {
            return Err(BadLevels::TooFew(count));
        }
        let n = count as f64;
        let mean = |f: &dyn Fn(&Level) -> f64| levels.iter().map(f).sum::<f64>() / n;
        let (me, mn, mz) = (mean(&|l| l.at.x), mean(&|l| l.at.y), mean(&|l| l.height.to_m()));
        let moment = |f: &dyn Fn(f64, f64, f64) -> f64| {
            levels.iter().map(|l| f(l.at.x - me, l.at.y - mn, l.height.to_m() - mz)).sum::<f64>()
        };
        let (ee, nn, en) = (moment(&|e, _, _| e * e), moment(&|_, n, _| n * n), moment(&|e, n, _| e * n));
        let (ez, nz) = (moment(&|e, _, z| e * z), moment(&|_, n, z| n * z));
        let determinant = ee * nn - en * en;
        // Determinant over the squared trace is about the squared ratio of the two spreads.
        let trace = ee + nn;
        let on_a_line = determinant <= (LEAST_SPREAD_RATIO * trace) * (LEAST_SPREAD_RATIO * trace);
        if on_a_line {
            return Err(BadLevels::OnOneLine);
        }
        let east = (ez * nn - nz * en) / determinant;
        let north = (nz * ee - ez * en) / determinant;
        let off = |l: &Level| l.height.to_m() - mz - east * (l.at.x - me) - north * (l.at.y - mn);
        let highest = levels.iter().map(off).fold(f64::NEG_INFINITY, f64::max);
        let lowest = levels.iter().map(off).fold(f64::INFINITY, f64::min);
        let residual = moment(&|e, n, z| (z - east * e - north * n) * (z - east * e - north * n));
        let stated = mean(&|l| l.sigma.to_m() * l.sigma.to_m()) * ONE_SIDED_95 * ONE_SIDED_95;
        let variance = stated.max(shown_by(residual, count - 3));
        Ok(Self {
            east,
            north,
            see: variance * nn / determinant,
            snn: variance * ee / determinant,
            sen: -variance * en / determinant,
            unevenness: highest - lowest,
        })
    }

    /// Mean slope along a heading, positive uphill.
    pub fn slope_along(&self, heading: TrueHeading) -> Slope {
        let (e, n) = heading.unit();
        Slope::ratio(self.east * e + self.north * n)
    }

    /// A slope that the mean slope along no heading exceeds, at 95 %.
    pub fn steepest_bound(&self) -> Slope {
        Slope::ratio(libm::hypot(self.east, self.north)) + self.most_slope_error()
    }

    /// How far the true mean slope along any heading may lie to one side, at 95 %.
    pub fn most_slope_error(&self) -> Slope {
        Slope::ratio(libm::sqrt(self.see + self.snn) + self.unevenness / SLIDE_SCALE)
    }

    /// How far the true mean slope along a heading may lie to one side, at 95 %.
    pub fn slope_error_along(&self, heading: TrueHeading) -> Slope {
        self.plane_error_along(heading) + Slope::ratio(self.unevenness / SLIDE_SCALE)
    }

    /// How far the slope of the plane itself may lie to one side, at 95 %: less than the field's, which
    /// is no plane.
    pub fn plane_error_along(&self, heading: TrueHeading) -> Slope {
        let (e, n) = heading.unit();
        let variance = self.see * e * e + 2.0 * self.sen * e * n + self.snn * n * n;
        Slope::ratio(libm::sqrt(variance.max(0.0)))
    }
}

/// Length over which a field that is no plane may slope otherwise than its plane, metres (judgement: a
/// slide's). More levels make the plane surer and the field no flatter.
const SLIDE_SCALE: f64 = 100.0;

/// Shortest distance between two levels whose slope says something of the field, metres (judgement:
/// nearer than this their own errors rule).
const LEAST_APART: f64 = 10.0;

/// Most levels that are compared with each other.
const MOST_COMPARED: usize = 500;

/// The steepest slope between any two of the levels, whatever its direction: what is known where no
/// plane can be fitted, or none that reaches along a lane.
pub fn steepest_between(levels: &[Level]) -> Slope {
    let levels = &levels[..levels.len().min(MOST_COMPARED)];
    let mut steepest = 0.0_f64;
    for (i, a) in levels.iter().enumerate() {
        for b in &levels[i + 1..] {
            let apart = libm::hypot(a.at.x - b.at.x, a.at.y - b.at.y);
            if apart >= LEAST_APART {
                steepest = steepest.max((a.height - b.height).to_m().abs() / apart);
            }
        }
    }
    Slope::ratio(steepest)
}

/// Variance that the residuals show, widened for their number; none without a spare level.
fn shown_by(residual: f64, spare: usize) -> f64 {
    let t = STUDENT_95.iter().rev().find(|(freedom, _)| *freedom <= spare).map(|&(_, t)| t);
    t.map_or(0.0, |t| residual / spare as f64 * t * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level(x: f64, y: f64, z: f64) -> Level {
        Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(0.02) }
    }

    #[test]
    fn a_tilted_plane_has_its_slope_along_each_heading() {
        let levels =
            [level(0.0, 0.0, 0.0), level(100.0, 0.0, 1.0), level(0.0, 100.0, 2.0), level(100.0, 100.0, 3.0)];
        let plane = Plane::fit(&levels).expect("a plane");
        let along = |deg| plane.slope_along(TrueHeading::deg(deg)).to_ratio();
        assert!((along(90.0) - 0.01).abs() < 1e-12);
        assert!((along(0.0) - 0.02).abs() < 1e-12);
        assert!((along(180.0) + 0.02).abs() < 1e-12);
        // The fall line: sqrt(0.01^2 + 0.02^2), and the error of both slopes on top.
        let error = 1.645 * 0.02 / 100.0 * 2_f64.sqrt();
        assert!((plane.steepest_bound().to_ratio() - (5e-4_f64.sqrt() + error)).abs() < 1e-12);
    }

    #[test]
    fn the_error_of_four_corner_levels_is_worked_by_hand() {
        // Sum of squares about the middle is 4 x 50^2 each way; no residual: 1.645 x 0.02 / 100.
        let levels =
            [level(0.0, 0.0, 0.0), level(100.0, 0.0, 1.0), level(0.0, 100.0, 2.0), level(100.0, 100.0, 3.0)];
        let plane = Plane::fit(&levels).expect("a plane");
        let error = plane.slope_error_along(TrueHeading::deg(0.0)).to_ratio();
        assert!((error - 1.645 * 0.02 / 100.0).abs() < 1e-12, "{error}");
    }

    #[test]
    fn a_field_that_is_no_plane_has_a_larger_error() {
        let mut levels = vec![
            level(0.0, 0.0, 0.0),
            level(100.0, 0.0, 1.0),
            level(0.0, 100.0, 2.0),
            level(100.0, 100.0, 3.0),
        ];
        levels.push(level(50.0, 50.0, 2.5));
        let plane = Plane::fit(&levels).expect("a plane");
        // Residuals -0.2 four times and 0.8: sum 0.8; two spare: t = 2.919986.
        let error = plane.slope_error_along(TrueHeading::deg(0.0)).to_ratio();
        // And from -0.2 to 0.8 m off the plane, over 100 m.
        let expected = (0.8_f64 / 2.0).sqrt() * 2.919_986 / 100.0 + 1.0 / 100.0;
        assert!((error - expected).abs() < 1e-9, "{error}");
    }

    #[test]
    fn the_steepest_slope_between_two_levels_is_found_in_any_direction() {
        let levels = [level(0.0, 0.0, 0.0), level(0.0, 100.0, 10.0), level(0.0, 101.0, 20.0)];
        // 20 m in 101 m; the last two are too near each other to say anything.
        assert!((steepest_between(&levels).to_ratio() - 20.0 / 101.0).abs() < 1e-12);
    }

    #[test]
    fn levels_on_one_line_are_refused() {
        let levels = [level(0.0, 0.0, 0.0), level(50.0, 50.0, 1.0), level(100.0, 100.0, 2.0)];
        assert_eq!(Plane::fit(&levels), Err(BadLevels::OnOneLine));
        assert_eq!(Plane::fit(&levels[..2]), Err(BadLevels::TooFew(2)));
    }
}
