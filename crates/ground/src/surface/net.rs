//! The net of facets: which levels are joined by an edge.
//!
//! Constrained Delaunay triangulation by `spade`: every piece of a breakline is an edge, or a row of
//! edges where a level lies on it.
//!
//! Invariants: levels are at places of their own; the order of the levels decides ties, and nothing
//! else does.
//!
//! Not here: heights between levels.

use super::rim::Beyond;
use super::{BadLevels, Breakline};
use crate::{Level, Point};
use measure::Metres;
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
    let gathered = gather(levels, breaklines)?;
    let (places, knot_of) = apart(&gathered);
    if places.len() < 3 {
        return Err(BadLevels::TooFew(places.len()));
    }
    let knots: Vec<Knot> = places.into_iter().map(Knot).collect();
    // What the library refuses (places that are no numbers, or out of its reach) was refused above.
    let mut net = Net::bulk_load_cdt(knots, Vec::new()).map_err(|_| BadLevels::OnOneLine)?;
    if net.all_vertices_on_line() {
        return Err(BadLevels::OnOneLine);
    }
    let mut next = levels.len();
    for (index, breakline) in breaklines.iter().enumerate() {
        let points = &knot_of[next..next + breakline.points.len()];
        next += points.len();
        lay(&mut net, index, points)?;
    }
    Ok(net)
}

/// Levels, then the points of all breaklines, at places that the library takes.
fn gather(levels: &[Level], breaklines: &[Breakline]) -> Result<Vec<Level>, BadLevels> {
    let mut out = Vec::with_capacity(levels.len());
    for (i, level) in levels.iter().enumerate() {
        out.push(usable(level).ok_or(BadLevels::NoLevel(i + 1))?);
    }
    for (i, breakline) in breaklines.iter().enumerate() {
        for (j, level) in breakline.points.iter().enumerate() {
            let bad = BadLevels::NoLevelOnBreakline { breakline: i + 1, point: j + 1 };
            out.push(usable(level).ok_or(bad)?);
        }
    }
    Ok(out)
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

/// One level for each place, in the order in which places first come, and which of them each of the
/// given became.
fn apart(given: &[Level]) -> (Vec<Level>, Vec<usize>) {
    let mut order: Vec<usize> = (0..given.len()).collect();
    order.sort_by(|&i, &j| {
        let (a, b) = (given[i].at, given[j].at);
        a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)).then(i.cmp(&j))
    });
    let mut first_of: Vec<usize> = (0..given.len()).collect();
    let mut merged: Vec<Option<Level>> = vec![None; given.len()];
    for same in order.chunk_by(|&i, &j| given[i].at == given[j].at) {
        for &i in same {
            first_of[i] = same[0];
        }
        merged[same[0]] = Some(together(given, same));
    }
    let mut places = Vec::new();
    let mut place_of = vec![0; given.len()];
    for (i, level) in merged.into_iter().enumerate() {
        if let Some(level) = level {
            place_of[i] = places.len();
            places.push(level);
        }
    }
    (places, first_of.into_iter().map(|i| place_of[i]).collect())
}

/// Several levels of one place: the mean of the surest. Its error is not smaller than theirs, as they
/// may share it, nor than what all of them lie apart, whoever is right.
fn together(given: &[Level], same: &[usize]) -> Level {
    let all = || same.iter().map(|&i| given[i]);
    let first = given[same[0]];
    let least = all().map(|l| l.sigma).fold(first.sigma, Metres::min);
    let (mut sum, mut count) = (Metres::ZERO, 0.0);
    for level in all().filter(|l| l.sigma <= least) {
        sum = sum + (level.height - first.height);
        count += 1.0;
    }
    let highest = all().map(|l| l.height).fold(first.height, Metres::max);
    let lowest = all().map(|l| l.height).fold(first.height, Metres::min);
    Level { height: first.height + sum / count, sigma: least.max(highest - lowest), ..first }
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

#[cfg(test)]
mod tests {
    use super::*;

    fn level(x: f64, y: f64, z: f64, sigma: f64) -> Level {
        Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(sigma) }
    }

    fn one(levels: &[Level]) -> (f64, f64) {
        let (places, of) = apart(levels);
        assert!(places.len() == 1 && of.iter().all(|&p| p == 0));
        (places[0].height.to_m(), places[0].sigma.to_m())
    }

    #[test]
    fn of_two_levels_at_one_place_the_surer_counts_and_their_quarrel_is_its_error() {
        let (z, sigma) = one(&[level(1.0, 1.0, 5.1, 0.2), level(1.0, 1.0, 5.0, 0.02)]);
        assert!((z - 5.0).abs() < 1e-12 && (sigma - 0.1).abs() < 1e-12);
    }

    #[test]
    fn equally_sure_levels_at_one_place_are_averaged_and_none_makes_the_other_surer() {
        let (z, sigma) = one(&[level(1.0, 1.0, 5.01, 0.02), level(1.0, 1.0, 5.0, 0.02)]);
        assert!((z - 5.005).abs() < 1e-12 && (sigma - 0.02).abs() < 1e-12);
    }

    #[test]
    fn places_keep_the_order_in_which_they_first_come() {
        let levels = [level(9.0, 0.0, 1.0, 0.0), level(1.0, 0.0, 2.0, 0.0), level(9.0, -0.0, 1.0, 0.0)];
        let given: Vec<Level> = levels.iter().filter_map(usable).collect();
        let (places, of) = apart(&given);
        assert_eq!(of, [0, 1, 0]);
        assert!((places[1].height.to_m() - 2.0).abs() < 1e-12);
    }
}
