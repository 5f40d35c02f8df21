//! What clearing a hazard away would gain, found by searching the field without it.

use crate::assess::Cancelled;
use crate::assessment::Gain;
use crate::hunt::{GAINS_DONE, SPARE_DONE, Step};
use crate::judge::{Bench, RULING};
use ground::{Cover, Goal, Stretch, Thing, found, hazards_within};
use measure::Metres;

/// Most hazards that are tried, by themselves and in pairs (judgement: a lane rests against few things).
const MOST_TRIED: usize = 6;

/// Most gains told.
const MOST_TOLD: usize = 6;

/// Gains for the lane given, the greatest first; a pair only where it gains more than either alone.
pub(crate) fn list(bench: &Bench, cover: &Cover, best: &Stretch, step: Step) -> Result<Vec<Gain>, Cancelled> {
    let mut holding = hazards_within(&bench.obstructions, &best.lane, Metres::m(RULING));
    holding.retain(|thing| may_be_cleared(bench, *thing));
    holding.truncate(MOST_TRIED);
    let (alone, pairs) = (0..holding.len(), pairs(holding.len()));
    let sets: Vec<Vec<usize>> = alone.map(|i| vec![i]).chain(pairs.map(|(i, j)| vec![i, j])).collect();
    let before = found(cover).worth;
    let mut gains: Vec<f64> = Vec::with_capacity(sets.len());
    for (done, set) in sets.iter().enumerate() {
        let things: Vec<Thing> = set.iter().map(|i| holding[*i]).collect();
        let share = |s: f64| SPARE_DONE + (GAINS_DONE - SPARE_DONE) * (done as f64 + s) / sets.len() as f64;
        let after = best_without(bench, cover, &things, &|s| step(share(s)))?;
        // Only what is surely more than any lane has with them is gained.
        gains.push(after.zip(before).filter(|(after, _)| *after > cover.bound()).map_or(0.0, |(a, b)| a - b));
    }
    let tolerance = bench.settings.search_tolerance_m;
    let worth_telling = |(set, gain): &(&Vec<usize>, f64)| match set[..] {
        [i, j] => *gain > gains[i].max(gains[j]) + tolerance,
        _ => *gain > tolerance,
    };
    let mut told: Vec<(&Vec<usize>, f64)> =
        sets.iter().zip(gains.iter().copied()).filter(worth_telling).collect();
    told.sort_by(|a, b| b.1.total_cmp(&a.1));
    told.truncate(MOST_TOLD);
    let mark = |i: &usize| bench.mark(holding[*i]);
    Ok(told
        .into_iter()
        .map(|(set, gain_m)| Gain { removed: set.iter().filter_map(mark).collect(), gain_m })
        .collect())
}

fn pairs(count: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..count).flat_map(move |i| (i + 1..count).map(move |j| (i, j)))
}

/// A rock may be carried off; a wire, a tree or a house is not the pilot's to clear.
fn may_be_cleared(bench: &Bench, thing: Thing) -> bool {
    let mark = bench.mark(thing);
    mark.is_some_and(|mark| !bench.strip.obstacles.iter().any(|o| o.on_ground.id == mark))
}

/// What the best lane has to spare without some things, metres.
fn best_without(
    bench: &Bench,
    cover: &Cover,
    things: &[Thing],
    step: Step,
) -> Result<Option<f64>, Cancelled> {
    let without = bench.obstructions.without(things);
    let goal = Goal::Within { tolerance: Metres::m(bench.settings.search_tolerance_m), by_heading: None };
    let after = cover.clone().changed_to(&without).refined(cover.aim(), goal, step)?;
    Ok(found(&after).worth)
}

impl From<ground::Cancelled> for Cancelled {
    fn from(ground::Cancelled: ground::Cancelled) -> Self {
        Self
    }
}
