//! The ground before a lane, as levels tell it: a path to a touchdown passes over it with room, before the lane begins.
//!
//! Every facet between levels is cut to the corridor, so that nothing on it lies higher than the corners of what is left.
//! The corridor widens with the distance before the touchdown, so touchdowns are taken in bands, each with the width of its
//! last.
//!
//! Invariants: at the worst ground lies as high as it may in a corridor as wide as it may be, and the ground under the touchdown as
//! low; the room asked over it is that over rising ground, but no more than half of what the path would have over level
//! ground, so that level ground asks for nothing but the near margin; where there are no levels nothing is known of it, and
//! rising ground is an obstacle to be marked.

use crate::spread::Corner;
use crate::terrain::{Facet, Terrain};
use ground::{Lane, Point};
use measure::{Interval, Metres};
use slide::approach::{Corridor, Descent, Floor};

/// Where the bands of touchdowns end, m (judgement: in each the corridor is wider than it need be by at most the splay over
/// its length); the last reaches as far as touchdowns do.
const BANDS: [f64; 12] = [20.0, 40.0, 60.0, 80.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0, 700.0];

/// Share that may be asked of the height of a path over level ground (judgement).
const MOST_ASKED: f64 = 0.5;

/// A place before a lane.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Rise {
    /// Its chainage.
    pub(crate) at: Metres,
    /// Above the datum.
    pub(crate) height: Interval<Metres>,
    /// Room asked over it.
    pub(crate) kept: Metres,
}

/// The corridor before a lane, and the paths through it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Approach<'a> {
    pub(crate) lane: &'a Lane,
    pub(crate) corridor: &'a Corridor,
    pub(crate) half_span: Metres,
    /// Lowest ground of the lane.
    pub(crate) floor: &'a Floor,
    /// Path over the ground, radians.
    pub(crate) glide: Interval<f64>,
    /// Most that is asked over rising ground.
    pub(crate) most_kept: Metres,
    /// Last touchdown that is of any use.
    pub(crate) last: Metres,
}

/// Touchdowns up to one, and the ground that is hardest to pass over on the way to them.
struct Band {
    from: Metres,
    /// Infinite for the last.
    until: Metres,
    /// As high as it may be in the widest corridor, under the shallowest path.
    worst: Option<Rise>,
    /// As low as it may be in the narrowest, under the steepest.
    best: Option<Rise>,
}

/// The ground, for bands of touchdowns.
pub(crate) struct GroundBefore(Vec<Band>);

impl GroundBefore {
    /// As far back as a path over the lowest floor could be too low over any ground.
    pub(crate) fn new(terrain: &Terrain, approach: &Approach) -> Self {
        let view = View::new(approach);
        let seen = |facet: &Facet| Seen::new(facet, &view, approach);
        let near: Vec<Seen> = terrain.facets().iter().filter_map(seen).collect();
        if near.is_empty() {
            return Self(Vec::new());
        }
        let rises =
            |touchdown: Metres| near.iter().flat_map(move |seen| seen.within((approach, view), touchdown));
        let tangents = (libm::tan(approach.glide.low()), libm::tan(approach.glide.high()));
        let band = |(from, until): (Metres, Metres)| Band {
            from,
            until: if until < approach.last { until } else { Metres::m(f64::INFINITY) },
            worst: hardest(rises(until), |rise| rise.height.high() + rise.at * tangents.0),
            best: hardest(rises(from), |rise| rise.height.low() + rise.at * tangents.1),
        };
        let last = approach.last.max(Metres::ZERO);
        let ends = BANDS.into_iter().map(Metres::m).take_while(|end| *end < last).chain([last]);
        let ends: Vec<Metres> = [Metres::ZERO].into_iter().chain(ends).collect();
        Self(ends.windows(2).map(|w| band((w[0], w[1]))).collect())
    }

    /// The touchdowns to which a path would pass too low over it.
    pub(crate) fn closes(&self, descent: &Descent, corner: Corner) -> Vec<Interval<Metres>> {
        let clears = |band: &Band| match corner {
            Corner::Worst => band.worst.map(|r| descent.clears_from(r.at, r.height.high() + r.kept)),
            Corner::Best => band.best.map(|r| descent.clears_from(r.at, r.height.low() + r.kept)),
        };
        let closed = |band: &Band| {
            let until = clears(band)?;
            (until > band.from).then(|| Interval::spanning(band.from, until.min(band.until)))
        };
        let mut out: Vec<Interval<Metres>> = Vec::new();
        for next in self.0.iter().filter_map(closed) {
            match out.last_mut() {
                Some(last) if last.high() >= next.low() => *last = last.hull(next),
                _ => out.push(next),
            }
        }
        out
    }

