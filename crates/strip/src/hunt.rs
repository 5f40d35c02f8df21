//! The searches of one assessment, and what one leaves for the next.

use crate::aims;
use crate::assess::Cancelled;
use crate::assessment::Reason;
use crate::bench::Bench;
use crate::code::Code;
use crate::drift::Drifts;
use crate::drift_room::{open_up, with_room_to_drift};
use crate::open_lanes::{Grid, OpenLanes, WithWayIn};
use ground::{
    Aim, Cover, FINE, Found, Goal, Obstructions, Point, SectorLength, Stretch, Thing, by_heading, check_lane,
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
const FIELD_DONE: f64 = 0.5;
pub(crate) const SPARE_DONE: f64 = 0.6;
pub(crate) const GAINS_DONE: f64 = 0.9;

/// What was known of the lanes of the field last looked at, to begin from when one thing moves.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    longest: Option<Cover>,
    field: Covers,
    firm: Covers,
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

/// Looks for the longest lane and for those with most to spare, of these also for some that keep off ground worse than the
/// field's. From memory it begins where the last search ended and leaves single directions coarse.
pub(crate) fn hunt(bench: &Bench, memory: Option<&mut Memory>, step: Step) -> Result<Hunt, Cancelled> {
    let room = Metres::m(bench.settings.search_tolerance_m);
    let heading = memory.is_none().then(|| Metres::m(bench.settings.search_by_heading_m));
    let (aim, any) = (aims::spare(bench), Aim::longest());
    let old = memory.as_deref().cloned().unwrap_or_default();
    let part = |from: f64, to: f64| move |s: f64| step(from + s * (to - from));
    let longest = begin(old.longest, &bench.obstructions).refined(
        &any,
        Goal::within(room, heading),
        &part(0.0, LONGEST_DONE),
    )?;
    let look = Searching { bench, aim: &aim, at_first: memory.is_some() };
    let mut field = look.among(&bench.obstructions, old.field, &part(LONGEST_DONE, FIELD_DONE))?;
    let firm = bench.firm_ground();
    let firm = firm.map(|things| look.among(&things, old.firm, &part(FIELD_DONE, SPARE_DONE))).transpose()?;
    let (by_heading, boxes, best) = (by_heading(&longest), longest.boxes(), found(&longest, look.fine()));
    let mut lanes = std::mem::take(&mut field.lanes);
    lanes.extend(firm.iter().flat_map(|firm| firm.new_to(&lanes)).collect::<Vec<_>>());
    if let Some(memory) = memory {
        memory.longest = Some(longest);
        memory.field = field.covers();
        memory.firm = firm.as_ref().map(Searched::covers).unwrap_or_default();
    }
    // The longest lane is one to show, though others have more to spare.
    let as_long = |c: &Candidate, best: &Stretch| c.stretch.lane.length + room >= best.lane.length;
    if let Some(stretch) = best.best.filter(|best| !lanes.iter().any(|c| as_long(c, best))) {
        lanes.push(Candidate { stretch, wide: false, own: None });
    }
    let Searched { lost, straight, wide, .. } = field;
    Ok(Hunt { longest: best, boxes, by_heading, lanes, lost, straight, wide })
}

/// What is known of the lanes among some things, straight and with room to drift.
type Covers = (Option<Cover>, Option<Cover>);

fn begin(old: Option<Cover>, things: &Obstructions) -> Cover {
    match old {
        Some(cover) => cover.changed_to(things),
        None => Cover::new(things),
    }
}

/// How lanes are looked for.
struct Searching<'a> {
    bench: &'a Bench<'a>,
    aim: &'a Aim,
    at_first: bool,
}

/// Lanes among some things.
struct Searched {
    straight: Cover,
    wide: Option<Cover>,
    lanes: Vec<Candidate>,
    lost: Option<Lost>,
}

