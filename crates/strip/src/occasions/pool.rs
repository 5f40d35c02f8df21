//! Lanes of one field from which each cell picks, and the bound of all others.
//!
//! The longest lane of each heading does not depend on wind, air or mass; which heading is best does. So the field is
//! searched for slides that go straight and with room to drift in a few winds, once for all cells, and each picks from what
//! was found by what its wind, air and mass ask of each heading.
//!
//! Invariants: every lane is clear by the check of the search; no straight lane of a sector is usable for more than the
//! sector's bound.
//!
//! Not here: what wind, air and mass make of a lane ([`super::cell`]).

use super::needs::Needs;
use crate::aims;
use crate::assess::Cancelled;
use crate::assessment::Verdict;
use crate::bench::Bench;
use crate::drift_room::with_room_to_drift;
use crate::hunt::{FINE_AT_FIRST, GRID_AT_FIRST, other_way_second};
use crate::open_lanes::{OpenLanes, WithWayIn};
use crate::situation::Situation;
use ground::{Aim, Cover, Goal, Lane, Obstructions, Stretch, by_heading, distinct_lanes};
use measure::{Metres, TrueHeading};
use rayon::prelude::*;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};

/// Most lanes of one search that are kept, and least difference between their headings, degrees (judgement: a lane
/// turned by less is the same lane to a pilot).
const MOST_LANES: usize = 48;
const APART_DEG: f64 = 5.0;

/// How much longer a lane of one heading may be than the one found, metres; and one with room to drift, of which nothing
/// is proven (judgement).
const BY_HEADING: Metres = Metres::m(2.0);
const BY_HEADING_WIDE: Metres = Metres::m(10.0);

/// Most lanes of the pool that are judged for one cell, most of one search that are asked, and least difference between
/// their headings, degrees (judgement: few cells need more).
pub(super) const MOST_TRIED: usize = 4;
const MOST_STRAIGHT: usize = 3;
const MOST_WIDE: usize = 3;
const DISTINCT_DEG: f64 = 15.0;

/// Lanes found among things kept clear by one half-width.
struct Kept {
    /// Crosswind in gusts that there is room to drift in, m/s; `None` for slides that go straight.
    crosswind: Option<f64>,
    obstructions: Obstructions,
    lanes: Vec<WithWayIn>,
}

/// Share of what a heading needs below which a lane is not tried for being long enough (judgement: the need is that of
/// one long slide over even ground, and the demand of a lane is seldom a quarter less).
const HOPELESS: f64 = 0.75;

/// A lane of the pool: of which search, and which of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Which {
    search: usize,
    lane: usize,
}

/// All of them.
pub(super) struct Pool {
    /// For slides that go straight, anywhere and off ground worse than the field's; then with room to drift, the narrowest
    /// first.
    kept: Vec<Kept>,
    /// Of the straight ones the lane that promises most, on which drift is asked for.
    like: Vec<Option<Lane>>,
    /// No straight lane of a sector of heading is usable for longer, had nothing grown, metres; minus infinity where there is
    /// none.
    usable_at_most: Vec<f64>,
}

impl Pool {
    /// Searches the field for slides that go straight.
    pub(super) fn new(bench: &Bench, cancelled: &AtomicBool) -> Result<Self, Cancelled> {
        let cover = searched(bench, &bench.obstructions, BY_HEADING, cancelled)?;
        let surveyed = bench.as_surveyed();
        let bounded = if surveyed == bench.obstructions {
            by_heading(&cover)
        } else {
            by_heading(&searched(bench, &surveyed, BY_HEADING, cancelled)?)
        };
        let usable_at_most = bounded.iter().map(|s| s.bound.unwrap_or(f64::NEG_INFINITY)).collect();
        let mut kept = vec![Kept::of(bench, &cover, None)];
        if let Some(firm) = bench.firm_ground() {
            kept.push(Kept::of(bench, &searched(bench, &firm, BY_HEADING, cancelled)?, None));
        }
        let needs = Needs::of(bench);
        let like = |straight: &Kept| {
            let promising = straight.promising(bench, &needs, |_| true);
            promising.first().map(|which| straight.lanes[*which].stretch.lane)
        };
        Ok(Self { like: kept.iter().map(like).collect(), kept, usable_at_most })
    }