    /// Where the shallowest path to a touchdown has least left over what is asked.
    pub(crate) fn nearest_to(&self, touchdown: Metres) -> Option<Rise> {
        self.0.iter().find(|band| touchdown <= band.until)?.worst
    }
}

/// The place that asks for the highest path, by what it asks without its room.
fn hardest(rises: impl Iterator<Item = Rise>, asks: impl Fn(&Rise) -> Metres) -> Option<Rise> {
    let asked = |rise: &Rise| asks(rise) + rise.kept;
    rises.reduce(|a, b| if asked(&b) > asked(&a) { b } else { a })
}

/// A place as seen from a lane: chainage, offset, lowest and highest that it may lie, m.
type Place = [f64; 4];

/// The field as seen from the near end of a lane; what is the same for many places is worked out once.
#[derive(Clone, Copy)]
struct View {
    near: Point,
    unit: (f64, f64),
    /// Room asked over the ground, per distance before the lane.
    kept_share: f64,
}

impl View {
    fn new(approach: &Approach) -> Self {
        let Lane { near, heading, .. } = *approach.lane;
        let kept_share = libm::tan(approach.glide.low()).max(0.0) * MOST_ASKED;
        Self { near, unit: heading.unit(), kept_share }
    }

    /// Chainage, and offset to the right, m.
    fn of(&self, place: Point) -> (f64, f64) {
        let ((east, north), (x, y)) = (self.unit, (place.x - self.near.x, place.y - self.near.y));
        (x * east + y * north, x * north - y * east)
    }
}

/// What of a facet lies before a lane, where a path may be too low over it: in two parts, as the room that is asked stops
/// growing between them.
struct Seen([Vec<Place>; 2]);

impl Seen {
    /// `None` where no path can be too low over it.
    fn new(facet: &Facet, view: &View, approach: &Approach) -> Option<Self> {
        let ((chainage, offset), reach) = (view.of(facet.middle), facet.reach.to_m());
        let (splay, share) = (approach.corridor.splay, view.kept_share);
        let nearest = (-(chainage + reach)).max(0.0);
        let widest = half_width(approach, approach.last) + (reach - chainage) * splay;
        // Of the path's height over level ground a share may be asked, and as much is room.
        let is_low = (facet.top - approach.floor.lowest()).to_m() > nearest * share;
        if !is_low || chainage - reach > 0.0 || offset.abs() - reach > widest {
            return None;
        }
        let place = |(at, low, high): (Point, Metres, Metres)| {
            let (chainage, offset) = view.of(at);
            [chainage, offset, low.to_m(), high.to_m()]
        };
        let before = clipped(&facet.corners.map(place), |[chainage, ..]| -chainage);
        let grows = |[chainage, ..]: Place| approach.most_kept.to_m() + chainage * share;
        Some(Self([clipped(&before, grows), clipped(&before, |place| -grows(place))]))
    }

    /// Corners of what of it lies in the corridor to a touchdown.
    fn within(&self, (approach, view): (&Approach, View), touchdown: Metres) -> impl Iterator<Item = Rise> {
        let (splay, share) = (approach.corridor.splay, view.kept_share);
        let (beside, most) = (half_width(approach, touchdown), approach.most_kept);
        let inside = move |part: &Vec<Place>| {
            let left = clipped(part, |[chainage, offset, ..]| beside - splay * chainage - offset);
            clipped(&left, |[chainage, offset, ..]| beside - splay * chainage + offset)
        };
        let rise = move |[chainage, _, low, high]: Place| Rise {
            at: Metres::m(chainage),
            height: Interval::spanning(Metres::m(low), Metres::m(high)),
            kept: most.min(Metres::m(-chainage * share)),
        };
        self.0.iter().flat_map(inside).map(rise)
    }
}

/// Half-width of the corridor at the near end of the lane, on the way to a touchdown.
fn half_width(approach: &Approach, touchdown: Metres) -> f64 {
    (approach.corridor.before_lane(touchdown) + approach.half_span).to_m()
}

/// The part of a polygon on which something linear is not negative.
fn clipped(polygon: &[Place], inside: impl Fn(Place) -> f64) -> Vec<Place> {
    let mut out = Vec::with_capacity(polygon.len() + 1);
    for (i, &a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        let (at_a, at_b) = (inside(a), inside(b));
        if at_a >= 0.0 {
            out.push(a);
        }
        if (at_a < 0.0) != (at_b < 0.0) {
            let share = at_a / (at_a - at_b);
            out.push(std::array::from_fn(|k| a[k] + (b[k] - a[k]) * share));
        }
    }
    out
}
