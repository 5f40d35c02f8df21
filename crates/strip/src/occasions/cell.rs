//! One cell: the lanes that promise most on its occasion, judged as any assessment judges them, at a first look.
//!
//! Invariants: a lane's reasons are those of the bench, whatever the picture; what may be left unsaid is that another
//! lane would have done better, never that one does better than it does; "does not fit" is said only where a bound covers
//! every lane.
//!
//! Not here: which lanes there are ([`super::pool`]), and what of the reasons holds on every occasion
//! ([`super::standing`]).

use super::pool::Pool;
use super::ruling;
use super::standing::Standing;
use crate::assessment::{Reason, Sense, Verdict};
use crate::caveat;
use crate::code::Code;
use crate::judge::Bench;
use ground::{Obstructions, Stretch};

/// A lane as it is on one occasion.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct LaneThen {
    pub(super) heading_magnetic_deg: Option<f64>,
    pub(super) stretch: Stretch,
    pub(super) spare_m: Option<f64>,
    pub(super) drift_clear: bool,
    /// What keeps it from fitting, or makes it tight.
    pub(super) reasons: Vec<Reason>,
}

/// One occasion, judged.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Cell {
    pub(super) lanes: Vec<LaneThen>,
    /// What the occasion says of every lane.
    pub(super) of_all: Vec<Reason>,
}

impl Cell {
    /// Judges the bench's situation; `gust_mps` where the wind is what is asked about.
    pub(super) fn judged(bench: &Bench, pool: &Pool, gust_mps: Option<f64>, standing: &Standing) -> Self {
        let mut of_all: Vec<Reason> =
            gust_mps.and_then(|gust| caveat::strong_wind(gust, bench.aircraft)).into_iter().collect();
        // No lane can do better than what holds for all of them.
        let at_best = ruling(&of_all);
        let mut lanes: Vec<LaneThen> = Vec::new();
        let mut best = None;
        let drifts_anyway = standing.leaves_out(Code::Drift, Verdict::Unknown);
        for (which, hope) in pool.promising(bench, drifts_anyway) {
            // One that cannot do better than what was found would only be another to show.
            if best.is_some_and(|best: Verdict| best.rank() <= hope.ruling(at_best).rank()) {
                continue;
            }
            let lane = LaneThen::judged(bench, pool.stretch(which), pool.among(which));
            let own = standing.own(&lane.reasons);
            best = best.filter(|best| best.rank() <= own.rank()).or(Some(own));
            lanes.push(lane);
        }
        if lanes.iter().all(|lane| ruling(&lane.reasons) == Verdict::DoesNotFit) {
            of_all.extend(too_short(bench, pool));
        }
        Self { lanes, of_all }
    }
}

impl LaneThen {
    pub(super) fn judged(bench: &Bench, stretch: &Stretch, among: &Obstructions) -> Self {
        let judged = bench.judge(stretch, among).lane;
        let limits = |r: &Reason| r.verdict.is_some_and(|v| v != Verdict::Fits);
        Self {
            heading_magnetic_deg: judged.heading_magnetic_deg,
            stretch: *stretch,
            spare_m: judged.spare_m,
            drift_clear: judged.drift.is_clear(),
            reasons: judged.reasons.into_iter().filter(limits).collect(),
        }
    }
}

/// A bound that covers every lane, if it rules them all out.
fn too_short(bench: &Bench, pool: &Pool) -> Option<Reason> {
    let Some(most) = pool.left_at_most(bench) else {
        return Some(Reason::plain(Code::NeverStops, Verdict::DoesNotFit, Code::NeverStops.help()));
    };
    let held = (most, Sense::NotBelow, 0.0);
    (most < 0.0).then(|| Reason::held(Code::LengthBound, Verdict::DoesNotFit, held, "m"))
}
