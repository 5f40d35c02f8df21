//! A closer look from the best lane on: with room to drift as it needs itself, where it was found with room for the drift
//! of another, or shifted and turned on a coarse grid.
//!
//! Invariant: what is found is judged as any lane is, and given only where it leaves more than the best does.

use crate::assess::Cancelled;
use crate::bench::Bench;
use crate::drift_room::with_room_to_drift;
use crate::hunt::{Candidate, DISTINCT_DEG, GRID, Hunt, MOST_WIDE, SPARE_DONE, Step};
use crate::judge::Judged;
use crate::open_lanes::OpenLanes;
use ground::{Cover, FINE, Goal, distinct_lanes};
use measure::Metres;
use std::sync::Arc;

/// Share of the work that is done after it.
pub(crate) const CLOSER_DONE: f64 = 0.7;

/// Lanes that may leave more than the best, with room for their own drift.
pub(crate) fn look(
    bench: &Bench,
    hunt: &Hunt,
    best: &Judged,
    step: Step,
) -> Result<Vec<Candidate>, Cancelled> {
    let base = best.found.own.as_deref().unwrap_or(&bench.obstructions);
    let Some(things) = with_room_to_drift(bench, base, &best.stretch.lane) else { return Ok(Vec::new()) };
    let open = OpenLanes::new(bench, hunt.aim(), GRID);
    let tolerance = bench.settings.search_tolerance_m;
    let least = open.worth(&open.with_way_in(&best.stretch)) + tolerance;
    let goal = Goal::Within { tolerance: Metres::m(tolerance), by_heading: None, least: least.max(0.0) };
    let say = |share: f64| step(SPARE_DONE + share * (CLOSER_DONE - SPARE_DONE));
    let cover = Cover::new(&things).refined(hunt.aim(), goal, &say)?;
    let own = Arc::new(things);
    let lanes = distinct_lanes(&cover, MOST_WIDE, DISTINCT_DEG.to_radians(), FINE).into_iter();
    let more = lanes.filter(|stretch| {
        open.worth(&open.with_way_in(stretch)) > least && bench.has_room_for_drift(base, stretch)
    });
    Ok(more.map(|stretch| Candidate { stretch, wide: true, own: Some(own.clone()) }).collect())
}
