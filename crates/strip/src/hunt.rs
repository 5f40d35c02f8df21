//! The searches of one assessment, and what one leaves for the next.

use crate::aims;
use crate::assess::Cancelled;
use crate::bench::Bench;
use crate::drift::Drifts;
use crate::open_lanes::{Grid, OpenLanes, WithWayIn};
use ground::{
    Aim, Cover, Found, Goal, Lane, Obstructions, SectorLength, Stretch, by_heading, distinct_lanes, found,
};
use measure::{Metres, TrueHeading};
use std::ops::ControlFlow;
use std::sync::Arc;

/// Most lanes that are judged (judgement: as many as a person compares, and no two that are the same lane a
/// little turned).
const MOST_LANES: usize = 8;

/// Most lanes of a first look, which has to follow a finger.
const MOST_LANES_AT_FIRST: usize = 3;

/// Least difference between their headings, degrees.
const DISTINCT_DEG: f64 = 15.0;

/// Of these, most that are kept clear by as much as slides drift.
const MOST_WIDE: usize = 4;
const MOST_WIDE_AT_FIRST: usize = 2;

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
    own: Option<Arc<Obstructions>>,
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

    /// Single lines worked out.
    pub(crate) fn lines(&self) -> usize {
        self.longest.lines + self.straight.lines() + self.wide.as_ref().map_or(0, Cover::lines)
    }
}

/// Told the share of the work done; may break off.
pub(crate) type Step<'a> = &'a dyn Fn(f64) -> ControlFlow<()>;

/// Looks for the longest lane and for those with most to spare. From memory it begins where the last
/// search ended and leaves single directions coarse.
pub(crate) fn hunt(bench: &Bench, memory: Option<&mut Memory>, step: Step) -> Result<Hunt, Cancelled> {
    let room = Metres::m(bench.settings.search_tolerance_m);
    let fine = memory.is_none().then(|| Metres::m(bench.settings.search_by_heading_m));
    let goal = |by_heading| Goal::Within { tolerance: room, by_heading };
    let (aim, any) = (aims::spare(bench), Aim::longest());
    let old = memory.as_deref().cloned().unwrap_or_default();

    let begin = |old: Option<Cover>, things: &Obstructions| match old {
        Some(cover) => cover.changed_to(things),
        None => Cover::new(things),
    };
    let things = &bench.obstructions;
    let part = |from: f64, to: f64| move |s: f64| step(from + s * (to - from));
    let longest = begin(old.longest, things).refined(&any, goal(fine), &part(0.0, LONGEST_DONE))?;
    let straight = begin(old.spare, things).refined(&aim, goal(None), &part(LONGEST_DONE, STRAIGHT_DONE))?;
    let open = OpenLanes::new(bench, &aim, if memory.is_some() { GRID_AT_FIRST } else { GRID });
    let directions = directions(bench, &open, &straight, memory.is_some());
    let wide = directions
        .first()
        .and_then(|stretch| with_room_to_drift(bench, &stretch.lane))
        .map(|things| begin(old.wide, &things).refined(&aim, goal(None), &part(STRAIGHT_DONE, SPARE_DONE)))
        .transpose()?;
    let (by_heading, boxes, best) = (by_heading(&longest), longest.boxes(), found(&longest));
    let mut lanes = candidates(&straight, wide.as_ref(), memory.is_some(), room);
    lanes.extend(opened(bench, &open, &directions, &lanes));
    if let Some(memory) = memory {
        (memory.longest, memory.spare) = (Some(longest), Some(straight.clone()));
        memory.wide.clone_from(&wide);
    }
    // The longest lane is one to show, though others have more to spare.
    let as_long = |c: &Candidate, best: &Stretch| c.stretch.lane.length + room >= best.lane.length;
    if let Some(stretch) = best.best.filter(|best| !lanes.iter().any(|c| as_long(c, best))) {
        lanes.push(Candidate { stretch, wide: false, own: None });
    }
    Ok(Hunt { longest: best, boxes, by_heading, lanes, straight, wide })
}

