//! The part of a clear stretch that a lane uses: where the stretch is longer than it need be, and ground at its beginning or
//! its end tells against it, a shorter lane on the same line does better.
//!
//! Parts lie between the places that tell against the whole, and begin where touching down is gentlest; of those that are
//! long enough the few that promise most are judged.
//!
//! Invariants: a part lies within what is clear, and is judged as any lane is; it takes the place of the whole only where its
//! verdict is better, and tells what it leaves out; where ground is left out behind its end, that end is as hard as any.

use crate::assessment::{Reason, Verdict, ruling};
use crate::astray;
use crate::balance;
use crate::bench::Bench;
use crate::code::Code;
use crate::demand::Look;
use crate::judge::Judged;
use crate::keel_way::KeelWay;
use crate::spread::Spread;
use crate::touchdown;
use ground::{Lane, Obstructions, Stretch};
use measure::{Interval, Metres, Slope};

/// Reasons that come of the ground at some place: another lane, or a part of this, may be free of them.
pub(crate) const OF_A_PLACE: [Code; 12] = [
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

/// Step in which beginnings are tried, metres, and most of them (judgement: no pilot aims closer, and what lies half a
/// kilometre on is another lane).
const STEP: f64 = 5.0;
const MOST_BEGINNINGS: usize = 100;

/// Most parts of a lane that are judged, in full and else.
const MOST_JUDGED: usize = 3;
const MOST_JUDGED_AT_FIRST: usize = 1;

/// How far a part keeps away from what it leaves out, as touching is meeting.
const HAIR: Metres = Metres::m(0.05);

/// A part, by chainages of the whole, and the best that it may be hoped to be.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Part {
    from: Metres,
    until: Metres,
    hope: Verdict,
}

/// What a part has to be, to be of any use.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sought {
    /// Nothing is better than this, whatever the lane.
    pub(crate) floor: Verdict,
    /// Another lane is as good as this.
    pub(crate) known: Option<Verdict>,
}

impl Sought {
    /// Whether a verdict is of use where another was found.
    fn is_better(self, verdict: Verdict, found: Verdict) -> bool {
        let rank = verdict.rank();
        rank < found.rank() && self.known.is_none_or(|known| rank < known.rank())
    }
}

/// Distances from a place on at which a lane may begin.
fn beginnings(most: Metres) -> impl Iterator<Item = Metres> {
    let each = (0..MOST_BEGINNINGS).map(|i| Metres::m(i as f64 * STEP));
    each.take_while(move |by| *by <= most)
}

