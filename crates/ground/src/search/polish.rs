//! The best line near one already seen, climbed to by small turns and shifts.

use super::aim::{Aim, sector_of};
use super::blockers::{Blockers, Near};
use super::bound::{EVERYWHERE, Offsets, Turn, ends};
use super::cell::{Cell, heading};
use super::eye::both_ways;
use super::gap::{Cut, Gap};
use super::sight::Sight;
use crate::{Centreline, Point};
use measure::TrueHeading;

/// A line, a direction on it, and what its best lane is worth.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Spot {
    /// Heading of the line, radians, 0 to pi.
    pub(super) heading: f64,
    /// Offset from the pivot.
    pub(super) offset: f64,
    /// Whether the lane runs against that heading.
    pub(super) back: bool,
    pub(super) worth: f64,
    /// Chainage of the lane's middle along the line.
    pub(super) middle: f64,
    /// The box that it is the middle of.
    pub(super) cell: Cell,
}

impl Spot {
    /// The middle line of a box, with the best lane on it.
    pub(super) fn new(cell: Cell, (heading, offset): (f64, f64), back: bool, gap: Gap, aim: &Aim) -> Self {
        let spot = Self { heading, offset, back, worth: gap.worth, middle: gap.middle(back), cell };
        Self { worth: gap.worth - aim.need(spot.sector()), ..spot }
    }

    /// The sector of the lane's own direction.
    pub(super) fn sector(&self) -> usize {
        sector_of(self.direction())
    }

    pub(super) fn direction(&self) -> TrueHeading {
        TrueHeading::rad(facing(self.heading, self.back))
    }

    /// Its line in the field, in the lane's direction.
    pub(super) fn line(&self, pivot: Point) -> Centreline {
        let (sin, cos) = (libm::sin(self.heading), libm::cos(self.heading));
        let through = Point { x: pivot.x + self.offset * cos, y: pivot.y - self.offset * sin };
        Centreline::through(through, self.direction())
    }

    /// The same line worked out anew.
    pub(super) fn again(&self, blockers: &Blockers, aim: &Aim) -> Option<Self> {
        self.moved_to(
            self.heading,
            self.offset,
            (blockers, &Near::all(blockers)),
            aim,
            &mut (Sight::default(), Vec::new()),
        )
    }

    fn moved_to(
        &self,
        heading: f64,
        offset: f64,
        (blockers, near): (&Blockers, &Near),
        aim: &Aim,
        (sight, cuts): &mut (Sight, Vec<Cut>),
    ) -> Option<Self> {
        let (turn, line) = (Turn::to(heading), Offsets { y0: offset, dy: 0.0 });
        cuts.clear();
        cuts.extend(Cut::ends(ends(&blockers.hull, &turn, line)?));
        sight.look(blockers, near, &turn, line);
        sight.cut_in_the_middle(blockers, line, cuts);
        let gap = both_ways(cuts, blockers, aim, [f64::INFINITY; 2])[usize::from(self.back)].best?;
        Some(Self::new(self.cell, (heading, offset), self.back, gap, aim))
    }
}

/// The heading of a line, or of the same line slid over the other way.
fn facing(heading: f64, back: bool) -> f64 {
    if back { heading + std::f64::consts::PI } else { heading }
}

/// The best line that small steps from a spot lead to, within a box about it, until they move nothing by
/// more than `fine` metres.
pub(super) fn polish(blockers: &Blockers, aim: &Aim, start: Spot, fine: f64) -> Spot {
    let (_, dt) = heading(start.cell.level, start.cell.i);
    let dy = start.cell.to - start.cell.from;
    let room = (2.0 * dt, 2.0 * dy);
    let turn = Turn::new(start.heading, room.0);
    let around = Offsets { y0: start.offset, dy: room.1 };
    let mut sight = Sight::default();
    sight.look(blockers, &Near::all(blockers), &turn, around);
    let near = sight.near(blockers, &turn, around, EVERYWHERE);
    let reach = start.middle.abs() + 1.0;
    let mut scratch = (sight, Vec::new());
    let mut best = start;
    let (mut turn, mut shift) = (dt / 2.0, dy / 4.0);
    while turn * reach > fine || shift > fine {
        let tries = [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)];
        let better = tries
            .into_iter()
            .filter_map(|(t, s)| {
                let by = f64::from(t) * turn;
                // Turned about the lane's middle, so that a turn does not also shift it.
                let offset = best.offset * libm::cos(by) - best.middle * libm::sin(by) + f64::from(s) * shift;
                let heading = best.heading + by;
                let off = (heading - start.heading).abs();
                // Inside the box that `near` was gathered for, and not round the end of the half turn.
                let inside = off <= room.0
                    && (offset - start.offset).abs() <= room.1
                    && (0.0..std::f64::consts::PI).contains(&heading);
                if !inside {
                    return None;
                }
                best.moved_to(heading, offset, (blockers, &near), aim, &mut scratch)
            })
            .reduce(|a, b| if b.worth > a.worth { b } else { a })
            .filter(|b| b.worth > best.worth);
        if let Some(b) = better {
            best = b;
        } else {
            (turn, shift) = (turn / 2.0, shift / 2.0);
        }
    }
    best
}
