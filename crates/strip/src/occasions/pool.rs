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
use crate::astray;
use crate::bench::Bench;
use crate::hunt::{GRID_AT_FIRST, Step, with_room_to_drift};
use crate::open_lanes::{OpenLanes, WithWayIn};
use crate::situation::Situation;
use ground::{Aim, Cover, Goal, Obstructions, Stretch, by_heading, distinct_lanes};
use measure::{Metres, TrueHeading};
use std::f64::consts::FRAC_PI_2;

/// Most lanes of one search that are kept, and least difference between their headings, degrees (judgement: a lane
/// turned by less is the same lane to a pilot).
const MOST_LANES: usize = 48;
const APART_DEG: f64 = 5.0;

/// How much longer a lane of one heading may be than the one found, metres (judgement).
const BY_HEADING: Metres = Metres::m(2.0);

/// Share of the search that straight lanes are taken for.
const STRAIGHT_DONE: f64 = 0.3;

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
    /// For slides that go straight, then with room to drift, the narrowest first.
    kept: Vec<Kept>,
    /// No straight lane of a sector of heading is usable for longer, metres; minus infinity where there is none.
    usable_at_most: Vec<f64>,
}

impl Pool {
    /// Searches the field, with room to drift in each of the situations that are given for the heading that promises
    /// most.
    pub(super) fn new(
        bench: &mut Bench,
        drifting: impl Fn(TrueHeading) -> Vec<Situation>,
        step: Step,
    ) -> Result<Self, Cancelled> {
        let cover = searched(bench, &bench.obstructions, &|s| step(s * STRAIGHT_DONE))?;
        let usable_at_most =
            by_heading(&cover).iter().map(|s| s.bound.unwrap_or(f64::NEG_INFINITY)).collect();
        let mut kept = vec![Kept::of(bench, &cover, None)];
        let Some(which) = kept[0].promising(bench, &Needs::of(bench), |_| true).first().copied() else {
            return Ok(Self { kept, usable_at_most });
        };
        let lane = kept[0].lanes[which].stretch.lane;
        let situations = drifting(lane.heading);
        let count = situations.len() as f64;
        let before = bench.situation.clone();
        for (i, situation) in situations.into_iter().enumerate() {
            bench.situation = situation;
            let crosswind = bench.situation.gust_crosswind(lane.heading).unwrap_or(0.0).abs();
            let say = |s: f64| step(STRAIGHT_DONE + (1.0 - STRAIGHT_DONE) * (i as f64 + s) / count);
            if let Some(things) = with_room_to_drift(bench, &lane) {
                kept.push(Kept::of(bench, &searched(bench, &things, &say)?, Some(crosswind)));
            }
        }
        bench.situation = before;
        kept.sort_by(|a, b| a.crosswind.unwrap_or(-1.0).total_cmp(&b.crosswind.unwrap_or(-1.0)));
        Ok(Self { kept, usable_at_most })
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
        let straight = self.kept[0].promising(bench, needs, |_| true).into_iter().take(MOST_STRAIGHT);
        let tried = self.with_room(bench, needs).into_iter();
        let tried = tried.chain(straight.map(|lane| Which { search: 0, lane }));
        let mut tried: Vec<(Which, Verdict)> = tried.map(|which| (which, hope(which))).collect();
        tried.sort_by_key(|(_, hope)| hope.rank());
        tried
    }

    /// Directions in which lanes for slides that go straight promise most in the bench's situation.
    pub(super) fn directions(&self, bench: &Bench, needs: &Needs) -> Vec<Stretch> {
        let straight = &self.kept[0];
        let promising = straight.promising(bench, needs, |_| true).into_iter().take(MOST_STRAIGHT);
        promising.map(|lane| straight.lanes[lane].stretch).collect()
    }

    /// Of each search the lanes with room for the wind across them, of the widest all, that promise to be long enough;
    /// the narrowest first.
    fn with_room(&self, bench: &Bench, needs: &Needs) -> Vec<Which> {
        let across = |heading| bench.situation.gust_crosswind(heading).unwrap_or(0.0).abs();
        let widest = self.kept.len() - 1;
        let found = |search: usize| {
            let of = &self.kept[search];
            let room = if search == widest { None } else { of.crosswind };
            let has_room = |heading| room.is_none_or(|room| across(heading) <= room);
            let promising = of.promising(bench, needs, has_room).into_iter().take(MOST_WIDE);
            let long_enough = promising.filter(|lane| needs.left_over(bench, &of.lanes[*lane]) >= 0.0);
            long_enough.map(move |lane| Which { search, lane })
        };
        (1..self.kept.len()).flat_map(found).collect()
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

/// Whether everything beside a lane leaves room for what is known of drift in the bench's situation.
pub(super) fn room_for_drift(bench: &Bench, stretch: &Stretch) -> bool {
    let (lane, end) = (&stretch.lane, bench.margins.end_margin_at(stretch));
    let way = bench.way(lane);
    let drifted = bench.drift_on(lane, &way, &bench.spread_on(lane, &way));
    // Where nobody knows how far it drifts, no lane is better for room.
    drifted.is_none() || astray::is_clear(&bench.obstructions, lane, drifted.as_deref(), end)
}

impl Kept {
    /// The distinct lanes of a search, and of each direction the one with the most open way in.
    fn of(bench: &Bench, cover: &Cover, crosswind: Option<f64>) -> Self {
        let aim = aims::spare(bench);
        let open = OpenLanes::new(bench, &aim, GRID_AT_FIRST);
        let things = cover.obstructions();
        let distinct = distinct_lanes(cover, MOST_LANES, APART_DEG.to_radians());
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
        let other_way = |lane: &usize| heading(*lane).angle_to(heading(out[0])) > FRAC_PI_2;
        if let Some(at) = out.iter().position(other_way) {
            out[1..=at].rotate_right(1);
        }
        out
    }
}

fn searched(bench: &Bench, things: &Obstructions, step: Step) -> Result<Cover, Cancelled> {
    let tolerance = Metres::m(bench.settings.search_tolerance_m);
    let aim = Aim { margins: bench.margins, needs: None };
    Ok(Cover::new(things).refined(&aim, Goal::Within { tolerance, by_heading: Some(BY_HEADING) }, step)?)
}
