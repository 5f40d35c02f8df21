//! Lanes that the way in leaves open: looked for line by line, as the search of lanes knows nothing of what stands before
//! them.
//!
//! The search's worth of a stretch is the most that it can have left over, so stretches are asked for their way in from
//! the worthiest on, until none can be better than those found. The best are then shifted and turned a little.
//!
//! Not here: a proof. What the search says of the most that any lane can have left over holds all the same.

use crate::approach::{Closed, WayIn};
use crate::demand::Ends;
use crate::judge::Bench;
use crate::lane_ground::LaneGround;
use crate::spread::Corner;
use crate::touchdowns::Touchdowns;
use ground::{Aim, Centreline, Obstructions, Stretch, clear_stretches};
use measure::{Headwind, Interval, Metres, Slope, TrueHeading};
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

/// Turns from a heading that are tried, degrees.
const ABOUT_DEG: [f64; 5] = [0.0, -3.0, 3.0, -6.0, 6.0];

/// Steps in which the best are turned and shifted, as shares of the grid's own.
const STEPS: [f64; 3] = [0.5, 0.25, 0.1];

/// A stretch with what it has left over.
#[derive(Clone, Copy)]
struct Found {
    stretch: Stretch,
    line: Centreline,
    worth: f64,
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

    /// Whether nothing closes any touchdown of a stretch.
    pub(crate) fn is_open(&self, stretch: &Stretch) -> bool {
        let ends = Ends::of(stretch, &self.bench.margins);
        let (touchdowns, _) = self.touchdowns(stretch, &ends);
        let near = self.bench.margins.near;
        touchdowns == Touchdowns::new(vec![Interval::spanning(near, ends.at().max(near))], ends.at())
    }

    /// Those of some stretches that have anything left over with their way in, the most first; all of them if none has.
    pub(crate) fn ranked(&self, stretches: Vec<Stretch>) -> Vec<Stretch> {
        let mut each: Vec<(f64, Stretch)> = stretches.into_iter().map(|s| (self.worth(&s), s)).collect();
        each.sort_by(|a, b| b.0.total_cmp(&a.0));
        let long_enough = each.iter().take_while(|(worth, _)| *worth >= 0.0).count();
        each.truncate(if long_enough == 0 { each.len() } else { long_enough });
        each.into_iter().map(|(_, stretch)| stretch).collect()
    }

    /// The lanes of a few directions, clear of some things, that have most left over with their way in.
    pub(crate) fn among(&self, things: &Obstructions) -> Vec<Stretch> {
        let headings = (0..self.grid.headings).map(|i| (i as f64 + 0.5) * TAU / self.grid.headings as f64);
        self.best_of(things, headings.map(TrueHeading::rad), MOST)
    }

    /// The one about a heading.
    pub(crate) fn about(&self, things: &Obstructions, heading: TrueHeading) -> Option<Stretch> {
        let turned = ABOUT_DEG.map(|deg| TrueHeading::rad(heading.to_rad() + deg.to_radians()));
        self.best_of(things, turned.into_iter(), 1).first().copied()
    }

    fn best_of(
        &self,
        things: &Obstructions,
        headings: impl Iterator<Item = TrueHeading>,
        most: usize,
    ) -> Vec<Stretch> {
        let on = |line: Centreline| clear_stretches(things, line).into_iter().map(move |s| (line, s));
        let lines = headings.flat_map(|heading| self.lines(heading));
        let ranked = lines.flat_map(on).map(|(line, s)| (self.aim.worth(&s), s, line));
        let mut all: Vec<(f64, Stretch, Centreline)> = ranked.filter(|(worth, ..)| *worth >= 0.0).collect();
        all.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut best: Vec<Found> = Vec::new();
        for (bound, stretch, line) in all {
            if best.len() == most && best.iter().all(|b| b.worth >= bound) {
                break;
            }
            let found = Found { stretch, line, worth: self.worth(&stretch) };
            if found.worth >= 0.0 {
                keep(&mut best, found, most);
            }
        }
        best.into_iter().map(|found| self.polished(found, things).stretch).collect()
    }

    /// Lines of one heading across the field.
    fn lines(&self, heading: TrueHeading) -> impl Iterator<Item = Centreline> + use<> {
        let (low, high) = self.across(heading);
        let count = self.grid.lines;
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

    /// What a stretch has left over of the touchdowns that its way in leaves open, metres.
    fn worth(&self, stretch: &Stretch) -> f64 {
        let (short, long) = self.bench.scatter();
        let scatter = short + long;
        let ends = Ends::of(stretch, &self.bench.margins);
        let end = ends.at();
        // The need of a direction is slide and scatter together.
        let needed = self.aim.margins.usable(stretch) - Metres::m(self.aim.worth(stretch)) - scatter;
        let (touchdowns, _) = self.touchdowns(stretch, &ends);
        let spare = touchdowns.stretches().into_iter().map(|open| open.spare(end, needed, scatter).to_m());
        if touchdowns.any() { spare.fold(f64::NEG_INFINITY, f64::max) } else { f64::NEG_INFINITY }
    }

    fn touchdowns(&self, stretch: &Stretch, ends: &Ends) -> (Touchdowns, Vec<Closed>) {
        let way = WayIn::on_path(self.bench, &stretch.lane, self.glide, ends.at());
        self.bench.touchdowns_open(&way, Corner::Worst, ends)
    }

    /// The same turned and shifted a little, where that leaves more.
    fn polished(&self, mut best: Found, things: &Obstructions) -> Found {
        let grid = self.grid;
        let turn = TAU / grid.headings as f64;
        let (low, high) = self.across(best.line.heading);
        let shift = (high - low) / grid.lines as f64;
        for share in STEPS {
            for (a, b) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
                let heading = TrueHeading::rad(best.line.heading.to_rad() + a * share * turn);
                // Turned about the middle of the lane, so that it stays where it is.
                let middle = best.stretch.lane.point_at(best.stretch.lane.length * 0.5, Metres::ZERO);
                let through = Centreline::through(middle, heading);
                let line = Centreline { offset: through.offset + shift * (b * share), ..through };
                let next = clear_stretches(things, line).into_iter().map(|stretch| Found {
                    stretch,
                    line,
                    worth: if self.aim.worth(&stretch) > best.worth {
                        self.worth(&stretch)
                    } else {
                        f64::NEG_INFINITY
                    },
                });
                best = next.fold(best, |a, b| if b.worth > a.worth { b } else { a });
            }
        }
        best
    }
}

/// One of each direction, the worthiest first.
fn keep(best: &mut Vec<Found>, found: Found, most: usize) {
    let same = best.iter().position(|b| b.line.heading.angle_to(found.line.heading) < DISTINCT);
    match same {
        Some(i) if best[i].worth >= found.worth => return,
        Some(i) => best[i] = found,
        None => best.push(found),
    }
    best.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    best.truncate(most);
}
