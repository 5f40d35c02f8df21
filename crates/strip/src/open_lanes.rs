//! Lanes that the way in leaves open: looked for line by line, as the search of lanes knows nothing of what stands before
//! them.
//!
//! The search's worth of a stretch is the most that it can have left over, so stretches are asked for their way in from
//! the worthiest on, until none can be better than those found. The best are then shifted and turned a little.
//!
//! Not here: a proof. What the search says of the most that any lane can have left over holds all the same.

use crate::approach::{Closed, WayIn};
use crate::bench::Bench;
use crate::demand::Ends;
use crate::lane_ground::LaneGround;
use crate::spread::Corner;
use crate::touchdowns::Touchdowns;
use ground::{Aim, Centreline, Lane, Obstructions, Stretch, Thing, clear_stretches};
use measure::{Headwind, Interval, Metres, Slope, TrueHeading};
use rayon::prelude::*;
use std::f64::consts::TAU;

/// How finely lines are laid: headings of the whole circle, lines of each.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Grid {
    pub(crate) headings: usize,
    pub(crate) lines: usize,
}

/// Most lanes that are returned.
const MOST: usize = 3;

/// Headings nearer to each other than this are one direction, radians.
const DISTINCT: f64 = 15.0 * TAU / 360.0;

/// Turns from a heading that are tried, degrees, as far as to the next direction, and lines of each.
const ABOUT_DEG: [f64; 9] = [0.0, -3.0, 3.0, -6.0, 6.0, -9.0, 9.0, -12.0, 12.0];
const LINES_ABOUT: usize = 9;

/// Steps in which the best are turned and shifted, as shares of the grid's own.
const STEPS: [f64; 3] = [0.5, 0.25, 0.1];

/// A lane, and the touchdowns that its way in leaves open.
#[derive(Clone, Debug)]
pub(crate) struct WithWayIn {
    pub(crate) stretch: Stretch,
    touchdowns: Touchdowns,
    /// Near margin and end margin.
    between: Interval<Metres>,
    /// What closes most of them, if anything does.
    pub(crate) over: Option<Thing>,
}

impl WithWayIn {
    /// Whether nothing closes any touchdown.
    pub(crate) fn is_open(&self) -> bool {
        self.touchdowns == Touchdowns::new(vec![self.between], self.between.high())
    }

    /// What is left over, metres, where slide and scatter together need so much; minus infinity where no touchdown can be
    /// reached.
    pub(crate) fn left_over(&self, need: Metres, (short, long): (Metres, Metres)) -> f64 {
        if !self.touchdowns.any() {
            return f64::NEG_INFINITY;
        }
        let scatter = short + long;
        self.touchdowns.most_spare(self.between.high(), need - scatter, scatter).to_m()
    }
}

/// A lane with the line it lies on and what it has left over, metres.
pub(crate) struct Found {
    pub(crate) lane: WithWayIn,
    line: Centreline,
    pub(crate) worth: f64,
}

/// What is asked of every line.
pub(crate) struct OpenLanes<'a> {
    bench: &'a Bench<'a>,
    aim: &'a Aim,
    glide: Interval<f64>,
    grid: Grid,
}

impl<'a> OpenLanes<'a> {
    /// For lanes that an aim ranks.
    pub(crate) fn new(bench: &'a Bench<'a>, aim: &'a Aim, grid: Grid) -> Self {
        // In a calm: it only ranks lanes.
        let level = LaneGround::even(Interval::exact(Slope::ZERO), bench.field_grip());
        let calm = bench.spread(level, Interval::exact(Headwind::ZERO), false);
        Self { bench, aim, glide: bench.glide(&calm), grid }
    }

    /// A stretch with its way in.
    pub(crate) fn with_way_in(&self, stretch: &Stretch) -> WithWayIn {
        let ends = Ends::of(stretch, &self.bench.margins);
        let way = WayIn::on_path(self.bench, &stretch.lane, self.glide, ends.at());
        let (touchdowns, closed) = self.bench.touchdowns_open(&way, Corner::Worst, &ends);
        let between = self.bench.usable_touchdowns(&ends);
        let over = closes_most(&closed, between).and_then(|c| c.tall).map(|tall| self.bench.tall[tall].thing);
        WithWayIn { stretch: *stretch, touchdowns, between, over }
    }

