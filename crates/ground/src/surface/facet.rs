//! One facet of the surface: a triangle between three levels.
//!
//! The height is linear over it. The gradient is that of the linear function, its error that of
//! three independent heights carried through it.
//!
//! Not here: where facets lie beside each other, and which of them count as measured (`rim`).

use crate::{Level, Point};
use measure::{Slope, TrueHeading};

/// Cosine of the angle from which on three levels count as one line: 170 degrees (judgement: 0.9 m
/// off the middle of 20 m, which is how straight a rim is walked).
const NEARLY_STRAIGHT: f64 = -0.984_807_753;

/// Least width that a gradient is divided by, metres (judgement: nobody places a staff nearer than
/// this). It keeps the gradient of a wall finite.
const LEAST_WIDTH: f64 = 0.001;

/// How the surface rises at a place.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Gradient {
    /// Rise to the east.
    pub east: Slope,
    /// Rise to the north.
    pub north: Slope,
    /// The standard deviation of the slope along no heading is larger.
    pub sigma: Slope,
}

impl Gradient {
    /// Slope along a heading, positive uphill.
    pub fn along(&self, heading: TrueHeading) -> Slope {
        let (e, n) = heading.unit();
        self.east * e + self.north * n
    }

    /// Slope along the steepest way up.
    pub fn steepest(&self) -> Slope {
        Slope::ratio(libm::hypot(self.east.to_ratio(), self.north.to_ratio()))
    }
}

/// A triangle of three levels, counter-clockwise.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Facet {
    pub corners: [Level; 3],
}

impl Facet {
    pub fn longest_side(&self) -> f64 {
        let [a, b, c] = self.corners.map(|l| l.at);
        let squared = |p: Point, q: Point| (p.x - q.x) * (p.x - q.x) + (p.y - q.y) * (p.y - q.y);
        libm::sqrt(squared(a, b).max(squared(b, c)).max(squared(c, a)))
    }

    pub fn area(&self) -> f64 {
        let [a, b, c] = self.corners.map(|l| l.at);
        twice_area(a, b, c) / 2.0
    }

    /// Weights of the corners at a point of it: none negative, together 1.
    pub fn weights(&self, p: Point) -> [f64; 3] {
        let [a, b, c] = self.corners.map(|l| l.at);
        let parts = [twice_area(p, b, c), twice_area(p, c, a), twice_area(p, a, b)].map(|w| w.max(0.0));
        let whole: f64 = parts.iter().sum();
        // A facet of no area to the last digit still has a middle.
        if whole > 0.0 { parts.map(|w| w / whole) } else { [1.0 / 3.0; 3] }
    }

    pub fn gradient(&self) -> Gradient {
        let [a, b, c] = self.corners.map(|l| l.at);
        let whole = (2.0 * self.area()).max(self.longest_side() * LEAST_WIDTH);
        // The weight of a corner rises at right angles to the side that lies across from it.
        let rises = [(b, c), (c, a), (a, b)].map(|(p, q)| ((p.y - q.y) / whole, (q.x - p.x) / whole));
        let (mut east, mut north, mut variance) = (0.0, 0.0, 0.0);
        // Heights from one of them, so that a field high above the datum loses no digits.
        let base = self.corners[0].height;
        for ((e, n), level) in rises.into_iter().zip(self.corners) {
            let (z, sigma) = ((level.height - base).to_m(), level.sigma.to_m());
            east += e * z;
            north += n * z;
            variance += (e * e + n * n) * sigma * sigma;
        }
        Gradient {
            east: Slope::ratio(east),
            north: Slope::ratio(north),
            sigma: Slope::ratio(libm::sqrt(variance)),
        }
    }

    /// Its first corner lies so nearly on the side across from it that the three are one line.
    pub fn is_sliver_at_first_corner(&self) -> bool {
        let [apex, b, c] = self.corners.map(|l| l.at);
        let along = (b.x - apex.x) * (c.x - apex.x) + (b.y - apex.y) * (c.y - apex.y);
        along <= NEARLY_STRAIGHT * apart(apex, b) * apart(apex, c)
    }
}

pub(super) fn apart(a: Point, b: Point) -> f64 {
    libm::hypot(a.x - b.x, a.y - b.y)
}

/// Positive where the three run counter-clockwise.
fn twice_area(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Metres;

    fn facet(corners: [(f64, f64, f64); 3], sigma: f64) -> Facet {
        let level = |(x, y, z)| Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(sigma) };
        Facet { corners: corners.map(level) }
    }

    #[test]
    fn a_right_angled_facet_is_worked_by_hand() {
        let facet = facet([(0.0, 0.0, 500.0), (10.0, 0.0, 500.3), (0.0, 20.0, 499.8)], 0.02);
        let gradient = facet.gradient();
        assert!((gradient.east.to_ratio() - 0.03).abs() < 1e-12);
        assert!((gradient.north.to_ratio() + 0.01).abs() < 1e-12);
        assert!((gradient.steepest().to_ratio() - 0.001_f64.sqrt()).abs() < 1e-12);
        assert!((gradient.along(TrueHeading::deg(180.0)).to_ratio() - 0.01).abs() < 1e-12);
        // Eastward slope of two levels 10 m apart, northward of two 20 m apart:
        // 0.02 sqrt(2/100 + 2/400).
        assert!((gradient.sigma.to_ratio() - 0.02 * 0.025_f64.sqrt()).abs() < 1e-12);
        assert!((facet.longest_side() - 500_f64.sqrt()).abs() < 1e-12);
        assert!((facet.area() - 100.0).abs() < 1e-12);
    }

    #[test]
    fn weights_at_a_point_are_the_shares_of_the_area_across_from_the_corners() {
        let facet = facet([(0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (0.0, 20.0, 0.0)], 0.0);
        let [a, b, c] = facet.weights(Point { x: 2.0, y: 5.0 });
        assert!((a - 0.55).abs() < 1e-12 && (b - 0.2).abs() < 1e-12 && (c - 0.25).abs() < 1e-12);
    }

    #[test]
    fn a_corner_within_ten_degrees_of_the_line_between_the_others_is_on_it() {
        // 10 tan(5 degrees) = 0.875.
        let at = |off: f64| facet([(0.0, off, 0.0), (-10.0, 0.0, 0.0), (10.0, 0.0, 0.0)], 0.0);
        assert!(at(0.87).is_sliver_at_first_corner());
        assert!(!at(0.88).is_sliver_at_first_corner());
    }
}
