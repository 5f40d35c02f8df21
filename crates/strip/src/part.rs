//! The part of a clear stretch that a lane uses: where the stretch is longer than it need be, and ground at its beginning or
//! its end tells against it, a shorter lane on the same line does better.
//!
//! Invariants: a part lies within what is clear, and is judged as any lane is; it takes the place of the whole only where its
//! verdict is better, and tells what it leaves out; where ground is left out behind its end, that end is as hard as any.

use crate::assessment::{Reason, ruling};
use crate::bench::Bench;
use crate::code::Code;
use crate::judge::Judged;
use crate::keel_way::KeelWay;
use crate::spread::Spread;
use crate::touchdown;
use ground::{Lane, Obstructions, Stretch};
use measure::Metres;

/// Reasons that may come of ground which a part can leave out.
const OF_THE_GROUND: [Code; 12] = [
    Code::Hardness,
    Code::KeelAttitude,
    Code::Drift,
    Code::DriftOnto,
    Code::Trip,
    Code::Skips,
    Code::KeelGround,
    Code::SoftGround,
    Code::Tipping,
    Code::DigsIn,
    Code::Propeller,
    Code::WingTip,
];

/// Step in which beginnings are tried, metres (judgement: no pilot aims closer).
const STEP: f64 = 5.0;

/// How often the end is looked for between two others: to a sixteenth of what may be left out.
const HALVINGS: usize = 4;

/// Distances from where a stretch begins at which a lane may begin.
pub(crate) fn beginnings(most: Metres) -> impl Iterator<Item = Metres> {
    (0..).map(|i| Metres::m(f64::from(i) * STEP)).take_while(move |by| *by <= most)
}

impl Bench<'_> {
    /// Judges a stretch, or the part of it that does better.
    pub(crate) fn judge_best_part(&self, stretch: &Stretch, among: &Obstructions) -> Judged {
        let whole = self.judge(stretch, among);
        let Some(room) = self.may_leave_out(&whole) else { return whole };
        let later = self.gentlest_beginning(&whole, room).map(|by| self.begun_later(stretch, by, among));
        let later = later.map(|begun| self.ended_sooner(begun, among));
        match later {
            Some(part) if does_better(&part, &whole) => part,
            _ => self.ended_sooner(whole, among),
        }
    }

    /// By how much a lane may be shorter and still be long enough, where that could help.
    fn may_leave_out(&self, judged: &Judged) -> Option<Metres> {
        let reasons = &judged.lane.reasons;
        let others = ruling(reasons.iter().filter(|r| !OF_THE_GROUND.contains(&r.code)));
        let asked = judged.lane.demand_m? * self.settings.tight_spare_share;
        let room = Metres::m(judged.lane.spare_m? - asked);
        (others.rank() < ruling(reasons).rank() && room > Metres::ZERO).then_some(room)
    }

    /// How far on touching down is better than where the lane begins: the first place of the best.
    fn gentlest_beginning(&self, judged: &Judged, room: Metres) -> Option<Metres> {
        let rank = |by: Metres| ruling(&self.touchdown_from(&judged.spread, &judged.way, by)).rank();
        // Touchdowns before the earliest cost nothing to leave out.
        let each = beginnings(room + (judged.open.earliest - self.margins.near)).map(|by| (rank(by), by));
        let best = each.reduce(|a, b| if b.0 < a.0 { b } else { a });
        best.map(|(_, by)| by).filter(|by| *by > Metres::ZERO)
    }

    /// What touching down as early as it may says of a lane that begins so far on.
    pub(crate) fn touchdown_from(&self, spread: &Spread, way: &KeelWay, by: Metres) -> Vec<Reason> {
        let (short, long) = self.scatter();
        let earliest = self.margins.near + by;
        touchdown::judged(self, spread, way, (earliest, earliest + short + long)).1
    }

    fn begun_later(&self, stretch: &Stretch, by: Metres, among: &Obstructions) -> Judged {
        let lane = &stretch.lane;
        let lane = Lane { near: lane.point_at(by, Metres::ZERO), length: lane.length - by, ..*lane };
        let mut judged = self.judge(&Stretch { lane, ..*stretch }, among);
        judged.lane.reasons.push(Reason::told(Code::BeginsLater, (by.to_m(), "m")));
        judged
    }

    /// The longest part from the same beginning with the verdict of the shortest that is long enough, where that does better.
    fn ended_sooner(&self, whole: Judged, among: &Obstructions) -> Judged {
        let Some(room) = self.may_leave_out(&whole).map(|room| room - self.harder_end(&whole)) else {
            return whole;
        };
        if room <= Metres::ZERO {
            return whole;
        }
        let before: Vec<Reason> =
            whole.lane.reasons.iter().filter(|r| r.code == Code::BeginsLater).cloned().collect();
        let (stretch, length) = (whole.stretch, whole.stretch.lane.length);
        let cut = |by: Metres| {
            let lane = Lane { length: length - by, ..stretch.lane };
            let mut judged = self.judge(&Stretch { lane, hard_beyond: Some(Metres::ZERO), ..stretch }, among);
            judged.lane.reasons.extend(before.iter().cloned());
            judged.lane.reasons.push(Reason::told(Code::EndsSooner, (by.to_m(), "m")));
            judged.lane.far_end_at = "ground that is left out".into();
            judged
        };
        let shortest = cut(room);
        if !does_better(&shortest, &whole) {
            return whole;
        }
        let (mut best, mut too_little, mut enough) = (shortest, Metres::ZERO, room);
        for _ in 0..HALVINGS {
            let by = (too_little + enough) * 0.5;
            let next = cut(by);
            if does_better(&best, &next) {
                too_little = by;
            } else {
                (best, enough) = (next, by);
            }
        }
        best
    }

    /// How much more a hard end asks for than an open one.
    fn harder_end(&self, judged: &Judged) -> Metres {
        let lane = &judged.lane;
        let slides = lane.demand_p99_m.zip(lane.demand_p95_m).map_or(0.0, |(p99, p95)| p99 - p95);
        Metres::m(slides) + (self.margins.hard_end - self.margins.end).max(Metres::ZERO)
    }
}

fn does_better(a: &Judged, b: &Judged) -> bool {
    ruling(&a.lane.reasons).rank() < ruling(&b.lane.reasons).rank()
}

#[cfg(test)]
mod tests;
