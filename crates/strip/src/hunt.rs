//! The searches of one assessment, and what one leaves for the next.

use crate::aims;
use crate::assess::Cancelled;
use crate::assessment::Reason;
use crate::bench::Bench;
use crate::code::Code;
use crate::demand::Look;
use crate::drift::Drifts;
use crate::keel_way::KeelWay;
use crate::open_lanes::{Grid, OpenLanes, WithWayIn};
use ground::{
    Aim, Cover, FINE, Found, Goal, Lane, Obstructions, SectorLength, Stretch, Thing, by_heading,
    distinct_lanes, found,
};
use measure::{Metres, TrueHeading};
use rayon::prelude::*;
use std::f64::consts::FRAC_PI_2;
use std::ops::ControlFlow;
use std::sync::Arc;

/// Most lanes that are judged (judgement: as many as a person compares, and no two that are the same lane a
/// little turned).
const MOST_LANES: usize = 8;

/// Most lanes of a first look, which has to follow a finger.
const MOST_LANES_AT_FIRST: usize = 3;

/// Least difference between their headings, degrees.
pub(crate) const DISTINCT_DEG: f64 = 15.0;

/// How finely lanes of a first look are polished.
pub(crate) const FINE_AT_FIRST: Metres = Metres::m(0.05);

/// Of these, most that are kept clear by as much as slides drift.
pub(crate) const MOST_WIDE: usize = 4;
const MOST_WIDE_AT_FIRST: usize = 2;

/// Least that is told of what another lane would leave more, metres (judgement: less is not worth a thought).
const LEAST_TOLD: f64 = 5.0;

/// Shares of the work, as told while it goes on.
const LONGEST_DONE: f64 = 0.25;
const STRAIGHT_DONE: f64 = 0.45;
pub(crate) const SPARE_DONE: f64 = 0.6;
pub(crate) const GAINS_DONE: f64 = 0.9;

/// What was known of the lanes of the field last looked at, to begin from when one thing moves.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    longest: Option<Cover>,
    spare: Option<Cover>,
    wide: Option<Cover>,
    pub(crate) drifts: Drifts,
}

/// A lane to be judged.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    pub(crate) stretch: Stretch,
    /// Whether it was found among lanes kept clear by as much as slides drift.
    pub(crate) wide: bool,
    /// What it was found among, where that is neither cover's.
    pub(crate) own: Option<Arc<Obstructions>>,
}

/// What the searches found.
pub(crate) struct Hunt {
    /// The longest clear lane, and its bound.
    pub(crate) longest: Found,
    /// How many boxes hold every line between them.
    pub(crate) boxes: usize,
    /// The same by heading.
    pub(crate) by_heading: Vec<SectorLength>,
    /// Distinct lanes, and the longest if it is none of them.
    pub(crate) lanes: Vec<Candidate>,
    /// What slides that go straight lose by what stands in the way in.
    lost: Option<Lost>,
    /// All that is known of the other lanes, by what they were ranked by, for slides that go straight.
    straight: Cover,
    /// The same with room to drift; `None` where nobody knows how far.
    wide: Option<Cover>,
}

impl Hunt {
    /// The cover that a candidate comes from.
    pub(crate) fn cover_of(&self, wide: bool) -> &Cover {
        self.wide.as_ref().filter(|_| wide).unwrap_or(&self.straight)
    }

    /// What a candidate was found among.
    pub(crate) fn among<'h>(&'h self, candidate: &'h Candidate) -> &'h Obstructions {
        candidate.own.as_deref().unwrap_or_else(|| self.cover_of(candidate.wide).obstructions())
    }

    /// What lanes are ranked by.
    pub(crate) fn aim(&self) -> &Aim {
        self.straight.aim()
    }

    /// Told where a lane would leave more than any does, were its way in open.
    pub(crate) fn closed_way_in(&self, bench: &Bench) -> Option<Reason> {
        let Lost { heading, more, over } = self.lost?;
        let text = format!(
            "A lane towards {:.0}° true would leave more than any does with its way in, but for {} first of all",
            heading.to_deg(),
            bench.thing_name(over)
        );
        let tells = more > bench.settings.search_tolerance_m.max(LEAST_TOLD);
        tells.then(|| Reason { text, ..Reason::told(Code::ClosedWayIn, (more, "m")) })
    }

