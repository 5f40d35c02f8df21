//! From a walk round a field to its outline, what of it was not walked, and what was walked inside it.
//!
//! Invariants:
//! - the outline lies nowhere farther from the walk (or from the straight lines that close it) than the
//!   tolerance, which is added to the accuracy of its corners;
//! - what of the walk lies deeper inside the outline than an edge's own uncertainty is handed out, so
//!   that it can block: a walk round a pond or along a spur of hedge must not disappear.

use crate::accuracy::Accuracy;
use crate::crossings::is_tangled;
use crate::error::Problem;
use crate::rings::{all_pieces, is_simple, largest, odd_ground, open, polygon, whole_millimetres};
use crate::simplify;
use geo::{Area, BooleanOps, Buffer, Distance, Euclidean, Length, LineString, MultiLineString};
use ground::Point;
use measure::CIRCLE_95;
use std::f64::consts::SQRT_2;

/// Most corners of an outline; a walked one, simplified, has tens.
const MOST_CORNERS: usize = 1_000;

/// Depth inside the outline, in standard deviations of its corners, past which a walk is no longer the
/// walk along the edge. Below `CIRCLE_95`, so that nothing is missed between this and what the edge
/// itself takes when lanes are judged.
const INSIDE: f64 = 2.0;

/// Share of the ground inside that is gone round evenly often, past which the walk went round twice.
const TWICE_SHARE: f64 = 0.5;

/// A walk in the field, in pieces walked without a break.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Path {
    pub(crate) label: String,
    pub(crate) pieces: Vec<Vec<Point>>,
    /// Worst standard deviation of any coordinate, metres.
    pub(crate) sigma: f64,
}

impl Path {
    /// All points in order, none twice in a row.
    pub(crate) fn points(&self) -> Vec<Point> {
        let mut points = self.pieces.concat();
        points.dedup();
        points
    }

    /// The same with fewer points, none of the walk farther from it than the tolerance.
    fn simplified(&self, tolerance: f64) -> Self {
        let pieces = self.pieces.iter().map(|p| simplify::line(p, tolerance)).collect();
        Self { label: self.label.clone(), pieces, sigma: self.sigma }
    }

    /// Its pieces as lines.
    fn lines(&self) -> MultiLineString<f64> {
        let lines = self.pieces.iter().cloned().map(LineString::new);
        MultiLineString::new(lines.filter(|l| Euclidean.length(l) > 0.0).collect())
    }
}

/// The outline of a walk.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Boundary {
    pub(crate) ring: Vec<Point>,
    /// Farthest that it may lie from the walk, metres.
    pub(crate) tolerance: f64,
    /// Standard deviation of its corners, metres, tolerance included.
    pub(crate) sigma: f64,
    /// Between the end of the walk and its start, metres.
    pub(crate) gap: f64,
    /// Area of loops beside the outline, square metres.
    pub(crate) left_out: f64,
    /// Length of the outline that was not walked, metres.
    pub(crate) not_walked: f64,
    /// What was walked inside.
    pub(crate) inside: Inside,
}

/// What was walked inside an outline.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Inside {
    /// Parts of the walk.
    pub(crate) lines: Vec<Vec<Point>>,
    /// Rings round ground that the walk goes round evenly often: cut off, or gone round by itself.
    pub(crate) areas: Vec<Vec<Point>>,
    /// The walk went round most of the field more than once, so `areas` cannot be told.
    pub(crate) twice: bool,
}

impl Boundary {
    /// Of a walk round a field. Half of the tolerance goes into the walk, before its crossings are taken
    /// apart: the wandering of a receiver that stands still would be thousands of them.
    pub(crate) fn of(path: &Path, accuracy: Accuracy) -> Result<Self, Problem> {
        let half = accuracy.tolerance() / 2.0;
        let path = path.simplified(half);
        let points = path.points();
        if is_tangled(&points) {
            return Err(Problem::Tangled { walk: path.label });
        }
        let simple = largest(&points, half, MOST_CORNERS, &path.label)?;
        let tolerance = half + simple.tolerance;
        let sigma = path.sigma + tolerance;
        let gap = points.first().zip(points.last()).map_or(0.0, |(a, b)| Euclidean.distance(*a, *b));
        Ok(Self {
            gap,
            not_walked: not_walked(&path, &simple.ring, tolerance, accuracy.base()),
            inside: inside(&path, &simple.ring, sigma),
            ring: simple.ring,
            tolerance,
            sigma,
            left_out: simple.left_out,
        })
    }
}

/// Length of the ring that lies farther from the walk than half the gap that the errors of two fixes
/// can make (95 % circle of a difference), and than what simplifying both may have moved them.
fn not_walked(path: &Path, ring: &[Point], tolerance: f64, base: f64) -> f64 {
    let reach = CIRCLE_95 * SQRT_2 * base / 2.0 + 2.0 * tolerance;
    let mut side = LineString::new(ring.to_vec());
    side.close();
    let sides = MultiLineString::new(vec![side]);
    Euclidean.length(&path.lines().buffer(reach).clip(&sides, true))
}

fn inside(path: &Path, ring: &[Point], sigma: f64) -> Inside {
    let deep = polygon(ring).buffer(-INSIDE * sigma);
    // A piece shorter than this cannot reach out of what the edge itself takes.
    let shortest = (CIRCLE_95 - INSIDE) * sigma;
    let cut = deep.clip(&path.lines(), false);
    let lines = cut.iter().filter(|l| Euclidean.length(*l) >= shortest);
    let lines = lines.map(|l| whole_millimetres(&l.0)).filter(|l| l.len() > 1);
    let even = deep.difference(&odd_ground(&path.points()));
    let twice = even.unsigned_area() > TWICE_SHARE * deep.unsigned_area();
    let areas = even.iter().filter(|_| !twice).map(|p| open(p.exterior()));
    Inside { lines: lines.collect(), areas: areas.collect(), twice }
}

/// A closed walk as what it may be round: rings, and, where it crosses itself or goes round nothing,
/// the line as well, because rings alone could leave parts of it out.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Around {
    pub(crate) rings: Vec<Vec<Point>>,
    pub(crate) line: Option<Vec<Point>>,
}

impl Around {
    /// Of a walk round something that blocks.
    pub(crate) fn of(path: &Path, tolerance: f64) -> Self {
        let points = path.points();
        let ring = whole_millimetres(&simplify::ring(&points, tolerance));
        if ring.len() <= MOST_CORNERS && is_simple(&ring) {
            return Self { rings: vec![ring], line: None };
        }
        let mut line = simplify::line(&points, tolerance);
        line.extend(points.first());
        // A ring that crosses itself becomes its hull, which is more than all pieces together.
        let rings = if is_tangled(&ring) { vec![ring] } else { all_pieces(&ring) };
        Self { rings, line: Some(whole_millimetres(&line)) }
    }
}
