//! What is told of the way in to one lane: what stands in and beside the corridor, by how much the shallowest path to
//! the earliest touchdown clears each, and what is asked; what closes touchdowns; what another path would give.
//!
//! Not here: which touchdowns are open ([`crate::approach`]).

use crate::abandoning::{self, AbandonFigures};
use crate::approach::{Closed, Descents, GROUND_BEFORE, Placed, WayIn, left_open};
use crate::assessment::{Reason, Verdict};
use crate::bench::Bench;
use crate::code::Code;
use crate::demand::Look;
use crate::landmark::{self, Landmark};
use crate::spread::{Corner, Spread};
use crate::tall::Height;
use ground::Thing;
use measure::{Interval, Metres};
use serde::Serialize;
use slide::approach::Passed;

/// Most things told, those with least left over what is asked first.
const MOST_TOLD: usize = 30;

/// Things farther outside the corridor than this are not told, m (judgement).
const NEAR_CORRIDOR: Metres = Metres::m(15.0);

/// Least distance that is told of what lies outside, where its nearest part is passed elsewhere, m.
const JUST_OUTSIDE: Metres = Metres::m(0.1);

/// Ground before the lane that rises no higher over the touchdown is not told, m (judgement).
const RISES: Metres = Metres::m(0.5);

/// Paths of the trade between glide, sink and earliest touchdown, degrees over the ground.
const TRADE_DEG: [f64; 9] = [1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0];

/// The way in, as told.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct ApproachFigures {
    /// Path over the ground: shallowest and steepest.
    pub glide_deg: (f64, f64),
    /// Half-width of the corridor at the near end of the lane, for a touchdown at the earliest.
    pub corridor_half_width_m: f64,
    /// How much it widens to each side per length.
    pub corridor_splay: f64,
    /// Whether any touchdown can be reached with the margins asked.
    pub touchdown_reached: bool,
    /// What closes the touchdowns past the latest; absent where the slide alone sets it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub latest_before: Option<String>,
    /// Name of what the earliest touchdown is reached over; absent where the near margin rules, or none is reached.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub earliest_over: Option<String>,
    /// What lies abeam of the earliest touchdown, and of the latest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub earliest_abeam: Option<Landmark>,
    /// The same of the latest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub latest_abeam: Option<Landmark>,
    /// Touchdowns between near margin and end margin that something in the corridor closes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub closed_m: Vec<(f64, f64)>,
    /// What stands in and beside the corridor.
    pub clearances: Vec<Clearance>,
    /// From where it can still be broken off, where the aircraft's climb is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub abandon: Option<AbandonFigures>,
    /// What other paths would give; in a full answer only.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub glide_trade: Vec<GlideTrade>,
}

/// Room over a thing on the shallowest path to the earliest touchdown.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Clearance {
    /// Its mark; absent for an edge and for the ground.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// What it is: "tree t1", "fence".
    pub name: String,
    /// Where it is passed, from the near end; negative before it.
    pub chainage_m: f64,
    /// Its top as surveyed, over the ground at the touchdown; absent if nobody measured it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub top_m: Option<f64>,
    /// The path over that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vertical_m: Option<f64>,
    /// What must be left: the sum of the following.
    pub required_m: f64,
    /// Kept in any case.
    pub fixed_m: f64,
    /// It may have grown by.
    pub growth_m: f64,
    /// Its height may be off by.
    pub accuracy_m: f64,
    /// The ground under it may be higher, or lower under the touchdown, by.
    pub ground_m: f64,
    /// How far below its higher support a wire hangs where the lane crosses it; told, never counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hangs_m: Option<f64>,
    /// How far outside the corridor it lies; 0 inside.
    pub lateral_m: f64,
    /// Whether it sets the earliest touchdown.
    pub rules: bool,
}

impl Clearance {
    /// What is left over what must be; less than anything where nobody measured it.
    pub fn left(&self) -> f64 {
        self.vertical_m.map_or(f64::NEG_INFINITY, |v| v - self.required_m)
    }
}

/// One path and what it gives.
#[derive(Clone, Copy, PartialEq, Debug, Serialize)]
pub struct GlideTrade {
    /// Over the ground.
    pub glide_deg: f64,
    /// At the fastest touchdown on level ground.
    pub sink_mps: f64,
    /// Absent where no touchdown is reached.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub earliest_touchdown_m: Option<f64>,
}

