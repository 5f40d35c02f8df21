//! What clearing a hazard away would gain, found by searching the field without it.

use crate::assess::Cancelled;
use crate::assessed_lane::Gain;
use crate::astray;
use crate::bench::Bench;
use crate::demand::Ends;
use crate::hunt::{GAINS_DONE, SPARE_DONE, Step};
use crate::judge::RULING;
use crate::remedy;
use ground::{Cover, Goal, Stretch, Thing, found, hazards_within};
use measure::Metres;

/// Most hazards that are tried, by themselves and in pairs (judgement: a lane rests against few things).
const MOST_TRIED: usize = 6;

/// Most gains told.
const MOST_TOLD: usize = 6;

/// Gains for the lane given, the greatest first; a pair only where it gains more than either alone.
pub(crate) fn list(bench: &Bench, cover: &Cover, best: &Stretch, step: Step) -> Result<Vec<Gain>, Cancelled> {
    let mut holding = hazards_within(cover.obstructions(), &best.lane, Metres::m(RULING));
    holding.retain(|thing| may_be_cleared(bench, *thing));
    holding.truncate(MOST_TRIED);
    let (alone, pairs) = (0..holding.len(), pairs(holding.len()));
    let sets: Vec<Vec<usize>> = alone.map(|i| vec![i]).chain(pairs.map(|(i, j)| vec![i, j])).collect();
    let before = found(cover).worth;
    let mut gains: Vec<(f64, bool)> = Vec::with_capacity(sets.len());
    for (done, set) in sets.iter().enumerate() {
        let things: Vec<Thing> = set.iter().map(|i| holding[*i]).collect();
        let share = |s: f64| SPARE_DONE + (GAINS_DONE - SPARE_DONE) * (done as f64 + s) / sets.len() as f64;
        let after = best_without(bench, cover, &things, &|s| step(share(s)))?;
        // Only what is surely more than any lane has with them is gained.
        let gained = after.zip(before).filter(|((after, _), _)| *after > cover.bound());
        gains.push(gained.map_or((0.0, false), |((after, fits), before)| (after - before, fits)));
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

/// What the best lane has to spare without some things, metres, and whether it is long enough.
fn best_without(
    bench: &Bench,
    cover: &Cover,
    things: &[Thing],
    step: Step,
) -> Result<Option<(f64, bool)>, Cancelled> {
    let without = cover.obstructions().without(things);
    let goal = Goal::Within { tolerance: Metres::m(bench.settings.search_tolerance_m), by_heading: None };
    let after = cover.clone().changed_to(&without).refined(cover.aim(), goal, step)?;
    let found = found(&after);
    let fits = |s: &Stretch| {
        let way = bench.way(&s.lane);
        let spread = bench.spread_on(&s.lane, &way);
        let drifted = bench.drift_on(&s.lane, &way, &spread);
        let ends = Ends::of(s, &bench.margins);
        let clear =
            || astray::is_clear(&bench.obstructions.without(things), &s.lane, drifted.as_deref(), ends.at());
        remedy::fits(bench, &s.lane, ends, &spread) && clear()
    };
    Ok(found.worth.map(|worth| (worth, found.best.as_ref().is_some_and(fits))))
}

impl From<ground::Cancelled> for Cancelled {
    fn from(ground::Cancelled: ground::Cancelled) -> Self {
        Self
    }
}
