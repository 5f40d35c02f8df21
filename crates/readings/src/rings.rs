//! Simple rings out of walks that cross themselves.
//!
//! Invariants: a ring that is handed out is simple in the sense of the outline's own check, runs
//! anticlockwise, starts at its corner nearest the datum, and has its corners on whole millimetres.
//!
//! The overlay of regions is the geometry library's.

use crate::error::Problem;
use crate::simplify;
use geo::algorithm::bool_ops::FillRule;
use geo::{Area, BooleanOps, ConvexHull, LineString, MultiPoint, MultiPolygon, Polygon, Validation};
use ground::Point;

/// Steps to which coordinates are written, as parts of a metre.
const STEPS: f64 = 1_000.0;

/// How often the tolerance is doubled before a ring is given up as too intricate.
const DOUBLINGS: i32 = 3;

/// Fewest corners of a ring.
const FEWEST_CORNERS: usize = 3;

/// The ring of a walk.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Simple {
    pub(crate) ring: Vec<Point>,
    /// Farthest that it may lie from the walk, metres.
    pub(crate) tolerance: f64,
    /// Area of the loops beside it that were left out, square metres.
    pub(crate) left_out: f64,
}

/// The largest ground that a closed walk goes round, with at most `most` corners.
pub(crate) fn largest(walk: &[Point], tolerance: f64, most: usize, label: &str) -> Result<Simple, Problem> {
    let no_ground = || Problem::NoGround { walk: label.to_owned(), width_m: tolerance };
    let (outer, beside) = largest_piece(walk).ok_or_else(no_ground)?;
    for doubling in 0..=DOUBLINGS {
        let tolerance = tolerance * 2_f64.powi(doubling);
        let coarse = whole_millimetres(&simplify::ring(&outer, tolerance));
        if coarse.len() < FEWEST_CORNERS {
            return Err(no_ground());
        }
        if coarse.len() > most {
            continue;
        }
        // Simplifying may make sides cross that did not cross before.
        let (ring, cut) = if is_simple(&coarse) {
            (coarse, 0.0)
        } else {
            let (piece, cut) = largest_piece(&coarse).ok_or_else(no_ground)?;
            (whole_millimetres(&piece), cut)
        };
        if ring.len() <= most && is_simple(&ring) {
            return Ok(Simple { ring: in_order(ring), tolerance, left_out: beside + cut });
        }
    }
    Err(Problem::TooManyCorners { walk: label.to_owned(), most })
}

/// A simple ring that encloses at least what the given one does, up to the tolerance; `None` where
/// nothing is enclosed. It is for hazards, where larger is the safe side.
pub(crate) fn enclosing(ring: &[Point], tolerance: f64, most: usize) -> Option<Vec<Point>> {
    let fits = |ring: &Vec<Point>| ring.len() <= most && is_simple(ring);
    let fine = Some(whole_millimetres(&simplify::ring(ring, tolerance))).filter(fits);
    let hull = || {
        let hull = MultiPoint::from(ring.to_vec()).convex_hull();
        let hull = open(hull.exterior());
        Some(whole_millimetres(&simplify::ring(&hull, tolerance))).filter(fits)
    };
    fine.or_else(hull).map(in_order)
}

/// Everything that a closed walk goes round, as pieces without holes.
pub(crate) fn all_pieces(walk: &[Point]) -> Vec<Vec<Point>> {
    wound(walk, FillRule::NonZero).iter().map(|p| open(p.exterior())).collect()
}

/// Ground that a closed walk goes round an odd number of times.
pub(crate) fn odd_ground(walk: &[Point]) -> MultiPolygon<f64> {
    wound(walk, FillRule::EvenOdd)
}

/// A polygon of a ring.
pub(crate) fn polygon(ring: &[Point]) -> Polygon<f64> {
    Polygon::new(LineString::new(ring.to_vec()), Vec::new())
}

/// Whether a ring neither crosses nor touches itself.
pub(crate) fn is_simple(ring: &[Point]) -> bool {
    ring.len() >= FEWEST_CORNERS && polygon(ring).is_valid()
}

/// A closed line without its last point, which repeats the first.
pub(crate) fn open(closed: &LineString<f64>) -> Vec<Point> {
    closed.0.split_last().map_or_else(Vec::new, |(_, ring)| ring.to_vec())
}

/// Corners on whole millimetres, none twice in a row.
pub(crate) fn whole_millimetres(points: &[Point]) -> Vec<Point> {
    // Adding zero turns a negative zero into zero.
    let whole = |v: f64| (v * STEPS).round() / STEPS + 0.0;
    let mut list: Vec<Point> = points.iter().map(|p| Point { x: whole(p.x), y: whole(p.y) }).collect();
    list.dedup();
    list
}

fn wound(walk: &[Point], rule: FillRule) -> MultiPolygon<f64> {
    polygon(walk).union_with_fill_rule(&MultiPolygon::new(Vec::new()), rule)
}

/// The largest piece of ground that is gone round, and the area of the other pieces.
fn largest_piece(walk: &[Point]) -> Option<(Vec<Point>, f64)> {
    let pieces = wound(walk, FillRule::NonZero);
    let area = |p: &Polygon<f64>| polygon(&open(p.exterior())).unsigned_area();
    let piece = pieces.iter().max_by(|a, b| area(a).total_cmp(&area(b)))?;
    let all: f64 = pieces.iter().map(area).sum();
    Some((open(piece.exterior()), (all - area(piece)).max(0.0)))
}

/// Anticlockwise from the corner nearest the datum.
fn in_order(mut ring: Vec<Point>) -> Vec<Point> {
    if polygon(&ring).signed_area() < 0.0 {
        ring.reverse();
    }
    let away = |p: &Point| p.x * p.x + p.y * p.y;
    let nearest = ring.iter().enumerate().min_by(|a, b| away(a.1).total_cmp(&away(b.1)));
    let start = nearest.map_or(0, |(i, _)| i);
    ring.rotate_left(start);
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<Point> {
        list.iter().map(|&(x, y)| Point { x, y }).collect()
    }

    /// Lobes of 40 by 40 / 2 = 800 and 20 by 20 / 2 = 200 square metres that meet in one point.
    const EIGHT: [(f64, f64); 4] = [(-40.0, 20.0), (-40.0, -20.0), (20.0, 10.0), (20.0, -10.0)];

    #[test]
    fn of_a_figure_of_eight_the_larger_lobe_stays() {
        let simple = largest(&points(&EIGHT), 0.1, 100, "track 1").expect("ground");
        assert_eq!(simple.ring, points(&[(0.0, 0.0), (-40.0, 20.0), (-40.0, -20.0)]));
        assert!((simple.left_out - 200.0).abs() < 0.01, "{}", simple.left_out);
    }

    #[test]
    fn a_walk_there_and_back_goes_round_nothing() {
        let line = points(&[(0.0, 0.0), (50.0, 0.0), (100.0, 0.0), (50.0, 0.0)]);
        let err = largest(&line, 2.5, 100, "track 1").unwrap_err();
        assert_eq!(
            err.to_string(),
            "track 1: found no ground inside that is wider than 2.5 m, expected a walk round the field"
        );
    }

    #[test]
    fn a_crossing_hazard_becomes_its_hull() {
        let hull = enclosing(&points(&EIGHT), 0.1, 100).expect("an area");
        assert!((polygon(&hull).unsigned_area() - (60.0 * 30.0)).abs() < 1e-9);
    }
}
