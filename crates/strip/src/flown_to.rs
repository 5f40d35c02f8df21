//! The way in and the slide for single touchdowns along the window, to be looked at one by one.
//!
//! Not here: the figures that a verdict rests on; these are the same, of other touchdowns.

use crate::approach::WayIn;
use crate::clearance::{self, Clearance};
use crate::demand::{self, Demand, Ends, Lengths, Look};
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

/// Those from the earliest to the latest; none where there is no window, or but a first look. On changing ground the slides of both ends of the
/// window are worked out, and the longer stands for those between.
pub(crate) fn along(
    way: &WayIn,
    spread: &Spread,
    ends: &Ends,
    (open, latest): (&Stretch, Option<Metres>),
    demand: &Demand,
) -> Vec<FlownTo> {
    let window = latest.filter(|latest| *latest >= open.earliest && way.bench.look == Look::Full);
    let Some(latest) = window else { return Vec::new() };
    let step = (latest - open.earliest) / (MARKS - 1) as f64;
    let of_latest = demand.lengths;
    let of_earliest = if spread.ground.is_even_to(ends.farther()) {
        of_latest
    } else {
        demand::from(spread, open.earliest, Look::Full)
    };
    let longer = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a.max(b));
    let asked = |lengths: &Lengths| ends.asked(lengths).map(|(needed, _)| needed.to_m());
    let half = longer(of_earliest.p50, of_latest.p50);
    let most = longer(asked(&of_earliest), demand.needed.map(Metres::to_m));
    let at = |i: usize| {
        let touchdown = open.earliest + step * i as f64;
        FlownTo {
            touchdown_m: touchdown.to_m(),
            clearances: clearance::rows(way, touchdown, None),
            stop_p50_m: half.map(|length| touchdown.to_m() + length),
            stop_asked_m: most.map(|length| touchdown.to_m() + length),
        }
    };
    (0..MARKS).map(at).collect()
}