    /// Single lines worked out.
    pub(crate) fn lines(&self) -> usize {
        self.longest.lines + self.straight.lines() + self.wide.as_ref().map_or(0, Cover::lines)
    }
}

/// What the lane that leaves most but for its way in has more than any with its way in, metres, and what closes most of it.
#[derive(Clone, Copy, Debug)]
struct Lost {
    heading: TrueHeading,
    more: f64,
    over: Thing,
}

/// Told the share of the work done; may break off.
pub(crate) type Step<'a> = &'a dyn Fn(f64) -> ControlFlow<()>;

/// Looks for the longest lane and for those with most to spare. From memory it begins where the last
/// search ended and leaves single directions coarse.
pub(crate) fn hunt(bench: &Bench, memory: Option<&mut Memory>, step: Step) -> Result<Hunt, Cancelled> {
    let room = Metres::m(bench.settings.search_tolerance_m);
    let heading = memory.is_none().then(|| Metres::m(bench.settings.search_by_heading_m));
    let (aim, any) = (aims::spare(bench), Aim::longest());
    let old = memory.as_deref().cloned().unwrap_or_default();

    let begin = |old: Option<Cover>, things: &Obstructions| match old {
        Some(cover) => cover.changed_to(things),
        None => Cover::new(things),
    };
    let things = &bench.obstructions;
    let part = |from: f64, to: f64| move |s: f64| step(from + s * (to - from));
    let longest =
        begin(old.longest, things).refined(&any, Goal::within(room, heading), &part(0.0, LONGEST_DONE))?;
    let straight = begin(old.spare, things).refined(
        &aim,
        Goal::within(room, None),
        &part(LONGEST_DONE, STRAIGHT_DONE),
    )?;
    let open = OpenLanes::new(bench, &aim, if memory.is_some() { GRID_AT_FIRST } else { GRID });
    let fine = if memory.is_some() { FINE_AT_FIRST } else { FINE };
    let distinct = distinct_lanes(&straight, MOST_LANES, DISTINCT_DEG.to_radians(), fine);
    let (directions, lost) = directions(bench, &open, &distinct, memory.is_some());
    // With room to drift only lanes that are long enough are of use.
    let long_enough = Goal::Within { tolerance: room, by_heading: None, least: 0.0 };
    let wide = directions
        .first()
        .and_then(|stretch| with_room_to_drift(bench, &stretch.lane))
        .map(|things| begin(old.wide, &things).refined(&aim, long_enough, &part(STRAIGHT_DONE, SPARE_DONE)))
        .transpose()?;
    let (by_heading, boxes, best) = (by_heading(&longest), longest.boxes(), found(&longest, fine));
    let mut lanes = candidates((&aim, &distinct), wide.as_ref(), (memory.is_some(), fine), room);
    open_up(bench, &open, &directions, &mut lanes);
    if let Some(memory) = memory {
        (memory.longest, memory.spare) = (Some(longest), Some(straight.clone()));
        memory.wide.clone_from(&wide);
    }
    // The longest lane is one to show, though others have more to spare.
    let as_long = |c: &Candidate, best: &Stretch| c.stretch.lane.length + room >= best.lane.length;
    if let Some(stretch) = best.best.filter(|best| !lanes.iter().any(|c| as_long(c, best))) {
        lanes.push(Candidate { stretch, wide: false, own: None });
    }
    Ok(Hunt { longest: best, boxes, by_heading, lanes, lost, straight, wide })
}

/// What a lane has left over with its way in, metres, the lane, and what it was found among.
type Opened = (f64, Stretch, Obstructions);

