//! Lanes of one field from which each cell picks, and the bound of all others.
//!
//! The longest lane of each heading does not depend on wind, air or mass; which heading is best does. So the field is
//! searched once, for slides that go straight and with room to drift in a few winds, and each cell picks from what was
//! found by what its wind, air and mass ask of each heading.
//!
//! Invariants: every lane is clear by the check of the search; no straight lane of a sector is usable for more than the
//! sector's bound.
//!
//! Not here: what wind, air and mass make of a lane ([`super::cell`]).

use crate::aims;
use crate::assess::Cancelled;
use crate::assessment::Verdict;
use crate::astray;
use crate::hunt::GRID_AT_FIRST;
use crate::hunt::{Step, with_room_to_drift};
use crate::judge::Bench;
use crate::open_lanes::OpenLanes;
use crate::situation::Situation;
use ground::{Aim, Cover, Goal, Obstructions, Stretch, by_heading, distinct_lanes};
use measure::{Metres, TrueHeading};

/// Most lanes of one search that are kept, and least difference between their headings, degrees (judgement: a lane
/// turned by less is the same lane to a pilot).
const MOST_LANES: usize = 48;
const APART_DEG: f64 = 5.0;

/// How much longer a lane of one heading may be than the one found, metres (judgement).
const BY_HEADING: Metres = Metres::m(2.0);

/// Share of the search that straight lanes are taken for.
const STRAIGHT_DONE: f64 = 0.3;

/// Most lanes that are judged for one cell, and least difference between the headings of straight ones, degrees: as
/// a first look has them.
pub(super) const MOST_TRIED: usize = 3;
const MOST_STRAIGHT: usize = 3;
const MOST_WIDE: usize = 2;
const DISTINCT_DEG: f64 = 15.0;

/// Lanes found among things kept clear by one half-width, the longest first.
struct Kept {
    /// Crosswind in gusts that there is room to drift in, m/s; `None` for slides that go straight.
    crosswind: Option<f64>,
    obstructions: Obstructions,
    stretches: Vec<Stretch>,
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
    /// Searches the field, with room to drift in each of the situations that are given for the heading of its longest
    /// lane.
    pub(super) fn new(
        bench: &mut Bench,
        drifting: impl Fn(TrueHeading) -> Vec<Situation>,
        step: Step,
    ) -> Result<Self, Cancelled> {
        let cover = searched(bench, &bench.obstructions, &|s| step(s * STRAIGHT_DONE))?;
        let usable_at_most =
            by_heading(&cover).iter().map(|s| s.bound.unwrap_or(f64::NEG_INFINITY)).collect();
        let mut kept = vec![Kept::of(bench, &cover, None)];
        let Some(lane) = kept[0].stretches.first().map(|s| s.lane) else {
            return Ok(Self { kept, usable_at_most });
        };
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
        &self.kept[which.search].stretches[which.lane]
    }

    /// What it was found among.
    pub(super) fn among(&self, which: Which) -> &Obstructions {
        &self.kept[which.search].obstructions
    }

    /// The few lanes that promise most in the bench's situation, those with room to drift first, and the best verdict
    /// that each may be hoped to have by its length and the wind across it.
    pub(super) fn promising(&self, bench: &Bench) -> Vec<(Which, Verdict)> {
        let needs = Needs::of(bench);
        let hope = |which: Which| {
            let stretch = self.stretch(which);
            let heading = stretch.lane.heading;
            let across = bench.crosswind_reason(heading).and_then(|r| r.verdict).unwrap_or(Verdict::Fits);
            let too_short = bench.margins.usable(stretch).to_m() < needs.at(heading) * HOPELESS;
            if too_short { Verdict::Unknown.ruling(across) } else { across }
        };
        let straight = self.distinct(bench, &needs, 0, MOST_STRAIGHT);
        let tried = self.with_room(bench, &needs).into_iter().chain(straight);
        let mut tried: Vec<(Which, Verdict)> = tried.map(|which| (which, hope(which))).collect();
        tried.sort_by_key(|(_, hope)| hope.rank());
        tried
    }

