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

/// Steps within which the things of a vicinity are gathered, and how much finer they may become before it is anew.
const STEPS_AROUND: f64 = 4.0;
const FINER: f64 = 4.0;

/// Lines near one, and all that any of them meets.
struct Vicinity {
    heading: f64,
    offset: f64,
    /// How far headings and offsets may differ.
    room: (f64, f64),
    near: Near,
}

impl Vicinity {
    fn new(blockers: &Blockers, among: &Near, spot: &Spot, room: (f64, f64), sight: &mut Sight) -> Self {
        let (heading, offset) = (spot.heading, spot.offset);
        let (turn, around) = (Turn::new(heading, room.0), Offsets { y0: offset, dy: room.1 });
        sight.look(blockers, among, &turn, around);
        let near = sight.near(blockers, &turn, around, EVERYWHERE);
        Self { heading, offset, room, near }
    }

    fn holds(&self, heading: f64, offset: f64) -> bool {
        (heading - self.heading).abs() <= self.room.0 && (offset - self.offset).abs() <= self.room.1
    }

    /// Whether it holds all lines so near to a spot, and not far more.
    fn suits(&self, spot: &Spot, (turn, shift): (f64, f64)) -> bool {
        let ends = [(turn, shift), (-turn, -shift)];
        let wide = self.room.0 > turn * STEPS_AROUND * FINER || self.room.1 > shift * STEPS_AROUND * FINER;
        !wide && ends.iter().all(|(t, s)| self.holds(spot.heading + t, spot.offset + s))
    }
}

/// The best line that small steps from a spot lead to, within a box about it, until they move nothing by
/// more than `fine` metres.
pub(super) fn polish(blockers: &Blockers, aim: &Aim, start: Spot, fine: f64) -> Spot {
    let (_, dt) = heading(start.cell.level, start.cell.i);
    let dy = start.cell.to - start.cell.from;
    let mut scratch = (Sight::default(), Vec::new());
    let whole = Vicinity::new(blockers, &Near::all(blockers), &start, (2.0 * dt, 2.0 * dy), &mut scratch.0);
    let reach = start.middle.abs() + 1.0;
    let mut best = start;
    let (mut turn, mut shift) = (dt / 2.0, dy / 4.0);
    let mut vicinity: Option<Vicinity> = None;
    while turn * reach > fine || shift > fine {
        // A turn about the lane's middle shifts the line where it passes the pivot.
        let far = shift + best.middle.abs() * turn + best.offset.abs() * turn * turn;
        let known = vicinity.take().filter(|v| v.suits(&best, (turn, far)));
        let around = known.unwrap_or_else(|| {
            let room = (turn * STEPS_AROUND, far * STEPS_AROUND);
            Vicinity::new(blockers, &whole.near, &best, room, &mut scratch.0)
        });
        let tries = [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)];
        let better = tries
            .into_iter()
            .filter_map(|(t, s)| {
                let by = f64::from(t) * turn;
                // Turned about the lane's middle, so that a turn does not also shift it.
                let offset = best.offset * libm::cos(by) - best.middle * libm::sin(by) + f64::from(s) * shift;
                let heading = best.heading + by;
                // Not round the end of the half turn.
                let inside = whole.holds(heading, offset) && (0.0..std::f64::consts::PI).contains(&heading);
                inside.then(|| best.moved_to(heading, offset, (blockers, &around.near), aim, &mut scratch))?
            })
            .reduce(|a, b| if b.worth > a.worth { b } else { a })
            .filter(|b| b.worth > best.worth);
        if let Some(b) = better {
            best = b;
        } else {
            (turn, shift) = (turn / 2.0, shift / 2.0);
        }
        vicinity = Some(around);
    }
    best
}