/// What is told for the earliest touchdown.
pub(crate) fn told(
    way: WayIn<'_>,
    closed: &[Closed],
    (earliest, latest): (Metres, Option<Metres>),
    within: Interval<Metres>,
    spread: &Spread,
) -> ApproachFigures {
    let bench = way.bench;
    let ruling = ruling(closed, earliest);
    let open = left_open(within, closed);
    let near = way.corridor.before_lane(earliest) + bench.aircraft.half_span();
    ApproachFigures {
        glide_deg: (way.glide.low().to_degrees(), way.glide.high().to_degrees()),
        corridor_half_width_m: near.to_m(),
        corridor_splay: way.corridor.splay,
        touchdown_reached: !open.is_empty(),
        latest_before: latest.and_then(|latest| closing(closed, latest)).map(|c| c.name(bench)),
        earliest_over: ruling.map(|c| c.name(bench)),
        earliest_abeam: landmark::at(bench, &way.lane, earliest),
        latest_abeam: latest.and_then(|latest| landmark::at(bench, &way.lane, latest)),
        closed_m: joined(&open, within),
        // A glance asks for reasons alone.
        clearances: if bench.look == Look::Glance { Vec::new() } else { rows(&way, earliest, ruling) },
        abandon: abandoning::told(&way, spread, earliest),
        glide_trade: if bench.look == Look::Full { trade(way, within, spread) } else { Vec::new() },
    }
}

/// Room over everything in and beside the corridor on the way to one touchdown, what rules first.
pub(crate) fn rows(way: &WayIn, touchdown: Metres, ruling: Option<&Closed>) -> Vec<Clearance> {
    let descents = Descents::new(way, Corner::Worst);
    let rules = |tall: Option<usize>| ruling.is_some_and(|c| c.tall == tall);
    let row = |(i, placed): (usize, Placed)| clearance(way, &descents, placed, touchdown, rules(Some(i)));
    let rows = way.placed().enumerate().filter_map(row);
    let mut rows: Vec<(Thing, Clearance)> = rows.collect();
    // Of the parts of one thing the one with least left is told.
    rows.sort_by(|a, b| {
        let (rules, lateral) = (b.1.rules.cmp(&a.1.rules), a.1.lateral_m.total_cmp(&b.1.lateral_m));
        a.0.cmp(&b.0).then(rules).then(lateral).then(a.1.left().total_cmp(&b.1.left()))
    });
    rows.dedup_by(|later, first| later.0 == first.0);
    let things = rows.into_iter().map(|(_, row)| row);
    let mut rows: Vec<Clearance> = things.chain(over_ground_before(way, touchdown, rules(None))).collect();
    rows.sort_by(|a, b| b.rules.cmp(&a.rules).then(a.left().total_cmp(&b.left())));
    rows.truncate(MOST_TOLD);
    rows
}

/// Room over the ground before the lane where least of it is left, if it rises or rules.
fn over_ground_before(way: &WayIn, touchdown: Metres, rules: bool) -> Option<Clearance> {
    let tangent = libm::tan(way.glide.low());
    let rise = way.before.nearest_to(touchdown)?;
    let (top, ground) = over_touchdown(way, touchdown, rise.height);
    let path = (touchdown - rise.at) * tangent;
    (rules || top >= RISES).then(|| Clearance {
        id: None,
        name: GROUND_BEFORE.to_owned(),
        chainage_m: rise.at.to_m(),
        top_m: Some(top.to_m()),
        vertical_m: Some((path - top).to_m()),
        required_m: (rise.kept + ground).to_m(),
        fixed_m: rise.kept.to_m(),
        growth_m: 0.0,
        accuracy_m: 0.0,
        ground_m: ground.to_m(),
        hangs_m: None,
        lateral_m: 0.0,
        rules,
    })
}

/// A height above the datum as one over the ground at a touchdown, both at their middle, and how far that may be off.
fn over_touchdown(way: &WayIn, touchdown: Metres, height: Interval<Metres>) -> (Metres, Metres) {
    let (low, high) = (way.floor.low.at(touchdown), way.floor.high.at(touchdown));
    let (off_top, off_floor) = ((height.high() - height.low()) * 0.5, (high - low) * 0.5);
    (height.high() - off_top - (high - off_floor), off_top + off_floor)
}

/// What closes touchdowns from one on.
fn closing(closed: &[Closed], touchdown: Metres) -> Option<&Closed> {
    let from =
        closed.iter().filter(|c| (c.span.low() - touchdown).abs() <= SAME && c.span.high() > touchdown);
    from.min_by_key(|c| c.tall)
}

/// Chainages that differ by no more are one, m.
const SAME: Metres = Metres::m(1e-9);

/// What closes touchdowns up to one; of several the last.
fn ruling(closed: &[Closed], touchdown: Metres) -> Option<&Closed> {
    let up_to =
        closed.iter().filter(|c| c.span.low() <= touchdown && (c.span.high() - touchdown).abs() <= SAME);
    up_to.min_by_key(|c| c.tall)
}

