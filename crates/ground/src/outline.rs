//! The boundary of ground that may be slid on, with islands that may not.
//!
//! Invariants: rings are simple, islands lie inside and apart, each ring has as many edges as
//! corners, every number is finite. Edge `i` runs from corner `i` to the next.

use crate::{EdgeKind, Point, Shape};
use geo::algorithm::validation::{InvalidPolygon, RingRole};
use geo::{
    BoundingRect, Contains, Distance, Euclidean, Intersects, Line, LineString, Polygon, Triangle,
    TriangulateEarcut, Validation,
};
use measure::{CIRCLE_95, Metres};
use thiserror::Error;

/// Most corners that one outline may have, islands included: a walked outline, simplified, has tens.
pub const MOST_CORNERS: usize = 4_000;

/// A surveyed corner.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Corner {
    /// Where it is.
    pub at: Point,
    /// Standard deviation of each coordinate.
    pub sigma: Metres,
}

/// A closed ring of corners and the edges between them.
#[derive(Clone, PartialEq, Debug)]
pub struct Ring {
    /// Corners in order, the last not repeating the first.
    pub corners: Vec<Corner>,
    /// Kind of the edge from each corner to the next.
    pub edges: Vec<EdgeKind>,
    /// Standard deviation of the edges' heights, as a share of each.
    pub height_share: f64,
}

/// Outer ring and islands.
#[derive(Clone, PartialEq, Debug)]
pub struct Outline {
    rings: Vec<Ring>,
    polygon: Polygon<f64>,
}

/// The outline cannot be used.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[error("{}: {problem}", ring_name(*.ring))]
pub struct BadOutline {
    /// Which ring: 0 the outline, then the islands.
    pub ring: usize,
    /// What is wrong with it.
    pub problem: RingProblem,
}

/// What is wrong with a ring; corners and edges are counted from 1.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum RingProblem {
    /// It has too few corners.
    #[error("found {0} corners, expected at least 3")]
    TooFewCorners(usize),
    /// With the others it has too many corners.
    #[error("found {0} corners in all rings, expected at most {MOST_CORNERS}")]
    TooManyCorners(usize),
    /// Edges and corners do not match.
    #[error("found {edges} edges for {corners} corners, expected one for each corner")]
    EdgeCount {
        /// How many edges.
        edges: usize,
        /// How many corners.
        corners: usize,
    },
    /// A corner lies where the one before it does.
    #[error("found corner {0} twice in a row, expected corners apart")]
    RepeatedCorner(usize),
    /// All corners lie on one line.
    #[error("found all corners on one line, expected an area")]
    NoArea,
    /// It crosses or touches itself, between these edges where that is known.
    #[error("found a ring that crosses or touches itself{}, expected a simple one", edges_named(*.0))]
    CrossesItself(Option<(usize, usize)>),
    /// It is not inside the outline, or meets another ring.
    #[error("found it outside the outline or on another island, expected it inside and apart")]
    Misplaced,
    /// A coordinate is not a finite number.
    #[error("found a coordinate that is not a finite number, expected numbers")]
    NotFinite,
}

fn edges_named(edges: Option<(usize, usize)>) -> String {
    edges.map_or_else(String::new, |(a, b)| format!(" (edges {a} and {b})"))
}

impl RingProblem {
    fn of(self, ring: usize) -> BadOutline {
        BadOutline { ring, problem: self }
    }
}

impl Outline {
    /// From the outer ring and the islands.
    ///
    /// # Errors
    /// [`BadOutline`] when an invariant of the module does not hold.
    pub fn new(outer: Ring, islands: Vec<Ring>) -> Result<Self, BadOutline> {
        let rings: Vec<Ring> = std::iter::once(outer).chain(islands).collect();
        let found = rings.iter().map(|r| r.corners.len()).sum();
        if found > MOST_CORNERS {
            return Err(RingProblem::TooManyCorners(found).of(0));
        }
        for (i, ring) in rings.iter().enumerate() {
            check_ring(ring).map_err(|problem| problem.of(i))?;
        }
        let lines: Vec<LineString<f64>> =
            rings.iter().map(|r| LineString::new(r.corners.iter().map(|c| c.at).collect())).collect();
        let mut lines = lines.into_iter();
        let polygon =
            Polygon::new(lines.next().unwrap_or_else(|| LineString::new(Vec::new())), lines.collect());
        polygon.check_validation().map_err(|invalid| describe(&invalid, &rings))?;
        Ok(Self { rings, polygon })
    }

    /// Outer ring first, then the islands.
    pub fn rings(&self) -> &[Ring] {
        &self.rings
    }

    /// Whether a point lies on ground that may be slid on.
    pub fn holds(&self, point: Point) -> bool {
        self.polygon.contains(&point)
    }

