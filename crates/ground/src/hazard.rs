//! A hazard on the ground: its shape, its height or depth, and how well each is known.
//!
//! Invariant: a shape has finite corners, a line at least two, an area at least three that do not
//! cross. A hazard whose height was not measured meets every part of the aircraft.

use crate::Point;
use crate::extent::{Grown, Turned};
use geo::{Distance, Euclidean, Geometry, Line, LineString, Polygon, TriangulateEarcut, Validation};
use measure::{Depth, Height, Metres};
use thiserror::Error;

/// What a hazard is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum HazardKind {
    /// A rock.
    Rock,
    /// A tree stump.
    Stump,
    /// A post.
    Post,
    /// A mound.
    Mound,
    /// A rut.
    Rut,
    /// A hole.
    Hole,
    /// A drain.
    Drain,
    /// Something marked but not yet looked at closely.
    Unidentified,
}

impl HazardKind {
    /// Every kind.
    pub const ALL: [Self; 8] = [
        Self::Rock,
        Self::Stump,
        Self::Post,
        Self::Mound,
        Self::Rut,
        Self::Hole,
        Self::Drain,
        Self::Unidentified,
    ];

    /// Its name in a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Rock => "rock",
            Self::Stump => "stump",
            Self::Post => "post",
            Self::Mound => "mound",
            Self::Rut => "rut",
            Self::Hole => "hole",
            Self::Drain => "drain",
            Self::Unidentified => "unidentified hazard",
        }
    }

    /// Whether it goes into the ground rather than standing on it.
    pub const fn is_sunk(self) -> bool {
        matches!(self, Self::Rut | Self::Hole | Self::Drain)
    }
}

/// How far a hazard stands above or goes below the ground.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Relief {
    /// Stands this high.
    Raised(Height),
    /// Goes this deep, where it was measured; only the keels can drop into it, however deep it is.
    Sunk(Option<Depth>),
    /// Nobody measured it: taken as meeting every part of the aircraft.
    NotMeasured,
}

/// Whether a hazard is still there.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Presence {
    /// It is there, or nobody confirmed that it is gone.
    Present,
    /// Somebody confirmed that it is gone.
    Removed,
}

/// A hazard's shape on the ground.
#[derive(Clone, PartialEq, Debug)]
pub struct Shape {
    // Invariant: one to three finite corners in each piece; together they cover the shape.
    pieces: Vec<Vec<Point>>,
}

/// A hazard's shape cannot be used.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum BadHazard {
    /// Too few corners.
    #[error("found {found} points, expected at least {expected}")]
    TooFewCorners {
        /// How many there are.
        found: usize,
        /// How many there must be.
        expected: usize,
    },
    /// An area crosses or touches itself.
    #[error("found an area that crosses or touches itself, expected a simple ring")]
    CrossesItself,
    /// A coordinate is not a number.
    #[error("found a coordinate that is not a finite number, expected numbers")]
    NotFinite,
}

impl Shape {
    /// A disc about a point (its radius is the hazard's).
    ///
    /// # Errors
    /// [`BadHazard::NotFinite`].
    pub fn disc(at: Point) -> Result<Self, BadHazard> {
        finite(&[at])?;
        Ok(Self { pieces: vec![vec![at]] })
    }

    /// A straight edge between two corners already known to be finite.
    pub(crate) fn edge(a: Point, b: Point) -> Self {
        Self { pieces: vec![vec![a, b]] }
    }

    /// A line through at least two points.
    ///
    /// # Errors
    /// [`BadHazard`] for fewer points or a coordinate that is not finite.
    pub fn line(points: &[Point]) -> Result<Self, BadHazard> {
        finite(points)?;
        if points.len() < 2 {
            return Err(BadHazard::TooFewCorners { found: points.len(), expected: 2 });
        }
        Ok(Self { pieces: points.windows(2).map(<[Point]>::to_vec).collect() })
    }

    /// An area within a simple ring of at least three corners, the last not repeating the first.
    ///
    /// # Errors
    /// [`BadHazard`] for fewer corners, a ring that crosses itself, or a coordinate not finite.
    pub fn area(ring: &[Point]) -> Result<Self, BadHazard> {
        finite(ring)?;
        if ring.len() < 3 {
            return Err(BadHazard::TooFewCorners { found: ring.len(), expected: 3 });
        }
        let polygon = Polygon::new(LineString::new(ring.to_vec()), Vec::new());
        if !polygon.is_valid() {
            return Err(BadHazard::CrossesItself);
        }
        let inside = polygon.earcut_triangles_iter().map(|t| vec![t.v1(), t.v2(), t.v3()]);
        // The sides again by themselves: a sliver that the triangulation drops still has its sides.
        let sides = (0..ring.len()).map(|i| vec![ring[i], ring[(i + 1) % ring.len()]]);
        Ok(Self { pieces: inside.chain(sides).collect() })
    }

