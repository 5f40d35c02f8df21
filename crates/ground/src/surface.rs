//! The surface between reduced levels: facets that bend along breaklines and nowhere between levels.
//!
//! The height at a place is linear between the three levels around it; its error is theirs, taken as
//! independent, carried through the same sum. What lies between the levels and was not seen is in no
//! error given here: [`Surface::spacing_at`] says how far apart they are.
//!
//! Invariants:
//! - outside the levels, and in the slivers along their rim (`rim`), nothing is measured;
//! - on an edge or a level the facet that hurts more is taken, so that no answer hangs on rounding;
//! - levels side by side (0.25 m, and 0.10 m of height) are one, less sure (`place`), so that no facet has
//!   the slope of the turf between them; every facet that counts as measured counts in the steepest and
//!   in the bend, so that both are bounds of whatever lies on the surface.
//!
//! Not here: the keel on the surface (`keel`), the plane through the levels (`plane`).

mod facet;
mod net;
mod place;
mod rim;

pub use facet::Gradient;

use crate::{BadLevels, Level, Point};
use facet::{Facet, apart};
use measure::{Metres, ONE_SIDED_95, Slope};
use net::{Knot, Net};
use spade::handles::{FaceHandle, FixedVertexHandle, InnerTag};
use spade::{Intersection, LineIntersectionIterator, Point2, PositionInTriangulation, Triangulation};

/// A line along which the ground bends: top or foot of a bank, bottom of a ditch, edge of a track.
///
/// Consecutive points are joined by an edge of the surface.
#[derive(Clone, PartialEq, Debug)]
pub struct Breakline {
    /// Its points in order, at least two apart from each other.
    pub points: Vec<Level>,
}

/// The surface through levels and breaklines.
#[derive(Clone, Debug)]
pub struct Surface {
    net: Net,
    steepest: Slope,
    bend_bound: Slope,
    worst_sigma: Metres,
}

/// A sum of heights of the surface, each times a factor.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Combined {
    /// The sum.
    pub value: f64,
    /// Its standard deviation; levels that several of the heights hang on count once.
    pub sigma: f64,
    /// The largest standard deviation of a level in it.
    pub worst_level: f64,
}

/// A level, by its index, and its share in a height.
type Share = (usize, f64);

type Face<'a> = FaceHandle<
    'a,
    InnerTag,
    Knot,
    <Net as Triangulation>::DirectedEdge,
    <Net as Triangulation>::UndirectedEdge,
    <Net as Triangulation>::Face,
>;

impl Surface {
    /// Joins levels and breaklines.
    ///
    /// Several levels at one place become one: the mean of the surest. Of levels within 0.25 m and 0.10 m
    /// of height of each other the first stays, a point of a breakline before others. In both cases its
    /// error is not smaller than what they lie apart. Breaklines may meet in a point that both have, or
    /// that lies exactly on the other.
    ///
    /// # Errors
    /// [`BadLevels`]: fewer than three places, all of them on one line (a sliver counts as a line), a
    /// level that is not finite or lies beyond 1,000 km, a breakline of one place, breaklines that cross.
    pub fn new(levels: &[Level], breaklines: &[Breakline]) -> Result<Self, BadLevels> {
        let mut net = net::joined(levels, breaklines)?;
        rim::take_off_slivers(&mut net);
        let measured = net.inner_faces().filter(|f| !f.data().0).map(facet_of);
        let gradients: Vec<(Gradient, f64)> = measured.map(|f| (f.gradient(), f.area())).collect();
        if gradients.is_empty() {
            return Err(BadLevels::OnOneLine);
        }
        let (steepest, bend_bound) = (steepest_of(&gradients), bend_bound_of(&gradients));
        let worst_sigma = net.vertices().map(|v| v.data().0.sigma).fold(Metres::ZERO, Metres::max);
        Ok(Self { net, steepest, bend_bound, worst_sigma })
    }

