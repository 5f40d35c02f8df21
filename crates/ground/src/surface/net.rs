//! The net of facets: which levels are joined by an edge.
//!
//! Constrained Delaunay triangulation by `spade`: every piece of a breakline is an edge, or a row of
//! edges where a level lies on it.
//!
//! Invariant: the order of the levels decides ties, and nothing else does.
//!
//! Not here: heights between levels.

use super::place::knots;
use super::rim::Beyond;
use super::{BadLevels, Breakline};
use crate::{Level, Point};
use spade::handles::FixedVertexHandle;
use spade::{
    ConstrainedDelaunayTriangulation, HasPosition, HierarchyHintGenerator, Point2, Triangulation,
    mitigate_underflow,
};

/// Farthest that a level may lie from the datum, east or north, metres (judgement: no field reaches
/// that far, and the plane of the frame does not either).
const FARTHEST: f64 = 1e6;

/// A corner of facets.
#[derive(Clone, Copy, Debug)]
pub(super) struct Knot(pub Level);

impl HasPosition for Knot {
    type Scalar = f64;

    fn position(&self) -> Point2<f64> {
        Point2::new(self.0.at.x, self.0.at.y)
    }
}

/// Breakline that an edge is a piece of, by its index.
#[derive(Clone, Copy, Default, Debug)]
pub(super) struct PieceOf(Option<usize>);

pub(super) type Net =
    ConstrainedDelaunayTriangulation<Knot, (), PieceOf, Beyond, HierarchyHintGenerator<f64>>;

/// Joins levels and breaklines.
pub(super) fn joined(levels: &[Level], breaklines: &[Breakline]) -> Result<Net, BadLevels> {
    let (lines, alone) = gather(levels, breaklines)?;
    let (places, knot_of) = knots(&lines, &alone);
    if places.len() < 3 {
        return Err(BadLevels::TooFew(places.len()));
    }
    let knots: Vec<Knot> = places.into_iter().map(Knot).collect();
    // What the library refuses (places that are no numbers, or out of its reach) was refused above.
    let mut net = Net::bulk_load_cdt(knots, Vec::new()).map_err(|_| BadLevels::OnOneLine)?;
    if net.all_vertices_on_line() {
        return Err(BadLevels::OnOneLine);
    }
    let mut next = 0;
    for (index, breakline) in breaklines.iter().enumerate() {
        let points = &knot_of[next..next + breakline.points.len()];
        next += points.len();
        lay(&mut net, index, points)?;
    }
    Ok(net)
}

/// The points of all breaklines, and the levels, at places that the library takes.
fn gather(levels: &[Level], breaklines: &[Breakline]) -> Result<(Vec<Level>, Vec<Level>), BadLevels> {
    let (mut lines, mut alone) = (Vec::new(), Vec::with_capacity(levels.len()));
    for (i, level) in levels.iter().enumerate() {
        alone.push(usable(level).ok_or(BadLevels::NoLevel(i + 1))?);
    }
    for (i, breakline) in breaklines.iter().enumerate() {
        for (j, level) in breakline.points.iter().enumerate() {
            let bad = BadLevels::NoLevelOnBreakline { breakline: i + 1, point: j + 1 };
            lines.push(usable(level).ok_or(bad)?);
        }
    }
    Ok((lines, alone))
}

fn usable(level: &Level) -> Option<Level> {
    let near = |v: f64| v.abs() <= FARTHEST;
    let sigma = level.sigma.to_m();
    let fine = near(level.at.x) && near(level.at.y) && level.height.to_m().is_finite();
    let sure = sigma.is_finite() && sigma >= 0.0;
    (fine && sure).then(|| {
        let at = mitigate_underflow(Point2::new(level.at.x, level.at.y));
        // Adding zero makes the two zeros one.
        Level { at: Point { x: at.x + 0.0, y: at.y + 0.0 }, ..*level }
    })
}

/// Lays a breakline through its points.
fn lay(net: &mut Net, index: usize, points: &[usize]) -> Result<(), BadLevels> {
    if points.iter().all(|p| Some(p) == points.first()) {
        return Err(BadLevels::ShortBreakline(index + 1));
    }
    for piece in points.windows(2).filter(|w| w[0] != w[1]) {
        let ends = [piece[0], piece[1]].map(FixedVertexHandle::from_index);
        let crossed = net.get_conflicting_edges_between_vertices(ends[0], ends[1]).next();
        if let Some(edge) = crossed {
            let other = edge.as_undirected().data().data().0.unwrap_or(index);
            return Err(BadLevels::BreaklinesCross { first: other + 1, second: index + 1 });
        }
        for edge in net.try_add_constraint(ends[0], ends[1]) {
            let piece_of = net.undirected_edge_data_mut(edge.as_undirected()).data_mut();
            piece_of.0 = piece_of.0.or(Some(index));
        }
    }
    Ok(())
}