/// Lanes with room to drift as of their own direction and an open way in, of the directions that have none yet.
fn opened(bench: &Bench, open: &OpenLanes, directions: &[Stretch], found: &[Candidate]) -> Vec<Candidate> {
    let apart = DISTINCT_DEG.to_radians();
    let served = |lane: &Stretch| {
        let near = |c: &&Candidate| c.stretch.lane.heading.angle_to(lane.lane.heading) < apart;
        found.iter().filter(near).any(|c| c.wide && open.with_way_in(&c.stretch).is_open())
    };
    let with_room = |lane: &Stretch| {
        let (stretch, things) = opened_like(bench, open, &lane.lane, lane.lane.heading)?;
        Some(Candidate { stretch, wide: true, own: Some(Arc::new(things)) })
    };
    directions.iter().filter(|lane| !served(lane)).filter_map(with_room).collect()
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

/// Lines on which lanes with an open way in are looked for.
pub(crate) const GRID: Grid = Grid { headings: 96, lines: 9 };
pub(crate) const GRID_AT_FIRST: Grid = Grid { headings: 36, lines: 5 };

/// Lanes for slides that go straight, one of each direction, those first that have most left over with their way in.
fn directions(bench: &Bench, open: &OpenLanes, straight: &Cover, at_first: bool) -> Vec<Stretch> {
    let distinct = distinct_lanes(straight, MOST_LANES, DISTINCT_DEG.to_radians());
    let mut lanes: Vec<WithWayIn> = distinct.iter().map(|stretch| open.with_way_in(stretch)).collect();
    if !lanes.iter().any(WithWayIn::is_open) {
        lanes.extend(open.among(&bench.obstructions));
    }
    let mut ranked = open.ranked(&lanes);
    ranked.truncate(if at_first { MOST_LANES_AT_FIRST } else { MOST_LANES });
    ranked
}

/// The field with room to drift as on one lane; `None` where nobody knows how far.
pub(crate) fn with_room_to_drift(bench: &Bench, lane: &Lane) -> Option<Obstructions> {
    let way = bench.way(lane);
    let drifted = bench.drift_on(lane, &way, &bench.spread_on(lane, &way))?;
    bench.with_half_width(drifted.half_width.grown(SHOWN_ROOM))
}

/// Room over what drift needs, so that needed and free are told as apart as they are.
const SHOWN_ROOM: Metres = Metres::m(0.1);

/// Distinct lanes with room to drift that are long enough, then those for slides that go straight: of one direction only
/// where they have more to spare.
fn candidates(straight: &Cover, wide: Option<&Cover>, at_first: bool, room: Metres) -> Vec<Candidate> {
    let (most, most_wide) =
        if at_first { (MOST_LANES_AT_FIRST, MOST_WIDE_AT_FIRST) } else { (MOST_LANES, MOST_WIDE) };
    let apart = DISTINCT_DEG.to_radians();
    let aim = straight.aim();
    let worth = |s: &Stretch| Metres::m(aim.worth(s));
    let mut lanes: Vec<Candidate> = wide
        .into_iter()
        .flat_map(|cover| distinct_lanes(cover, most_wide, apart))
        .filter(|s| worth(s) >= Metres::ZERO)
        .map(|stretch| Candidate { stretch, wide: true, own: None })
        .collect();
    for stretch in distinct_lanes(straight, most, apart) {
        let as_good = |c: &Candidate| {
            let turned = c.stretch.lane.heading.angle_to(stretch.lane.heading);
            turned < apart && worth(&c.stretch) + room >= worth(&stretch)
        };
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
    let cover = Cover::new(&bench.obstructions).refined(aim, Goal::Reach(0.0), &say)?;
    if cover.bound() > 0.0 {
        return Ok(None);
    }
    // Nothing reaches; how far it is from it is worth a closer look.
    let tolerance = Metres::m(bench.settings.search_tolerance_m);
    let cover = cover.refined(aim, Goal::Within { tolerance, by_heading: None }, &say)?;
    Ok(Some(cover.bound()).filter(|bound| *bound < 0.0))
}
