//! What a pilot sees abeam at a place along a lane: the nearest thing that stands out, so that a figure can be found in
//! the field.
//!
//! Not here: pegs that are set out on purpose.

use crate::bench::Bench;
use ground::{Lane, Point, Presence, Relief, Thing};
use measure::Metres;
use serde::Serialize;

/// Farther than this along the lane nothing marks a place, m (judgement).
const NEAR_ALONG: Metres = Metres::m(60.0);
/// Nor farther than this to a side, m (judgement).
const NEAR_ASIDE: Metres = Metres::m(150.0);

/// Height from which a hazard is seen from the air, m (judgement).
const SEEN_FROM: f64 = 0.5;

/// A thing and where it lies.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Landmark {
    /// What it is.
    pub name: String,
    /// How far past it, along the lane, the place lies; negative before it.
    pub past_m: f64,
    /// Offset of the thing, positive to the right.
    pub offset_m: f64,
}

impl Landmark {
    /// "left" or "right" of the lane.
    pub fn side(&self) -> &'static str {
        if self.offset_m < 0.0 { "left" } else { "right" }
    }
}

/// The thing nearest to abeam of a place; of equals the nearer to the lane.
pub(crate) fn at(bench: &Bench, lane: &Lane, chainage: Metres) -> Option<Landmark> {
    let seen = places(bench).filter_map(|(name, point)| {
        let (along, offset) = lane.seen_from(point);
        let past = chainage - along;
        let near = past.abs() <= NEAR_ALONG && offset.abs() <= NEAR_ASIDE;
        near.then(|| Landmark { name, past_m: past.to_m(), offset_m: offset.to_m() })
    });
    let rank = |l: &Landmark| (l.past_m.abs(), l.offset_m.abs());
    seen.min_by(|a, b| {
        let ((a_past, a_off), (b_past, b_off)) = (rank(a), rank(b));
        a_past.total_cmp(&b_past).then(a_off.total_cmp(&b_off)).then(a.name.cmp(&b.name))
    })
}

/// Things that are seen from the air: obstacles, higher hazards, corners of the outline.
fn places<'a>(bench: &'a Bench) -> impl Iterator<Item = (String, Point)> + 'a {
    let things = bench.standing.iter().enumerate().filter_map(|(i, h)| {
        let seen = match h.relief {
            Relief::Raised(height) => height.to_m() >= SEEN_FROM,
            Relief::NotMeasured => i >= bench.strip.hazards.len(),
            Relief::Sunk(_) => false,
        };
        let there = h.presence == Presence::Present && seen;
        there.then(|| (bench.thing_name(Thing::Hazard(i)), h.shape.label_point()))
    });
    let corners = bench.strip.outline.rings().iter().take(1).flat_map(|r| r.corners.iter().enumerate());
    things.chain(corners.map(|(i, corner)| (format!("corner {} of the outline", i + 1), corner.at)))
}