    /// Whether any part of a shape lies within the outer ring, islands included, or no farther from it than
    /// `within`; touching counts.
    pub fn is_near(&self, shape: &Shape, within: Metres) -> bool {
        let field = Polygon::new(self.polygon.exterior().clone(), Vec::new());
        let Some(about) = field.bounding_rect() else { return false };
        let (low, high, within) = (about.min(), about.max(), within.to_m());
        // Most pieces that are far are seen to be far from the box about the field.
        let beyond = |piece: &Vec<Point>| {
            piece.iter().all(|p| p.x < low.x - within)
                || piece.iter().all(|p| p.x > high.x + within)
                || piece.iter().all(|p| p.y < low.y - within)
                || piece.iter().all(|p| p.y > high.y + within)
        };
        let apart = |piece: &Vec<Point>| match piece[..] {
            [a] => Euclidean.distance(&geo::Point::from(a), &field),
            [a, b] => Euclidean.distance(&Line::new(a, b), &field),
            [a, b, c] => Euclidean.distance(&Triangle::new(a, b, c), &field),
            // A piece has one to three corners.
            _ => f64::INFINITY,
        };
        shape.pieces().iter().any(|piece| !beyond(piece) && apart(piece) <= within)
    }

    pub(crate) fn polygon(&self) -> &Polygon<f64> {
        &self.polygon
    }

    /// Middle of the box about it, east and north.
    pub fn middle(&self) -> Point {
        self.polygon.bounding_rect().map_or(Point { x: 0.0, y: 0.0 }, geo::Rect::center)
    }

    /// Triangles that cover the ground that may be slid on, for drawing.
    pub fn triangles(&self) -> Vec<[Point; 3]> {
        self.polygon.earcut_triangles_iter().map(|t| [t.v1(), t.v2(), t.v3()]).collect()
    }

    /// A length that no straight line inside the outline exceeds: the greatest distance between two
    /// corners, each moved apart by the circle that holds 95 % of its error.
    pub fn longest_line_bound(&self) -> Metres {
        let corners = self.rings.first().map_or(&[][..], |outer| &outer.corners);
        let grown = |c: &Corner| CIRCLE_95 * c.sigma.to_m();
        let mut longest = 0.0_f64;
        for (i, a) in corners.iter().enumerate() {
            for b in &corners[i + 1..] {
                let apart = libm::hypot(a.at.x - b.at.x, a.at.y - b.at.y);
                longest = longest.max(apart + grown(a) + grown(b));
            }
        }
        Metres::m(longest)
    }
}

/// Name of a ring by its index, as used in every message.
pub(crate) fn ring_name(index: usize) -> String {
    if index == 0 { "outline".to_owned() } else { format!("island {index}") }
}

fn describe(invalid: &InvalidPolygon, rings: &[Ring]) -> BadOutline {
    let index = |role: &RingRole| match role {
        RingRole::Exterior => 0,
        RingRole::Interior(i) => i + 1,
    };
    match invalid {
        InvalidPolygon::TooFewPointsInRing(role) | InvalidPolygon::SelfIntersection(role) => {
            let i = index(role);
            RingProblem::CrossesItself(rings.get(i).and_then(crossing_edges)).of(i)
        }
        InvalidPolygon::NonFiniteCoord(role, _) => RingProblem::NotFinite.of(index(role)),
        InvalidPolygon::InteriorRingNotContainedInExteriorRing(role) => {
            RingProblem::Misplaced.of(index(role))
        }
        InvalidPolygon::IntersectingRingsOnALine(a, b) | InvalidPolygon::IntersectingRingsOnAnArea(a, b) => {
            RingProblem::Misplaced.of(index(a).max(index(b)))
        }
    }
}

/// What can be seen of a ring by itself, but for crossings.
fn check_ring(ring: &Ring) -> Result<(), RingProblem> {
    let (corners, edges) = (ring.corners.len(), ring.edges.len());
    if corners < 3 {
        return Err(RingProblem::TooFewCorners(corners));
    }
    if corners != edges {
        return Err(RingProblem::EdgeCount { edges, corners });
    }
    let at = |i: usize| ring.corners[i % corners].at;
    if let Some(i) = (0..corners).find(|&i| at(i) == at(i + 1)) {
        return Err(RingProblem::RepeatedCorner((i + 1) % corners + 1));
    }
    // Exactly on one line; a sliver is an area and has no lane in it.
    let across = |p: Point| (at(1).x - at(0).x) * (p.y - at(0).y) - (at(1).y - at(0).y) * (p.x - at(0).x);
    if (2..corners).all(|i| across(at(i)) == 0.0) {
        return Err(RingProblem::NoArea);
    }
    Ok(())
}