    /// Those of some lanes that have anything left over with their way in, the most first; all of them if none has.
    pub(crate) fn ranked(&self, lanes: &[WithWayIn]) -> Vec<Stretch> {
        let mut each: Vec<(f64, Stretch)> = lanes.iter().map(|l| (self.worth(l), l.stretch)).collect();
        each.sort_by(|a, b| b.0.total_cmp(&a.0));
        let long_enough = each.iter().take_while(|(worth, _)| *worth >= 0.0).count();
        each.truncate(if long_enough == 0 { each.len() } else { long_enough });
        each.into_iter().map(|(_, stretch)| stretch).collect()
    }

    /// The lanes of a few directions, clear of some things, that have most left over with their way in.
    pub(crate) fn among(&self, things: &Obstructions) -> Vec<WithWayIn> {
        let headings = (0..self.grid.headings).map(|i| (i as f64 + 0.5) * TAU / self.grid.headings as f64);
        self.best_of(things, (headings.map(TrueHeading::rad), self.grid.lines), MOST)
    }

    /// The one about a heading.
    pub(crate) fn about(&self, things: &Obstructions, heading: TrueHeading) -> Option<WithWayIn> {
        let turned = Self::about_headings(heading).into_iter();
        self.best_of(things, (turned, LINES_ABOUT), 1).into_iter().next()
    }

    /// A heading and those near it that are tried with it.
    pub(crate) fn about_headings(heading: TrueHeading) -> [TrueHeading; ABOUT_DEG.len()] {
        ABOUT_DEG.map(|deg| TrueHeading::rad(heading.to_rad() + deg.to_radians()))
    }

    /// The one on the lines of a heading, as it lies there.
    pub(crate) fn on(&self, things: &Obstructions, heading: TrueHeading) -> Option<Found> {
        self.best_on(things, self.lines(heading, LINES_ABOUT).collect(), 1).into_iter().next()
    }

    /// The best on the line of another, whatever it has left over.
    pub(crate) fn through(&self, things: &Obstructions, lane: &Lane) -> Option<Found> {
        let line = Centreline::through(lane.near, lane.heading);
        let each = clear_stretches(things, line).into_iter().map(|stretch| self.found(&stretch, line));
        each.reduce(|a, b| if b.worth > a.worth { b } else { a })
    }

    fn best_of(
        &self,
        things: &Obstructions,
        lines: (impl Iterator<Item = TrueHeading>, usize),
        most: usize,
    ) -> Vec<WithWayIn> {
        let (headings, count) = lines;
        let lines = headings.flat_map(|heading| self.lines(heading, count)).collect();
        let best = self.best_on(things, lines, most);
        best.into_par_iter().map(|found| self.polished(found, things).lane).collect()
    }

    /// Those of some lines, as they lie there.
    fn best_on(&self, things: &Obstructions, lines: Vec<Centreline>, most: usize) -> Vec<Found> {
        let on = |line: Centreline| clear_stretches(things, line).into_iter().map(move |s| (line, s));
        let ranked = lines.into_par_iter().flat_map_iter(on).map(|(line, s)| (self.aim.worth(&s), s, line));
        let mut all: Vec<(f64, Stretch, Centreline)> = ranked.filter(|(worth, ..)| *worth >= 0.0).collect();
        all.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut best: Vec<Found> = Vec::new();
        for (bound, stretch, line) in all {
            if best.len() == most && best.iter().all(|b| b.worth >= bound) {
                break;
            }
            let found = self.found(&stretch, line);
            if found.worth >= 0.0 {
                keep(&mut best, found, most);
            }
        }
        best
    }

    /// So many lines of one heading across the field.
    fn lines(&self, heading: TrueHeading, count: usize) -> impl Iterator<Item = Centreline> + use<> {
        let (low, high) = self.across(heading);
        (0..count).map(move |k| {
            let share = (k as f64 + 0.5) / count as f64;
            Centreline { heading, offset: low + (high - low) * share }
        })
    }