/// Whether the way in can be broken off at all.
pub(crate) fn abandon_reason(figures: &ApproachFigures) -> Option<Reason> {
    let Some(abandon) = figures.abandon.as_ref() else {
        return Some(Reason::plain(Code::ClimbUnknown, Verdict::Tight, Code::ClimbUnknown.help()));
    };
    let no_way_out = abandon.straight_by_m.is_none() && abandon.turn_by_m.is_none();
    no_way_out.then(|| Reason::plain(Code::NoWayOut, Verdict::Tight, Code::NoWayOut.help()))
}

/// Why no touchdown of a lane can be reached, if none can; at the best none either, or that is not known.
pub(crate) fn unreached(bench: &Bench, closed: &[Closed], at_best: bool) -> Reason {
    let verdict = if at_best { Verdict::Unknown } else { Verdict::DoesNotFit };
    let farthest = closed.iter().max_by(|a, b| a.span.high().to_m().total_cmp(&b.span.high().to_m()));
    let over = farthest.map_or_else(String::new, |c| {
        let height = c.tall.map(|i| &bench.tall[i].height);
        let unmeasured =
            if height == Some(&Height::NotMeasured) { ", whose height is not known" } else { "" };
        format!(": over {}{unmeasured}", c.name(bench))
    });
    Reason::plain(Code::Approach, verdict, format!("{}{over}", Code::Approach.help()))
}

fn clearance(
    way: &WayIn,
    descents: &Descents,
    (tall, abeam): Placed,
    touchdown: Metres,
    rules: bool,
) -> Option<(Thing, Clearance)> {
    let bench = way.bench;
    let along = abeam.chainages();
    let (chainage, lateral) = match way.passed((tall, abeam), descents, (touchdown, NEAR_CORRIDOR))? {
        Passed::Over(chainage) => (chainage, Metres::ZERO),
        Passed::Beside(by) => (along.high().min(touchdown), by.max(JUST_OUTSIDE)),
    };
    let ahead = touchdown - chainage;
    let path = ahead * libm::tan(way.glide.low());
    let (top, ground) = match &tall.height {
        Height::NotMeasured => (None, Metres::ZERO),
        Height::OverDatum(top) => {
            let (top, off) = over_touchdown(way, touchdown, *top);
            (Some(top), off)
        }
        over_ground => {
            let each = over_ground.over_own_ground(&way.lane, abeam)?;
            let off = each.map(|(_, away)| bench.terrain.rise_over(ahead + away));
            (Some(each[0].0.max(each[1].0)), off[0].max(off[1]))
        }
    };
    let asked = &tall.asked;
    let fixed = if chainage < Metres::ZERO { asked.fixed } else { asked.on_lane };
    let required = fixed + asked.growth + asked.accuracy + ground;
    let row = Clearance {
        id: bench.mark(tall.thing),
        name: bench.thing_name(tall.thing),
        chainage_m: chainage.to_m(),
        top_m: top.map(Metres::to_m),
        vertical_m: top.map(|top| (path - top).to_m()),
        required_m: required.to_m(),
        fixed_m: fixed.to_m(),
        growth_m: asked.growth.to_m(),
        accuracy_m: asked.accuracy.to_m(),
        ground_m: ground.to_m(),
        hangs_m: tall.hanging.and_then(|span| span.below_at(&way.lane)).map(Metres::to_m),
        lateral_m: lateral.to_m(),
        rules,
    };
    Some((tall.thing, row))
}

/// What is closed between two chainages, joined: what is not open.
fn joined(open: &[Interval<Metres>], within: Interval<Metres>) -> Vec<(f64, f64)> {
    let (from, to) = (within.low().to_m(), within.high().to_m());
    let ends = open.iter().flat_map(|o| [o.low().to_m(), o.high().to_m()]);
    let ends: Vec<f64> = [from].into_iter().chain(ends).chain([to]).collect();
    ends.chunks(2).filter(|c| c[0] < c[1]).map(|c| (c[0], c[1])).collect()
}

fn trade(way: WayIn<'_>, within: Interval<Metres>, spread: &Spread) -> Vec<GlideTrade> {
    let (_, fast) = spread.speeds();
    let mut way = way;
    let mut out = Vec::with_capacity(TRADE_DEG.len());
    for deg in TRADE_DEG {
        way = way.flown_at(deg.to_radians());
        let open = left_open(within, &way.closed(Corner::Worst));
        out.push(GlideTrade {
            glide_deg: deg,
            sink_mps: slide::hardness::sink_mps(fast, deg.to_radians(), measure::Slope::ZERO),
            earliest_touchdown_m: open.first().map(|o| o.low().to_m()),
        });
    }
    out
}