    /// Direction of the slide on the straight lane that promises most; `None` where there is no lane.
    pub(super) fn heading(&self) -> Option<TrueHeading> {
        self.like.first().copied().flatten().map(|lane| lane.heading)
    }

    /// What was searched for slides that go straight.
    fn straight(&self) -> impl Iterator<Item = (usize, &Kept)> {
        self.kept.iter().enumerate().take(self.like.len())
    }

    /// Searches it with room to drift in some situations, as on those lanes.
    pub(super) fn widen(
        &mut self,
        bench: &mut Bench,
        drifting: &[Situation],
        cancelled: &AtomicBool,
    ) -> Result<(), Cancelled> {
        let before = bench.situation.clone();
        let mut wide: Vec<(f64, Obstructions)> = Vec::new();
        for situation in drifting {
            bench.situation = situation.clone();
            for (straight, lane) in self.kept.iter().zip(&self.like) {
                let Some(lane) = lane else { continue };
                let crosswind = bench.situation.gust_crosswind(lane.heading).unwrap_or(0.0).abs();
                let things = with_room_to_drift(bench, &straight.obstructions, lane);
                wide.extend(things.map(|things| (crosswind, things)));
            }
        }
        bench.situation = before;
        let bench = &*bench;
        let kept = |(crosswind, things): (f64, Obstructions)| {
            let cover = searched(bench, &things, BY_HEADING_WIDE, cancelled)?;
            Ok(Kept::of(bench, &cover, Some(crosswind)))
        };
        let kept: Result<Vec<Kept>, Cancelled> = wide.into_par_iter().map(kept).collect();
        self.kept.extend(kept?);
        self.kept.sort_by(|a, b| a.crosswind.unwrap_or(-1.0).total_cmp(&b.crosswind.unwrap_or(-1.0)));
        Ok(())
    }

    /// A lane.
    pub(super) fn stretch(&self, which: Which) -> &Stretch {
        &self.kept[which.search].lanes[which.lane].stretch
    }

    /// What it was found among.
    pub(super) fn among(&self, which: Which) -> &Obstructions {
        &self.kept[which.search].obstructions
    }

    /// The few lanes that promise most in the bench's situation, those with room to drift first, and the best verdict
    /// that each may be hoped to have by its length and the wind across it.
    pub(super) fn promising(&self, bench: &Bench, needs: &Needs) -> Vec<(Which, Verdict)> {
        let hope = |which: Which| {
            let lane = &self.kept[which.search].lanes[which.lane];
            let heading = lane.stretch.lane.heading;
            let too_short = needs.left_over(bench, lane) < needs.at(heading) * (HOPELESS - 1.0);
            let across = hope_across(bench, heading);
            if too_short { Verdict::Unknown.ruling(across) } else { across }
        };
        let straight = self.straight().flat_map(|(search, kept)| {
            let promising = kept.promising(bench, needs, |_| true).into_iter().take(MOST_STRAIGHT);
            promising.map(move |lane| Which { search, lane })
        });
        let tried = self.with_room(bench, needs).into_iter().chain(straight);
        let mut tried: Vec<(Which, Verdict)> = tried.map(|which| (which, hope(which))).collect();
        tried.sort_by_key(|(_, hope)| hope.rank());
        tried
    }

    /// Directions in which lanes for slides that go straight promise most in the bench's situation, and what they were found
    /// among.
    pub(super) fn directions(&self, bench: &Bench, needs: &Needs) -> Vec<(Stretch, &Obstructions)> {
        let each = self.straight().flat_map(|(_, straight)| {
            let promising = straight.promising(bench, needs, |_| true).into_iter().take(MOST_STRAIGHT);
            promising.map(|lane| (straight.lanes[lane].stretch, &straight.obstructions))
        });
        each.collect()
    }