    /// Offsets over which the field reaches.
    fn across(&self, heading: TrueHeading) -> (Metres, Metres) {
        let corners = self.bench.strip.outline.rings().iter().take(1).flat_map(|r| r.corners.iter());
        let offsets = corners.map(|c| Centreline::through(c.at, heading).offset);
        offsets.fold((Metres::m(f64::INFINITY), Metres::m(f64::NEG_INFINITY)), |(low, high), o| {
            (low.min(o), high.max(o))
        })
    }

    /// The most that a lane can have left over, were its way in open, metres.
    pub(crate) fn promises(&self, stretch: &Stretch) -> f64 {
        self.aim.worth(stretch)
    }

    /// What a lane has left over with its way in, metres.
    pub(crate) fn worth(&self, lane: &WithWayIn) -> f64 {
        let need = self.aim.margins.usable(&lane.stretch).to_m() - self.aim.worth(&lane.stretch);
        lane.left_over(Metres::m(need), self.bench.scatter())
    }

    fn found(&self, stretch: &Stretch, line: Centreline) -> Found {
        let lane = self.with_way_in(stretch);
        Found { worth: self.worth(&lane), lane, line }
    }

    /// The same turned and shifted a little, where that leaves more.
    pub(crate) fn polished(&self, mut best: Found, things: &Obstructions) -> Found {
        let grid = self.grid;
        let turn = TAU / grid.headings as f64;
        let (low, high) = self.across(best.line.heading);
        let shift = (high - low) / grid.lines as f64;
        for share in STEPS {
            for (a, b) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
                let heading = TrueHeading::rad(best.line.heading.to_rad() + a * share * turn);
                // Turned about the middle of the lane, so that it stays where it is.
                let lane = &best.lane.stretch.lane;
                let middle = lane.point_at(lane.length * 0.5, Metres::ZERO);
                let through = Centreline::through(middle, heading);
                let line = Centreline { offset: through.offset + shift * (b * share), ..through };
                for stretch in clear_stretches(things, line) {
                    // Without its way in it has the most that it can have.
                    if self.aim.worth(&stretch) > best.worth {
                        let next = self.found(&stretch, line);
                        best = if next.worth > best.worth { next } else { best };
                    }
                }
            }
        }
        best
    }
}

/// Of what closes touchdowns what closes most of those between two.
fn closes_most(closed: &[Closed], between: Interval<Metres>) -> Option<&Closed> {
    let length = |c: &&Closed| {
        (c.span.high().min(between.high()) - c.span.low().max(between.low())).max(Metres::ZERO).to_m()
    };
    let closing = closed.iter().filter(|c| length(c) > 0.0);
    closing.max_by(|a, b| length(a).total_cmp(&length(b)))
}

/// One of each direction, the worthiest first.
fn keep(best: &mut Vec<Found>, found: Found, most: usize) {
    let same = |b: &Found| b.line.heading.angle_to(found.line.heading) < DISTINCT;
    if best.iter().any(|b| same(b) && b.worth >= found.worth) {
        return;
    }
    best.retain(|b| !same(b));
    best.push(found);
    best.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    best.truncate(most);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aims;
    use crate::demand::Look;
    use crate::drift::Drifts;
    use crate::samples::inputs;

    #[test]
    fn no_line_of_the_grid_leaves_more_than_the_best_lane_that_is_returned() {
        for name in ["bramblewick-flat", "otterhollow-shelf"] {
            let inputs = inputs(name);
            let bench = Bench::new(&inputs, Look::Preview, Drifts::default()).expect("an aircraft");
            let aim = aims::spare(&bench);
            let open = OpenLanes::new(&bench, &aim, Grid { headings: 24, lines: 5 });
            let headings = (0..24).map(|i| TrueHeading::rad((f64::from(i) + 0.5) * TAU / 24.0));
            let lines = headings.flat_map(|heading| open.lines(heading, 5).collect::<Vec<_>>());
            let stretches = lines.flat_map(|line| clear_stretches(&bench.obstructions, line));
            let each = stretches.map(|stretch| open.worth(&open.with_way_in(&stretch)));
            let most = each.fold(f64::NEG_INFINITY, f64::max);
            let best = open.among(&bench.obstructions);
            let found = best.iter().map(|lane| open.worth(lane)).fold(f64::NEG_INFINITY, f64::max);
            assert!(most >= 0.0 && found >= most, "{name}: {found} of {most}");
        }
    }
}
