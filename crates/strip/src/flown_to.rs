//! The way in and the slide for single touchdowns along the window, to be looked at one by one.
//!
//! Not here: the figures that a verdict rests on; these are the same, of other touchdowns.

use crate::approach::WayIn;
use crate::clearance::{self, Clearance};
use crate::demand::{self, Ends, Look};
use crate::spread::Spread;
use crate::touchdowns::Stretch;
use measure::Metres;

/// Touchdowns that are worked out along a window (judgement: as many as a finger tells apart on a small picture).
const MARKS: usize = 13;

/// One touchdown.
#[derive(Clone, PartialEq, Debug)]
pub struct FlownTo {
    /// Where.
    pub touchdown_m: f64,
    /// Room over what stands in and beside the corridor.
    pub clearances: Vec<Clearance>,
    /// Chainage by which half of the slides from there have ended; absent if so many do not.
    pub stop_p50_m: Option<f64>,
    /// Chainage by which as many have ended as the far end asks for.
    pub stop_asked_m: Option<f64>,
}

/// Those from the earliest to the latest; none where there is no window.
pub(crate) fn along(
    way: &WayIn,
    spread: &Spread,
    ends: &Ends,
    open: &Stretch,
    latest: Option<Metres>,
) -> Vec<FlownTo> {
    let Some(latest) = latest.filter(|latest| *latest >= open.earliest) else { return Vec::new() };
    let step = (latest - open.earliest) / (MARKS - 1) as f64;
    let even = spread.ground.is_even_to(ends.farther());
    let first = demand::from(spread, open.earliest, Look::Full);
    let at = |i: usize| {
        let touchdown = open.earliest + step * i as f64;
        let lengths = if even { first } else { demand::from(spread, touchdown, Look::Full) };
        FlownTo {
            touchdown_m: touchdown.to_m(),
            clearances: clearance::rows(way, touchdown, None),
            stop_p50_m: lengths.p50.map(|p| touchdown.to_m() + p),
            stop_asked_m: ends.asked(&lengths).map(|(needed, _)| (touchdown + needed).to_m()),
        }
    };
    (0..MARKS).map(at).collect()
}
