//! Whether the keels leave the ground over a crest: looked for with the fastest slides from touchdowns all over the
//! window, and from those that come to each crest while lift has just settled.
//!
//! Invariant: more places looked at never take back a skip that was found.
//!
//! Not here: what happens after it, which nobody works out.

use crate::spread::{CURVATURE, Corner, Drawn, FACTOR, FRICTION, MASS, STALL, Spread};
use measure::points::Point;
use measure::{Metres, ONE_SIDED_95};
use slide::{Station, Touchdown};

/// Touchdowns spread over the window.
const PLACES: u32 = 6;

/// Crests that are looked at one by one, the sharpest first.
const CRESTS: usize = 4;

/// Ground that bends down less than this is no crest, 1/m: at 30 m/s it takes a tenth off the load (judgement).
const NO_CREST: f64 = -0.001;

/// The chainage at which a slide from a touchdown of the window first leaves the ground, having been on it.
pub(crate) fn first(spread: &Spread, (from, to): (Metres, Metres)) -> Option<Metres> {
    let crests = crests(spread.ground.worst.stations());
    if crests.is_empty() {
        return None;
    }
    let each = spread.cases(Corner::Worst).into_iter().filter_map(|case| {
        let fastest = case.drawn(&fastest());
        let touchdowns = touchdowns(&fastest, (from, to), &crests);
        touchdowns.filter_map(|at| skip_from(&fastest, at)).reduce(Metres::min)
    });
    each.reduce(Metres::min)
}

/// The fastest slide, held up least, over ground as sharp as it is at 95 %.
fn fastest() -> Point {
    let mut point = Point::MIDDLE;
    point.uniform[FACTOR] = 1.0;
    (point.normal[FRICTION], point.normal[CURVATURE]) = (-ONE_SIDED_95, -ONE_SIDED_95);
    (point.normal[STALL], point.normal[MASS]) = (ONE_SIDED_95, 0.0);
    point
}

/// Where the ground bends down, sharpest first.
fn crests(stations: &[Station]) -> Vec<Metres> {
    let bend = |s: &Station| s.curvature - ONE_SIDED_95 * s.curvature_sigma;
    let mut found: Vec<&Station> = stations.iter().filter(|s| bend(s) < NO_CREST).collect();
    found.sort_by(|a, b| bend(a).total_cmp(&bend(b)));
    found.into_iter().take(CRESTS).map(|s| s.from).collect()
}

/// Places all over the window, and those from which lift has settled by a half, all, and one and a half times its time
/// where the crest is.
fn touchdowns(
    slide: &Drawn<'_>,
    (from, to): (Metres, Metres),
    crests: &[Metres],
) -> impl Iterator<Item = Metres> {
    let (settling, speed) = (slide.slide.settling, slide.touchdown.to_mps());
    let spread_out = (0..=PLACES).map(move |i| from + (to - from) * (f64::from(i) / f64::from(PLACES)));
    let before: Vec<Metres> = crests
        .iter()
        .flat_map(|crest| [0.5, 1.0, 1.5].map(|share| *crest - Metres::m(share * settling * speed)))
        .filter(|at| from <= *at && *at <= to)
        .collect();
    spread_out.chain(before)
}

fn skip_from(drawn: &Drawn<'_>, at: Metres) -> Option<Metres> {
    let traced = drawn.slide().traced(Touchdown { at, speed: drawn.touchdown }, None, |_, _| ());
    traced.skips_at.map(|length| at + length)
}