/// Numbers, from 1, of the first two edges that meet where they should not.
fn crossing_edges(ring: &Ring) -> Option<(usize, usize)> {
    let count = ring.corners.len();
    let edge = |i: usize| Line::new(ring.corners[i].at, ring.corners[(i + 1) % count].at);
    let neighbours = |i: usize, j: usize| j == i + 1 || (i == 0 && j + 1 == count);
    (0..count)
        .flat_map(|i| (i + 1..count).map(move |j| (i, j)))
        .find(|&(i, j)| !neighbours(i, j) && edge(i).intersects(&edge(j)))
        .map(|(i, j)| (i + 1, j + 1))
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    pub(crate) fn ring(points: &[(f64, f64)]) -> Ring {
        Ring {
            corners: points
                .iter()
                .map(|&(x, y)| Corner { at: Point { x, y }, sigma: Metres::ZERO })
                .collect(),
            edges: vec![EdgeKind::Open; points.len()],
            height_share: 0.0,
        }
    }

    #[track_caller]
    fn check_refused(outer: &[(f64, f64)], islands: &[&[(f64, f64)]], message: &str) {
        let err = Outline::new(ring(outer), islands.iter().map(|i| ring(i)).collect()).unwrap_err();
        assert_eq!(err.to_string(), message);
    }

    const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];

    #[test]
    fn an_outline_that_crosses_itself_names_the_edges() {
        check_refused(
            &[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)],
            &[],
            "outline: found a ring that crosses or touches itself (edges 1 and 3), expected a simple one",
        );
    }

    #[test]
    fn two_corners_make_no_outline() {
        check_refused(&[(0.0, 0.0), (1.0, 0.0)], &[], "outline: found 2 corners, expected at least 3");
    }

    #[test]
    fn corners_twice_or_all_on_one_line_make_no_outline() {
        check_refused(
            &[(0.0, 0.0), (10.0, 0.0), (10.0, 0.0), (0.0, 10.0)],
            &[],
            "outline: found corner 3 twice in a row, expected corners apart",
        );
        check_refused(
            &[(0.0, 0.0), (10.0, 0.0), (20.0, 0.0)],
            &[],
            "outline: found all corners on one line, expected an area",
        );
    }

    #[test]
    fn an_island_outside_is_refused() {
        check_refused(
            &SQUARE,
            &[&[(20.0, 20.0), (21.0, 20.0), (21.0, 21.0)]],
            "island 1: found it outside the outline or on another island, expected it inside and apart",
        );
    }

    #[test]
    fn a_point_on_an_island_is_not_held() {
        let island = ring(&[(4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0)]);
        let outline = Outline::new(ring(&SQUARE), vec![island]).expect("valid");
        assert!(outline.holds(Point { x: 1.0, y: 1.0 }));
        assert!(!outline.holds(Point { x: 5.0, y: 5.0 }));
        assert!(!outline.holds(Point { x: 11.0, y: 5.0 }));
    }

    #[test]
    fn a_shape_is_near_if_any_part_of_it_is() {
        let island = ring(&[(4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0)]);
        let outline = Outline::new(ring(&SQUARE), vec![island]).expect("valid");
        let area = |west: f64, east: f64| {
            let corners = [(west, 4.5), (east, 4.5), (east, 5.5), (west, 5.5)];
            Shape::area(&corners.map(|(x, y)| Point { x, y })).expect("an area")
        };
        // On an island, across the edge, touching it, and right across.
        for (west, east) in [(4.5, 5.5), (9.0, 20.0), (10.0, 20.0), (-50.0, 50.0)] {
            assert!(outline.is_near(&area(west, east), Metres::ZERO), "{west} to {east}");
        }
        let all_of_it = [(-50.0, -50.0), (50.0, -50.0), (0.0, 90.0)].map(|(x, y)| Point { x, y });
        assert!(outline.is_near(&Shape::area(&all_of_it).expect("an area"), Metres::ZERO));
        assert!(!outline.is_near(&area(12.0, 20.0), Metres::m(1.999)));
        assert!(outline.is_near(&area(12.0, 20.0), Metres::m(2.0)));
    }

    #[test]
    fn the_longest_line_in_a_square_is_its_diagonal() {
        let outline = Outline::new(ring(&SQUARE), vec![]).expect("valid");
        assert!((outline.longest_line_bound().to_m() - 200_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn corners_that_are_badly_known_could_be_farther_apart() {
        let mut outer = ring(&SQUARE);
        for c in &mut outer.corners {
            c.sigma = Metres::m(2.0);
        }
        let outline = Outline::new(outer, vec![]).expect("valid");
        let bound = outline.longest_line_bound().to_m();
        assert!((bound - (200_f64.sqrt() + 2.0 * 2.45 * 2.0)).abs() < 1e-12);
    }
}