    /// Of the searches with room enough, the narrowest first, and of the widest, lanes that promise to be long enough.
    fn with_room(&self, bench: &Bench, needs: &Needs) -> Vec<Which> {
        let across = |which: Which| {
            bench.situation.gust_crosswind(self.stretch(which).lane.heading).unwrap_or(0.0).abs()
        };
        let found = |search: usize| self.distinct(bench, needs, search, MOST_WIDE);
        let enough = |search: usize| {
            let room = self.kept[search].crosswind.unwrap_or(0.0);
            found(search).first().is_some_and(|best| across(*best) <= room)
        };
        let widest = self.kept.len() - 1;
        let mut out: Vec<Which> = (1..self.kept.len())
            .filter(|search| *search == widest || enough(*search))
            .flat_map(found)
            .collect();
        out.retain(|which| {
            bench.margins.usable(self.stretch(*which)).to_m() >= needs.at(self.stretch(*which).lane.heading)
        });
        out
    }

    /// The lanes of one search that promise most, of distinct headings.
    fn distinct(&self, bench: &Bench, needs: &Needs, search: usize, most: usize) -> Vec<Which> {
        let mut out: Vec<Which> = Vec::new();
        let heading = |w: Which| self.stretch(w).lane.heading;
        for (which, _) in self.by_worth(bench, needs, search) {
            let near = |w: &Which| heading(*w).angle_to(heading(which)) < DISTINCT_DEG.to_radians();
            if out.len() < most && !out.iter().any(near) {
                out.push(which);
            }
        }
        out
    }

    /// Lanes of one search with what they promise to spare, metres, the most first.
    fn by_worth(&self, bench: &Bench, needs: &Needs, search: usize) -> Vec<(Which, f64)> {
        let worth = |s: &Stretch| bench.margins.usable(s).to_m() - needs.at(s.lane.heading);
        let each = self.kept[search].stretches.iter().map(worth).enumerate();
        let mut each: Vec<(Which, f64)> = each.map(|(lane, worth)| (Which { search, lane }, worth)).collect();
        each.sort_by(|a, b| b.1.total_cmp(&a.1));
        each
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

/// Whether everything beside a lane leaves room for what is known of drift in the bench's situation.
pub(super) fn room_for_drift(bench: &Bench, stretch: &Stretch) -> bool {
    let (lane, end) = (&stretch.lane, bench.margins.end_margin_at(stretch));
    let way = bench.way(lane);
    let drifted = bench.drift_on(lane, &way, &bench.spread_on(lane, &way));
    // Where nobody knows how far it drifts, no lane is better for room.
    drifted.is_none() || astray::is_clear(&bench.obstructions, lane, drifted.as_deref(), end)
}

/// What each heading needs, metres: only to put lanes in order, so by sectors.
struct Needs([f64; NEED_SECTORS]);

/// Sectors of heading that are taken to need the same.
const NEED_SECTORS: usize = 48;
const NEED_SECTOR: f64 = std::f64::consts::TAU / NEED_SECTORS as f64;

impl Needs {
    fn of(bench: &Bench) -> Self {
        let middle = |sector: usize| TrueHeading::rad((sector as f64 + 0.5) * NEED_SECTOR);
        Self(std::array::from_fn(|sector| aims::spare_need(bench, middle(sector))))
    }

    fn at(&self, heading: TrueHeading) -> f64 {
        self.0[((heading.to_rad() / NEED_SECTOR) as usize).min(NEED_SECTORS - 1)]
    }
}

impl Kept {
    /// The distinct lanes of a search, and of each direction the one with the most open way in.
    fn of(bench: &Bench, cover: &Cover, crosswind: Option<f64>) -> Self {
        let aim = aims::spare(bench);
        let open = OpenLanes::new(bench, &aim, GRID_AT_FIRST);
        let mut stretches = distinct_lanes(cover, MOST_LANES, APART_DEG.to_radians());
        let closed: Vec<_> = stretches.iter().filter(|s| !open.is_open(s)).map(|s| s.lane.heading).collect();
        stretches.extend(closed.into_iter().filter_map(|heading| open.about(cover.obstructions(), heading)));
        Self { crosswind, obstructions: cover.obstructions().clone(), stretches }
    }
}

fn searched(bench: &Bench, things: &Obstructions, step: Step) -> Result<Cover, Cancelled> {
    let tolerance = Metres::m(bench.settings.search_tolerance_m);
    let aim = Aim { margins: bench.margins, needs: None };
    Ok(Cover::new(things).refined(&aim, Goal::Within { tolerance, by_heading: Some(BY_HEADING) }, step)?)
}
