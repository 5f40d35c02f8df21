//! What clearing a hazard away would gain, found by searching the field without it; of a lane that was looked for by its
//! own room to drift, by looking about its heading again.

use crate::assess::Cancelled;
use crate::assessed_lane::Gain;
use crate::astray;
use crate::bench::Bench;
use crate::closer::CLOSER_DONE;
use crate::demand::Ends;
use crate::hunt::{GAINS_DONE, GRID, Hunt, Step};
use crate::judge::{Judged, RULING};
use crate::open_lanes::OpenLanes;
use crate::remedy;
use ground::{Cover, FINE, Goal, Lane, Obstructions, Stretch, Thing, check_lane, found, hazards_within};
use measure::Metres;

/// Most hazards that are tried, by themselves and in pairs (judgement: a lane rests against few things).
const MOST_TRIED: usize = 6;

/// Most gains told.
const MOST_TOLD: usize = 6;

/// Gains for the lane given, the greatest first; a pair only where it gains more than either alone.
pub(crate) fn list(bench: &Bench, hunt: &Hunt, best: &Judged, step: Step) -> Result<Vec<Gain>, Cancelled> {
    let field = Field::new(bench, hunt, best);
    let mut holding = hazards_within(field.things, &best.found.whole.lane, Metres::m(RULING));
    holding.retain(|thing| may_be_cleared(bench, *thing));
    holding.truncate(MOST_TRIED);
    let (alone, pairs) = (0..holding.len(), pairs(holding.len()));
    let sets: Vec<Vec<usize>> = alone.map(|i| vec![i]).chain(pairs.map(|(i, j)| vec![i, j])).collect();
    let (before, surely) = field.before();
    let mut gains: Vec<(f64, bool)> = Vec::with_capacity(sets.len());
    for (done, set) in sets.iter().enumerate() {
        let things: Vec<Thing> = set.iter().map(|i| holding[*i]).collect();
        let share = |s: f64| CLOSER_DONE + (GAINS_DONE - CLOSER_DONE) * (done as f64 + s) / sets.len() as f64;
        let after = field.best_without(&things, &|s| step(share(s)))?;
        // Only what is surely more than there is with them is gained.
        let gained = after.filter(|(after, _)| *after > surely);
        gains.push(gained.map_or((0.0, false), |(after, lane)| (after - before, field.fits(&lane, &things))));
    }
    let tolerance = bench.settings.search_tolerance_m;
    let worth_telling = |(set, (gain, _)): &(&Vec<usize>, (f64, bool))| match set[..] {
        [i, j] => *gain > gains[i].0.max(gains[j].0) + tolerance,
        _ => *gain > tolerance,
    };
    let mut told: Vec<(&Vec<usize>, (f64, bool))> =
        sets.iter().zip(gains.iter().copied()).filter(worth_telling).collect();
    told.sort_by(|a, b| b.1.0.total_cmp(&a.1.0));
    told.truncate(MOST_TOLD);
    let mark = |i: &usize| bench.mark(holding[*i]);
    Ok(told
        .into_iter()
        .map(|(set, (gain_m, makes_it_fit))| Gain {
            removed: set.iter().filter_map(mark).collect(),
            gain_m,
            makes_it_fit,
        })
        .collect())
}

fn pairs(count: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..count).flat_map(move |i| (i + 1..count).map(move |j| (i, j)))
}

/// A rock may be carried off; a wire, a tree or a house is not the pilot's to clear.
fn may_be_cleared(bench: &Bench, thing: Thing) -> bool {
    let mark = bench.mark(thing);
    mark.is_some_and(|mark| !bench.strip.obstacles.iter().any(|o| o.id == mark))
}

/// What a lane was found among, and by what it is worth.
struct Field<'f> {
    bench: &'f Bench<'f>,
    open: OpenLanes<'f>,
    things: &'f Obstructions,
    lane: &'f Stretch,
    /// All that is known of other lanes there; `None` for a lane that was looked for line by line.
    cover: Option<&'f Cover>,
}

impl<'f> Field<'f> {
    fn new(bench: &'f Bench<'f>, hunt: &'f Hunt, best: &'f Judged) -> Self {
        let cover = hunt.cover_of(best.found.wide);
        let (things, cover) = match &best.found.own {
            Some(own) => (&**own, None),
            None => (cover.obstructions(), Some(cover)),
        };
        Self { bench, open: OpenLanes::new(bench, hunt.aim(), GRID), things, lane: &best.found.whole, cover }
    }

    /// What there is left over with everything in its place, metres, and what has to be passed.
    fn before(&self) -> (f64, f64) {
        if let Some(cover) = self.cover {
            return (found(cover, FINE).worth.unwrap_or(f64::INFINITY), cover.bound());
        }
        let own = self.open.worth(&self.open.with_way_in(self.lane));
        (own, own)
    }

    /// The best lane without some things, and what it has left over, metres.
    fn best_without(&self, things: &[Thing], step: Step) -> Result<Option<(f64, Stretch)>, Cancelled> {
        let without = self.things.without(things);
        let Some(cover) = self.cover else {
            let found = self.open.about(&without, self.lane.lane.heading);
            // One that was clear all along owes them nothing.
            let owing = found.filter(|lane| self.meets_any(&lane.stretch.lane, things));
            return Ok(owing.map(|lane| (self.open.worth(&lane), lane.stretch)));
        };
        let tolerance = Metres::m(self.bench.settings.search_tolerance_m);
        let goal = Goal::within(tolerance, None);
        let after = cover.clone().changed_to(&without).refined(cover.aim(), goal, step)?;
        let found = found(&after, FINE);
        Ok(found.worth.zip(found.best))
    }

    fn meets_any(&self, lane: &Lane, things: &[Thing]) -> bool {
        check_lane(self.things, lane).conflicts.iter().any(|met| things.contains(met))
    }

    /// Whether a lane is long enough without some things, and clear of the others with its drift.
    fn fits(&self, lane: &Stretch, things: &[Thing]) -> bool {
        let bench = self.bench;
        let way = bench.way(&lane.lane);
        let spread = bench.spread_on(&lane.lane, &way);
        let drifted = bench.drift_on(&lane.lane, &way, &spread);
        let ends = Ends::of(lane, &bench.margins);
        let without = || bench.obstructions.without(things);
        remedy::fits(bench, &lane.lane, ends, &spread)
            && astray::is_clear(&without(), &lane.lane, drifted.as_deref(), ends.at())
    }
}

impl From<ground::Cancelled> for Cancelled {
    fn from(ground::Cancelled: ground::Cancelled) -> Self {
        Self
    }
}