    /// Of each search the lanes with room for the wind across them, of the widest all, that promise to be long enough;
    /// the narrowest first.
    fn with_room(&self, bench: &Bench, needs: &Needs) -> Vec<Which> {
        let across = |heading| bench.situation.gust_crosswind(heading).unwrap_or(0.0).abs();
        let widest = self.kept.last().and_then(|kept| kept.crosswind);
        let found = |search: usize| {
            let of = &self.kept[search];
            let room = of.crosswind.filter(|room| Some(*room) < widest);
            let has_room = |heading| room.is_none_or(|room| across(heading) <= room);
            let promising = of.promising(bench, needs, has_room).into_iter().take(MOST_WIDE);
            let long_enough = promising.filter(|lane| needs.left_over(bench, &of.lanes[*lane]) >= 0.0);
            long_enough.map(move |lane| Which { search, lane })
        };
        (self.like.len()..self.kept.len()).flat_map(found).collect()
    }

    /// The most that any lane of the field could have left over in the bench's situation, metres, were the slide as short as
    /// could be true; `None` where it does not come to rest even so.
    pub(super) fn left_at_most(&self, bench: &Bench) -> Option<f64> {
        let aim = aims::possible(bench);
        if !aims::could_stop(&aim) {
            return None;
        }
        let needs = aim.needs.unwrap_or_default();
        let left = self.usable_at_most.iter().zip(needs).map(|(usable, need)| usable - need);
        Some(left.fold(f64::NEG_INFINITY, f64::max))
    }
}

/// The best that the wind across a heading allows.
pub(super) fn hope_across(bench: &Bench, heading: TrueHeading) -> Verdict {
    bench.crosswind_reason(heading).and_then(|r| r.verdict).unwrap_or(Verdict::Fits)
}

impl Kept {
    /// The distinct lanes of a search, and of each direction the one with the most open way in.
    fn of(bench: &Bench, cover: &Cover, crosswind: Option<f64>) -> Self {
        let aim = aims::spare(bench);
        let open = OpenLanes::new(bench, &aim, GRID_AT_FIRST);
        let things = cover.obstructions();
        let distinct = distinct_lanes(cover, MOST_LANES, APART_DEG.to_radians(), FINE_AT_FIRST);
        let mut lanes: Vec<WithWayIn> = distinct.iter().map(|stretch| open.with_way_in(stretch)).collect();
        let closed = lanes.iter().filter(|l| !l.is_open()).map(|l| l.stretch.lane.heading);
        let opened: Vec<WithWayIn> = closed.filter_map(|heading| open.about(things, heading)).collect();
        lanes.extend(opened);
        Self { crosswind, obstructions: things.clone(), lanes }
    }

    /// Lanes on headings that are asked for, of distinct ones: the best, the best the other way, where wind, slope and way
    /// in are others, then the rest.
    fn promising(&self, bench: &Bench, needs: &Needs, asked: impl Fn(TrueHeading) -> bool) -> Vec<usize> {
        let heading = |lane: usize| self.lanes[lane].stretch.lane.heading;
        let all = self.lanes.iter().enumerate().filter(|(_, lane)| asked(lane.stretch.lane.heading));
        let mut each: Vec<(usize, f64)> = all.map(|(i, lane)| (i, needs.left_over(bench, lane))).collect();
        each.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut out: Vec<usize> = Vec::new();
        for (lane, _) in each {
            let near = |other: &usize| heading(*other).angle_to(heading(lane)) < DISTINCT_DEG.to_radians();
            if !out.iter().any(near) {
                out.push(lane);
            }
        }
        other_way_second(&mut out, |lane| heading(*lane));
        out
    }
}

fn searched(
    bench: &Bench,
    things: &Obstructions,
    by_heading: Metres,
    cancelled: &AtomicBool,
) -> Result<Cover, Cancelled> {
    let tolerance = Metres::m(bench.settings.search_tolerance_m);
    let goal = Goal::within(tolerance, Some(by_heading));
    let aim = Aim { margins: bench.margins, needs: None };
    let step = |_: f64| {
        if cancelled.load(Ordering::Relaxed) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    };
    Ok(Cover::new(things).refined(&aim, goal, &step)?)
}