impl Searching<'_> {
    fn fine(&self) -> Metres {
        if self.at_first { FINE_AT_FIRST } else { FINE }
    }

    /// Those with most to spare, straight and with room to drift.
    fn among(
        &self,
        things: &Obstructions,
        (straight, wide): Covers,
        step: Step,
    ) -> Result<Searched, Cancelled> {
        let Self { bench, aim, at_first } = *self;
        let room = Metres::m(bench.settings.search_tolerance_m);
        let first_half = |share: f64| step(share * 0.5);
        let second_half = |share: f64| step(0.5 + share * 0.5);
        let straight = begin(straight, things).refined(aim, Goal::within(room, None), &first_half)?;
        let open = OpenLanes::new(bench, aim, if at_first { GRID_AT_FIRST } else { GRID });
        let distinct = distinct_lanes(&straight, MOST_LANES, DISTINCT_DEG.to_radians(), self.fine());
        let (directions, lost) = directions(bench, (&open, things), &distinct, at_first);
        // With room to drift only lanes that are long enough are of use.
        let long_enough = Goal::Within { tolerance: room, by_heading: None, least: 0.0 };
        let wide = directions
            .first()
            .and_then(|stretch| with_room_to_drift(bench, things, &stretch.lane))
            .map(|things| begin(wide, &things).refined(aim, long_enough, &second_half))
            .transpose()?;
        let mut lanes = candidates((aim, &distinct), wide.as_ref(), (at_first, self.fine()), room);
        open_up(bench, (&open, things), &directions, &mut lanes);
        Ok(Searched { straight, wide, lanes, lost })
    }
}

impl Searched {
    fn covers(&self) -> Covers {
        (Some(self.straight.clone()), self.wide.clone())
    }

    /// The lanes that others do not serve for, each with what it was found among.
    fn new_to(&self, others: &[Candidate]) -> Vec<Candidate> {
        let among = |cover: &Cover| Arc::new(cover.obstructions().clone());
        let (straight, wide) = (among(&self.straight), self.wide.as_ref().map(among));
        let serves = |other: &Candidate, lane: &Candidate| {
            one_lane(&other.stretch, &lane.stretch) && check_lane(&straight, &other.stretch.lane).is_clear()
        };
        let new = self.lanes.iter().filter(|lane| !others.iter().any(|other| serves(other, lane)));
        let own = |lane: &Candidate| {
            let cover = wide.as_ref().filter(|_| lane.wide).unwrap_or(&straight);
            lane.own.clone().unwrap_or_else(|| cover.clone())
        };
        new.map(|lane| Candidate { own: Some(own(lane)), ..lane.clone() }).collect()
    }
}

/// Lines on which lanes with an open way in are looked for.
pub(crate) const GRID: Grid = Grid { headings: 96, lines: 9 };
pub(crate) const GRID_AT_FIRST: Grid = Grid { headings: 36, lines: 5 };

/// Lanes for slides that go straight, one of each direction, those first that have most left over with their way in; and
/// what is lost by it.
fn directions(
    bench: &Bench,
    (open, things): (&OpenLanes, &Obstructions),
    distinct: &[Stretch],
    at_first: bool,
) -> (Vec<Stretch>, Option<Lost>) {
    let mut lanes: Vec<WithWayIn> = distinct.par_iter().map(|stretch| open.with_way_in(stretch)).collect();
    let most = |lanes: &[WithWayIn]| lanes.iter().map(|l| open.worth(l)).fold(f64::NEG_INFINITY, f64::max);
    let best = lanes.first().map(|l| (open.promises(&l.stretch), l.stretch.lane.heading, l.over));
    // Where its way in costs the best lane more than another line may have left over, that may be the better one.
    if best.is_some_and(|(promise, ..)| promise > most(&lanes) + bench.settings.search_tolerance_m) {
        lanes.extend(open.among(things));
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

/// Lanes whose ends lie no farther apart are one to a pilot, m (judgement).
const ONE_LANE: f64 = 1.0;

fn one_lane(a: &Stretch, b: &Stretch) -> bool {
    let together = |p: Point, q: Point| libm::hypot(p.x - q.x, p.y - q.y) <= ONE_LANE;
    together(a.lane.near, b.lane.near) && together(a.lane.far(), b.lane.far())
}

/// Whether two lanes are of one direction.
pub(crate) fn near(a: &Stretch, b: &Stretch) -> bool {
    a.lane.heading.angle_to(b.lane.heading) < DISTINCT_DEG.to_radians()
}

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
