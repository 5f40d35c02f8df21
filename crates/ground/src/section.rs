//! The ground along the centre line of a lane: height by chainage, exact, as the surface has it.
//!
//! Invariants: chainage grows within a run; between two points of a run the ground is straight; where
//! nothing was measured there is no run.
//!
//! Not here: ground beside the centre line.

use crate::{Lane, Level, Point, Surface};
use measure::Metres;

/// A point of the section.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Ground {
    /// Chainage from the near end of the lane, metres.
    pub at: f64,
    /// Height above the datum, metres.
    pub height: f64,
    /// Standard deviation of the height, metres.
    pub sigma: f64,
}

/// A stretch of lane over which the ground was measured without a gap: two points at least.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Run(Vec<Ground>);

impl Run {
    /// Through chainages and heights, without error.
    #[cfg(test)]
    pub fn through(points: &[(f64, f64)]) -> Self {
        Self(points.iter().map(|&(at, height)| Ground { at, height, sigma: 0.0 }).collect())
    }

    pub fn points(&self) -> &[Ground] {
        &self.0
    }

    pub fn start(&self) -> f64 {
        self.0.first().map_or(0.0, |g| g.at)
    }

    pub fn end(&self) -> f64 {
        self.0.last().map_or(0.0, |g| g.at)
    }

    /// The ground at a chainage; beyond an end, that end's. The error is taken as if both neighbours
    /// were wrong together, which is never too small.
    pub fn at(&self, chainage: f64) -> Ground {
        let after = self.0.partition_point(|g| g.at < chainage).clamp(1, self.0.len() - 1);
        let (a, b) = (self.0[after - 1], self.0[after]);
        let share = ((chainage - a.at) / (b.at - a.at)).clamp(0.0, 1.0);
        let between = |p: f64, q: f64| p + (q - p) * share;
        Ground { at: chainage, height: between(a.height, b.height), sigma: between(a.sigma, b.sigma) }
    }

    /// The same with no more points than [`MOST_IN_CELL`] in a cell of that length: of a fuller one the
    /// first, the last, the highest and the lowest, and with it by how much the ground may lie off what
    /// is left. Keeps the work on levels that lie closer than any keel could tell within bounds.
    pub fn thinned(&self, cell: f64) -> (Self, f64) {
        let start = self.start();
        let cell_of = |g: &Ground| ((g.at - start) / cell) as i64;
        let (mut kept, mut off) = (Vec::new(), 0.0_f64);
        for chunk in self.0.chunk_by(|a, b| cell_of(a) == cell_of(b)) {
            if chunk.len() <= MOST_IN_CELL {
                kept.extend_from_slice(chunk);
            } else if let Some((few, range)) = extremes(chunk) {
                kept.extend(few);
                off = off.max(range);
            }
        }
        (Self(kept), off)
    }
}

/// Most points of a cell that are all kept.
const MOST_IN_CELL: usize = 8;

/// First, last, highest and lowest of some points, in their order, and from the lowest to the highest.
fn extremes(points: &[Ground]) -> Option<(Vec<Ground>, f64)> {
    let by_height = |a: &&Ground, b: &&Ground| a.height.total_cmp(&b.height);
    let (lowest, highest) = (points.iter().min_by(by_height)?, points.iter().max_by(by_height)?);
    let mut few: Vec<Ground> = vec![*points.first()?, *lowest, *highest, *points.last()?];
    few.sort_by(|a, b| a.at.total_cmp(&b.at));
    few.dedup();
    Some((few, highest.height - lowest.height))
}

/// The runs of measured ground under a lane, from the near end on.
pub(crate) fn runs(surface: &Surface, lane: &Lane) -> Vec<Run> {
    let mut points = crossings(surface, lane);
    points.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.height.total_cmp(&b.height)));
    // Two edges that meet in a level both give it.
    points.dedup_by(|b, a| b.at - a.at <= SAME_CHAINAGE);
    let mut runs: Vec<Run> = Vec::new();
    let mut run: Vec<Ground> = Vec::new();
    for pair in points.windows(2) {
        let middle = lane.point_at(Metres::m(f64::midpoint(pair[0].at, pair[1].at)), Metres::ZERO);
        if surface.height_at(middle).is_some() {
            if run.is_empty() {
                run.push(pair[0]);
            }
            run.push(pair[1]);
        } else if !run.is_empty() {
            runs.push(Run(std::mem::take(&mut run)));
        }
    }
    if !run.is_empty() {
        runs.push(Run(run));
    }
    runs
}

/// Chainages nearer than this are the same, metres (rounding of coordinates some kilometres off).
const SAME_CHAINAGE: f64 = 1e-9;