/// Adds lanes with room to drift as of their own direction and an open way in, where none found in that direction leaves as
/// much and has room for its own drift; those found there with room for another's alone give way to them.
fn open_up(bench: &Bench, open: &OpenLanes, directions: &[Stretch], lanes: &mut Vec<Candidate>) {
    let (roomy, narrow): (Vec<Candidate>, Vec<Candidate>) =
        lanes.drain(..).partition(|c| !c.wide || bench.has_room_for_drift(&c.stretch));
    let worth = |c: &Candidate| (open.worth(&open.with_way_in(&c.stretch)), c.stretch);
    let known: Vec<(f64, Stretch)> = roomy.iter().filter(|c| c.wide).map(worth).collect();
    let tolerance = bench.settings.search_tolerance_m;
    let has_room = |(_, stretch, _): &Opened| bench.has_room_for_drift(stretch);
    let own = |lane: &Stretch| {
        let first = opened_about(bench, open, &lane.lane)?;
        // On its own ground it may drift a little farther than on that of the other.
        let again = |first: &Opened| opened_about(bench, open, &first.1.lane).filter(has_room);
        Some(if has_room(&first) { first } else { again(&first).unwrap_or(first) })
    };
    let mut each: Vec<Opened> = directions.par_iter().filter_map(own).collect();
    let straight = if bench.look == Look::Full { directions } else { &[] };
    let lines: Vec<&Stretch> = narrow.iter().map(|c| &c.stretch).chain(straight).collect();
    each.extend(lines.into_par_iter().filter_map(|stretch| eased(bench, open, stretch)).collect::<Vec<_>>());
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
    open: &OpenLanes,
    like: &Lane,
    heading: TrueHeading,
) -> Option<(Stretch, Obstructions)> {
    let things = with_room_to_drift(bench, like)?;
    Some((open.about(&things, heading)?.stretch, things))
}

/// A lane that lacks room for its own drift, shortened, shifted and turned until it has it.
fn eased(bench: &Bench, open: &OpenLanes, narrow: &Stretch) -> Option<Opened> {
    let things = with_room_to_drift(bench, &narrow.lane)?;
    let found = open.polished(open.through(&things, &narrow.lane)?, &things);
    let lane = found.lane.stretch;
    (found.worth >= 0.0 && bench.has_room_for_drift(&lane)).then_some((found.worth, lane, things))
}

/// The lane near another's heading with the most open way in and room to drift as the wind across each heading asks for, and
/// what it was found among.
fn opened_about(bench: &Bench, open: &OpenLanes, like: &Lane) -> Option<Opened> {
    let like = &bench.even_lane(like);
    let way = bench.way(like);
    let middle = like.point_at(like.length * 0.5, Metres::ZERO);
    let on = |heading: TrueHeading| {
        let turned = Lane { near: middle, heading, ..*like };
        let lane = Lane { near: turned.point_at(like.length * -0.5, Metres::ZERO), ..turned };
        let things = with_room_on(bench, &lane, &way)?;
        Some((open.on(&things, heading)?, things))
    };
    let each: Vec<_> = OpenLanes::about_headings(like.heading).into_par_iter().filter_map(on).collect();
    let (found, things) = each.into_iter().reduce(|a, b| if b.0.worth > a.0.worth { b } else { a })?;
    let found = open.polished(found, &things);
    Some((found.worth, found.lane.stretch, things))
}

/// Lines on which lanes with an open way in are looked for.
pub(crate) const GRID: Grid = Grid { headings: 96, lines: 9 };
pub(crate) const GRID_AT_FIRST: Grid = Grid { headings: 36, lines: 5 };

/// Lanes for slides that go straight, one of each direction, those first that have most left over with their way in; and
/// what is lost by it.
fn directions(
    bench: &Bench,
    open: &OpenLanes,
    distinct: &[Stretch],
    at_first: bool,
) -> (Vec<Stretch>, Option<Lost>) {
    let mut lanes: Vec<WithWayIn> = distinct.par_iter().map(|stretch| open.with_way_in(stretch)).collect();
    let most = |lanes: &[WithWayIn]| lanes.iter().map(|l| open.worth(l)).fold(f64::NEG_INFINITY, f64::max);
    let best = lanes.first().map(|l| (open.promises(&l.stretch), l.stretch.lane.heading, l.over));
    // Where its way in costs the best lane more than another line may have left over, that may be the better one.
    if best.is_some_and(|(promise, ..)| promise > most(&lanes) + bench.settings.search_tolerance_m) {
        lanes.extend(open.among(&bench.obstructions));
    }
    let lost = best.and_then(|(promise, heading, over)| {
        let more = promise - most(&lanes);
        (promise >= 0.0 && more.is_finite()).then_some(Lost { heading, more, over: over? })
    });
    let mut out: Vec<Stretch> = Vec::new();
    for stretch in open.ranked(&lanes) {
        if !out.iter().any(|known| near(known, &stretch)) {
            out.push(stretch);
        }
    }
    other_way_second(&mut out, |stretch| stretch.lane.heading);
    out.truncate(if at_first { MOST_LANES_AT_FIRST } else { MOST_LANES });
    (out, lost)
}

