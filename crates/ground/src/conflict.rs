//! Whether a lane meets a thing, asked of a general-purpose geometry library.
//!
//! The search works with chainages blocked within bands of offset. This asks instead for the distance
//! between two shapes: the ground that a band passes over, a rectangle, and the thing's own core. They
//! share no code but what an interval is and how intervals are joined, so that the one catches a slip of the
//! other. Touching counts as meeting.
//!
//! Openings that keels may bridge are cut out as polygons, circles drawn outside theirs: an opening is
//! never taken as shorter than it is.

use crate::extent::{Span, joined};
use crate::{Centreline, Lane, Obstruction, Obstructions, Point, Thing};
use geo::{
    BooleanOps, BoundingRect, ConvexHull, Distance, Euclidean, Line, LineString, MultiPoint, Polygon,
    Triangle,
};
use measure::Metres;

/// Corners of a polygon drawn about a circle: it reaches farther by 8 parts in 100,000 of the radius.
const ROUND: usize = 256;

/// Whether an aircraft anywhere within its allowance meets a thing on a lane.
pub(crate) fn meets(obstructions: &Obstructions, o: &Obstruction, lane: &Lane) -> bool {
    if !may_come_within(o, lane, 0.0) {
        return false;
    }
    let (line, near) = lane.centreline();
    let far = near + lane.length.to_m();
    let steps = obstructions.allowance().half_width.steps();
    o.bands().iter().zip(steps).any(|(bands, step)| {
        let along = Span::new(near + step.from.to_m(), far);
        // The aircraft has come to rest before this step begins.
        if along.high < along.low {
            return false;
        }
        match o.bridged() {
            None => bands.iter().any(|band| apart(o, line, along, *band) <= 0.0),
            Some(opening) => opens_farther(o, line, bands, opening).any(|span| span.meets(along)),
        }
    })
}

/// Whether a thing may lie within a distance of the ground that some band passes over: by its distance from the centre line
/// alone, which is quick.
fn may_come_within(o: &Obstruction, lane: &Lane, by: f64) -> bool {
    let farthest = o.bands().iter().flatten().map(|band| band.high.max(-band.low)).fold(0.0, f64::max);
    let (cores, radius) = o.cores();
    let line = Line::new(lane.near, lane.far());
    cores.iter().map(|core| from_core(core, &line)).fold(f64::INFINITY, f64::min) <= farthest + radius + by
}

/// Distance of a core from something else.
fn from_core<G>(core: &[Point], to: &G) -> f64
where
    Euclidean: for<'a> Distance<f64, &'a geo::Point, &'a G>
        + for<'a> Distance<f64, &'a Line, &'a G>
        + for<'a> Distance<f64, &'a Triangle, &'a G>,
{
    match *core {
        [a] => Euclidean.distance(&geo::Point::from(a), to),
        [a, b] => Euclidean.distance(&Line::new(a, b), to),
        [a, b, c] => Euclidean.distance(&Triangle::new(a, b, c), to),
        // No core has another number of corners.
        _ => 0.0,
    }
}

fn rectangle(line: Centreline, along: Span, across: Span) -> Polygon<f64> {
    let corner = |s, o| line.field_from_line((s, o));
    let ring = vec![
        corner(along.low, across.low),
        corner(along.low, across.high),
        corner(along.high, across.high),
        corner(along.high, across.low),
    ];
    Polygon::new(LineString::new(ring), Vec::new())
}

/// How far a thing lies from the ground that a band passes over; not positive where they touch.
fn apart(o: &Obstruction, line: Centreline, along: Span, band: Span) -> f64 {
    let swept = rectangle(line, along, band);
    let (cores, radius) = o.cores();
    cores.iter().map(|core| from_core(core, &swept)).fold(f64::INFINITY, f64::min) - radius
}

/// Hazards that hold a lane in its place: those that the aircraft passes within `by`, the nearest first.
pub fn hazards_within(obstructions: &Obstructions, lane: &Lane, by: Metres) -> Vec<Thing> {
    let (line, near) = lane.centreline();
    let far = near + lane.length.to_m();
    let steps = obstructions.allowance().half_width.steps();
    let nearest = |o: &Obstruction| {
        let begun = o.bands().iter().zip(steps).map(|(b, step)| (b, near + step.from.to_m()));
        let reached = begun.filter(|(_, from)| *from <= far);
        reached
            .flat_map(|(bands, from)| {
                bands.iter().map(move |band| apart(o, line, Span::new(from, far), *band))
            })
            .fold(f64::INFINITY, f64::min)
    };
    let near = |o: &&Obstruction| may_come_within(o, lane, by.to_m());
    let hazards = obstructions.list().iter().filter(|o| matches!(o.thing, Thing::Hazard(_))).filter(near);
    let mut found: Vec<(f64, Thing)> =
        hazards.map(|o| (nearest(o), o.thing)).filter(|(apart, _)| *apart <= by.to_m()).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    found.into_iter().map(|(_, thing)| thing).collect()
}

/// Chainages over which bands of a line lie open for longer than the keels bridge.
fn opens_farther(
    o: &Obstruction,
    line: Centreline,
    bands: &[Span],
    opening: f64,
) -> impl Iterator<Item = Span> {
    let (cores, radius) = o.cores();
    let mut open = Vec::new();
    for core in cores {
        let turned: Vec<Point> = core.iter().map(|p| line.line_from_field(*p).into()).collect();
        let hole = MultiPoint::from(around(&turned, radius)).convex_hull();
        let Some(reach) = hole.bounding_rect() else { continue };
        for band in bands {
            let strip = geo::Rect::new((reach.min().x, band.low), (reach.max().x, band.high)).to_polygon();
            let cut = hole.intersection(&strip).bounding_rect();
            open.extend(cut.map(|r| Span::new(r.min().x, r.max().x)));
        }
    }
    joined(open).into_iter().filter(move |span| span.high - span.low > opening)
}

fn around(corners: &[Point], radius: f64) -> Vec<Point> {
    let outside = radius / libm::cos(std::f64::consts::PI / ROUND as f64);
    let turn = |i: usize| std::f64::consts::TAU * i as f64 / ROUND as f64;
    corners
        .iter()
        .flat_map(|c| {
            (0..ROUND).map(move |i| Point {
                x: c.x + outside * libm::cos(turn(i)),
                y: c.y + outside * libm::sin(turn(i)),
            })
        })
        .collect()
}
