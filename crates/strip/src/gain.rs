//! What clearing a hazard away would gain, found by searching the field without it.

use crate::assess::Cancelled;
use crate::assessment::Gain;
use crate::judge::{Bench, RULING};
use ground::{Aim, Cover, Goal, Stretch, Thing, found, hazards_within};
use measure::Metres;
use std::ops::ControlFlow;

/// Most hazards that are tried, by themselves and in pairs (judgement: a lane rests against few things).
const MOST_TRIED: usize = 6;

/// Most gains told.
const MOST_TOLD: usize = 6;

/// Gains for the lane given, the greatest first; a pair only where it gains more than either alone.
pub(crate) fn list(
    bench: &Bench,
    cover: &Cover,
    aim: &Aim,
    best: &Stretch,
    step: &dyn Fn(f64) -> ControlFlow<()>,
) -> Result<Vec<Gain>, Cancelled> {
    let mut holding = hazards_within(&bench.obstructions, &best.lane, Metres::m(RULING));
    holding.truncate(MOST_TRIED);
    let tolerance = bench.settings.search_tolerance_m;
    let before = found(cover, aim).worth;
    let tried = holding.len() * (holding.len() + 1) / 2;
    let gained = |things: &[Thing], done: usize| {
        if step(done as f64 / tried.max(1) as f64).is_break() {
            return Err(Cancelled);
        }
        let without = bench.obstructions.without(things);
        let goal = Goal::Within { tolerance: Metres::m(tolerance), by_heading: None };
        let share = |_| step(done as f64 / tried.max(1) as f64);
        let cover = cover.clone().changed_to(&without, aim).refined(aim, goal, &share)?;
        Ok(found(&cover, aim).worth - before)
    };
    let told = |things: &[Thing], gain_m: f64| Gain {
        removed: things.iter().filter_map(|t| bench.mark(*t)).collect(),
        gain_m,
    };
    let mut alone = Vec::with_capacity(holding.len());
    for (i, thing) in holding.iter().enumerate() {
        alone.push(gained(&[*thing], i)?);
    }
    let mut out: Vec<Gain> = holding.iter().zip(&alone).map(|(t, gain)| told(&[*t], *gain)).collect();
    let mut done = holding.len();
    for i in 0..holding.len() {
        for j in i + 1..holding.len() {
            let pair = [holding[i], holding[j]];
            let gain = gained(&pair, done)?;
            done += 1;
            if gain > alone[i].max(alone[j]) + tolerance {
                out.push(told(&pair, gain));
            }
        }
    }
    // What the search itself leaves open is no gain.
    out.retain(|g| g.gain_m > tolerance);
    out.sort_by(|a, b| b.gain_m.total_cmp(&a.gain_m));
    out.truncate(MOST_TOLD);
    Ok(out)
}

impl From<ground::Cancelled> for Cancelled {
    fn from(ground::Cancelled: ground::Cancelled) -> Self {
        Self
    }
}