/// The two ends of the lane, where measured, and what lies between them.
fn crossings(surface: &Surface, lane: &Lane) -> Vec<Ground> {
    let length = lane.length.to_m();
    let (sin, cos) = lane.heading.unit();
    let chainage = |p: Point| (p.x - lane.near.x) * sin + (p.y - lane.near.y) * cos;
    let ground = |level: &Level| Ground {
        at: chainage(level.at),
        height: level.height.to_m(),
        sigma: level.sigma.to_m(),
    };
    let mut out: Vec<Ground> = surface.crossings(lane.near, lane.far()).iter().map(ground).collect();
    out.retain(|g| (0.0..=length).contains(&g.at));
    for (at, point) in [(0.0, lane.near), (length, lane.far())] {
        if let Some((height, sigma)) = surface.height_at(point) {
            out.push(Ground { at, height: height.to_m(), sigma: sigma.to_m() });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::TrueHeading;

    fn level(x: f64, y: f64, z: f64) -> Level {
        Level { at: Point { x, y }, height: Metres::m(z), sigma: Metres::m(0.02) }
    }

    fn east(near: Point, length: f64) -> Lane {
        Lane { near, heading: TrueHeading::deg(90.0), length: Metres::m(length) }
    }

    #[test]
    fn the_section_bends_where_it_crosses_an_edge() {
        // A roof whose ridge is the edge between the two middle levels.
        let levels = [
            level(0.0, 0.0, 0.0),
            level(0.0, 40.0, 0.0),
            level(10.0, 20.0, 1.0),
            level(20.0, 0.0, 0.0),
            level(20.0, 40.0, 0.0),
        ];
        let surface = Surface::new(&levels, &[]).expect("a surface");
        let runs = runs(&surface, &east(Point { x: -5.0, y: 20.0 }, 100.0));
        assert_eq!(runs.len(), 1);
        let points: Vec<(f64, f64)> = runs[0].points().iter().map(|g| (g.at, g.height)).collect();
        let expected = [(5.0, 0.0), (15.0, 1.0), (25.0, 0.0)];
        assert_eq!(points.len(), expected.len(), "{points:?}");
        for (got, want) in points.iter().zip(expected) {
            assert!((got.0 - want.0).abs() < 1e-9 && (got.1 - want.1).abs() < 1e-9, "{points:?}");
        }
        assert!((runs[0].at(10.0).height - 0.5).abs() < 1e-9);
        assert!((runs[0].at(10.0).sigma - f64::midpoint(0.02, 0.02 / 2_f64.sqrt())).abs() < 1e-9);
    }

    #[test]
    fn a_sliver_that_is_not_measured_parts_two_runs() {
        // At 0.2 m from the side the sliver up to 0.5 m in its middle reaches from 8 to 32 m.
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0), (20.0, 0.5)];
        let surface = Surface::new(&corners.map(|(x, y)| level(x, y, 0.0)), &[]).expect("a surface");
        let runs = runs(&surface, &east(Point { x: 0.0, y: 0.2 }, 40.0));
        let ends: Vec<[f64; 2]> = runs.iter().map(|r| [r.start(), r.end()]).collect();
        assert_eq!(ends.len(), 2);
        for (got, want) in ends.as_flattened().iter().zip([0.0, 8.0, 32.0, 40.0]) {
            assert!((got - want).abs() < 1e-9, "{ends:?}");
        }
    }

    #[test]
    fn a_lane_beside_the_levels_has_no_section() {
        let levels = [level(0.0, 0.0, 0.0), level(0.0, 40.0, 0.0), level(10.0, 20.0, 1.0)];
        let surface = Surface::new(&levels, &[]).expect("a surface");
        assert!(runs(&surface, &east(Point { x: -5.0, y: 60.0 }, 100.0)).is_empty());
        assert!(runs(&surface, &east(Point { x: f64::NAN, y: 60.0 }, 100.0)).is_empty());
    }

    #[test]
    fn thinning_keeps_the_highest_and_the_lowest_of_a_full_cell_and_all_of_others() {
        let height = |i: i32| match i {
            37 => 2.0,
            53 => -1.0,
            _ => 0.1,
        };
        let ground = |i: i32| Ground { at: f64::from(i) * 0.01, height: height(i), sigma: 0.0 };
        let run = Run((0..=100).map(ground).collect());
        let (thin, off) = run.thinned(0.5);
        assert!(thin.points().len() <= 12);
        assert!(thin.points().contains(&ground(37)) && thin.points().contains(&ground(53)));
        assert_eq!((thin.start(), thin.end()), (0.0, 1.0));
        assert!((off - 1.9).abs() < 1e-12);
        assert_eq!(run.thinned(0.05), (run, 0.0));
    }
}