    /// The three levels of every facet that was measured.
    pub fn facets(&self) -> impl Iterator<Item = [Level; 3]> + '_ {
        self.net.inner_faces().filter(|f| !f.data().0).map(|f| facet_of(f).corners)
    }

    /// Height above the datum and its standard deviation; `None` where nothing was measured.
    pub fn height_at(&self, point: Point) -> Option<(Metres, Metres)> {
        let height = self.combined(&[(point, 1.0)])?;
        Some((Metres::m(height.value), Metres::m(height.sigma)))
    }

    /// Gradient of the facet at a point, of the steepest where several meet; `None` where nothing was
    /// measured.
    pub fn gradient_at(&self, point: Point) -> Option<Gradient> {
        let gradients = self.facets_at(point).into_iter().map(|f| f.gradient());
        gradients.reduce(|a, b| if b.steepest() > a.steepest() { b } else { a })
    }

    /// How coarse the levels are at a point: the longest edge of the facet there, of the coarsest where
    /// several meet; `None` where nothing was measured.
    pub fn spacing_at(&self, point: Point) -> Option<Metres> {
        let longest = self.facets_at(point).into_iter().map(|f| Metres::m(f.longest_side()));
        longest.reduce(Metres::max)
    }

    /// The steepest facet, whatever its direction, with its error at one-sided 95 %.
    pub fn steepest(&self) -> Slope {
        self.steepest
    }

    /// The gradients of no two facets differ by more than this: twice the largest deviation from their
    /// mean by area, and so at most twice the true bound. Of the levels as they are, without error.
    pub fn bend_bound(&self) -> Slope {
        self.bend_bound
    }

    /// The largest standard deviation of a level as the surface has it: of levels that were made one it may
    /// be larger than that of any of them.
    pub fn worst_sigma(&self) -> Metres {
        self.worst_sigma
    }

    /// The sum of heights at points, each times its factor; `None` if one of them was not measured.
    pub(crate) fn combined(&self, terms: &[(Point, f64)]) -> Option<Combined> {
        let mut shares: Vec<Share> = Vec::with_capacity(3 * terms.len());
        for &(point, factor) in terms {
            shares.extend(self.shares_at(point)?.into_iter().map(|(knot, share)| (knot, share * factor)));
        }
        // A stable order by level, so that the sum has the same digits however the terms are found.
        shares.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let (mut value, mut variance, mut worst) = (0.0, 0.0, 0.0_f64);
        for same in shares.chunk_by(|a, b| a.0 == b.0) {
            let level = self.level(same[0].0);
            let share: f64 = same.iter().map(|s| s.1).sum();
            let off = share * level.sigma.to_m();
            value += share * level.height.to_m();
            variance += off * off;
            worst = worst.max(level.sigma.to_m());
        }
        Some(Combined { value, sigma: libm::sqrt(variance), worst_level: worst })
    }

    /// Where a straight line from one point to another crosses edges and levels, as points with height
    /// and its error, in no order.
    pub(crate) fn crossings(&self, from: Point, to: Point) -> Vec<Level> {
        let mut out = Vec::new();
        if !(is_place(from) && is_place(to)) {
            return out;
        }
        for met in LineIntersectionIterator::new(&self.net, spade_from(from), spade_from(to)) {
            match met {
                Intersection::VertexIntersection(knot) => out.push(knot.data().0),
                Intersection::EdgeOverlap(edge) => out.extend(edge.vertices().map(|v| v.data().0)),
                Intersection::EdgeIntersection(edge) => {
                    // From the lower index, so that an edge gives the same digits from either side.
                    let mut ends = edge.vertices();
                    ends.sort_by_key(|v| v.fix().index());
                    out.push(crossing(ends.map(|v| v.data().0), from, to));
                }
            }
        }
        out
    }

    fn level(&self, index: usize) -> Level {
        self.net.vertex(FixedVertexHandle::from_index(index)).data().0
    }

    /// Levels that the height at a point hangs on.
    fn shares_at(&self, point: Point) -> Option<Vec<Share>> {
        let place = self.locate(point)?;
        if self.faces_of(place).is_empty() {
            return None;
        }
        Some(match place {
            PositionInTriangulation::OnVertex(knot) => vec![(knot.index(), 1.0)],
            PositionInTriangulation::OnEdge(edge) => {
                let [a, b] = self.net.directed_edge(edge).vertices();
                let (to_a, to_b) = (apart(a.data().0.at, point), apart(b.data().0.at, point));
                let whole = to_a + to_b;
                vec![(a.fix().index(), to_b / whole), (b.fix().index(), to_a / whole)]
            }
            PositionInTriangulation::OnFace(face) => {
                let face = self.net.face(face);
                let knots = face.vertices().map(|v| v.fix().index());
                knots.into_iter().zip(facet_of(face).weights(point)).collect()
            }
            _ => return None,
        })
    }

    fn locate(&self, point: Point) -> Option<PositionInTriangulation> {
        is_place(point).then(|| self.net.locate(spade_from(point)))
    }

    fn facets_at(&self, point: Point) -> Vec<Facet> {
        let faces = self.locate(point).map(|place| self.faces_of(place)).unwrap_or_default();
        faces.into_iter().map(facet_of).collect()
    }

    /// The measured facets that meet in a place, by their index.
    fn faces_of(&self, place: PositionInTriangulation) -> Vec<Face<'_>> {
        let mut faces: Vec<Face<'_>> = match place {
            PositionInTriangulation::OnVertex(knot) => {
                self.net.vertex(knot).out_edges().filter_map(|e| e.face().as_inner()).collect()
            }
            PositionInTriangulation::OnEdge(edge) => {
                let edge = self.net.directed_edge(edge);
                [edge, edge.rev()].into_iter().filter_map(|e| e.face().as_inner()).collect()
            }
            PositionInTriangulation::OnFace(face) => vec![self.net.face(face)],
            _ => Vec::new(),
        };
        faces.retain(|face| !face.data().0);
        faces.sort_by_key(FaceHandle::index);
        faces
    }
}