/// Puts the first that runs the other way than the best behind it: there wind, slope and way in are others, so what tells
/// against the best need not tell against it.
pub(crate) fn other_way_second<T>(lanes: &mut [T], heading: impl Fn(&T) -> TrueHeading) {
    let Some(best) = lanes.first().map(&heading) else { return };
    if let Some(at) = lanes.iter().position(|lane| heading(lane).angle_to(best) > FRAC_PI_2) {
        lanes[1..=at].rotate_right(1);
    }
}

/// Whether two lanes are of one direction.
pub(crate) fn near(a: &Stretch, b: &Stretch) -> bool {
    a.lane.heading.angle_to(b.lane.heading) < DISTINCT_DEG.to_radians()
}

/// The field with room to drift as on one lane, or on its part on even ground; `None` where nobody knows how far.
pub(crate) fn with_room_to_drift(bench: &Bench, lane: &Lane) -> Option<Obstructions> {
    let even = bench.even_lane(lane);
    with_room_on(bench, &even, &bench.way(&even))
}

/// The same on ground that is given.
fn with_room_on(bench: &Bench, lane: &Lane, way: &KeelWay) -> Option<Obstructions> {
    let drifted = bench.drift_on(lane, way, &bench.spread_on(lane, way))?;
    Some(bench.obstructions.with_half_width(drifted.half_width.grown(SHOWN_ROOM)))
}

/// Room over what drift needs, so that needed and free are told as apart as they are.
const SHOWN_ROOM: Metres = Metres::m(0.1);

/// Distinct lanes with room to drift that are long enough, then those for slides that go straight: of one direction only
/// where they have more to spare.
fn candidates(
    (aim, distinct): (&Aim, &[Stretch]),
    wide: Option<&Cover>,
    (at_first, fine): (bool, Metres),
    room: Metres,
) -> Vec<Candidate> {
    let (most, most_wide) =
        if at_first { (MOST_LANES_AT_FIRST, MOST_WIDE_AT_FIRST) } else { (MOST_LANES, MOST_WIDE) };
    let apart = DISTINCT_DEG.to_radians();
    let worth = |s: &Stretch| Metres::m(aim.worth(s));
    let mut lanes: Vec<Candidate> = wide
        .into_iter()
        // At most nothing left over: none was looked for any closer.
        .filter(|cover| cover.bound() > 0.0)
        .flat_map(|cover| distinct_lanes(cover, most_wide, apart, fine))
        .filter(|s| worth(s) >= Metres::ZERO)
        .map(|stretch| Candidate { stretch, wide: true, own: None })
        .collect();
    for &stretch in distinct {
        let as_good =
            |c: &Candidate| near(&c.stretch, &stretch) && worth(&c.stretch) + room >= worth(&stretch);
        if lanes.len() < most && !lanes.iter().any(as_good) {
            lanes.push(Candidate { stretch, wide: false, own: None });
        }
    }
    lanes
}

/// The most that any lane of the field could have left over, metres, if that is less than nothing: a
/// bound that covers every lane.
pub(crate) fn proven_too_short(bench: &Bench, aim: &Aim, step: Step) -> Result<Option<f64>, Cancelled> {
    let say = |s: f64| step(GAINS_DONE + s * (1.0 - GAINS_DONE));
    let cover = Cover::new(&bench.as_surveyed()).refined(aim, Goal::Reach(0.0), &say)?;
    if cover.bound() > 0.0 {
        return Ok(None);
    }
    // Nothing reaches; how far it is from it is worth a closer look.
    let tolerance = Metres::m(bench.settings.search_tolerance_m);
    let cover = cover.refined(aim, Goal::within(tolerance, None), &say)?;
    Ok(Some(cover.bound()).filter(|bound| *bound < 0.0))
}

#[cfg(test)]
pub(crate) mod tests;