impl Bench<'_> {
    /// Judges a stretch, or the part of it that does better.
    pub(crate) fn judge_best_part(&self, stretch: &Stretch, among: &Obstructions, sought: Sought) -> Judged {
        let verdict = |judged: &Judged| ruling(&judged.lane.reasons).ruling(sought.floor);
        let whole = self.judge(stretch, among);
        if !may_do_better(&whole, verdict(&whole), sought) {
            return whole;
        }
        let (mut bad_ground, mut tried) = (self.bad_ground(&whole), Vec::new());
        let mut best: Option<Judged> = None;
        for left in (0..self.most_judged()).rev() {
            let than = verdict(best.as_ref().unwrap_or(&whole));
            let Some(part) = self.most_promising(&whole, &bad_ground, (than, sought), &tried) else { break };
            let judged = self.judged_part(stretch, &part, among);
            let found = verdict(&judged);
            let as_hoped = found.rank() <= part.hope.rank();
            if !as_hoped && left > 0 {
                // What was not the worst of the whole may be the worst of what is left.
                let later = |at: Interval<Metres>| at.map_growing(|m| m + part.from);
                bad_ground.extend(self.bad_ground(&judged).into_iter().map(later));
                tried.push(part);
            }
            if found.rank() < than.rank() {
                best = Some(judged);
            }
            if as_hoped {
                break;
            }
        }
        best.unwrap_or(whole)
    }

    fn most_judged(&self) -> usize {
        if self.look == Look::Full { MOST_JUDGED } else { MOST_JUDGED_AT_FIRST }
    }

    fn judged_part(&self, whole: &Stretch, part: &Part, among: &Obstructions) -> Judged {
        let mut judged = self.judge(&part_of(whole, Interval::spanning(part.from, part.until)), among);
        judged.found.whole = *whole;
        let told = |code, by: Metres| (by > Metres::ZERO).then(|| Reason::told(code, (by.to_m(), "m")));
        let cut = whole.lane.length - part.until;
        judged.lane.reasons.extend(told(Code::BeginsLater, part.from));
        judged.lane.reasons.extend(told(Code::EndsSooner, cut));
        if cut > Metres::ZERO {
            judged.lane.far_end_at = "ground that is left out".into();
        }
        judged
    }

    /// The part off bad ground that promises most, of these the longest, if any promises to be better than a verdict.
    fn most_promising(
        &self,
        whole: &Judged,
        bad_ground: &[Interval<Metres>],
        (than, sought): (Verdict, Sought),
        tried: &[Part],
    ) -> Option<Part> {
        let length = whole.stretch.lane.length;
        // Off the bad ground slides may drift less, and what is narrow for the whole need not be for the part.
        let narrow: Vec<_> = bad_ground.iter().copied().chain(narrow_place(whole)).collect();
        let gaps = gaps(bad_ground.to_vec(), length).into_iter().chain(gaps(narrow, length));
        let least = whatever_its_ground(whole).ruling(sought.floor);
        let each = gaps.flat_map(|gap| self.parts_of(whole, gap));
        let each = each.map(|part| Part { hope: part.hope.ruling(least), ..part });
        let each = each.filter(|part| sought.is_better(part.hope, than) && !tried.contains(part));
        let length = |part: &Part| (part.until - part.from).to_m();
        each.min_by(|a, b| a.hope.rank().cmp(&b.hope.rank()).then(length(b).total_cmp(&length(a))))
    }

    /// Parts of a gap that are long enough: of each rank of touchdown the first that is better than those before it.
    fn parts_of(&self, whole: &Judged, gap: Interval<Metres>) -> Vec<Part> {
        let (from, until) = (gap.low(), gap.high());
        let mut out: Vec<Part> = Vec::new();
        for by in beginnings(until - from) {
            let from = from + by;
            let Some(spare) = self.spare_of(whole, from, until) else { break };
            let hope = self.touchdown_of(whole, from).ruling(spare);
            let is_whole = from == Metres::ZERO && until == whole.stretch.lane.length;
            if is_whole && hope == Verdict::Fits {
                break;
            }
            if !is_whole && out.last().is_none_or(|best| hope.rank() < best.hope.rank()) {
                out.push(Part { from, until, hope });
            }
            if hope == Verdict::Fits {
                break;
            }
        }
        out
    }

    /// What the length of a part would be said to be, were its slides those of the whole; `None` where it is too short.
    fn spare_of(&self, whole: &Judged, from: Metres, until: Metres) -> Option<Verdict> {
        let (short, long) = self.scatter();
        let earliest = whole.open.earliest.max(from + self.margins.near);
        let (end, needed) = if until < whole.stretch.lane.length {
            (until - self.margins.hard_end, whole.lane.demand_p99_m?)
        } else {
            (whole.ends.at(), whole.lane.demand_m?)
        };
        let spare = (end - earliest - short - long).to_m() - needed;
        let fits = spare >= needed * self.settings.tight_spare_share;
        (spare >= 0.0).then_some(if fits { Verdict::Fits } else { Verdict::Tight })
    }

    fn touchdown_of(&self, whole: &Judged, from: Metres) -> Verdict {
        let earliest = whole.open.earliest.max(from + self.margins.near);
        ruling(&self.touchdown_from(&whole.spread, &whole.way, (from, earliest)))
    }

    /// Where on a lane the ground rises least under the earliest touchdowns.
    pub(crate) fn gentlest(&self, way: &KeelWay, length: Metres) -> Metres {
        let (short, long) = self.scatter();
        let rise = |by: Metres| {
            let from = by + self.margins.near;
            touchdown::uphill(self, way, (from, from + short + long)).high()
        };
        let each = beginnings(length).map(|by| (rise(by), by));
        each.reduce(|a, b| if b.0 < a.0 { b } else { a }).map_or(Metres::ZERO, |(_, by)| by)
    }

    /// What touching down says of a lane that begins so far on, with the earliest touchdown that its way in leaves open.
    pub(crate) fn touchdown_from(
        &self,
        spread: &Spread,
        way: &KeelWay,
        (from, earliest): (Metres, Metres),
    ) -> Vec<Reason> {
        let (short, long) = self.scatter();
        touchdown::reasons(self, spread, way, (from + self.margins.near, earliest + short + long))
    }

    /// Chainages of a lane at which its ground, or what drift takes it onto, tells against it.
    fn bad_ground(&self, whole: &Judged) -> Vec<Interval<Metres>> {
        let lane = &whole.lane;
        let metres = |from: f64, to: f64| Interval::spanning(Metres::m(from), Metres::m(to));
        let drifted_onto = lane.drift.drifts_onto.iter().map(|p| metres(p.from_m, p.to_m));
        let skips = lane.skips_at_m.map(|at| metres(at, at));
        let drifted = self.drift_on(&whole.stretch.lane, &whole.way, &whole.spread);
        let trips = drifted.map_or_else(Vec::new, |drifted| {
            astray::trips_at(self, &drifted, &drifted.way(&whole.stretch.lane, whole.ends.at()))
        });
        self.soft_places(whole)
            .into_iter()
            .chain(drifted_onto)
            .chain(trips)
            .chain(skips)
            .chain(self.uneven(&whole.way))
            .collect()
    }

    /// Chainages at which the ground itself is not even, a keel about each fault.
    fn uneven(&self, way: &KeelWay) -> Vec<Interval<Metres>> {
        let keel = self.keel();
        let about = |(at, _): (Metres, Reason)| Interval::spanning(at - keel, at + keel);
        let steep = way.steep_places(Slope::ratio(self.settings.steepest_slope));
        way.faults(self.settings).into_iter().map(about).chain(steep).collect()
    }

    /// The longest part of a stretch on even ground, of which alone it is asked whether it has room: no other is of use.
    pub(crate) fn even_part(&self, stretch: &Stretch) -> Stretch {
        part_of(stretch, self.even_span(&stretch.lane))
    }

    /// The same of a lane.
    pub(crate) fn even_lane(&self, lane: &Lane) -> Lane {
        cut(lane, self.even_span(lane))
    }

    /// All of it where there is no even ground.
    fn even_span(&self, lane: &Lane) -> Interval<Metres> {
        let length = |gap: &Interval<Metres>| (gap.high() - gap.low()).to_m();
        let gaps = gaps(self.uneven(&self.way(lane)), lane.length);
        let longest = gaps.into_iter().max_by(|a, b| length(a).total_cmp(&length(b)));
        longest.unwrap_or(Interval::spanning(Metres::ZERO, lane.length))
    }

    /// Patches under a lane that hold the keels worse than the field around them.
    fn soft_places(&self, whole: &Judged) -> Vec<Interval<Metres>> {
        let window = (self.margins.near, whole.stretch.lane.length);
        let patches = self.patches_under(&whole.stretch.lane);
        let holds = |some: &[_]| {
            let (_, reasons) = balance::judged(self, &whole.spread, &whole.way, some, window);
            ruling(
                reasons.iter().filter(|r| matches!(r.code, Code::SoftGround | Code::Tipping | Code::DigsIn)),
            )
            .rank()
        };
        let without = holds(&[]);
        patches
            .into_iter()
            .filter(|patch| holds(std::slice::from_ref(patch)) > without)
            .map(|(_, span)| span)
            .collect()
    }
}