fn facet_of(face: Face<'_>) -> Facet {
    Facet { corners: face.vertices().map(|v| v.data().0) }
}

fn spade_from(point: Point) -> Point2<f64> {
    Point2::new(point.x, point.y)
}

fn is_place(point: Point) -> bool {
    point.x.is_finite() && point.y.is_finite()
}

/// Where an edge meets the line from one point to another.
fn crossing([a, b]: [Level; 2], from: Point, to: Point) -> Level {
    let side = |p: Point| (to.x - from.x) * (p.y - from.y) - (to.y - from.y) * (p.x - from.x);
    let (of_a, of_b) = (side(a.at), side(b.at));
    let whole = of_a - of_b;
    // Both on the line to the last digit: anywhere on the edge is on it.
    let share = if whole.abs() > 0.0 { (of_a / whole).clamp(0.0, 1.0) } else { 0.5 };
    let between = |p: f64, q: f64| p + (q - p) * share;
    Level {
        at: Point { x: between(a.at.x, b.at.x), y: between(a.at.y, b.at.y) },
        height: Metres::m(between(a.height.to_m(), b.height.to_m())),
        sigma: Metres::m(libm::hypot(a.sigma.to_m() * (1.0 - share), b.sigma.to_m() * share)),
    }
}

/// Of gradients, each with the area it holds on.
fn steepest_of(facets: &[(Gradient, f64)]) -> Slope {
    facets.iter().map(|(g, _)| g.steepest() + g.sigma * ONE_SIDED_95).fold(Slope::ZERO, Slope::max)
}

/// Of gradients, each with the area it holds on.
fn bend_bound_of(facets: &[(Gradient, f64)]) -> Slope {
    let area: f64 = facets.iter().map(|(_, area)| area).sum();
    let mean = |of: &dyn Fn(&Gradient) -> Slope| {
        facets.iter().map(|(gradient, area)| of(gradient).to_ratio() * area).sum::<f64>() / area
    };
    let (east, north) = (mean(&|g| g.east), mean(&|g| g.north));
    let off = |(g, _): &(Gradient, f64)| libm::hypot(g.east.to_ratio() - east, g.north.to_ratio() - north);
    Slope::ratio(2.0 * facets.iter().map(off).fold(0.0, f64::max))
}

#[cfg(test)]
pub(crate) mod tests;