    /// Its pieces in a turned frame, grown by a radius.
    pub(crate) fn grown<'a>(
        &'a self,
        radius: f64,
        turn: impl Fn(Point) -> Turned + 'a,
    ) -> impl Iterator<Item = Grown> + 'a {
        self.pieces.iter().map(move |corners| Grown::new(corners.iter().map(|&p| turn(p)), radius))
    }

    /// Corners of its convex pieces.
    pub(crate) fn pieces(&self) -> &[Vec<Point>] {
        &self.pieces
    }

    /// Whether any of it lies within a distance of another.
    pub fn is_near(&self, other: &Self, within: Metres) -> bool {
        let near =
            |a: &Vec<Point>, b: &Vec<Point>| Euclidean.distance(&geometry(a), &geometry(b)) <= within.to_m();
        self.pieces.iter().any(|a| other.pieces.iter().any(|b| near(a, b)))
    }

    /// Triangles that cover an area, for drawing; none for a point or a line.
    pub fn triangles(&self) -> Vec<[Point; 3]> {
        self.pieces.iter().filter_map(|p| <[Point; 3]>::try_from(p.as_slice()).ok()).collect()
    }

    /// Its corners, some of them more than once.
    pub fn corners(&self) -> impl Iterator<Item = Point> + '_ {
        self.pieces.iter().flatten().copied()
    }

    /// A point of the shape to hang its name on: the middle of its corners.
    pub fn label_point(&self) -> Point {
        let corners = || self.corners();
        let count = corners().count().max(1) as f64;
        let sum = corners().fold((0.0, 0.0), |sum, p| (sum.0 + p.x, sum.1 + p.y));
        Point { x: sum.0 / count, y: sum.1 / count }
    }
}

/// A disc that holds all corners of some pieces: its middle and radius.
pub(crate) fn disc_about(pieces: &[Vec<Point>]) -> (Point, f64) {
    let corners = || pieces.iter().flatten();
    let box_of = |of: fn(&Point) -> f64| {
        corners().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)))
    };
    let (x, y) = (box_of(|p| p.x), box_of(|p| p.y));
    let middle = Point { x: f64::midpoint(x.0, x.1), y: f64::midpoint(y.0, y.1) };
    let reach = corners().map(|p| libm::hypot(p.x - middle.x, p.y - middle.y)).fold(0.0, f64::max);
    (middle, reach)
}

fn finite(points: &[Point]) -> Result<(), BadHazard> {
    if points.iter().all(|p| p.x.is_finite() && p.y.is_finite()) { Ok(()) } else { Err(BadHazard::NotFinite) }
}

/// One hazard.
#[derive(Clone, PartialEq, Debug)]
pub struct Hazard {
    /// Its mark, unique in the strip.
    pub id: String,
    /// What it is.
    pub kind: HazardKind,
    /// Where it is.
    pub shape: Shape,
    /// Its size about that shape: radius of a disc, half-width of a line.
    pub radius: Metres,
    /// Height or depth.
    pub relief: Relief,
    /// Standard deviation of each coordinate.
    pub position_sigma: Metres,
    /// Standard deviation of the height.
    pub height_sigma: Metres,
    /// Whether it is still there.
    pub presence: Presence,
}

/// A piece as a geometry of one to three corners.
fn geometry(corners: &[Point]) -> Geometry<f64> {
    match *corners {
        [a] => Geometry::Point(a.into()),
        [a, b] => Geometry::Line(Line::new(a, b)),
        _ => Geometry::Polygon(Polygon::new(LineString::new(corners.to_vec()), Vec::new())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: f64, y: f64) -> Point {
        Point { x, y }
    }

    #[test]
    fn an_area_that_crosses_itself_is_refused() {
        let bow_tie = [p(0.0, 0.0), p(1.0, 1.0), p(1.0, 0.0), p(0.0, 1.0)];
        assert_eq!(Shape::area(&bow_tie), Err(BadHazard::CrossesItself));
    }

    #[test]
    fn a_concave_area_is_covered_by_its_pieces_and_no_more() {
        let l = [p(0.0, 0.0), p(4.0, 0.0), p(4.0, 1.0), p(1.0, 1.0), p(1.0, 4.0), p(0.0, 4.0)];
        let shape = Shape::area(&l).expect("simple");
        let area: f64 = shape
            .pieces
            .iter()
            .filter(|c| c.len() == 3)
            .map(|c| {
                ((c[1].x - c[0].x) * (c[2].y - c[0].y) - (c[2].x - c[0].x) * (c[1].y - c[0].y)).abs() / 2.0
            })
            .sum();
        assert!((area - 7.0).abs() < 1e-12);
    }

    #[test]
    fn a_line_of_one_point_is_refused() {
        let err = Shape::line(&[p(0.0, 0.0)]).unwrap_err();
        assert_eq!(err.to_string(), "found 1 points, expected at least 2");
    }
}