/// What lies between two chainages; where ground is left out behind its end, that is a hard one.
fn part_of(whole: &Stretch, span: Interval<Metres>) -> Stretch {
    let hard_beyond = if span.high() < whole.lane.length { Some(Metres::ZERO) } else { whole.hard_beyond };
    Stretch { lane: cut(&whole.lane, span), hard_beyond, ..*whole }
}

fn cut(lane: &Lane, span: Interval<Metres>) -> Lane {
    Lane { near: lane.point_at(span.low(), Metres::ZERO), length: span.high() - span.low(), ..*lane }
}

/// Whether other ground could make a lane better: what is too short, or bad whatever its ground, is no better for being
/// shorter.
fn may_do_better(whole: &Judged, verdict: Verdict, sought: Sought) -> bool {
    let long_enough = whole.lane.spare_m.is_some_and(|spare| spare >= 0.0);
    long_enough && sought.is_better(whatever_its_ground(whole).ruling(sought.floor), verdict)
}

/// What is said of a lane whatever its ground.
fn whatever_its_ground(lane: &Judged) -> Verdict {
    ruling(lane.lane.reasons.iter().filter(|r| !OF_A_PLACE.contains(&r.code)))
}

/// Where there is not enough room beside a lane.
fn narrow_place(whole: &Judged) -> Option<Interval<Metres>> {
    let room = whole.lane.drift.least_room.as_ref().filter(|room| !room.suffices())?;
    Some(Interval::exact(Metres::m(room.chainage_m)))
}

/// What of a lane lies between places, a hair away from them.
fn gaps(mut places: Vec<Interval<Metres>>, length: Metres) -> Vec<Interval<Metres>> {
    places.sort_by(|a, b| a.low().to_m().total_cmp(&b.low().to_m()));
    let mut out = Vec::new();
    let mut from = Metres::ZERO;
    for place in places {
        out.extend(Interval::new(from, place.low() - HAIR).ok());
        from = from.max(place.high() + HAIR);
    }
    out.extend(Interval::new(from, length).ok());
    out
}

#[cfg(test)]
mod tests;
