//! The ground before a lane, as levels tell it: a path to a touchdown must not meet it before the lane begins.
//!
//! Invariants: at the worst it lies as high as it may under a corridor as wide as it may be, and the ground under the
//! touchdown as low; nothing but that is asked over it, as what it does at worst is to end the way in a little early, which
//! the near margin is for; where there are no levels nothing is known of it, and rising ground is an obstacle to be marked.

use crate::spread::Corner;
use crate::terrain::{CELL, Terrain};
use ground::Lane;
use measure::{Interval, Metres};
use slide::approach::{Corridor, Descent, Floor};

/// Farthest before the lane that is looked at (judgement: levels of one field reach no farther).
const FARTHEST: Metres = Metres::m(2_000.0);

/// Heights of the ground, each with the last chainage at which it may lie.
pub(crate) struct GroundBefore(Vec<(Metres, Interval<Metres>)>);

impl GroundBefore {
    /// As far back as a path over the lowest floor could be lower than any levelled ground.
    pub(crate) fn new(
        terrain: &Terrain,
        lane: &Lane,
        corridor: &Corridor,
        (floor, glide): (&Floor, f64),
    ) -> Self {
        let Some(highest) = terrain.highest() else { return Self(Vec::new()) };
        let (above, tangent) = ((highest - floor.lowest()).max(Metres::ZERO), libm::tan(glide));
        let reach = if tangent > 0.0 { (above / tangent).min(FARTHEST) } else { FARTHEST };
        let across = |ahead: Metres| {
            let aside = corridor.before_lane(ahead);
            let each = [-aside, Metres::ZERO, aside].into_iter();
            each.filter_map(|aside| terrain.levelled_at(lane.point_at(-ahead, aside))).reduce(upper)
        };
        let count = (reach / CELL).ceil() as usize;
        let marks: Vec<Option<Interval<Metres>>> = (0..=count).map(|i| across(CELL * i as f64)).collect();
        let cell = |(i, ends): (usize, &[Option<Interval<Metres>>])| {
            let height = ends.iter().flatten().copied().reduce(upper)?;
            Some((CELL * -(i as f64), height))
        };
        Self(marks.windows(2).enumerate().filter_map(cell).collect())
    }

    /// The touchdowns to which a path would meet it.
    pub(crate) fn closes(&self, descent: &Descent, corner: Corner) -> Option<Interval<Metres>> {
        let clears = |(at, height): &(Metres, Interval<Metres>)| {
            descent.clears_from(*at, if corner == Corner::Worst { height.high() } else { height.low() })
        };
        let until = self.0.iter().map(clears).reduce(Metres::max)?;
        (until > Metres::ZERO).then(|| Interval::spanning(Metres::ZERO, until))
    }
}

/// As high as the higher of two.
fn upper(a: Interval<Metres>, b: Interval<Metres>) -> Interval<Metres> {
    Interval::spanning(a.low().max(b.low()), a.high().max(b.high()))
}
