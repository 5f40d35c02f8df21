//! Lanes with room to drift: how much of it slides on a lane ask for, and lanes that are shifted, turned or shortened until
//! they have it.
//!
//! Invariant: the room is that of one lane, and another may ask for more; each is judged by its own.
//!
//! Not here: how far slides drift ([`crate::drift`]).

use crate::bench::Bench;
use crate::demand::Look;
use crate::hunt::{Candidate, near};
use crate::keel_way::KeelWay;
use crate::open_lanes::OpenLanes;
use ground::{Lane, Obstructions, Stretch};
use measure::{Metres, TrueHeading};
use rayon::prelude::*;
use std::sync::Arc;

/// What a lane has left over with its way in, metres, the lane, and what it was found among.
type Opened = (f64, Stretch, Obstructions);

/// Adds lanes with room to drift as of their own direction and an open way in, where none found in that direction leaves as
/// much and has room for its own drift; those found there with room for another's alone give way to them.
pub(crate) fn open_up(
    bench: &Bench,
    (open, base): (&OpenLanes, &Obstructions),
    directions: &[Stretch],
    lanes: &mut Vec<Candidate>,
) {
    let (roomy, narrow): (Vec<Candidate>, Vec<Candidate>) =
        lanes.drain(..).partition(|c| !c.wide || bench.has_room_for_drift(base, &c.stretch));
    let worth = |c: &Candidate| (open.worth(&open.with_way_in(&c.stretch)), c.stretch);
    let known: Vec<(f64, Stretch)> = roomy.iter().filter(|c| c.wide).map(worth).collect();
    let tolerance = bench.settings.search_tolerance_m;
    let has_room = |(_, stretch, _): &Opened| bench.has_room_for_drift(base, stretch);
    let own = |lane: &Stretch| {
        let first = opened_about(bench, (open, base), &lane.lane)?;
        // On its own ground it may drift a little farther than on that of the other.
        let again = |first: &Opened| opened_about(bench, (open, base), &first.1.lane).filter(has_room);
        Some(if has_room(&first) { first } else { again(&first).unwrap_or(first) })
    };
    let mut each: Vec<Opened> = directions.par_iter().filter_map(own).collect();
    let straight = if bench.look == Look::Full { directions } else { &[] };
    let lines: Vec<&Stretch> = narrow.iter().map(|c| &c.stretch).chain(straight).collect();
    each.extend(
        lines.into_par_iter().filter_map(|stretch| eased(bench, (open, base), stretch)).collect::<Vec<_>>(),
    );
    each.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut out: Vec<Candidate> = Vec::new();
    for (worth, stretch, things) in each {
        let served = known.iter().any(|(known, lane)| near(lane, &stretch) && known + tolerance >= worth);
        // Two directions may lead to one lane.
        if !served && !out.iter().any(|c| near(&c.stretch, &stretch)) {
            out.push(Candidate { stretch, wide: true, own: Some(Arc::new(things)) });
        }
    }
    lanes.extend(roomy);
    lanes.extend(narrow.into_iter().filter(|c| !out.iter().any(|o| near(&o.stretch, &c.stretch))));
    lanes.extend(out);
}

/// The lane about a heading with the most open way in and room to drift as on another, and what it was found among.
pub(crate) fn opened_like(
    bench: &Bench,
    (open, base): (&OpenLanes, &Obstructions),
    like: &Lane,
    heading: TrueHeading,
) -> Option<(Stretch, Obstructions)> {
    let things = with_room_to_drift(bench, base, like)?;
    Some((open.about(&things, heading)?.stretch, things))
}

/// A lane that lacks room for its own drift, shortened, shifted and turned until it has it.
fn eased(bench: &Bench, (open, base): (&OpenLanes, &Obstructions), narrow: &Stretch) -> Option<Opened> {
    let things = with_room_to_drift(bench, base, &narrow.lane)?;
    let found = open.polished(open.through(&things, &narrow.lane)?, &things);
    let lane = found.lane.stretch;
    (found.worth >= 0.0 && bench.has_room_for_drift(base, &lane)).then_some((found.worth, lane, things))
}

/// The lane near another's heading with the most open way in and room to drift as the wind across each heading asks for, and
/// what it was found among.
fn opened_about(bench: &Bench, (open, base): (&OpenLanes, &Obstructions), like: &Lane) -> Option<Opened> {
    let like = &bench.even_lane(like);
    let way = bench.way(like);
    let middle = like.point_at(like.length * 0.5, Metres::ZERO);
    let on = |heading: TrueHeading| {
        let turned = Lane { near: middle, heading, ..*like };
        let lane = Lane { near: turned.point_at(like.length * -0.5, Metres::ZERO), ..turned };
        let things = with_room_on(bench, base, &lane, &way)?;
        Some((open.on(&things, heading)?, things))
    };
    let each: Vec<_> = OpenLanes::about_headings(like.heading).into_par_iter().filter_map(on).collect();
    let (found, things) = each.into_iter().reduce(|a, b| if b.0.worth > a.0.worth { b } else { a })?;
    let found = open.polished(found, &things);
    Some((found.worth, found.lane.stretch, things))
}

/// Things of a field with room to drift as on one lane, or on its part on even ground; `None` where nobody knows how far.
pub(crate) fn with_room_to_drift(bench: &Bench, base: &Obstructions, lane: &Lane) -> Option<Obstructions> {
    let even = bench.even_lane(lane);
    with_room_on(bench, base, &even, &bench.way(&even))
}

/// The same on ground that is given.
fn with_room_on(bench: &Bench, base: &Obstructions, lane: &Lane, way: &KeelWay) -> Option<Obstructions> {
    let drifted = bench.drift_on(lane, way, &bench.spread_on(lane, way))?;
    Some(base.with_half_width(drifted.half_width.grown(SHOWN_ROOM)))
}

/// Room over what drift needs, so that needed and free are told as apart as they are.
const SHOWN_ROOM: Metres = Metres::m(0.1);
