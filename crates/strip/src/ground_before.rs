//! The ground before a lane, as levels tell it: a path to a touchdown passes over it with room, before the lane begins.
//!
//! Invariants: at the worst it lies as high as it may under a corridor as wide as it may be, and the ground under the
//! touchdown as low; the room asked over it is that over rising ground, but no more than half of what the path would have
//! over level ground, so that level ground asks for nothing but the near margin; where there are no levels nothing is known of
//! it, and rising ground is an obstacle to be marked.

use crate::spread::Corner;
use crate::terrain::{CELL, Terrain};
use ground::Lane;
use measure::{Interval, Metres};
use slide::approach::{Corridor, Descent, Floor};

/// Farthest before the lane that is looked at (judgement: levels of one field reach no farther).
const FARTHEST: Metres = Metres::m(2_000.0);

/// Share that may be asked of the height of a path over level ground (judgement).
const MOST_ASKED: f64 = 0.5;

/// Some of the ground before a lane.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Rise {
    /// The last chainage of it, where a path is lowest.
    pub(crate) at: Metres,
    /// Above the datum.
    pub(crate) height: Interval<Metres>,
    /// Room asked over it.
    pub(crate) kept: Metres,
}

/// The ground, from the lane back.
pub(crate) struct GroundBefore(Vec<Rise>);

impl GroundBefore {
    /// As far back as a path over the lowest floor could be too low over any levelled ground; `most` is asked over it.
    pub(crate) fn new(
        terrain: &Terrain,
        lane: &Lane,
        corridor: &Corridor,
        (floor, glide): (&Floor, f64),
        most: Metres,
    ) -> Self {
        let Some(highest) = terrain.highest() else { return Self(Vec::new()) };
        let tangent = libm::tan(glide).max(0.0);
        let above = (highest - floor.lowest()).max(Metres::ZERO);
        let low_for = (above + most).min(above * (1.0 / (1.0 - MOST_ASKED)));
        let reach = if tangent > 0.0 { (low_for / tangent).min(FARTHEST) } else { FARTHEST };
        let across = |ahead: Metres| {
            let aside = corridor.before_lane(ahead);
            let each = [-aside, Metres::ZERO, aside].into_iter();
            each.filter_map(|aside| terrain.levelled_at(lane.point_at(-ahead, aside))).reduce(upper)
        };
        let count = (reach / CELL).ceil() as usize;
        let marks: Vec<Option<Interval<Metres>>> = (0..=count).map(|i| across(CELL * i as f64)).collect();
        let rise = |(i, ends): (usize, &[Option<Interval<Metres>>])| {
            let height = ends.iter().flatten().copied().reduce(upper)?;
            let ahead = CELL * i as f64;
            Some(Rise { at: -ahead, height, kept: most.min(ahead * tangent * MOST_ASKED) })
        };
        Self(marks.windows(2).enumerate().filter_map(rise).collect())
    }

    /// The touchdowns to which a path would pass too low over it.
    pub(crate) fn closes(&self, descent: &Descent, corner: Corner) -> Option<Interval<Metres>> {
        let clears = |rise: &Rise| {
            let height = if corner == Corner::Worst { rise.height.high() } else { rise.height.low() };
            descent.clears_from(rise.at, height + rise.kept)
        };
        let until = self.0.iter().map(clears).reduce(Metres::max)?;
        (until > Metres::ZERO).then(|| Interval::spanning(Metres::ZERO, until))
    }

    /// Where a path of so steep a tangent has least left over what is asked.
    pub(crate) fn nearest_to(&self, tangent: f64) -> Option<Rise> {
        let left = |rise: &Rise| rise.at * -tangent - rise.height.high() - rise.kept;
        self.0.iter().copied().reduce(|a, b| if left(&b) < left(&a) { b } else { a })
    }
}

/// As high as the higher of two.
fn upper(a: Interval<Metres>, b: Interval<Metres>) -> Interval<Metres> {
    Interval::spanning(a.low().max(b.low()), a.high().max(b.high()))
}
