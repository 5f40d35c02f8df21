//! What holds on every occasion of a picture, so that the rest shows what wind, air and mass would do.
//!
//! A field whose wires nobody looked at is unknown in every wind, and so is one where the touchdown may be too hard on
//! any lane. Said once above the picture, it is left out of the marks: of each reason as much as every lane judged has on
//! every occasion, and no more.
//!
//! Invariants: what is asked about itself (length, crosswind, strong wind, mass) is never left out; "does not fit" is
//! never left out; a lane's whole verdict always counts everything.

use super::cell::Cell;
use crate::assessment::ruling;
use crate::assessment::{Reason, Verdict};
use crate::code::Code;

/// What wind, air and mass are asked about for: never left out of a mark.
const ASKED: [Code; 9] = [
    Code::Spare,
    Code::NeverStops,
    Code::LengthBound,
    Code::NoLaneFits,
    Code::Crosswind,
    Code::CrosswindLimit,
    Code::StrongWind,
    Code::Mass,
    Code::LongerRecovery,
];

/// Reasons of the records, and the least that every lane judged so far has of each other reason.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Standing {
    /// What the records say whatever the lane.
    pub(super) of_records: Vec<Reason>,
    /// `None` before the first lane.
    everywhere: Option<Vec<Reason>>,
}

impl Standing {
    pub(super) fn new(of_records: Vec<Reason>) -> Self {
        Self { of_records, everywhere: None }
    }

    /// Takes another cell into account.
    pub(super) fn take(&mut self, cell: &Cell) {
        for lane in &cell.lanes {
            let has = |code: Code| ruling(lane.reasons.iter().filter(|r| r.code == code));
            let known = self.everywhere.take().unwrap_or_else(|| {
                let leaves = |r: &&Reason| r.verdict.is_some() && !ASKED.contains(&r.code);
                let mut all: Vec<Reason> = lane.reasons.iter().filter(leaves).cloned().collect();
                all.sort_by(|a, b| b.rank().cmp(&a.rank()).then(a.code.cmp(&b.code)));
                all.dedup_by(|a, b| a.code == b.code);
                all
            });
            let least = |mut r: Reason| {
                let here = has(r.code);
                let kept = r.verdict.filter(|v| v.rank() <= here.rank()).unwrap_or(here);
                r.verdict = Some(kept);
                (kept != Verdict::Fits).then_some(r)
            };
            self.everywhere = Some(known.into_iter().filter_map(least).collect());
        }
    }

    /// Every reason that holds on every occasion, the ruling ones first.
    pub(super) fn reasons(&self) -> Vec<Reason> {
        let mut all: Vec<Reason> = self.of_records.iter().chain(self.left_out()).cloned().collect();
        all.sort_by(|a, b| b.rank().cmp(&a.rank()).then(a.code.cmp(&b.code)));
        all
    }

    /// Reasons of lanes that are left out of the marks. What is nowhere met is no circumstance and stays in them.
    fn left_out(&self) -> impl Iterator<Item = &Reason> {
        self.everywhere.iter().flatten().filter(|r| r.verdict != Some(Verdict::DoesNotFit))
    }

    /// Whether a reason says no more than what holds on every occasion.
    pub(super) fn holds_everywhere(&self, reason: &Reason) -> bool {
        reason.verdict.is_some_and(|verdict| self.leaves_out(reason.code, verdict))
    }

    /// Whether a reason of that verdict is left out of the marks.
    pub(super) fn leaves_out(&self, code: Code, verdict: Verdict) -> bool {
        self.left_out().any(|k| k.code == code && k.rank() >= Some(verdict.rank()))
    }

    /// The verdict without what holds on every occasion.
    pub(super) fn own(&self, reasons: &[Reason]) -> Verdict {
        ruling(reasons.iter().filter(|r| !self.holds_everywhere(r)))
    }
}
