//! The boundary of ground that may be slid on, with islands that may not.
//!
//! Invariants: rings are simple, islands lie inside and apart, each ring has as many edges as
//! corners, every number is finite. Edge `i` runs from corner `i` to the next.

use crate::{EdgeKind, Point};
use geo::algorithm::validation::{InvalidPolygon, RingRole};
use geo::{Contains, LineString, Polygon, TriangulateEarcut, Validation};
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
}

/// Outer ring and islands.
#[derive(Clone, PartialEq, Debug)]
pub struct Outline {
    rings: Vec<Ring>,
    polygon: Polygon<f64>,
}

/// The outline cannot be used. Rings are named "outline" and "island 1", "island 2", ...
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum BadOutline {
    /// A ring has too few corners.
    #[error("{ring}: found {found} corners, expected at least 3")]
    TooFewCorners {
        /// Which ring.
        ring: String,
        /// How many corners.
        found: usize,
    },
    /// All rings together have too many corners.
    #[error("found {found} corners in all, expected at most {MOST_CORNERS}")]
    TooManyCorners {
        /// How many corners.
        found: usize,
    },
    /// Edges and corners do not match.
    #[error("{ring}: found {edges} edges for {corners} corners, expected one for each corner")]
    EdgeCount {
        /// Which ring.
        ring: String,
        /// How many edges.
        edges: usize,
        /// How many corners.
        corners: usize,
    },
    /// A ring crosses or touches itself.
    #[error("{ring}: crosses or touches itself{place}, expected a simple ring")]
    CrossesItself {
        /// Which ring.
        ring: String,
        /// Where, when it is known: " (edges 1 and 3)".
        place: String,
    },
    /// An island is not inside, or meets another ring.
    #[error("{ring}: not inside the outline and apart from other islands")]
    Misplaced {
        /// Which ring.
        ring: String,
    },
    /// A coordinate is not a finite number.
    #[error("{ring}: a coordinate is not a finite number")]
    NotFinite {
        /// Which ring.
        ring: String,
    },
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
            return Err(BadOutline::TooManyCorners { found });
        }
        for (i, ring) in rings.iter().enumerate() {
            let (corners, edges) = (ring.corners.len(), ring.edges.len());
            if corners < 3 {
                return Err(BadOutline::TooFewCorners { ring: ring_name(i), found: corners });
            }
            if corners != edges {
                return Err(BadOutline::EdgeCount { ring: ring_name(i), edges, corners });
            }
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
            let place = rings.get(i).and_then(crossing_edges);
            let place = place.map_or_else(String::new, |(a, b)| format!(" (edges {a} and {b})"));
            BadOutline::CrossesItself { ring: ring_name(i), place }
        }
        InvalidPolygon::NonFiniteCoord(role, _) => BadOutline::NotFinite { ring: ring_name(index(role)) },
        InvalidPolygon::InteriorRingNotContainedInExteriorRing(role) => {
            BadOutline::Misplaced { ring: ring_name(index(role)) }
        }
        InvalidPolygon::IntersectingRingsOnALine(a, b) | InvalidPolygon::IntersectingRingsOnAnArea(a, b) => {
            BadOutline::Misplaced { ring: ring_name(index(a).max(index(b))) }
        }
    }
}

/// Numbers, from 1, of the first two edges that meet where they should not.
fn crossing_edges(ring: &Ring) -> Option<(usize, usize)> {
    use geo::{Intersects, Line};
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
            "outline: crosses or touches itself (edges 1 and 3), expected a simple ring",
        );
    }

    #[test]
    fn two_corners_make_no_outline() {
        check_refused(&[(0.0, 0.0), (1.0, 0.0)], &[], "outline: found 2 corners, expected at least 3");
    }

    #[test]
    fn an_island_outside_is_refused() {
        check_refused(
            &SQUARE,
            &[&[(20.0, 20.0), (21.0, 20.0), (21.0, 21.0)]],
            "island 1: not inside the outline and apart from other islands",
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
